//! Pieces of which a size was told, held against the size that is asked.
//!
//! Tallies are walked in their order. What goes and of which no size is told is
//! of those of which none was told when they came, then of those that do; the
//! too small go last, so that nothing counts as good for what went. Of those
//! alike the largest go, into the house the smallest. What comes of a promise
//! without a size is of the smallest that was promised.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::cut::told_in_part;
use super::ledger::{metres, parts};
use super::lots::Lots;
use crate::build::entry::{How, Item, Stem, Tally};
use crate::build::stage::{Need, STAGES};
use crate::build::worked::Worked;

/// What a piece may be too short by, m: lengths are told to the centimetre.
const SHORT_M: f64 = 0.005;
/// What a piece may be too thin by, m: thicknesses are told to the millimetre.
const THIN_M: f64 = 0.0005;
/// A length or a thickness that nobody told: it is taken to do.
pub(super) const UNTOLD: u64 = u64::MAX;

/// How far another length or thickness is from what was said, in [`far`].
const OTHER: u32 = 3;

/// A length and a thickness in ten-thousandths of a metre.
pub(super) type Parts = (u64, u64);

/// Pieces of an item by the size that was told of them.
pub(super) type Sizes = BTreeMap<Parts, f64>;

/// The pieces of an item at a house, by the sizes that were told.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    lying: Sizes,
    built_in: Sizes,
    /// Promised and not delivered yet.
    to_come: Sizes,
    /// What went before it came, as books that were merged can have it: it goes
    /// of what comes next.
    ahead: BTreeMap<(How, Parts), f64>,
    /// What the stages ask of such.
    needs: Vec<Need>,
}

/// The pieces at the house `at` from their tallies, in order; of items of which
/// nobody ever told a size there is nothing to know.
#[must_use]
pub(in crate::build) fn measured(
    tallies: &BTreeMap<Item, Vec<Tally>>,
    at: Uuid,
    worked: &Worked,
) -> BTreeMap<Item, Measured> {
    let known = |tally: &Tally| told(&tally.of) != (UNTOLD, UNTOLD);
    let known = tallies.iter().filter(|(_, of_item)| of_item.iter().any(known));
    known
        .map(|(item, of_item)| {
            let mut measured = Measured { needs: needs_of(*item, worked), ..Measured::default() };
            of_item.iter().for_each(|tally| measured.take(tally, at));
            (*item, measured)
        })
        .collect()
}

impl Measured {
    /// Takes a tally that was not struck, as the house `at` sees it.
    fn take(&mut self, tally: &Tally, at: Uuid) {
        let (size, count) = (told(&tally.of), tally.count);
        match tally.how {
            How::Promised => put(&mut self.to_come, size, count),
            How::Delivered => self.delivered(size, count),
            How::Cut | How::Woven | How::Bought | How::Found => put(&mut self.lying, size, count),
            How::Moved if tally.to == Some(at) => put(&mut self.lying, size, count),
            How::Moved | How::Used | How::Spoiled | How::Lost | How::TornOff => {
                *self.ahead.entry((tally.how, size)).or_default() += count;
            }
        }
        for ((how, said), count) in std::mem::take(&mut self.ahead) {
            let left = count - self.gone(how, said, count);
            if left > 0.0 {
                self.ahead.insert((how, said), left);
            }
        }
    }

    fn delivered(&mut self, said: Parts, count: f64) {
        let needs = &self.needs;
        let order = |size| (far(size, said), does_any(size, needs), size);
        let came = take(&mut self.to_come, count, order);
        let more = count - came.iter().map(|(_, count)| count).sum::<f64>();
        for (promised, count) in came {
            put(&mut self.lying, filled(said, promised), count);
        }
        put(&mut self.lying, said, more);
    }

    /// Lets so many go, as far as there are, and says how many went.
    fn gone(&mut self, how: How, said: Parts, count: f64) -> f64 {
        let needs = &self.needs;
        let order = |size: Parts| {
            let larger = (u64::MAX - size.0, u64::MAX - size.1);
            let by_size = if how == How::Used { size } else { larger };
            (far(size, said), size != said, !does_any(size, needs), by_size)
        };
        let from = if how == How::TornOff { &mut self.built_in } else { &mut self.lying };
        let gone = take(from, count, order);
        if how == How::Used {
            gone.iter().for_each(|(size, count)| put(&mut self.built_in, *size, *count));
        }
        gone.iter().map(|(_, count)| count).sum()
    }

