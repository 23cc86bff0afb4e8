//! The heaps of material at a house, counted from its tallies.

use std::collections::{BTreeMap, VecDeque};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::accept::told as told_count;
use super::days::telling::day;
use super::entry::{How, Item, Moment, Tally};
use super::pieces::{Lots, Measured};
use super::stage::{Need, STAGES, Stage};
use super::worked::Worked;

/// What there is of an item at a house.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heap {
    /// Promised and not delivered yet.
    pub promised: f64,
    /// Lying there.
    pub on_hand: f64,
    /// Built in.
    pub used: f64,
    /// Built in at any time, what was torn off since with it.
    pub ever_used: f64,
    /// Torn off, and not built in anew since.
    pub gone: f64,
    /// Spoiled.
    pub spoiled: f64,
    /// Lost.
    pub lost: f64,
}

/// Dust left by sums of metres and m³ that cancel out.
const DUST: f64 = 1e-9;

impl Heap {
    /// The heap after a tally, as the house `at` sees it.
    #[must_use]
    pub fn after(mut self, tally: &Tally, at: Uuid) -> Self {
        let n = tally.count;
        match tally.how {
            How::Cut | How::Woven | How::Bought | How::Found => self.on_hand += n,
            How::Promised => self.promised += n,
            How::Delivered => {
                self.promised = (self.promised - n).max(0.0);
                self.on_hand += n;
            }
            How::Moved if tally.to == Some(at) => self.on_hand += n,
            How::Moved => self.on_hand -= n,
            How::Used => {
                self.on_hand -= n;
                self.used += n;
                self.ever_used += n;
                self.gone = (self.gone - n).max(0.0);
            }
            How::Spoiled => {
                self.on_hand -= n;
                self.spoiled += n;
            }
            How::Lost => {
                self.on_hand -= n;
                self.lost += n;
            }
            How::TornOff => {
                self.used -= n;
                self.gone += n;
                self.lost += n;
            }
        }
        for sum in [&mut self.on_hand, &mut self.used, &mut self.gone] {
            if sum.abs() < DUST {
                *sum = 0.0;
            }
        }
        self
    }

    /// Whether more went than there was, from the heap or from the house.
    #[must_use]
    pub fn is_overdrawn(&self) -> bool {
        self.lacking() > 0.0
    }

    /// Whether more went than there was, and more than before.
    #[must_use]
    pub fn lacks_more_than(&self, before: &Self) -> bool {
        let less = |now: f64, was: f64| now < was.min(0.0);
        less(self.on_hand, before.on_hand) || less(self.used, before.used)
    }

    /// How many more went than there were.
    #[must_use]
    pub fn lacking(&self) -> f64 {
        (-self.on_hand.min(self.used)).max(0.0)
    }
}

/// A movement of an item at a house.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// When.
    pub happened: Moment,
    /// How.
    pub how: How,
    /// How many.
    pub count: f64,
    /// Whether another house gave it.
    pub came: bool,
    /// By whom it was told.
    pub by: String,
}

/// How many movements of an item are remembered.
const LAST: usize = 4;

/// The last movements of an item at a house.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Moves(VecDeque<Move>);

impl Moves {
    /// Remembers one more, and forgets what is long past.
    pub fn push(&mut self, one: Move) {
        if self.0.len() == LAST {
            self.0.pop_front();
        }
        self.0.push_back(one);
    }

    /// The last few, in words: `40 woven 2 Oct, 12 moved away 3 Oct`; with the
    /// year where it is not today's.
    #[must_use]
    pub fn told(&self, today: NaiveDate) -> String {
        let told = |m: &Move| {
            let how = match (m.how, m.came) {
                (How::Moved, true) => "given by another house".to_owned(),
                (How::Moved, false) => "moved away".to_owned(),
                (how, _) => how.to_string(),
            };
            format!("{} {how} {}", told_count(m.count), day(m.happened.date_naive(), today))
        };
        self.0.iter().map(told).collect::<Vec<_>>().join(", ")
    }
}

/// An item of a stage: what it takes, and what the house has.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemNow {
    /// What the stage takes.
    pub need: Need,
    /// What the house has of it, for all its stages.
    pub heap: Heap,
    /// What the stage still takes: its need less what was built in there.
    pub left: f64,
    /// What of that does not lie there once the stages before it are served.
    pub lacks: f64,
    /// What of that is not promised either.
    pub short: f64,
    /// How many there are, lying or built in, that are too short or too thin
    /// for this stage and serve none before it.
    pub too_small: f64,
}

