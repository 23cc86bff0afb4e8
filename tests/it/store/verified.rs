//! What a check of the book finds.

use super::told::{Shelf, Teller};

/// A full book, whose schema somebody took the guards from to write this into it.
fn found_after(sql: &str) -> Vec<String> {
    let shelf = Shelf::new();
    shelf.book().keep(&Teller::new().tells_of_everything()).expect("kept");
    let conn = shelf.shell();
    conn.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON").expect("unguarded");
    let mut query = conn.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").expect("a query");
    let triggers: Vec<String> =
        query.query_map([], |row| row.get(0)).and_then(Iterator::collect).expect("triggers");
    for trigger in triggers {
        conn.execute_batch(&format!("DROP TRIGGER {trigger}")).expect("dropped");
    }
    let changed = conn.execute(sql, []).expect(sql);
    assert!(changed > 0, "{sql} does something");
    drop(query);
    drop(conn);
    shelf.book().verify().expect("verified").into_iter().map(|finding| finding.what).collect()
}

#[test]
fn a_sound_book_gives_no_findings() {
    let shelf = Shelf::new();
    let mut book = shelf.book();
    assert_eq!(book.verify().expect("verified"), []);
    book.keep(&Teller::new().tells_of_everything()).expect("kept");
    assert_eq!(book.verify().expect("verified"), []);
}

#[test]
fn each_broken_rule_is_found() {
    for (sql, what) in [
        (
            "UPDATE entry SET id = replace(id, '-7', '-4') WHERE kind = 'resume'",
            "the file does not pass SQLite's own check",
        ),
        ("DELETE FROM reading", "an entry's kind is unknown, or what it says is lost"),
        (
            "UPDATE entry SET kind = 'song' WHERE kind = 'resume'",
            "an entry's kind is unknown, or what it says is lost",
        ),
        (
            "INSERT INTO hold SELECT id, 'feast', 0 FROM entry WHERE kind = 'resume'",
            "what an entry says stands under two kinds",
        ),
        ("DELETE FROM entry WHERE kind = 'strike'", "what is said has no entry"),
        (
            "UPDATE entry SET house = NULL WHERE kind = 'moved'",
            "an entry names no house, or should name none",
        ),
        ("DELETE FROM house WHERE name = 'Tern house'", "an entry's house is not in the book"),
        (
            "UPDATE reading SET brief = (SELECT id FROM house LIMIT 1)",
            "a reading or a sign-off goes by a brief that is not its house's",
        ),
        (
            "UPDATE sign_rested SET entry = (SELECT id FROM hold)",
            "a sign-off rests on a reading that is not its house's",
        ),
        (
            "UPDATE tally SET to_house = (SELECT house FROM entry WHERE entry.id = tally.id)",
            "an item is given to no house of the book, or to its own",
        ),
        (
            "UPDATE answer SET entry = (SELECT id FROM entry WHERE kind = 'permit')",
            "an answer answers nothing of its house",
        ),
        (
            "UPDATE entry SET house = NULL WHERE kind = 'crew-day'",
            "an entry names no house, or should name none",
        ),
        (
            "UPDATE entry SET house = (SELECT id FROM house LIMIT 1) WHERE kind = 'permit'",
            "an entry names no house, or should name none",
        ),
        ("DELETE FROM tie_down", "an entry's kind is unknown, or what it says is lost"),
        (
            "UPDATE closed SET weekday = 8 WHERE weekday IS NOT NULL",
            "the file does not pass SQLite's own check",
        ),
        ("UPDATE permit SET until = '2031-06-31'", "the file does not pass SQLite's own check"),
        ("UPDATE strike SET entry = id", "a strike strikes nothing of its house, or another strike"),
        ("DELETE FROM brief", "a row names another that is not there"),
        (
            "UPDATE house SET known_as = 'reef house' WHERE name = 'Tern house'",
            "a house is not known by its own name",
        ),
        ("UPDATE reading SET value_kind = 'guess'", "the file does not pass SQLite's own check"),
    ] {
        let found = found_after(sql);
        assert!(found.iter().any(|one| one == what), "{sql}: {found:?}");
    }
}
