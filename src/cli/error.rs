//! What a command complains of, and the exit status that goes with it.

use std::io;

use crate::book::{BookError, NotKept};
use crate::build::accept::Refused;
use crate::build::days::NoPlan;
use crate::build::house::FoldError;
use crate::reckon::{Refusal, Unread};

/// Why a command was not carried out: one line each.
#[derive(Debug, thiserror::Error)]
pub(super) enum CliError {
    /// The command line itself.
    #[error("{0}")]
    Usage(String),
    /// What was asked for will not do.
    #[error("{}", refusals(.0))]
    Refused(Vec<Refused>),
    /// The book.
    #[error(transparent)]
    Book(BookError),
    /// A house of the book.
    #[error(transparent)]
    House(#[from] FoldError),
    /// The plan of the days.
    #[error(transparent)]
    Days(#[from] NoPlan),
    /// A topic that there is not.
    #[error("no topic \"{0}\"; spanwright reckon lists them")]
    NoTopic(String),
    /// A computation's input.
    #[error(transparent)]
    Input(#[from] Unread),
    /// A file that should be read.
    #[error("{path}: cannot be read ({source}); check the name and the permission")]
    Unreadable {
        /// The file.
        path: String,
        /// What the system said.
        source: io::Error,
    },
    /// A file that should be put in its place.
    #[error("{path}: cannot be put there ({source}); look at the folder and the disk")]
    Unplaced {
        /// The file.
        path: String,
        /// What the system said.
        source: io::Error,
    },
    /// A line of a sample.
    #[error("{file}, line {line}: {why}")]
    Sample {
        /// The sample.
        file: &'static str,
        /// The line, from 1.
        line: usize,
        /// What is wrong with it.
        why: String,
    },
    /// A book that breaks its rules.
    #[error("{path}: not sound: {}; go on from a copy", findings(.found))]
    Unsound {
        /// The book.
        path: String,
        /// Everything found.
        found: Vec<String>,
    },
    /// Two demos at once.
    #[error("the demo is open already; close it, or name another file with --book")]
    DemoOpen,
    /// Nothing to draw on.
    #[error("the screen needs a terminal; spanwright houses tells the same without one")]
    NoTerminal,
    /// The terminal.
    #[error("the terminal cannot be used ({0}); nothing kept is lost")]
    Screen(io::Error),
    /// Standard output.
    #[error("standard output cannot be written ({0}); look at the disk or the program that reads it")]
    Output(io::Error),
}

impl CliError {
    /// A field that will not do.
    pub(super) fn refused(field: &'static str, why: impl Into<String>) -> Self {
        Self::Refused(vec![Refused { field, why: why.into() }])
    }

    /// 2 for bad input, 1 for a failure.
    pub(super) fn status(&self) -> u8 {
        let is_input = match self {
            Self::Usage(_) | Self::Refused(_) | Self::NoTopic(_) | Self::Input(_) => true,
            Self::Book(e) => e.is_input(),
            _ => false,
        };
        if is_input { 2 } else { 1 }
    }
}

impl From<BookError> for CliError {
    fn from(error: BookError) -> Self {
        Self::Book(error)
    }
}

impl From<Vec<Refused>> for CliError {
    fn from(refused: Vec<Refused>) -> Self {
        Self::Refused(refused)
    }
}

impl From<Refusal> for CliError {
    fn from(refusal: Refusal) -> Self {
        Self::Input(refusal.into())
    }
}

impl From<NotKept> for CliError {
    fn from(not: NotKept) -> Self {
        match not {
            NotKept::Refused(all) => Self::Refused(all),
            NotKept::House(e) => Self::House(e),
            NotKept::Book(e) => Self::Book(e),
        }
    }
}

/// All refusals on one line, fields spelled as the options are.
fn refusals(all: &[Refused]) -> String {
    let told: Vec<String> = all.iter().map(|r| format!("{}: {}", r.field.replace('_', "-"), r.why)).collect();
    told.join("; also ")
}

fn findings(found: &[String]) -> String {
    let more = found.len().saturating_sub(5);
    let told = found.iter().take(5).cloned().collect::<Vec<_>>().join("; ");
    if more > 0 { format!("{told}; and {more} more") } else { told }
}
