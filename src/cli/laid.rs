//! `laid`: one more row of thatch.

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house, while_held};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::accept;
use crate::build::draft::Draft;
use crate::build::entry::Item;

/// Record that one more row of thatch was laid, its panels used.
#[derive(Debug, clap::Args)]
pub(super) struct Laid {
    /// The house
    house: String,
    /// The slope: ab or cd
    slope: String,
}

impl Laid {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let house = house(&book, &self.house)?;
        let slope = self.slope.to_lowercase();
        let rows = house.readings.number("thatch", &format!("rows-{slope}")).unwrap_or_default();
        let on_hand = house.heaps.get(&Item::Panel).map_or(0.0, |heap| heap.on_hand);
        let now = scribe.stamp.now;
        let more = json!({
            "rows": told::whole(rows),
            "panels_on_hand": told::count(Item::Panel, on_hand),
            "held": house.held_at(now).map(|held| &held.cause),
        });
        let line = format!("{slope} slope: row {rows:.0} is laid; {} panels on hand", accept::told(on_hand));
        Ok(Said::kept(
            scribe.json,
            kept,
            more,
            std::iter::once(line).chain(while_held(&house, now)).collect(),
        ))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        Ok(book.keep_draft(Some(house), &Draft::Laid { slope: self.slope.clone() }, stamp)?)
    }
}
