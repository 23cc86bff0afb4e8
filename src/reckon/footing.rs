//! How deep a post stands that is held by the ground alone.
//!
//! IBC 1807.3.2.1, not constrained at the surface:
//! d = ½A(1 + √(1 + 4.36h/A)), A = 2.34P/(S1·b), with S1 the allowable lateral
//! bearing at a third of the depth, that third taken as 12 ft at most.

use std::f64::consts::PI;

use serde::Serialize;
use serde_json::Value;

use super::fields::{LEAST_DIVISOR, LENGTH_M, MOST, number};
use super::{Fields, GRAVITY_M_S2, Refusal};

const CAUTION: &str = "A screening figure, not a design. It takes ground that was looked at, not fill, mud or \
    loose coral; flooded soil holds about half. A frame tied without diagonal braces leans on its posts alone: no \
    relief was taken for it. Local codes and a licensed engineer decide.";
const NO_FOOT: &str =
    " A straight post is not counted on to hold down; tie a cross-piece or stones to its foot.";

/// 12 ft, the greatest depth the rule is written for.
pub const MOST_DEPTH_M: f64 = 3.6576;

/// A post against being pulled out.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// Density of the ground, 0 to 1e12 kg/m³.
    pub soil_kg_m3: f64,
    /// Between upright and the side of the cone that comes up, 0 to 80.
    pub cone_deg: f64,
    /// How deep the foot stands, 1e-6 to 1,000 m.
    pub depth_m: f64,
    /// Across what is fixed to the foot, 1e-6 to 1,000 m; none is a straight post.
    pub foot_m: Option<f64>,
}

/// A post, its load and the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Sideways, 1e-9 to 1e12 N.
    pub load_n: f64,
    /// The load above the ground, 0 or 1e-6 to 1,000 m.
    pub load_height_m: f64,
    /// The post's diameter, or a square one's diagonal, 1e-6 to 1,000 m.
    pub width_m: f64,
    /// Allowable lateral bearing for each metre of depth, 1e-9 to 1e12.
    pub bearing_pa_per_m: f64,
    /// Whether it is to hold down too.
    pub pull: Option<Pull>,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a number outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let input = Self {
            load_n: f.number("load_n", LEAST_DIVISOR, MOST)?,
            load_height_m: f.length_or_zero("load_height_m")?,
            width_m: f.length("width_m")?,
            bearing_pa_per_m: f.number("bearing_pa_per_m", LEAST_DIVISOR, MOST)?,
            pull: f.maybe("pull").map(|v| read_pull(&f.at("pull"), v)).transpose()?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_pull(place: &str, value: Value) -> Result<Pull, Refusal> {
    let mut f = Fields::open(place, value)?;
    let foot_m = f.maybe("foot_m").map(|v| number(&f.at("foot_m"), &v, LENGTH_M.0, LENGTH_M.1));
    let pull = Pull {
        soil_kg_m3: f.number("soil_kg_m3", 0.0, MOST)?,
        cone_deg: f.number("cone_deg", 0.0, 80.0)?,
        depth_m: f.length("depth_m")?,
        foot_m: foot_m.transpose()?,
    };
    f.end()?;
    Ok(pull)
}

/// The depth the post asks for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Of the foot below the ground.
    pub depth_m: f64,
    /// Allowable lateral bearing at a third of that.
    pub s1_pa: f64,
    /// The A of the rule.
    pub a_m: f64,
    /// Whether the rule is written for such a depth.
    pub within_code: bool,
    /// What holds the post down; none for a straight post or where it was not
    /// asked.
    pub pull_out_n: Option<f64>,
    /// What was assumed.
    pub caution: String,
}

/// Works out the depth.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let free_m = depth_without_cap(input);
    let s1_pa = input.bearing_pa_per_m * (free_m / 3.0).min(MOST_DEPTH_M);
    let a_m = 2.34 * input.load_n / (s1_pa * input.width_m);
    let depth_m = if free_m / 3.0 <= MOST_DEPTH_M {
        free_m
    } else {
        0.5 * a_m * (1.0 + (1.0 + 4.36 * input.load_height_m / a_m).sqrt())
    };
    let straight = input.pull.as_ref().is_some_and(|pull| pull.foot_m.is_none());
    Ok(Out {
        depth_m,
        s1_pa,
        a_m,
        within_code: depth_m <= MOST_DEPTH_M,
        pull_out_n: input.pull.as_ref().and_then(pull_out),
        caution: if straight { [CAUTION, NO_FOOT].concat() } else { CAUTION.to_owned() },
    })
}

/// The depth while bearing grows with it. The rule is then the same as
/// d² = A(d + 1.09h) with A = c/d, so with d = √c·t: t³ − t − q = 0, which
/// has one root above 0.
fn depth_without_cap(input: &In) -> f64 {
    let scale_m = (2.34 * input.load_n * 3.0 / (input.bearing_pa_per_m * input.width_m)).sqrt();
    let q = 1.09 * input.load_height_m / scale_m;
    // The cubic rises and curves upward from here to the root below, so that
    // Newton's steps go down to the root and stop at the last bit.
    let mut t = 1.0 + q.cbrt();
    loop {
        let next = t - (t * (t * t - 1.0) - q) / (3.0 * t * t - 1.0);
        if next >= t {
            return scale_m * t;
        }
        t = next;
    }
}

