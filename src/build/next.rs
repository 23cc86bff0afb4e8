//! What is next at a house, in one sentence.

use chrono::Datelike;

use super::entry::Moment;
use super::held::Held;
use super::house::{House, StageNow, State};
use super::stage::PointKind;
use super::verdict::Verdict;

/// What is next where a hold stops the work.
pub(super) fn while_held(held: &Held, now: Moment) -> String {
    let until = match held.to {
        Some(to) => format!("before {}", day_here(to, now)),
        None => "before it is resumed".to_owned(),
    };
    format!("Held since {}: {}. Nothing is asked {until}.", day_here(held.from, now), held.cause)
}

/// What is next in the work, whether a hold stops it or not.
pub(super) fn of_work(house: &House) -> String {
    let stage = house.in_hand();
    if house.is_handed_over() && stage.state == State::Signed {
        let year = thatch_year(house).unwrap_or_else(|| house.last.year());
        return format!("Handed over. Look at the thatch every year; lay it new about {year}.");
    }
    of_stage(stage, house)
}

/// The year in which the thatch has served its time, from the signing of the
/// cap and the life of its kind.
#[must_use]
pub fn thatch_year(house: &House) -> Option<i32> {
    let laid = house.stage("cap")?.signed.as_ref()?;
    Some(laid.happened.year() + house.worked.life_years() as i32)
}

fn of_stage(now: &StageNow, house: &House) -> String {
    let says = now.stage.says.to_lowercase();
    let again = now.points.iter().find(|p| p.asks_again() || p.verdict == Verdict::Doubtful);
    if let Some(p) = again {
        if p.point.kind == PointKind::YesNo {
            return format!("Answer after the storm: {}?", p.point.says);
        }
        return format!("Read {} again: {}.", p.point.says, p.why.as_deref().unwrap_or("it is in doubt"));
    }
    if let Some(next) = &now.findings.next {
        return next.clone();
    }
    let must = || now.points.iter().filter(|p| p.point.must);
    let ready = now.against.is_empty();
    if !ready && let Some(p) = must().find(|p| p.verdict == Verdict::Unread) {
        return match p.point.kind {
            PointKind::YesNo => format!("Answer: {}? ({says})", p.point.says),
            PointKind::Count => format!("Count {} ({says}).", p.point.says),
            _ => format!("Read {} ({says}).", p.point.says),
        };
    }
    if !ready && let Some(p) = must().find(|p| p.verdict == Verdict::Out) {
        return format!("Put right {}: {}.", p.point.says, p.why.as_deref().unwrap_or("it is out"));
    }
    if now.state == State::Doubtful {
        let cause = house
            .doubts
            .iter()
            .find(|d| d.what == now.stage.id)
            .map_or("something changed since", |d| &d.cause);
        return format!("Look at {says} and sign it again: {cause}.");
    }
    if ready {
        return format!("Sign {says}: {}.", now.stage.rule_says);
    }
    format!("{says}: {}.", now.against.join("; "))
}

/// A day as people tell it: 2 Nov.
#[must_use]
pub fn day(at: Moment) -> String {
    at.format("%-d %b").to_string()
}

/// The same, by the days of the place that `now` is told in: an entry may have
/// been written under another offset.
#[must_use]
pub fn day_here(at: Moment, now: Moment) -> String {
    day(at.with_timezone(now.offset()))
}
