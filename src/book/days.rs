//! What the plan of the days is made of: every house at a glance and what they
//! have together, now and as it was when today began.

use std::collections::BTreeSet;

use chrono::NaiveTime;
use rusqlite::{Connection, named_params};
use uuid::Uuid;

use super::Book;
use super::ask::load;
use super::error::BookError;
use super::log::Filter;
use super::read::moment;
use super::summary::Untold;
use crate::build::days::{Days, Evening, NoPlan, Village};
use crate::build::entry::{Entry, What};
use crate::build::glance::Glance;
use crate::build::{House, Moment};

/// How many entries are looked through at a time for those of today.
const PAGE: u32 = 200;

/// Two days, microseconds.
const TWO_DAYS: i64 = 2 * 24 * 3600 * 1_000_000;

const CREW_DAYS: &str = "
    SELECT entry.happened, entry.happened_offset, crew_day.crew, crew_day.people, crew_day.share
    FROM entry JOIN crew_day ON crew_day.id = entry.id
    WHERE entry.kind = 'crew-day' AND entry.happened BETWEEN :from AND :to
        AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id)
    ORDER BY entry.happened, entry.id";

/// All that a plan of the days needs.
#[derive(Debug, Clone)]
pub struct DaysAsked {
    now: Moment,
    houses: Vec<Glance>,
    village: Village,
    /// The houses and the village as today began; none where nothing has
    /// happened today.
    before: Option<(Vec<Glance>, Village)>,
    /// The houses that cannot be told.
    pub untold: Vec<Untold>,
}

/// The plan of today, and that of yesterday without what happened since.
#[derive(Debug, Clone, PartialEq)]
pub struct DaysTold {
    /// What is planned now.
    pub now: Days,
    /// What was planned yesterday; none where that cannot be planned.
    pub before: Option<Days>,
    /// What the houses have together.
    pub village: Village,
}

impl DaysAsked {
    /// What the houses have together.
    #[must_use]
    pub fn village(&self) -> &Village {
        &self.village
    }

    /// Makes the plan. It may take a while where there are many houses.
    ///
    /// # Errors
    /// Where no day is worked.
    pub fn plan(&self) -> Result<DaysTold, NoPlan> {
        let today = self.now.date_naive();
        let now = Days::of(&self.houses, &self.village, today)?;
        let (houses, village) =
            self.before.as_ref().map_or((&self.houses, &self.village), |(houses, village)| (houses, village));
        let before = today.pred_opt().and_then(|day| Days::of(houses, village, day).ok());
        Ok(DaysTold { now, before, village: self.village.clone() })
    }
}

impl Book {
    /// What a plan of the days from now on needs.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn days(&self, now: Moment) -> Result<DaysAsked, BookError> {
        let (houses, untold) = self.glances()?;
        let entries = self.entries_of(None)?;
        let village = Village::of(&entries);
        let midnight = now.date_naive().and_time(NaiveTime::MIN).and_local_timezone(*now.offset()).single();
        let before = match midnight {
            Some(midnight) => self.before(midnight, &houses, &entries)?,
            None => None,
        };
        Ok(DaysAsked { now, houses, village, before, untold })
    }

    /// What a crew's day at a moment is looked at against.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn evening(&self, at: Moment) -> Result<Evening, BookError> {
        let (houses, _) = self.glances()?;
        let days = houses.iter().flat_map(|house| &house.work.done);
        Ok(Evening::at(at, &self.entries_of(None)?, days))
    }

    /// The houses and the village without what happened from a moment on.
    fn before(
        &self,
        moment: Moment,
        houses: &[Glance],
        entries: &[Entry],
    ) -> Result<Option<(Vec<Glance>, Village)>, BookError> {
        let Some(touched) = self.touched_since(moment)? else { return Ok(None) };
        let earlier = |entries: &[Entry]| -> Vec<Entry> {
            entries.iter().filter(|e| !is_since(e, moment)).cloned().collect()
        };
        let mut then = Vec::with_capacity(houses.len());
        for house in houses {
            if !touched.all && !touched.houses.contains(&house.id) {
                then.push(house.clone());
                continue;
            }
            let told = self.at_one_moment(|conn| load(conn, Some(house.id)))?;
            // A house that was started today was not there.
            if let Ok(old) = House::of(house.id, &earlier(&told)) {
                then.push(Glance::of(&old));
            }
        }
        Ok(Some((then, Village::of(&earlier(entries)))))
    }

    /// Which houses entries since a moment are about; none where there are no
    /// such entries.
    fn touched_since(&self, moment: Moment) -> Result<Option<Touched>, BookError> {
        let mut touched = Touched::default();
        let mut filter = Filter { limit: PAGE, ..Filter::default() };
        let mut any = false;
        loop {
            let page = self.log(&filter)?;
            for line in &page {
                if line.entry.happened < moment {
                    return Ok(any.then_some(touched));
                }
                // A feast to come that was told before was known.
                if is_since(&line.entry, moment) {
                    any = true;
                    touched.by(&line.entry);
                    // It may be through what another house was given.
                    if let What::Strike { entry, .. } = &line.entry.what {
                        touched.by(&self.entry(&entry.to_string())?);
                    }
                }
            }
            match page.last() {
                Some(last) => filter.before = Some(last.entry.order()),
                None => return Ok(any.then_some(touched)),
            }
        }
    }
}

