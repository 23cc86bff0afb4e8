//! Which pegs to move, and where to: as few as can be.

use serde::Serialize;

use super::net::{Corner, Corners, Point, Pose};
use super::square::Found;

/// The sets of pegs to try keeping, in order: the fewest moves first.
const KEEPS: &[&[Corner]] = {
    use Corner::{A, B, C, D};
    &[
        &[A, B, C, D],
        &[A, B, C],
        &[A, B, D],
        &[A, C, D],
        &[B, C, D],
        &[A, B],
        &[A, C],
        &[A, D],
        &[B, C],
        &[B, D],
        &[C, D],
    ]
};

/// Which pegs stay and which are moved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pegs {
    /// The pegs that stay.
    pub kept: Vec<Corner>,
    /// The pegs that are moved, and how far.
    pub peg_moves: Vec<PegMove>,
}

/// How far and which way one peg is to be moved.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PegMove {
    /// The peg.
    pub corner: Corner,
    /// Along the length, from A toward B, in metres.
    pub along_m: f64,
    /// Across the width, from A toward D, in metres.
    pub across_m: f64,
}

/// The fewest pegs to move: the first set, of four, three, then two, whose
/// pegs are all within `tolerance_m` of the design when the shape is laid by
/// them alone, stays (a centre mark in the net lies on the origin all the
/// while); the others go where the design puts them. Where there is no such
/// set, A and B stay.
#[must_use]
pub fn pegs(found: &Found, tolerance_m: f64) -> Pegs {
    let kept = KEEPS.iter().copied().find(|kept| {
        let pose = laid_by(kept, found);
        kept.iter().all(|corner| {
            let [x, y] = off(found, &pose, *corner);
            x.hypot(y) <= tolerance_m
        })
    });
    let kept = kept.unwrap_or(&[Corner::A, Corner::B]);
    let pose = laid_by(kept, found);
    let moved = Corner::ALL.into_iter().filter(|corner| !kept.contains(corner));
    let peg_moves = moved.map(|corner| {
        let [along_m, across_m] = off(found, &pose, corner);
        PegMove { corner, along_m, across_m }
    });
    Pegs { kept: kept.to_vec(), peg_moves: peg_moves.collect() }
}

/// Where the pegs stand when the shape is laid on the design by some of them,
/// in metres.
#[must_use]
pub fn laid(found: &Found, kept: &[Corner]) -> Corners<Point> {
    let pose = laid_by(kept, found);
    found.corners.map(|corner| pose.place(*corner))
}

/// The shape laid on the design by some of its pegs.
fn laid_by(kept: &[Corner], found: &Found) -> Pose {
    let pairs: Vec<_> = kept.iter().map(|c| (*found.corners.at(*c), *found.design.at(*c))).collect();
    // With the mark in the net the corners are given from it.
    Pose::nearest(&pairs, found.has_mark().then_some([0.0, 0.0]))
}

