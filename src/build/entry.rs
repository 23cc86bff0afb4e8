//! Everything that can be written in the book.
//!
//! An entry is only ever added. What a house is now follows from its entries,
//! in the order in which they happened ([`Entry::order`]).

use std::fmt;
use std::str::FromStr;

use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use uuid::Uuid;

use super::brief::BriefText;
use crate::measure::{self, Body, BodyError, Metres};

/// A moment with the offset of the place where it was told.
pub type Moment = DateTime<FixedOffset>;

/// One line of the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// A UUID of version 7.
    pub id: Uuid,
    /// The house it is about; none where it is about all of them.
    pub house: Option<Uuid>,
    /// When it happened.
    pub happened: Moment,
    /// When it was written down.
    pub written: Moment,
    /// Who says so.
    pub by: String,
    /// What is said.
    pub what: What,
}

impl Entry {
    /// Entries are told in this order: by when they happened, then by id.
    #[must_use]
    pub fn order(&self) -> (Moment, Uuid) {
        (self.happened, self.id)
    }
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A house was started; its id is the entry's own.
    House {
        /// What people call it; no two houses of a book share a name.
        name: String,
    },
    /// A version of a house's brief, whole.
    Brief {
        /// The fields as they were said.
        said: BriefText,
    },
    /// A person's measure was taken.
    Measure {
        /// Whose it is.
        name: String,
        /// The lengths of its parts.
        parts: Parts,
    },
    /// A point was read.
    Reading(Reading),
    /// A peg was moved: what was read to it no longer holds.
    Moved {
        /// The peg, as `set-out/c`.
        point: PointName,
    },
    /// An item moved.
    Tally(Tally),
    /// A stage was signed.
    Sign(SignOff),
    /// Work stopped.
    Hold {
        /// Why: storm, mourning, no panels, no crew, feast, or other words.
        cause: String,
        /// Whether it was planned.
        planned: bool,
    },
    /// Work went on.
    Resume,
    /// An entry was struck through; it stays readable.
    Strike {
        /// The entry.
        entry: Uuid,
        /// Why.
        why: String,
    },
}

impl What {
    /// The kind of entry, one word, as the day book and the store call it.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self {
            Self::House { .. } => Kind::House,
            Self::Brief { .. } => Kind::Brief,
            Self::Measure { .. } => Kind::Measure,
            Self::Reading(_) => Kind::Reading,
            Self::Moved { .. } => Kind::Moved,
            Self::Tally(_) => Kind::Tally,
            Self::Sign(_) => Kind::Sign,
            Self::Hold { .. } => Kind::Hold,
            Self::Resume => Kind::Resume,
            Self::Strike { .. } => Kind::Strike,
        }
    }
}

/// Gives an enum of plain words its names, both ways.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident => $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant,)+ }

        impl $name {
            /// All of them, in the order they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];

            /// The word for it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }

        impl FromStr for $name {
            type Err = UnknownWord;
            fn from_str(text: &str) -> Result<Self, UnknownWord> {
                Self::ALL.iter().copied().find(|v| v.word() == text).ok_or_else(|| UnknownWord {
                    said: text.to_owned(),
                    known: Self::ALL.iter().map(|v| v.word()).collect::<Vec<_>>().join(", "),
                })
            }
        }

        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.word())
            }
        }
    };
}

/// A word that is none of those that would do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{said}\" is not one of: {known}")]
pub struct UnknownWord {
    /// What was said.
    pub said: String,
    /// The words that would do.
    pub known: String,
}

words! {
    /// The kinds of entry.
    Kind {
        /// See [`What::House`].
        House => "house",
        /// See [`What::Brief`].
        Brief => "brief",
        /// See [`What::Measure`].
        Measure => "measure",
        /// See [`What::Reading`].
        Reading => "reading",
        /// See [`What::Moved`].
        Moved => "moved",
        /// See [`What::Tally`].
        Tally => "tally",
        /// See [`What::Sign`].
        Sign => "sign",
        /// See [`What::Hold`].
        Hold => "hold",
        /// See [`What::Resume`].
        Resume => "resume",
        /// See [`What::Strike`].
        Strike => "strike",
    }
}

words! {
    /// The materials.
    Item {
        /// A peg.
        Peg => "peg",
        /// A setting-out rope.
        Rope => "rope",
        /// A post.
        Post => "post",
        /// Packing stone, in m³.
        PackingStone => "packing-stone",
        /// A tie beam.
        TieBeam => "tie-beam",
        /// A plate.
        Plate => "plate",
        /// A diagonal brace.
        Brace => "brace",
        /// A king post.
        KingPost => "king-post",
        /// The ridge pole.
        RidgePole => "ridge-pole",
        /// The upper ridge pole, over the cap.
        UpperRidgePole => "upper-ridge-pole",
        /// A lifting pole.
        LiftingPole => "lifting-pole",
        /// A rafter.
        Rafter => "rafter",
        /// A batten.
        Batten => "batten",
        /// Cord, in metres.
        Cord => "cord",
        /// A thatch panel.
        Panel => "panel",
        /// A doubled panel for the cap.
        DoubledPanel => "doubled-panel",
        /// A pin.
        Pin => "pin",
    }
}

