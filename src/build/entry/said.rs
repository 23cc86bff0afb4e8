//! What a house's entries say: points and readings, measures, tallies and
//! sign-offs.

use std::fmt;
use std::str::FromStr;

use uuid::Uuid;

use super::words::{How, Item, UnknownWord};
use crate::measure::{self, Body, BodyError, Metres};

/// A point by its stage and its name there: `set-out/ab`, `posts/A/depth`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PointName {
    /// The stage's id.
    pub stage: String,
    /// The point's id within the stage.
    pub point: String,
}

impl PointName {
    /// A point's name.
    #[must_use]
    pub fn new(stage: &str, point: &str) -> Self {
        Self { stage: stage.to_owned(), point: point.to_owned() }
    }
}

impl fmt::Display for PointName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.stage, self.point)
    }
}

impl FromStr for PointName {
    type Err = UnknownWord;
    fn from_str(text: &str) -> Result<Self, UnknownWord> {
        match text.split_once('/') {
            Some((stage, point)) if !stage.is_empty() && !point.is_empty() => Ok(Self::new(stage, point)),
            _ => Err(UnknownWord {
                said: text.to_owned(),
                known: "STAGE/POINT, such as set-out/ab".to_owned(),
            }),
        }
    }
}

/// The parts of a person's measure, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// From fingertip to fingertip, arms spread.
    pub span_m: f64,
    /// Half of it, as measured.
    pub half_span_m: Option<f64>,
    /// Elbow to fingertip.
    pub forearm_m: Option<f64>,
    /// Thumb to little finger, spread.
    pub hand_m: Option<f64>,
    /// Across the palm.
    pub breadth_m: Option<f64>,
    /// Across a finger.
    pub finger_m: Option<f64>,
}

impl Parts {
    /// The parts of a measure.
    #[must_use]
    pub fn of(body: &Body) -> Self {
        let own = body.parts();
        let metres = |m: Option<Metres>| m.map(Metres::get);
        Self {
            span_m: body.span().get(),
            half_span_m: metres(own.half_span),
            forearm_m: metres(own.forearm),
            hand_m: metres(own.hand),
            breadth_m: metres(own.breadth),
            finger_m: metres(own.finger),
        }
    }

    /// The measure of a person with these parts.
    ///
    /// # Errors
    /// A name, a span or a part that will not do.
    pub fn body(&self, name: &str) -> Result<Body, BodyError> {
        let metres = |m: Option<f64>| m.and_then(|m| Metres::new(m).ok());
        let own = measure::Parts {
            half_span: metres(self.half_span_m),
            forearm: metres(self.forearm_m),
            hand: metres(self.hand_m),
            breadth: metres(self.breadth_m),
            finger: metres(self.finger_m),
        };
        // What is no length at all is refused as too long a span.
        Body::new(name, Metres::new(self.span_m).unwrap_or(Metres::MOST), own)
    }
}

/// A value for a point.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The point.
    pub point: PointName,
    /// As it was called out.
    pub said: String,
    /// What was understood.
    pub value: Value,
    /// Whether it is a repeat, to stand beside the earlier one.
    pub again: bool,
    /// With what it was read; may be empty.
    pub with: String,
    /// The version of the brief it was judged by.
    pub brief: Uuid,
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// Metres.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// A count.
    Count(f64),
    /// Yes or no.
    YesNo(bool),
    /// First less second, in metres; both where both were called out.
    Pair {
        /// The first length, m.
        first_m: Option<f64>,
        /// The second length, m.
        second_m: Option<f64>,
        /// First less second, m.
        difference_m: f64,
    },
}

impl Value {
    /// The number judged: metres, degrees, a count, or 1 and 0 for yes and no.
    #[must_use]
    pub const fn number(&self) -> f64 {
        match *self {
            Self::Length(n) | Self::Angle(n) | Self::Count(n) => n,
            Self::Pair { difference_m, .. } => difference_m,
            Self::YesNo(yes) => {
                if yes {
                    1.0
                } else {
                    0.0
                }
            }
        }
    }
}

/// A movement of an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// What.
    pub item: Item,
    /// How many; metres of cord, m³ of stone.
    pub count: f64,
    /// How it moved.
    pub how: How,
    /// The house it went to, where it was given to another.
    pub to: Option<Uuid>,
    /// Anything else worth telling; may be empty.
    pub remark: String,
    /// Of what poles.
    pub of: Stem,
}

/// Poles all alike; what is not known is none.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stem {
    /// The kind of tree.
    pub tree: Option<String>,
    /// How long each is, m.
    pub length_m: Option<f64>,
    /// How thick each is at its thin end, m.
    pub top_d_m: Option<f64>,
    /// Why they were cut past what permits allow; only where they were.
    pub past_permit: Option<String>,
}

/// A person's word that a stage is right.
#[derive(Debug, Clone, PartialEq)]
pub struct SignOff {
    /// The stage's id.
    pub stage: String,
    /// Why it was signed with points out or unread; or empty.
    pub remark: String,
    /// The readings it rested on.
    pub rested_on: Vec<Uuid>,
    /// The version of the brief it rested on.
    pub brief: Uuid,
}
