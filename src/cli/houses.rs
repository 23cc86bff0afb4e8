//! `houses`: all of them at a glance.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::told;
use crate::book::{Book, BookError, HouseLine, Untold};
use crate::build::Moment;
use crate::build::glance::Glance;
use crate::build::stage::STAGES;
use crate::build::telling;

/// All houses at a glance.
#[derive(Debug, clap::Args)]
pub(super) struct Houses {}

/// How many houses are asked for at a time.
const PAGE: u32 = 500;

impl Houses {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        glance(&scribe.open_to_tell()?, scribe)
    }
}

/// Every house that stands, in the order they were started.
pub(super) fn lines(book: &Book) -> Result<Vec<HouseLine>, BookError> {
    let mut all: Vec<HouseLine> = Vec::new();
    loop {
        let page = book.houses(all.last().map(|house| (house.started, house.id)), PAGE)?;
        if page.is_empty() {
            return Ok(all);
        }
        all.extend(page);
    }
}

/// The houses of a book.
pub(super) fn glance(book: &Book, scribe: &Scribe) -> Result<Said, CliError> {
    let (houses, untold) = book.glances()?;
    if scribe.json {
        let bad = untold
            .iter()
            .map(|(line, why)| json!({ "id": line.id, "name": line.name, "untold": why.to_string() }));
        let told = houses.iter().map(|house| one(house, scribe.stamp.now));
        return Ok(Said::Json(told.chain(bad).collect()));
    }
    if houses.is_empty() && untold.is_empty() {
        let line =
            "No house is in the book yet: spanwright start NAME --measure WHO --span 1.742m --length 4sp";
        return Ok(Said::Lines(vec![line.to_owned()]));
    }
    let head =
        ["house", "stage", "state", "short for the stage", "doubts", "next"].map(str::to_owned).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(head).chain(houses.iter().map(|house| row(house, scribe.stamp.now))).collect();
    let sides = [Side::Left, Side::Left, Side::Left, Side::Left, Side::Right, Side::Left];
    let mut lines = lined_up("", &sides, &rows);
    lines.extend(cannot_be_told(&untold));
    Ok(Said::Lines(lines))
}

/// The houses that cannot be told, a line each: they do not hide the others.
pub(super) fn cannot_be_told(untold: &[Untold]) -> impl Iterator<Item = String> + '_ {
    untold
        .iter()
        .map(|(line, why)| format!("! {why}; strike its start if it is no house of yours: entry {}", line.id))
}

fn one(house: &Glance, now: Moment) -> Value {
    let short: Vec<Value> =
        house.short().map(|s| json!({ "item": s.item, "short": told::count(s.item, s.short) })).collect();
    let held = house.held_at(now).map(|held| {
        json!({
            "cause": held.cause, "from": held.from, "to": held.to, "planned": held.planned, "all": held.all,
            "day": held.day(now), "tied": held.tied.0,
        })
    });
    let to_come = house.held_or_to_be(now).filter(|held| held.is_to_come(now)).map(|held| {
        json!({
            "cause": held.cause, "from": held.from, "to": held.to, "planned": held.planned, "all": held.all,
        })
    });
    json!({
        "id": house.id,
        "name": house.name,
        "owner": house.owner,
        "place": house.place,
        "stage": STAGES.get(house.stage).map(|s| s.id),
        "state": house.state,
        "signed": house.signed,
        "next": house.next_at(now),
        "held": held,
        "held_to_be": to_come,
        "short": short,
        "doubts": house.doubt_count,
        "past_permit": house.past_permit,
        "started": house.started,
        "last": house.last,
    })
}

fn row(house: &Glance, now: Moment) -> Vec<String> {
    let state = match house.held_or_to_be(now) {
        Some(held) if held.is_to_come(now) => format!("{}; {}", house.state, held.told(now)),
        Some(held) => held.told(now),
        None => house.state.clone(),
    };
    let state = if house.past_permit.is_empty() { state } else { format!("{state}, ! past permit") };
    let short = telling::short(house.short().map(|s| (s.item, s.short))).unwrap_or_else(|| "-".to_owned());
    let says = STAGES.get(house.stage).map_or("", |s| s.says);
    vec![
        house.name.clone(),
        format!("{}/{} {says}", house.stage + 1, STAGES.len()),
        state,
        short,
        house.doubt_count.to_string(),
        house.next_at(now),
    ]
}
