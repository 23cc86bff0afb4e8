//! Every house at a glance, without folding each anew: what is told of a
//! house is kept until an entry is added to it.

use rusqlite::{Connection, OptionalExtension, named_params};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::Book;
use super::ask::{HouseLine, load};
use super::error::BookError;
use super::read::Id;
use crate::build::glance::Glance;
use crate::build::house::{FoldError, House};

/// What a kept summary was made by; one made by another program is folded
/// anew. Counted up whenever a fold over the same entries tells otherwise.
const MADE_BY: &str = concat!(env!("CARGO_PKG_VERSION"), "/26");

/// How many houses are folded while nobody else may write.
const AT_ONCE: usize = 50;

/// A house that cannot be told from its entries, and why.
pub type Untold = (HouseLine, FoldError);

#[derive(Serialize, Deserialize)]
struct Kept<G> {
    made_by: String,
    glance: G,
}

impl Book {
    /// Every house that stands at a glance, in the order they were started,
    /// and those that cannot be told. Where the book cannot be written now,
    /// houses are folded all the same and not kept.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn glances(&self) -> Result<(Vec<Glance>, Vec<Untold>), BookError> {
        let lines = self.houses(None, u32::MAX)?;
        let kept: Vec<Option<Glance>> =
            self.at_one_moment(|conn| lines.iter().map(|line| kept(conn, line.id)).collect())?;
        let missing: Vec<&HouseLine> =
            lines.iter().zip(&kept).filter(|(_, kept)| kept.is_none()).map(|(line, _)| line).collect();
        let mut folded = Vec::new();
        let mut may_write = true;
        for some in missing.chunks(AT_ONCE) {
            let kept = if may_write { self.fold_and_keep(some).ok() } else { None };
            // Whoever else writes may go on for long: that is waited for once.
            may_write = kept.is_some();
            folded.extend(kept.map_or_else(|| self.at_one_moment(|conn| fold(conn, some)), Ok)?);
        }
        let mut past = self.past_cuts()?;
        let (mut told, mut untold) = (Vec::new(), Vec::new());
        let mut folded = folded.into_iter();
        for (line, kept) in lines.iter().zip(kept) {
            match kept.map(Ok).or_else(|| folded.next()) {
                Some(Ok(glance)) => {
                    let past_permit = past.remove(&glance.id).unwrap_or_default();
                    told.push(Glance { past_permit, ..glance });
                }
                Some(Err(error)) => untold.push((line.clone(), error)),
                None => {}
            }
        }
        Ok((told, untold))
    }

    /// Folds houses and keeps what they are.
    fn fold_and_keep(&self, lines: &[&HouseLine]) -> Result<Vec<Result<Glance, FoldError>>, BookError> {
        self.write(|conn| {
            let told = |e| BookError::sqlite(conn, &self.path, e);
            let folded = fold(conn, lines).map_err(told)?;
            for glance in folded.iter().flatten() {
                keep(conn, glance).map_err(told)?;
            }
            Ok(folded)
        })
    }
}

fn fold(conn: &Connection, lines: &[&HouseLine]) -> rusqlite::Result<Vec<Result<Glance, FoldError>>> {
    let one = |line: &&HouseLine| {
        Ok(House::of(line.id, &load(conn, Some(line.id))?).map(|house| Glance::of(&house)))
    };
    lines.iter().map(one).collect()
}

/// What is kept of a house, where this program made it.
fn kept(conn: &Connection, house: Uuid) -> rusqlite::Result<Option<Glance>> {
    const SQL: &str = "SELECT told FROM summary WHERE house = :house";
    let mut query = conn.prepare_cached(SQL)?;
    let told: Option<String> =
        query.query_row(named_params! { ":house": house.to_string() }, |row| row.get(0)).optional()?;
    let kept = told.and_then(|told| serde_json::from_str::<Kept<Glance>>(&told).ok());
    Ok(kept.filter(|kept| kept.made_by == MADE_BY).map(|kept| kept.glance))
}

/// The houses whose summaries, made by this program, are not what a fold over
/// their entries gives.
pub(super) fn out_of_date(conn: &Connection) -> rusqlite::Result<Vec<Uuid>> {
    let mut query = conn.prepare("SELECT house FROM summary ORDER BY house")?;
    let houses = query.query_map([], |row| Ok(row.get::<_, Id>(0)?.0))?;
    let mut found = Vec::new();
    for house in houses {
        let house = house?;
        let Some(kept) = kept(conn, house)? else { continue };
        let now = House::of(house, &load(conn, Some(house))?);
        if now.map(|now| Glance::of(&now)).as_ref() != Ok(&kept) {
            found.push(house);
        }
    }
    Ok(found)
}

fn keep(conn: &Connection, glance: &Glance) -> rusqlite::Result<()> {
    const SQL: &str = "
        INSERT INTO summary (house, told) VALUES (:house, :told)
        ON CONFLICT (house) DO UPDATE SET told = excluded.told";
    let told = serde_json::to_string(&Kept { made_by: MADE_BY.to_owned(), glance })
        .map_err(|e| rusqlite::Error::ToSqlConversionFailure(Box::new(e)))?;
    conn.prepare_cached(SQL)?
        .execute(named_params! { ":house": glance.id.to_string(), ":told": told })
        .map(drop)
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::super::{Opening, Stamp};
    use super::*;
    use crate::build::brief::BriefText;
    use crate::build::draft::Draft;

    thread_local! {
        /// How often somebody else who writes was waited for.
        static WAITED: Cell<usize> = const { Cell::new(0) };
    }

    #[test]
    fn who_writes_for_long_is_waited_for_once_however_many_houses_there_are() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("village.spanwright");
        let mut book = Book::open(&path, Opening::Create).expect("a book");
        let now = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
        let mut said = BriefText::default();
        for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp"), ("ratio", "3:4")] {
            said.say(field, text);
        }
        for number in 0..=2 * AT_ONCE {
            let house = Draft::Start { name: format!("House {number}"), said: said.clone() };
            let stamp = Stamp { at: now, now, by: "Oru".to_owned() };
            book.keep_draft(None, &house, &stamp).expect("started");
        }
        let other = Book::open(&path, Opening::Existing).expect("the same book");
        other.conn.execute_batch("BEGIN IMMEDIATE").expect("the other writes");
        let goes_on_writing = |_| {
            WAITED.set(WAITED.get() + 1);
            false
        };
        book.conn.busy_handler(Some(goes_on_writing)).expect("set");
        assert_eq!(book.glances().expect("read").0.len(), 2 * AT_ONCE + 1);
        assert_eq!(WAITED.get(), 1);
    }
}
