//! The day book: its lines, and which of them are asked for.

use uuid::Uuid;

use crate::book::{Filter, HouseLine, LogLine};
use crate::build::entry::Kind;

/// The day book.
#[derive(Debug, Default)]
pub struct DayBookPage {
    /// Only this house's entries.
    pub house: Option<Uuid>,
    /// The lines, newest first.
    pub lines: Vec<LogLine>,
    /// Whether there are older ones.
    pub more: bool,
    /// Every house, for its name.
    pub houses: Vec<HouseLine>,
    /// The chosen entry.
    pub chosen: Option<Uuid>,
    /// Only entries of this kind.
    pub kind: Option<Kind>,
    /// Only entries by this person.
    pub by: Option<String>,
    /// Only entries with these words.
    pub text: String,
    /// Whether the book has answered.
    pub loaded: bool,
}

impl DayBookPage {
    /// How many lines are asked for at a time.
    pub const PAGE: u32 = 200;

    /// What is asked of the book: from below the last line where older ones
    /// are wanted, else as far down as there are lines.
    #[must_use]
    pub fn filter(&self, older: bool) -> Filter {
        Filter {
            house: self.house,
            kind: self.kind,
            by: self.by.clone(),
            text: Some(self.text.clone()).filter(|t| !t.is_empty()),
            before: if older { self.lines.last().map(|l| l.entry.order()) } else { None },
            limit: if older { Self::PAGE } else { Self::PAGE.max(self.lines.len() as u32) },
        }
    }

    /// The name of a house.
    #[must_use]
    pub fn name(&self, id: Uuid) -> Option<String> {
        self.houses.iter().find(|h| h.id == id).map(|h| h.name.clone())
    }

    /// The place of the chosen line.
    #[must_use]
    pub fn index(&self) -> usize {
        self.chosen.and_then(|id| self.lines.iter().position(|l| l.entry.id == id)).unwrap_or(0)
    }
}
