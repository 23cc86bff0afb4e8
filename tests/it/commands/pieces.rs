//! `pieces`: poles to pieces.

use serde_json::json;

use super::{house, json, refused, stage, tern};
use crate::desk::Desk;

/// Tern house with six poles of 6 m, two of 4 m and three of no known size.
fn with_poles() -> Desk {
    let desk = tern();
    let pole = |count: &str, size: &[&str]| {
        desk.run([&["tally", "Tern house", "pole", count, "--as", "cut"][..], size].concat()).well();
    };
    pole("6", &["--tree", "mangrove", "--length", "6m", "--thick", "12cm"]);
    pole("2", &["--length", "4 m", "--thick", "80 mm"]);
    pole("3", &[]);
    desk
}

#[test]
fn standard_poles_make_a_whole_house() {
    let desk = tern();
    let plan = json(&desk, &["pieces", "Tern house", "--standard"]);
    assert_eq!(
        (&plan["with"], &plan["lacking"], &plan["proved"]),
        (&json!("standard"), &json!([]), &json!(true))
    );
    assert_eq!((&plan["poles"], &plan["stock"][0]["count"]), (&plan["bound"], &json!(null)));
    let pieces = |name: &str| -> u64 {
        let cuts = plan["cuts"].as_array().unwrap().iter();
        let in_cut = |cut: &serde_json::Value| {
            let of_name = cut["pieces"].as_array().unwrap().iter().filter(|p| *p == name).count();
            of_name as u64 * cut["count"].as_u64().unwrap()
        };
        cuts.map(in_cut).sum()
    };
    assert_eq!((pieces("post"), pieces("rafter"), pieces("ridge pole")), (10, 34, 1));
    desk.run(["brief", "Tern house", "--poles", "4 m x 18 cm"]).well();
    let said = desk.run(["pieces", "Tern house", "--standard"]).well();
    assert!(said.contains("10 of  4 m x 18 cm  each into 1 post"), "{said}");
    assert!(
        said.contains("Lacking 1 ridge pole: 8.17 m long, 12 cm thick; the longest pole so thick is 4.00 m"),
        "{said}"
    );
    refused(&desk, &["brief", "Tern house", "--poles", "4 m"], 2, &["poles: ", "6 m x 12 cm"]);
    refused(&desk, &["brief", "Tern house", "--poles", "4 m x 12 cm, 90 m x 1 cm"], 2, &["poles: ", "90"]);
}

#[test]
fn poles_on_hand_are_planned_by_their_size() {
    let desk = with_poles();
    let plan = json(&desk, &["pieces", "Tern house"]);
    assert_eq!(plan["with"], "on-hand");
    assert_eq!(plan["stock"][0], json!({ "length_m": 6.0, "top_d_m": 0.12, "count": 6 }));
    assert_eq!((&plan["poles"], &plan["unsized_poles"]), (&json!(7), &json!(3)));
    let said = desk.run(["pieces", "Tern house"]).well();
    assert!(said.contains("each into 2 wall braces "), "{said}");
    assert!(said.contains("3 poles without a length or a thin end told are left out."), "{said}");
    assert!(said.contains("Lacking 10 posts: no pole is 18 cm thick at its thin end"), "{said}");
}

#[test]
fn without_poles_it_is_said_that_there_are_none_and_not_how_thick_they_are() {
    let said = tern().run(["pieces", "Tern house"]).well();
    assert!(said.contains("No pole of a known size is here."), "{said}");
    let posts = "Lacking 10 posts: no pole of a known size is here; each is to be 3.10 m long, 18 cm thick";
    assert!(said.contains(posts) && !said.contains("no pole is"), "{said}");
}

#[test]
fn a_pole_cut_by_the_plan_is_used_and_its_pieces_are_there() {
    let desk = with_poles();
    let plan = json(&desk, &["pieces", "Tern house"]);
    let cut = json(&desk, &["pieces", "Tern house", "--cut", "1"]);
    assert!(cut["id"].is_string() && cut["times"] == "1", "{cut}");
    let after = json(&desk, &["pieces", "Tern house"]);
    assert_eq!(after["poles"].as_u64().unwrap() + 1, plan["poles"].as_u64().unwrap());
    desk.run(["pieces", "Tern house", "--pole", "6 m x 12 cm", "--into", "2 king posts", "--times", "2"])
        .well();
    let ridge = stage(&house(&desk), "ridge").clone();
    let king = ridge["items"].as_array().unwrap().iter().find(|i| i["id"] == "king-post").unwrap();
    assert!(king["on_hand"].as_u64().unwrap() >= 4, "{king}");
    let log = desk.run(["log"]).well();
    assert!(log.contains("2 poles used, 6.00 m long, 120 mm at the thin end: cut to pieces"), "{log}");
    assert!(
        log.contains("4 king posts cut, 2.61 m long, 120 mm at the thin end: from 2 poles of 6 m x 12 cm"),
        "{log}"
    );
}