/// The crews that were told for the date of a moment, at any house, with their
/// people times their share of the day.
pub(super) fn crew_days_on(conn: &Connection, at: Moment) -> rusqlite::Result<Vec<(String, f64)>> {
    // The same date may be two days away, where clocks are set for other places.
    let about = at.timestamp_micros();
    let (from, to) = (about.saturating_sub(TWO_DAYS), about.saturating_add(TWO_DAYS));
    let mut query = conn.prepare_cached(CREW_DAYS)?;
    let mut rows = query.query(named_params! { ":from": from, ":to": to })?;
    let mut told = Vec::new();
    while let Some(row) = rows.next()? {
        if moment(row, 0)?.date_naive() == at.date_naive() {
            let (people, share): (u32, f64) = (row.get(3)?, row.get(4)?);
            told.push((row.get(2)?, f64::from(people) * share));
        }
    }
    Ok(told)
}

/// Whether an entry has happened since a moment, and was not told before.
fn is_since(entry: &Entry, moment: Moment) -> bool {
    entry.happened >= moment && entry.written >= moment
}

/// What some entries are about.
#[derive(Debug, Default)]
struct Touched {
    houses: BTreeSet<Uuid>,
    /// Whether one is about all houses.
    all: bool,
}

impl Touched {
    fn by(&mut self, entry: &Entry) {
        self.houses.extend(entry.house);
        match &entry.what {
            What::Tally(tally) => self.houses.extend(tally.to),
            What::Hold { .. } | What::Resume if entry.house.is_none() => self.all = true,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Opening, Stamp};
    use super::*;
    use crate::build::brief::BriefText;
    use crate::build::draft::Draft;

    #[test]
    fn a_strike_touches_the_houses_of_what_is_struck_and_no_others() {
        let folder = tempfile::tempdir().expect("a folder");
        let mut book = Book::open(&folder.path().join("book"), Opening::Create).expect("a book");
        let now: Moment = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
        let mut keep = |house, draft: &Draft, hours: i64| {
            let now = now + chrono::Duration::hours(hours);
            let stamp = Stamp { at: now, now, by: "Oru".to_owned() };
            book.keep_draft(house, draft, &stamp).expect("kept").entry
        };
        let [tern, landing, _reef] = ["Tern house", "Landing house", "Reef house"].map(|name| {
            let mut said = BriefText::default();
            for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp")] {
                said.say(field, text);
            }
            keep(None, &Draft::Start { name: name.to_owned(), said }, 0)
        });
        keep(Some(tern), &Draft::tally("panel", "40", "woven"), 1);
        let Draft::Tally { item, count, how, remark, of, .. } = Draft::tally("panel", "12", "moved") else {
            panic!("a tally")
        };
        let moved = keep(Some(tern), &Draft::Tally { item, count, how, to: Some(landing), remark, of }, 2);
        keep(None, &Draft::Strike { entry: moved, why: "not carried yet".to_owned() }, 24);
        let touched =
            book.touched_since(now + chrono::Duration::hours(20)).expect("read").expect("something");
        assert_eq!((touched.all, touched.houses), (false, [tern, landing].into()));
    }
}
