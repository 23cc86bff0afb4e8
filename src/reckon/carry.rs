//! What one person may lift: the revised NIOSH lifting equation, metric
//! (Applications Manual, DHHS (NIOSH) Publication 94-110).

use serde::Serialize;
use serde_json::Value;

use super::fields::MOST;
use super::{Fields, Refusal};

const CAUTION: &str = "A screening figure, not a design, for healthy grown people and a lift with both hands; it \
    takes rest after the work as its rule asks. Only the start of the lift was looked at; where the load must be \
    set down gently the end may be worse. Carrying, heat and damp are outside the method, and so are slippery or \
    uneven ground and lifting in company. Local codes decide, and whoever is licensed to judge work.";

/// What a strong enough person may lift when everything is at its best.
const BEST_KG: f64 = 23.0;
/// The height of the hands that is best, and where the columns of the
/// frequency table part.
const KNUCKLES_M: f64 = 0.75;

/// How well the load can be gripped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grip {
    /// Handles, or a shape the hand closes round.
    Good,
    /// Poor handles, or fingers bent under it.
    Fair,
    /// Bulky, slack or sharp.
    Poor,
}

/// A lift that is done again and again.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// The load, 0 to 1e12 kg.
    pub mass_kg: f64,
    /// Hands before the ankles, 1e-6 to 1,000 m.
    pub reach_m: f64,
    /// Hands above the ground at the start, 0 or 1e-6 to 1,000 m.
    pub start_m: f64,
    /// How far it is lifted, 0 or 1e-6 to 1,000 m.
    pub travel_m: f64,
    /// How far the body is twisted, 0 to 180.
    pub twist_deg: f64,
    /// Lifts a minute, 0 to 60.
    pub lifts_per_min: f64,
    /// Work time at it, above 0 to 8.
    pub hours: f64,
    /// How well it can be gripped.
    pub grip: Grip,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, and an
    /// unknown grip.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let input = Self {
            mass_kg: f.number("mass_kg", 0.0, MOST)?,
            reach_m: f.length("reach_m")?,
            start_m: f.length_or_zero("start_m")?,
            travel_m: f.length_or_zero("travel_m")?,
            twist_deg: f.number("twist_deg", 0.0, 180.0)?,
            lifts_per_min: f.number("lifts_per_min", 0.0, 60.0)?,
            hours: f.above_zero("hours", 8.0)?,
            grip: match f.text("grip")?.as_str() {
                "good" => Grip::Good,
                "fair" => Grip::Fair,
                "poor" => Grip::Poor,
                _ => return Err(Refusal::at(f.at("grip"), "not a grip; good, fair or poor would do")),
            },
        };
        f.end()?;
        Ok(input)
    }
}

/// The limit and what it is made of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// The recommended weight limit.
    pub limit_kg: f64,
    /// The load over the limit; none where the limit is 0.
    pub index: Option<f64>,
    /// For the reach.
    pub hm: f64,
    /// For the height at the start.
    pub vm: f64,
    /// For the way up.
    pub dm: f64,
    /// For the twist.
    pub am: f64,
    /// For how often and how long.
    pub fm: f64,
    /// For the grip.
    pub cm: f64,
    /// What was assumed.
    pub caution: &'static str,
}

/// Works out the limit.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let In { reach_m, start_m, travel_m, twist_deg, .. } = *input;
    let low = start_m < KNUCKLES_M;
    let hm = if reach_m > 0.63 { 0.0 } else { (0.25 / reach_m).min(1.0) };
    let vm = if start_m > 1.75 { 0.0 } else { 1.0 - 0.3 * (start_m - KNUCKLES_M).abs() };
    let dm = match travel_m {
        far if far > 1.75 => 0.0,
        near if near <= 0.25 => 1.0,
        _ => 0.82 + 0.045 / travel_m,
    };
    let am = if twist_deg > 135.0 { 0.0 } else { 1.0 - 0.0032 * twist_deg };
    let fm = frequency(input.lifts_per_min, input.hours, low);
    let cm = match input.grip {
        Grip::Good => 1.0,
        Grip::Fair if low => 0.95,
        Grip::Fair => 1.0,
        Grip::Poor => 0.9,
    };
    let limit_kg = BEST_KG * hm * vm * dm * am * fm * cm;
    let index = (limit_kg > 0.0).then(|| input.mass_kg / limit_kg);
    Ok(Out { limit_kg, index, hm, vm, dm, am, fm, cm, caution: CAUTION })
}

/// A row of the frequency table: up to so many lifts a minute, and for work of
/// up to 1, 2 and 8 hours what holds below and from [`KNUCKLES_M`] up.
type Row = (f64, [(f64, f64); 3]);

const fn alike(lifts_per_min: f64, one: f64, two: f64, eight: f64) -> Row {
    (lifts_per_min, [(one, one), (two, two), (eight, eight)])
}

/// NIOSH 94-110, table 5.
const FREQUENCY: [Row; 17] = [
    alike(0.2, 1.0, 0.95, 0.85),
    alike(0.5, 0.97, 0.92, 0.81),
    alike(1.0, 0.94, 0.88, 0.75),
    alike(2.0, 0.91, 0.84, 0.65),
    alike(3.0, 0.88, 0.79, 0.55),
    alike(4.0, 0.84, 0.72, 0.45),
    alike(5.0, 0.8, 0.6, 0.35),
    alike(6.0, 0.75, 0.5, 0.27),
    alike(7.0, 0.7, 0.42, 0.22),
    alike(8.0, 0.6, 0.35, 0.18),
    (9.0, [(0.52, 0.52), (0.3, 0.3), (0.0, 0.15)]),
    (10.0, [(0.45, 0.45), (0.26, 0.26), (0.0, 0.13)]),
    (11.0, [(0.41, 0.41), (0.0, 0.23), (0.0, 0.0)]),
    (12.0, [(0.37, 0.37), (0.0, 0.21), (0.0, 0.0)]),
    (13.0, [(0.0, 0.34), (0.0, 0.0), (0.0, 0.0)]),
    (14.0, [(0.0, 0.31), (0.0, 0.0), (0.0, 0.0)]),
    (15.0, [(0.0, 0.28), (0.0, 0.0), (0.0, 0.0)]),
];

