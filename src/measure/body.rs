//! A person's measure: the span of the arms and its parts.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::pieces::is_unseen;
use super::{Metres, Unit};

/// Why a measure is not taken; each begins with the field.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BodyError {
    /// Nobody can be called that.
    #[error(
        "name: must have 1 to {} characters, all of them seen, no space at either end",
        Body::LONGEST_NAME
    )]
    Name,
    /// No one's arms reach so far, or so little.
    #[error("span: {0} is not an arm span; one is from 0.5 to 3 m")]
    Span(Metres),
    /// A part as long as the whole, or too small to measure with.
    #[error(
        "{field}: {length} is not a part of a span of {span}; a part is shorter than the span, from 5 mm"
    )]
    Part {
        /// The part.
        field: &'static str,
        /// Its length as given.
        length: Metres,
        /// The span given with it.
        span: Metres,
    },
}

/// The parts of a span, each only if it was measured.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Parts {
    /// From the middle of the chest to a fingertip.
    pub half_span: Option<Metres>,
    /// From the elbow to a fingertip.
    pub forearm: Option<Metres>,
    /// From thumb to little finger, the hand spread.
    pub hand: Option<Metres>,
    /// Across the palm.
    pub breadth: Option<Metres>,
    /// Across a finger.
    pub finger: Option<Metres>,
}

/// Whose measure it is, and how long.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Unchecked", into = "Unchecked")]
pub struct Body {
    name: String,
    span: Metres,
    parts: Parts,
}

impl Body {
    /// The most characters of a name.
    pub const LONGEST_NAME: usize = 40;
    /// The shortest and longest arm span, in metres.
    const SPAN_M: (f64, f64) = (0.5, 3.0);
    /// The least part that can be told by, in metres.
    const LEAST_PART_M: f64 = 0.005;

    /// Takes a person's measure.
    ///
    /// # Errors
    /// Refuses a name that is empty, over 40 characters or not all seen, a span
    /// that is not from 0.5 to 3 m, and a part that is under 5 mm or not
    /// shorter than the span.
    pub fn new(name: impl Into<String>, span: Metres, parts: Parts) -> Result<Self, BodyError> {
        let name = name.into();
        let count = name.chars().count();
        let bounded = (1..=Self::LONGEST_NAME).contains(&count);
        if !bounded || name.trim() != name || name.contains(is_unseen) {
            return Err(BodyError::Name);
        }
        let (least, most) = Self::SPAN_M;
        if !(least..=most).contains(&span.get()) {
            return Err(BodyError::Span(span));
        }
        let fields = [
            ("half_span", parts.half_span),
            ("forearm", parts.forearm),
            ("hand", parts.hand),
            ("breadth", parts.breadth),
            ("finger", parts.finger),
        ];
        for (field, length) in fields {
            if let Some(length) = length.filter(|part| *part >= span || part.get() < Self::LEAST_PART_M) {
                return Err(BodyError::Part { field, length, span });
            }
        }
        Ok(Self { name, span, parts })
    }

    /// Whose it is.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// From fingertip to fingertip with both arms held out.
    pub const fn span(&self) -> Metres {
        self.span
    }

    /// The parts that were measured.
    pub const fn parts(&self) -> Parts {
        self.parts
    }

    /// How long one of the unit is on this body; none if it was not measured
    /// or is no part of a body.
    pub const fn part(&self, unit: Unit) -> Option<Metres> {
        match unit {
            Unit::Span => Some(self.span),
            Unit::HalfSpan => self.parts.half_span,
            Unit::Forearm => self.parts.forearm,
            Unit::Hand => self.parts.hand,
            Unit::Breadth => self.parts.breadth,
            Unit::Finger => self.parts.finger,
            _ => None,
        }
    }
}

/// A measure as it stands in JSON, before it is checked.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Unchecked {
    name: String,
    span: Metres,
    #[serde(default)]
    parts: Parts,
}

impl TryFrom<Unchecked> for Body {
    type Error = BodyError;

    fn try_from(body: Unchecked) -> Result<Self, BodyError> {
        Self::new(body.name, body.span, body.parts)
    }
}

impl From<Body> for Unchecked {
    fn from(body: Body) -> Self {
        Self { name: body.name, span: body.span, parts: body.parts }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metres(metres: f64) -> Metres {
        Metres::new(metres).unwrap()
    }

    fn refused(name: &str, span: f64, parts: Parts) -> String {
        Body::new(name, metres(span), parts).unwrap_err().to_string()
    }

    #[test]
    fn a_part_that_was_not_measured_is_not_guessed() {
        let parts = Parts { hand: Some(metres(0.21)), ..Parts::default() };
        let oru = Body::new("Oru", metres(1.742), parts).unwrap();
        assert_eq!(oru.part(Unit::Span), Some(metres(1.742)));
        assert_eq!(oru.part(Unit::Hand), Some(metres(0.21)));
        assert_eq!(oru.part(Unit::HalfSpan), None);
        assert_eq!(oru.part(Unit::Metre), None);
    }

    #[test]
    fn a_refused_measure_names_the_field() {
        assert!(refused("", 1.7, Parts::default()).starts_with("name: "));
        assert!(refused("a\u{202e}b", 1.7, Parts::default()).starts_with("name: "));
        assert!(refused(" Oru", 1.7, Parts::default()).starts_with("name: "));
        assert!(refused(&"o".repeat(41), 1.7, Parts::default()).starts_with("name: "));
        assert_eq!(
            refused("Oru", 0.4, Parts::default()),
            "span: 0.400 m is not an arm span; one is from 0.5 to 3 m"
        );
        assert!(refused("Oru", 3.1, Parts::default()).starts_with("span: "));
        let whole = Parts { forearm: Some(metres(1.7)), ..Parts::default() };
        assert_eq!(
            refused("Oru", 1.7, whole),
            "forearm: 1.700 m is not a part of a span of 1.700 m; a part is shorter than the span, from 5 mm"
        );
        let nothing = Parts { finger: Some(metres(0.0)), ..Parts::default() };
        assert!(refused("Oru", 1.7, nothing).starts_with("finger: "));
    }

    #[test]
    fn a_measure_read_from_json_is_checked_too() {
        let parts = Parts { half_span: Some(metres(0.871)), ..Parts::default() };
        let oru = Body::new("Oru", metres(1.742), parts).unwrap();
        let json = serde_json::to_string(&oru).unwrap();
        assert_eq!(serde_json::from_str::<Body>(&json).unwrap(), oru);
        let refusal = serde_json::from_str::<Body>(r#"{"name": "Oru", "span": 4}"#).unwrap_err();
        assert!(refusal.to_string().starts_with("span: "), "{refusal}");
    }
}
