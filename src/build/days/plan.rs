//! Which crew does what at which house on which day.
//!
//! A crew goes to one house at a time, whole. The house with the most stages
//! signed is served first, of those alike the one started first; each as early
//! as the houses before it leave room.

use std::cmp::Reverse;
use std::collections::HashMap;

use chrono::NaiveDate;

use super::NoPlan;
use super::calendar::{Calendar, FAR};
use super::left::Left;
use super::rates::Rates;
use super::village::{Village, does, same};
use crate::build::entry::{Crew, Work};
use crate::build::glance::Glance;
use crate::reckon::days;

/// What is taken where no crew was named for a work: a name, how many, and
/// whether they weave (common practice, no source).
pub const WITHOUT_CREWS: [(&str, u32, bool); 2] = [("builders", 4, false), ("weavers", 3, true)];
/// The most working days of a task.
const MOST: f64 = 1000.0;
/// How often a plan is made anew to get clear of stops that are still to come.
const ROUNDS: usize = 20;

/// A crew that is planned with.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewNow {
    /// Who.
    pub crew: Crew,
    /// Whether nobody named it, and it is taken for granted.
    pub assumed: bool,
    /// The last work told of it, where and when.
    pub seen: Option<(String, Work, NaiveDate)>,
}

/// A piece of work with its crew and its days.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What.
    pub work: Work,
    /// Which part of the roof, from 1; 0 where it has no parts.
    pub part: u32,
    /// How much, in what the work is counted in.
    pub left: f64,
    /// How many points are to be read again, where that is all it is; else 0.
    pub again: u32,
    /// How many people it asks for at once; 0 where any number will do.
    pub asks: u32,
    /// The place of the crew.
    pub crew: usize,
    /// The places of the jobs of the house it waits for.
    pub after: Vec<usize>,
    /// The days it is likely to take, not rounded.
    pub likely_days: f64,
    /// The working days it is given; it may share the last day of the work
    /// before it and get none of its own.
    pub days: u32,
    /// The number of the working day it begins on; [`FAR`] or more where it
    /// waits for a stop to end.
    pub start: u64,
    /// The day before which it may not begin, for a stop or because today is
    /// told already.
    pub not_before: u64,
    /// Its first day.
    pub first: Option<NaiveDate>,
    /// Its last day.
    pub last: Option<NaiveDate>,
}

impl Job {
    /// What it is called.
    #[must_use]
    pub const fn says(&self) -> &'static str {
        if self.again > 0 { "reading again" } else { self.work.word() }
    }

    /// The number of the working day after its last.
    #[must_use]
    pub fn end(&self) -> u64 {
        self.start + u64::from(self.days)
    }

    /// The number of its first day: what takes no day of its own is done on
    /// the last day of what it follows.
    #[must_use]
    pub fn begins(&self) -> u64 {
        if self.days == 0 { self.start.saturating_sub(1) } else { self.start }
    }

    /// Whether it is done on a day.
    #[must_use]
    pub fn is_on(&self, day: NaiveDate) -> bool {
        self.first.is_some_and(|first| first <= day) && self.last.is_some_and(|last| day <= last)
    }
}

/// A plan of all houses.
#[derive(Debug)]
pub(super) struct Plan {
    pub crews: Vec<CrewNow>,
    pub assumed: Vec<String>,
    jobs: Vec<Job>,
    /// For each house, where its jobs begin and end.
    spans: Vec<(usize, usize)>,
}

impl Plan {
    pub fn jobs_of(&self, house: usize) -> &[Job] {
        self.spans.get(house).and_then(|(from, to)| self.jobs.get(*from..*to)).unwrap_or_default()
    }
}

/// Plans the days.
pub(super) fn plan(
    houses: &[Glance],
    village: &Village,
    rates: &Rates,
    calendar: &mut Calendar,
) -> Result<Plan, NoPlan> {
    let (crews, assumed) = crews(houses, village);
    let mut plan = Plan { crews, assumed, jobs: Vec::new(), spans: Vec::new() };
    let mut load = vec![0.0; plan.crews.len()];
    let mut served: Vec<(usize, &Glance)> = houses.iter().enumerate().collect();
    // Stable: those alike stay in the order they were started.
    served.sort_by_key(|(_, house)| Reverse(house.signed));
    plan.spans = vec![(0, 0); houses.len()];
    for (at, house) in served {
        let from = plan.jobs.len();
        jobs(&house.work, &plan.crews, &mut load, rates, calendar, &mut plan.jobs);
        if let Some(span) = plan.spans.get_mut(at) {
            *span = (from, plan.jobs.len());
        }
    }
    clear_of_stops(&mut plan, houses, calendar)?;
    for job in &mut plan.jobs {
        (job.first, job.last) = (calendar.date(job.begins()), calendar.date(job.end().saturating_sub(1)));
    }
    Ok(plan)
}

