//! Whatever can be said comes back as it was said.

use std::collections::BTreeMap;

use chrono::{DateTime, Days, FixedOffset, NaiveDate, Weekday};
use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use spanwright::build::brief::BriefText;
use spanwright::build::entry::{
    Closed, ClosedDays, Crew, CrewDay, Entry, How, Item, Joint, Moment, Parts, Permit, PointName, Pull,
    Reading, Secure, SignOff, Stem, Tally, TieDown, Value, Weather, What, Wood, Work,
};

use super::told::{Shelf, Teller};

/// Words of any letters there are, line ends and control characters too.
fn words(least: usize, most: usize) -> impl Strategy<Value = String> {
    vec(any::<char>(), least..=most).prop_map(|letters| letters.into_iter().collect())
}

fn moment() -> impl Strategy<Value = Moment> {
    let micros = -62_135_596_800_000_000_i64 + 86_400_000_000..=253_402_300_799_999_999 - 86_400_000_000;
    (micros, -1439..=1439_i32).prop_map(|(micros, minutes)| {
        let offset = FixedOffset::east_opt(minutes * 60).expect("an offset");
        DateTime::from_timestamp_micros(micros).expect("a moment").with_timezone(&offset)
    })
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![-1e9..=1e9_f64, -1.0..1.0_f64, Just(f64::MIN_POSITIVE), Just(-0.0)]
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        number().prop_map(Value::Length),
        number().prop_map(Value::Angle),
        (0.0..=1e9_f64).prop_map(Value::Count),
        any::<bool>().prop_map(Value::YesNo),
        (option::of((number(), number())), number()).prop_map(|(both, difference_m)| {
            let (first_m, second_m) = both.unzip();
            Value::Pair { first_m, second_m, difference_m }
        }),
    ]
}

fn parts() -> impl Strategy<Value = Parts> {
    let part = || option::of(0.0..=1000.0_f64);
    (0.0..=1000.0_f64, part(), part(), part(), part(), part()).prop_map(
        |(span_m, half_span_m, forearm_m, hand_m, breadth_m, finger_m)| Parts {
            span_m,
            half_span_m,
            forearm_m,
            hand_m,
            breadth_m,
            finger_m,
        },
    )
}

fn day() -> impl Strategy<Value = NaiveDate> {
    (1..=3_000_000_u64).prop_map(|days| {
        let first = NaiveDate::from_ymd_opt(1, 1, 1).expect("a day");
        first.checked_add_days(Days::new(days)).expect("a day before the year 9999")
    })
}

fn stem() -> impl Strategy<Value = Stem> {
    let length = || option::of(0.0..=1000.0_f64);
    (option::of(words(1, 100)), length(), length(), option::of(words(1, 100)))
        .prop_map(|(tree, length_m, top_d_m, past_permit)| Stem { tree, length_m, top_d_m, past_permit })
}

fn closed() -> impl Strategy<Value = Closed> {
    let weekly = (0..7_u8).prop_map(|n| ClosedDays::Weekly(Weekday::try_from(n).expect("a day")));
    let dates = (day(), day())
        .prop_map(|(one, other)| ClosedDays::Dates { from: one.min(other), to: one.max(other) });
    (prop_oneof![weekly, dates], words(0, 100)).prop_map(|(days, cause)| Closed { days, cause })
}

fn crew_day() -> impl Strategy<Value = CrewDay> {
    let share = (0.0..1.0_f64).prop_map(|less| 1.0 - less);
    let done = option::of(0.0..=1e9_f64);
    (words(1, 100), select(Work::ALL), 1..=1_000_000_u32, share, done, words(0, 100)).prop_map(
        |(crew, work, people, share, done, remark)| CrewDay { crew, work, people, share, done, remark },
    )
}

/// What the houses have together.
fn together() -> impl Strategy<Value = What> {
    let count = || 0..=1_000_000_u32;
    prop_oneof![
        (words(1, 100), count(), words(0, 100), day())
            .prop_map(|(tree, count, place, until)| What::Permit(Permit { tree, count, place, until })),
        (words(1, 100), count(), vec(select(Work::ALL), 0..5))
            .prop_map(|(name, size, works)| What::Crew(Crew { name, size, works })),
        closed().prop_map(What::Closed),
        (1..=12_u32, 0.0..=0.95_f64).prop_map(|(month, chance)| What::Weather(Weather { month, chance })),
        (words(1, 100), 50.0..=1500.0_f64, words(1, 25), 1..=5_u8).prop_map(
            |(name, density_kg_m3, class, durability)| {
                What::Wood(Wood { name, density_kg_m3, class, durability })
            }
        ),
    ]
}

/// What may be told of one house or of all.
fn either() -> impl Strategy<Value = What> {
    prop_oneof![
        (words(1, 100), any::<bool>()).prop_map(|(cause, planned)| What::Hold { cause, planned }),
        Just(What::Resume),
        btree_map(select(Secure::ALL), any::<bool>(), 0..6).prop_map(|tied| What::TieDown(TieDown(tied))),
        (select(Joint::ALL), words(1, 100), 1e-3..=1e6_f64, words(0, 100), words(0, 100)).prop_map(
            |(joint, cord, newtons, said, remark)| What::Pull(Pull { joint, cord, newtons, said, remark })
        ),
    ]
}

