//! What the book does not take in, and how it says so.

use chrono::DateTime;
use spanwright::book::{Book, BookError, Ids};
use spanwright::build::entry::{
    Entry, How, Item, Kind, PointName, Reading, Stem, Value, Weather, What, Wood,
};
use uuid::Uuid;

use super::told::{Shelf, Teller, at};

/// A book with two houses that each have a brief and a reading.
struct Village {
    shelf: Shelf,
    teller: Teller,
    tern: Uuid,
    landing: Uuid,
    brief: Uuid,
    other_brief: Uuid,
    reading: Entry,
    other_reading: Entry,
}

impl Village {
    fn new() -> Self {
        let (shelf, mut teller) = (Shelf::new(), Teller::new());
        let (tern, landing) = (teller.starts("Tern house"), teller.starts("Landing house"));
        let (brief, other_brief) = (teller.briefs(tern.id), teller.briefs(landing.id));
        let reading = teller.reads(tern.id, brief.id, "ab", 6.97);
        let other_reading = teller.reads(landing.id, other_brief.id, "ab", 5.0);
        let village = Self {
            tern: tern.id,
            landing: landing.id,
            brief: brief.id,
            other_brief: other_brief.id,
            reading: reading.clone(),
            other_reading: other_reading.clone(),
            shelf,
            teller,
        };
        let told = [tern, landing, brief, other_brief, reading, other_reading];
        village.book().keep(&told).expect("kept");
        village
    }

    fn book(&self) -> Book {
        self.shelf.book()
    }

    /// Offers an entry after a good one: neither is kept, and this is why.
    fn says_no(&mut self, wrong: Entry) -> String {
        let good = self.teller.holds(None, "feast");
        let mut book = self.book();
        let before = book.entries_of(Some(self.tern)).expect("told");
        let kept = book.keep(&[good, wrong.clone()]);
        let Err(BookError::Refused { kind, id, why }) = kept else {
            panic!("{wrong:?} was refused: {kept:?}")
        };
        assert_eq!((kind, id), (wrong.what.kind(), wrong.id));
        assert_eq!(book.entries_of(Some(self.tern)).expect("told"), before, "neither is kept");
        why
    }

    fn reads(&mut self, value: Value) -> Entry {
        let mut entry = self.teller.reads(self.tern, self.brief, "ab", 1.0);
        if let What::Reading(reading) = &mut entry.what {
            reading.value = value;
        }
        entry
    }
}

#[test]
fn a_house_is_named_once_in_any_case_and_spacing() {
    let mut village = Village::new();
    for name in ["Tern house", "TERN  HOUSE", "tern house"] {
        let house = village.teller.starts(name);
        assert_eq!(village.says_no(house), "a house of this name is in the book already");
    }
    for name in [" Reef house", "Reef house\n", ""] {
        let house = village.teller.starts(name);
        assert!(village.says_no(house).starts_with("the name "), "{name:?}");
    }
    let long = village.teller.starts(&"reef ".repeat(100));
    assert!(village.says_no(long).starts_with("the name "));
    let mut elsewhere = village.teller.starts("Reef house");
    elsewhere.house = Some(village.tern);
    assert_eq!(village.says_no(elsewhere), "the entry that starts a house is about that house");
}

#[test]
fn an_entry_is_of_a_house_of_the_book() {
    let mut village = Village::new();
    let stranger = Ids::new().mint(&at(0));
    let mut reading = village.reads(Value::Length(1.0));
    reading.house = None;
    assert_eq!(village.says_no(reading.clone()), "it names no house");
    reading.house = Some(stranger);
    assert_eq!(village.says_no(reading), "its house is not in the book");
    let hold = village.teller.holds(Some(stranger), "storm");
    assert_eq!(village.says_no(hold), "its house is not in the book");
    let mut measure = village.teller.measures("Oru", 1.7);
    measure.house = Some(village.tern);
    assert_eq!(village.says_no(measure), "a measure is a person's and names no house");
}

#[test]
fn an_entry_is_written_once_and_by_somebody() {
    let mut village = Village::new();
    let again = village.reading.clone();
    assert_eq!(village.says_no(again), "an entry of this id is in the book already");
    let mut hold = village.teller.holds(None, "storm");
    hold.id = village.reading.id;
    assert_eq!(village.says_no(hold), "an entry of this id is in the book already");
    let mut unsigned = village.teller.holds(None, "storm");
    unsigned.by = String::new();
    assert_eq!(village.says_no(unsigned), "who says so is empty or over 400 bytes long");
    let mut old_id = village.teller.holds(None, "storm");
    old_id.id = Uuid::from_u128(0x1234);
    assert_eq!(village.says_no(old_id), "its id is not a UUID of version 7");
    let mut early = village.teller.holds(None, "storm");
    early.happened = DateTime::from_timestamp(-70_000_000_000, 0).expect("a moment").fixed_offset();
    assert_eq!(village.says_no(early), "when it happened is outside the years 1 to 9999");
}

