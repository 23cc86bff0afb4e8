//! `start`: a new house from its brief.

use serde_json::json;

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::fields::Fields;
use super::says::Said;
use super::scribe::Scribe;
use super::{measure, told};
use crate::book::{Book, Kept, Stamp};
use crate::build::accept;
use crate::build::brief::BriefText;
use crate::build::draft::Draft;
use crate::build::holds::{self, Told};
use crate::build::telling;
use crate::build::worked::Worked;

/// Start a house from its brief.
#[derive(Debug, clap::Args)]
pub(super) struct Start {
    /// What people call it
    name: String,
    #[command(flatten)]
    fields: Fields,
}

impl Start {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        // No book is begun for a brief that will not do.
        if !scribe.path()?.exists() {
            accept::start(&self.name, &self.as_said())?;
        }
        let mut book = scribe.open_or_begin()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let mut worked = accept::worked(&self.said(&book)?)?;
        worked.know_woods(&Told::of(&book.entries_of(None)?).woods);
        let lines = lines(&self.name, &worked);
        Ok(Said::kept(scribe.json, kept, json(&worked), lines))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let draft = Draft::Start { name: self.name.clone(), said: self.said(book)? };
        Ok(book.keep_draft(None, &draft, stamp)?)
    }

    /// The brief as it was said, with the measure of a person the book knows.
    fn said(&self, book: &Book) -> Result<BriefText, CliError> {
        let mut said = self.as_said();
        if let Some(body) = measure::known(book, said.said("measure").unwrap_or_default())? {
            said.borrow_measure(&body);
        }
        Ok(said)
    }

    fn as_said(&self) -> BriefText {
        let mut said = BriefText::default();
        for (id, text) in &self.fields.0 {
            said.say(id, text);
        }
        said
    }
}

fn json(worked: &Worked) -> serde_json::Value {
    let warnings: Vec<String> = worked.warnings().iter().map(ToString::to_string).collect();
    json!({
        "ropes": worked.setout.ropes,
        "corners": worked.setout.corners,
        "posts": worked.posts.len(),
        "rafters": worked.rafter_count(),
        "panels": worked.thatch.panels,
        "order_panels": worked.thatch.order_panels,
        "people": worked.people(),
        "caution": worked.lift.caution,
        "poles": holds::poles(worked),
        "warnings": warnings,
    })
}

/// The rope kit and what else follows at once.
fn lines(name: &str, worked: &Worked) -> Vec<String> {
    let brief = &worked.brief;
    let metres = crate::measure::told::metres;
    let mut lines = vec![
        format!("{name}: {}, {} x {}", told::plan(worked), metres(brief.length_m), metres(brief.width_m)),
        "Ropes (no allowance for knots is in them):".to_owned(),
    ];
    let ropes: Vec<Vec<String>> = worked
        .setout
        .ropes
        .iter()
        .map(|rope| {
            let marks: Vec<String> = rope.marks_m.iter().map(|m| telling::both(*m, &brief.body)).collect();
            let mark = format!("mark at {}", marks.join(" and "));
            vec![rope.name.to_owned(), format!("cut {}", telling::both(rope.cut_m, &brief.body)), mark]
        })
        .collect();
    lines.extend(lined_up("  ", &[Side::Left; 3], &ropes));
    lines.push("Corners from the centre mark, along and across the house:".to_owned());
    let corners = &worked.setout.corners;
    let corners = [("a", corners.a), ("b", corners.b), ("c", corners.c), ("d", corners.d)]
        .map(|(name, [x, y])| vec![name.to_owned(), metres(x), metres(y)]);
    lines.extend(lined_up("  ", &[Side::Left, Side::Right, Side::Right], &corners));
    lines.push(format!(
        "{} posts, {} rafters, {} panels (order {}); {} people to raise the ridge. {}",
        worked.posts.len(),
        worked.rafter_count(),
        worked.thatch.panels,
        worked.thatch.order_panels,
        worked.people(),
        worked.lift.caution
    ));
    lines.push(holds::in_short(worked));
    lines.extend(worked.warnings().iter().map(|w| format!("Think it over: {w}")));
    lines
}
