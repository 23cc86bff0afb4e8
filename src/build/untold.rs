//! Panels that lie on a roof by its rows, and what was told of them as used:
//! the two are seldom the same.

use std::collections::BTreeMap;

use super::entry::{Entry, How, Item, What};
use super::heap::Heap;
use super::kinds::{Kinds, has_kinds};
use super::stages::thatch;
use super::torn::{Lies, Torn};
use super::worked::Worked;

/// What was told and read of panels and caps, entry by entry.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Untold(Vec<Seen>);

/// What stood of panels or caps after an entry.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Seen {
    item: Item,
    /// The kind in use.
    now: &'static str,
    /// The kind that the entry is of.
    kind: &'static str,
    turn: Turn,
    /// What was read on the roof, if anything.
    lies: Option<Lies>,
    used: f64,
    /// On hand of the kind the entry is of.
    on_hand: f64,
}

/// What an entry did.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Turn {
    Read,
    Used(f64),
    Other,
}

/// How what was told as used differs from what was read, for the kind in use.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Differs {
    /// Read where they lie but not told as used: they came from what is on
    /// hand, and still count there.
    pub from_heap: f64,
    /// Told as used of another kind, beyond what was read of it: no row of the
    /// kind in use is made of them.
    pub beside: f64,
}

impl Untold {
    /// Takes an entry that was not struck, after all else did.
    pub(super) fn take(
        &mut self,
        entry: &Entry,
        heaps: &BTreeMap<Item, Heap>,
        kinds: &Kinds,
        lies: impl Fn(Item) -> Option<Lies>,
    ) {
        let seen = |item, kind, turn, heap: Heap| {
            let Heap { used, on_hand, .. } = heap;
            Seen { item, now: kinds.now(), kind, turn, lies: lies(item), used, on_hand }
        };
        match &entry.what {
            What::Tally(tally) if has_kinds(tally.item) => {
                let turn = if tally.how == How::Used { Turn::Used(tally.count) } else { Turn::Other };
                self.0.push(seen(tally.item, kinds.of(tally), turn, kinds.heap(heaps, tally)));
            }
            What::Reading(r) => {
                let rows = thatch::slope(&r.point).map(|_| Item::Panel);
                if let Some(item) = rows.or_else(|| Torn::is_of_caps(&r.point).then_some(Item::DoubledPanel))
                {
                    let heap = heaps.get(&item).copied().unwrap_or_default();
                    self.0.push(seen(item, kinds.now(), Turn::Read, heap));
                }
            }
            _ => {}
        }
    }

