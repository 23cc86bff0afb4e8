//! The days told in words.

use chrono::{Datelike, NaiveDate};

use super::{Days, Ends, HouseDays, Job, Moved, counted};
use crate::build::entry::Work;
use crate::build::stage::STAGES;
use crate::build::telling::people;

/// The days for which a month needs no year.
const WITHIN_A_YEAR: i64 = 300;

/// When a house may be done: `8 - 12 - 17 Nov`.
#[must_use]
pub fn ends(ends: &Ends, today: NaiveDate) -> String {
    match ends {
        Ends::Done => "no work left".to_owned(),
        Ends::Dates { early, likely, late } => stretch(&[*early, *likely, *late], today),
        Ends::Overtaken { early, likely, cause, from } => {
            let known: Vec<NaiveDate> = early.iter().chain(likely).copied().collect();
            let dates = if known.is_empty() { String::new() } else { stretch(&known, today) + ", or " };
            format!("{dates}after the hold ({cause} from {})", day(*from, today))
        }
        Ends::Held { cause, from, early_days, likely_days, late_days } => {
            let to_come = if *from > today { format!(" from {}", day(*from, today)) } else { String::new() };
            let cause = if cause.is_empty() { String::new() } else { format!(" ({cause}{to_come})") };
            let days = format!("{early_days} - {likely_days} - {late_days}");
            format!("not before resuming{cause}; then {days} days")
        }
        Ends::Beyond => "later than can be planned".to_owned(),
    }
}

/// The same in so many cells, where that can be done.
#[must_use]
pub fn ends_within(end: &Ends, today: NaiveDate, cells: usize) -> String {
    let whole = ends(end, today);
    if whole.chars().count() <= cells {
        return whole;
    }
    match end {
        Ends::Dates { likely, late, .. } => {
            let near = whole.replace(" - ", "-").replace(&format!(" {}", today.year()), "");
            let year = format!(" {}", late.year());
            let short = near.replace(&year, &format!(" '{:02}", late.year() % 100));
            if short.chars().count() <= cells {
                short
            } else if (*late - today).num_days() < WITHIN_A_YEAR {
                near.replace(&year, "")
            } else {
                format!("about {}", likely.format("%b %Y"))
            }
        }
        Ends::Overtaken { early, likely, .. } => {
            let near = likely.or(*early).map(|near| format!("{} or later", day(near, today)));
            near.filter(|near| near.chars().count() <= cells).unwrap_or_else(|| "after the hold".to_owned())
        }
        Ends::Held { .. } => "not before resuming".to_owned(),
        Ends::Done | Ends::Beyond => whole,
    }
}

/// Dates in a row; a month or year is told once where it is the same.
fn stretch(dates: &[NaiveDate], today: NaiveDate) -> String {
    let told = |(at, date): (usize, &NaiveDate)| {
        let next = dates.get(at + 1);
        let same_year = next.map_or(date.year() == today.year(), |next| next.year() == date.year());
        let same_month = next.is_some_and(|next| (next.year(), next.month()) == (date.year(), date.month()));
        let format = match (same_month, same_year) {
            (true, _) => "%-d",
            (false, true) => "%-d %b",
            (false, false) => "%-d %b %Y",
        };
        date.format(format).to_string()
    };
    dates.iter().enumerate().map(told).collect::<Vec<_>>().join(" - ")
}

/// A day as people tell it: `21 Oct`, with the year where it is another.
#[must_use]
pub fn day(date: NaiveDate, today: NaiveDate) -> String {
    stretch(&[date], today)
}

/// The caution that stands first at the stage of a work, where people stand
/// in a hole, under a load or high up.
#[must_use]
pub fn caution(job: &Job) -> Option<&'static str> {
    let stage = match job.work {
        Work::Digging | Work::Posts => "posts",
        Work::Beams => "beams",
        Work::Raising => "ridge",
        Work::Thatching => "thatch",
        Work::Capping => "cap",
        _ => return None,
    };
    STAGES.iter().find(|known| known.id == stage)?.cautions.first().copied()
}

