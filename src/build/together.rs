//! What a builder asks to be written for all houses together: words in, an
//! entry's contents out.

use chrono::NaiveDate;

use super::accept::{self, LONGEST_WORDS, Refused, bounded, refuse};
use super::entry::{Permit, What};
use super::tie_down;

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
}

impl Together {
    /// What is to be written.
    ///
    /// # Errors
    /// Everything that is wrong, each with its field.
    pub fn decide(&self) -> Result<What, Vec<Refused>> {
        let one = |r: Result<What, Refused>| r.map_err(|e| vec![e]);
        match self {
            Self::Permit { tree, count, place, until } => one(permit(tree, count, place, until)),
            Self::TieDown { answers } => tie_down::decide(answers),
        }
    }
}

fn permit(tree: &str, count: &str, place: &str, until: &str) -> Result<What, Refused> {
    let Some(tree) = accept::tree(tree)? else { return refuse("tree", "say what kind of tree") };
    let count = whole("count", count, 1..=1_000_000)?;
    bounded("where", place, LONGEST_WORDS)?;
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
