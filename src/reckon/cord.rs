//! How much cord lashings take: the shortest way round two crossed poles.
//!
//! A wrapping turn goes once round both poles, a frapping turn between them
//! round the wraps, a hitch of two turns round one pole; c is the cord's own
//! diameter. The scouts' rule of about a yard for each inch of pole, for three
//! wraps and two frappings, agrees (common practice, no source).

use std::f64::consts::PI;

use serde::Serialize;
use serde_json::Value;

use super::fields::{MOST_COUNT, MOST_THINGS};
use super::{Fields, Refusal};

/// Joints of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// What the builder calls it.
    pub name: String,
    /// How many, 0 to 1,000,000.
    pub count: u32,
    /// The pole the hitches are made on, 1e-6 to 1,000 m.
    pub d1_m: f64,
    /// The other pole, 1e-6 to 1,000 m.
    pub d2_m: f64,
    /// Wrapping turns, 0 to 1,000.
    pub wraps: f64,
    /// Frapping turns, 0 to 1,000.
    pub fraps: f64,
}

/// All joints and the cord.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Joints, kind by kind.
    pub joints: Vec<Joint>,
    /// The cord's diameter, 1e-6 to 1,000 m.
    pub cord_d_m: f64,
    /// What is left over at each joint to pull and tuck, 0 or 1e-6 to 1,000 m.
    pub tails_m: f64,
    /// Share to order beside what is used, 0 to 2.
    pub spare: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a number outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let joints = f.list("joints", 0, MOST_THINGS)?;
        let input = Self {
            joints: joints.into_iter().map(|(at, v)| read_joint(&at, v)).collect::<Result<_, _>>()?,
            cord_d_m: f.length_or("cord_d_m", 0.006)?,
            tails_m: f.length_or_zero_or("tails_m", 0.3)?,
            spare: f.number_or("spare", 0.1, 0.0, 2.0)?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_joint(place: &str, value: Value) -> Result<Joint, Refusal> {
    let mut f = Fields::open(place, value)?;
    let joint = Joint {
        name: f.text("name")?,
        count: f.whole("count", 0, MOST_COUNT)?,
        d1_m: f.length("d1_m")?,
        d2_m: f.length("d2_m")?,
        wraps: f.number("wraps", 0.0, 1000.0)?,
        fraps: f.number("fraps", 0.0, 1000.0)?,
    };
    f.end()?;
    Ok(joint)
}

/// The cord of one kind of joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointCord {
    /// What the builder calls it.
    pub name: String,
    /// For one joint.
    pub each_m: f64,
    /// For all of them.
    pub total_m: f64,
}

/// The cord of all joints.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// Kind by kind, in the order given.
    pub joints: Vec<JointCord>,
    /// What is used.
    pub cord_m: f64,
    /// What to order.
    pub order_m: f64,
}

/// Works out the cord.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let joints: Vec<JointCord> = input
        .joints
        .iter()
        .map(|joint| {
            let each_m = each(joint, input.cord_d_m) + input.tails_m;
            JointCord { name: joint.name.clone(), each_m, total_m: f64::from(joint.count) * each_m }
        })
        .collect();
    // Folded from a plain 0, as an empty sum of doubles is a negative one.
    let cord_m = joints.iter().fold(0.0, |sum, joint| sum + joint.total_m);
    Ok(Out { joints, cord_m, order_m: cord_m * (1.0 + input.spare) })
}

/// What one turn of each kind takes at a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turns {
    /// Once round both poles.
    pub wrap_m: f64,
    /// Once between the poles, round the wraps.
    pub frap_m: f64,
    /// The hitches, first and last.
    pub hitches_m: f64,
}

