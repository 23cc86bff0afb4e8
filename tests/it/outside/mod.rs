//! Checks against what is known outside the project; each says its source.
#![expect(clippy::unwrap_used, clippy::panic, reason = "tests may")]

mod plumb;
mod square;
