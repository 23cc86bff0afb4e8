//! All that the screen knows. `update` changes it, `view` draws it.

mod crews;
mod daybook;
mod pieces;
mod row;

use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

use uuid::Uuid;

pub use crews::CrewsShown;
pub use daybook::DayBookPage;
pub use pieces::{PiecesPage, PiecesTold};
pub use row::RowPage;

use super::form::Form;
use super::keys::Place;
use super::look::Meaning;
use super::msg::{Effect, Left, Msg, Question};
use super::stores::{StoresPage, Sum};
use crate::book::{DaysTold, HouseLine, Were};
use crate::build::Moment;
use crate::build::entry::{PointName, Wood};
use crate::build::house::{From, House, State};
use crate::build::stage::PointKind;

/// The state of the screen.
#[derive(Debug)]
pub struct Model {
    /// The page that is open.
    pub page: Page,
    /// The form that lies over it.
    pub form: Option<Form>,
    /// The help that lies over it, by its first line.
    pub help: Option<usize>,
    /// Where the work was, as it lies over the page, by its first line.
    pub were: Option<(Arc<Were>, usize)>,
    /// The sum that lies over it.
    pub sum: Option<Sum>,
    /// The number of the last question.
    pub asked: u64,
    /// What is told at the foot until the next key.
    pub notice: Option<Notice>,
    /// Who writes.
    pub by: String,
    /// The time of the last message.
    pub now: Moment,
    /// What was kept last at this sitting.
    pub last_kept: Option<LastKept>,
    /// What was typed and pasted while the book was keeping something; it is
    /// not lost.
    pub waiting: VecDeque<Msg>,
    /// Whether where the book was left has been asked and answered.
    pub opened: bool,
    /// The days as they were planned last.
    pub planned: Option<Arc<DaysTold>>,
    /// Whether the days are to be planned anew.
    pub plan_wanted: bool,
}

/// What was kept last: all that was kept together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastKept {
    /// The entries.
    pub entries: Vec<Uuid>,
    /// The house they are about.
    pub house: Option<Uuid>,
    /// In words.
    pub says: String,
}

/// Something told at the foot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// The words.
    pub text: String,
    /// What they mean.
    pub meaning: Meaning,
}

/// A page and what belongs to it alone.
#[derive(Debug)]
pub enum Page {
    /// The row of houses.
    Row(RowPage),
    /// A house.
    House(HousePage),
    /// The day book.
    DayBook(DayBookPage),
    /// The stores.
    Stores(StoresPage),
    /// The days.
    Days(DaysPage),
    /// Poles to pieces.
    Pieces(PiecesPage),
    /// What holds of a house.
    Holds(HoldsPage),
}

/// What holds of a house.
#[derive(Debug)]
pub struct HoldsPage {
    /// Which house.
    pub id: Uuid,
    /// What it is, once the book has answered.
    pub house: Option<Arc<House>>,
    /// The gust that is tried, m/s, in place of the brief's.
    pub gust_m_s: Option<f64>,
    /// The first line that is shown.
    pub scroll: usize,
    /// Where the house's page was left.
    pub left: Left,
}

/// A house.
#[derive(Debug)]
pub struct HousePage {
    /// Which.
    pub id: Uuid,
    /// What it is, once the book has answered.
    pub house: Option<Arc<House>>,
    /// Every house of the book, for their names.
    pub houses: Vec<HouseLine>,
    /// The kinds of tree with permits.
    pub trees: Vec<String>,
    /// The open stage, by its place.
    pub stage: usize,
    /// The chosen line: a point's or an item's id.
    pub line: String,
    /// Whether the steps and cautions are shown instead of the points.
    pub how: bool,
    /// The stages whose steps have been folded away.
    pub folded: BTreeSet<usize>,
    /// The first line of the steps that is shown.
    pub scroll: usize,
    /// What to choose once the house is there.
    pub left: Option<Left>,
    /// Where to go once the house is told anew.
    pub seek: Option<Seek>,
}

/// Where to go on a house's page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seek {
    /// To the first unread point of the open stage.
    Unread,
    /// To the first point that is to be read again, on whatever stage.
    Again,
}

/// The start of an item's line id, which keeps items and points apart.
pub const ITEM: &str = "item:";

impl HousePage {
    /// A page that waits for its house.
    #[must_use]
    pub fn new(id: Uuid, left: Option<Left>) -> Self {
        Self {
            id,
            house: None,
            houses: Vec::new(),
            trees: Vec::new(),
            stage: 0,
            line: String::new(),
            how: true,
            folded: BTreeSet::new(),
            scroll: 0,
            left,
            seek: None,
        }
    }

