//! Poles to pieces: the pieces that a house still needs, and which pole to cut
//! into which of them.
//!
//! A pole tapers: it is as thick as its thin end, wherever along it a piece is
//! cut. A piece that is longer than any pole is not joined of two here, for a
//! joint must be thought over where it bears; it is said to be lacking.

mod cut;
mod ledger;
mod lots;
mod measured;
mod serve;
mod too_small;

pub use cut::{cut_up, told as size_told};
pub use ledger::Ledger;
pub use lots::Lots;
pub use measured::Measured;
pub(super) use measured::measured;
pub use too_small::TooSmall;

use self::serve::{Served, served};

use super::entry::Item;
use super::heap::ItemNow;
use super::house::{House, StageNow};
use super::stage::Need;
use crate::reckon::timber::{self, MOST_KINDS};

/// What a saw or an axe takes between two pieces, m (common practice).
pub const KERF_M: f64 = 0.005;

/// What every plan takes for granted.
pub const THIN_END: &str = "A pole counts as thick as its thin end: measure that end, cut the longest pieces first. Sharp tools: nobody within reach.";

/// A length and a diameter, m: of a pole at its thin end, of a piece at the
/// least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// How long.
    pub length_m: f64,
    /// How thick.
    pub d_m: f64,
}

/// Pieces that are wanted, all alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// The item they are.
    pub item: Item,
    /// What people call them.
    pub name: &'static str,
    /// How long they are, and how thick at the least.
    pub size: Size,
    /// How many.
    pub count: u32,
}

/// The pieces a house still needs: what its stages lack of each, in the order
/// of the work; of one stage the thickest first, then the longest.
#[must_use]
pub fn wanted(house: &House) -> Vec<Wanted> {
    let of_stage = |now: &StageNow| {
        let mut wanted: Vec<Wanted> =
            now.items.iter().filter_map(|item| lacked(now.stage.id, item)).collect();
        wanted.sort_by(|a, b| {
            let (a, b) = (a.size, b.size);
            b.d_m.total_cmp(&a.d_m).then(b.length_m.total_cmp(&a.length_m))
        });
        wanted
    };
    house.stages.iter().flat_map(of_stage).collect()
}

/// What a stage lacks of an item that is cut from poles.
fn lacked(stage: &str, now: &ItemNow) -> Option<Wanted> {
    let (name, size) = (name(stage, now.need.item), size(&now.need)?);
    // Pieces are counted whole; the cast keeps to the bounds of its type.
    let count = now.short.ceil() as u32;
    (count > 0).then_some(Wanted { item: now.need.item, name, size, count })
}

/// What a piece of a stage is called: braces are of walls or of slopes.
fn name(stage: &str, item: Item) -> &'static str {
    match item {
        Item::Brace if stage == "beams" => "wall brace",
        Item::Brace => "slope brace",
        Item::TieBeam => "tie beam",
        Item::KingPost => "king post",
        Item::RidgePole => "ridge pole",
        Item::UpperRidgePole => "upper ridge pole",
        Item::LiftingPole => "lifting pole",
        item => item.word(),
    }
}

/// How long each piece of a need is, and how thick at the least; nothing for
/// what is not cut from a pole.
fn size(need: &Need) -> Option<Size> {
    Some(Size { length_m: need.length_m?, d_m: need.d_m? })
}

/// Poles all alike that may be cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Pole {
    /// How long, and how thick at the thin end.
    pub size: Size,
    /// How many there are; as many as wanted where there is none.
    pub count: Option<u32>,
}

/// Which pole to cut into which pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The poles.
    pub stock: Vec<Pole>,
    /// What is wanted.
    pub wanted: Vec<Wanted>,
    /// What comes of it; pieces go by their names.
    pub out: timber::Out,
    /// What is not made, and why.
    pub lacking: Vec<Lacking>,
    /// Whether it is proved that no more of a piece can be made without less of
    /// one before it.
    pub lacking_proved: bool,
    /// Sizes of poles that were not looked at: there are too many.
    pub sizes_left_out: usize,
}

