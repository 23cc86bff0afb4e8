//! The book: one SQLite file that holds every entry.
//!
//! Entries are only ever added. Each is one row of the table `entry` and one
//! row of detail in the table of its kind; the schema stands in `migrations/`
//! and refuses, by itself, whatever would change, erase or contradict a line.
//! What a house *is now* follows from its entries: [`Book::entries_of`] gives
//! all that a fold over the house needs, in order. [`Book::glances`] keeps the
//! outcome of the last fold until an entry is added to the house.
//!
//! A book is opened in one place ([`Book::open`], or [`Book::open_to_read`]
//! where it may not be written), added to in one way (one
//! transaction that takes the write lock at once, [`Book::keep`],
//! [`Book::decide`] and [`Book::merge`]), and asked by index. Kept means
//! committed and synced to the disk. Times are kept to the microsecond and
//! offsets to the minute.

mod ask;
mod copy;
mod days;
mod error;
mod ids;
mod keep;
mod log;
mod merge;
mod merged;
mod migrate;
mod names;
mod open;
mod other;
mod permits;
mod read;
mod reading;
mod summary;
mod verify;
mod village;
mod were;
mod write;

use std::path::{Path, PathBuf};

use rusqlite::Connection;

pub use ask::HouseLine;
pub use days::{DaysAsked, DaysTold};
pub use error::BookError;
pub use ids::Ids;
pub use keep::{Kept, NotKept, Stamp};
pub use log::{Filter, LogLine, Struck};
pub use merged::{Lacking, Merged};
pub use open::Opening;
pub use summary::Untold;
pub use verify::Finding;
pub use were::{HouseWas, Lately, Were};

/// An open book.
#[derive(Debug)]
pub struct Book {
    conn: Connection,
    path: PathBuf,
    /// What the file is to the system.
    inode: (u64, u64),
    ids: Ids,
    /// The count of other programs' commits that was last looked at.
    seen: i64,
    /// Whether it was opened only to be read.
    only_read: bool,
}

impl Book {
    /// The file, with links followed.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether another program has added to the book since this was last
    /// asked, or since it was opened. Cheap enough to ask on every wake.
    ///
    /// # Errors
    /// [`BookError`] where the file cannot be read, or is no longer there.
    pub fn changed(&mut self) -> Result<bool, BookError> {
        self.stands()?;
        let now = self.version_of_data()?;
        Ok(std::mem::replace(&mut self.seen, now) != now)
    }

    fn version_of_data(&self) -> Result<i64, BookError> {
        self.conn.query_row("PRAGMA data_version", [], |row| row.get(0)).map_err(|e| self.told(e))
    }

    fn told(&self, source: rusqlite::Error) -> BookError {
        BookError::sqlite(&self.conn, &self.path, source)
    }
}
