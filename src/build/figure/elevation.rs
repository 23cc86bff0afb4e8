//! The house from its b-c end, as far as it is built: the a-b side at the
//! left, the c-d side at the right.

use super::{At, Built, Means, Shape, Sign, Sketch};
use crate::build::worked::Worked;

/// Past a post, a tie beam reaches this far, m (common practice).
pub(super) const BEAM_PAST_M: f64 = 0.3;
/// A peg above the ground, m (common practice).
const PEG_M: f64 = 0.2;
/// Down a slope from the ridge, the cap reaches this far, m.
const CAP_M: f64 = 0.7;
/// Over the ridge pole lie the top rows, the upper ridge pole and the cap, m.
const CAP_OVER_M: f64 = 0.3;

/// How wide and how high a house is when it is built, m.
#[must_use]
pub fn extent(worked: &Worked) -> (f64, f64) {
    let brief = &worked.brief;
    let past = brief.frame.eave_m.max(BEAM_PAST_M);
    (brief.width_m + 2.0 * past, brief.posts.height_m + worked.roof.rise_m + CAP_OVER_M)
}

/// Draws a house as far as it is built, on ground that reaches `ground_m` to
/// both sides.
#[must_use]
pub fn elevation(worked: &Worked, built: &Built, ground_m: f64) -> Sketch {
    let mut sketch = Sketch::default();
    let half = worked.brief.width_m / 2.0;
    let head = worked.brief.posts.height_m;
    let roof = Roof::of(worked);
    if built.raised {
        roof.thatch(&mut sketch, built.rows);
        roof.rafters(&mut sketch, built.rows);
        sketch.line([0.0, head], [0.0, roof.ridge], Means::Post);
    }
    sketch.line([-ground_m, 0.0], [ground_m, 0.0], Means::Ground);
    for (stands, side) in built.posts.into_iter().zip(SIDES) {
        let height = if stands { head } else { PEG_M };
        if stands || built.pegged {
            sketch.line([side * half, 0.0], [side * half, height], Means::Post);
        }
    }
    if built.beams {
        sketch.line([-half - BEAM_PAST_M, head], [half + BEAM_PAST_M, head], Means::Beam);
    }
    if built.caps > 0.0 {
        roof.cap(&mut sketch, built.caps);
    } else if built.raised || built.ridge_laid {
        let height = if built.raised { roof.ridge } else { head };
        sketch.sign([0.0, height], Sign::Pole, Means::Beam);
    }
    if built.handed_over {
        sketch.sign([0.0, 0.0], Sign::Person, Means::Note);
    } else if built.marked && built.posts == [false; 2] {
        sketch.sign([0.0, 0.0], Sign::Mark, Means::Note);
    }
    sketch
}

/// Left, where the a-b side is, and right.
const SIDES: [f64; 2] = [-1.0, 1.0];

/// The roof from its end, m.
struct Roof {
    eave_out: f64,
    eave: f64,
    half: f64,
    head: f64,
    ridge: f64,
}

impl Roof {
    fn of(worked: &Worked) -> Self {
        let half = worked.brief.width_m / 2.0;
        let head = worked.brief.posts.height_m;
        Self {
            eave_out: half + worked.brief.frame.eave_m,
            eave: head - worked.roof.eave_drop_m,
            half,
            head,
            ridge: head + worked.roof.rise_m,
        }
    }

    /// The place at a share of the way up a slope.
    fn up(&self, side: f64, share: f64) -> At {
        [side * self.eave_out * (1.0 - share), self.eave + share * (self.ridge - self.eave)]
    }

    /// The thatch as far as it is laid, from the eave up.
    fn thatch(&self, sketch: &mut Sketch, rows: [f64; 2]) {
        for (share, side) in rows.into_iter().zip(SIDES).filter(|(share, _)| *share > 0.0) {
            let [x, y] = self.up(side, share);
            let low = y.min(self.head);
            let corners =
                vec![self.up(side, 0.0), [x, y], [0.0, y], [0.0, low], [side * self.half.max(x.abs()), low]];
            sketch.shapes.push(Shape::Area { corners, means: Means::Thatch });
        }
    }

    /// The rafters, bare above the thatch.
    fn rafters(&self, sketch: &mut Sketch, rows: [f64; 2]) {
        for (share, side) in rows.into_iter().zip(SIDES) {
            if share < 1.0 {
                sketch.line(self.up(side, share), self.up(side, 1.0), Means::Rafter);
            }
            if share > 0.0 {
                sketch.line(self.up(side, 0.0), self.up(side, share), Means::Thatch);
            }
        }
    }

    /// The cap; while it is not all laid it reaches down less far.
    fn cap(&self, sketch: &mut Sketch, caps: f64) {
        let slope = self.eave_out.hypot(self.ridge - self.eave);
        let share = 1.0 - (caps * CAP_M / slope).min(0.5);
        let [x, y] = self.up(1.0, share);
        let top = [0.0, self.ridge + CAP_OVER_M];
        sketch.shapes.push(Shape::Area { corners: vec![[-x, y], top, [x, y]], means: Means::Cap });
        sketch.line([-x, y], top, Means::Cap);
        sketch.line([x, y], top, Means::Cap);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::figure::standing;
    use crate::build::trial::Trial;

    #[test]
    fn the_ridge_stands_over_the_middle_at_its_height() {
        let house = Trial::new("Tern house").house();
        let built = Built { raised: true, ..standing(&house) };
        let sketch = elevation(&house.worked, &built, 4.0);
        let (least, most) = sketch.reach();
        // Source: a roof of 45° rises by half its width; 2.1 m and half of three spans.
        assert!((most[1] - (2.1 + 1.5 * 1.742)).abs() < 1e-9);
        assert_eq!((least[0], most[0]), (-4.0, 4.0));
    }

    #[test]
    fn only_ground_before_anything_is_read() {
        let house = Trial::new("Tern house").house();
        assert_eq!(elevation(&house.worked, &standing(&house), 4.0).shapes.len(), 1);
    }
}
