//! After a storm: `resume` and `house` say what is to be read again.

use serde_json::Value;

use super::{house, json, tern};

fn points(list: &Value) -> Vec<&str> {
    list.as_array().unwrap().iter().map(|p| p["point"].as_str().unwrap()).collect()
}

const LIST: [&str; 3] = ["centre-mark/seen-from-outside", "centre-mark/above-high-water", "set-out/ab"];

#[test]
fn going_on_after_a_storm_lists_what_is_to_be_read_again() {
    let desk = tern();
    desk.run(["read", "Tern house", "centre-mark/above-high-water", "yes"]).well();
    desk.run(["read", "Tern house", "set-out/ab", "4 sp"]).well();
    desk.run(["hold", "--all", "--cause", "big storm"]).well();
    assert_eq!(house(&desk)["read_again"], serde_json::json!([]));
    let resumed = json(&desk, &["resume", "--all"]);
    assert_eq!(resumed["houses"][0]["name"], "Tern house");
    assert_eq!(points(&resumed["houses"][0]["read_again"]), LIST);
    let now = house(&desk);
    assert_eq!(points(&now["read_again"]), LIST);
    let told = desk.run(["house", "Tern house"]).well();
    let section = told.split_once("To read again, in this order:\n").expect(&told).1;
    assert!(section.trim_start().starts_with("centre-mark/seen-from-outside"), "{told}");
}

#[test]
fn people_are_told_house_by_house_in_walking_order() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "4 sp"]).well();
    desk.run(["hold", "Tern house", "--cause", "Storm"]).well();
    let told = desk.run(["resume", "Tern house"]).well();
    let lines: Vec<&str> = told.lines().skip(1).collect();
    assert_eq!(lines[0], "Tern house: to read again, in this order:");
    assert!(lines[1].contains("seen from outside"), "{told}");
    assert!(lines[2].starts_with("  set-out/ab") && lines[2].contains("storm"), "{told}");
}

#[test]
fn what_was_read_again_leaves_the_list() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "4 sp"]).well();
    desk.run(["hold", "--all", "--cause", "storm"]).well();
    desk.run(["resume", "--all"]).well();
    desk.run(["read", "Tern house", "centre-mark/seen-from-outside", "yes"]).well();
    desk.run(["read", "Tern house", "set-out/ab", "4 sp"]).well();
    assert_eq!(house(&desk)["read_again"], serde_json::json!([]));
    assert!(!desk.run(["house", "Tern house"]).well().contains("To read again"));
}

#[test]
fn a_feast_leaves_nothing_to_read_again() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "4 sp"]).well();
    desk.run(["hold", "--all", "--cause", "feast"]).well();
    assert!(!desk.run(["resume", "--all"]).well().contains("to read again"));
}
