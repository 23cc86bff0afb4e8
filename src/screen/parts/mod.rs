//! Widgets on plain data.

pub mod cells;
pub mod elevation;
pub mod figure;
