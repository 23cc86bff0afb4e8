//! The stores: every item over all houses, what is short and by when, and who
//! has some to spare.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use uuid::Uuid;

use super::accept::told;
use super::days::Days as Plan;
use super::entry::Item;
use super::glance::{Glance, Stock};
use super::heap::{Heap, ItemNow};
use super::held;
use super::house::House;
use super::kinds::{self, LeftOver};
use super::spoil::Spoil;
use super::stage::STAGES;
use super::telling::of_item;

/// An item at one house.
#[derive(Debug, Clone, PartialEq)]
pub struct AtHouse {
    /// The house.
    pub house: Uuid,
    /// What people call it.
    pub name: String,
    /// What all its stages take.
    pub need: f64,
    /// What there is of it.
    pub heap: Heap,
    /// What the stages that are not done still take.
    pub left: f64,
    /// What of that does not lie there.
    pub lacks: f64,
    /// What of that is not promised either.
    pub short: f64,
    /// What lies there beyond what the house itself still takes.
    pub spare: f64,
    /// How many there are, lying or built in, that are too short or too thin
    /// for every stage; only of poles.
    pub too_small: f64,
    /// The stage that lacks it first, by its place among the nine.
    pub stage: Option<usize>,
    /// The day on which that stage is reached, where it can be told.
    pub bites: Option<NaiveDate>,
    /// How many panels to weave for what nobody has or promised; only of panels
    /// and doubled ones.
    pub to_weave: Option<u32>,
    /// The kind in use; only of panels and doubled ones.
    pub kind: Option<String>,
    /// What is left over of other kinds.
    pub left_over: Vec<LeftOver>,
    /// How panels have spoiled there; only of panels.
    pub spoil: Option<Spoil>,
}

/// An item over all houses.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What.
    pub item: Item,
    /// What all houses take.
    pub need: f64,
    /// What there is at all houses together.
    pub heap: Heap,
    /// What all houses still take.
    pub left: f64,
    /// What of that does not lie at them.
    pub lacks: f64,
    /// What of that is not promised either.
    pub short: f64,
    /// What houses have beyond what they take.
    pub spare: f64,
    /// The first day on which it is lacked.
    pub bites: Option<NaiveDate>,
    /// House by house, the one that lacks it first before the others.
    pub houses: Vec<AtHouse>,
}

impl Row {
    /// The house, other than one, that has most to spare of what that one
    /// takes, and how much.
    #[must_use]
    pub fn lender(&self, borrower: &AtHouse) -> Option<(&AtHouse, f64)> {
        let others = self.houses.iter().filter(|at| at.house != borrower.house);
        let able = others.map(|at| (at, at.spare_of(borrower.kind.as_deref())));
        able.filter(|(_, spare)| *spare > 0.0).max_by(|(_, a), (_, b)| a.total_cmp(b))
    }

    /// Whether a house lacks it within a week of a day.
    #[must_use]
    pub fn bites_within_a_week(&self, today: NaiveDate) -> bool {
        self.houses.iter().any(|at| at.bites_within_a_week(today))
    }
}

impl AtHouse {
    /// What it has to spare, in words.
    #[must_use]
    pub fn spares(&self, item: Item) -> String {
        to_spare(item, self.kind.as_deref(), self.spare)
    }

    /// What it has to spare of a kind.
    fn spare_of(&self, kind: Option<&str>) -> f64 {
        if self.kind.as_deref() == kind {
            return self.spare;
        }
        let of_kind = self.left_over.iter().find(|left| Some(left.kind.as_str()) == kind);
        of_kind.map_or(0.0, |left| left.on_hand.max(0.0))
    }

    /// Whether it is lacked within a week of a day.
    #[must_use]
    pub fn bites_within_a_week(&self, today: NaiveDate) -> bool {
        let last = today.checked_add_days(Days::new(7)).unwrap_or(today);
        self.lacks > 0.0 && self.bites.is_some_and(|day| day <= last)
    }
}

