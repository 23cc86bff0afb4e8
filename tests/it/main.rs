//! The whole program, driven from outside.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test that cannot go on stops")]

mod commands;
mod desk;
mod layers;
mod life;
mod nobody;
mod outside;
mod screens;
mod seat;
mod store;
