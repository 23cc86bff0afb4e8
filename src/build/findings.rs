//! What follows from a stage's readings taken together.

use super::stage::Point;
use crate::reckon::net::Corner;
use crate::reckon::pegs::PegMove;
use crate::reckon::{plumb, square};

/// What a stage makes of its readings.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    /// Points nobody reads: they are worked out.
    pub derived: Vec<Derived>,
    /// Points left unread whose value follows from others.
    pub inferred: Vec<Inferred>,
    /// Words beside points: why a reading is suspected.
    pub remarks: Vec<(String, String)>,
    /// What stands against signing.
    pub bars: Vec<String>,
    /// What the builder is told, sentence by sentence.
    pub told: Vec<String>,
    /// What to do next, where the findings know better than the list.
    pub next: Option<String>,
    /// The four pegs, where the readings settle them.
    pub set_out: Option<SetOut>,
    /// How the posts lean, where it is known.
    pub plumb: Option<plumb::Out>,
}

/// A point that is worked out, with its value where the readings allow.
#[derive(Debug, Clone)]
pub struct Derived {
    /// The point.
    pub point: Point,
    /// Its value.
    pub value: Option<f64>,
}

/// An unread point whose value follows from others.
#[derive(Debug, Clone)]
pub struct Inferred {
    /// The point's id.
    pub point: String,
    /// Its value.
    pub value: f64,
    /// From what.
    pub why: &'static str,
}

/// The four pegs as read.
#[derive(Debug, Clone)]
pub struct SetOut {
    /// All that least squares says of them.
    pub square: Box<square::Found>,
    /// The pegs that stay.
    pub kept: Vec<Corner>,
    /// The pegs that move; none while a slip is suspected.
    pub moves: Vec<PegMove>,
    /// Whether the readings agree well enough for a peg to be moved on their
    /// word.
    pub firm: bool,
}