/// The weight of the frustum of ground over the foot.
fn pull_out(pull: &Pull) -> Option<f64> {
    let foot_m = pull.foot_m? / 2.0;
    let top_m = foot_m + pull.depth_m * pull.cone_deg.to_radians().tan();
    let ground_m3 = PI / 3.0 * pull.depth_m * (foot_m * foot_m + foot_m * top_m + top_m * top_m);
    Some(ground_m3 * pull.soil_kg_m3 * GRAVITY_M_S2)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told};

    fn post() -> Value {
        json!({
            "load_n": 2000, "load_height_m": 2.2, "width_m": 0.2, "bearing_pa_per_m": 23563.5,
            "pull": {"soil_kg_m3": 1440, "cone_deg": 30, "depth_m": 1, "foot_m": 0.3},
        })
    }

    #[test]
    fn a_load_at_the_ground_asks_for_a_depth_of_a() {
        let out = run(&In {
            load_n: 1000.0,
            load_height_m: 0.0,
            width_m: 0.2,
            bearing_pa_per_m: 20_000.0,
            pull: None,
        })
        .unwrap();
        assert!((out.depth_m / out.a_m - 1.0).abs() < 1e-15);
        assert_eq!(out.pull_out_n, None);
    }

    #[test]
    fn a_straight_post_is_not_counted_on_to_hold_down() {
        let mut straight = post();
        straight["pull"].as_object_mut().unwrap().remove("foot_m");
        let out = told("footing", straight);
        assert_eq!(out["pull_out_n"], Value::Null);
        assert!(out["caution"].as_str().unwrap().contains("straight post is not counted on to hold down"));
        let out = told("footing", post());
        assert!(!out["caution"].as_str().unwrap().contains("straight post"));
        assert!(out["caution"].as_str().unwrap().contains("flooded soil holds about half"));
        assert!(out["caution"].as_str().unwrap().contains("without diagonal braces"));
    }

    #[test]
    fn an_upright_cone_is_the_ground_over_the_foot() {
        let pull = Pull { soil_kg_m3: 1500.0, cone_deg: 0.0, depth_m: 0.9, foot_m: Some(0.5) };
        let cylinder_n = PI * 0.0625 * 0.9 * 1500.0 * 9.80665;
        assert!((pull_out(&pull).unwrap() / cylinder_n - 1.0).abs() < 1e-15);
    }

    #[test]
    fn what_gives_no_depth_is_refused() {
        refuses(
            "footing",
            &post(),
            &[
                ("/load_n", json!(0)),
                ("/load_height_m", json!(-1)),
                ("/load_height_m", json!(null)),
                ("/width_m", json!(0)),
                ("/bearing_pa_per_m", json!(0)),
                ("/pull", json!(3)),
                ("/pull/cone_deg", json!(80.1)),
                ("/pull/soil_kg_m3", json!(null)),
                ("/pull/depth_m", json!(0)),
                ("/pull/foot_m", json!(0)),
                ("/pull/foot_mm", json!(1)),
            ],
        );
        takes("footing", &post(), &[("/load_height_m", json!(0)), ("/pull/soil_kg_m3", json!(0))]);
    }

    proptest! {
        #[test]
        fn depth_and_bearing_agree_with_each_other(
            load in -9.0..12.0_f64, load_height_m in 0.0..1000.0_f64, width in -6.0..3.0_f64, bearing in -9.0..12.0_f64,
        ) {
            let input = In {
                load_n: 10_f64.powf(load).clamp(1e-9, 1e12),
                load_height_m,
                width_m: 10_f64.powf(width).clamp(1e-6, 1e3),
                bearing_pa_per_m: 10_f64.powf(bearing).clamp(1e-9, 1e12),
                pull: None,
            };
            let out = run(&input).unwrap();
            let s1_pa = input.bearing_pa_per_m * (out.depth_m / 3.0).min(MOST_DEPTH_M);
            let a_m = 2.34 * input.load_n / (s1_pa * input.width_m);
            let depth_m = 0.5 * a_m * (1.0 + (1.0 + 4.36 * load_height_m / a_m).sqrt());
            // A handful of roundings each.
            prop_assert!((out.s1_pa / s1_pa - 1.0).abs() < 1e-14);
            prop_assert!((out.a_m / a_m - 1.0).abs() < 1e-14);
            prop_assert!((out.depth_m / depth_m - 1.0).abs() < 1e-14, "{} {depth_m}", out.depth_m);
            prop_assert_eq!(out.within_code, out.depth_m <= MOST_DEPTH_M);
        }
    }
}
