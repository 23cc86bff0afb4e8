//! `merge`: the entries of another book.

use std::collections::{BTreeMap, HashMap};
use std::path::PathBuf;

use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::told;
use crate::book::Merged;
use crate::build::entry::Kind;

/// Take in the entries of another book that this one does not have.
///
/// The other book is only read. All of its entries are taken in, or none.
#[derive(Debug, clap::Args)]
pub(super) struct Merge {
    /// The other book's file
    other: PathBuf,
}

impl Merge {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let merged = book.merge(&self.other)?;
        let names = book.names()?;
        if scribe.json {
            return Ok(Said::Json(in_json(&merged, &names)));
        }
        Ok(Said::Lines(merged.in_words(&names)))
    }
}

fn in_json(merged: &Merged, names: &HashMap<Uuid, String>) -> Value {
    let kinds = |kinds: &BTreeMap<Kind, u64>| -> Map<String, Value> {
        kinds.iter().map(|(kind, count)| (kind.word().to_owned(), json!(count))).collect()
    };
    let houses: Vec<Value> = merged
        .new
        .iter()
        .filter_map(|(house, new)| Some((house.as_ref()?, new)))
        .map(|(house, new)| json!({ "id": house, "name": names.get(house), "new": kinds(new) }))
        .collect();
    let lacking: Vec<Value> = merged
        .lacking
        .iter()
        .map(|l| {
            json!({
                "house": l.house,
                "name": names.get(&l.house),
                "item": l.item,
                "lacking": told::count(l.item, l.count),
            })
        })
        .collect();
    json!({
        "other": merged.other.display().to_string(),
        "new": merged.new_count(),
        "here_already": merged.shared,
        "houses": houses,
        "all_houses": merged.new.get(&None).map(kinds).unwrap_or_default(),
        "renamed": merged.renamed.iter().map(|(id, name)| json!({ "id": id, "name": name })).collect::<Vec<_>>(),
        "struck_in_both": merged.struck_twice,
        "lacking": lacking,
    })
}
