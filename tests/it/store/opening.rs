//! What is opened, what is refused, and what is left untouched.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::path::Path;

use spanwright::book::{Book, BookError, Opening};

use super::another::Another;
use super::told::{Shelf, Teller, shell};

/// All files of a folder and what is in them, but for locks, shared memory
/// and empty logs: those hold nothing of a book.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("the folder is read");
    let files = entries.map(|entry| entry.expect("a file").path()).filter(|path| path.is_file());
    files
        .map(|path| (path.display().to_string(), fs::read(&path).expect("the file is read")))
        .filter(|(name, bytes)| !name.ends_with("-shm") && !name.ends_with(".lock") && !bytes.is_empty())
        .collect()
}

fn mode(path: &Path) -> u32 {
    fs::metadata(path).expect("it is there").mode() & 0o777
}

/// Opens what must be refused, and sees that nothing in its folder changed.
fn refused(shelf: &Shelf, opening: Opening) -> BookError {
    let before = contents(shelf.folder());
    let error = Book::open(&shelf.path(), opening).expect_err("it is refused");
    assert!(before == contents(shelf.folder()), "nothing was changed");
    error
}

/// A closed book with some entries in it.
fn closed_book() -> Shelf {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let house = teller.starts("Tern house");
    let mut told = vec![house.clone(), teller.briefs(house.id)];
    for reading in 0..1500_u32 {
        told.push(teller.reads(house.id, told[1].id, "ab", f64::from(reading) / 7.0));
    }
    shelf.book().keep(&told).expect("kept");
    shelf
}

#[test]
fn a_new_book_is_its_owners_alone() {
    let shelf = Shelf::new();
    let path = shelf.folder().join("deep/down/village.spanwright");
    let book = Book::open(&path, Opening::CreateWithFolder).expect("a new book");
    for file in [path.clone(), book.path().with_extension("spanwright-wal")] {
        assert_eq!(mode(&file), 0o600, "{}", file.display());
    }
    assert_eq!(mode(&shelf.folder().join("deep")), 0o700);
    assert_eq!(mode(&shelf.folder().join("deep/down")), 0o700);
    drop(book);
    Book::open(&path, Opening::Existing).expect("it is there now");
}

#[test]
fn a_book_is_written_with_full_sync_and_its_log_beside_it() {
    let shelf = closed_book();
    let conn = shell(&shelf.path());
    let pragma = |name: &str| -> String {
        conn.query_row(&format!("SELECT CAST({name} AS TEXT) FROM pragma_{name}"), [], |row| row.get(0))
            .expect("a pragma")
    };
    assert_eq!(pragma("journal_mode"), "wal");
    assert_eq!(pragma("application_id"), "1936744814");
    assert_eq!(pragma("user_version"), "5");
}

#[test]
fn an_empty_file_counts_as_no_book_yet() {
    for opening in [Opening::Create, Opening::Existing] {
        let shelf = Shelf::new();
        fs::write(shelf.path(), "").expect("an empty file");
        let mut book = Book::open(&shelf.path(), opening).expect("a new book");
        book.keep(&[Teller::new().holds(None, "feast")]).expect("kept");
    }
}

#[test]
fn where_there_is_no_book_it_says_so_and_makes_none() {
    let shelf = Shelf::new();
    assert!(matches!(refused(&shelf, Opening::Existing), BookError::Missing { .. }));
    assert!(!shelf.path().exists());
    let nowhere = shelf.folder().join("no/such/village.spanwright");
    assert!(matches!(Book::open(&nowhere, Opening::Create), Err(BookError::NoFolder { .. })));
    assert!(matches!(Book::open(&nowhere, Opening::Existing), Err(BookError::Missing { .. })));
    fs::write(shelf.folder().join("no"), "a file").expect("a file");
    assert!(matches!(Book::open(&nowhere, Opening::Create), Err(BookError::Missing { .. })));
}

