//! The day for which a crew's day is told: whether it may be told for it, and
//! what was told for it before.

use chrono::NaiveDate;

use super::telling;
use super::village::same;
use crate::build::accept::{Refused, refuse, told};
use crate::build::entry::Moment;
use crate::build::telling::people;

/// How far a sum of shares of a day may be off for being summed up.
const ROUNDED: f64 = 1e-6;

/// The day for which a crew's day is told.
#[derive(Debug, Clone, PartialEq)]
pub struct Dated {
    /// When it happened, as it is told.
    pub at: Moment,
    /// What the clock says.
    pub now: Moment,
    /// When the house was started.
    pub started: Moment,
    /// The crews that were told for that day at any house before, with their
    /// people times their share of the day.
    pub before: Vec<(String, f64)>,
}

impl Dated {
    /// Refuses a day to come, and a day before the house was started. A clock
    /// that is behind the start of the house was never set: it is no witness,
    /// neither of what is to come nor of what day it is.
    pub(super) fn may_be_told(&self) -> Result<(), Refused> {
        if self.is_by_an_unset_clock() {
            return Ok(());
        }
        let here = |moment: Moment| moment.with_timezone(self.at.offset()).date_naive();
        let (day, started, today) = (here(self.at), here(self.started), here(self.now));
        if day < started {
            let why = format!("{day} is before {started}, the day the house was started");
            return refuse("at", why);
        }
        if self.started <= self.now && today < day {
            return refuse("at", format!("{day} is still to come; a crew's day is told once it is there"));
        }
        Ok(())
    }

    fn is_by_an_unset_clock(&self) -> bool {
        self.now < self.started && self.at == self.now
    }

    /// That a crew of so many was told for that day before.
    pub(super) fn again(&self, crew: &str, size: u32) -> Option<Again> {
        if self.is_by_an_unset_clock() {
            return None;
        }
        let before: Vec<f64> =
            self.before.iter().filter(|(name, _)| same(name, crew)).map(|(_, people)| *people).collect();
        (!before.is_empty()).then(|| Again {
            crew: crew.to_owned(),
            day: self.at.date_naive(),
            today: self.now.date_naive(),
            people: before.iter().sum(),
            size,
        })
    }
}

/// That a crew was told for a day before.
#[derive(Debug, Clone, PartialEq)]
pub struct Again {
    crew: String,
    day: NaiveDate,
    today: NaiveDate,
    /// People times their share of the day, over all houses.
    people: f64,
    /// How many the crew is.
    size: u32,
}

impl Again {
    /// Whether it is more than the crew is, with so many more.
    pub(super) fn is_too_many_with(&self, more: f64) -> bool {
        self.people + more > f64::from(self.size) + ROUNDED
    }

    /// In words, without a stop: `Reef was told for 14 Oct already: 4 of 4 people`.
    #[must_use]
    pub fn told(&self) -> String {
        let day = telling::day(self.day, self.today);
        let (so_far, all) = (told(self.people), people(self.size));
        format!("{} was told for {day} already: {so_far} of {all}", self.crew)
    }
}