/// What was built in of each item when a stage was signed first.
pub(super) type BuiltIn = BTreeMap<Item, f64>;

/// How many of an item are built in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct InPlace {
    pub count: f64,
    /// Whether they were read where they lie, and not only told.
    pub is_read: bool,
}

/// What a stage still asks for of its need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asks {
    /// All that was not built in.
    All,
    /// What was told as built in and is there no more.
    WhatIsGone,
    /// What was torn off: it has had what it took, though nobody tallied it.
    WhatIsTornOff,
}

/// The items of every stage, in the order of the work. What was built in when
/// a stage was signed is that stage's, or that of one before it; what was built
/// in since, what is on hand and what is promised serve the earlier stages
/// first. What was told to be too small for a stage does not serve it.
#[must_use]
pub(super) fn items(
    worked: &Worked,
    heaps: &BTreeMap<Item, Heap>,
    measured: &BTreeMap<Item, Measured>,
    in_place: impl Fn(Item, &Heap) -> InPlace,
    signed: impl Fn(&Stage) -> (Asks, Option<BuiltIn>),
) -> Vec<Vec<ItemNow>> {
    let stages: Vec<_> = STAGES.iter().map(|stage| ((stage.needs)(worked), signed(stage))).collect();
    let mut piles: BTreeMap<Item, Pile> = BTreeMap::new();
    for (needs, (_, built_in)) in &stages {
        for item in needs.iter().map(|need| need.item) {
            let heap = heaps.get(&item).copied().unwrap_or_default();
            let pile = piles
                .entry(item)
                .or_insert_with(|| Pile::of(heap, in_place(item, &heap), measured.get(&item)));
            let then = built_in.as_ref().and_then(|all| all.get(&item)).copied().unwrap_or(0.0);
            pile.rest = pile.rest.min((pile.used - then).max(0.0));
            pile.gone = pile.gone.min((heap.ever_used - then).max(0.0));
        }
    }
    let of_stage = |(needs, (asks, built_in)): (Vec<Need>, (Asks, Option<BuiltIn>))| {
        let one = |need: Need| {
            let pile = piles.entry(need.item).or_default();
            let then = built_in.as_ref().and_then(|all| all.get(&need.item)).copied();
            pile.serve(need, asks, then)
        };
        needs.into_iter().map(one).collect()
    };
    stages.into_iter().map(of_stage).collect()
}

/// What there is of an item for the stages that are not served yet.
#[derive(Debug, Default)]
struct Pile {
    heap: Heap,
    /// All that is built in.
    used: f64,
    /// Whether that was read, and not only told.
    is_read: bool,
    /// What was built in when the stages so far were signed.
    told: f64,
    /// What was built in since any of them was signed.
    rest: f64,
    /// What was told as built in since any of them was signed, and is torn off
    /// and not built in anew.
    gone: f64,
    on_hand: f64,
    promised: f64,
    /// What is built in and on hand, by the sizes that were told.
    there: Lots,
    /// What is promised, likewise.
    to_come: Lots,
}

impl Pile {
    fn of(heap: Heap, in_place: InPlace, measured: Option<&Measured>) -> Self {
        let InPlace { count: used, is_read } = in_place;
        let (on_hand, promised) = (heap.on_hand, heap.promised);
        let there = measured.map_or_else(Lots::default, |m| m.there(used.max(0.0) + on_hand.max(0.0)));
        let to_come = measured.map_or_else(Lots::default, |m| m.to_come(promised));
        Self {
            heap,
            used,
            is_read,
            told: 0.0,
            rest: used,
            gone: heap.gone,
            on_hand,
            promised,
            there,
            to_come,
        }
    }