/// That more went than came, in words.
#[must_use]
pub fn overdrawn(item: Item, heap: &Heap) -> String {
    let more = of_item(item, heap.lacking());
    format!("{more} went that never came: tally what came, or strike what was counted twice")
}

/// That some pieces count for nothing, in words.
#[must_use]
pub fn too_small(count: f64) -> String {
    format!("{} too short or too thin to count", told(count))
}

/// That so much is to spare, in words; of what comes in kinds, for which roof.
#[must_use]
pub fn to_spare(item: Item, kind: Option<&str>, count: f64) -> String {
    match kind.filter(|_| count > 0.0) {
        Some(kind) => {
            format!("{} to spare, for a {kind} roof", kinds::of_kind(item, Some(kind), count))
        }
        None => format!("{} to spare", told(count)),
    }
}

/// The sum behind what a house needs of an item, in lines a builder can follow.
#[must_use]
pub fn sum(house: &House, item: Item, today: NaiveDate) -> Vec<String> {
    let mut lines = Vec::new();
    for stage in &house.stages {
        for now in stage.items.iter().filter(|now| now.need.item == item) {
            lines.push(format!(
                "{} {}: {}, {} needed yet, {} short",
                stage.stage.number,
                stage.stage.says.to_lowercase(),
                of_item(item, now.need.count),
                told(now.left),
                told(now.short)
            ));
            if now.too_small > 0.0 {
                lines.push(format!("   ! {}", too_small(now.too_small)));
            }
            lines.extend(now.need.how.iter().map(|line| format!("   {line}")));
        }
    }
    if lines.is_empty() {
        lines.push("no stage takes it".to_owned());
    }
    let heap = house.heaps.get(&item).copied().unwrap_or_default();
    let of = |count: fn(&ItemNow) -> f64| {
        let stages = house.stages.iter().flat_map(|stage| &stage.items);
        total(stages.filter(|now| now.need.item == item).map(count))
    };
    let (left, short) = (of(|now| now.left), of(|now| now.short));
    let small = house.stages.iter().flat_map(|stage| &stage.items).filter(|now| now.need.item == item);
    let (_, spare) = beyond(heap.on_hand, small.map(|now| now.too_small), left);
    let kind = kinds::has_kinds(item).then(|| house.kinds.now());
    lines.push(format!(
        "for the house: {} needed yet, {} short, {}",
        told(left),
        told(short),
        to_spare(item, kind, spare)
    ));
    lines.push(format!(
        "promised {}, on hand {}, used {}, spoiled {}, lost {}",
        told(heap.promised),
        told(heap.on_hand),
        told(heap.used),
        told(heap.spoiled),
        told(heap.lost)
    ));
    lines.extend(house.kinds.left_over().iter().filter(|left| left.item == item).map(LeftOver::told));
    lines.extend(house.moves.get(&item).map(|moves| format!("last: {}", moves.told(today))));
    if heap.is_overdrawn() {
        lines.push(format!("! {}", overdrawn(item, &heap)));
    }
    lines
}

/// Days that a stage usually takes a small crew (common practice), until a
/// plan says better.
const USUAL_DAYS: [u64; 9] = [1, 1, 4, 3, 2, 1, 10, 2, 1];

/// The day on which a house comes to a stage by the plan of the days; where
/// that gives no day, at the usual pace.
#[must_use]
pub fn reached(house: &Glance, stage: usize, planned: Option<&Plan>, today: NaiveDate) -> Option<NaiveDate> {
    let by_plan = || planned?.reached(house.id, STAGES.get(stage)?.id);
    if is_held(house, today) { None } else { by_plan().or_else(|| usually_reached(house, stage, today)) }
}

/// Whether a house is held on a day.
fn is_held(house: &Glance, today: NaiveDate) -> bool {
    held::is_open_on(&house.holds, today)
}

/// The day on which a house comes to a stage, were its crew to go on from
/// today at the usual pace; none while it is held.
fn usually_reached(house: &Glance, stage: usize, today: NaiveDate) -> Option<NaiveDate> {
    if is_held(house, today) {
        return None;
    }
    let before = USUAL_DAYS.iter().take(stage).skip(house.stage).sum();
    today.checked_add_days(Days::new(before))
}

