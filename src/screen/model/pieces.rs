//! Poles to pieces: what the page knows.

use std::sync::Arc;

use uuid::Uuid;

use crate::book::HouseLine;
use crate::build::House;
use crate::build::pieces::{Plan, Plans};

/// Poles to pieces, at a house.
#[derive(Debug)]
pub struct PiecesPage {
    /// The house.
    pub house: Uuid,
    /// What the book told.
    pub told: Option<PiecesTold>,
    /// Whether the usual poles of the brief are planned with, and not those on
    /// hand.
    pub usual: bool,
    /// The chosen line: the cuts first, then what is lacking.
    pub chosen: usize,
}

/// What the book tells of poles and pieces.
#[derive(Debug, Clone)]
pub struct PiecesTold {
    /// The house.
    pub house: Arc<House>,
    /// The plans.
    pub plans: Arc<Plans>,
    /// Every house of the book, for their names.
    pub houses: Vec<HouseLine>,
}

impl PiecesPage {
    /// A page that waits for its plans.
    #[must_use]
    pub const fn new(house: Uuid) -> Self {
        Self { house, told: None, usual: false, chosen: 0 }
    }

    /// The plan that is shown.
    #[must_use]
    pub fn plan(&self) -> Option<&Plan> {
        let plans = &self.told.as_ref()?.plans;
        Some(if self.usual { &plans.usual } else { &plans.at_hand })
    }

    /// Takes in what the book tells, keeping the chosen line where it is.
    pub fn take(&mut self, told: PiecesTold) {
        self.told = Some(told);
        let last = self.plan().map_or(0, |plan| plan.out.cuts.len() + plan.lacking.len()).saturating_sub(1);
        self.chosen = self.chosen.min(last);
    }
}
