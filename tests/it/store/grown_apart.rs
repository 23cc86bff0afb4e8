//! Copies of a book in which builders go on, each on their own, and come
//! together again.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use spanwright::book::{Book, Filter, NotKept, Opening, Stamp};
use spanwright::build::House;
use spanwright::build::brief::BriefText;
use spanwright::build::draft::{Draft, StemSaid};
use spanwright::build::entry::{Entry, How, Item, Moment, What};
use tempfile::{TempDir, tempdir};
use uuid::Uuid;

use super::merging::all;

/// What a builder may do next.
#[derive(Debug, Clone)]
enum Deed {
    Start(&'static str),
    Tally(usize, Item, u32, How),
    Read(usize, &'static str, u32),
    Move(usize, &'static str),
    Brief(usize, &'static str),
    Sign(usize, &'static str),
    Hold(Option<usize>),
    Resume(Option<usize>),
    /// The entry of this place among all, counted from the newest.
    Strike(usize),
}

fn deed() -> impl Strategy<Value = Deed> {
    let house = || 0..3_usize;
    prop_oneof![
        1 => select(vec!["Reef house", "reef  HOUSE", "Point house"]).prop_map(Deed::Start),
        6 => (house(), select(vec![Item::Panel, Item::Cord]), 1..30_u32, select(How::ALL))
            .prop_map(|(house, item, count, how)| Deed::Tally(house, item, count, how)),
        4 => (house(), select(vec!["ab", "bc", "cd", "da", "ac", "bd"]), 500..720_u32)
            .prop_map(|(house, side, cm)| Deed::Read(house, side, cm)),
        1 => (house(), select(vec!["a", "c"])).prop_map(|(house, peg)| Deed::Move(house, peg)),
        2 => (house(), select(vec!["4sp", "5sp", "6sp"])).prop_map(|(house, length)| Deed::Brief(house, length)),
        1 => (house(), select(vec!["centre-mark", "set-out"])).prop_map(|(house, stage)| Deed::Sign(house, stage)),
        2 => proptest::option::of(house()).prop_map(Deed::Hold),
        2 => proptest::option::of(house()).prop_map(Deed::Resume),
        4 => (0..12_usize).prop_map(Deed::Strike),
    ]
}

/// A book in a folder of its own.
struct Copy {
    folder: TempDir,
    book: Book,
}

fn moment(hour: i64) -> Moment {
    let start: Moment = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
    start + chrono::Duration::hours(hour)
}

impl Copy {
    fn new() -> Self {
        let folder = tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village"), Opening::Create).expect("a book");
        Self { folder, book }
    }

    fn of(other: &Book) -> Self {
        let folder = tempdir().expect("a folder");
        other.keep_copy(&folder.path().join("village")).expect("copied");
        let book = Book::open(&folder.path().join("village"), Opening::Existing).expect("the copy");
        Self { folder, book }
    }

    /// What comes of taking the other book into a copy of this one.
    fn with(&self, other: &Self) -> Self {
        let mut both = Self::of(&self.book);
        both.merge(other);
        both
    }

    fn merge(&mut self, other: &Self) -> u64 {
        self.book.merge(&other.folder.path().join("village")).expect("merged").new_count()
    }

    fn houses(&self) -> Vec<Uuid> {
        self.book.houses(None, 100).expect("houses").into_iter().map(|house| house.id).collect()
    }

    fn keep(&mut self, house: Option<Uuid>, draft: &Draft, hour: i64) -> Option<Uuid> {
        let stamp = Stamp { at: moment(hour), now: moment(hour), by: "Oru".to_owned() };
        match self.book.keep_draft(house, draft, &stamp) {
            Ok(kept) => Some(kept.entry),
            Err(NotKept::Refused(_)) => None,
            Err(NotKept::Book(error)) if error.is_input() => None,
            Err(error) => panic!("{draft:?}: {error}"),
        }
    }

    fn start(&mut self, name: &str, hour: i64) -> Option<Uuid> {
        let mut said = BriefText::default();
        for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp"), ("ratio", "3:4")] {
            said.say(field, text);
        }
        self.keep(None, &Draft::Start { name: name.to_owned(), said }, hour)
    }

    fn tally(&mut self, house: Uuid, item: Item, count: u32, how: How, to: Option<Uuid>, hour: i64) {
        let draft = Draft::Tally {
            item: item.word().to_owned(),
            count: count.to_string(),
            how: how.word().to_owned(),
            to,
            remark: String::new(),
            of: StemSaid::default(),
        };
        self.keep(Some(house), &draft, hour);
    }

    /// Does it where it can be done; a book may refuse it.
    fn does(&mut self, deed: &Deed, hour: i64) {
        let houses = self.houses();
        let house = |place: usize| houses.get(place % houses.len().max(1)).copied();
        let (about, draft) = match deed {
            Deed::Start(name) => {
                self.start(name, hour);
                return;
            }
            Deed::Tally(at, item, count, how) => {
                let Some(from) = house(*at) else { return };
                let to = (*how == How::Moved).then(|| house(at + 1)).flatten();
                self.tally(from, *item, *count, *how, to, hour);
                return;
            }
            Deed::Read(at, side, cm) => {
                let draft = Draft::Reading {
                    point: format!("set-out/{side}"),
                    value: format!("{cm}"),
                    again: false,
                    with: "rope".to_owned(),
                    whose: None,
                    bare: None,
                };
                (house(*at), draft)
            }
            Deed::Move(at, peg) => (house(*at), Draft::Moved { point: format!("set-out/{peg}") }),
            Deed::Brief(at, length) => {
                (house(*at), Draft::Brief { changes: vec![("length".to_owned(), (*length).to_owned())] })
            }
            Deed::Sign(at, stage) => {
                (house(*at), Draft::Sign { stage: (*stage).to_owned(), remark: "by eye".to_owned() })
            }
            Deed::Hold(at) => (at.and_then(house), Draft::Hold { cause: "storm".to_owned(), planned: false }),
            Deed::Resume(at) => (at.and_then(house), Draft::Resume),
            Deed::Strike(place) => {
                let lines = self.book.log(&Filter::default()).expect("read");
                let Some(line) = lines.get(*place) else { return };
                (None, Draft::Strike { entry: line.entry.id, why: format!("at hour {hour}") })
            }
        };
        if about.is_some() || matches!(deed, Deed::Hold(None) | Deed::Resume(None) | Deed::Strike(_)) {
            self.keep(about, &draft, hour);
        }
    }

    /// Every house as it is folded, but for the number after its name, which
    /// is each book's own.
    fn folded(&self) -> Vec<String> {
        let plain = |mut entry: Entry| {
            if let What::House { name } = &mut entry.what {
                *name = name.split(" (").next().unwrap_or_default().to_owned();
            }
            entry
        };
        let fold = |id: Uuid| {
            let told = self.book.entries_of(Some(id)).expect("told").into_iter().map(plain);
            format!("{:?}", House::of(id, &told.collect::<Vec<_>>()).expect("a house that can be told"))
        };
        self.houses().into_iter().map(fold).collect()
    }

    /// The heaps are what came in less what went out, counted one by one.
    fn heaps_agree(&self) {
        let lines = self.book.log(&Filter { limit: u32::MAX, ..Filter::default() }).expect("read");
        for id in self.houses() {
            let house = House::of(id, &self.book.entries_of(Some(id)).expect("told")).expect("a house");
            for item in [Item::Panel, Item::Cord] {
                let counted: f64 = lines
                    .iter()
                    .filter(|line| line.struck.is_none())
                    .filter_map(|line| match &line.entry.what {
                        What::Tally(tally) if tally.item == item => Some((line.entry.house, tally)),
                        _ => None,
                    })
                    .map(|(at, tally)| match tally.how {
                        How::Promised | How::TornOff => 0.0,
                        How::Cut | How::Woven | How::Bought | How::Found | How::Delivered
                            if at == Some(id) =>
                        {
                            tally.count
                        }
                        How::Moved if tally.to == Some(id) => tally.count,
                        _ if at == Some(id) => -tally.count,
                        _ => 0.0,
                    })
                    .sum();
                let on_hand = house.heaps.get(&item).map_or(0.0, |heap| heap.on_hand);
                assert_eq!(on_hand, counted, "{item} at {}", house.name);
                let lacks = house.lacking().find(|(of, _)| *of == item).map(|(_, more)| more);
                assert_eq!(lacks, (counted < 0.0).then_some(-counted));
            }
        }
    }
}

/// A book with two houses and some panels at each.
fn village() -> Copy {
    let mut book = Copy::new();
    for name in ["Tern house", "Landing house"] {
        let house = book.start(name, 0).expect("started");
        book.tally(house, Item::Panel, 40, How::Woven, None, 0);
        book.tally(house, Item::Cord, 25, How::Bought, None, 0);
    }
    book
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]
    #[test]
    fn two_books_that_grew_apart_tell_the_same_whichever_takes_in_the_other(
        mine in vec((deed(), 0..60_i64), 0..20),
        theirs in vec((deed(), 0..60_i64), 0..20),
    ) {
        let start = village();
        let (mut one, mut other) = (Copy::of(&start.book), Copy::of(&start.book));
        for (deed, hour) in &mine {
            one.does(deed, *hour);
        }
        for (deed, hour) in &theirs {
            other.does(deed, *hour);
        }
        let (mut both, mut turned) = (one.with(&other), other.with(&one));
        prop_assert_eq!(all(&both.book), all(&turned.book));
        prop_assert_eq!(both.folded(), turned.folded());
        for book in [&both, &turned] {
            let (_, untold) = book.book.glances().expect("told");
            prop_assert_eq!(untold, vec![]);
            prop_assert_eq!(book.book.verify().expect("verified"), vec![]);
            book.heaps_agree();
        }
        prop_assert_eq!((both.merge(&turned), turned.merge(&both)), (0, 0));
        prop_assert_eq!((both.merge(&one), both.merge(&other)), (0, 0));
    }
}

#[test]
fn what_each_book_used_of_one_heap_is_told_and_doubted() {
    let start = village();
    let (mut one, mut other) = (Copy::of(&start.book), Copy::of(&start.book));
    let tern = start.houses()[0];
    one.tally(tern, Item::Panel, 30, How::Used, None, 5);
    other.tally(tern, Item::Panel, 25, How::Used, None, 6);
    let merged = one.book.merge(&other.folder.path().join("village")).expect("merged");
    let [lacking] = merged.lacking.as_slice() else { panic!("{:?}", merged.lacking) };
    assert_eq!((lacking.house, lacking.item, lacking.count), (tern, Item::Panel, 15.0));
    let house = House::of(tern, &one.book.entries_of(Some(tern)).expect("told")).expect("a house");
    let doubt = &house.doubts[0];
    assert_eq!((doubt.what.as_str(), doubt.since), ("panel", moment(6)));
    assert_eq!(doubt.cause, "15 panels more gone than came; count the heap, and tally it");
    one.tally(tern, Item::Panel, 15, How::Found, None, 7);
    let house = House::of(tern, &one.book.entries_of(Some(tern)).expect("told")).expect("a house");
    assert_eq!(house.doubts, []);
}

#[test]
fn panels_given_away_in_both_books_are_missed_by_the_house_that_gave_them() {
    let start = village();
    let (mut one, mut other) = (Copy::of(&start.book), Copy::of(&start.book));
    let [tern, landing] = start.houses()[..] else { panic!("two houses") };
    one.tally(tern, Item::Panel, 40, How::Moved, Some(landing), 5);
    other.tally(landing, Item::Panel, 40, How::Moved, Some(tern), 5);
    other.tally(tern, Item::Panel, 80, How::Used, None, 6);
    let merged = one.book.merge(&other.folder.path().join("village")).expect("merged");
    assert_eq!(merged.lacking.iter().map(|l| (l.house, l.count)).collect::<Vec<_>>(), [(tern, 40.0)]);
    one.heaps_agree();
}

#[test]
fn a_brief_of_which_each_book_struck_another_version_goes_on_in_doubt() {
    let start = village();
    let tern = start.houses()[0];
    let mut one = Copy::of(&start.book);
    let change = |length: &str| Draft::Brief { changes: vec![("length".to_owned(), length.to_owned())] };
    let later = one.keep(Some(tern), &change("5sp"), 1).expect("kept");
    let mut other = Copy::of(&one.book);
    let versions = |copy: &Copy| -> Vec<Uuid> {
        let told = copy.book.entries_of(Some(tern)).expect("told");
        told.iter().filter(|e| matches!(e.what, What::Brief { .. })).map(|e| e.id).collect()
    };
    let first = versions(&one)[0];
    let strike = |entry| Draft::Strike { entry, why: "another house's".to_owned() };
    one.keep(None, &strike(first), 2).expect("struck");
    other.keep(None, &strike(later), 3).expect("struck");
    one.merge(&other);
    other.merge(&one);
    assert_eq!(one.folded(), other.folded());
    let house = House::of(tern, &one.book.entries_of(Some(tern)).expect("told")).expect("a house");
    assert_eq!((house.version.id, house.doubts[0].what.as_str()), (later, "brief"));
    one.keep(Some(tern), &change("6sp"), 4).expect("a brief can be said anew");
    let house = House::of(tern, &one.book.entries_of(Some(tern)).expect("told")).expect("a house");
    assert!(house.doubts.iter().all(|doubt| doubt.what != "brief"));
}

#[test]
fn a_doubt_tells_the_reason_of_the_strike_that_was_written_first() {
    let mut start = village();
    let tern = start.houses()[0];
    start.does(&Deed::Read(0, "ab", 697), 1);
    let reading = start.book.log(&Filter::default()).expect("read")[0].entry.id;
    start.does(&Deed::Sign(0, "set-out"), 2);
    let (mut one, mut other) = (Copy::of(&start.book), Copy::of(&start.book));
    let strike = |why: &str| Draft::Strike { entry: reading, why: why.to_owned() };
    one.keep(None, &strike("the rope was wet"), 6).expect("struck");
    other.keep(None, &strike("read from the wrong peg"), 4).expect("struck");
    let (both, turned) = (one.with(&other), other.with(&one));
    for copy in [&both, &turned] {
        let house = House::of(tern, &copy.book.entries_of(Some(tern)).expect("told")).expect("a house");
        let doubts: Vec<_> = house.doubts.iter().map(|doubt| (doubt.cause.as_str(), doubt.since)).collect();
        assert_eq!(doubts, [("a reading was struck: read from the wrong peg", moment(4))]);
    }
}

#[test]
fn holds_of_both_books_end_with_one_going_on() {
    let start = village();
    let (mut one, mut other) = (Copy::of(&start.book), Copy::of(&start.book));
    let [tern, landing] = start.houses()[..] else { panic!("two houses") };
    let hold = |cause: &str| Draft::Hold { cause: cause.to_owned(), planned: false };
    one.keep(None, &hold("storm"), 5).expect("held");
    other.keep(None, &hold("mourning"), 6).expect("held");
    other.keep(Some(tern), &hold("no panels"), 7);
    one.merge(&other);
    let held = |copy: &Copy, id| {
        let house = House::of(id, &copy.book.entries_of(Some(id)).expect("told")).expect("a house");
        house.held_at(house.last).map(|held| held.cause.clone())
    };
    assert!(held(&one, tern).is_some() && held(&one, landing).is_some());
    one.keep(None, &Draft::Resume, 9).expect("resumed");
    assert_eq!((held(&one, tern), held(&one, landing)), (None, None));
}