    /// Serves a stage; `then` is what was built in when it was signed.
    fn serve(&mut self, need: Need, asks: Asks, then: Option<f64>) -> ItemNow {
        let told = then.unwrap_or(0.0).max(self.told);
        let took = told - self.told;
        let own = told.min(self.used) - self.told.min(self.used);
        self.told = told;
        // What nobody told as built in cannot be told to be gone either, until
        // somebody tells both.
        let untold =
            took <= 0.0 && (asks == Asks::WhatIsTornOff || asks == Asks::WhatIsGone && !self.is_read);
        let asked = match asks {
            Asks::WhatIsTornOff if !untold => (took.min(need.count) - own).min(self.heap.gone),
            Asks::WhatIsTornOff | Asks::WhatIsGone if untold => self.gone.min(need.count),
            Asks::WhatIsGone if took > 0.0 => took.min(need.count) - own,
            Asks::WhatIsTornOff | Asks::WhatIsGone | Asks::All => need.count - own,
        };
        self.there.take(&need, own);
        let too_small = self.there.too_small(&need);
        let mut does = self.there.that_do(&need);
        let left = if untold {
            self.gone -= asked;
            self.rest += asked;
            asked
        } else {
            take(&mut self.rest, asked, &mut does)
        };
        let lacks = take(&mut self.on_hand, left, &mut does);
        self.there.take(&need, asked - lacks);
        let short = take(&mut self.promised, lacks, &mut self.to_come.that_do(&need));
        self.to_come.take(&need, lacks - short);
        ItemNow { need, heap: self.heap, left, lacks, short, too_small }
    }
}

/// Takes what is asked for off what there is, as far as it does, and gives
/// what is lacking.
fn take(there: &mut f64, asked: f64, does: &mut f64) -> f64 {
    let served = there.min(asked).min(*does).max(0.0);
    *there -= served;
    *does -= served;
    let lacks = asked - served;
    if lacks < DUST { 0.0 } else { lacks }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::entry::Stem;

    fn tally(how: How, count: f64) -> Tally {
        Tally { item: Item::Panel, count, how, to: None, remark: String::new(), of: Stem::default() }
    }

    #[test]
    fn a_delivery_comes_off_the_promise() {
        let at = Uuid::nil();
        let heap =
            Heap::default().after(&tally(How::Promised, 40.0), at).after(&tally(How::Delivered, 25.0), at);
        assert_eq!((heap.promised, heap.on_hand), (15.0, 25.0));
        let heap = heap.after(&tally(How::Delivered, 20.0), at);
        assert_eq!((heap.promised, heap.on_hand), (0.0, 45.0));
    }

    #[test]
    fn what_moves_leaves_one_heap_for_the_other() {
        let (here, there) = (Uuid::nil(), Uuid::max());
        let moved = Tally { to: Some(there), ..tally(How::Moved, 12.0) };
        assert_eq!(Heap::default().after(&moved, there).on_hand, 12.0);
        assert!(Heap::default().after(&moved, here).is_overdrawn());
    }

    #[test]
    fn spoiled_and_lost_are_gone_but_remembered() {
        let at = Uuid::nil();
        let heap = [
            tally(How::Woven, 30.0),
            tally(How::Spoiled, 4.0),
            tally(How::Lost, 6.0),
            tally(How::Used, 20.0),
        ]
        .iter()
        .fold(Heap::default(), |heap, t| heap.after(t, at));
        assert_eq!(heap, Heap { used: 20.0, ever_used: 20.0, spoiled: 4.0, lost: 6.0, ..Heap::default() });
    }

    #[test]
    fn what_is_torn_off_the_roof_leaves_the_heap_beside_it_alone() {
        let at = Uuid::nil();
        let heap = [tally(How::Woven, 30.0), tally(How::Used, 20.0), tally(How::TornOff, 8.0)]
            .iter()
            .fold(Heap::default(), |heap, t| heap.after(t, at));
        assert_eq!(
            heap,
            Heap { on_hand: 10.0, used: 12.0, ever_used: 20.0, gone: 8.0, lost: 8.0, ..Heap::default() }
        );
        assert!(heap.after(&tally(How::TornOff, 13.0), at).is_overdrawn());
    }

    #[test]
    fn a_heap_that_lacks_may_come_nearer_to_what_is_there() {
        let lacks = Heap { on_hand: 40.0, used: -6.0, ..Heap::default() };
        let at = Uuid::nil();
        assert!(!lacks.after(&tally(How::Spoiled, 40.0), at).lacks_more_than(&lacks));
        assert!(!lacks.after(&tally(How::Used, 5.0), at).lacks_more_than(&lacks));
        assert!(lacks.after(&tally(How::Spoiled, 45.0), at).lacks_more_than(&lacks));
        assert!(lacks.after(&tally(How::TornOff, 1.0), at).lacks_more_than(&lacks));
    }
}
