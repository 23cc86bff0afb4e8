//! Opening: the only way to a book's file.
//!
//! 1. The file's place is settled, with links followed, so that two names of
//!    one file share one gate.
//! 2. The gate, a lock on a file beside the book, is held until the book is
//!    open: SQLite's own locks do not cover the change to WAL, nor the copy
//!    made before a migration.
//! 3. What the file is, is read from its first bytes. A file of another kind
//!    or of a newer version is refused before SQLite has touched it.
//! 4. SQLite looks at it again, since its log may know better than the file;
//!    until that is done, nothing is written.

use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Read};
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::time::Duration;

use directories::ProjectDirs;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, MAIN_DB, OpenFlags};
use rustix::fs::Access;

use super::error::BookError;
use super::write::inode;
use super::{Book, migrate};

/// Marks the file as a book: "span" in ASCII, at byte 68 of an SQLite file.
const APPLICATION_ID: i32 = 0x7370_616e;

/// The first bytes of every SQLite file.
///
/// Source: SQLite, "Database File Format", section 1.3.
const SQLITE: &[u8; 16] = b"SQLite format 3\0";

/// How many statements are kept prepared: more than there are kinds of entries
/// to read and to write, so that none is prepared anew entry after entry.
const STATEMENTS: usize = 100;

/// What to do where there is no book yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Opening {
    /// Refuse.
    Existing,
    /// Begin one, in a folder that exists.
    Create,
    /// Begin one, and make its folder.
    CreateWithFolder,
}

impl Book {
    /// Where the user's book is kept where no other is named: `book.spanwright`
    /// in the data folder the system gives to programs.
    ///
    /// # Errors
    /// [`BookError::NoHome`] where the system knows no home folder.
    pub fn default_path() -> Result<PathBuf, BookError> {
        let folders = ProjectDirs::from("", "", "spanwright").ok_or(BookError::NoHome)?;
        Ok(folders.data_dir().join("book.spanwright"))
    }

    /// Opens a book. An empty file counts as none.
    ///
    /// A new book may be read and written by its owner alone; so may a new
    /// folder. A book of an older version is copied beside itself, as
    /// `NAME.before-vN`, and then brought up to date.
    ///
    /// # Errors
    /// [`BookError`] with what stands in the way. A file that is no book, is
    /// damaged, or was kept by a newer program is not written to.
    pub fn open(path: &Path, opening: Opening) -> Result<Self, BookError> {
        let path = place(path, opening)?;
        may_be_written(&path)?;
        let gate = Gate::shut(&path)?;
        let opened = begin(&path).and_then(|conn| {
            let inode = inode(&path).map_err(|e| BookError::file(&path, "looking at it", e))?;
            settle(&conn, &path)?;
            migrate::migrate(&conn, &path)?;
            Ok((conn, inode))
        });
        if matches!(opened, Err(BookError::Foreign { .. } | BookError::Altered { .. })) {
            gate.remove();
        }
        let (conn, inode) = opened?;
        let mut book = Self { conn, path, inode, ids: super::Ids::new(), seen: 0, only_read: false };
        book.seen = book.version_of_data()?;
        Ok(book)
    }

    /// From now on leaves it to the system when what is kept reaches the disk:
    /// for a new book that is written as a whole and put in its place
    /// afterwards.
    ///
    /// # Errors
    /// [`BookError`] where SQLite does not take it.
    pub fn hurry(&self) -> Result<(), BookError> {
        self.conn.pragma_update(None, "synchronous", "OFF").map_err(|e| self.told(e))
    }
}

/// Opens a file that exists. The caller holds the gate, or made the file.
#[expect(clippy::disallowed_methods, reason = "the one place where a file of SQLite's is opened")]
pub(super) fn connect(path: &Path) -> rusqlite::Result<Connection> {
    Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX)
}

/// Opens a file that exists only to be read, with a parameter that says how.
#[expect(clippy::disallowed_methods, reason = "the one place where a file of SQLite's is only read")]
pub(super) fn connect_to_read(path: &Path, parameter: &str) -> rusqlite::Result<Connection> {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"/-_.".contains(byte);
    let name: String = path
        .as_os_str()
        .as_bytes()
        .iter()
        .map(|byte| if plain(byte) { char::from(*byte).to_string() } else { format!("%{byte:02X}") })
        .collect();
    let flags =
        OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_URI;
    Connection::open_with_flags(format!("file:{name}?{parameter}"), flags)
}

/// Makes an empty file that only its owner may read and write.
///
/// # Errors
/// Those of the system; `AlreadyExists` where there is one.
pub(super) fn make_file(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).create_new(true).mode(0o600).open(path)
}

