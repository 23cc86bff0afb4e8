//! Widgets on plain data. Each draws into an area of any size.

mod elevation;
#[cfg(test)]
mod gallery;
pub mod figure;
mod paper;
mod slope;

pub use elevation::{Elevation, common_scale};
pub use figure::{Drawing, min_size};
pub use slope::Slopes;
