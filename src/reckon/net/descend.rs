//! Going down to the least of a sum of squares by damped Newton steps.

use nalgebra::{DMatrix, DVector};

/// The most steps, those taken back among them.
const STEPS: usize = 200;
/// The least damping, as a part of the mean of the firm bend's diagonal.
const LEAST_DAMPING: f64 = 1e-3;

/// The ground at one place: how high it is and how it lies.
#[derive(Debug, Clone)]
pub struct Ground {
    /// Half the weighted sum of squares.
    pub height: f64,
    /// What rounding may hide in the height.
    pub blur: f64,
    /// Its first derivatives.
    pub slope: DVector<f64>,
    /// Its second derivatives.
    pub bend: DMatrix<f64>,
    /// That part of the bend which is never negative: the normal matrix.
    pub firm: DMatrix<f64>,
}

/// Goes down from `start` until the step is at rounding level; `size` is the
/// size of the thing in the unit of the unknowns.
///
/// Takes Newton's step where the ground bends up on all sides, else the step
/// of the normal matrix, with more damping whenever the ground rose. None
/// where no least place is found in 200 such steps.
pub fn descend(
    start: DVector<f64>,
    size: f64,
    ground: impl Fn(&DVector<f64>) -> Ground,
) -> Option<DVector<f64>> {
    let mut at = start;
    let mut here = ground(&at);
    let mut damping = 0.0;
    let mut last = f64::INFINITY;
    for _ in 0..STEPS {
        if let Some((step, newton)) = step(&here, damping) {
            let next_at = &at + &step;
            let next = ground(&next_at);
            if next.height <= here.height + here.blur {
                let far = step.norm() / size;
                // The last steps shrink fast until only rounding moves them.
                let still = far <= 1e-15 || (far <= 1e-7 && 2.0 * far > last);
                if newton && damping == 0.0 && still {
                    return Some(next_at);
                }
                last = if damping == 0.0 { far } else { f64::INFINITY };
                (at, here) = (next_at, next);
                damping = if damping <= LEAST_DAMPING { 0.0 } else { damping / 10.0 };
                continue;
            }
        }
        damping = (damping * 10.0).max(LEAST_DAMPING);
    }
    None
}

/// The step, and whether it is Newton's.
fn step(here: &Ground, damping: f64) -> Option<(DVector<f64>, bool)> {
    let add = damping * here.firm.diagonal().mean();
    let damped = |bend: &DMatrix<f64>| {
        let all = DMatrix::identity(bend.nrows(), bend.ncols()) * add + bend;
        all.cholesky().map(|halves| -halves.solve(&here.slope))
    };
    // Damping must not pass off as Newton's a step where the ground bends down.
    let newton = here.bend.clone().cholesky().and_then(|_| damped(&here.bend));
    match newton {
        Some(step) => Some((step, true)),
        None => damped(&here.firm).map(|step| (step, false)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(height: impl Fn(f64) -> [f64; 4]) -> impl Fn(&DVector<f64>) -> Ground {
        move |at| {
            let [height, slope, bend, firm] = height(at.sum());
            let one = |number| DMatrix::from_element(1, 1, number);
            Ground {
                height,
                blur: 0.0,
                slope: DVector::from_element(1, slope),
                bend: one(bend),
                firm: one(firm),
            }
        }
    }

    #[test]
    fn a_valley_is_found_from_where_the_ground_bends_down() {
        // 1 − cos x, from near the top of the hill at π.
        let found = descend(
            DVector::from_element(1, 3.0),
            1.0,
            line(|x| [1.0 - x.cos(), x.sin(), x.cos(), x.sin() * x.sin() + 0.1]),
        );
        let turns = found.unwrap().sum() / std::f64::consts::TAU;
        assert!((turns - turns.round()).abs() < 1e-9, "{turns}");
    }

    #[test]
    fn ground_that_falls_for_ever_has_no_least_place() {
        let slide = line(|x| [-x, -1.0, 0.0, 1.0]);
        assert!(descend(DVector::zeros(1), 1.0, slide).is_none());
    }
}
