//! Pages and keys, tried on a real book and a picture of the screen: what is
//! drawn, what each key does, what is kept.

mod acts;
mod ahead;
mod days;
mod holds;
mod pages;
mod pieces;
mod roof;
mod stops;
mod stores_page;
mod taking_in;

use std::fmt::Write as _;
use std::sync::Arc;

use chrono::{Duration, TimeZone, Utc};
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};
use uuid::Uuid;

use super::model::{Model, PiecesTold};
use super::msg::{Answer, Effect, Left, Msg, Question};
use super::pen::Drawn;
use super::update::update;
use super::view::view;
use crate::book::{Book, Filter, NotKept, Opening, Stamp};
use crate::build::brief::BriefText;
use crate::build::draft::Draft;
use crate::build::held::tied_of_all;
use crate::build::house::{From, holds_of_all};
use crate::build::pieces::Plans;
use crate::build::stage::{Goal, Point, PointKind};
use crate::build::stores;
use crate::build::{House, Moment};

/// A builder at a screen, with a book of their own. The clock steps a minute
/// with every entry.
pub(super) struct Sitting {
    folder: tempfile::TempDir,
    book: Book,
    pub model: Model,
    pub now: Moment,
    pub left: Option<Left>,
    pub ended: Option<u8>,
}

impl Sitting {
    /// At a book with nothing in it.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let book = Book::open(&folder.path().join("book.spanwright"), Opening::Create).unwrap();
        let now = Utc.with_ymd_and_hms(2030, 10, 14, 8, 0, 0).unwrap().fixed_offset();
        let model = Model::new("Oru".to_owned(), now);
        Self { folder, book, model, now, left: None, ended: None }
    }

    /// Opens the screen.
    pub fn open(mut self) -> Self {
        let todo = self.model.begin();
        self.carry_out(todo);
        self
    }

    /// Lets days go by before the screen is opened.
    pub fn days_later(mut self, days: i64) -> Self {
        self.now += Duration::days(days);
        self.model.now = self.now;
        self
    }

    /// Leaves and comes back: the same book, a new screen.
    pub fn back_again(self) -> Self {
        let path = self.folder.path().join("book.spanwright");
        let Self { folder, book, now, left, .. } = self;
        drop(book);
        let book = Book::open(&path, Opening::Existing).unwrap();
        Self { folder, book, model: Model::new("Oru".to_owned(), now), now, left, ended: None }.open()
    }

    /// Starts a house four of Oru's spans long, without the screen.
    pub fn house(&mut self, name: &str) -> Uuid {
        let mut said = BriefText::default();
        for (field, text) in [("owner", "Oru"), ("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp")] {
            said.say(field, text);
        }
        self.keep(None, &Draft::Start { name: name.to_owned(), said }).unwrap()
    }

    /// Another builder's copy of the book, as it is now.
    pub fn copied(&self) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("copy.spanwright");
        self.book.keep_copy(&path).unwrap();
        let book = Book::open(&path, Opening::Existing).unwrap();
        let model = Model::new("Tavi".to_owned(), self.now);
        Self { folder, book, model, now: self.now, left: None, ended: None }
    }

    /// The book's file.
    pub fn file(&self) -> String {
        self.book.path().display().to_string()
    }

    /// Keeps a draft, without the screen.
    pub fn keep(&mut self, house: Option<Uuid>, draft: &Draft) -> Result<Uuid, NotKept> {
        self.now += Duration::minutes(1);
        let stamp = Stamp { at: self.now, now: self.now, by: "Oru".to_owned() };
        self.book.keep_draft(house, draft, &stamp).map(|kept| kept.entry)
    }

    /// Reads a point, without the screen.
    pub fn read(&mut self, house: Uuid, point: &str, value: &str) {
        let draft = Draft::Reading {
            point: point.to_owned(),
            value: value.to_owned(),
            again: false,
            with: String::new(),
            whose: None,
            bare: None,
        };
        self.keep(Some(house), &draft).unwrap();
    }

    /// Reads a stage as it should be and signs it, without the screen.
    pub fn build(&mut self, house: Uuid, stages: &[&str]) {
        for stage in stages {
            let points = self.told(house).stage(stage).unwrap().points.clone();
            for p in points.iter().filter(|p| p.from != From::Derived) {
                self.read(house, &format!("{stage}/{}", p.point.id), &as_it_should_be(&p.point));
            }
            let sign = Draft::Sign { stage: (*stage).to_owned(), remark: String::new() };
            self.keep(Some(house), &sign).unwrap();
        }
    }

    /// What the book tells of a house.
    pub fn told(&self, house: Uuid) -> House {
        let told = House::of(house, &self.book.entries_of(Some(house)).unwrap()).unwrap();
        told.with_past_cuts(self.book.past_cuts_at(house).unwrap())
    }

    /// How many readings of a point are in the book.
    pub fn told_of(&self, point: &str) -> usize {
        let filter = Filter { text: Some(point.to_owned()), ..Filter::default() };
        self.book.log(&filter).unwrap().len()
    }

    /// Takes a message, and does what comes of it.
    pub fn take(&mut self, msg: Msg) {
        let todo = update(&mut self.model, msg, self.now);
        self.carry_out(todo);
    }

    /// Presses a key.
    pub fn press(&mut self, code: KeyCode) -> &mut Self {
        self.take(Msg::Key(KeyEvent::new(code, KeyModifiers::NONE)));
        self
    }

    /// Presses a key with Ctrl.
    pub fn ctrl(&mut self, letter: char) -> &mut Self {
        self.take(Msg::Key(KeyEvent::new(KeyCode::Char(letter), KeyModifiers::CONTROL)));
        self
    }

    /// Types a text.
    pub fn type_in(&mut self, text: &str) -> &mut Self {
        for c in text.chars() {
            self.press(KeyCode::Char(c));
        }
        self
    }

    fn carry_out(&mut self, todo: Vec<Effect>) {
        for effect in todo {
            match effect {
                Effect::Ask { asked, question } => {
                    let answer = self.answer(question);
                    self.take(Msg::Told { asked, answer });
                }
                Effect::Keep { house, draft, by, at: _ } => {
                    self.now += Duration::minutes(1);
                    let stamp = Stamp { at: self.now, now: self.now, by };
                    let said = match self.book.keep_draft(house, &draft, &stamp) {
                        Ok(kept) => Msg::Kept(Ok(kept)),
                        Err(NotKept::Refused(refused)) => Msg::Kept(Err(refused)),
                        Err(other) => Msg::NotKept(other.to_string()),
                    };
                    self.take(said);
                }
                Effect::Plan(at) => {
                    let planned = self.book.days(at).unwrap().plan();
                    self.take(Msg::Planned(planned.map(Arc::new).map_err(|e| e.to_string())));
                }
                Effect::TakeIn { other } => {
                    let merged = self.book.merge(&other);
                    let names = self.book.names().unwrap();
                    self.take(match merged {
                        Ok(merged) => Msg::TakenIn(merged.in_words(&names)),
                        Err(e) => Msg::NotKept(e.to_string()),
                    });
                }
                Effect::Remember(left) => self.left = Some(left),
                Effect::Saw(upto) => self.book.saw_where_we_were(upto).unwrap(),
                Effect::Leave { status } => self.ended = Some(status),
                Effect::Suspend | Effect::Redraw => {}
            }
        }
    }

    fn answer(&self, question: Question) -> Answer {
        let lines = self.book.houses(None, 1000).unwrap();
        match question {
            Question::Row { .. } => {
                let drawn = lines.iter().map(|l| Arc::new(self.told(l.id))).collect();
                let of_all = self.book.entries_of(None).unwrap();
                let (holds, tied) = (holds_of_all(&of_all), tied_of_all(&of_all));
                Answer::Row { lines, drawn, holds, tied }
            }
            Question::House(id) => {
                let trees = self.book.permitted_trees().unwrap();
                Answer::House { house: Arc::new(self.told(id)), houses: lines, trees }
            }
            Question::Stores { today, planned } => {
                let (houses, _) = self.book.glances().unwrap();
                let rows = stores::of(&houses, |h, stage| {
                    stores::reached(h, stage, planned.as_ref().map(|p| &p.now), today)
                });
                Answer::Stores { rows, ledgers: self.book.ledgers().unwrap(), houses: lines }
            }
            Question::Sum(id, item, today) => {
                let lines = stores::sum(&self.told(id), item, today);
                Answer::Sum { title: item.to_string(), lines }
            }
            Question::DayBook(filter) => {
                let (older, page) = (filter.before.is_some(), filter.limit as usize);
                let told = self.book.log(&filter).unwrap();
                Answer::DayBook { more: told.len() == page, lines: told, older, houses: lines }
            }
            Question::Pieces(id) => {
                let house = Arc::new(self.told(id));
                let plans = Arc::new(Plans::of(&house));
                Answer::Pieces(PiecesTold { house, plans, houses: lines })
            }
            Question::Left(now) => {
                let were = self.book.where_to_begin(now).unwrap().map(Arc::new);
                Answer::Left { left: self.left.clone(), were }
            }
        }
    }

    /// The screen at a size.
    pub fn drawn(&self, wide: u16, high: u16) -> (Buffer, Drawn) {
        let mut buf = Buffer::empty(Rect::new(0, 0, wide, high));
        let drawn = view(&self.model, &mut buf);
        (buf, drawn)
    }

    /// The text of the screen, and below it the marks of its styles.
    pub fn picture(&self, wide: u16, high: u16) -> String {
        let (buf, drawn) = self.drawn(wide, high);
        let mut text = String::new();
        for y in 0..high {
            let row: String = (0..wide).map(|x| buf[(x, y)].symbol()).collect();
            let marks: String = (0..wide).map(|x| mark(&buf, x, y)).collect();
            writeln!(text, "{}", row.trim_end()).unwrap();
            if !marks.trim().is_empty() {
                writeln!(text, "{}", marks.trim_end()).unwrap();
            }
        }
        if let Some(at) = drawn.cursor {
            writeln!(text, "cursor at {},{}", at.x, at.y).unwrap();
        }
        text
    }

    /// The text of the screen alone, at 80x24.
    pub fn text(&self) -> String {
        let (buf, _) = self.drawn(80, 24);
        let rows = (0..24).map(|y| (0..80).map(|x| buf[(x, y)].symbol()).collect::<String>());
        rows.map(|r| r.trim_end().to_owned() + "\n").collect()
    }
}

