//! Keeping what a builder asks to be written: looked at against the house as
//! it is in the book at that moment, and kept in the same transaction.

use std::collections::BTreeSet;

use uuid::Uuid;

use crate::build::accept::{self, Refused};
use crate::build::brief::BriefText;
use crate::build::days::{Again, Dated, Evening};
use crate::build::draft::Draft;
use crate::build::entry::{Entry, Item, Parts, Tally, What};
use crate::build::held::Held;
use crate::build::house::{FoldError, holds_of_all};
use crate::build::kinds;
use crate::build::pieces::TooSmall;
use crate::build::telling::of_item;
use crate::build::worked::Worked;
use crate::build::{House, Moment};

use super::days::crew_days_on;
use super::error::BookError;
use super::{Book, Ids, permits};

/// Who says something, when it happened, and when it is written down.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    /// When it happened.
    pub at: Moment,
    /// When it is written down.
    pub now: Moment,
    /// Who says so.
    pub by: String,
}

/// What was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The entry; of a new house, the one that starts it.
    pub entry: Uuid,
    /// What else was kept of the same, such as the panels of a row.
    pub with: Vec<Uuid>,
    /// The house it is about; none where it is about all of them.
    pub house: Option<Uuid>,
    /// Pieces it tells of that are too small for what the house asks.
    pub small: Option<TooSmall>,
    /// That panels it moves are of no use to the roof they come to, in words.
    pub left_over: Option<String>,
    /// That the crew it tells of was told for that day before.
    pub again: Option<Again>,
}