/// A piece of work in words: `thatching, part 2 of the roof`, from the eave.
#[must_use]
pub fn piece(job: &Job) -> String {
    match job.part {
        0 => job.work.word().to_owned(),
        part => format!("{}, part {part} of the roof", job.work),
    }
}

/// What a crew does on a day: `digging and posts at Tern house`; empty where
/// it has nothing to do.
#[must_use]
pub fn doing(days: &Days, crew: usize, day: NaiveDate) -> String {
    let mut told: Vec<(&str, Vec<String>)> = Vec::new();
    for (house, job) in days.on(crew, day) {
        let more = more_needed(days, job);
        let says =
            if more == 0 { job.says().to_owned() } else { format!("{} ({more} more needed)", job.says()) };
        match told.iter_mut().find(|(name, _)| *name == house.name) {
            Some((_, works)) if works.contains(&says) => {}
            Some((_, works)) => works.push(says),
            None => told.push((&house.name, vec![says])),
        }
    }
    let told = told.iter().map(|(name, works)| format!("{} at {name}", works.join(" and ")));
    told.collect::<Vec<_>>().join("; ")
}

/// How many people a piece of work asks for beside its crew.
#[must_use]
pub fn more_needed(days: &Days, job: &Job) -> u32 {
    job.asks.saturating_sub(days.crews.get(job.crew).map_or(0, |now| now.crew.size))
}

/// How many people the raising of a house asks for, and how many more than its
/// crew is; none where it is not ahead.
#[must_use]
pub fn raising(days: &Days, house: &HouseDays) -> Option<String> {
    let job = house.jobs.iter().find(|job| job.asks > 0)?;
    Some(format!("{} {}", job.says(), hands(days, job)?))
}

/// How many people a piece of work asks for, and how many more than its crew
/// is; none where any number will do.
#[must_use]
pub fn hands(days: &Days, job: &Job) -> Option<String> {
    let asks = (job.asks > 0).then(|| format!("asks {} at the poles", people(job.asks)))?;
    let more = more_needed(days, job);
    let Some(crew) = days.crews.get(job.crew).map(|now| &now.crew).filter(|_| more > 0) else {
        return Some(asks);
    };
    let are = if more == 1 { "is" } else { "are" };
    Some(format!("{asks}: with {} ({}), {more} more {are} needed", crew.name, crew.size))
}

/// What is to be read again at a house in these pieces of its work: `read again what the storm can have changed (12 points: posts, beams)`.
#[must_use]
pub fn reading_again(house: &HouseDays, jobs: &[&Job]) -> String {
    let points: u32 = jobs.iter().map(|job| job.again).sum();
    let at: Vec<&str> = jobs.iter().map(|job| job.work.word()).collect();
    let what = if house.after_storm { "what the storm can have changed" } else { "what is in doubt" };
    let unit = if points == 1 { "point" } else { "points" };
    format!("read again {what} ({points} {unit}: {})", at.join(", "))
}

/// What a crew does today: what was told, else what is planned.
#[must_use]
pub fn today(days: &Days, crew: usize) -> String {
    let seen = days.crews.get(crew).and_then(|now| now.seen.as_ref());
    if let Some((house, work, _)) = seen.filter(|(_, _, day)| *day == days.today) {
        return format!("{work} at {house}, told");
    }
    match doing(days, crew, days.today) {
        _ if days.calendar.is_closed(days.today) => "nobody works".to_owned(),
        nothing if nothing.is_empty() => "nothing to do".to_owned(),
        doing => doing,
    }
}

/// What became of a house's likely day, with its name.
#[must_use]
pub fn moved(moved: &Moved, today: NaiveDate) -> String {
    format!("{}: {}", moved.name, moved_by(moved, today))
}

