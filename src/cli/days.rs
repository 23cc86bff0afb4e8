//! `days`: what the crews should do on which day, and when each house may be
//! done.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::columns::{Side, lined_up};
use super::error::CliError;
use super::houses::cannot_be_told;
use super::says::Said;
use super::scribe::Scribe;
use crate::book::DaysTold;
use crate::build::days::{Days as Plan, Ends, HouseDays, Job, counted_in, in_words, moved, telling};
use crate::build::telling::people;

/// The keys of `days --json`.
const JSON: &str = "\
JSON: {today, next, crews: [{name, size, assumed, today: [task], tomorrow: [task]}],
  houses: [{id, name, early, likely, late, done, held: {cause, from, early_days,
    likely_days, late_days} | null, or_after: {cause, from} | null,
    hangs_on: [{what, days, share}], tasks: [task]}],
  moved: [{id, name, from, to, likely_from, likely_to, tasks}], assumed: [sentences]}
  task: {house, work, part, left, counted_in, read_again, people, more_needed, crew,
    from, to}
  read_again is how many points are to be read again, where a task is nothing else
  people is how many it asks for at once, more_needed how many of them the crew lacks
  from and to of moved are the last day of the plan, all going as is likely
  next is the first working day after today; a day is null where it cannot be told
  or_after is a hold to come, of unknown end, that may begin before the house is done";

/// What the crews should do on which day, and when each house may be done.
///
/// A crew goes to one house at a time, whole; the house with the most stages
/// signed is served first, of those alike the one started first. Early, likely and late: one time in ten, one in two and
/// nine in ten the house is done by then.
#[derive(Debug, clap::Args)]
#[command(after_help = JSON)]
pub(super) struct DaysArgs {
    /// Only what each crew does on the next working day, to print
    #[arg(long)]
    tomorrow: bool,
}

impl DaysArgs {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let asked = scribe.open_to_tell()?.days(scribe.stamp.now)?;
        let told = asked.plan()?;
        if scribe.json {
            let mut json = as_json(&told);
            let untold =
                asked.untold.iter().map(|(line, why)| json!({ "id": line.id, "why": why.to_string() }));
            json["untold"] = untold.collect();
            return Ok(Said::Json(json));
        }
        let mut lines = if self.tomorrow { tomorrow(&told.now) } else { lines(&told) };
        lines.extend(cannot_be_told(&asked.untold));
        Ok(Said::Lines(lines))
    }
}

fn lines(told: &DaysTold) -> Vec<String> {
    let days = &told.now;
    if days.houses.is_empty() {
        return vec!["No house is in the book yet; there is nothing to plan.".to_owned()];
    }
    let head = ["house", "early - likely - late, and what holds it"].map(str::to_owned).to_vec();
    let rows: Vec<Vec<String>> =
        std::iter::once(head).chain(days.houses.iter().flat_map(|house| rows(days, house))).collect();
    let mut lines = lined_up("", &[Side::Left, Side::Left], &rows);
    lines.push(String::new());
    lines.extend(crews(days));
    if let Some(before) = &told.before {
        let moved = moved(before, days);
        if !moved.is_empty() {
            lines.push(String::new());
            lines.push("Moved since yesterday:".to_owned());
            lines.extend(moved.iter().map(|m| format!("  {}", telling::moved(m, days.today))));
        }
    }
    if !days.assumed.is_empty() {
        lines.push(String::new());
    }
    lines.extend(days.assumed.iter().cloned());
    lines
}

/// The dates of a house, and below them what holds it and whom it asks for.
fn rows(days: &Plan, house: &HouseDays) -> impl Iterator<Item = Vec<String>> {
    let hangs = Some(in_words(&house.on_path)).filter(|hangs| !hangs.is_empty());
    let below = hangs.into_iter().chain(telling::raising(days, house));
    std::iter::once(vec![house.name.clone(), telling::ends(&house.ends, days.today)])
        .chain(below.map(|line| vec![String::new(), line]))
}

fn crews(days: &Plan) -> Vec<String> {
    let next = days.next_worked(days.today);
    let rows: Vec<Vec<String>> = days
        .crews
        .iter()
        .enumerate()
        .flat_map(|(at, now)| {
            let today = telling::today(days, at);
            let then = next.map(|day| nothing_or(telling::doing(days, at, day))).unwrap_or_default();
            let on = next.map_or_else(|| "then".to_owned(), |day| telling::day(day, days.today));
            let who = format!("{} ({})", now.crew.name, now.crew.size);
            [vec![who, "today".to_owned(), today], vec![String::new(), on, then]]
        })
        .collect();
    lined_up("", &[Side::Left, Side::Left, Side::Left], &rows)
}

fn nothing_or(doing: String) -> String {
    if doing.is_empty() { "nothing to do".to_owned() } else { doing }
}