    /// So many that lie there or are built in, by their sizes.
    #[must_use]
    pub fn there(&self, count: f64) -> Lots {
        let mut there = self.lying.clone();
        self.built_in.iter().for_each(|(size, count)| put(&mut there, *size, *count));
        Lots::of(&there, count)
    }

    /// So many that are promised, by their sizes.
    #[must_use]
    pub fn to_come(&self, count: f64) -> Lots {
        Lots::of(&self.to_come, count)
    }

    /// What goes from here to another house, of the size that was said or else
    /// of the one size that lies here: the other house cannot know it.
    ///
    /// # Errors
    /// The sizes that lie here, in words, where it may be of several and not
    /// all of them do.
    pub(in crate::build) fn given(&self, said: &Stem) -> Result<Stem, String> {
        let size = told(said);
        let of = |size: Parts| {
            let (length_m, top_d_m) = (metres_told(size.0), metres_told(size.1));
            Stem { length_m, top_d_m, ..said.clone() }
        };
        let nearest = self.lying.keys().map(|lying| far(*lying, size)).min().filter(|far| *far < OTHER);
        let is_near = |lying: &Parts| Some(far(*lying, size)) == nearest;
        let near: Vec<Parts> = self.lying.keys().copied().filter(is_near).collect();
        let is_known = size.0 != UNTOLD && size.1 != UNTOLD;
        match near.as_slice() {
            _ if is_known => Ok(said.clone()),
            [one] => Ok(of(filled(size, *one))),
            all if all.iter().all(|size| self.needs.iter().all(|need| does(*size, need))) => Ok(said.clone()),
            all => Err(all.iter().map(|size| self.lot_told(*size)).collect::<Vec<_>>().join(", ")),
        }
    }

    fn lot_told(&self, size: Parts) -> String {
        let count = self.lying.get(&size).copied().unwrap_or_default();
        match told_in_part(metres_told(size.0), metres_told(size.1)) {
            Some(words) => format!("{count} of {words}"),
            None => format!("{count} of no known size"),
        }
    }
}

fn put(sizes: &mut Sizes, size: Parts, count: f64) {
    if count > 0.0 {
        *sizes.entry(size).or_default() += count;
    }
}

/// Takes so many as there are, the first in order first, and says which.
fn take<R: Ord>(sizes: &mut Sizes, mut count: f64, order: impl Fn(Parts) -> R) -> Vec<(Parts, f64)> {
    let mut lots: Vec<(Parts, f64)> = sizes.iter().map(|(size, there)| (*size, *there)).collect();
    lots.sort_by_key(|(size, _)| order(*size));
    lots.retain_mut(|(size, there)| {
        let taken = there.min(count);
        count -= taken;
        if taken < *there {
            sizes.insert(*size, *there - taken);
        } else {
            sizes.remove(size);
        }
        *there = taken;
        taken > 0.0
    });
    lots
}

pub(super) fn told(of: &Stem) -> Parts {
    (of.length_m.map_or(UNTOLD, parts), of.top_d_m.map_or(UNTOLD, parts))
}

fn metres_told(parts: u64) -> Option<f64> {
    (parts != UNTOLD).then(|| metres(parts))
}

/// How far a size is from what was said: nothing where it is all of that, less
/// than [`OTHER`] where it may be, for not all of it is known.
fn far(size: Parts, said: Parts) -> u32 {
    let far = |size: u64, said: u64| match size {
        _ if said == UNTOLD || size == said => 0,
        UNTOLD => 1,
        _ => OTHER,
    };
    far(size.0, said.0) + far(size.1, said.1)
}

/// A size as it was said; what was not, as it is known.
fn filled(said: Parts, known: Parts) -> Parts {
    let fill = |said: u64, known: u64| if said == UNTOLD { known } else { said };
    (fill(said.0, known.0), fill(said.1, known.1))
}

/// What the stages ask of an item.
pub(super) fn needs_of(item: Item, worked: &Worked) -> Vec<Need> {
    STAGES.iter().flat_map(|stage| (stage.needs)(worked)).filter(|need| need.item == item).collect()
}

/// Whether pieces of a size will do for anything that is asked of them.
pub(super) fn does_any(size: Parts, needs: &[Need]) -> bool {
    needs.iter().any(|need| does(size, need))
}

/// Whether pieces of a size will do for what is asked of them.
pub(super) fn does((length, d): Parts, asked: &Need) -> bool {
    let enough = |told: u64, asked: Option<f64>, less: f64| asked.is_none_or(|m| told >= parts(m - less));
    enough(length, asked.length_m, SHORT_M) && enough(d, asked.d_m, THIN_M)
}

#[cfg(test)]
mod tests;
