//! What is to be read again, for `house` and `resume`.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use crate::build::House;

/// The list in walking order, under a heading; nothing where nothing is to be
/// read again.
pub(super) fn lines(heading: &str, house: &House) -> Vec<String> {
    let list = house.read_again();
    if list.is_empty() {
        return Vec::new();
    }
    let rows: Vec<Vec<String>> =
        list.iter().map(|r| vec![r.point.to_string(), r.says.clone(), r.why.clone()]).collect();
    let mut lines = vec![format!("{heading}, in this order:")];
    lines.extend(lined_up("  ", &[Side::Left; 3], &rows));
    lines
}

/// The list in JSON.
pub(super) fn json(house: &House) -> Value {
    let one = |r: &crate::build::storm::ToRead| json!({ "point": r.point.to_string(), "name": r.says, "why": r.why });
    house.read_again().iter().map(one).collect()
}