/// Pieces that are not made.
#[derive(Debug, Clone, PartialEq)]
pub struct Lacking {
    /// What people call them.
    pub name: &'static str,
    /// How many.
    pub count: u32,
    /// How long and how thick each is to be.
    pub size: Size,
    /// Why, in a few words.
    pub short: &'static str,
    /// Why, and what would do.
    pub why: String,
}

impl Lacking {
    /// What is lacking and why, in words.
    #[must_use]
    pub fn told(&self) -> String {
        format!("Lacking {} {}: {}", self.count, named(self.name, self.count as usize), self.why)
    }
}

impl Plan {
    /// A plan for the poles that lie at a house.
    #[must_use]
    pub fn at_hand(house: &House) -> Self {
        let stock = house.poles.at_hand().map(|(size, count)| Pole { size, count: Some(count) });
        Self::of(wanted(house), stock.collect())
    }

    /// A plan for poles of the sizes that the brief names, as many as wanted.
    #[must_use]
    pub fn standard(house: &House) -> Self {
        let stock = house.worked.brief.poles.iter().map(|size| Pole { size: *size, count: None });
        Self::of(wanted(house), stock.collect())
    }

    /// Plans for some poles. What is wanted first is made first: no piece is
    /// left lacking for the sake of one after it.
    #[must_use]
    pub fn of(wanted: Vec<Wanted>, mut stock: Vec<Pole>) -> Self {
        let sizes_left_out = stock.len().saturating_sub(MOST_KINDS);
        stock.truncate(MOST_KINDS);
        let Served { out, proved } = served(&wanted, &stock);
        let lacking = lacking(&wanted, &stock, &out);
        Self { stock, wanted, out, lacking, lacking_proved: proved, sizes_left_out }
    }

    /// The pole of one of the cuts.
    #[must_use]
    pub fn pole(&self, cut: &timber::Cut) -> Option<&Pole> {
        self.stock.get(cut.stock)
    }

    /// The lengths of a cut's pieces, m, in their order along the pole.
    #[must_use]
    pub fn lengths_m(&self, cut: &timber::Cut) -> Vec<f64> {
        let length = |name: &String| self.wanted.iter().find(|w| w.name == name).map(|w| w.size.length_m);
        cut.pieces.iter().filter_map(length).collect()
    }

    /// What is left of each pole of a cut, m; what the saw takes is off it.
    #[must_use]
    pub fn left_m(&self, cut: &timber::Cut) -> f64 {
        let lengths = self.lengths_m(cut);
        let saw = KERF_M * lengths.len().saturating_sub(1) as f64;
        let whole = self.pole(cut).map_or(0.0, |pole| pole.size.length_m);
        (whole - lengths.iter().sum::<f64>() - saw).max(0.0)
    }

    /// The pieces of a cut and how many of each, as `2 rafters, 1 wall brace`.
    #[must_use]
    pub fn pieces(&self, cut: &timber::Cut) -> String {
        counted(cut.pieces.iter().map(String::as_str))
    }

    /// How good the plan is, in a sentence.
    #[must_use]
    pub fn told(&self) -> String {
        let out = &self.out;
        if out.poles == 0 {
            return if self.wanted.is_empty() {
                "Every piece is cut.".to_owned()
            } else if self.stock.is_empty() {
                "No pole of a known size is here.".to_owned()
            } else {
                "No pole here makes any piece.".to_owned()
            };
        }
        let poles = if out.poles == 1 { "1 pole".to_owned() } else { format!("{} poles", out.poles) };
        let few = match (out.proved, self.lacking.is_empty()) {
            (true, true) => "no fewer would do (proved)".to_owned(),
            (true, false) => "no fewer would do for what is made (proved)".to_owned(),
            (false, _) => format!("{} at the least, not proved that fewer would not do", out.bound),
        };
        let unseen = match self.sizes_left_out {
            0 => String::new(),
            1 => " 1 size of poles is too many to look at and left out.".to_owned(),
            n => format!(" {n} sizes of poles are too many to look at and left out."),
        };
        let more = if self.lacking_proved { "" } else { " It is not proved that no more can be made." };
        let (whole, waste) = (out.length_m, out.waste_m);
        format!("{poles}, {whole:.2} m; {waste:.2} m is left over or goes to the saw; {few}.{more}{unseen}")
    }
}

