//! The work left at a house, told from its readings and its heaps.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::rates::Done;
use crate::build::entry::{Item, Moment, Work};
use crate::build::held::Held;
use crate::build::house::{House, StageNow, State};
use crate::build::weave::{ToWeave, to_weave};

/// The panels of a part of the roof, about: thatching goes on part by part as
/// its panels are woven (common practice, no source).
const PART: f64 = 200.0;
/// The most parts a roof is taken in.
const MOST_PARTS: u32 = 8;
/// Of a house, what is left at the least while something still stands against
/// signing (common practice, no source).
const LEAST: f64 = 0.1;

/// What is left to be done at a house, and what is known of how it goes. It
/// follows from the house's entries alone.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Left {
    /// The work, each behind what it waits for.
    pub chores: Vec<Chore>,
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
            stops: house.holds.iter().map(Stop::of).collect(),
            done: days.filter_map(|(at, entry, day)| Done::of(*at, *entry, day)).collect(),
            seen,
        }
    }
}

/// The work in the order of the stages: the building one after the other, the
/// weaving beside it; each part of the roof waits for its panels.
fn chores(house: &House) -> Vec<Chore> {
    let mut list = List::default();
    let mut before = None;
    let building = [
        (Work::SetOut, set_out(house)),
        (Work::Digging, posts(house, &["depth", "hard-ground"])),
        (Work::Posts, posts(house, &["level", "plumb-along", "plumb-across"])),
        (Work::Beams, beams(house)),
        (Work::Frame, share(house, "roof-frame", LEAST) * f64::from(house.worked.rafter_count())),
        (Work::Raising, share(house, "ridge", LEAST)),
    ];
    for (work, left) in building {
        before = list.add(work, 0, left, before.into_iter().collect()).or(before);
    }
    let (mut woven, mut laid) = (None, before);
    let weave = to_weave(house);
    for part in roof(house, &weave) {
        woven = list.add(Work::Weaving, part.number, part.weave, woven.into_iter().collect()).or(woven);
        let after = laid.into_iter().chain(woven).collect();
        laid = list.add(Work::Thatching, part.number, part.lay, after).or(laid);
    }
    woven = list.add(Work::Weaving, 0, f64::from(weave.caps), woven.into_iter().collect()).or(woven);
    list.add(Work::Capping, 0, caps(house), laid.into_iter().chain(woven).collect());
    list.0
}

#[derive(Default)]
struct List(Vec<Chore>);

impl List {
    /// Adds a chore where anything is left of it, and gives its place.
    fn add(&mut self, work: Work, part: u32, left: f64, after: Vec<usize>) -> Option<usize> {
        if left <= 1e-9 {
            return None;
        }
        self.0.push(Chore { work, part, left, after });
        Some(self.0.len() - 1)
    }
}

/// Whether a stage needs no more work: it is signed, or could be.
fn is_done(now: &StageNow) -> bool {
    matches!(now.state, State::Signed) || now.against.is_empty()
}

/// The share of a stage's points that are unread; while something stands
/// against it, not less than `least`.
fn share(house: &House, stage: &str, least: f64) -> f64 {
    let Some(now) = house.stage(stage).filter(|now| !is_done(now)) else { return 0.0 };
    let must = || now.points.iter().filter(|p| p.point.must);
    let unread = must().filter(|p| p.value.is_none()).count() as f64;
    (unread / must().count().max(1) as f64).max(least)
}

/// In houses: the mark and the pegs, half each.
fn set_out(house: &House) -> f64 {
    (share(house, "centre-mark", LEAST) + share(house, "set-out", LEAST)) / 2.0
}

