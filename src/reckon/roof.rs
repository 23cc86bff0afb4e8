//! A roof of two equal slopes over a rectangle: triangles, nothing else.

use serde::Serialize;
use serde_json::Value;

use super::{Fields, Refusal};

/// How steep the roof is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pitch {
    /// The ridge above the plate lines, 1e-6 to 1,000 m.
    RiseM(f64),
    /// The slope above level, 5 to 80 degrees.
    Deg(f64),
}

/// The plate lines and what stands past them.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Between the plate lines, 1e-6 to 1,000 m.
    pub width_m: f64,
    /// Between the end frames, 1e-6 to 1,000 m.
    pub length_m: f64,
    /// How steep.
    pub pitch: Pitch,
    /// Level overhang past the plate line, 0 or 1e-6 to 1,000 m.
    pub eave_m: f64,
    /// Overhang past each end frame, 0 or 1e-6 to 1,000 m.
    pub gable_m: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, and
    /// `rise_m` beside `pitch_deg`.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let pitch = match f.one_of("rise_m", "pitch_deg")? {
            "rise_m" => Pitch::RiseM(f.length("rise_m")?),
            _ => Pitch::Deg(f.number("pitch_deg", 5.0, 80.0)?),
        };
        let input = Self {
            width_m: f.length("width_m")?,
            length_m: f.length("length_m")?,
            pitch,
            eave_m: f.length_or_zero("eave_m")?,
            gable_m: f.length_or_zero("gable_m")?,
        };
        f.end()?;
        Ok(input)
    }
}

/// The roof's measures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// The ridge above the plate lines.
    pub rise_m: f64,
    /// The slope above level.
    pub pitch_deg: f64,
    /// Ridge to plate line along the slope.
    pub rafter_to_plate_m: f64,
    /// Ridge to eave along the slope.
    pub rafter_m: f64,
    /// How far the eave hangs below the plate line.
    pub eave_drop_m: f64,
    /// The length and both gable overhangs.
    pub ridge_m: f64,
    /// One slope.
    pub slope_area_m2: f64,
    /// Both slopes.
    pub roof_area_m2: f64,
    /// What the roof covers, seen from above.
    pub plan_area_m2: f64,
}

/// Works out the roof's measures.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let half_m = input.width_m / 2.0;
    let (rise_m, pitch_deg) = match input.pitch {
        Pitch::RiseM(rise_m) => (rise_m, rise_m.atan2(half_m).to_degrees()),
        Pitch::Deg(pitch_deg) => (half_m * pitch_deg.to_radians().tan(), pitch_deg),
    };
    let rafter_to_plate_m = half_m.hypot(rise_m);
    let out_to_eave = 1.0 + input.eave_m / half_m;
    let rafter_m = rafter_to_plate_m * out_to_eave;
    let ridge_m = input.length_m + 2.0 * input.gable_m;
    let slope_area_m2 = rafter_m * ridge_m;
    Ok(Out {
        rise_m,
        pitch_deg,
        rafter_to_plate_m,
        rafter_m,
        eave_drop_m: rise_m * input.eave_m / half_m,
        ridge_m,
        slope_area_m2,
        roof_area_m2: 2.0 * slope_area_m2,
        plan_area_m2: (input.width_m + 2.0 * input.eave_m) * ridge_m,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;
    use crate::reckon::trial::{refuses, takes, told};

    #[test]
    fn a_three_four_five_roof_comes_out_exactly() {
        assert_eq!(
            told("roof", json!({"width_m": 8, "length_m": 9, "rise_m": 3, "eave_m": 1, "gable_m": 0.5})),
            json!({
                "rise_m": 3.0, "pitch_deg": 0.75_f64.atan().to_degrees(), "rafter_to_plate_m": 5.0,
                "rafter_m": 6.25, "eave_drop_m": 0.75, "ridge_m": 10.0, "slope_area_m2": 62.5,
                "roof_area_m2": 125.0, "plan_area_m2": 100.0,
            })
        );
    }

    #[test]
    fn a_roof_needs_one_pitch_and_room_under_it() {
        let roof = json!({"width_m": 6, "length_m": 8, "pitch_deg": 45, "eave_m": 0.6, "gable_m": 0});
        refuses(
            "roof",
            &roof,
            &[
                ("/width_m", json!(0)),
                ("/length_m", json!(-1)),
                ("/pitch_deg", json!(4.99)),
                ("/pitch_deg", json!(80.01)),
                ("/eave_m", json!(null)),
                ("/eave_m", json!(5e-7)),
                ("/gable_m", json!(1001)),
            ],
        );
        let both =
            json!({"width_m": 6, "length_m": 8, "pitch_deg": 45, "rise_m": 3, "eave_m": 0, "gable_m": 0});
        let refusal = crate::reckon::trial::tried("roof", both).unwrap_err();
        assert_eq!(refusal.to_string(), "/pitch_deg: given beside rise_m; one of the two would do");
        let neither = json!({"width_m": 6, "length_m": 8, "eave_m": 0, "gable_m": 0});
        let refusal = crate::reckon::trial::tried("roof", neither).unwrap_err();
        assert_eq!(refusal.to_string(), "/rise_m: missing; give it or pitch_deg");
        takes("roof", &roof, &[("/pitch_deg", json!(5)), ("/pitch_deg", json!(80)), ("/eave_m", json!(0))]);
    }

    proptest! {
        #[test]
        fn rise_and_pitch_say_the_same_roof(
            width_m in 0.5..50.0_f64, length_m in 0.5..50.0_f64, pitch_deg in 5.0..80.0_f64,
            eave_m in 0.001..5.0_f64, gable_m in 0.001..5.0_f64,
        ) {
            let by_pitch = run(&In { width_m, length_m, pitch: Pitch::Deg(pitch_deg), eave_m, gable_m }).unwrap();
            let pitch = Pitch::RiseM(by_pitch.rise_m);
            let by_rise = run(&In { width_m, length_m, pitch, eave_m, gable_m }).unwrap();
            // atan after tan: a few roundings.
            prop_assert!((by_rise.pitch_deg - pitch_deg).abs() < 1e-12);
            let out_m = width_m / 2.0 + eave_m;
            let down_m = by_pitch.rise_m + by_pitch.eave_drop_m;
            prop_assert!((out_m.hypot(down_m) - by_pitch.rafter_m).abs() < 1e-13 * by_pitch.rafter_m);
            let flat_m2 = by_pitch.roof_area_m2 * pitch_deg.to_radians().cos();
            prop_assert!((flat_m2 - by_pitch.plan_area_m2).abs() < 1e-13 * by_pitch.roof_area_m2);
        }
    }
}
