//! `lost`: all that was lost, at once.

use serde_json::{Value, json};

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house, while_held};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::entry::Item;
use crate::build::{House, accept};

/// Record all that was lost at a house, at once.
///
/// Of each item what lay there is lost first, then what was built in, which
/// is asked for again.
#[derive(Debug, clap::Args)]
pub(super) struct Lost {
    /// The house
    house: String,
    /// What, and how many of it: panel=40 cord=30
    #[arg(required = true, value_name = "ITEM=COUNT", value_parser = item_and_count)]
    counts: Vec<(String, String)>,
    /// All of it was built in; what lay there is still there
    #[arg(long)]
    built_in: bool,
    /// Anything else worth telling
    #[arg(long, default_value = "", hide_default_value = true)]
    remark: String,
}

fn item_and_count(text: &str) -> Result<(String, String), String> {
    let (item, count) = text.split_once('=').ok_or("no ITEM=COUNT; one such as panel=40 would do")?;
    // An empty count is a slip of the hand here, unlike an empty field of a form.
    if count.trim().is_empty() {
        return Err("without a count; one such as panel=40 would do".to_owned());
    }
    Ok((item.to_owned(), count.to_owned()))
}

impl Lost {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let before = house(&book, &self.house)?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let after = house(&book, &self.house)?;
        let (mut lines, mut all) = (Vec::new(), Vec::<Value>::new());
        for item in self.counts.iter().filter_map(|(item, _)| Item::said(item).ok()) {
            let heap = |house: &House| house.heaps.get(&item).copied().unwrap_or_default();
            let (was, now) = (heap(&before), heap(&after));
            let short: f64 = after
                .stages
                .iter()
                .flat_map(|s| &s.items)
                .filter(|i| i.need.item == item)
                .map(|i| i.short)
                .sum();
            let (lying, built_in) = (was.on_hand - now.on_hand, was.used - now.used);
            lines.push(format!(
                "{item} at {}: lost {} on hand and {} built in; on hand {}, used {}, short {}",
                after.name,
                accept::told(lying),
                accept::told(built_in),
                accept::told(now.on_hand),
                accept::told(now.used),
                accept::told(short)
            ));
            all.push(json!({
                "item": item,
                "lost_on_hand": told::count(item, lying),
                "lost_built_in": told::count(item, built_in),
                "on_hand": told::count(item, now.on_hand),
                "used": told::count(item, now.used),
                "short": told::count(item, short),
            }));
        }
        lines.extend(while_held(&after, scribe.stamp.now));
        Ok(Said::kept(scribe.json, kept, json!({ "lost": all }), lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        let draft =
            Draft::Lost { counts: self.counts.clone(), built_in: self.built_in, remark: self.remark.clone() };
        Ok(book.keep_draft(Some(house), &draft, stamp)?)
    }
}
