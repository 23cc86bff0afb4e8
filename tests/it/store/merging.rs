//! Two books that grew apart are brought together by union.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;

use spanwright::book::{Book, BookError, Filter, Merged};
use spanwright::build::entry::{Entry, How, Item, Kind, What};
use uuid::Uuid;

use super::another::Another;
use super::told::{Shelf, Teller, shell};

/// Two copies of a book in which all kinds of entries stand, each on a shelf
/// of its own.
fn copies() -> (Shelf, Shelf, Vec<Entry>) {
    let (one, other) = (Shelf::new(), Shelf::new());
    let told = Teller::new().tells_of_everything();
    let mut book = one.book();
    book.keep(&told).expect("kept");
    book.keep_copy(&other.path()).expect("copied");
    (one, other, told)
}

/// All entries of a book, by id.
pub fn all(book: &Book) -> BTreeMap<Uuid, Entry> {
    let filter = Filter { limit: u32::MAX, ..Filter::default() };
    book.log(&filter).expect("read").into_iter().map(|line| (line.entry.id, line.entry)).collect()
}

/// Merges what must be refused, and sees that nothing was taken in.
fn refused(shelf: &Shelf, other: &Path) -> BookError {
    let before = all(&shelf.book());
    let error = shelf.book().merge(other).expect_err("it is refused");
    assert_eq!(all(&shelf.book()), before, "nothing was taken in");
    error
}

fn counts(merged: &Merged, house: Option<Uuid>) -> Vec<(Kind, u64)> {
    merged
        .new
        .get(&house)
        .map(|new| new.iter().map(|(kind, count)| (*kind, *count)).collect())
        .unwrap_or_default()
}

#[test]
fn each_book_gets_what_only_the_other_has() {
    let (one, other, told) = copies();
    let (tern, brief) = (told[0].id, told[3].id);
    let mut teller = Teller::new();
    let mine = [teller.reads(tern, brief, "bc", 5.2), teller.holds(None, "feast")];
    let theirs = [
        teller.reads(tern, brief, "cd", 6.9),
        teller.reads(tern, brief, "da", 5.1),
        teller.signs(tern, brief, vec![told[4].id]),
        teller.holds(None, "storm"),
    ];
    one.book().keep(&mine).expect("kept");
    other.book().keep(&theirs).expect("kept");
    let before = fs::read(other.path()).expect("read");

    let merged = one.book().merge(&other.path()).expect("merged");
    assert_eq!(counts(&merged, Some(tern)), [(Kind::Reading, 2), (Kind::Sign, 1)]);
    assert_eq!(counts(&merged, None), [(Kind::Hold, 1)]);
    assert_eq!((merged.new_count(), merged.shared), (4, told.len() as u64));
    assert!(merged.renamed.is_empty() && merged.struck_twice.is_empty() && merged.lacking.is_empty());
    assert!(fs::read(other.path()).expect("read") == before, "the other book is only read");

    let merged = other.book().merge(&one.path()).expect("merged");
    assert_eq!((merged.new_count(), merged.shared), (2, told.len() as u64 + 4));
    let union: Vec<&Entry> = told.iter().chain(&mine).chain(&theirs).collect();
    let (one, other) = (all(&one.book()), all(&other.book()));
    assert_eq!(one, other);
    assert!(union.iter().all(|entry| one.get(&entry.id) == Some(*entry)) && one.len() == union.len());
}

#[test]
fn a_merge_into_an_empty_book_gives_every_kind_and_a_second_one_nothing() {
    let (other, told) = (Shelf::new(), Teller::new().tells_of_everything());
    other.book().keep(&told).expect("kept");
    let one = Shelf::new();
    let merged = one.book().merge(&other.path()).expect("merged");
    assert_eq!(merged.new_count(), told.len() as u64);
    assert_eq!(one.book().verify().expect("verified"), []);
    let again = one.book().merge(&other.path()).expect("merged");
    assert_eq!((again.new_count(), again.shared), (0, told.len() as u64));
}

