//! Rafters by successive halving: 3, 5, 9, 17 … of them along the ridge.

use serde::Serialize;
use serde_json::Value;

use super::{Fields, Refusal};

/// The most halvings that are worked out; 4,097 rafters.
pub const MOST_HALVINGS: u32 = 12;

/// How far the halving goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// A number of halvings, 1 to [`MOST_HALVINGS`].
    Halvings(u32),
    /// The first spacing that is no wider than this, 1e-6 to 1,000 m.
    SpacingM(f64),
}

/// A ridge to hang rafters on.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// The ridge's length, 1e-6 to 1,000 m.
    pub ridge_m: f64,
    /// From each end of the ridge to the end rafters; under half the ridge.
    pub end_inset_m: f64,
    /// How far the halving goes on.
    pub until: Until,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, and
    /// `halvings` beside `max_spacing_m`.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let until = match f.one_of("halvings", "max_spacing_m")? {
            "halvings" => Until::Halvings(f.whole("halvings", 1, MOST_HALVINGS)?),
            _ => Until::SpacingM(f.length("max_spacing_m")?),
        };
        let input = Self {
            ridge_m: f.length("ridge_m")?,
            end_inset_m: f.length_or_zero_or("end_inset_m", 0.0)?,
            until,
        };
        f.end()?;
        Ok(input)
    }
}

/// Where the rafters go.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// How often the ridge is halved.
    pub halvings: u32,
    /// Pairs of rafters, the ends counted.
    pub count: u32,
    /// From one to the next.
    pub spacing_m: f64,
    /// From the middle of the ridge, ascending.
    pub positions_m: Vec<f64>,
    /// The order of work: the middle, then halving by halving outward, the
    /// ends last.
    pub order_m: Vec<f64>,
}

/// Works out the rafters' places.
///
/// # Errors
/// Refuses an inset of half the ridge or more at `/end_inset_m`, and a spacing
/// that [`MOST_HALVINGS`] halvings do not reach at `/max_spacing_m`.
pub fn run(input: &In) -> Result<Out, Refusal> {
    if input.end_inset_m >= input.ridge_m / 2.0 {
        return Err(Refusal::at(
            "/end_inset_m",
            format!("{} is half the ridge or more; less would do", input.end_inset_m),
        ));
    }
    let between_ends_m = input.ridge_m - 2.0 * input.end_inset_m;
    let halvings = match input.until {
        Until::Halvings(halvings) => halvings,
        Until::SpacingM(most_m) => halvings_to(between_ends_m, most_m)?,
    };
    let bays = 1_i32 << halvings;
    // Halving is exact, so places left and right of the middle mirror exactly.
    let spacing_m = between_ends_m / f64::from(bays);
    let place = |bays_out: i32| f64::from(bays_out) * spacing_m;
    let positions_m = (-bays / 2..=bays / 2).map(place).collect();
    let order_m = order_of_work(bays).into_iter().map(place).collect();
    Ok(Out { halvings, count: bays.unsigned_abs() + 1, spacing_m, positions_m, order_m })
}

fn halvings_to(between_ends_m: f64, most_m: f64) -> Result<u32, Refusal> {
    let spacing_m = |halvings: u32| between_ends_m / f64::from(1_u32 << halvings);
    (1..=MOST_HALVINGS).find(|k| spacing_m(*k) <= most_m + 1e-9).ok_or_else(|| {
        Refusal::at(
            "/max_spacing_m",
            format!(
                "{most_m} takes more than {MOST_HALVINGS} halvings; {} or more would do",
                spacing_m(MOST_HALVINGS)
            ),
        )
    })
}

