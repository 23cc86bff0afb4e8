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
    /// The stage that lacks it first, by its place among the nine.
    pub stage: Option<usize>,
    /// The day on which that stage is reached, where it can be told.
    pub bites: Option<NaiveDate>,
    /// How many panels to weave for what nobody has or promised; only of panels
    /// and doubled ones.
    pub to_weave: Option<u32>,
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
    /// The house, other than one, that has most to spare.
    #[must_use]
    pub fn lender(&self, borrower: Uuid) -> Option<&AtHouse> {
        let able = self.houses.iter().filter(|at| at.house != borrower && at.spare > 0.0);
        able.max_by(|a, b| a.spare.total_cmp(&b.spare))
    }

    /// Whether a house lacks it within a week of a day.
    #[must_use]
    pub fn bites_within_a_week(&self, today: NaiveDate) -> bool {
        self.houses.iter().any(|at| at.bites_within_a_week(today))
    }
}

impl AtHouse {
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
    let spare = (heap.on_hand - left).max(0.0);
    lines.push(format!(
        "for the house: {} needed yet, {} short, {} to spare",
        told(left),
        told(short),
        told(spare)
    ));
    lines.push(format!(
        "promised {}, on hand {}, used {}, spoiled {}, lost {}",
        told(heap.promised),
        told(heap.on_hand),
        told(heap.used),
        told(heap.spoiled),
        told(heap.lost)
    ));
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
    let spoil = (item == Item::Panel).then(|| Spoil::seen(&heap));
    Some(AtHouse {
        house: house.id,
        name: house.name.clone(),
        need,
        heap,
        left,
        lacks,
        short,
        spare: (heap.on_hand - left).max(0.0),
        stage,
        bites: stage.and_then(|stage| bites(house, stage)),
        to_weave: match item {
            Item::Panel => Some(house.weave.roof),
            Item::DoubledPanel => Some(house.weave.caps),
            _ => None,
        },
        spoil,
    })
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
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::house::State;
    use crate::build::trial::Trial;

    fn today() -> NaiveDate {
        NaiveDate::from_ymd_opt(2030, 10, 14).unwrap()
    }

    fn tally(trial: Trial, item: &str, count: &str, how: &str) -> Trial {
        trial.draft(&Draft::tally(item, count, how))
    }

    fn glance(trial: &Trial, id: u128) -> Glance {
        Glance { id: Uuid::from_u128(id), ..Glance::of(&trial.house()) }
    }

    fn stores(houses: &[Glance]) -> Vec<Row> {
        of(houses, |house, stage| usually_reached(house, stage, today()))
    }

    fn of_item(rows: &[Row], item: Item) -> &Row {
        rows.iter().find(|row| row.item == item).unwrap()
    }

    #[test]
    fn a_house_with_more_posts_than_it_takes_can_lend_the_rest() {
        let rich = tally(Trial::new("Tern house"), "post", "14", "cut");
        let poor = Trial::new("Landing house");
        let rows = stores(&[glance(&rich, 1), glance(&poor, 2)]);
        let posts = of_item(&rows, Item::Post);
        assert_eq!((posts.need, posts.heap.on_hand, posts.short, posts.spare), (20.0, 14.0, 10.0, 4.0));
        let lender = posts.lender(Uuid::from_u128(2)).unwrap();
        assert_eq!((lender.name.as_str(), lender.spare), ("Tern house", 4.0));
        assert_eq!(posts.lender(Uuid::from_u128(1)), None);
    }

    #[test]
    fn the_sum_of_the_cord_can_be_followed_joint_by_joint() {
        let house = Trial::new("Tern house").house();
        let lines = sum(&house, Item::Cord, today());
        let beams: Vec<&str> = lines.iter().take_while(|l| !l.starts_with('6')).map(String::as_str).collect();
        // The last number of each joint's line, and what the heading makes of them.
        let metres = |line: &str| line.rsplit(' ').nth(1).unwrap().parse::<f64>().unwrap();
        let joints: f64 = beams[2..].iter().map(|line| metres(line)).sum();
        let head: f64 = beams[1].trim().split(' ').next().unwrap().parse().unwrap();
        assert!((joints - head).abs() < 0.2, "{beams:?}");
        let need = &house.stage("beams").unwrap().items[3].need;
        assert_eq!(need.item, Item::Cord);
        assert!((need.count - head * 1.1).abs() < 0.1, "{} {head}", need.count);
    }