/// One letter for the style of a cell that stands out: `r` reversed, `x` red,
/// `?` yellow, `h` cyan; bold and dim alone are left out.
fn mark(buf: &Buffer, x: u16, y: u16) -> char {
    let cell = &buf[(x, y)];
    if cell.modifier.contains(Modifier::REVERSED) {
        return 'r';
    }
    match cell.fg {
        Color::Red => 'x',
        Color::Yellow => '?',
        Color::Cyan => 'h',
        _ => ' ',
    }
}

/// What is called out where a point is as it should be.
pub(super) fn as_it_should_be(point: &Point) -> String {
    match (point.kind, point.goal) {
        (PointKind::YesNo, _) => "yes".to_owned(),
        (PointKind::Count, goal) => format!("{:.0}", goal.target().unwrap_or(1.0)),
        (PointKind::Angle, _) => "120".to_owned(),
        (_, Goal::Told { .. }) => "0.1 m".to_owned(),
        (PointKind::Signed | PointKind::Pair, goal) => {
            format!("{:+.1} mm", goal.target().unwrap_or(0.0) * 1000.0)
        }
        (_, Goal::NotLess { target }) => format!("{:.3} m", target + 0.002),
        (_, goal) => format!("{:.4} m", goal.target().unwrap_or(1.0)),
    }
}
