//! The days: what the crews should do on which day at all houses, and when
//! each house may be done. No file, no clock.
//!
//! [`Left`] is the work left at a house and follows from its entries;
//! [`Village`] is what the houses have together. [`Days::of`] makes the plan
//! of both, and draws the likely finish of each house.

mod calendar;
mod dated;
mod evening;
mod finish;
mod left;
pub mod list;
mod moved;
mod plan;
mod rates;
pub mod telling;
mod village;

use chrono::NaiveDate;
use uuid::Uuid;

pub use calendar::{Calendar, FAR, NeverWorked};
pub use dated::{Again, Dated};
pub use evening::{BEYOND_BELIEF, Elsewhere, Evening, Site, elsewhere};
pub use finish::{Ends, OnPath, in_words};
pub use left::{Chore, Left, Seen, Stop};
pub use moved::{Moved, moved};
pub use plan::{CrewNow, Job, WITHOUT_CREWS};
pub use rates::{Done, MOST_TIMES, PRIOR, Rate, Rates, counted, counted_in, usual};
pub use village::{Village, does, same};

use super::entry::Work;
use super::glance::Glance;
use super::stage::STAGES;

/// The days of all houses.
#[derive(Debug, Clone, PartialEq)]
pub struct Days {
    /// The day it was planned.
    pub today: NaiveDate,
    /// Which days are worked.
    pub calendar: Calendar,
    /// Who works.
    pub crews: Vec<CrewNow>,
    /// How fast.
    pub rates: Rates,
    /// Each house, in the order they were started.
    pub houses: Vec<HouseDays>,
    /// What was taken for granted, in sentences.
    pub assumed: Vec<String>,
}

/// The days of a house.
#[derive(Debug, Clone, PartialEq)]
pub struct HouseDays {
    /// The house.
    pub id: Uuid,
    /// What people call it.
    pub name: String,
    /// What is to be done, in the order of the work.
    pub jobs: Vec<Job>,
    /// When it may be done.
    pub ends: Ends,
    /// What the finish hangs on, the most first.
    pub on_path: Vec<OnPath>,
    /// Whether a storm is why something is to be read again.
    pub after_storm: bool,
    /// The stops that last today or begin later.
    pub stops: Vec<Stop>,
    /// Whether it is handed over.
    pub handed_over: bool,
}

impl HouseDays {
    /// The last day of the plan; none where nothing is left, or part of it
    /// cannot be planned.
    #[must_use]
    pub fn last(&self) -> Option<NaiveDate> {
        let days: Option<Vec<NaiveDate>> = self.jobs.iter().map(|job| job.last).collect();
        days?.into_iter().max()
    }
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPlan {
    /// No day is worked.
    #[error(transparent)]
    Closed(#[from] NeverWorked),
    /// The tasks cannot be planned.
    #[error("the days cannot be planned: {0}")]
    Refused(String),
}

impl From<crate::reckon::Refusal> for NoPlan {
    fn from(refusal: crate::reckon::Refusal) -> Self {
        Self::Refused(refusal.to_string())
    }
}

impl Days {
    /// Plans the days of houses, which stand in the order they were started.
    /// Those with the most stages signed are served first, of those alike the
    /// one started first, and of a house the earlier stages; so a change at one
    /// house moves no day of those before it.
    ///
    /// # Errors
    /// Where no day is worked.
    pub fn of(houses: &[Glance], village: &Village, today: NaiveDate) -> Result<Self, NoPlan> {
        let mut calendar = Calendar::new(today, &village.weekly(), village.spans())?;
        let rates = Rates::of(houses.iter().flat_map(|house| &house.work.done));
        let plan = plan::plan(houses, village, &rates, &mut calendar)?;
        let mut told = Vec::with_capacity(houses.len());
        for (at, house) in houses.iter().enumerate() {
            let (ends, on_path) = finish::of(at, house, &plan, village, &rates, &mut calendar)?;
            let lasts = |stop: &&Stop| stop.days().1.is_none_or(|to| to > today);
            told.push(HouseDays {
                id: house.id,
                name: house.name.clone(),
                jobs: plan.jobs_of(at).to_vec(),
                ends,
                on_path,
                after_storm: house.work.after_storm,
                stops: house.work.stops.iter().filter(lasts).cloned().collect(),
                handed_over: house.signed == STAGES.len(),
            });
        }
        let mut assumed = plan.assumed;
        if village.weather.iter().all(Option::is_none) {
            assumed.push("No day is taken to be lost to weather: nothing was told of it.".to_owned());
        }
        Ok(Self { today, calendar, crews: plan.crews, rates, houses: told, assumed })
    }

    /// The first day on which a house's stage is worked at, by its id; none
    /// where the plan gives it no day.
    #[must_use]
    pub fn reached(&self, house: Uuid, stage: &str) -> Option<NaiveDate> {
        let works: &[Work] = match stage {
            "centre-mark" | "set-out" => &[Work::SetOut],
            "posts" => &[Work::Digging, Work::Posts],
            "beams" => &[Work::Beams],
            "roof-frame" => &[Work::Frame],
            "ridge" => &[Work::Raising],
            "thatch" => &[Work::Thatching],
            "cap" => &[Work::Capping],
            _ => &[],
        };
        let jobs = self.houses.iter().filter(|h| h.id == house).flat_map(|h| &h.jobs);
        jobs.filter(|job| job.again == 0 && works.contains(&job.work)).filter_map(|job| job.first).min()
    }

    /// What a crew does on a day: the houses and their jobs, in the order of
    /// the work.
    #[must_use]
    pub fn on(&self, crew: usize, day: NaiveDate) -> Vec<(&HouseDays, &Job)> {
        let all = self.houses.iter().flat_map(|house| house.jobs.iter().map(move |job| (house, job)));
        all.filter(|(_, job)| job.crew == crew && job.is_on(day)).collect()
    }

    /// The first working day after a day.
    #[must_use]
    pub fn next_worked(&self, day: NaiveDate) -> Option<NaiveDate> {
        let mut calendar = self.calendar.clone();
        let number = calendar.number(day.succ_opt()?);
        calendar.date(number)
    }
}

#[cfg(test)]
mod tests;
