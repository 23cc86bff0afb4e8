//! `verify`: the file, and every rule the book must obey.

use serde_json::{Value, json};

use super::error::CliError;
use super::houses;
use super::says::Said;
use super::scribe::Scribe;
use super::told;
use crate::build::House;
use crate::build::telling::of_item;

/// Check the file and every rule the book must obey.
#[derive(Debug, clap::Args)]
pub(super) struct Verify {}

impl Verify {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        let mut found: Vec<String> = book
            .verify()?
            .into_iter()
            .map(|finding| format!("{} ({})", finding.what, finding.place))
            .collect();
        let mut count = 0_u64;
        let mut lacking = Vec::new();
        // Past a broken rule, the houses would only tell of it again.
        if found.is_empty() {
            for line in houses::lines(&book)? {
                count += 1;
                match House::of(line.id, &book.entries_of(Some(line.id))?) {
                    Ok(house) => {
                        lacking.extend(house.lacking().map(|(item, more)| (line.name.clone(), item, more)));
                    }
                    Err(broken) => found.push(broken.to_string()),
                }
            }
        }
        let path = book.path().display().to_string();
        if !found.is_empty() {
            return Err(CliError::Unsound { path, found });
        }
        if scribe.json {
            let lacking: Vec<Value> = lacking
                .iter()
                .map(|(name, item, more)| {
                    json!({ "name": name, "item": item, "lacking": told::count(*item, *more) })
                })
                .collect();
            return Ok(Said::Json(json!({ "sound": true, "houses": count, "lacking": lacking })));
        }
        let houses = if count == 1 { "house" } else { "houses" };
        let mut lines = vec![format!("{path}: sound; {count} {houses}")];
        lines.extend(lacking.iter().map(|(name, item, more)| {
            format!("{name}: {} more gone than came; count the heap, and tally it", of_item(*item, *more))
        }));
        Ok(Said::Lines(lines))
    }
}