#[test]
fn entries_are_taken_in_whatever_the_order_they_happened_in() {
    let (one, other, told) = copies();
    let (tern, brief) = (told[0].id, told[3].id);
    let mut teller = Teller::new();
    let reading = teller.reads(tern, brief, "ab", 7.0);
    let mut sign = teller.signs(tern, brief, vec![reading.id]);
    let mut strike = teller.strikes(&reading, "read too early");
    let answer = What::Answer { entry: strike.id, said: "it was dark".to_owned() };
    let answer = teller.says(Some(tern), answer);
    let what = What::Answer { entry: answer.id, said: "and it rained".to_owned() };
    let mut of_answer = teller.says(Some(tern), what);
    let mut of_it = teller.strikes(&of_answer, "it did not");
    for (early, entry) in [&mut sign, &mut strike, &mut of_answer, &mut of_it].into_iter().enumerate() {
        entry.happened = super::told::at(-1000 - early as i64);
    }
    other.book().keep(&[reading, sign, strike, answer, of_answer, of_it]).expect("kept");
    assert_eq!(one.book().merge(&other.path()).expect("merged").new_count(), 6);
    assert_eq!(all(&one.book()), all(&other.book()));
    assert_eq!(one.book().verify().expect("verified"), []);
}

#[test]
fn the_same_book_under_any_name_is_refused() {
    let (one, _, _) = copies();
    let (linked, twin) = (one.folder().join("linked"), one.folder().join("twin"));
    symlink(one.path(), &linked).expect("a link");
    fs::hard_link(one.path(), &twin).expect("a second name");
    for path in [one.path(), linked, twin] {
        assert!(matches!(refused(&one, &path), BookError::Itself { .. }), "{}", path.display());
    }
}

#[test]
fn what_is_no_sound_book_of_this_program_is_refused_and_left_as_it_is() {
    let (one, other, _) = copies();
    assert!(matches!(refused(&one, &other.folder().join("none")), BookError::Missing { .. }));
    assert!(matches!(refused(&one, other.folder()), BookError::Folder { .. }));
    let sound = fs::read(other.path()).expect("read");
    let spoilt = |bytes: &[u8]| {
        fs::write(other.path(), bytes).expect("spoilt");
        let error = refused(&one, &other.path());
        assert!(fs::read(other.path()).expect("read") == bytes, "it is left as it is");
        error
    };
    assert!(matches!(spoilt(b""), BookError::Missing { .. }));
    assert!(matches!(spoilt(b"Dear Oru, the panels are on their way."), BookError::Foreign { .. }));
    assert!(matches!(spoilt(&sound[..sound.len() / 2]), BookError::Damaged { .. }));
    let mut middle = sound.clone();
    let third = sound.len() / 3 / 4096 * 4096;
    middle[third..third + 4096].fill(0xA5);
    assert!(matches!(spoilt(&middle), BookError::Damaged { .. }));
    fs::write(other.path(), &sound).expect("mended");
    shell(&other.path()).pragma_update(None, "user_version", 99).expect("a newer book");
    assert!(matches!(refused(&one, &other.path()), BookError::Newer { found: 99, .. }));
}

/// Takes the guards from a book's schema, and writes this into it.
fn tampered(shelf: &Shelf, sql: &str) {
    let conn = shell(&shelf.path());
    conn.execute_batch("PRAGMA foreign_keys = OFF").expect("unguarded");
    let mut query = conn.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").expect("a query");
    let triggers: Vec<String> =
        query.query_map([], |row| row.get(0)).and_then(Iterator::collect).expect("triggers");
    for trigger in triggers {
        conn.execute_batch(&format!("DROP TRIGGER {trigger}")).expect("dropped");
    }
    assert!(conn.execute(sql, []).expect(sql) > 0);
}

#[test]
fn a_book_whose_lines_never_end_is_refused_before_any_is_read() {
    let (one, other, _) = copies();
    let conn = shell(&other.path());
    conn.execute_batch(
        "PRAGMA legacy_alter_table = ON;
         ALTER TABLE measure RENAME TO measure_once;
         CREATE VIEW measure AS
             WITH RECURSIVE again (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM again)
             SELECT measure_once.* FROM again, measure_once;",
    )
    .expect("tampered");
    let error = refused(&one, &other.path());
    assert!(matches!(error, BookError::Damaged { .. }), "{error}");
    assert!(error.to_string().contains("measure is no table"), "{error}");
}

