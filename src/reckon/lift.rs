//! Raising a ridge with crossed lifting poles: what it weighs, what the legs
//! and their feet carry, and how many people it asks for. Plain statics of two
//! equal legs under an upright load.

use std::f64::consts::PI;

use serde::Serialize;
use serde_json::Value;

use super::count::{round_up, whole};
use super::fields::{LEAST_DIVISOR, MOST, MOST_COUNT, MOST_THINGS, above_zero, finite};
use super::{Fields, GRAVITY_M_S2, Refusal};

const CAUTION: &str = "A screening figure, not a design. It takes the load as still, shared evenly by the \
    pairs and upright over their feet, and the poles as whole cylinders; a jerk, a slip, wind or one pair ahead \
    of the other asks much more of people, poles and lashings, which are not checked here. The share of a team \
    is an assumption; not everybody can lift the same. One voice calls, nobody stands under the load, feet dug \
    in or tied, a rope on each side, no overhead line within reach. Local codes decide, and a licensed lifter \
    where the law asks for one.";

/// Pieces of one kind that go up.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the builder calls it.
    pub name: String,
    /// How many, 0 to 1,000,000.
    pub count: u32,
    /// Length, 1e-6 to 1,000 m.
    pub length_m: f64,
    /// Diameter, 1e-6 to 1,000 m.
    pub d_m: f64,
    /// Density as it is lifted, 0 to 1e12 kg/m³.
    pub density_kg_m3: f64,
}

/// What goes up, and who and what lifts it.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// All that hangs from the poles.
    pub parts: Vec<Part>,
    /// People at each pair, 0 to 1,000,000.
    pub mates: u32,
    /// Pairs of crossed poles, 1 to 1,000.
    pub pairs: u32,
    /// From the foot of a pole to the crossing, 1e-6 to 1,000 m.
    pub pole_m: f64,
    /// Between the feet of a pair; under twice the pole.
    pub foot_spread_m: f64,
    /// What one person may lift, 1e-9 to 1e12 kg.
    pub each_kg: f64,
    /// Share of the sum of what each may lift that a team may count on, above
    /// 0 to 1.
    pub team: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key and a number outside its range.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let parts = f.list("parts", 0, MOST_THINGS)?;
        let input = Self {
            parts: parts.into_iter().map(|(at, v)| read_part(&at, v)).collect::<Result<_, _>>()?,
            mates: f.whole("mates", 0, MOST_COUNT)?,
            pairs: f.whole_or("pairs", 2, 1, 1000)?,
            pole_m: f.length("pole_m")?,
            foot_spread_m: f.length("foot_spread_m")?,
            each_kg: f.number_or("each_kg", 25.0, LEAST_DIVISOR, MOST)?,
            team: f.maybe("team").map_or(Ok(0.5), |v| above_zero(&f.at("team"), &v, 1.0))?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_part(place: &str, value: Value) -> Result<Part, Refusal> {
    let mut f = Fields::open(place, value)?;
    let part = Part {
        name: f.text("name")?,
        count: f.whole("count", 0, MOST_COUNT)?,
        length_m: f.length("length_m")?,
        d_m: f.length("d_m")?,
        density_kg_m3: f.number("density_kg_m3", 0.0, MOST)?,
    };
    f.end()?;
    Ok(part)
}

/// What the lift asks for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// All parts together.
    pub mass_kg: f64,
    /// The load on each pair.
    pub per_pair_n: f64,
    /// Between a pole and upright.
    pub half_angle_deg: f64,
    /// Along each pole.
    pub leg_n: f64,
    /// Outward at each foot.
    pub foot_thrust_n: f64,
    /// The fewest people, a whole number.
    #[serde(serialize_with = "whole")]
    pub people: f64,
    /// Whether so many stand at the pairs.
    pub enough: bool,
    /// What was assumed.
    pub caution: &'static str,
}

/// Works out the lift.
///
/// # Errors
/// Refuses feet spread twice the pole or more at `/foot_spread_m`, and a share
/// of a team so small that no number of people is enough at `/team`.
pub fn run(input: &In) -> Result<Out, Refusal> {
    if input.foot_spread_m >= 2.0 * input.pole_m {
        return Err(Refusal::at(
            "/foot_spread_m",
            format!("{} is twice the pole or more; less would do", input.foot_spread_m),
        ));
    }
    let mass_kg = input.parts.iter().fold(0.0, |sum, part| sum + mass(part));
    let pairs = f64::from(input.pairs);
    let per_pair_n = mass_kg * GRAVITY_M_S2 / pairs;
    // A double below twice the pole over twice the pole is below 1: the
    // cosine is never 0.
    let sine = input.foot_spread_m / 2.0 / input.pole_m;
    let cosine = ((1.0 - sine) * (1.0 + sine)).sqrt();
    let people = finite("/team", round_up(mass_kg / (input.each_kg * input.team)))?;
    Ok(Out {
        mass_kg,
        per_pair_n,
        half_angle_deg: sine.asin().to_degrees(),
        leg_n: per_pair_n / (2.0 * cosine),
        foot_thrust_n: per_pair_n * sine / cosine / 2.0,
        people,
        enough: f64::from(input.mates) * pairs >= people,
        caution: CAUTION,
    })
}

