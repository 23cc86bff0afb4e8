//! Pieces of which a size was told, held against the size that is asked.
//!
//! Tallies are walked in their order. What goes and of which no size is told is
//! of those of which none was told when they came, then of those that do; the
//! too small go last, so that nothing counts as good for what went. Of those
//! alike the largest go, into the house the smallest. What comes of a promise
//! without a size is of the smallest that was promised.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::ledger::{metres, parts};
use super::{Size, named, size_told};
use crate::build::entry::{How, Item, Stem, Tally};
use crate::build::stage::{Need, STAGES};
use crate::build::worked::Worked;

/// What a piece may be too short by, m: lengths are told to the centimetre.
const SHORT_M: f64 = 0.005;
/// What a piece may be too thin by, m: thicknesses are told to the millimetre.
const THIN_M: f64 = 0.0005;
/// A length or a thickness that nobody told: it is taken to do.
const UNTOLD: u64 = u64::MAX;

/// How far another length or thickness is from what was said, in [`far`].
const OTHER: u32 = 3;

/// A length and a thickness in ten-thousandths of a metre.
type Parts = (u64, u64);

/// Pieces of an item by the size that was told of them.
type Sizes = BTreeMap<Parts, f64>;

/// The pieces of an item at a house, by the sizes that were told.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    lying: Sizes,
    built_in: Sizes,
    /// Promised and not delivered yet.
    to_come: Sizes,
    /// What went before it came, as books that were merged can have it: it goes
    /// of what comes next.
    ahead: BTreeMap<(How, Parts), f64>,
    /// What the stages ask of such.
    needs: Vec<Need>,
}

/// The pieces at the house `at` from their tallies, in order; of items of which
/// nobody ever told a size there is nothing to know.
#[must_use]
pub(in crate::build) fn measured(
    tallies: &BTreeMap<Item, Vec<Tally>>,
    at: Uuid,
    worked: &Worked,
) -> BTreeMap<Item, Measured> {
    let known = |tally: &Tally| told(&tally.of) != (UNTOLD, UNTOLD);
    let known = tallies.iter().filter(|(_, of_item)| of_item.iter().any(known));
    known
        .map(|(item, of_item)| {
            let mut measured = Measured { needs: needs_of(*item, worked), ..Measured::default() };
            of_item.iter().for_each(|tally| measured.take(tally, at));
            (*item, measured)
        })
        .collect()
}

impl Measured {
    /// Takes a tally that was not struck, as the house `at` sees it.
    fn take(&mut self, tally: &Tally, at: Uuid) {
        let (size, count) = (told(&tally.of), tally.count);
        match tally.how {
            How::Promised => put(&mut self.to_come, size, count),
            How::Delivered => self.delivered(size, count),
            How::Cut | How::Woven | How::Bought | How::Found => put(&mut self.lying, size, count),
            How::Moved if tally.to == Some(at) => put(&mut self.lying, size, count),
            How::Moved | How::Used | How::Spoiled | How::Lost | How::TornOff => {
                *self.ahead.entry((tally.how, size)).or_default() += count;
            }
        }
        for ((how, said), count) in std::mem::take(&mut self.ahead) {
            let left = count - self.gone(how, said, count);
            if left > 0.0 {
                self.ahead.insert((how, said), left);
            }
        }
    }

    fn delivered(&mut self, said: Parts, count: f64) {
        let needs = &self.needs;
        let order = |size| (far(size, said), does_any(size, needs), size);
        let came = take(&mut self.to_come, count, order);
        let more = count - came.iter().map(|(_, count)| count).sum::<f64>();
        for (promised, count) in came {
            put(&mut self.lying, filled(said, promised), count);
        }
        put(&mut self.lying, said, more);
    }

    /// Lets so many go, as far as there are, and says how many went.
    fn gone(&mut self, how: How, said: Parts, count: f64) -> f64 {
        let needs = &self.needs;
        let order = |size: Parts| {
            let larger = (u64::MAX - size.0, u64::MAX - size.1);
            let by_size = if how == How::Used { size } else { larger };
            (far(size, said), size != said, !does_any(size, needs), by_size)
        };
        let from = if how == How::TornOff { &mut self.built_in } else { &mut self.lying };
        let gone = take(from, count, order);
        if how == How::Used {
            gone.iter().for_each(|(size, count)| put(&mut self.built_in, *size, *count));
        }
        gone.iter().map(|(_, count)| count).sum()
    }