/// An entry that is yet to be told of a village that has two houses, a brief
/// and three readings.
#[derive(Debug, Clone)]
enum Told {
    House(String),
    Brief(BTreeMap<String, String>),
    Measure(String, Parts),
    Reading(PointName, String, Value, bool, String),
    Moved(PointName),
    Tally(Item, f64, How, String, Stem),
    Sign(String, String, Vec<usize>),
    Answer(String),
    CrewDay(CrewDay),
    Together(What),
    Either(bool, What),
    Strike(String),
}

fn told() -> impl Strategy<Value = Told> {
    let point = || (words(1, 25), words(1, 25)).prop_map(|(stage, point)| PointName { stage, point });
    prop_oneof![
        words(0, 80).prop_map(Told::House),
        btree_map(words(0, 20), words(0, 60), 0..8).prop_map(Told::Brief),
        (words(1, 100), parts()).prop_map(|(name, parts)| Told::Measure(name, parts)),
        (point(), words(0, 100), value(), any::<bool>(), words(0, 100))
            .prop_map(|(point, said, value, again, with)| Told::Reading(point, said, value, again, with)),
        point().prop_map(Told::Moved),
        (select(Item::ALL), 0.0..=1e9_f64, select(How::ALL), words(0, 100), stem())
            .prop_map(|(item, count, how, remark, of)| Told::Tally(item, count, how, remark, of)),
        (words(1, 25), words(0, 100), subsequence(vec![0, 1, 2], 0..=3).prop_shuffle())
            .prop_map(|(stage, remark, rested_on)| Told::Sign(stage, remark, rested_on)),
        words(1, 100).prop_map(Told::Answer),
        crew_day().prop_map(Told::CrewDay),
        together().prop_map(Told::Together),
        (any::<bool>(), either()).prop_map(|(of_house, what)| Told::Either(of_house, what)),
        words(1, 100).prop_map(Told::Strike),
    ]
}

/// What it is once the village is there; the house it is about.
fn what(told: Told, village: &[Entry], number: usize) -> (bool, What) {
    let [_, landing, brief, readings @ ..] = village else { panic!("a village") };
    match told {
        // Names are kept apart by a number.
        Told::House(name) => (true, What::House { name: format!("{number} {name}.") }),
        Told::Brief(said) => (true, What::Brief { said: BriefText(said) }),
        Told::Measure(name, parts) => (false, What::Measure { name, parts }),
        Told::Reading(point, said, value, again, with) => {
            (true, What::Reading(Reading { point, said, value, again, with, brief: brief.id }))
        }
        Told::Moved(point) => (true, What::Moved { point }),
        Told::Tally(item, count, how, remark, mut of) => {
            let count = if item.is_whole() { count.round() } else { count };
            let to = (how == How::Moved).then_some(landing.id);
            // Only what is cut of a tree that is named can be past its permit.
            of.past_permit = of.past_permit.filter(|_| how == How::Cut && of.tree.is_some());
            (true, What::Tally(Tally { item, count, how, to, remark, of }))
        }
        Told::Sign(stage, remark, rested_on) => {
            let rested_on = rested_on.into_iter().map(|at| readings[at].id).collect();
            (true, What::Sign(SignOff { stage, remark, rested_on, brief: brief.id }))
        }
        Told::Answer(said) => (true, What::Answer { entry: readings[number % 3].id, said }),
        Told::CrewDay(day) => (true, What::CrewDay(day)),
        Told::Together(what) => (false, what),
        Told::Either(of_house, what) => (of_house, what),
        Told::Strike(why) => (true, What::Strike { entry: readings[number % 3].id, why }),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn every_entry_comes_back_as_it_was_kept(
        all in vec((told(), moment(), moment(), words(1, 100)), 1..12)
    ) {
        let (shelf, mut teller) = (Shelf::new(), Teller::new());
        let tern = teller.starts("Tern house");
        let landing = teller.starts("Landing house");
        let brief = teller.briefs(tern.id);
        let readings = ["ab", "bc", "cd"].map(|side| teller.reads(tern.id, brief.id, side, 5.0));
        let mut village = vec![tern.clone(), landing, brief];
        village.extend(readings);

        let mut kept = vec![];
        let mut struck = 0;
        for (number, (told, happened, written, by)) in all.into_iter().enumerate() {
            // Each of the three readings is struck once at most.
            let number = match told {
                Told::Strike(_) if struck == 3 => continue,
                Told::Strike(_) => { struck += 1; struck - 1 }
                _ => number,
            };
            let (of_house, what) = what(told, &village, number);
            let mut entry = teller.says(of_house.then_some(tern.id), what);
            if matches!(entry.what, What::House { .. }) {
                entry.house = Some(entry.id);
            }
            kept.push(Entry { happened, written, by, ..entry });
        }
        let mut book = shelf.book();
        book.keep(&village).expect("the village is kept");
        book.keep(&kept).expect("all is kept");
        for entry in &kept {
            let back = book.entry(&entry.id.to_string()).expect("it is there");
            prop_assert_eq!(&back, entry);
            prop_assert_eq!(back.happened.offset(), entry.happened.offset());
            prop_assert_eq!(back.written.offset(), entry.written.offset());
        }
        // All but the houses that were started are told of this one, in order.
        let mut expected: Vec<Entry> = village.iter().chain(&kept).filter(|entry| {
            entry.house.is_none() || entry.house == Some(tern.id)
        }).cloned().collect();
        expected.sort_by_key(Entry::order);
        prop_assert_eq!(book.entries_of(Some(tern.id)).expect("told"), expected);
    }
}
