//! What became of a plan from one day to the next.

use std::collections::HashMap;

use chrono::NaiveDate;
use uuid::Uuid;

use super::Days;
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
    /// How many pieces of its work end on another day.
    pub jobs: usize,
}

/// The houses of which something ends on another day than was planned.
#[must_use]
pub fn moved(before: &Days, now: &Days) -> Vec<Moved> {
    type Piece = (Uuid, Work, u32);
    let pieces = |days: &Days| -> HashMap<Piece, Option<NaiveDate>> {
        let jobs = |house: &super::HouseDays| {
            let id = house.id;
            house.jobs.iter().map(move |job| ((id, job.work, job.part), job.last)).collect::<Vec<_>>()
        };
        days.houses.iter().flat_map(jobs).collect()
    };
    let was = pieces(before);
    let is = pieces(now);
    let houses = now.houses.iter().filter_map(|house| {
        let old = before.houses.iter().find(|old| old.id == house.id)?;
        let other = |(piece, last): &(&Piece, &Option<NaiveDate>)| {
            piece.0 == house.id && was.get(*piece).is_some_and(|before| before != *last)
        };
        let jobs = is.iter().filter(other).count();
        let (from, to) = (old.last(), house.last());
        let (id, name) = (house.id, house.name.clone());
        (jobs > 0).then_some(Moved { house: id, name, from, to, jobs })
    });
    houses.collect()
}
