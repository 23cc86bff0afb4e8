//! How many panels spoil before they are tied: learnt from the tallies.

use super::accept::told;
use super::heap::Heap;
use crate::reckon::thatch;

/// The share that is taken for spoiled while nothing is known (common
/// practice).
pub const USUAL: f64 = 0.1;
/// How many panels that usual share weighs against what has been seen.
const WEIGHT: f64 = 40.0;
/// The most that is ever allowed for.
const MOST: f64 = 0.9;

/// Panels that were used and that spoiled.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Spoil {
    used: f64,
    spoiled: f64,
}

impl Spoil {
    /// What a heap of panels has shown.
    #[must_use]
    pub const fn seen(heap: &Heap) -> Self {
        // What a storm tore off had been tied: no hand spoiled it.
        Self { used: heap.ever_used, spoiled: heap.spoiled }
    }

    /// The share of panels to take for spoiled, 0 to 0.9: what was seen, with
    /// the usual share as if it had been seen on forty panels before.
    #[must_use]
    pub fn share(&self) -> f64 {
        ((self.spoiled + USUAL * WEIGHT) / (self.used + self.spoiled + WEIGHT)).clamp(0.0, MOST)
    }

    /// How many to weave so that so many can be tied.
    #[must_use]
    pub fn to_weave(&self, panels: u32) -> u32 {
        thatch::order(panels, self.share())
    }

    /// The share and where it comes from, in words.
    #[must_use]
    pub fn told(&self) -> String {
        let seen = self.used + self.spoiled;
        if seen == 0.0 {
            return "a tenth taken for spoiled until it shows (common practice)".to_owned();
        }
        format!(
            "{:.1} in 100 taken for spoiled: {} of {} so far, and the usual tenth counted as {WEIGHT} panels more",
            self.share() * 100.0,
            told(self.spoiled),
            told(seen)
        )
    }
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;
    use crate::build::entry::{How, Item, Stem, Tally};

    fn seen(used: f64, spoiled: f64) -> Spoil {
        Spoil::seen(&Heap { ever_used: used, spoiled, ..Heap::default() })
    }

    #[test]
    fn a_tenth_is_taken_until_something_shows() {
        assert_eq!(seen(0.0, 0.0).share(), 0.1);
        assert_eq!(seen(0.0, 0.0).to_weave(90), 100);
    }

    /// Source: the mean of a beta distribution with 4 and 36 counted before,
    /// (4 + spoiled) / (40 + seen) (textbook, from memory).
    #[test]
    fn what_is_seen_outweighs_the_usual_as_it_grows() {
        assert_eq!(seen(30.0, 30.0).share(), 0.34);
        assert!((seen(9000.0, 3000.0).share() - 0.25).abs() < 0.001);
        assert!(seen(0.0, 100_000.0).share() <= 0.9);
    }

    #[test]
    fn panels_that_a_storm_tore_off_were_not_spoiled_by_handling() {
        let tally = |how, count| Tally {
            item: Item::Panel,
            count,
            how,
            to: None,
            remark: String::new(),
            of: Stem::default(),
        };
        let all = [(How::Woven, 420.0), (How::Used, 400.0), (How::Spoiled, 20.0)];
        let after = |heap: Heap, (how, count)| heap.after(&tally(how, count), Uuid::nil());
        let before = all.into_iter().fold(Heap::default(), after);
        let torn = after(before, (How::TornOff, 350.0));
        assert_eq!(torn.used, 50.0);
        assert_eq!(Spoil::seen(&torn), Spoil::seen(&before));
    }

    #[test]
    fn more_spoiled_never_asks_for_fewer_panels() {
        let asked: Vec<u32> = (0..60).map(|n| seen(120.0, f64::from(n)).to_weave(300)).collect();
        assert!(asked.is_sorted(), "{asked:?}");
    }
}
