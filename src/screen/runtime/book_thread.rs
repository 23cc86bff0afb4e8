//! The book, on a thread of its own: answers questions, keeps what is typed.

use std::collections::HashMap;
use std::iter;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::Duration;

use chrono::NaiveDate;
use uuid::Uuid;

use super::Came;
use crate::book::{Book, BookError, DaysAsked, DaysTold, Filter, HouseLine, NotKept, Stamp};
use crate::build::draft::Draft;
use crate::build::held::tied_of_all;
use crate::build::house::{FoldError, holds_of_all};
use crate::build::pieces::Plans;
use crate::build::stores;
use crate::build::{House, Moment};
use crate::screen::model::PiecesTold;
use crate::screen::msg::{Answer, Left, Msg, Question};

/// How long the book lies idle before it is looked whether another program
/// has written in it.
const LOOK: Duration = Duration::from_secs(1);

/// How many houses are told on each side of the chosen one: more than a wide
/// screen shows, so that a step to the next needs no question.
const NEIGHBOURS: usize = 12;

/// How many of them are told before the others: as many as 80 columns show,
/// wherever among these the chosen one stands.
const IN_SIGHT: usize = 3;

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
    /// Tell what a plan of the days from a moment on needs.
    Plan(Moment),
    /// Take in another book.
    TakeIn {
        /// Its file.
        other: PathBuf,
    },
    /// Remember where it was left.
    Remember(Left),
    /// Keep that it was seen where the work was, up to an entry.
    Saw(Uuid),
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
pub fn serve(book: Book, jobs: &Receiver<Job>, tell: &Sender<Came>, plans: &Sender<DaysAsked>) {
    let mut clerk = Clerk { book, tell, plans, folded: HashMap::new(), readable: true };
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
    /// Where the days are planned.
    plans: &'a Sender<DaysAsked>,
    /// Houses that were told and are still so.
    folded: HashMap<Uuid, Arc<House>>,
    /// Whether the last look succeeded: what fails every second is told once.
    readable: bool,
}

