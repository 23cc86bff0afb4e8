//! What a builder asks to be written for all houses together: words in, an
//! entry's contents out.

mod days;
mod strength;

use chrono::NaiveDate;

use super::accept::{self, LONGEST_WORDS, Refused, bounded, refuse};
use super::entry::{Permit, What};
use super::tie_down;
use crate::measure::is_unseen;

pub use strength::force;

/// A request about what the houses have together, as it was said.
#[derive(Debug, Clone, PartialEq)]
pub enum Together {
    /// Leave to cut.
    Permit {
        /// The kind of tree.
        tree: String,
        /// How many.
        count: String,
        /// Where.
        place: String,
        /// The last day, as 2031-06-30.
        until: String,
    },
    /// What was made fast before a storm.
    TieDown {
        /// What, and yes or no; empty where nothing is said.
        answers: Vec<(String, String)>,
    },
    /// A crew.
    Crew {
        /// What it is called.
        name: String,
        /// How many people.
        size: String,
        /// What it does, as `weaving,thatching`; anything but weaving where it
        /// is empty.
        works: String,
    },
    /// That a crew is no more.
    CrewEnd {
        /// What it was called.
        name: String,
    },
    /// What people did at a house on a day.
    CrewDay {
        /// The crew.
        crew: String,
        /// What was done.
        work: String,
        /// How many people.
        people: String,
        /// How much of the day, as 0.5; the whole day where it is empty.
        share: String,
        /// How much was done; not told where it is empty.
        done: String,
        /// Anything else.
        remark: String,
    },
    /// A day of every week on which nobody works.
    Rest {
        /// As `sunday`.
        weekday: String,
        /// Why.
        why: String,
    },
    /// Days on which nobody works.
    Closed {
        /// The first, as 2030-12-24.
        from: String,
        /// The last; the first where it is empty.
        to: String,
        /// Why.
        why: String,
    },
    /// The chance that a day of a month is lost to weather.
    Weather {
        /// 1 to 12.
        month: String,
        /// 0 to 0.95.
        chance: String,
    },
    /// A kind of wood.
    Wood {
        /// The tree.
        name: String,
        /// kg/m³, dry.
        density: String,
        /// The strength class.
        class: String,
        /// 1 to 5.
        durability: String,
    },
    /// A cord or a joint pulled until it broke.
    Pull {
        /// What was pulled.
        joint: String,
        /// The force, or what was hung on it.
        value: String,
        /// The cord.
        cord: String,
        /// Anything else.
        remark: String,
    },
}

impl Together {
    /// Whether it is about a house.
    #[must_use]
    pub const fn is_of_a_house(&self) -> bool {
        matches!(self, Self::CrewDay { .. })
    }

    /// What is to be written.
    ///
    /// # Errors
    /// Everything that is wrong, each with its field.
    pub fn decide(&self) -> Result<What, Vec<Refused>> {
        let one = |r: Result<What, Refused>| r.map_err(|e| vec![e]);
        match self {
            Self::Permit { tree, count, place, until } => one(permit(tree, count, place, until)),
            Self::TieDown { answers } => tie_down::decide(answers),
            Self::Crew { name, size, works } => one(days::crew(name, size, works)),
            Self::CrewEnd { name } => one(days::crew_end(name)),
            Self::CrewDay { crew, work, people, share, done, remark } => {
                one(days::crew_day(crew, work, people, share, done, remark))
            }
            Self::Rest { weekday, why } => one(days::rest(weekday, why)),
            Self::Closed { from, to, why } => one(days::closed(from, to, why)),
            Self::Weather { month, chance } => one(days::weather(month, chance)),
            Self::Wood { name, density, class, durability } => {
                one(strength::wood(name, density, class, durability))
            }
            Self::Pull { joint, value, cord, remark } => one(strength::pull(joint, value, cord, remark)),
        }
    }
}

fn permit(tree: &str, count: &str, place: &str, until: &str) -> Result<What, Refused> {
    let Some(tree) = accept::tree(tree)? else { return refuse("tree", "say what kind of tree") };
    let count = whole("count", count, 1..=1_000_000)?;
    bounded("where", place, LONGEST_WORDS)?;
    if place.contains(is_unseen) {
        return refuse("where", "say it in characters that can be seen");
    }
    let until = day("until", until)?;
    Ok(What::Permit(Permit { tree, count, place: place.trim().to_owned(), until }))
}

/// A whole number in a range.
///
/// # Errors
/// Anything else.
pub fn whole(field: &'static str, text: &str, range: std::ops::RangeInclusive<u32>) -> Result<u32, Refused> {
    match text.trim().parse::<u32>() {
        Ok(n) if range.contains(&n) => Ok(n),
        _ => refuse(
            field,
            format!("\"{text}\" will not do; a whole number, {} to {}", range.start(), range.end()),
        ),
    }
}

/// A day of the calendar.
///
/// # Errors
/// Anything that is not such as 2031-06-30, within the years 1900 to 9999.
pub fn day(field: &'static str, text: &str) -> Result<NaiveDate, Refused> {
    use chrono::Datelike;
    match NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d") {
        Ok(day) if (1900..=9999).contains(&day.year()) => Ok(day),
        _ => refuse(field, format!("\"{text}\" is no day; one such as 2031-06-30 would do")),
    }
}
