//! What the houses have together that the days hang on: crews, closed days,
//! the weather, stops of all the work.

use std::collections::BTreeSet;

use chrono::{Datelike, NaiveDate, Weekday};
use uuid::Uuid;

use super::left::Stop;
use crate::build::entry::{Closed, ClosedDays, Crew, Entry, What, Work};
use crate::build::house::holds_of_all;

/// What the houses have together, as the entries about all of them have it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Village {
    /// The crews there are, in the order they were first named.
    pub crews: Vec<Crew>,
    /// The days nobody works, each once.
    pub closed: Vec<Closed>,
    /// The chance that a day of each month is lost; none where nothing was told.
    pub weather: [Option<f64>; 12],
    /// Every stop of all the work.
    pub stops: Vec<Stop>,
}

impl Village {
    /// From the entries about all houses, in order.
    #[must_use]
    pub fn of(entries: &[Entry]) -> Self {
        let struck: BTreeSet<Uuid> = entries
            .iter()
            .filter_map(|e| match e.what {
                What::Strike { entry, .. } => Some(entry),
                _ => None,
            })
            .collect();
        let mut village =
            Self { stops: holds_of_all(entries).iter().map(Stop::of).collect(), ..Self::default() };
        for entry in entries.iter().filter(|e| !struck.contains(&e.id)) {
            village.take(&entry.what);
        }
        village.crews.retain(|crew| crew.size > 0);
        village
    }

    fn take(&mut self, what: &What) {
        match what {
            What::Crew(crew) => match self.crews.iter_mut().find(|known| same(&known.name, &crew.name)) {
                Some(known) => known.clone_from(crew),
                None => self.crews.push(crew.clone()),
            },
            What::Closed(closed) if !self.closed.iter().any(|known| known.days == closed.days) => {
                self.closed.push(closed.clone());
            }
            What::Weather(weather) => {
                let at = usize::try_from(weather.month).ok().and_then(|m| m.checked_sub(1));
                if let Some(chance) = at.and_then(|at| self.weather.get_mut(at)) {
                    *chance = Some(weather.chance);
                }
            }
            _ => {}
        }
    }

    /// A crew by its name, in any case.
    #[must_use]
    pub fn crew(&self, name: &str) -> Option<&Crew> {
        self.crews.iter().find(|crew| same(&crew.name, name))
    }

    /// The days of the week that are closed.
    #[must_use]
    pub fn weekly(&self) -> Vec<Weekday> {
        let weekly = |closed: &Closed| match closed.days {
            ClosedDays::Weekly(day) => Some(day),
            ClosedDays::Dates { .. } => None,
        };
        self.closed.iter().filter_map(weekly).collect()
    }

    /// First and last days on which nobody works: closed days, and stops of
    /// all the work of which the end is known.
    pub fn spans(&self) -> impl Iterator<Item = (NaiveDate, NaiveDate)> + '_ {
        let closed = self.closed.iter().filter_map(|closed| match closed.days {
            ClosedDays::Dates { from, to } => Some((from, to)),
            ClosedDays::Weekly(_) => None,
        });
        let stopped = self.stops.iter().filter_map(|stop| {
            let (from, to) = stop.days();
            Some((from, to?.pred_opt()?)).filter(|(from, to)| from <= to)
        });
        closed.chain(stopped)
    }

    /// The chance that a day is lost to weather, on the mean of some days; 0
    /// for months of which nothing was told.
    #[must_use]
    pub fn chance(&self, days: impl Iterator<Item = NaiveDate>) -> f64 {
        let (mut sum, mut count) = (0.0, 0_u32);
        for day in days {
            sum += self.weather.get(day.month0() as usize).copied().flatten().unwrap_or(0.0);
            count += 1;
        }
        if count == 0 { 0.0 } else { sum / f64::from(count) }
    }
}

/// Whether two names are the same in any case.
#[must_use]
pub fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

/// Whether a crew does a work.
#[must_use]
pub fn does(crew: &Crew, work: Work) -> bool {
    if crew.works.is_empty() { work != Work::Weaving } else { crew.works.contains(&work) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::entry::{Moment, Weather};

    fn told(whats: Vec<What>) -> Village {
        let at: Moment = "2030-10-14T08:00:00+10:00".parse().unwrap();
        let entry = |(n, what)| Entry {
            id: Uuid::from_u128(n),
            house: None,
            happened: at + chrono::Duration::minutes(n as i64),
            written: at,
            by: "Oru".to_owned(),
            what,
        };
        Village::of(&(1..).zip(whats).map(entry).collect::<Vec<_>>())
    }

    fn crew(name: &str, size: u32) -> What {
        What::Crew(Crew { name: name.to_owned(), size, works: Vec::new() })
    }

    #[test]
    fn a_crew_named_again_is_the_same_crew_and_one_that_ended_is_none() {
        let village = told(vec![crew("North", 5), crew("Reef", 3), crew("north", 6), crew("Reef", 0)]);
        assert_eq!(village.crews.len(), 1);
        assert_eq!(village.crew("NORTH").unwrap().size, 6);
    }

    #[test]
    fn what_is_struck_does_not_count() {
        let closed = What::Closed(Closed { days: ClosedDays::Weekly(Weekday::Sun), cause: String::new() });
        let strike = What::Strike { entry: Uuid::from_u128(1), why: "not this year".to_owned() };
        assert_eq!(told(vec![closed.clone()]).weekly(), [Weekday::Sun]);
        assert_eq!(told(vec![closed, strike]).weekly(), []);
    }

    #[test]
    fn the_weather_of_a_stretch_is_the_mean_of_its_days() {
        let village = told(vec![What::Weather(Weather { month: 11, chance: 0.3 })]);
        let days = ["2030-10-30", "2030-10-31", "2030-11-01"].map(|d| d.parse().unwrap());
        assert!((village.chance(days.into_iter()) - 0.1).abs() < 1e-12);
        assert_eq!(village.chance([].into_iter()), 0.0);
    }

    #[test]
    fn a_crew_for_which_nothing_is_said_does_all_but_weave() {
        let all = Crew { name: "North".to_owned(), size: 4, works: Vec::new() };
        assert!(does(&all, Work::Thatching) && !does(&all, Work::Weaving));
        let weavers = Crew { works: vec![Work::Weaving], ..all };
        assert!(does(&weavers, Work::Weaving) && !does(&weavers, Work::Posts));
    }
}
