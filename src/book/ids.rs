//! Ids of entries.

use std::time::Duration;

use chrono::{DateTime, TimeZone};
use uuid::{ContextV7, Timestamp, Uuid};

/// Makes ids of version 7, each greater than the one before.
#[derive(Debug)]
pub struct Ids(ContextV7);

impl Ids {
    /// A maker that has made none yet.
    #[must_use]
    pub fn new() -> Self {
        Self(ContextV7::new())
    }

    /// An id for an entry written at this moment. A clock that is set back
    /// does not bring the ids back with it.
    ///
    /// A moment before 1970 counts as 1970: an id cannot tell earlier ones.
    pub fn mint<Z: TimeZone>(&mut self, written: &DateTime<Z>) -> Uuid {
        let seconds = u64::try_from(written.timestamp()).unwrap_or(0);
        Uuid::new_v7(Timestamp::from_unix(&self.0, seconds, written.timestamp_subsec_nanos()))
    }

    /// Makes every id from now on greater than this one, whatever the clock
    /// says: entries of one moment stay in the order they were written in,
    /// also where each was written by a program of its own.
    pub fn follow(&mut self, last: Uuid) {
        if let Some(minted) = last.get_timestamp() {
            let (seconds, nanos) = minted.to_unix();
            let next = Duration::new(seconds, nanos).saturating_add(Duration::from_millis(1));
            Uuid::new_v7(Timestamp::from_unix(&self.0, next.as_secs(), next.subsec_nanos()));
        }
    }
}

impl Default for Ids {
    fn default() -> Self {
        Self::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::Utc;

    #[test]
    fn ids_only_grow_even_when_the_clock_is_set_back() {
        let mut ids = Ids::new();
        let mut last = Uuid::nil();
        for millis in [1_900_000_000_000_i64, 1_900_000_000_000, 1_899_000_000_000, 1_900_000_000_001] {
            let moment = Utc.timestamp_millis_opt(millis).single().expect("a moment");
            for _ in 0..500 {
                let id = ids.mint(&moment);
                assert!(id > last, "{id} comes after {last}");
                last = id;
            }
        }
    }

    #[test]
    fn ids_of_one_moment_follow_the_last_one_in_the_book() {
        let moment = Utc.timestamp_millis_opt(1_900_000_000_000).single().expect("a moment");
        let mut last = Ids::new().mint(&moment);
        for _ in 0..100 {
            let mut ids = Ids::new();
            ids.follow(last);
            let next = ids.mint(&moment);
            assert!(next > last, "{next} comes after {last}");
            last = next;
        }
    }

    /// Source: RFC 9562, section 5.7: the first 48 bits of a version 7 UUID
    /// are milliseconds since 1970; appendix A.6 has 2022-02-22T14:22:22-05:00
    /// as 0x017F22E279B0.
    #[test]
    fn an_id_begins_with_the_milliseconds_of_its_moment() {
        let moment = DateTime::parse_from_rfc3339("2022-02-22T14:22:22-05:00").expect("a moment");
        let id = Ids::new().mint(&moment);
        assert!(id.to_string().starts_with("017f22e2-79b0-7"), "{id}");
    }

    #[test]
    fn a_moment_before_1970_still_gives_an_id() {
        let moment = DateTime::parse_from_rfc3339("1930-01-01T00:00:00Z").expect("a moment");
        assert_eq!(Ids::new().mint(&moment).get_version_num(), 7);
    }
}
