//! Crews, their days, closed days and the weather: words in, an entry out.

use std::ops::RangeInclusive;

use chrono::Weekday;

use super::{day, whole};
use crate::build::accept::{LONGEST_TEXT, LONGEST_WORDS, MOST, Refused, bounded, called, refuse};
use crate::build::days::counted_in;
use crate::build::entry::{Closed, ClosedDays, Crew, CrewDay, UnknownWord, Weather, What, Work};

/// The most people of a crew.
const PEOPLE: RangeInclusive<u32> = 1..=1000;

pub(super) fn crew(name: &str, size: &str, works: &str) -> Result<What, Refused> {
    called("name", name.trim())?;
    let size = whole("size", size, PEOPLE)?;
    let said = works.split([',', ' ']).filter(|word| !word.is_empty());
    let mut works: Vec<Work> = said
        .map(|word| word.parse().or_else(|e: UnknownWord| refuse("for", e.to_string())))
        .collect::<Result<_, _>>()?;
    works.sort_unstable();
    works.dedup();
    Ok(What::Crew(Crew { name: name.trim().to_owned(), size, works }))
}

pub(super) fn crew_end(name: &str) -> Result<What, Refused> {
    called("name", name.trim())?;
    Ok(What::Crew(Crew { name: name.trim().to_owned(), size: 0, works: Vec::new() }))
}

pub(super) fn crew_day(
    crew: &str,
    work: &str,
    people: &str,
    share: &str,
    done: &str,
    remark: &str,
) -> Result<What, Refused> {
    called("crew", crew.trim())?;
    let work: Work = work.trim().parse().or_else(|e: UnknownWord| refuse("work", e.to_string()))?;
    let people = whole("people", people, PEOPLE)?;
    let share = match share.trim() {
        "" => 1.0,
        said => number("share", said, 0.01..=1.0)?,
    };
    let done = match done.trim() {
        "" => None,
        _ if counted_in(work).is_empty() => {
            return refuse("done", format!("{work} is not counted; leave it out"));
        }
        said => Some(number("done", said, 0.0..=MOST)?),
    };
    bounded("remark", remark, LONGEST_TEXT)?;
    let (crew, remark) = (crew.trim().to_owned(), remark.trim().to_owned());
    Ok(What::CrewDay(CrewDay { crew, work, people, share, done, remark }))
}

pub(super) fn rest(weekday: &str, why: &str) -> Result<What, Refused> {
    let Ok(day) = weekday.trim().parse::<Weekday>() else {
        return refuse(
            "weekday",
            format!("\"{weekday}\" is no day of the week; one such as sunday would do"),
        );
    };
    closed_for(ClosedDays::Weekly(day), why)
}

pub(super) fn closed(from: &str, to: &str, why: &str) -> Result<What, Refused> {
    let first = day("from", from)?;
    let last = if to.trim().is_empty() { first } else { day("to", to)? };
    if last < first {
        return refuse("to", format!("{last} is before {first}; a later day would do"));
    }
    closed_for(ClosedDays::Dates { from: first, to: last }, why)
}

fn closed_for(days: ClosedDays, why: &str) -> Result<What, Refused> {
    bounded("why", why, LONGEST_WORDS)?;
    Ok(What::Closed(Closed { days, cause: why.trim().to_owned() }))
}

pub(super) fn weather(month: &str, chance: &str) -> Result<What, Refused> {
    let month = whole("month", month, 1..=12)?;
    Ok(What::Weather(Weather { month, chance: number("chance", chance, 0.0..=0.95)? }))
}

/// A number in a range, with a point or a comma.
fn number(field: &'static str, text: &str, range: RangeInclusive<f64>) -> Result<f64, Refused> {
    let plain = text.trim().replace(',', ".");
    let usable = plain.len() <= 20 && plain.chars().all(|c| c.is_ascii_digit() || c == '.');
    match plain.parse::<f64>() {
        Ok(n) if usable && range.contains(&n) => Ok(n),
        _ => refuse(field, format!("\"{text}\" will not do; a number, {} to {}", range.start(), range.end())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(refused: Result<What, Refused>) -> &'static str {
        refused.unwrap_err().field
    }

    #[test]
    fn a_crew_is_for_the_works_that_were_said() {
        let expected = Crew { name: "Reef".to_owned(), size: 6, works: vec![Work::Weaving, Work::Thatching] };
        assert_eq!(crew(" Reef ", "6", "thatching, weaving,weaving"), Ok(What::Crew(expected)));
        assert_eq!(field(crew("", "6", "")), "name");
        assert_eq!(field(crew("Reef", "0", "")), "size");
        assert_eq!(field(crew("Reef", "6", "singing")), "for");
    }

    #[test]
    fn a_day_of_people_is_whole_where_no_share_is_said() {
        let expected = CrewDay {
            crew: "Reef".to_owned(),
            work: Work::Thatching,
            people: 4,
            share: 1.0,
            done: Some(60.0),
            remark: String::new(),
        };
        assert_eq!(crew_day("Reef", "thatching", "4", "", "60", ""), Ok(What::CrewDay(expected)));
        for (share, done, named) in
            [("0", "60", "share"), ("1.5", "60", "share"), ("", "-1", "done"), ("", "inf", "done")]
        {
            assert_eq!(field(crew_day("Reef", "thatching", "4", share, done, "")), named);
        }
        assert_eq!(field(crew_day("Reef", "other", "4", "0,5", "3", "")), "done");
        assert_eq!(field(crew_day("Reef", "thatch", "4", "", "", "")), "work");
        assert_eq!(field(crew_day("Reef", "posts", "none", "", "", "")), "people");
    }

    #[test]
    fn closed_days_end_no_earlier_than_they_begin() {
        assert_eq!(field(closed("2030-12-26", "2030-12-24", "feast")), "to");
        assert_eq!(field(closed("tomorrow", "", "")), "from");
        let one =
            ClosedDays::Dates { from: "2030-12-24".parse().unwrap(), to: "2030-12-24".parse().unwrap() };
        let feast = Closed { days: one, cause: "feast".to_owned() };
        assert_eq!(closed("2030-12-24", "", "feast"), Ok(What::Closed(feast)));
        assert!(rest("Sunday", "").is_ok() && rest("sun", "").is_ok());
        assert_eq!(field(rest("someday", "")), "weekday");
    }

    #[test]
    fn a_chance_is_not_certain() {
        assert!(weather("11", "0.3").is_ok());
        assert_eq!(field(weather("13", "0.3")), "month");
        assert_eq!(field(weather("11", "1")), "chance");
    }
}
