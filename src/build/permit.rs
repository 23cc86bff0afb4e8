//! Leave to cut: what permits allow, and what was cut against them.
//!
//! Each cut of a kind of tree takes from the permits for it that are in force
//! on its day, from the one that ends first. Taken in the order of their days,
//! no other way covers more cuts.

use chrono::NaiveDate;
use serde::Serialize;
use uuid::Uuid;

use super::entry::{Item, Moment, Permit};
use super::telling::of_item;

/// Leave that was given.
#[derive(Debug, Clone, PartialEq)]
pub struct Leave {
    /// Its entry.
    pub id: Uuid,
    /// When it was given; it holds from that day on.
    pub given: Moment,
    /// What it allows.
    pub permit: Permit,
    /// Whether it was struck: it allows nothing then, but its tree may not be
    /// cut freely for that.
    pub struck: bool,
}

impl Leave {
    /// Whether it holds on a day, the last one taken in.
    #[must_use]
    pub fn holds_on(&self, day: NaiveDate) -> bool {
        !self.struck && (self.given.date_naive()..=self.permit.until).contains(&day)
    }
}

/// Trees that were cut, of a kind for which there is a permit.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Its entry.
    pub id: Uuid,
    /// For which house.
    pub house: Option<Uuid>,
    /// As what.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// When.
    pub happened: Moment,
    /// By whom.
    pub by: String,
    /// Why past the permits, where that was said.
    pub why: Option<String>,
    /// What was answered to that.
    pub answer: Option<String>,
}

/// A permit and what is left of it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeaveNow {
    /// The permit.
    pub leave: Leave,
    /// How many were cut against it.
    pub cut: u32,
}

impl LeaveNow {
    /// How many may still be cut.
    #[must_use]
    pub const fn left(&self) -> u32 {
        self.leave.permit.count.saturating_sub(self.cut)
    }
}

/// A cut that stands out: more than permits allowed, or said to be so.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// The cut.
    pub cut: Cut,
    /// How many of it no permit covers as the book is now.
    pub uncovered: u32,
}

impl Past {
    /// How many of it are past the permits, in words.
    #[must_use]
    pub fn uncovered_told(&self) -> String {
        match self.uncovered {
            0 => "covered since".to_owned(),
            n => format!("{n} past the permit"),
        }
    }
}

/// All permits for one kind of tree, and the cuts against them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// The permits, the one that ends first before the others.
    pub leaves: Vec<LeaveNow>,
    /// The cuts that stand out, in the order they happened.
    pub past: Vec<Past>,
}

impl Ledger {
    /// Counts cuts against permits.
    #[must_use]
    pub fn of(leaves: &[Leave], cuts: &[Cut]) -> Self {
        let is_free = leaves.is_empty();
        let standing = leaves.iter().filter(|leave| !leave.struck).cloned();
        let mut leaves: Vec<LeaveNow> = standing.map(|leave| LeaveNow { leave, cut: 0 }).collect();
        leaves.sort_by_key(|now| (now.leave.permit.until, now.leave.given, now.leave.id));
        let mut cuts: Vec<&Cut> = cuts.iter().collect();
        // Within a day, those are past the permits of which that was said.
        cuts.sort_by_key(|cut| (cut.happened.date_naive(), cut.why.is_some(), cut.happened, cut.id));
        let mut past = Vec::new();
        for cut in cuts {
            let mut uncovered = cut.count;
            for now in leaves.iter_mut().filter(|now| now.leave.holds_on(cut.happened.date_naive())) {
                let taken = uncovered.min(now.left());
                now.cut += taken;
                uncovered -= taken;
                if uncovered == 0 {
                    break;
                }
            }
            // Where there never was a permit, anything may be cut.
            if uncovered > 0 && !is_free || cut.why.is_some() {
                past.push(Past { cut: cut.clone(), uncovered });
            }
        }
        Self { leaves, past }
    }

    fn uncovered(&self) -> u64 {
        self.past.iter().map(|past| u64::from(past.uncovered)).sum()
    }

