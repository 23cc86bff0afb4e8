//! A free net of distances: rank, adjustment, redundancy.
//!
//! Source: the linearised observation equation of a distance and the cofactors
//! of the residuals as in any text on adjustment computations, for example
//! Ghilani & Wolf. Free of control: shift and turn are nobody's unknowns.

use nalgebra::{DMatrix, DVector};
use thiserror::Error;

use super::{Ground, Point, descend};

/// Singular values above this part of the greatest count for the rank.
const RANK: f64 = 1e-9;
/// A shape is flat where its last singular value is under this part.
const FLAT: f64 = 1e-6;

/// A length read between two points, once or more often.
#[derive(Debug, Clone, PartialEq)]
pub struct Sight {
    /// The two points, by their place in the net; never the same.
    pub ends: (usize, usize),
    /// What was read, in metres; at least once.
    pub read_m: Vec<f64>,
}

impl Sight {
    fn weight(&self) -> f64 {
        self.read_m.len() as f64
    }

    /// The mean, by differences from the first so that none of their last
    /// places is lost.
    fn mean_m(&self) -> f64 {
        let first = self.read_m.first().copied().unwrap_or(0.0);
        first + self.read_m.iter().map(|l| l - first).sum::<f64>() / self.weight()
    }
}

/// Why a net has no shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NoShape {
    /// No least sum of squares was found.
    #[error("these readings contradict each other and no shape fits them; read them again")]
    Contradiction,
    /// The corners lie in one line, or so nearly that the readings cannot
    /// tell.
    #[error("these readings make a flat shape, its corners in one line; read them again")]
    Flat,
}

/// Points as they should lie and the lengths read between them.
#[derive(Debug, Clone)]
pub struct Net {
    points: DVector<f64>,
    sights: Vec<Sight>,
}

/// A net after the adjustment.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjusted {
    /// Where the points lie, up to a shift and a turn.
    pub points: Vec<Point>,
    /// The adjusted length of each sight in metres.
    pub distances_m: Vec<f64>,
    /// The redundancy number of one single reading of each sight, 0 to 1.
    pub redundancy_numbers: Vec<f64>,
}

impl Net {
    /// A net of two points or more; each sight's ends are two of them.
    #[must_use]
    pub fn new(points: &[Point], sights: Vec<Sight>) -> Self {
        Self { points: DVector::from_iterator(2 * points.len(), points.iter().flatten().copied()), sights }
    }

    /// The rank at which only shift and turn are free.
    #[must_use]
    pub fn full_rank(&self) -> usize {
        self.points.len().saturating_sub(3)
    }

    /// The rank of the readings where the points are as they should be.
    #[must_use]
    pub fn rank(&self) -> usize {
        let values = self.singular_values(&self.points);
        let greatest = values.first().copied().unwrap_or(0.0);
        values.iter().filter(|v| **v > RANK * greatest).count()
    }

    /// The single readings beyond those that the shape needs.
    #[must_use]
    pub fn redundancy(&self) -> usize {
        let single: usize = self.sights.iter().map(|s| s.read_m.len()).sum();
        single.saturating_sub(self.full_rank())
    }

    /// The shape with the least sum of squares of the residuals, all single
    /// readings having the same standard deviation.
    ///
    /// # Errors
    /// [`NoShape`] where the readings contradict each other too much or where
    /// the shape is flat.
    pub fn adjust(&self) -> Result<Adjusted, NoShape> {
        let means: Vec<f64> = self.sights.iter().map(Sight::mean_m).collect();
        let size = means.iter().chain(&self.points).fold(0.0, |most: f64, one| most.max(one.abs()));
        let found = descend(self.points.clone(), size, |at| self.ground(at, &means, size))
            .ok_or(NoShape::Contradiction)?;
        let values = self.singular_values(&found);
        let greatest = values.first().copied().unwrap_or(0.0);
        let last = self.full_rank().checked_sub(1).and_then(|i| values.get(i)).copied().unwrap_or(0.0);
        if last < FLAT * greatest || greatest == 0.0 {
            return Err(NoShape::Flat);
        }
        Ok(Adjusted {
            points: found.as_slice().chunks_exact(2).map(|p| [p[0], p[1]]).collect(),
            distances_m: self.sights.iter().map(|s| sight_line(&found, s).2).collect(),
            redundancy_numbers: self.redundancy_numbers(&found),
        })
    }

    /// 1 − a N⁺ aᵀ for one single reading of each sight. With Q R the weighted
    /// Jacobian completed by the free moves, a N⁺ aᵀ is the squared length of
    /// the sight's row of Q over its weight: no matrix grows with the repeats.
    ///
    /// Not by singular vectors: those of nalgebra 0.35 do not always belong to
    /// their values (the values are right).
    fn redundancy_numbers(&self, at: &DVector<f64>) -> Vec<f64> {
        let jacobian = self.jacobian(at);
        let free = free_moves(at);
        let rows = self.sights.len();
        let completed = DMatrix::from_fn(rows + free.len(), at.len(), |i, j| match self.sights.get(i) {
            Some(sight) => sight.weight().sqrt() * jacobian[(i, j)],
            None => free[i - rows][j],
        });
        let q = completed.qr().q();
        let levers = q.row_iter().map(|row| row.norm_squared()).zip(&self.sights);
        levers.map(|(lever, sight)| (1.0 - lever / sight.weight()).max(0.0)).collect()
    }