/// How many posts have one of these unread; one where all are read but
/// something is still to be put right.
fn posts(house: &House, asked: &[&str]) -> f64 {
    let Some(now) = house.stage("posts").filter(|now| !is_done(now)) else { return 0.0 };
    let unread = |id: &str| now.point(id).is_some_and(|p| p.value.is_none());
    let posts = house.worked.posts.iter();
    let left = posts.filter(|post| asked.iter().any(|a| unread(&format!("{}/{a}", post.id)))).count();
    // Holes are put right with their posts.
    let least = usize::from(!asked.contains(&"depth"));
    left.max(least) as f64
}

/// How many tie beams and plates are not tied.
fn beams(house: &House) -> f64 {
    let Some(now) = house.stage("beams").filter(|now| !is_done(now)) else { return 0.0 };
    let unread = |id: String| now.point(&id).is_some_and(|p| p.value.is_none());
    let frames = house.worked.frames_m.len();
    let beams = (1..=frames).filter(|i| unread(format!("beam-{i}/turns"))).count();
    let sides = ["ab", "cd"].into_iter().filter(|side| unread(format!("plate-{side}/turns"))).count();
    ((beams + sides * (frames - 1)) as f64).max(1.0)
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
    let Some(_) = house.stage("cap").filter(|now| !is_done(now)) else { return 0.0 };
    let lie = house.torn.lying(&house.worked, &house.readings, Item::DoubledPanel).unwrap_or(0.0);
    (f64::from(house.worked.thatch.cap_panels) - lie).max(1.0)
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
    let Some(_) = house.stage("thatch").filter(|now| !is_done(now)) else { return Vec::new() };
    let need = f64::from(house.worked.roof_panels());
    let laid = laid(house);
    let parts = ((need / PART).round() as u32).clamp(1, MOST_PARTS);
    if laid >= need {
        // All laid, but not right: a row's work to put it so.
        let last = house.worked.slopes.iter().filter_map(|slope| slope.last());
        let row = last.map(|band| band.panels_per_row).max().map_or(1.0, f64::from);
        return vec![Part { number: parts, lay: row, weave: 0.0 }];
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
mod tests {
    use super::*;
    use crate::build::draft::{Draft, StemSaid};
    use crate::build::trial::Trial;

    const RAISED: [&str; 6] = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];

    fn left(house: &House) -> Vec<(Work, u32, f64)> {
        Left::of(house).chores.into_iter().map(|c| (c.work, c.part, c.left)).collect()
    }

    fn of(house: &House, work: Work) -> f64 {
        left(house).iter().filter(|(w, _, _)| *w == work).map(|(_, _, n)| n).sum()
    }

    fn panels(count: u32, how: &str) -> Draft {
        Draft::Tally {
            item: "panel".to_owned(),
            count: count.to_string(),
            how: how.to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid::default(),
        }
    }

    #[test]
    fn a_house_just_started_has_all_its_work_before_it() {
        let house = Trial::new("Tern house").house();
        let works = Left::of(&house).chores;
        let building: Vec<Work> =
            works.iter().map(|c| c.work).filter(|w| !matches!(w, Work::Weaving | Work::Thatching)).collect();
        use Work::{Beams, Capping, Digging, Frame, Posts, Raising, SetOut};
        assert_eq!(building, [SetOut, Digging, Posts, Beams, Frame, Raising, Capping]);
        assert_eq!(of(&house, Digging), house.worked.posts.len() as f64);
        assert_eq!(of(&house, Work::Thatching), f64::from(house.worked.thatch.roof_panels));
        assert_eq!(of(&house, Work::Weaving), f64::from(house.worked.order_panels()));
        assert!(works.len() <= 30, "{}", works.len());
    }

    #[test]
    fn every_chore_stands_behind_what_it_waits_for_and_each_part_waits_for_its_panels() {
        let chores = Left::of(&Trial::new("Tern house").house()).chores;
        for (at, chore) in chores.iter().enumerate() {
            assert!(chore.after.iter().all(|a| *a < at), "{chore:?}");
            let same = |a: &&usize| chores[**a].work == Work::Weaving && chores[**a].part == chore.part;
            assert!(chore.work != Work::Thatching || chore.after.iter().any(|a| same(&a)), "{chore:?}");
        }
    }

    #[test]
    fn a_hole_that_is_read_is_dug() {
        let trial = Trial::new("Tern house").built(&["centre-mark", "set-out"]);
        let before = of(&trial.house(), Work::Digging);
        let half = trial.read("posts/A/depth", "0.95 m");
        assert_eq!(of(&half.house(), Work::Digging), before, "whether it is on hard ground is not known");
        let dug = half.read("posts/A/hard-ground", "yes").house();
        assert_eq!(of(&dug, Work::Digging), before - 1.0);
        assert_eq!(of(&dug, Work::SetOut), 0.0);
    }

    #[test]
    fn panels_on_hand_are_not_woven_again_and_rows_laid_are_not_laid_again() {
        let trial = Trial::new("Sister house").built(&RAISED);
        let need = f64::from(trial.house().worked.thatch.roof_panels);
        let all = trial.house().worked.panels();
        let row = f64::from(trial.house().worked.thatch.panels_per_row);
        let trial =
            trial.draft(&panels(100, "woven")).read("thatch/rows-ab", "2").read("thatch/rows-cd", "1");
        let house = trial.house();
        assert_eq!(of(&house, Work::Thatching), need - 3.0 * row);
        // The rows were laid from the hundred; a tenth of the rest spoils.
        assert_eq!(of(&house, Work::Weaving), f64::from(house.worked.spoil.to_weave(all - 100)));
        let later = trial.draft(&panels(50, "used")).house();
        assert!(of(&later, Work::Thatching) <= need - 50.0);
    }

    #[test]
    fn a_roof_finished_in_another_kind_takes_the_panels_it_takes() {
        let begun = Trial::new("Sister house")
            .built(&RAISED)
            .read("thatch/rows-ab", "40")
            .read("thatch/rows-cd", "40");
        let changes = vec![("thatch".to_owned(), "coconut".to_owned())];
        let trial = begun.draft(&Draft::Brief { changes });
        let house = trial.house();
        // 8 rows of 8 panels on each slope are left, above 40 of nipa.
        assert_eq!(house.worked.slopes.each_ref().map(|bands| bands[1].panels()), [64, 64]);
        assert_eq!(of(&house, Work::Thatching), 128.0);
        let laid = trial.read("thatch/rows-ab", "48").read("thatch/rows-cd", "48").house();
        assert_eq!(of(&laid, Work::Thatching), 8.0, "all rows lie; what is not read is a row's work");
        let caps = laid.worked.thatch.cap_panels;
        assert_eq!(of(&laid, Work::Weaving), f64::from(laid.worked.spoil.to_weave(2 * caps)));
    }

    #[test]
    fn a_part_of_the_roof_keeps_its_place_as_the_work_goes_on() {
        let trial = Trial::new("Sister house").built(&RAISED);
        let ends = |trial: &Trial| {
            left(&trial.house()).into_iter().rfind(|(w, _, _)| *w == Work::Thatching).unwrap()
        };
        let before = ends(&trial);
        assert_eq!(ends(&trial.read("thatch/rows-ab", "3")), before);
    }

    #[test]
    fn a_stage_read_through_but_not_right_still_takes_some_work() {
        let trial = Trial::new("Tern house").built(&["centre-mark", "set-out"]).read_true("posts");
        assert_eq!(of(&trial.house(), Work::Posts), 0.0);
        let leans = trial.read("posts/A/plumb-along", "100 mm").house();
        assert_eq!((of(&leans, Work::Digging), of(&leans, Work::Posts)), (0.0, 1.0));
    }

    #[test]
    fn nothing_is_left_at_a_house_handed_over() {
        let all: Vec<&str> = crate::build::stage::STAGES.iter().map(|s| s.id).collect();
        assert_eq!(left(&Trial::new("School shade").built(&all).house()), []);
    }
}
