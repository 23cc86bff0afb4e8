//! What a stage is. The nine of them are data: see [`STAGES`].

use super::findings::Findings;
use super::readings::Readings;
use super::stages;
use super::storm::AfterStorm;
use super::worked::Worked;
use crate::build::entry::Item;

/// A stage of the work.
#[derive(Debug)]
pub struct Stage {
    /// Its id on the command line and in the book.
    pub id: &'static str,
    /// 1 to 9.
    pub number: u8,
    /// What people call it.
    pub says: &'static str,
    /// The name cut for the ladder: at most nine characters.
    pub short: &'static str,
    /// What is done, in order.
    pub steps: &'static [Step],
    /// What can hurt someone; shown before the first point.
    pub cautions: &'static [&'static str],
    /// The lengths and counts that the steps take, in words.
    pub kit: fn(&Worked) -> Vec<String>,
    /// What is read, in the order one walks it.
    pub points: fn(&Worked, &Readings) -> Vec<Point>,
    /// What it takes.
    pub needs: fn(&Worked) -> Vec<Need>,
    /// What follows from the readings taken together.
    pub findings: fn(&Worked, &Readings) -> Findings,
    /// What a storm can have done to it.
    pub after_storm: AfterStorm,
    /// What must hold before it is signed.
    pub rule: Rule,
    /// The same in words.
    pub rule_says: &'static str,
    /// What is drawn beside it.
    pub figure: Figure,
}

/// One thing to do.
#[derive(Debug)]
pub struct Step {
    /// What, in the imperative.
    pub does: &'static str,
    /// Why.
    pub why: &'static str,
}

/// What must hold before a stage is signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Every point that counts is read.
    AllRead,
    /// Every point that counts is true.
    AllTrue,
    /// Nothing stands against it in the stage's findings.
    NothingFound,
}

/// The drawings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// From above: the design, the pegs as read, the moves.
    Plan,
    /// From above, with how the posts lean.
    Lean,
    /// The end of the house, with the legs.
    Section,
    /// A slope filling with rows.
    Slope,
    /// The house from its end, as far as it is built.
    Elevation,
}

/// What kind of value a point takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointKind {
    /// A length that cannot be negative.
    Length,
    /// A length with a sign.
    Signed,
    /// First less second; a length with a sign.
    Pair,
    /// Degrees.
    Angle,
    /// A whole number.
    Count,
    /// Yes or no.
    YesNo,
}

impl PointKind {
    /// The word for it in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length | Self::Signed | Self::Pair => "length",
            Self::Angle => "angle",
            Self::Count => "count",
            Self::YesNo => "yes-no",
        }
    }
}

/// What a point should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// Within a tolerance of a target.
    Near {
        /// The target.
        target: f64,
        /// How far from it is still true.
        tolerance: f64,
    },
    /// Not less than a target.
    NotLess {
        /// The target.
        target: f64,
    },
    /// Anything; it is only told, with a word where it is above a limit.
    Told {
        /// The limit.
        warn_above: Option<f64>,
    },
    /// The answer yes.
    Yes,
}

impl Goal {
    /// The target, where there is one.
    #[must_use]
    pub const fn target(&self) -> Option<f64> {
        match *self {
            Self::Near { target, .. } | Self::NotLess { target } => Some(target),
            Self::Told { .. } | Self::Yes => None,
        }
    }

    /// How far from the target is still true; 0 where it is a bound.
    #[must_use]
    pub const fn tolerance(&self) -> Option<f64> {
        match *self {
            Self::Near { tolerance, .. } => Some(tolerance),
            Self::NotLess { .. } => Some(0.0),
            Self::Told { .. } | Self::Yes => None,
        }
    }
}

/// A thing to be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Its id within the stage.
    pub id: String,
    /// What people call it.
    pub says: String,
    /// The same for a narrow column: at most 14 characters.
    pub short: String,
    /// What kind of value it takes.
    pub kind: PointKind,
    /// What it should be.
    pub goal: Goal,
    /// Whether the stage's rule looks at it.
    pub must: bool,
}

impl Point {
    fn new(id: impl Into<String>, says: impl Into<String>, kind: PointKind, goal: Goal) -> Self {
        let says = says.into();
        Self { id: id.into(), short: says.clone(), says, kind, goal, must: true }
    }