    /// The lines that can be chosen: points first, then items.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let Some(now) = self.house.as_ref().and_then(|h| h.stages.get(self.stage)) else { return Vec::new() };
        let points = now.points.iter().map(|p| p.point.id.clone());
        let items = now.items.iter().map(|i| format!("{ITEM}{}", i.need.item));
        points.chain(items).collect()
    }

    /// The place of the chosen line.
    #[must_use]
    pub fn index(&self) -> usize {
        self.lines().iter().position(|l| *l == self.line).unwrap_or(0)
    }

    /// The slope whose rows are chosen, `ab` or `cd`.
    #[must_use]
    pub fn slope(&self) -> Option<&str> {
        let now = self.house.as_ref()?.stages.get(self.stage)?;
        self.line.strip_prefix("rows-").filter(|_| now.stage.id == "thatch" && !self.how)
    }

    /// Whether the chosen line is a point that yes or no is said to.
    #[must_use]
    pub fn asks_yes_or_no(&self) -> bool {
        let now = self.house.as_ref().and_then(|house| house.stages.get(self.stage));
        let chosen = now.filter(|_| !self.how).and_then(|now| now.point(&self.line));
        chosen.is_some_and(|p| p.point.kind == PointKind::YesNo && p.from != From::Derived)
    }

    /// Opens a stage at the line that asks for a hand, or at a given one.
    pub fn open(&mut self, stage: usize, line: Option<&str>) {
        let Some(house) = &self.house else { return };
        self.stage = stage.min(house.stages.len().saturating_sub(1));
        self.scroll = 0;
        let Some(now) = house.stages.get(self.stage) else { return };
        let again = now.points.iter().find(|p| p.asks_again());
        let unread = again
            .or_else(|| now.points.iter().find(|p| p.value.is_none() && p.from != From::Derived))
            .or_else(|| now.points.first());
        let lines = self.lines();
        self.line = line
            .filter(|l| lines.iter().any(|known| known == l))
            .map(str::to_owned)
            .or_else(|| unread.map(|p| p.point.id.clone()))
            .unwrap_or_default();
        let begun = now.points.iter().any(|p| p.reading.is_some())
            || matches!(now.state, State::Signed | State::Doubtful);
        self.how = !begun && !self.folded.contains(&self.stage);
    }

    /// Goes to a point, wherever it stands on the ladder.
    pub fn go_to(&mut self, name: &PointName) {
        let stages = self.house.as_ref().map(|house| house.stages.as_slice()).unwrap_or_default();
        if let Some(stage) = stages.iter().position(|s| s.stage.id == name.stage) {
            self.stage = stage;
            self.line.clone_from(&name.point);
            self.how = false;
        }
    }

    /// Takes in the house as the book tells it, keeping what is chosen.
    pub fn take(&mut self, house: Arc<House>) {
        let first = self.house.is_none();
        let in_hand = house.stages.iter().position(|s| std::ptr::eq(s, house.in_hand())).unwrap_or(0);
        let again = if self.seek == Some(Seek::Again) { house.read_again() } else { Vec::new() };
        self.house = Some(house);
        match self.seek.take().filter(|_| !first) {
            Some(Seek::Unread) => return self.open(self.stage, None),
            Some(Seek::Again) => {
                if let Some(next) = again.first() {
                    return self.go_to(&next.point);
                }
            }
            None => {}
        }
        if !first {
            let lines = self.lines();
            if !lines.contains(&self.line) {
                self.line = lines.first().cloned().unwrap_or_default();
            }
            return;
        }
        match self.left.take() {
            Some(left) => {
                let stage = self
                    .house
                    .as_ref()
                    .and_then(|h| h.stages.iter().position(|s| s.stage.id == left.stage))
                    .unwrap_or(in_hand);
                self.open(stage, Some(&left.line));
                self.how = !left.folded && self.how;
                if left.folded {
                    self.folded.insert(stage);
                }
            }
            None => self.open(in_hand, None),
        }
    }
}

/// The days of all houses.
#[derive(Debug, Default)]
pub struct DaysPage {
    /// The house from which it was opened.
    pub from: Option<Uuid>,
    /// The chosen house.
    pub chosen: Option<Uuid>,
    /// By how many weeks the calendar is turned on.
    pub week: u16,
    /// The list of crews, rates and closed days, where it lies over the days.
    pub crews: Option<CrewsShown>,
    /// The crews whose day was told at this sitting.
    pub told: Vec<String>,
}

