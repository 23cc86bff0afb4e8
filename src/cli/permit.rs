//! `permit`: leave to cut, and what was cut against it.

use clap::Subcommand;
use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::{Book, Kept, Stamp};
use crate::build::draft::Draft;
use crate::build::next::day;
use crate::build::permit::{LeaveNow, Ledger, NOBODY_SAID, Past};
use crate::build::telling::of_item;
use crate::build::together::Together;

/// Leave to cut trees: give it, list it, answer what was cut past it.
#[derive(Debug, clap::Args)]
pub(super) struct PermitArgs {
    #[command(subcommand)]
    what: PermitCommand,
}

#[derive(Debug, Subcommand)]
enum PermitCommand {
    /// Record leave that was given
    Add {
        /// The kind of tree
        #[arg(long)]
        tree: String,
        /// How many may be cut
        #[arg(long, allow_hyphen_values = true)]
        count: String,
        /// The last day, such as 2031-06-30
        #[arg(long, value_name = "DAY")]
        until: String,
        /// Where they may be cut
        #[arg(long = "where", value_name = "PLACE", default_value = "", hide_default_value = true)]
        place: String,
    },
    /// Every permit: given, cut, left, until; what was cut past it and why
    List,
    /// Answer a cut past the permits, so that it no longer stands out
    Answer {
        /// The cut's entry: its id, or the first letters of it
        entry: String,
        /// What there is to say to it
        #[arg(long)]
        said: String,
    },
}

impl PermitArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        if matches!(self.what, PermitCommand::List) {
            return list(&scribe.open_to_tell()?, scribe);
        }
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        Ok(Said::kept(scribe.json, kept, Value::Null, Vec::new()))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let draft = match &self.what {
            PermitCommand::Add { tree, count, until, place } => Draft::Together(Together::Permit {
                tree: tree.clone(),
                count: count.clone(),
                place: place.clone(),
                until: until.clone(),
            }),
            PermitCommand::Answer { entry, said } => {
                Draft::Answer { entry: book.entry(entry)?.id, said: said.clone() }
            }
            PermitCommand::List => {
                return Err(CliError::Usage("permit list records nothing; leave it out".to_owned()));
            }
        };
        Ok(book.keep_draft(None, &draft, stamp)?)
    }
}

fn list(book: &Book, scribe: &Scribe) -> Result<Said, CliError> {
    let ledgers = book.ledgers()?;
    let names = book.names()?;
    let name = |past: &Past| past.cut.house.and_then(|id| names.get(&id)).cloned().unwrap_or_default();
    if scribe.json {
        let each = |(tree, ledger): &(String, Ledger)| {
            let past: Vec<Value> = ledger.past.iter().map(|p| past_json(p, &name(p))).collect();
            let leaves: Vec<Value> = ledger.leaves.iter().map(leave_json).collect();
            json!({ "tree": tree, "permits": leaves, "past": past })
        };
        return Ok(Said::Json(ledgers.iter().map(each).collect()));
    }
    if ledgers.is_empty() {
        let line =
            "No permit is in the book: spanwright permit add --tree mangrove --count 20 --until 2031-06-30";
        return Ok(Said::Lines(vec![line.to_owned()]));
    }
    let head = ["tree", "given", "cut", "left", "until", "where", "entry"].map(str::to_owned).to_vec();
    let today = scribe.stamp.now.date_naive();
    let rows = ledgers.iter().flat_map(|(_, ledger)| &ledger.leaves).map(|now| {
        let permit = &now.leave.permit;
        let over = if permit.until < today { ", over" } else { "" };
        vec![
            permit.tree.clone(),
            permit.count.to_string(),
            now.cut.to_string(),
            now.left().to_string(),
            format!("{}{over}", permit.until),
            permit.place.clone(),
            now.leave.id.to_string(),
        ]
    });
    let rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    let sides = [Side::Left, Side::Right, Side::Right, Side::Right, Side::Left, Side::Left, Side::Left];
    let mut lines = lined_up("", &sides, &rows);
    for (tree, ledger) in &ledgers {
        lines.extend(ledger.past.iter().flat_map(|past| past_told(tree, past, &name(past))));
    }
    Ok(Said::Lines(lines))
}

/// A cut that stands out, and what was said to it.
fn past_told(tree: &str, past: &Past, house: &str) -> [String; 2] {
    let cut = &past.cut;
    let what = of_item(cut.item, f64::from(cut.count));
    let uncovered = past.uncovered_told();
    let first = format!(
        "! {what} of {tree} at {house}, {} by {}: {uncovered}: {}",
        day(cut.happened),
        cut.by,
        cut.why.as_deref().unwrap_or(NOBODY_SAID)
    );
    let second = match &cut.answer {
        Some(said) => format!("  answered: {said}"),
        None => format!("  not answered: spanwright permit answer {} --said …", cut.id),
    };
    [first, second]
}

fn leave_json(now: &LeaveNow) -> Value {
    let permit = &now.leave.permit;
    json!({
        "id": now.leave.id,
        "tree": permit.tree,
        "where": permit.place,
        "given": permit.count,
        "from": now.leave.given,
        "cut": now.cut,
        "left": now.left(),
        "until": permit.until,
    })
}

fn past_json(past: &Past, house: &str) -> Value {
    let cut = &past.cut;
    json!({
        "entry": cut.id,
        "house": house,
        "item": cut.item,
        "count": cut.count,
        "past": past.uncovered,
        "at": cut.happened,
        "by": cut.by,
        "why": cut.why,
        "answered": cut.answer.is_some(),
        "answer": cut.answer,
    })
}
