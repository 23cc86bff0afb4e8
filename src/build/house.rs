//! A house now: the one fold over its entries from which state, verdicts and
//! doubts come.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::doubt::{self, Doubt};
use super::entry::{CrewDay, Entry, Item, Moment, PointName, TieDown};
use super::findings::Findings;
use super::heap::{Asks, Heap, ItemNow, Moves, items};
use super::held::{self, Held};
use super::holds::{self, Holds, Told};
use super::kinds::Kinds;
use super::next;
use super::permit::PastCut;
use super::pieces::{Ledger, Measured, measured};
use super::readings::{Current, Readings};
use super::record::{Record, Signed, Version};
use super::roofing::Laying;
use super::spoil::Spoil;
use super::stage::{Point, Rule, STAGES, Stage};
use super::storm;
use super::torn::Torn;
use super::verdict::{Verdict, judge};
use super::weave;
use super::worked::Worked;
use crate::measure::Body;

/// How far a stage has got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Not begun, and not its turn.
    Ahead,
    /// In hand.
    Open,
    /// All that must hold holds; it may be signed.
    Ready,
    /// Signed.
    Signed,
    /// Signed, but something since puts that in doubt.
    Doubtful,
}

impl State {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ahead => "ahead",
            Self::Open => "open",
            Self::Ready => "ready",
            Self::Signed => "signed",
            Self::Doubtful => "doubtful",
        }
    }
}

/// Where a point's value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    /// It is read.
    Reading,
    /// It is worked out and never read.
    Derived,
    /// It was not read, but follows from others.
    Inferred,
}

/// A point now.
#[derive(Debug, Clone)]
pub struct PointNow {
    /// The point.
    pub point: Point,
    /// What was read.
    pub reading: Option<Current>,
    /// The value that is judged.
    pub value: Option<f64>,
    /// Where it comes from.
    pub from: From,
    /// Value less target, where there is a target.
    pub difference: Option<f64>,
    /// What can be said of it.
    pub verdict: Verdict,
    /// Why, where it needs saying.
    pub why: Option<String>,
    /// Whether it was read before a storm that can have changed it.
    pub since_storm: bool,
    /// Whether it is asked only because a storm has passed.
    pub asked_by_storm: bool,
}

/// A stage now.
#[derive(Debug)]
pub struct StageNow {
    /// The stage.
    pub stage: &'static Stage,
    /// How far it has got.
    pub state: State,
    /// Its points, those worked out last.
    pub points: Vec<PointNow>,
    /// Its items.
    pub items: Vec<ItemNow>,
    /// What follows from the readings together.
    pub findings: Findings,
    /// What stands against signing it without a remark.
    pub against: Vec<String>,
    /// The sign-off that stands.
    pub signed: Option<Signed>,
}

impl StageNow {
    /// A point of the stage by its id.
    #[must_use]
    pub fn point(&self, id: &str) -> Option<&PointNow> {
        self.points.iter().find(|p| p.point.id == id)
    }
}

/// A house, as its entries have it.
#[derive(Debug)]
pub struct House {
    /// Its id.
    pub id: Uuid,
    /// What people call it.
    pub name: String,
    /// When it was started.
    pub started: Moment,
    /// Whether its start was struck.
    pub struck: bool,
    /// The brief in force.
    pub version: Version,
    /// How many versions stand.
    pub versions: usize,
    /// What the brief works out to.
    pub worked: Worked,
    /// The nine stages.
    pub stages: Vec<StageNow>,
    /// The readings that hold.
    pub readings: Readings,
    /// The heaps; of panels, those of the kind in use.
    pub heaps: BTreeMap<Item, Heap>,
    /// The kinds of panel.
    pub kinds: Kinds,
    /// The last movements of each.
    pub moves: BTreeMap<Item, Moves>,
    /// Cuts past the permits that nobody has answered yet; what permits cover
    /// depends on all houses, so that none are known from its own entries.
    pub past_permit: Vec<PastCut>,
    /// The raw poles by size.
    pub poles: Ledger,
    /// The pieces of which a size was told.
    pub measured: BTreeMap<Item, Measured>,
    /// The days of the thatchers and the weavers.
    pub laying: Laying,
    /// What was torn off the roof since it was read.
    pub torn: Torn,
    /// Every stop, the latest last.
    pub holds: Vec<Held>,
    /// Every list of what was made fast, and when.
    pub tied: Vec<(Moment, TieDown)>,
    /// What people did here on a day, and when, the latest last.
    pub crew_days: Vec<(Moment, Uuid, CrewDay)>,
    /// What can no longer be trusted.
    pub doubts: Vec<Doubt>,
    /// The people whose measures the book knows.
    pub bodies: Vec<Body>,
    /// The wood and the pulls, told here or for all houses.
    pub told: Told,
    /// When something was last written of it.
    pub last: Moment,
}

/// Entries that make no house.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FoldError {
    /// No entry starts it.
    #[error("house {0}: nothing in the book starts it; run verify")]
    NotStarted(Uuid),
    /// No brief of it stands.
    #[error("house \"{0}\": no brief of it is in the book; run verify")]
    NoBrief(String),
    /// Its brief cannot be understood.
    #[error("house \"{name}\": its brief cannot be worked with: {why}")]
    Brief {
        /// The house.
        name: String,
        /// What is wrong.
        why: String,
    },
}

