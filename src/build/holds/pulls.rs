//! What pulled cords and joints prove.

use serde::Serialize;

use crate::build::entry::{Joint, Pull};
use crate::reckon::proof;
use crate::reckon::tolerance::tolerance_factor;

/// What stands beside every test.
pub const CAUTION: &str = "When a cord is pulled to breaking: stand clear of its line and of what hangs from it, \
    something soft below, eyes covered, nobody under it, children away.";

/// How sure, and which share may be weaker (EN 14358).
const CONFIDENCE: f64 = 0.75;
const FRACTILE: f64 = 0.05;
/// What a characteristic strength is divided by before it is counted on.
pub const FACTOR: f64 = 3.0;

/// A joint tied with a cord, and what its tests prove.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tested {
    /// What was pulled.
    pub joint: Joint,
    /// The cord.
    pub cord: String,
    /// How many tests.
    pub tests: usize,
    /// The strength that all but one in twenty reach, N; none under three
    /// tests.
    pub characteristic_n: Option<f64>,
    /// A third of that, N.
    pub working_n: Option<f64>,
    /// What more tests would bring, if they broke like these.
    pub more: Vec<More>,
}

/// What more tests would bring.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct More {
    /// So many more.
    pub tests: u32,
    /// So much more of the characteristic strength, as a share of it.
    pub gain: f64,
}

/// The tests joint by joint and cord by cord, in the order first pulled.
#[must_use]
pub fn tested(pulls: &[Pull]) -> Vec<Tested> {
    let mut heaps: Vec<(Joint, String, Vec<f64>)> = Vec::new();
    for pull in pulls {
        let same = |(joint, cord, _): &&mut (Joint, String, Vec<f64>)| {
            *joint == pull.joint && is_same(cord, &pull.cord)
        };
        match heaps.iter_mut().find(same) {
            Some((_, _, breaks)) => breaks.push(pull.newtons),
            None => heaps.push((pull.joint, pull.cord.clone(), vec![pull.newtons])),
        }
    }
    heaps.into_iter().map(|(joint, cord, breaks_n)| proved(joint, cord, breaks_n)).collect()
}

/// Whether two names are of one cord.
#[must_use]
pub fn is_same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

fn proved(joint: Joint, cord: String, mut breaks_n: Vec<f64>) -> Tested {
    let tests = breaks_n.len();
    // The last ones stand for what is tied now.
    breaks_n.drain(..tests.saturating_sub(proof::TESTS.1));
    let asked = proof::In { breaks_n, confidence: CONFIDENCE, fractile: FRACTILE, factor: FACTOR };
    let out = proof::run(&asked).ok();
    let more = out.as_ref().map(more).unwrap_or_default();
    Tested {
        joint,
        cord,
        tests,
        characteristic_n: out.as_ref().map(|o| o.characteristic_n),
        working_n: out.map(|o| o.working_n),
        more,
    }
}

/// The same mean and scatter, known from more tests.
fn more(out: &proof::Out) -> Vec<More> {
    [1, 2, 5]
        .into_iter()
        .filter(|tests| (out.n + tests) as usize <= proof::TESTS.1)
        .map(|tests| {
            let k = tolerance_factor(out.n + tests, CONFIDENCE, FRACTILE);
            More { tests, gain: ((out.k - k) * out.s_ln).exp() - 1.0 }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pull(joint: Joint, cord: &str, newtons: f64) -> Pull {
        Pull { joint, cord: cord.to_owned(), newtons, said: String::new(), remark: String::new() }
    }

    /// Source: EN 14358 (log-normal, 75 % confidence), five breaks of 410, 455,
    /// 390, 480 and 430 N: 352.8 N with k = 2.46; for six tests k = 2.3356
    /// (non-central t).
    #[test]
    fn five_breaks_prove_their_strength_and_what_a_sixth_would_bring() {
        let breaks = [410.0, 455.0, 390.0, 480.0, 430.0];
        let pulls = breaks.map(|n| pull(Joint::Cord, "coir 6 mm", n));
        let tested = tested(&pulls);
        let one = &tested[0];
        assert!((one.characteristic_n.unwrap() - 352.7).abs() < 0.3, "{one:?}");
        assert!((one.working_n.unwrap() - 117.6).abs() < 0.1);
        let gain = ((2.4634 - 2.3356) * 0.082_17_f64).exp() - 1.0;
        assert!((one.more[0].gain - gain).abs() < 1e-4, "{one:?}");
    }

    #[test]
    fn two_tests_prove_nothing_and_other_cords_are_another_matter() {
        let pulls = [
            pull(Joint::Rafter, "coir 6 mm", 900.0),
            pull(Joint::Rafter, "Coir 6 mm", 950.0),
            pull(Joint::Rafter, "hibiscus", 700.0),
        ];
        let tested = tested(&pulls);
        assert_eq!(tested.iter().map(|t| t.tests).collect::<Vec<_>>(), [2, 1]);
        assert!(tested.iter().all(|t| t.characteristic_n.is_none() && t.more.is_empty()));
    }
}