    /// What may still be cut on a day, in words.
    #[must_use]
    pub fn left_on(&self, day: NaiveDate) -> String {
        let in_force: Vec<&LeaveNow> = self.leaves.iter().filter(|now| now.leave.holds_on(day)).collect();
        let left: Vec<String> = in_force
            .iter()
            .filter(|now| now.left() > 0)
            .map(|now| format!("{} until {}", now.left(), now.leave.permit.until))
            .collect();
        match (left.is_empty(), in_force.last(), self.leaves.last()) {
            (false, ..) => format!("left to cut: {}", left.join(", ")),
            (true, Some(last), _) => format!("none are left to cut until {}", last.leave.permit.until),
            (true, None, Some(last)) if last.leave.permit.until < day => {
                format!("the permit ended on {}", last.leave.permit.until)
            }
            (true, None, Some(_)) => "no permit holds on that day".to_owned(),
            (true, None, None) => "the permit for it was struck".to_owned(),
        }
    }
}

/// Whether a cut would be past what permits allow; where it would, what may be
/// cut that day, in words. Where there never was a permit, anything may be cut.
///
/// A cut written later than it happened counts on its own day, so that it may
/// take what later ones had: they are then past the permits in its place.
#[must_use]
pub fn past(leaves: &[Leave], cuts: &[Cut], new: &Cut) -> Option<String> {
    if leaves.is_empty() {
        return None;
    }
    let before = Ledger::of(leaves, cuts);
    let after = Ledger::of(leaves, &[cuts, std::slice::from_ref(new)].concat());
    (after.uncovered() > before.uncovered()).then(|| before.left_on(new.happened.date_naive()))
}

/// That a cut of a tree counts against no permit, though there are permits for
/// others; in words. No tree was said where it is empty.
#[must_use]
pub fn unpermitted(tree: &str, permitted: &[String]) -> Option<String> {
    let tree = tree.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    if permitted.is_empty() || permitted.contains(&tree) {
        return None;
    }
    let known = permitted.join(", ");
    Some(match tree.as_str() {
        "" => format!("no tree was said, so it counts against no permit; there are permits for {known}"),
        _ => format!("it counts against no permit; there are permits for {known}"),
    })
}

/// The tree with a permit that is spelled much like another one.
#[must_use]
pub fn spelled_like<'p>(tree: &str, permitted: &'p [String]) -> Option<&'p str> {
    let apart = |known: &&String| strsim::osa_distance(tree, known);
    let nearest = permitted.iter().min_by_key(apart)?;
    // Two letters in six may be a slip, one in four or five.
    (apart(&nearest) <= 2 && apart(&nearest) * 3 <= nearest.chars().count()).then_some(nearest)
}

/// A cut past the permits that nobody has answered, as its house tells it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PastCut {
    /// Its entry.
    pub entry: Uuid,
    /// As what.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// How many of them no permit covers as the book is now.
    #[serde(rename = "past")]
    pub uncovered: u32,
    /// The kind of tree.
    pub tree: String,
    /// Why, where that was said when it was cut.
    pub why: Option<String>,
    /// When.
    pub happened: Moment,
    /// By whom.
    pub by: String,
}

impl PastCut {
    /// A cut of a kind of tree, where it waits for an answer.
    #[must_use]
    pub fn waiting(tree: &str, past: &Past) -> Option<Self> {
        let cut = &past.cut;
        cut.answer.is_none().then(|| Self {
            entry: cut.id,
            item: cut.item,
            count: cut.count,
            uncovered: past.uncovered,
            tree: tree.to_owned(),
            why: cut.why.clone(),
            happened: cut.happened,
            by: cut.by.clone(),
        })
    }

    /// Told in a few words: `22 posts of mangrove cut, 6 past the permit`.
    #[must_use]
    pub fn told(&self) -> String {
        let what = format!("{} of {} cut", of_item(self.item, f64::from(self.count)), self.tree);
        match self.uncovered {
            0 => format!("{what} past the permit, covered since"),
            n if n == self.count => format!("{what} past the permit"),
            n => format!("{what}, {n} past the permit"),
        }
    }

    /// Why, in words.
    #[must_use]
    pub fn why_told(&self) -> &str {
        self.why.as_deref().unwrap_or(NOBODY_SAID)
    }
}

/// Why a cut is past the permits where nobody said it when it was cut.
pub const NOBODY_SAID: &str =
    "nobody wrote why: since then a permit was struck, an earlier cut told, or two books brought together";

