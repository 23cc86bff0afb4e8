//! `hold` and `resume`: the work stops, and goes on.

use super::{house, json, refused, tern};

#[test]
fn a_storm_stops_all_houses_until_they_are_resumed() {
    let mut desk = tern();
    let hold = ["hold", "--all", "--cause", "storm", "--at", "2030-11-02T06:00:00+10:00"];
    desk.run(hold).well();
    desk.set_clock("2030-11-10T05:00:00+10:00");
    let glance = desk.run(["houses"]).well();
    assert!(glance.contains("held: storm, day 9"), "{glance}");
    let held = house(&desk);
    assert_eq!(held["holds"][0]["from"], "2030-11-02T06:00:00+10:00");
    assert_eq!(held["holds"][0]["to"], serde_json::Value::Null);
    desk.run(["resume", "--all", "--at", "2030-11-16T06:00:00+10:00"]).well();
    assert_eq!(house(&desk)["holds"][0]["to"], "2030-11-16T06:00:00+10:00");
    assert_eq!(json(&desk, &["houses"])[0]["held"], serde_json::Value::Null);
}

#[test]
fn one_house_is_held_on_its_own_and_resumed_with_all() {
    let desk = tern();
    desk.run(["hold", "Tern house", "--cause", "mourning", "--planned"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"]["planned"], true);
    desk.run(["resume", "--all"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"], serde_json::Value::Null);
}

#[test]
fn a_hold_is_not_doubled_and_only_a_hold_is_resumed() {
    let desk = tern();
    refused(&desk, &["resume", "--all"], 2, &["all: ", "nothing to resume"]);
    refused(&desk, &["resume", "Tern house"], 2, &["nothing to resume"]);
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    refused(&desk, &["hold", "--all", "--cause", "storm"], 2, &["all: ", "held already"]);
    refused(&desk, &["hold", "Tern house", "--cause", "storm"], 2, &["held already"]);
    let early = ["resume", "--all", "--at", "2030-01-01T00:00:00Z"];
    refused(&desk, &early, 2, &["at: ", "2030-10-14T08:00:00+10:00"]);
    refused(&desk, &["resume", "Tern house", "--at", "2030-01-01T00:00:00Z"], 2, &["at: "]);
}

#[test]
fn a_hold_needs_a_house_and_a_cause() {
    let desk = tern();
    refused(&desk, &["hold", "--cause", "storm"], 2, &["<HOUSE>"]);
    refused(&desk, &["hold", "Tern house", "--all", "--cause", "storm"], 2, &["--all"]);
    refused(&desk, &["hold", "--all"], 2, &["--cause"]);
    refused(&desk, &["hold", "--all", "--cause", " "], 2, &["cause: "]);
}

#[test]
fn all_are_not_resumed_before_any_was_held() {
    let desk = tern();
    desk.run(["hold", "Tern house", "--cause", "feast"]).well();
    let early = ["resume", "--all", "--at", "2030-01-01T00:00:00Z"];
    refused(&desk, &early, 2, &["nothing to resume"]);
}
