//! The computations: numbers in, numbers out.
//!
//! Each topic is a file with an `In`, an `Out` and a `run`. [`TOPICS`] lists
//! them all; the command line, the screens and the stages call the same
//! functions. Nothing here reads a clock, a file or a terminal.

pub mod carry;
pub mod cord;
pub mod count;
pub mod days;
#[cfg(test)]
mod ends_of_ranges;
pub mod fields;
pub mod finish;
pub mod footing;
pub mod gust;
pub mod legs;
pub mod lift;
pub mod member;
pub mod net;
pub mod order;

pub mod parse;
pub mod pegs;
pub mod plumb;
pub mod proof;
pub mod rafters;
pub mod roof;
pub mod setout;
pub mod square;
pub mod thatch;
pub mod timber;
pub mod tolerance;
#[cfg(test)]
mod trial;
#[cfg(test)]
mod twisted;

use serde::Serialize;
use serde_json::Value;

pub use fields::{Fields, Refusal};
pub use parse::{Unread, parse};

/// Standard acceleration of free fall, in m/s² (BIPM, SI Brochure).
pub const GRAVITY_M_S2: f64 = 9.80665;

/// A computation by name, as `spanwright reckon TOPIC` offers it.
pub struct Topic {
    /// The name on the command line.
    pub name: &'static str,
    /// What it works out, in one line.
    pub says: &'static str,
    /// From a JSON object to a JSON object.
    pub run: fn(Value) -> Result<Value, Refusal>,
}

/// Reads a topic's input, works it out and writes the answer down.
///
/// # Errors
/// What `read` or `run` refuse; and an answer that is not finite, which the
/// ranges of the input should never let happen.
fn answer<I, O: Serialize>(
    input: Value,
    read: fn(Value) -> Result<I, Refusal>,
    run: fn(&I) -> Result<O, Refusal>,
) -> Result<Value, Refusal> {
    let out = run(&read(input)?)?;
    // A number that is not finite has no place in JSON and would turn to null;
    // topics therefore refuse it where it arises.
    serde_json::to_value(out).map_err(|e| Refusal::at("", e.to_string()))
}

/// Every topic, in the order the list is shown.
pub const TOPICS: &[Topic] = &[
    Topic {
        name: "square",
        says: "four pegs from the distances between them: where they are, which reading is in doubt",
        run: |input| answer(input, square::In::read, square::run),
    },
    Topic {
        name: "plumb",
        says: "how the posts lean, from spacings at base and head and from plumb bobs",
        run: |input| answer(input, plumb::In::read, plumb::run),
    },
    Topic {
        name: "setout",
        says: "the rope kit and the four corners of a rectangle from its centre mark",
        run: |input| answer(input, setout::In::read, setout::run),
    },
    Topic {
        name: "rafters",
        says: "the rafters' places along the ridge by halving, and the order of work",
        run: |input| answer(input, rafters::In::read, rafters::run),
    },
    Topic {
        name: "roof",
        says: "pitch, rafter lengths and areas of a roof of two equal slopes",
        run: |input| answer(input, roof::In::read, roof::run),
    },
    Topic {
        name: "legs",
        says: "where the ridge stands over two rafter legs, and how far to move it",
        run: |input| answer(input, legs::In::read, legs::run),
    },
    Topic {
        name: "thatch",
        says: "rows, panels, caps and pins for a thatched roof",
        run: |input| answer(input, thatch::In::read, thatch::run),
    },
    Topic {
        name: "cord",
        says: "the cord that lashings of two crossed poles take",
        run: |input| answer(input, cord::In::read, cord::run),
    },
    Topic {
        name: "timber",
        says: "which poles to cut into which pieces, so that the fewest are used",
        run: |input| answer(input, timber::In::read, timber::run),
    },
    Topic {
        name: "member",
        says: "a round pole as a beam, a column or both",
        run: |input| answer(input, member::In::read, member::run),
    },
    Topic {
        name: "gust",
        says: "which tie of a roof gives way first in a gust, and when",
        run: |input| answer(input, gust::In::read, gust::run),
    },
    Topic {
        name: "footing",
        says: "how deep a post stands that is held by the ground alone",
        run: |input| answer(input, footing::In::read, footing::run),
    },
    Topic {
        name: "lift",
        says: "the weight on crossed lifting poles, and how many people it asks for",
        run: |input| answer(input, lift::In::read, lift::run),
    },
    Topic {
        name: "carry",
        says: "what one person may lift, again and again",
        run: |input| answer(input, carry::In::read, carry::run),
    },
    Topic {
        name: "proof",
        says: "what cord or a joint may be counted on for, from tests to breaking",
        run: |input| answer(input, proof::In::read, proof::run),
    },
    Topic {
        name: "days",
        says: "which task on which day: the shortest plan that the crews allow",
        run: |input| answer(input, days::In::read, days::run),
    },
    Topic {
        name: "finish",
        says: "when the work may be done, and which tasks it hangs on",
        run: |input| answer(input, finish::In::read, finish::run),
    },
];
