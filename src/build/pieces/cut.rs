//! That poles were cut to pieces: words in, the movements out, all or none.

use super::Size;
use crate::build::accept::{self, Refused, refuse};
use crate::build::brief;
use crate::build::entry::{How, Item, Stem, Tally, What};
use crate::build::house::House;
use crate::build::stage::STAGES;
use crate::build::together::whole;
use crate::build::worked::Worked;

/// The most kinds of pieces that are told at a time.
const MOST_KINDS: usize = 20;
/// The most pieces of a kind from one pole.
const MOST_PIECES: u32 = 1000;

/// That `times` poles of a size (`6 m x 12 cm`) were each cut into some pieces
/// (`2 rafters, 1 brace`): the poles are used and the pieces cut.
///
/// # Errors
/// A size of which there are not so many poles, unknown pieces, and more of
/// them than a pole is long.
pub fn cut_up(house: &House, pole: &str, times: &str, into: &str) -> Result<Vec<What>, Refused> {
    let size = size(pole, &house.worked).or_else(|why| refuse("pole", why))?;
    let times = whole("times", times, 1..=1_000_000)?;
    let pieces = pieces(&house.worked, into)?;
    let there = house.poles.count(size);
    if f64::from(times) > there {
        let known: Vec<String> =
            house.poles.at_hand().map(|(size, n)| format!("{n} of {}", told(size))).take(12).collect();
        let known = if known.is_empty() { "no pole of a known size".to_owned() } else { known.join(", ") };
        let there = there.max(0.0);
        return refuse(
            "pole",
            format!("{times} to be cut, but {there:.0} of {} on hand; there are {known}", told(size)),
        );
    }
    let sum = pieces.iter().map(|(piece, n)| f64::from(*n) * piece.length_m).sum::<f64>();
    if sum > size.length_m + 1e-9 {
        let why = format!("{sum:.2} m of pieces do not come from {:.2} m; say fewer", size.length_m);
        return refuse("into", why);
    }
    if let Some((piece, _)) = pieces.iter().find(|(piece, _)| size.d_m < piece.d_m) {
        let (there, asked) = (size.d_m * 100.0, piece.d_m * 100.0);
        let why = format!(
            "{there:.0} cm is too thin: {} asks {asked:.0} cm; tally such pieces with their size",
            piece.name
        );
        return refuse("into", why);
    }
    let poles = if times == 1 { "1 pole".to_owned() } else { format!("{times} poles") };
    let remark = format!("from {poles} of {}", told(size));
    let tally = |item, count, how, remark, of| What::Tally(Tally { item, count, how, to: None, remark, of });
    let of = |length_m| Stem { length_m: Some(length_m), top_d_m: Some(size.d_m), ..Stem::default() };
    let used = tally(Item::Pole, f64::from(times), How::Used, "cut to pieces".to_owned(), of(size.length_m));
    let cut = pieces.into_iter().map(|(piece, each)| {
        let count = f64::from(each) * f64::from(times);
        tally(piece.item, count, How::Cut, remark.clone(), of(piece.length_m))
    });
    Ok(std::iter::once(used).chain(cut).collect())
}

/// A size as it is said.
#[must_use]
pub fn told(size: Size) -> String {
    let plain = |n: f64| {
        let text = format!("{n:.3}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    format!("{} m x {} cm", plain(size.length_m), plain(size.d_m * 100.0))
}

/// A size as far as it is known; none where nothing of it is.
pub(super) fn told_in_part(length_m: Option<f64>, d_m: Option<f64>) -> Option<String> {
    match (length_m, d_m) {
        (Some(length_m), Some(d_m)) => Some(told(Size { length_m, d_m })),
        (Some(length_m), None) => Some(format!("{length_m:.2} m")),
        (None, d_m) => d_m.map(|d_m| format!("{:.0} cm thick", d_m * 100.0)),
    }
}

fn size(said: &str, worked: &Worked) -> Result<Size, String> {
    brief::pole(said, Some(&worked.brief.body))
}

/// A piece as a stage asks for it.
struct Piece {
    item: Item,
    name: &'static str,
    length_m: f64,
    d_m: f64,
}

fn pieces(worked: &Worked, said: &str) -> Result<Vec<(Piece, u32)>, Refused> {
    accept::bounded("into", said, accept::LONGEST_TEXT)?;
    let mut pieces: Vec<(Piece, u32)> = Vec::new();
    for part in said.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let (count, name) = match part.split_once(' ') {
            Some((count, name)) if count.starts_with(|c: char| c.is_ascii_digit()) => (count, name),
            _ => ("1", part),
        };
        let each = whole("into", count, 1..=MOST_PIECES)?;
        let piece = piece(worked, name.trim())?;
        match pieces.iter_mut().find(|(known, _)| known.name == piece.name) {
            Some((_, n)) => *n = n.saturating_add(each).min(MOST_PIECES),
            None => pieces.push((piece, each)),
        }
    }
    if pieces.is_empty() || pieces.len() > MOST_KINDS {
        return refuse("into", "say the pieces of one pole: 2 rafters, 1 brace");
    }
    Ok(pieces)
}

/// A piece by its name: `king post`, `king posts`, `king-post`. Where several
/// are called so, as braces of walls and of slopes are, it is the shortest.
fn piece(worked: &Worked, said: &str) -> Result<Piece, Refused> {
    let said = said.replace('-', " ");
    let one = said.strip_suffix('s').unwrap_or(&said);
    let pieces = || {
        STAGES.iter().flat_map(|stage| {
            (stage.needs)(worked).into_iter().filter_map(move |need| {
                let Size { length_m, d_m } = super::size(&need)?;
                Some(Piece { item: need.item, name: super::name(stage.id, need.item), length_m, d_m })
            })
        })
    };
    let is_called = |piece: &Piece| piece.name == one || piece.item.word().replace('-', " ") == one;
    pieces().filter(is_called).min_by(|a, b| a.length_m.total_cmp(&b.length_m)).map_or_else(
        || {
            let known = pieces().map(|piece| piece.name).collect::<Vec<_>>().join(", ");
            refuse("into", format!("{said} is not cut from a pole here; there are {known}"))
        },
        Ok,
    )
}
