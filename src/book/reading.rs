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
use std::time::Duration;

use rusqlite::{Connection, ErrorCode};

use super::error::BookError;
use super::open::{self, Opening, beside};
use super::write::inode;
use super::{Book, Ids, migrate};

/// How often it is tried while others begin to write and end.
const TRIES: usize = 20;

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
    open::look_at(path)?;
    let lies = || Lies::now(path).map_err(|e| BookError::file(path, "looking at it", e));
    let mut why = BookError::Busy { path: path.display().to_string() };
    for _ in 0..TRIES {
        let before = lies()?;
        let (read, is_whole) = match before {
            // In memory, a file with nothing in it would have a first page.
            Lies { file: (_, 0, ..), log: None | Some(0), .. } => {
                return Err(BookError::Missing { path: path.display().to_string() });
            }
            Lies { log: Some(_), is_shared: true, .. } => (through_its_log(path), true),
            Lies { log: Some(1..), .. } => {
                return Err(BookError::StoppedShort { path: path.display().to_string() });
            }
            _ => (into_memory(path), lies()? == before),
        };
        match read {
            Ok(conn) if is_whole => return Ok(conn),
            Ok(_) => {}
            Err(e) => why = not_read(path, &e),
        }
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
