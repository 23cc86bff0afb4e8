//! What the book keeps for all houses together: permits, crews, days nobody
//! works, the weather, kinds of wood, and cords pulled until they broke.

use std::collections::BTreeMap;

use chrono::{NaiveDate, Weekday};
use serde::{Deserialize, Serialize};

use super::words::{Joint, Secure, Work};

/// Leave to cut a kind of tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Permit {
    /// The kind of tree.
    pub tree: String,
    /// How many may be cut.
    pub count: u32,
    /// Where; may be empty.
    pub place: String,
    /// The last day on which they may be cut.
    pub until: NaiveDate,
}

/// A crew; a later entry of the same name takes the place of an earlier one.
#[derive(Debug, Clone, PartialEq)]
pub struct Crew {
    /// What it is called.
    pub name: String,
    /// How many people; 0 where it is no more.
    pub size: u32,
    /// What it does; anything but weaving where nothing is said.
    pub works: Vec<Work>,
}

/// What people did at a house on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewDay {
    /// The crew.
    pub crew: String,
    /// What was done.
    pub work: Work,
    /// How many people.
    pub people: u32,
    /// How much of the day, more than 0 to 1.
    pub share: f64,
    /// How much was done, in what the work is counted in.
    pub done: Option<f64>,
    /// Anything else worth telling; may be empty.
    pub remark: String,
}

/// Days on which nobody works.
#[derive(Debug, Clone, PartialEq)]
pub struct Closed {
    /// Which.
    pub days: ClosedDays,
    /// Why; may be empty.
    pub cause: String,
}

/// Which days are closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClosedDays {
    /// The same day of every week.
    Weekly(Weekday),
    /// From a day to a day, both closed.
    Dates {
        /// The first.
        from: NaiveDate,
        /// The last.
        to: NaiveDate,
    },
}

/// The chance that a day of a month is lost to weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// 1 to 12.
    pub month: u32,
    /// 0 to 0.95.
    pub chance: f64,
}

/// A kind of wood.
#[derive(Debug, Clone, PartialEq)]
pub struct Wood {
    /// What the tree is called.
    pub name: String,
    /// Oven-dry mass over green volume, kg/m³.
    pub density_kg_m3: f64,
    /// The strength class that is taken for it (EN 338, `D18` to `D70`).
    pub class: String,
    /// How it lasts in the ground, 1 very long to 5 not at all (EN 350).
    pub durability: u8,
}

/// A cord or a joint pulled until it broke.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// What was pulled.
    pub joint: Joint,
    /// The cord it was tied with, as people call it.
    pub cord: String,
    /// The force at which it broke, N.
    pub newtons: f64,
    /// As it was called out: a mass of stones, or the reading of a balance.
    pub said: String,
    /// Anything else worth telling; may be empty.
    pub remark: String,
}

/// What was made fast before a storm, and what was not.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TieDown(pub BTreeMap<Secure, bool>);
