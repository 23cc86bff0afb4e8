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
        let before = house(&book, &self.house)?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let now = house(&book, &self.house)?;
        let lost = before.readings.0.keys().filter(|p| !now.readings.0.contains_key(p));
        let lost: Vec<&str> = lost.map(|p| p.point.as_str()).collect();
        let said =
            format!("unread again: {}", if lost.is_empty() { "nothing".to_owned() } else { lost.join(", ") });
        let more = json!({ "unread": lost, "next": now.next_at(scribe.stamp.now) });
        Ok(Said::kept(scribe.json, kept, more, vec![said, now.next_at(scribe.stamp.now)]))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        Ok(book.keep_draft(Some(house), &Draft::Moved { point: self.peg.clone() }, stamp)?)
    }
}