#[test]
fn a_folder_and_a_device_are_no_books() {
    let shelf = Shelf::new();
    fs::create_dir(shelf.path()).expect("a folder");
    assert!(matches!(refused(&shelf, Opening::Create), BookError::Folder { .. }));
    assert!(matches!(Book::open(Path::new("/dev/null"), Opening::Create), Err(BookError::NotAFile { .. })));
    assert!(matches!(Book::open(Path::new(".."), Opening::Create), Err(BookError::Folder { .. })));
    assert!(Book::open(Path::new(""), Opening::Create).is_err());
}

#[test]
fn a_file_of_another_kind_is_left_as_it_is() {
    let letters = "Dear Oru, the panels are on their way.\n".repeat(40);
    for text in ["x", "SQLite format 3\0", letters.as_str()] {
        let shelf = Shelf::new();
        fs::write(shelf.path(), text).expect("a text");
        assert!(matches!(refused(&shelf, Opening::Create), BookError::Foreign { .. }));
        assert_eq!(fs::read_dir(shelf.folder()).expect("read").count(), 1, "nothing is left beside it");
    }
}

#[test]
fn a_letter_under_the_name_of_a_killed_book_is_still_a_letter() {
    let shelf = Shelf::new();
    fs::write(shelf.path(), "Dear Oru, the panels are on their way.\n".repeat(40)).expect("a letter");
    fs::write(shelf.folder().join("village.spanwright-shm"), vec![0; 32_768]).expect("left behind");
    assert!(matches!(refused(&shelf, Opening::Create), BookError::Foreign { .. }));
}

#[test]
fn a_database_of_another_program_is_left_as_it_is() {
    for mode in ["DELETE", "WAL"] {
        let shelf = Shelf::new();
        let conn = shell(&shelf.path());
        conn.execute_batch(&format!("PRAGMA journal_mode = {mode}; CREATE TABLE boats (name TEXT)"))
            .expect("another program's tables");
        // While it is open, its log and shared memory stand beside it.
        assert!(matches!(refused(&shelf, Opening::Create), BookError::Foreign { .. }));
        drop(conn);
        assert!(matches!(refused(&shelf, Opening::Create), BookError::Foreign { .. }));
        assert_eq!(fs::read_dir(shelf.folder()).expect("read").count(), 1, "nothing is left beside it");
    }
}

#[test]
fn a_book_of_a_newer_program_is_left_as_it_is() {
    let shelf = closed_book();
    shell(&shelf.path()).pragma_update(None, "user_version", 99).expect("a newer book");
    match refused(&shelf, Opening::Create) {
        BookError::Newer { found: 99, known: 5, .. } => {}
        other => panic!("{other}"),
    }
}

#[test]
fn a_newer_version_that_stands_in_the_log_alone_is_seen_too() {
    let shelf = closed_book();
    let conn = shell(&shelf.path());
    conn.pragma_update(None, "user_version", 99).expect("a newer book");
    // The files as a program that was killed leaves them.
    let left = Shelf::new();
    for ending in ["", "-wal"] {
        let name = format!("village.spanwright{ending}");
        fs::copy(shelf.folder().join(&name), left.folder().join(&name)).expect("copied");
    }
    assert!(matches!(refused(&left, Opening::Create), BookError::Newer { found: 99, .. }));
}

#[test]
fn a_book_whose_version_was_altered_is_left_as_it_is_with_nothing_beside_it() {
    let names = |shelf: &Shelf| -> Vec<_> {
        let entries = fs::read_dir(shelf.folder()).expect("the folder is read");
        let mut names: Vec<_> = entries.map(|entry| entry.expect("a file").file_name()).collect();
        names.sort();
        names
    };
    for version in [-1, 0, 3] {
        let shelf = closed_book();
        shell(&shelf.path()).pragma_update(None, "user_version", version).expect("altered");
        let lock = shelf.folder().join("village.spanwright.lock");
        assert!(lock.exists());
        for has_lock in [true, false] {
            if !has_lock {
                fs::remove_file(&lock).expect("removed");
            }
            let before = names(&shelf);
            for _ in 0..2 {
                assert!(matches!(refused(&shelf, Opening::Existing), BookError::Altered { .. }));
                assert_eq!(names(&shelf), before, "version {version}");
            }
        }
    }
}