#[test]
fn what_an_entry_goes_by_is_of_its_own_house() {
    let mut village = Village::new();
    let (tern, brief) = (village.tern, village.brief);
    let reading = village.teller.reads(tern, village.other_brief, "ab", 1.0);
    assert_eq!(village.says_no(reading), "the brief it goes by is of another house");
    let reading = village.teller.reads(tern, tern, "ab", 1.0);
    assert_eq!(village.says_no(reading), "it names an entry that is not in the book");
    let sign = village.teller.signs(tern, village.other_brief, vec![]);
    assert_eq!(village.says_no(sign), "the brief it goes by is of another house");
    let sign = village.teller.signs(tern, brief, vec![village.reading.id, village.other_reading.id]);
    assert_eq!(village.says_no(sign), "a reading it rests on is of another house");
    let sign = village.teller.signs(tern, brief, vec![brief]);
    assert_eq!(village.says_no(sign), "it names an entry that is not in the book");
}

#[test]
fn an_item_goes_to_another_house_or_to_none() {
    let mut village = Village::new();
    let (tern, landing) = (village.tern, village.landing);
    let stranger = Ids::new().mint(&at(0));
    for (item, count, how, to, why) in [
        (Item::Panel, 2.0, How::Moved, Some(tern), "it is given to the house that gives it"),
        (Item::Panel, 2.0, How::Moved, Some(stranger), "it names an entry that is not in the book"),
        (Item::Panel, 2.0, How::Moved, None, "what is moved goes to a house, and nothing else does"),
        (Item::Panel, 2.0, How::Woven, Some(landing), "what is moved goes to a house, and nothing else does"),
        (Item::Panel, -2.0, How::Woven, None, "the count is not within 0 to a thousand million"),
        (Item::Cord, f64::NAN, How::Cut, None, "the count is not within 0 to a thousand million"),
        (Item::Cord, f64::INFINITY, How::Cut, None, "the count is not within 0 to a thousand million"),
        (Item::Panel, 2.5, How::Woven, None, "only cord and packing stone come in parts of one"),
    ] {
        let tally = village.teller.tallies(tern, item, count, how, to);
        assert_eq!(village.says_no(tally), why);
    }
    let cord = village.teller.tallies(tern, Item::Cord, 2.5, How::Cut, None);
    village.book().keep(&[cord]).expect("cord comes in any length");
}

#[test]
fn a_number_is_a_number_and_within_reason() {
    let mut village = Village::new();
    let pair = |first_m, second_m| Value::Pair { first_m, second_m, difference_m: 0.0 };
    for (value, why) in [
        (Value::Length(f64::NAN), "the value is beyond a thousand million"),
        (Value::Angle(f64::NEG_INFINITY), "the value is beyond a thousand million"),
        (Value::Count(-1.0), "a count is not below nothing"),
        (pair(Some(1.0), None), "two lengths belong to a pair, and both of them"),
        (pair(Some(f64::NAN), Some(1.0)), "the first length is beyond a thousand million"),
        (pair(Some(1.0), Some(f64::INFINITY)), "the second length is beyond a thousand million"),
    ] {
        let reading = village.reads(value);
        assert_eq!(village.says_no(reading), why);
    }
    for (span_m, why) in
        [(-0.1, "the span is not within 0 to 1,000 m"), (f64::NAN, "the span is not within 0 to 1,000 m")]
    {
        let measure = village.teller.measures("Oru", span_m);
        assert_eq!(village.says_no(measure), why);
    }
    let mut measure = village.teller.measures("Oru", 1.7);
    if let What::Measure { parts, .. } = &mut measure.what {
        parts.finger_m = Some(f64::NAN);
    }
    assert_eq!(village.says_no(measure), "the finger is not within 0 to 1,000 m");
}

#[test]
fn an_entry_is_struck_once_and_a_strike_never() {
    let mut village = Village::new();
    let struck = village.reading.clone();
    let strike = village.teller.strikes(&struck, "wrong peg");
    let twice = village.teller.strikes(&struck, "wrong rope");
    village.book().keep(std::slice::from_ref(&strike)).expect("kept");
    assert_eq!(village.says_no(twice), "the entry is struck already");
    let of_strike = village.teller.strikes(&strike, "it was right");
    assert_eq!(village.says_no(of_strike), "a strike is not struck: write the entry again");
    let unheard = village.reads(Value::Length(1.0));
    let of_nothing = village.teller.strikes(&unheard, "never written");
    assert_eq!(village.says_no(of_nothing), "it names an entry that is not in the book");
    let mut elsewhere = village.teller.strikes(&village.other_reading, "wrong peg");
    elsewhere.house = Some(village.tern);
    assert_eq!(village.says_no(elsewhere), "the entry it strikes is not of the same house");
    let silent = village.teller.strikes(&village.other_reading, "");
    assert_eq!(village.says_no(silent), "why it is struck is empty or over 4,000 bytes long");
}

