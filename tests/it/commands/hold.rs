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
    let over = ["--at", "2030-11-16T06:00:00+10:00"];
    let (all, one) = (["resume", "--all"], ["resume", "Tern house"]);
    refused(&desk, &[&all[..], &over].concat(), 2, &["at: ", "still to come"]);
    refused(&desk, &[&one[..], &over].concat(), 2, &["at: ", "still to come"]);
    desk.set_clock("2030-11-16T06:00:00+10:00");
    desk.run([&all[..], &over].concat()).well();
    assert_eq!(house(&desk)["holds"][0]["to"], "2030-11-16T06:00:00+10:00");
    assert_eq!(json(&desk, &["houses"])[0]["held"], serde_json::Value::Null);
}

#[test]
fn the_end_of_a_feast_is_told_ahead() {
    let mut desk = tern();
    desk.run(["hold", "--all", "--cause", "feast", "--planned"]).well();
    desk.set_clock("2030-10-16T05:00:00+10:00");
    desk.run(["resume", "--all", "--at", "2030-10-18T06:00:00+10:00"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"]["day"], 3, "the day of resuming is still to come");
}

#[test]
fn a_storm_told_for_all_houses_does_not_count_anew_where_one_was_held() {
    let mut desk = tern();
    desk.run(["hold", "Tern house", "--cause", "storm", "--at", "2030-11-02T06:00:00+10:00"]).well();
    desk.set_clock("2030-11-10T05:00:00+10:00");
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"]["day"], 9);
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
fn a_feast_whose_end_is_told_ends_no_storm_that_is_told_later() {
    let mut desk = tern();
    for day in ["20", "23", "26", "29"] {
        let at = |day: &str| format!("2030-10-{day}T08:00:00+10:00");
        let end = at(&(day.parse::<u32>().unwrap() + 1).to_string());
        desk.run(["hold", "Tern house", "--cause", "feast", "--planned", "--at", &at(day)]).well();
        desk.run(["resume", "Tern house", "--at", &end]).well();
    }
    desk.run(["hold", "Tern house", "--cause", "storm", "--at", "2030-10-14T07:00:00+10:00"]).well();
    let glance = || desk.run(["houses"]).well();
    assert!(glance().contains("held: storm, day 1") && !glance().contains("until"), "{}", glance());
    assert_eq!(house(&desk)["held"], true);
    desk.set_clock("2030-11-02T08:00:00+10:00");
    assert_eq!(json(&desk, &["houses"])[0]["held"]["cause"], "storm");
}

#[test]
fn a_house_that_mourns_does_so_still_when_the_storm_is_over_for_all() {
    let mut desk = tern();
    desk.run(["hold", "Tern house", "--cause", "mourning", "--at", "2030-10-10T08:00:00+10:00"]).well();
    desk.run(["hold", "--all", "--cause", "storm", "--at", "2030-10-12T08:00:00+10:00"]).well();
    let told = desk.run(["resume", "--all", "--at", "2030-10-13T08:00:00+10:00"]).well();
    assert!(told.contains("Tern house is held: mourning, day 5"), "{told}");
    desk.set_clock("2030-10-15T08:00:00+10:00");
    assert_eq!(json(&desk, &["houses"])[0]["held"]["cause"], "mourning");
    desk.run(["resume", "--all"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"], serde_json::Value::Null);
}

#[test]
fn a_house_is_resumed_from_its_own_stop_while_the_storm_holds_all() {
    let desk = tern();
    desk.run(["hold", "Tern house", "--cause", "mourning"]).well();
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    let told = desk.run(["resume", "Tern house"]).well();
    assert!(told.contains("Tern house is held: storm, day 1"), "{told}");
    desk.run(["resume", "Tern house"]).well();
    assert_eq!(json(&desk, &["houses"])[0]["held"], serde_json::Value::Null);
}

#[test]
fn a_misspelt_storm_is_asked_about_and_a_flood_counts_as_one() {
    let desk = tern();
    refused(&desk, &["hold", "--all", "--cause", "strom"], 2, &["cause: ", "is a storm meant?"]);
    refused(&desk, &["hold", "--all", "--cause", "a big cycloone"], 2, &["is a cyclone meant?"]);
    let told = desk.run(["hold", "--all", "--cause", "flood"]).well();
    assert!(told.contains("tie-down"), "{told}");
    desk.run(["resume", "--all"]).well();
    desk.run(["hold", "Tern house", "--cause", "no panels in store"]).well();
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

#[test]
fn a_feast_is_planned_ahead_and_a_storm_may_come_before_it() {
    let mut desk = tern();
    let feast = ["hold", "--all", "--cause", "feast", "--planned", "--at", "2030-12-24T06:00:00+10:00"];
    desk.run(feast).well();
    let glance = desk.run(["houses"]).well();
    assert!(glance.contains("open; feast from 24 Dec"), "{glance}");
    assert!(desk.run(["house", "Tern house"]).well().contains("All houses: feast from 24 Dec"));
    assert_eq!(
        (&house(&desk)["held"], &json(&desk, &["houses"])[0]["held"]),
        (&false.into(), &serde_json::Value::Null)
    );
    assert_eq!(json(&desk, &["houses"])[0]["held_to_be"]["cause"], "feast");
    refused(&desk, &["resume", "--all"], 2, &["at: ", "2030-12-24"]);
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    assert_eq!(house(&desk)["held"], true);
    desk.set_clock("2030-10-17T08:00:00+10:00");
    desk.run(["resume", "--all", "--at", "2030-10-16T08:00:00+10:00"]).well();
    assert!(desk.run(["houses"]).well().contains("open; feast from 24 Dec"));
    desk.set_clock("2030-12-25T08:00:00+10:00");
    assert!(desk.run(["houses"]).well().contains("held: feast, day 2"));
}

#[test]
fn what_is_written_in_a_hold_is_kept_and_the_hold_is_told() {
    let mut desk = tern();
    desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    desk.set_clock("2030-10-16T08:00:00+10:00");
    let held = "Tern house is held: storm, day 3";
    let said = desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    assert!(said.contains(held), "{said}");
    let tally = ["tally", "Tern house", "panel", "4", "--as", "woven"];
    assert!(desk.run(tally).well().contains(held));
    assert_eq!(json(&desk, &tally)["held"], "storm");
}
