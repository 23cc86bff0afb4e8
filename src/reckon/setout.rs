//! Setting out a rectangle from its centre mark with three ropes.
//!
//! The length rope and the width rope cross at their middles on the mark; the
//! triangle rope squares the ends. With the end line as its base and both legs
//! half a diagonal long, the triangle's apex falls on the mark (Euclid,
//! Elements I.47).

use serde::Serialize;
use serde_json::Value;

use super::{Fields, Refusal};

/// The rectangle that is meant.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Along x, 1e-6 to 1,000 m.
    pub length_m: f64,
    /// Along y, 1e-6 to 1,000 m.
    pub width_m: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a length outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let input = Self { length_m: f.length("length_m")?, width_m: f.length("width_m")? };
        f.end()?;
        Ok(input)
    }
}

/// The corners as `[x, y]` from the centre mark, in metres, going round.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Corners {
    /// Before the middle both ways.
    pub a: [f64; 2],
    /// At the end of the length, before the middle of the width.
    pub b: [f64; 2],
    /// Past the middle both ways.
    pub c: [f64; 2],
    /// At the start of the length, past the middle of the width.
    pub d: [f64; 2],
}

/// A rope of the kit. Nothing is added for knots.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rope {
    /// What it is called.
    pub name: &'static str,
    /// Its length between its ends.
    pub cut_m: f64,
    /// Where to mark it, from its start.
    pub marks_m: Vec<f64>,
}

/// The rope kit and the corners.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Half the length.
    pub half_length_m: f64,
    /// Half the width.
    pub half_width_m: f64,
    /// Corner to far corner.
    pub diagonal_m: f64,
    /// The equal side of the rope triangle: half a diagonal.
    pub leg_m: f64,
    /// The width and two legs.
    pub triangle_rope_m: f64,
    /// Where the pegs go.
    pub corners: Corners,
    /// The length rope, the width rope and the triangle rope.
    pub ropes: Vec<Rope>,
}

/// Works out the rope kit and the corners.
///
/// # Errors
/// None for lengths within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let In { length_m, width_m } = *input;
    let (half_length_m, half_width_m) = (length_m / 2.0, width_m / 2.0);
    let diagonal_m = length_m.hypot(width_m);
    let leg_m = diagonal_m / 2.0;
    let triangle_rope_m = width_m + 2.0 * leg_m;
    let ropes = vec![
        Rope { name: "length rope", cut_m: length_m, marks_m: vec![half_length_m] },
        Rope { name: "width rope", cut_m: width_m, marks_m: vec![half_width_m] },
        Rope { name: "triangle rope", cut_m: triangle_rope_m, marks_m: vec![width_m, width_m + leg_m] },
    ];
    let corners = Corners {
        a: [-half_length_m, -half_width_m],
        b: [half_length_m, -half_width_m],
        c: [half_length_m, half_width_m],
        d: [-half_length_m, half_width_m],
    };
    Ok(Out { half_length_m, half_width_m, diagonal_m, leg_m, triangle_rope_m, corners, ropes })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;
    use crate::reckon::trial::{refuses, told};

    #[test]
    fn a_house_of_eight_by_six_has_legs_of_five() {
        assert_eq!(
            told("setout", json!({"length_m": 8, "width_m": 6})),
            json!({
                "half_length_m": 4.0, "half_width_m": 3.0, "diagonal_m": 10.0, "leg_m": 5.0,
                "triangle_rope_m": 16.0,
                "corners": {"a": [-4.0, -3.0], "b": [4.0, -3.0], "c": [4.0, 3.0], "d": [-4.0, 3.0]},
                "ropes": [
                    {"name": "length rope", "cut_m": 8.0, "marks_m": [4.0]},
                    {"name": "width rope", "cut_m": 6.0, "marks_m": [3.0]},
                    {"name": "triangle rope", "cut_m": 16.0, "marks_m": [6.0, 11.0]},
                ],
            })
        );
    }

    #[test]
    fn a_rectangle_without_sides_is_refused() {
        let house = json!({"length_m": 8, "width_m": 6});
        refuses(
            "setout",
            &house,
            &[
                ("/length_m", json!(0)),
                ("/length_m", json!(1000.1)),
                ("/length_m", json!(null)),
                ("/width_m", json!("6 m")),
                ("/width_m", json!(9e-7)),
            ],
        );
    }

    proptest! {
        #[test]
        fn the_rope_triangle_has_its_apex_on_the_mark(length_m in 1e-6..1000.0_f64, width_m in 1e-6..1000.0_f64) {
            let out = run(&In { length_m, width_m }).unwrap();
            for corner in [out.corners.a, out.corners.b, out.corners.c, out.corners.d] {
                // A few roundings of numbers near the diagonal's size.
                prop_assert!((corner[0].hypot(corner[1]) - out.leg_m).abs() <= 1e-15 * 4.0 * out.diagonal_m);
            }
            let rope = &out.ropes[2];
            prop_assert!((rope.cut_m - rope.marks_m[1] - out.leg_m).abs() <= 1e-15 * 4.0 * rope.cut_m);
        }
    }
}
