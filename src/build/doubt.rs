//! Why something read or signed can no longer be trusted.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use uuid::Uuid;

use super::entry::{Item, Moment};
use super::findings::Findings;
use super::house::{From, PointNow};
use super::readings::Readings;
use super::record::{Gone, Record, Signed, Version};
use super::stage::{Goal, Point, Rule, Stage};
use super::telling::of_item;
use super::verdict::{Verdict, amount};
use super::worked::Worked;

/// A doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// A point, as `set-out/ab`, a stage, an item, or the brief.
    pub what: String,
    /// Since when.
    pub since: Moment,
    /// Why.
    pub cause: String,
}

/// What no one book lets happen, but two that were merged: a brief of which
/// every version is struck, a heap that each let go.
pub(super) fn of_two_books(record: &Record, version: &Version) -> Vec<Doubt> {
    let mut found = Vec::new();
    if record.standing.is_empty() {
        let cause = "every version of it was struck; the last one goes on: say the brief anew".to_owned();
        found.push(Doubt { what: "brief".to_owned(), since: version.since, cause });
    }
    for (item, since) in &record.lacking_since {
        let lacking = record.heaps.get(item).map_or(0.0, |heap| -heap.on_hand);
        let cause = format!("{} more gone than came; count the heap, and tally it", of_item(*item, lacking));
        found.push(Doubt { what: item.word().to_owned(), since: *since, cause });
    }
    found
}

/// The points of a stage as earlier versions of the brief had them, by
/// version.
pub(super) type Before = BTreeMap<Uuid, Vec<Point>>;

/// The points of a stage as those versions had them that its readings and its
/// sign-off were judged by, but for the one in force.
pub(super) fn before(
    stage: &Stage,
    points: &[PointNow],
    signed: Option<&Signed>,
    readings: &Readings,
    earlier: &BTreeMap<Uuid, Worked>,
) -> Before {
    let read_by = points.iter().filter_map(|p| p.reading.as_ref()).map(|r| r.brief);
    let judged_by: BTreeSet<Uuid> = read_by.chain(signed.map(|s| s.sign.brief)).collect();
    let worked = judged_by.into_iter().filter_map(|id| Some((id, earlier.get(&id)?)));
    worked.map(|(id, worked)| (id, (stage.points)(worked, readings))).collect()
}

/// Puts in doubt exactly the points whose targets a changed brief moved by
/// more than their tolerance since they were read.
pub(super) fn from_briefs(
    stage: &Stage,
    points: &mut [PointNow],
    before: &Before,
    version: &Version,
    doubts: &mut Vec<Doubt>,
) {
    for now in points {
        let Some(before) = now.reading.as_ref().and_then(|r| before.get(&r.brief)) else { continue };
        let old = before.iter().find(|p| p.id == now.point.id);
        if let Some(cause) = changed(old, &now.point) {
            now.verdict = Verdict::Doubtful;
            now.why = Some(cause.clone());
            let what = format!("{}/{}", stage.id, now.point.id);
            doubts.push(Doubt { what, since: version.since, cause });
        }
    }
}

/// What changed of a point's target, in words, where it matters.
fn changed(before: Option<&Point>, now: &Point) -> Option<String> {
    let old = before?.goal.target()?;
    let new = now.goal.target()?;
    let tolerance = match now.goal {
        Goal::Near { tolerance, .. } => tolerance,
        _ => 0.0,
    };
    let by = new - old;
    (by.abs() > tolerance + 1e-9)
        .then(|| format!("the brief changed: its target moved by {}", amount(now.kind, by)))
}

/// What puts a sign-off in doubt: a reading it rested on is gone or was read
/// again and is out, the readings since stand against it together, or the
/// brief moved what it rested on.
pub(super) fn of_sign_off(
    stage: &Stage,
    points: &[PointNow],
    findings: &Findings,
    signed: &Signed,
    gone: &BTreeMap<Uuid, Gone>,
    before: &Before,
    version: &Version,
) -> Vec<Doubt> {
    let doubt = |since, cause| Doubt { what: stage.id.to_owned(), since, cause };
    let rested_on: HashSet<Uuid> = signed.sign.rested_on.iter().copied().collect();
    let gone = rested_on.iter().filter_map(|id| gone.get(id));
    let mut found: Vec<Doubt> = gone.map(|g| doubt(g.since, g.cause.clone())).collect();
    let read_since = || {
        points.iter().filter_map(|now| Some((now, now.reading.as_ref()?))).filter(|(_, reading)| {
            reading.happened > signed.happened && !reading.ids.iter().any(|id| rested_on.contains(id))
        })
    };
    for (now, reading) in read_since() {
        if now.verdict == Verdict::Out && now.point.must && stage.rule != Rule::NothingFound {
            found.push(doubt(reading.happened, format!("{} was read again and is out", now.point.says)));
        }
    }
    if let Some(since) = read_since().map(|(_, reading)| reading.happened).max() {
        found.extend(findings.bars.iter().map(|bar| doubt(since, bar.clone())));
    }
    if let Some(before) = before.get(&signed.sign.brief) {
        for now in points.iter().filter(|p| p.from != From::Derived && !p.asked_by_storm) {
            let old = before.iter().find(|p| p.id == now.point.id);
            if old.is_none() {
                found.push(doubt(version.since, format!("the brief changed: {} is new", now.point.says)));
            } else if let Some(cause) = changed(old, &now.point) {
                found.push(doubt(version.since, format!("{}: {cause}", now.point.says)));
            }
        }
    }
    // One word a cause is enough: a brief that moves forty rafters is one doubt.
    found.sort_by(|a, b| a.since.cmp(&b.since).then_with(|| a.cause.cmp(&b.cause)));
    found.dedup();
    found.truncate(3);
    found
}

/// The poles that a stage takes.
fn poles(stage: &Stage, worked: &Worked) -> BTreeSet<Item> {
    (stage.needs)(worked).iter().map(|need| need.item).filter(|item| item.is_pole()).collect()
}

/// The doubts in a sign-off since poles that were built in were lost: it
/// stands for a frame that is not there any more. Thatch is counted by its rows.
pub(super) fn of_losses(stage: &Stage, worked: &Worked, record: &Record, signed: &Signed) -> Vec<Doubt> {
    let since_then = |item: Item| {
        let torn_off = record.torn_off.get(&item).filter(|at| **at > (signed.happened, signed.id))?;
        let cause = format!("{} that was built in was lost since", item.word());
        Some(Doubt { what: stage.id.to_owned(), since: torn_off.0, cause })
    };
    poles(stage, worked).into_iter().filter_map(since_then).collect()
}

/// What of the poles of a stage was lost and not built in anew, in words.
pub(super) fn not_built_in_anew(stage: &Stage, worked: &Worked, record: &Record) -> Vec<String> {
    let lost = |item: Item| {
        let gone = record.heaps.get(&item).map(|heap| heap.gone).filter(|gone| *gone > 0.0)?;
        Some(format!("{} lost and not built in anew", of_item(item, gone)))
    };
    poles(stage, worked).into_iter().filter_map(lost).collect()
}
