//! `tie-down`: what is made fast before a storm.

use serde_json::{Value, json};

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::House;
use crate::build::draft::Draft;
use crate::build::entry::{Secure, TieDown};
use crate::build::held;
use crate::build::house::holds_of_all;
use crate::build::tie_down::LEAVE;
use crate::build::together::Together;

/// What is made fast before a storm, and what is not.
///
/// With answers, records them; without, shows the list and what is open on it.
#[derive(Debug, clap::Args)]
pub(super) struct TieDownArgs {
    /// The house; without one, all of them
    #[arg(conflicts_with = "all")]
    house: Option<String>,
    /// All houses
    #[arg(long)]
    all: bool,
    /// Loose panels stacked and netted
    #[arg(long, value_name = "YES|NO")]
    panels: Option<String>,
    /// Lifting poles down
    #[arg(long, value_name = "YES|NO")]
    lifting_poles: Option<String>,
    /// Ridge roped to the ground
    #[arg(long, value_name = "YES|NO")]
    ridge: Option<String>,
    /// Openings closed, or open on both sides
    #[arg(long, value_name = "YES|NO")]
    openings: Option<String>,
    /// Tools under cover
    #[arg(long, value_name = "YES|NO")]
    tools: Option<String>,
    /// People sent home, or to the shelter
    #[arg(long, value_name = "YES|NO")]
    people: Option<String>,
}

impl TieDownArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if self.answers().is_empty() {
            let tied = made_fast(&scribe.open_to_tell()?, self.house.as_deref(), scribe)?;
            if scribe.json {
                return Ok(Said::Json(json(&tied)));
            }
            return Ok(Said::Lines(lines(&tied)));
        }
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let tied = made_fast(&book, self.house.as_deref(), scribe)?;
        let lines = tied.lacking().unwrap_or_else(|| "All of it is made fast.".to_owned());
        Ok(Said::kept(scribe.json, kept, json(&tied), vec![lines]))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = self.house.as_deref().map(|house| book.house_named(house)).transpose()?;
        let draft = Draft::Together(Together::TieDown { answers: self.answers() });
        Ok(book.keep_draft(house, &draft, stamp)?)
    }

    fn answers(&self) -> Vec<(String, String)> {
        let said = |what: &Secure| match what {
            Secure::Panels => &self.panels,
            Secure::LiftingPoles => &self.lifting_poles,
            Secure::Ridge => &self.ridge,
            Secure::Openings => &self.openings,
            Secure::Tools => &self.tools,
            Secure::People => &self.people,
        };
        let answered = |what: &Secure| Some((what.word().to_owned(), said(what).clone()?));
        Secure::ALL.iter().filter_map(answered).collect()
    }
}

/// What counts as made fast now at a house, or at all of them: for the hold
/// that is on, else for one that would begin now.
pub(super) fn made_fast(book: &Book, house: Option<&str>, scribe: &Scribe) -> Result<TieDown, CliError> {
    let id = house.map(|house| book.house_named(house)).transpose()?;
    let entries = book.entries_of(id)?;
    Ok(match id {
        Some(id) => House::of(id, &entries)?.made_fast_at(scribe.stamp.at),
        None => held::made_fast_at(&holds_of_all(&entries), &held::tied_of_all(&entries), scribe.stamp.at),
    })
}

/// The list in JSON: each thing, why it is asked, and what was said of it.
pub(super) fn json(tied: &TieDown) -> Value {
    let list: Vec<Value> = Secure::ALL
        .iter()
        .map(|what| {
            json!({
                "id": what.word(), "says": what.says(), "why": what.why(), "done": tied.answer(*what),
            })
        })
        .collect();
    json!({ "tie_down": list, "caution": LEAVE })
}

/// The list for people, what was said of each thing before it.
pub(super) fn lines(tied: &TieDown) -> Vec<String> {
    let said = |what| match tied.answer(what) {
        Some(true) => "= yes",
        Some(false) => "x no",
        None => "____",
    };
    let of =
        |what: &Secure| format!("  {:<5} {:<13} {}: {}", said(*what), what.word(), what.says(), what.why());
    std::iter::once(format!("! {LEAVE}")).chain(Secure::ALL.iter().map(of)).collect()
}
