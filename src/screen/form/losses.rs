//! The forms before and after a storm: what is made fast, and what was lost.

use super::{Form, FormField, FormKind};
use crate::build::draft::Draft;
use crate::build::entry::{Item, Secure, TieDown};
use crate::build::house::House;
use crate::build::telling::of_item;
use crate::build::together::Together;

impl Form {
    /// Tells what is made fast before a storm at a house, or at all of them.
    #[must_use]
    pub fn tie_down(house: Option<&House>, tied: &TieDown, by: &str) -> Self {
        let title = house.map_or_else(
            || "Made fast at all houses? Leave in time".to_owned(),
            |h| format!("Made fast at {}? Leave in time", h.name),
        );
        let mut fields: Vec<FormField> = Secure::ALL
            .iter()
            .map(|what| {
                let said = tied.answer(*what).map_or("", |yes| if yes { "yes" } else { "no" });
                let says = what.word().replace('-', " ");
                FormField::new(what.word(), &says, what.says()).with(said).of(["yes", "no"])
            })
            .collect();
        fields.push(FormField::new("by", "by", "who saw to it").with(by));
        Self::new(FormKind::TieDown, house.map(|h| h.id), title, fields)
    }

    /// Tells all that was lost at a house, of what lies there and of what is
    /// built in.
    #[must_use]
    pub fn lost(house: &House, by: &str) -> Self {
        let there = house.heaps.iter().filter(|(_, heap)| heap.on_hand > 0.0 || heap.used > 0.0);
        let mut fields: Vec<FormField> = there
            .map(|(item, heap)| {
                let told = crate::build::accept::told;
                let help =
                    format!("of {} on hand and {} built in", told(heap.on_hand.max(0.0)), told(heap.used));
                FormField::new(item.word(), &item.word().replace('-', " "), &help)
            })
            .collect();
        let built_in = "yes: all of it was; no: what lay there was lost first";
        fields.extend([
            FormField::new("built-in", "was built in", built_in).with("no").of(["yes", "no"]),
            FormField::new("remark", "remark", "may be left empty"),
            FormField::new("by", "by", "who counted").with(by),
        ]);
        let title = format!("What was lost at {}; what was built in is asked for again", house.name);
        Self::new(FormKind::Lost, Some(house.id), title, fields)
    }

    /// The draft that comes of the answers to the list.
    pub(super) fn tied(&self) -> Draft {
        let answers =
            Secure::ALL.iter().map(|what| (what.word().to_owned(), self.text(what.word()).to_owned()));
        Draft::Together(Together::TieDown { answers: answers.collect() })
    }

    /// The draft that comes of the losses.
    pub(super) fn losses(&self) -> Draft {
        let counts = Item::ALL.iter().map(|item| (item.word().to_owned(), self.text(item.word()).to_owned()));
        Draft::Lost {
            counts: counts.filter(|(_, count)| !count.trim().is_empty()).collect(),
            built_in: self.text("built-in").trim().eq_ignore_ascii_case("yes"),
            remark: self.text("remark").to_owned(),
        }
    }

    /// What was lost, in a few words.
    pub(super) fn losses_in_words(&self) -> String {
        let lost = Item::ALL.iter().filter_map(|item| match self.text(item.word()).trim() {
            "" => None,
            count => Some(count.parse().map_or_else(|_| format!("{count} {item}"), |n| of_item(*item, n))),
        });
        format!("{} lost", lost.collect::<Vec<_>>().join(", "))
    }
}