    /// So many that lie there or are built in, by their sizes.
    #[must_use]
    pub fn there(&self, count: f64) -> Lots {
        let mut there = self.lying.clone();
        self.built_in.iter().for_each(|(size, count)| put(&mut there, *size, *count));
        Lots::of(&there, count)
    }

    /// So many that are promised, by their sizes.
    #[must_use]
    pub fn to_come(&self, count: f64) -> Lots {
        Lots::of(&self.to_come, count)
    }

    /// What goes from here to another house, of the size that was said or else
    /// of the one size that lies here: the other house cannot know it.
    ///
    /// # Errors
    /// The sizes that lie here, in words, where it may be of several and not
    /// all of them do.
    pub(in crate::build) fn given(&self, said: &Stem) -> Result<Stem, String> {
        let size = told(said);
        let of = |size: Parts| {
            let (length_m, top_d_m) = (metres_told(size.0), metres_told(size.1));
            Stem { length_m, top_d_m, ..said.clone() }
        };
        let nearest = self.lying.keys().map(|lying| far(*lying, size)).min().filter(|far| *far < OTHER);
        let is_near = |lying: &Parts| Some(far(*lying, size)) == nearest;
        let near: Vec<Parts> = self.lying.keys().copied().filter(is_near).collect();
        let is_known = size.0 != UNTOLD && size.1 != UNTOLD;
        match near.as_slice() {
            _ if is_known => Ok(said.clone()),
            [one] => Ok(of(filled(size, *one))),
            all if all.iter().all(|size| self.needs.iter().all(|need| does(*size, need))) => Ok(said.clone()),
            all => Err(all.iter().map(|size| self.lot_told(*size)).collect::<Vec<_>>().join(", ")),
        }
    }

    fn lot_told(&self, size: Parts) -> String {
        let count = self.lying.get(&size).copied().unwrap_or_default();
        match size_in_words(metres_told(size.0), metres_told(size.1)) {
            Some(words) => format!("{count} of {words}"),
            None => format!("{count} of no known size"),
        }
    }
}

fn put(sizes: &mut Sizes, size: Parts, count: f64) {
    if count > 0.0 {
        *sizes.entry(size).or_default() += count;
    }
}

/// Takes so many as there are, the first in order first, and says which.
fn take<R: Ord>(sizes: &mut Sizes, mut count: f64, order: impl Fn(Parts) -> R) -> Vec<(Parts, f64)> {
    let mut lots: Vec<(Parts, f64)> = sizes.iter().map(|(size, there)| (*size, *there)).collect();
    lots.sort_by_key(|(size, _)| order(*size));
    lots.retain_mut(|(size, there)| {
        let taken = there.min(count);
        count -= taken;
        if taken < *there {
            sizes.insert(*size, *there - taken);
        } else {
            sizes.remove(size);
        }
        *there = taken;
        taken > 0.0
    });
    lots
}

fn told(of: &Stem) -> Parts {
    (of.length_m.map_or(UNTOLD, parts), of.top_d_m.map_or(UNTOLD, parts))
}

fn metres_told(parts: u64) -> Option<f64> {
    (parts != UNTOLD).then(|| metres(parts))
}

/// How far a size is from what was said: nothing where it is all of that, less
/// than [`OTHER`] where it may be, for not all of it is known.
fn far(size: Parts, said: Parts) -> u32 {
    let far = |size: u64, said: u64| match size {
        _ if said == UNTOLD || size == said => 0,
        UNTOLD => 1,
        _ => OTHER,
    };
    far(size.0, said.0) + far(size.1, said.1)
}

/// A size as it was said; what was not, as it is known.
fn filled(said: Parts, known: Parts) -> Parts {
    let fill = |said: u64, known: u64| if said == UNTOLD { known } else { said };
    (fill(said.0, known.0), fill(said.1, known.1))
}

/// What the stages ask of an item.
fn needs_of(item: Item, worked: &Worked) -> Vec<Need> {
    STAGES.iter().flat_map(|stage| (stage.needs)(worked)).filter(|need| need.item == item).collect()
}

