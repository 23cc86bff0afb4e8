//! Taking in the entries of another book, by union.
//!
//! Every entry has an id of its own for ever, and none is ever changed. So two
//! books that grew apart are brought together by adding to each what only the
//! other has; whichever takes in the other, and how often, both tell the same.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::Path;

use rusqlite::{Connection, OptionalExtension, named_params};
use uuid::Uuid;

use super::ask::load;
use super::error::{BookError, broken_rule};
use super::merged::{Lacking, Merged};
use super::other::Other;
use super::read::{Head, Id, head_columns};
use super::{Book, names, write};
use crate::build::House;
use crate::build::accept::called;
use crate::build::entry::{Entry, Kind, What};

impl Book {
    /// Takes in all entries of another book that are not here yet, or none.
    /// The other book is only read.
    ///
    /// A house that has the name of another house here gets a number after its
    /// name, in this book. Where both books struck an entry, both strikes are
    /// kept, and the one that was written first stands.
    ///
    /// # Errors
    /// [`BookError`] where the other file is no sound book this program knows
    /// or is this book, where an entry says something else in each
    /// ([`BookError::Differs`]), or breaks a rule of the book
    /// ([`BookError::NotTakenIn`]); nothing was taken in then.
    pub fn merge(&mut self, other: &Path) -> Result<Merged, BookError> {
        let other = Other::open(other, self.inode)?;
        let mut merged = self.write(|conn| {
            let mut taking = Taking { other: &other, conn, at: &self.path, merged: Merged::default() };
            taking.all()?;
            taking.weigh()?;
            Ok(Merged { other: other.path.clone(), ..taking.merged })
        })?;
        merged.past_permits = self.cut_past_permits()?;
        Ok(merged)
    }
}

impl Book {
    /// How many of each kind of tree no permit covers, and nobody wrote why.
    fn cut_past_permits(&self) -> Result<BTreeMap<String, u64>, BookError> {
        let past = self.ledgers()?.into_iter().map(|(tree, ledger)| {
            let unsaid =
                ledger.past.iter().filter(|past| past.cut.why.is_none() && past.cut.answer.is_none());
            (tree, unsaid.map(|past| u64::from(past.uncovered)).sum())
        });
        Ok(past.filter(|(_, count)| *count > 0).collect())
    }
}

struct Taking<'a> {
    other: &'a Other,
    conn: &'a Connection,
    at: &'a Path,
    merged: Merged,
}

