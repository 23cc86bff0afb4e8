//! A tally: words in, a movement of an item out.

use std::ops::RangeInclusive;

use uuid::Uuid;

use super::{LONGEST_TEXT, Refused, Voice, bounded, called, refuse, understand};
use crate::build::brief::THATCHES;
use crate::build::draft::StemSaid;
use crate::build::entry::{How, Item, Stem, Tally, UnknownWord, What};
use crate::build::heap::Heap;
use crate::build::house::House;
use crate::build::kinds;
use crate::build::pieces::{Measured, named};
use crate::build::stage::PointKind;
use crate::build::telling::of_item;

/// The most of an item that one tally tells.
pub const MOST: f64 = 1e6;

/// How long a pole may be, m.
pub const LENGTH_M: RangeInclusive<f64> = 0.1..=50.0;
/// How thick a pole may be at its thin end, m.
pub const THICK_M: RangeInclusive<f64> = 0.01..=2.0;

/// A movement of an item.
///
/// # Errors
/// An unknown item or way, a count that is none, more gone than there is, and
/// a house given where none belongs or missing where one does.
pub fn tally(
    house: &House,
    item: &str,
    count: &str,
    how: &str,
    to: Option<Uuid>,
    remark: &str,
    said: &StemSaid,
) -> Result<What, Refused> {
    let item = Item::said(item).or_else(|e| refuse("item", e.to_string()))?;
    let how: How = how.parse().or_else(|e: UnknownWord| refuse("as", e.to_string()))?;
    let count = amount(item, count)?;
    bounded("remark", remark, LONGEST_TEXT)?;
    match (how, to) {
        (How::Moved, None) => return refuse("to", "say which house it goes to"),
        (How::Moved, Some(to)) if to == house.id => {
            return refuse("to", "that is the house it comes from; name another");
        }
        (How::Moved, Some(_)) | (_, None) => {}
        (_, Some(_)) => return refuse("to", "only what is moved goes to another house; leave it out"),
    }
    let of = stem(house, item, how, said)?;
    let tally = Tally { item, count, how, to, remark: remark.trim().to_owned(), of };
    let heap = house.kinds.heap(&house.heaps, &tally);
    if matches!(how, How::Moved | How::Used | How::Spoiled | How::Lost | How::TornOff)
        && heap.after(&tally, house.id).lacks_more_than(&heap)
    {
        return refuse("count", overdrawn(house, &tally, &heap));
    }
    match house.measured.get(&item) {
        Some(measured) if how == How::Moved => Ok(What::Tally(of_known_size(tally, measured)?)),
        _ => Ok(What::Tally(tally)),
    }
}

/// What is moved, with its size, where that was not said.
fn of_known_size(tally: Tally, measured: &Measured) -> Result<Tally, Refused> {
    let of = measured.given(&tally.of).or_else(|there| {
        let item = named(&tally.item.word().replace('-', " "), 2);
        refuse("length", format!("{item} of several sizes lie here ({there}); say which: length, thick"))
    })?;
    Ok(Tally { of, ..tally })
}

/// That more would go than there is, and how the heap came to be as it is.
fn overdrawn(house: &House, tally: &Tally, heap: &Heap) -> String {
    let today = house.last.date_naive();
    let last = house.moves.get(&tally.item).map(|moves| moves.told(today)).unwrap_or_default();
    let last = if last.is_empty() { "nothing came yet".to_owned() } else { format!("last: {last}") };
    format!(
        "{} {}, but {} on hand ({} used, {} spoiled, {} lost so far; {last}); tally what came first",
        of_item(tally.item, tally.count),
        tally.how,
        told(heap.on_hand),
        told(heap.used),
        told(heap.spoiled),
        told(heap.lost)
    )
}

