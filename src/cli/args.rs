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

const GLOBAL: &str = "For every command";

/// What every command takes.
#[derive(Debug, clap::Args)]
pub(super) struct Global {
    /// The book's file; without it, the one in your data folder
    #[arg(long, global = true, value_name = "FILE", help_heading = GLOBAL)]
    pub book: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long, global = true, help_heading = GLOBAL)]
    pub json: bool,
    /// When it happened, such as 2030-11-02T06:00:00+10:00 (RFC 3339); without it, now
    #[arg(long, global = true, value_name = "WHEN", value_parser = moment, help_heading = GLOBAL)]
    pub at: Option<Moment>,
    /// Who says so, else SPANWRIGHT_BY or whoever is logged in; for log, whose entries
    #[arg(long, global = true, value_name = "WHO", help_heading = GLOBAL)]
    pub by: Option<String>,
}

/// Reads a moment with its offset.
pub(super) fn moment(text: &str) -> Result<Moment, String> {
    DateTime::parse_from_rfc3339(text.trim())
        .map_err(|_| "not a moment; one such as 2030-11-02T06:00:00+10:00 would do (RFC 3339)".to_owned())
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    Demo(demo::Demo),
    Start(start::Start),
    Brief(brief::BriefArgs),
    Houses(houses::Houses),
    Where(where_we_were::Where),
    House(house::HouseArgs),
    Read(read::Read),
    Moved(moved::Moved),
    Tally(tally::TallyArgs),
    Lost(lost::Lost),
    Laid(laid::Laid),
    Permit(permit::PermitArgs),
    Stores(stores::Stores),
    Pieces(pieces::PiecesArgs),
    Sign(sign::Sign),
    Hold(hold::Hold),
    TieDown(tie_down::TieDownArgs),
    Resume(resume::Resume),
    Crew(crew::CrewArgs),
    Days(days::DaysArgs),
    Strike(strike::Strike),
    Log(log::Log),
    Holds(holds::HoldsArgs),
    Pull(pull::PullArgs),
    Wood(wood::WoodArgs),
    Measure(measure::Measure),
    Reckon(reckon::Reckon),
    KeepCopy(keep_copy::KeepCopy),
    Merge(merge::Merge),
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

    /// Every command below one, and itself.
    fn all(command: &clap::Command) -> Vec<&clap::Command> {
        std::iter::once(command).chain(command.get_subcommands().flat_map(all)).collect()
    }

    #[test]
    fn every_command_says_in_a_line_what_it_is_for_and_explains_each_of_its_words() {
        for command in all(&Args::command()) {
            let about = command.get_about().map(ToString::to_string).unwrap_or_default();
            assert!((1..=85).contains(&about.len()), "{}: {about}", command.get_name());
            for arg in command.get_arguments() {
                let help = arg.get_help().map(ToString::to_string).unwrap_or_default();
                assert!(help.len() > 3, "{} {}", command.get_name(), arg.get_id());
                let shows_nothing = arg.get_default_values().iter().any(|value| value.is_empty());
                assert!(!shows_nothing || arg.is_hide_default_value_set(), "{}", arg.get_id());
            }
        }
    }
}
