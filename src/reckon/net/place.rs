//! Laying a shape on its design, and the plain geometry of four corners.

use serde::Serialize;

use super::{Corner, Corners, Point};

/// A shift and a turn: no mirror, no scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    from: Point,
    to: Point,
    /// Cosine and sine of the turn.
    turn: Point,
}

impl Pose {
    /// The shift and turn that bring the points of `pairs` (as they lie, as
    /// they should) nearest in the sum of squares; with a centre mark, that
    /// goes on the origin and only the turn is free.
    #[must_use]
    pub fn nearest(pairs: &[(Point, Point)], mark: Option<Point>) -> Self {
        let (from, to) = match mark {
            Some(mark) => (mark, [0.0, 0.0]),
            None => (middle(pairs.iter().map(|p| p.0)), middle(pairs.iter().map(|p| p.1))),
        };
        let (mut dot, mut cross) = (0.0, 0.0);
        for (lies, should) in pairs {
            let (lies, should) = (less(*lies, from), less(*should, to));
            dot += inner(lies, should);
            cross += outer(lies, should);
        }
        let (sin, cos) = cross.atan2(dot).sin_cos();
        Self { from, to, turn: [cos, sin] }
    }

    /// Where a point comes to lie.
    #[must_use]
    pub fn place(&self, point: Point) -> Point {
        let ([x, y], [cos, sin]) = (less(point, self.from), self.turn);
        [self.to[0] + cos * x - sin * y, self.to[1] + sin * x + cos * y]
    }
}

fn middle(points: impl ExactSizeIterator<Item = Point>) -> Point {
    let count = points.len().max(1) as f64;
    let [x, y] = points.fold([0.0, 0.0], |sum, p| [sum[0] + p[0], sum[1] + p[1]]);
    [x / count, y / count]
}

fn less([x, y]: Point, [u, v]: Point) -> Point {
    [x - u, y - v]
}

fn inner([x, y]: Point, [u, v]: Point) -> f64 {
    x * u + y * v
}

fn outer([x, y]: Point, [u, v]: Point) -> f64 {
    x * v - y * u
}

/// The inside angle at a corner in degrees, 0 to 360: from the side to the
/// next corner to the side to the one before, counter-clockwise.
#[must_use]
pub fn angle_deg(corners: &Corners<Point>, corner: Corner) -> f64 {
    let here = *corners.at(corner);
    let next = less(*corners.at(corner.next()), here);
    let before = less(*corners.at(corner.before()), here);
    let angle = outer(next, before).atan2(inner(next, before)).to_degrees();
    if angle < 0.0 { angle + 360.0 } else { angle }
}

/// Where the diagonals cross, and how they part each other.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Crossing {
    /// The place in metres.
    pub crossing: Point,
    /// From A to the crossing and on to C.
    pub ac_parts_m: [f64; 2],
    /// From B to the crossing and on to D.
    pub bd_parts_m: [f64; 2],
}

/// The crossing of the lines through A, C and through B, D; none where they
/// are parallel (the sine between them is under 1e-9).
#[must_use]
pub fn crossing(corners: &Corners<Point>) -> Option<Crossing> {
    let Corners { a, b, c, d } = *corners;
    let (ac, bd) = (less(c, a), less(d, b));
    let across = outer(ac, bd);
    if across.abs() <= 1e-9 * ac[0].hypot(ac[1]) * bd[0].hypot(bd[1]) {
        return None;
    }
    let part = outer(less(b, a), bd) / across;
    let crossing = [a[0] + part * ac[0], a[1] + part * ac[1]];
    let to = |corner: Point| (corner[0] - crossing[0]).hypot(corner[1] - crossing[1]);
    Some(Crossing { crossing, ac_parts_m: [to(a), to(c)], bd_parts_m: [to(b), to(d)] })
}
