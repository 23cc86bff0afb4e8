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
/// (`2 rafter, 1 brace`): the poles are used and the pieces cut.
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
    let sum = pieces.iter().map(|(item, n)| f64::from(*n) * least_m(&house.worked, *item)).sum::<f64>();
    if sum > size.length_m + 1e-9 {
        let why = format!("{sum:.2} m of pieces do not come from {:.2} m; say fewer", size.length_m);
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
        let name = name.trim();
        // Braces of walls and of slopes are one item.
        let is_brace = name.trim_end_matches('s').ends_with(" brace");
        let item =
            Item::said(if is_brace { "brace" } else { name }).or_else(|e| refuse("into", e.to_string()))?;
        if !item.is_pole() || item == Item::Pole {
            return refuse("into", format!("{item} is not cut from a pole; 2 rafter, 1 brace would do"));
        }
        match pieces.iter_mut().find(|(known, _)| *known == item) {
            Some((_, n)) => *n = n.saturating_add(each).min(MOST_PIECES),
            None => pieces.push((item, each)),
        }
    }
    if pieces.is_empty() || pieces.len() > MOST_KINDS {
        return refuse("into", "say the pieces of one pole: 2 rafter, 1 brace");
    }
    accept::bounded("into", said, accept::LONGEST_TEXT)?;
    Ok(pieces)
}

/// The least that a piece of an item is long, m.
fn least_m(worked: &Worked, item: Item) -> f64 {
    let needs = STAGES.iter().flat_map(|stage| (stage.needs)(worked)).filter(|need| need.item == item);
    let lengths = needs.filter_map(|need| need.length_m);
    lengths.reduce(f64::min).unwrap_or_default()
}
