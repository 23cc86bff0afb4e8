//! The screen.

pub mod look;
pub mod parts;
