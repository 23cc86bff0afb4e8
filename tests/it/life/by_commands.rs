//! A house's whole life, by commands alone.

use serde_json::Value;

use crate::commands::{house, id, json, stage, tern};
use crate::desk::Desk;

/// Reads every point of a stage as it was meant to be.
fn read_true(desk: &Desk, at: &str) {
    for point in stage(&house(desk), at)["points"].as_array().unwrap() {
        if point["derived"] == true || point["reading"] != Value::Null {
            continue;
        }
        let name = format!("{at}/{}", point["id"].as_str().unwrap());
        let target = point["target"].as_f64().unwrap_or_default();
        let value = match point["kind"].as_str().unwrap() {
            "yes-no" => "yes".to_owned(),
            "length" => format!("{target:.4}m"),
            _ => target.to_string(),
        };
        id(desk, &["read", "Tern house", &name, &value]);
    }
}

/// Brings and builds in all that a stage takes.
fn build_in(desk: &Desk, at: &str) {
    for item in stage(&house(desk), at)["items"].as_array().unwrap() {
        let (name, need) = (item["id"].as_str().unwrap(), item["need"].to_string());
        for how in ["bought", "used"] {
            id(desk, &["tally", "Tern house", name, &need, "--as", how]);
        }
    }
}

#[test]
fn a_house_is_built_from_the_mark_to_the_handing_over() {
    let mut desk = tern();
    let stages: Vec<String> = house(&desk)["stages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["id"].as_str().unwrap().to_owned())
        .collect();
    for (day, at) in (15..).zip(&stages) {
        desk.set_clock(&format!("2030-10-{day}T08:00:00+10:00"));
        assert_eq!(json(&desk, &["houses"])[0]["stage"], at.as_str());
        read_true(&desk, at);
        build_in(&desk, at);
        assert_eq!(stage(&house(&desk), at)["state"], "ready", "{at}");
        id(&desk, &["sign", "Tern house", at, "--by", "Oru"]);
        assert_eq!(stage(&house(&desk), at)["state"], "signed", "{at}");
    }
    let built = house(&desk);
    assert_eq!(built["doubts"], serde_json::json!([]));
    for at in &stages {
        for item in stage(&built, at)["items"].as_array().unwrap() {
            assert_eq!(item["short"].as_f64(), Some(0.0), "{at}: {item}");
        }
    }
    // Nipa laid in 2030 has served its five years in 2035.
    assert_eq!(built["next"], "Handed over. Look at the thatch every year; lay it new about 2035.");
    assert_eq!(json(&desk, &["verify"])["sound"], true);
}

#[test]
fn a_reading_struck_after_the_signing_asks_for_both_again() {
    let desk = tern();
    read_true(&desk, "set-out");
    id(&desk, &["sign", "Tern house", "set-out"]);
    let log = json(&desk, &["log", "--text", "set-out/ac"]);
    id(&desk, &["strike", log[0]["id"].as_str().unwrap(), "--why", "read from the wrong peg"]);
    let doubtful = house(&desk);
    assert_eq!(stage(&doubtful, "set-out")["state"], "doubtful");
    assert_eq!(doubtful["doubts"][0]["what"], "set-out");
    id(&desk, &["read", "Tern house", "set-out/ac", "5 sp"]);
    id(&desk, &["sign", "Tern house", "set-out", "--by", "Tavi"]);
    let again = house(&desk);
    assert_eq!(stage(&again, "set-out")["sign_off"]["by"], "Tavi");
    assert_eq!(again["doubts"], serde_json::json!([]));
}
