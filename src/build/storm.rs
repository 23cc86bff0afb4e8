//! After a storm: what it can have changed is read again, and nothing else.
//!
//! A hold for a storm that has ended touches every house it held. Readings
//! from before its end that the wind and the water can have undone are in
//! doubt, as far as the house has got; each stage says itself which these are
//! and what is asked only after a storm ([`Stage::after_storm`]). Hole depths,
//! spans and counts of cut poles stay trusted.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::doubt::Doubt;
use super::entry::{Moment, PointName};
use super::house::{From, House, PointNow};
use super::readings::{Current, Readings};
use super::record::Signed;
use super::stage::{Point, STAGES, Stage};
use super::stages::beams;
use super::verdict::Verdict;
use super::worked::Worked;

/// What a storm can have done to a stage.
#[derive(Debug, Clone, Copy)]
pub struct AfterStorm {
    /// Whether it can have changed a point, by its id; asked of points that
    /// were read.
    pub shakes: fn(&str, &Progress) -> bool,
    /// What is asked only after a storm, as far as the house has got.
    pub asks: fn(&Worked, &Progress) -> Vec<Point>,
}

/// A stage that a storm leaves as it was.
pub const UNSHAKEN: AfterStorm = AfterStorm { shakes: |_, _| false, asks: |_, _| Vec::new() };

/// How far a house has got: what was read and what was signed.
#[derive(Debug, Clone, Default)]
pub struct Done {
    read: BTreeSet<PointName>,
    signed: BTreeSet<String>,
}

impl Done {
    pub(super) fn of(readings: &Readings, signs: &BTreeMap<String, Signed>) -> Self {
        Self { read: readings.0.keys().cloned().collect(), signed: signs.keys().cloned().collect() }
    }

    /// Whether anything was read at a stage after the posts, or it was signed.
    fn is_past_posts(&self) -> bool {
        let mut later = STAGES.iter().skip_while(|s| s.id != POSTS).skip(1);
        later.any(|s| self.signed.contains(s.id) || self.read.iter().any(|p| p.stage == s.id))
    }

    /// Whether a post stands: it was plumbed or levelled, bases or heads were
    /// read from it, the posts were signed, or the work has gone past them.
    fn stands(&self, post: &str) -> bool {
        let read_at = |point: &str| match point.split_once('/') {
            Some(("base" | "head", pair)) => pair.to_uppercase().contains(post),
            Some((at, what)) => at == post && (what == "level" || what.starts_with("plumb")),
            None => false,
        };
        self.signed.contains(POSTS)
            || self.read.iter().any(|p| p.stage == POSTS && read_at(&p.point))
            || self.is_past_posts()
    }
}

const POSTS: &str = "posts";

/// How far a house had got when a storm ended, and how far it is now.
#[derive(Debug, Clone, Default)]
pub struct Progress {
    then: Done,
    now: Done,
}

impl Progress {
    /// Whether a post stood when the storm ended.
    #[must_use]
    pub fn stood(&self, post: &str) -> bool {
        self.then.stands(post)
    }

    /// Whether a post stands now.
    #[must_use]
    pub fn stands(&self, post: &str) -> bool {
        self.now.stands(post)
    }
}

/// What is called a storm; a flood can have scoured what a storm can, and is
/// taken for one.
const STORMS: [&str; 6] = ["storm", "cyclone", "hurricane", "typhoon", "flood", "surge"];

/// Whether the cause of a hold is a storm.
#[must_use]
pub fn is_storm(cause: &str) -> bool {
    let cause = cause.to_lowercase();
    STORMS.iter().any(|word| cause.contains(word))
}

/// The word for a storm that was meant where a letter slipped: one too many,
/// one too few, or two in each other's place.
#[must_use]
pub fn storm_misspelt(cause: &str) -> Option<&'static str> {
    if is_storm(cause) {
        return None;
    }
    let cause = cause.to_lowercase();
    let sorted = |word: &str| {
        let mut letters: Vec<char> = word.chars().collect();
        letters.sort_unstable();
        letters
    };
    let slipped = |said: &str, word: &str| {
        strsim::osa_distance(said, word) == 1
            && (said.chars().count() != word.chars().count() || sorted(said) == sorted(word))
    };
    let mut words = cause.split(|c: char| !c.is_alphabetic());
    words.find_map(|said| STORMS.into_iter().find(|word| slipped(said, word)))
}

/// The last storm that has ended at a house.
#[derive(Debug, Clone)]
pub struct Storm {
    /// When it ended: what was read before is from before or from within it.
    pub over: Moment,
    /// The entry that ended it, which tells before from after at one moment.
    end: Uuid,
    /// What it was called.
    pub cause: String,
    progress: Progress,
}

impl Storm {
    pub(super) fn new((over, end): (Moment, Uuid), cause: &str, done: Done) -> Self {
        let progress = Progress { then: done, now: Done::default() };
        Self { over, end, cause: cause.to_owned(), progress }
    }

