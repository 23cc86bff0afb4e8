//! `sign`: a stage is right.

use serde_json::json;

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house};
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;

/// Sign a stage.
#[derive(Debug, clap::Args)]
pub(super) struct Sign {
    /// The house
    house: String,
    /// The stage: centre-mark, set-out, posts, beams, roof-frame, ridge, thatch, cap, handing-over
    stage: String,
    /// Why it is signed, where it is not ready; or anything worth telling
    #[arg(long, default_value = "", hide_default_value = true)]
    remark: String,
}

impl Sign {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let before = house(&book, &self.house)?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let next = house(&book, &self.house)?.next_at(scribe.stamp.now);
        let against = before.stage(&self.stage).map(|s| s.against.join("; ")).unwrap_or_default();
        let though = if against.is_empty() { String::new() } else { format!(", though {against}") };
        let said = format!("{} is signed by {}{though}", self.stage, scribe.stamp.by);
        Ok(Said::kept(scribe.json, kept, json!({ "next": next }), vec![said, next]))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        let draft = Draft::Sign { stage: self.stage.clone(), remark: self.remark.clone() };
        Ok(book.keep_draft(Some(house), &draft, stamp)?)
    }
}
