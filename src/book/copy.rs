//! A safe copy of a book that may be in use.

use std::fs::{self, File};
use std::io;
use std::path::Path;
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::Book;
use super::error::BookError;
use super::open::{connect, make_file};

impl Book {
    /// Copies the book, as it is at one moment, to a new file, and sees it
    /// onto the disk. Others may go on reading and writing the book meanwhile.
    ///
    /// # Errors
    /// [`BookError::Taken`] where there is a file already; else what the disk
    /// or the book had against it, and then no file is left there.
    pub fn keep_copy(&self, to: &Path) -> Result<(), BookError> {
        copy_to(&self.conn, to)
    }
}

/// Copies the open book to a new file.
pub(super) fn copy_to(conn: &Connection, to: &Path) -> Result<(), BookError> {
    make_file(to).map_err(|e| BookError::file(to, "making the copy", e))?;
    let copied = pages(conn, to)
        .map_err(|e| BookError::sqlite(conn, to, e))
        .and_then(|()| sync(to).map_err(|e| BookError::file(to, "putting the copy on the disk", e)));
    if copied.is_err() {
        // The error tells of the copy; half of one that stays behind is empty to SQLite.
        let _ = fs::remove_file(to);
    }
    copied
}

fn pages(conn: &Connection, to: &Path) -> rusqlite::Result<()> {
    let mut copy = connect(to)?;
    // All pages in one go: the log lets others write meanwhile.
    Backup::new(conn, &mut copy)?.run_to_completion(i32::MAX, Duration::from_millis(50), None)
}

fn sync(to: &Path) -> io::Result<()> {
    File::open(to)?.sync_all()?;
    let folder = match to.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    File::open(folder)?.sync_all()
}
