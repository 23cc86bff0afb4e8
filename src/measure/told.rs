//! Lengths told the way they are called out.

use std::fmt;

use super::{Body, Family, Fraction, Metres, Unit};

/// A length told in somebody's body parts: the nearest sixteenth, and what is
/// left over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InParts {
    /// How many, to the nearest sixteenth.
    pub count: Fraction,
    /// Of which part.
    pub unit: Unit,
    /// The length less those parts, in metres: within 1/32 of the part.
    pub left_over_m: f64,
}

/// Shows the parts, and what is left over to the millimetre: `2 1/2 sp + 3 mm`.
impl fmt::Display for InParts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let left_over = whole_millimetres(self.left_over_m);
        match left_over {
            0 => write!(f, "{} {}", self.count, self.unit),
            _ if self.count.is_nothing() => write!(f, "{left_over} mm"),
            _ => {
                let sign = if left_over < 0 { '-' } else { '+' };
                write!(f, "{} {} {sign} {} mm", self.count, self.unit, left_over.unsigned_abs())
            }
        }
    }
}

/// Tells a length in somebody's spans.
pub fn in_spans(length: Metres, body: &Body) -> InParts {
    parts(length, Unit::Span, body.span())
}

/// Tells a length in one of somebody's body parts; none if that was not
/// measured or is no part of a body.
pub fn in_parts(length: Metres, unit: Unit, body: &Body) -> Option<InParts> {
    body.part(unit).map(|part| parts(length, unit, part))
}

fn parts(length: Metres, unit: Unit, part: Metres) -> InParts {
    let count = Fraction::nearest_sixteenth(length.get() / part.get());
    InParts { count, unit, left_over_m: length.get() - count.value() * part.get() }
}

/// Tells a length in the unit it is called out in: in metres, centimetres and
/// millimetres to the millimetre, in feet and inches to 1/16 in, in body parts
/// to 1/16 and what is left over; in metres where the part was not measured.
pub fn in_unit(length: Metres, unit: Unit, body: Option<&Body>) -> String {
    match unit {
        Unit::Centimetre => format!("{:.1} cm", length.get() * 100.0),
        Unit::Millimetre => format!("{} mm", whole_millimetres(length.get())),
        _ if unit.family() == Family::Feet => in_feet(length),
        _ => body
            .and_then(|body| in_parts(length, unit, body))
            .map_or_else(|| length.to_string(), |parts| parts.to_string()),
    }
}

/// Tells a length in feet and inches to 1/16 in: `5 ft 4 1/2 in`.
pub fn in_feet(length: Metres) -> String {
    let inches = Fraction::nearest_sixteenth(length.get() * 10_000.0 / 254.0);
    let (feet, inches) = inches.divided_by(12);
    match (feet, inches.is_nothing()) {
        (0, _) => format!("{inches} in"),
        (_, true) => format!("{feet} ft"),
        (_, false) => format!("{feet} ft {inches} in"),
    }
}

/// Tells a number of metres to the millimetre, a minus before it if it is less
/// than 0: `3.440 m`.
pub fn metres(metres: f64) -> String {
    format!("{:.3} m", whole_millimetres(metres) as f64 / 1000.0)
}

/// Tells a difference in whole millimetres with its sign: `+82 mm`, `-1 mm`,
/// `0 mm`.
pub fn signed_millimetres(difference_m: f64) -> String {
    match whole_millimetres(difference_m) {
        0 => "0 mm".to_owned(),
        millimetres => format!("{millimetres:+} mm"),
    }
}

/// The nearest whole number of millimetres: an integer, which has no -0.
fn whole_millimetres(metres: f64) -> i64 {
    (metres * 1000.0).round() as i64
}
