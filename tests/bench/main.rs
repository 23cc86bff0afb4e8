//! Measures what the program spends, as ratios to bare work of the same kind
//! in the same run: a machine's speed says nothing, a ratio does.
//!
//! `cargo bench` prints the table. The two books are an empty one, in which a
//! house was started and nothing else, and a large one of an invented village;
//! that one, and one with a single house full of entries, are written under
//! `target/` by the first run and kept for the next.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "what cannot go on stops")]

mod bare;
mod clock;
mod days;
mod folding;
mod keeping;
mod keys;
mod pieces;
mod starting;
mod terminal;
mod village;

use std::env;
use std::fs;
use std::path::Path;

use village::Size;

/// What this program is called with to be the bare one: see [`bare`].
const OPEN: &str = "--bare-open";
const ECHO: &str = "--bare-echo";

const LARGE: Size = Size { houses: 300, entries: 200_000 };
const FULL: Size = Size { houses: 1, entries: 100_000 };

fn main() {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        [OPEN, path] => bare::open_and_tell(Path::new(path)),
        [ECHO] => bare::echo(),
        // What `cargo bench` says; `cargo test` does not, and measures nothing.
        all if all.contains(&"--bench") => measure(),
        _ => {}
    }
}

fn measure() {
    // Beside the books that are kept, so that all are on one disk.
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    let place = |name: &str| folder.path().join(name);
    let (empty, large) = (place("empty.spanwright"), place("large.spanwright"));
    village::started(&empty);
    fs::copy(village::book(LARGE), &large).expect("a copy to write in");
    // What is measured must not wait for the copy to reach the disk.
    fs::File::open(&large).and_then(|file| file.sync_all()).expect("the copy is on the disk");
    let mut lines = vec![keeping::line(&empty, &large, folder.path())];
    lines.extend(starting::lines(&empty, &large));
    lines.extend(keys::lines(&empty, &large));
    lines.extend(folding::lines(&empty, &large));
    lines.push(pieces::line());
    lines.push(folding::full_house(&empty, &village::book(FULL)));
    lines.push(days::line(&empty, &large));
    println!("empty: 1 house, just started; large: {} houses, {} entries", LARGE.houses, LARGE.entries);
    clock::print(&lines);
}
