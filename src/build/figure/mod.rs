//! The drawings, as shapes in metres: no cells, no pixels.
//!
//! A [`Sketch`] says what is where and what it means. Whoever shows it, on a
//! screen or on a sheet, decides on scale, pens and colours.

mod elevation;
mod lean;
mod plan;
mod section;
mod standing;

pub use elevation::{elevation, extent};
pub use lean::lean;
pub use plan::plan;
pub use section::section;
pub use standing::{Built, standing};

/// A place in a drawing, m: to the right, and up. The centre mark, or the
/// middle of the house on the ground, is at nought.
pub type At = [f64; 2];

/// A drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sketch {
    /// What is drawn, the later over the earlier.
    pub shapes: Vec<Shape>,
    /// What it is, and how many times its errors are enlarged. What may not be
    /// parted at the end of a line is held together by no-break spaces.
    pub caption: String,
    /// A place that ought to fall in the middle of a cell or of a pixel, and
    /// with it those mirrored along and across: an error then shows by its own
    /// size and not by where it happens to fall.
    pub anchor: Option<At>,
    /// What its lines and signs stand for.
    pub legend: Vec<(Key, &'static str)>,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line {
        /// From here.
        from: At,
        /// To here.
        to: At,
        /// What it is.
        means: Means,
    },
    /// A way to go: sideways first, then up or down, with a head at its end.
    Way {
        /// From here.
        from: At,
        /// To here.
        to: At,
        /// What it is.
        means: Means,
    },
    /// A filled area.
    Area {
        /// Its corners, in turn.
        corners: Vec<At>,
        /// What it is.
        means: Means,
    },
    /// A small sign.
    Sign {
        /// Its middle.
        at: At,
        /// Which.
        sign: Sign,
        /// What it is.
        means: Means,
    },
    /// Words.
    Label {
        /// Where.
        at: At,
        /// On which side of that place.
        side: Side,
        /// The words.
        text: String,
        /// What they are.
        means: Means,
    },
}

/// What a shape stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Means {
    /// The ground.
    Ground,
    /// What is meant to be.
    Design,
    /// What was read.
    Read,
    /// A reading that may be a slip.
    Suspected,
    /// What is to be moved.
    Move,
    /// What is not as it should be.
    Out,
    /// A post.
    Post,
    /// A tie beam.
    Beam,
    /// A rafter.
    Rafter,
    /// Thatch.
    Thatch,
    /// The cap.
    Cap,
    /// A remark.
    Note,
}

/// The small signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// The centre mark.
    Mark,
    /// A hole, or the place of a post that does not stand yet.
    Hole,
    /// A post that stands.
    Post,
    /// A pole seen from its end.
    Pole,
    /// Somebody, standing here.
    Person,
}

/// What a legend explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// A line.
    Line(Means),
    /// A way.
    Way(Means),
    /// A sign.
    Sign(Sign),
    /// A letter.
    Letter(char),
}

/// The side of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Over it.
    On,
    /// To its left.
    Left,
    /// To its right.
    Right,
}

impl Sketch {
    fn line(&mut self, from: At, to: At, means: Means) {
        self.shapes.push(Shape::Line { from, to, means });
    }

    fn way(&mut self, from: At, to: At, means: Means) {
        self.shapes.push(Shape::Way { from, to, means });
    }

    fn sign(&mut self, at: At, sign: Sign, means: Means) {
        self.shapes.push(Shape::Sign { at, sign, means });
    }

    fn label(&mut self, at: At, side: Side, text: impl Into<String>, means: Means) {
        self.shapes.push(Shape::Label { at, side, text: text.into(), means });
    }

    /// How far it reaches, words aside: left and bottom, then right and top.
    #[must_use]
    pub fn reach(&self) -> (At, At) {
        let mut least = [0.0_f64; 2];
        let mut most = [0.0_f64; 2];
        let mut take = |[x, y]: At| {
            least = [least[0].min(x), least[1].min(y)];
            most = [most[0].max(x), most[1].max(y)];
        };
        for shape in &self.shapes {
            match shape {
                Shape::Line { from, to, .. } | Shape::Way { from, to, .. } => {
                    take(*from);
                    take(*to);
                }
                Shape::Area { corners, .. } => corners.iter().copied().for_each(&mut take),
                Shape::Sign { at, .. } => take(*at),
                Shape::Label { .. } => {}
            }
        }
        (least, most)
    }
}

/// How many times an error can be enlarged so that the largest of them stays
/// within some room, both in metres.
fn enlarged(largest_m: f64, room_m: f64) -> f64 {
    const TIMES: [f64; 6] = [50.0, 20.0, 10.0, 5.0, 2.0, 1.0];
    TIMES.into_iter().find(|times| times * largest_m <= room_m).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_error_stays_within_its_room() {
        assert_eq!(enlarged(0.0, 1.0), 50.0);
        assert_eq!(enlarged(0.041, 1.05), 20.0);
        assert_eq!(enlarged(0.082, 1.05), 10.0);
        assert_eq!(enlarged(30.0, 1.05), 1.0);
    }
}
