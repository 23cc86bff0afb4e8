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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shape_that_was_shifted_and_turned_is_laid_back() {
        let design = Corners::design(8.0, 6.0);
        let (sin, cos) = 2.0_f64.sin_cos();
        let moved = design.map(|[x, y]| [cos * x - sin * y + 3.0, sin * x + cos * y - 40.0]);
        let pairs = Corner::ALL.map(|c| (*moved.at(c), *design.at(c)));
        for mark in [None, Some([3.0, -40.0])] {
            let pose = Pose::nearest(&pairs, mark);
            for corner in Corner::ALL {
                let [x, y] = less(pose.place(*moved.at(corner)), *design.at(corner));
                assert!(x.hypot(y) < 1e-13);
            }
        }
    }

    #[test]
    fn a_mirrored_shape_is_turned_but_never_mirrored() {
        let mirrored = Corners { a: [-4.0, 3.0], b: [4.0, 3.0], c: [4.0, -3.0], d: [-4.0, -3.0] };
        let design = Corners::design(8.0, 6.0);
        let pose = Pose::nearest(&Corner::ALL.map(|c| (*mirrored.at(c), *design.at(c))), None);
        let laid = mirrored.map(|p| pose.place(*p));
        // Inside angles of a shape that goes round the other way.
        assert!((angle_deg(&laid, Corner::A) - 270.0).abs() < 1e-12);
    }

    #[test]
    fn an_inward_corner_has_more_than_half_a_turn() {
        let arrow = Corners { a: [0.0, 0.0], b: [4.0, 0.0], c: [1.0, 1.0], d: [0.0, 4.0] };
        let angles = Corner::ALL.map(|c| angle_deg(&arrow, c));
        assert!(angles[2] > 180.0 && (angles.iter().sum::<f64>() - 360.0).abs() < 1e-12, "{angles:?}");
    }

    #[test]
    fn parallel_diagonals_do_not_cross() {
        let crossed = Corners { a: [0.0, 0.0], b: [0.0, 1.0], c: [4.0, 0.0], d: [4.0, 1.0] };
        assert_eq!(crossing(&crossed), None);
        let kite = Corners { a: [0.0, 0.0], b: [1.0, -2.0], c: [5.0, 0.0], d: [1.0, 2.0] };
        let parts = crossing(&kite).unwrap();
        assert_eq!(parts, Crossing { crossing: [1.0, 0.0], ac_parts_m: [1.0, 4.0], bd_parts_m: [2.0, 2.0] });
    }
}
