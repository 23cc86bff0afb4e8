//! Books to measure with: an invented village that has built for years, its
//! entries written the way builders write them.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use chrono::{Duration, NaiveTime, TimeDelta, TimeZone, Utc};
use spanwright::book::{Book, Ids, Opening, Stamp};
use spanwright::build::accept;
use spanwright::build::brief::BriefText;
use spanwright::build::draft::Draft;
use spanwright::build::entry::{
    Entry, How, Item, Moment, Parts, PointName, Reading, SignOff, Stem, Tally, Value, What,
};
use spanwright::build::readings::Readings;
use spanwright::build::stage::{Goal, Point, PointKind, STAGES, Stage};
use spanwright::build::worked::Worked;
use uuid::Uuid;

const PEOPLE: [&str; 8] = ["Oru", "Tavi", "Leni", "Sabo", "Mirel", "Ondo", "Pelu", "Kasha"];
/// Storms that stopped every house, in all the years.
const STORMS: u32 = 60;
/// From the start of one house to the next.
const PACE: TimeDelta = Duration::days(6);
/// From one entry of a house to the next.
const STEP: TimeDelta = Duration::minutes(17);
/// Entries kept in one transaction.
const BATCH: usize = 5000;

/// How much is in a book.
#[derive(Debug, Clone, Copy, Hash)]
pub struct Size {
    pub houses: u32,
    /// For all houses together.
    pub entries: u32,
}

/// The book of a size; kept from one run to the next.
pub fn book(size: Size) -> PathBuf {
    let mut digest = DefaultHasher::new();
    (size, include_str!("village.rs")).hash(&mut digest);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let path = folder.join(format!("village-{}-{:016x}.spanwright", size.houses, digest.finish()));
    if !path.exists() {
        let new = path.with_extension("new");
        for ending in ["new", "new-wal", "new-shm"] {
            let _ = fs::remove_file(path.with_extension(ending));
        }
        write(&new, size);
        fs::rename(&new, &path).expect("the book is put in its place");
    }
    path
}

/// Writes a book in which a house was started, and nothing else.
pub fn started(path: &Path) {
    let mut book = Book::open(path, Opening::Create).expect("a new book");
    let start = Draft::Start { name: name(0), said: said(0) };
    let stamp = Stamp { at: begin(), now: begin(), by: PEOPLE[0].to_owned() };
    book.keep_draft(None, &start, &stamp).expect("a house that can be built");
}

fn write(path: &Path, size: Size) {
    let mut book = Book::open(path, Opening::Create).expect("a new book");
    // Nobody works with it before it is whole.
    book.hurry().expect("a book that is written in a hurry");
    let mut entries = of_all(size.houses);
    let share = size.entries.saturating_sub(entries.len() as u32) / size.houses;
    let mut neighbour = None;
    for number in 0..size.houses {
        let story = Story::of(number, size.houses, share as usize, neighbour);
        neighbour = Some(story.house);
        entries.extend(story.entries);
    }
    entries.sort_by_key(Entry::order);
    for batch in entries.chunks(BATCH) {
        book.keep(batch).expect("entries that may be written");
    }
}

/// What is about all houses: everybody's measure, and the storms.
fn of_all(houses: u32) -> Vec<Entry> {
    let mut ids = Ids::new();
    let mut entries = Vec::new();
    let mut add = |happened: Moment, what| {
        let by = PEOPLE[0].to_owned();
        let id = ids.mint(&happened);
        entries.push(Entry { id, house: None, happened, written: happened, by, what });
    };
    for (at, name) in (0..).zip(PEOPLE) {
        let span_m = 1.6 + f64::from(at) * 0.03;
        let parts = Parts {
            span_m,
            half_span_m: Some(span_m / 2.0),
            forearm_m: Some(0.45),
            hand_m: None,
            breadth_m: None,
            finger_m: None,
        };
        add(begin() - Duration::days(1), What::Measure { name: name.to_owned(), parts });
    }
    let between = PACE * houses as i32 / STORMS as i32;
    for storm in 1..=STORMS {
        let at = begin() + between * storm as i32;
        add(at, What::Hold { cause: "storm".to_owned(), planned: false });
        add(at + between / 3, What::Resume);
    }
    entries
}

fn begin() -> Moment {
    Utc.with_ymd_and_hms(2026, 3, 2, 7, 0, 0).single().expect("a moment").fixed_offset()
}

/// A house from its start to where it has got.
struct Story {
    house: Uuid,
    brief: Uuid,
    at: Moment,
    ids: Ids,
    /// Readings since the last sign-off.
    read: Vec<Uuid>,
    entries: Vec<Entry>,
}

impl Story {
    fn of(number: u32, houses: u32, share: usize, neighbour: Option<Uuid>) -> Self {
        let said = said(number);
        let (house, brief, worked) = accept::start(&name(number), &said).expect("a house that can be built");
        let at = begin() + PACE * number as i32;
        let mut story = Self {
            house: Uuid::nil(),
            brief: Uuid::nil(),
            at,
            ids: Ids::new(),
            read: Vec::new(),
            entries: Vec::new(),
        };
        story.house = story.add(house);
        story.entries[0].house = Some(story.house);
        story.brief = story.add(brief);
        // Four houses in five are handed over, the others stand at every stage.
        let reach = if number * 5 < houses * 4 { STAGES.len() } else { number as usize % STAGES.len() };
        for (at, stage) in STAGES[..reach].iter().enumerate() {
            story.build(stage, &worked);
            if at == 3 && number % 5 == 1 {
                let mut said = said.clone();
                said.say("eave", "0.7 m");
                story.brief = story.add(What::Brief { said });
            }
        }
        story.look_after(share, &worked, neighbour);
        story
    }