/// From where a peg is to where the design puts it.
fn off(found: &Found, pose: &Pose, corner: Corner) -> Point {
    let ([x, y], [u, v]) = (pose.place(*found.corners.at(corner)), *found.design.at(corner));
    [u - x, v - y]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::net::{Corners, Pair, Reading};
    use super::super::square::{In, Out, SIGMA_M, run};
    use super::*;

    /// What is found where the pegs of a plan of 8 m by 6 m stand so.
    fn read(stand: &Corners<Point>, mark: bool) -> Found {
        let from = |pair: Pair| match pair.ends() {
            (Some(from), to) => stand.distance_m(from, to),
            (None, to) => stand.at(to)[0].hypot(stand.at(to)[1]),
        };
        let pairs = Pair::ALL.into_iter().filter(|pair| mark || !pair.from_mark());
        let readings = pairs.map(|pair| (pair, Reading::One(from(pair)))).collect();
        match run(&In { length_m: 8.0, width_m: 6.0, readings, sigma_m: SIGMA_M }).unwrap() {
            Out::Found(found) => *found,
            Out::Lacking(_) => panic!("all was read"),
        }
    }

    fn off_by(off: [Point; 4]) -> Corners<Point> {
        let design = Corners::design(8.0, 6.0);
        Corners::of(|c| [design.at(c)[0] + off[c as usize][0], design.at(c)[1] + off[c as usize][1]])
    }

    const TRUE: Point = [0.0, 0.0];

    #[test]
    fn a_true_plan_keeps_its_pegs() {
        let pegs = pegs(&read(&off_by([TRUE; 4]), true), 0.01);
        assert_eq!(pegs, Pegs { kept: Corner::ALL.to_vec(), peg_moves: Vec::new() });
    }

    #[test]
    fn one_peg_that_is_off_is_moved_alone_and_by_what_it_is_off() {
        for mark in [false, true] {
            let pegs = pegs(&read(&off_by([TRUE, TRUE, [0.12, -0.05], TRUE]), mark), 0.01);
            assert_eq!(pegs.kept, [Corner::A, Corner::B, Corner::D]);
            let [moved] = pegs.peg_moves[..] else { panic!("{pegs:?}") };
            assert_eq!(moved.corner, Corner::C);
            assert!((moved.along_m + 0.12).abs() < 1e-12 && (moved.across_m - 0.05).abs() < 1e-12);
        }
    }

    #[test]
    fn a_side_that_is_off_keeps_the_other_side() {
        let pegs = pegs(&read(&off_by([TRUE, [0.2, 0.0], [0.2, 0.0], TRUE]), false), 0.01);
        assert_eq!(pegs.kept, [Corner::A, Corner::D]);
        let moved: Vec<_> = pegs.peg_moves.iter().map(|m| m.corner).collect();
        assert_eq!(moved, [Corner::B, Corner::C]);
    }

    #[test]
    fn where_no_two_pegs_agree_the_first_side_stays() {
        let far = [[0.5, 0.2], [-0.9, 0.4], [0.1, -0.8], [-0.4, 1.3]];
        let pegs = pegs(&read(&off_by(far), true), 0.01);
        assert_eq!(pegs.kept, [Corner::A, Corner::B]);
        assert_eq!(pegs.peg_moves.len(), 2);
    }

    #[test]
    fn a_plan_off_its_mark_moves_though_its_sides_are_true() {
        let shifted = read(&off_by([[0.1, 0.0]; 4]), true);
        assert!(pegs(&shifted, 0.03).kept.len() < 4);
        let unseen = read(&off_by([[0.1, 0.0]; 4]), false);
        assert_eq!(pegs(&unseen, 0.03).kept, Corner::ALL);
    }

    proptest! {
        /// Pegs that are moved as told stand true with those that stayed.
        #[test]
        fn after_the_moves_the_plan_is_near_the_design(
            off in prop::array::uniform4([-0.06..0.06, -0.06..0.06]), mark: bool,
        ) {
            let tolerance_m = 0.025;
            let found = read(&off_by(off), mark);
            let told = pegs(&found, tolerance_m);
            let pose = laid_by(&told.kept, &found);
            let is_off = |c: &Corner| { let [x, y] = super::off(&found, &pose, *c); x.hypot(y) };
            prop_assume!(told.kept.iter().all(|c| is_off(c) <= tolerance_m));
            let moved = Corners::of(|c| {
                let [x, y] = pose.place(*found.corners.at(c));
                let by = told.peg_moves.iter().find(|m| m.corner == c);
                by.map_or([x, y], |by| [x + by.along_m, y + by.across_m])
            });
            let again = read(&moved, mark);
            for corner in Corner::ALL {
                // Laid anew by all four, none is off by more than the root of
                // the sum of squares: two tolerances at most.
                prop_assert!(again.moves.at(corner).distance_m <= 2.0 * tolerance_m + 1e-9);
            }
        }
    }
}