#[test]
fn words_are_bounded() {
    let mut village = Village::new();
    let long = "x".repeat(5000);
    let reading = |point: PointName, said: &str, with: &str, brief| {
        let value = Value::YesNo(true);
        What::Reading(Reading { point, said: said.into(), value, again: false, with: with.into(), brief })
    };
    let (ab, brief) = (PointName::new("set-out", "ab"), village.brief);
    for (what, why) in [
        (reading(PointName::new("", "ab"), "", "", brief), "the stage is empty or over 100 bytes long"),
        (reading(PointName::new("posts", &long), "", "", brief), "the point is empty or over 100 bytes long"),
        (reading(ab.clone(), &long, "", brief), "what was said is over 400 bytes long"),
        (reading(ab, "", &long, brief), "with what it was read is over 400 bytes long"),
        (What::Moved { point: PointName::new("set-out", "") }, "the peg is empty or over 100 bytes long"),
        (What::Hold { cause: String::new(), planned: true }, "the cause is empty or over 400 bytes long"),
    ] {
        let entry = village.teller.says(Some(village.tern), what);
        assert_eq!(village.says_no(entry), why);
    }
    let mut brief = village.teller.briefs(village.tern);
    if let What::Brief { said } = &mut brief.what {
        said.0.insert("remark".to_owned(), long.repeat(5));
    }
    assert_eq!(village.says_no(brief), "the brief is over 20,000 bytes long");
}

#[test]
fn what_the_houses_have_together_is_bounded_and_names_no_house() {
    let mut village = Village::new();
    let tern = village.tern;
    let all = village.teller.tells_of_everything();
    let of_kind = |kind: Kind| all.iter().find(|entry| entry.what.kind() == kind).expect("told").what.clone();
    for kind in [Kind::Permit, Kind::Crew, Kind::Closed, Kind::Weather, Kind::Wood] {
        let entry = village.teller.says(Some(tern), of_kind(kind));
        assert_eq!(village.says_no(entry), "it is for all houses and names none");
    }
    let day = village.teller.says(None, of_kind(Kind::CrewDay));
    assert_eq!(village.says_no(day), "it names no house");
    let answer = What::Answer { entry: village.other_reading.id, said: "it was wet".to_owned() };
    let answer = village.teller.says(Some(tern), answer);
    assert_eq!(village.says_no(answer), "the entry it answers is not of the same house");

    let wet = |chance| What::Weather(Weather { month: 6, chance });
    let wood = |density_kg_m3, durability| {
        What::Wood(Wood { name: "palm".to_owned(), density_kg_m3, class: "D18".to_owned(), durability })
    };
    for (what, why) in [
        (wet(0.96), "the chance is not within 0 to 0.95"),
        (wet(f64::NAN), "the chance is not within 0 to 0.95"),
        (wood(49.0, 3), "the density is not within 50 to 1,500 kg/m³"),
        (wood(500.0, 6), "the durability is not 1 to 5"),
        (What::Answer { entry: tern, said: String::new() }, "the answer is empty or over 4,000 bytes long"),
    ] {
        let entry = village.teller.says(None, what);
        assert_eq!(village.says_no(entry), why);
    }
}

#[test]
fn only_what_is_cut_of_a_tree_that_is_named_is_past_a_permit() {
    let mut village = Village::new();
    let tern = village.tern;
    let past = |tree: Option<&str>| Stem {
        tree: tree.map(str::to_owned),
        past_permit: Some("the storm felled them".to_owned()),
        ..Stem::default()
    };
    let mut tally = |how, of| {
        let mut entry = village.teller.tallies(tern, Item::Pole, 4.0, how, None);
        if let What::Tally(tally) = &mut entry.what {
            tally.of = of;
        }
        entry
    };
    let wrong = [tally(How::Bought, past(Some("mangrove"))), tally(How::Cut, past(None))];
    let right = tally(How::Cut, past(Some("mangrove")));
    for wrong in wrong {
        assert_eq!(village.says_no(wrong), "only what is cut is past a permit, and its tree is named");
    }
    village.book().keep(&[right]).expect("kept");
}

#[test]
fn what_is_declined_is_not_kept() {
    let mut village = Village::new();
    let mut book = village.book();
    let told = book.entries_of(Some(village.tern)).expect("told");
    let declined = book.decide(Some(village.tern), |seen| {
        assert_eq!(seen, told);
        Err::<Vec<Entry>, _>("not today")
    });
    assert_eq!(declined.expect("the book is sound"), Err("not today"));
    let hold = village.teller.holds(Some(village.tern), "mourning");
    let kept = book.decide(Some(village.tern), |_| Ok::<_, ()>(vec![hold.clone()]));
    assert_eq!(kept.expect("the book is sound"), Ok(vec![hold.id]));
    assert_eq!(book.entries_of(Some(village.tern)).expect("told").last(), Some(&hold));
}
