//! The commands: all that the screens record and show, for scripts and for
//! people who would rather type.
//!
//! `args` says what may be typed, one file a command does it, `says` is
//! the one way out: standard output, standard error, exit status.

mod again;
mod args;
mod brief;
mod columns;
mod crew;
mod days;
mod demo;
mod error;
mod fields;
mod hold;
mod holds;
mod house;
mod house_json;
mod houses;
mod keep_copy;
mod laid;
mod log;
mod lost;
mod measure;
mod merge;
mod moved;
mod permit;
mod pieces;
mod pull;
mod read;
mod reckon;
mod resume;
mod sample;
mod says;
mod scribe;
mod sign;
mod start;
mod stores;
mod strike;
mod tally;
mod tie_down;
mod told;
mod verify;
mod where_we_were;
mod wood;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use error::CliError;
use says::Said;
use scribe::Scribe;

/// Carries out what was typed, and gives the exit status: 0 where all went
/// well, 2 for bad input, 1 for a failure.
#[must_use]
pub fn run() -> ExitCode {
    match Args::try_parse() {
        Ok(args) => says::say(carry_out(args)),
        Err(error) => says::say(args::complaint(&error)),
    }
}

fn carry_out(args: Args) -> Result<Said, CliError> {
    // A computation needs no book, no name and no clock.
    if let Some(Command::Reckon(topic)) = args.command {
        return topic.run(args.global.json);
    }
    let scribe = Scribe::new(args.global)?;
    match args.command {
        None => demo::open_screen(&scribe, None),
        Some(command) => command.run(&scribe),
    }
}
