//! `stores`: all items over all houses, and the sum behind one.

use serde_json::{Value, json};

use super::{json as said, refused, tern};
use crate::desk::Desk;

/// Tern house with posts to spare, Landing house without any.
fn village() -> Desk {
    let desk = tern();
    desk.run(["start", "Landing house", "--measure", "Oru", "--length", "4sp"]).well();
    desk.run(["tally", "Tern house", "post", "14", "--as", "cut"]).well();
    desk
}

fn item<'s>(stores: &'s Value, item: &str) -> &'s Value {
    stores.as_array().unwrap().iter().find(|row| row["item"] == item).unwrap()
}

#[test]
fn what_is_short_by_when_and_who_can_lend_it() {
    let desk = village();
    let stores = said(&desk, &["stores"]);
    let posts = item(&stores, "post");
    assert_eq!(
        (&posts["need"], &posts["on_hand"], &posts["short"], &posts["spare"], &posts["by"]),
        (&json!(20), &json!(14), &json!(10), &json!(4), &json!("2030-10-29"))
    );
    let landing = &posts["houses"][0];
    assert_eq!((&landing["house"], &landing["stage"]), (&json!("Landing house"), &json!("posts")));
    assert_eq!(
        (&landing["borrow_from"]["house"], &landing["borrow_from"]["spare"]),
        (&json!("Tern house"), &json!(4))
    );
    let told = desk.run(["stores"]).well();
    assert!(told.contains("Tern house has 4 to spare"), "{told}");
}

#[test]
fn only_what_must_come_this_week() {
    let desk = village();
    let stores = said(&desk, &["stores", "--this-week"]);
    let items: Vec<&str> = stores.as_array().unwrap().iter().map(|r| r["item"].as_str().unwrap()).collect();
    assert!(items.contains(&"rope") && !items.contains(&"pin"), "{items:?}");
    assert_eq!(item(&stores, "rope")["houses"].as_array().unwrap().len(), 1, "the other house comes later");
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    assert!(desk.run(["stores", "--this-week"]).well().contains("Nothing must come this week"));
    assert!(desk.run(["stores"]).well().contains("held"));
}

#[test]
fn the_stores_of_one_house() {
    let desk = village();
    let stores = said(&desk, &["stores", "landing house"]);
    assert!(stores.as_array().unwrap().iter().all(|row| row["houses"].as_array().unwrap().len() == 1));
    let told = desk.run(["stores", "Landing house"]).well();
    assert!(!told.contains("\n  Tern house"), "{told}");
    refused(&desk, &["stores", "Nowhere"], 2, &["Nowhere"]);
}

