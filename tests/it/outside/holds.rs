use serde_json::json;

use super::asked::near;
use crate::commands::{json as said, tern};

/// Source: EN 1991-1-4 Table 7.7 at 30° (two typed copies that agree): zones A
/// -1.4, B -1.9 (nothing below), D -2.0 (both), pressing down in A +1.3.
#[test]
fn an_open_roof_of_thirty_degrees_is_lifted_as_the_table_has_it() {
    let desk = tern();
    desk.run(["brief", "Tern house", "--pitch", "30"]).well();
    let wind = &said(&desk, &["holds", "Tern house"])["wind"];
    let table = json!({ "patch": 2.0, "edge": 1.9, "field": 1.4, "down": 1.3, "covered": true });
    for (key, value) in table.as_object().unwrap() {
        assert_eq!(&wind[key], value, "{key}");
    }
}

/// Source: EN 1991-1-4 Table 7.7 ends at 30°.
#[test]
fn past_the_end_of_the_table_its_last_row_is_held_and_that_is_said() {
    let wind = &said(&tern(), &["holds", "Tern house"])["wind"];
    assert_eq!((&wind["edge"], &wind["covered"]), (&json!(1.9), &json!(false)));
    assert!(wind["source"].as_str().unwrap().contains("does not cover"), "{wind}");
}

/// Source: IBC Table 1806.2, sand 150 lb/ft² for each foot of depth; 47.880 26
/// Pa to the lb/ft², 0.3048 m to the foot. IBC 1807.3.2.1: d = ½A(1 + √(1 +
/// 4.36h/A)) with A = 2.34P/(S1·b), S1 at d/3: what is given must solve it.
#[test]
fn the_depth_of_a_post_solves_the_published_rule() {
    let desk = tern();
    desk.run(["brief", "Tern house", "--soil", "sand"]).well();
    let standing = &said(&desk, &["holds", "Tern house", "--gust", "30"])["standing"];
    let number = |key: &str| standing[key].as_f64().unwrap();
    near(number("bearing_pa_per_m"), 150.0 * 47.880_26 / 0.3048, 0.01);
    let (push, depth) = (number("push_n"), number("needs_m"));
    let a = 2.34 * push / (number("bearing_pa_per_m") * depth / 3.0 * 0.18);
    near(0.5 * a * (1.0 + (1.0 + 4.36 * 2.1 / a).sqrt()), depth, 1e-9);
}

/// Source: EN 14358 by scipy 1.17.1: five breaks of 410, 455, 390, 480 and 430
/// N give 352.7033 N; `exp(mean(ln) − k·sd)` with `k = nct.ppf(0.75, 4,
/// 1.6448536·√5)/√5`.
#[test]
fn five_strands_prove_what_scipy_finds() {
    let desk = tern();
    for value in ["410 N", "455 N", "390 N", "480 N", "430 N"] {
        desk.run(["pull", "cord", value, "--cord", "coir 6 mm"]).well();
    }
    let tests = &said(&desk, &["holds", "Tern house"])["tests"];
    near(tests[0]["characteristic_n"].as_f64().unwrap(), 352.703_3, 1e-3);
}
