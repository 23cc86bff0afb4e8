//! `demo`, and the book on the screen.

use std::fs::{self, File, TryLockError};
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use super::error::CliError;
use super::houses;
use super::sample::OUTER_HOUSES;
use super::says::Said;
use super::scribe::{self, Scribe};
use crate::book::{Book, BookError, Opening};
use crate::screen;

/// Open a fresh copy of the sample book.
///
/// Without --book it is kept beside your own book, and a new one takes its
/// place each time; with --book it goes to a file that must not be there yet.
#[derive(Debug, clap::Args)]
pub(super) struct Demo {}

impl Demo {
    pub(super) fn run(self, scribe: &Scribe) -> Result<Said, CliError> {
        let path = match scribe.named_book() {
            Some(path) => path.to_owned(),
            None => Book::default_path()?.with_file_name("demo.spanwright"),
        };
        let _in_use = match scribe.named_book() {
            Some(path) if path.exists() => {
                return Err(BookError::Taken { path: path.display().to_string() }.into());
            }
            Some(path) => fresh(path, scribe).map(|()| None)?,
            None => Some(replaced(&path, scribe)?),
        };
        open_screen(scribe, Some(&path))
    }
}

/// Puts a new copy in the place of the last one, and holds the place as long
/// as the answer lives: SQLite's log must never meet another file's.
fn replaced(path: &Path, scribe: &Scribe) -> Result<File, CliError> {
    let unplaced = |source| CliError::Unplaced { path: path.display().to_string(), source };
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(unplaced)?;
    let place = File::create(beside(path, ".open")).map_err(unplaced)?;
    match place.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Err(CliError::DemoOpen),
        Err(TryLockError::Error(source)) => return Err(unplaced(source)),
    }
    fresh(path, scribe)?;
    Ok(place)
}

/// Writes the sample beside the place, then puts it there, whole.
fn fresh(path: &Path, scribe: &Scribe) -> Result<(), CliError> {
    let unplaced = |source| CliError::Unplaced { path: path.display().to_string(), source };
    let new = beside(path, ".new");
    remove(&new).map_err(unplaced)?;
    let mut book = Book::open(&new, Opening::Create)?;
    book.hurry()?;
    let written = OUTER_HOUSES.write(&mut book, scribe.stamp.now);
    drop(book);
    let placed = written.and_then(|()| {
        File::open(&new).and_then(|file| file.sync_all()).map_err(unplaced)?;
        remove(path).map_err(unplaced)?;
        fs::rename(&new, path).map_err(unplaced)
    });
    // What is left of the new file's own: its lock, or all of it.
    remove(&new).map_err(unplaced)?;
    placed
}

/// Removes a book, with all that SQLite and the opening left beside it.
fn remove(book: &Path) -> io::Result<()> {
    for ending in ["-wal", "-shm", ".lock", ""] {
        match fs::remove_file(beside(book, ending)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e),
            _ => {}
        }
    }
    Ok(())
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Opens a book on the screen: the demo's, or the builder's own. Without a
/// terminal the demo's houses are told at a glance instead.
pub(super) fn open_screen(scribe: &Scribe, demo: Option<&Path>) -> Result<Said, CliError> {
    let on_terminal = io::stdin().is_terminal() && io::stdout().is_terminal();
    let book = match demo {
        None if !on_terminal => return Err(CliError::NoTerminal),
        None => scribe.open_or_begin()?,
        Some(path) => Book::open(path, Opening::Existing)?,
    };
    if !on_terminal {
        return houses::glance(&book, scribe);
    }
    let status = screen::run(book, scribe::clock(), scribe.stamp.by.clone()).map_err(CliError::Screen)?;
    Ok(Said::Nothing(status))
}
