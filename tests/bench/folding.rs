//! Telling what is asked for: a house, the row of houses, the day book.

use std::path::Path;
use std::process::{Command, Stdio};

use spanwright::book::{Book, Filter, Opening};
use spanwright::build::{Entry, House, stores};
use uuid::Uuid;

use super::bare;
use super::clock::{Line, Trial, time};

/// How many houses the screen has told at once.
const ROW: u32 = 25;

/// Measures it in two books.
pub fn lines(empty: &Path, large: &Path) -> Vec<Line> {
    let (small_book, large_book) = (open(empty), open(large));
    let (few, many) = (row(&small_book), row(&large_book));
    let (few_entries, many_entries) = (entries(&small_book, few[0]), entries(&large_book, many[0]));
    let tell = |book, houses: &[Uuid]| houses.iter().for_each(|id| drop(fold(*id, &entries(book, *id))));
    let read = |houses: &[Uuid]| houses.iter().for_each(|id| drop(entries(&large_book, *id)));
    vec![
        Trial {
            what: format!("folding a house of {}, to reading it", many_entries.len()),
            empty: Box::new(|| time(|| fold(few[0], &few_entries))),
            large: Box::new(|| time(|| fold(many[0], &many_entries))),
            bare: Box::new(|| time(|| read(&many[..1]))),
        }
        .run(30),
        Trial {
            what: "telling a house, to reading it".to_owned(),
            empty: Box::new(|| time(|| tell(&small_book, &few[..1]))),
            large: Box::new(|| time(|| tell(&large_book, &many[..1]))),
            bare: Box::new(|| time(|| read(&many[..1]))),
        }
        .run(30),
        Trial {
            what: format!("telling a row of {ROW}, to reading it"),
            empty: Box::new(|| time(|| tell(&small_book, &few))),
            large: Box::new(|| time(|| tell(&large_book, &many))),
            bare: Box::new(|| time(|| read(&many))),
        }
        .run(10),
        reading(&small_book, &large_book, large),
        day_book(&small_book, &large_book, large),
        all_houses(empty, large),
        stores(&small_book, &large_book, large),
    ]
}

/// A house that holds far more than its share, to the reading of it.
pub fn full_house(empty: &Path, full: &Path) -> Line {
    let (small_book, full_book) = (open(empty), open(full));
    let (small, full) = (row(&small_book)[0], row(&full_book)[0]);
    let count = entries(&full_book, full).len();
    Trial {
        what: format!("telling a house of {count}, to reading it"),
        empty: Box::new(|| time(|| fold(small, &entries(&small_book, small)))),
        large: Box::new(|| time(|| fold(full, &entries(&full_book, full)))),
        bare: Box::new(|| time(|| entries(&full_book, full))),
    }
    .run(3)
}

/// The first houses of a book.
fn row(book: &Book) -> Vec<Uuid> {
    let houses = book.houses(None, ROW).expect("its houses");
    houses.into_iter().map(|house| house.id).collect()
}

fn entries(book: &Book, house: Uuid) -> Vec<Entry> {
    book.entries_of(Some(house)).expect("its entries")
}

fn fold(house: Uuid, entries: &[Entry]) -> House {
    House::of(house, entries).expect("a house")
}

fn open(path: &Path) -> Book {
    Book::open(path, Opening::Existing).expect("a book")
}

/// All that is told of a house, to bare rows of SQLite's.
fn reading(empty: &Book, large: &Book, path: &Path) -> Line {
    let (few, many) = (row(empty)[0], row(large)[0]);
    let count = entries(large, many).len();
    let conn = bare::sqlite(path);
    let rows = || {
        let mut query = conn
            .prepare_cached("SELECT id, kind, by_whom FROM entry WHERE house = ?1 ORDER BY happened, id")
            .expect("a query");
        let rows = query.query_map([many.to_string()], |row| row.get::<_, String>(0)).expect("rows");
        rows.collect::<Result<Vec<_>, _>>().expect("rows")
    };
    Trial {
        what: format!("reading a house of {count}, to bare rows"),
        empty: Box::new(|| time(|| entries(empty, few))),
        large: Box::new(|| time(|| entries(large, many))),
        bare: Box::new(|| time(rows)),
    }
    .run(50)
}

/// A page of the day book, to bare rows of SQLite's.
fn day_book(empty: &Book, large: &Book, path: &Path) -> Line {
    let filter = Filter { limit: 201, ..Filter::default() };
    let conn = bare::sqlite(path);
    let rows = || {
        let mut query = conn
            .prepare_cached("SELECT id, kind, house, by_whom FROM entry ORDER BY happened DESC LIMIT 201")
            .expect("a query");
        let rows = query.query_map([], |row| row.get::<_, String>(0)).expect("rows");
        rows.collect::<Result<Vec<_>, _>>().expect("rows")
    };
    Trial {
        what: "a page of the day book, to 201 bare rows".to_owned(),
        empty: Box::new(|| time(|| empty.log(&filter).expect("a page"))),
        large: Box::new(|| time(|| large.log(&filter).expect("a page"))),
        bare: Box::new(|| time(rows)),
    }
    .run(50)
}

/// The page of the stores, to bare rows of SQLite's: what is kept of every
/// house, and nothing of its tallies.
fn stores(empty: &Book, large: &Book, path: &Path) -> Line {
    let today = chrono::NaiveDate::from_ymd_opt(2030, 10, 14).expect("a day");
    let page = |book: &Book| {
        let (houses, _) = book.glances().expect("read");
        let rows = stores::of(&houses, |house, stage| stores::reached(house, stage, None, today));
        (rows, book.ledgers().expect("read"))
    };
    // The first page after tallies were written folds their houses.
    page(large);
    let conn = bare::sqlite(path);
    let rows = || {
        let mut query = conn.prepare_cached("SELECT told FROM summary").expect("a query");
        let rows = query.query_map([], |row| row.get::<_, String>(0)).expect("rows");
        rows.collect::<Result<Vec<_>, _>>().expect("rows")
    };
    Trial {
        what: "the page of the stores, to the bare rows".to_owned(),
        empty: Box::new(|| time(|| page(empty))),
        large: Box::new(|| time(|| page(large))),
        bare: Box::new(|| time(rows)),
    }
    .run(20)
}

/// The whole command that tells all houses, to a program that opens the file.
fn all_houses(empty: &Path, large: &Path) -> Line {
    let program = Path::new(env!("CARGO_BIN_EXE_spanwright"));
    let houses = |book: &Path| run(Command::new(program).arg("--book").arg(book).arg("houses"));
    let this = std::env::current_exe().expect("this program");
    Trial {
        what: "the command houses, to opening the file".to_owned(),
        empty: Box::new(|| time(|| houses(empty))),
        large: Box::new(|| time(|| houses(large))),
        bare: Box::new(|| time(|| run(Command::new(&this).arg(super::OPEN).arg(large)))),
    }
    .run(3)
}

fn run(command: &mut Command) {
    let status = command.stdout(Stdio::null()).status().expect("the program runs");
    assert!(status.success(), "{status}");
}
