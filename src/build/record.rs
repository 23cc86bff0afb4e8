//! A house's entries, walked once in order: what stands, what was struck,
//! what was moved away from under its readings.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::brief::{self, BriefText, Remark};
use super::entry::{
    CrewDay, Entry, How, Item, Moment, Parts, PointName, Reading, SignOff, Tally, TieDown, What,
};
use super::heap::{BuiltIn, Heap, Move, Moves};
use super::held::{Held, made_fast};
use super::kinds::Kinds;
use super::pieces::Ledger;
use super::readings::{Current, Readings};
use super::roofing::Laying;
use super::stage;
use super::stages::{beams, thatch};
use super::storm::{Done, Storm, is_storm};
use super::torn::Torn;
use super::untold::Untold;
use super::worked::{Hung, Worked};
use crate::measure::Body;

/// A version of the brief.
#[derive(Debug, Clone)]
pub struct Version {
    /// Its entry.
    pub id: Uuid,
    /// When it was decided.
    pub happened: Moment,
    /// Since when it is in force: since then, or since a later one was struck.
    pub since: Moment,
    /// By whom.
    pub by: String,
    /// As it was said.
    pub said: BriefText,
    /// How many rows lay on the a-b and on the c-d slope when it was decided.
    pub laid: [u32; 2],
}

/// A sign-off that was not struck.
#[derive(Debug, Clone)]
pub struct Signed {
    /// Its entry.
    pub id: Uuid,
    /// When.
    pub happened: Moment,
    /// By whom.
    pub by: String,
    /// What it says.
    pub sign: SignOff,
}

/// Why a reading no longer holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Gone {
    /// The reading's point.
    pub point: PointName,
    /// Since when.
    pub since: Moment,
    /// Why, in words.
    pub cause: String,
}

/// The strike of each entry that is struck, and why. Two books that were
/// merged may each have struck it: the strike that was written first stands.
fn strikes(entries: &[Entry]) -> BTreeMap<Uuid, (&Entry, &str)> {
    let mut strikes: BTreeMap<Uuid, (&Entry, &str)> = BTreeMap::new();
    for strike in entries {
        if let What::Strike { entry, why } = &strike.what {
            let first = strikes.entry(*entry).or_insert((strike, why));
            if strike.id < first.0.id {
                *first = (strike, why);
            }
        }
    }
    strikes
}

/// A house's entries, sorted out.
#[derive(Debug, Default)]
pub(super) struct Record {
    pub name: Option<(String, Moment)>,
    pub struck_house: bool,
    /// Every version ever, struck ones too, for readings that were judged by
    /// them.
    pub versions: BTreeMap<Uuid, Version>,
    /// The versions that stand, the latest last.
    pub standing: Vec<Uuid>,
    pub readings: Readings,
    /// The rows on the a-b and on the c-d slope, as they were read last.
    pub laid: [u32; 2],
    /// The days of the thatchers and the weavers.
    pub laying: Laying,
    /// What was torn off the roof since it was read.
    pub torn: Torn,
    /// What was read on the roof and what was told as used.
    pub untold: Untold,
    pub gone: BTreeMap<Uuid, Gone>,
    pub heaps: BTreeMap<Item, Heap>,
    pub kinds: Kinds,
    pub moves: BTreeMap<Item, Moves>,
    /// Since when more of a heap is gone than came.
    pub lacking_since: BTreeMap<Item, Moment>,
    /// The raw poles by size.
    pub poles: Ledger,
    /// The tallies of what is cut from poles, in order.
    pub pieces: BTreeMap<Item, Vec<Tally>>,
    /// The poles that go up with the ridge.
    pub hung: Hung,
    pub signs: BTreeMap<String, Signed>,
    /// What was built in when each stage was signed first.
    pub built_in: BTreeMap<String, BuiltIn>,
    /// When some of an item was torn off last.
    pub torn_off: BTreeMap<Item, (Moment, Uuid)>,
    pub holds: Vec<Held>,
    pub crew_days: Vec<(Moment, Uuid, CrewDay)>,
    pub bodies: Vec<Body>,
    pub last: Option<Moment>,
    /// Every list of what was made fast, and when.
    pub tied: Vec<(Moment, TieDown)>,
    /// The last storm that has ended.
    pub storm: Option<Storm>,
}

