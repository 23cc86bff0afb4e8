//! Sizes told of pieces, through what comes and goes.

use proptest::prelude::*;

use super::*;
use crate::build::draft::Draft;
use crate::build::heap::Heap;
use crate::build::house::House;
use crate::build::trial::Trial;

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
        let house = Trial::new("Tern house").draft(&Draft::sized("post", "5", "cut", length, thick)).house();
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
    let promised = Trial::new("Tern house").draft(&Draft::sized("post", "5", "promised", "2 m", "10 cm"));
    assert_eq!(lacks(&promised.house(), "posts", Item::Post), (10.0, 0.0));
    let good = promised.draft(&Draft::sized("post", "3", "promised", "", ""));
    assert_eq!(lacks(&good.house(), "posts", Item::Post), (7.0, 0.0));
    let came = good.draft(&Draft::sized("post", "5", "delivered", "2 m", "10 cm"));
    assert_eq!(lacks(&came.house(), "posts", Item::Post), (7.0, 5.0));
}

#[test]
fn what_is_as_long_as_it_was_told_is_long_enough() {
    // Rafters are 4.5439 m long, and told to be 4.54 m.
    let trial = Trial::new("Tern house").draft(&Draft::sized("rafter", "30", "cut", "4.54 m", "8 cm"));
    assert_eq!(lacks(&trial.house(), "roof-frame", Item::Rafter), (4.0, 0.0));
}

#[test]
fn good_posts_go_before_small_ones() {
    let trial = Trial::new("Tern house")
        .draft(&Draft::sized("post", "4", "cut", "2 m", "10 cm"))
        .draft(&Draft::sized("post", "8", "cut", "", ""));
    assert_eq!(lacks(&trial.house(), "posts", Item::Post), (2.0, 4.0));
    let built = trial.clone().draft(&Draft::sized("post", "8", "used", "", ""));
    assert_eq!(lacks(&built.house(), "posts", Item::Post), (2.0, 4.0));
    // Built in or not, a small one is small.
    let all = built.draft(&Draft::sized("post", "4", "used", "", ""));
    assert_eq!(lacks(&all.house(), "posts", Item::Post), (2.0, 4.0));
    let lost = trial.draft(&Draft::sized("post", "10", "lost", "", ""));
    assert_eq!(lacks(&lost.house(), "posts", Item::Post), (10.0, 2.0));
}

#[test]
fn small_ones_that_are_gone_are_small_no_more() {
    let trial = Trial::new("Tern house")
        .draft(&Draft::sized("post", "4", "cut", "2 m", "10 cm"))
        .draft(&Draft::sized("post", "4", "lost", "2 m", "10 cm"))
        .draft(&Draft::sized("post", "3", "cut", "", ""));
    assert_eq!(lacks(&trial.house(), "posts", Item::Post), (7.0, 0.0));
}

/// Small pieces that are spoiled leave no shortage behind.
#[test]
fn what_is_spoiled_goes_of_what_lay_there_then() {
    let trial = Trial::new("Tern house")
        .draft(&Draft::sized("king-post", "5", "cut", "1 m", ""))
        .draft(&Draft::sized("king-post", "5", "spoiled", "", ""))
        .draft(&Draft::sized("king-post", "5", "cut", "", ""));
    assert_eq!(lacks(&trial.house(), "ridge", Item::KingPost), (0.0, 0.0));
}

#[test]
fn what_comes_without_a_size_is_of_the_size_that_was_promised() {
    let trial = Trial::new("Tern house")
        .draft(&Draft::sized("post", "10", "promised", "2 m", "10 cm"))
        .draft(&Draft::sized("post", "6", "delivered", "", ""));
    assert_eq!(lacks(&trial.house(), "posts", Item::Post), (10.0, 6.0));
    // Two more than were promised: of those nobody knows a size.
    let all = trial.draft(&Draft::sized("post", "6", "delivered", "", ""));
    assert_eq!(lacks(&all.house(), "posts", Item::Post), (8.0, 10.0));
}

#[test]
fn braces_of_the_walls_are_too_short_for_the_slopes() {
    let trial = Trial::new("Tern house").draft(&Draft::sized("brace", "12", "cut", "1.5 m", "8 cm"));
    assert_eq!(lacks(&trial.house(), "beams", Item::Brace), (0.0, 0.0));
    assert_eq!(lacks(&trial.house(), "ridge", Item::Brace), (4.0, 4.0));
    // The short ones go into the walls, though long ones lie there too.
    let long = trial.draft(&Draft::sized("brace", "4", "cut", "4.6 m", "8 cm"));
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
        .draft(&Draft::sized("post", "4", "cut", "5 m", "8 cm"))
        .draft(&Draft::sized("post", "4", "cut", "3.1 m", "18 cm"))
        .draft(&Draft::sized("post", "3", "spoiled", "", ""));
    assert_eq!(lacks(&trial.house(), "posts", Item::Post), (9.0, 4.0));
}

/// What one post more that is moved to another house is told to be.
fn moved(trial: &Trial, length: &str, thick: &str) -> Result<(Option<f64>, Option<f64>), String> {
    let mut draft = Draft::sized("post", "1", "moved", length, thick);
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
    let small = Trial::new("Tern house").draft(&Draft::sized("post", "4", "cut", "2 m", "10 cm"));
    assert_eq!(moved(&small, "", ""), Ok((Some(2.0), Some(0.1))));
    assert_eq!(moved(&small, "2 m", ""), Ok((Some(2.0), Some(0.1))));
    assert_eq!(moved(&small, "3.1 m", "18 cm"), Ok((Some(3.1), Some(0.18))), "measured anew");
    let two = small.clone().draft(&Draft::sized("post", "8", "cut", "", ""));
    let refused = moved(&two, "", "").unwrap_err();
    assert_eq!(
        refused,
        "length: posts of several sizes lie here (4 of 2 m x 10 cm, 8 of no known size); say which: \
         length, thick"
    );
    // Built in or gone, they are not those that move.
    let gone = two.draft(&Draft::sized("post", "4", "spoiled", "2 m", ""));
    assert_eq!(moved(&gone, "", ""), Ok((None, None)));
    let good = gone.draft(&Draft::sized("post", "1", "cut", "3.2 m", "18 cm"));
    assert_eq!(moved(&good, "", ""), Ok((None, None)), "all of them do");
}

#[test]
fn a_brief_that_asks_less_lets_small_posts_count() {
    let trial = Trial::new("Tern house").draft(&Draft::sized("post", "5", "cut", "3.2 m", "16 cm"));
    assert_eq!(lacks(&trial.house(), "posts", Item::Post), (10.0, 5.0));
    let thinner = Draft::Brief { changes: vec![("post_d".to_owned(), "16 cm".to_owned())] };
    assert_eq!(lacks(&trial.draft(&thinner).house(), "posts", Item::Post), (5.0, 0.0));
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
