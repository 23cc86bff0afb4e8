//! A book that is opened only to be read: what is told of it is whole, and
//! nothing is changed or made beside it.

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use spanwright::book::{Book, BookError};
use spanwright::build::entry::Entry;

use super::another::Another;
use super::told::{Shelf, Teller};

fn reader(shelf: &Shelf) -> Book {
    Book::open_to_read(&shelf.path()).expect("opened to be read")
}

/// What is in the folder.
fn names(shelf: &Shelf) -> BTreeSet<String> {
    let entries = fs::read_dir(shelf.folder()).expect("the folder is read");
    entries.map(|entry| entry.expect("a file").file_name().to_string_lossy().into_owned()).collect()
}

/// A closed book with a house, its brief, and a hold of all houses.
fn closed_book() -> (Shelf, Teller, Vec<Entry>) {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let house = teller.starts("Tern house");
    let told = vec![house.clone(), teller.briefs(house.id), teller.holds(None, "feast")];
    shelf.book().keep(&told).expect("kept");
    (shelf, teller, told)
}

#[test]
fn a_closed_book_is_told_whole_and_nothing_is_kept_or_made_beside_it() {
    let (shelf, mut teller, told) = closed_book();
    let before = (names(&shelf), fs::read(shelf.path()).expect("read"));
    let mut book = reader(&shelf);
    assert_eq!(book.entries_of(Some(told[0].id)).expect("told"), told);
    assert_eq!(book.glances().expect("told").0.len() + book.glances().expect("told").1.len(), 1);
    assert_eq!(book.verify().expect("verified"), []);
    let kept = book.keep(&[teller.holds(None, "storm")]);
    assert!(matches!(kept, Err(BookError::ReadOnly { .. })), "{kept:?}");
    assert!(matches!(book.leave("page", "row"), Err(BookError::ReadOnly { .. })));
    assert!(!book.changed().expect("asked"));
    drop(book);
    assert!(before == (names(&shelf), fs::read(shelf.path()).expect("read")));
}

#[test]
fn what_another_program_writes_meanwhile_is_told() {
    let (shelf, _, told) = closed_book();
    let mut writing = Another::on(&shelf).writes();
    let first = writing.next_kept().expect("a house");
    let mut book = reader(&shelf);
    let listed = |book: &Book| {
        let lines = book.houses(None, u32::MAX).expect("listed");
        lines.into_iter().map(|line| line.id.to_string()).collect::<BTreeSet<_>>()
    };
    assert!(listed(&book).is_superset(&[told[0].id.to_string(), first].into()));
    assert_eq!(book.verify().expect("verified"), []);
    let next = std::iter::repeat_with(|| writing.next_kept().expect("a house")).take(20).last().expect("20");
    assert!(book.changed().expect("asked"));
    assert!(listed(&book).contains(&next));
    let kept = writing.killed();
    // The log and the shared memory of a program that was killed are read through.
    let left = listed(&reader(&shelf));
    assert!(kept.iter().all(|id| left.contains(id)));
    assert_eq!(reader(&shelf).verify().expect("verified"), []);
}

#[test]
fn a_book_that_is_opened_and_closed_by_others_all_the_time_is_told_whole_each_time() {
    let (shelf, _, _) = closed_book();
    let mut writing = Another::on(&shelf).comes_and_goes();
    let mut last = 1;
    for _ in 0..60 {
        let id = writing.next_kept().expect("a hold");
        let told =
            Book::open_to_read(&shelf.path()).and_then(|book| Ok((book.entries_of(None)?, book.verify()?)));
        match told {
            Ok((all, faults)) => {
                assert!(all.iter().any(|entry| entry.id.to_string() == id), "{id} is left out");
                assert!(all.len() >= last, "{} after {last}", all.len());
                assert_eq!(faults, []);
                last = all.len();
            }
            // Others were too busy; it is said, and nothing half is told.
            Err(BookError::Busy { .. }) => {}
            Err(error) => panic!("{error}"),
        }
    }
    assert!(last > 1, "it was read at least once");
    writing.killed();
}

#[test]
fn entries_that_stand_in_the_log_alone_are_not_left_out_in_silence() {
    let (shelf, mut teller, _) = closed_book();
    let mut open = shelf.book();
    open.keep(&[teller.holds(None, "storm")]).expect("kept");
    let left = Shelf::new();
    for ending in ["", "-wal"] {
        let name = format!("village.spanwright{ending}");
        fs::copy(shelf.folder().join(&name), left.folder().join(&name)).expect("copied");
    }
    assert!(matches!(Book::open_to_read(&left.path()), Err(BookError::StoppedShort { .. })));
    assert_eq!(names(&left).len(), 2, "nothing is made beside it");
    assert_eq!(left.book().entries_of(None).expect("told").len(), 2, "where it may be written all is told");
}

#[test]
fn what_is_no_book_is_not_read() {
    let shelf = Shelf::new();
    assert!(matches!(Book::open_to_read(&shelf.path()), Err(BookError::Missing { .. })));
    fs::write(shelf.path(), "").expect("an empty file");
    assert!(matches!(Book::open_to_read(&shelf.path()), Err(BookError::Missing { .. })));
    fs::write(shelf.path(), "Dear Oru, the panels are on their way.").expect("a letter");
    assert!(matches!(Book::open_to_read(&shelf.path()), Err(BookError::Foreign { .. })));
}

#[test]
fn who_may_only_read_leaves_nothing_that_stops_those_who_may_write() {
    let set = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("set");
    let (shelf, mut teller, _) = closed_book();
    let _ = fs::remove_file(shelf.folder().join("village.spanwright.lock"));
    set(&shelf.path(), 0o444);
    for folder in [0o555, 0o777] {
        set(shelf.folder(), folder);
        let before = names(&shelf);
        assert!(Another::without_rights(&shelf).looks().contains("may only be read"));
        assert_eq!(Another::without_rights(&shelf).reads(), "1 entries", "{folder:o}");
        assert_eq!(names(&shelf), before, "{folder:o}");
    }
    // Beside one who writes.
    set(&shelf.path(), 0o644);
    let mut open = shelf.book();
    open.keep(&[teller.holds(None, "storm")]).expect("kept");
    set(&shelf.path(), 0o444);
    assert_eq!(Another::without_rights(&shelf).reads(), "2 entries");
    open.keep(&[teller.holds(None, "mourning")]).expect("kept");
    assert_eq!(Another::without_rights(&shelf).reads(), "3 entries");
    set(&shelf.path(), 0o000);
    assert!(Another::without_rights(&shelf).reads().contains("no permission"));
    set(&shelf.path(), 0o644);
}
