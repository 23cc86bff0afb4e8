//! Crews, rates, closed days and the weather, as they are listed.

use chrono::{NaiveDate, Weekday};

use super::plan::CrewNow;
use super::rates::{Rate, Rates, counted};
use super::telling::day;
use super::village::Village;
use crate::build::accept::told;
use crate::build::entry::{Closed, ClosedDays, Crew, Work};
use crate::build::telling::{month, people};

/// How a day counts that is far from what was known.
pub const ODD: &str = "An odd day counts as three times the rate known before it, or a third.";

/// What a crew does, in words.
#[must_use]
pub fn works(crew: &Crew) -> String {
    let works: Vec<&str> = crew.works.iter().map(|work| work.word()).collect();
    if works.is_empty() { "anything but weaving".to_owned() } else { works.join(", ") }
}

/// What a crew was told to have done last; empty where nothing was.
#[must_use]
pub fn seen(now: &CrewNow, today: NaiveDate) -> String {
    let told = now.seen.as_ref().map(|(house, work, on)| format!("{}: {work} at {house}", day(*on, today)));
    told.unwrap_or_default()
}

/// A crew in a line: `Reef, 6 people, for weaving; last told 14 Oct: …`.
#[must_use]
pub fn crew(now: &CrewNow, today: NaiveDate) -> String {
    let assumed = if now.assumed { " (taken for granted; nobody named it)" } else { "" };
    let seen = seen(now, today);
    let seen = if seen.is_empty() { seen } else { format!("; last told {seen}") };
    format!("{}, {}, for {}{assumed}{seen}", now.crew.name, people(now.crew.size), works(&now.crew))
}

/// What a person does in a day of each work, in three columns: the work, how
/// much, and how that is known. The usual stands in brackets beside what was
/// learnt.
#[must_use]
pub fn rates(rates: &Rates) -> Vec<[String; 3]> {
    rates.all().map(|rate| [rate.work.to_string(), much(rate), known(rate)]).collect()
}

/// Whether a day was told that counts otherwise than it was told.
#[must_use]
pub fn any_odd(rates: &Rates) -> bool {
    rates.all().any(|rate| rate.odd > 0)
}

fn much(rate: &Rate) -> String {
    let each = |each: f64| match rate.work {
        Work::SetOut | Work::Raising => format!("a house in {}", in_days(1.0 / each)),
        work => counted(work, each),
    };
    let usual = super::usual(rate.work).filter(|_| rate.days > 0);
    let bare = |each: f64| match rate.work {
        Work::SetOut | Work::Raising => in_days(1.0 / each),
        _ => told(each),
    };
    let usual = usual.map_or_else(String::new, |usual| format!(" ({})", bare(usual)));
    format!("{}{usual}", each(rate.per_person_day))
}

fn in_days(days: f64) -> String {
    let days = told(days);
    if days == "1" { "1 day".to_owned() } else { format!("{days} days") }
}

fn known(rate: &Rate) -> String {
    if rate.days == 0 {
        return "as is usual".to_owned();
    }
    let days = if rate.days == 1 { "1 day".to_owned() } else { format!("{} days", rate.days) };
    let odd = if rate.odd == 0 { String::new() } else { format!(", {} odd", rate.odd) };
    format!("{:.0} % learnt from {days}{odd}", rate.learnt() * 100.0)
}

/// On which days nobody works, those that are over left out, and the weather;
/// a sentence each.
#[must_use]
pub fn village(village: &Village, today: NaiveDate) -> Vec<String> {
    village.closed.iter().filter_map(|closed| nobody_works(closed, today)).chain(weather(village)).collect()
}

fn nobody_works(closed: &Closed, today: NaiveDate) -> Option<String> {
    let why = if closed.cause.is_empty() { String::new() } else { format!(": {}", closed.cause) };
    Some(match closed.days {
        ClosedDays::Weekly(day) => format!("Nobody works on a {}{why}.", weekday(day)),
        ClosedDays::Dates { to, .. } if to < today => return None,
        ClosedDays::Dates { from, to } if from == to => format!("Nobody works on {from}{why}."),
        ClosedDays::Dates { from, to } => format!("Nobody works from {from} to {to}{why}."),
    })
}

fn weather(village: &Village) -> Option<String> {
    let told = (1..).zip(village.weather).filter_map(|(number, chance): (u32, _)| Some((number, chance?)));
    let months = told.enumerate().map(|(at, (number, chance))| {
        let (month, lost) = (month(number), chance * 100.0);
        if at == 0 {
            format!("Of 100 days in {month}, {lost:.0} are lost to weather")
        } else {
            format!("in {month} {lost:.0}")
        }
    });
    let months: Vec<String> = months.collect();
    (!months.is_empty()).then(|| months.join("; ") + ".")
}

/// A day of the week.
#[must_use]
pub fn weekday(day: Weekday) -> &'static str {
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
        .get(day.num_days_from_monday() as usize)
        .copied()
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::days::Done;

    #[test]
    fn a_rate_is_told_as_a_builder_says_it() {
        let weaving = Done {
            at: "2030-10-14T17:00:00+10:00".parse().unwrap(),
            entry: uuid::Uuid::nil(),
            work: Work::Weaving,
            person_days: 6.0,
            done: 900.0,
        };
        let all = rates(&Rates::of([weaving].iter()));
        let of = |work: Work| all.iter().find(|row| row[0] == work.word()).unwrap()[1..].to_vec();
        assert_eq!(of(Work::SetOut), ["a house in 4 days", "as is usual"]);
        assert_eq!(of(Work::Beams), ["1.5 beams or plates", "as is usual"]);
        assert_eq!(of(Work::Weaving), ["25 panels (15)", "33 % learnt from 1 day, 1 odd"]);
    }

    #[test]
    fn the_weather_is_told_by_the_names_of_the_months() {
        let mut told = Village::default();
        told.weather[10] = Some(0.12);
        let today = "2030-10-14".parse().unwrap();
        assert_eq!(village(&told, today), ["Of 100 days in November, 12 are lost to weather."]);
        told.weather[11] = Some(0.3);
        let both = "Of 100 days in November, 12 are lost to weather; in December 30.";
        assert_eq!(village(&told, today), [both]);
    }

    #[test]
    fn a_feast_that_is_over_is_listed_no_more() {
        let dates =
            |to: &str| ClosedDays::Dates { from: "2030-10-01".parse().unwrap(), to: to.parse().unwrap() };
        let closed = |to: &str| Closed { days: dates(to), cause: "feast".to_owned() };
        let told = Village { closed: vec![closed("2030-10-13"), closed("2030-10-14")], ..Village::default() };
        let listed = village(&told, "2030-10-14".parse().unwrap());
        assert_eq!(listed, ["Nobody works from 2030-10-01 to 2030-10-14: feast."]);
    }

    #[test]
    fn one_person_is_no_people() {
        let now = CrewNow {
            crew: Crew { name: "Ilo".to_owned(), size: 1, works: vec![Work::Weaving] },
            assumed: false,
            seen: None,
        };
        assert_eq!(crew(&now, "2030-10-14".parse().unwrap()), "Ilo, 1 person, for weaving");
    }
}
