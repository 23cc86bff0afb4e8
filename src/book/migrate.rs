//! Bringing a book of an older version up to date.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::copy::copy_to;
use super::error::BookError;
use super::open::beside;

/// The steps, in order; a book's version is how many it has gone through.
const STEPS: &[&str] = &[
    include_str!("../../migrations/0001-entries/up.sql"),
    include_str!("../../migrations/0002-views/up.sql"),
    include_str!("../../migrations/0003-village/up.sql"),
    include_str!("../../migrations/0004-strikes/up.sql"),
    include_str!("../../migrations/0005-torn-off/up.sql"),
];

/// The version this program keeps.
pub(super) const LATEST: i64 = STEPS.len() as i64;

/// Goes through the steps the book has not gone through yet, all or none. A
/// book that has a version already is copied first.
pub(super) fn migrate(conn: &Connection, path: &Path) -> Result<(), BookError> {
    let told = |e| BookError::sqlite(conn, path, e);
    let found = version(conn).map_err(told)?;
    if found == LATEST {
        return Ok(());
    }
    let copy = if found > 0 { Some(copy_before(conn, path, found)?) } else { None };
    let gone_through = step_up(conn, path);
    if let (Err(_), Some(copy)) = (&gone_through, copy)
        && version(conn).is_ok_and(|now| now == found)
    {
        // The book is as it was; a copy that cannot be removed does no harm.
        let _ = fs::remove_file(copy);
    }
    gone_through
}

/// A book's contents in memory, brought up to date there; the book stays as it is.
pub(super) fn in_memory(book: &Connection, path: &Path) -> Result<Connection, BookError> {
    let memory = copy_to_memory(book).map_err(|e| BookError::sqlite(book, path, e))?;
    step_up(&memory, path)?;
    Ok(memory)
}

/// A book's contents in memory, as they are at one moment.
pub(super) fn copy_to_memory(book: &Connection) -> rusqlite::Result<Connection> {
    let mut memory = Connection::open_in_memory()?;
    Backup::new(book, &mut memory)?.run_to_completion(i32::MAX, Duration::from_millis(50), None)?;
    Ok(memory)
}

fn step_up(conn: &Connection, path: &Path) -> Result<(), BookError> {
    let told = |e| BookError::sqlite(conn, path, e);
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(told)?;
    // Read again, now that nobody else can write.
    let found = version(&tx).map_err(told)?;
    for step in STEPS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        tx.execute_batch(step).map_err(told)?;
    }
    tx.pragma_update(None, "user_version", LATEST).map_err(told)?;
    tx.commit().map_err(told)
}

