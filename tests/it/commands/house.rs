//! `house`: one in full.

use serde_json::{Value, json};

use super::{house, point, refused, stage, tern};

/// Source: Euclid, Elements I.47, the 3-4-5 triangle.
#[test]
fn a_house_in_json_has_nine_stages_and_their_points() {
    let desk = tern();
    let house = house(&desk);
    let ids: Vec<&str> =
        house["stages"].as_array().unwrap().iter().map(|s| s["id"].as_str().unwrap()).collect();
    let nine =
        ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge", "thatch", "cap", "handing-over"];
    assert_eq!(ids, nine);
    let of = |id: &str| point(&house, "set-out", id)["target"].as_f64().unwrap();
    assert!((of("ac") - 5.0 * 1.742).abs() < 1e-9 && (of("oa") - 2.5 * 1.742).abs() < 1e-9);
    let hard_ground = point(&house, "posts", "A/hard-ground");
    assert_eq!((&hard_ground["kind"], &hard_ground["target"]), (&"yes-no".into(), &true.into()));
    let turns = point(&house, "beams", "beam-1/turns");
    assert_eq!((&turns["kind"], turns["target"].to_string()), (&"count".into(), "3".to_owned()));
    assert_eq!(point(&house, "centre-mark", "fall")["target"], Value::Null);
    assert_eq!(point(&house, "set-out", "largest-move")["derived"], true);
    assert_eq!(
        (&house["set_out"], &house["kept"], &house["peg_moves"]),
        (&Value::Null, &json!([]), &json!([]))
    );
    assert_eq!((&house["doubts"], &house["holds"]), (&json!([]), &json!([])));
    let stage = stage(&house, "ridge");
    assert!(stage["cautions"].as_array().unwrap().len() > 3 && stage["sign_off"] == Value::Null);
}

#[test]
fn pegs_that_are_not_settled_say_what_is_lacking() {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "6.968m"]).well();
    let house = house(&desk);
    assert_eq!(house["set_out"], json!({ "determined": false, "lacking": 4, "unused": [] }));
}

#[test]
fn a_peg_out_of_its_place_is_told_where_to_go() {
    let desk = tern();
    // c stands 60 mm too far along the house; all else is as it should be.
    let (x, y) = (4.0 * 1.742 + 0.060, 3.0 * 1.742);
    let (half_x, half_y) = (2.0 * 1.742 + 0.060, 1.5 * 1.742);
    let readings = [
        ("ab", 4.0 * 1.742),
        ("bc", f64::hypot(0.060, y)),
        ("cd", x),
        ("da", y),
        ("ac", f64::hypot(x, y)),
        ("bd", 5.0 * 1.742),
        ("oa", 2.5 * 1.742),
        ("ob", 2.5 * 1.742),
        ("oc", f64::hypot(half_x, half_y)),
        ("od", 2.5 * 1.742),
    ];
    for (pair, metres) in readings {
        desk.run(["read", "Tern house", &format!("set-out/{pair}"), &format!("{metres:.4}m")]).well();
    }
    let house = house(&desk);
    assert_eq!(house["set_out"]["determined"], true);
    assert_eq!(house["set_out"]["suspects"], json!([]));
    assert_eq!(house["kept"], json!(["a", "b", "d"]));
    let moved = &house["peg_moves"][0];
    assert_eq!(moved["corner"], "c");
    // The readings are called out to a tenth of a millimetre.
    assert!((moved["along_m"].as_f64().unwrap() + 0.060).abs() < 1e-3, "{moved}");
    assert!(moved["across_m"].as_f64().unwrap().abs() < 1e-3, "{moved}");
    let told = stage(&house, "set-out")["told"][0].as_str().unwrap();
    assert!(told.starts_with("Move peg C 60 mm along the house toward the d-a end"), "{told}");
}

#[test]
fn people_see_the_ladder_the_stage_in_hand_and_what_is_next() {
    let desk = tern();
    let said = desk.run(["house", "tern"]).well();
    assert!(
        said.starts_with("Tern house: 4 sp x 3 sp, Oru's span 1.742 m\nfor Oru at Lee shore\n"),
        "{said}"
    );
    assert!(said.contains(">  1  Centre mark        centre-mark   open\n"), "{said}");
    assert!(said.contains("! Storm surge and flood"), "cautions come before the points: {said}");
    assert!(said.ends_with("Next: Read Oru's span on the rod, 1 (centre mark).\n"), "{said}");
    let ridge = desk.run(["house", "Tern house", "--stage", "ridge"]).well();
    assert!(ridge.contains("! Stop in wind.") && !ridge.contains("! Storm surge"), "{ridge}");
    let all = desk.run(["house", "Tern house", "--all"]).well();
    assert!(all.contains("! Stop in wind.") && all.contains("! Storm surge"), "{all}");
}

#[test]
fn columns_line_up_whatever_the_script() {
    let desk = tern();
    desk.run(["start", "家の家", "--measure", "Oru", "--length", "4sp"]).well();
    let said = desk.run(["houses"]).well();
    let rows: Vec<&str> = said.lines().skip(1).collect();
    let before = |row: &str| unicode_width::UnicodeWidthStr::width(row.split("1/9").next().unwrap());
    assert_eq!(before(rows[0]), before(rows[1]), "{said}");
}

#[test]
fn a_house_is_found_by_the_beginning_of_its_name_where_that_is_enough() {
    let desk = tern();
    desk.run(["start", "Tern shed", "--measure", "Oru", "--length", "2sp"]).well();
    assert!(desk.run(["house", "tern h"]).well().starts_with("Tern house"));
    refused(&desk, &["house", "tern"], 2, &["Tern house", "Tern shed"]);
    refused(&desk, &["house", "turn house"], 2, &["turn house", "Tern house"]);
    refused(&desk, &["house", "Tern house", "--stage", "roof"], 2, &["stage: ", "roof-frame"]);
}