impl Turns {
    /// The turns round two poles, the hitches on the first.
    #[must_use]
    pub fn round(d1_m: f64, d2_m: f64, cord_d_m: f64) -> Self {
        let both_m = d1_m + d2_m;
        Self {
            wrap_m: PI * both_m + 2.0 * PI * cord_d_m,
            frap_m: 2.0 * both_m + 4.0 * PI * cord_d_m,
            hitches_m: 4.0 * PI * (d1_m + cord_d_m),
        }
    }
}

/// One joint without its tails.
fn each(joint: &Joint, cord_d_m: f64) -> f64 {
    let turns = Turns::round(joint.d1_m, joint.d2_m, cord_d_m);
    joint.wraps * turns.wrap_m + joint.fraps * turns.frap_m + turns.hitches_m
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;
    use crate::reckon::trial::{refuses, takes, told};

    #[test]
    fn a_lashing_is_wraps_frappings_hitches_and_tails() {
        let out = told(
            "cord",
            json!({
                "joints": [{"name": "beam on post", "count": 6, "d1_m": 0.18, "d2_m": 0.16, "wraps": 4, "fraps": 2}],
                "spare": 0.25,
            }),
        );
        let each = 4.0 * (PI * 0.34 + PI * 0.012) + 2.0 * (0.68 + PI * 0.024) + 4.0 * PI * 0.186 + 0.3;
        assert!((out["joints"][0]["each_m"].as_f64().unwrap() - each).abs() < 1e-14);
        assert!((out["cord_m"].as_f64().unwrap() - 6.0 * each).abs() < 1e-13);
        assert!((out["order_m"].as_f64().unwrap() - 7.5 * each).abs() < 1e-13);
    }

    #[test]
    fn no_joints_take_no_cord() {
        assert_eq!(
            told("cord", json!({"joints": []})).to_string(),
            r#"{"joints":[],"cord_m":0.0,"order_m":0.0}"#
        );
    }

    #[test]
    fn what_cannot_be_lashed_is_refused_where_it_stands() {
        let joint = json!({"name": "a", "count": 2, "d1_m": 0.1, "d2_m": 0.1, "wraps": 3, "fraps": 2});
        let joints = json!({"joints": [joint, joint]});
        refuses(
            "cord",
            &joints,
            &[
                ("/joints", json!({})),
                ("/joints", json!(null)),
                ("/joints/1/count", json!(-1)),
                ("/joints/1/count", json!(1.5)),
                ("/joints/1/count", json!(1_000_001)),
                ("/joints/1/d1_m", json!(0)),
                ("/joints/0/d2_m", json!(null)),
                ("/joints/0/wraps", json!(1000.5)),
                ("/joints/0/fraps", json!(-0.5)),
                ("/joints/0/name", json!(7)),
                ("/cord_d_m", json!(0)),
                ("/tails_m", json!(-1)),
                ("/spare", json!(2.01)),
            ],
        );
        takes(
            "cord",
            &joints,
            &[
                ("/joints/1/count", json!(0)),
                ("/joints/1/count", json!(4.0)),
                ("/joints/0/wraps", json!(2.5)),
                ("/tails_m", json!(0)),
                ("/spare", json!(2)),
            ],
        );
    }

    proptest! {
        #[test]
        fn a_lashing_twice_the_size_takes_twice_the_cord(
            d1_m in 0.02..0.4_f64, d2_m in 0.02..0.4_f64, cord_d_m in 0.002..0.02_f64,
            wraps in 0.0..9.0_f64, fraps in 0.0..9.0_f64, tails_m in 0.0..1.0_f64,
        ) {
            let of = |scale: f64| In {
                joints: vec![Joint {
                    name: String::new(), count: 1, d1_m: scale * d1_m, d2_m: scale * d2_m, wraps, fraps,
                }],
                cord_d_m: scale * cord_d_m, tails_m: scale * tails_m, spare: 0.0,
            };
            // Doubling is exact in every step.
            prop_assert_eq!(2.0 * run(&of(1.0)).unwrap().cord_m, run(&of(2.0)).unwrap().cord_m);
        }
    }
}