/// Of what poles.
fn stem(house: &House, item: Item, how: How, said: &StemSaid) -> Result<Stem, Refused> {
    if kinds::has_kinds(item) {
        return panels(house, item, how, said);
    }
    let all = [("tree", &said.tree), ("length", &said.length), ("thick", &said.thick), ("why", &said.why)];
    if !item.is_pole()
        && let Some((field, _)) = all.iter().find(|(_, text)| !text.trim().is_empty())
    {
        return refuse(field, format!("{item} is no pole; leave it out"));
    }
    if how != How::Cut && !said.why.trim().is_empty() {
        return refuse("why", "only what is cut can be past a permit; leave it out");
    }
    if !said.why.trim().is_empty() && said.tree.trim().is_empty() {
        return refuse("why", "say which tree was cut past its permit");
    }
    bounded("why", &said.why, LONGEST_TEXT)?;
    let voice = Voice::of(house);
    let length = |field, text: &str, range: RangeInclusive<f64>| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let metres = match understand(PointKind::Length, text, &voice) {
            Ok(understood) => understood.value.number(),
            Err(e) => return refuse(field, e.pointed(text)),
        };
        if !range.contains(&metres) {
            let (least, most) = (range.start(), range.end());
            return refuse(field, format!("{metres:.3} m is out of range; {least} to {most} m would do"));
        }
        Ok(Some(metres))
    };
    Ok(Stem {
        tree: tree(&said.tree)?,
        length_m: length("length", &said.length, LENGTH_M)?,
        top_d_m: length("thick", &said.thick, THICK_M)?,
        past_permit: None,
    })
}

/// Of what kind panels are. What goes to another house takes its kind with it.
fn panels(house: &House, item: Item, how: How, said: &StemSaid) -> Result<Stem, Refused> {
    let others = [("length", &said.length), ("thick", &said.thick), ("why", &said.why)];
    if let Some((field, _)) = others.iter().find(|(_, text)| !text.trim().is_empty()) {
        return refuse(field, format!("{item} is no pole; leave it out"));
    }
    let kind = tree(&said.tree)?;
    if let Some(kind) = kind.as_ref().filter(|kind| kinds::known(kind).is_none()) {
        let known = THATCHES.iter().map(|kind| kind.id).collect::<Vec<_>>().join(", ");
        return refuse("kind", format!("\"{kind}\" is no kind of panel; the kinds are {known}"));
    }
    let its_own = || (how == How::Moved).then(|| house.kinds.now().to_owned());
    Ok(Stem { tree: kind.or_else(its_own), ..Stem::default() })
}

/// A kind of tree as the book knows it: in small letters, with one blank
/// between words; none where nothing was said.
///
/// # Errors
/// A name that will not do.
pub fn tree(said: &str) -> Result<Option<String>, Refused> {
    if said.trim().is_empty() {
        return Ok(None);
    }
    called("tree", said.trim())?;
    Ok(Some(said.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()))
}

/// How many of an item: whole for pieces, with a point for cord and stone.
pub(super) fn amount(item: Item, text: &str) -> Result<f64, Refused> {
    let text = text.trim();
    let plain = text.strip_suffix(item.unit()).unwrap_or(text).trim_end().replace(',', ".");
    // A comma among whole pieces would part thousands.
    if item.is_whole() && text.contains(',') {
        return refuse("count", format!("{item} is counted in whole pieces; say {text} without the comma"));
    }
    let usable =
        !plain.is_empty() && plain.len() <= 20 && plain.chars().all(|c| c.is_ascii_digit() || c == '.');
    let count = plain.parse::<f64>().ok().filter(|n| usable && n.is_finite());
    let Some(count) = count else {
        return refuse("count", format!("\"{text}\" is no count; a number such as 40 would do"));
    };
    if item.is_whole() && count.fract() != 0.0 {
        return refuse("count", format!("{item} is counted in whole pieces; {text} is not"));
    }
    if count <= 0.0 || count > MOST {
        return refuse("count", format!("{text} is out of range; more than 0 and up to {MOST} would do"));
    }
    Ok(count)
}

/// A count without needless zeros.
#[must_use]
pub fn told(count: f64) -> String {
    match count {
        _ if count.fract() == 0.0 => format!("{count:.0}"),
        _ if count.abs() < 1.0 => format!("{count:.2}"),
        _ => format!("{count:.1}"),
    }
}
