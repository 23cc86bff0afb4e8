//! Where a ridge stands, told by the two rafter legs that carry it.

use serde::Serialize;
use serde_json::Value;

use super::{Fields, Refusal};

/// A pair of rafters, read from plate to ridge.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Between the plate lines, 1e-6 to 1,000 m.
    pub width_m: f64,
    /// The left leg, 1e-6 to 1,000 m.
    pub left_m: f64,
    /// The right leg, 1e-6 to 1,000 m.
    pub right_m: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a length outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let input = Self {
            width_m: f.length("width_m")?,
            left_m: f.length("left_m")?,
            right_m: f.length("right_m")?,
        };
        f.end()?;
        Ok(input)
    }
}

/// Where the ridge stands and how to bring it over the middle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// How far the ridge stands past the middle, toward the right plate.
    pub off_m: f64,
    /// The ridge above the plates.
    pub height_m: f64,
    /// How far the line from the middle to the ridge leans from upright.
    pub lean_deg: f64,
    /// How far to move the ridge, toward the right plate.
    pub move_m: f64,
}

/// Works out where the ridge stands.
///
/// # Errors
/// Refuses legs that cannot meet over the width, at the shorter leg.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let In { width_m, left_m, right_m } = *input;
    let (shorter, place) = if left_m <= right_m { (left_m, "/left_m") } else { (right_m, "/right_m") };
    if left_m + right_m <= width_m || (left_m - right_m).abs() >= width_m {
        return Err(Refusal::at(
            place,
            format!("{shorter} cannot meet the other leg over the width; longer would do"),
        ));
    }
    let off_m = (left_m - right_m) * (left_m + right_m) / (2.0 * width_m);
    let height_m = height(width_m, left_m, right_m);
    Ok(Out { off_m, height_m, lean_deg: off_m.atan2(height_m).to_degrees(), move_m: 0.0 - off_m })
}

/// The height of a triangle over its base. By Heron's formula in the order
/// that keeps its digits in needle-like triangles (W. Kahan, Miscalculating
/// Area and Angles of a Needle-like Triangle).
fn height(base: f64, left: f64, right: f64) -> f64 {
    let mut sides = [base, left, right];
    sides.sort_by(|one, other| other.total_cmp(one));
    let [a, b, c] = sides;
    let sixteen_squared_areas = (a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c));
    sixteen_squared_areas.sqrt() / (2.0 * base)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;
    use crate::reckon::trial::{refuses, told};

    #[test]
    fn equal_legs_stand_the_ridge_over_the_middle() {
        assert_eq!(
            told("legs", json!({"width_m": 8, "left_m": 5, "right_m": 5})).to_string(),
            r#"{"off_m":0.0,"height_m":3.0,"lean_deg":0.0,"move_m":0.0}"#
        );
    }

    #[test]
    fn a_longer_left_leg_pushes_the_ridge_to_the_right() {
        // 9-12-15 beside 5-12-13: the ridge stands 12 up, 9 from the left, 5 from the right.
        let out = run(&In { width_m: 14.0, left_m: 15.0, right_m: 13.0 }).unwrap();
        assert_eq!((out.off_m, out.height_m, out.move_m), (2.0, 12.0, -2.0));
        assert!((out.lean_deg - (2.0_f64 / 12.0).atan().to_degrees()).abs() < 1e-14);
    }

    #[test]
    fn legs_that_cannot_meet_are_refused_at_the_shorter() {
        let pair = json!({"width_m": 6, "left_m": 4.2, "right_m": 4.25});
        refuses(
            "legs",
            &pair,
            &[
                ("/right_m", json!(1.8)),
                ("/right_m", json!(1.7)),
                ("/left_m", json!(1.75)),
                ("/width_m", json!(null)),
                ("/left_m", json!(0)),
                ("/right_m", json!(true)),
            ],
        );
        let place = |left_m, right_m| run(&In { width_m: 6.0, left_m, right_m }).unwrap_err().place;
        assert_eq!(place(10.0, 4.0), "/right_m");
        assert_eq!(place(4.0, 10.0), "/left_m");
    }

    proptest! {
        #[test]
        fn the_ridge_is_found_again_from_its_legs(
            width_m in 0.5..50.0_f64, share in -2.0..2.0_f64, slope in 0.05..5.0_f64,
        ) {
            let (off_m, height_m) = (share * width_m, slope * width_m);
            let left_m = height_m.hypot(width_m / 2.0 + off_m);
            let right_m = height_m.hypot(width_m / 2.0 - off_m);
            let out = run(&In { width_m, left_m, right_m }).unwrap();
            // The flattest triangle here loses some three digits of sixteen.
            prop_assert!((out.off_m - off_m).abs() < 1e-12 * width_m);
            prop_assert!((out.height_m - height_m).abs() < 1e-11 * width_m);
        }

        #[test]
        fn swapping_the_legs_mirrors_the_ridge(width_m in 0.5..50.0_f64, one in 0.51..1.0_f64, other in 0.51..1.0_f64) {
            let (left_m, right_m) = (one * width_m, other * width_m);
            let out = run(&In { width_m, left_m, right_m }).unwrap();
            let mirrored = run(&In { width_m, left_m: right_m, right_m: left_m }).unwrap();
            prop_assert_eq!(out.off_m, -mirrored.off_m);
            prop_assert_eq!(out.height_m, mirrored.height_m);
        }
    }
}
