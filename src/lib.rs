//! A notebook for the lead builder of pole, cord and thatch houses.
//!
//! Six modules lean on one another in one direction only:
//!
//! ```text
//! measure ← reckon ← build ← book ← screen ← cli
//! ```
//!
//! * [`measure`]: lengths, and how people say them;
//! * [`reckon`]: the computations, numbers in and numbers out;
//! * [`build`]: a house as the builder knows it, folded from its entries;
//! * [`book`]: the SQLite file that keeps the entries;
//! * [`screen`] and [`cli`]: the two ways to use it all.
//!
//! Nothing in `measure`, `reckon` and `build` reads a clock, a file or a
//! terminal: time, text and chance are handed in.

pub mod book;
pub mod build;
pub mod cli;
pub mod measure;
pub mod reckon;
pub mod screen;