impl House {
    /// Folds the entries of a house, in order, into what it is now.
    ///
    /// # Errors
    /// Where they do not start a house with a brief that can be worked out.
    pub fn of(id: Uuid, entries: &[Entry]) -> Result<Self, FoldError> {
        let record = Record::of(id, entries);
        let (name, started) = record.name.clone().ok_or(FoldError::NotStarted(id))?;
        let version = record.in_force().cloned().ok_or_else(|| FoldError::NoBrief(name.clone()))?;
        let mut worked = record
            .worked(&version)
            .map_err(|why| FoldError::Brief { name: name.clone(), why: why.to_string() })?;
        worked.spoil = record.heaps.get(&Item::Panel).map(Spoil::seen).unwrap_or_default();
        let told = Told::of(entries);
        worked.know_woods(&told.woods);
        let earlier = record.earlier(version.id);
        let mut doubts = doubt::of_two_books(&record, &version);
        let mut stages: Vec<StageNow> = STAGES
            .iter()
            .map(|stage| stage_now(stage, &worked, &record, &earlier, &version, &mut doubts))
            .collect();
        let signed = |stage: &Stage| {
            let now = stages.iter().find(|s| s.stage.id == stage.id);
            let asks = match now.and_then(|s| s.signed.as_ref().map(|signed| (s.state, signed))) {
                Some((State::Signed, _)) => Asks::WhatIsTornOff,
                Some((_, signed)) if signed.sign.brief == version.id => Asks::WhatIsGone,
                _ => Asks::All,
            };
            (asks, record.built_in.get(stage.id).cloned())
        };
        let in_place = |item, heap: &Heap| weave::built_in(&worked, &record, item, heap);
        let measured = measured(&record.pieces, id, &worked);
        let items = items(&worked, &record.heaps, &measured, in_place, signed);
        for (stage, items) in stages.iter_mut().zip(items) {
            stage.items = items;
        }
        open_first(&mut stages);
        Ok(Self {
            id,
            name,
            started,
            struck: record.struck_house,
            versions: record.standing.len(),
            version,
            worked,
            stages,
            readings: record.readings,
            heaps: record.heaps,
            kinds: record.kinds,
            moves: record.moves,
            past_permit: Vec::new(),
            poles: record.poles,
            measured,
            laying: record.laying,
            torn: record.torn,
            holds: record.holds,
            tied: record.tied,
            crew_days: record.crew_days,
            doubts,
            bodies: record.bodies,
            told,
            last: record.last.unwrap_or(started),
        })
    }

    /// The house, with its cuts past the permits.
    #[must_use]
    pub fn with_past_cuts(self, past_permit: Vec<PastCut>) -> Self {
        Self { past_permit, ..self }
    }

    /// The hold that stops the house at a moment.
    #[must_use]
    pub fn held_at(&self, now: Moment) -> Option<&Held> {
        held::on(&self.holds, now)
    }

    /// The hold that stops the house at a moment, else the next to come.
    #[must_use]
    pub fn held_or_to_be(&self, now: Moment) -> Option<&Held> {
        held::on_or_to_come(&self.holds, now)
    }

    /// What counts as made fast for the hold at a moment, or one that began then.
    #[must_use]
    pub fn made_fast_at(&self, now: Moment) -> TieDown {
        held::made_fast_at(&self.holds, &self.tied, now)
    }

    /// What is next at a moment, in one sentence.
    #[must_use]
    pub fn next_at(&self, now: Moment) -> String {
        self.held_at(now).map_or_else(|| next::of_work(self), |held| next::while_held(held, now))
    }

    /// What holds, what lifts, what gives first; a gust, m/s, takes the place
    /// of the one in the brief.
    #[must_use]
    pub fn holds(&self, gust_m_s: Option<f64>) -> Holds {
        holds::holds(&self.worked, &self.told.pulls, gust_m_s)
    }

    /// A stage by its id.
    #[must_use]
    pub fn stage(&self, id: &str) -> Option<&StageNow> {
        self.stages.iter().find(|s| s.stage.id == id)
    }

    /// A point by its name.
    #[must_use]
    pub fn point(&self, name: &PointName) -> Option<&PointNow> {
        self.stage(&name.stage)?.point(&name.point)
    }

    /// The stage in hand: the first in doubt or with a question that a storm
    /// left, else the first not signed; the last where all are signed.
    #[must_use]
    pub fn in_hand(&self) -> &StageNow {
        let asked = |s: &StageNow| s.points.iter().any(|p| p.asked_by_storm && p.reading.is_none());
        let doubtful = self.stages.iter().position(|s| s.state == State::Doubtful || asked(s));
        let open = self.stages.iter().position(|s| s.state != State::Signed);
        let index = doubtful.or(open).unwrap_or(self.stages.len().saturating_sub(1));
        &self.stages[index]
    }

