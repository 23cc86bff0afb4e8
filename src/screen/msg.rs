//! The whole vocabulary of the screen: what can happen, and what is to be
//! done about it.

use std::path::PathBuf;
use std::sync::Arc;

use chrono::NaiveDate;
use crossterm::event::KeyEvent;
use uuid::Uuid;

use super::model::PiecesTold;
use crate::book::{DaysTold, Filter, HouseLine, Kept, LogLine, Were};
use crate::build::accept::Refused;
use crate::build::draft::Draft;
use crate::build::entry::{Item, TieDown};
use crate::build::held::Held;
use crate::build::permit::Ledger;
use crate::build::stores::Row;
use crate::build::{House, Moment};

/// Something happened.
#[derive(Debug, Clone)]
pub enum Msg {
    /// A key was pressed.
    Key(KeyEvent),
    /// Text was pasted.
    Pasted(String),
    /// Something that was drawn was pressed with the mouse.
    Pressed(Target),
    /// The wheel was turned: -1 up, 1 down.
    Wheel(i8),
    /// The window has a new size.
    Resized,
    /// A text was shown from this line: beyond its end there is nothing.
    ShownFrom(usize),
    /// The book answered a question.
    Told {
        /// The question's number.
        asked: u64,
        /// The answer.
        answer: Answer,
    },
    /// The book kept what was asked, or would not.
    Kept(Result<Kept, Vec<Refused>>),
    /// The book could not keep what was asked: why, and what to do.
    NotKept(String),
    /// Another book was taken in: what was new, in words.
    TakenIn(Vec<String>),
    /// The book could not be used: what, and what to do.
    Failed(String),
    /// The days were planned, or could not be: why.
    Planned(Result<Arc<DaysTold>, String>),
    /// Another program wrote in the book.
    Changed,
    /// The program was told to end (a signal).
    End,
    /// The program is in the foreground again.
    Woken,
}

/// Something on the screen that can be pressed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// A house in the row.
    House(Uuid),
    /// A stage on the ladder, by its place.
    Stage(usize),
    /// A line of the page, by its place in the list.
    Line(usize),
    /// An entry in the day book.
    Entry(Uuid),
    /// A field of the form.
    Field(usize),
    /// A key of the foot line.
    Key(crossterm::event::KeyCode),
}

/// What the book answers.
#[derive(Debug, Clone)]
pub enum Answer {
    /// The row of houses: all of their names, and those that are to be drawn.
    Row {
        /// Every house, in the order they were started.
        lines: Vec<HouseLine>,
        /// The houses that are drawn.
        drawn: Vec<Arc<House>>,
        /// The holds of all houses.
        holds: Vec<Held>,
        /// What was made fast at all houses, and when.
        tied: Vec<(Moment, TieDown)>,
    },
    /// One house, and every house for their names.
    House {
        /// The house.
        house: Arc<House>,
        /// Every house.
        houses: Vec<HouseLine>,
        /// The kinds of tree with permits.
        trees: Vec<String>,
    },
    /// The stores.
    Stores {
        /// Every item.
        rows: Vec<Row>,
        /// The permits, by the kind of tree.
        ledgers: Vec<(String, Ledger)>,
        /// Every house.
        houses: Vec<HouseLine>,
    },
    /// The sum behind what a house needs of an item, as of a day.
    Sum {
        /// What it is the sum of.
        title: String,
        /// The sum.
        lines: Vec<String>,
    },
    /// A page of the day book.
    DayBook {
        /// The lines, newest first.
        lines: Vec<LogLine>,
        /// Whether there are older ones.
        more: bool,
        /// Whether these go below the lines that are there.
        older: bool,
        /// Every house, for names.
        houses: Vec<HouseLine>,
    },
    /// Which poles to cut into which pieces.
    Pieces(PiecesTold),
    /// Where the book was left.
    Left {
        /// Where; nothing where it never was.
        left: Option<Left>,
        /// Where the work was, where that is to be told first.
        were: Option<Arc<Were>>,
    },
}

/// What is asked of the book.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// The row of houses around one of them.
    Row {
        /// The house that must be drawn; the first where none is known.
        around: Option<Uuid>,
    },
    /// One house.
    House(Uuid),
    /// The stores, as they are on a day.
    Stores {
        /// The day today.
        today: NaiveDate,
        /// The days as they were planned last.
        planned: Option<Arc<DaysTold>>,
    },
    /// The sum behind what a house needs of an item, as of a day.
    Sum(Uuid, Item, NaiveDate),
    /// A page of the day book.
    DayBook(Filter),
    /// Which poles to cut into which pieces at a house.
    Pieces(Uuid),
    /// Where the book was left, asked at a moment.
    Left(Moment),
}

/// Where the book was left.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Left {
    /// The page: row, house, pieces, day book or days.
    pub page: String,
    /// The house.
    pub house: Option<Uuid>,
    /// The stage.
    pub stage: String,
    /// The line, by the id of its point or item.
    pub line: String,
    /// Whether the steps are folded away.
    pub folded: bool,
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Ask the book.
    Ask {
        /// The question's number; it only grows.
        asked: u64,
        /// The question.
        question: Question,
    },
    /// Keep an entry.
    Keep {
        /// The house; all of them, or a new one, where none is named.
        house: Option<Uuid>,
        /// What is to be written.
        draft: Draft,
        /// Who says so.
        by: String,
        /// When it happened.
        at: Moment,
    },
    /// Plan the days from a moment on.
    Plan(Moment),
    /// Take in another book.
    TakeIn {
        /// Its file.
        other: PathBuf,
    },
    /// Remember where the book was left.
    Remember(Left),
    /// Keep that it was seen where the work was, up to an entry.
    Saw(Uuid),
    /// Give the terminal back and stop, until woken.
    Suspend,
    /// Draw everything anew.
    Redraw,
    /// Leave the program.
    Leave {
        /// The exit status.
        status: u8,
    },
}
