use serde_json::json;

use super::asked::{answer, near, number};

/// Source: FAO, Farm structures in tropical climates (S1250E), table 5.10:
/// least pitch of palm-leaf thatch 34° (1:1.5), of grass thatch 45° (1:1).
#[test]
fn least_pitches_are_the_same_as_slope_and_as_angle() {
    for (run_for_one, pitch_deg) in [(1.5, 34.0), (1.0, 45.0)] {
        let width_m = 2.0 * run_for_one;
        let out = answer(
            "roof",
            json!({"width_m": width_m, "length_m": 5, "rise_m": 1, "eave_m": 0, "gable_m": 0}),
        );
        // The table gives whole degrees.
        near(number(&out, "/pitch_deg"), pitch_deg, 0.5);
    }
}

/// Source: the triangle with sides 13, 14 and 15, from Heron's Metrica (from
/// memory): its height over 14 is 12, 5 from one end and 9 from the other.
#[test]
fn herons_triangle_stands_the_ridge_twelve_high() {
    let out = answer("legs", json!({"width_m": 14, "left_m": 13, "right_m": 15}));
    assert_eq!(number(&out, "/height_m"), 12.0);
    assert_eq!(number(&out, "/off_m"), -2.0);
}
