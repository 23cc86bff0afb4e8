//! The computations: numbers in, numbers out.
//!
//! Each topic is a file with an `In`, an `Out` and a `run`. [`TOPICS`] lists
//! them all; the command line, the screens and the stages call the same
//! functions. Nothing here reads a clock, a file or a terminal.

pub mod fields;
pub mod net;
pub mod pegs;
pub mod plumb;
pub mod square;

use serde::Serialize;
use serde_json::Value;

pub use fields::{Fields, Refusal, Unread};

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
];