/// Whether pieces of a size will do for anything that is asked of them.
fn does_any(size: Parts, needs: &[Need]) -> bool {
    needs.iter().any(|need| does(size, need))
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
    /// So many pieces in all; those beyond the sizes that are known are of none.
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
        let of = size_in_words(self.length_m, self.d_m).unwrap_or_default();
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

/// A size as far as it is known; none where nothing of it is.
fn size_in_words(length_m: Option<f64>, d_m: Option<f64>) -> Option<String> {
    match (length_m, d_m) {
        (Some(length_m), Some(d_m)) => Some(size_told(Size { length_m, d_m })),
        (Some(length_m), None) => Some(format!("{length_m:.2} m")),
        (None, d_m) => d_m.map(|d_m| format!("{:.0} cm thick", d_m * 100.0)),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::build::draft::{Draft, StemSaid};
    use crate::build::heap::Heap;
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

    /// Small pieces that are spoiled leave no shortage behind.
    #[test]
    fn what_is_spoiled_goes_of_what_lay_there_then() {
        let trial = Trial::new("Tern house")
            .draft(&tally("king-post", "5", "cut", "1 m", ""))
            .draft(&tally("king-post", "5", "spoiled", "", ""))
            .draft(&tally("king-post", "5", "cut", "", ""));
        assert_eq!(lacks(&trial.house(), "ridge", Item::KingPost), (0.0, 0.0));
    }

    #[test]
    fn what_comes_without_a_size_is_of_the_size_that_was_promised() {
        let trial = Trial::new("Tern house")
            .draft(&tally("post", "10", "promised", "2 m", "10 cm"))
            .draft(&tally("post", "6", "delivered", "", ""));
        assert_eq!(lacks(&trial.house(), "posts", Item::Post), (10.0, 6.0));
        // Two more than were promised: of those nobody knows a size.
        let all = trial.draft(&tally("post", "6", "delivered", "", ""));
        assert_eq!(lacks(&all.house(), "posts", Item::Post), (8.0, 10.0));
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
    fn what_goes_before_it_came_goes_of_what_comes_next() {
        let small = |how| Tally { of: of(Some(2.0), Some(0.1)), ..bare(how, 5.0) };
        let now = walked(&[bare(How::Used, 5.0), bare(How::Lost, 3.0), small(How::Cut), small(How::Found)]);
        assert_eq!((sum(&now.lying), sum(&now.built_in), small_in(&now)), (2.0, 5.0, 7.0));
        let torn = walked(&[bare(How::TornOff, 2.0), small(How::Cut), bare(How::Used, 5.0)]);
        assert_eq!((sum(&torn.lying), sum(&torn.built_in), small_in(&torn)), (0.0, 3.0, 3.0));
    }

    #[test]
    fn long_pieces_that_are_too_thin_do_not_go_before_good_ones() {
        let trial = Trial::new("Tern house")
            .draft(&tally("post", "4", "cut", "5 m", "8 cm"))
            .draft(&tally("post", "4", "cut", "3.1 m", "18 cm"))
            .draft(&tally("post", "3", "spoiled", "", ""));
        assert_eq!(lacks(&trial.house(), "posts", Item::Post), (9.0, 4.0));
    }

    /// What one post more that is moved to another house is told to be.
    fn moved(trial: &Trial, length: &str, thick: &str) -> Result<(Option<f64>, Option<f64>), String> {
        let mut draft = tally("post", "1", "moved", length, thick);
        if let Draft::Tally { to, .. } = &mut draft {
            *to = Some(Uuid::max());
        }
        match draft.decide(&trial.house(), "Oru") {
            Ok(all) => match &all[0] {
                crate::build::entry::What::Tally(tally) => Ok((tally.of.length_m, tally.of.top_d_m)),
                other => Err(format!("{other:?}")),
            },
            Err(refused) => Err(refused[0].to_string()),
        }
    }

    #[test]
    fn what_is_moved_is_told_with_the_size_it_has_here() {
        let small = Trial::new("Tern house").draft(&tally("post", "4", "cut", "2 m", "10 cm"));
        assert_eq!(moved(&small, "", ""), Ok((Some(2.0), Some(0.1))));
        assert_eq!(moved(&small, "2 m", ""), Ok((Some(2.0), Some(0.1))));
        assert_eq!(moved(&small, "3.1 m", "18 cm"), Ok((Some(3.1), Some(0.18))), "measured anew");
        let two = small.clone().draft(&tally("post", "8", "cut", "", ""));
        let refused = moved(&two, "", "").unwrap_err();
        assert_eq!(
            refused,
            "length: posts of several sizes lie here (4 of 2 m x 10 cm, 8 of no known size); say which: \
             length, thick"
        );
        // Built in or gone, they are not those that move.
        let gone = two.draft(&tally("post", "4", "spoiled", "2 m", ""));
        assert_eq!(moved(&gone, "", ""), Ok((None, None)));
        let good = gone.draft(&tally("post", "1", "cut", "3.2 m", "18 cm"));
        assert_eq!(moved(&good, "", ""), Ok((None, None)), "all of them do");
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

    fn of(length_m: Option<f64>, top_d_m: Option<f64>) -> Stem {
        Stem { length_m, top_d_m, ..Stem::default() }
    }

    fn bare(how: How, count: f64) -> Tally {
        Tally { item: Item::Post, count, how, to: None, remark: String::new(), of: Stem::default() }
    }

    fn walked(tallies: &[Tally]) -> Measured {
        let worked = Trial::new("Tern house").house().worked;
        let mut measured = Measured { needs: needs_of(Item::Post, &worked), ..Measured::default() };
        tallies.iter().for_each(|tally| measured.take(tally, Uuid::nil()));
        measured
    }

    fn sum(sizes: &Sizes) -> f64 {
        sizes.values().fold(0.0, |sum, count| sum + count)
    }

    /// How many that lie there or are built in are too small.
    fn small_in(measured: &Measured) -> f64 {
        let all = measured.lying.iter().chain(&measured.built_in);
        let small = all.filter(|(size, _)| !does_any(**size, &measured.needs));
        small.fold(0.0, |sum, (_, count)| sum + count)
    }

    /// A movement of one to nine posts, of a size or of none.
    fn a_tally() -> impl Strategy<Value = Tally> {
        let length = prop::option::of(prop::sample::select(vec![2.0, 3.2, 5.0]));
        let thick = prop::option::of(prop::sample::select(vec![0.08, 0.18]));
        let how = prop::sample::select(How::ALL.to_vec());
        (how, 1_u32..10, length, thick, any::<bool>()).prop_map(|(how, count, length, thick, here)| {
            let to = (how == How::Moved).then(|| if here { Uuid::nil() } else { Uuid::max() });
            Tally { to, of: of(length, thick), ..bare(how, f64::from(count)) }
        })
    }

    proptest! {
        /// What is known of sizes is of as many pieces as there are, whatever
        /// came and went; and no more are small than came small.
        #[test]
        fn no_more_are_small_than_there_are(tallies in prop::collection::vec(a_tally(), 1..30)) {
            let (mut heap, mut small_came, mut kept) = (Heap::default(), 0.0, Vec::new());
            let needs = walked(&[]).needs;
            for tally in tallies {
                let after = heap.after(&tally, Uuid::nil());
                if after.lacks_more_than(&heap) {
                    continue;
                }
                heap = after;
                let comes = matches!(tally.how, How::Cut | How::Woven | How::Bought | How::Found | How::Promised)
                    || tally.to == Some(Uuid::nil())
                    || tally.how == How::Delivered;
                if comes && !does_any(told(&tally.of), &needs) {
                    small_came += tally.count;
                }
                kept.push(tally);
                let now = walked(&kept);
                prop_assert_eq!(sum(&now.lying), heap.on_hand);
                prop_assert_eq!(sum(&now.built_in), heap.used);
                prop_assert_eq!(sum(&now.to_come), heap.promised);
                prop_assert!(now.ahead.is_empty());
                prop_assert!(small_in(&now) <= small_came);
            }
        }

        /// Where more went than came, too.
        #[test]
        fn no_more_are_small_than_two_books_tell_of(tallies in prop::collection::vec(a_tally(), 1..30)) {
            let heap = tallies.iter().fold(Heap::default(), |heap, t| heap.after(t, Uuid::nil()));
            let now = walked(&tallies);
            prop_assert_eq!(sum(&now.lying), heap.on_hand.max(0.0));
            let there = heap.on_hand.max(0.0) + heap.used.max(0.0);
            for need in &now.needs {
                let lots = now.there(there);
                prop_assert!(lots.too_small(need) <= there);
                prop_assert_eq!(lots.too_small(need) + lots.that_do(need), there);
            }
        }
    }
}
