//! What can go wrong with the book, each in one line: what, where, what to do.

use std::io;
use std::path::Path;

use rusqlite::{Connection, ErrorCode, ffi};
use thiserror::Error;
use uuid::Uuid;

use crate::build::entry::{Entry, Kind};

/// What can go wrong with the book.
#[derive(Debug, Error)]
pub enum BookError {
    /// No folder of the user's is known to keep a book in.
    #[error("no home folder is known to keep the book in; name the book's file with --book FILE")]
    NoHome,
    /// There is no file.
    #[error("{path}: there is no book here; check the name, or start a house to begin one")]
    Missing {
        /// The file.
        path: String,
    },
    /// The folder the file would be in is not there.
    #[error("{path}: its folder does not exist; make the folder first, or check the name")]
    NoFolder {
        /// The file.
        path: String,
    },
    /// A folder stands where the file should be.
    #[error("{path}: this is a folder; name a file in it")]
    Folder {
        /// The folder.
        path: String,
    },
    /// Something that is neither a file nor a folder.
    #[error("{path}: this is not a plain file; name the book's file")]
    NotAFile {
        /// Where.
        path: String,
    },
    /// The system does not let this user at it.
    #[error("{path}: no permission to open it; ask for leave to read and write the file and its folder")]
    Denied {
        /// The file.
        path: String,
    },
    /// It can be read but not written.
    #[error("{path}: it may only be read; ask for leave to write the file and its folder, or open a copy")]
    ReadOnly {
        /// The file.
        path: String,
    },
    /// Its last entries are in its log alone, which is read only where it may
    /// be written.
    #[error(
        "{path}: a program that wrote to it was stopped short, and its last entries stand in {path}-wal; open it where it may be written, or a copy of both files"
    )]
    StoppedShort {
        /// The file.
        path: String,
    },
    /// A file of another program.
    #[error("{path}: not a spanwright book; nothing was changed")]
    Foreign {
        /// The file.
        path: String,
    },
    /// A book of a later version of this program.
    #[error(
        "{path}: kept by a newer spanwright (book {found}, this program reads up to {known}); use the newer program"
    )]
    Newer {
        /// The file.
        path: String,
        /// The version of the book.
        found: i64,
        /// The latest version this program knows.
        known: i64,
    },
    /// SQLite's own check found the file broken.
    #[error("{path}: damaged ({finding}); nothing was changed; keep the file and go on from a copy")]
    Damaged {
        /// The file.
        path: String,
        /// The first thing the check found.
        finding: String,
    },
    /// Its version or its tables are none that this program made.
    #[error(
        "{path}: altered by another program ({what}); nothing was changed; keep the file and go on from a copy"
    )]
    Altered {
        /// The file.
        path: String,
        /// What is not as it was made.
        what: String,
    },
    /// A row that none of this program's entries could have made.
    #[error("{path}: a line of the book cannot be read ({what}); run spanwright verify")]
    Unreadable {
        /// The file.
        path: String,
        /// What is wrong with it.
        what: String,
    },
    /// No room is left.
    #[error("{path}: the disk is full and nothing was kept; free some room and try again")]
    Full {
        /// The file.
        path: String,
    },
    /// The disk takes nothing more, for a reason that SQLite does not tell.
    #[error(
        "{path}: the disk did not take it and nothing was kept; it may be full or failing: make room, look at it and try again"
    )]
    NotTaken {
        /// The file.
        path: String,
    },
    /// The file was moved, removed or replaced while it was open.
    #[error(
        "{path}: the book was moved, removed or replaced while it was open, and nothing was kept; put it back, or open it anew"
    )]
    TakenAway {
        /// The file.
        path: String,
    },
    /// Another program holds the book.
    #[error("{path}: another program is writing to it and nothing was kept; try again")]
    Busy {
        /// The file.
        path: String,
    },
    /// A file is there already where a new one should go.
    #[error("{path}: there is a file here already; name a new one")]
    Taken {
        /// The file.
        path: String,
    },
    /// The system failed at a file.
    #[error("{path}: {what}: {source}; look at the disk and try again")]
    File {
        /// The file.
        path: String,
        /// What was being done.
        what: &'static str,
        /// What the system said.
        source: io::Error,
    },
    /// SQLite failed in another way.
    #[error("{path}: {}; nothing was kept; run spanwright verify", in_one_line(.source))]
    Sqlite {
        /// The file.
        path: String,
        /// What SQLite said.
        source: rusqlite::Error,
    },
    /// An entry breaks a rule of the book.
    #[error("the {kind} was not kept: {why}")]
    Refused {
        /// The kind of entry.
        kind: Kind,
        /// The entry.
        id: Uuid,
        /// The rule.
        why: String,
    },
    /// A book that should be taken in is the very book it should go into.
    #[error("{path}: this is the book itself; name another one to take in")]
    Itself {
        /// The file.
        path: String,
    },
    /// An entry is in both books and says something else in each.
    #[error(
        "{path}: its {kind} {id} is in this book too and says something else; nothing was taken in; one of the two was altered: run spanwright verify on both"
    )]
    Differs {
        /// The other book.
        path: String,
        /// The kind of entry there.
        kind: Kind,
        /// The entry.
        id: Uuid,
    },
    /// An entry of another book breaks a rule of this one.
    #[error("{path}: its {kind} {id} cannot be taken in: {why}; nothing was taken in")]
    NotTakenIn {
        /// The other book.
        path: String,
        /// The kind of entry.
        kind: Kind,
        /// The entry.
        id: Uuid,
        /// The rule.
        why: String,
    },
    /// No house goes by these words.
    #[error("no house is called \"{said}\"{}", nearest(.near))]
    NoHouse {
        /// What was said.
        said: String,
        /// Houses whose names are near it.
        near: Vec<String>,
    },
    /// Several houses go by these words.
    #[error("\"{said}\" could be any of: {}; say more of the name", .names.join(", "))]
    ManyHouses {
        /// What was said.
        said: String,
        /// Their names.
        names: Vec<String>,
    },
    /// No entry has this id.
    #[error("no entry has the id \"{said}\"; give one from the day book, or at least its first 8 letters")]
    NoEntry {
        /// What was said.
        said: String,
    },
    /// Several entries have ids that begin so.
    #[error("several entries have ids that begin with \"{said}\"; give the whole id")]
    ManyEntries {
        /// What was said.
        said: String,
    },
}

