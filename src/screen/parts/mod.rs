//! Widgets on plain data. Each draws into an area of any size.

pub mod bole;
pub mod cells;
mod elevation;
pub mod figure;
#[cfg(test)]
mod gallery;
mod paper;
mod scale;
mod slope;
mod spot;

pub use elevation::{Elevation, common_scale};
pub use figure::{Drawing, min_size};
pub use slope::Slopes;
