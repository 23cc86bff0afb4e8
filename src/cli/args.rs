//! What may be typed.

use std::path::PathBuf;

use chrono::DateTime;
use clap::error::ErrorKind;
use clap::{Parser, Subcommand};

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::{
    brief, crew, days, demo, hold, holds, house, houses, keep_copy, laid, log, lost, measure, merge, moved,
    permit, pieces, pull, read, reckon, resume, sign, start, stores, strike, tally, tie_down, verify,
    where_we_were, wood,
};
use crate::book::{Book, Kept, Stamp};
use crate::build::Moment;

/// A notebook for the lead builder of pole, cord and thatch houses.
///
/// Without a command, the book opens on the screen.
#[derive(Debug, Parser)]
#[command(name = "spanwright", version, after_help = ENVIRONMENT)]
pub(super) struct Args {
    #[command(flatten)]
    pub global: Global,
    #[command(subcommand)]
    pub command: Option<Command>,
}

const ENVIRONMENT: &str = "\
Environment:
  SPANWRIGHT_BOOK  the book's file, as --book
  SPANWRIGHT_BY    who says so, as --by
  SPANWRIGHT_NOW   a moment (RFC 3339) taken for now, so that scripts repeat";

/// What every command takes.
#[derive(Debug, clap::Args)]
pub(super) struct Global {
    /// The book's file; without it, the one in your data folder
    #[arg(long, global = true, value_name = "FILE")]
    pub book: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long, global = true)]
    pub json: bool,
    /// When it happened, such as 2030-11-02T06:00:00+10:00; without it, now
    #[arg(long, global = true, value_name = "WHEN", value_parser = moment)]
    pub at: Option<Moment>,
    /// Who says so; for log, whose entries
    #[arg(long, global = true, value_name = "WHO")]
    pub by: Option<String>,
}

/// Reads a moment with its offset.
pub(super) fn moment(text: &str) -> Result<Moment, String> {
    DateTime::parse_from_rfc3339(text.trim())
        .map_err(|_| "not a moment; one such as 2030-11-02T06:00:00+10:00 would do (RFC 3339)".to_owned())
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Open a fresh copy of the sample book
    Demo(demo::Demo),
    /// Start a house from its brief
    Start(start::Start),
    /// Show a house's brief, or say fields of it anew
    Brief(brief::BriefArgs),
    /// All houses at a glance
    Houses(houses::Houses),
    /// Where the work was: what was written last, and what is first to do
    Where(where_we_were::Where),
    /// One house: stages, points, items, doubts, what is next
    House(house::HouseArgs),
    /// Record a reading of a point
    Read(read::Read),
    /// Record that a peg was moved
    Moved(moved::Moved),
    /// Record a movement of an item
    Tally(tally::TallyArgs),
    /// Record all that was lost, at once
    Lost(lost::Lost),
    /// Record that one more row of thatch was laid, its panels used
    Laid(laid::Laid),
    /// Leave to cut trees: give it, list it, answer what was cut past it
    Permit(permit::PermitArgs),
    /// All items over all houses, or the sum behind one
    Stores(stores::Stores),
    /// Which pole to cut into which pieces; record that it was done
    Pieces(pieces::PiecesArgs),
    /// Sign a stage
    Sign(sign::Sign),
    /// Stop the work at a house, or at all
    Hold(hold::Hold),
    /// What is made fast before a storm, and what is not
    TieDown(tie_down::TieDownArgs),
    /// Go on with the work at a house, or at all
    Resume(resume::Resume),
    /// Who works, how fast, and the days nobody works
    Crew(crew::CrewArgs),
    /// What the crews should do on which day, and when each house may be done
    Days(days::DaysArgs),
    /// Draw a line through an entry; it stays readable
    Strike(strike::Strike),
    /// The day book: what was written, newest first
    Log(log::Log),
    /// What holds, what lifts, what gives first
    Holds(holds::HoldsArgs),
    /// Record a cord or a joint pulled until it broke
    Pull(pull::PullArgs),
    /// Kinds of wood: tell one, or list them
    Wood(wood::WoodArgs),
    /// Record a person's measure, or list those the book knows
    Measure(measure::Measure),
    /// A computation alone: JSON in, JSON out
    Reckon(reckon::Reckon),
    /// Copy the book to a new file, safely, also while it is in use
    KeepCopy(keep_copy::KeepCopy),
    /// Take in the entries of another book that this one does not have
    Merge(merge::Merge),
    /// Check the file and every rule the book must obey
    Verify(verify::Verify),
}

