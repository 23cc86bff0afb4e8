//! What the row of houses knows.

use std::sync::Arc;

use uuid::Uuid;

use super::super::keys::Act;
use crate::book::HouseLine;
use crate::build::Moment;
use crate::build::entry::TieDown;
use crate::build::held::Held;
use crate::build::house::House;

/// The row of houses.
#[derive(Debug, Default)]
pub struct RowPage {
    /// Every house.
    pub lines: Vec<HouseLine>,
    /// Those that can be drawn.
    pub drawn: Vec<Arc<House>>,
    /// The holds of all houses.
    pub holds: Vec<Held>,
    /// What was made fast at all houses, and when.
    pub tied: Vec<(Moment, TieDown)>,
    /// The chosen house.
    pub chosen: Option<Uuid>,
    /// Whether the book has answered.
    pub loaded: bool,
    /// What is to be done once it has.
    pub waiting: Option<Act>,
}

impl RowPage {
    /// The place of the chosen house in the row.
    #[must_use]
    pub fn index(&self) -> usize {
        self.chosen.and_then(|id| self.lines.iter().position(|l| l.id == id)).unwrap_or(0)
    }

    /// Whether a neighbour of the chosen house cannot be drawn yet.
    #[must_use]
    pub fn lacks_neighbours(&self) -> bool {
        let at = self.index();
        let near = at.saturating_sub(6)..(at + 7).min(self.lines.len());
        self.lines.get(near).is_some_and(|near| near.iter().any(|l| !self.drawn.iter().any(|h| h.id == l.id)))
    }
}
