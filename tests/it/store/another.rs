//! Another program on the same book: this test program, started again.

use std::env;
use std::io::{BufRead, BufReader, Write, stdout};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};

use spanwright::book::{Book, Opening};

use super::told::{Shelf, Teller};
use crate::nobody::Nobody;

const BOOK: &str = "SPANWRIGHT_TEST_BOOK";
const DOES: &str = "SPANWRIGHT_TEST_DOES";
const OTHER: &str = "SPANWRIGHT_TEST_OTHER";

/// What it says before it merges.
const MERGING: &str = "merging";

/// What the other program does; without a book it does nothing.
#[test]
#[ignore = "started by other tests as a program of its own"]
fn another_program() {
    let (Ok(path), Ok(does)) = (env::var(BOOK), env::var(DOES)) else { return };
    if does == "reads" {
        match Book::open_to_read(Path::new(&path)).and_then(|book| book.entries_of(None)) {
            Ok(all) => println!("\nsaid: {} entries", all.len()),
            Err(error) => println!("\nsaid: {error}"),
        }
        return;
    }
    match Book::open(Path::new(&path), Opening::Create) {
        Ok(book) if does == "comes and goes" => comes_and_goes(book, Path::new(&path)),
        Ok(book) if does == "writes" => writes(book),
        Ok(mut book) if does == "merges" => {
            println!("\nkept: {MERGING}");
            book.merge(&env::var_os(OTHER).map(PathBuf::from).expect("another book")).expect("merged");
        }
        Ok(_) => println!("\nsaid: opened"),
        Err(error) => println!("\nsaid: {error}"),
    }
}

/// Keeps a house with a brief and a reading, tells its id, and so on until it
/// is killed.
fn writes(mut book: Book) {
    let mut teller = Teller::new();
    let mut out = stdout();
    loop {
        let mut house = teller.starts("to be named");
        house.what = spanwright::build::entry::What::House { name: format!("House {}", house.id) };
        let brief = teller.briefs(house.id);
        let reading = teller.reads(house.id, brief.id, "ab", 6.97);
        book.keep(&[house.clone(), brief, reading]).expect("kept");
        writeln!(out, "\nkept: {}", house.id).and_then(|()| out.flush()).expect("told");
    }
}

/// Keeps a hold, tells its id, closes the book, opens it again, and so on until
/// it is killed.
fn comes_and_goes(mut book: Book, path: &Path) {
    let mut teller = Teller::new();
    let mut out = stdout();
    loop {
        let hold = teller.holds(None, "feast");
        book.keep(std::slice::from_ref(&hold)).expect("kept");
        drop(book);
        writeln!(out, "\nkept: {}", hold.id).and_then(|()| out.flush()).expect("told");
        book = Book::open(path, Opening::Existing).expect("opened again");
    }
}

fn this() -> PathBuf {
    env::current_exe().expect("this program")
}

/// Starts it.
pub struct Another {
    command: Command,
    /// What the command runs, until it has begun.
    _nobody: Option<Nobody>,
}

impl Another {
    pub fn on(shelf: &Shelf) -> Self {
        Self { command: Self::set(Command::new(this()), shelf), _nobody: None }
    }

    fn set(mut command: Command, shelf: &Shelf) -> Command {
        command
            .args(["--exact", "store::another::another_program", "--ignored", "--nocapture"])
            .env(BOOK, shelf.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit());
        command
    }

    /// As a user who has only the rights that everybody has.
    pub fn without_rights(shelf: &Shelf) -> Self {
        let nobody = Nobody::of(&this());
        Self { command: Self::set(nobody.command(), shelf), _nobody: Some(nobody) }
    }

    /// Opens the book and closes it; what it says of that.
    pub fn looks(mut self) -> String {
        self.command.env(DOES, "looks");
        self.says()
    }

    fn says(mut self) -> String {
        let output = self.command.output().expect("it runs");
        let out = String::from_utf8_lossy(&output.stdout);
        out.lines().find_map(|line| line.strip_prefix("said: ")).expect("it says something").to_owned()
    }

    /// Opens the book only to read it, and closes it; how many entries about
    /// all houses it says there are, or why it could not.
    pub fn reads(mut self) -> String {
        self.command.env(DOES, "reads");
        self.says()
    }

    /// Begins to keep holds, closing the book after each.
    pub fn comes_and_goes(self) -> Writing {
        self.begins("comes and goes")
    }

    /// Begins to keep houses.
    pub fn writes(self) -> Writing {
        self.begins("writes")
    }

    /// Begins to take in another book, and says so first.
    pub fn merges(mut self, other: &Shelf) -> Writing {
        self.command.env(OTHER, other.path());
        let mut merging = self.begins("merges");
        assert_eq!(merging.next_kept().as_deref(), Some(MERGING));
        merging
    }

    fn begins(mut self, does: &str) -> Writing {
        let mut child = self.command.env(DOES, does).spawn().expect("it starts");
        let out = BufReader::new(child.stdout.take().expect("its words"));
        Writing { child, out }
    }
}

/// A program that keeps houses until it is killed.
pub struct Writing {
    child: Child,
    out: BufReader<ChildStdout>,
}

impl Writing {
    /// The id of the next house it says it has kept.
    pub fn next_kept(&mut self) -> Option<String> {
        let mut line = String::new();
        while self.out.read_line(&mut line).expect("its words") > 0 {
            if let Some(id) = line.trim_end().strip_prefix("kept: ") {
                return Some(id.to_owned());
            }
            line.clear();
        }
        None
    }

    /// Waits until it has ended by itself.
    pub fn ended(mut self) {
        assert!(self.child.wait().expect("it ended").success());
    }

    /// Kills it at once (SIGKILL); the houses it had said it kept.
    pub fn killed(mut self) -> Vec<String> {
        self.child.kill().expect("killed");
        let mut kept = vec![];
        while let Some(id) = self.next_kept() {
            // A word cut off in the middle was never said.
            if id.len() == 36 {
                kept.push(id);
            }
        }
        self.child.wait().expect("it ended");
        kept
    }
}
