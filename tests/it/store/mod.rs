//! The book's file: opening, keeping, asking, and what becomes of it when
//! machines and people do their worst.

#![expect(clippy::expect_used, clippy::panic, reason = "a test that cannot go on says why and ends")]

mod another;
mod asking;
mod glances;
mod grown_apart;
mod heaps;
mod killed;
mod merging;
mod only_read;
mod opening;
mod refused;
mod round_trip;
mod sharing;
mod shell;
pub mod told;
mod verified;
