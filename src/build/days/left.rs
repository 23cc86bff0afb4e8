//! The work left at a house, told from its readings and its heaps.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::rates::Done;
use crate::build::entry::{Item, Moment, Work};
use crate::build::held::Held;
use crate::build::house::{House, PointNow, StageNow, State};
use crate::build::stage::Rule;
use crate::build::storm::ToRead;
use crate::build::verdict::Verdict;
use crate::build::weave::{ToWeave, to_weave};

/// The panels of a part of the roof, about: thatching goes on part by part as
/// its panels are woven (common practice, no source).
const PART: f64 = 200.0;
/// The most parts a roof is taken in.
const MOST_PARTS: u32 = 8;
/// Of a house, what is left at the least while something still stands against
/// signing; what is read again takes as long (common practice, no source).
const LEAST: f64 = 0.1;

/// What is left to be done at a house, and what is known of how it goes. It
/// follows from the house's entries alone.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Left {
    /// The work, each behind what it waits for.
    pub chores: Vec<Chore>,
    /// The people that raising the ridge asks for, at the poles.
    pub people: u32,
    /// Whether a storm is why something is to be read again.
    pub after_storm: bool,
    /// Every stop of the work, the latest last.
    pub stops: Vec<Stop>,
    /// What was done in days that were told and counted.
    pub done: Vec<Done>,
    /// When each crew was last here, the latest last.
    pub seen: Vec<Seen>,
}

/// A piece of work that is not broken off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chore {
    /// What.
    pub work: Work,
    /// Which part of the roof, from 1 at the eave; 0 where it has no parts,
    /// and for the panels of the cap.
    pub part: u32,
    /// How much is left, in what the work is counted in; more than 0.
    pub left: f64,
    /// How many points are to be read again, where that is all it is; else 0.
    pub again: u32,
    /// The places of the chores it waits for.
    pub after: Vec<usize>,
}

/// A stop of the work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// Why.
    pub cause: String,
    /// Whether all houses were stopped.
    pub all: bool,
    /// From when.
    pub from: Moment,
    /// Until when, where that is known.
    pub to: Option<Moment>,
}

impl Stop {
    pub(super) fn of(held: &Held) -> Self {
        Self { cause: held.cause.clone(), all: held.all, from: held.from, to: held.to }
    }

    /// The first day on which nothing is done for it, and the day on which the
    /// work goes on, where that is known.
    #[must_use]
    pub fn days(&self) -> (NaiveDate, Option<NaiveDate>) {
        (self.from.date_naive(), self.to.map(|to| to.date_naive()))
    }
}

/// That a crew was at a house.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// The crew.
    pub crew: String,
    /// What it did there last.
    pub work: Work,
    /// When.
    pub day: NaiveDate,
}

impl Left {
    /// What is left at a house.
    #[must_use]
    pub fn of(house: &House) -> Self {
        let mut seen: Vec<Seen> = Vec::new();
        for (at, _, day) in &house.crew_days {
            seen.retain(|s| s.crew != day.crew);
            seen.push(Seen { crew: day.crew.clone(), work: day.work, day: at.date_naive() });
        }
        let days = house.crew_days.iter();
        Self {
            chores: chores(house),
            people: house.worked.people(),
            after_storm: house.stages.iter().flat_map(|s| &s.points).any(of_storm),
            stops: house.holds.iter().map(Stop::of).collect(),
            done: days.filter_map(|(at, entry, day)| Done::of(*at, *entry, day)).collect(),
            seen,
        }
    }
}

fn of_storm(now: &PointNow) -> bool {
    now.asks_again() && (now.since_storm || now.asked_by_storm)
}

