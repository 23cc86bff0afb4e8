//! Another book, opened only to be read.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OptionalExtension};

use super::error::{BookError, first_fault};
use super::migrate;
use super::open::{self, Opening};
use super::reading::to_read;
use super::write::inode;

/// Another book, as it is at one moment.
pub(super) struct Other {
    pub conn: Connection,
    pub path: PathBuf,
}

impl Other {
    /// Opens a book that is not the one of this inode. One of an older version
    /// is read from a copy in memory that is brought up to date.
    ///
    /// # Errors
    /// [`BookError`] where it is no sound book this program knows, or is the
    /// same as this one. Nothing is written to it in any case.
    pub(super) fn open(path: &Path, this: (u64, u64)) -> Result<Self, BookError> {
        let path = open::place(path, Opening::Existing)?;
        let shown = || path.display().to_string();
        if inode(&path).map_err(|e| BookError::file(&path, "looking at it", e))? == this {
            return Err(BookError::Itself { path: shown() });
        }
        let conn = to_read(&path)?;
        let told = |e| BookError::sqlite(&conn, &path, e);
        if open::is_empty_or_book(&conn, &path)? {
            return Err(BookError::Missing { path: shown() });
        }
        conn.execute_batch("BEGIN").map_err(told)?;
        if let Some(finding) = first_fault(&conn) {
            return Err(BookError::Damaged { path: shown(), finding });
        }
        if let Some(name) = stand_in(&conn).map_err(told)? {
            let finding = format!("{name} is no table");
            return Err(BookError::Damaged { path: shown(), finding });
        }
        if migrate::version(&conn).map_err(told)? < migrate::LATEST {
            let conn = migrate::in_memory(&conn, &path)?;
            return Ok(Self { conn, path });
        }
        Ok(Self { conn, path })
    }

    /// What a failure to read it means.
    pub(super) fn told(&self, source: rusqlite::Error) -> BookError {
        BookError::sqlite(&self.conn, &self.path, source)
    }
}

/// What goes by the name of a table of entries but is a view, or another
/// program's work: reading it could go on without end.
fn stand_in(conn: &Connection) -> rusqlite::Result<Option<String>> {
    const SQL: &str = "
        SELECT name FROM pragma_table_list
        WHERE schema = 'main' AND type <> 'table' AND name IN (
            'entry', 'house', 'brief', 'measure', 'reading', 'moved', 'tally', 'sign', 'sign_rested',
            'hold', 'strike', 'strike_again', 'permit', 'answer', 'tie_down', 'crew', 'crew_day',
            'closed', 'weather', 'wood', 'pull')
        ORDER BY name LIMIT 1";
    conn.query_row(SQL, [], |row| row.get(0)).optional()
}