/// The crews there are, and those that are taken for granted where a work
/// that is left has none.
fn crews(houses: &[Glance], village: &Village) -> (Vec<CrewNow>, Vec<String>) {
    let mut crews = village.crews.clone();
    let named = crews.len();
    let mut assumed = Vec::new();
    let wanted = |work: &Work| houses.iter().any(|h| h.work.chores.iter().any(|c| c.work == *work));
    for (name, size, weaves) in WITHOUT_CREWS {
        let works = Work::ALL.iter().copied().filter(|w| (*w == Work::Weaving) == weaves && wanted(w));
        let without: Vec<Work> = works.filter(|work| !crews.iter().any(|crew| does(crew, *work))).collect();
        if without.is_empty() {
            continue;
        }
        let says: Vec<&str> = without.iter().map(|work| work.word()).collect();
        let does =
            match (weaves, crews.iter().any(|crew| crew.works.is_empty() || !does(crew, Work::Weaving))) {
                (true, _) => "weaving".to_owned(),
                (false, false) => "building".to_owned(),
                (false, true) => says.join(", "),
            };
        assumed.push(format!("No crew is named for {does}: {name} of {size} are taken."));
        crews.push(Crew { name: name.to_owned(), size, works: without });
    }
    let seen = |crew: &Crew| {
        let all = houses.iter().flat_map(|h| h.work.seen.iter().map(move |s| (h, s)));
        let of_crew = all.filter(|(_, seen)| same(&seen.crew, &crew.name));
        of_crew.max_by_key(|(_, s)| s.day).map(|(h, s)| (h.name.clone(), s.work, s.day))
    };
    let told = crews.into_iter().enumerate().map(|(at, crew)| CrewNow {
        assumed: at >= named,
        seen: seen(&crew),
        crew,
    });
    (told.collect(), assumed)
}

/// The jobs of a house: each chore with a crew and the days it is given. Of
/// the work of one crew the parts of days add up before they are rounded, up
/// to what waits for another crew: that begins a day of its own.
fn jobs(
    left: &Left,
    crews: &[CrewNow],
    load: &mut [f64],
    rates: &Rates,
    calendar: &mut Calendar,
    all: &mut Vec<Job>,
) {
    let mut own: HashMap<usize, f64> = HashMap::new();
    let mut places: Vec<Option<usize>> = Vec::new();
    let from = all.len();
    let today = calendar.date(0);
    for chore in &left.chores {
        let Some(crew) = crew_for(chore.work, left, crews, &own, load) else {
            places.push(None);
            continue;
        };
        let size = crews.get(crew).map_or(1, |now| now.crew.size);
        let likely_days = rates.days(chore.work, chore.left, size).min(MOST);
        let after: Vec<usize> =
            chore.after.iter().filter_map(|a| places.get(*a).copied().flatten()).collect();
        let waits = after.iter().any(|a| all.get(from + a).is_some_and(|job| job.crew != crew));
        let so_far = own.entry(crew).or_default();
        if waits {
            *so_far = 0.0;
        }
        let before = whole(*so_far);
        *so_far += likely_days;
        let days = whole(*so_far) - before;
        if let Some(load) = load.get_mut(crew) {
            *load += likely_days;
        }
        let told = crews.get(crew).and_then(|now| now.seen.as_ref()).map(|(_, _, day)| *day);
        places.push(Some(all.len() - from));
        all.push(Job {
            work: chore.work,
            part: chore.part,
            left: chore.left,
            again: chore.again,
            asks: if chore.work == Work::Raising && chore.again == 0 { left.people } else { 0 },
            crew,
            after,
            likely_days,
            days: days as u32,
            start: 0,
            not_before: u64::from(told.is_some() && told == today),
            first: None,
            last: None,
        });
    }
}

fn whole(days: f64) -> f64 {
    (days - 1e-9).ceil().max(0.0)
}

/// The crew that goes on with a house: the one that was there last, else the
/// one that does the rest of it, else the one with the least to do.
fn crew_for(
    work: Work,
    left: &Left,
    crews: &[CrewNow],
    own: &HashMap<usize, f64>,
    load: &[f64],
) -> Option<usize> {
    let able = |at: &usize| crews.get(*at).is_some_and(|now| does(&now.crew, work));
    let seen = left.seen.iter().rev().filter_map(|s| crews.iter().position(|c| same(&c.crew.name, &s.crew)));
    let there = (0..crews.len()).filter(|at| own.contains_key(at));
    let load = |at: &usize| load.get(*at).copied().unwrap_or(0.0);
    let least = (0..crews.len()).filter(able).min_by(|a, b| load(a).total_cmp(&load(b)));
    seen.chain(there).find(able).or(least)
}

/// Places the jobs, over and over until none lies in a stop of its house. One
/// in the way of a stop waits for its end; where that is not known it is put
/// [`FAR`] off.
fn clear_of_stops(plan: &mut Plan, houses: &[Glance], calendar: &mut Calendar) -> Result<(), NoPlan> {
    for _ in 0..ROUNDS {
        place(plan)?;
        let mut moved = false;
        for (house, (from, to)) in houses.iter().zip(&plan.spans) {
            for stop in &house.work.stops {
                let (first, on) = stop.days();
                let (first, on) = (calendar.number(first), on.map_or(FAR, |on| calendar.number(on)));
                for job in plan.jobs.get_mut(*from..*to).unwrap_or_default() {
                    if job.begins() < on && job.end() > first {
                        job.not_before = on;
                        moved = true;
                    }
                }
            }
        }
        if !moved {
            break;
        }
    }
    Ok(())
}

fn place(plan: &mut Plan) -> Result<(), NoPlan> {
    let name = |at: usize| at.to_string();
    let mut spans = plan.spans.clone();
    spans.sort_unstable();
    let tasks = spans.iter().flat_map(|(from, to)| {
        let jobs = plan.jobs.get(*from..*to).unwrap_or_default();
        jobs.iter().zip(*from..).map(move |(job, at)| days::Task {
            id: name(at),
            days: job.days,
            needs: vec![(name(job.crew), 1)],
            after: job.after.iter().map(|a| name(from + a)).collect(),
            not_before: job.not_before,
        })
    });
    let crews = (0..plan.crews.len()).map(|at| (name(at), 1)).collect();
    let out = days::in_order(&days::In { crews, tasks: tasks.collect(), seconds: 0.0 })?;
    for (job, (_, start)) in plan.jobs.iter_mut().zip(out.starts) {
        job.start = start;
    }
    Ok(())
}
