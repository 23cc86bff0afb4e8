//! Opening a book only to read it: nothing is changed, nothing made beside it.
//!
//! A program that writes to a book keeps its log and the memory that programs
//! share beside it, and takes both away when it ends well. Where they stand,
//! SQLite reads through them, without making any. Where they do not, nobody
//! writes and the file is all there is: it is read into memory in one go, and
//! read again should anything have changed meanwhile. SQLite itself would only
//! read such a file in a folder it may write to, or on the word that it never
//! changes.
//!
//! Source: SQLite, "Write-Ahead Logging", section 6; "Uniform Resource
//! Identifiers", `immutable`; the query parameter `readonly_shm` of its Unix
//! files.

use std::fs;
use std::io;
use std::os::unix::fs::MetadataExt;
use std::path::Path;
use std::thread;
use std::time::Duration;

use rusqlite::{Connection, ErrorCode};

use super::error::BookError;
use super::open::{self, Opening, beside};
use super::write::inode;
use super::{Book, Ids, migrate};

/// How often it is tried while others begin to write and end.
const TRIES: usize = 20;

/// How long is waited before it is tried again.
const PAUSE: Duration = Duration::from_millis(10);

impl Book {
    /// Opens a book that is there only to read it. One of an older version is
    /// brought up to date in memory.
    ///
    /// # Errors
    /// [`BookError`] with what stands in the way.
    pub fn open_to_read(path: &Path) -> Result<Self, BookError> {
        let path = open::place(path, Opening::Existing)?;
        let inode = inode(&path).map_err(|e| BookError::file(&path, "looking at it", e))?;
        let mut conn = to_read(&path)?;
        if open::is_empty_or_book(&conn, &path)? {
            return Err(BookError::Missing { path: path.display().to_string() });
        }
        if migrate::version(&conn).map_err(|e| BookError::sqlite(&conn, &path, e))? < migrate::LATEST {
            conn = migrate::in_memory(&conn, &path)?;
        }
        let mut book = Self { conn, path, inode, ids: Ids::new(), seen: 0, only_read: true };
        book.seen = book.version_of_data()?;
        Ok(book)
    }
}

/// A connection to a file that exists, through which nothing is written.
///
/// # Errors
/// [`BookError`] where it cannot be read.
pub(super) fn to_read(path: &Path) -> Result<Connection, BookError> {
    once_it_can_be_read(path, || thread::sleep(PAUSE))
}

/// Tries until the file can be read, and waits after each try.
fn once_it_can_be_read(path: &Path, mut wait: impl FnMut()) -> Result<Connection, BookError> {
    open::look_at(path)?;
    let shown = || path.display().to_string();
    let not_read = |e: rusqlite::Error| not_read(path, &e);
    let lies = || Lies::now(path).map_err(|e| BookError::file(path, "looking at it", e));
    let first = lies()?;
    let mut why = BookError::Busy { path: shown() };
    for _ in 0..TRIES {
        let before = lies()?;
        let read = match before {
            // In memory, a file with nothing in it would have a first page.
            Lies { file: (_, 0, ..), log: None | Some(0), .. } => {
                return Err(BookError::Missing { path: shown() });
            }
            Lies { log: Some(_), is_shared: true, .. } => through_its_log(path).map(Some).map_err(not_read),
            // A program that ends well takes away the shared memory first, and
            // its log after it: one that was stopped short leaves it there.
            Lies { log: Some(1..), .. } if before == first => Err(BookError::StoppedShort { path: shown() }),
            Lies { log: Some(1..), .. } => Ok(None),
            _ => {
                let conn = into_memory(path);
                if lies()? == before { conn.map(Some).map_err(not_read) } else { Ok(None) }
            }
        };
        match read {
            Ok(Some(conn)) => return Ok(conn),
            Ok(None) => why = BookError::Busy { path: shown() },
            Err(e) => why = e,
        }
        wait();
    }
    Err(why)
}

/// How a file lies there, so far as a program that wrote to it would change that.
#[derive(PartialEq, Eq)]
struct Lies {
    /// Number, length, and when it was last changed, in s and ns.
    file: (u64, u64, i64, i64, i64, i64),
    /// The length of its log, where there is one.
    log: Option<u64>,
    /// Whether the memory that programs share stands beside it.
    is_shared: bool,
}

impl Lies {
    fn now(path: &Path) -> io::Result<Self> {
        let file = fs::metadata(path)?;
        Ok(Self {
            file: (file.ino(), file.len(), file.mtime(), file.mtime_nsec(), file.ctime(), file.ctime_nsec()),
            log: fs::metadata(beside(path, "-wal")).ok().map(|log| log.len()),
            is_shared: beside(path, "-shm").exists(),
        })
    }
}

/// Reads as one of several programs, beside those that write.
fn through_its_log(path: &Path) -> rusqlite::Result<Connection> {
    let conn = open::connect_to_read(path, "readonly_shm=1")?;
    conn.busy_timeout(Duration::from_secs(5))?;
    conn.query_row("PRAGMA schema_version", [], |row| row.get::<_, i64>(0))?;
    Ok(conn)
}

/// Reads the file alone, all at once.
fn into_memory(path: &Path) -> rusqlite::Result<Connection> {
    migrate::copy_to_memory(&open::connect_to_read(path, "immutable=1")?)
}

fn not_read(path: &Path, why: &rusqlite::Error) -> BookError {
    let path = path.display().to_string();
    match why.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => BookError::Foreign { path },
        Some(ErrorCode::DatabaseCorrupt) => BookError::Damaged { path, finding: why.to_string() },
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => BookError::Busy { path },
        _ => BookError::Denied { path },
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use tempfile::TempDir;

    use super::*;

    /// A closed book, with a log beside it as if it were still to be taken away.
    fn with_a_log() -> TempDir {
        let folder = tempfile::tempdir().expect("a folder");
        drop(Book::open(&folder.path().join("village"), Opening::Create).expect("a book"));
        fs::write(folder.path().join("village-wal"), "a log").expect("written");
        folder
    }

    #[test]
    fn a_program_that_is_just_ending_is_waited_for_until_its_log_is_gone() {
        let folder = with_a_log();
        let waited = Cell::new(0);
        let read = once_it_can_be_read(&folder.path().join("village"), || {
            waited.set(waited.get() + 1);
            if waited.get() == 3 {
                fs::remove_file(folder.path().join("village-wal")).expect("taken away");
            }
        });
        let conn = read.expect("read");
        assert_eq!(migrate::version(&conn).expect("a version"), migrate::LATEST);
        assert_eq!(waited.get(), 3);
    }

    #[test]
    fn a_log_that_stays_was_left_by_a_program_that_was_stopped_short() {
        let folder = with_a_log();
        let waited = Cell::new(0);
        let read = once_it_can_be_read(&folder.path().join("village"), || waited.set(waited.get() + 1));
        assert!(matches!(read, Err(BookError::StoppedShort { .. })));
        assert_eq!(waited.get(), TRIES);
    }

    #[test]
    fn a_log_that_comes_while_it_is_tried_does_not_tell_of_a_program_stopped_short() {
        let folder = with_a_log();
        let mut length = 5;
        let read = once_it_can_be_read(&folder.path().join("village"), || {
            length += 1;
            fs::write(folder.path().join("village-wal"), "a".repeat(length)).expect("written");
        });
        assert!(matches!(read, Err(BookError::Busy { .. })));
    }
}