impl Command {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        match self {
            Self::Demo(c) => c.run(scribe),
            Self::Start(c) => c.run(scribe),
            Self::Brief(c) => c.run(scribe),
            Self::Houses(c) => c.run(scribe),
            Self::Where(c) => c.run(scribe),
            Self::House(c) => c.run(scribe),
            Self::Read(c) => c.run(scribe),
            Self::Moved(c) => c.run(scribe),
            Self::Tally(c) => c.run(scribe),
            Self::Lost(c) => c.run(scribe),
            Self::Laid(c) => c.run(scribe),
            Self::Permit(c) => c.run(scribe),
            Self::Stores(c) => c.run(scribe),
            Self::Pieces(c) => c.run(scribe),
            Self::Sign(c) => c.run(scribe),
            Self::TieDown(c) => c.run(scribe),
            Self::Hold(c) => c.run(scribe),
            Self::Resume(c) => c.run(scribe),
            Self::Crew(c) => c.run(scribe),
            Self::Days(c) => c.run(scribe),
            Self::Strike(c) => c.run(scribe),
            Self::Log(c) => c.run(scribe),
            Self::Holds(c) => c.run(scribe),
            Self::Pull(c) => c.run(scribe),
            Self::Wood(c) => c.run(scribe),
            Self::Measure(c) => c.run(scribe),
            Self::Reckon(c) => c.run(scribe.json),
            Self::KeepCopy(c) => c.run(scribe),
            Self::Merge(c) => c.run(scribe),
            Self::Verify(c) => c.run(scribe),
        }
    }

    /// Keeps what the command records, and shows nothing: for samples.
    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        match self {
            Self::Start(c) => c.keep(book, stamp),
            Self::Brief(c) => c.keep(book, stamp),
            Self::Read(c) => c.keep(book, stamp),
            Self::Moved(c) => c.keep(book, stamp),
            Self::Tally(c) => c.keep(book, stamp),
            Self::Lost(c) => c.keep(book, stamp),
            Self::Laid(c) => c.keep(book, stamp),
            Self::Permit(c) => c.keep(book, stamp),
            Self::Pieces(c) => c.keep(book, stamp),
            Self::Sign(c) => c.keep(book, stamp),
            Self::TieDown(c) => c.keep(book, stamp),
            Self::Hold(c) => c.keep(book, stamp),
            Self::Resume(c) => c.keep(book, stamp),
            Self::Crew(c) => c.keep(book, stamp),
            Self::Strike(c) => c.keep(book, stamp),
            Self::Pull(c) => c.keep(book, stamp),
            Self::Wood(c) => c.keep(book, stamp),
            Self::Measure(c) => c.keep(book, stamp),
            _ => Err(CliError::Usage("this command records nothing; leave it out".to_owned())),
        }
    }
}

/// What the command line was refused for, in one line; help and version are
/// no refusals.
pub(super) fn complaint(error: &clap::Error) -> Result<Said, CliError> {
    let text = error.render().to_string();
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return Ok(Said::Lines(text.trim_end().lines().map(str::to_owned).collect()));
    }
    let told: Vec<&str> = text
        .lines()
        .map(str::trim)
        .take_while(|line| !line.starts_with("Usage:") && !line.starts_with("For more information"))
        .filter(|line| !line.is_empty())
        .collect();
    let told = told.join(" ").replace(" tip: ", "; ");
    let told = told.strip_prefix("error: ").unwrap_or(&told);
    Err(CliError::Usage(format!("{told}; --help says more")))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn every_command_is_put_together_rightly() {
        Args::command().debug_assert();
    }
}
