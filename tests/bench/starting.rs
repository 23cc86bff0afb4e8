//! From the start of the program to what it draws, and from a key to the cell
//! it changes, through a terminal.

use std::path::Path;
use std::time::Duration;

use super::clock::{Line, Trial};
use super::terminal::Terminal;
use super::{ECHO, OPEN};

/// Measures it in two books.
pub fn lines(empty: &Path, large: &Path) -> Vec<Line> {
    let this = std::env::current_exe().expect("this program");
    let first = |book| open(book).until(|shown| shown.contains("The houses"));
    let filled = |book| open(book).until(|shown| shown.contains("1 to "));
    let bare = || Terminal::open(&this, [OPEN.as_ref(), large]).until(|shown| shown.contains("told"));
    let mut few = open(empty);
    let mut many = open(large);
    let mut echo = Terminal::open(&this, [ECHO]);
    for terminal in [&mut few, &mut many] {
        terminal.until(|shown| shown.contains("1 to "));
    }
    echo.until(|shown| shown.contains("drawn 0"));
    let mut turn = 0;
    vec![
        Trial {
            what: "start to first frame".to_owned(),
            empty: Box::new(|| first(empty)),
            large: Box::new(|| first(large)),
            bare: Box::new(bare),
        }
        .run(20),
        Trial {
            what: "start to first frame with houses".to_owned(),
            empty: Box::new(|| filled(empty)),
            large: Box::new(|| filled(large)),
            bare: Box::new(bare),
        }
        .run(20),
        Trial {
            what: "key to cell, through a terminal".to_owned(),
            empty: Box::new(|| help(&mut few)),
            large: Box::new(|| help(&mut many)),
            bare: Box::new(move || {
                turn += 1;
                echo.press("x", |shown| shown.contains(&format!("drawn {turn}")))
            }),
        }
        .run(50),
    ]
}

fn open(book: &Path) -> Terminal {
    let program = Path::new(env!("CARGO_BIN_EXE_spanwright"));
    Terminal::open(program, ["--book".as_ref(), book])
}

/// Opens the list of keys and closes it; the whole screen changes.
fn help(terminal: &mut Terminal) -> Duration {
    let opened = terminal.press("?", |shown| !shown.contains("The houses"));
    terminal.press("?", |shown| shown.contains("The houses"));
    opened
}
