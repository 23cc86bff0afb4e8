//! Why something read or signed can no longer be trusted.

use super::entry::Moment;
use super::house::PointNow;
use super::readings::Readings;
use super::record::{Record, Signed, Version};
use super::stage::{Goal, Point, Stage};
use super::verdict::{Verdict, amount};
use super::worked::Worked;

/// A doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// A point, as `set-out/ab`, or a stage.
    pub what: String,
    /// Since when.
    pub since: Moment,
    /// Why.
    pub cause: String,
}

/// Puts in doubt exactly the points whose targets a changed brief moved by
/// more than their tolerance since they were read.
pub(super) fn from_briefs(
    stage: &Stage,
    points: &mut [PointNow],
    record: &Record,
    version: &Version,
    doubts: &mut Vec<Doubt>,
) {
    for now in points {
        let Some(reading) = &now.reading else { continue };
        if reading.brief == version.id {
            continue;
        }
        let Some(worked) = record.worked(reading.brief) else { continue };
        let before = then(stage, &worked, &record.readings, &now.point.id);
        if let Some(cause) = changed(before.as_ref(), &now.point) {
            now.verdict = Verdict::Doubtful;
            now.why = Some(cause.clone());
            let what = format!("{}/{}", stage.id, now.point.id);
            doubts.push(Doubt { what, since: version.happened, cause });
        }
    }
}

/// A point as an earlier brief had it.
fn then(stage: &Stage, worked: &Worked, readings: &Readings, id: &str) -> Option<Point> {
    (stage.points)(worked, readings).into_iter().find(|p| p.id == id)
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
/// again and is out, or the brief moved what it rested on.
pub(super) fn of_sign_off(
    stage: &Stage,
    points: &[PointNow],
    signed: &Signed,
    record: &Record,
    version: &Version,
) -> Vec<Doubt> {
    let doubt = |since, cause| Doubt { what: stage.id.to_owned(), since, cause };
    let mut found: Vec<Doubt> = Vec::new();
    let gone = signed
        .sign
        .rested_on
        .iter()
        .filter_map(|id| record.gone.get(id))
        .map(|g| doubt(g.since, g.cause.clone()));
    found.extend(gone);
    for now in points {
        let Some(reading) = &now.reading else { continue };
        let since_signed = !reading.ids.iter().any(|id| signed.sign.rested_on.contains(id));
        if since_signed && now.verdict == Verdict::Out && now.point.must && reading.happened > signed.happened
        {
            found.push(doubt(reading.happened, format!("{} was read again and is out", now.point.says)));
        }
    }
    if signed.sign.brief != version.id
        && let Some(worked) = record.worked(signed.sign.brief)
    {
        let before = (stage.points)(&worked, &record.readings);
        for now in points.iter().filter(|p| p.from != super::house::From::Derived) {
            let old = before.iter().find(|p| p.id == now.point.id);
            if old.is_none() {
                found.push(doubt(version.happened, format!("the brief changed: {} is new", now.point.says)));
            } else if let Some(cause) = changed(old, &now.point) {
                found.push(doubt(version.happened, format!("{}: {cause}", now.point.says)));
            }
        }
    }
    // One word a cause is enough: a brief that moves forty rafters is one doubt.
    found.sort_by(|a, b| a.since.cmp(&b.since).then_with(|| a.cause.cmp(&b.cause)));
    found.dedup();
    found.truncate(3);
    found
}
