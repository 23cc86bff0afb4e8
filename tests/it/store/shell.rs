//! What a person with an SQLite shell can see, and cannot do.

use rusqlite::Connection;

use super::told::{Shelf, Teller};
use spanwright::build::entry::{How, Item};

/// A book with every kind of entry, in a shell that looks after nothing by itself.
fn full_shell() -> (Shelf, Connection) {
    let shelf = Shelf::new();
    shelf.book().keep(&Teller::new().tells_of_everything()).expect("kept");
    let conn = shelf.shell();
    conn.pragma_update(None, "foreign_keys", false).expect("unguarded");
    (shelf, conn)
}

/// The tables of entries: where the screen was left, and the houses at a
/// glance, are none.
fn tables(conn: &Connection) -> Vec<String> {
    const SQL: &str = "
        SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN ('left', 'summary')";
    let mut query = conn.prepare(SQL).expect("a query");
    let names = query.query_map([], |row| row.get(0)).expect("tables");
    names.collect::<Result<_, _>>().expect("names")
}

fn refusal(conn: &Connection, sql: &str) -> String {
    conn.execute_batch(sql).expect_err(sql).to_string()
}

#[test]
fn no_line_of_any_table_can_be_changed_erased_or_replaced() {
    let (_shelf, conn) = full_shell();
    let tables = tables(&conn);
    assert_eq!(tables.len(), 20);
    for table in &tables {
        let count = |conn: &Connection| -> i64 {
            conn.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).expect("a count")
        };
        let before = count(&conn);
        assert!(before > 0, "{table} has lines");
        let column: String = conn
            .query_row("SELECT name FROM pragma_table_info(?1) LIMIT 1", [table], |row| row.get(0))
            .expect("a column");
        let said = refusal(&conn, &format!("UPDATE {table} SET {column} = {column}"));
        assert!(said.starts_with("nothing in the book is changed"), "{said}");
        let said = refusal(&conn, &format!("DELETE FROM {table}"));
        assert!(said.starts_with("nothing in the book is taken out"), "{said}");
        let said = refusal(&conn, &format!("INSERT OR REPLACE INTO {table} SELECT * FROM {table}"));
        assert!(said.contains("already"), "{said}");
        assert_eq!(count(&conn), before);
    }
}

#[test]
fn nothing_is_slipped_under_an_entry_that_was_kept() {
    let (_shelf, conn) = full_shell();
    let said = refusal(&conn, "INSERT INTO hold SELECT id, 'storm', 0 FROM entry WHERE kind = 'resume'");
    assert!(said.starts_with("an entry of this id is in the book already"), "{said}");
    let said = refusal(&conn, "INSERT INTO sign_rested SELECT sign.id, reading.id, 9 FROM sign, reading");
    assert!(said.starts_with("an entry of this id is in the book already"), "{said}");
    // An entry whose kind nobody knows, or that says nothing.
    for kind in ["song", "reading"] {
        let said = refusal(
            &conn,
            &format!(
                "INSERT INTO entry SELECT replace(id, substr(id, 1, 8), 'ffffffff'), '{kind}', house,
                    happened, 0, written, 0, by_whom FROM entry WHERE kind = 'reading'"
            ),
        );
        assert!(said.starts_with("its kind is unknown, or what it says is missing"), "{said}");
    }
}

#[test]
fn every_table_is_strict_and_every_trigger_stands_on_a_table_of_entries() {
    let (_shelf, conn) = full_shell();
    let loose: i64 = conn
        .query_row("SELECT count(*) FROM pragma_table_list WHERE type = 'table' AND schema = 'main' AND NOT strict AND name NOT LIKE 'sqlite%'", [], |row| row.get(0))
        .expect("a count");
    assert_eq!(loose, 0);
    for table in &tables(&conn) {
        let guards: i64 = conn
            .query_row(
                "SELECT count(*) FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = ?1",
                [table],
                |row| row.get(0),
            )
            .expect("a count");
        assert!(guards >= 3, "{table} is guarded against change, erasure and replacement");
    }
}

