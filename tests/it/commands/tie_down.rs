//! `tie-down`: what is made fast before a storm.

use serde_json::json;

use super::{json, refused, tern};

#[test]
fn a_hold_for_a_storm_answers_with_the_list_and_what_is_open_on_it() {
    let desk = tern();
    let said = desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    assert!(said.contains("! Leave in time"), "{said}");
    assert!(said.contains("____  lifting-poles lifting poles down: a pole that stands free"), "{said}");
    let said = desk.run(["tie-down", "Tern house", "--panels", "yes", "--ridge", "no"]).well();
    assert!(
        said.contains("Not made fast: ridge. Not answered: lifting poles, openings, tools, people."),
        "{said}"
    );
    assert!(desk.run(["house", "Tern house"]).well().contains("Not made fast: ridge."));
    let tied = json(&desk, &["houses"])[0]["held"]["tied"].clone();
    assert_eq!(tied, json!({ "panels": true, "ridge": false }));
}

#[test]
fn what_is_made_fast_at_all_houses_up_to_three_days_before_counts_for_the_storm() {
    let mut desk = tern();
    desk.run(["tie-down", "--all", "--tools", "yes"]).well();
    desk.set_clock("2030-10-16T08:00:00+10:00");
    let held = json(&desk, &["hold", "Tern house", "--cause", "storm"]);
    let done = |id: &str| {
        held["tie_down"].as_array().unwrap().iter().find(|t| t["id"] == id).unwrap()["done"].clone()
    };
    assert_eq!((done("tools"), done("people")), (json!(true), json!(null)));
    assert!(held["caution"].as_str().unwrap().starts_with("Leave in time"));
}

#[test]
fn a_feast_to_come_hides_nothing_of_what_is_made_fast_today() {
    let desk = tern();
    let feast = ["hold", "Tern house", "--cause", "feast", "--planned", "--at", "2030-12-24T06:00:00+10:00"];
    desk.run(feast).well();
    let said = desk.run(["tie-down", "Tern house", "--panels", "yes", "--ridge", "no"]).well();
    assert!(said.contains("Not made fast: ridge. Not answered: lifting poles"), "{said}");
}

#[test]
fn the_list_is_told_without_answers_and_a_feast_asks_for_none() {
    let desk = tern();
    let list = json(&desk, &["tie-down"]);
    assert_eq!(list["tie_down"].as_array().unwrap().len(), 6);
    assert!(list["tie_down"][0]["why"].as_str().unwrap().contains("flies"));
    let held = json(&desk, &["hold", "Tern house", "--cause", "feast"]);
    assert_eq!(held.get("tie_down"), None);
}

#[test]
fn only_yes_and_no_answer_it() {
    let desk = tern();
    refused(&desk, &["tie-down", "Tern house", "--panels", "maybe"], 2, &["panels: ", "maybe"]);
    refused(&desk, &["tie-down", "Nowhere", "--panels", "yes"], 2, &["Nowhere"]);
    refused(&desk, &["tie-down", "Tern house", "--all", "--panels", "yes"], 2, &["--all"]);
}
