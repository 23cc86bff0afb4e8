//! `pull`: a cord or a joint pulled until it broke.

use serde_json::json;

use super::error::CliError;
use super::holds::plain;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::holds::{PULL_CAUTION, Told, tested, tests_told};
use crate::build::together::Together;

/// Record a cord or a joint pulled until it broke.
#[derive(Debug, clap::Args)]
#[command(override_usage = "spanwright pull [OPTIONS] --cord <WHICH> [HOUSE] <JOINT> <VALUE>")]
pub(super) struct PullArgs {
    /// The house, where it does not count for all of them; the joint:
    /// panel-tie, batten, rafter, plate, or cord for a strand; and the force
    /// at which it broke: 480 N, 0.48 kN, or the stones hung on it, 48.9 kg
    #[arg(num_args = 2..=3, required = true, value_name = "JOINT VALUE", allow_negative_numbers = true)]
    said: Vec<String>,
    /// The cord: coir 6 mm
    #[arg(long, value_name = "WHICH")]
    cord: String,
    /// Anything else worth telling: wet, old, on which poles
    #[arg(long, default_value = "", hide_default_value = true)]
    remark: String,
}

impl PullArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let house = self.house().map(|said| book.house_named(said)).transpose()?;
        let tests = tested(&Told::of(&book.entries_of(house)?).pulls);
        let lines = tests_told(&tests).iter().map(plain).collect();
        Ok(Said::kept(scribe.json, kept, json!({ "tests": tests, "caution": PULL_CAUTION }), lines))
    }

    fn house(&self) -> Option<&str> {
        self.said.first().filter(|_| self.said.len() == 3).map(String::as_str)
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = self.house().map(|said| book.house_named(said)).transpose()?;
        let last = |back: usize| self.said.iter().rev().nth(back).cloned().unwrap_or_default();
        let pull = Together::Pull {
            joint: last(1),
            value: last(0),
            cord: self.cord.clone(),
            remark: self.remark.clone(),
        };
        Ok(book.keep_draft(house, &Draft::Together(pull), stamp)?)
    }
}