/// Why nothing was kept.
#[derive(Debug, thiserror::Error)]
pub enum NotKept {
    /// What was asked for will not do.
    #[error("{}", .0.first().map_or_else(String::new, ToString::to_string))]
    Refused(Vec<Refused>),
    /// The house cannot be told from its entries.
    #[error(transparent)]
    House(#[from] FoldError),
    /// The book cannot take it.
    #[error(transparent)]
    Book(#[from] BookError),
}

impl From<Refused> for NotKept {
    fn from(refused: Refused) -> Self {
        Self::Refused(vec![refused])
    }
}

impl NotKept {
    fn refused(field: &'static str, why: impl Into<String>) -> Self {
        Self::Refused(vec![Refused { field, why: why.into() }])
    }
}

impl Book {
    /// Keeps what is asked for a house; for all houses, or a new one, where
    /// none is given.
    ///
    /// # Errors
    /// [`NotKept`]; nothing was written then.
    pub fn keep_draft(&mut self, house: Option<Uuid>, draft: &Draft, stamp: &Stamp) -> Result<Kept, NotKept> {
        self.take_up(stamp)?;
        match draft {
            Draft::Start { name, said } => self.start(name, said, stamp),
            Draft::Strike { entry, why } => self.strike(&[*entry], why, stamp),
            Draft::StrikeAll { entries, why } => self.strike(entries, why, stamp),
            // An answer is about the house of what it answers.
            Draft::Answer { entry, .. } => match self.entry(&entry.to_string())?.house {
                Some(house) => self.about(house, draft, stamp),
                None => Err(NotKept::refused("entry", "is no cut past a permit")),
            },
            _ => match house {
                Some(house) => self.about(house, draft, stamp),
                None => self.about_all(draft, stamp),
            },
        }
    }

    /// A person's measure, known to all houses from now on.
    ///
    /// # Errors
    /// [`NotKept`]; nothing was written then.
    pub fn keep_measure(&mut self, name: &str, parts: Parts, stamp: &Stamp) -> Result<Kept, NotKept> {
        self.take_up(stamp)?;
        let what = What::Measure { name: name.to_owned(), parts };
        let entry = draw_up(&mut self.ids, None, what, stamp);
        self.keep(std::slice::from_ref(&entry))?;
        Ok(Kept { entry: entry.id, with: vec![], house: None, small: None, left_over: None, again: None })
    }

    /// Looks at who writes, and lets the ids follow the last one in the book.
    fn take_up(&mut self, stamp: &Stamp) -> Result<(), NotKept> {
        accept::called("by", stamp.by.trim()).map_err(|refused| NotKept::Refused(vec![refused]))?;
        if let Some(last) = self.last_id()? {
            self.ids.follow(last);
        }
        Ok(())
    }

    fn start(&mut self, name: &str, said: &BriefText, stamp: &Stamp) -> Result<Kept, NotKept> {
        let (house, brief, worked) = accept::start(name, said).map_err(NotKept::Refused)?;
        let mut house = draw_up(&mut self.ids, None, house, stamp);
        house.house = Some(house.id);
        let brief = draw_up(&mut self.ids, Some(house.id), brief, stamp);
        let mut entries = vec![house, brief];
        if let Some(what) = self.new_measure(&worked)? {
            entries.push(draw_up(&mut self.ids, None, what, stamp));
        }
        self.keep(&entries)?;
        Ok(Kept {
            entry: entries[0].id,
            with: vec![],
            house: Some(entries[0].id),
            small: None,
            left_over: None,
            again: None,
        })
    }

    /// The measure a brief brings, where the book does not know it so yet.
    fn new_measure(&self, worked: &Worked) -> Result<Option<What>, BookError> {
        let body = &worked.brief.body;
        let what = What::Measure { name: body.name().to_owned(), parts: Parts::of(body) };
        // A measure that is known is changed by measuring anew, not in passing.
        let known = self
            .measures()?
            .into_iter()
            .any(|e| matches!(e.what, What::Measure { name, .. } if name == body.name()));
        Ok((!known).then_some(what))
    }

    fn about(&mut self, house: Uuid, draft: &Draft, stamp: &Stamp) -> Result<Kept, NotKept> {
        let is_crew_day = matches!(draft, Draft::Together(together) if together.is_of_a_house());
        let evening = if is_crew_day { Some(self.evening(stamp.at)?) } else { None };
        let mut ids = std::mem::take(&mut self.ids);
        let (mut small, mut moved, mut again) = (None, None, None);
        let decided = self.decide_within(Some(house), |conn, told| {
            if let Err(refused) = permits::may_answer(conn, draft)? {
                return Ok(Err(refused.into()));
            }
            let before = if is_crew_day { crew_days_on(conn, stamp.at)? } else { Vec::new() };
            let decided = about_house(house, draft, told, stamp).and_then(|(all, now)| {
                let dated = Dated { at: stamp.at, now: stamp.now, started: now.started, before };
                small = too_small(&all, &now);
                moved = all.iter().find_map(moved_panels);
                looked_at(evening.as_ref(), &dated, all)
            });
            let all = match decided {
                Ok((all, some)) => {
                    again = some;
                    all
                }
                Err(not) => return Ok(Err(not)),
            };
            let entries = all.into_iter().map(|what| draw_up(&mut ids, Some(house), what, stamp));
            let allowed = entries.map(|entry| permits::allowed(conn, draft, entry));
            let allowed: Result<Vec<Entry>, Refused> =
                allowed.collect::<rusqlite::Result<Vec<_>>>()?.into_iter().collect();
            Ok(allowed.map_err(NotKept::from))
        });
        self.ids = ids;
        let kept = kept(decided?, Some(house))?;
        // It is kept, whether or not more can be said of it.
        let left_over = moved
            .and_then(|(tally, to)| House::of(to, &self.entries_of(Some(to)).ok()?).ok()?.cannot_lay(&tally));
        Ok(Kept { small, left_over, again, ..kept })
    }

    fn about_all(&mut self, draft: &Draft, stamp: &Stamp) -> Result<Kept, NotKept> {
        let holds = holds_of_all(&self.entries_of(None)?);
        let what = match draft {
            Draft::Hold { cause, planned } => {
                may_stop_or_go_on("all", draft, &holds, stamp)?;
                accept::hold(cause, *planned).map_err(|e| NotKept::Refused(vec![e]))?
            }
            Draft::Resume => {
                let of_each = self.holds_of_each()?;
                if !of_each.iter().any(|held| held.covers(stamp.at)) {
                    may_stop_or_go_on("all", draft, &holds, stamp)?;
                }
                may_end_ahead(&of_each, stamp)?;
                What::Resume
            }
            Draft::Together(together) if !together.is_of_a_house() => {
                let what = together.decide().map_err(NotKept::Refused)?;
                is_not_over(&what, stamp)?;
                what
            }
            _ => return Err(NotKept::refused("house", "say which house")),
        };
        let entry = draw_up(&mut self.ids, None, what, stamp);
        self.keep(std::slice::from_ref(&entry))?;
        Ok(Kept { entry: entry.id, with: vec![], house: None, small: None, left_over: None, again: None })
    }

    /// The last stops of every house.
    fn holds_of_each(&self) -> Result<Vec<Held>, NotKept> {
        let (houses, _) = self.glances()?;
        Ok(houses.into_iter().flat_map(|house| house.holds).collect())
    }

    /// Strikes entries, all of them or none; those of one call were kept
    /// together, of one house.
    fn strike(&mut self, entries: &[Uuid], why: &str, stamp: &Stamp) -> Result<Kept, NotKept> {
        let struck = entries.iter().map(|id| self.entry(&id.to_string())).collect::<Result<Vec<_>, _>>()?;
        let house = struck.first().and_then(|first| first.house);
        let strike = |entry: &Entry| accept::strike(entry.id, why);
        let strikes = struck.iter().map(strike).collect::<Result<Vec<_>, _>>()?;
        // Without what was given to another house, it is that one which may lack.
        let given = |entry: &Entry| match &entry.what {
            What::Tally(tally) => tally.to,
            _ => None,
        };
        let loses = struck.iter().find_map(given).or(house);
        let mut ids = std::mem::take(&mut self.ids);
        let decided = self.decide(loses, |told| {
            if let Some(house) = loses {
                may_be_struck(house, &struck, told)?;
            }
            Ok(strikes.into_iter().map(|what| draw_up(&mut ids, house, what, stamp)).collect())
        });
        self.ids = ids;
        kept(decided?, house)
    }
}

fn kept(decided: Result<Vec<Uuid>, NotKept>, house: Option<Uuid>) -> Result<Kept, NotKept> {
    let mut ids = decided?.into_iter();
    let entry = ids.next().ok_or_else(|| NotKept::refused("entry", "nothing was to be kept"))?;
    Ok(Kept { entry, with: ids.collect(), house, small: None, left_over: None, again: None })
}

/// What is to be written for a house, as what is told of it has it, and the
/// house as it is without it.
fn about_house(
    house: Uuid,
    draft: &Draft,
    told: &[Entry],
    stamp: &Stamp,
) -> Result<(Vec<What>, House), NotKept> {
    let now = House::of(house, told)?;
    may_stop_or_go_on("house", draft, &now.holds, stamp)?;
    let all = draft.decide(&now, &stamp.by).map_err(NotKept::Refused)?;
    Ok((all, now))
}

/// The pieces among it that are too small for a house.
fn too_small(all: &[What], house: &House) -> Option<TooSmall> {
    all.iter().find_map(|what| match what {
        What::Tally(tally) => TooSmall::of(tally, &house.worked),
        _ => None,
    })
}

/// The panels that an entry moves, and the house they go to.
fn moved_panels(what: &What) -> Option<(Tally, Uuid)> {
    match what {
        What::Tally(tally) if kinds::has_kinds(tally.item) => Some((tally.clone(), tally.to?)),
        _ => None,
    }
}

/// The days of crews among it, looked at against what is known of crews and
/// of that day.
fn looked_at(
    evening: Option<&Evening>,
    dated: &Dated,
    mut all: Vec<What>,
) -> Result<(Vec<What>, Option<Again>), NotKept> {
    let mut again = None;
    for what in &mut all {
        if let (What::CrewDay(day), Some(evening)) = (what, evening) {
            (*day, again) = evening.look_at(day.clone(), dated)?;
        }
    }
    Ok((all, again))
}

/// Refuses to stop what is stopped then, and to go on where nothing is.
fn may_stop_or_go_on(
    field: &'static str,
    draft: &Draft,
    holds: &[Held],
    stamp: &Stamp,
) -> Result<(), NotKept> {
    match (draft, holds.iter().rev().find(|held| held.covers(stamp.at))) {
        (Draft::Hold { .. }, Some(held)) => {
            Err(NotKept::refused(field, format!("held already: {}; resume first", held.cause)))
        }
        (Draft::Resume, None) => Err(match holds.iter().find(|held| held.to.is_none()) {
            Some(held) => {
                let why = format!("the hold begins on {}; say a later moment", held.from.to_rfc3339());
                NotKept::refused("at", why)
            }
            None => NotKept::refused(field, "not held then; there is nothing to resume"),
        }),
        (Draft::Resume, Some(_)) => may_end_ahead(holds, stamp),
        _ => Ok(()),
    }
}

/// Refuses to tell ahead the end of a stop that nobody can foresee, by a clock
/// that has seen it begin: a clock that was never set is no witness.
fn may_end_ahead(holds: &[Held], stamp: &Stamp) -> Result<(), NotKept> {
    let unforeseen = |held: &&Held| held.to.is_none() && held.ends_unforeseen() && held.from <= stamp.now;
    match holds.iter().find(unforeseen) {
        Some(held) if stamp.now < stamp.at => {
            let why =
                format!("is still to come; the end of a stop ({}) is told once it has ended", held.cause);
            Err(NotKept::refused("at", why))
        }
        _ => Ok(()),
    }
}

/// Refuses a permit that ended before it was given: nothing could be cut by it.
fn is_not_over(what: &What, stamp: &Stamp) -> Result<(), NotKept> {
    let given = stamp.at.date_naive();
    match what {
        What::Permit(permit) if permit.until < given => {
            let why = format!("{} is over before {given}, the day it is given (at)", permit.until);
            Err(NotKept::refused("until", why))
        }
        _ => Ok(()),
    }
}

fn draw_up(ids: &mut Ids, house: Option<Uuid>, what: What, stamp: &Stamp) -> Entry {
    Entry {
        id: ids.mint(&stamp.now),
        house,
        happened: stamp.at,
        written: stamp.now,
        by: stamp.by.trim().to_owned(),
        what,
    }
}

/// Refuses strikes after which the book would contradict itself: a house
/// without a brief, a heap with more gone than came.
fn may_be_struck(house: Uuid, struck: &[Entry], told: &[Entry]) -> Result<(), NotKept> {
    let briefs = struck.iter().filter(|entry| matches!(entry.what, What::Brief { .. })).count();
    if briefs > 0 && House::of(house, told)?.versions <= briefs {
        return Err(NotKept::refused("entry", "a house needs a brief; say it anew, then strike this one"));
    }
    let tallied = |entry: &Entry| match &entry.what {
        What::Tally(tally) => Some(tally.item),
        _ => None,
    };
    let items: BTreeSet<Item> = struck.iter().filter_map(tallied).collect();
    if items.is_empty() {
        return Ok(());
    }
    let stays = |entry: &&Entry| !struck.iter().any(|gone| gone.id == entry.id);
    let without: Vec<Entry> = told.iter().filter(stays).cloned().collect();
    let (before, after) = (House::of(house, told)?, House::of(house, &without)?);
    for item in items {
        let lacking =
            |house: &House| house.lacking().filter(|(other, _)| *other == item).map(|(_, n)| n).sum::<f64>();
        let lacks = lacking(&after);
        // A heap that was overdrawn before may come nearer to what is there.
        if lacks > lacking(&before) {
            let why = format!(
                "without it {} would have gone at {} that never came; strike what went after it first",
                of_item(item, lacks),
                after.name
            );
            return Err(NotKept::refused("entry", why));
        }
    }
    Ok(())
}