impl Item {
    /// The unit it is counted in; empty for pieces.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Cord => "m",
            Self::PackingStone => "m³",
            _ => "",
        }
    }

    /// Whether only whole numbers of it can be told.
    #[must_use]
    pub const fn is_whole(self) -> bool {
        self.unit().is_empty()
    }
}

words! {
    /// How an item moved.
    How {
        /// Cut for the house.
        Cut => "cut",
        /// Woven for the house.
        Woven => "woven",
        /// Bought.
        Bought => "bought",
        /// Promised, not here yet.
        Promised => "promised",
        /// Brought, against a promise where there is one.
        Delivered => "delivered",
        /// Given to another house.
        Moved => "moved",
        /// Built in.
        Used => "used",
        /// Spoiled.
        Spoiled => "spoiled",
        /// Lost.
        Lost => "lost",
        /// Found again.
        Found => "found",
    }
}

/// A point by its stage and its name there: `set-out/ab`, `posts/A/depth`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PointName {
    /// The stage's id.
    pub stage: String,
    /// The point's id within the stage.
    pub point: String,
}

impl PointName {
    /// A point's name.
    #[must_use]
    pub fn new(stage: &str, point: &str) -> Self {
        Self { stage: stage.to_owned(), point: point.to_owned() }
    }
}

impl fmt::Display for PointName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.stage, self.point)
    }
}

impl FromStr for PointName {
    type Err = UnknownWord;
    fn from_str(text: &str) -> Result<Self, UnknownWord> {
        match text.split_once('/') {
            Some((stage, point)) if !stage.is_empty() && !point.is_empty() => Ok(Self::new(stage, point)),
            _ => Err(UnknownWord {
                said: text.to_owned(),
                known: "STAGE/POINT, such as set-out/ab".to_owned(),
            }),
        }
    }
}

/// The parts of a person's measure, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// From fingertip to fingertip, arms spread.
    pub span_m: f64,
    /// Half of it, as measured.
    pub half_span_m: Option<f64>,
    /// Elbow to fingertip.
    pub forearm_m: Option<f64>,
    /// Thumb to little finger, spread.
    pub hand_m: Option<f64>,
    /// Across the palm.
    pub breadth_m: Option<f64>,
    /// Across a finger.
    pub finger_m: Option<f64>,
}

impl Parts {
    /// The parts of a measure.
    #[must_use]
    pub fn of(body: &Body) -> Self {
        let own = body.parts();
        let metres = |m: Option<Metres>| m.map(Metres::get);
        Self {
            span_m: body.span().get(),
            half_span_m: metres(own.half_span),
            forearm_m: metres(own.forearm),
            hand_m: metres(own.hand),
            breadth_m: metres(own.breadth),
            finger_m: metres(own.finger),
        }
    }

    /// The measure of a person with these parts.
    ///
    /// # Errors
    /// A name, a span or a part that will not do.
    pub fn body(&self, name: &str) -> Result<Body, BodyError> {
        let metres = |m: Option<f64>| m.and_then(|m| Metres::new(m).ok());
        let own = measure::Parts {
            half_span: metres(self.half_span_m),
            forearm: metres(self.forearm_m),
            hand: metres(self.hand_m),
            breadth: metres(self.breadth_m),
            finger: metres(self.finger_m),
        };
        // What is no length at all is refused as too long a span.
        Body::new(name, Metres::new(self.span_m).unwrap_or(Metres::MOST), own)
    }
}

/// A value for a point.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The point.
    pub point: PointName,
    /// As it was called out.
    pub said: String,
    /// What was understood.
    pub value: Value,
    /// Whether it is a repeat, to stand beside the earlier one.
    pub again: bool,
    /// With what it was read; may be empty.
    pub with: String,
    /// The version of the brief it was judged by.
    pub brief: Uuid,
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// Metres.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// A count.
    Count(f64),
    /// Yes or no.
    YesNo(bool),
    /// First less second, in metres; both where both were called out.
    Pair {
        /// The first length, m.
        first_m: Option<f64>,
        /// The second length, m.
        second_m: Option<f64>,
        /// First less second, m.
        difference_m: f64,
    },
}

impl Value {
    /// The number judged: metres, degrees, a count, or 1 and 0 for yes and no.
    #[must_use]
    pub const fn number(&self) -> f64 {
        match *self {
            Self::Length(n) | Self::Angle(n) | Self::Count(n) => n,
            Self::Pair { difference_m, .. } => difference_m,
            Self::YesNo(yes) => {
                if yes {
                    1.0
                } else {
                    0.0
                }
            }
        }
    }
}

/// A movement of an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Tally {
    /// What.
    pub item: Item,
    /// How many; metres of cord, m³ of stone.
    pub count: f64,
    /// How it moved.
    pub how: How,
    /// The house it went to, where it was given to another.
    pub to: Option<Uuid>,
    /// Anything else worth telling; may be empty.
    pub remark: String,
}

/// A person's word that a stage is right.
#[derive(Debug, Clone, PartialEq)]
pub struct SignOff {
    /// The stage's id.
    pub stage: String,
    /// Why it was signed with points out or unread; or empty.
    pub remark: String,
    /// The readings it rested on.
    pub rested_on: Vec<Uuid>,
    /// The version of the brief it rested on.
    pub brief: Uuid,
}