/// The real place of the book: of a file, or of one that is yet to be made.
pub(super) fn place(path: &Path, opening: Opening) -> Result<PathBuf, BookError> {
    match fs::canonicalize(path) {
        Ok(real) => plain_file(real),
        Err(e) if e.kind() == io::ErrorKind::NotFound && opening != Opening::Existing => {
            new_place(path, opening)
        }
        Err(e) if matches!(e.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {
            Err(BookError::Missing { path: path.display().to_string() })
        }
        Err(e) => Err(BookError::file(path, "looking for it", e)),
    }
}

fn plain_file(real: PathBuf) -> Result<PathBuf, BookError> {
    let about = fs::metadata(&real).map_err(|e| BookError::file(&real, "looking at it", e))?;
    let path = real.display().to_string();
    if about.is_dir() {
        Err(BookError::Folder { path })
    } else if about.is_file() {
        Ok(real)
    } else {
        Err(BookError::NotAFile { path })
    }
}

fn new_place(path: &Path, opening: Opening) -> Result<PathBuf, BookError> {
    let shown = || path.display().to_string();
    let name = path.file_name().ok_or_else(|| BookError::NotAFile { path: shown() })?;
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    if opening == Opening::CreateWithFolder {
        let made = DirBuilder::new().recursive(true).mode(0o700).create(folder);
        made.map_err(|e| BookError::file(path, "making its folder", e))?;
    }
    let folder = fs::canonicalize(folder).map_err(|e| BookError::file(path, "looking for its folder", e))?;
    Ok(folder.join(name))
}

/// Refuses a file that may not be written, before anything is made beside it:
/// SQLite would leave a log and shared memory there that nobody may write to
/// later either.
fn may_be_written(path: &Path) -> Result<(), BookError> {
    let may = |what| rustix::fs::access(path, what).map_err(io::Error::from);
    match may(Access::WRITE_OK) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(_) if may(Access::READ_OK).is_ok() => {
            Err(BookError::ReadOnly { path: path.display().to_string() })
        }
        Err(e) => Err(BookError::file(path, "looking at it", e)),
        Ok(()) => Ok(()),
    }
}

/// Another file beside the book, named after it.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Held while a book is being opened, by one program at a time.
struct Gate {
    path: PathBuf,
    was_there: bool,
    _lock: File,
}

impl Gate {
    fn shut(book: &Path) -> Result<Self, BookError> {
        let path = beside(book, ".lock");
        let was_there = path.exists();
        let opened = OpenOptions::new().write(true).create(true).truncate(false).mode(0o600).open(&path);
        let lock = opened.and_then(|file| file.lock().map(|()| file));
        let lock = lock.map_err(|e| BookError::file(book, "taking the lock beside it", e))?;
        Ok(Self { path, was_there, _lock: lock })
    }

    /// Leaves nothing beside a file that was refused, but what was there before.
    fn remove(self) {
        if !self.was_there {
            // Where it cannot be removed, an empty file stays: no harm in that.
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// Opens the file in SQLite, after a look at its first bytes; makes it where
/// there is none.
fn begin(path: &Path) -> Result<Connection, BookError> {
    if path.exists() {
        look_at(path)?;
    } else {
        make_file(path).map_err(|e| BookError::file(path, "making it", e))?;
    }
    connect(path).map_err(|_| BookError::Denied { path: path.display().to_string() })
}

/// Refuses a file that does not begin as a book does, before SQLite opens it.
pub(super) fn look_at(path: &Path) -> Result<(), BookError> {
    // Closing a file drops every lock this process has on it, SQLite's too.
    // While some program has the book open, its shared memory stands beside
    // it, and the first bytes are left for SQLite to read.
    if beside(path, "-shm").exists() {
        return Ok(());
    }
    judge(path, &first_bytes(path).map_err(|e| BookError::file(path, "reading it", e))?)
}

fn first_bytes(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::with_capacity(100);
    File::open(path)?.take(100).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Refuses a file that does not begin as a book does.
fn judge(path: &Path, bytes: &[u8]) -> Result<(), BookError> {
    if bytes.is_empty() {
        return Ok(());
    }
    let number = |at: usize| bytes.get(at..at + 4)?.try_into().ok().map(i32::from_be_bytes);
    match (bytes.starts_with(SQLITE), number(68), number(60)) {
        (true, Some(APPLICATION_ID), Some(version)) => refuse_newer(path, i64::from(version)),
        _ => Err(BookError::Foreign { path: path.display().to_string() }),
    }
}

fn refuse_newer(path: &Path, found: i64) -> Result<(), BookError> {
    let known = migrate::LATEST;
    if found > known {
        return Err(BookError::Newer { path: path.display().to_string(), found, known });
    }
    Ok(())
}

/// Sees to it that the file is a book this program may write to, then sets
/// how it is written.
fn settle(conn: &Connection, path: &Path) -> Result<(), BookError> {
    let told = |e| BookError::sqlite(conn, path, e);
    // Should the file be refused, closing it must not write to it what is in
    // its log. Where there was none, closing it takes away what SQLite made.
    let has_log = beside(path, "-wal").exists();
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, has_log).map_err(told)?;
    let is_new = is_empty_or_book(conn, path)?;
    if conn.is_readonly(MAIN_DB).map_err(told)? {
        return Err(BookError::ReadOnly { path: path.display().to_string() });
    }
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false).map_err(told)?;
    conn.pragma_update(None, "synchronous", "FULL").map_err(told)?;
    conn.pragma_update(None, "foreign_keys", true).map_err(told)?;
    if is_new {
        // Before WAL, so that it stands in the file itself from the start.
        conn.pragma_update(None, "application_id", APPLICATION_ID).map_err(told)?;
    }
    let mode: String = conn.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0)).map_err(told)?;
    if mode != "wal" {
        let source = io::Error::other("its folder does not take SQLite's shared memory");
        return Err(BookError::file(path, "setting up the log", source));
    }
    Ok(())
}

