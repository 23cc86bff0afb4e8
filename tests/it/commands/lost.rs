//! `lost`: all that was lost, at once.

use super::{json, refused, stage, tern};
use crate::desk::Desk;

/// Tern house with 100 panels, 80 of them on the roof, and 50 m of cord.
fn thatched() -> Desk {
    let desk = tern();
    desk.run(["tally", "Tern house", "panel", "100", "--as", "woven"]).well();
    desk.run(["tally", "Tern house", "panel", "80", "--as", "used"]).well();
    desk.run(["tally", "Tern house", "cord", "50", "--as", "bought"]).well();
    desk
}

fn panels(desk: &Desk) -> (i64, i64, i64) {
    let house = json(desk, &["house", "Tern house"]);
    let items = stage(&house, "thatch")["items"].as_array().unwrap().clone();
    let panel = items.into_iter().find(|i| i["id"] == "panel").unwrap();
    let count = |field: &str| panel[field].as_i64().unwrap();
    (count("on_hand"), count("used"), count("short"))
}

#[test]
fn what_a_storm_took_is_told_in_one_line_and_asked_for_again() {
    let desk = thatched();
    let short = panels(&desk).2;
    let said =
        desk.run(["lost", "Tern house", "panel=45", "cord=30", "--remark", "blown off in the night"]).well();
    assert!(
        said.contains("panel at Tern house: lost 20 on hand and 25 built in; on hand 0, used 55"),
        "{said}"
    );
    assert!(said.contains("cord at Tern house: lost 30 on hand and 0 built in; on hand 20"), "{said}");
    assert_eq!(panels(&desk), (0, 55, short + 45));
    let log = desk.run(["log", "--text", "torn-off"]).well();
    assert!(log.contains("25 panels torn-off: blown off in the night"), "{log}");
    desk.run(["verify"]).well();
}

#[test]
fn a_roof_loses_panels_while_the_heap_beside_it_stays() {
    let desk = thatched();
    desk.run(["lost", "Tern house", "panel=45", "--built-in"]).well();
    assert_eq!((panels(&desk).0, panels(&desk).1), (20, 35));
    desk.run(["tally", "Tern house", "panel", "5", "--as", "torn-off"]).well();
    assert_eq!((panels(&desk).0, panels(&desk).1), (20, 30));
}

#[test]
fn all_is_kept_or_nothing() {
    let desk = thatched();
    let before = panels(&desk);
    let lost = |counts: &[&'static str]| [&["lost", "Tern house"], counts].concat();
    refused(&desk, &lost(&["cord=30", "panel=101"]), 2, &["panel: ", "20 on hand and 80 built in"]);
    refused(&desk, &lost(&["cord=30", "panel=81", "--built-in"]), 2, &["panel: "]);
    refused(&desk, &lost(&["cord=30", "brick=1"]), 2, &["lost: ", "brick"]);
    refused(&desk, &lost(&["cord=30", "cord=1"]), 2, &["cord: ", "twice"]);
    refused(&desk, &lost(&["cord"]), 2, &["ITEM=COUNT"]);
    refused(&desk, &lost(&["cord="]), 2, &["without a count"]);
    assert_eq!(panels(&desk), before);
    assert!(!desk.run(["log"]).well().contains("lost"), "nothing of it was kept");
}

#[test]
fn what_was_torn_off_needs_what_was_used_before_it() {
    let desk = tern();
    desk.run(["tally", "Tern house", "panel", "100", "--as", "woven"]).well();
    let used = super::id(&desk, &["tally", "Tern house", "panel", "80", "--as", "used"]);
    desk.run(["lost", "Tern house", "panel=45", "--built-in"]).well();
    refused(&desk, &["strike", &used, "--why", "another house"], 2, &["entry: ", "45 panels"]);
}