    #[test]
    fn every_pole_says_how_thick_it_must_be() {
        let house = Trial::new("Tern house").house();
        for now in house.stages.iter().flat_map(|s| &s.items) {
            assert_eq!(now.need.d_m.is_some(), now.need.item.is_pole(), "{}", now.need.item);
            assert!(!now.need.how.is_empty());
        }
    }

    #[test]
    fn what_is_built_in_is_no_longer_needed() {
        let trial = tally(tally(Trial::new("Tern house"), "post", "14", "cut"), "post", "6", "used");
        let rows = stores(&[glance(&trial, 1)]);
        assert_eq!(of_item(&rows, Item::Post).spare, 4.0);
    }

    #[test]
    fn what_a_signed_stage_took_is_asked_for_no_more_though_nobody_tallied_it() {
        let trial = Trial::new("Tern house").built(&["centre-mark", "set-out", "posts"]);
        let rows = stores(&[glance(&trial, 1)]);
        let posts = of_item(&rows, Item::Post);
        assert_eq!((posts.short, posts.bites), (0.0, None));
    }

    #[test]
    fn a_shortage_bites_when_its_stage_is_reached() {
        let trial = Trial::new("Tern house").built(&["centre-mark"]);
        let rows = stores(&[glance(&trial, 1)]);
        // Set-out takes a day, posts four, beams three, the frame two, the ridge one.
        let days = |item| (of_item(&rows, item).bites.unwrap() - today()).num_days();
        assert_eq!((days(Item::Rope), days(Item::Post), days(Item::Panel)), (0, 1, 11));
        assert!(of_item(&rows, Item::Post).bites_within_a_week(today()));
        assert!(!of_item(&rows, Item::Panel).bites_within_a_week(today()));
    }

    #[test]
    fn at_a_house_that_is_held_nothing_bites() {
        let held = Trial::new("Tern house").draft(&Draft::Hold { cause: "storm".to_owned(), planned: false });
        let rows = stores(&[glance(&held, 1)]);
        assert!(rows.iter().all(|row| row.bites.is_none() && row.short > 0.0));
    }

    #[test]
    fn a_feast_to_come_hides_no_storm_that_is_on() {
        let storm =
            Trial::new("Tern house").draft(&Draft::Hold { cause: "storm".to_owned(), planned: false });
        let mut house = glance(&storm, 1);
        let mut feast = house.holds[0].clone();
        (feast.cause, feast.planned) = ("feast".to_owned(), true);
        feast.from += chrono::Duration::days(60);
        house.holds.push(feast);
        assert_eq!(reached(&house, 2, None, today()), None);
    }

    #[test]
    fn more_torn_off_than_was_built_in_is_told_as_many_as_it_is() {
        let heap = Heap { on_hand: 40.0, used: -6.0, lost: 16.0, ..Heap::default() };
        assert!(
            overdrawn(Item::Panel, &heap).starts_with("6 panels went"),
            "{}",
            overdrawn(Item::Panel, &heap)
        );
        assert_eq!(Spoil::seen(&heap), Spoil::default());
    }

    #[test]
    fn a_house_handed_over_counts_and_asks_for_nothing() {
        let all: Vec<&str> = STAGES.iter().map(|s| s.id).collect();
        let done = tally(tally(Trial::new("School shade"), "post", "10", "cut"), "post", "10", "used");
        let done = tally(done.built(&all), "panel", "9", "found");
        let rows = stores(&[glance(&done, 1), glance(&Trial::new("Tern house"), 2)]);
        for row in &rows {
            let sum = |of: fn(&AtHouse) -> f64| row.houses.iter().map(of).sum::<f64>();
            assert_eq!(row.houses.len(), 2, "{}", row.item);
            assert_eq!((row.need, row.heap.used), (sum(|at| at.need), sum(|at| at.heap.used)));
            let shade = row.houses.iter().find(|at| at.name == "School shade").unwrap();
            assert_eq!((shade.left, shade.short, shade.bites), (0.0, 0.0, None));
        }
        assert_eq!((of_item(&rows, Item::Post).need, of_item(&rows, Item::Post).heap.used), (20.0, 10.0));
        assert_eq!(of_item(&rows, Item::Panel).spare, 9.0);
    }