    /// Whether all nine stages are signed.
    #[must_use]
    pub fn is_handed_over(&self) -> bool {
        self.stages.iter().all(|s| s.signed.is_some())
    }

    /// Everybody whose spans may be called out, the house's own measure first.
    #[must_use]
    pub fn speakers(&self) -> Vec<Body> {
        let own = &self.worked.brief.body;
        let others = self.bodies.iter().filter(|b| b.name() != own.name());
        std::iter::once(own).chain(others).cloned().collect()
    }
}

/// Every stop of all houses, from the entries about all of them, in order.
#[must_use]
pub fn holds_of_all(entries: &[Entry]) -> Vec<Held> {
    Record::of(Uuid::nil(), entries).holds
}

fn stage_now(
    stage: &'static Stage,
    worked: &Worked,
    record: &Record,
    earlier: &BTreeMap<Uuid, Worked>,
    version: &Version,
    doubts: &mut Vec<Doubt>,
) -> StageNow {
    let readings = &record.readings;
    let findings = (stage.findings)(worked, readings);
    let storm = record.storm.as_ref();
    let asked = storm.map(|storm| storm.asks(stage, worked));
    let asked_ids: Vec<String> = asked.iter().flatten().map(|p| p.id.clone()).collect();
    let mut points = (stage.points)(worked, readings);
    storm::ask(&mut points, asked.unwrap_or_default());
    let mut points: Vec<PointNow> =
        points.into_iter().map(|point| point_now(stage, point, readings, &findings)).collect();
    for now in &mut points {
        now.asked_by_storm = asked_ids.contains(&now.point.id);
    }
    let signed = record.signs.get(stage.id).cloned();
    let before = doubt::before(stage, &points, signed.as_ref(), readings, earlier);
    doubt::from_briefs(stage, &mut points, &before, version, doubts);
    points.extend(findings.derived.iter().map(|d| judged(d.point.clone(), d.value, From::Derived)));
    if let Some(storm) = storm {
        storm::shake(stage, &mut points, storm, doubts);
    }
    let mut against = against(stage.rule, &points, &findings);
    against.extend(doubt::not_built_in_anew(stage, worked, record));
    let state = match &signed {
        Some(signed) => {
            let mut found =
                doubt::of_sign_off(stage, &points, &findings, signed, &record.gone, &before, version);
            found.extend(storm.and_then(|s| storm::of_sign_off(stage, &points, signed, s)));
            found.extend(doubt::of_losses(stage, worked, record, signed));
            let state = if found.is_empty() { State::Signed } else { State::Doubtful };
            doubts.extend(found);
            state
        }
        None if against.is_empty() => State::Ready,
        None if points.iter().any(|p| p.reading.is_some()) => State::Open,
        None => State::Ahead,
    };
    StageNow { stage, state, points, items: Vec::new(), findings, against, signed }
}

fn point_now(stage: &Stage, point: Point, readings: &Readings, findings: &Findings) -> PointNow {
    let reading = readings.of(stage.id, &point.id).cloned();
    let inferred = findings.inferred.iter().find(|i| i.point == point.id);
    let (value, from) = match (&reading, inferred) {
        (Some(reading), _) => (Some(reading.number()), From::Reading),
        (None, Some(inferred)) => (Some(inferred.value), From::Inferred),
        (None, None) => (None, From::Reading),
    };
    let mut now = judged(point, value, from);
    now.reading = reading;
    if let Some((_, remark)) = findings.remarks.iter().find(|(id, _)| *id == now.point.id) {
        now.why = Some(remark.clone());
    } else if from == From::Inferred && now.why.is_none() {
        now.why = inferred.map(|i| i.why.to_owned());
    }
    now
}

fn judged(point: Point, value: Option<f64>, from: From) -> PointNow {
    let (verdict, why) = value.map_or((Verdict::Unread, None), |v| judge(&point, v));
    let difference = value.zip(point.goal.target()).map(|(v, target)| v - target);
    PointNow {
        point,
        reading: None,
        value,
        from,
        difference,
        verdict,
        why,
        since_storm: false,
        asked_by_storm: false,
    }
}

/// What stands against signing.
fn against(rule: Rule, points: &[PointNow], findings: &Findings) -> Vec<String> {
    let mut against = findings.bars.clone();
    let must = || points.iter().filter(|p| p.point.must);
    let unread = must().filter(|p| p.verdict == Verdict::Unread).count();
    if rule != Rule::NothingFound && unread > 0 {
        against.push(format!("{unread} {} unread", if unread == 1 { "point is" } else { "points are" }));
    }
    for p in must() {
        let says = &p.point.says;
        match p.verdict {
            Verdict::Out if rule == Rule::AllTrue || p.asked_by_storm => {
                against.push(format!("{says} is out"))
            }
            Verdict::Doubtful if p.from != From::Derived => against.push(format!("{says} is in doubt")),
            _ => {}
        }
    }
    against
}

/// The first stage that is neither signed nor begun is open: it is its turn.
fn open_first(stages: &mut [StageNow]) {
    if let Some(first) = stages.iter_mut().find(|s| s.signed.is_none())
        && first.state == State::Ahead
    {
        first.state = State::Open;
    }
}