/// What each crew does on the next working day. A caution is told once.
fn tomorrow(days: &Plan) -> Vec<String> {
    let Some(day) = days.next_worked(days.today) else { return Vec::new() };
    let mut lines = vec![day.format("%A %-d %B %Y").to_string()];
    let mut cautioned: Vec<&str> = Vec::new();
    for (at, now) in days.crews.iter().enumerate() {
        lines.push(format!("{} ({}):", now.crew.name, people(now.crew.size)));
        let jobs = days.on(at, day);
        if jobs.is_empty() {
            lines.push("  nothing to do".to_owned());
        }
        lines.extend(again(&jobs, days.today));
        for (house, job) in jobs.into_iter().filter(|(_, job)| job.again == 0) {
            let (piece, left) = (telling::piece(job), telling::left(job));
            lines.push(format!("  {}: {piece} ({left} left){}", house.name, until(job.last, days.today)));
            lines.extend(telling::hands(days, job).map(|hands| format!("    {hands}")));
            if let Some(caution) = telling::caution(job).filter(|caution| !cautioned.contains(caution)) {
                cautioned.push(caution);
                lines.push(format!("    ! {caution}"));
            }
        }
    }
    lines.extend(days.assumed.iter().cloned());
    lines
}

/// What is to be read again, a line for each house.
fn again(jobs: &[(&HouseDays, &Job)], today: NaiveDate) -> Vec<String> {
    let of_houses = jobs.chunk_by(|(house, _), (next, _)| house.id == next.id);
    let line = |jobs: &[(&HouseDays, &Job)]| {
        let house = jobs.first()?.0;
        let again: Vec<&Job> = jobs.iter().map(|(_, job)| *job).filter(|job| job.again > 0).collect();
        let last = again.iter().map(|job| job.last).max()?;
        let says = telling::reading_again(house, &again);
        Some(format!("  {}: {says}{}", house.name, until(last, today)))
    };
    of_houses.filter_map(line).collect()
}

fn until(last: Option<NaiveDate>, today: NaiveDate) -> String {
    last.map_or_else(String::new, |last| format!(", until {}", telling::day(last, today)))
}

fn as_json(told: &DaysTold) -> Value {
    let days = &told.now;
    let next = days.next_worked(days.today);
    let crews = days.crews.iter().enumerate().map(|(at, now)| {
        let on = |day: Option<NaiveDate>| -> Vec<Value> {
            let jobs = day.map(|day| days.on(at, day)).unwrap_or_default();
            jobs.into_iter().map(|(house, job)| task(days, house, job)).collect()
        };
        json!({
            "name": now.crew.name, "size": now.crew.size, "assumed": now.assumed,
            "today": on(Some(days.today)), "tomorrow": on(next),
        })
    });
    let moved = told.before.as_ref().map(|before| moved(before, days)).unwrap_or_default();
    let moved = moved.into_iter().map(|m| {
        json!({
            "id": m.house, "name": m.name, "from": m.from, "to": m.to,
            "likely_from": m.likely.0, "likely_to": m.likely.1, "tasks": m.jobs,
        })
    });
    json!({
        "today": days.today,
        "next": next,
        "crews": crews.collect::<Vec<_>>(),
        "houses": days.houses.iter().map(|house| of_house(days, house)).collect::<Vec<_>>(),
        "moved": moved.collect::<Vec<_>>(),
        "assumed": days.assumed,
    })
}

fn of_house(days: &Plan, house: &HouseDays) -> Value {
    let (early, likely, late) = match house.ends {
        Ends::Dates { early, likely, late } => (Some(early), Some(likely), Some(late)),
        Ends::Overtaken { early, likely, .. } => (early, likely, None),
        _ => (None, None, None),
    };
    let held = match &house.ends {
        Ends::Held { cause, from, early_days, likely_days, late_days } => Some(json!({
            "cause": cause, "from": from, "early_days": early_days, "likely_days": likely_days, "late_days": late_days,
        })),
        _ => None,
    };
    let overtaken = match &house.ends {
        Ends::Overtaken { cause, from, .. } => Some(json!({ "cause": cause, "from": from })),
        _ => None,
    };
    let hangs_on = house.on_path.iter().map(|p| json!({ "what": p.what, "days": p.days, "share": p.share }));
    json!({
        "id": house.id,
        "name": house.name,
        "early": early,
        "likely": likely,
        "late": late,
        "done": house.ends == Ends::Done,
        "held": held,
        "or_after": overtaken,
        "hangs_on": hangs_on.collect::<Vec<_>>(),
        "tasks": house.jobs.iter().map(|job| task(days, house, job)).collect::<Vec<_>>(),
    })
}

fn task(days: &Plan, house: &HouseDays, job: &Job) -> Value {
    json!({
        "house": house.name,
        "work": job.work,
        "part": job.part,
        "left": job.left,
        "counted_in": counted_in(job.work),
        "read_again": job.again,
        "people": (job.asks > 0).then_some(job.asks),
        "more_needed": telling::more_needed(days, job),
        "crew": days.crews.get(job.crew).map(|now| now.crew.name.as_str()),
        "from": job.first,
        "to": job.last,
    })
}
