//! Where the work was: what a builder wants to know who comes back after a
//! hold, or after some time.

use chrono::TimeDelta;
use uuid::Uuid;

use super::error::BookError;
use super::{Book, Filter, LogLine};
use crate::build::Moment;
use crate::build::glance::Glance;
use crate::build::next::day_here;
use crate::build::stage::STAGES;
use crate::build::telling;

/// After how long without an entry it is told where the work was.
const LONG: TimeDelta = TimeDelta::days(7);

/// How many of a house's last entries are told.
const LATELY: u32 = 3;

/// Where in the book it is kept up to which entry this was seen.
const SEEN: &str = "where the work was";

/// Where the work was, house by house.
#[derive(Debug, Clone)]
pub struct Were {
    /// Why it is told unasked; none where there is no reason to.
    pub why: Option<String>,
    /// The last entry it takes in.
    pub upto: Option<Uuid>,
    /// Every house that stands.
    pub houses: Vec<HouseWas>,
}

/// Where the work at a house was.
#[derive(Debug, Clone)]
pub struct HouseWas {
    /// The house at a glance.
    pub glance: Glance,
    /// Its last entries, newest first, each with its day, its writer and what
    /// it says.
    pub lately: Vec<Lately>,
}

/// An entry of late.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lately {
    /// When it happened.
    pub at: Moment,
    /// Who says so.
    pub by: String,
    /// What it says, in one line.
    pub says: String,
}

impl HouseWas {
    /// The stage in hand and how it stands, in a few words.
    #[must_use]
    pub fn in_hand(&self, now: Moment) -> String {
        let glance = &self.glance;
        let stage = STAGES.get(glance.stage).map_or("", |s| s.says);
        let held = glance.held_or_to_be(now).map(|held| format!("; {}", held.told(now)));
        format!("{} {stage}, {}{}", glance.stage + 1, glance.state, held.unwrap_or_default())
    }

    /// What is in doubt: how much, and the first of it.
    #[must_use]
    pub fn doubtful(&self) -> Option<String> {
        let first = self.glance.doubts.first()?;
        let count = self.glance.doubt_count;
        Some(if count == 1 {
            format!("1 in doubt: {first}")
        } else {
            format!("{count} in doubt, first {first}")
        })
    }

    /// What the stage in hand is short of.
    #[must_use]
    pub fn short(&self) -> Option<String> {
        let short = telling::short(self.glance.short().map(|s| (s.item, s.short)))?;
        Some(format!("short for this stage: {short}"))
    }
}

impl Book {
    /// Where the work is at every house that stands.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn where_we_were(&self, now: Moment) -> Result<Were, BookError> {
        let (glances, _) = self.glances()?;
        let upto = self.last_id()?;
        let why = self.why(&glances, upto, None, now)?;
        let names = self.names()?;
        let mut houses = Vec::new();
        for glance in glances {
            let filter = Filter { house: Some(glance.id), limit: LATELY, ..Filter::default() };
            let lines = self.log(&filter)?;
            let told = |line: &LogLine| Lately {
                at: line.entry.happened.with_timezone(now.offset()),
                by: line.entry.by.clone(),
                says: line.says(|id| names.get(&id).cloned()),
            };
            let lately = lines.iter().filter(|line| line.struck.is_none()).map(told).collect();
            houses.push(HouseWas { glance, lately });
        }
        Ok(Were { why, upto, houses })
    }

    /// Where the work was, where that should be told unasked: after a hold
    /// since which nothing was written of a house, and after more than a week
    /// without an entry; until it was seen.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn where_to_begin(&self, now: Moment) -> Result<Option<Were>, BookError> {
        let upto = self.last_id()?;
        let seen = self.left(SEEN)?.and_then(|id| id.parse().ok());
        if upto.is_none() || seen == upto {
            return Ok(None);
        }
        let Some(why) = self.why(&self.glances()?.0, upto, seen, now)? else { return Ok(None) };
        Ok(Some(Were { why: Some(why), ..self.where_we_were(now)? }))
    }

    /// Keeps that it was seen, up to an entry.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be written.
    pub fn saw_where_we_were(&mut self, upto: Uuid) -> Result<(), BookError> {
        self.leave(SEEN, &upto.to_string())
    }

    /// Why it is told; what was seen already, up to an entry, is no reason.
    fn why(
        &self,
        glances: &[Glance],
        upto: Option<Uuid>,
        seen: Option<Uuid>,
        now: Moment,
    ) -> Result<Option<String>, BookError> {
        if let Some(told) = glances.iter().find_map(|glance| just_ended(glance, seen, now)) {
            return Ok(Some(told));
        }
        let Some(upto) = upto else { return Ok(None) };
        let written = self.entry(&upto.to_string())?.written;
        let since = now.signed_duration_since(written);
        Ok((since > LONG).then(|| {
            format!("Nothing was written since {}, {} days ago.", day_here(written, now), since.num_days())
        }))
    }
}

/// The hold that ended last, where nothing was written of the house since and
/// its end was not seen yet.
fn just_ended(glance: &Glance, seen: Option<Uuid>, now: Moment) -> Option<String> {
    let last = glance.holds.iter().filter(|held| held.to.is_some_and(|to| to <= now)).max_by_key(|h| h.to)?;
    let ended = last.to.filter(|to| glance.last <= *to)?;
    let whole = glance.signed == STAGES.len();
    let on = glance.held_at(now).is_some();
    let who = if last.all { "All houses were" } else { "A house was" };
    let told = seen.is_some() && last.end <= seen;
    (!whole && !on && !told).then(|| format!("{who} held until {}: {}.", day_here(ended, now), last.cause))
}
