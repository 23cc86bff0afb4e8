//! When a house may be done, were it built many times over: every piece of
//! work takes its days by chance, and days are lost to weather.
//!
//! The n parts of one work go fast or slow together, but are drawn apart: each
//! is spread √n times as wide, so that their sum is spread as the whole would
//! be. The days a crew is at other houses first are waited for, and are as
//! uncertain as its work.

use chrono::NaiveDate;

use super::NoPlan;
use super::calendar::{Calendar, FAR};
use super::left::Stop;
use super::plan::{Job, Plan};
use super::rates::{Rate, Rates};
use super::village::Village;
use crate::build::glance::Glance;
use crate::build::held::are_alike;
use crate::reckon::finish;

/// How often the finish of a house is drawn.
const SAMPLES: u32 = 1_000;
/// The most of what the finish hangs on that is told.
const TOLD: usize = 3;

/// When a house may be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Ends {
    /// No work is left.
    Done,
    /// One time in ten it is done by `early`, one in two by `likely`, nine in
    /// ten by `late`.
    Dates {
        /// When all goes well.
        early: NaiveDate,
        /// As likely before as after.
        likely: NaiveDate,
        /// When all goes badly.
        late: NaiveDate,
    },
    /// Before a stop to come of which nobody knows the end, or else after it.
    Overtaken {
        /// When all goes well, where that is before the stop.
        early: Option<NaiveDate>,
        /// As likely before as after, where that is before the stop.
        likely: Option<NaiveDate>,
        /// Why it will be held.
        cause: String,
        /// From when.
        from: NaiveDate,
    },
    /// Not before it is resumed; the working days that are left then.
    Held {
        /// Why it is held.
        cause: String,
        /// Since when, or from when it will be.
        from: NaiveDate,
        /// When all goes well.
        early_days: u64,
        /// As likely less as more.
        likely_days: u64,
        /// When all goes badly.
        late_days: u64,
    },
    /// Later than anybody plans.
    Beyond,
}

impl Ends {
    /// The day by which it is as likely done as not, where that can be told.
    #[must_use]
    pub const fn likely(&self) -> Option<NaiveDate> {
        match self {
            Self::Dates { likely, .. } => Some(*likely),
            Self::Overtaken { likely, .. } => *likely,
            Self::Done | Self::Held { .. } | Self::Beyond => None,
        }
    }
}

/// Something the finish hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct OnPath {
    /// The work, or the waiting for whom.
    pub what: String,
    /// The likely days of it that the finish hangs on.
    pub days: f64,
    /// The share of the draws in which the finish hung on it, 0 to 1.
    pub share: f64,
}

/// What the finish hangs on, in a sentence; empty where nothing is left.
#[must_use]
pub fn in_words(on_path: &[OnPath]) -> String {
    let told = on_path.iter().take(2).map(|p| {
        let days = p.days.round().max(1.0);
        format!("{} ({days} {})", p.what, if days == 1.0 { "day" } else { "days" })
    });
    match told.collect::<Vec<_>>().as_slice() {
        [] => String::new(),
        [first] => format!("hangs on {first}"),
        [first, then, ..] => format!("hangs most on {first}, then on {then}"),
    }
}

/// When a house may be done, and what that hangs on.
pub(super) fn of(
    at: usize,
    house: &Glance,
    plan: &Plan,
    village: &Village,
    rates: &Rates,
    calendar: &mut Calendar,
) -> Result<(Ends, Vec<OnPath>), NoPlan> {
    let jobs = plan.jobs_of(at);
    if jobs.is_empty() {
        return Ok((Ends::Done, Vec::new()));
    }
    // What is planned before the stop is done when the rest goes on.
    let waits = jobs.iter().any(|job| job.start >= FAR);
    let net = Net::of(jobs, plan, rates, |job| !waits || job.start >= FAR);
    let end = jobs.iter().map(Job::end).filter(|end| *end < FAR).max().unwrap_or(0);
    let days: Vec<NaiveDate> = (0..end.max(1)).filter_map(|n| calendar.date(n)).collect();
    let stop_chance = village.chance(days.into_iter());
    let asked = finish::In { tasks: net.tasks, stop_chance, samples: SAMPLES, seed: 1 };
    let out = finish::run(&asked)?;
    let on_path = on_path(&net.says, &asked.tasks, &out);
    let whole = |days: f64| (days - 1e-9).ceil().max(1.0) as u64;
    let counts = [out.early, out.likely, out.late].map(whole);
    if waits {
        let [early_days, likely_days, late_days] = counts;
        let open = open(&house.work.stops, calendar.today());
        let cause = open.map(|stop| stop.cause.clone()).unwrap_or_default();
        let from = open.map_or(calendar.today(), |stop| stop.days().0);
        return Ok((Ends::Held { cause, from, early_days, likely_days, late_days }, on_path));
    }
    Ok((dates(counts, end, &house.work.stops, calendar), on_path))
}