impl Model {
    /// The screen before the book has answered anything.
    #[must_use]
    pub fn new(by: String, now: Moment) -> Self {
        Self {
            page: Page::Row(RowPage::default()),
            form: None,
            help: None,
            were: None,
            sum: None,
            asked: 0,
            notice: None,
            by,
            now,
            last_kept: None,
            waiting: VecDeque::new(),
            opened: false,
            planned: None,
            plan_wanted: true,
        }
    }

    /// What is done first: where was the book left?
    pub fn begin(&mut self) -> Vec<Effect> {
        vec![self.ask(Question::Left(self.now))]
    }

    /// Asks the book; an answer to an earlier question no longer counts.
    pub fn ask(&mut self, question: Question) -> Effect {
        self.asked += 1;
        Effect::Ask { asked: self.asked, question }
    }

    /// What is asked for the stores.
    #[must_use]
    pub fn stores_question(&self) -> Question {
        Question::Stores { today: self.now.date_naive(), planned: self.planned.clone() }
    }

    /// Asks for what the open page shows.
    pub fn reload(&mut self) -> Effect {
        self.plan_wanted = true;
        let question = match &self.page {
            Page::Row(row) => Question::Row { around: row.chosen },
            Page::House(page) => Question::House(page.id),
            Page::DayBook(page) => Question::DayBook(page.filter(false)),
            Page::Stores(_) => self.stores_question(),
            Page::Days(_) => return Effect::Plan(self.now),
            Page::Pieces(page) => Question::Pieces(page.house),
            Page::Holds(page) => Question::House(page.id),
        };
        self.ask(question)
    }

    /// Whether the book is keeping what the form says.
    #[must_use]
    pub fn is_keeping(&self) -> bool {
        self.form.as_ref().is_some_and(|f| f.keeping)
    }

    /// Where keys go just now.
    #[must_use]
    pub const fn place(&self) -> Place {
        if self.were.is_some() {
            return Place::Were;
        }
        if self.help.is_some() || self.sum.is_some() {
            return Place::Help;
        }
        match &self.form {
            Some(form) if form.is_long() => return Place::Brief,
            Some(form) if form.only_tells() => return Place::Help,
            Some(_) => return Place::Form,
            None => {}
        }
        match &self.page {
            Page::Row(_) => Place::Row,
            Page::House(_) => Place::House,
            Page::DayBook(_) => Place::DayBook,
            Page::Stores(_) => Place::Stores,
            Page::Days(page) if page.crews.is_some() => Place::Crews,
            Page::Days(_) => Place::Days,
            Page::Pieces(_) => Place::Pieces,
            Page::Holds(_) => Place::Holds,
        }
    }

    /// Where the book would open again.
    #[must_use]
    pub fn left(&self) -> Left {
        match &self.page {
            Page::Row(row) => Left { page: "row".to_owned(), house: row.chosen, ..Left::default() },
            Page::House(page) => Left {
                page: "house".to_owned(),
                house: Some(page.id),
                stage: page
                    .house
                    .as_ref()
                    .and_then(|h| h.stages.get(page.stage))
                    .map(|s| s.stage.id.to_owned())
                    .unwrap_or_default(),
                line: page.line.clone(),
                folded: !page.how,
            },
            Page::DayBook(page) => Left { page: "day book".to_owned(), house: page.house, ..Left::default() },
            Page::Stores(page) => Left { page: "stores".to_owned(), house: page.from, ..Left::default() },
            Page::Days(page) => Left { page: "days".to_owned(), house: page.chosen, ..Left::default() },
            Page::Pieces(page) => {
                Left { page: "pieces".to_owned(), house: Some(page.house), ..Left::default() }
            }
            Page::Holds(page) => Left { page: "holds".to_owned(), ..page.left.clone() },
        }
    }

    /// Tells something at the foot.
    pub fn tell(&mut self, text: impl Into<String>, meaning: Meaning) {
        self.notice = Some(Notice { text: text.into(), meaning });
    }

    /// The kinds of wood the book was told, as any of its houses knows them.
    #[must_use]
    pub fn woods(&self) -> &[Wood] {
        let known = match &self.page {
            Page::Row(page) => page.drawn.first(),
            _ => self.house(),
        };
        known.map_or(&[], |house| house.told.woods.as_slice())
    }

    /// The house that is open.
    #[must_use]
    pub fn house(&self) -> Option<&Arc<House>> {
        match &self.page {
            Page::House(page) => page.house.as_ref(),
            Page::Holds(page) => page.house.as_ref(),
            _ => None,
        }
    }
}