impl Record {
    /// The version in force. Where every one was struck, by two books that
    /// were merged, the last one said goes on: a house without a brief could
    /// not even be given a new one.
    pub(super) fn in_force(&self) -> Option<&Version> {
        let standing = self.standing.last().and_then(|id| self.versions.get(id));
        standing.or_else(|| self.versions.values().max_by_key(|v| (v.happened, v.id)))
    }

    /// Walks the entries, which are in order.
    pub(super) fn of(house: Uuid, entries: &[Entry]) -> Self {
        let mut record = Self::default();
        let strikes = strikes(entries);
        for entry in entries {
            record.take(house, entry, strikes.get(&entry.id).copied());
        }
        let done = Done::of(&record.readings, &record.signs);
        record.storm = record.storm.take().map(|storm| storm.seen_from(done));
        let started = record.name.as_ref().map(|(_, at)| *at);
        record.holds.retain(|h| h.to.is_none() || h.to > started);
        for hold in &mut record.holds {
            hold.tied = made_fast(&record.tied, hold.from, hold.to);
        }
        record
    }

    fn take(&mut self, house: Uuid, entry: &Entry, struck: Option<(&Entry, &str)>) {
        if entry.house == Some(house) {
            self.last = self.last.max(Some(entry.happened));
        }
        if struck.is_none() {
            self.laying.take(entry, self.laid);
            self.torn.take(&entry.what);
        }
        match (&entry.what, struck) {
            (What::House { name }, _) => {
                self.name = Some((name.clone(), entry.happened));
                self.struck_house = struck.is_some();
            }
            (What::Brief { said }, _) => {
                let version = Version {
                    id: entry.id,
                    happened: entry.happened,
                    since: entry.happened,
                    by: entry.by.clone(),
                    said: said.clone(),
                    laid: self.laid,
                };
                self.versions.insert(entry.id, version);
                match struck {
                    None => {
                        self.standing.push(entry.id);
                        self.kinds.thatch(said, &mut self.heaps);
                    }
                    Some((strike, _)) => self.back_in_force(strike.happened),
                }
            }
            (What::Reading(r), Some((strike, why))) => {
                let cause = format!("a reading was struck: {why}");
                self.lose(entry.id, Gone { point: r.point.clone(), since: strike.happened, cause });
                // A struck repeat leaves the others; a struck first reading
                // takes its point back to unread. Rows are counted on, one
                // upon another: without the last count the one before stands.
                if !r.again && thatch::slope(&r.point).is_none() {
                    self.readings.0.remove(&r.point);
                    if let Some(twin) = beams::same_head(&r.point).filter(|twin| self.is_undone(twin)) {
                        self.readings.0.remove(&twin);
                    }
                }
            }
            (What::Reading(r), None) => self.read(entry, r),
            (What::Moved { point }, None) => self.moved(point, entry.happened),
            (What::Tally(tally), None) => {
                self.poles.take(tally, house);
                if tally.item.is_pole() && tally.item != Item::Pole {
                    self.pieces.entry(tally.item).or_default().push(tally.clone());
                }
                self.hung.take(tally);
                if self.kinds.take(tally, house, &mut self.heaps) {
                    self.lacking_since.entry(tally.item).or_insert(entry.happened);
                } else {
                    self.lacking_since.remove(&tally.item);
                }
                if tally.how == How::TornOff {
                    self.torn_off.insert(tally.item, entry.order());
                }
                self.tallied(house, entry, tally);
            }
            (What::Sign(sign), None) => {
                let signed = Signed {
                    id: entry.id,
                    happened: entry.happened,
                    by: entry.by.clone(),
                    sign: sign.clone(),
                };
                self.signs.insert(sign.stage.clone(), signed);
                let used = || self.heaps.iter().map(|(item, heap)| (*item, heap.used)).collect();
                self.built_in.entry(sign.stage.clone()).or_insert_with(used);
            }
            (What::Hold { cause, planned }, None) => self.holds.push(Held {
                id: entry.id,
                cause: cause.clone(),
                planned: *planned,
                all: entry.house.is_none(),
                from: entry.happened,
                to: None,
                end: None,
                tied: TieDown::default(),
            }),
            (What::TieDown(tied), None) => self.tied.push((entry.happened, tied.clone())),
            (What::Resume, None) => self.resumed(entry),
            (What::CrewDay(day), None) => self.crew_days.push((entry.happened, entry.id, day.clone())),
            (What::Measure { name, parts }, None) => self.measured(name, parts),
            _ => {}
        }
        if struck.is_none() {
            let lies = |item| self.torn.lies(&self.readings, item);
            self.untold.take(entry, &self.heaps, &self.kinds, lies);
        }
    }

