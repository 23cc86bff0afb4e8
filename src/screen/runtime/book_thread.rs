//! The book, on a thread of its own: answers questions, keeps what is typed.

use std::collections::HashMap;
use std::iter;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::Duration;

use uuid::Uuid;

use super::Came;
use crate::book::{Book, BookError, Filter, HouseLine, NotKept, Stamp};
use crate::build::House;
use crate::build::draft::Draft;
use crate::build::house::FoldError;
use crate::screen::msg::{Answer, Left, Msg, Question};

/// How long the book lies idle before it is looked whether another program
/// has written in it.
const LOOK: Duration = Duration::from_secs(1);

/// How many houses are told on each side of the chosen one: more than a wide
/// screen shows, so that a step to the next needs no question.
const NEIGHBOURS: usize = 12;

/// Where in the book it is kept where the screen was.
const LEFT: &str = "screen";

/// What the book is to do.
#[derive(Debug)]
pub enum Job {
    /// Answer.
    Ask {
        /// The question's number.
        asked: u64,
        /// The question.
        question: Question,
    },
    /// Keep.
    Keep {
        /// The house; all of them, or a new one, where none is named.
        house: Option<Uuid>,
        /// What is to be written.
        draft: Draft,
        /// When, and who says so.
        stamp: Stamp,
    },
    /// Remember where it was left.
    Remember(Left),
}

/// Why a question has no answer.
#[derive(Debug, thiserror::Error)]
enum Unanswered {
    #[error(transparent)]
    Book(#[from] BookError),
    #[error(transparent)]
    House(#[from] FoldError),
}

/// Does jobs until there will be no more.
pub fn serve(book: Book, jobs: &Receiver<Job>, tell: &Sender<Came>) {
    let mut clerk = Clerk { book, tell, folded: HashMap::new(), readable: true };
    loop {
        match jobs.recv_timeout(LOOK) {
            Ok(first) => clerk.work(iter::once(first).chain(jobs.try_iter()).collect()),
            Err(RecvTimeoutError::Timeout) => clerk.look(),
            Err(RecvTimeoutError::Disconnected) => return,
        }
    }
}

struct Clerk<'a> {
    book: Book,
    tell: &'a Sender<Came>,
    /// Houses that were told and are still so.
    folded: HashMap<Uuid, Arc<House>>,
    /// Whether the last look succeeded: what fails every second is told once.
    readable: bool,
}

impl Clerk<'_> {
    fn work(&mut self, jobs: Vec<Job>) {
        self.look();
        // Only the last question still counts.
        let last = jobs.iter().rposition(|job| matches!(job, Job::Ask { .. }));
        for (place, job) in jobs.into_iter().enumerate() {
            match job {
                Job::Ask { asked, question } if Some(place) == last => self.answer(asked, question),
                Job::Ask { .. } => {}
                Job::Keep { house, draft, stamp } => self.keep(house, &draft, &stamp),
                Job::Remember(left) => self.remember(&left),
            }
        }
    }

    fn say(&self, msg: Msg) {
        // Where nobody listens, the screen was left: there is only keeping to do.
        let _ = self.tell.send(Came::Msg(msg));
    }

    /// Looks whether another program has written in the book.
    fn look(&mut self) {
        match self.book.changed() {
            Ok(changed) => {
                self.readable = true;
                if changed {
                    self.folded.clear();
                    self.say(Msg::Changed);
                }
            }
            Err(e) => {
                if std::mem::replace(&mut self.readable, false) {
                    self.say(Msg::Failed(e.to_string()));
                }
            }
        }
    }

    fn keep(&mut self, house: Option<Uuid>, draft: &Draft, stamp: &Stamp) {
        let said = match self.book.keep_draft(house, draft, stamp) {
            Ok(kept) => {
                self.folded.clear();
                Msg::Kept(Ok(kept))
            }
            Err(NotKept::Refused(refused)) => Msg::Kept(Err(refused)),
            Err(e @ (NotKept::House(_) | NotKept::Book(_))) => Msg::Failed(e.to_string()),
        };
        self.say(said);
    }

    fn remember(&mut self, left: &Left) {
        let Ok(text) = serde_json::to_string(left) else { return };
        if let Err(e) = self.book.leave(LEFT, &text) {
            self.say(Msg::Failed(e.to_string()));
        }
    }

    fn answer(&mut self, asked: u64, question: Question) {
        let answer = match question {
            Question::Row { around } => self.row(around),
            Question::House(id) => {
                self.house(id).and_then(|house| Ok(Answer::House { house, houses: self.all_houses()? }))
            }
            Question::DayBook(filter) => self.day_book(filter).map_err(Unanswered::Book),
            Question::Left => self.left().map(Answer::Left).map_err(Unanswered::Book),
        };
        self.say(match answer {
            Ok(answer) => Msg::Told { asked, answer },
            Err(e) => Msg::Failed(e.to_string()),
        });
    }

    fn all_houses(&self) -> Result<Vec<HouseLine>, BookError> {
        self.book.houses(None, u32::MAX)
    }

    fn row(&mut self, around: Option<Uuid>) -> Result<Answer, Unanswered> {
        let lines = self.all_houses()?;
        let at = around.and_then(|id| lines.iter().position(|line| line.id == id)).unwrap_or(0);
        let near = lines.iter().skip(at.saturating_sub(NEIGHBOURS)).take(2 * NEIGHBOURS + 1);
        let mut drawn = Vec::new();
        for line in near {
            match self.house(line.id) {
                Ok(house) => drawn.push(house),
                // One house that cannot be told does not hide the others.
                Err(e @ Unanswered::House(_)) => self.say(Msg::Failed(e.to_string())),
                Err(e) => return Err(e),
            }
        }
        self.folded = drawn.iter().map(|house| (house.id, Arc::clone(house))).collect();
        Ok(Answer::Row { lines, drawn })
    }

    fn house(&mut self, id: Uuid) -> Result<Arc<House>, Unanswered> {
        if let Some(house) = self.folded.get(&id) {
            return Ok(Arc::clone(house));
        }
        let house = Arc::new(House::of(id, &self.book.entries_of(Some(id))?)?);
        self.folded.insert(id, Arc::clone(&house));
        Ok(house)
    }

    fn day_book(&self, filter: Filter) -> Result<Answer, BookError> {
        let (page, older) = (filter.limit, filter.before.is_some());
        // One more than is shown tells whether there are more.
        let mut lines = self.book.log(&Filter { limit: page.saturating_add(1), ..filter })?;
        let page = usize::try_from(page).unwrap_or(usize::MAX);
        let more = lines.len() > page;
        lines.truncate(page);
        Ok(Answer::DayBook { lines, more, older, houses: self.all_houses()? })
    }

    /// Where the book was left; what cannot be read counts as nothing.
    fn left(&self) -> Result<Option<Left>, BookError> {
        Ok(self.book.left(LEFT)?.and_then(|text| serde_json::from_str(&text).ok()))
    }
}
