//! A net of distances between points, adjusted by least squares.
//!
//! Four pegs and the centre mark are the points, the lengths read between
//! them the sights. [`Net`] adjusts any such net; `shape` lays the one of
//! the pegs on its design. `square`, `plumb` and `pegs` share both.

mod descend;
mod place;
mod shape;
mod solve;

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::fields::{self, Fields, LENGTH_M, Refusal};

pub(super) use descend::{Ground, descend};
pub use place::Crossing;
pub(super) use place::{Pose, angle_deg, crossing};
pub(super) use shape::{Shape, Survey, shape, survey};
pub use solve::{Adjusted, Net, NoShape, Sight};

/// The most repeats of one reading.
pub const MOST_REPEATS: usize = 1000;

/// A place on the plan in metres: along the length, across the width, from
/// the centre mark.
pub type Point = [f64; 2];

/// A corner of the plan; they go round counter-clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Corner {
    /// At the near left.
    A,
    /// At the near right.
    B,
    /// At the far right.
    C,
    /// At the far left.
    D,
}

impl Corner {
    /// All four, in their order.
    pub const ALL: [Self; 4] = [Self::A, Self::B, Self::C, Self::D];

    /// The corner's letter.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A => "a",
            Self::B => "b",
            Self::C => "c",
            Self::D => "d",
        }
    }

    /// The corner after this one, round the plan.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::C,
            Self::C => Self::D,
            Self::D => Self::A,
        }
    }

    /// The corner before this one.
    #[must_use]
    pub const fn before(self) -> Self {
        self.next().next().next()
    }
}

/// One thing for each corner.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Corners<T> {
    /// At corner A.
    pub a: T,
    /// At corner B.
    pub b: T,
    /// At corner C.
    pub c: T,
    /// At corner D.
    pub d: T,
}

impl<T> Corners<T> {
    /// One thing made for each corner.
    pub fn of(mut make: impl FnMut(Corner) -> T) -> Self {
        Self { a: make(Corner::A), b: make(Corner::B), c: make(Corner::C), d: make(Corner::D) }
    }

    /// Something else made of the thing at each corner.
    pub fn map<U>(&self, mut make: impl FnMut(&T) -> U) -> Corners<U> {
        Corners::of(|corner| make(self.at(corner)))
    }

    /// The thing at a corner.
    pub const fn at(&self, corner: Corner) -> &T {
        match corner {
            Corner::A => &self.a,
            Corner::B => &self.b,
            Corner::C => &self.c,
            Corner::D => &self.d,
        }
    }
}

impl Corners<Point> {
    /// The corners of a rectangle, its middle on the centre mark.
    #[must_use]
    pub fn design(length_m: f64, width_m: f64) -> Self {
        let (x, y) = (length_m / 2.0, width_m / 2.0);
        Self { a: [-x, -y], b: [x, -y], c: [x, y], d: [-x, y] }
    }

    /// The distance between two corners in metres.
    #[must_use]
    pub fn distance_m(&self, one: Corner, other: Corner) -> f64 {
        let ([x, y], [u, v]) = (*self.at(one), *self.at(other));
        (u - x).hypot(v - y)
    }
}

/// Two points with a length between them, in the order they are always
/// listed: sides, diagonals, centre mark to corners.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
#[expect(missing_docs, reason = "the names are the two points; O is the centre mark")]
pub enum Pair {
    Ab,
    Bc,
    Cd,
    Da,
    Ac,
    Bd,
    Oa,
    Ob,
    Oc,
    Od,
}

impl Pair {
    /// All ten, in their order.
    pub const ALL: [Self; 10] =
        [Self::Ab, Self::Bc, Self::Cd, Self::Da, Self::Ac, Self::Bd, Self::Oa, Self::Ob, Self::Oc, Self::Od];

    /// The six between two corners.
    pub const CORNERS: [Self; 6] = [Self::Ab, Self::Bc, Self::Cd, Self::Da, Self::Ac, Self::Bd];

    /// The two letters.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ab => "ab",
            Self::Bc => "bc",
            Self::Cd => "cd",
            Self::Da => "da",
            Self::Ac => "ac",
            Self::Bd => "bd",
            Self::Oa => "oa",
            Self::Ob => "ob",
            Self::Oc => "oc",
            Self::Od => "od",
        }
    }

    /// The two ends; none for the first where that is the centre mark.
    #[must_use]
    pub const fn ends(self) -> (Option<Corner>, Corner) {
        match self {
            Self::Ab => (Some(Corner::A), Corner::B),
            Self::Bc => (Some(Corner::B), Corner::C),
            Self::Cd => (Some(Corner::C), Corner::D),
            Self::Da => (Some(Corner::D), Corner::A),
            Self::Ac => (Some(Corner::A), Corner::C),
            Self::Bd => (Some(Corner::B), Corner::D),
            Self::Oa => (None, Corner::A),
            Self::Ob => (None, Corner::B),
            Self::Oc => (None, Corner::C),
            Self::Od => (None, Corner::D),
        }
    }

    /// Whether one of its ends is the centre mark.
    #[must_use]
    pub const fn from_mark(self) -> bool {
        self.ends().0.is_none()
    }
}

/// What was read once or several times, or what belongs to each such reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Reading<T = f64> {
    /// Read once.
    One(T),
    /// Read several times.
    Many(Vec<T>),
}

impl<T> Reading<T> {
    /// Every single reading.
    #[must_use]
    pub fn all(&self) -> &[T] {
        match self {
            Self::One(one) => std::slice::from_ref(one),
            Self::Many(many) => many,
        }
    }

    /// The same shape with something else for each single reading.
    pub fn map<U>(&self, make: impl FnMut(&T) -> U) -> Reading<U> {
        let mut make = make;
        match self {
            Self::One(one) => Reading::One(make(one)),
            Self::Many(many) => Reading::Many(many.iter().map(make).collect()),
        }
    }
}

/// Lengths in metres by the points they were read between.
pub type Readings = BTreeMap<Pair, Reading>;

/// Reads an object of any of the ten lengths, each a number or a list of 1 to
/// [`MOST_REPEATS`].
///
/// # Errors
/// Refuses an unknown pair, what is no length, and a list outside its length.
pub fn readings(place: &str, value: Value) -> Result<Readings, Refusal> {
    let mut given = Fields::open(place, value)?;
    let mut all = Readings::new();
    for pair in Pair::ALL {
        let at = given.at(pair.name());
        if let Some(value) = given.maybe(pair.name()) {
            all.insert(pair, reading(&at, value)?);
        }
    }
    given.end()?;
    Ok(all)
}

fn reading(place: &str, value: Value) -> Result<Reading, Refusal> {
    let length = |place: &str, value: &Value| fields::number(place, value, LENGTH_M.0, LENGTH_M.1);
    if !value.is_array() {
        return length(place, &value).map(Reading::One);
    }
    let list = fields::list(place, value, 1, MOST_REPEATS)?;
    list.iter().map(|(place, value)| length(place, value)).collect::<Result<_, _>>().map(Reading::Many)
}
