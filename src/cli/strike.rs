//! `strike`: a line through an entry.

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::telling;

/// Draw a line through an entry; it stays readable.
#[derive(Debug, clap::Args)]
pub(super) struct Strike {
    /// The entry's id, or the beginning of it
    entry: String,
    /// Why it is struck
    #[arg(long)]
    why: String,
}

impl Strike {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let struck = book.entry(&self.entry)?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let with = book.kept_with(&struck)?;
        let names = book.names()?;
        let left = with.iter().flat_map(|entry| {
            let says = telling::line(&entry.what, None, |id| names.get(&id).cloned());
            [
                format!("kept together with it, and not struck: {says}"),
                format!("  spanwright strike {} --why …", entry.id),
            ]
        });
        let line = format!("a {} of {} is struck", struck.what.kind(), struck.by);
        let lines = std::iter::once(line).chain(left).collect();
        let kept_with: Vec<_> = with.iter().map(|entry| entry.id).collect();
        let more = json!({ "struck": struck.id, "kept_with": kept_with });
        Ok(Said::kept(scribe.json, kept, more, lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let entry = book.entry(&self.entry)?;
        let draft = Draft::Strike { entry: entry.id, why: self.why.clone() };
        Ok(book.keep_draft(entry.house, &draft, stamp)?)
    }
}