/// What became of a house's likely day: that day is told wherever a house is,
/// the last day of its plan is not.
#[must_use]
pub fn moved_by(moved: &Moved, today: NaiveDate) -> String {
    let said = match moved.likely {
        (Some(from), Some(to)) if from == to => format!("still likely by {}", day(to, today)),
        (Some(from), Some(to)) => {
            let by = (to - from).num_days();
            let (many, way) = (by.abs(), if by > 0 { "later" } else { "sooner" });
            let days = if many == 1 { "day" } else { "days" };
            format!("{many} {days} {way}, likely by {} instead of {}", day(to, today), day(from, today))
        }
        (Some(from), None) => format!("no likely day any more; it was {}", day(from, today)),
        (None, None) => "still no likely day".to_owned(),
        (None, Some(to)) => format!("a likely day again, {}", day(to, today)),
    };
    let pieces = if moved.jobs == 1 { "1 piece" } else { &format!("{} pieces", moved.jobs) };
    format!("{said} ({pieces} moved)")
}

/// How much of a piece of work is left: `20 panels`, `half of it`.
#[must_use]
pub fn left(job: &Job) -> String {
    const SHARES: [(f64, &str); 8] = [
        (1.0, "all of it"),
        (0.75, "three quarters of it"),
        (2.0 / 3.0, "two thirds of it"),
        (0.5, "half of it"),
        (1.0 / 3.0, "a third of it"),
        (0.25, "a quarter of it"),
        (0.2, "a fifth of it"),
        (0.1, "a tenth of it"),
    ];
    match job.work {
        Work::SetOut | Work::Raising => {
            let off = |share: f64| (share - job.left).abs();
            let near = SHARES.iter().min_by(|a, b| off(a.0).total_cmp(&off(b.0)));
            near.map_or("", |(_, words)| *words).to_owned()
        }
        work => counted(work, job.left.ceil()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::days::{Chore, Left, Village};
    use crate::build::entry::Crew;
    use crate::build::glance::Glance;
    use crate::build::trial::Trial;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn dates_tell_their_month_once() {
        let today = date("2030-10-14");
        let told = |dates: [&str; 3]| {
            let [early, likely, late] = dates.map(date);
            ends(&Ends::Dates { early, likely, late }, today)
        };
        assert_eq!(told(["2030-11-08", "2030-11-12", "2030-11-17"]), "8 - 12 - 17 Nov");
        assert_eq!(told(["2030-10-28", "2030-11-02", "2030-11-17"]), "28 Oct - 2 - 17 Nov");
        assert_eq!(told(["2030-12-28", "2031-01-02", "2031-01-17"]), "28 Dec 2030 - 2 - 17 Jan 2031");
        assert_eq!(told(["2031-01-01", "2031-01-02", "2031-02-17"]), "1 - 2 Jan - 17 Feb 2031");
    }

    #[test]
    fn what_is_left_is_told_as_a_builder_says_it() {
        let told = |work, much| {
            let (crew, after, likely_days, days) = (0, Vec::new(), 1.0, 1);
            let (start, not_before, first, last) = (0, 0, None, None);
            left(&Job {
                work,
                part: 0,
                left: much,
                again: 0,
                asks: 0,
                crew,
                after,
                likely_days,
                days,
                start,
                not_before,
                first,
                last,
            })
        };
        assert_eq!(told(Work::SetOut, 0.2), "a fifth of it");
        assert_eq!(told(Work::Raising, 1.0), "all of it");
        assert_eq!(told(Work::Digging, 1.0), "1 hole");
        assert_eq!(told(Work::Beams, 1.0), "1 beam or plate");
        assert_eq!(told(Work::Frame, 3.2), "4 rafters");
    }

    /// A house of which the ridge is still to be raised, by so many.
    fn to_raise(size: u32) -> Days {
        let mut house = Glance::of(&Trial::new("Tern house").house());
        let raising = Chore { work: Work::Raising, part: 0, left: 1.0, again: 0, after: Vec::new() };
        house.work = Left { chores: vec![raising], people: 9, ..Left::default() };
        let stone = Crew { name: "Stone".to_owned(), size, works: Vec::new() };
        let village = Village { crews: vec![stone], ..Village::default() };
        Days::of(&[house], &village, date("2030-10-14")).unwrap()
    }

    #[test]
    fn a_raising_says_how_many_it_asks_for_and_how_many_the_crew_lacks() {
        let days = to_raise(5);
        let short = "raising asks 9 people at the poles: with Stone (5), 4 more are needed";
        assert_eq!(raising(&days, &days.houses[0]).unwrap(), short);
        assert_eq!(doing(&days, 0, days.today), "raising (4 more needed) at Tern house");
        let one = to_raise(8);
        assert!(raising(&one, &one.houses[0]).unwrap().ends_with("1 more is needed"));
        let enough = to_raise(9);
        assert_eq!(raising(&enough, &enough.houses[0]).unwrap(), "raising asks 9 people at the poles");
        assert_eq!(doing(&enough, 0, days.today), "raising at Tern house");
    }

    #[test]
    fn the_worst_of_a_work_is_told_with_it() {
        let days = to_raise(5);
        let job = &days.houses[0].jobs[0];
        let of = |work| caution(&Job { work, ..job.clone() });
        assert!(of(Work::Raising).is_some_and(|says| says.starts_with("The most dangerous step")));
        for work in [Work::Digging, Work::Posts, Work::Beams, Work::Thatching, Work::Capping] {
            assert!(of(work).is_some(), "{work}");
        }
        assert_eq!(of(Work::Digging), of(Work::Posts));
        assert_eq!(of(Work::Weaving), None);
    }

    #[test]
    fn a_hold_that_may_come_first_is_told_with_the_dates_before_it() {
        let told = |early: Option<&str>, likely: Option<&str>| {
            let (early, likely) = (early.map(date), likely.map(date));
            let end = Ends::Overtaken { early, likely, cause: "feast".to_owned(), from: date("2030-12-24") };
            let today = date("2030-12-14");
            (ends(&end, today), ends_within(&end, today, 20))
        };
        let (whole, narrow) = told(Some("2030-12-21"), Some("2030-12-23"));
        assert_eq!(whole, "21 - 23 Dec, or after the hold (feast from 24 Dec)");
        assert_eq!(narrow, "23 Dec or later");
        assert_eq!(told(Some("2030-12-23"), None).0, "23 Dec, or after the hold (feast from 24 Dec)");
        let (whole, narrow) = told(None, None);
        assert_eq!(
            (whole.as_str(), narrow.as_str()),
            ("after the hold (feast from 24 Dec)", "after the hold")
        );
    }

    #[test]
    fn dates_are_told_in_a_narrow_column() {
        let dates =
            |early, likely, late| Ends::Dates { early: date(early), likely: date(likely), late: date(late) };
        let told = |end: Ends| ends_within(&end, date("2030-10-14"), 20);
        assert_eq!(told(dates("2030-11-08", "2030-11-12", "2030-11-17")), "8 - 12 - 17 Nov");
        assert_eq!(told(dates("2030-10-28", "2030-11-30", "2030-12-17")), "28 Oct-30 Nov-17 Dec");
        assert_eq!(told(dates("2030-12-28", "2031-01-02", "2031-01-17")), "28 Dec-2-17 Jan '31");
        let narrow = |end: Ends| ends_within(&end, date("2030-10-14"), 18);
        assert_eq!(narrow(dates("2030-12-18", "2030-12-26", "2031-01-05")), "18-26 Dec-5 Jan");
        assert_eq!(narrow(dates("2031-12-18", "2031-12-26", "2032-01-05")), "about Dec 2031");
    }

    #[test]
    fn a_house_that_moved_says_by_how_much() {
        let told = |from: Option<&str>, to: Option<&str>| {
            let likely = (from.map(date), to.map(date));
            let (house, name) = (uuid::Uuid::nil(), "Tern house".to_owned());
            let house = Moved { house, name, from: None, to: None, likely, jobs: 1 };
            moved(&house, date("2030-10-14"))
        };
        let later = "Tern house: 2 days later, likely by 19 Oct instead of 17 Oct (1 piece moved)";
        assert_eq!(told(Some("2030-10-17"), Some("2030-10-19")), later);
        assert!(told(Some("2030-10-17"), Some("2030-10-16")).contains("1 day sooner"));
        assert!(told(Some("2030-10-17"), Some("2030-10-17")).contains("still likely by 17 Oct"));
        assert!(told(Some("2030-10-17"), None).contains("no likely day any more; it was 17 Oct (1 piece"));
        assert!(told(None, Some("2030-10-16")).contains("a likely day again, 16 Oct"));
    }
}
