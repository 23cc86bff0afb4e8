//! `strike`: a line through an entry.

use super::{house, id, json, point, refused, tern};

#[test]
fn a_struck_reading_is_unread_but_stays_in_the_day_book() {
    let desk = tern();
    let reading = id(&desk, &["read", "Tern house", "set-out/ab", "6.97m"]);
    id(&desk, &["strike", &reading, "--why", "read from the wrong peg"]);
    assert_eq!(point(&house(&desk), "set-out", "ab")["verdict"], "unread");
    let log = json(&desk, &["log", "--kind", "reading"]);
    assert_eq!(
        (&log[0]["id"], &log[0]["struck"]["why"]),
        (&reading.as_str().into(), &"read from the wrong peg".into())
    );
    let line = desk.run(["log", "--kind", "reading"]).well();
    assert!(line.contains("[struck by builder: read from the wrong peg]"), "{line}");
}

#[test]
fn the_beginning_of_an_id_will_do() {
    let desk = tern();
    let reading = id(&desk, &["read", "Tern house", "set-out/ab", "6.97m"]);
    desk.run(["strike", &reading[..30], "--why", "the wrong peg"]).well();
}

#[test]
fn a_strike_has_an_entry_and_a_reason_and_is_not_struck() {
    let desk = tern();
    let reading = id(&desk, &["read", "Tern house", "set-out/ab", "6.97m"]);
    refused(&desk, &["strike", &reading], 2, &["--why"]);
    for no_reason in ["", " ", ".", "…!"] {
        refused(&desk, &["strike", &reading, "--why", no_reason], 2, &["why: "]);
    }
    refused(&desk, &["strike", "deadbeef", "--why", "x"], 2, &["deadbeef"]);
    let strike = id(&desk, &["strike", &reading, "--why", "the wrong peg"]);
    refused(&desk, &["strike", &reading, "--why", "once more"], 2, &["struck already"]);
    refused(&desk, &["strike", &strike, "--why", "take it back"], 2, &["strike"]);
}

#[test]
fn the_only_brief_is_not_struck() {
    let desk = tern();
    let brief = json(&desk, &["log", "--kind", "brief"])[0]["id"].as_str().unwrap().to_owned();
    refused(&desk, &["strike", &brief, "--why", "all wrong"], 2, &["brief"]);
}

#[test]
fn what_was_moved_to_another_house_and_used_there_is_not_struck() {
    let desk = tern();
    desk.run(["start", "Landing house", "--measure", "Oru", "--length", "4sp"]).well();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "woven"]).well();
    let moved = id(&desk, &["tally", "Tern house", "panel", "12", "--as", "moved", "--to", "Landing house"]);
    let used = id(&desk, &["tally", "Landing house", "panel", "9", "--as", "used"]);
    refused(&desk, &["strike", &moved, "--why", "other panels"], 2, &["9 panels"]);
    id(&desk, &["strike", &used, "--why", "not laid yet"]);
    id(&desk, &["strike", &moved, "--why", "other panels"]);
    let on_hand = |name: &str| {
        let house = json(&desk, &["house", name]);
        let items = house["stages"][6]["items"].as_array().unwrap();
        items.iter().find(|i| i["id"] == "panel").unwrap()["on_hand"].clone()
    };
    assert_eq!((on_hand("Tern house"), on_hand("Landing house")), (40.into(), 0.into()));
}

#[test]
fn a_row_that_is_struck_says_how_to_strike_its_panels() {
    let desk = tern();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "woven"]).well();
    desk.run(["read", "Tern house", "thatch/rows-ab", "1"]).well();
    desk.run(["laid", "Tern house", "ab"]).well();
    let newest = |kind: &str| json(&desk, &["log", "--kind", kind])[0]["id"].as_str().unwrap().to_owned();
    let (row, panels) = (newest("reading"), newest("tally"));
    let said = desk.run(["strike", &row, "--why", "by mistake"]).well();
    assert!(said.contains("kept together with it, and not struck: 8 panels used: row 2, ab slope"), "{said}");
    assert!(said.contains(&format!("  spanwright strike {panels} --why …")), "{said}");
    let said = json(&desk, &["strike", &panels, "--why", "by mistake"]);
    assert_eq!(said["kept_with"], serde_json::json!([]), "the row is struck already");
}

#[test]
fn what_was_kept_by_itself_says_nothing_of_others_of_the_same_moment() {
    let desk = tern();
    let panels = id(&desk, &["tally", "Tern house", "panel", "40", "--as", "woven"]);
    desk.run(["tally", "Tern house", "peg", "4", "--as", "cut"]).well();
    let said = desk.run(["strike", &panels, "--why", "by mistake"]).well();
    assert!(!said.contains("kept together"), "{said}");
}