/// The multiplier for how often and how long; between rows that of the greater
/// frequency, above the last row 0.
fn frequency(lifts_per_min: f64, hours: f64, low: bool) -> f64 {
    let Some((_, [one, two, eight])) = FREQUENCY.iter().find(|(to, _)| lifts_per_min <= *to) else {
        return 0.0;
    };
    let (below, above) = match hours {
        short if short <= 1.0 => one,
        moderate if moderate <= 2.0 => two,
        _ => eight,
    };
    if low { *below } else { *above }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told, with};

    fn lift() -> Value {
        json!({
            "mass_kg": 11.5, "reach_m": 0.25, "start_m": 0.75, "travel_m": 0.25, "twist_deg": 0,
            "lifts_per_min": 0.2, "hours": 1, "grip": "good",
        })
    }

    #[test]
    fn at_its_best_a_lift_may_be_twenty_three_kilograms() {
        let out = told("carry", lift());
        assert_eq!((&out["limit_kg"], &out["index"]), (&json!(23.0), &json!(0.5)));
        let caution = out["caution"].as_str().unwrap();
        assert!(caution.contains("Only the start of the lift was looked at"));
        assert!(caution.contains("Carrying, heat and damp are outside the method"));
    }

    #[test]
    fn each_limit_is_still_taken_and_past_it_nothing_may_be_lifted() {
        let multiplier = |place: &str, value: f64, key: &str| {
            told("carry", with(&lift(), place, json!(value)))[key].as_f64().unwrap()
        };
        for (place, at, past, key, meant) in [
            ("/reach_m", 0.63, 0.6301, "hm", 25.0 / 63.0),
            ("/start_m", 1.75, 1.7501, "vm", 0.7),
            ("/travel_m", 1.75, 1.7501, "dm", 0.82 + 4.5 / 175.0),
            ("/twist_deg", 135.0, 135.01, "am", 0.568),
            ("/lifts_per_min", 15.0, 15.01, "fm", 0.28),
        ] {
            assert!((multiplier(place, at, key) - meant).abs() < 1e-15, "{place}");
            assert_eq!(multiplier(place, past, key), 0.0, "{place}");
        }
        let out = told("carry", with(&lift(), "/reach_m", json!(0.7)));
        assert_eq!((&out["limit_kg"], &out["index"]), (&json!(0.0), &Value::Null));
        assert_eq!(multiplier("/reach_m", 0.1, "hm"), 1.0);
        assert_eq!(multiplier("/travel_m", 0.0, "dm"), 1.0);
    }

    #[test]
    fn between_rows_the_greater_frequency_holds() {
        let fm = |lifts: f64, hours: f64| frequency(lifts, hours, true);
        assert_eq!((fm(0.0, 1.0), fm(0.2, 1.01), fm(0.21, 2.01)), (1.0, 0.95, 0.81));
        assert_eq!((fm(2.5, 1.0), fm(3.0, 1.0), fm(3.1, 1.0)), (0.88, 0.88, 0.84));
        assert_eq!((fm(9.0, 8.0), frequency(9.0, 8.0, false)), (0.0, 0.15));
        assert_eq!((fm(12.5, 1.0), frequency(12.5, 1.0, false)), (0.0, 0.34));
    }

    #[test]
    fn a_fair_grip_is_worse_below_the_knuckles() {
        let fair = with(&lift(), "/grip", json!("fair"));
        assert_eq!(told("carry", fair.clone())["cm"], 1.0);
        assert_eq!(told("carry", with(&fair, "/start_m", json!(0.7499)))["cm"], 0.95);
        assert_eq!(told("carry", with(&lift(), "/grip", json!("poor")))["cm"], 0.9);
    }

    #[test]
    fn what_is_no_lift_is_refused() {
        refuses(
            "carry",
            &lift(),
            &[
                ("/mass_kg", json!(-1)),
                ("/reach_m", json!(0)),
                ("/start_m", json!(null)),
                ("/travel_m", json!(-0.1)),
                ("/twist_deg", json!(181)),
                ("/lifts_per_min", json!(61)),
                ("/hours", json!(0)),
                ("/hours", json!(8.01)),
                ("/grip", json!("Good")),
                ("/grip", json!(1)),
                ("/grip", json!(null)),
            ],
        );
        takes(
            "carry",
            &lift(),
            &[
                ("/start_m", json!(0)),
                ("/twist_deg", json!(180)),
                ("/lifts_per_min", json!(60)),
                ("/hours", json!(1e-9)),
            ],
        );
    }

    proptest! {
        #[test]
        fn lifting_more_often_never_allows_more(
            often in 0.0..20.0_f64, more in 0.0..5.0_f64, hours in 0.01..8.0_f64, longer in 0.0..8.0_f64,
            low in any::<bool>(),
        ) {
            prop_assert!(frequency(often + more, hours, low) <= frequency(often, hours, low));
            prop_assert!(frequency(often, hours + longer, low) <= frequency(often, hours, low));
            prop_assert!(frequency(often, hours, true) <= frequency(often, hours, false));
        }
    }
}
