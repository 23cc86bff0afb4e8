//! The nine stages, a file each. Tolerances, counts and cautions are common
//! practice unless a source is named.

pub mod beams;
pub mod cap;
pub mod centre_mark;
pub mod handing_over;
pub mod posts;
pub mod ridge;
pub mod roof_frame;
pub mod set_out;
pub mod thatch;

use super::findings::Findings;
use super::readings::Readings;
use super::stage::Step;
use super::worked::Worked;

/// How level and how plumb heads and beams should be, m.
const LEVEL_M: f64 = 0.010;

/// The six distances between four corners, with what people call them.
const SIX: [(&str, &str); 6] = [
    ("ab", "a-b side"),
    ("bc", "b-c end"),
    ("cd", "c-d side"),
    ("da", "d-a end"),
    ("ac", "a-c across"),
    ("bd", "b-d across"),
];

/// For a stage whose readings speak for themselves.
fn nothing(_: &Worked, _: &Readings) -> Findings {
    Findings::default()
}

const fn step(does: &'static str, why: &'static str) -> Step {
    Step { does, why }
}
