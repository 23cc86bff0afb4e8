//! Pieces of which a size was told, held against the size that is asked.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::ledger::parts;
use super::{Size, named, size_told};
use crate::build::entry::{How, Item, Tally};
use crate::build::stage::{Need, STAGES};
use crate::build::worked::Worked;

/// What a piece may be too short by, m: lengths are told to the centimetre.
const SHORT_M: f64 = 0.005;
/// What a piece may be too thin by, m: thicknesses are told to the millimetre.
const THIN_M: f64 = 0.0005;
/// A length or a thickness that nobody told: it is taken to do.
const UNTOLD: u64 = u64::MAX;

/// A length and a thickness in ten-thousandths of a metre.
type Parts = (u64, u64);

/// Pieces of an item by the size that was told of them.
type Sizes = BTreeMap<Parts, f64>;

/// The pieces of an item at a house of which the length or the thickness was
/// told.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    /// Lying there or built in.
    there: Sizes,
    /// Promised and not delivered yet.
    to_come: Sizes,
}

impl Measured {
    /// Takes a tally that tells a size and was not struck, as the house `at`
    /// sees it.
    pub(in crate::build) fn take(&mut self, tally: &Tally, at: Uuid) {
        let (size, count) = (told(tally), tally.count);
        let by = match tally.how {
            How::Used => return,
            How::Promised => {
                *self.to_come.entry(size).or_default() += count;
                return;
            }
            How::Delivered => {
                let to_come = self.to_come.entry(size).or_default();
                *to_come = (*to_come - count).max(0.0);
                count
            }
            How::Cut | How::Woven | How::Bought | How::Found => count,
            How::Moved if tally.to == Some(at) => count,
            How::Moved | How::Spoiled | How::Lost | How::TornOff => -count,
        };
        *self.there.entry(size).or_default() += by;
    }

    /// So many that lie there or are built in, by their sizes.
    #[must_use]
    pub fn there(&self, count: f64) -> Lots {
        Lots::of(&self.there, count)
    }

    /// So many that are promised, by their sizes.
    #[must_use]
    pub fn to_come(&self, count: f64) -> Lots {
        Lots::of(&self.to_come, count)
    }
}

fn told(tally: &Tally) -> Parts {
    (tally.of.length_m.map_or(UNTOLD, parts), tally.of.top_d_m.map_or(UNTOLD, parts))
}

/// Whether pieces of a size will do for what is asked of them.
fn does((length, d): Parts, asked: &Need) -> bool {
    let enough = |told: u64, asked: Option<f64>, less: f64| asked.is_none_or(|m| told >= parts(m - less));
    enough(length, asked.length_m, SHORT_M) && enough(d, asked.d_m, THIN_M)
}

/// Pieces of an item, the smallest first; those of which no size was told
/// stand last. Where nobody told any size, all do, however many there are.
#[derive(Debug, Clone)]
pub struct Lots(Vec<(Parts, f64)>);

impl Default for Lots {
    fn default() -> Self {
        Self(vec![((UNTOLD, UNTOLD), f64::INFINITY)])
    }
}

impl Lots {
    /// So many pieces in all. Where some went and no size was told of them,
    /// they were of those without a size, then of the largest.
    fn of(sizes: &Sizes, mut left: f64) -> Self {
        let mut lots: Vec<(Parts, f64)> = Vec::new();
        for (size, count) in sizes.iter().filter(|(_, count)| **count > 0.0) {
            let count = count.min(left);
            left -= count;
            lots.push((*size, count));
        }
        lots.push(((UNTOLD, UNTOLD), left));
        Self(lots)
    }

    /// How many will do.
    #[must_use]
    pub fn that_do(&self, asked: &Need) -> f64 {
        self.0.iter().filter(|(size, _)| does(*size, asked)).fold(0.0, |sum, (_, count)| sum + count)
    }

    /// How many are too short or too thin.
    #[must_use]
    pub fn too_small(&self, asked: &Need) -> f64 {
        self.0.iter().filter(|(size, _)| !does(*size, asked)).fold(0.0, |sum, (_, count)| sum + count)
    }

