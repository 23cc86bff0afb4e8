//! What a cord or a joint may be counted on for, from tests pulled until it
//! broke (EN 14358): the 5 % strength of a log-normal sample, and a part of it.

use serde::Serialize;
use serde_json::Value;

use super::fields::{LEAST_DIVISOR, MOST, number};
use super::tolerance::tolerance_factor;
use super::{Fields, Refusal};

const CAUTION: &str = "A screening figure, not a design. It takes the tests to stand for all that will be tied: \
    the same makers, plants, age, wet and dry, knots and poles. Wet, old or sun-worn cord holds less, and cord \
    under load for long holds less than a pull that is soon over; test it as it will be used, and test again. \
    Never hang people from it. Local codes and a licensed engineer decide.";

/// The fewest and the most tests.
pub const TESTS: (usize, usize) = (3, 1000);
/// The scatter that is taken where tests happen to agree more closely.
const LEAST_SCATTER: f64 = 0.05;

/// Tests pulled to breaking.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// 3 to 1,000 breaking loads, 1e-9 to 1e12 N.
    pub breaks_n: Vec<f64>,
    /// How sure the characteristic value is to be, 0.5 to 0.999.
    pub confidence: f64,
    /// The share that may be weaker, 0.001 to 0.5.
    pub fractile: f64,
    /// What the characteristic value is divided by, 1 to 20.
    pub factor: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, and a
    /// list of fewer or more tests.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let breaks = f.list("breaks_n", TESTS.0, TESTS.1)?;
        let input = Self {
            breaks_n: breaks
                .iter()
                .map(|(at, v)| number(at, v, LEAST_DIVISOR, MOST))
                .collect::<Result<_, _>>()?,
            confidence: f.number_or("confidence", 0.75, 0.5, 0.999)?,
            fractile: f.number_or("fractile", 0.05, 0.001, 0.5)?,
            factor: f.number_or("factor", 3.0, 1.0, 20.0)?,
        };
        f.end()?;
        Ok(input)
    }
}

/// What the tests say.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// How many tests.
    pub n: u32,
    /// Mean of the logarithms of newtons.
    pub mean_ln: f64,
    /// Standard deviation of the logarithms, 0.05 at least.
    pub s_ln: f64,
    /// The tolerance factor.
    pub k: f64,
    /// The strength that all but a fractile reach, with the confidence asked.
    pub characteristic_n: f64,
    /// What may be counted on.
    pub working_n: f64,
    /// What was assumed.
    pub caution: &'static str,
}

/// Works out the strength.
///
/// # Errors
/// Refuses fewer or more tests than [`TESTS`] at `/breaks_n`.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let tests = input.breaks_n.len();
    if !(TESTS.0..=TESTS.1).contains(&tests) {
        return Err(Refusal::at("/breaks_n", format!("{tests} tests; {} to {} would do", TESTS.0, TESTS.1)));
    }
    // In range: the conversion is exact.
    let n = tests as u32;
    let count = f64::from(n);
    let logarithms: Vec<f64> = input.breaks_n.iter().map(|newtons| newtons.ln()).collect();
    let mean_ln = logarithms.iter().sum::<f64>() / count;
    let squares: f64 = logarithms.iter().map(|ln| (ln - mean_ln).powi(2)).sum();
    let s_ln = (squares / (count - 1.0)).sqrt().max(LEAST_SCATTER);
    let k = tolerance_factor(n, input.confidence, input.fractile);
    let characteristic_n = (mean_ln - k * s_ln).exp();
    let working_n = characteristic_n / input.factor;
    Ok(Out { n, mean_ln, s_ln, k, characteristic_n, working_n, caution: CAUTION })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::{Value, json};

    use super::*;
    use crate::reckon::trial::{refuses, takes, told, with};

    fn pulls() -> Value {
        json!({"breaks_n": [410, 455, 390, 480, 430]})
    }

    #[test]
    fn five_pulls_say_what_to_count_on() {
        let out = told("proof", pulls());
        let got = |key: &str| out[key].as_f64().unwrap();
        assert_eq!(out["n"], 5);
        assert!((got("mean_ln") - 6.068_03).abs() < 5e-6 && (got("s_ln") - 0.082_17).abs() < 5e-6);
        // Logarithms less 2.46338 times 0.08217.
        assert!((got("characteristic_n") - 352.703).abs() < 5e-4);
        assert!((got("working_n") * 3.0 / got("characteristic_n") - 1.0).abs() < 1e-15);
        assert!(out["caution"].as_str().unwrap().contains("licensed engineer"));
    }

    #[test]
    fn tests_that_agree_too_well_are_not_believed() {
        let out = told("proof", json!({"breaks_n": [400, 400, 400]}));
        assert_eq!(out["s_ln"], 0.05);
    }

    #[test]
    fn too_few_tests_say_nothing() {
        refuses(
            "proof",
            &pulls(),
            &[
                ("/breaks_n", json!([410, 455])),
                ("/breaks_n", json!(vec![1; 1001])),
                ("/breaks_n", json!(410)),
                ("/breaks_n", json!(null)),
                ("/confidence", json!(0.49)),
                ("/confidence", json!(0.9991)),
                ("/fractile", json!(0.0009)),
                ("/fractile", json!(0.51)),
                ("/factor", json!(0.5)),
            ],
        );
        for bad in [json!(0), json!(null), json!("410")] {
            let pulls = json!({"breaks_n": [410, 455, bad]});
            assert_eq!(crate::reckon::trial::tried("proof", pulls).unwrap_err().place, "/breaks_n/2");
        }
        let few = In { breaks_n: vec![1.0, 2.0], confidence: 0.75, fractile: 0.05, factor: 3.0 };
        assert_eq!(run(&few).unwrap_err().place, "/breaks_n");
        takes(
            "proof",
            &pulls(),
            &[("/confidence", json!(0.5)), ("/fractile", json!(0.5)), ("/factor", json!(1))],
        );
        assert_eq!(told("proof", with(&pulls(), "/breaks_n", json!(vec![5; 1000])))["n"], 1000);
    }

    proptest! {
        #[test]
        fn stronger_cord_in_proportion_may_be_counted_on_in_proportion(
            breaks in proptest::collection::vec(100.0..1000.0_f64, 3..30), scale in 0.1..10.0_f64,
        ) {
            let of = |scale: f64| run(&In {
                breaks_n: breaks.iter().map(|n| n * scale).collect(),
                confidence: 0.75, fractile: 0.05, factor: 3.0,
            }).unwrap();
            let (one, scaled) = (of(1.0), of(scale));
            // Logarithms of up to 9 with a rounding each, and their exponential.
            prop_assert!((scaled.working_n / (scale * one.working_n) - 1.0).abs() < 1e-12);
            prop_assert!(one.characteristic_n < one.mean_ln.exp());
        }
    }
}
