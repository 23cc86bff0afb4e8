//! What the stores tell of houses in the making.

use super::*;
use crate::build::draft::{Draft, StemSaid};
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
    let at = |id| posts.houses.iter().find(|at| at.house == Uuid::from_u128(id)).unwrap();
    let (lender, spare) = posts.lender(at(2)).unwrap();
    assert_eq!((lender.name.as_str(), spare), ("Tern house", 4.0));
    assert_eq!(posts.lender(at(1)), None);
}

#[test]
fn posts_that_are_too_small_are_not_lent() {
    let small = Draft::Tally {
        item: "post".to_owned(),
        count: "5".to_owned(),
        how: "cut".to_owned(),
        to: None,
        remark: String::new(),
        of: StemSaid { length: "2 m".to_owned(), ..StemSaid::default() },
    };
    let at = |trial: &Trial| of_item(&stores(&[glance(trial, 1)]), Item::Post).houses[0].clone();
    let trial = tally(Trial::new("Tern house").draft(&small), "post", "12", "cut");
    let now = at(&trial);
    assert_eq!((now.heap.on_hand, now.too_small, now.short, now.spare), (17.0, 5.0, 0.0, 2.0));
    let told = sum(&trial.house(), Item::Post, today());
    assert!(told.contains(&"for the house: 10 needed yet, 0 short, 2 to spare".to_owned()), "{told:?}");
    let all_small = sum(&Trial::new("Tern house").draft(&small).house(), Item::Post, today());
    let nothing = "for the house: 10 needed yet, 10 short, 0 to spare".to_owned();
    assert!(all_small.contains(&nothing), "{all_small:?}");
    let built = at(&tally(trial, "post", "12", "used"));
    assert_eq!((built.heap.on_hand, built.too_small, built.short, built.spare), (5.0, 5.0, 0.0, 0.0));
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
    let storm = Trial::new("Tern house").draft(&Draft::Hold { cause: "storm".to_owned(), planned: false });
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
    assert!(overdrawn(Item::Panel, &heap).starts_with("6 panels went"), "{}", overdrawn(Item::Panel, &heap));
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

/// Posts, stones and pegs that a house signed up to its posts lacks.
fn lacks_below(trial: &Trial) -> [f64; 3] {
    let rows = stores(&[glance(trial, 1)]);
    [Item::Post, Item::PackingStone, Item::Peg].map(|item| of_item(&rows, item).short)
}

fn seen_by_eye(stages: &[&str]) -> Trial {
    stages.iter().fold(Trial::new("Tern house"), |trial, stage| trial.sign_with(stage, "seen by eye"))
}

#[test]
fn a_storm_does_not_ask_for_what_was_never_told_as_built_in() {
    let signed = seen_by_eye(&["centre-mark", "set-out", "posts"]);
    assert_eq!(lacks_below(&signed), [0.0; 3]);
    let shaken = signed.held("storm", |trial| trial);
    assert_eq!(shaken.house().stage("posts").unwrap().state, State::Doubtful);
    assert_eq!(lacks_below(&shaken), [0.0; 3]);
}

#[test]
fn a_storm_asks_for_what_was_told_as_built_in_and_as_torn_off() {
    let cut = tally(Trial::new("Tern house"), "post", "10", "cut");
    let used = tally(cut, "post", "10", "used").built(&["centre-mark", "set-out", "posts"]);
    let lost = Draft::Lost {
        counts: vec![("post".to_owned(), "2".to_owned())],
        built_in: true,
        remark: String::new(),
    };
    assert_eq!(lacks_below(&used.held("storm", |trial| trial.draft(&lost))), [2.0, 0.0, 0.0]);
    // Nobody told of the posts before two of them were gone.
    let signed = seen_by_eye(&["centre-mark", "set-out", "posts"]).held("storm", |trial| trial);
    let told = tally(tally(signed, "post", "10", "cut"), "post", "10", "used");
    assert_eq!(lacks_below(&told), [0.0; 3]);
    let torn = told.draft(&lost);
    assert_eq!(lacks_below(&torn), [2.0, 0.0, 0.0]);
    assert_eq!(lacks_below(&tally(torn, "post", "2", "cut")), [0.0; 3]);
}

#[test]
fn a_storm_after_cord_that_nobody_told_asks_for_what_it_tore_off_alone() {
    let stages = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];
    let used = tally(tally(seen_by_eye(&stages), "cord", "300", "woven"), "cord", "90", "used");
    let thatch = needs_cord(&used, "thatch");
    assert!((cord(&used).left - (thatch - 90.0)).abs() < 1e-9, "{:?}", cord(&used));
    let shaken = used.held("storm", |trial| tally(trial, "cord", "20", "torn-off"));
    assert!((cord(&shaken).left - (thatch - 70.0)).abs() < 1e-9, "{:?}", cord(&shaken));
}

#[test]
fn a_roof_that_was_read_tells_a_storm_what_is_gone_though_nobody_told_its_panels() {
    let all = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge", "thatch"];
    let thatched = Trial::new("Tern house").built(&all).held("storm", |trial| trial);
    let short = |trial: &Trial| of_item(&stores(&[glance(trial, 1)]), Item::Panel).houses[0].short;
    assert_eq!(short(&thatched), 0.0);
    let torn = thatched.read("thatch/rows-ab", "40").read("thatch/rows-cd", "45");
    assert_eq!(short(&torn), 7.0 * 8.0);
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
fn panels_are_lent_to_a_house_of_their_kind() {
    let nipa = tally(Trial::new("Tern house"), "panel", "36", "woven");
    let change = Draft::Brief { changes: vec![("thatch".to_owned(), "coconut".to_owned())] };
    let coconut = nipa.draft(&change);
    let [other, third] = ["Landing house", "Hill house"].map(Trial::new);
    let rows = stores(&[glance(&coconut, 1), glance(&other, 2), glance(&third.draft(&change), 3)]);
    let panels = of_item(&rows, Item::Panel);
    let at = |id| panels.houses.iter().find(|at| at.house == Uuid::from_u128(id)).unwrap();
    assert_eq!((at(1).heap.on_hand, at(1).spare, at(1).short), (0.0, 0.0, at(1).need));
    assert_eq!(at(1).left_over[0].told(), "36 nipa panels left over, not for this roof");
    let (lender, spare) = panels.lender(at(2)).unwrap();
    assert_eq!((lender.house, spare), (Uuid::from_u128(1), 36.0));
    assert_eq!(panels.lender(at(3)), None, "none is of coconut");
}

#[test]
fn raw_poles_that_no_stage_takes_are_told_too() {
    let trial = tally(Trial::new("Tern house"), "pole", "7", "cut");
    let rows = stores(&[glance(&trial, 1)]);
    let poles = of_item(&rows, Item::Pole);
    assert_eq!((poles.need, poles.heap.on_hand, poles.spare), (0.0, 7.0, 7.0));
}
