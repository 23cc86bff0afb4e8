//! Entries of an invented village, and books to keep them in.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{DateTime, Duration, NaiveDate, Weekday};
use rusqlite::Connection;
use spanwright::book::{Book, Ids, Opening};
use spanwright::build::brief::BriefText;
use spanwright::build::entry::{
    Closed, ClosedDays, Crew, CrewDay, Entry, How, Item, Joint, Kind, Moment, Parts, Permit, PointName, Pull,
    Reading, Secure, SignOff, Stem, Tally, TieDown, Value, Weather, What, Wood, Work,
};
use tempfile::TempDir;
use uuid::Uuid;

/// A folder with a book in it; gone when the test is over.
pub struct Shelf(TempDir);

impl Shelf {
    pub fn new() -> Self {
        Self(TempDir::new().expect("a folder for the test"))
    }

    /// With an empty book.
    pub fn with_a_book() -> Self {
        let shelf = Self::new();
        drop(shelf.book());
        shelf
    }

    pub fn folder(&self) -> &Path {
        self.0.path()
    }

    pub fn path(&self) -> PathBuf {
        self.folder().join("village.spanwright")
    }

    pub fn book(&self) -> Book {
        Book::open(&self.path(), Opening::Create).expect("the book opens")
    }

    /// The book as any other SQLite program would have it.
    pub fn shell(&self) -> Connection {
        shell(&self.path())
    }
}

#[expect(clippy::disallowed_methods, reason = "another program's hands on the file")]
pub fn shell(path: &Path) -> Connection {
    Connection::open(path).expect("SQLite opens the file")
}

pub fn at(minutes: i64) -> Moment {
    let start = DateTime::parse_from_rfc3339("2031-03-02T07:30:00+10:00").expect("a moment");
    start + Duration::minutes(minutes)
}

/// A person who tells entries, one a minute.
pub struct Teller {
    ids: Ids,
    minute: i64,
}

impl Teller {
    pub fn new() -> Self {
        Self { ids: Ids::new(), minute: 0 }
    }

    pub fn says(&mut self, house: Option<Uuid>, what: What) -> Entry {
        self.minute += 1;
        let moment = at(self.minute);
        let id = self.ids.mint(&moment);
        Entry { id, house, happened: moment, written: moment, by: "Oru".to_owned(), what }
    }

    pub fn starts(&mut self, name: &str) -> Entry {
        let mut entry = self.says(None, What::House { name: name.to_owned() });
        entry.house = Some(entry.id);
        entry
    }

    pub fn briefs(&mut self, house: Uuid) -> Entry {
        let fields = [("length", "4sp"), ("owner", "Oru"), ("place", "Lee shore")];
        let said = fields.map(|(field, words)| (field.to_owned(), words.to_owned()));
        self.says(Some(house), What::Brief { said: BriefText(BTreeMap::from(said)) })
    }

    pub fn reads(&mut self, house: Uuid, brief: Uuid, point: &str, metres: f64) -> Entry {
        let reading = Reading {
            point: PointName::new("set-out", point),
            said: format!("{metres}m"),
            value: Value::Length(metres),
            again: false,
            with: "rope".to_owned(),
            brief,
        };
        self.says(Some(house), What::Reading(reading))
    }

    pub fn gives(&mut self, from: Uuid, to: Uuid, count: f64) -> Entry {
        self.tallies(from, Item::Panel, count, How::Moved, Some(to))
    }

    pub fn tallies(&mut self, house: Uuid, item: Item, count: f64, how: How, to: Option<Uuid>) -> Entry {
        let remark = "by the shore path".to_owned();
        self.says(Some(house), What::Tally(Tally { item, count, how, to, remark, of: Stem::default() }))
    }

    pub fn signs(&mut self, house: Uuid, brief: Uuid, rested_on: Vec<Uuid>) -> Entry {
        let sign = SignOff { stage: "set-out".to_owned(), remark: String::new(), rested_on, brief };
        self.says(Some(house), What::Sign(sign))
    }

