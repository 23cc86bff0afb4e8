//! `houses`: all of them at a glance.

use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::told;
use crate::book::{Book, BookError, HouseLine};
use crate::build::stage::STAGES;
use crate::build::telling;
use crate::build::{House, Moment};

/// All houses at a glance.
#[derive(Debug, clap::Args)]
pub(super) struct Houses {}

/// How many houses are asked for at a time.
const PAGE: u32 = 500;

impl Houses {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        glance(&scribe.open()?, scribe)
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
    let mut houses = Vec::new();
    for line in lines(book)? {
        houses.push(House::of(line.id, &book.entries_of(Some(line.id))?)?);
    }
    if scribe.json {
        return Ok(Said::Json(houses.iter().map(|house| one(house, scribe.stamp.now)).collect()));
    }
    if houses.is_empty() {
        let line =
            "No house is in the book yet: spanwright start NAME --measure WHO --span 1.742m --length 4sp";
        return Ok(Said::Lines(vec![line.to_owned()]));
    }
    let head = ["house", "stage", "state", "short", "doubts", "next"].map(str::to_owned).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(head).chain(houses.iter().map(|house| row(house, scribe.stamp.now))).collect();
    let sides = [Side::Left, Side::Left, Side::Left, Side::Left, Side::Right, Side::Left];
    Ok(Said::Lines(lined_up("", &sides, &rows)))
}

fn one(house: &House, now: Moment) -> Value {
    let stage = house.in_hand();
    let short: Vec<Value> = stage
        .items
        .iter()
        .filter(|i| i.short > 0.0)
        .map(|i| json!({ "item": i.need.item, "short": told::count(i.need.item, i.short) }))
        .collect();
    let held = house.held().map(|held| {
        json!({ "cause": held.cause, "from": held.from, "planned": held.planned, "all": held.all, "day": held.day(now) })
    });
    json!({
        "id": house.id,
        "name": house.name,
        "owner": house.worked.brief.owner,
        "place": house.worked.brief.place,
        "stage": stage.stage.id,
        "state": stage.state.word(),
        "signed": house.stages.iter().filter(|s| s.signed.is_some()).count(),
        "next": house.next,
        "held": held,
        "short": short,
        "doubts": house.doubts.len(),
        "started": house.started,
        "last": house.last,
    })
}

fn row(house: &House, now: Moment) -> Vec<String> {
    let stage = house.in_hand();
    let state = match house.held() {
        Some(held) => format!("held, {}, day {}", held.cause, held.day(now)),
        None => stage.state.word().to_owned(),
    };
    let short: Vec<String> = stage
        .items
        .iter()
        .filter(|i| i.short > 0.0)
        .map(|i| telling::of_item(i.need.item, i.short))
        .collect();
    let short = match short.as_slice() {
        [] => "-".to_owned(),
        [one] => one.clone(),
        [one, more @ ..] => format!("{one} and {} more", more.len()),
    };
    vec![
        house.name.clone(),
        format!("{}/{} {}", stage.stage.number, STAGES.len(), stage.stage.says),
        state,
        short,
        house.doubts.len().to_string(),
        house.next.clone(),
    ]
}
