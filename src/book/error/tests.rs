//! What each error is told as.

use super::*;

fn all() -> Vec<BookError> {
    let path = || "village.spanwright".to_owned();
    let said = || "Turn house".to_owned();
    let names = vec!["Tern house".to_owned(), "Tern house by the reef".to_owned()];
    vec![
        BookError::NoHome,
        BookError::Missing { path: path() },
        BookError::NoFolder { path: path() },
        BookError::Folder { path: path() },
        BookError::NotAFile { path: path() },
        BookError::Denied { path: path() },
        BookError::ReadOnly { path: path() },
        BookError::StoppedShort { path: path() },
        BookError::Foreign { path: path() },
        BookError::Newer { path: path(), found: 9, known: 2 },
        BookError::Damaged { path: path(), finding: "page 7 is never used".to_owned() },
        BookError::Altered { path: path(), what: "its version is -1".to_owned() },
        BookError::Unreadable { path: path(), what: "what an entry says is lost".to_owned() },
        BookError::Full { path: path() },
        BookError::NotTaken { path: path() },
        BookError::TakenAway { path: path() },
        BookError::Busy { path: path() },
        BookError::Taken { path: path() },
        BookError::File { path: path(), what: "reading it", source: io::Error::other("it was taken away") },
        BookError::Sqlite { path: path(), source: rusqlite::Error::InvalidParameterName("a\nb".to_owned()) },
        BookError::Refused {
            kind: Kind::Strike,
            id: Uuid::nil(),
            why: "the entry is struck already".to_owned(),
        },
        BookError::Itself { path: path() },
        BookError::Differs { path: path(), kind: Kind::Reading, id: Uuid::nil() },
        BookError::NotTakenIn {
            path: path(),
            kind: Kind::Tally,
            id: Uuid::nil(),
            why: "it names an entry that is not in the book".to_owned(),
        },
        BookError::NoHouse { said: said(), near: names.clone() },
        BookError::NoHouse { said: said(), near: vec![] },
        BookError::ManyHouses { said: said(), names },
        BookError::NoEntry { said: "0199".to_owned() },
        BookError::ManyEntries { said: "0199c6f0".to_owned() },
    ]
}

#[test]
fn every_error_says_what_where_and_what_to_do_in_one_line() {
    let texts: Vec<String> = all().iter().map(ToString::to_string).collect();
    assert!(texts.iter().all(|text| text.lines().count() == 1));
    insta::assert_snapshot!(texts.join("\n"));
}

#[test]
fn only_what_was_asked_for_is_the_askers_fault() {
    assert_eq!(all().into_iter().filter(BookError::is_input).count(), 7);
}

#[test]
fn a_failure_of_the_system_is_told_by_what_it_means() {
    let told = |kind| BookError::file(Path::new("x"), "writing it", io::Error::from(kind));
    assert!(matches!(told(io::ErrorKind::ReadOnlyFilesystem), BookError::ReadOnly { .. }));
    assert!(matches!(told(io::ErrorKind::StorageFull), BookError::Full { .. }));
    assert!(matches!(told(io::ErrorKind::QuotaExceeded), BookError::Full { .. }));
    assert!(matches!(told(io::ErrorKind::Interrupted), BookError::File { .. }));
}

/// Source: SQLite, "Result and Error Codes": SQLITE_IOERR_SHMSIZE,
/// SQLITE_IOERR_WRITE, SQLITE_IOERR_READ.
#[test]
fn a_disk_that_takes_nothing_more_is_told_from_one_that_fails() {
    let conn = Connection::open_in_memory().expect("memory");
    let told = |code| {
        let failure = rusqlite::Error::SqliteFailure(ffi::Error::new(code), None);
        BookError::sqlite(&conn, Path::new("x"), failure)
    };
    assert!(matches!(told(ffi::SQLITE_IOERR_SHMSIZE), BookError::Full { .. }));
    assert!(matches!(told(ffi::SQLITE_IOERR_WRITE), BookError::NotTaken { .. }));
    assert!(matches!(told(ffi::SQLITE_IOERR_READ), BookError::Sqlite { .. }));
}

/// Source: SQLite, "Result and Error Codes": SQLITE_READONLY_CANTINIT,
/// SQLITE_READONLY_RECOVERY, SQLITE_READONLY.
#[test]
fn shared_memory_that_another_sets_right_is_waited_for() {
    let conn = Connection::open_in_memory().expect("memory");
    let told = |code| {
        let failure = rusqlite::Error::SqliteFailure(ffi::Error::new(code), None);
        BookError::sqlite(&conn, Path::new("x"), failure)
    };
    assert!(matches!(told(ffi::SQLITE_READONLY_CANTINIT), BookError::Busy { .. }));
    assert!(matches!(told(ffi::SQLITE_READONLY_RECOVERY), BookError::Busy { .. }));
    assert!(matches!(told(ffi::SQLITE_READONLY), BookError::ReadOnly { .. }));
}

#[test]
#[expect(clippy::disallowed_methods, reason = "a file of another program's")]
fn a_sound_file_is_not_called_damaged_whatever_sqlite_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sound");
    let conn = Connection::open(&path).expect("a file");
    let malformed = || {
        let code = ffi::Error::new(ffi::SQLITE_CORRUPT);
        rusqlite::Error::SqliteFailure(code, None)
    };
    assert!(matches!(BookError::sqlite(&conn, &path, malformed()), BookError::Sqlite { .. }));
}
