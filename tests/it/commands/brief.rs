//! `brief`: shown, and said anew.

use super::{house, id, json, point, refused, tern};

#[test]
fn a_brief_is_shown_as_said_and_in_metres() {
    let desk = tern();
    let brief = json(&desk, &["brief", "Tern house"]);
    assert_eq!((&brief["length_m"], &brief["said"]["length"]), (&6.968.into(), &"4sp".into()));
    assert_eq!((&brief["pitch_deg"], &brief["wraps"]), (&45.0.into(), &3.into()));
    assert_eq!(brief["course_m"], 0.1);
    assert_eq!(brief["half_span_m"], serde_json::Value::Null);
    assert_eq!(brief["green_density_kg_m3"], 1250.0);
    let lines = desk.run(["brief", "Tern house"]).well();
    assert!(lines.contains("length             6.968 m       said: 4sp"), "{lines}");
    assert!(lines.contains("\n  usual poles: 9 m x 12 cm, 6 m x 16 cm, 4 m x 18 cm, "), "{lines}");
}

#[test]
fn a_changed_brief_puts_in_doubt_what_it_moved() {
    let desk = tern();
    desk.run(["read", "Tern house", "posts/A/depth", "0.95m"]).well();
    let said = json(&desk, &["brief", "Tern house", "--post-depth", "1.1m"]);
    assert_eq!(said["doubts"].as_array().unwrap().len(), 1, "{said}");
    let house = house(&desk);
    assert_eq!(house["doubts"][0]["what"], "posts/A/depth");
    assert_eq!(point(&house, "posts", "A/depth")["verdict"], "doubtful");
    assert_eq!(house["brief"]["versions"], 2);
}

#[test]
fn another_measure_brings_its_own_span() {
    let desk = tern();
    refused(&desk, &["brief", "Tern house", "--measure", "Tavi"], 2, &["span: ", "Tavi"]);
    desk.run(["measure", "Tavi", "--span", "1.7m"]).well();
    id(&desk, &["brief", "Tern house", "--measure", "Tavi"]);
    let brief = json(&desk, &["brief", "Tern house"]);
    assert_eq!((&brief["span_m"], &brief["length_m"]), (&1.7.into(), &6.8.into()));
}

#[test]
fn a_brief_that_will_not_do_is_refused() {
    let desk = tern();
    refused(&desk, &["brief", "Tern house", "--pitch", "steep"], 2, &["pitch: "]);
    refused(&desk, &["brief", "Tern house", "--pitch", "4"], 2, &["pitch: "]);
    refused(&desk, &["brief", "Tern house", "--thatch", "tin"], 2, &["thatch: ", "nipa"]);
    refused(&desk, &["brief", "Tern house", "--length", "4sp"], 2, &["nothing changes"]);
    refused(&desk, &["brief", "Tern house", "--colour", "blue"], 2, &["--colour"]);
    refused(&desk, &["brief", "Nowhere"], 2, &["Nowhere"]);
    assert_eq!(house(&desk)["brief"]["versions"], 1);
}

#[test]
fn a_brief_of_an_earlier_day_says_that_the_later_one_stays_in_force() {
    let desk = tern();
    desk.run(["brief", "Tern house", "--pitch", "50"]).well();
    let said = desk.run(["brief", "Tern house", "--pitch", "47", "--at", "2000-01-01T00:00:00Z"]).well();
    assert!(said.contains("is a later one and stays in force"), "{said}");
    assert_eq!(json(&desk, &["brief", "Tern house"])["pitch_deg"], 50.0);
}