    /// The same storm, seen from where the house is now.
    pub(super) fn seen_from(mut self, now: Done) -> Self {
        self.progress.now = now;
        self
    }

    /// What is asked at a stage only since the storm.
    pub(super) fn asks(&self, stage: &Stage, worked: &Worked) -> Vec<Point> {
        (stage.after_storm.asks)(worked, &self.progress)
    }

    /// Whether it can have changed a point that was read.
    pub(super) fn shakes(&self, stage: &Stage, point: &str) -> bool {
        (stage.after_storm.shakes)(point, &self.progress)
    }

    /// Whether what stands for a point is from before its end.
    pub(super) fn is_after(&self, reading: &Current) -> bool {
        let last = reading.ids.last().copied().unwrap_or_default();
        (reading.happened, last) < (self.over, self.end)
    }

    fn why(&self) -> String {
        format!("a storm has passed since ({})", self.cause)
    }
}

/// Puts what is asked only after a storm among the points of a stage, each
/// before the first of the same post or part, else before all.
pub(super) fn ask(points: &mut Vec<Point>, asked: Vec<Point>) {
    for point in asked.into_iter().rev() {
        // What is asked of every house anyway keeps its place.
        if points.iter().any(|p| p.id == point.id) {
            continue;
        }
        let part = point.id.split_once('/').map(|(part, _)| format!("{part}/"));
        let at = part.and_then(|part| points.iter().position(|p| p.id.starts_with(&part))).unwrap_or(0);
        points.insert(at, point);
    }
}

/// Puts in doubt the readings of a stage from before the end of a storm that
/// it can have changed, and what is worked out from them.
pub(super) fn shake(stage: &Stage, points: &mut [PointNow], storm: &Storm, doubts: &mut Vec<Doubt>) {
    let mut any = false;
    for now in points.iter_mut() {
        let Some(reading) = &now.reading else { continue };
        if !storm.is_after(reading) || !storm.shakes(stage, &now.point.id) {
            continue;
        }
        any = true;
        now.since_storm = true;
        now.verdict = Verdict::Doubtful;
        now.why = Some(storm.why());
        let what = format!("{}/{}", stage.id, now.point.id);
        doubts.push(Doubt { what, since: storm.over, cause: storm.why() });
    }
    if any {
        for now in points.iter_mut().filter(|p| p.from != From::Reading && p.value.is_some()) {
            now.verdict = Verdict::Doubtful;
            now.why = Some("worked out from what is in doubt".to_owned());
        }
    }
}

/// The doubt in a sign-off from before the end of a storm that rested on what
/// the storm can have changed, or on what it makes a question.
pub(super) fn of_sign_off(
    stage: &Stage,
    points: &[PointNow],
    signed: &Signed,
    storm: &Storm,
) -> Option<Doubt> {
    if (signed.happened, signed.id) >= (storm.over, storm.end) {
        return None;
    }
    let asked = points.iter().any(|p| p.asked_by_storm);
    let rested = || points.iter().any(|p| p.reading.is_some() && storm.shakes(stage, &p.point.id));
    (asked || rested()).then(|| Doubt { what: stage.id.to_owned(), since: storm.over, cause: storm.why() })
}

/// A point that is to be read again, or answered for the first time since a
/// storm.
#[derive(Debug, Clone, PartialEq)]
pub struct ToRead {
    /// Which.
    pub point: PointName,
    /// What people call it.
    pub says: String,
    /// Why.
    pub why: String,
    /// The point on the list before it that is read with it, once for both.
    pub once_with: Option<PointName>,
}

impl House {
    /// What is to be read again, in the order one walks it: what a storm can
    /// have changed, and whatever else was read and is in doubt.
    #[must_use]
    pub fn read_again(&self) -> Vec<ToRead> {
        let mut list: Vec<ToRead> = Vec::new();
        for now in &self.stages {
            for p in now.points.iter().filter(|p| p.asks_again()) {
                let point = PointName::new(now.stage.id, &p.point.id);
                let twin = beams::same_head(&point).filter(|twin| list.iter().any(|r| r.point == *twin));
                let why = match (&twin, &p.why) {
                    (Some(_), _) => "read once for the posts and the beams".to_owned(),
                    (None, Some(why)) => why.clone(),
                    (None, None) => "asked after a storm".to_owned(),
                };
                list.push(ToRead { point, says: p.point.says.clone(), why, once_with: twin });
            }
        }
        list
    }
}

impl PointNow {
    /// Whether it is to be read again, or answered since a storm.
    #[must_use]
    pub fn asks_again(&self) -> bool {
        let unanswered = self.asked_by_storm && self.reading.is_none();
        unanswered || self.verdict == Verdict::Doubtful && self.reading.is_some()
    }
}

#[cfg(test)]
mod tests;