    fn singular_values(&self, at: &DVector<f64>) -> Vec<f64> {
        if self.sights.is_empty() {
            return Vec::new();
        }
        self.jacobian(at).singular_values().iter().copied().collect()
    }

    /// One row for each sight, whatever its repeats.
    fn jacobian(&self, at: &DVector<f64>) -> DMatrix<f64> {
        let mut rows = DMatrix::zeros(self.sights.len(), at.len());
        for (i, sight) in self.sights.iter().enumerate() {
            let (x, y, _) = sight_line(at, sight);
            let (from, to) = (2 * sight.ends.0, 2 * sight.ends.1);
            rows[(i, from)] = -x;
            rows[(i, from + 1)] = -y;
            rows[(i, to)] = x;
            rows[(i, to + 1)] = y;
        }
        rows
    }

    /// Half the weighted sum of squares of distance less mean reading. Shift
    /// and turn are held by a stiffness of their own, which moves nothing
    /// else: no distance feels them.
    fn ground(&self, at: &DVector<f64>, means_m: &[f64], size: f64) -> Ground {
        let jacobian = self.jacobian(at);
        let (mut height, mut blur) = (0.0, 0.0);
        let mut slope = DVector::zeros(at.len());
        let mut firm = DMatrix::zeros(at.len(), at.len());
        let mut curl = DMatrix::zeros(at.len(), at.len());
        let rounding = 16.0 * f64::EPSILON * size;
        for ((i, sight), mean_m) in self.sights.iter().enumerate().zip(means_m) {
            let (x, y, distance) = sight_line(at, sight);
            let (weight, off) = (sight.weight(), distance - mean_m);
            let row = jacobian.row(i).transpose();
            height += 0.5 * weight * off * off;
            blur += weight * rounding * (off.abs() + rounding);
            slope.axpy(weight * off, &row, 1.0);
            firm.ger(weight, &row, &row, 1.0);
            if distance > 0.0 {
                // A distance bends across its own line, by 1 over its length.
                let mut across = DVector::zeros(at.len());
                let (from, to) = (2 * sight.ends.0, 2 * sight.ends.1);
                across[from] = y;
                across[from + 1] = -x;
                across[to] = -y;
                across[to + 1] = x;
                curl.ger(weight * off / distance, &across, &across, 1.0);
            }
        }
        let stiffness = firm.diagonal().mean();
        for free in free_moves(at) {
            firm.ger(stiffness, &free, &free, 1.0);
        }
        let bend = &firm + curl;
        Ground { height, blur, slope, bend, firm }
    }
}

/// The direction of a sight as a unit vector, and its length; no direction
/// where its ends fall together.
fn sight_line(at: &DVector<f64>, sight: &Sight) -> (f64, f64, f64) {
    let (from, to) = (2 * sight.ends.0, 2 * sight.ends.1);
    let (x, y) = (at[to] - at[from], at[to + 1] - at[from + 1]);
    let distance = x.hypot(y);
    if distance == 0.0 { (0.0, 0.0, 0.0) } else { (x / distance, y / distance, distance) }
}

