//! What is kept of a house at a glance holds until an entry is added to it.

use std::time::{Duration, Instant};

use spanwright::book::{Book, NotKept, Opening, Stamp};
use spanwright::build::brief::BriefText;
use spanwright::build::draft::{Draft, StemSaid};
use spanwright::build::entry::Item;
use spanwright::build::glance::Glance;
use spanwright::build::{House, Moment};
use tempfile::{TempDir, tempdir};
use uuid::Uuid;

use super::told::shell;

fn now() -> Moment {
    "2030-10-14T08:00:00+10:00".parse().expect("a moment")
}

struct Village {
    _folder: TempDir,
    book: Book,
}

impl Village {
    fn new() -> Self {
        let folder = tempdir().expect("a folder");
        let book = Book::open(&folder.path().join("village.spanwright"), Opening::Create).expect("a book");
        Self { _folder: folder, book }
    }

    fn keep(&mut self, house: Option<Uuid>, draft: &Draft) -> Result<Uuid, NotKept> {
        let stamp = Stamp { at: now(), now: now(), by: "Oru".to_owned() };
        self.book.keep_draft(house, draft, &stamp).map(|kept| kept.entry)
    }

    fn start(&mut self, name: &str) -> Uuid {
        let mut said = BriefText::default();
        for (field, text) in [("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp"), ("ratio", "3:4")] {
            said.say(field, text);
        }
        self.keep(None, &Draft::Start { name: name.to_owned(), said }).expect("started")
    }

    fn tally(&mut self, house: Uuid, count: &str, how: &str, to: Option<Uuid>) -> Uuid {
        let draft = Draft::Tally {
            item: "panel".to_owned(),
            count: count.to_owned(),
            how: how.to_owned(),
            to,
            remark: String::new(),
            of: StemSaid::default(),
        };
        self.keep(Some(house), &draft).expect("tallied")
    }

    /// The houses as they are kept, which must be as they are folded.
    fn glances(&self) -> Vec<Glance> {
        let (told, untold) = self.book.glances().expect("read");
        assert_eq!(untold, []);
        for glance in &told {
            let entries = self.book.entries_of(Some(glance.id)).expect("read");
            assert_eq!(*glance, Glance::of(&House::of(glance.id, &entries).expect("a house")));
        }
        told
    }

    fn panels(&self) -> Vec<f64> {
        let on_hand = |glance: &Glance| {
            glance.stock.iter().find(|s| s.item == Item::Panel).expect("panels are needed").heap.on_hand
        };
        self.glances().iter().map(on_hand).collect()
    }
}

#[test]
fn a_house_is_told_anew_after_each_entry_that_is_about_it() {
    let mut village = Village::new();
    let (tern, landing) = (village.start("Tern house"), village.start("Landing house"));
    assert_eq!(village.panels(), [0.0, 0.0]);
    village.tally(tern, "40", "woven", None);
    assert_eq!(village.panels(), [40.0, 0.0]);
    let moved = village.tally(tern, "12", "moved", Some(landing));
    assert_eq!(village.panels(), [28.0, 12.0]);
    village.keep(None, &Draft::Strike { entry: moved, why: "not carried yet".to_owned() }).expect("struck");
    assert_eq!(village.panels(), [40.0, 0.0]);
    village.keep(None, &Draft::Hold { cause: "storm".to_owned(), planned: false }).expect("held");
    assert!(village.glances().iter().all(|g| g.held_at(now()).is_some()));
    village.keep(None, &Draft::Resume).expect("resumed");
    assert!(village.glances().iter().all(|g| g.held_at(now()).is_none()));
}

#[test]
fn a_summary_that_is_not_what_the_entries_say_is_found() {
    let mut village = Village::new();
    let tern = village.start("Tern house");
    village.tally(tern, "40", "woven", None);
    village.start("Landing house");
    assert_eq!(village.glances().len(), 2);
    assert_eq!(village.book.verify().expect("verified"), []);
    let changed = shell(village.book.path())
        .execute("UPDATE summary SET told = replace(told, ':40.0', ':41.0')", [])
        .expect("no line of the book's own");
    assert!(changed > 0);
    let found = village.book.verify().expect("verified");
    let found: Vec<(&str, &str)> = found.iter().map(|f| (f.what.as_str(), f.place.as_str())).collect();
    let what = "what is kept of a house at a glance is not what its entries say";
    assert_eq!(found, [(what, tern.to_string().as_str())]);
}

#[test]
fn a_struck_house_is_not_among_them() {
    let mut village = Village::new();
    let tern = village.start("Tern house");
    assert_eq!(village.glances().len(), 1);
    village.keep(None, &Draft::Strike { entry: tern, why: "never begun".to_owned() }).expect("struck");
    assert_eq!(village.glances().len(), 0);
}

#[test]
fn who_writes_for_long_is_waited_for_once_however_many_houses_there_are() {
    let mut village = Village::new();
    for number in 0..120 {
        village.start(&format!("House {number}"));
    }
    let other = shell(village.book.path());
    other.execute_batch("BEGIN IMMEDIATE").expect("the other writes");
    let before = Instant::now();
    assert_eq!(village.book.glances().expect("read").0.len(), 120);
    // The book is waited for five seconds; it was three times, once for each fifty houses.
    assert!(before.elapsed() < Duration::from_secs(9), "{:?}", before.elapsed());
}
