//! `read`: a reading of a point.

use super::{house, id, json, point, refused, tern};

#[test]
fn a_reading_is_told_in_metres_and_spans_with_its_verdict() {
    let desk = tern();
    let said = desk.run(["read", "Tern house", "set-out/ab", "6.970m", "--by", "Oru"]).well();
    let line = "set-out/ab: 6.970 m (4 sp + 2 mm), meant 6.968 m (4 sp), +2 mm: true";
    assert!(said.contains(line), "{said}");
    let house = house(&desk);
    let ab = point(&house, "set-out", "ab");
    assert_eq!((&ab["reading"], &ab["said"], &ab["by"]), (&6.97.into(), &"6.970m".into(), &"Oru".into()));
}

#[test]
fn a_value_may_begin_with_a_minus() {
    let desk = tern();
    desk.run(["read", "Tern house", "posts/B/level", "-5mm", "--by", "Oru"]).well();
    desk.run(["read", "Tern house", "--by", "Oru", "posts/C/level", "-1 cm"]).well();
    let house = house(&desk);
    assert_eq!(point(&house, "posts", "B/level")["reading"], -0.005);
    assert_eq!(point(&house, "posts", "C/level")["reading"], -0.01);
}

#[test]
fn a_repeat_stands_beside_the_first_reading() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    let said = json(&desk, &["read", "Tern house", "set-out/ab", "6.972m", "--again"]);
    assert!((said["reading"].as_f64().unwrap() - 6.971).abs() < 1e-12, "{said}");
    // Without --again, the later one takes the place of both.
    let said = json(&desk, &["read", "Tern house", "set-out/ab", "6.965m"]);
    assert_eq!(said["reading"], 6.965);
}

#[test]
fn two_lengths_are_kept_both() {
    let desk = tern();
    desk.run(["read", "Tern house", "roof-frame/beam-1/halves", "2.612m less 2.615m"]).well();
    let house = house(&desk);
    let halves = point(&house, "roof-frame", "beam-1/halves");
    assert_eq!((&halves["first"], &halves["second"]), (&2.612.into(), &2.615.into()));
    assert_eq!((&halves["reading"], &halves["verdict"]), (&(-0.003).into(), &"true".into()));
}

#[test]
fn a_bare_number_is_centimetres_unless_a_unit_is_named() {
    let desk = tern();
    let read = |unit: &[&str], value: &str| {
        json(&desk, &[&["read", "Tern house", "set-out/ab", value], unit].concat())["reading"].clone()
    };
    assert_eq!(read(&[], "697"), 6.97);
    assert_eq!(read(&["--unit", "m"], "6.97"), 6.97);
    assert_eq!(read(&["--unit", "sp"], "4"), 6.968);
    refused(&desk, &["read", "Tern house", "set-out/ab", "4", "--unit", "ell"], 2, &["--unit"]);
}

#[test]
fn somebody_elses_spans_are_theirs() {
    let desk = tern();
    desk.run(["measure", "Tavi", "--span", "1.70m"]).well();
    let arguments = ["read", "Tern house", "set-out/ab", "4 sp", "--measure", "Tavi"];
    assert_eq!(json(&desk, &arguments)["reading"], 6.8);
    let arguments = ["read", "Tern house", "set-out/ab", "4 sp", "--measure", "Nobody"];
    refused(&desk, &arguments, 2, &["measure: ", "Nobody", "Tavi"]);
}

#[test]
fn readings_of_one_moment_stand_in_the_order_they_were_written() {
    let desk = tern();
    for value in ["6.961m", "6.962m", "6.963m", "6.964m", "6.965m", "6.966m"] {
        desk.run(["read", "Tern house", "set-out/ab", value]).well();
    }
    assert_eq!(point(&house(&desk), "set-out", "ab")["said"], "6.966m");
}

#[test]
fn a_reading_gives_its_id() {
    let desk = tern();
    let entry = id(&desk, &["read", "Tern house", "posts/A/hard-ground", "yes"]);
    assert_eq!(json(&desk, &["log", "--limit", "1"])[0]["id"], entry.as_str());
}

#[test]
fn what_cannot_be_read_is_refused_with_its_place() {
    let desk = tern();
    let read = |house: &'static str, point: &'static str, value: &'static str| ["read", house, point, value];
    refused(&desk, &read("Terrn house", "set-out/ab", "1m"), 2, &["Terrn house", "Tern house"]);
    refused(&desk, &read("Tern house", "nowhere/ab", "1m"), 2, &["point: ", "nowhere", "set-out"]);
    refused(&desk, &read("Tern house", "set-out/xy", "1m"), 2, &["point: ", "xy", "ab"]);
    refused(&desk, &read("Tern house", "set-out/largest-move", "1m"), 2, &["point: ", "worked out"]);
    refused(&desk, &read("Tern house", "set-out/ab", "6.97 q"), 2, &["value: ", "at 6"]);
    refused(&desk, &read("Tern house", "set-out/ab", "-1m"), 2, &["value: "]);
    refused(&desk, &read("Tern house", "posts/A/hard-ground", "perhaps"), 2, &["value: ", "yes or no"]);
    refused(&desk, &["read", "Tern house", "set-out/ab", "7m", "--again"], 2, &["again: "]);
    refused(&desk, &["read", "Tern house", "set-out/ab"], 2, &["<VALUE>"]);
    assert!(json(&desk, &["log", "--kind", "reading"]).as_array().unwrap().is_empty());
}
