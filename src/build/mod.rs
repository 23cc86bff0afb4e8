//! A house as the builder knows it: its brief, its nine stages, and what the
//! entries written so far make of them. No file, no clock.

pub mod brief;
pub mod entry;