/// The work in the order of the stages: the building one after the other, the
/// weaving beside it; each part of the roof waits for its panels. What was done
/// and is to be read again comes before the rest of the same work.
fn chores(house: &House) -> Vec<Chore> {
    let mut list = List { chores: Vec::new(), to_read: house.read_again() };
    let mut before = None;
    let rafters = f64::from(house.worked.rafter_count());
    let frame = (share(house, "roof-frame") * rafters).max(gone(house, "roof-frame", &[Item::Rafter]));
    let building = [
        (Work::SetOut, LEAST, set_out(house)),
        (Work::Digging, LEAST, posts(house, &["depth", "hard-ground"])),
        (Work::Posts, 1.0, posts(house, &["level", "plumb-along", "plumb-across"])),
        (Work::Beams, 1.0, beams(house)),
        (Work::Frame, LEAST * rafters, frame),
        (Work::Raising, LEAST, share(house, "ridge")),
    ];
    for (work, look, left) in building {
        before = list.read(work, look, before).or(before);
        before = list.add(work, 0, left, before.into_iter().collect()).or(before);
    }
    let weave = to_weave(house);
    let (mut woven, mut laid) = (None, list.read(Work::Thatching, row(house), before).or(before));
    for part in roof(house, &weave) {
        woven = list.add(Work::Weaving, part.number, part.weave, woven.into_iter().collect()).or(woven);
        let after = laid.into_iter().chain(woven).collect();
        laid = list.add(Work::Thatching, part.number, part.lay, after).or(laid);
    }
    woven = list.add(Work::Weaving, 0, f64::from(weave.caps), woven.into_iter().collect()).or(woven);
    laid = list.read(Work::Capping, 1.0, laid).or(laid);
    list.add(Work::Capping, 0, caps(house), laid.into_iter().chain(woven).collect());
    list.chores
}

struct List {
    chores: Vec<Chore>,
    to_read: Vec<ToRead>,
}

impl List {
    /// Adds a chore where anything is left of it, and gives its place.
    fn add(&mut self, work: Work, part: u32, left: f64, after: Vec<usize>) -> Option<usize> {
        if left <= 1e-9 {
            return None;
        }
        self.chores.push(Chore { work, part, left, again: 0, after });
        Some(self.chores.len() - 1)
    }

    /// Adds what is to be read again where a work was done, and gives its
    /// place. It takes as long as so little of the work.
    fn read(&mut self, work: Work, left: f64, before: Option<usize>) -> Option<usize> {
        let here = |r: &&ToRead| r.once_with.is_none() && read_with(&r.point.stage) == Some(work);
        let again = self.to_read.iter().filter(here).count() as u32;
        if again == 0 {
            return None;
        }
        self.chores.push(Chore { work, part: 0, left, again, after: before.into_iter().collect() });
        Some(self.chores.len() - 1)
    }
}

/// With which work the points of a stage are read again.
fn read_with(stage: &str) -> Option<Work> {
    Some(match stage {
        "centre-mark" | "set-out" => Work::SetOut,
        "posts" => Work::Posts,
        "beams" => Work::Beams,
        "roof-frame" => Work::Frame,
        "ridge" => Work::Raising,
        "thatch" => Work::Thatching,
        "cap" | "handing-over" => Work::Capping,
        _ => return None,
    })
}

/// Whether a stage needs no more work: it is signed, or could be.
fn is_done(now: &StageNow) -> bool {
    matches!(now.state, State::Signed) || now.against.is_empty()
}

/// Whether there is work at a stage beside reading again what was done.
fn is_to_do(now: &StageNow) -> bool {
    let stands = |p: &&PointNow| p.point.must && !p.asks_again();
    let work = |p: &PointNow| match p.verdict {
        Verdict::Unread => true,
        Verdict::Out => now.stage.rule == Rule::AllTrue || p.asked_by_storm,
        _ => false,
    };
    !is_done(now) && (!now.findings.bars.is_empty() || now.points.iter().filter(stands).any(work))
}

/// How many pieces of a stage were built in and are gone, with nothing in
/// their place.
fn gone(house: &House, stage: &str, items: &[Item]) -> f64 {
    let all = house.stage(stage).into_iter().flat_map(|now| &now.items);
    let of = all.filter(|i| items.contains(&i.need.item));
    of.map(|i| i.left.min((i.heap.ever_used - i.heap.used).max(0.0))).sum()
}

/// The share of a stage's points that are unread, not less than [`LEAST`]; 0
/// where there is no work.
fn share(house: &House, stage: &str) -> f64 {
    let Some(now) = house.stage(stage).filter(|now| is_to_do(now)) else { return 0.0 };
    let must = || now.points.iter().filter(|p| p.point.must);
    let unread = must().filter(|p| p.value.is_none() && !p.asks_again()).count() as f64;
    (unread / must().count().max(1) as f64).max(LEAST)
}

