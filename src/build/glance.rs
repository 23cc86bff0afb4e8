//! A house at a glance: what a page of many houses shows of each, small
//! enough to be kept beside its entries.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::days::Left;
use super::entry::{Item, Moment};
use super::heap::Heap;
use super::held::{self, Held};
use super::house::{House, State};
use super::kinds::LeftOver;
use super::next;
use super::permit::PastCut;
use super::weave::{ToWeave, to_weave};

/// A house at a glance. It follows from the house's entries alone, so that it
/// holds until one is added.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glance {
    /// Its id.
    pub id: Uuid,
    /// What people call it.
    pub name: String,
    /// Whose it is to be; may be empty.
    pub owner: String,
    /// Where; may be empty.
    pub place: String,
    /// When it was started.
    pub started: Moment,
    /// When something was last written of it.
    pub last: Moment,
    /// The place of the stage in hand among the nine, from 0.
    pub stage: usize,
    /// How far that stage has got, in a word.
    pub state: String,
    /// How many stages are signed.
    pub signed: usize,
    /// What is next in the work, in one sentence, whether a hold stops it or
    /// not.
    pub next: String,
    /// Its holds, the latest last: all that go on, and those that ended last.
    pub holds: Vec<Held>,
    /// What can no longer be trusted, in words; the first few.
    pub doubts: Vec<String>,
    /// How many doubts there are.
    pub doubt_count: usize,
    /// Cuts past the permits that nobody has answered: these hang on all
    /// houses, and are never kept.
    #[serde(skip)]
    pub past_permit: Vec<PastCut>,
    /// Its material, stage by stage; last what no stage takes.
    pub stock: Vec<Stock>,
    /// The kind of panel its roof is thatched in.
    pub thatch: String,
    /// Panels of other kinds that are left over.
    pub left_over: Vec<LeftOver>,
    /// The panels that are still to be woven.
    pub weave: ToWeave,
    /// The work left, and what is known of how it goes.
    pub work: Left,
}

/// An item of a stage at a house.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// The place of the stage among the nine, from 0.
    pub stage: usize,
    /// What.
    pub item: Item,
    /// How many the stage takes; metres of cord, m³ of stone.
    pub need: f64,
    /// Whether the stage is signed and not in doubt.
    pub done: bool,
    /// What the stage still takes: its need less what was built in there.
    pub left: f64,
    /// What of that does not lie there once the stages before it are served.
    pub lacks: f64,
    /// What of that is not promised either.
    pub short: f64,
    /// How many there are that are too short or too thin for the stage.
    pub too_small: f64,
    /// What the house has of it, for all its stages.
    pub heap: Heap,
}

/// How many doubts are told in words.
const DOUBTS: usize = 3;

/// How many holds are told of those that have ended or whose end was told
/// ahead.
const ENDED: usize = 16;

impl Glance {
    /// A house at a glance.
    #[must_use]
    pub fn of(house: &House) -> Self {
        let now = house.in_hand();
        let brief = &house.worked.brief;
        let doubts = house.doubts.iter().take(DOUBTS).map(|d| format!("{}: {}", d.what, d.cause));
        let stock = house.stages.iter().enumerate().flat_map(|(stage, now)| {
            now.items.iter().map(move |i| Stock {
                stage,
                item: i.need.item,
                need: i.need.count,
                done: now.state == State::Signed,
                left: i.left,
                lacks: i.lacks,
                short: i.short,
                too_small: i.too_small,
                heap: i.heap,
            })
        });
        let needed = |item: Item| house.stages.iter().any(|s| s.items.iter().any(|i| i.need.item == item));
        let stage = usize::from(now.stage.number) - 1;
        let beside = house.heaps.iter().filter(|(item, _)| !needed(**item)).map(|(item, heap)| Stock {
            stage,
            item: *item,
            need: 0.0,
            done: false,
            left: 0.0,
            lacks: 0.0,
            short: 0.0,
            too_small: 0.0,
            heap: *heap,
        });
        Self {
            id: house.id,
            name: house.name.clone(),
            owner: brief.owner.clone(),
            place: brief.place.clone(),
            started: house.started,
            last: house.last,
            stage,
            state: now.state.word().to_owned(),
            signed: house.stages.iter().filter(|s| s.signed.is_some()).count(),
            next: next::of_work(house),
            holds: lately(&house.holds),
            doubts: doubts.collect(),
            doubt_count: house.doubts.len(),
            past_permit: house.past_permit.clone(),
            stock: stock.chain(beside).collect(),
            thatch: house.kinds.now().to_owned(),
            left_over: house.kinds.left_over(),
            weave: to_weave(house),
            work: Left::of(house),
        }
    }

    /// The hold that stops it at a moment.
    #[must_use]
    pub fn held_at(&self, now: Moment) -> Option<&Held> {
        held::on(&self.holds, now)
    }

    /// The hold that stops it at a moment, else the next to come.
    #[must_use]
    pub fn held_or_to_be(&self, now: Moment) -> Option<&Held> {
        held::on_or_to_come(&self.holds, now)
    }

    /// What is next at a moment, in one sentence; in a storm with what is not
    /// made fast.
    #[must_use]
    pub fn next_at(&self, now: Moment) -> String {
        let Some(held) = self.held_at(now) else { return self.next.clone() };
        let told = next::while_held(held, now);
        held.lacking_in_short().map_or_else(|| told.clone(), |lacking| format!("{told} {lacking}"))
    }

    /// The items of which the stage in hand is short.
    pub fn short(&self) -> impl Iterator<Item = &Stock> {
        self.stock.iter().filter(|s| s.stage == self.stage && s.short > 0.0)
    }
}

/// The holds that go on, and those of the others that end last.
fn lately(holds: &[Held]) -> Vec<Held> {
    let mut ends: Vec<Moment> = holds.iter().filter_map(|held| held.to).collect();
    ends.sort_unstable();
    let since = ends.iter().rev().nth(ENDED - 1);
    let is_late = |held: &&Held| held.to.is_none_or(|to| since.is_none_or(|since| *since <= to));
    holds.iter().filter(is_late).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::trial::Trial;

    #[test]
    fn a_storm_that_goes_on_is_told_however_many_stops_have_ended() {
        let hold = |cause: &str| Draft::Hold { cause: cause.to_owned(), planned: false };
        let feasts = (0..40).fold(Trial::new("Tern house"), |trial, _| trial.held("feast", |t| t));
        assert_eq!(Glance::of(&feasts.house()).holds.len(), ENDED);
        let storm = Trial::new("Tern house").draft(&hold("storm"));
        assert_eq!(Glance::of(&storm.house()).holds[0].cause, "storm");
        let last = Glance::of(&feasts.draft(&hold("storm")).house()).holds;
        assert_eq!((last.len(), last[ENDED].cause.as_str()), (ENDED + 1, "storm"));
    }

    #[test]
    fn a_glance_is_the_same_when_it_was_kept_and_read_back() {
        let house = Trial::new("Tern house").read("set-out/ab", "6.970m").house();
        let glance = Glance::of(&house);
        assert_eq!((glance.stage, glance.state.as_str()), (0, "open"));
        assert!(glance.short().any(|s| s.item == Item::Peg));
        let kept = serde_json::to_string(&glance).unwrap();
        assert_eq!(serde_json::from_str::<Glance>(&kept).unwrap(), glance);
    }
}
