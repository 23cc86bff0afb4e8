//! The bare work that the program is held against.

use std::io::{self, Read, Write};
use std::path::Path;

use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::style::Style;
use rusqlite::{Connection, named_params};

/// Opens a file of SQLite's.
#[expect(clippy::disallowed_methods, reason = "what is measured here is not the book but SQLite alone")]
pub fn sqlite(path: &Path) -> Connection {
    Connection::open(path).expect("a file of SQLite's")
}

/// A fresh file that syncs every row, as a book does.
pub fn file(path: &Path) -> Connection {
    let conn = sqlite(path);
    conn.pragma_update(None, "journal_mode", "WAL").expect("a log");
    conn.pragma_update(None, "synchronous", "FULL").expect("every row is synced");
    conn.execute_batch("CREATE TABLE line (id TEXT PRIMARY KEY, said TEXT NOT NULL) STRICT")
        .expect("a table");
    conn
}

/// Keeps a row about as long as a reading with its entry.
pub fn keep(conn: &Connection) {
    let id = uuid::Uuid::now_v7().to_string();
    let said = "6.970 m ".repeat(24);
    let mut insert =
        conn.prepare_cached("INSERT INTO line (id, said) VALUES (:id, :said)").expect("an insertion");
    insert.execute(named_params! { ":id": id, ":said": said }).expect("a row is kept");
}

/// A program that opens a file of SQLite's and prints a line about it.
pub fn open_and_tell(path: &Path) {
    let conn = sqlite(path);
    let houses: i64 = conn.query_row("SELECT count(*) FROM house", [], |row| row.get(0)).expect("a count");
    println!("{houses} told");
}

/// A program that fills the terminal anew for every key.
pub fn echo() {
    crossterm::terminal::enable_raw_mode().expect("keys as they are pressed");
    let mut out = io::stdout().lock();
    let mut draw = |count: usize| {
        write!(out, "\x1b[H").expect("drawn");
        for _ in 0..23 {
            write!(out, "{}\r\n", plain(count, 79)).expect("drawn");
        }
        write!(out, "drawn {count}").expect("drawn");
        out.flush().expect("drawn");
    };
    draw(0);
    for (count, key) in (1..).zip(io::stdin().lock().bytes()) {
        if key.is_err() {
            return;
        }
        draw(count);
    }
}

/// Draws a screenful of plain text, each time another.
pub fn draw(terminal: &mut Terminal<TestBackend>, turn: usize) {
    let drawing = terminal.draw(|frame| {
        let area = frame.area();
        let text = plain(turn, usize::from(area.width));
        for y in 0..area.height {
            frame.buffer_mut().set_string(0, y, &text, Style::new());
        }
    });
    drawing.expect("drawn");
}

fn plain(turn: usize, length: usize) -> String {
    let letter = if turn.is_multiple_of(2) { "house " } else { "posts " };
    letter.chars().cycle().take(length).collect()
}
