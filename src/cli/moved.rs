//! `moved`: a peg was moved.

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house};
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;

/// Record that a peg was moved: what was read to it is unread again.
#[derive(Debug, clap::Args)]
pub(super) struct Moved {
    /// The house
    house: String,
    /// The peg: set-out/a, set-out/b, set-out/c or set-out/d
    peg: String,
}

impl Moved {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let next = house(&book, &self.house)?.next;
        Ok(Said::kept(scribe.json, kept, json!({ "next": next }), vec![next]))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        Ok(book.keep_draft(Some(house), &Draft::Moved { point: self.peg.clone() }, stamp)?)
    }
}
