//! Four pegs from the distances read between them.
//!
//! Least squares over all single readings, each with the same standard
//! deviation. Source of the tests on single readings: W. Baarda, A Testing
//! Procedure for Use in Geodetic Networks, 1968.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;
use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::fields::{Fields, LEAST_DIVISOR, MOST, Refusal};
use super::net::{
    Corner, Corners, Crossing, Pair, Point, Reading, Readings, Shape, Survey, angle_deg, crossing, readings,
    shape, survey,
};

/// The standard deviation of one reading by rope, in metres.
pub const SIGMA_M: f64 = 0.01;
/// A reading is doubted from here on: two-sided 0.1 % of the normal
/// distribution.
const CRITICAL: f64 = 3.29;
/// The slip, in its own standard deviations, found with 80 % power at that
/// level.
const FINDABLE: f64 = 4.13;
/// Readings under this redundancy number cannot be tested.
const LEAST_REDUNDANCY: f64 = 0.001;
/// Two readings whose w² differ by less cannot be told apart: 1 % of
/// chi-squared with one degree of freedom.
const ALIKE: f64 = 6.63;

/// The design and what was read.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// The design's length in metres.
    pub length_m: f64,
    /// The design's width in metres.
    pub width_m: f64,
    /// The lengths read, in metres.
    pub readings: Readings,
    /// The standard deviation of one reading in metres.
    pub sigma_m: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses what the ranges do not allow, with its place.
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut given = Fields::open("", value)?;
        let input = Self {
            length_m: given.length("length_m")?,
            width_m: given.length("width_m")?,
            readings: readings("/readings", given.need("readings")?)?,
            sigma_m: given.number_or("sigma_m", SIGMA_M, LEAST_DIVISOR, MOST)?,
        };
        given.end()?;
        Ok(input)
    }
}

/// What the readings say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Out {
    /// They do not fix the shape yet.
    Lacking(Lacking),
    /// They fix it.
    Found(Box<Found>),
}

/// Readings that do not fix the shape.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lacking {
    /// False.
    pub determined: bool,
    /// The rank that is missing: as many well-chosen readings at least.
    pub lacking: usize,
    /// Readings left out: they do not fix the centre mark.
    pub unused: Vec<Pair>,
}

/// How far and which way a peg has to move.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Move {
    /// Along the length, in metres.
    pub dx_m: f64,
    /// Across the width, in metres.
    pub dy_m: f64,
    /// In a straight line, in metres.
    pub distance_m: f64,
}

/// The shape the readings fix, and what can be said of each of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the units are in the names; what is not plain is said")]
pub struct Found {
    /// True.
    pub determined: bool,
    /// Readings left out: they do not fix the centre mark.
    pub unused: Vec<Pair>,
    /// The pegs as read, laid on the design; in metres.
    pub corners: Corners<Point>,
    /// The pegs as they should be, in metres.
    pub design: Corners<Point>,
    /// From where a peg is to where it should be.
    pub moves: Corners<Move>,
    /// Adjusted lengths in metres.
    pub distances: BTreeMap<Pair, f64>,
    /// Adjusted less read.
    pub residuals_m: BTreeMap<Pair, Reading>,
    /// How much of a slip in a reading shows in its own residual, 0 to 1.
    pub redundancy_numbers: BTreeMap<Pair, Reading>,
    /// The residual over its standard deviation; none where nothing checks
    /// the reading.
    pub w: BTreeMap<Pair, Reading<Option<f64>>>,
    /// The least slip that would show; none where nothing checks the reading.
    pub least_findable_m: BTreeMap<Pair, Reading<Option<f64>>>,
    /// Single readings beyond those that the shape needs.
    pub redundancy: usize,
    /// The residuals against what `sigma_m` leads one to expect; none without
    /// redundancy.
    pub sigma_0: Option<f64>,
    /// The chance of residuals as great as these or greater.
    pub chance: Option<f64>,
    /// Readings that may hold a slip; several cannot be told apart.
    pub suspects: Vec<Pair>,
    pub angles_deg: Corners<f64>,
    /// A to C less B to D.
    pub diagonal_difference_m: f64,
    /// None where the diagonals are parallel.
    pub bisect: Option<Crossing>,
}

