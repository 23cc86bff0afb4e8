//! That a tally tells of pieces that nothing at the house is made of.

use super::cut::told_in_part;
use super::measured::{does_any, needs_of, told};
use super::{Size, named, size_told};
use crate::build::entry::{How, Item, Tally};
use crate::build::worked::Worked;

/// Pieces that are too short or too thin for everything the house asks of
/// such.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooSmall {
    /// What they are.
    pub item: Item,
    /// How many.
    pub count: f64,
    /// How long they are, m, where that was told.
    pub length_m: Option<f64>,
    /// How thick they are, m, where that was told.
    pub d_m: Option<f64>,
    /// The least that is asked.
    pub asked: Size,
}

impl TooSmall {
    /// That a tally tells of pieces that are too small, for a house that is
    /// worked out so.
    #[must_use]
    pub fn of(tally: &Tally, worked: &Worked) -> Option<Self> {
        // What goes counts no more, whatever it is.
        if matches!(tally.how, How::Moved | How::Spoiled | How::Lost | How::TornOff) {
            return None;
        }
        let needs = needs_of(tally.item, worked);
        if does_any(told(&tally.of), &needs) {
            return None;
        }
        let sizes = needs.iter().filter_map(|need| Some(Size { length_m: need.length_m?, d_m: need.d_m? }));
        let asked = sizes.reduce(|a, b| if b.length_m < a.length_m { b } else { a })?;
        let (length_m, d_m) = (tally.of.length_m, tally.of.top_d_m);
        Some(Self { item: tally.item, count: tally.count, length_m, d_m, asked })
    }

    /// That in words.
    #[must_use]
    pub fn told(&self) -> String {
        let of = told_in_part(self.length_m, self.d_m).unwrap_or_default();
        let name = self.item.word().replace('-', " ");
        format!(
            "{} {} of {of}: {} is asked, so they do not count as {}",
            self.count,
            named(&name, self.count as usize),
            size_told(self.asked),
            named(&name, 2)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::draft::Draft;
    use crate::build::entry::What;
    use crate::build::trial::Trial;

    #[test]
    fn a_tally_of_small_pieces_says_what_is_asked() {
        let house = Trial::new("Tern house").house();
        let small = |draft: &Draft| match &draft.decide(&house, "Oru").unwrap()[0] {
            What::Tally(tally) => TooSmall::of(tally, &house.worked),
            _ => None,
        };
        assert_eq!(
            small(&Draft::sized("post", "5", "cut", "2 m", "10 cm")).unwrap().told(),
            "5 posts of 2 m x 10 cm: 3.1 m x 18 cm is asked, so they do not count as posts"
        );
        assert!(
            small(&Draft::sized("brace", "1", "cut", "1 m", ""))
                .unwrap()
                .told()
                .starts_with("1 brace of 1.00 m: 1.41")
        );
        for good in [
            Draft::sized("post", "5", "cut", "", ""),
            Draft::sized("brace", "5", "cut", "1.5 m", ""),
            Draft::sized("pole", "5", "cut", "1 m", ""),
        ] {
            assert_eq!(small(&good), None);
        }
    }
}
