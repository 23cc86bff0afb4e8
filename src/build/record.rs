//! A house's entries, walked once in order: what stands, what was struck,
//! what was moved away from under its readings.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::brief::{self, BriefText};
use super::entry::{Entry, Item, Moment, Parts, PointName, SignOff, TieDown, What};
use super::heap::Heap;
use super::held::{Held, made_fast};
use super::readings::{Current, Readings};
use super::worked::Worked;
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
    pub gone: BTreeMap<Uuid, Gone>,
    pub heaps: BTreeMap<Item, Heap>,
    pub signs: BTreeMap<String, Signed>,
    pub holds: Vec<Held>,
    pub bodies: Vec<Body>,
    pub last: Option<Moment>,
    /// Every list of what was made fast, and when.
    pub tied: Vec<(Moment, TieDown)>,
}

impl Record {
    /// Walks the entries, which are in order.
    pub(super) fn of(house: Uuid, entries: &[Entry]) -> Self {
        let mut record = Self::default();
        let strikes: BTreeMap<Uuid, (&Entry, &str)> = entries
            .iter()
            .filter_map(|e| match &e.what {
                What::Strike { entry, why } => Some((*entry, (e, why.as_str()))),
                _ => None,
            })
            .collect();
        for entry in entries {
            record.take(house, entry, strikes.get(&entry.id).copied());
        }
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
                };
                self.versions.insert(entry.id, version);
                match struck {
                    None => self.standing.push(entry.id),
                    Some((strike, _)) => self.back_in_force(strike.happened),
                }
            }
            (What::Reading(r), Some((strike, why))) => {
                let cause = format!("a reading was struck: {why}");
                self.lose(entry.id, Gone { point: r.point.clone(), since: strike.happened, cause });
                // A struck repeat leaves the others; a struck first reading
                // takes its point back to unread.
                if !r.again {
                    self.readings.0.remove(&r.point);
                }
            }
            (What::Reading(_), None) => self.read(entry),
            (What::Moved { point }, None) => self.moved(point, entry.happened),
            (What::Tally(tally), None) => {
                let heap = self.heaps.entry(tally.item).or_default();
                *heap = heap.after(tally, house);
            }
            (What::Sign(sign), None) => {
                let signed = Signed {
                    id: entry.id,
                    happened: entry.happened,
                    by: entry.by.clone(),
                    sign: sign.clone(),
                };
                self.signs.insert(sign.stage.clone(), signed);
            }
            (What::Hold { cause, planned }, None) => self.holds.push(Held {
                id: entry.id,
                cause: cause.clone(),
                planned: *planned,
                all: entry.house.is_none(),
                from: entry.happened,
                to: None,
                tied: TieDown::default(),
            }),
            (What::TieDown(tied), None) => self.tied.push((entry.happened, tied.clone())),
            (What::Resume, None) => {
                for hold in self.holds.iter_mut().filter(|h| h.to.is_none()) {
                    hold.to = Some(entry.happened);
                }
            }
            (What::Measure { name, parts }, None) => self.measured(name, parts),
            _ => {}
        }
    }

    fn read(&mut self, entry: &Entry) {
        let What::Reading(r) = &entry.what else { return };
        if r.again
            && let Some(current) = self.readings.0.get_mut(&r.point)
        {
            current.ids.push(entry.id);
            current.values.push(r.value);
            current.said.push(r.said.clone());
            current.happened = entry.happened;
            current.by.clone_from(&entry.by);
            current.brief = r.brief;
            return;
        }
        let current = Current {
            ids: vec![entry.id],
            values: vec![r.value],
            said: vec![r.said.clone()],
            happened: entry.happened,
            by: entry.by.clone(),
            brief: r.brief,
        };
        self.readings.0.insert(r.point.clone(), current);
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
        versions.filter_map(|v| Some((v.id, Worked::of(brief::understand(&v.said).ok()?).ok()?))).collect()
    }
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