#[test]
fn a_cut_that_cannot_be_is_refused_and_nothing_is_kept() {
    let desk = with_poles();
    let before = desk.run(["log"]).well();
    let pieces = |more: &[&'static str]| [&["pieces", "Tern house"], more].concat();
    refused(&desk, &pieces(&["--cut", "99"]), 2, &["cut: ", "99"]);
    refused(&desk, &pieces(&["--cut", "1", "--times", "7"]), 2, &["pole: ", "on hand"]);
    refused(&desk, &pieces(&["--pole", "6 m x 12 cm"]), 2, &["--into"]);
    refused(&desk, &pieces(&["--pole", "6 m x 12 cm", "--into", "9 rafter"]), 2, &["into: ", "40.89 m"]);
    refused(&desk, &pieces(&["--pole", "6 m x 12 cm", "--into", "1 brick"]), 2, &["into: ", "brick"]);
    assert_eq!(desk.run(["log"]).well(), before);
    let bare = tern();
    refused(&bare, &pieces(&["--cut", "1"]), 2, &["cut: ", "--pole"]);
}

#[test]
fn posts_that_are_too_small_are_told_and_do_not_count() {
    let desk = tern();
    let small = ["tally", "Tern house", "post", "5", "--as", "cut", "--length", "2m", "--thick", "10cm"];
    let said = desk.run(small).well();
    let warned = "5 posts of 2 m x 10 cm: 3.1 m x 18 cm is asked, so they do not count as posts";
    assert!(said.contains(&format!("! {warned}")) && said.contains("on hand 5, used 0, short 10"), "{said}");
    desk.run(["tally", "Tern house", "post", "2", "--as", "cut", "--length", "3.1m", "--thick", "18cm"])
        .well();
    let said = desk.run(["tally", "Tern house", "post", "1", "--as", "cut"]).well();
    assert!(said.contains("on hand 8, used 0, short 7") && !said.contains('!'), "{said}");
    let posts = stage(&house(&desk), "posts")["items"][0].clone();
    assert_eq!((&posts["on_hand"], &posts["too_small"], &posts["short"]), (&json!(8), &json!(5), &json!(7)));
    let wanted = &json(&desk, &["pieces", "Tern house"])["wanted"][0];
    assert_eq!((&wanted["name"], &wanted["count"]), (&json!("post"), &json!(7)));
    let stores = json(&desk, &["stores", "Tern house"]);
    let row = stores.as_array().unwrap().iter().find(|row| row["item"] == "post").unwrap();
    let at = &row["houses"][0];
    assert_eq!((&at["too_small"], &at["short"], &at["spare"]), (&json!(5), &json!(7), &json!(0)));
    for command in [&["stores"][..], &["stores", "Tern house", "post"]] {
        let said = desk.run(command).well();
        assert!(said.contains("5 too short or too thin to count"), "{said}");
    }
    let told = json(&desk, &small);
    assert_eq!((&told["too_small"], &told["warning"]), (&json!(5), &json!(warned)));
}

#[test]
fn small_posts_stay_small_at_the_house_they_are_moved_to() {
    let desk = tern();
    desk.run(["start", "Reef house", "--measure", "Oru", "--length", "4sp"]).well();
    let tally = |count: &'static str, more: &[&'static str]| {
        [&["tally", "Tern house", "post", count, "--as"][..], more].concat()
    };
    desk.run(tally("12", &["cut", "--length", "2 m", "--thick", "10 cm"])).well();
    desk.run(tally("10", &["moved", "--to", "Reef house"])).well();
    let stores = json(&desk, &["stores", "Reef house"]);
    let row = stores.as_array().unwrap().iter().find(|row| row["item"] == "post").unwrap();
    for at in row["houses"].as_array().unwrap() {
        assert_eq!((&at["short"], &at["spare"]), (&json!(10), &json!(0)), "{at}");
    }
    let log = desk.run(["log"]).well();
    assert!(log.contains("10 posts moved to Reef house, 2.00 m long, 100 mm at the thin end"), "{log}");
    desk.run(tally("8", &["bought"])).well();
    let moved = ["moved", "--to", "Reef house"];
    refused(&desk, &tally("1", &moved), 2, &["length: ", "2 of 2 m x 10 cm, 8 of no known size", "thick"]);
    desk.run(tally("1", &[&moved[..], &["--length", "2 m"]].concat())).well();
}

/// Source: by hand. Four pieces of a pole of 6 m are 1.5 m long at the most; a
/// slope of Tern house asks for braces of 4.54 m.
#[test]
fn no_slope_brace_comes_from_a_quarter_of_a_pole() {
    let desk = tern();
    desk.run(["tally", "Tern house", "pole", "7", "--as", "cut", "--length", "6 m", "--thick", "8 cm"])
        .well();
    let cut = |times: &'static str, into: &'static str| {
        ["pieces", "Tern house", "--pole", "6 m x 8 cm", "--into", into, "--times", times]
    };
    desk.run(cut("3", "4 braces")).well();
    let said = desk.run(["stores", "Tern house", "brace"]).well();
    assert!(said.contains("raising the ridge: 4 braces, 4 needed yet, 4 short"), "{said}");
    refused(&desk, &cut("1", "2 slope braces"), 2, &["into: ", "9.09 m"]);
    desk.run(cut("3", "1 slope brace")).well();
    desk.run(["tally", "Tern house", "brace", "8", "--as", "used"]).well();
    let said = desk.run(["stores", "Tern house", "brace"]).well();
    assert!(said.contains("raising the ridge: 4 braces, 4 needed yet, 1 short"), "{said}");
    desk.run(["pieces", "Tern house", "--cut", "1"]).well();
    let log = desk.run(["log"]).well();
    assert!(
        log.contains("1 rafter cut, 4.54 m long, 80 mm at the thin end: from 1 pole of 6 m x 8 cm"),
        "{log}"
    );
}