    /// Takes so many of those that do, the smallest first.
    pub fn take(&mut self, asked: &Need, mut count: f64) {
        for (_, there) in self.0.iter_mut().filter(|(size, _)| does(*size, asked)) {
            let taken = there.min(count).max(0.0);
            *there -= taken;
            count -= taken;
        }
    }
}

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
        let needs: Vec<Need> = STAGES
            .iter()
            .flat_map(|stage| (stage.needs)(worked))
            .filter(|need| need.item == tally.item)
            .collect();
        if needs.iter().any(|need| does(told(tally), need)) {
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
        let of = match (self.length_m, self.d_m) {
            (Some(length_m), Some(d_m)) => size_told(Size { length_m, d_m }),
            (Some(length_m), None) => format!("{length_m:.2} m"),
            (_, d_m) => format!("{:.0} cm", d_m.unwrap_or_default() * 100.0),
        };
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
    use crate::build::draft::{Draft, StemSaid};
    use crate::build::house::House;
    use crate::build::trial::Trial;

    fn tally(item: &str, count: &str, how: &str, length: &str, thick: &str) -> Draft {
        Draft::Tally {
            item: item.to_owned(),
            count: count.to_owned(),
            how: how.to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid { length: length.to_owned(), thick: thick.to_owned(), ..StemSaid::default() },
        }
    }

    /// What a stage lacks of an item, and how many are too small for it.
    fn lacks(house: &House, stage: &str, item: Item) -> (f64, f64) {
        let now = house.stage(stage).unwrap().items.iter().find(|now| now.need.item == item).unwrap();
        (now.short, now.too_small)
    }

    /// Source: by hand. A post of the default brief is 2.1 m + 0.9 m deep and
    /// 0.1 m to trim, 18 cm thick; the house takes ten.
    #[test]
    fn posts_that_are_too_small_leave_the_need_as_it_is() {
        let posts = |length, thick| {
            let house = Trial::new("Tern house").draft(&tally("post", "5", "cut", length, thick)).house();
            lacks(&house, "posts", Item::Post)
        };
        assert_eq!(posts("2 m", "10 cm"), (10.0, 5.0));
        assert_eq!(posts("3.2 m", "10 cm"), (10.0, 5.0), "too thin");
        assert_eq!(posts("2 m", ""), (10.0, 5.0), "too short, however thick");
        assert_eq!(posts("3.2 m", "18 cm"), (5.0, 0.0));
        assert_eq!(posts("3.1 m", "18 cm"), (5.0, 0.0));
        assert_eq!(posts("", ""), (5.0, 0.0), "no size was told");
    }

    #[test]
    fn small_posts_that_are_promised_are_no_promise_of_posts() {
        let promised = Trial::new("Tern house").draft(&tally("post", "5", "promised", "2 m", "10 cm"));
        assert_eq!(lacks(&promised.house(), "posts", Item::Post), (10.0, 0.0));
        let good = promised.draft(&tally("post", "3", "promised", "", ""));
        assert_eq!(lacks(&good.house(), "posts", Item::Post), (7.0, 0.0));
        let came = good.draft(&tally("post", "5", "delivered", "2 m", "10 cm"));
        assert_eq!(lacks(&came.house(), "posts", Item::Post), (7.0, 5.0));
    }

    #[test]
    fn what_is_as_long_as_it_was_told_is_long_enough() {
        // Rafters are 4.5439 m long, and told to be 4.54 m.
        let trial = Trial::new("Tern house").draft(&tally("rafter", "30", "cut", "4.54 m", "8 cm"));
        assert_eq!(lacks(&trial.house(), "roof-frame", Item::Rafter), (4.0, 0.0));
    }

    #[test]
    fn good_posts_go_before_small_ones() {
        let trial = Trial::new("Tern house")
            .draft(&tally("post", "4", "cut", "2 m", "10 cm"))
            .draft(&tally("post", "8", "cut", "", ""));
        assert_eq!(lacks(&trial.house(), "posts", Item::Post), (2.0, 4.0));
        let built = trial.clone().draft(&tally("post", "8", "used", "", ""));
        assert_eq!(lacks(&built.house(), "posts", Item::Post), (2.0, 4.0));
        // Built in or not, a small one is small.
        let all = built.draft(&tally("post", "4", "used", "", ""));
        assert_eq!(lacks(&all.house(), "posts", Item::Post), (2.0, 4.0));
        let lost = trial.draft(&tally("post", "10", "lost", "", ""));
        assert_eq!(lacks(&lost.house(), "posts", Item::Post), (10.0, 2.0));
    }

    #[test]
    fn small_ones_that_are_gone_are_small_no_more() {
        let trial = Trial::new("Tern house")
            .draft(&tally("post", "4", "cut", "2 m", "10 cm"))
            .draft(&tally("post", "4", "lost", "2 m", "10 cm"))
            .draft(&tally("post", "3", "cut", "", ""));
        assert_eq!(lacks(&trial.house(), "posts", Item::Post), (7.0, 0.0));
    }

    #[test]
    fn braces_of_the_walls_are_too_short_for_the_slopes() {
        let trial = Trial::new("Tern house").draft(&tally("brace", "12", "cut", "1.5 m", "8 cm"));
        assert_eq!(lacks(&trial.house(), "beams", Item::Brace), (0.0, 0.0));
        assert_eq!(lacks(&trial.house(), "ridge", Item::Brace), (4.0, 4.0));
        // The short ones go into the walls, though long ones lie there too.
        let long = trial.draft(&tally("brace", "4", "cut", "4.6 m", "8 cm"));
        assert_eq!(lacks(&long.house(), "ridge", Item::Brace), (0.0, 4.0));
    }

    #[test]
    fn a_brief_that_asks_less_lets_small_posts_count() {
        let trial = Trial::new("Tern house").draft(&tally("post", "5", "cut", "3.2 m", "16 cm"));
        assert_eq!(lacks(&trial.house(), "posts", Item::Post), (10.0, 5.0));
        let thinner = Draft::Brief { changes: vec![("post_d".to_owned(), "16 cm".to_owned())] };
        assert_eq!(lacks(&trial.draft(&thinner).house(), "posts", Item::Post), (5.0, 0.0));
    }

    #[test]
    fn a_tally_of_small_pieces_says_what_is_asked() {
        let house = Trial::new("Tern house").house();
        let small = |draft: &Draft| match &draft.decide(&house, "Oru").unwrap()[0] {
            crate::build::entry::What::Tally(tally) => TooSmall::of(tally, &house.worked),
            _ => None,
        };
        assert_eq!(
            small(&tally("post", "5", "cut", "2 m", "10 cm")).unwrap().told(),
            "5 posts of 2 m x 10 cm: 3.1 m x 18 cm is asked, so they do not count as posts"
        );
        assert!(
            small(&tally("brace", "1", "cut", "1 m", ""))
                .unwrap()
                .told()
                .starts_with("1 brace of 1.00 m: 1.41")
        );
        for good in [
            tally("post", "5", "cut", "", ""),
            tally("brace", "5", "cut", "1.5 m", ""),
            tally("pole", "5", "cut", "1 m", ""),
        ] {
            assert_eq!(small(&good), None);
        }
    }
}
