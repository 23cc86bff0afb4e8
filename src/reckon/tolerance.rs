//! The one-sided tolerance factor of a normal sample, exactly.
//!
//! k(n) = t'(confidence; n − 1, z√n)/√n, t' the quantile of the non-central t
//! distribution and z the standard normal quantile of 1 − fractile (EN 14358
//! uses it at 75 % confidence for the 5 % fractile).

use std::f64::consts::{PI, SQRT_2};

use statrs::function::erf::{erfc, erfc_inv};

/// What is left of a distribution when its logarithm has fallen this far is
/// below the last bit of the rest.
const NEGLIGIBLE: f64 = 45.0;

/// The factor k by which the mean less k standard deviations of a sample of
/// `n` lies under the `fractile` of its normal distribution with the given
/// confidence.
///
/// Made for `n` from 3 to 1,000, confidence 0.5 to 0.999 and fractile 0.001
/// to 0.5; the relative error there is below 1e-10, that of the error function.
#[must_use]
pub fn tolerance_factor(n: u32, confidence: f64, fractile: f64) -> f64 {
    let root_n = f64::from(n).sqrt();
    let shift = SQRT_2 * erfc_inv(2.0 * fractile) * root_n;
    NonCentralT::new(f64::from(n) - 1.0, shift).point_exceeded(1.0 - confidence) / root_n
}

/// The non-central t distribution: (Z + shift)/S with Z standard normal and
/// S² a chi-square over its degrees of freedom.
struct NonCentralT {
    shift: f64,
    /// Values of S with their weights, which add up to 1.
    nodes: Vec<(f64, f64)>,
}

impl NonCentralT {
    /// Lays the nodes of the trapezoid rule in x = ln S, where the density
    /// exp(νx − νe²ˣ/2) and everything it is multiplied with are smooth and
    /// fall off at both ends, so that the rule converges faster than any power
    /// of the step.
    fn new(freedom: f64, shift: f64) -> Self {
        // As narrow as the density (1/√2ν) and the normal edge (1/shift) make
        // the integrand; from few degrees of freedom up not wider than 0.1.
        let step = (0.4 / (2.0 * freedom + shift * shift).sqrt()).min(0.1);
        // Of the density over its peak at x = 0; expm1 keeps its digits there.
        let fallen = |x: f64| freedom * ((2.0 * x).exp_m1() / 2.0 - x);
        let side = |start: i32, way: i32| {
            (0..)
                .map(move |i| f64::from(start + way * i) * step)
                .map(|x| (x, fallen(x)))
                .take_while(|(_, fallen)| *fallen < NEGLIGIBLE)
                .map(|(x, fallen)| (x.exp(), (-fallen).exp()))
        };
        let mut nodes: Vec<(f64, f64)> = side(-1, -1).chain(side(0, 1)).collect();
        let total: f64 = nodes.iter().map(|(_, weight)| weight).sum();
        nodes.iter_mut().for_each(|(_, weight)| *weight /= total);
        Self { shift, nodes }
    }

    /// The chance of more than `t`, and how fast it falls there.
    fn exceeding(&self, t: f64) -> (f64, f64) {
        self.nodes.iter().fold((0.0, 0.0), |(chance, density), (s, weight)| {
            let z = t * s - self.shift;
            let bell = (-z * z / 2.0).exp() / (2.0 * PI).sqrt();
            (chance + weight * erfc(z / SQRT_2) / 2.0, density + weight * s * bell)
        })
    }

    /// The `t` that is exceeded with the given chance, at most that of
    /// exceeding 0.
    fn point_exceeded(&self, chance: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0 + self.shift);
        while self.exceeding(high).0 > chance {
            low = high;
            high *= 2.0;
        }
        let mut t = high;
        // Newton's steps, halving wherever one leaves the bracket; some ten
        // are enough, and 100 halvings leave no bit undecided.
        for _ in 0..100 {
            let (above, density) = self.exceeding(t);
            if above > chance {
                low = t;
            } else {
                high = t;
            }
            let newton = t + (above - chance) / density;
            let next = if newton > low && newton < high { newton } else { low + (high - low) / 2.0 };
            if (next - t).abs() <= 1e-15 * t {
                return next;
            }
            t = next;
        }
        t
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn half_confidence_at_the_middle_asks_for_nothing() {
        assert!(tolerance_factor(7, 0.5, 0.5).abs() < 1e-15);
    }

    #[test]
    fn without_a_shift_it_is_the_ordinary_t() {
        // Two degrees of freedom have a closed form: t = (2p − 1)/√(2p(1 − p)).
        for confidence in [0.6, 0.75, 0.9, 0.99, 0.999_f64] {
            let t = (2.0 * confidence - 1.0) / (2.0 * confidence * (1.0 - confidence)).sqrt();
            let k = tolerance_factor(3, confidence, 0.5);
            assert!((k * 3.0_f64.sqrt() / t - 1.0).abs() < 1e-10, "{confidence}: {k}");
        }
    }

    #[test]
    fn a_larger_sample_takes_no_more_values() {
        let count = |n: u32| {
            let shift = SQRT_2 * erfc_inv(2.0 * 0.001) * f64::from(n).sqrt();
            NonCentralT::new(f64::from(n - 1), shift).nodes.len()
        };
        let counts = [3, 30, 300, 1000].map(count);
        assert!(counts.is_sorted_by(|smaller, larger| smaller >= larger), "{counts:?}");
        assert!(counts[0] < 400, "{counts:?}");
    }

    proptest! {
        #[test]
        fn the_point_found_is_exceeded_with_the_chance_asked(
            n in 3..=1000_u32, confidence in 0.5..0.999_f64, fractile in 0.001..0.5_f64,
        ) {
            let k = tolerance_factor(n, confidence, fractile);
            let root_n = f64::from(n).sqrt();
            let shift = SQRT_2 * erfc_inv(2.0 * fractile) * root_n;
            let (above, _) = NonCentralT::new(f64::from(n - 1), shift).exceeding(k * root_n);
            // A sum of some hundred rounded terms.
            prop_assert!((above / (1.0 - confidence) - 1.0).abs() < 1e-11);
        }

        #[test]
        fn more_tests_ask_for_less_and_more_confidence_for_more(
            n in 3..999_u32, confidence in 0.51..0.99_f64, fractile in 0.001..0.4_f64,
        ) {
            let k = tolerance_factor(n, confidence, fractile);
            prop_assert!(tolerance_factor(n, confidence + 0.005, fractile) > k);
            prop_assert!(tolerance_factor(n, confidence, fractile + 0.01) < k);
            // At low confidence and small samples this turns round.
            prop_assert!(confidence < 0.6 || tolerance_factor(n + 1, confidence, fractile) < k);
        }
    }
}
