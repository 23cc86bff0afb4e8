use serde_json::json;

use super::asked::{answer, near, number};

/// Source: Euclid, Elements I.47 and the 3-4-5 triangle of every building site.
#[test]
fn three_and_four_give_five() {
    let out = answer("setout", json!({"length_m": 4, "width_m": 3}));
    assert_eq!(number(&out, "/diagonal_m"), 5.0);
}

/// Source: H. Buck (Te Rangi Hiroa), as printed by NZETC, for the crossbeams of
/// a Rakahanga house: 12 ft 6 in between the long beams and 2 ft 5 in past each
/// are 17 ft 4 in; so an eave of 2 ft 5 in makes a plan that wide.
#[test]
fn the_crossbeams_of_a_rakahanga_house_add_up() {
    let ft = 0.3048;
    let inch = ft / 12.0;
    let out = answer(
        "roof",
        json!({
            "width_m": 12.0 * ft + 6.0 * inch, "length_m": 1.0, "pitch_deg": 45, "gable_m": 0,
            "eave_m": 2.0 * ft + 5.0 * inch,
        }),
    );
    near(number(&out, "/plan_area_m2"), 17.0 * ft + 4.0 * inch, 1e-14);
}

/// Source: common practice, no source: halving twice gives five rafters, three
/// times nine.
#[test]
fn halving_gives_three_five_nine_and_seventeen() {
    for (halvings, count) in [(1, 3), (2, 5), (3, 9), (4, 17)] {
        let out = answer("rafters", json!({"ridge_m": 8, "halvings": halvings}));
        assert_eq!(out["count"], count);
    }
}
