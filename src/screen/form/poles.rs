//! The forms about raw poles: what came or went, and what was cut of them.

use uuid::Uuid;

use super::{Form, FormField, FormKind};
use crate::build::draft::Draft;
use crate::build::entry::{How, Item};
use crate::build::house::House;

impl Form {
    /// Tells what poles came or went, by their size.
    #[must_use]
    pub fn poles(house: &House, by: &str) -> Self {
        let ways = How::ALL.iter().filter(|how| **how != How::Woven).map(|how| how.word());
        let fields = vec![
            FormField::new("count", "how many", "poles all alike"),
            FormField::new("length", "how long", "as it is called out: 6 m, 3 1/2 sp"),
            FormField::new("thick", "thin end", "how thick each is at its thin end: 12 cm"),
            FormField::new("tree", "tree", "the kind of tree: may be left empty"),
            FormField::new("as", "as", "F2 goes through the ways").with("cut").of(ways),
            FormField::new("why", "why past permit", "only where more is cut than the permits allow"),
            FormField::new("to", "to", "the house they were moved to; else leave it empty"),
            FormField::new("by", "by", "who counted").with(by),
        ];
        Self::new(FormKind::Poles, Some(house.id), "Poles that came or went, before they are cut", fields)
    }

    /// Tells that poles were cut to pieces.
    #[must_use]
    pub fn cut_up(house: &House, pole: &str, into: &str, by: &str) -> Self {
        let fields = vec![
            FormField::new("times", "how many", "poles that were cut so").counted("1"),
            FormField::new("pole", "of", "length and thin end of each: 6 m x 12 cm").with(pole),
            FormField::new("into", "each into", "the pieces of one pole: 2 rafters, 1 brace").with(into),
            FormField::new("by", "by", "who cut them").with(by),
        ];
        let title = "Poles cut to pieces: the poles are used, the pieces cut";
        Self::new(FormKind::CutUp, Some(house.id), title, fields)
    }

    /// What poles came or went.
    pub(super) fn poles_told(&self, to: Option<Uuid>) -> Draft {
        Draft::Tally {
            item: Item::Pole.word().to_owned(),
            count: self.text("count").to_owned(),
            how: self.text("as").trim().to_owned(),
            to,
            remark: String::new(),
            of: self.stem(),
        }
    }

    /// What was cut of them.
    pub(super) fn pieces_told(&self) -> Draft {
        let text = |id| self.text(id).trim().to_owned();
        Draft::CutUp { pole: text("pole"), times: text("times"), into: text("into") }
    }
}
