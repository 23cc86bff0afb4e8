//! The raw poles at a house, by size.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::Size;
use crate::build::entry::{How, Item, Tally};

/// Parts of a metre that sizes are told apart by.
const PARTS: f64 = 1e4;

/// The longest pole that is counted on, in these parts: 1,000 m.
const LONGEST: u64 = 10_000_000;

/// The raw poles at a house, counted from its tallies.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// How many of each size, length before thickness, in ten-thousandths of a
    /// metre; below 0 where more went than came.
    sizes: BTreeMap<(u64, u64), f64>,
    /// How many of which the length or the thin end was not told; below 0
    /// where poles went without a word on their size.
    pub unsized_poles: f64,
}

impl Ledger {
    /// Takes a tally that was not struck, as the house `at` sees it.
    pub(in crate::build) fn take(&mut self, tally: &Tally, at: Uuid) {
        let by = match tally.how {
            _ if tally.item != Item::Pole => return,
            // What is torn off was not among the poles that lie there.
            How::Promised | How::TornOff => return,
            How::Cut | How::Woven | How::Bought | How::Delivered | How::Found => tally.count,
            How::Moved if tally.to == Some(at) => tally.count,
            How::Moved | How::Used | How::Spoiled | How::Lost => -tally.count,
        };
        match (tally.of.length_m, tally.of.top_d_m) {
            (Some(length_m), Some(top_d_m)) => {
                *self.sizes.entry(key(Size { length_m, d_m: top_d_m })).or_default() += by;
            }
            _ => self.unsized_poles += by,
        }
    }

    /// The sizes of which there are poles, the longest first.
    pub fn at_hand(&self) -> impl Iterator<Item = (Size, u32)> + '_ {
        let there = self.sizes.iter().rev().filter(|(size, count)| **count > 0.0 && size.0 <= LONGEST);
        there.map(move |(&(length, top), count)| {
            // Counts are whole; the cast keeps to the bounds of its type.
            (Size { length_m: metres(length), d_m: metres(top) }, *count as u32)
        })
    }

    /// The sizes of which more poles went than came, and how many more.
    pub fn lacking(&self) -> impl Iterator<Item = (Size, f64)> + '_ {
        self.sizes
            .iter()
            .filter(|(_, count)| **count < 0.0)
            .map(move |(&(length, top), count)| (Size { length_m: metres(length), d_m: metres(top) }, -count))
    }

    /// How many there are of a size; below 0 where more went than came.
    #[must_use]
    pub fn count(&self, size: Size) -> f64 {
        self.sizes.get(&key(size)).copied().unwrap_or_default()
    }
}

fn key(size: Size) -> (u64, u64) {
    (parts(size.length_m), parts(size.d_m))
}

/// Ten-thousandths of a metre, in metres.
pub(super) fn metres(parts: u64) -> f64 {
    parts as f64 / PARTS
}

/// A length in ten-thousandths of a metre.
pub(super) fn parts(m: f64) -> u64 {
    // Sizes are 10 mm to 50 m: the cast loses nothing but what is rounded off.
    (m * PARTS).round() as u64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::entry::Stem;

    fn tally(how: How, count: f64, size: Option<(f64, f64)>) -> Tally {
        let of = Stem { length_m: size.map(|s| s.0), top_d_m: size.map(|s| s.1), ..Stem::default() };
        Tally { item: Item::Pole, count, how, to: None, remark: String::new(), of }
    }

    #[test]
    fn poles_of_a_size_come_and_go_by_themselves() {
        let (here, there) = (Uuid::nil(), Uuid::max());
        let (long, short) = (Some((6.0, 0.12)), Some((4.0, 0.1)));
        let mut ledger = Ledger::default();
        for (how, count, size) in [
            (How::Cut, 6.0, long),
            (How::Promised, 9.0, long),
            (How::Delivered, 2.0, long),
            (How::Bought, 3.0, short),
            (How::Used, 1.0, long),
            (How::Spoiled, 1.0, long),
            (How::Lost, 3.0, short),
            (How::Cut, 5.0, None),
        ] {
            ledger.take(&tally(how, count, size), here);
        }
        let given = Tally { to: Some(there), ..tally(How::Moved, 2.0, long) };
        let mut other = Ledger::default();
        ledger.take(&given, here);
        other.take(&given, there);
        assert_eq!(ledger.at_hand().collect::<Vec<_>>(), [(Size { length_m: 6.0, d_m: 0.12 }, 4)]);
        assert_eq!(other.at_hand().collect::<Vec<_>>(), [(Size { length_m: 6.0, d_m: 0.12 }, 2)]);
        assert_eq!(ledger.unsized_poles, 5.0);
        ledger.take(&Tally { item: Item::Post, ..tally(How::Cut, 4.0, long) }, here);
        assert_eq!(ledger.count(Size { length_m: 6.0, d_m: 0.12 }), 4.0, "a post is no raw pole");
    }
}
