//! The screen: one model, one vocabulary of messages, a pure `update` that
//! returns what is to be done, and views that only draw.
//!
//! ```text
//! keys, mouse, resize ─ input thread ──┐
//! TERM, HUP, CONT ───── signal thread ─┼─► Msg ─► update ─► Vec<Effect>
//! answers ───────────── book thread ───┘             │
//!                                          view(&Model) → cells, hits, cursor
//! ```

pub mod form;
pub mod keys;
pub mod look;
pub mod model;
pub mod msg;
pub mod pages;
pub mod parts;
pub mod pen;
mod runtime;
pub mod stores;
mod term;
pub mod update;
pub mod view;
pub mod views;

pub use runtime::run;

#[cfg(test)]
mod tests;
