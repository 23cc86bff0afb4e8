//! What was torn off a roof since its rows and caps were read.

use super::entry::{How, Item, PointName, Tally, What};
use super::readings::Readings;
use super::roofing;
use super::stages::thatch;
use super::worked::Worked;

/// What was torn off since it was last read what lies there: a reading of the
/// rows or the caps leaves out what was gone by then.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Torn {
    /// Panels of the a-b and of the c-d slope. Nobody tells from which they
    /// went: half is taken to be of each until it is read.
    slopes: [f64; 2],
    /// Doubled panels of the ridge.
    caps: f64,
}

impl Torn {
    /// Takes what an entry that was not struck says.
    pub(super) fn take(&mut self, what: &What) {
        match what {
            What::Tally(Tally { item: Item::Panel, how: How::TornOff, count, .. }) => {
                self.slopes = self.slopes.map(|torn| torn + count / 2.0);
            }
            What::Tally(Tally { item: Item::DoubledPanel, how: How::TornOff, count, .. }) => {
                self.caps += count;
            }
            What::Reading(r) if Self::is_of_caps(&r.point) => self.caps = 0.0,
            What::Reading(r) => {
                if let Some(torn) = thatch::slope(&r.point).and_then(|slope| self.slopes.get_mut(slope)) {
                    *torn = 0.0;
                }
            }
            _ => {}
        }
    }

    /// Whether a point is that at which the caps are counted.
    pub(super) fn is_of_caps(point: &PointName) -> bool {
        (point.stage.as_str(), point.point.as_str()) == CAPS
    }

    /// How many panels or caps lie on the roof by what was read there, less
    /// what was torn off since; whole, 0 or more. Nothing of other items, and
    /// nothing where none was read.
    #[must_use]
    pub fn lying(&self, worked: &Worked, readings: &Readings, item: Item) -> Option<f64> {
        Some(self.lies(readings, item)?.count(worked))
    }

    /// What lies on the roof by what was read there, rows not yet counted out
    /// in panels.
    pub(super) fn lies(&self, readings: &Readings, item: Item) -> Option<Lies> {
        match item {
            Item::Panel => {
                let rows = thatch::rows_read(readings);
                rows.iter().flatten().next()?;
                let rows = rows.map(Option::unwrap_or_default);
                Some(Lies::Rows { rows, torn: self.slopes.iter().sum() })
            }
            Item::DoubledPanel => {
                Some(Lies::Caps { count: readings.number(CAPS.0, CAPS.1)?, torn: self.caps })
            }
            _ => None,
        }
    }
}

/// What lies on a roof.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lies {
    /// Rows of panels on each slope, less panels torn off since.
    Rows { rows: [u32; 2], torn: f64 },
    /// Caps, less those torn off since.
    Caps { count: f64, torn: f64 },
}

impl Lies {
    /// How many panels or caps those are; whole, 0 or more.
    pub(super) fn count(self, worked: &Worked) -> f64 {
        let (read, torn) = match self {
            Self::Rows { rows, torn } => (f64::from(roofing::panels(worked, rows)), torn),
            Self::Caps { count, torn } => (count, torn),
        };
        (read - torn.ceil()).max(0.0)
    }
}

/// The point at which the caps are counted.
const CAPS: (&str, &str) = ("cap", "caps");

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;
    use crate::build::weave::to_weave;

    fn tally(trial: Trial, item: &str, count: &str, how: &str) -> Trial {
        trial.draft(&Draft::tally(item, count, how))
    }

    fn lie(trial: &Trial, item: Item) -> Option<f64> {
        let house = trial.house();
        house.torn.lying(&house.worked, &house.readings, item)
    }

    /// 22 rows on one slope and 21 on the other, 8 panels in each.
    fn thatched() -> Trial {
        let built = Trial::new("Sister house").built(&["centre-mark", "set-out", "posts", "beams"]);
        let raised = built.built(&["roof-frame", "ridge"]);
        let laid = tally(tally(raised, "panel", "400", "woven"), "panel", "344", "used");
        laid.read("thatch/rows-ab", "22").read("thatch/rows-cd", "21")
    }

    #[test]
    fn what_was_torn_off_is_taken_off_once_though_the_rows_are_read_again() {
        let thatched = thatched();
        assert_eq!(lie(&thatched, Item::Panel), Some(344.0));
        let torn = tally(thatched, "panel", "16", "torn-off");
        assert_eq!(lie(&torn, Item::Panel), Some(328.0));
        let half = torn.read("thatch/rows-ab", "21");
        assert_eq!(lie(&half, Item::Panel), Some(328.0), "8 of the 16 lay on the other slope");
        let read = half.read("thatch/rows-cd", "20");
        assert_eq!(lie(&read, Item::Panel), Some(328.0));
        assert_eq!(lie(&tally(read, "panel", "5", "torn-off"), Item::Panel), Some(323.0));
    }

    #[test]
    fn stores_and_days_ask_for_what_was_torn_off_once() {
        let house = tally(thatched(), "panel", "16", "torn-off")
            .read("thatch/rows-ab", "21")
            .read("thatch/rows-cd", "20")
            .house();
        let need = house.worked.roof_panels();
        assert_eq!(roofing::Going::of(&house).left, need - 328);
        assert_eq!(to_weave(&house).roof_lacks, need - 328 - 56);
    }

    #[test]
    fn caps_that_were_counted_again_are_not_torn_off_twice() {
        let capped = tally(tally(thatched(), "doubled-panel", "8", "woven"), "doubled-panel", "6", "used");
        assert_eq!(lie(&capped, Item::DoubledPanel), None, "nobody counted them");
        let torn = tally(capped.read("cap/caps", "6"), "doubled-panel", "2", "torn-off");
        assert_eq!(lie(&torn, Item::DoubledPanel), Some(4.0));
        assert_eq!(lie(&torn.read("cap/caps", "4"), Item::DoubledPanel), Some(4.0));
    }
}