    /// A length near a target.
    #[must_use]
    pub fn near(id: impl Into<String>, says: impl Into<String>, target: f64, tolerance: f64) -> Self {
        Self::new(id, says, PointKind::Length, Goal::Near { target, tolerance })
    }

    /// A signed length near a target.
    #[must_use]
    pub fn signed(id: impl Into<String>, says: impl Into<String>, target: f64, tolerance: f64) -> Self {
        Self::new(id, says, PointKind::Signed, Goal::Near { target, tolerance })
    }

    /// Two lengths that should be equal.
    #[must_use]
    pub fn equal(id: impl Into<String>, says: impl Into<String>, tolerance: f64) -> Self {
        Self::new(id, says, PointKind::Pair, Goal::Near { target: 0.0, tolerance })
    }

    /// A length not less than a target.
    #[must_use]
    pub fn not_less(id: impl Into<String>, says: impl Into<String>, target: f64) -> Self {
        Self::new(id, says, PointKind::Length, Goal::NotLess { target })
    }

    /// A count not less than a target.
    #[must_use]
    pub fn count(id: impl Into<String>, says: impl Into<String>, target: u32) -> Self {
        Self::new(id, says, PointKind::Count, Goal::NotLess { target: f64::from(target) })
    }

    /// A question that should be answered yes.
    #[must_use]
    pub fn yes(id: impl Into<String>, says: impl Into<String>) -> Self {
        Self::new(id, says, PointKind::YesNo, Goal::Yes)
    }

    /// Something that is only told.
    #[must_use]
    pub fn told(
        id: impl Into<String>,
        says: impl Into<String>,
        kind: PointKind,
        warn_above: Option<f64>,
    ) -> Self {
        Self::new(id, says, kind, Goal::Told { warn_above })
    }

    /// The same point with a name for narrow columns.
    #[must_use]
    pub fn short(mut self, short: impl Into<String>) -> Self {
        self.short = short.into();
        self
    }

    /// The same point, which the stage's rule does not look at.
    #[must_use]
    pub fn beside(mut self) -> Self {
        self.must = false;
        self
    }
}

/// What a stage takes of an item, and how that was worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// What.
    pub item: Item,
    /// How many; metres of cord, m³ of stone.
    pub count: f64,
    /// How long each is, m; only of poles.
    pub length_m: Option<f64>,
    /// The thinnest that will do, m; only of poles.
    pub d_m: Option<f64>,
    /// The sum, in words, a line a step.
    pub how: Vec<String>,
}

impl Need {
    /// So many pieces.
    #[must_use]
    pub fn pieces(item: Item, count: u32, how: impl Into<String>) -> Self {
        Self::amount(item, f64::from(count), how)
    }

    /// So much, in the item's unit.
    #[must_use]
    pub fn amount(item: Item, count: f64, how: impl Into<String>) -> Self {
        Self { item, count, length_m: None, d_m: None, how: vec![how.into()] }
    }

    /// The same with one more line of the sum.
    #[must_use]
    pub fn line(mut self, line: impl Into<String>) -> Self {
        self.how.push(line.into());
        self
    }

    /// The same of poles, each so long and at least so thick.
    #[must_use]
    pub fn poles(self, length_m: f64, d_m: f64) -> Self {
        let line = format!("each {length_m:.2} m long, {:.0} mm thick at the thin end", d_m * 1000.0);
        Self { length_m: Some(length_m), d_m: Some(d_m), ..self.line(line) }
    }
}

/// The nine stages, in the order of the work.
pub const STAGES: &[&Stage] = &[
    &stages::centre_mark::STAGE,
    &stages::set_out::STAGE,
    &stages::posts::STAGE,
    &stages::beams::STAGE,
    &stages::roof_frame::STAGE,
    &stages::ridge::STAGE,
    &stages::thatch::STAGE,
    &stages::cap::STAGE,
    &stages::handing_over::STAGE,
];

/// Looks a stage up by its id.
#[must_use]
pub fn by_id(id: &str) -> Option<&'static Stage> {
    STAGES.iter().copied().find(|s| s.id == id)
}
