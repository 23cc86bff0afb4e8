//! Everything that can be written in the book.
//!
//! An entry is only ever added. What a house is now follows from its entries,
//! in the order in which they happened ([`Entry::order`]).

mod said;
mod village;
mod words;

use chrono::{DateTime, FixedOffset};
use uuid::Uuid;

pub use said::{Parts, PointName, Reading, SignOff, Stem, Tally, Value};
pub use village::{Closed, ClosedDays, Crew, CrewDay, Permit, Pull, TieDown, Weather, Wood};
pub use words::{How, Item, Joint, Kind, Secure, UnknownWord, Work};

use super::brief::BriefText;

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
    /// Leave to cut was given.
    Permit(Permit),
    /// Something that stood out was answered.
    Answer {
        /// The entry that stood out.
        entry: Uuid,
        /// What there is to say to it.
        said: String,
    },
    /// Things were made fast before a storm, or were not.
    TieDown(TieDown),
    /// A crew was named.
    Crew(Crew),
    /// People worked.
    CrewDay(CrewDay),
    /// Days are closed.
    Closed(Closed),
    /// How the days of a month are lost.
    Weather(Weather),
    /// A kind of wood was told.
    Wood(Wood),
    /// Something was pulled until it broke.
    Pull(Pull),
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
            Self::Permit(_) => Kind::Permit,
            Self::Answer { .. } => Kind::Answer,
            Self::TieDown(_) => Kind::TieDown,
            Self::Crew(_) => Kind::Crew,
            Self::CrewDay(_) => Kind::CrewDay,
            Self::Closed(_) => Kind::Closed,
            Self::Weather(_) => Kind::Weather,
            Self::Wood(_) => Kind::Wood,
            Self::Pull(_) => Kind::Pull,
        }
    }
}
