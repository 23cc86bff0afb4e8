//! What is to be read again, in the order one walks it: for `house`, and for
//! `resume` after a storm.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use crate::book::Book;
use crate::build::House;
use crate::build::storm::ToRead;

/// The list of a house, a point a line; nothing where nothing is to be read
/// again.
pub(super) fn lines(house: &House) -> Vec<String> {
    let mut list = house.read_again();
    let with_others: Vec<_> = list.iter().filter_map(|p| p.once_with.clone()).collect();
    list.retain(|p| p.once_with.is_none());
    if list.is_empty() {
        return Vec::new();
    }
    let points = if list.len() == 1 { "point" } else { "points" };
    let mut lines = vec![format!("{}: {} {points} to read again, in this order:", house.name, list.len())];
    let says = |p: &ToRead| match with_others.contains(&p.point) {
        true => format!("{}, for the beams too", p.says),
        false => p.says.clone(),
    };
    let rows: Vec<Vec<String>> =
        list.iter().map(|p| vec!["[ ]".to_owned(), p.point.to_string(), says(p)]).collect();
    lines.extend(lined_up("  ", &[Side::Left; 3], &rows));
    lines
}

/// The same in JSON.
pub(super) fn json(house: &House) -> Value {
    let each = house.read_again().into_iter();
    let told = |p: ToRead| {
        let once_with = p.once_with.map(|point| point.to_string());
        json!({ "point": p.point.to_string(), "name": p.says, "why": p.why, "once_with": once_with })
    };
    each.map(told).collect()
}

/// The lists of one house, or of all that stand.
pub(super) fn of(book: &Book, house: Option<uuid::Uuid>) -> Result<(Value, Vec<String>), CliError> {
    let ids = match house {
        Some(id) => vec![id],
        None => book.houses(None, u32::MAX)?.into_iter().map(|line| line.id).collect(),
    };
    let (mut all, mut told) = (Vec::new(), Vec::new());
    for id in ids {
        let house = House::of(id, &book.entries_of(Some(id))?)?;
        if !house.read_again().is_empty() {
            all.push(json!({ "house": house.name, "points": json(&house) }));
            told.extend(lines(&house));
        }
    }
    Ok((json!({ "read_again": all }), told))
}