fn mass(part: &Part) -> f64 {
    let each_m3 = PI / 4.0 * part.d_m * part.d_m * part.length_m;
    f64::from(part.count) * each_m3 * part.density_kg_m3
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told};

    fn ridge() -> Value {
        json!({
            "parts": [{"name": "ridge pole", "count": 1, "length_m": 9, "d_m": 0.12, "density_kg_m3": 900}],
            "mates": 4, "pole_m": 5, "foot_spread_m": 6,
        })
    }

    #[test]
    fn a_ridge_pole_is_weighed_and_shared_by_two_pairs() {
        let out = told("lift", ridge());
        let mass = PI * 0.06 * 0.06 * 9.0 * 900.0;
        let near = |key: &str, meant: f64| (out[key].as_f64().unwrap() / meant - 1.0).abs() < 1e-14;
        assert!(near("mass_kg", mass) && near("per_pair_n", mass * 9.80665 / 2.0));
        // Legs of 3-4-5: cosine 0.8, tangent 0.75.
        assert!(near("leg_n", mass * 9.80665 / 2.0 / 1.6));
        assert!(near("foot_thrust_n", mass * 9.80665 / 2.0 * 0.375));
        assert!(near("half_angle_deg", 0.6_f64.asin().to_degrees()));
        // 91.6 kg at half of 25 kg each.
        assert_eq!((&out["people"], &out["enough"]), (&json!(8), &json!(true)));
        assert!(out["caution"].as_str().unwrap().contains("licensed lifter"));
    }

    #[test]
    fn too_few_people_are_told() {
        let mut few = ridge();
        few["mates"] = json!(3);
        assert_eq!(told("lift", few)["enough"], false);
        let nothing = json!({"parts": [], "mates": 0, "pole_m": 5, "foot_spread_m": 6});
        let out = told("lift", nothing);
        assert_eq!((&out["mass_kg"], &out["people"], &out["enough"]), (&json!(0.0), &json!(0), &json!(true)));
    }

    #[test]
    fn what_cannot_be_lifted_is_refused() {
        refuses(
            "lift",
            &ridge(),
            &[
                ("/parts", json!(null)),
                ("/parts/0/name", json!(null)),
                ("/parts/0/count", json!(0.5)),
                ("/parts/0/length_m", json!(0)),
                ("/parts/0/d_m", json!(-0.1)),
                ("/parts/0/density_kg_m3", json!(1.1e12)),
                ("/mates", json!(null)),
                ("/mates", json!(1_000_001)),
                ("/pairs", json!(0)),
                ("/pairs", json!(1001)),
                ("/pole_m", json!(0)),
                ("/foot_spread_m", json!(10)),
                ("/foot_spread_m", json!(0)),
                ("/each_kg", json!(0)),
                ("/team", json!(0)),
                ("/team", json!(1.01)),
                ("/team", json!(1e-320)),
            ],
        );
        takes(
            "lift",
            &ridge(),
            &[("/team", json!(1)), ("/mates", json!(0)), ("/foot_spread_m", json!(9.9999))],
        );
    }

    proptest! {
        #[test]
        fn the_legs_carry_the_load_and_push_the_feet_apart(
            pole_m in 0.5..20.0_f64, share in 0.001..1.999_f64, density_kg_m3 in 1.0..2000.0_f64, pairs in 1..6_u32,
        ) {
            let foot_spread_m = share * pole_m;
            let part = Part { name: String::new(), count: 3, length_m: 4.0, d_m: 0.1, density_kg_m3 };
            let input = In { parts: vec![part], mates: 2, pairs, pole_m, foot_spread_m, each_kg: 25.0, team: 0.5 };
            let out = run(&input).unwrap();
            let height_m = ((pole_m - foot_spread_m / 2.0) * (pole_m + foot_spread_m / 2.0)).sqrt();
            let up_n = 2.0 * out.leg_n * height_m / pole_m;
            let out_n = out.leg_n * foot_spread_m / 2.0 / pole_m;
            // A few roundings, more where the legs lie almost flat.
            prop_assert!((up_n / out.per_pair_n - 1.0).abs() < 1e-12);
            prop_assert!((out_n / out.foot_thrust_n - 1.0).abs() < 1e-12);
            prop_assert!(out.people * input.each_kg * input.team >= out.mass_kg * (1.0 - 1e-9));
        }
    }
}