#[test]
fn the_sum_of_an_item_is_followed_line_by_line() {
    let desk = village();
    let told = desk.run(["stores", "Tern house", "cord"]).well();
    for words in [
        "10 tie beam to post: 3 wraps of 1.11 m, 2 frappings of 0.76 m",
        "7.47 m each, 74.7 m",
        "ties of 0.35 m",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let posts = said(&desk, &["stores", "Tern house", "post"]);
    assert_eq!((&posts["need"], &posts["on_hand"]), (&json!(10), &json!(14)));
    assert_eq!(posts["stages"][0]["thick"], 0.18);
    assert!(desk.run(["stores", "Tern house", "post"]).well().contains("last: 14 cut 14 Oct"));
    refused(&desk, &["stores", "Tern house", "brick"], 2, &["item: ", "brick"]);
    assert!(desk.run(["stores", "Tern house", "pole"]).well().contains("no stage takes it"));
}

#[test]
fn every_item_of_every_stage_says_how_it_is_worked_out() {
    let desk = tern();
    let house = super::house(&desk);
    let mut seen = Vec::new();
    for stage in house["stages"].as_array().unwrap() {
        for item in stage["items"].as_array().unwrap() {
            assert!(item["need"].as_f64().unwrap() > 0.0, "{item}");
            assert!(!item["how"].as_str().unwrap().is_empty(), "{item}");
            seen.push(format!("{}/{}", stage["id"].as_str().unwrap(), item["id"].as_str().unwrap()));
        }
    }
    // The table of the stages, with the rafters tied once the ridge is up.
    assert_eq!(
        seen,
        [
            "centre-mark/peg",
            "centre-mark/rope",
            "set-out/rope",
            "set-out/peg",
            "posts/post",
            "posts/packing-stone",
            "beams/tie-beam",
            "beams/plate",
            "beams/brace",
            "beams/cord",
            "roof-frame/ridge-pole",
            "roof-frame/rafter",
            "roof-frame/batten",
            "ridge/lifting-pole",
            "ridge/king-post",
            "ridge/brace",
            "ridge/cord",
            "thatch/panel",
            "thatch/cord",
            "cap/doubled-panel",
            "cap/upper-ridge-pole",
            "cap/pin",
        ]
    );
}

#[test]
fn panels_that_spoil_are_learnt_from() {
    let desk = tern();
    let weave = || {
        let stores = said(&desk, &["stores"]);
        let panel = &item(&stores, "panel")["houses"][0];
        (
            panel["short"].as_f64().unwrap(),
            panel["to_weave"].as_f64().unwrap(),
            panel["spoil_share"].as_f64().unwrap(),
        )
    };
    let (short, asked, share) = weave();
    assert_eq!((share, asked), (0.1, (short / 0.9).ceil()));
    desk.run(["tally", "Tern house", "panel", "60", "--as", "woven"]).well();
    desk.run(["tally", "Tern house", "panel", "30", "--as", "spoiled"]).well();
    desk.run(["tally", "Tern house", "panel", "30", "--as", "used"]).well();
    let (short, asked, share) = weave();
    assert_eq!(share, 0.34);
    assert_eq!(asked, (short / 0.66).ceil());
    let told = desk.run(["stores", "Tern house", "panel"]).well();
    assert!(told.contains("34.0 in 100 taken for spoiled: 30 of 60 so far"), "{told}");
}

#[test]
fn a_refused_overdraw_tells_the_last_movements() {
    let desk = village();
    desk.run(["tally", "Tern house", "post", "4", "--as", "moved", "--to", "Landing house"]).well();
    let overdraw = ["tally", "Tern house", "post", "11", "--as", "used"];
    refused(&desk, &overdraw, 2, &["10 on hand", "last: 14 cut 14 Oct, 4 moved away 14 Oct"]);
    let other = ["tally", "Landing house", "post", "5", "--as", "used"];
    refused(&desk, &other, 2, &["4 on hand", "last: 4 given by another house 14 Oct"]);
    let none = ["tally", "Landing house", "pin", "1", "--as", "used"];
    refused(&desk, &none, 2, &["0 on hand", "nothing came yet"]);
}

#[test]
fn a_row_of_thatch_is_laid_in_one_command() {
    let desk = tern();
    refused(&desk, &["laid", "Tern house", "ab"], 2, &["house: ", "the ridge is not up yet"]);
    desk.run(["read", "Tern house", "ridge/king-1/plumb-along", "0mm"]).well();
    refused(&desk, &["laid", "Tern house", "ab"], 2, &["8 panels used", "0 on hand"]);
    desk.run(["tally", "Tern house", "panel", "20", "--as", "woven"]).well();
    let laid = said(&desk, &["laid", "Tern house", "ab"]);
    assert_eq!((&laid["rows"], &laid["panels_on_hand"]), (&json!(1), &json!(12)));
    assert!(desk.run(["laid", "Tern house", "AB"]).well().contains("row 2 is laid; 4 panels on hand"));
    refused(&desk, &["laid", "Tern house", "ab"], 2, &["8 panels used", "4 on hand"]);
    assert_eq!(super::point(&super::house(&desk), "thatch", "rows-ab")["reading"], 2);
    refused(&desk, &["laid", "Tern house", "north"], 2, &["slope: ", "ab or cd"]);
    desk.run(["tally", "Tern house", "panel", "20", "--as", "woven"]).well();
    desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    let told = desk.run(["laid", "Tern house", "ab"]).well();
    assert!(told.contains("Tern house is held: storm, day 1"), "{told}");
}

#[test]
fn the_stores_and_the_days_have_as_many_panels_woven() {
    let desk = tern();
    desk.run(["tally", "Tern house", "panel", "60", "--as", "woven"]).well();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "promised"]).well();
    desk.run(["tally", "Tern house", "panel", "5", "--as", "spoiled"]).well();
    let stores = said(&desk, &["stores", "Tern house"]);
    let of = |name| item(&stores, name)["houses"][0]["to_weave"].as_u64().unwrap();
    let days = said(&desk, &["days"]);
    let jobs = days["houses"][0]["tasks"].as_array().unwrap();
    let woven = jobs.iter().filter(|job| job["work"] == "weaving").map(|job| job["left"].as_f64().unwrap());
    assert_eq!((of("panel") + of("doubled-panel")) as f64, woven.sum::<f64>());
}