    pub fn measures(&mut self, name: &str, span_m: f64) -> Entry {
        let parts = Parts {
            span_m,
            half_span_m: Some(span_m / 2.0),
            forearm_m: None,
            hand_m: Some(0.2),
            breadth_m: None,
            finger_m: None,
        };
        self.says(None, What::Measure { name: name.to_owned(), parts })
    }

    pub fn holds(&mut self, house: Option<Uuid>, cause: &str) -> Entry {
        self.says(house, What::Hold { cause: cause.to_owned(), planned: false })
    }

    pub fn strikes(&mut self, struck: &Entry, why: &str) -> Entry {
        self.says(struck.house, What::Strike { entry: struck.id, why: why.to_owned() })
    }

    /// Two houses and an entry of every kind.
    pub fn tells_of_everything(&mut self) -> Vec<Entry> {
        let tern = self.starts("Tern house");
        let landing = self.starts("Landing house");
        let measure = self.measures("Oru", 1.742);
        let brief = self.briefs(tern.id);
        let reading = self.reads(tern.id, brief.id, "ab", 6.97);
        let peg = What::Moved { point: PointName::new("set-out", "c") };
        let moved = self.says(Some(tern.id), peg);
        let tally = self.gives(tern.id, landing.id, 12.0);
        let sign = self.signs(tern.id, brief.id, vec![reading.id]);
        let hold = self.holds(None, "storm");
        let resume = self.says(None, What::Resume);
        let strike = self.strikes(&reading, "read from the wrong peg");
        let mut told = vec![tern, landing, measure, brief, reading, moved, tally, sign, hold, resume, strike];
        told.extend(self.tells_of_the_village(told[0].id, told[4].id));
        for kind in Kind::ALL {
            assert!(told.iter().any(|entry| entry.what.kind() == *kind), "{kind} is told");
        }
        told
    }

    /// What the houses have together, and what came with it.
    fn tells_of_the_village(&mut self, tern: Uuid, reading: Uuid) -> Vec<Entry> {
        let day = |day| NaiveDate::from_ymd_opt(2031, 6, day).expect("a day");
        let permit =
            Permit { tree: "mangrove".to_owned(), count: 20, place: "the lagoon".to_owned(), until: day(30) };
        let crew = Crew { name: "kin".to_owned(), size: 6, works: vec![Work::Posts, Work::Beams] };
        let dates = ClosedDays::Dates { from: day(4), to: day(6) };
        let worked = CrewDay {
            crew: "kin".to_owned(),
            work: Work::Thatching,
            people: 4,
            share: 0.5,
            done: Some(32.0),
            remark: "rain from noon".to_owned(),
        };
        let wood = Wood {
            name: "mangrove".to_owned(),
            density_kg_m3: 830.0,
            class: "D50".to_owned(),
            durability: 3,
        };
        let pull = Pull {
            joint: Joint::Rafter,
            cord: "coir".to_owned(),
            newtons: 1300.0,
            said: "133 kg".to_owned(),
            remark: String::new(),
        };
        let made_fast = TieDown(BTreeMap::from([(Secure::Panels, true), (Secure::Tools, false)]));
        let all = [
            What::Permit(permit),
            What::Crew(crew),
            What::Closed(Closed { days: ClosedDays::Weekly(Weekday::Sun), cause: String::new() }),
            What::Closed(Closed { days: dates, cause: "feast".to_owned() }),
            What::Weather(Weather { month: 6, chance: 0.25 }),
            What::Wood(wood),
            What::TieDown(made_fast),
        ];
        let mut told: Vec<Entry> = all.into_iter().map(|what| self.says(None, what)).collect();
        let answer = What::Answer { entry: reading, said: "the rope was wet".to_owned() };
        let of_tern = [answer, What::CrewDay(worked), What::Pull(pull)];
        told.extend(of_tern.into_iter().map(|what| self.says(Some(tern), what)));
        told
    }
}
