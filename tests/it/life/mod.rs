//! A house from its start to its handing over.

mod by_commands;
mod by_keys;
mod killed;
mod storm;
