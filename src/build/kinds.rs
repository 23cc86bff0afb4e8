//! Panels of the kind a roof is thatched in, and those of another that are
//! left over.
//!
//! A panel is of the kind the house had when it was told, unless it was told
//! of another. When the kind of a house changes, what is on hand or promised
//! of the old one is left over; what was used, spoiled or lost stays counted.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::accept::told;
use super::brief::{BriefText, THATCHES};
use super::entry::{Item, Tally};
use super::heap::Heap;
use super::house::House;
use super::telling::of_item;

/// Panels of a kind that the house is not thatched in any more.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeftOver {
    /// Panels or doubled panels.
    pub item: Item,
    /// Their kind.
    pub kind: String,
    /// Lying there.
    pub on_hand: f64,
    /// Promised and not delivered yet.
    pub promised: f64,
}

impl LeftOver {
    /// That they are left over, in words.
    #[must_use]
    pub fn told(&self) -> String {
        let of = |count| of_kind(self.item, Some(&self.kind), count);
        match (self.on_hand, self.promised) {
            (0.0, promised) => format!("{} promised, not for this roof", of(promised)),
            (on_hand, 0.0) => format!("{} left over, not for this roof", of(on_hand)),
            (on_hand, promised) => {
                format!("{} left over and {} promised, not for this roof", of(on_hand), told(promised))
            }
        }
    }
}

/// So many of an item, of a kind where it has one: `8 coconut panels`.
#[must_use]
pub fn of_kind(item: Item, kind: Option<&str>, count: f64) -> String {
    let counted = of_item(item, count);
    let Some(kind) = kind else { return counted };
    let count = told(count);
    counted.replacen(&count, &format!("{count} {kind}"), 1)
}

/// Whether an item comes in kinds.
#[must_use]
pub const fn has_kinds(item: Item) -> bool {
    matches!(item, Item::Panel | Item::DoubledPanel)
}

/// The kinds of panel at a house.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Kinds {
    now: Option<&'static str>,
    /// On hand and promised of the kinds that are not in use.
    left: BTreeMap<(Item, &'static str), (f64, f64)>,
}

impl Kinds {
    /// The house is thatched in the kind of a brief from now on.
    pub(super) fn thatch(&mut self, said: &BriefText, heaps: &mut BTreeMap<Item, Heap>) {
        let kind = said.said("thatch").and_then(known).unwrap_or(THATCHES[0].id);
        let Some(before) = self.now.replace(kind).filter(|before| *before != kind) else { return };
        for item in [Item::Panel, Item::DoubledPanel] {
            let back = self.left.remove(&(item, kind)).unwrap_or_default();
            let heap = heaps.entry(item).or_default();
            self.left.insert((item, before), (heap.on_hand, heap.promised));
            (heap.on_hand, heap.promised) = back;
        }
    }

    /// The kind of the panels of a tally, where it is not the one in use.
    fn other(&self, tally: &Tally) -> Option<&'static str> {
        let said = tally.of.tree.as_deref().filter(|_| has_kinds(tally.item)).and_then(known)?;
        Some(said).filter(|said| self.now.is_some_and(|now| now != *said))
    }

    /// The kind of the panels of a tally.
    pub(super) fn of(&self, tally: &Tally) -> &'static str {
        self.other(tally).unwrap_or(self.now())
    }

    /// The heap a tally is about, as it is now.
    pub(super) fn heap(&self, heaps: &BTreeMap<Item, Heap>, tally: &Tally) -> Heap {
        let heap = heaps.get(&tally.item).copied().unwrap_or_default();
        self.other(tally).map_or(heap, |kind| {
            let (on_hand, promised) = self.left.get(&(tally.item, kind)).copied().unwrap_or_default();
            Heap { on_hand, promised, ..heap }
        })
    }

    /// Takes a tally, as the house `at` sees it, and gives whether more went
    /// than there was.
    pub(super) fn take(&mut self, tally: &Tally, at: Uuid, heaps: &mut BTreeMap<Item, Heap>) -> bool {
        let after = self.heap(heaps, tally).after(tally, at);
        let other = self.other(tally);
        let heap = heaps.entry(tally.item).or_default();
        if let Some(kind) = other {
            self.left.insert((tally.item, kind), (after.on_hand, after.promised));
            *heap = Heap { on_hand: heap.on_hand, promised: heap.promised, ..after };
        } else {
            *heap = after;
        }
        after.is_overdrawn()
    }

    /// The kind in use.
    #[must_use]
    pub fn now(&self) -> &'static str {
        self.now.unwrap_or(THATCHES[0].id)
    }

    /// What is left over of other kinds.
    #[must_use]
    pub fn left_over(&self) -> Vec<LeftOver> {
        let lying = self.left.iter().filter(|(_, (on_hand, promised))| *on_hand != 0.0 || *promised > 0.0);
        let one = |(&(item, kind), &(on_hand, promised)): (&(Item, &str), &(f64, f64))| LeftOver {
            item,
            kind: kind.to_owned(),
            on_hand,
            promised,
        };
        lying.map(one).collect()
    }
}

/// A kind of thatch by its name.
#[must_use]
pub fn known(name: &str) -> Option<&'static str> {
    THATCHES.iter().map(|kind| kind.id).find(|id| *id == name.trim())
}

