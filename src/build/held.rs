//! Stops of the work: since when, until when, and what was made fast.

use chrono::{NaiveDate, TimeDelta};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::entry::{Entry, Moment, TieDown};
use super::next::day_here;
use super::record::Record;
use super::storm::is_storm;

/// A stop of the work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// Its entry.
    pub id: Uuid,
    /// Why.
    pub cause: String,
    /// Whether it was planned.
    pub planned: bool,
    /// Whether all houses were held.
    pub all: bool,
    /// From when.
    pub from: Moment,
    /// Until when, where it has ended.
    pub to: Option<Moment>,
    /// The entry that ended it.
    pub end: Option<Uuid>,
    /// What was made fast for it, the last answers to the list.
    pub tied: TieDown,
}

/// What counts as made fast for a hold: later answers take the place of
/// earlier ones.
pub(super) fn made_fast(tied: &[(Moment, TieDown)], from: Moment, to: Option<Moment>) -> TieDown {
    let since = from.checked_sub_signed(MADE_FAST_BEFORE).unwrap_or(from);
    let for_it = |at: Moment| since <= at && to.is_none_or(|to| at < to);
    let mut all = TieDown::default();
    for (_, later) in tied.iter().filter(|(at, _)| for_it(*at)) {
        all.take(later);
    }
    all
}

/// Whether two causes are the same, or both a storm.
pub(super) fn are_alike(cause: &str, other: &str) -> bool {
    is_storm(cause) && is_storm(other) || cause.to_lowercase() == other.to_lowercase()
}

/// How long before a hold what is made fast counts as made fast for it.
const MADE_FAST_BEFORE: TimeDelta = TimeDelta::days(3);

impl Held {
    /// Which day of the hold it is, the first being 1.
    #[must_use]
    pub fn day(&self, now: Moment) -> i64 {
        day_of(self.from, now)
    }

    /// Whether a moment lies in it.
    #[must_use]
    pub fn covers(&self, at: Moment) -> bool {
        self.from <= at && self.to.is_none_or(|to| at < to)
    }

    /// Whether it stops the work at a moment: it has begun, and has not ended.
    /// What was not planned has begun once it is told, whatever the clock says.
    #[must_use]
    pub fn is_on(&self, now: Moment) -> bool {
        self.covers(now) || !self.planned && self.to.is_none()
    }

    /// Whether both stop the work for the same cause.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        are_alike(&self.cause, &other.cause)
    }

    /// Whether its end cannot be known before it has come.
    #[must_use]
    pub fn ends_unforeseen(&self) -> bool {
        !self.planned || is_storm(&self.cause)
    }

    /// Whether it was planned and is still to come.
    #[must_use]
    pub fn is_to_come(&self, now: Moment) -> bool {
        self.planned && now < self.from && self.to.is_none_or(|to| self.from < to)
    }

    /// How it stands, in a few words: `held: storm, day 3`, `feast from 24 Dec`.
    #[must_use]
    pub fn told(&self, now: Moment) -> String {
        let until = self.to.map_or_else(String::new, |to| format!(", until {}", day_here(to, now)));
        if self.is_to_come(now) {
            return format!("{} from {}{until}", self.cause, day_here(self.from, now));
        }
        format!("held: {}, day {}{until}", self.cause, self.day(now))
    }

    /// What of the list is not made fast, where it stops the work for a storm.
    #[must_use]
    pub fn lacking(&self) -> Option<String> {
        is_storm(&self.cause).then(|| self.tied.lacking()).flatten()
    }

    /// The same, shortly.
    #[must_use]
    pub fn lacking_in_short(&self) -> Option<String> {
        is_storm(&self.cause).then(|| self.tied.lacking_in_short()).flatten()
    }
}

/// Which day it is since a moment, that day being 1.
#[must_use]
pub fn day_of(from: Moment, now: Moment) -> i64 {
    let here = now.with_timezone(from.offset());
    // A clock that was not set may lie before the hold.
    (1 + (here.date_naive() - from.date_naive()).num_days()).max(1)
}

