//! What became of a plan from one day to the next.

use std::collections::HashMap;

use chrono::NaiveDate;
use uuid::Uuid;

use super::{Days, HouseDays, Job};
use crate::build::entry::Work;

/// A house whose last day of the plan is another than it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// The house.
    pub house: Uuid,
    /// What people call it.
    pub name: String,
    /// The last day as it was planned; none where it could not be planned.
    pub from: Option<NaiveDate>,
    /// The last day as it is planned now.
    pub to: Option<NaiveDate>,
    /// The likely day as it was and as it is now; none where it cannot be told.
    pub likely: (Option<NaiveDate>, Option<NaiveDate>),
    /// How many pieces of its work end on another day.
    pub jobs: usize,
}

/// The houses of which something ends on another day than was planned.
#[must_use]
pub fn moved(before: &Days, now: &Days) -> Vec<Moved> {
    let was: HashMap<Uuid, &HouseDays> = before.houses.iter().map(|house| (house.id, house)).collect();
    let houses = now.houses.iter().filter_map(|house| {
        let old = was.get(&house.id)?;
        let ended: HashMap<_, Option<NaiveDate>> =
            old.jobs.iter().map(|job| (which(job), job.last)).collect();
        let other = |job: &&Job| ended.get(&which(job)).is_some_and(|last| *last != job.last);
        let jobs = house.jobs.iter().filter(other).count();
        (jobs > 0).then(|| Moved {
            house: house.id,
            name: house.name.clone(),
            from: old.last(),
            to: house.last(),
            likely: (old.ends.likely(), house.ends.likely()),
            jobs,
        })
    });
    houses.collect()
}

/// What makes a piece of work the same from day to day.
const fn which(job: &Job) -> (Work, u32, bool) {
    (job.work, job.part, job.again > 0)
}
