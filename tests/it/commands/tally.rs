//! `tally`: a movement of an item.

use serde_json::json;

use super::{json, refused, stage, tern};
use crate::desk::Desk;

fn heap(desk: &Desk, house: &str, at: &str, item: &str) -> serde_json::Value {
    let house = json(desk, &["house", house]);
    let items = stage(&house, at)["items"].as_array().unwrap().clone();
    let item = items.into_iter().find(|i| i["id"] == item).unwrap();
    json!({ "need": item["need"], "on_hand": item["on_hand"], "used": item["used"], "short": item["short"] })
}

#[test]
fn what_is_cut_and_used_is_counted() {
    let desk = tern();
    desk.run(["tally", "Tern house", "post", "12", "--as", "cut"]).well();
    let said = desk.run(["tally", "Tern house", "post", "4", "--as", "used"]).well();
    assert!(said.contains("post at Tern house: need 10, on hand 8, used 4, short 0"), "{said}");
    let told = json!({ "need": 10, "on_hand": 8, "used": 4, "short": 0 });
    assert_eq!(heap(&desk, "Tern house", "posts", "post"), told);
}

#[test]
fn what_is_moved_lies_at_the_other_house() {
    let desk = tern();
    desk.run(["start", "Landing house", "--measure", "Oru", "--length", "4sp"]).well();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "woven"]).well();
    desk.run(["tally", "Tern house", "panel", "12", "--as", "moved", "--to", "landing house"]).well();
    assert_eq!(heap(&desk, "Tern house", "thatch", "panel")["on_hand"], 28);
    assert_eq!(heap(&desk, "Landing house", "thatch", "panel")["on_hand"], 12);
}

#[test]
fn cord_is_told_in_metres_with_a_point() {
    let desk = tern();
    desk.run(["tally", "Tern house", "cord", "112.5 m", "--as", "bought"]).well();
    assert_eq!(heap(&desk, "Tern house", "beams", "cord")["on_hand"], 112.5);
}

#[test]
fn raw_poles_are_counted_though_no_stage_takes_them() {
    let desk = tern();
    let said = desk
        .run(["tally", "Tern house", "pole", "6", "--as", "cut", "--length", "6m", "--thick", "12cm"])
        .well();
    assert!(said.contains("pole at Tern house: need 0, on hand 6, used 0, short 0"), "{said}");
    refused(
        &desk,
        &["tally", "Tern house", "panel", "6", "--as", "woven", "--length", "6m"],
        2,
        &["length: "],
    );
}

#[test]
fn what_cannot_be_is_refused() {
    let desk = tern();
    let tally = |item: &'static str, count: &'static str, how: &'static str| {
        ["tally", "Tern house", item, count, "--as", how]
    };
    refused(&desk, &tally("brick", "4", "bought"), 2, &["item: ", "brick", "panel"]);
    refused(&desk, &tally("panel", "4", "eaten"), 2, &["as: ", "eaten", "woven"]);
    refused(&desk, &tally("panel", "-4", "woven"), 2, &["count: ", "-4"]);
    refused(&desk, &tally("panel", "1.5", "woven"), 2, &["count: ", "whole"]);
    refused(&desk, &tally("panel", "0", "woven"), 2, &["count: "]);
    refused(&desk, &tally("panel", "4", "used"), 2, &["count: ", "on hand"]);
    refused(&desk, &tally("panel", "4", "moved"), 2, &["to: "]);
    let to = |house: &'static str| [&tally("panel", "4", "moved")[..], &["--to", house]].concat();
    refused(&desk, &to("Tern house"), 2, &["to: "]);
    refused(&desk, &to("Nowhere"), 2, &["Nowhere"]);
    refused(&desk, &["tally", "Tern house", "panel", "4"], 2, &["--as"]);
}
