//! `resume`: the work goes on.

use super::again;
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;

/// Go on with the work at a house, or at all of them.
#[derive(Debug, clap::Args)]
pub(super) struct Resume {
    /// The house; --all for all of them
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
        let (again, mut lines) = again::of(&book, kept.house)?;
        let (houses, _) = book.glances()?;
        let now = scribe.stamp.now;
        let held = houses.iter().filter(|h| kept.house.is_none_or(|id| id == h.id));
        let held = held.filter_map(|h| Some(format!("{} is {}", h.name, h.held_at(now)?.told(now))));
        lines.extend(held);
        Ok(Said::kept(scribe.json, kept, again, lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = self.house.as_deref().map(|house| book.house_named(house)).transpose()?;
        Ok(book.keep_draft(house, &Draft::Resume, stamp)?)
    }
}
