//! Several programs on one book.

use std::collections::BTreeSet;
use std::fs;
use std::sync::Barrier;
use std::thread;

use spanwright::book::{BookError, Filter};
use spanwright::build::entry::Kind;

use super::another::Another;
use super::told::{Shelf, Teller};

#[test]
fn four_may_open_a_new_book_at_once() {
    for _ in 0..25 {
        let shelf = Shelf::new();
        let start = Barrier::new(4);
        thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    start.wait();
                    let mut book = shelf.book();
                    book.keep(&[Teller::new().holds(None, "feast")]).expect("kept");
                });
            }
        });
        assert_eq!(shelf.book().entries_of(None).expect("told").len(), 4);
    }
}

#[test]
fn two_writers_lose_nothing_of_each_others() {
    const EACH: usize = 300;
    let shelf = Shelf::new();
    drop(shelf.book());
    let write = || {
        let (mut book, mut teller) = (shelf.book(), Teller::new());
        let told: Vec<_> = (0..EACH).map(|_| teller.holds(None, "no crew")).collect();
        for entry in &told {
            book.keep(std::slice::from_ref(entry)).expect("kept");
        }
        told.into_iter().map(|entry| entry.id).collect::<BTreeSet<_>>()
    };
    let (mut wrote, theirs) = thread::scope(|scope| {
        let other = scope.spawn(write);
        (write(), other.join().expect("the other writer ended well"))
    });
    wrote.extend(theirs);
    assert_eq!(wrote.len(), 2 * EACH);
    let told = shelf.book().entries_of(None).expect("told");
    assert_eq!(told.into_iter().map(|entry| entry.id).collect::<BTreeSet<_>>(), wrote);
}

#[test]
fn what_is_decided_by_the_book_is_decided_by_one_at_a_time() {
    let shelf = Shelf::new();
    drop(shelf.book());
    let hold_once = || {
        let (mut book, mut teller) = (shelf.book(), Teller::new());
        book.decide(None, |told| {
            if told.iter().any(|entry| entry.what.kind() == Kind::Hold) {
                Err("work has stopped already")
            } else {
                Ok(vec![teller.holds(None, "storm")])
            }
        })
        .expect("the book is sound")
        .is_ok()
    };
    let kept: usize = thread::scope(|scope| {
        let all: Vec<_> = (0..4).map(|_| scope.spawn(hold_once)).collect();
        all.into_iter().map(|one| usize::from(one.join().expect("ended well"))).sum()
    });
    assert_eq!(kept, 1);
    assert_eq!(shelf.book().entries_of(None).expect("told").len(), 1);
}

#[test]
fn what_another_program_added_is_noticed_once() {
    let shelf = Shelf::new();
    let (mut mine, mut theirs, mut teller) = (shelf.book(), shelf.book(), Teller::new());
    assert!(!mine.changed().expect("asked"));
    mine.keep(&[teller.holds(None, "feast")]).expect("kept");
    assert!(!mine.changed().expect("asked"), "one's own entries are no news");
    theirs.keep(&[teller.holds(None, "storm")]).expect("kept");
    assert!(mine.changed().expect("asked"));
    assert!(!mine.changed().expect("asked"));
}

/// Source: SQLite, "How To Corrupt An SQLite Database File", section 2.2: a
/// process that closes a file loses all its POSIX locks on it. Linux lists
/// them in /proc/locks, by the file's number.
#[test]
#[cfg(target_os = "linux")]
fn a_second_look_at_the_book_does_not_loosen_its_locks() {
    use std::fs;
    use std::os::unix::fs::MetadataExt;

    let shelf = Shelf::new();
    let (book, mut teller) = (shelf.book(), Teller::new());
    let file = format!(":{} ", fs::metadata(book.path()).expect("the file").ino());
    let locks = || {
        let all = fs::read_to_string("/proc/locks").expect("the locks");
        all.lines().filter(|lock| lock.contains(&file)).count()
    };
    // While others lock and unlock, the list is not of one moment: a line may be missed or told twice.
    let are = |count| (0..50).any(|_| locks() == count);
    assert!(are(1), "SQLite holds the file while it is open");
    shelf.book().keep(&[teller.holds(None, "feast")]).expect("kept");
    assert!(are(1));
    drop(book);
    assert!(are(0));
}

#[test]
fn a_writer_that_sits_on_the_book_is_told_of() {
    let shelf = Shelf::new();
    let mut book = shelf.book();
    let other = shelf.shell();
    other.execute_batch("BEGIN IMMEDIATE").expect("the other writes");
    let kept = book.keep(&[Teller::new().holds(None, "feast")]);
    assert!(matches!(kept, Err(BookError::Busy { .. })), "{kept:?}");
    assert_eq!(book.log(&Filter::default()).expect("reading goes on").len(), 0);
}

#[test]
fn a_copy_is_whole_while_others_write_and_takes_no_files_place() {
    let (shelf, copies) = (Shelf::new(), Shelf::new());
    let (mut book, mut teller) = (shelf.book(), Teller::new());
    book.keep(&teller.tells_of_everything()).expect("kept");
    let mut writing = Another::on(&shelf).writes();
    writing.next_kept().expect("it writes");
    book.keep_copy(&copies.path()).expect("copied");
    writing.killed();

    let copy = copies.book();
    assert_eq!(copy.verify().expect("verified"), []);
    assert!(copy.log(&Filter::default()).expect("read").len() >= 14);
    let taken = book.keep_copy(&copies.path());
    assert!(matches!(taken, Err(BookError::Taken { .. })), "{taken:?}");
    let nowhere = book.keep_copy(&copies.folder().join("no/copy.spanwright"));
    assert!(matches!(nowhere, Err(BookError::NoFolder { .. })), "{nowhere:?}");
}

#[test]
fn a_book_that_was_taken_away_while_it_was_open_takes_nothing() {
    let shelf = Shelf::new();
    let (mut book, mut teller) = (shelf.book(), Teller::new());
    book.keep(&[teller.holds(None, "feast")]).expect("kept");
    let elsewhere = shelf.folder().join("elsewhere.spanwright");
    fs::rename(shelf.path(), &elsewhere).expect("moved");
    let taken_away = |told| matches!(told, Err(BookError::TakenAway { .. }));
    assert!(taken_away(book.keep(&[teller.holds(None, "storm")])));
    assert!(taken_away(book.leave("screen", "row")));
    assert!(taken_away(book.changed().map(drop)));
    fs::copy(&elsewhere, shelf.path()).expect("another file in its place");
    assert!(taken_away(book.keep(&[teller.holds(None, "storm")])));
    fs::rename(&elsewhere, shelf.path()).expect("put back");
    book.keep(&[teller.holds(None, "storm")]).expect("kept again");
    drop(book);
    assert_eq!(shelf.book().entries_of(None).expect("told").len(), 2);
}
