//! `verify`: the file, and every rule the book must obey.

use serde_json::json;

use super::error::CliError;
use super::houses;
use super::says::Said;
use super::scribe::Scribe;
use crate::build::House;

/// Check the file and every rule the book must obey.
#[derive(Debug, clap::Args)]
pub(super) struct Verify {}

impl Verify {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open()?;
        let mut found: Vec<String> = book
            .verify()?
            .into_iter()
            .map(|finding| format!("{} ({})", finding.what, finding.place))
            .collect();
        let mut count = 0_u64;
        // Past a broken rule, the houses would only tell of it again.
        if found.is_empty() {
            for line in houses::lines(&book)? {
                count += 1;
                if let Err(broken) = House::of(line.id, &book.entries_of(Some(line.id))?) {
                    found.push(broken.to_string());
                }
            }
        }
        let path = book.path().display().to_string();
        if !found.is_empty() {
            return Err(CliError::Unsound { path, found });
        }
        if scribe.json {
            return Ok(Said::Json(json!({ "sound": true, "houses": count })));
        }
        let houses = if count == 1 { "house" } else { "houses" };
        Ok(Said::Lines(vec![format!("{path}: sound; {count} {houses}")]))
    }
}