impl Found {
    /// Whether the centre mark is in the net, and so on the origin.
    #[must_use]
    pub fn has_mark(&self) -> bool {
        self.distances.keys().any(|pair| pair.from_mark())
    }
}

/// Works out where the pegs are and which reading is in doubt.
///
/// # Errors
/// Refuses, at `/readings`, readings that contradict each other so that no
/// shape is found, and those that make a flat one.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let design = Corners::design(input.length_m, input.width_m);
    let survey = survey(&design, &input.readings);
    if survey.lacking > 0 {
        let Survey { lacking, unused, .. } = survey;
        return Ok(Out::Lacking(Lacking { determined: false, lacking, unused }));
    }
    let shape = shape(&survey).map_err(|e| Refusal::at("/readings", e.to_string()))?;
    Ok(Out::Found(Box::new(found(input, design, survey, &shape))))
}

fn found(input: &In, design: Corners<Point>, survey: Survey, shape: &Shape) -> Found {
    let corners = shape.corners;
    let tests = Tests::of(input, &survey, shape);
    let freedom = shape.redundancy as f64;
    let checked = shape.redundancy > 0;
    Found {
        determined: true,
        unused: survey.unused,
        corners,
        design,
        moves: Corners::of(|corner| {
            let ([x, y], [u, v]) = (*corners.at(corner), *design.at(corner));
            Move { dx_m: u - x, dy_m: v - y, distance_m: (u - x).hypot(v - y) }
        }),
        distances: survey.used.iter().copied().zip(shape.adjusted.distances_m.iter().copied()).collect(),
        suspects: tests.suspects(),
        residuals_m: tests.residuals_m,
        redundancy_numbers: tests.redundancy_numbers,
        w: tests.w,
        least_findable_m: tests.least_findable_m,
        redundancy: shape.redundancy,
        sigma_0: checked.then(|| (tests.squares / freedom).sqrt()),
        chance: ChiSquared::new(freedom).ok().filter(|_| checked).map(|chi| chi.sf(tests.squares)),
        angles_deg: Corners::of(|corner| angle_deg(&corners, corner)),
        diagonal_difference_m: corners.distance_m(Corner::A, Corner::C)
            - corners.distance_m(Corner::B, Corner::D),
        bisect: crossing(&corners),
    }
}

/// What can be said of each single reading.
#[derive(Default)]
struct Tests {
    residuals_m: BTreeMap<Pair, Reading>,
    redundancy_numbers: BTreeMap<Pair, Reading>,
    w: BTreeMap<Pair, Reading<Option<f64>>>,
    least_findable_m: BTreeMap<Pair, Reading<Option<f64>>>,
    /// The sum of squares of residuals over `sigma_m`.
    squares: f64,
}

impl Tests {
    fn of(input: &In, survey: &Survey, shape: &Shape) -> Self {
        let mut tests = Self::default();
        let sigma_m = input.sigma_m;
        let adjusted = shape.adjusted.distances_m.iter().zip(&shape.adjusted.redundancy_numbers);
        for (pair, (distance_m, number)) in survey.used.iter().zip(adjusted) {
            let Some(read) = input.readings.get(pair) else { continue };
            let residuals_m = read.map(|read_m| distance_m - read_m);
            let root = (*number >= LEAST_REDUNDANCY).then(|| number.sqrt());
            tests.squares += residuals_m.all().iter().map(|v| (v / sigma_m).powi(2)).sum::<f64>();
            tests.redundancy_numbers.insert(*pair, read.map(|_| *number));
            tests.w.insert(*pair, residuals_m.map(|v| root.map(|root| v.abs() / (sigma_m * root))));
            tests.least_findable_m.insert(*pair, read.map(|_| root.map(|root| FINDABLE * sigma_m / root)));
            tests.residuals_m.insert(*pair, residuals_m);
        }
        tests
    }

    fn suspects(&self) -> Vec<Pair> {
        let greatest = |all: &Reading<Option<f64>>| all.all().iter().flatten().copied().fold(0.0, f64::max);
        let most = self.w.values().map(greatest).fold(0.0, f64::max);
        if most <= CRITICAL {
            return Vec::new();
        }
        let like = |w: f64| w * w > most * most - ALIKE;
        self.w.iter().filter(|(_, all)| like(greatest(all))).map(|(pair, _)| *pair).collect()
    }
}

#[cfg(test)]
mod tests;
