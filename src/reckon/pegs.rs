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