#[test]
fn a_book_is_found_through_links_and_shares_one_lock() {
    let shelf = closed_book();
    let elsewhere = Shelf::new();
    symlink(shelf.path(), elsewhere.path()).expect("a link");
    let book = Book::open(&elsewhere.path(), Opening::Existing).expect("the book");
    assert_eq!(book.path(), fs::canonicalize(shelf.path()).expect("a path"));
    assert_eq!(fs::read_dir(elsewhere.folder()).expect("read").count(), 1, "all else is beside the file");
}

#[test]
fn names_that_mean_something_to_sqlite_are_plain_names() {
    let shelf = Shelf::new();
    for name in ["file:village?mode=memory", ":memory:", "a b%20c#d", "köy.spanwright"] {
        let path = shelf.folder().join(name);
        Book::open(&path, Opening::Create).expect("a new book");
        assert!(path.is_file(), "{name}");
    }
}

#[test]
fn a_spoilt_first_page_makes_it_no_book_and_is_left_as_it_is() {
    let shelf = closed_book();
    let mut bytes = fs::read(shelf.path()).expect("read");
    bytes[..16].fill(0x55);
    fs::write(shelf.path(), bytes).expect("spoilt");
    assert!(matches!(refused(&shelf, Opening::Existing), BookError::Foreign { .. }));
}

#[test]
fn a_book_cut_short_is_damaged_and_left_as_it_is() {
    let shelf = closed_book();
    let bytes = fs::read(shelf.path()).expect("read");
    fs::write(shelf.path(), &bytes[..bytes.len() / 2]).expect("cut short");
    assert!(matches!(refused(&shelf, Opening::Existing), BookError::Damaged { .. }));
}

#[test]
fn spoilt_pages_in_the_middle_are_told_when_they_are_met() {
    let shelf = closed_book();
    let mut bytes = fs::read(shelf.path()).expect("read");
    let (third, end) = (bytes.len() / 3 / 4096 * 4096, bytes.len());
    bytes[third..end].fill(0xA5);
    fs::write(shelf.path(), &bytes).expect("spoilt");

    let mut book = Book::open(&shelf.path(), Opening::Existing).expect("its beginning is sound");
    assert!(!book.verify().expect("verified").is_empty());
    let read = book.log(&spanwright::book::Filter { limit: 5000, ..Default::default() });
    assert!(matches!(read, Err(BookError::Damaged { .. })), "{read:?}");
    let mut teller = Teller::new();
    let house = teller.starts("Landing house");
    assert!(matches!(book.keep(&[house]), Err(BookError::Damaged { .. })));
    drop(book);
    assert!(fs::read(shelf.path()).expect("read") == bytes, "nothing was changed");
}

#[test]
fn leave_to_read_and_to_write_is_asked_for() {
    let shelf = closed_book();
    fs::set_permissions(shelf.folder(), fs::Permissions::from_mode(0o777)).expect("an open folder");
    let _ = fs::remove_file(shelf.folder().join("village.spanwright.lock"));
    for (mode, words) in [(0o444, "may only be read"), (0o000, "no permission"), (0o222, "no permission")] {
        fs::set_permissions(shelf.path(), fs::Permissions::from_mode(mode)).expect("set");
        let said = Another::without_rights(&shelf).looks();
        assert!(said.contains(words), "{mode:o}: {said}");
    }
    fs::set_permissions(shelf.path(), fs::Permissions::from_mode(0o666)).expect("set");
    fs::set_permissions(shelf.folder(), fs::Permissions::from_mode(0o555)).expect("a closed folder");
    let _ = fs::remove_file(shelf.folder().join("village.spanwright.lock"));
    let said = Another::without_rights(&shelf).looks();
    fs::set_permissions(shelf.folder(), fs::Permissions::from_mode(0o777)).expect("an open folder");
    assert!(said.contains("no permission"), "{said}");
}
