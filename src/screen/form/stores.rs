//! The forms about material: tallies, permits, answers.

use uuid::Uuid;

use super::{Form, FormField, FormKind};
use crate::build::brief::THATCHES;
use crate::build::draft::{Draft, StemSaid};
use crate::build::entry::{How, Item};
use crate::build::telling::of_item;
use crate::build::together::Together;

/// The field of the kind of panels that are lent.
const KIND: &str = "kind";
/// The fields that are of poles that are cut.
const STEM: [&str; 4] = ["tree", "length", "thick", "why"];
/// Those of poles that are not cut.
const SIZE: [&str; 2] = ["length", "thick"];

impl Form {
    /// Tells a movement of an item at a house; `trees` are those with permits.
    #[must_use]
    pub fn tally(house: Uuid, name: &str, item: Option<Item>, trees: &[String], by: &str) -> Self {
        let items = Item::ALL.iter().map(|i| i.word());
        let ways = How::ALL.iter().map(|h| h.word());
        let fields = vec![
            FormField::new("item", "item", "F2 goes through the items")
                .with(item.map_or("", Item::word))
                .of(items),
            FormField::new("count", "how many", "pieces; metres of cord, m³ of stone"),
            FormField::new("as", "as", "F2 goes through the ways").with("delivered").of(ways),
            FormField::new("to", "to", "the house it was moved to; else leave it empty"),
            FormField::new("remark", "remark", "may be left empty"),
            FormField::new("by", "by", "who counted").with(by),
        ];
        let title = format!("What came, went or was used at {name}");
        let mut form = Self::new(FormKind::Tally { trees: trees.to_vec() }, Some(house), title, fields);
        form.focus = usize::from(item.is_some());
        form.fit_to_item();
        form
    }

    /// Tells that something was moved from a house to another; panels are of a
    /// kind.
    #[must_use]
    pub fn lend(
        from: (Uuid, &str),
        to: &str,
        (item, kind): (Item, Option<&str>),
        count: &str,
        by: &str,
    ) -> Self {
        let mut form = Self::tally(from.0, from.1, Some(item), &[], by);
        for (id, text) in [("count", count), ("as", How::Moved.word()), ("to", to)] {
            if let Some(field) = form.fields.iter_mut().find(|f| f.id == id) {
                *field = field.clone().with(text);
                field.gives_way = id == "count";
            }
        }
        if let Some(kind) = kind {
            let kinds = THATCHES.iter().map(|kind| kind.id);
            let field = FormField::new(KIND, "kind", "the kind of panel").with(kind).of(kinds);
            let after = form.fields.iter().position(|f| f.id == "to").map_or(0, |at| at + 1);
            form.fields.insert(after, field);
        }
        form
    }

    /// Records leave to cut.
    #[must_use]
    pub fn permit(trees: &[String], by: &str) -> Self {
        let mut tree = FormField::new("tree", "tree", "the kind of tree, as people call it");
        tree.words = trees.to_vec();
        let fields = vec![
            tree,
            FormField::new("count", "how many", "how many may be cut"),
            FormField::new("until", "until", "the last day, such as 2031-06-30"),
            FormField::new("where", "where", "may be left empty"),
            FormField::new("by", "by", "who says so").with(by),
        ];
        Self::new(FormKind::Permit, None, "Leave to cut that was given", fields)
    }

    /// Answers a cut past the permits.
    #[must_use]
    pub fn answer(house: Option<Uuid>, entry: Uuid, what: &str, by: &str) -> Self {
        let fields = vec![
            FormField::new("said", "answer", "what was said to it, and by whom"),
            FormField::new("by", "by", "who writes it").with(by),
        ];
        Self::new(FormKind::Answer { entry }, house, format!("Answer: {what}"), fields)
    }

    /// Shows the fields of poles where such are told: their size, and of those
    /// that are cut the tree and why past its permit.
    pub(super) fn fit_to_item(&mut self) {
        let FormKind::Tally { trees } = &self.kind else { return };
        let is_cut = self.text("as").trim() == How::Cut.word();
        let fitting: &[&str] = match Item::said(self.text("item")).is_ok_and(Item::is_pole) {
            true if is_cut => &STEM,
            true => &SIZE,
            false => &[],
        };
        let shown = self.fields.iter().filter(|f| STEM.contains(&f.id));
        if shown.clone().map(|f| f.id).eq(fitting.iter().copied()) {
            return;
        }
        let shown: Vec<FormField> = shown.cloned().collect();
        let known = |id: &str| shown.iter().find(|f| f.id == id).cloned();
        let fields: Vec<FormField> =
            fitting.iter().map(|id| known(id).unwrap_or_else(|| of_poles(id, trees))).collect();
        self.fields.retain(|f| !STEM.contains(&f.id));
        let after = self.fields.iter().position(|f| f.id == "as").map_or(0, |at| at + 1);
        self.fields.splice(after..after, fields);
    }

    /// How many of what: `40 panels`, in the words of the program where it
    /// knows them.
    pub(in crate::screen) fn counted(&self) -> String {
        let (count, item) = (self.text("count").trim(), self.text("item").trim());
        match (count.replace(',', ".").parse(), Item::said(item)) {
            (Ok(count), Ok(item)) => of_item(item, count),
            _ => format!("{count} {item}"),
        }
    }

    /// The leave to cut that was given.
    pub(super) fn permit_told(&self) -> Draft {
        Draft::Together(Together::Permit {
            tree: self.text("tree").to_owned(),
            count: self.text("count").to_owned(),
            place: self.text("where").to_owned(),
            until: self.text("until").to_owned(),
        })
    }

    /// Of what poles, as typed.
    pub(super) fn stem(&self) -> StemSaid {
        let [mut tree, length, thick, why] = STEM.map(|id| self.text(id).to_owned());
        if tree.is_empty() {
            self.text(KIND).clone_into(&mut tree);
        }
        StemSaid { tree, length, thick, why }
    }
}

/// A field of poles, empty; the tree where there are permits for one alone.
fn of_poles(id: &str, trees: &[String]) -> FormField {
    match id {
        "length" => FormField::new("length", "length", "how long each is; may be left empty"),
        "thick" => FormField::new("thick", "thick", "how thick at the thin end; may be left empty"),
        "why" => FormField::new("why", "why past permit", "only where more is cut than the permits allow"),
        _ => {
            let mut tree = FormField::new("tree", "tree", "the kind of tree; permits are counted by it");
            tree.words = trees.to_vec();
            match trees {
                [one] => tree.with(one),
                _ => tree,
            }
        }
    }
}