    /// The work goes on: stops that were told before it end. Where all houses
    /// are stopped and one has a cause of its own, each goes on by itself.
    fn resumed(&mut self, entry: &Entry) {
        let told = |hold: &Held| hold.to.is_none() && hold.id < entry.id;
        let meant = self.holds.iter().filter(|h| told(h) && h.all == entry.house.is_none());
        let meant: Vec<Held> = meant.cloned().collect();
        let ends = |hold: &Held| told(hold) && (meant.is_empty() || meant.iter().any(|h| h.is_like(hold)));
        for hold in self.holds.iter_mut().filter(|hold| ends(hold)) {
            hold.to = Some(entry.happened);
            hold.end = Some(entry.id);
            // A storm from before the house was started is not its own.
            if is_storm(&hold.cause) && self.name.is_some() {
                let done = Done::of(&self.readings, &self.signs);
                self.storm = Some(Storm::new(entry.order(), &hold.cause, done));
            }
        }
    }

    fn tallied(&mut self, house: Uuid, entry: &Entry, tally: &Tally) {
        self.moves.entry(tally.item).or_default().push(Move {
            happened: entry.happened,
            how: tally.how,
            count: tally.count,
            came: tally.to == Some(house),
            by: entry.by.clone(),
        });
    }

    fn read(&mut self, entry: &Entry, r: &Reading) {
        self.take_reading(entry, r);
        if let Some(slope) = thatch::slope(&r.point)
            && let Some(current) = self.readings.0.get(&r.point)
        {
            self.laid[slope] = thatch::whole(current.number());
        }
    }

    fn take_reading(&mut self, entry: &Entry, r: &Reading) {
        // What a storm can have undone is no first reading for a repeat.
        let repeats = r.again && self.readings.0.contains_key(&r.point) && !self.is_undone(&r.point);
        // After a storm, heads that beams hold together are read once for both.
        let twin = beams::same_head(&r.point).filter(|twin| match repeats {
            true => self.readings.begin_alike(&r.point, twin),
            false => self.is_undone(twin),
        });
        for point in twin.into_iter().chain([r.point.clone()]) {
            let current = self.readings.0.entry(point).or_insert_with(|| Current::unread(entry));
            if !repeats {
                *current = Current::unread(entry);
            }
            current.add(entry, r);
        }
    }

    /// Whether a storm since can have changed what stands for a point.
    fn is_undone(&self, point: &PointName) -> bool {
        let (Some(storm), Some(current)) = (&self.storm, self.readings.0.get(point)) else { return false };
        let now = || storm.clone().seen_from(Done::of(&self.readings, &self.signs));
        storm.is_after(current)
            && stage::by_id(&point.stage).is_some_and(|stage| now().shakes(stage, &point.point))
    }

