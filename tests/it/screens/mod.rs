//! The screens, driven by keys.

mod terminal;
mod trouble;