impl Clerk<'_> {
    fn work(&mut self, jobs: Vec<Job>) {
        self.look();
        // Only the last question still counts.
        let mut plan = None;
        let last = jobs.iter().rposition(|job| matches!(job, Job::Ask { .. }));
        for (place, job) in jobs.into_iter().enumerate() {
            match job {
                Job::Ask { asked, question } if Some(place) == last => self.answer(asked, question),
                Job::Ask { .. } => {}
                Job::Keep { house, draft, stamp } => self.keep(house, &draft, &stamp),
                Job::Plan(at) => plan = Some(at),
                Job::TakeIn { other } => self.take_in(&other),
                Job::Remember(left) => self.remember(&left),
                Job::Saw(upto) => self.saw(upto),
            }
        }
        // Last, for it may take folding many houses.
        if let Some(now) = plan {
            self.plan(now);
        }
    }

    fn plan(&self, now: Moment) {
        match self.book.days(now) {
            // Where nobody plans, the screen was left.
            Ok(asked) => drop(self.plans.send(asked)),
            Err(e) => self.say(Msg::Planned(Err(e.to_string()))),
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
            Err(e @ (NotKept::House(_) | NotKept::Book(_))) => Msg::NotKept(e.to_string()),
        };
        self.say(said);
    }

    fn take_in(&mut self, other: &Path) {
        let taken = self.book.merge(other).and_then(|merged| Ok(merged.in_words(&self.book.names()?)));
        self.folded.clear();
        self.say(match taken {
            Ok(lines) => Msg::TakenIn(lines),
            Err(e) => Msg::NotKept(e.to_string()),
        });
    }

    fn remember(&mut self, left: &Left) {
        let Ok(text) = serde_json::to_string(left) else { return };
        if let Err(e) = self.book.leave(LEFT, &text) {
            self.say(Msg::Failed(e.to_string()));
        }
    }

    fn saw(&mut self, upto: Uuid) {
        if let Err(e) = self.book.saw_where_we_were(upto) {
            self.say(Msg::Failed(e.to_string()));
        }
    }

    fn answer(&mut self, asked: u64, question: Question) {
        let answer = match question {
            Question::Row { around } => self.row(asked, around),
            Question::House(id) => self.house(id).and_then(|house| {
                Ok(Answer::House { house, houses: self.all_houses()?, trees: self.book.permitted_trees()? })
            }),
            Question::Stores { today, planned } => self.stores(today, planned.as_deref()),
            Question::Sum(id, item, today) => self.house(id).map(|house| Answer::Sum {
                title: format!("{item} at {}", house.name),
                lines: stores::sum(&house, item, today),
            }),
            Question::DayBook(filter) => self.day_book(filter).map_err(Unanswered::Book),
            Question::Pieces(id) => self.pieces(id),
            Question::Left(now) => self.opening(now).map_err(Unanswered::Book),
        };
        self.say(match answer {
            Ok(answer) => Msg::Told { asked, answer },
            Err(e) => Msg::Failed(e.to_string()),
        });
    }

    fn all_houses(&self) -> Result<Vec<HouseLine>, BookError> {
        self.book.houses(None, u32::MAX)
    }

    /// The row around a house. Where that takes folding houses out of sight,
    /// what is in sight or folded already is told before.
    fn row(&mut self, asked: u64, around: Option<Uuid>) -> Result<Answer, Unanswered> {
        let lines = self.all_houses()?;
        let of_all = self.book.entries_of(None)?;
        let (holds, tied) = (holds_of_all(&of_all), tied_of_all(&of_all));
        let at = around.and_then(|id| lines.iter().position(|line| line.id == id)).unwrap_or(0);
        let from = at.saturating_sub(NEIGHBOURS);
        let near: Vec<&HouseLine> = lines.iter().skip(from).take(at + NEIGHBOURS + 1 - from).collect();
        let soon: Vec<&HouseLine> = (from..)
            .zip(&near)
            .filter(|(place, line)| place.abs_diff(at) <= IN_SIGHT || self.folded.contains_key(&line.id))
            .map(|(_, line)| *line)
            .collect();
        if soon.len() < near.len() {
            let drawn = self.drawn(&soon)?;
            let (lines, holds, tied) = (lines.clone(), holds.clone(), tied.clone());
            self.say(Msg::Told { asked, answer: Answer::Row { lines, drawn, holds, tied } });
        }
        let drawn = self.drawn(&near)?;
        self.folded = drawn.iter().map(|house| (house.id, Arc::clone(house))).collect();
        Ok(Answer::Row { lines, drawn, holds, tied })
    }

    /// Those of the houses that can be told.
    fn drawn(&mut self, lines: &[&HouseLine]) -> Result<Vec<Arc<House>>, Unanswered> {
        let mut drawn = Vec::new();
        for line in lines {
            match self.house(line.id) {
                Ok(house) => drawn.push(house),
                // One house that cannot be told does not hide the others.
                Err(e @ Unanswered::House(_)) => self.say(Msg::Failed(e.to_string())),
                Err(e) => return Err(e),
            }
        }
        Ok(drawn)
    }

    fn house(&mut self, id: Uuid) -> Result<Arc<House>, Unanswered> {
        if let Some(house) = self.folded.get(&id) {
            return Ok(Arc::clone(house));
        }
        let house = House::of(id, &self.book.entries_of(Some(id))?)?;
        let house = Arc::new(house.with_past_cuts(self.book.past_cuts_at(id)?));
        self.folded.insert(id, Arc::clone(&house));
        Ok(house)
    }

    fn stores(&self, today: NaiveDate, planned: Option<&DaysTold>) -> Result<Answer, Unanswered> {
        let (told, untold) = self.book.glances()?;
        for (_, error) in untold {
            self.say(Msg::Failed(error.to_string()));
        }
        let rows =
            stores::of(&told, |house, stage| stores::reached(house, stage, planned.map(|p| &p.now), today));
        Ok(Answer::Stores { rows, ledgers: self.book.ledgers()?, houses: self.all_houses()? })
    }

    fn pieces(&mut self, id: Uuid) -> Result<Answer, Unanswered> {
        let house = self.house(id)?;
        let plans = Arc::new(Plans::of(&house));
        Ok(Answer::Pieces(PiecesTold { house, plans, houses: self.all_houses()? }))
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

    /// Where the book was left, and where the work was.
    fn opening(&self, now: Moment) -> Result<Answer, BookError> {
        let (left, were) = (self.left()?, self.book.where_to_begin(now)?);
        Ok(Answer::Left { left, were: were.map(Arc::new) })
    }

    /// Where the book was left; what cannot be read counts as nothing.
    fn left(&self) -> Result<Option<Left>, BookError> {
        Ok(self.book.left(LEFT)?.and_then(|text| serde_json::from_str(&text).ok()))
    }
}

#[cfg(test)]
mod tests;
