//! A house as the builder knows it: its brief, its nine stages, and what the
//! entries written so far make of them. No file, no clock.
//!
//! [`House::of`] is the one fold: entries in, the house now out. The stages
//! are data ([`stage::STAGES`]), a file each under `stages/`. What may be
//! written next is decided in [`accept`].

pub mod accept;
pub mod bands;
pub mod brief;
pub mod days;
pub mod doubt;
pub mod draft;
pub mod entry;
pub mod field;
pub mod figure;
pub mod findings;
pub mod glance;
pub mod heap;
pub mod held;
pub mod holds;
pub mod house;
pub mod kinds;
pub mod next;
pub mod permit;
pub mod pieces;
pub mod readings;
pub mod record;
pub mod roofing;
pub mod spoil;
pub mod stage;
pub mod stages;
pub mod stores;
pub mod storm;
pub mod telling;
pub mod tie_down;
pub mod together;
pub mod torn;
#[cfg(test)]
pub(crate) mod trial;
mod untold;
pub mod verdict;
pub mod weave;
pub mod worked;

#[cfg(test)]
mod tests;

pub use entry::{Entry, Moment};
pub use house::House;
