//! Pieces of an item lot by lot, each of a size.

use super::measured::{Parts, Sizes, UNTOLD, does};
use crate::build::stage::Need;

/// Pieces of an item, the smallest first; those of which no size was told
/// stand last. Where nobody told any size, all do, however many there are.
#[derive(Debug, Clone)]
pub struct Lots(Vec<(Parts, f64)>);

impl Default for Lots {
    fn default() -> Self {
        Self(vec![((UNTOLD, UNTOLD), f64::INFINITY)])
    }
}

impl Lots {
    /// So many pieces in all; those beyond the sizes that are known are of none.
    pub(super) fn of(sizes: &Sizes, mut left: f64) -> Self {
        let mut lots: Vec<(Parts, f64)> = Vec::new();
        for (size, count) in sizes.iter().filter(|(_, count)| **count > 0.0) {
            let count = count.min(left);
            left -= count;
            lots.push((*size, count));
        }
        lots.push(((UNTOLD, UNTOLD), left));
        Self(lots)
    }

    /// How many will do.
    #[must_use]
    pub fn that_do(&self, asked: &Need) -> f64 {
        self.0.iter().filter(|(size, _)| does(*size, asked)).fold(0.0, |sum, (_, count)| sum + count)
    }

    /// How many are too short or too thin.
    #[must_use]
    pub fn too_small(&self, asked: &Need) -> f64 {
        self.0.iter().filter(|(size, _)| !does(*size, asked)).fold(0.0, |sum, (_, count)| sum + count)
    }

    /// Takes so many of those that do, the smallest first.
    pub fn take(&mut self, asked: &Need, mut count: f64) {
        for (_, there) in self.0.iter_mut().filter(|(size, _)| does(*size, asked)) {
            let taken = there.min(count).max(0.0);
            *there -= taken;
            count -= taken;
        }
    }
}
