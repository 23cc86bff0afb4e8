//! The heaps of all houses, against a plain recount of what was written.

use std::collections::BTreeMap;

use proptest::prelude::*;
use spanwright::book::{Book, NotKept, Opening, Stamp};
use spanwright::build::House;
use spanwright::build::brief::BriefText;
use spanwright::build::draft::{Draft, StemSaid};
use tempfile::{TempDir, tempdir};
use uuid::Uuid;

const HOUSES: usize = 3;
const ITEMS: [&str; 3] = ["panel", "post", "cord"];
const WAYS: [&str; 11] = [
    "cut",
    "woven",
    "bought",
    "found",
    "promised",
    "delivered",
    "moved",
    "used",
    "spoiled",
    "lost",
    "torn-off",
];

/// What is tried on the book.
#[derive(Debug, Clone)]
enum Act {
    Tally {
        house: usize,
        item: usize,
        way: usize,
        count: u32,
        to: usize,
    },
    /// Strikes one of the tallies kept so far.
    Strike(prop::sample::Index),
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        4 => (0..HOUSES, 0..ITEMS.len(), 0..WAYS.len(), 1..20_u32, 0..HOUSES)
            .prop_map(|(house, item, way, count, to)| Act::Tally { house, item, way, count, to }),
        1 => any::<prop::sample::Index>().prop_map(Act::Strike),
    ]
}

/// One line of the recount.
struct Line {
    entry: Uuid,
    house: usize,
    item: usize,
    way: &'static str,
    count: u32,
    to: usize,
    struck: bool,
}

/// What lies at a house, is built in, was ever built in and was lost in any
/// way: from the lines alone, item by item.
fn recount(lines: &[Line], house: usize, item: usize) -> [i64; 5] {
    let (mut on_hand, mut used, mut ever_used, mut spoiled, mut lost) = (0, 0, 0, 0, 0);
    for line in lines.iter().filter(|l| !l.struck && l.item == item) {
        let n = i64::from(line.count);
        if line.house == house {
            match line.way {
                "promised" => {}
                "moved" => on_hand -= n,
                "used" => (on_hand, used, ever_used) = (on_hand - n, used + n, ever_used + n),
                "torn-off" => (used, lost) = (used - n, lost + n),
                "spoiled" => (on_hand, spoiled) = (on_hand - n, spoiled + n),
                "lost" => (on_hand, lost) = (on_hand - n, lost + n),
                _ => on_hand += n,
            }
        } else if line.way == "moved" && line.to == house {
            on_hand += n;
        }
    }
    [on_hand, used, ever_used, spoiled, lost]
}

struct Village {
    _folder: TempDir,
    book: Book,
    houses: Vec<Uuid>,
    lines: Vec<Line>,
}

impl Village {
    fn new() -> Self {
        let folder = tempdir().expect("a folder");
        let mut book =
            Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        let start = |book: &mut Book, number: usize| {
            let mut said = BriefText::default();
            for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp")] {
                said.say(field, text);
            }
            let draft = Draft::Start { name: format!("House {number}"), said };
            book.keep_draft(None, &draft, &stamp()).expect("started").entry
        };
        let houses = (0..HOUSES).map(|number| start(&mut book, number)).collect();
        Self { _folder: folder, book, houses, lines: Vec::new() }
    }

    /// Does what is asked, and keeps the recount; what is refused must be past
    /// what there is.
    fn take(&mut self, act: &Act) {
        match act {
            Act::Tally { house, item, way, count, to } => self.tally(*house, *item, *way, *count, *to),
            Act::Strike(at) if !self.lines.is_empty() => {
                let at = at.index(self.lines.len());
                let draft = Draft::Strike { entry: self.lines[at].entry, why: "counted twice".to_owned() };
                let kept = self.book.keep_draft(None, &draft, &stamp());
                let before = self.lines[at].struck;
                self.lines[at].struck = true;
                // Whoever would be left with less than nothing bars the strike.
                let item = self.lines[at].item;
                let overdrawn = (0..HOUSES).any(|house| {
                    let [on_hand, used, ..] = recount(&self.lines, house, item);
                    on_hand < 0 || used < 0
                });
                assert_eq!(kept.is_ok(), !before && !overdrawn, "{kept:?}");
                self.lines[at].struck = before || kept.is_ok();
            }
            Act::Strike(_) => {}
        }
    }

    fn tally(&mut self, house: usize, item: usize, way: usize, count: u32, to: usize) {
        let way = WAYS[way];
        let moved = way == "moved";
        let draft = Draft::Tally {
            item: ITEMS[item].to_owned(),
            count: count.to_string(),
            how: way.to_owned(),
            to: moved.then(|| self.houses[to]),
            remark: String::new(),
            of: StemSaid::default(),
        };
        let [on_hand, used, ..] = recount(&self.lines, house, item);
        let there = if way == "torn-off" { used } else { on_hand };
        let goes = matches!(way, "moved" | "used" | "spoiled" | "lost" | "torn-off");
        match self.book.keep_draft(Some(self.houses[house]), &draft, &stamp()) {
            Ok(kept) => {
                assert!(!goes || i64::from(count) <= there, "{draft:?} with {there}");
                let line = Line { entry: kept.entry, house, item, way, count, to, struck: false };
                self.lines.push(line);
            }
            Err(NotKept::Refused(why)) => {
                assert!(goes && i64::from(count) > there || moved && to == house, "{draft:?}: {why:?}");
            }
            Err(other) => panic!("{other}"),
        }
    }

    fn agrees(&self) {
        let (glances, untold) = self.book.glances().expect("read");
        assert_eq!(untold, []);
        for (number, id) in self.houses.iter().enumerate() {
            let house = House::of(*id, &self.book.entries_of(Some(*id)).expect("read")).expect("a house");
            let glance = glances.iter().find(|g| g.id == *id).expect("a glance");
            let kept: BTreeMap<_, _> = glance.stock.iter().map(|s| (s.item, s.heap)).collect();
            for (at, item) in ITEMS.iter().enumerate() {
                let item = item.parse().expect("an item");
                let counted = recount(&self.lines, number, at).map(|n| n as f64);
                let heap = house.heaps.get(&item).copied().unwrap_or_default();
                assert_eq!([heap.on_hand, heap.used, heap.ever_used, heap.spoiled, heap.lost], counted);
                assert_eq!(kept.get(&item).copied().unwrap_or_default(), heap, "as it is kept at a glance");
            }
        }
    }
}

fn stamp() -> Stamp {
    let now = "2030-10-14T08:00:00+10:00".parse().expect("a moment");
    Stamp { at: now, now, by: "Oru".to_owned() }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]
    #[test]
    fn heaps_never_disagree_with_a_plain_recount(acts in prop::collection::vec(act(), 1..40)) {
        let mut village = Village::new();
        for (turn, act) in acts.iter().enumerate() {
            village.take(act);
            if turn.is_multiple_of(8) {
                village.agrees();
            }
        }
        village.agrees();
        prop_assert_eq!(village.book.verify().expect("verified"), vec![]);
    }
}