/// What the tallies leave open, in sentences: poles of which no size was told,
/// and sizes of which more went than came.
#[must_use]
pub fn unsure_told(house: &House) -> Vec<String> {
    let count = house.poles.unsized_poles;
    let poles = |n: f64| if n == 1.0 { "1 pole".to_owned() } else { format!("{n:.0} poles") };
    let mut told = Vec::new();
    if count > 0.0 {
        told.push(format!("{} without a length or a thin end told are left out.", poles(count)));
    } else if count < 0.0 {
        told.push(format!(
            "{} went without a size told: fewer may lie here than this counts on.",
            poles(-count)
        ));
    }
    told.extend(house.poles.lacking().map(|(size, more)| {
        format!(
            "{} of {} more went than came: count what lies here, and tally it.",
            poles(more),
            size_told(size)
        )
    }));
    told
}

/// The plans of a house.
#[derive(Debug, Clone, PartialEq)]
pub struct Plans {
    /// With the poles that lie there.
    pub at_hand: Plan,
    /// With the usual poles of the brief, as many as wanted.
    pub usual: Plan,
}

impl Plans {
    /// The plans of a house.
    #[must_use]
    pub fn of(house: &House) -> Self {
        Self { at_hand: Plan::at_hand(house), usual: Plan::standard(house) }
    }
}

/// Pieces one after another with how many there are of each, as `2 rafters, 1
/// brace`.
fn counted<'w>(words: impl Iterator<Item = &'w str>) -> String {
    let words: Vec<&str> = words.collect();
    let runs = words.chunk_by(|a, b| a == b).map(|run| format!("{} {}", run.len(), named(run[0], run.len())));
    runs.collect::<Vec<_>>().join(", ")
}

/// What so many pieces are called: a plate, two plates.
#[must_use]
pub fn named(name: &str, count: usize) -> String {
    format!("{name}{}", if count == 1 { "" } else { "s" })
}

fn lacking(wanted: &[Wanted], stock: &[Pole], out: &timber::Out) -> Vec<Lacking> {
    let made = |name: &str| -> u32 {
        let each = |cut: &timber::Cut| cut.pieces.iter().filter(|p| *p == name).count() as u32 * cut.count;
        out.cuts.iter().map(each).sum()
    };
    let lacks = |piece: &Wanted| {
        let count = piece.count.saturating_sub(made(piece.name));
        let (short, why) = why(piece, stock);
        (count > 0).then_some(Lacking { name: piece.name, count, size: piece.size, short, why })
    };
    wanted.iter().filter_map(lacks).collect()
}

/// Why a piece is not made: in a few words, and what would do.
fn why(piece: &Wanted, stock: &[Pole]) -> (&'static str, String) {
    let Size { length_m, d_m } = piece.size;
    let (cm, spare) = (d_m * 100.0, timber::SPARE_M);
    let thick = || stock.iter().filter(|pole| pole.size.d_m >= d_m - spare).map(|pole| pole.size.length_m);
    let longest = thick().fold(0.0, f64::max);
    if stock.is_empty() {
        let why = format!(
            "no pole of a known size is here; each is to be {length_m:.2} m long, {cm:.0} cm thick at the thin end"
        );
        ("no poles of known size", why)
    } else if thick().next().is_none() {
        let why = format!("no pole is {cm:.0} cm thick at its thin end; each is to be {length_m:.2} m long");
        ("no pole so thick", why)
    } else if longest < length_m - spare {
        let why = format!(
            "{length_m:.2} m long, {cm:.0} cm thick; the longest pole so thick is {longest:.2} m: find a longer one, or join two where the joint bears"
        );
        ("no pole so long", why)
    } else {
        let why = format!("the poles run out; each takes {length_m:.2} m, {cm:.0} cm thick at the thin end");
        ("the poles run out", why)
    }
}

#[cfg(test)]
mod tests;