/// The places in bays from the middle, in the order they are tied.
fn order_of_work(bays: i32) -> Vec<i32> {
    let half = bays / 2;
    let mut order = vec![0];
    let mut step = half / 2;
    while step >= 1 {
        for out in (step..half).step_by(2 * step as usize) {
            order.extend([-out, out]);
        }
        step /= 2;
    }
    order.extend([-half, half]);
    order
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;
    use crate::reckon::trial::{refuses, told};

    #[test]
    fn three_halvings_hang_nine_rafters_from_the_middle_outward() {
        assert_eq!(
            told("rafters", json!({"ridge_m": 8.5, "halvings": 3, "end_inset_m": 0.25})),
            json!({
                "halvings": 3, "count": 9, "spacing_m": 1.0,
                "positions_m": [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0],
                "order_m": [0.0, -2.0, 2.0, -1.0, 1.0, -3.0, 3.0, -4.0, 4.0],
            })
        );
    }

    #[test]
    fn one_halving_is_the_middle_and_the_ends() {
        let out = told("rafters", json!({"ridge_m": 3, "max_spacing_m": 900}));
        assert_eq!(out["order_m"], json!([0.0, -1.5, 1.5]));
        assert_eq!(out["halvings"], 1);
    }

    #[test]
    fn a_spacing_met_exactly_is_not_halved_again() {
        let out = told("rafters", json!({"ridge_m": 4.8, "max_spacing_m": 0.6}));
        assert_eq!(out["halvings"], 3);
        let out = told("rafters", json!({"ridge_m": 4.8, "max_spacing_m": 0.59999}));
        assert_eq!(out["halvings"], 4);
        let out = told("rafters", json!({"ridge_m": 4.8, "max_spacing_m": 0.5999999995}));
        assert_eq!(out["halvings"], 3);
    }

    #[test]
    fn what_cannot_be_hung_is_refused() {
        let ridge = json!({"ridge_m": 8, "halvings": 3});
        refuses(
            "rafters",
            &ridge,
            &[
                ("/halvings", json!(0)),
                ("/halvings", json!(13)),
                ("/halvings", json!(2.5)),
                ("/halvings", json!(null)),
                ("/ridge_m", json!(0)),
                ("/end_inset_m", json!(4)),
                ("/end_inset_m", json!(-0.1)),
                ("/max_spacing_m", json!(0.5)),
            ],
        );
        let ridge = json!({"ridge_m": 8, "max_spacing_m": 0.5});
        refuses("rafters", &ridge, &[("/max_spacing_m", json!(0.0019)), ("/max_spacing_m", json!(0))]);
    }

    proptest! {
        #[test]
        fn places_mirror_and_every_place_is_worked_once(
            ridge_m in 1e-6..1000.0_f64, share in 0.0..0.49_f64, halvings in 1..=MOST_HALVINGS,
        ) {
            let end_inset_m = share * ridge_m;
            let out = run(&In { ridge_m, end_inset_m, until: Until::Halvings(halvings) }).unwrap();
            let mirrored: Vec<f64> = out.positions_m.iter().rev().map(|x| 0.0 - x).collect();
            prop_assert_eq!(&mirrored, &out.positions_m);
            let mut worked = out.order_m.clone();
            worked.sort_by(f64::total_cmp);
            prop_assert_eq!(&worked, &out.positions_m);
            prop_assert_eq!(out.count as usize, out.positions_m.len());
            // One subtraction and exact halvings.
            let end_m = ridge_m / 2.0 - end_inset_m;
            prop_assert!((out.positions_m[0] + end_m).abs() <= 1e-15 * ridge_m);
        }

        #[test]
        fn the_first_spacing_under_the_limit_is_taken(ridge_m in 0.1..100.0_f64, share in 0.001..2.0_f64) {
            let most_m = share * ridge_m;
            let out = run(&In { ridge_m, end_inset_m: 0.0, until: Until::SpacingM(most_m) }).unwrap();
            prop_assert!(out.spacing_m <= most_m + 1e-9);
            prop_assert!(out.halvings == 1 || 2.0 * out.spacing_m > most_m + 1e-9);
        }
    }
}
