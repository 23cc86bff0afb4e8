//! Asking the book, by index and by page.

use std::collections::{BTreeMap, HashMap};

use rusqlite::{Connection, OptionalExtension, Row, named_params};
use uuid::Uuid;

use crate::build::entry::{Entry, Moment, What};

use super::Book;
use super::error::BookError;
use super::names::{called, known_as};
use super::read::{Id, entries, head_columns, moment};

/// A house in the list of houses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HouseLine {
    /// Its id.
    pub id: Uuid,
    /// What people call it.
    pub name: String,
    /// When it was started.
    pub started: Moment,
}

/// The letters of an id that tell the millisecond, a dash among them.
const MILLISECOND: usize = 13;

impl Book {
    /// All that a fold over a house needs, in order: its own entries, those
    /// about all houses, what other houses gave it, and the strikes of any of
    /// these. Without a house, the entries about all houses alone.
    ///
    /// The entry that starts the house calls it what this book calls it: with
    /// a number after its name where another house had the name first.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn entries_of(&self, house: Option<Uuid>) -> Result<Vec<Entry>, BookError> {
        self.at_one_moment(|conn| load(conn, house))
    }

    /// Houses that are not struck, in the order they were started, from after
    /// one of them.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn houses(&self, after: Option<(Moment, Uuid)>, limit: u32) -> Result<Vec<HouseLine>, BookError> {
        const SQL: &str = "
            SELECT entry.id, house.name, house.known_as, entry.happened, entry.happened_offset
            FROM entry JOIN house ON house.id = entry.id
            WHERE entry.kind = 'house' AND (entry.happened, entry.id) > (:happened, :id)
                AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id)
            ORDER BY entry.happened, entry.id
            LIMIT :limit";
        let (happened, id) = after.map_or((i64::MIN, Uuid::nil()), |(at, id)| (at.timestamp_micros(), id));
        self.list(
            SQL,
            named_params! { ":happened": happened, ":id": id.to_string(), ":limit": limit },
            |row| {
                let name = called(row.get(1)?, row.get_ref(2)?.as_str()?);
                Ok(HouseLine { id: row.get::<_, Id>(0)?.0, name, started: moment(row, 3)? })
            },
        )
    }

    /// What every house is called, struck ones too.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn names(&self) -> Result<HashMap<Uuid, String>, BookError> {
        let names = self.list("SELECT id, name, known_as FROM house", &[], |row| {
            Ok((row.get::<_, Id>(0)?.0, called(row.get(1)?, row.get_ref(2)?.as_str()?)))
        })?;
        Ok(names.into_iter().collect())
    }

    /// The house that is meant: by its name in any case, by its id, or by the
    /// beginning of one of these where no other begins so.
    ///
    /// # Errors
    /// [`BookError::NoHouse`] with names that are near, or
    /// [`BookError::ManyHouses`]; else [`BookError`] where the book cannot be
    /// read.
    pub fn house_named(&self, said: &str) -> Result<Uuid, BookError> {
        const SQL: &str = "
            SELECT id, name, known_as FROM house
            WHERE NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = house.id)
            ORDER BY known_as";
        let houses = self.list(SQL, &[], |row| {
            let known_as: String = row.get(2)?;
            Ok(Called { id: row.get::<_, Id>(0)?.0, name: called(row.get(1)?, &known_as), known_as })
        })?;
        meant(said, &houses)
    }

    /// An entry by its id, or by the beginning of it, 8 letters or more, where
    /// no other begins so.
    ///
    /// # Errors
    /// [`BookError::NoEntry`] or [`BookError::ManyEntries`]; else
    /// [`BookError`] where the book cannot be read.
    pub fn entry(&self, said: &str) -> Result<Entry, BookError> {
        const SQL: &str = concat!(
            "SELECT ",
            head_columns!(),
            " FROM entry WHERE id >= :said AND id < :said || '~' ORDER BY id LIMIT 2"
        );
        let begins = said.trim().to_lowercase();
        let mut found = if begins.len() < 8 {
            vec![]
        } else {
            self.at_one_moment(|conn| entries(conn, SQL, named_params! { ":said": begins }))?
        };
        match (found.pop(), found.is_empty()) {
            (Some(entry), true) => Ok(entry),
            (Some(_), false) => Err(BookError::ManyEntries { said: said.to_owned() }),
            (None, _) => Err(BookError::NoEntry { said: said.to_owned() }),
        }
    }

    /// The readings and tallies that were kept together with one, as a row of
    /// thatch and its panels are, and are not struck.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn kept_with(&self, entry: &Entry) -> Result<Vec<Entry>, BookError> {
        // Ids that begin with the same millisecond were drawn up together.
        const SQL: &str = concat!(
            "SELECT ",
            head_columns!(),
            " FROM entry WHERE id > :moment AND id < :moment || '~' AND id <> :id
            AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id) ORDER BY id"
        );
        let id = entry.id.to_string();
        let found = self.at_one_moment(|conn| {
            entries(conn, SQL, named_params! { ":moment": id.get(..MILLISECOND), ":id": id })
        })?;
        let counts = |e: &Entry| matches!(e.what, What::Reading(_) | What::Tally(_));
        // Another book that was merged may have written in the same millisecond.
        let alike = |e: &Entry| (e.house, e.written, &e.by) == (entry.house, entry.written, &entry.by);
        Ok(found.into_iter().filter(|e| counts(entry) && counts(e) && alike(e)).collect())
    }

    /// Each person's measure as it was last taken, by name; struck ones do not
    /// count.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn measures(&self) -> Result<Vec<Entry>, BookError> {
        const SQL: &str = concat!(
            "SELECT ",
            head_columns!(),
            " FROM entry WHERE kind = 'measure'
                AND NOT EXISTS (SELECT 1 FROM strike WHERE strike.entry = entry.id)
              ORDER BY happened, id"
        );
        let taken = self.at_one_moment(|conn| entries(conn, SQL, []))?;
        let last: BTreeMap<String, Entry> = taken
            .into_iter()
            .filter_map(|entry| match &entry.what {
                What::Measure { name, .. } => Some((known_as(name), entry)),
                _ => None,
            })
            .collect();
        Ok(last.into_values().collect())
    }

    /// The greatest id of all entries; none in a new book.
    pub(super) fn last_id(&self) -> Result<Option<Uuid>, BookError> {
        let last = self.list(LAST_ID, &[], |row| Ok(row.get::<_, Option<Id>>(0)?.map(|id| id.0)))?;
        Ok(last.first().copied().flatten())
    }

    /// What was left under this key.
    ///
    /// # Errors
    /// [`BookError`] where the book cannot be read.
    pub fn left(&self, key: &str) -> Result<Option<String>, BookError> {
        let mut query = self
            .conn
            .prepare_cached("SELECT value FROM \"left\" WHERE key = :key")
            .map_err(|e| self.told(e))?;
        query.query_row(named_params! { ":key": key }, |row| row.get(0)).optional().map_err(|e| self.told(e))
    }

    /// Leaves a small text under a key, in place of what was there: where the
    /// screen was, say. It is no entry, and does not outlive a merge.
    ///
    /// # Errors
    /// [`BookError`] where it cannot be written, or is longer than 4,000 bytes.
    pub fn leave(&mut self, key: &str, value: &str) -> Result<(), BookError> {
        const SQL: &str = "
            INSERT INTO \"left\" (key, value) VALUES (:key, :value)
            ON CONFLICT (key) DO UPDATE SET value = excluded.value";
        self.write(|conn| {
            conn.execute(SQL, named_params! { ":key": key, ":value": value })
                .map(drop)
                .map_err(|e| BookError::sqlite(conn, &self.path, e))
        })
    }

    /// Reads the book as it is at one moment, whatever others write meanwhile.
    pub(super) fn at_one_moment<T>(
        &self,
        read: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, BookError> {
        let tx = self.conn.unchecked_transaction().map_err(|e| self.told(e))?;
        read(&tx).map_err(|e| self.told(e))
    }

    fn list<T>(
        &self,
        sql: &str,
        values: &[(&str, &dyn rusqlite::ToSql)],
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, BookError> {
        let mut query = self.conn.prepare_cached(sql).map_err(|e| self.told(e))?;
        let rows = query.query_map(values, read).map_err(|e| self.told(e))?;
        rows.collect::<rusqlite::Result<_>>().map_err(|e| self.told(e))
    }
}

/// See [`Book::entries_of`]. The four parts share no entry: nothing is given
/// to the house that gives it, and a strike is about the house of what it
/// strikes.
pub(super) fn load(conn: &Connection, house: Option<Uuid>) -> rusqlite::Result<Vec<Entry>> {
    let mut told = entries(conn, OF_HOUSE, named_params! { ":house": house.map(|id| id.to_string()) })?;
    for entry in &mut told {
        if let What::House { name } = &mut entry.what {
            *name = called(std::mem::take(name), &known(conn, entry.id)?);
        }
    }
    Ok(told)
}

/// What a house is known as in this book.
fn known(conn: &Connection, house: Uuid) -> rusqlite::Result<String> {
    const SQL: &str = "SELECT known_as FROM house WHERE id = :house";
    conn.prepare_cached(SQL)?.query_row(named_params! { ":house": house.to_string() }, |row| row.get(0))
}

/// Bare, so that SQLite looks at the end of the index alone.
const LAST_ID: &str = "SELECT max(id) FROM entry";

const OF_HOUSE: &str = concat!(
    "SELECT ",
    head_columns!(),
    " FROM entry WHERE entry.house = :house
        UNION ALL SELECT ",
    head_columns!(),
    " FROM entry WHERE entry.house IS NULL
        UNION ALL SELECT ",
    head_columns!(),
    " FROM tally JOIN entry ON entry.id = tally.id WHERE tally.to_house = :house
        UNION ALL SELECT ",
    head_columns!(),
    " FROM tally JOIN strike ON strike.entry = tally.id JOIN entry ON entry.id = strike.id
          WHERE tally.to_house = :house
        ORDER BY 4, 1"
);

/// A house by the words it could be asked for by.
struct Called {
    id: Uuid,
    name: String,
    known_as: String,
}

fn meant(said: &str, houses: &[Called]) -> Result<Uuid, BookError> {
    let asked = known_as(said);
    let exact = |house: &&Called| house.known_as == asked || house.id.to_string() == asked;
    if let Some(house) = houses.iter().find(exact) {
        return Ok(house.id);
    }
    let begins = |house: &&Called| {
        !asked.is_empty()
            && (house.known_as.starts_with(&asked)
                || asked.len() >= 8 && house.id.to_string().starts_with(&asked))
    };
    let found: Vec<&Called> = houses.iter().filter(begins).collect();
    match found.as_slice() {
        [house] => Ok(house.id),
        [] => Err(BookError::NoHouse { said: said.to_owned(), near: near(&asked, houses) }),
        several => {
            let names = several.iter().take(5).map(|house| house.name.clone()).collect();
            Err(BookError::ManyHouses { said: said.to_owned(), names })
        }
    }
}

/// Up to three names that are spelled much like what was said, the nearest first.
fn near(asked: &str, houses: &[Called]) -> Vec<String> {
    let mut near: Vec<(f64, &str)> = houses
        .iter()
        .map(|house| (strsim::jaro_winkler(asked, &house.known_as), house.name.as_str()))
        .filter(|(likeness, _)| *likeness > 0.75)
        .collect();
    near.sort_by(|a, b| b.0.total_cmp(&a.0));
    near.into_iter().take(3).map(|(_, name)| name.to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::Opening;
    use super::*;

    /// How SQLite goes about a query, a step a line.
    fn plan(sql: &str) -> String {
        let folder = tempfile::tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        let mut query = book.conn.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).expect("a query");
        let parameters = vec![":house"; query.parameter_count()];
        let steps = query
            .query_map(rusqlite::params_from_iter(parameters), |row| row.get::<_, String>(3))
            .expect("a plan");
        steps.collect::<Result<Vec<_>, _>>().expect("steps").join("\n")
    }

    #[test]
    fn all_that_is_told_of_a_house_is_found_by_index() {
        let plan = plan(OF_HOUSE);
        assert!(!plan.contains("SCAN"), "{plan}");
        assert_eq!(plan.matches("INDEX entry_of_house (house=?)").count(), 2, "{plan}");
        assert_eq!(plan.matches("INDEX tally_to_house (to_house=?)").count(), 2, "{plan}");
    }

    #[test]
    fn the_last_id_is_found_at_the_end_of_the_index() {
        assert_eq!(plan(LAST_ID), "SEARCH entry USING PRIMARY KEY");
    }
}