impl House {
    /// That the panels of a tally are of another kind than its roof, in words;
    /// nothing where they are not.
    #[must_use]
    pub fn cannot_lay(&self, tally: &Tally) -> Option<String> {
        let kind = self.kinds.other(tally)?;
        let (panels, now) = (of_kind(tally.item, Some(kind), tally.count), self.kinds.now());
        Some(format!("{panels} lie at {} as left over: its roof is {now}", self.name))
    }

    /// The items of which more is gone than came, and how much more: two books
    /// that were merged may each have used the same heap.
    pub fn lacking(&self) -> impl Iterator<Item = (Item, f64)> {
        let left_over = self.kinds.left_over().into_iter().map(|left| (left.item, -left.on_hand));
        let heaps = self.heaps.iter().map(|(item, heap)| (*item, heap.lacking()));
        heaps.chain(left_over).filter(|(_, lacking)| *lacking > 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::{Draft, StemSaid};
    use crate::build::trial::Trial;

    fn panels(trial: Trial, count: &str, how: &str) -> Trial {
        trial.draft(&Draft::tally("panel", count, how))
    }

    fn draft_of_kind(count: &str, how: &str, kind: &str) -> Draft {
        Draft::Tally {
            item: "panel".to_owned(),
            count: count.to_owned(),
            how: how.to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid { tree: kind.to_owned(), ..StemSaid::default() },
        }
    }

    fn rethatched(trial: Trial, kind: &str) -> Trial {
        trial.draft(&Draft::Brief { changes: vec![("thatch".to_owned(), kind.to_owned())] })
    }

    /// Five rows of nipa on each slope; 36 panels lie there, 12 are promised.
    fn nipa() -> Trial {
        let laid = Trial::new("Tern house").read("thatch/rows-ab", "5").read("thatch/rows-cd", "5");
        panels(panels(panels(laid, "116", "woven"), "80", "used"), "12", "promised")
    }

    fn on_hand(house: &House) -> (f64, f64) {
        let heap = house.heaps[&Item::Panel];
        (heap.on_hand, heap.promised)
    }

    fn told(house: &House) -> Vec<String> {
        house.kinds.left_over().iter().map(LeftOver::told).collect()
    }

    fn lacks(house: &House) -> f64 {
        house.stage("thatch").unwrap().items[0].short
    }

    #[test]
    fn panels_of_the_old_kind_are_left_over_and_all_of_the_new_is_still_to_weave() {
        let house = rethatched(nipa(), "coconut").house();
        assert_eq!(on_hand(&house), (0.0, 0.0));
        assert_eq!(told(&house), ["36 nipa panels left over and 12 promised, not for this roof"]);
        assert_eq!(lacks(&house), f64::from(house.worked.roof_panels() - 80));
        let heap = house.heaps[&Item::Panel];
        assert_eq!((heap.used, heap.ever_used), (80.0, 80.0));
    }

    #[test]
    fn what_comes_after_the_change_is_of_the_new_kind() {
        let house = panels(rethatched(nipa(), "coconut"), "50", "woven").house();
        assert_eq!(on_hand(&house), (50.0, 0.0));
        assert_eq!(house.kinds.left_over()[0].on_hand, 36.0);
        // The nipa that was promised comes all the same, and some of it spoils.
        let late = rethatched(nipa(), "coconut").draft(&draft_of_kind("12", "delivered", "nipa"));
        let house = late.draft(&draft_of_kind("8", "spoiled", "nipa")).house();
        assert_eq!(told(&house), ["40 nipa panels left over, not for this roof"]);
        assert_eq!((on_hand(&house), house.heaps[&Item::Panel].spoiled), ((0.0, 0.0), 8.0));
    }

    #[test]
    fn no_more_goes_of_a_kind_than_there_is_of_it() {
        let house = rethatched(nipa(), "coconut").house();
        let refused = |draft: Draft| draft.decide(&house, "Oru").unwrap_err()[0].why.clone();
        assert!(refused(Draft::tally("panel", "8", "used")).contains("0 on hand"));
        assert!(refused(draft_of_kind("37", "lost", "nipa")).contains("37 panels lost, but 36 on hand"));
        assert!(refused(draft_of_kind("1", "lost", "straw")).contains("nipa, coconut"));
        let mixed = rethatched(nipa(), "coconut").draft(&draft_of_kind("8", "used", "nipa")).house();
        assert_eq!((mixed.heaps[&Item::Panel].used, mixed.kinds.left_over()[0].on_hand), (88.0, 28.0));
    }

    #[test]
    fn back_in_the_old_kind_its_panels_are_at_hand_again() {
        let there = panels(rethatched(nipa(), "coconut"), "50", "woven");
        let back = rethatched(there, "nipa").house();
        assert_eq!(on_hand(&back), (36.0, 12.0));
        assert_eq!(told(&back), ["50 coconut panels left over, not for this roof"]);
    }

    #[test]
    fn a_struck_change_and_one_of_something_else_leave_all_as_it_was() {
        let changed = rethatched(nipa(), "coconut");
        let version = changed.house().version.id;
        let struck = changed.draft(&Draft::Strike { entry: version, why: "said in jest".to_owned() }).house();
        assert_eq!((on_hand(&struck), told(&struck)), ((36.0, 12.0), Vec::new()));
        let owner = Draft::Brief { changes: vec![("owner".to_owned(), "Tavi".to_owned())] };
        assert_eq!(on_hand(&nipa().draft(&owner).house()), (36.0, 12.0));
    }
}