/// Unit vectors of the moves that no distance feels: two shifts and a turn.
fn free_moves(at: &DVector<f64>) -> [DVector<f64>; 3] {
    let middle: [f64; 2] =
        [0, 1].map(|axis| at.iter().skip(axis).step_by(2).sum::<f64>() * 2.0 / at.len() as f64);
    let unit = |v: DVector<f64>| v.try_normalize(0.0).unwrap_or_else(|| DVector::zeros(at.len()));
    let along = |axis: usize| DVector::from_fn(at.len(), |i, _| if i % 2 == axis { 1.0 } else { 0.0 });
    let turn =
        DVector::from_fn(
            at.len(),
            |i, _| {
                if i % 2 == 0 { middle[1] - at[i + 1] } else { at[i - 1] - middle[0] }
            },
        );
    [unit(along(0)), unit(along(1)), unit(turn)]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const PAIRS: [(usize, usize); 10] =
        [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3), (4, 0), (4, 1), (4, 2), (4, 3)];

    /// Four corners and a mark near their design, each up to 0.5 m off.
    fn points() -> impl Strategy<Value = Vec<Point>> {
        let design: [Point; 5] = [[-4.0, -3.0], [4.0, -3.0], [4.0, 3.0], [-4.0, 3.0], [0.0, 0.0]];
        prop::collection::vec([-0.5..0.5, -0.5..0.5], 5)
            .prop_map(move |off| design.iter().zip(off).map(|(p, o)| [p[0] + o[0], p[1] + o[1]]).collect())
    }

    fn distance(points: &[Point], (from, to): (usize, usize)) -> f64 {
        (points[to][0] - points[from][0]).hypot(points[to][1] - points[from][1])
    }

    fn net(points: &[Point], repeats: &[usize]) -> Net {
        let sights = PAIRS.iter().zip(repeats);
        let sights = sights.map(|(ends, n)| Sight { ends: *ends, read_m: vec![distance(points, *ends); *n] });
        Net::new(points, sights.collect())
    }

    #[test]
    fn a_thousand_repeats_add_no_row() {
        let net = net(&[[-4.0, -3.0], [4.0, -3.0], [4.0, 3.0], [-4.0, 3.0], [0.0, 0.0]], &[1000; 10]);
        let at = &net.points;
        assert_eq!((net.jacobian(at).nrows(), net.redundancy_numbers(at).len()), (10, 10));
        assert_eq!(net.redundancy(), 9993);
    }

    proptest! {
        /// A slip in one reading shows in its own residual by its redundancy
        /// number: what that number means, and not how it is worked out.
        #[test]
        fn a_slip_shows_by_its_redundancy_number(
            points in points(), repeats in prop::collection::vec(1..4_usize, 10), which in 0..10_usize,
        ) {
            let slip = 1e-5;
            let mut net = net(&points, &repeats);
            net.sights[which].read_m[0] += slip;
            let adjusted = net.adjust().unwrap();
            let residual = adjusted.distances_m[which] - net.sights[which].read_m[0];
            // Bends of the second order: slip² over a length of metres.
            prop_assert!((residual / slip + adjusted.redundancy_numbers[which]).abs() < 1e-4);
        }

        #[test]
        fn redundancy_numbers_add_up_to_the_redundancy(
            points in points(), repeats in prop::collection::vec(1..9_usize, 10),
        ) {
            let net = net(&points, &repeats);
            let numbers = net.adjust().unwrap().redundancy_numbers;
            let sum: f64 = numbers.iter().zip(&repeats).map(|(number, n)| number * *n as f64).sum();
            prop_assert!((sum - net.redundancy() as f64).abs() < 1e-11);
        }

        /// From the design to a true shape: nothing is left over.
        #[test]
        fn lengths_of_a_true_shape_leave_no_residual(points in points()) {
            let start = [[-4.0, -3.0], [4.0, -3.0], [4.0, 3.0], [-4.0, 3.0], [0.0, 0.0]];
            let net = Net { points: Net::new(&start, Vec::new()).points, ..net(&points, &[1; 10]) };
            let adjusted = net.adjust().unwrap();
            for (ends, found) in PAIRS.iter().zip(adjusted.distances_m) {
                // Rounding of numbers under 16.
                prop_assert!((found - distance(&points, *ends)).abs() < 1e-14 * 16.0);
            }
        }
    }

    #[test]
    fn the_least_place_has_no_slope() {
        // Slips of a metre and more: far from the straight-line theory.
        let mut net = net(&[[-4.0, -3.0], [4.0, -3.0], [4.0, 3.0], [-4.0, 3.0], [0.0, 0.0]], &[1; 10]);
        for (sight, slip) in net.sights.iter_mut().zip([1.3, -0.9, 0.4, 0.9, -2.1, 1.2, -0.7, 0.8, 0.9, 0.4])
        {
            sight.read_m[0] += slip;
        }
        let adjusted = net.adjust().unwrap();
        let at = Net::new(&adjusted.points, Vec::new()).points;
        let off = adjusted.distances_m.iter().zip(&net.sights).map(|(d, s)| d - s.read_m[0]);
        let off = DVector::from_iterator(10, off);
        assert!((net.jacobian(&at).transpose() * off).amax() < 1e-13);
    }

    #[test]
    fn a_triangle_that_cannot_close_is_flat() {
        let read = |from, to, read| Sight { ends: (from, to), read_m: vec![read] };
        let net = Net::new(
            &[[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]],
            vec![read(0, 1, 4.0), read(1, 2, 3.0), read(0, 2, 9.0)],
        );
        assert_eq!((net.rank(), net.full_rank()), (3, 3));
        assert_eq!(net.adjust(), Err(NoShape::Flat));
    }

    #[test]
    fn points_that_should_fall_together_have_no_shape() {
        let read = |from, to, read| Sight { ends: (from, to), read_m: vec![read] };
        let net = Net::new(
            &[[0.0, 0.0], [0.0, 0.0], [4.0, 3.0]],
            vec![read(0, 1, 1e-6), read(1, 2, 5.0), read(0, 2, 5.0)],
        );
        assert!(net.rank() < net.full_rank());
        assert!(net.adjust().is_err());
    }

    #[test]
    fn a_net_without_readings_has_no_rank() {
        assert_eq!(Net::new(&[[0.0, 0.0], [1.0, 0.0]], Vec::new()).rank(), 0);
    }
}