#[test]
fn an_entry_that_says_something_else_in_each_book_refuses_the_whole() {
    for sql in [
        "UPDATE reading SET value = 6.79",
        "UPDATE entry SET by_whom = 'Tavi' WHERE kind = 'reading'",
        "UPDATE entry SET happened_offset = 0 WHERE kind = 'reading'",
    ] {
        let (one, other, told) = copies();
        other.book().keep(&[Teller::new().holds(None, "feast")]).expect("kept");
        tampered(&other, sql);
        match refused(&one, &other.path()) {
            BookError::Differs { kind: Kind::Reading, id, .. } => assert_eq!(id, told[4].id),
            error => panic!("{sql}: {error}"),
        }
    }
}

#[test]
fn an_entry_that_breaks_a_rule_refuses_the_whole_and_is_named() {
    for (sql, why) in [
        ("UPDATE strike SET entry = (SELECT id FROM house LIMIT 1)", "is not of the same house"),
        (
            "UPDATE reading SET brief = (SELECT id FROM house LIMIT 1)",
            "names an entry that is not in the book",
        ),
        (
            "UPDATE answer SET entry = '01900000-0000-7000-8000-000000000000'",
            "names an entry that is not in the book",
        ),
    ] {
        let (_, other, _) = copies();
        let sql =
            sql.replace("(SELECT id FROM house LIMIT 1)", "(SELECT id FROM house ORDER BY name LIMIT 1)");
        tampered(&other, &sql);
        let error = refused(&Shelf::with_a_book(), &other.path());
        assert!(matches!(error, BookError::NotTakenIn { .. }), "{sql}: {error}");
        assert!(error.to_string().contains(why), "{sql}: {error}");
    }
    let (_, other, _) = copies();
    tampered(&other, "UPDATE entry SET kind = 'song' WHERE kind = 'resume'");
    let error = refused(&Shelf::with_a_book(), &other.path());
    assert!(matches!(error, BookError::Unreadable { .. }), "{error}");
}

#[test]
fn a_second_house_of_a_name_is_called_by_a_number_where_it_came_later() {
    let (one, other, third) = (Shelf::new(), Shelf::new(), Shelf::new());
    let mut teller = Teller::new();
    let houses = [&one, &other, &third].map(|shelf| {
        let house = teller.starts("Tern House");
        shelf.book().keep(std::slice::from_ref(&house)).expect("kept");
        house.id
    });
    let merged = one.book().merge(&other.path()).expect("merged");
    assert_eq!(merged.renamed, BTreeMap::from([(houses[1], "Tern House (2)".to_owned())]));
    let merged = one.book().merge(&third.path()).expect("merged");
    assert_eq!(merged.renamed, BTreeMap::from([(houses[2], "Tern House (3)".to_owned())]));

    let book = one.book();
    for (said, house) in
        [("tern house", houses[0]), ("Tern house (2)", houses[1]), ("TERN HOUSE (3)", houses[2])]
    {
        assert_eq!(book.house_named(said).expect("found"), house, "{said}");
    }
    let listed: Vec<String> =
        book.houses(None, 9).expect("listed").into_iter().map(|house| house.name).collect();
    assert_eq!(listed, ["Tern House", "Tern House (2)", "Tern House (3)"]);
    assert_eq!(book.names().expect("names")[&houses[2]], "Tern House (3)");
    let told = book.entries_of(Some(houses[1])).expect("told");
    assert_eq!(told[0].what, What::House { name: "Tern House (2)".to_owned() });
    assert_eq!(book.verify().expect("verified"), []);

    // What was written goes on as it was: the number is this book's own.
    assert_eq!(one.book().merge(&other.path()).expect("merged").new_count(), 0);
    other.book().merge(&one.path()).expect("merged");
    assert_eq!(all(&other.book()), all(&book));
    assert_eq!(other.book().house_named("Tern House").expect("found"), houses[1]);
}