    #[test]
    fn panels_that_spoil_ask_for_more_to_be_woven() {
        let usual = tally(Trial::new("Tern house"), "panel", "60", "woven");
        let spoiled = tally(usual.clone(), "panel", "30", "spoiled");
        let weave = |trial: &Trial| of_item(&stores(&[glance(trial, 1)]), Item::Panel).houses[0].clone();
        let (usual, spoiled) = (weave(&usual), weave(&spoiled));
        assert!((f64::from(usual.to_weave.unwrap()) / usual.short - 1.0 / 0.9).abs() < 0.01);
        assert!(f64::from(spoiled.to_weave.unwrap()) / spoiled.short > 1.5);
    }

    fn cord(trial: &Trial) -> AtHouse {
        of_item(&stores(&[glance(trial, 1)]), Item::Cord).houses[0].clone()
    }

    fn needs_cord(trial: &Trial, stage: &str) -> f64 {
        let house = trial.house();
        let items = &house.stage(stage).unwrap().items;
        items.iter().find(|i| i.need.item == Item::Cord).unwrap().need.count
    }

    #[test]
    fn cord_that_a_signed_stage_saved_is_not_short_at_the_next() {
        let start = tally(Trial::new("Tern house"), "cord", "1000", "woven");
        let begun = start.built(&["centre-mark", "set-out", "posts"]);
        let beams = tally(begun, "cord", "150", "used").built(&["beams", "roof-frame"]);
        let (ridge, thatch) = (needs_cord(&beams, "ridge"), needs_cord(&beams, "thatch"));
        let at = cord(&tally(beams.clone(), "cord", "100", "used"));
        assert!((at.left - (ridge - 100.0 + thatch)).abs() < 1e-9, "{at:?}");
        let raised = tally(beams, "cord", "400", "used").built(&["ridge"]);
        let at = cord(&tally(raised.clone(), "cord", "90", "used"));
        assert!((at.left - (thatch - 90.0)).abs() < 1e-9, "{at:?}");
        assert!((at.short - (thatch - 90.0 - 360.0)).abs() < 1e-9, "{at:?}");
        let plenty = cord(&tally(tally(raised.clone(), "cord", "90", "used"), "cord", "300", "woven"));
        assert_eq!(plenty.short, 0.0);
        assert!((plenty.spare - (660.0 - (thatch - 90.0))).abs() < 1e-9, "{plenty:?}");
        // More than the stage takes is used: nothing is left, and never less.
        let wasted = cord(&tally(raised, "cord", "450", "used").built(&["thatch"]));
        assert_eq!((wasted.left, wasted.short, wasted.stage), (0.0, 0.0, None));
    }

    #[test]
    fn a_storm_asks_a_signed_stage_only_for_what_it_tore_off() {
        let start = tally(Trial::new("Tern house"), "cord", "1000", "woven");
        let begun = start.built(&["centre-mark", "set-out", "posts"]);
        let beams = tally(begun, "cord", "150", "used").built(&["beams", "roof-frame"]);
        let raised = tally(beams, "cord", "400", "used").built(&["ridge"]);
        let thatch = needs_cord(&raised, "thatch");
        let used = tally(raised, "cord", "90", "used");
        let shaken = used.clone().held("storm", |trial| trial);
        assert_eq!(shaken.house().stage("ridge").unwrap().state, State::Doubtful);
        assert!((cord(&shaken).left - (thatch - 90.0)).abs() < 1e-9, "{:?}", cord(&shaken));
        // What is torn off is taken to be of what was tied last.
        let torn = used.held("storm", |trial| tally(trial, "cord", "100", "torn-off"));
        assert!((cord(&torn).left - (thatch + 10.0)).abs() < 1e-9, "{:?}", cord(&torn));
    }

    #[test]
    fn what_is_promised_is_not_short_but_must_still_come() {
        let trial = tally(Trial::new("Tern house").built(&["centre-mark"]), "post", "4", "cut");
        let rows = stores(&[glance(&tally(trial, "post", "6", "promised"), 1)]);
        let posts = &of_item(&rows, Item::Post).houses[0];
        assert_eq!((posts.left, posts.lacks, posts.short), (10.0, 6.0, 0.0));
        assert!(posts.bites.is_some() && posts.bites_within_a_week(today()));
    }

    #[test]
    fn raw_poles_that_no_stage_takes_are_told_too() {
        let trial = tally(Trial::new("Tern house"), "pole", "7", "cut");
        let rows = stores(&[glance(&trial, 1)]);
        let poles = of_item(&rows, Item::Pole);
        assert_eq!((poles.need, poles.heap.on_hand, poles.spare), (0.0, 7.0, 7.0));
    }
}