pub(super) fn version(conn: &Connection) -> rusqlite::Result<i64> {
    conn.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Copies the book beside itself, under the first name that is free: a
/// migration that was cut short has left its copy there. Gives the copy's name.
fn copy_before(conn: &Connection, path: &Path, version: i64) -> Result<PathBuf, BookError> {
    let mut copy = beside(path, &format!(".before-v{version}"));
    for again in 2..=99 {
        match copy_to(conn, &copy) {
            Err(BookError::Taken { .. }) => copy = beside(path, &format!(".before-v{version}-{again}")),
            done => return done.map(|()| copy),
        }
    }
    Err(BookError::Taken { path: copy.display().to_string() })
}

#[cfg(test)]
mod tests {
    use super::super::open::{connect, make_file};
    use super::super::{Book, Filter, Opening, Stamp};
    use super::*;
    use crate::build::brief::BriefText;
    use crate::build::draft::{Draft, StemSaid};
    use crate::build::entry::Entry;

    fn stamp() -> Stamp {
        let now = chrono::DateTime::parse_from_rfc3339("2031-03-02T07:30:00+10:00").expect("a moment");
        Stamp { at: now, now, by: "Oru".to_owned() }
    }

    /// Two houses, a reading, tallies, one of them between the two, a strike
    /// and a stop: entries of kinds that there were from the first.
    fn village(book: &mut Book) {
        let mut keep = |house, draft: &Draft| book.keep_draft(house, draft, &stamp()).expect("kept").entry;
        let mut said = BriefText::default();
        for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp")] {
            said.say(field, text);
        }
        let mut house = |name: &str| keep(None, &Draft::Start { name: name.to_owned(), said: said.clone() });
        let (tern, landing) = (house("Tern house"), house("Landing house"));
        let tally = |count: &str, how: &str, to| Draft::Tally {
            item: "rope".to_owned(),
            count: count.to_owned(),
            how: how.to_owned(),
            to,
            remark: "by the weavers".to_owned(),
            of: StemSaid::default(),
        };
        keep(Some(tern), &tally("40", "woven", None));
        keep(Some(tern), &tally("12", "moved", Some(landing)));
        let twice = keep(Some(tern), &tally("3", "used", None));
        keep(None, &Draft::Strike { entry: twice, why: "told twice".to_owned() });
        keep(None, &Draft::Hold { cause: "feast".to_owned(), planned: true });
    }

    fn all(book: &Book) -> Vec<Entry> {
        let mut all: Vec<Entry> =
            book.log(&Filter::default()).expect("read").into_iter().map(|l| l.entry).collect();
        all.sort_by_key(Entry::order);
        all
    }

    /// A book as the program kept it when it knew this many steps, with entries in it.
    fn old_book(path: &Path, steps: usize) -> Vec<Entry> {
        let mut book = Book::open(path, Opening::Create).expect("a book");
        village(&mut book);
        let entries = all(&book);
        drop(book);
        let new = path.with_extension("new");
        fs::rename(path, &new).expect("set aside");
        make_file(path).expect("a file");
        let conn = connect(path).expect("a file");
        conn.pragma_update(None, "application_id", 0x7370_616e).expect("marked");
        for step in &STEPS[..steps] {
            conn.execute_batch(step).expect("a step");
        }
        conn.pragma_update(None, "user_version", i64::try_from(steps).expect("a version"))
            .expect("a version");
        conn.execute("ATTACH ?1 AS new", [new.display().to_string()]).expect("both");
        conn.execute_batch("BEGIN").expect("begun");
        let copy = |table: &str, only: &str| {
            let columns: String = conn
                .query_row(
                    "SELECT group_concat(name, ', ') FROM pragma_table_info(?1, 'main')",
                    [table],
                    |row| row.get(0),
                )
                .expect("columns");
            let copy = format!(
                "INSERT INTO {table} ({columns}) SELECT {columns} FROM new.{table} WHERE {only} ORDER BY id"
            );
            conn.execute_batch(&copy).expect("filled");
        };
        for table in ["house", "brief", "measure", "reading", "moved", "tally", "sign", "hold"] {
            copy(table, "true");
        }
        // What a strike strikes comes before it.
        copy("entry", "kind <> 'strike'");
        copy("strike", "true");
        copy("entry", "kind = 'strike'");
        conn.execute_batch("COMMIT").expect("filled");
        entries
    }

    #[test]
    fn a_book_of_every_older_version_is_copied_and_brought_up_to_date() {
        for steps in 1..STEPS.len() {
            let folder = tempfile::tempdir().expect("a folder");
            let path = folder.path().join("village.spanwright");
            let entries = old_book(&path, steps);
            let book = Book::open(&path, Opening::Existing).expect("brought up to date");
            assert_eq!(version(&book.conn).expect("a version"), LATEST);
            assert_eq!(all(&book), entries);
            assert_eq!(book.verify().expect("verified"), []);
            drop(book);

            let copy = connect(&beside(&path, &format!(".before-v{steps}"))).expect("the copy");
            assert_eq!(version(&copy).expect("a version"), i64::try_from(steps).expect("a version"));
            let kept: i64 =
                copy.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).expect("entries");
            assert_eq!(kept, i64::try_from(entries.len()).expect("a count"));
            Book::open(&path, Opening::Existing).expect("opens again");
            assert!(!beside(&path, &format!(".before-v{steps}-2")).exists(), "and is not copied again");
        }
    }

    #[test]
    fn a_book_of_every_older_version_is_taken_in_and_stays_as_it_is() {
        for steps in 1..STEPS.len() {
            let folder = tempfile::tempdir().expect("a folder");
            let path = folder.path().join("village.spanwright");
            let entries = old_book(&path, steps);
            let before = fs::read(&path).expect("read");
            let mut book = Book::open(&folder.path().join("mine"), Opening::Create).expect("a book");
            assert_eq!(book.merge(&path).expect("merged").new_count(), entries.len() as u64);
            assert_eq!(all(&book), entries);
            assert!(fs::read(&path).expect("read") == before);
            assert!(!beside(&path, &format!(".before-v{steps}")).exists(), "nothing was to be copied");
        }
    }

    #[test]
    fn a_copy_that_is_there_already_is_left_and_the_next_name_taken() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("village.spanwright");
        old_book(&path, 1);
        let there = beside(&path, ".before-v1");
        fs::write(&there, "an older copy").expect("written");
        Book::open(&path, Opening::Existing).expect("brought up to date");
        assert_eq!(fs::read_to_string(&there).expect("read"), "an older copy");
        assert!(beside(&path, ".before-v1-2").exists());
    }

    #[test]
    fn a_migration_that_fails_leaves_the_book_as_it_was() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("village.spanwright");
        old_book(&path, 1);
        let conn = connect(&path).expect("the file");
        // In the way of the last step.
        conn.execute_batch("CREATE VIEW heap AS SELECT 1").expect("a view");
        drop(conn);
        Book::open(&path, Opening::Existing).expect_err("the step fails");
        let conn = connect(&path).expect("the file");
        assert_eq!(version(&conn).expect("a version"), 1);
        let views: i64 = conn
            .query_row("SELECT count(*) FROM sqlite_schema WHERE type = 'view'", [], |row| row.get(0))
            .expect("a count");
        assert_eq!(views, 1, "no step by halves");
        assert!(!beside(&path, ".before-v1").exists(), "and no copy of what was not changed");
    }

    #[test]
    fn a_migration_that_fails_removes_no_copy_but_its_own() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("village.spanwright");
        drop(Book::open(&path, Opening::Create).expect("a book"));
        let conn = connect(&path).expect("the file");
        // The steps from there on have been gone through already.
        conn.pragma_update(None, "user_version", 3).expect("altered");
        drop(conn);
        let there = beside(&path, ".before-v3");
        fs::write(&there, "an older copy").expect("written");
        for _ in 0..2 {
            let opened = Book::open(&path, Opening::Existing);
            assert!(matches!(opened, Err(BookError::Altered { .. })), "{opened:?}");
            assert_eq!(fs::read_to_string(&there).expect("read"), "an older copy");
            assert!(!beside(&path, ".before-v3-2").exists());
        }
    }
}
