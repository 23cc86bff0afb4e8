//! The days that are worked, and back from their numbers to dates.

use chrono::{Datelike, Days, NaiveDate, Weekday};

/// The day on which a plan stops counting, in working days.
pub const FAR: u64 = 100_000;

/// Which days are worked, counted from a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Calendar {
    today: NaiveDate,
    weekly: Vec<Weekday>,
    /// First and last days, both closed, apart from one another and in order.
    spans: Vec<(NaiveDate, NaiveDate)>,
    worked: Vec<NaiveDate>,
}

/// A calendar in which no day is worked.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "no day is worked: every day of the week is closed, or all days to come; strike one of these entries"
)]
pub struct NeverWorked;

impl Calendar {
    /// A calendar that begins today.
    ///
    /// # Errors
    /// Where no day is worked.
    pub fn new(
        today: NaiveDate,
        weekly: &[Weekday],
        spans: impl IntoIterator<Item = (NaiveDate, NaiveDate)>,
    ) -> Result<Self, NeverWorked> {
        let mut spans: Vec<_> = spans.into_iter().filter(|(_, to)| *to >= today).collect();
        spans.sort_unstable();
        let mut apart: Vec<(NaiveDate, NaiveDate)> = Vec::new();
        for (from, to) in spans {
            match apart.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => apart.push((from, to)),
            }
        }
        let mut calendar = Self { today, weekly: weekly.to_vec(), spans: apart, worked: Vec::new() };
        calendar.reach(0).ok_or(NeverWorked)?;
        Ok(calendar)
    }

    /// Whether a day is closed.
    #[must_use]
    pub fn is_closed(&self, day: NaiveDate) -> bool {
        self.weekly.contains(&day.weekday()) || self.span_of(day).is_some()
    }

    fn span_of(&self, day: NaiveDate) -> Option<(NaiveDate, NaiveDate)> {
        let at = self.spans.partition_point(|(from, _)| *from <= day);
        self.spans.get(at.checked_sub(1)?).copied().filter(|(_, to)| *to >= day)
    }

    /// The first day of it.
    #[must_use]
    pub const fn today(&self) -> NaiveDate {
        self.today
    }

    /// The date of a working day by its number, the first from today on being
    /// 0; none beyond [`FAR`] and beyond the end of the closed days to come.
    pub fn date(&mut self, number: u64) -> Option<NaiveDate> {
        self.reach(number)
    }

    fn reach(&mut self, number: u64) -> Option<NaiveDate> {
        if number >= FAR || self.weekly.len() >= 7 && all_week(&self.weekly) {
            return None;
        }
        let number = usize::try_from(number).ok()?;
        while self.worked.len() <= number {
            let mut day = match self.worked.last() {
                Some(last) => next(*last)?,
                None => self.today,
            };
            loop {
                if let Some((_, to)) = self.span_of(day) {
                    day = next(to)?;
                } else if self.weekly.contains(&day.weekday()) {
                    day = next(day)?;
                } else {
                    break;
                }
            }
            self.worked.push(day);
        }
        self.worked.get(number).copied()
    }

    /// The number of the first working day on or after a date; [`FAR`] where
    /// there is none within reach.
    pub fn number(&mut self, date: NaiveDate) -> u64 {
        let mut most = 64;
        while self.worked.last().is_some_and(|last| *last < date) {
            if self.reach(most).is_none() {
                return FAR;
            }
            most = (most * 2).min(FAR - 1).max(self.worked.len() as u64);
        }
        self.worked.partition_point(|day| *day < date) as u64
    }
}

fn all_week(weekly: &[Weekday]) -> bool {
    let mut days: Vec<u32> = weekly.iter().map(Weekday::num_days_from_monday).collect();
    days.sort_unstable();
    days.dedup();
    days.len() == 7
}

fn next(day: NaiveDate) -> Option<NaiveDate> {
    // Farther than anybody plans; nothing is looked for there.
    day.checked_add_days(Days::new(1)).filter(|next| next.year() <= 9999)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// Source: 14 October 2030 is a Monday (proleptic Gregorian calendar; any
    /// perpetual calendar); the working days were counted by hand.
    #[test]
    fn days_are_counted_past_sundays_and_a_feast() {
        let feast = (day("2030-10-18"), day("2030-10-19"));
        let mut calendar = Calendar::new(day("2030-10-14"), &[Weekday::Sun], [feast]).unwrap();
        let dates: Vec<String> = (0..7).map(|n| calendar.date(n).unwrap().to_string()).collect();
        assert_eq!(
            dates,
            [
                "2030-10-14",
                "2030-10-15",
                "2030-10-16",
                "2030-10-17",
                "2030-10-21",
                "2030-10-22",
                "2030-10-23"
            ]
        );
        assert_eq!(calendar.number(day("2030-10-18")), 4);
        assert_eq!(calendar.number(day("2030-10-21")), 4);
        assert_eq!(calendar.number(day("2030-10-01")), 0);
    }

    #[test]
    fn a_closed_day_today_lets_the_work_begin_tomorrow() {
        let mut calendar = Calendar::new(day("2030-10-20"), &[Weekday::Sun], []).unwrap();
        assert_eq!(calendar.date(0), Some(day("2030-10-21")));
        assert!(calendar.is_closed(day("2030-10-20")) && !calendar.is_closed(day("2030-10-21")));
    }

    #[test]
    fn numbers_and_dates_lead_back_to_each_other() {
        let spans = [(day("2030-12-20"), day("2031-01-05")), (day("2030-12-01"), day("2030-12-22"))];
        let mut calendar = Calendar::new(day("2030-10-14"), &[Weekday::Sun, Weekday::Wed], spans).unwrap();
        for number in (0..2000).chain([90_000]) {
            let date = calendar.date(number).unwrap();
            assert!(!calendar.is_closed(date));
            assert_eq!(calendar.number(date), number);
        }
    }

    #[test]
    fn a_week_without_a_working_day_is_told() {
        let week: Vec<Weekday> = (0..7).map(|n| Weekday::try_from(n).unwrap()).collect();
        assert_eq!(Calendar::new(day("2030-10-14"), &week, []), Err(NeverWorked));
        let ever = (day("2030-10-01"), day("9999-12-31"));
        assert_eq!(Calendar::new(day("2030-10-14"), &[], [ever]), Err(NeverWorked));
    }

    #[test]
    fn beyond_the_end_of_time_there_is_no_date() {
        let mut calendar = Calendar::new(day("2030-10-14"), &[], []).unwrap();
        assert_eq!(calendar.date(FAR), None);
        assert_eq!(calendar.number(day("9999-01-01")), FAR);
    }
}
