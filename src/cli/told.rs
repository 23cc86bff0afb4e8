//! Lengths told in metres and spans, and values in JSON.

use serde_json::Value;

use crate::build::entry::Item;
use crate::build::stage::PointKind;
use crate::build::worked::Worked;
use crate::measure::{Metres, told};

/// A house's plan in a few words: `4 sp x 3 sp, Oru's span 1.742 m`.
pub(super) fn plan(worked: &Worked) -> String {
    let brief = &worked.brief;
    let spans = |m: f64| {
        Metres::new(m).map_or_else(|_| String::new(), |m| told::in_spans(m, &brief.body).to_string())
    };
    format!(
        "{} x {}, {}'s span {}",
        spans(brief.length_m),
        spans(brief.width_m),
        brief.body.name(),
        brief.body.span()
    )
}

/// A point's value in JSON: metres and degrees as they are, whole numbers
/// whole, yes and no as true and false.
pub(super) fn json(kind: PointKind, value: f64) -> Value {
    match kind {
        PointKind::YesNo => (value >= 1.0).into(),
        PointKind::Count => whole(value),
        _ => value.into(),
    }
}

/// How many of an item, in JSON: whole for pieces.
pub(super) fn count(item: Item, count: f64) -> Value {
    if item.is_whole() { whole(count) } else { count.into() }
}

/// A number without a point where it is whole.
pub(super) fn whole(number: f64) -> Value {
    // Counts stay far below 2^53; what is not whole keeps its point.
    if number.fract() == 0.0 && number.abs() < 9e15 { (number as i64).into() } else { number.into() }
}