#[cfg(test)]
mod tests {
    use chrono::{TimeZone, Utc};
    use proptest::prelude::*;

    use super::*;

    fn on(day: u32) -> Moment {
        Utc.with_ymd_and_hms(2031, 3, day, 8, 0, 0).unwrap().fixed_offset()
    }

    fn leave(id: u128, given: u32, until: u32, count: u32) -> Leave {
        let permit = Permit {
            tree: "mangrove".to_owned(),
            count,
            place: String::new(),
            until: on(until).date_naive(),
        };
        Leave { id: Uuid::from_u128(id), given: on(given), permit, struck: false }
    }

    fn cut(id: u128, day: u32, count: u32) -> Cut {
        let by = "Oru".to_owned();
        let id = Uuid::from_u128(id);
        Cut { id, house: None, item: Item::Post, count, happened: on(day), by, why: None, answer: None }
    }

    #[test]
    fn where_nothing_is_permitted_nothing_is_counted() {
        assert_eq!(past(&[], &[], &cut(1, 3, 500)), None);
    }

    #[test]
    fn a_cut_takes_from_the_permit_that_ends_first() {
        let leaves = [leave(1, 1, 30, 10), leave(2, 1, 10, 4)];
        let ledger = Ledger::of(&leaves, &[cut(3, 5, 6)]);
        let left: Vec<u32> = ledger.leaves.iter().map(LeaveNow::left).collect();
        assert_eq!((left, ledger.past), (vec![0, 8], vec![]));
    }

    #[test]
    fn the_last_day_is_taken_in_and_the_day_after_is_past() {
        let leaves = [leave(1, 1, 10, 20)];
        assert_eq!(past(&leaves, &[], &cut(2, 10, 20)), None);
        assert_eq!(past(&leaves, &[], &cut(2, 11, 1)).as_deref(), Some("the permit ended on 2031-03-10"));
    }

    #[test]
    fn what_is_left_and_until_when_is_told() {
        let leaves = [leave(1, 1, 10, 20), leave(2, 1, 20, 5)];
        let cuts = [cut(3, 4, 18)];
        let told = past(&leaves, &cuts, &cut(4, 5, 8));
        assert_eq!(told.as_deref(), Some("left to cut: 2 until 2031-03-10, 5 until 2031-03-20"));
        let none = past(&leaves, &[cut(3, 4, 25)], &cut(4, 5, 1));
        assert_eq!(none.as_deref(), Some("none are left to cut until 2031-03-20"));
    }

    #[test]
    fn a_permit_covers_nothing_that_was_cut_before_it_was_given() {
        let leaves = [leave(1, 5, 30, 20)];
        let told = past(&leaves, &[], &cut(2, 4, 1));
        assert_eq!(told.as_deref(), Some("no permit holds on that day"));
    }

    #[test]
    fn a_cut_that_counts_against_no_permit_says_so() {
        let permitted = ["mangrove".to_owned()];
        assert_eq!(unpermitted("", &[]), None);
        assert_eq!(unpermitted("Mangrove ", &permitted), None);
        assert!(unpermitted(" ", &permitted).unwrap().starts_with("no tree was said"));
        assert!(unpermitted("coconut", &permitted).unwrap().contains("permits for mangrove"));
    }

    #[test]
    fn a_slip_in_the_name_of_a_tree_is_seen_and_another_tree_is_let_be() {
        let permitted = ["casuarina".to_owned(), "mangrove".to_owned(), "nara".to_owned()];
        assert_eq!(spelled_like("mangroove", &permitted), Some("mangrove"));
        assert_eq!(spelled_like("mangroves", &permitted), Some("mangrove"));
        assert_eq!(spelled_like("mnagrove", &permitted), Some("mangrove"));
        assert_eq!(spelled_like("narra", &permitted), Some("nara"));
        assert_eq!(spelled_like("mango", &permitted), None);
        assert_eq!(spelled_like("coconut", &permitted), None);
    }

