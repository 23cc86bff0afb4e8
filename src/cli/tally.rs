//! `tally`: a movement of an item.

use serde_json::{Value, json};

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house, while_held};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::accept;
use crate::build::draft::{Draft, StemSaid};
use crate::build::entry::{How, Item};
use crate::build::permit;

/// Record a movement of an item.
#[derive(Debug, clap::Args)]
pub(super) struct TallyArgs {
    /// The house
    house: String,
    /// The item: post, rafter, cord, panel, …
    item: String,
    /// How many; metres of cord, m³ of packing stone
    #[arg(allow_hyphen_values = true)]
    count: String,
    /// How: cut, woven, bought, promised, delivered, moved, used, spoiled, lost, found, or torn-off:
    /// built in, and lost since
    #[arg(long = "as", value_name = "HOW")]
    how: String,
    /// The house it went to, where it was moved
    #[arg(long, value_name = "HOUSE")]
    to: Option<String>,
    /// Of poles, the kind of tree: mangrove; of panels, nipa or coconut, where it is not the one in use
    #[arg(long, visible_alias = "kind")]
    tree: Option<String>,
    /// How long each pole is: 6 m
    #[arg(long, allow_hyphen_values = true)]
    length: Option<String>,
    /// How thick each pole is at its thin end: 12 cm
    #[arg(long, allow_hyphen_values = true)]
    thick: Option<String>,
    /// Why more is cut than the permits for the tree allow
    #[arg(long)]
    why: Option<String>,
    /// Anything else worth telling
    #[arg(long, default_value = "", hide_default_value = true)]
    remark: String,
}

impl TallyArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let house = house(&book, &self.house)?;
        let Some(item) = Item::said(&self.item).ok() else {
            return Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()));
        };
        let heap = house.heaps.get(&item).copied().unwrap_or_default();
        let of_item = || house.stages.iter().flat_map(|s| &s.items).filter(|i| i.need.item == item);
        // The sum of nothing is -0 for numbers with a point.
        let need = of_item().fold(0.0, |sum, i| sum + i.need.count);
        let short = of_item().fold(0.0, |sum, i| sum + i.short);
        let cut = item.is_pole() && self.how.parse() == Ok(How::Cut);
        let tree = self.tree.as_deref().unwrap_or_default();
        let unpermitted = if cut { permit::unpermitted(tree, &book.permitted_trees()?) } else { None };
        let more = json!({
            "item": item,
            "need": told::count(item, need),
            "promised": told::count(item, heap.promised),
            "on_hand": told::count(item, heap.on_hand),
            "used": told::count(item, heap.used),
            "short": told::count(item, short),
            "too_small": told::count(item, kept.small.map_or(0.0, |small| small.count)),
            "warning": kept.small.map(|small| small.told()),
            "left_over": kept.left_over,
            "no_permit": unpermitted,
            "held": house.held_at(scribe.stamp.now).map(|held| &held.cause),
        });
        let promised = match heap.promised {
            0.0 => String::new(),
            promised => format!(", promised {}", accept::told(promised)),
        };
        let line = format!(
            "{item} at {}: need {}{promised}, on hand {}, used {}, short {}",
            house.name,
            accept::told(need),
            accept::told(heap.on_hand),
            accept::told(heap.used),
            accept::told(short)
        );
        let small = kept.small.map(|small| format!("! {}", small.told()));
        let held = while_held(&house, scribe.stamp.now);
        let past = house.past_permit.iter().find(|past| past.entry == kept.entry);
        let past = past.map(|past| format!("! {}: it stands out until it is answered", past.told()));
        let unpermitted = unpermitted.map(|told| format!("! {told}"));
        let left_over = kept.left_over.as_ref().map(|told| format!("! {told}"));
        let lines =
            std::iter::once(line).chain(small).chain(left_over).chain(past).chain(unpermitted).chain(held);
        Ok(Said::kept(scribe.json, kept, more, lines.collect()))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        let to = self.to.as_deref().map(|to| book.house_named(to)).transpose()?;
        let draft = Draft::Tally {
            item: self.item.clone(),
            count: self.count.clone(),
            how: self.how.clone(),
            to,
            remark: self.remark.clone(),
            of: StemSaid {
                tree: self.tree.clone().unwrap_or_default(),
                length: self.length.clone().unwrap_or_default(),
                thick: self.thick.clone().unwrap_or_default(),
                why: self.why.clone().unwrap_or_default(),
            },
        };
        Ok(book.keep_draft(Some(house), &draft, stamp)?)
    }
}