/// In houses: the mark and the pegs, half each.
fn set_out(house: &House) -> f64 {
    (share(house, "centre-mark") + share(house, "set-out")) / 2.0
}

/// How many posts have one of these unread, or are gone; one where all are
/// read but something is still to be put right.
fn posts(house: &House, asked: &[&str]) -> f64 {
    // Holes are put right with their posts.
    let holes = asked.contains(&"depth");
    let gone = if holes { 0.0 } else { gone(house, "posts", &[Item::Post]) };
    let Some(now) = house.stage("posts").filter(|now| is_to_do(now)) else { return gone };
    let unread = |id: &str| now.point(id).is_some_and(|p| p.value.is_none());
    let posts = house.worked.posts.iter();
    let left = posts.filter(|post| asked.iter().any(|a| unread(&format!("{}/{a}", post.id)))).count();
    (left.max(usize::from(!holes)) as f64).max(gone)
}

/// How many tie beams and plates are not tied, or are gone.
fn beams(house: &House) -> f64 {
    let gone = gone(house, "beams", &[Item::TieBeam, Item::Plate]);
    let Some(now) = house.stage("beams").filter(|now| is_to_do(now)) else { return gone };
    let unread = |id: String| now.point(&id).is_some_and(|p| p.value.is_none());
    let frames = house.worked.frames_m.len();
    let beams = (1..=frames).filter(|i| unread(format!("beam-{i}/turns"))).count();
    let sides = ["ab", "cd"].into_iter().filter(|side| unread(format!("plate-{side}/turns"))).count();
    ((beams + sides * (frames - 1)) as f64).max(1.0).max(gone)
}

/// How many panels lie on the roof: what the rows read say, or what was
/// tallied as used, whichever is more.
fn laid(house: &House) -> f64 {
    let used = house.heaps.get(&Item::Panel).map_or(0.0, |heap| heap.used);
    let by_rows = house.torn.lying(&house.worked, &house.readings, Item::Panel).unwrap_or(0.0);
    by_rows.max(used).clamp(0.0, f64::from(house.worked.roof_panels()))
}

/// How many caps are not laid.
fn caps(house: &House) -> f64 {
    let Some(now) = house.stage("cap").filter(|now| !is_done(now)) else { return 0.0 };
    let lie = house.torn.lying(&house.worked, &house.readings, Item::DoubledPanel).unwrap_or(0.0);
    let least = if is_to_do(now) { 1.0 } else { 0.0 };
    (f64::from(house.worked.thatch.cap_panels) - lie).max(least)
}

/// The panels of the widest of the last rows.
fn row(house: &House) -> f64 {
    let last = house.worked.slopes.iter().filter_map(|slope| slope.last());
    last.map(|band| band.panels_per_row).max().map_or(1.0, f64::from)
}

/// A part of the roof.
struct Part {
    /// Counted from the eave, from 1.
    number: u32,
    /// Panels to be laid.
    lay: f64,
    /// Panels to be woven first.
    weave: f64,
}

/// The parts of the roof that are not laid. Where one ends does not hang on
/// how much is done, so that a part stays the same from day to day. What is
/// there of panels goes to the lowest rows.
fn roof(house: &House, weave: &ToWeave) -> Vec<Part> {
    let Some(now) = house.stage("thatch").filter(|now| !is_done(now)) else { return Vec::new() };
    let need = f64::from(house.worked.roof_panels());
    let laid = laid(house);
    let parts = ((need / PART).round() as u32).clamp(1, MOST_PARTS);
    if laid >= need {
        // All laid, but not right: a row's work to put it so.
        let lay = if is_to_do(now) { row(house) } else { 0.0 };
        return vec![Part { number: parts, lay, weave: 0.0 }];
    }
    let there = need - f64::from(weave.roof_lacks);
    let edge = |n: u32| (need * f64::from(n) / f64::from(parts)).round();
    let from = |n: u32, so_far: f64| (edge(n) - edge(n - 1).max(so_far)).max(0.0);
    // How many are woven for all parts up to one.
    let woven = |n: u32| f64::from(house.worked.spoil.to_weave((edge(n) - there).max(0.0) as u32));
    (1..=parts)
        .map(|number| Part { number, lay: from(number, laid), weave: woven(number) - woven(number - 1) })
        .filter(|part| part.lay > 0.0)
        .collect()
}

#[cfg(test)]
mod tests;