#[test]
fn an_item_may_be_named_as_people_say_it() {
    let desk = tern();
    for said in ["packing stone", "packing-stone", "packing stones", "Packing Stone"] {
        assert!(desk.run(["stores", "Tern house", said]).well().contains("packing-stone"), "{said}");
    }
    let told = desk.run(["tally", "Tern house", "king posts", "5", "--as", "cut"]).well();
    assert!(told.contains("king-post at Tern house: need 5, on hand 5"), "{told}");
    desk.run(["tally", "Tern house", "panels", "8", "--as", "woven"]).well();
    assert!(desk.run(["lost", "Tern house", "panels=3"]).well().contains("on hand 5"));
    refused(&desk, &["stores", "Tern house", "bricks"], 2, &["item: ", "\"bricks\"", "packing-stone"]);
    refused(&desk, &["stores", "Tern house", "s"], 2, &["item: "]);
}

#[test]
fn a_day_of_another_year_is_told_with_its_year() {
    let mut desk = tern();
    desk.run(["tally", "Tern house", "peg", "3", "--as", "cut"]).well();
    assert!(desk.run(["stores", "Tern house", "peg"]).well().contains("last: 3 cut 14 Oct\n"));
    desk.set_clock("2030-12-20T08:00:00+10:00");
    // The pins are not asked for before the next year.
    let stores = desk.run(["stores", "Tern house"]).well();
    let by = |item: &str| stores.lines().find(|line| line.starts_with(item)).unwrap().to_owned();
    assert!(by("pin").contains(" Jan 2031 ") && !by("rope").contains("2030"), "{stores}");
    desk.set_clock("2031-02-01T08:00:00+10:00");
    let told = desk.run(["stores", "Tern house", "peg"]).well();
    assert!(told.contains("last: 3 cut 14 Oct 2030\n"), "{told}");
}

#[test]
fn what_is_promised_must_come_but_is_not_short() {
    let desk = tern();
    let told = desk.run(["tally", "Tern house", "peg", "7", "--as", "promised"]).well();
    assert!(told.contains("need 7, promised 7, on hand 0, used 0, short 0"), "{told}");
    let stores = said(&desk, &["stores", "--this-week"]);
    let pegs = &item(&stores, "peg")["houses"][0];
    assert_eq!((&pegs["left"], &pegs["short"], &pegs["promised"]), (&json!(7), &json!(0), &json!(7)));
    assert!(pegs["by"].is_string());
}