    /// The version before a struck one holds again.
    fn back_in_force(&mut self, since: Moment) {
        if let Some(version) = self.standing.last().and_then(|id| self.versions.get_mut(id)) {
            version.since = version.since.max(since);
        }
    }

    /// A peg was moved: what was read to it before is unread again.
    fn moved(&mut self, peg: &PointName, since: Moment) {
        let touched: Vec<PointName> = self
            .readings
            .0
            .keys()
            .filter(|p| p.stage == peg.stage && p.point.len() == 2 && p.point.contains(&peg.point))
            .cloned()
            .collect();
        for point in touched {
            if let Some(current) = self.readings.0.remove(&point) {
                for id in current.ids {
                    let cause = format!("peg {} was moved", peg.point.to_uppercase());
                    self.lose(id, Gone { point: point.clone(), since, cause });
                }
            }
        }
    }

    fn lose(&mut self, reading: Uuid, gone: Gone) {
        self.gone.entry(reading).or_insert(gone);
    }

    fn measured(&mut self, name: &str, parts: &Parts) {
        if let Ok(body) = parts.body(name) {
            self.bodies.retain(|b| b.name().to_lowercase() != name.to_lowercase());
            self.bodies.push(body);
        }
    }

    /// The versions, but for the one in force, that readings and sign-offs
    /// were judged by, worked out; without those that cannot be.
    pub(super) fn earlier(&self, in_force: Uuid) -> BTreeMap<Uuid, Worked> {
        let readings = self.readings.0.values().map(|r| r.brief);
        let judged_by: BTreeSet<Uuid> = readings.chain(self.signs.values().map(|s| s.sign.brief)).collect();
        let versions = judged_by.iter().filter(|id| **id != in_force).filter_map(|id| self.versions.get(id));
        versions.filter_map(|v| Some((v.id, self.worked(v).ok()?))).collect()
    }

    /// A version worked out over the thatch that lay when it was decided.
    ///
    /// # Errors
    /// Why it cannot be worked with.
    pub(super) fn worked(&self, version: &Version) -> Result<Worked, Remark> {
        let mut below = Default::default();
        for earlier in self.laid_under(version) {
            if let Ok(worked) = plainly(earlier).and_then(|w| w.over(&below, earlier.laid)) {
                below = worked.slopes;
            }
        }
        let mut worked = plainly(version)?.over(&below, version.laid)?;
        worked.know_poles(self.hung);
        Ok(worked)
    }

    /// The versions before one, the latest last, under which rows were laid.
    fn laid_under<'r>(&'r self, version: &'r Version) -> Vec<&'r Version> {
        let order = |v: &Version| (v.happened, v.id);
        let before = self.standing.iter().filter_map(|id| self.versions.get(id));
        let mut chain: Vec<&Version> = before.take_while(|v| order(v) < order(version)).collect();
        let next = chain.iter().skip(1).copied().chain([version]).map(|v| v.laid).collect::<Vec<_>>();
        let mut next = next.into_iter();
        chain.retain(|v| next.next() != Some(v.laid));
        chain
    }
}

/// A version worked out as if nothing lay on the roof.
fn plainly(version: &Version) -> Result<Worked, Remark> {
    let brief = brief::understand(&version.said).map_err(|refused| {
        let unread = || Remark { field: "brief", why: "cannot be understood".to_owned() };
        refused.into_iter().next().unwrap_or_else(unread)
    })?;
    Worked::of(brief)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_person_measured_anew_under_small_letters_is_the_same_person() {
        let mut record = Record::default();
        let parts = |span_m| Parts {
            span_m,
            half_span_m: None,
            forearm_m: None,
            hand_m: None,
            breadth_m: None,
            finger_m: None,
        };
        record.measured("Oru", &parts(1.742));
        record.measured("oru", &parts(1.750));
        assert_eq!(record.bodies.len(), 1);
        assert_eq!(record.bodies[0].span().get(), 1.750);
    }
}