/// The stop without an end for which the work waits: the last that has begun,
/// as all its likes, since the first of them; else the next to come.
fn open(stops: &[Stop], today: NaiveDate) -> Option<&Stop> {
    let open = || stops.iter().filter(|stop| stop.to.is_none());
    let begun = || open().filter(|stop| stop.days().0 <= today);
    match begun().next_back() {
        Some(last) => begun().find(|stop| are_alike(&stop.cause, &last.cause)),
        None => open().min_by_key(|stop| stop.from),
    }
}

/// The dates of the days by their count. The plan is made around what stops
/// the work before its end; here a draw may be overtaken by what begins later.
fn dates(counts: [u64; 3], end: u64, stops: &[Stop], calendar: &mut Calendar) -> Ends {
    let mut later: Vec<(u64, u64, &Stop)> = Vec::new();
    for stop in stops {
        let (first, on) = stop.days();
        let (first, on) = (calendar.number(first), on.map_or(FAR, |on| calendar.number(on)));
        if first >= end && first < on {
            later.push((first, on, stop));
        }
    }
    later.sort_by_key(|(first, on, _)| (*first, *on));
    let mut overtaken = None;
    let [early, likely, late] = counts.map(|count| {
        let (mut day, mut over) = (count - 1, 0);
        for (first, on, stop) in &later {
            let first = over.max(*first);
            if day < first || *on <= first {
                continue;
            }
            if *on >= FAR {
                overtaken = Some(*stop);
                return None;
            }
            day += on - first;
            over = *on;
        }
        calendar.date(day)
    });
    match (early, likely, late, overtaken) {
        (Some(early), Some(likely), Some(late), _) => Ends::Dates { early, likely, late },
        (early, likely, _, Some(stop)) => {
            Ends::Overtaken { early, likely, cause: stop.cause.clone(), from: stop.days().0 }
        }
        _ => Ends::Beyond,
    }
}

/// The work of a house and what it waits for.
struct Net {
    tasks: Vec<finish::Task>,
    /// What each task is called to people.
    says: Vec<String>,
}

impl Net {
    /// Of the jobs that are asked for.
    fn of(jobs: &[Job], plan: &Plan, rates: &Rates, is_asked: impl Fn(&Job) -> bool) -> Self {
        let mut net = Self { tasks: Vec::new(), says: Vec::new() };
        for (at, job) in jobs.iter().enumerate().filter(|(_, job)| is_asked(job)) {
            let asked = job.after.iter().filter(|a| jobs.get(**a).is_some_and(&is_asked));
            let mut after: Vec<String> = asked.map(|a| format!("job {a}")).collect();
            let ready = job.after.iter().filter_map(|a| jobs.get(*a)).map(Job::end).max().unwrap_or(0);
            if job.start > ready && job.start < FAR {
                net.wait(at, job, ready, &after, plan, rates);
                after = vec![format!("wait {at}")];
            }
            let factor = rates.rate(job.work).map_or(1.0, Rate::factor);
            let parts = jobs.iter().filter(|other| other.work == job.work).count();
            let spread = (factor, (parts as f64).sqrt());
            net.add(format!("job {at}"), job.says().to_owned(), after, job.likely_days, spread);
        }
        net
    }

    /// The days before a job that its crew is elsewhere, or the house stopped.
    fn wait(&mut self, at: usize, job: &Job, ready: u64, after: &[String], plan: &Plan, rates: &Rates) {
        let days = (job.start - ready) as f64;
        let (says, factor) = if job.not_before == job.start {
            (if job.start <= 1 { "what is done today" } else { "the end of the hold" }.to_owned(), 1.0)
        } else {
            let crew = plan.crews.get(job.crew).map_or("", |now| now.crew.name.as_str());
            (format!("waiting for {crew}"), rates.rate(job.work).map_or(1.0, Rate::factor))
        };
        self.add(format!("wait {at}"), says, after.to_vec(), days, (factor, 1.0));
    }

    /// Adds a task that takes 1/factor to factor times its likely days, spread
    /// so many times as wide with its mean where it was.
    fn add(&mut self, id: String, says: String, after: Vec<String>, likely: f64, spread: (f64, f64)) {
        let (factor, wide) = spread;
        let (sooner, later) = (1.0 - 1.0 / factor, factor - 1.0);
        let wider = (sooner * wide).min(0.95);
        let likely_days = likely.min(finish::MOST_DAYS);
        self.tasks.push(finish::Task {
            id,
            after,
            early_days: likely_days * (1.0 - wider),
            likely_days,
            late_days: (likely_days * (1.0 + wider + later - sooner)).min(finish::MOST_DAYS),
        });
        self.says.push(says);
    }
}

/// What the finish hangs on by name, most days first.
fn on_path(says: &[String], tasks: &[finish::Task], out: &finish::Out) -> Vec<OnPath> {
    let mut all: Vec<OnPath> = Vec::new();
    for ((what, task), (_, share)) in says.iter().zip(tasks).zip(&out.share_on_path) {
        let days = share * task.likely_days;
        match all.iter_mut().find(|known| known.what == *what) {
            Some(known) => {
                known.days += days;
                known.share = known.share.max(*share);
            }
            None => all.push(OnPath { what: what.clone(), days, share: *share }),
        }
    }
    all.retain(|known| known.share >= 0.05);
    all.sort_by(|a, b| b.days.total_cmp(&a.days));
    all.truncate(TOLD);
    all
}
