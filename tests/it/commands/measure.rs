//! `measure`: people's measures.

use super::{json, refused, tern};

#[test]
fn a_measure_is_kept_and_listed() {
    let desk = tern();
    desk.run(["measure", "Tavi", "--span", "1.70m", "--forearm", "45cm"]).well();
    let known = json(&desk, &["measure"]);
    let names: Vec<&str> = known.as_array().unwrap().iter().map(|m| m["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["Oru", "Tavi"]);
    assert_eq!((&known[1]["span_m"], &known[1]["forearm_m"]), (&1.7.into(), &0.45.into()));
    let said = desk.run(["measure"]).well();
    assert!(said.contains("Tavi  1.700 m          -  0.450 m"), "{said}");
}

#[test]
fn a_measure_that_will_not_do_is_refused() {
    let desk = tern();
    refused(&desk, &["measure", "Tavi"], 2, &["--span"]);
    refused(&desk, &["measure", "Tavi", "--span", "17m"], 2, &["span: "]);
    refused(
        &desk,
        &["measure", "Tavi", "--span", "1.7m", "--hand", "2m", "--finger", "x"],
        2,
        &["hand: ", "finger: "],
    );
    refused(&desk, &["measure", " ", "--span", "1.7m"], 2, &["name"]);
    refused(&desk, &["measure", "Tavi", "--span", "0.5m", "--half-span", "0.6m"], 2, &["half"]);
}