/// What counts as made fast at a moment: for the hold that is on, else for one
/// that would begin then.
#[must_use]
pub fn made_fast_at(holds: &[Held], tied: &[(Moment, TieDown)], now: Moment) -> TieDown {
    on(holds, now).map_or_else(|| made_fast(tied, now, None), |held| held.tied.clone())
}

/// Every list of what was made fast at all houses, and when, from the entries
/// about all of them.
#[must_use]
pub fn tied_of_all(entries: &[Entry]) -> Vec<(Moment, TieDown)> {
    Record::of(Uuid::nil(), entries).tied
}

/// Whether one that has not ended stops the work on a day.
#[must_use]
pub fn is_open_on(holds: &[Held], day: NaiveDate) -> bool {
    holds.iter().any(|h| h.to.is_none() && h.from.date_naive() <= day)
}

/// The hold that stops the work at a moment: the last to begin; where it was
/// told twice, of one house and of all, the one since which the work stands.
#[must_use]
pub fn on(holds: &[Held], now: Moment) -> Option<&Held> {
    let last = holds.iter().rev().find(|h| h.is_on(now))?;
    holds.iter().find(|h| h.is_on(now) && h.is_like(last))
}

/// The hold that stops the work at a moment, else the next to come.
#[must_use]
pub fn on_or_to_come(holds: &[Held], now: Moment) -> Option<&Held> {
    on(holds, now).or_else(|| holds.iter().filter(|h| h.is_to_come(now)).min_by_key(|h| h.from))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(day: u32) -> Moment {
        format!("2030-12-{day:02}T06:00:00+10:00").parse().unwrap()
    }

    fn held(cause: &str, from: u32, to: Option<u32>) -> Held {
        let (id, cause) = (Uuid::nil(), cause.to_owned());
        let tied = TieDown::default();
        Held { id, cause, planned: true, all: false, from: at(from), to: to.map(at), end: None, tied }
    }

    #[test]
    fn a_storm_told_anew_for_all_houses_goes_on_where_one_was_held_already() {
        let holds = [held("Storm", 2, None), held("cyclone", 8, None)];
        assert_eq!(on(&holds, at(10)).unwrap().told(at(10)), "held: Storm, day 9");
        let holds = [held("no panels", 2, None), held("storm", 8, None)];
        assert_eq!(on(&holds, at(10)).unwrap().told(at(10)), "held: storm, day 3");
    }

    #[test]
    fn a_feast_to_come_does_not_stop_the_work_before_it_begins() {
        let holds = [held("storm", 2, Some(5)), held("feast", 24, None)];
        assert_eq!(on(&holds, at(3)).unwrap().told(at(3)), "held: storm, day 2, until 5 Dec");
        assert_eq!(on(&holds, at(10)), None);
        assert_eq!(on_or_to_come(&holds, at(10)).unwrap().told(at(10)), "feast from 24 Dec");
        assert_eq!(on(&holds, at(25)).unwrap().told(at(25)), "held: feast, day 2");
    }

    #[test]
    fn a_storm_has_begun_once_it_is_told_though_the_clock_was_never_set() {
        let told = |to| Held { planned: false, ..held("storm", 2, to) };
        let never_set = "1970-01-01T00:00:00Z".parse().unwrap();
        assert_eq!(on(&[told(None)], never_set).unwrap().told(never_set), "held: storm, day 1");
        assert_eq!(on_or_to_come(&[told(Some(16))], never_set), None);
    }

    #[test]
    fn what_was_made_fast_counts_from_three_days_before_the_hold_until_it_ends() {
        use super::super::entry::Secure;
        let tied = |day, what, yes| (at(day), TieDown([(what, yes)].into()));
        let all = [
            tied(1, Secure::Tools, true),
            tied(8, Secure::Panels, false),
            tied(9, Secure::Panels, true),
            tied(10, Secure::Ridge, true),
            tied(12, Secure::People, true),
        ];
        let for_it = made_fast(&all, at(10), Some(at(12)));
        assert_eq!(for_it, TieDown([(Secure::Panels, true), (Secure::Ridge, true)].into()));
    }
}