    fn add(&mut self, what: What) -> Uuid {
        let id = self.ids.mint(&self.at);
        let by = PEOPLE[self.entries.len() % PEOPLE.len()].to_owned();
        let (house, at) = (Some(self.house), self.at);
        self.entries.push(Entry { id, house, happened: at, written: at, by, what });
        self.at += STEP;
        if self.at.time() > NaiveTime::MIN + Duration::hours(17) {
            self.at += Duration::hours(14);
        }
        id
    }

    /// Fetches what a stage takes, builds it in, reads every point and signs.
    fn build(&mut self, stage: &Stage, worked: &Worked) {
        for need in (stage.needs)(worked) {
            let count = need.count.ceil();
            self.tally(need.item, How::Promised, count, None);
            self.tally(need.item, How::Delivered, count + 2.0, None);
            self.tally(need.item, How::Used, count, None);
        }
        for point in (stage.points)(worked, &Readings::default()) {
            let turn = self.entries.len();
            let id = self.read(stage, &point, false);
            if turn.is_multiple_of(41) {
                self.add(What::Strike { entry: id, why: "read from the wrong mark".to_owned() });
                self.read(stage, &point, false);
            } else if turn.is_multiple_of(7) {
                self.read(stage, &point, true);
            }
        }
        let sign = SignOff {
            stage: stage.id.to_owned(),
            remark: "looked at by the whole crew".to_owned(),
            rested_on: std::mem::take(&mut self.read),
            brief: self.brief,
        };
        self.add(What::Sign(sign));
    }

    /// What is written of a house beside its stages: it is read again after
    /// storms, and panels come and go.
    fn look_after(&mut self, share: usize, worked: &Worked, neighbour: Option<Uuid>) {
        let stage = STAGES[2];
        let points = (stage.points)(worked, &Readings::default());
        let mut turn = 0;
        while self.entries.len() < share {
            turn += 1;
            match turn % 8 {
                1 => self.tally(Item::Panel, How::Woven, 12.0, None),
                2 => self.tally(Item::Panel, How::Used, 7.0, None),
                3 => self.tally(Item::Panel, How::Spoiled, 2.0, None),
                4 if neighbour.is_some() => self.tally(Item::Panel, How::Moved, 3.0, neighbour),
                _ => {
                    let point = &points[turn % points.len()];
                    self.read(stage, point, turn % 16 == 5);
                }
            }
        }
    }

    fn read(&mut self, stage: &Stage, point: &Point, again: bool) -> Uuid {
        let (value, said) = called_out(point, self.entries.len());
        let reading = Reading {
            point: PointName::new(stage.id, &point.id),
            said,
            value,
            again,
            with: "long rope".to_owned(),
            brief: self.brief,
        };
        let id = self.add(What::Reading(reading));
        self.read.push(id);
        id
    }

    fn tally(&mut self, item: Item, how: How, count: f64, to: Option<Uuid>) {
        let remark = "by the canoe of the outer landing".to_owned();
        self.add(What::Tally(Tally { item, count, how, to, remark, of: Stem::default() }));
    }
}

/// A reading close to what it should be, a few millimetres to either side.
fn called_out(point: &Point, turn: usize) -> (Value, String) {
    let off_m = (turn * 37 % 9) as f64 * 0.001 - 0.004;
    let target = point.goal.target();
    match point.kind {
        PointKind::YesNo => (Value::YesNo(true), "yes".to_owned()),
        PointKind::Count => {
            let count = target.unwrap_or(4.0);
            (Value::Count(count), format!("{count:.0}"))
        }
        PointKind::Angle => {
            let degrees = target.unwrap_or(120.0);
            (Value::Angle(degrees), format!("{degrees:.1}"))
        }
        PointKind::Pair => {
            let pair = Value::Pair { first_m: None, second_m: None, difference_m: off_m };
            (pair, format!("{:.0} mm", off_m * 1e3))
        }
        PointKind::Length | PointKind::Signed => {
            let off_m = if matches!(point.goal, Goal::NotLess { .. }) { off_m.abs() } else { off_m };
            let metres = target.unwrap_or(0.1) + off_m;
            (Value::Length(metres), format!("{metres:.3} m"))
        }
    }
}

fn name(number: u32) -> String {
    const FIRST: [&str; 6] = ["Tern", "Landing", "School", "Reef", "Heron", "Mangrove"];
    format!("{} house {}", FIRST[number as usize % FIRST.len()], number + 1)
}

fn said(number: u32) -> BriefText {
    let mut said = BriefText::default();
    let fields = [
        ("owner", PEOPLE[number as usize % PEOPLE.len()]),
        ("place", "Lee shore"),
        ("measure", "Oru"),
        ("span", "1.742 m"),
        ("length", ["4 sp", "5 sp", "6 sp"][number as usize % 3]),
        ("ratio", "3:4"),
    ];
    for (field, text) in fields {
        said.say(field, text);
    }
    said
}