#[test]
fn the_heap_is_what_came_in_less_what_went_out() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let (tern, landing) = (teller.starts("Tern house"), teller.starts("Landing house"));
    let mut told = vec![tern.clone(), landing.clone()];
    for (count, how) in [
        (50.0, How::Promised),
        (30.0, How::Delivered),
        (40.0, How::Woven),
        (25.0, How::Used),
        (3.0, How::Spoiled),
        (4.0, How::Lost),
        (1.0, How::Found),
        (5.0, How::TornOff),
    ] {
        told.push(teller.tallies(tern.id, Item::Panel, count, how, None));
    }
    told.push(teller.gives(tern.id, landing.id, 12.0));
    let slip = teller.tallies(tern.id, Item::Panel, 400.0, How::Woven, None);
    told.push(teller.strikes(&slip, "forty, not four hundred"));
    told.insert(told.len() - 1, slip);
    shelf.book().keep(&told).expect("kept");

    let conn = shelf.shell();
    let mut query =
        conn.prepare("SELECT house, on_hand, promised, used, spoiled, lost FROM heap").expect("heap");
    let heap: Vec<(String, [f64; 5])> = query
        .query_map([], |row| {
            Ok((row.get(0)?, [row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?, row.get(5)?]))
        })
        .and_then(Iterator::collect)
        .expect("a heap");
    assert_eq!(
        heap,
        [
            ("Landing house".to_owned(), [12.0, 0.0, 0.0, 0.0, 0.0]),
            ("Tern house".to_owned(), [30.0 + 40.0 - 25.0 - 3.0 - 4.0 + 1.0 - 12.0, 20.0, 20.0, 3.0, 9.0]),
        ]
    );
}

#[test]
fn the_views_tell_the_day_book_and_the_houses() {
    let (_shelf, conn) = full_shell();
    let mut query = conn
        .prepare("SELECT happened, kind, house, says, struck FROM day_book WHERE kind IN ('strike', 'reading', 'tally')")
        .expect("the day book");
    let lines: Vec<String> = query
        .query_map([], |row| {
            let cell = |at| row.get::<_, Option<String>>(at).map(Option::unwrap_or_default);
            Ok([cell(0)?, cell(1)?, cell(2)?, cell(3)?, cell(4)?].join(" | "))
        })
        .and_then(Iterator::collect)
        .expect("lines");
    assert!(lines[0].starts_with("2031-03-02T07:41:00+10:00 | strike | Tern house | "), "{}", lines[0]);
    assert_eq!(
        lines[1..],
        [
            "2031-03-02T07:37:00+10:00 | tally | Tern house | 12 panel moved to Landing house: by the shore path | ",
            "2031-03-02T07:35:00+10:00 | reading | Tern house | set-out/ab: 6.97m | read from the wrong peg",
        ]
    );
    let mut query = conn
        .prepare(
            "SELECT says FROM day_book WHERE kind IN
                ('permit', 'crew', 'closed', 'weather', 'wood', 'tie-down', 'crew-day', 'pull')
             ORDER BY id",
        )
        .expect("the day book");
    let says: Vec<String> = query.query_map([], |row| row.get(0)).and_then(Iterator::collect).expect("lines");
    assert_eq!(
        says,
        [
            "20 mangrove until 2031-06-30, the lagoon",
            "kin: 6 people",
            "day 7 of the week",
            "2031-06-04 to 2031-06-06: feast",
            "month 6: 0.25 of its days lost",
            "mangrove: 830 kg/m³, D50",
            "panels yes, tools no",
            "kin, 4 people, thatching: 32",
            "rafter, coir: 1300 N",
        ]
    );
    let now: (String, String, String, String, String) = conn
        .query_row(
            "SELECT house, started, signed, brief, last_entry FROM houses_now WHERE signed IS NOT NULL",
            [],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)),
        )
        .expect("a house");
    assert_eq!((now.0.as_str(), now.1.as_str(), now.2.as_str()), ("Tern house", "2031-03-02", "set-out"));
    assert_eq!(now.4, "2031-03-02", "the day where it was told, not the day in UTC");
    assert_eq!(now.3, r#"{"length":"4sp","owner":"Oru","place":"Lee shore"}"#);
}
