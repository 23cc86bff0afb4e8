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
    let pieces = pieces(into)?;
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
    let sum =
        pieces.iter().map(|(item, n)| f64::from(*n) * least(&house.worked, *item).length_m).sum::<f64>();
    if sum > size.length_m + 1e-9 {
        let why = format!("{sum:.2} m of pieces do not come from {:.2} m; say fewer", size.length_m);
        return refuse("into", why);
    }
    let thin = pieces.iter().map(|(item, _)| *item).find(|item| size.d_m < least(&house.worked, *item).d_m);
    if let Some(item) = thin {
        let (there, asked) = (size.d_m * 100.0, least(&house.worked, item).d_m * 100.0);
        let why = format!(
            "{there:.0} cm is too thin: {item} asks {asked:.0} cm; tally such pieces with their size"
        );
        return refuse("into", why);
    }
    let poles = if times == 1 { "1 pole".to_owned() } else { format!("{times} poles") };
    let remark = format!("from {poles} of {}", told(size));
    let tally = |item, count, how, remark, of| What::Tally(Tally { item, count, how, to: None, remark, of });
    let of = Stem { length_m: Some(size.length_m), top_d_m: Some(size.d_m), ..Stem::default() };
    let used = tally(Item::Pole, f64::from(times), How::Used, "cut to pieces".to_owned(), of);
    let cut = pieces.into_iter().map(|(item, each)| {
        tally(item, f64::from(each) * f64::from(times), How::Cut, remark.clone(), Stem::default())
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

fn size(said: &str, worked: &Worked) -> Result<Size, String> {
    brief::pole(said, Some(&worked.brief.body))
}

fn pieces(said: &str) -> Result<Vec<(Item, u32)>, Refused> {
    let mut pieces: Vec<(Item, u32)> = Vec::new();
    for part in said.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let (count, name) = match part.split_once(' ') {
            Some((count, name)) if count.starts_with(|c: char| c.is_ascii_digit()) => (count, name),
            _ => ("1", part),
        };
        let each = whole("into", count, 1..=MOST_PIECES)?;
        let item = item(name.trim())?;
        if !item.is_pole() || item == Item::Pole {
            return refuse("into", format!("{item} is not cut from a pole; 2 rafters, 1 brace would do"));
        }
        match pieces.iter_mut().find(|(known, _)| *known == item) {
            Some((_, n)) => *n = n.saturating_add(each).min(MOST_PIECES),
            None => pieces.push((item, each)),
        }
    }
    if pieces.is_empty() || pieces.len() > MOST_KINDS {
        return refuse("into", "say the pieces of one pole: 2 rafters, 1 brace");
    }
    accept::bounded("into", said, accept::LONGEST_TEXT)?;
    Ok(pieces)
}

/// The item of a piece by its name: `king post`, `king posts`. Braces of walls
/// and of slopes are one item.
fn item(name: &str) -> Result<Item, Refused> {
    let one = name.strip_suffix('s').unwrap_or(name);
    Item::said(if one.ends_with(" brace") { "brace" } else { name })
        .or_else(|e| refuse("into", e.to_string()))
}

/// The least that a piece of an item is long, and thick.
fn least(worked: &Worked, item: Item) -> Size {
    let needs = STAGES.iter().flat_map(|stage| (stage.needs)(worked)).filter(|need| need.item == item);
    let sizes = needs.filter_map(|need| Some(Size { length_m: need.length_m?, d_m: need.d_m? }));
    let less = |a: Size, b: Size| Size { length_m: a.length_m.min(b.length_m), d_m: a.d_m.min(b.d_m) };
    sizes.reduce(less).unwrap_or(Size { length_m: 0.0, d_m: 0.0 })
}
