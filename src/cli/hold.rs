//! `hold`: the work stops.

use serde_json::Value;

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::tie_down;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::storm::is_storm;
use crate::build::telling::typed;

/// Stop the work at a house, or at all of them.
#[derive(Debug, clap::Args)]
pub(super) struct Hold {
    /// The house; --all for all of them
    #[arg(required_unless_present = "all", conflicts_with = "all")]
    house: Option<String>,
    /// All houses
    #[arg(long)]
    all: bool,
    /// Why: storm, mourning, no panels, no crew, feast, or other words
    #[arg(long, value_name = "WHY")]
    cause: String,
    /// It was planned; with --at, it may begin on a day to come
    #[arg(long)]
    planned: bool,
}

impl Hold {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        if !is_storm(&self.cause) {
            return Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()));
        }
        let tied = tie_down::made_fast(&book, self.house.as_deref(), scribe)?;
        let mut lines = tie_down::lines(&tied);
        let which = self.house.as_deref().map_or_else(|| Some("--all".to_owned()), typed);
        if let Some(which) = which.filter(|_| tied.lacking().is_some()) {
            lines.push(format!("Answer it: spanwright tie-down --panels yes --ridge no {which}"));
        }
        Ok(Said::kept(scribe.json, kept, tie_down::json(&tied), lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = self.house.as_deref().map(|house| book.house_named(house)).transpose()?;
        let draft = Draft::Hold { cause: self.cause.clone(), planned: self.planned };
        Ok(book.keep_draft(house, &draft, stamp)?)
    }
}
