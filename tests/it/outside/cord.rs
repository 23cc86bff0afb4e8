use serde_json::json;

use super::asked::{answer, number};

/// Source: the scouts' rule of about a yard of rope for each inch of pole, for
/// a square lashing of three wraps and two frappings (common practice, no
/// source).
///
/// DIFFERENCE: the rule is rounded for the hand and for thin rope; ours counts
/// hitches of two turns and comes out up to two fifths longer.
#[test]
fn a_square_lashing_takes_about_a_yard_for_each_inch_of_pole() {
    for inches in [3.0, 4.0, 5.0, 6.0] {
        let d_m = 0.0254 * inches;
        let out = answer(
            "cord",
            json!({
                "joints": [{"name": "square", "count": 1, "d1_m": d_m, "d2_m": d_m, "wraps": 3, "fraps": 2}],
                "cord_d_m": 0.006,
            }),
        );
        let yards_for_an_inch = number(&out, "/cord_m") / 0.9144 / inches;
        assert!((1.0..1.4).contains(&yards_for_an_inch), "{inches} in: {yards_for_an_inch}");
    }
}

/// Source: the parts of a lashing measured apart on 100 mm poles with a 10 mm
/// cord, worked out by hand: a frapping turn 0.526 m, a hitch of one turn
/// 0.346 m; here two hitches of two turns.
#[test]
fn frappings_and_hitches_measure_as_by_hand() {
    let cord_m = |fraps: f64| {
        let joint = json!({"name": "", "count": 1, "d1_m": 0.1, "d2_m": 0.1, "wraps": 0, "fraps": fraps});
        number(&answer("cord", json!({"joints": [joint], "cord_d_m": 0.01, "tails_m": 0})), "/cord_m")
    };
    super::asked::near(cord_m(1.0) - cord_m(0.0), 0.526, 5e-4);
    super::asked::near(cord_m(0.0), 4.0 * 0.3456, 5e-4);
}
