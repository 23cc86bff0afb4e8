//! Bringing a book of an older version up to date.

use std::path::Path;

use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::copy::copy_to;
use super::error::BookError;
use super::open::beside;

/// The steps, in order; a book's version is how many it has gone through.
const STEPS: &[&str] = &[
    include_str!("../../migrations/0001-entries/up.sql"),
    include_str!("../../migrations/0002-views/up.sql"),
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
    if found > 0 {
        copy_before(conn, path, found)?;
    }
    let tx = Transaction::new_unchecked(conn, TransactionBehavior::Immediate).map_err(told)?;
    // Read again, now that nobody else can write.
    let found = version(&tx).map_err(told)?;
    for step in STEPS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        tx.execute_batch(step).map_err(told)?;
    }
    tx.pragma_update(None, "user_version", LATEST).map_err(told)?;
    tx.commit().map_err(told)
}

fn version(conn: &Connection) -> rusqlite::Result<i64> {
    conn.query_row("PRAGMA user_version", [], |row| row.get(0))
}

/// Copies the book beside itself, under the first name that is free: a
/// migration that was cut short has left its copy there.
fn copy_before(conn: &Connection, path: &Path, version: i64) -> Result<(), BookError> {
    let mut ending = format!(".before-v{version}");
    for again in 2..=99 {
        match copy_to(conn, &beside(path, &ending)) {
            Err(BookError::Taken { .. }) => ending = format!(".before-v{version}-{again}"),
            done => return done,
        }
    }
    Err(BookError::Taken { path: beside(path, &ending).display().to_string() })
}