/// Sets how the file is read, and refuses what is no book this program knows;
/// gives whether nothing is in it yet.
pub(super) fn is_empty_or_book(conn: &Connection, path: &Path) -> Result<bool, BookError> {
    let told = |e| BookError::sqlite(conn, path, e);
    let not_ours = |e: rusqlite::Error| match e.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => BookError::Foreign { path: path.display().to_string() },
        _ => told(e),
    };
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false).map_err(told)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true).map_err(told)?;
    // Else SQLite would plan a query anew each time another house is asked for.
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true).map_err(told)?;
    conn.set_prepared_statement_cache_capacity(STATEMENTS);
    conn.busy_timeout(Duration::from_secs(5)).map_err(told)?;
    let number = |pragma: &str| conn.query_row(pragma, [], |row| row.get::<_, i64>(0)).map_err(not_ours);
    if number("PRAGMA page_count")? == 0 {
        return Ok(true);
    }
    if number("PRAGMA application_id")? != i64::from(APPLICATION_ID) {
        return Err(BookError::Foreign { path: path.display().to_string() });
    }
    let version = number("PRAGMA user_version")?;
    refuse_newer(path, version)?;
    // A new book is marked as one before it has any tables.
    if version < 0 || version == 0 && number("SELECT count(*) FROM sqlite_schema")? > 0 {
        let what = format!("its version is {version}");
        return Err(BookError::Altered { path: path.display().to_string(), what });
    }
    Ok(false)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_book_is_written_with_full_sync_and_trusts_no_schema() {
        let folder = tempfile::tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        let number = |name: &str| -> i64 {
            book.conn.query_row(&format!("PRAGMA {name}"), [], |row| row.get(0)).expect("a pragma")
        };
        // Source: SQLite, "PRAGMA Statements": synchronous FULL is 2.
        assert_eq!(number("synchronous"), 2);
        assert_eq!(number("foreign_keys"), 1);
        assert_eq!(number("busy_timeout"), 5000);
        assert_eq!(number("trusted_schema"), 0);
    }

    /// Source: SQLite, "Database File Format", section 1.3: the user version
    /// at byte 60 and the application id at byte 68, big-endian.
    #[test]
    fn a_file_is_known_by_its_first_hundred_bytes() {
        let path = Path::new("x");
        let mut bytes = [0_u8; 100];
        assert!(matches!(judge(path, &bytes), Err(BookError::Foreign { .. })));
        bytes[..16].copy_from_slice(SQLITE);
        assert!(matches!(judge(path, &bytes), Err(BookError::Foreign { .. })));
        bytes[68..72].copy_from_slice(b"span");
        assert!(judge(path, &bytes).is_ok());
        bytes[63] = 200;
        assert!(matches!(judge(path, &bytes), Err(BookError::Newer { found: 200, .. })));
        assert!(matches!(judge(path, &bytes[..71]), Err(BookError::Foreign { .. })));
        assert!(judge(path, &[]).is_ok());
    }

    #[test]
    fn the_users_own_book_has_a_place_of_its_own() {
        let path = Book::default_path().expect("a home");
        assert!(path.ends_with("spanwright/book.spanwright"), "{}", path.display());
    }
}