    /// How the two differ for a kind in use. A row that is read takes its
    /// panels from what is on hand, as far as that goes; a panel told as used
    /// is one of them. What comes later was not laid before it came.
    pub(super) fn differs(&self, worked: &Worked, item: Item, now: &'static str) -> Differs {
        let mut from_heap: BTreeMap<&str, f64> = BTreeMap::new();
        let mut beside: BTreeMap<&str, f64> = BTreeMap::new();
        let others = |of: &BTreeMap<&str, f64>, kind: &str| -> f64 {
            of.iter().filter(|(k, _)| **k != kind).map(|(_, count)| count).sum()
        };
        let (mut untold, mut last) = (0.0, None::<(&str, f64, Option<f64>)>);
        let mut leave = |last: Option<(&'static str, f64, Option<f64>)>, now: &'static str| {
            if let Some((kind, used, Some(lies))) = last.filter(|(kind, ..)| *kind != now) {
                let over = used - others(&beside, kind) - lies;
                beside.insert(kind, over.max(0.0));
            }
            others(&beside, now)
        };
        for seen in self.0.iter().filter(|seen| seen.item == item) {
            let used = seen.used - leave(last, seen.now);
            let lies = seen.lies.map(|lies| lies.count(worked));
            let more = (lies.unwrap_or(0.0) - used).max(0.0);
            let rest = (more - others(&from_heap, seen.kind)).max(0.0);
            let own = from_heap.entry(seen.kind).or_default();
            match seen.turn {
                Turn::Read => *own += (more - untold).max(0.0),
                Turn::Used(count) => *own -= count,
                Turn::Other => {}
            }
            *own = own.min(seen.on_hand).min(rest).max(0.0);
            untold = more;
            last = Some((seen.now, seen.used, lies));
        }
        let beside = leave(last, now);
        Differs { from_heap: from_heap.get(now).copied().unwrap_or_default(), beside }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::build::draft::{Draft, StemSaid};
    use crate::build::trial::Trial;

    fn panels(trial: Trial, count: u32, how: &str) -> Trial {
        if count == 0 { trial } else { trial.draft(&Draft::tally("panel", &count.to_string(), how)) }
    }

    fn rows(trial: Trial, ab: u32, cd: u32) -> Trial {
        trial.read("thatch/rows-ab", &ab.to_string()).read("thatch/rows-cd", &cd.to_string())
    }

    fn rethatched(trial: Trial, kind: &str) -> Trial {
        trial.draft(&Draft::Brief { changes: vec![("thatch".to_owned(), kind.to_owned())] })
    }

    /// What the thatch needs yet, and what it is short of.
    fn stands(trial: &Trial) -> (f64, f64) {
        let house = trial.house();
        let now = &house.stage("thatch").unwrap().items[0];
        (now.left, now.short)
    }

    /// 8 panels in a row; the slopes take `roof` of them.
    fn roof(trial: &Trial) -> f64 {
        f64::from(trial.house().worked.roof_panels())
    }

    #[test]
    fn of_a_new_kind_what_the_rows_leave_is_needed_though_fewer_were_told_as_used() {
        let nipa = panels(panels(Trial::new("Tern house"), 70, "woven"), 50, "used");
        let nipa = rows(nipa, 4, 3);
        assert_eq!(stands(&nipa), (roof(&nipa) - 50.0, roof(&nipa) - 70.0), "6 of the 20 are laid");
        let coconut = rethatched(nipa, "coconut");
        let left = roof(&coconut) - 56.0;
        assert_eq!(stands(&coconut), (left, left));
        let woven = panels(coconut.clone(), 10, "woven");
        assert_eq!(stands(&woven), (left, left - 10.0));
        // The six that were laid are told late.
        let late = Draft::Tally {
            item: "panel".to_owned(),
            count: "6".to_owned(),
            how: "used".to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid { tree: "nipa".to_owned(), ..StemSaid::default() },
        };
        assert_eq!(stands(&woven.draft(&late)), (left, left - 10.0));
        // Back in nipa, they count among the 20 again.
        let back = rethatched(coconut, "nipa");
        assert_eq!(stands(&back), (roof(&back) - 50.0, roof(&back) - 70.0));
    }

    #[test]
    fn of_a_new_kind_what_the_rows_leave_is_needed_though_more_were_told_as_used() {
        let nipa = rows(panels(panels(Trial::new("Tern house"), 70, "woven"), 60, "used"), 4, 3);
        assert_eq!(stands(&nipa).0, roof(&nipa) - 60.0);
        let coconut = rethatched(nipa, "coconut");
        let left = roof(&coconut) - 56.0;
        assert_eq!(stands(&coconut), (left, left));
        let laid = panels(panels(coconut.clone(), 30, "woven"), 16, "used");
        assert_eq!(stands(&laid), (left - 16.0, left - 30.0));
        assert_eq!(stands(&rows(laid, 5, 4)), (left - 16.0, left - 30.0), "those are the two rows");
        let back = rethatched(coconut, "nipa");
        assert_eq!(stands(&back).0, roof(&back) - 60.0);
    }

    #[test]
    fn panels_that_come_after_rows_were_read_are_not_in_them() {
        let untold = rows(Trial::new("Tern house"), 5, 5);
        let left = roof(&untold) - 80.0;
        assert_eq!(stands(&untold), (left, left));
        let woven = panels(untold, 100, "woven");
        assert_eq!(stands(&woven), (left, left - 100.0));
        // Five rows more of them: nothing is needed beyond what was.
        assert_eq!(stands(&rows(woven, 10, 10)).1, left - 100.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn weaving_lowers_what_is_short_by_as_much_and_leaves_what_is_needed(
            woven in 0_u32..200,
            used in 0_u32..200,
            laid in 0_u32..20,
            behind in 0_u32..3,
            again in any::<bool>(),
            later in 0_u32..120,
            more in 1_u32..1200,
        ) {
            let mut trial = panels(panels(Trial::new("Tern house"), woven, "woven"), used.min(woven), "used");
            if laid > 0 {
                trial = rows(trial, laid, laid.saturating_sub(behind));
            }
            if again {
                trial = panels(rethatched(trial, "coconut"), later, "woven");
                trial = rows(panels(trial, later / 2, "used"), laid + 2, laid + 1);
            }
            let (left, short) = stands(&trial);
            let (left_then, short_then) = stands(&panels(trial, more, "woven"));
            prop_assert_eq!(left_then, left);
            prop_assert_eq!(short_then, (short - f64::from(more)).max(0.0));
        }
    }
}
