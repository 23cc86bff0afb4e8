//! Who writes, when, and in which book: the edge where the clock and the
//! environment are read.

use std::env::{self, VarError};
use std::path::{Path, PathBuf};

use chrono::{Local, SubsecRound};

use super::args::{self, Global};
use super::error::CliError;
use super::says;
use crate::book::{Book, BookError, Opening, Stamp};
use crate::build::{House, Moment};

/// The one who writes.
#[derive(Debug)]
pub(super) struct Scribe {
    book: Option<PathBuf>,
    /// Whether JSON is wanted.
    pub json: bool,
    /// When, and by whom.
    pub stamp: Stamp,
    /// Who was named by `--by`, and not only taken for granted.
    pub named: Option<String>,
}

impl Scribe {
    /// From what was typed and what the environment says.
    ///
    /// # Errors
    /// A `SPANWRIGHT_NOW` that is no moment.
    pub(super) fn new(global: Global) -> Result<Self, CliError> {
        let now = set_time()?.unwrap_or_else(wall_clock);
        let at = global.at.map_or(now, |at| at.trunc_subsecs(6));
        let by = match &global.by {
            Some(by) => by.clone(),
            None => variable("SPANWRIGHT_BY")?.unwrap_or_else(user),
        };
        let named = || env::var_os("SPANWRIGHT_BOOK").filter(|value| !value.is_empty());
        let book = global.book.or_else(|| named().map(PathBuf::from));
        Ok(Self { book, json: global.json, stamp: Stamp { at, now, by }, named: global.by })
    }

    /// The book's file, where one was named.
    pub(super) fn named_book(&self) -> Option<&Path> {
        self.book.as_deref()
    }

    /// The book's file.
    pub(super) fn path(&self) -> Result<PathBuf, CliError> {
        match &self.book {
            Some(path) => Ok(path.clone()),
            None => Ok(Book::default_path()?),
        }
    }

    /// Opens the book, which must be there.
    pub(super) fn open(&self) -> Result<Book, CliError> {
        Ok(Book::open(&self.path()?, Opening::Existing)?)
    }

    /// Opens the book to tell what is in it: where it may not be written, only
    /// to read it, which is told beside the answer.
    pub(super) fn open_to_tell(&self) -> Result<Book, CliError> {
        match self.open() {
            Err(CliError::Book(BookError::ReadOnly { .. } | BookError::Denied { .. })) => {
                let book = Book::open_to_read(&self.path()?)?;
                says::beside(&format!(
                    "{}: it may only be read; nothing can be kept in it",
                    book.path().display()
                ));
                Ok(book)
            }
            opened => opened,
        }
    }

    /// Opens the book, and begins it where there is none yet. Only the folder
    /// that the program chose itself is made.
    pub(super) fn open_or_begin(&self) -> Result<Book, CliError> {
        let opening = if self.book.is_some() { Opening::Create } else { Opening::CreateWithFolder };
        Ok(Book::open(&self.path()?, opening)?)
    }
}

/// A house of the book by its name, its id, or the beginning of one of these.
pub(super) fn house(book: &Book, said: &str) -> Result<House, CliError> {
    let id = book.house_named(said)?;
    Ok(House::of(id, &book.entries_of(Some(id))?)?.with_past_cuts(book.past_cuts_at(id)?))
}

/// That a house is held, after what is written of it all the same.
pub(super) fn while_held(house: &House, now: Moment) -> Option<String> {
    house.held_at(now).map(|held| format!("{} is {}", house.name, held.told(now)))
}

/// A variable of the environment that is set and not empty.
///
/// # Errors
/// One that is no UTF-8.
fn variable(name: &str) -> Result<Option<String>, CliError> {
    match env::var(name) {
        Ok(value) => Ok(Some(value).filter(|value| !value.is_empty())),
        Err(VarError::NotPresent) => Ok(None),
        Err(VarError::NotUnicode(_)) => Err(CliError::Usage(format!("{name}: not UTF-8 text; set it anew"))),
    }
}

/// What the system calls whoever is at the keyboard.
fn user() -> String {
    ["USER", "LOGNAME"]
        .into_iter()
        .find_map(|name| variable(name).ok()?)
        .unwrap_or_else(|| "builder".to_owned())
}

/// The time that was set for scripts, where one was.
fn set_time() -> Result<Option<Moment>, CliError> {
    let Some(text) = variable("SPANWRIGHT_NOW")? else { return Ok(None) };
    let now =
        args::moment(&text).map_err(|why| CliError::Usage(format!("SPANWRIGHT_NOW: \"{text}\" is {why}")))?;
    Ok(Some(now.trunc_subsecs(6)))
}

#[expect(clippy::disallowed_methods, reason = "the edge of the program reads the clock")]
fn wall_clock() -> Moment {
    Local::now().fixed_offset().trunc_subsecs(6)
}

/// The clock that the screen goes by: it stands still where the time was set.
pub(super) fn clock() -> impl Fn() -> Moment + Send + 'static {
    let set = set_time().ok().flatten();
    move || set.unwrap_or_else(wall_clock)
}