impl Taking<'_> {
    /// Takes all that is new, in an order in which what an entry names comes
    /// before it.
    fn all(&mut self) -> Result<(), BookError> {
        let mut seen = 0;
        // As they are listed, what an entry of these kinds names is of a kind before it.
        for kind in Kind::ALL.iter().filter(|kind| !names_any(**kind)) {
            self.each(*kind, &mut seen, |taking, entry| taking.one(&entry))?;
        }
        let mut naming = Vec::new();
        for kind in Kind::ALL.iter().filter(|kind| names_any(**kind)) {
            self.each(*kind, &mut seen, |_, entry| {
                naming.push(entry);
                Ok(())
            })?;
        }
        self.one_after_another(naming)?;
        self.none_left_out(seen)
    }

    /// Reads all of a kind in the other book, in the order they happened.
    fn each(
        &mut self,
        kind: Kind,
        seen: &mut i64,
        mut work: impl FnMut(&mut Self, Entry) -> Result<(), BookError>,
    ) -> Result<(), BookError> {
        const SQL: &str =
            concat!("SELECT ", head_columns!(), " FROM entry WHERE kind = :kind ORDER BY happened, id");
        let other = self.other;
        let mut query = other.conn.prepare_cached(SQL).map_err(|e| other.told(e))?;
        let mut rows = query.query(named_params! { ":kind": kind.word() }).map_err(|e| other.told(e))?;
        while let Some(row) = rows.next().map_err(|e| other.told(e))? {
            let entry = Head::of(row).and_then(|head| head.whole(&other.conn)).map_err(|e| other.told(e))?;
            work(self, entry)?;
            *seen += 1;
        }
        Ok(())
    }

    /// Takes entries that name others, each after the one it names.
    fn one_after_another(&mut self, naming: Vec<Entry>) -> Result<(), BookError> {
        let mut ready = VecDeque::new();
        let mut waiting: BTreeMap<Uuid, Vec<Entry>> = BTreeMap::new();
        for entry in naming {
            match named(&entry.what) {
                Some(id) if self.here(id)?.is_none() => waiting.entry(id).or_default().push(entry),
                _ => ready.push_back(entry),
            }
        }
        while let Some(entry) = ready.pop_front() {
            self.one(&entry)?;
            ready.extend(waiting.remove(&entry.id).into_iter().flatten());
        }
        // Where what they name is nowhere, the first of them is refused.
        waiting.into_values().flatten().try_for_each(|entry| self.one(&entry))
    }

    /// A kind that nobody knows is not passed over in silence.
    fn none_left_out(&self, seen: i64) -> Result<(), BookError> {
        const SQL: &str = "SELECT count(*) FROM entry";
        let other = self.other;
        let all: i64 = other.conn.query_row(SQL, [], |row| row.get(0)).map_err(|e| other.told(e))?;
        if all == seen {
            return Ok(());
        }
        let what = format!("{} entries of kinds that are unknown", all - seen);
        Err(BookError::Unreadable { path: other.path.display().to_string(), what })
    }

    fn one(&mut self, theirs: &Entry) -> Result<(), BookError> {
        if let What::House { name } = &theirs.what
            && let Err(refused) = called("its name", name)
        {
            let path = self.other.path.display().to_string();
            let why = refused.to_string();
            return Err(BookError::NotTakenIn { path, kind: Kind::House, id: theirs.id, why });
        }
        if let Some(ours) = self.here(theirs.id)? {
            if !same(&ours, theirs) {
                let path = self.other.path.display().to_string();
                return Err(BookError::Differs { path, kind: theirs.what.kind(), id: theirs.id });
            }
            self.merged.shared += 1;
            return Ok(());
        }
        self.take(theirs).map_err(|e| match broken_rule(&e) {
            Some(why) => {
                let path = self.other.path.display().to_string();
                BookError::NotTakenIn { path, kind: theirs.what.kind(), id: theirs.id, why }
            }
            None => self.told(e),
        })?;
        *self.merged.new.entry(theirs.house).or_default().entry(theirs.what.kind()).or_default() += 1;
        Ok(())
    }

    fn take(&mut self, theirs: &Entry) -> rusqlite::Result<()> {
        match &theirs.what {
            What::House { name } => {
                let known = names::free(self.conn, name)?;
                let called = names::called(name.clone(), &known);
                if called != *name {
                    self.merged.renamed.insert(theirs.id, called);
                }
                let id = theirs.id.to_string();
                write::add_house(self.conn, &id, name, &known)?;
                return write::add_entry(self.conn, &id, theirs);
            }
            What::Strike { entry, .. } if write::is_struck(self.conn, *entry)? => {
                self.merged.struck_twice.insert(*entry);
            }
            _ => {}
        }
        write::add(self.conn, theirs)
    }

    /// Looks for heaps of which each book let go what only was there once.
    fn weigh(&mut self) -> Result<(), BookError> {
        let touched: BTreeSet<Uuid> = self.heaps_touched()?;
        for house in touched {
            let told = load(self.conn, Some(house)).map_err(|e| self.told(e))?;
            // A house that cannot be told has no heaps.
            let now = match House::of(house, &told) {
                Ok(now) => now,
                Err(why) => {
                    self.merged.untold.insert(house, why.to_string());
                    continue;
                }
            };
            let lacking = now.lacking().map(|(item, count)| Lacking { house, item, count });
            self.merged.lacking.extend(lacking);
        }
        Ok(())
    }

    /// The houses with new entries, and those that were given something by one.
    fn heaps_touched(&self) -> Result<BTreeSet<Uuid>, BookError> {
        const SQL: &str = "
            SELECT DISTINCT tally.to_house FROM entry JOIN tally USING (id)
            WHERE entry.house = :house AND tally.to_house IS NOT NULL";
        let touched: Vec<Uuid> = self.merged.new.keys().copied().flatten().collect();
        let mut all: BTreeSet<Uuid> = touched.iter().copied().collect();
        let mut query = self.conn.prepare_cached(SQL).map_err(|e| self.told(e))?;
        for house in touched {
            let given = query
                .query_map(named_params! { ":house": house.to_string() }, |row| Ok(row.get::<_, Id>(0)?.0))
                .and_then(Iterator::collect::<rusqlite::Result<Vec<Uuid>>>)
                .map_err(|e| self.told(e))?;
            all.extend(given);
        }
        Ok(all)
    }

    /// The entry of this id in this book.
    fn here(&self, id: Uuid) -> Result<Option<Entry>, BookError> {
        const SQL: &str = concat!("SELECT ", head_columns!(), " FROM entry WHERE id = :id");
        let mut query = self.conn.prepare_cached(SQL).map_err(|e| self.told(e))?;
        let head = query.query_row(named_params! { ":id": id.to_string() }, Head::of).optional();
        let entry = head.and_then(|head| head.map(|head| head.whole(self.conn)).transpose());
        entry.map_err(|e| self.told(e))
    }

    fn told(&self, source: rusqlite::Error) -> BookError {
        BookError::sqlite(self.conn, self.at, source)
    }
}

/// Whether entries of this kind name an entry of any kind.
const fn names_any(kind: Kind) -> bool {
    matches!(kind, Kind::Answer | Kind::Strike)
}

/// The entry of any kind that this one names.
const fn named(what: &What) -> Option<Uuid> {
    match what {
        What::Answer { entry, .. } | What::Strike { entry, .. } => Some(*entry),
        _ => None,
    }
}

/// Whether two entries say the same, also of where the time was told.
fn same(one: &Entry, other: &Entry) -> bool {
    one == other
        && one.happened.offset() == other.happened.offset()
        && one.written.offset() == other.written.offset()
}