#[test]
fn panels_of_the_kind_a_roof_had_before_are_left_over_and_can_be_lent() {
    let desk = tern();
    desk.run(["start", "Landing house", "--measure", "Oru", "--length", "4sp"]).well();
    desk.run(["tally", "Tern house", "panel", "36", "--as", "woven"]).well();
    desk.run(["brief", "Tern house", "--thatch", "coconut"]).well();
    let stores = said(&desk, &["stores"]);
    let at = |stores: &Value, name: &str| {
        let houses = item(stores, "panel")["houses"].as_array().unwrap().clone();
        houses.into_iter().find(|at| at["house"] == name).unwrap()
    };
    let tern_house = at(&stores, "Tern house");
    assert_eq!((&tern_house["on_hand"], &tern_house["short"]), (&json!(0), &tern_house["need"]));
    assert_eq!(tern_house["left_over"][0]["on_hand"], json!(36));
    assert_eq!(at(&stores, "Landing house")["borrow_from"]["spare"], json!(36));
    let told = desk.run(["stores"]).well();
    assert!(told.contains("36 nipa panels left over, not for this roof"), "{told}");
    assert!(told.contains("Tern house has 36 nipa panels to spare, for a nipa roof"), "{told}");
    let moved = ["tally", "Tern house", "panels", "30", "--as", "moved", "--to", "Landing house"];
    refused(&desk, &moved, 2, &["30 panels moved, but 0 on hand"]);
    let told = desk.run([&moved[..], &["--kind", "nipa"]].concat()).well();
    assert!(!told.contains("left over"), "{told}");
    let stores = said(&desk, &["stores"]);
    assert_eq!(at(&stores, "Landing house")["on_hand"], json!(30));
    assert!(desk.run(["stores", "Tern house", "panel"]).well().contains("\n  6 nipa panels left over"));
    // What is lent stays what it is: it is no coconut where it comes to.
    let back = ["tally", "Landing house", "panel", "4", "--as", "moved", "--to", "Tern house"];
    let told = desk.run(back).well();
    let idle = "! 4 nipa panels lie at Tern house as left over: its roof is coconut";
    assert!(told.contains(idle), "{told}");
    assert_eq!(at(&said(&desk, &["stores"]), "Tern house")["left_over"][0]["on_hand"], json!(10));
    assert!(desk.run(["log"]).well().contains("4 panels moved to Tern house, nipa"));
}

#[test]
fn panels_to_spare_are_told_with_the_roof_they_are_for() {
    let desk = tern();
    desk.run(["brief", "Tern house", "--thatch", "coconut"]).well();
    desk.run(["tally", "Tern house", "panel", "2000", "--as", "woven"]).well();
    let spare = said(&desk, &["stores"]);
    let spare = item(&spare, "panel")["spare"].as_f64().unwrap();
    assert!(spare > 0.0);
    let told = format!("{spare} coconut panels to spare, for a coconut roof");
    for command in [&["stores"][..], &["stores", "Tern house"], &["stores", "Tern house", "panel"]] {
        let out = desk.run(command).well();
        assert!(out.contains(&told), "{out}");
    }
}

#[test]
fn the_table_of_a_stage_tells_what_that_stage_needs_yet_whatever_others_used() {
    let desk = tern();
    desk.run(["tally", "Tern house", "cord", "60", "--as", "bought"]).well();
    desk.run(["tally", "Tern house", "cord", "40", "--as", "used"]).well();
    let house = said(&desk, &["house", "Tern house"]);
    let cord = |stage: &str| {
        let stage = house["stages"].as_array().unwrap().iter().find(|s| s["id"] == stage).unwrap();
        let item = stage["items"].as_array().unwrap().iter().find(|i| i["id"] == "cord").unwrap();
        ["need", "left", "on_hand", "short"].map(|count| item[count].as_f64().unwrap())
    };
    let [need, left, on_hand, short] = cord("beams");
    assert!((need - 40.0 - left).abs() < 1e-6 && on_hand == 20.0 && (left - 20.0 - short).abs() < 1e-6);
    let [need, left, _, short] = cord("thatch");
    assert_eq!((left, short), (need, need));
    let told = desk.run(["house", "Tern house", "--stage", "thatch"]).well();
    let head = told.lines().find(|line| line.trim().starts_with("item")).unwrap();
    let heads: Vec<&str> = head.split("  ").map(str::trim).filter(|word| !word.is_empty()).collect();
    assert_eq!(heads, ["item", "need", "needed yet", "on hand", "promised", "short", "how it is worked out"]);
}
