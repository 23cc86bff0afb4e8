//! `log`: the day book.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Filter, LogLine};
use crate::build::accept;
use crate::build::entry::{Kind, UnknownWord};
use crate::build::together::whole;

/// The day book: what was written, newest first.
#[derive(Debug, clap::Args)]
pub(super) struct Log {
    /// Of this house alone
    house: Option<String>,
    /// Of this kind alone: reading, tally, sign, …
    #[arg(long, value_parser = kind)]
    kind: Option<Kind>,
    /// With these words in it alone
    #[arg(long, value_name = "WORDS")]
    text: Option<String>,
    /// No more entries than this
    #[arg(long, value_name = "N", default_value = "100", allow_hyphen_values = true)]
    limit: String,
}

fn kind(text: &str) -> Result<Kind, UnknownWord> {
    text.parse()
}

impl Log {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let book = scribe.open_to_tell()?;
        if let Some(text) = &self.text {
            accept::bounded("text", text, accept::LONGEST_TEXT).map_err(|refused| vec![refused])?;
        }
        let limit = whole("limit", &self.limit, 1..=1_000_000).map_err(|refused| vec![refused])?;
        let house = self.house.as_deref().map(|house| book.house_named(house)).transpose()?;
        let by = scribe.named.clone();
        let filter = Filter { house, kind: self.kind, by, text: self.text, before: None, limit };
        let written = book.log(&filter)?;
        let names = book.names()?;
        let of = |line: &LogLine| line.entry.house.and_then(|id| names.get(&id)).cloned();
        if scribe.json {
            let all = written.iter().map(|line| {
                let says = line.says(|id| names.get(&id).cloned());
                one(line, of(line), &says)
            });
            return Ok(Said::Json(all.collect()));
        }
        let mut lines = Vec::new();
        let rows: Vec<Vec<String>> = written
            .iter()
            .map(|line| {
                let says = line.says(|id| names.get(&id).cloned());
                let says = match &line.struck {
                    Some(struck) => format!("[struck by {}: {}] {says}", struck.by, struck.why),
                    None => says,
                };
                vec![
                    line.entry.id.to_string(),
                    line.entry.happened.format("%Y-%m-%d %H:%M").to_string(),
                    line.entry.by.clone(),
                    of(line).unwrap_or_else(|| "all".to_owned()),
                    says,
                ]
            })
            .collect();
        lines.extend(lined_up("", &[Side::Left; 5], &rows));
        if lines.is_empty() {
            lines.push("Nothing of that is in the day book.".to_owned());
        }
        Ok(Said::Lines(lines))
    }
}

fn one(line: &LogLine, house: Option<String>, says: &str) -> Value {
    let entry = &line.entry;
    let struck = line.struck.as_ref().map(|s| json!({ "id": s.id, "why": s.why, "by": s.by }));
    json!({
        "id": entry.id,
        "kind": entry.what.kind(),
        "house": house,
        "house_id": entry.house,
        "at": entry.happened,
        "written": entry.written,
        "by": entry.by,
        "says": says,
        "about": line.about.as_ref().map(|entry| entry.id),
        "struck": struck,
    })
}