fn nearest(near: &[String]) -> String {
    if near.is_empty() {
        "; spanwright houses lists them all".to_owned()
    } else {
        format!("; near it: {}", near.join(", "))
    }
}

/// SQLite tells of a statement it cannot run with the whole of it.
fn in_one_line(source: &rusqlite::Error) -> String {
    let said = match source {
        rusqlite::Error::SqlInputError { msg, .. } => msg.clone(),
        _ => source.to_string(),
    };
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl BookError {
    /// Whether it was what was asked for that was at fault, rather than the
    /// book or the machine.
    #[must_use]
    pub const fn is_input(&self) -> bool {
        matches!(
            self,
            Self::Refused { .. }
                | Self::Itself { .. }
                | Self::NoHouse { .. }
                | Self::ManyHouses { .. }
                | Self::NoEntry { .. }
                | Self::ManyEntries { .. }
        )
    }

    /// What a failure of the system at a file means.
    pub(super) fn file(path: &Path, what: &'static str, source: io::Error) -> Self {
        let path = path.display().to_string();
        match source.kind() {
            io::ErrorKind::PermissionDenied => Self::Denied { path },
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly { path },
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full { path },
            io::ErrorKind::AlreadyExists => Self::Taken { path },
            io::ErrorKind::NotFound => Self::NoFolder { path },
            _ => Self::File { path, what, source },
        }
    }

    /// What a failure of SQLite means. Only a file that fails SQLite's own
    /// check is called damaged.
    pub(super) fn sqlite(conn: &Connection, path: &Path, source: rusqlite::Error) -> Self {
        let shown = path.display().to_string();
        match &source {
            rusqlite::Error::FromSqlConversionFailure(_, _, what) => {
                return Self::Unreadable { path: shown, what: what.to_string() };
            }
            rusqlite::Error::QueryReturnedNoRows => {
                return Self::Unreadable { path: shown, what: "what an entry says is lost".to_owned() };
            }
            _ => {}
        }
        match source.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full { path: shown },
            Some(ErrorCode::SystemIoFailure) => match source.sqlite_extended_error_code() {
                // The memory that programs share is a file beside the book.
                Some(ffi::SQLITE_IOERR_SHMSIZE) => Self::Full { path: shown },
                // SQLite knows a full disk, but not a quota or a limit of the system.
                Some(ffi::SQLITE_IOERR_WRITE) => Self::NotTaken { path: shown },
                _ => Self::Sqlite { path: shown, source },
            },
            // A statement of the program's own that the tables do not take.
            Some(ErrorCode::Unknown) => Self::Altered { path: shown, what: in_one_line(&source) },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy { path: shown },
            Some(ErrorCode::ReadOnly) => match source.sqlite_extended_error_code() {
                // Who only reads waits for another to set the shared memory right.
                Some(
                    ffi::SQLITE_READONLY_RECOVERY
                    | ffi::SQLITE_READONLY_CANTLOCK
                    | ffi::SQLITE_READONLY_CANTINIT,
                ) => Self::Busy { path: shown },
                _ => Self::ReadOnly { path: shown },
            },
            Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::Denied { path: shown },
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => match first_fault(conn) {
                Some(finding) => Self::Damaged { path: shown, finding },
                None => Self::Sqlite { path: shown, source },
            },
            _ => Self::Sqlite { path: shown, source },
        }
    }

    /// What a failure to insert an entry means: a rule it breaks, or worse.
    pub(super) fn inserting(conn: &Connection, path: &Path, entry: &Entry, source: rusqlite::Error) -> Self {
        match broken_rule(&source) {
            Some(why) => Self::Refused { kind: entry.what.kind(), id: entry.id, why },
            None => Self::sqlite(conn, path, source),
        }
    }
}

/// The first thing SQLite's check finds; nothing where the file is sound.
pub(super) fn first_fault(conn: &Connection) -> Option<String> {
    match conn.query_row("PRAGMA quick_check(1)", [], |row| row.get::<_, String>(0)) {
        Ok(said) if said == "ok" => None,
        Ok(said) => Some(said.lines().last().unwrap_or_default().to_owned()),
        Err(failed) => Some(failed.to_string()),
    }
}

/// The rule of the schema that an entry breaks, in words.
pub(super) fn broken_rule(source: &rusqlite::Error) -> Option<String> {
    let rusqlite::Error::SqliteFailure(failure, Some(said)) = source else { return None };
    match failure.extended_code {
        ffi::SQLITE_CONSTRAINT_TRIGGER => Some(said.clone()),
        ffi::SQLITE_CONSTRAINT_FOREIGNKEY => Some("it names an entry that is not in the book".to_owned()),
        _ if failure.code == ErrorCode::ConstraintViolation => {
            Some(said.strip_prefix("CHECK constraint failed: ").unwrap_or(said).to_owned())
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests;