#[test]
fn of_two_strikes_of_an_entry_the_one_written_first_stands_in_both_books() {
    let (one, other, told) = copies();
    let peg = told.iter().find(|entry| entry.what.kind() == Kind::Moved).expect("a moved peg");
    let mut teller = Teller::new();
    let (first, second) = (teller.strikes(peg, "it was peg B"), teller.strikes(peg, "it never moved"));
    one.book().keep(std::slice::from_ref(&second)).expect("kept");
    other.book().keep(std::slice::from_ref(&first)).expect("kept");
    for (shelf, from) in [(&one, &other), (&other, &one)] {
        let merged = shelf.book().merge(&from.path()).expect("merged");
        assert_eq!(merged.struck_twice.iter().collect::<Vec<_>>(), [&peg.id]);
        let lines = shelf.book().log(&Filter { limit: 100, ..Filter::default() }).expect("read");
        let struck: Vec<_> = lines.iter().filter(|line| line.entry.id == peg.id).collect();
        assert_eq!(struck.len(), 1, "the entry is told once");
        assert_eq!(struck[0].struck.as_ref().expect("struck").id, first.id);
        let shown: i64 = shell(&shelf.path())
            .query_row("SELECT count(*) FROM day_book WHERE id = ?1", [peg.id.to_string()], |row| row.get(0))
            .expect("a count");
        assert_eq!(shown, 1);
        assert_eq!(shelf.book().verify().expect("verified"), []);
    }
    assert_eq!(all(&one.book()), all(&other.book()));
    let third = teller.strikes(peg, "once more");
    let kept = one.book().keep(&[third]);
    assert!(matches!(kept, Err(BookError::Refused { .. })), "one book strikes an entry once: {kept:?}");
}

#[test]
fn a_book_on_a_stick_that_may_only_be_read_is_taken_in() {
    let (_, other, told) = copies();
    let one = Shelf::new();
    let set = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("set");
    let odd = other.folder().join("köy 100%?#.spanwright");
    fs::rename(other.path(), &odd).expect("another name");
    symlink(&odd, other.path()).expect("a link");
    drop(fs::remove_file(other.folder().join("village.spanwright.lock")));
    set(&odd, 0o444);
    set(other.folder(), 0o555);
    set(one.folder(), 0o777);
    Another::without_rights(&one).merges(&other).ended();
    assert_eq!(fs::read_dir(other.folder()).expect("read").count(), 2, "nothing is left beside it");
    set(other.folder(), 0o755);
    assert_eq!(all(&one.book()).len(), told.len());
}

#[test]
fn a_program_that_has_the_book_open_notices_a_merge() {
    let (one, other, _) = copies();
    other.book().keep(&[Teller::new().holds(None, "feast")]).expect("kept");
    let mut open = one.book();
    assert!(!open.changed().expect("asked"));
    one.book().merge(&other.path()).expect("merged");
    assert!(open.changed().expect("asked"));
}

#[test]
fn a_book_that_others_write_to_may_be_taken_in_meanwhile() {
    let (one, other, _) = copies();
    let writer = shell(&other.path());
    writer.execute_batch("BEGIN IMMEDIATE").expect("the other writes");
    one.book().merge(&other.path()).expect("merged");
    drop(writer);
    let reader = one.shell();
    reader.execute_batch("BEGIN IMMEDIATE").expect("somebody writes to this one");
    let merged = one.book().merge(&other.path());
    assert!(matches!(merged, Err(BookError::Busy { .. })), "{merged:?}");
}

#[test]
fn however_many_are_past_a_permit_they_are_counted() {
    let (one, other, told) = copies();
    let mut teller = Teller::new();
    let cuts: Vec<Entry> = (0..5)
        .map(|_| {
            let mut cut = teller.tallies(told[0].id, Item::Post, 1e9, How::Cut, None);
            if let What::Tally(tally) = &mut cut.what {
                tally.of.tree = Some("mangrove".to_owned());
            }
            cut
        })
        .collect();
    other.book().keep(&cuts).expect("kept");
    let merged = one.book().merge(&other.path()).expect("merged");
    let past = merged.past_permits.get("mangrove").copied();
    assert!(past.is_some_and(|count| count > 4_999_999_000), "{past:?}");
}
