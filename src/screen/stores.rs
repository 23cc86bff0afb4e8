//! What the page of the stores knows.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use uuid::Uuid;

use crate::book::HouseLine;
use crate::build::entry::Item;
use crate::build::permit::{LeaveNow, Ledger, Past};
use crate::build::stores::{AtHouse, Row};

/// A sum in lines, shown over the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sum {
    /// What it is the sum of.
    pub title: String,
    /// The sum.
    pub lines: Vec<String>,
    /// The first line that is shown.
    pub from: usize,
}

/// A line of the page that can be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// An item over all houses.
    Item(Item),
    /// An item at one house.
    House(Item, Uuid),
    /// A permit.
    Permit(Uuid),
    /// A cut past the permits.
    Past(Uuid),
}

/// The stores.
#[derive(Debug, Default)]
pub struct StoresPage {
    /// The house the page was opened from.
    pub from: Option<Uuid>,
    /// Every item.
    pub rows: Vec<Row>,
    /// The permits, by the kind of tree.
    pub ledgers: Vec<(String, Ledger)>,
    /// Every house, for their names.
    pub houses: Vec<HouseLine>,
    /// The chosen line.
    pub chosen: Option<Line>,
    /// The items whose houses are shown.
    pub open: BTreeSet<Item>,
    /// Whether only what must come within a week is shown.
    pub this_week: bool,
    /// The day on which the page was told.
    pub today: NaiveDate,
    /// Whether the book has answered.
    pub loaded: bool,
}

impl StoresPage {
    /// A page that waits for its answer.
    #[must_use]
    pub fn new(from: Option<Uuid>) -> Self {
        Self { from, ..Self::default() }
    }

    /// The lines, from the top.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        let shown = |row: &&Row| !self.this_week || row.bites_within_a_week(self.today);
        let mut lines = Vec::new();
        for row in self.rows.iter().filter(shown) {
            lines.push(Line::Item(row.item));
            if self.open.contains(&row.item) {
                let shown = |at: &&AtHouse| !self.this_week || at.bites_within_a_week(self.today);
                let houses = row.houses.iter().filter(shown);
                lines.extend(houses.map(|at| Line::House(row.item, at.house)));
            }
        }
        for (_, ledger) in &self.ledgers {
            lines.extend(ledger.leaves.iter().map(|now| Line::Permit(now.leave.id)));
            lines.extend(ledger.past.iter().map(|past| Line::Past(past.cut.id)));
        }
        lines
    }

    /// The place of the chosen line.
    #[must_use]
    pub fn index(&self) -> usize {
        let lines = self.lines();
        let place = |line: Line| lines.iter().position(|l| *l == line);
        match self.chosen {
            // A house that is no longer shown leaves its item chosen.
            Some(Line::House(item, house)) => {
                place(Line::House(item, house)).or_else(|| place(Line::Item(item))).unwrap_or(0)
            }
            Some(line) => place(line).unwrap_or(0),
            None => 0,
        }
    }

    /// The line that is chosen now.
    #[must_use]
    pub fn line(&self) -> Option<Line> {
        self.lines().get(self.index()).copied()
    }

    /// An item.
    #[must_use]
    pub fn row(&self, item: Item) -> Option<&Row> {
        self.rows.iter().find(|row| row.item == item)
    }

    /// An item at a house.
    #[must_use]
    pub fn at_house(&self, item: Item, house: Uuid) -> Option<(&Row, &AtHouse)> {
        let row = self.row(item)?;
        Some((row, row.houses.iter().find(|at| at.house == house)?))
    }

    /// The item and the house that the chosen line is about; of an item over
    /// all houses the one that lacks it first, else the one the page was opened
    /// from, else the only one there is.
    #[must_use]
    pub fn meant(&self) -> Option<(&Row, &AtHouse)> {
        match self.line()? {
            Line::Item(item) => {
                let row = self.row(item)?;
                let lacks = row.houses.first().filter(|at| at.short > 0.0);
                let from = || row.houses.iter().find(|at| Some(at.house) == self.from);
                let only = || row.houses.first().filter(|_| row.houses.len() == 1);
                Some((row, lacks.or_else(from).or_else(only)?))
            }
            Line::House(item, house) => self.at_house(item, house),
            Line::Permit(_) | Line::Past(_) => None,
        }
    }

    /// The chosen item, and the first house that takes it.
    #[must_use]
    pub fn first(&self) -> Option<(&Row, &AtHouse)> {
        let Line::Item(item) = self.line()? else { return None };
        let row = self.row(item)?;
        Some((row, row.houses.first()?))
    }

    /// A permit.
    #[must_use]
    pub fn permit(&self, id: Uuid) -> Option<&LeaveNow> {
        self.ledgers.iter().flat_map(|(_, ledger)| &ledger.leaves).find(|now| now.leave.id == id)
    }

    /// A cut past the permits, and its tree.
    #[must_use]
    pub fn past(&self, id: Uuid) -> Option<(&str, &Past)> {
        let all = self.ledgers.iter().flat_map(|(tree, l)| l.past.iter().map(move |p| (tree.as_str(), p)));
        all.into_iter().find(|(_, past)| past.cut.id == id)
    }

    /// The kinds of tree with permits.
    #[must_use]
    pub fn trees(&self) -> Vec<String> {
        self.ledgers.iter().map(|(tree, _)| tree.clone()).collect()
    }

    /// The name of a house.
    #[must_use]
    pub fn name(&self, id: Uuid) -> String {
        self.houses.iter().find(|h| h.id == id).map_or_else(|| id.to_string(), |h| h.name.clone())
    }
}
