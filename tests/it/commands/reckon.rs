//! `reckon`: a computation alone.

use serde_json::{Value, json};

use super::refused;
use crate::desk::Desk;

/// Source: Euclid, Elements I.47, the 3-4-5 triangle.
#[test]
fn a_topic_takes_json_and_gives_json() {
    let desk = Desk::new();
    let out = desk.run_with_input(["reckon", "setout"], r#"{"length_m": 4, "width_m": 3}"#).well();
    assert_eq!(out.matches('\n').count(), 1);
    let told: Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&told["diagonal_m"], &told["leg_m"]), (&5.0.into(), &2.5.into()));
    std::fs::write(desk.file("in.json"), r#"{"length_m": 4, "width_m": 3}"#).unwrap();
    assert_eq!(desk.run(["reckon", "setout", "--in", "in.json"]).well(), out);
}

#[test]
fn the_topics_are_listed() {
    let said = Desk::new().run(["reckon"]).well();
    assert!(said.lines().any(|line| line.starts_with("square ")), "{said}");
}

#[test]
fn a_refusal_points_at_the_place() {
    let desk = Desk::new();
    let refused = |topic: &str, input: &str, place: &str| {
        let line = desk.run_with_input(["reckon", topic], input).refused(2);
        assert!(line.starts_with(&format!("spanwright: {place}")), "{place}: {line}");
        assert_eq!(line.matches('\n').count(), 1, "{line}");
    };
    refused("setout", r#"{"length_m": 4}"#, "/width_m: missing");
    refused("setout", r#"{"length_m": 4, "width_m": 3, "height_m": 1}"#, "/height_m: ");
    refused("setout", r#"{"length_m": 4, "width_m": 3, "width_m": 3}"#, "/width_m: given twice");
    refused("setout", r#"{"length_m": null, "width_m": 3}"#, "/length_m: ");
    refused("setout", r#"{"length_m": NaN, "width_m": 3}"#, "/length_m: ");
    refused("setout", r#"{"length_m": 1e999, "width_m": 3}"#, "/length_m: ");
    refused("setout", r#"{"length_m": 0, "width_m": 3}"#, "/length_m: ");
    refused("square", r#"{"length_m": 4, "width_m": 3, "readings": {"ac": [5, -1]}}"#, "/readings/ac/1: ");
    refused("setout", "", "(input): ");
    refused("setout", "[]", "(input): ");
    refused("setout", "{} {}", "(input): ");
}

#[test]
fn topics_and_files_must_be_there() {
    let desk = Desk::new();
    refused(&desk, &["reckon", "soup"], 2, &["soup"]);
    refused(&desk, &["reckon", "setout", "--in", "gone.json"], 1, &["gone.json"]);
    refused(&desk, &["reckon", "setout", "--in", "home"], 1, &["home"]);
}

#[test]
fn names_in_json_steer_no_terminal() {
    let desk = Desk::new();
    let joint = json!({ "name": "\u{9b}2J\u{202e}beam", "count": 1, "d1_m": 0.1, "d2_m": 0.1, "wraps": 3, "fraps": 2 });
    let out = desk.run_with_input(["reckon", "cord"], &json!({ "joints": [joint] }).to_string()).well();
    assert!(!out.contains(['\u{9b}', '\u{202e}']), "{out:?}");
    let told: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(told["joints"][0]["name"], "\u{9b}2J\u{202e}beam");
}
