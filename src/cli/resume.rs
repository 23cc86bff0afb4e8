//! `resume`: the work goes on.

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::{again, houses};
use crate::book::{Book, Kept, Stamp};
use crate::build::House;
use crate::build::draft::Draft;

/// Go on with the work at a house, or at all of them.
#[derive(Debug, clap::Args)]
pub(super) struct Resume {
    /// The house
    #[arg(required_unless_present = "all", conflicts_with = "all")]
    house: Option<String>,
    /// All houses
    #[arg(long)]
    all: bool,
}

impl Resume {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let resumed = match kept.house {
            Some(id) => vec![id],
            None => houses::lines(&book)?.into_iter().map(|line| line.id).collect(),
        };
        let (mut told, mut lines) = (Vec::new(), Vec::new());
        for id in resumed {
            let house = House::of(id, &book.entries_of(Some(id))?)?;
            told.push(json!({ "id": id, "name": house.name, "read_again": again::json(&house) }));
            lines.extend(again::lines(&format!("{}: to read again", house.name), &house));
        }
        Ok(Said::kept(scribe.json, kept, json!({ "houses": told }), lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = self.house.as_deref().map(|house| book.house_named(house)).transpose()?;
        Ok(book.keep_draft(house, &Draft::Resume, stamp)?)
    }
}
