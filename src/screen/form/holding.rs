//! The forms of what holds: cords pulled, kinds of wood, another gust.

use uuid::Uuid;

use super::{Form, FormField, FormKind};
use crate::build::accept::Refused;
use crate::build::draft::Draft;
use crate::build::entry::Joint;
use crate::build::house::House;
use crate::build::together::Together;
use crate::reckon::member::CLASSES;

/// What a pull counts for where it counts for more than one house.
const ALL_HOUSES: &str = "all houses";
const THIS_HOUSE: &str = "this house";

impl Form {
    /// Tells a cord or a joint that was pulled until it broke.
    #[must_use]
    pub fn pull(house: &House, by: &str) -> Self {
        let fields = vec![
            FormField::new("joint", "joint", "a joint as it is tied, or a strand of the cord alone")
                .with(Joint::Cord.word())
                .of(Joint::ALL.iter().map(|j| j.word())),
            FormField::new("value", "broke at", "480 N, 0.48 kN, or the stones hung on it: 48.9 kg"),
            FormField::new("cord", "cord", "which, and how thick: coir 6 mm")
                .with(&house.worked.brief.holding.cord),
            FormField::new("for", "counts for", "this house, or all houses")
                .with(ALL_HOUSES)
                .of([ALL_HOUSES, THIS_HOUSE]),
            FormField::new("remark", "remark", "wet or dry, old or new; may be left empty"),
            FormField::new("by", "by", "who pulled it").with(by),
        ];
        let mut form = Self::new(FormKind::Pull, Some(house.id), "Pulled until it broke", fields);
        form.focus = 1;
        form
    }

    /// Tells a kind of wood.
    #[must_use]
    pub fn wood(by: &str) -> Self {
        let fields = vec![
            FormField::new("name", "tree", "what people call it, as the brief names it"),
            FormField::new("density", "density", "kg/m³, dry: 840"),
            FormField::new("class", "class", "strength taken for it, EN 338: D40 and the like")
                .of(CLASSES.iter().map(|(name, _)| *name)),
            FormField::new("durability", "lasts", "in the ground, 1 very long to 5 not at all")
                .of(["1", "2", "3", "4", "5"]),
            FormField::new("by", "by", "who says so").with(by),
        ];
        Self::new(FormKind::Wood, None, "A kind of wood", fields)
    }

    /// Tries another gust.
    #[must_use]
    pub fn gust(gust_m_s: Option<f64>) -> Self {
        let said = gust_m_s.map(|g| g.to_string()).unwrap_or_default();
        let help = "m/s, such as 45; empty goes back to the brief's";
        let fields = vec![FormField::new("gust", "gust", help).counted(&said)];
        Self::new(FormKind::Gust, None, "Try another gust; nothing is kept", fields)
    }

    /// The house that what is written is about; all of them where none.
    #[must_use]
    pub fn about(&self) -> Option<Uuid> {
        self.house.filter(|_| self.kind != FormKind::Pull || self.text("for").trim() != ALL_HOUSES)
    }

    /// The draft of a pull.
    pub(super) fn pulled(&self) -> Result<Draft, Refused> {
        let counts_for = self.text("for").trim();
        if ![ALL_HOUSES, THIS_HOUSE].contains(&counts_for) {
            let why = format!("\"{counts_for}\" is neither this house nor all houses");
            return Err(Refused { field: "for", why });
        }
        Ok(Draft::Together(Together::Pull {
            joint: self.text("joint").to_owned(),
            value: self.text("value").to_owned(),
            cord: self.text("cord").to_owned(),
            remark: self.text("remark").to_owned(),
        }))
    }

    /// The draft of a kind of wood.
    pub(super) fn wood_told(&self) -> Draft {
        Draft::Together(Together::Wood {
            name: self.text("name").to_owned(),
            density: self.text("density").to_owned(),
            class: self.text("class").to_owned(),
            durability: self.text("durability").to_owned(),
        })
    }
}
