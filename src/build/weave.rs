//! Panels still to be woven: one count for the stores and for the days.

use serde::{Deserialize, Serialize};

use super::entry::Item;
use super::heap::{Heap, InPlace, ItemNow};
use super::house::House;
use super::record::Record;
use super::untold::Differs;
use super::worked::Worked;

/// Panels that a house lacks and that nobody has promised, and how many to
/// weave for them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToWeave {
    /// What the slopes lack.
    pub roof_lacks: u32,
    /// What the caps lack, two for each.
    pub caps_lack: u32,
    /// How many to weave for the slopes.
    pub roof: u32,
    /// How many to weave for the caps.
    pub caps: u32,
}

impl ToWeave {
    /// How many to weave in all.
    #[must_use]
    pub const fn total(&self) -> u32 {
        self.roof + self.caps
    }
}

/// How many panels are still to be woven at a house. What lies on the roof, is
/// on hand or promised is not woven again, though the thatch waits for what is
/// promised; of what is woven a share spoils, as it has shown. Panels that the
/// slopes do not need serve the caps.
#[must_use]
pub fn to_weave(house: &House) -> ToWeave {
    let of = |item: Item| house.stages.iter().flat_map(|s| &s.items).filter(move |i| i.need.item == item);
    let sum = |item: Item, count: fn(&ItemNow) -> f64| of(item).map(count).sum::<f64>();
    let heap = house.heaps.get(&Item::Panel).copied().unwrap_or_default();
    let spare = (heap.on_hand.max(0.0) + heap.promised - sum(Item::Panel, |i| i.left)).max(0.0);
    // Panels are whole, and a roof takes no more than a million.
    let roof_lacks = sum(Item::Panel, |i| i.short) as u32;
    let caps_lack = (2.0 * sum(Item::DoubledPanel, |i| i.short) - spare).max(0.0).ceil() as u32;
    let weave = |panels| house.worked.spoil.to_weave(panels);
    let roof = weave(roof_lacks);
    ToWeave { roof_lacks, caps_lack, roof, caps: weave(roof_lacks + caps_lack) - roof }
}

/// How many of an item are built in: what was told as used, or what was read
/// where it lies, whichever is more. What was read and not told came from what
/// is on hand as far as that went, and still counts there.
pub(super) fn built_in(worked: &Worked, record: &Record, item: Item, heap: &Heap) -> InPlace {
    let read = record.torn.lying(worked, &record.readings, item);
    let Differs { from_heap, beside } = record.untold.differs(worked, item, record.kinds.now());
    let lies = read.map_or(0.0, |lies| lies - from_heap);
    InPlace { count: (heap.used - beside).max(lies), is_read: read.is_some() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;

    const RAISED: [&str; 6] = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];

    fn tally(trial: Trial, item: &str, count: &str, how: &str) -> Trial {
        trial.draft(&Draft::tally(item, count, how))
    }

    fn raised() -> Trial {
        Trial::new("Tern house").built(&RAISED)
    }

    /// 46 rows of 8 panels on each slope, and 8 caps of two: 752 in all.
    fn lacks(trial: &Trial) -> (u32, u32) {
        let weave = to_weave(&trial.house());
        (weave.roof_lacks, weave.caps_lack)
    }

    #[test]
    fn all_that_the_thatch_asks_for_is_woven_with_what_spoils() {
        let house = raised().house();
        let weave = to_weave(&house);
        assert_eq!(weave.total(), house.worked.order_panels());
        assert_eq!(weave.roof_lacks + weave.caps_lack, house.worked.panels());
        assert!(weave.total() > house.worked.panels());
    }

    #[test]
    fn what_is_there_or_promised_is_not_woven_again() {
        let (roof, caps) = lacks(&raised());
        let trial = tally(tally(raised(), "panel", "100", "woven"), "panel", "36", "promised");
        assert_eq!(lacks(&trial), (roof - 136, caps));
        let trial = tally(tally(trial, "panel", "60", "used"), "panel", "30", "spoiled");
        assert_eq!(lacks(&trial), (roof - 106, caps));
        let weave = to_weave(&trial.house());
        assert_eq!(weave.total(), trial.house().worked.spoil.to_weave(roof - 106 + caps));
        // (4 + 30) of (40 + 90): what has shown takes the place of the usual tenth.
        assert!((trial.house().worked.spoil.share() - 34.0 / 130.0).abs() < 1e-12);
    }

    #[test]
    fn rows_read_before_their_panels_are_told_as_used_are_not_counted_twice() {
        let (roof, caps) = lacks(&raised());
        let woven = tally(raised(), "panel", "100", "woven");
        let read = woven.read("thatch/rows-ab", "5").read("thatch/rows-cd", "5");
        assert_eq!(lacks(&read), (roof - 100, caps));
        assert_eq!(lacks(&tally(read, "panel", "80", "used")), (roof - 100, caps));
        let untold = raised().read("thatch/rows-ab", "5").read("thatch/rows-cd", "5");
        assert_eq!(lacks(&untold), (roof - 80, caps), "nobody told what was woven");
    }

    #[test]
    fn what_a_storm_tore_off_is_woven_again() {
        let (roof, caps) = lacks(&raised());
        let laid = tally(tally(raised(), "panel", "80", "woven"), "panel", "80", "used");
        let laid = laid.read("thatch/rows-ab", "5").read("thatch/rows-cd", "5");
        let torn = tally(laid, "panel", "16", "torn-off");
        assert_eq!(lacks(&torn), (roof - 64, caps));
    }

    #[test]
    fn panels_to_spare_serve_the_caps_and_doubled_ones_are_woven_already() {
        let (roof, caps) = lacks(&raised());
        let trial = tally(raised(), "panel", &(roof + 4).to_string(), "woven");
        assert_eq!(lacks(&trial), (0, caps - 4));
        assert_eq!(lacks(&tally(trial.clone(), "doubled-panel", "3", "woven")), (0, caps - 10));
        let all = tally(trial, "panel", &(caps - 4).to_string(), "woven").house();
        assert_eq!(to_weave(&all), ToWeave::default());
    }

    #[test]
    fn nothing_is_woven_for_what_is_laid() {
        let thatched = raised().built(&["thatch"]);
        assert_eq!(lacks(&thatched), (0, 2 * thatched.house().worked.thatch.cap_panels));
        assert_eq!(lacks(&thatched.built(&["cap"])), (0, 0));
    }
}
