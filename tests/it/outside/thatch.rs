use serde_json::json;

use super::asked::{answer, near, number};

/// Source: shingles of 1200 mm from Shelter Cluster Philippines, Key messages:
/// Nipa thatching; rows 100 mm and better 60 mm apart from Hall, The Basics of
/// Biomass Roofing (SKAT, GTZ 1997). Pieces on a square metre are one over
/// length times course.
#[test]
fn shingles_on_a_square_metre_are_one_over_length_times_course() {
    for (course_m, per_m2) in [(0.1, 8.33), (0.06, 13.89)] {
        let out = answer(
            "thatch",
            json!({
                "slope_m": 6, "ridge_m": 12, "course_m": course_m, "panel_m": 1.2, "side_lap_m": 0,
                "cap_panel_m": 1.2, "cap_lap_m": 0, "slopes": 1,
            }),
        );
        near(number(&out, "/roof_panels") / 72.0, per_m2, 0.005);
    }
}