/// The stores of all houses, those handed over too, so that each column is the
/// sum of what stands under it; `bites` tells on which day a house comes to a
/// stage.
#[must_use]
pub fn of(houses: &[Glance], bites: impl Fn(&Glance, usize) -> Option<NaiveDate>) -> Vec<Row> {
    let mut rows: BTreeMap<Item, Vec<AtHouse>> = BTreeMap::new();
    for house in houses {
        let mut items: BTreeMap<Item, Vec<&Stock>> = BTreeMap::new();
        for stock in &house.stock {
            items.entry(stock.item).or_default().push(stock);
        }
        for (item, stock) in items {
            rows.entry(item).or_default().extend(at_house(house, item, &stock, &bites));
        }
    }
    rows.into_iter().map(|(item, houses)| row(item, houses)).collect()
}

fn at_house(
    house: &Glance,
    item: Item,
    stock: &[&Stock],
    bites: impl Fn(&Glance, usize) -> Option<NaiveDate>,
) -> Option<AtHouse> {
    let heap = stock.first()?.heap;
    let need = total(stock.iter().map(|s| s.need));
    let left = total(stock.iter().map(|s| s.left));
    let lacks = total(stock.iter().map(|s| s.lacks));
    let short = total(stock.iter().map(|s| s.short));
    let stage = stock.iter().filter(|s| s.lacks > 0.0).map(|s| s.stage).min();
    let (too_small, spare) = beyond(heap.on_hand, stock.iter().map(|s| s.too_small), left);
    let spoil = (item == Item::Panel).then(|| Spoil::seen(&heap));
    Some(AtHouse {
        house: house.id,
        name: house.name.clone(),
        need,
        heap,
        left,
        lacks,
        short,
        spare,
        too_small,
        stage,
        bites: stage.and_then(|stage| bites(house, stage)),
        to_weave: match item {
            Item::Panel => Some(house.weave.roof),
            Item::DoubledPanel => Some(house.weave.caps),
            _ => None,
        },
        kind: kinds::has_kinds(item).then(|| house.thatch.clone()),
        left_over: house.left_over.iter().filter(|left| left.item == item).cloned().collect(),
        spoil,
    })
}

/// Of what lies at a house that still takes so much of it: how much is too
/// small for every stage, given what is for each, and how much it can spare.
fn beyond(on_hand: f64, too_small: impl Iterator<Item = f64>, left: f64) -> (f64, f64) {
    let too_small = too_small.reduce(f64::min).unwrap_or_default();
    // Those that do were built in first.
    let lying = too_small.min(on_hand.max(0.0));
    (too_small, (on_hand - lying - left).max(0.0))
}

/// Added from a plain 0, as an empty sum of doubles is a negative one.
fn total(counts: impl Iterator<Item = f64>) -> f64 {
    counts.fold(0.0, |sum, count| sum + count)
}

fn row(item: Item, mut houses: Vec<AtHouse>) -> Row {
    // Stable: houses that lack it on the same day stay in their order.
    houses.sort_by_key(|at| (at.lacks <= 0.0, at.bites.is_none(), at.bites));
    let sum = |of: fn(&AtHouse) -> f64| total(houses.iter().map(of));
    Row {
        item,
        need: sum(|at| at.need),
        heap: Heap {
            promised: sum(|at| at.heap.promised),
            on_hand: sum(|at| at.heap.on_hand),
            used: sum(|at| at.heap.used),
            ever_used: sum(|at| at.heap.ever_used),
            gone: sum(|at| at.heap.gone),
            spoiled: sum(|at| at.heap.spoiled),
            lost: sum(|at| at.heap.lost),
        },
        left: sum(|at| at.left),
        lacks: sum(|at| at.lacks),
        short: sum(|at| at.short),
        spare: sum(|at| at.spare),
        bites: houses.iter().filter(|at| at.lacks > 0.0).filter_map(|at| at.bites).min(),
        houses,
    }
}

#[cfg(test)]
mod tests;