    #[test]
    fn a_tree_whose_only_permit_was_struck_is_not_free_to_cut() {
        let struck = [Leave { struck: true, ..leave(1, 1, 30, 20) }];
        let cuts = [cut(2, 4, 5)];
        let ledger = Ledger::of(&struck, &cuts);
        assert_eq!((ledger.leaves.len(), ledger.past[0].uncovered), (0, 5));
        assert_eq!(past(&struck, &cuts, &cut(3, 5, 1)).as_deref(), Some("the permit for it was struck"));
    }

    #[test]
    fn within_a_day_the_cut_that_was_said_to_be_past_is_past() {
        let said = Cut { why: Some("two split".to_owned()), ..cut(2, 4, 3) };
        let later = Cut { happened: on(4) + chrono::TimeDelta::hours(2), ..cut(3, 4, 5) };
        let ledger = Ledger::of(&[leave(1, 1, 30, 5)], &[said.clone(), later]);
        assert_eq!(ledger.past, [Past { cut: said, uncovered: 3 }]);
    }

    #[test]
    fn a_permit_given_back_in_time_covers_what_was_past() {
        let cuts = [cut(2, 4, 6)];
        let ledger = Ledger::of(&[leave(1, 5, 30, 20)], &cuts);
        assert_eq!(ledger.past[0].uncovered, 6);
        assert_eq!(Ledger::of(&[leave(1, 4, 30, 20)], &cuts).past, []);
    }

    #[test]
    fn a_cut_written_late_may_not_take_what_later_ones_had() {
        let leaves = [leave(1, 1, 30, 10)];
        let cuts = [cut(2, 9, 10)];
        assert!(past(&leaves, &cuts, &cut(3, 4, 1)).is_some());
    }

    #[test]
    fn a_cut_that_was_said_to_be_past_stands_out_though_a_permit_covers_it_now() {
        let said = Cut { why: Some("the storm had broken two".to_owned()), ..cut(2, 4, 2) };
        let ledger = Ledger::of(&[leave(1, 1, 30, 10)], &[said]);
        assert_eq!((ledger.past.len(), ledger.past[0].uncovered), (1, 0));
    }

    /// The most trees that can be covered at all, by augmenting paths: slow,
    /// plain, and made in another way.
    fn most_covered(leaves: &[Leave], cuts: &[Cut]) -> usize {
        let trees: Vec<Moment> = cuts.iter().flat_map(|c| vec![c.happened; c.count as usize]).collect();
        let slots: Vec<&Leave> = leaves.iter().flat_map(|l| vec![l; l.permit.count as usize]).collect();
        let mut taken: Vec<Option<usize>> = vec![None; slots.len()];
        fn place(
            tree: usize,
            trees: &[Moment],
            slots: &[&Leave],
            taken: &mut [Option<usize>],
            seen: &mut [bool],
        ) -> bool {
            for slot in 0..slots.len() {
                if seen[slot] || !slots[slot].holds_on(trees[tree].date_naive()) {
                    continue;
                }
                seen[slot] = true;
                if taken[slot].is_none_or(|other| place(other, trees, slots, taken, seen)) {
                    taken[slot] = Some(tree);
                    return true;
                }
            }
            false
        }
        (0..trees.len())
            .filter(|tree| place(*tree, &trees, &slots, &mut taken, &mut vec![false; slots.len()]))
            .count()
    }

    proptest! {
        /// Source: Hall's marriage theorem by augmenting paths (textbook
        /// algorithm, from memory).
        #[test]
        fn as_many_trees_are_covered_as_can_be(
            leaves in prop::collection::vec((1..20_u32, 0..12_u32, 0..6_u32), 1..4),
            cuts in prop::collection::vec((1..28_u32, 1..5_u32), 0..6),
        ) {
            let leaves: Vec<Leave> = (1..)
                .zip(leaves)
                .map(|(id, (given, days, count))| leave(id, given, (given + days).min(28), count))
                .collect();
            let cuts: Vec<Cut> = (100..).zip(cuts).map(|(id, (day, count))| cut(id, day, count)).collect();
            let all: u32 = cuts.iter().map(|c| c.count).sum();
            let ledger = Ledger::of(&leaves, &cuts);
            let covered: u32 = ledger.leaves.iter().map(|l| l.cut).sum();
            prop_assert_eq!(covered as usize, most_covered(&leaves, &cuts));
            prop_assert_eq!(u64::from(all - covered), ledger.uncovered());
        }
    }
}
