//! What was decided for a house: the fields as they were said
//! ([`BriefText`]), and what they mean ([`Brief`]).
//!
//! A brief is never edited in place. A changed one is a new version, and what
//! it makes out of date is told by the house it belongs to.

mod holding;
mod read;

use std::collections::BTreeMap;
use std::fmt;
use std::ops::RangeInclusive;

use serde::{Deserialize, Serialize};

pub use holding::{Holding, Sides, Soil};
pub use read::understand;

use super::accept::{LENGTH_M, THICK_M};
use super::pieces::Size;
use crate::measure::{self, Body, Speech, Unit};

/// The fields of a brief as they were said, by field id.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct BriefText(pub BTreeMap<String, String>);

impl BriefText {
    /// What was said for a field; nothing where it was left to the default.
    #[must_use]
    pub fn said(&self, id: &str) -> Option<&str> {
        self.0.get(id).map(String::as_str)
    }

    /// Says a field. Width and ratio put each other out: the later word holds.
    pub fn say(&mut self, id: &str, text: &str) {
        let text = text.trim();
        if text.is_empty() {
            self.0.remove(id);
            return;
        }
        match id {
            "width" => self.0.remove("ratio"),
            "ratio" => self.0.remove("width"),
            _ => None,
        };
        self.0.insert(id.to_owned(), text.to_owned());
    }

    /// Takes over a person's measure as the book knows it, where this brief
    /// names the person but says no span of its own.
    pub fn borrow_measure(&mut self, known: &Body) {
        if self.0.contains_key("span") {
            return;
        }
        let parts = known.parts();
        let parts = [
            ("span", Some(known.span())),
            ("half_span", parts.half_span),
            ("forearm", parts.forearm),
            ("hand", parts.hand),
            ("breadth", parts.breadth),
            ("finger", parts.finger),
        ];
        for (id, part) in parts {
            if let Some(part) = part {
                self.0.entry(id.to_owned()).or_insert_with(|| format!("{} m", part.get()));
            }
        }
    }
}

/// Why a field of a brief cannot be taken, or is doubtful.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {why}")]
pub struct Remark {
    /// The field's id.
    pub field: &'static str,
    /// What is wrong and what would do.
    pub why: String,
}

/// A kind of thatch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thatch {
    /// Its name.
    pub id: &'static str,
    /// Rows this far apart unless the brief says otherwise, m.
    pub course_m: f64,
    /// How long it lasts, years.
    pub life_years: u32,
}

/// The kinds of thatch. Courses and lives: common practice, within what the
/// published advice for palm thatch allows (rows at most 100 mm apart, life
/// rarely over 7 years: The Basics of Biomass Roofing, 1997).
pub const THATCHES: &[Thatch] = &[
    Thatch { id: "nipa", course_m: 0.1, life_years: 5 },
    Thatch { id: "coconut", course_m: 0.08, life_years: 3 },
];

/// How the ridge goes up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raising {
    /// With the rafters already tied to it.
    WithRafters,
    /// As a bare pole.
    Bare,
}

/// How close is close enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tolerance {
    /// Ropes: 1/200 of the target, not under 10 mm (common practice).
    Rope,
    /// A tape: 1.5·√L mm, not under 4 mm (ISO 4463-1, secondary points; from
    /// memory).
    Tape,
}

impl Tolerance {
    /// How far a reading may be from a target, both in metres.
    #[must_use]
    pub fn of(self, target_m: f64) -> f64 {
        match self {
            Self::Rope => (target_m / 200.0).max(0.010),
            Self::Tape => (0.0015 * target_m.max(0.0).sqrt()).max(0.004),
        }
    }

    /// The standard deviation of one reading, m.
    #[must_use]
    pub const fn sigma_m(self) -> f64 {
        match self {
            Self::Rope => 0.01,
            Self::Tape => 0.003,
        }
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Rope => "rope",
            Self::Tape => "tape",
        })
    }
}

/// The posts of a brief, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Posts {
    /// Ground to head.
    pub height_m: f64,
    /// In the ground.
    pub depth_m: f64,
    /// Posts along a side stand no further apart than this.
    pub gap_max_m: f64,
    /// Diameter.
    pub d_m: f64,
}

