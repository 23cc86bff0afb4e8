//! `where`: where the work was.

use serde_json::{Value, json};

use super::error::CliError;
use super::says::Said;
use super::scribe::Scribe;
use super::told;
use crate::book::{HouseWas, Were};
use crate::build::Moment;
use crate::build::days::telling::day;
use crate::build::stage::STAGES;

/// Where the work was: what was written last, and what is first to do.
///
/// Of each house: what was written last, what is in hand, in doubt and short,
/// and what is first to do.
#[derive(Debug, clap::Args)]
pub(super) struct Where {}

impl Where {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let now = scribe.stamp.now;
        let were = scribe.open_to_tell()?.where_we_were(now)?;
        if scribe.json {
            return Ok(Said::Json(whole(&were, now)));
        }
        let mut lines: Vec<String> = were.why.iter().cloned().collect();
        lines.extend(were.houses.iter().flat_map(|house| one(house, now)));
        if lines.is_empty() {
            lines.push("No house is in the book yet.".to_owned());
        }
        Ok(Said::Lines(lines))
    }
}

fn one(was: &HouseWas, now: Moment) -> Vec<String> {
    let mut lines = vec![format!("{}: {}", was.glance.name, was.in_hand(now))];
    lines.extend(was.lately.iter().map(|line| {
        format!("  {}, {}: {}", day(line.at.date_naive(), now.date_naive()), line.by, line.says)
    }));
    lines.extend(was.doubtful().map(|told| format!("  ? {told}")));
    lines.extend(was.short().map(|told| format!("  {told}")));
    lines.push(format!("  First: {}", was.glance.next_at(now)));
    lines
}

fn whole(were: &Were, now: Moment) -> Value {
    let houses: Vec<Value> = were.houses.iter().map(|was| house(was, now)).collect();
    json!({ "why": were.why, "houses": houses })
}

fn house(was: &HouseWas, now: Moment) -> Value {
    let glance = &was.glance;
    let lately: Vec<Value> =
        was.lately.iter().map(|line| json!({ "at": line.at, "by": line.by, "says": line.says })).collect();
    let short: Vec<Value> =
        glance.short().map(|s| json!({ "item": s.item, "short": told::count(s.item, s.short) })).collect();
    json!({
        "id": glance.id,
        "name": glance.name,
        "stage": STAGES.get(glance.stage).map(|s| s.id),
        "state": glance.state,
        "lately": lately,
        "doubts": glance.doubt_count,
        "first_doubts": glance.doubts,
        "short": short,
        "first": glance.next_at(now),
    })
}
