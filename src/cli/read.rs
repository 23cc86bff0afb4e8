//! `read`: a reading of a point.

use serde_json::json;
use uuid::Uuid;

use super::error::CliError;
use super::says::Said;
use super::scribe::{Scribe, house, while_held};
use super::told;
use crate::book::{Book, Kept, Stamp};
use crate::build::House;
use crate::build::accept;
use crate::build::draft::Draft;
use crate::build::house::PointNow;
use crate::build::stage::PointKind;
use crate::build::telling;
use crate::measure::Unit;

/// Record a reading of a point.
#[derive(Debug, clap::Args)]
pub(super) struct Read {
    /// The house
    house: String,
    /// The point, as STAGE/POINT: set-out/ab, posts/A/depth
    point: String,
    /// The value as it was called out: 6.970m, 4 sp, 5' 4 1/2", yes
    #[arg(allow_hyphen_values = true)]
    value: String,
    /// A repeat, to stand beside the earlier reading
    #[arg(long)]
    again: bool,
    /// With what it was read
    #[arg(long, value_name = "WHAT", default_value = "", hide_default_value = true)]
    with: String,
    /// Whose spans are meant, where not the house's own
    #[arg(long, value_name = "NAME")]
    measure: Option<String>,
    /// The unit of a bare number, where not the brief's own: cm, m, mm, ft, in, sp, …
    #[arg(long, value_parser = unit)]
    unit: Option<Unit>,
}

fn unit(text: &str) -> Result<Unit, String> {
    Unit::called(text).ok_or_else(|| {
        let known: Vec<&str> = Unit::ALL.iter().map(|u| u.sign()).collect();
        format!("no unit; {} would do", known.join(", "))
    })
}

impl Read {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let mut book = scribe.open()?;
        let kept = self.keep(&mut book, &scribe.stamp)?;
        let house = house(&book, &self.house)?;
        let cautions = cautions(&house, &self.point, kept.entry);
        let (name, now) = accept::point(&house, &self.point).map_err(|e| vec![e])?;
        let kind = now.point.kind;
        let more = json!({
            "point": name.to_string(),
            "kind": kind.word(),
            "reading": now.value.map(|v| told::json(kind, v)),
            "target": now.point.goal.target().map(|v| told::json(kind, v)),
            "difference": now.difference.map(|v| told::json(kind, v)),
            "verdict": now.verdict.word(),
            "why": now.why,
            "cautions": cautions,
            "held": house.held_at(scribe.stamp.now).map(|held| &held.cause),
        });
        let at = scribe.stamp.now;
        let then = while_held(&house, at).unwrap_or_else(|| house.next_at(at));
        Ok(Said::kept(
            scribe.json,
            kept,
            more,
            cautions
                .iter()
                .map(|caution| format!("! {caution}"))
                .chain([line(&house, &name.to_string(), now), then])
                .collect(),
        ))
    }

    pub(super) fn keep(&self, book: &mut Book, stamp: &Stamp) -> Result<Kept, CliError> {
        let house = book.house_named(&self.house)?;
        let draft = Draft::Reading {
            point: self.point.clone(),
            value: self.value.clone(),
            again: self.again,
            with: self.with.clone(),
            whose: self.measure.clone(),
            bare: self.unit,
        };
        Ok(book.keep_draft(Some(house), &draft, stamp)?)
    }
}

/// The cautions of a stage, where an entry is the first reading there.
fn cautions(house: &House, point: &str, entry: Uuid) -> &'static [&'static str] {
    let stage = point.split_once('/').and_then(|(stage, _)| house.stage(stage));
    let Some(now) = stage else { return &[] };
    let mut read = now.points.iter().filter_map(|p| p.reading.as_ref()).flat_map(|r| &r.ids);
    if read.all(|id| *id == entry) { now.stage.cautions } else { &[] }
}

/// `set-out/ab: 6.970 m (4 sp + 2 mm), meant 6.968 m, +2 mm: true`.
fn line(house: &House, name: &str, now: &PointNow) -> String {
    let body = &house.worked.brief.body;
    let (read, meant) = match (now.point.kind, now.value, now.point.goal.target()) {
        (PointKind::Length, Some(read), Some(target)) => {
            (telling::both(read, body), telling::both(target, body))
        }
        _ => (telling::read(now), telling::meant(&now.point, body)),
    };
    let repeats = match &now.reading {
        Some(reading) if reading.ids.len() > 1 => format!(", the mean of {}", reading.ids.len()),
        _ => String::new(),
    };
    let difference = match telling::difference(now) {
        off if off.is_empty() => off,
        off => format!(", {off}"),
    };
    let why = now.why.as_ref().map_or_else(String::new, |why| format!(" ({why})"));
    format!("{name}: {read}{repeats}, meant {meant}{difference}: {}{why}", now.verdict.word())
}
