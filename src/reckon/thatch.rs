//! How much thatch: rows from the eave to the ridge, panels along a row, and
//! doubled panels over the ridge.

use serde::Serialize;
use serde_json::Value;

use super::count::round_up;
use super::{Fields, Refusal};

/// The most rows on a slope.
pub const MOST_ROWS: u32 = 10_000;
/// The most panels on a roof, doubled ones counted twice.
pub const MOST_PANELS: u32 = 1_000_000;

/// The roof to be covered and what covers it.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Ridge to eave along the slope, 1e-6 to 1,000 m.
    pub slope_m: f64,
    /// The ridge's length, 1e-6 to 1,000 m.
    pub ridge_m: f64,
    /// The most from the foot of one row to the next, 1e-6 to 1,000 m.
    pub course_m: f64,
    /// A panel's length, 1e-6 to 1,000 m.
    pub panel_m: f64,
    /// How far neighbours in a row overlap; under a panel's length.
    pub side_lap_m: f64,
    /// A cap panel's length, 1e-6 to 1,000 m.
    pub cap_panel_m: f64,
    /// How far neighbouring caps overlap; under a cap panel's length.
    pub cap_lap_m: f64,
    /// Pins through each cap, 1 to 20.
    pub pins_per_cap: u32,
    /// Slopes alike, 1 to 4.
    pub slopes: u32,
    /// Share of the panels that spoil before they are tied, 0 to 0.9.
    pub spoil: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a number outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let input = Self {
            slope_m: f.length("slope_m")?,
            ridge_m: f.length("ridge_m")?,
            course_m: f.length("course_m")?,
            panel_m: f.length("panel_m")?,
            side_lap_m: f.length_or_zero("side_lap_m")?,
            cap_panel_m: f.length("cap_panel_m")?,
            cap_lap_m: f.length_or_zero("cap_lap_m")?,
            pins_per_cap: f.whole_or("pins_per_cap", 4, 1, 20)?,
            slopes: f.whole_or("slopes", 2, 1, 4)?,
            spoil: f.number_or("spoil", 0.1, 0.0, 0.9)?,
        };
        f.end()?;
        Ok(input)
    }
}

/// The count of thatch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Rows on each slope.
    pub rows_per_slope: u32,
    /// Panels in each row.
    pub panels_per_row: u32,
    /// Panels on all slopes.
    pub roof_panels: u32,
    /// Doubled panels over the ridge.
    pub cap_panels: u32,
    /// All panels, two for a doubled one.
    pub panels: u32,
    /// Panels to ask for, so that enough are left when some spoil.
    pub order_panels: u32,
    /// Pins through the caps.
    pub pins: u32,
    /// The course when the rows share the slope evenly.
    pub even_course_m: f64,
    /// The foot of each row up the slope from the eave, at the even course.
    pub row_marks_m: Vec<f64>,
}

/// Counts the thatch.
///
/// # Errors
/// Refuses a lap as long as its panel at the lap, more than [`MOST_ROWS`] at
/// `/course_m`, and more than [`MOST_PANELS`] at the panel that makes the most
/// of them.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let per_row = along("/side_lap_m", input.ridge_m, input.panel_m, input.side_lap_m)?;
    let caps = along("/cap_lap_m", input.ridge_m, input.cap_panel_m, input.cap_lap_m)?;
    let rows = round_up(input.slope_m / input.course_m).max(1.0);
    if rows > f64::from(MOST_ROWS) {
        let least = input.slope_m / f64::from(MOST_ROWS);
        return Err(Refusal::at(
            "/course_m",
            format!("{rows} rows are more than {MOST_ROWS}; {least} or more would do"),
        ));
    }
    let (on_slopes, on_ridge) = (rows * per_row * f64::from(input.slopes), 2.0 * caps);
    if on_slopes + on_ridge > f64::from(MOST_PANELS) {
        let place = if on_slopes >= on_ridge { "/panel_m" } else { "/cap_panel_m" };
        return Err(Refusal::at(
            place,
            format!("{} panels are more than {MOST_PANELS}; a longer panel would do", on_slopes + on_ridge),
        ));
    }
    // Whole and under the limits from here on: the conversions are exact.
    let (rows, caps) = (rows as u32, caps as u32);
    let roof_panels = on_slopes as u32;
    let panels = roof_panels + 2 * caps;
    Ok(Out {
        rows_per_slope: rows,
        panels_per_row: per_row as u32,
        roof_panels,
        cap_panels: caps,
        panels,
        order_panels: order(panels, input.spoil),
        pins: caps * input.pins_per_cap,
        even_course_m: input.slope_m / f64::from(rows),
        row_marks_m: (0..rows).map(|row| input.slope_m * f64::from(row) / f64::from(rows)).collect(),
    })
}

/// Panels to ask for, so that so many are left when a share of 0 to 0.9 spoils.
#[must_use]
pub fn order(panels: u32, spoil: f64) -> u32 {
    round_up(f64::from(panels) / (1.0 - spoil)) as u32
}