/// The roof frame of a brief.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Diameter of beams and plates, m.
    pub beam_d_m: f64,
    /// Diameter of the ridge pole, m.
    pub ridge_d_m: f64,
    /// Diameter of the rafters, m.
    pub rafter_d_m: f64,
    /// Pitch, degrees.
    pub pitch_deg: f64,
    /// Level overhang past the plates, m.
    pub eave_m: f64,
    /// Overhang past the end frames, m.
    pub gable_m: f64,
    /// Rafters stand no further apart than this, m.
    pub rafter_gap_max_m: f64,
    /// How the ridge goes up.
    pub raising: Raising,
    /// Wrap turns in a lashing.
    pub wraps: u32,
    /// Frapping turns in a lashing.
    pub fraps: u32,
    /// Density of the poles as lifted, kg/m³, where somebody weighed one.
    pub green_kg_m3: Option<f64>,
}

/// The thatch of a brief.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roofing {
    /// The kind.
    pub kind: Thatch,
    /// Rows this far apart, m.
    pub course_m: f64,
    /// Length of a panel, m.
    pub panel_m: f64,
    /// Side lap, m.
    pub lap_m: f64,
    /// Lap of the cap panels, m.
    pub cap_lap_m: f64,
    /// Pins in each cap panel.
    pub pins_per_cap: u32,
}

/// A brief, understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Brief {
    /// For whom.
    pub owner: String,
    /// Where.
    pub place: String,
    /// Whose measure.
    pub body: Body,
    /// Between the corner marks along the house, m.
    pub length_m: f64,
    /// Between the corner marks across the house, m.
    pub width_m: f64,
    /// The posts.
    pub posts: Posts,
    /// The roof frame.
    pub frame: Frame,
    /// The thatch.
    pub roofing: Roofing,
    /// The poles that are usually had, by length and thin end.
    pub poles: Vec<Size>,
    /// The wood, the wind and the ground.
    pub holding: Holding,
    /// How close is close enough.
    pub tolerance: Tolerance,
    /// The unit of a bare number when readings are called out.
    pub bare: Unit,
}

impl Brief {
    /// What should be thought over before building so.
    #[must_use]
    pub fn warnings(&self) -> Vec<Remark> {
        let mut all = Vec::new();
        let pitch = self.frame.pitch_deg;
        if pitch < 34.0 {
            let why = format!(
                "{pitch}° is too flat for palm thatch: it will leak and rot; 45° is the advice, 34° the least"
            );
            all.push(Remark { field: "pitch", why });
        } else if pitch < 45.0 {
            let why =
                format!("{pitch}° is flatter than the 45° advised for palm thatch; it will not last as long");
            all.push(Remark { field: "pitch", why });
        }
        let course = self.roofing.course_m;
        if course > 0.1 + 1e-9 {
            let why =
                format!("rows {:.0} mm apart; 100 mm is the most advised, 60 mm better", course * 1000.0);
            all.push(Remark { field: "course", why });
        }
        if self.posts.depth_m < self.posts.height_m / 3.0 {
            let why = format!(
                "{:.2} m in the ground for {:.2} m above it is shallow; a third of the height at the least (common practice), more where the wind is strong",
                self.posts.depth_m, self.posts.height_m
            );
            all.push(Remark { field: "post_depth", why });
        }
        if self.frame.eave_m > 1.0 || self.frame.gable_m > 1.0 {
            let why = "an overhang over 1 m gives the wind a hold; tie it down well".to_owned();
            all.push(Remark { field: "eave", why });
        }
        all
    }
}

/// How a length of the brief is read: a bare number is in centimetres.
#[must_use]
pub fn speech(body: Option<&Body>) -> Speech<'_> {
    Speech { bodies: &[], own: body, bare: Unit::Centimetre }
}

/// Reads a length of a brief.
///
/// # Errors
/// One line that says what is wrong, where, and what would do.
pub fn length(said: &str, body: Option<&Body>) -> Result<f64, String> {
    measure::understand(said, &speech(body)).map(|said| said.metres).map_err(|e| e.to_string())
}

/// Reads the size of a pole, such as `6 m x 12 cm`: its length, and how thick
/// it is at its thin end.
///
/// # Errors
/// One line that says what is wrong, where, and what would do.
pub fn pole(said: &str, body: Option<&Body>) -> Result<Size, String> {
    let Some((long, thick)) = said.split_once(['x', '×']) else {
        return Err(format!("\"{}\" is no size of a pole; 6 m x 12 cm would do", said.trim()));
    };
    let within = |said: &str, range: RangeInclusive<f64>, what: &str| {
        let metres = length(said.trim(), body)?;
        if range.contains(&metres) {
            return Ok(metres);
        }
        let (least, most) = (range.start(), range.end());
        Err(format!("{metres} m is out of range; {what} of {least} to {most} m would do"))
    };
    Ok(Size { length_m: within(long, LENGTH_M, "a length")?, d_m: within(thick, THICK_M, "a thin end")? })
}