/// How many panels lie along the ridge.
fn along(lap_place: &str, ridge_m: f64, panel_m: f64, lap_m: f64) -> Result<f64, Refusal> {
    if lap_m >= panel_m {
        return Err(Refusal::at(lap_place, format!("{lap_m} is as long as its panel; less would do")));
    }
    if panel_m >= ridge_m {
        return Ok(1.0);
    }
    Ok(round_up((ridge_m - lap_m) / (panel_m - lap_m)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told, tried, with};

    fn roof() -> Value {
        json!({
            "slope_m": 4.45, "ridge_m": 9.2, "course_m": 0.1, "panel_m": 1.2, "side_lap_m": 0.1,
            "cap_panel_m": 1.2, "cap_lap_m": 0.15,
        })
    }

    #[test]
    fn a_roof_is_counted_row_by_row() {
        let out = told("thatch", roof());
        // 44.5 courses; (9.2 - 0.1)/(1.2 - 0.1) = 8.27; (9.2 - 0.15)/(1.2 - 0.15) = 8.62.
        assert_eq!(
            (&out["rows_per_slope"], &out["panels_per_row"], &out["cap_panels"]),
            (&json!(45), &json!(9), &json!(9))
        );
        assert_eq!((&out["roof_panels"], &out["panels"]), (&json!(810), &json!(828)));
        assert_eq!((&out["order_panels"], &out["pins"]), (&json!(920), &json!(36)));
        assert_eq!(out["even_course_m"], json!(4.45 / 45.0));
        assert_eq!(out["row_marks_m"].as_array().unwrap().len(), 45);
    }

    #[test]
    fn a_course_that_divides_the_slope_makes_no_row_more() {
        assert_eq!(told("thatch", with(&roof(), "/slope_m", json!(0.3)))["rows_per_slope"], 3);
        assert_eq!(told("thatch", with(&roof(), "/slope_m", json!(0.01)))["rows_per_slope"], 1);
    }

    #[test]
    fn one_panel_may_span_the_ridge_but_a_lap_is_never_as_long() {
        let short = with(&roof(), "/ridge_m", json!(1.2));
        assert_eq!(told("thatch", short.clone())["panels_per_row"], 1);
        refuses("thatch", &short, &[("/side_lap_m", json!(1.2)), ("/cap_lap_m", json!(1.3))]);
    }

    #[test]
    fn what_cannot_be_thatched_is_refused() {
        refuses(
            "thatch",
            &roof(),
            &[
                ("/slope_m", json!(null)),
                ("/ridge_m", json!(0)),
                ("/course_m", json!(4.45e-4 * 0.999)),
                ("/panel_m", json!(0.1008)),
                ("/cap_panel_m", json!(0.15001)),
                ("/side_lap_m", json!(-0.1)),
                ("/cap_lap_m", json!("0.1")),
                ("/pins_per_cap", json!(21)),
                ("/pins_per_cap", json!(0)),
                ("/slopes", json!(5)),
                ("/slopes", json!(1.5)),
                ("/spoil", json!(0.91)),
            ],
        );
        takes(
            "thatch",
            &roof(),
            &[("/side_lap_m", json!(0)), ("/spoil", json!(0.9)), ("/course_m", json!(4.45e-4))],
        );
        let most = json!({
            "slope_m": 1, "ridge_m": 1000, "course_m": 1, "panel_m": 0.002, "side_lap_m": 0,
            "cap_panel_m": 1000, "cap_lap_m": 0, "slopes": 1,
        });
        assert_eq!(told("thatch", most.clone())["panels"], 500_002);
        assert_eq!(
            tried("thatch", with(&most, "/panel_m", json!(0.001))).unwrap_err().to_string(),
            "/panel_m: 1000002 panels are more than 1000000; a longer panel would do"
        );
    }

    proptest! {
        #[test]
        fn rows_climb_evenly_and_panels_reach(
            slope_m in 0.2..12.0_f64, ridge_m in 0.5..40.0_f64, course_m in 0.05..0.3_f64,
            panel_m in 0.4..3.0_f64, lap in 0.0..0.9_f64, spoil in 0.0..0.9_f64,
        ) {
            let side_lap_m = lap * panel_m;
            let input = In {
                slope_m, ridge_m, course_m, panel_m, side_lap_m, cap_panel_m: panel_m, cap_lap_m: side_lap_m,
                pins_per_cap: 3, slopes: 2, spoil,
            };
            let out = run(&input).unwrap();
            // What rounding up forgives.
            let spare = 1.0 + 2e-9;
            prop_assert!(out.even_course_m <= course_m * spare);
            prop_assert_eq!(out.row_marks_m.len(), out.rows_per_slope as usize);
            prop_assert_eq!(out.row_marks_m[0], 0.0);
            for (row, mark) in out.row_marks_m.iter().enumerate() {
                prop_assert!((mark - row as f64 * out.even_course_m).abs() < 1e-14 * slope_m);
            }
            let covered = |panels: u32| f64::from(panels) * (panel_m - side_lap_m) + side_lap_m;
            prop_assert!(covered(out.panels_per_row) * spare >= ridge_m);
            prop_assert!(out.panels_per_row == 1 || covered(out.panels_per_row - 1) < ridge_m);
            prop_assert!(f64::from(out.order_panels) * (1.0 - spoil) * spare >= f64::from(out.panels));
        }
    }
}
