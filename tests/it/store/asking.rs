//! What the book answers.

use std::collections::BTreeSet;

use spanwright::book::{BookError, Filter};
use spanwright::build::entry::{How, Item, Kind, What};
use uuid::Uuid;

use super::told::{Shelf, Teller, at};

#[test]
fn a_house_is_told_by_its_own_entries_those_for_all_and_what_others_gave_it() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let told = teller.tells_of_everything();
    let [tern, landing] = [told[0].id, told[1].id];
    book.keep(&told).expect("all are kept");
    let gift = told.iter().find(|e| e.what.kind() == Kind::Tally).expect("a tally");
    let back = teller.strikes(gift, "never went over");
    book.keep(std::slice::from_ref(&back)).expect("the strike is kept");

    let mut whole = told.clone();
    whole.push(back.clone());
    whole.retain(|entry| entry.house != Some(landing));
    assert_eq!(book.entries_of(Some(tern)).expect("told"), whole);

    let others = book.entries_of(Some(landing)).expect("told");
    let ids: Vec<Uuid> = others.iter().map(|entry| entry.id).collect();
    let for_all = told.iter().filter(|e| e.house.is_none()).map(|e| e.id);
    let expected: BTreeSet<Uuid> = for_all.chain([told[1].id, gift.id, back.id]).collect();
    assert_eq!(ids.iter().copied().collect::<BTreeSet<_>>(), expected);
    assert!(others.windows(2).all(|two| two[0].order() < two[1].order()), "in order");

    let all = book.entries_of(None).expect("told");
    assert!(all.iter().all(|entry| entry.house.is_none()) && all.len() == 10);
}

#[test]
fn entries_are_told_in_the_order_they_happened_whenever_they_were_written() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let house = teller.starts("Tern house");
    let mut late = teller.holds(Some(house.id), "feast");
    late.happened = at(-600);
    book.keep(&[house.clone(), late.clone()]).expect("kept");
    assert_eq!(book.entries_of(Some(house.id)).expect("told"), [late, house]);
}

#[test]
fn houses_are_listed_a_page_at_a_time_in_the_order_they_were_started() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let started: Vec<_> = (0..25).map(|n| teller.starts(&format!("House {n}"))).collect();
    book.keep(&started).expect("kept");
    book.keep(&[teller.strikes(&started[3], "started twice")]).expect("kept");

    let mut listed = vec![];
    while let page = book.houses(listed.last().map(|(at, id, _)| (*at, *id)), 7).expect("a page")
        && !page.is_empty()
    {
        assert!(page.len() <= 7);
        listed.extend(page.into_iter().map(|line| (line.started, line.id, line.name)));
    }
    let names: Vec<_> = listed.into_iter().map(|(_, _, name)| name).collect();
    let expected: Vec<_> = (0..25).filter(|n| *n != 3).map(|n| format!("House {n}")).collect();
    assert_eq!(names, expected);
    assert_eq!(book.names().expect("names").len(), 25);
}

#[test]
fn a_house_is_found_by_name_id_or_the_beginning_of_either() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let started =
        ["Tern house", "Tern house by the reef", "Ébène", "Landing house"].map(|name| teller.starts(name));
    book.keep(&started).expect("kept");
    let found = |said: &str| book.house_named(said).ok();
    assert_eq!(found("tern HOUSE"), Some(started[0].id), "the whole name comes before its beginning");
    assert_eq!(found("  Tern   house "), Some(started[0].id));
    assert_eq!(found("tern house b"), Some(started[1].id));
    assert_eq!(found("ÉBÈNE"), Some(started[2].id));
    assert_eq!(found(&started[3].id.to_string()), Some(started[3].id));

    let told = |said: &str| book.house_named(said).expect_err("not found").to_string();
    assert_eq!(
        told("ter"),
        "\"ter\" could be any of: Tern house, Tern house by the reef; say more of the name"
    );
    assert_eq!(
        told("Turn house"),
        "no house is called \"Turn house\"; near it: Tern house, Tern house by the reef"
    );
    assert_eq!(told("xyz"), "no house is called \"xyz\"; spanwright houses lists them all");
    assert!(book.house_named("").is_err());
}

#[test]
fn an_entry_is_found_by_its_id_or_enough_of_it() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let told = teller.tells_of_everything();
    book.keep(&told).expect("kept");
    for entry in &told {
        assert_eq!(&book.entry(&entry.id.to_string()).expect("found"), entry);
        assert_eq!(&book.entry(&entry.id.to_string().to_uppercase()[..30]).expect("found"), entry);
    }
    let id = told[0].id.to_string();
    assert!(matches!(book.entry(&id[..7]), Err(BookError::NoEntry { .. })), "too short");
    assert!(matches!(book.entry("01999999-zzz"), Err(BookError::NoEntry { .. })));

    // Written in one millisecond, their first 13 letters are alike.
    let mut twins = [teller.holds(None, "feast"), teller.holds(None, "feast")];
    let id = twins[0].id.as_u128();
    twins[1].id = Uuid::from_u128(id ^ 1);
    book.keep(&twins).expect("kept");
    let shared = &twins[0].id.to_string()[..13];
    assert!(matches!(book.entry(shared), Err(BookError::ManyEntries { .. })));
}

#[test]
fn a_measure_is_the_last_one_taken_that_is_not_struck() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let first = teller.measures("Oru", 1.70);
    let second = teller.measures("oru", 1.742);
    let third = teller.measures("Oru", 2.742);
    let tavi = teller.measures("Tavi", 1.65);
    let strike = teller.strikes(&third, "a slip of a metre");
    book.keep(&[first, second.clone(), third, tavi.clone(), strike]).expect("kept");
    assert_eq!(book.measures().expect("measures"), [second, tavi]);
}

#[test]
fn the_day_book_is_paged_newest_first_and_shows_strikes() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let mut told = teller.tells_of_everything();
    book.keep(&told).expect("kept");
    told.reverse();

    let mut lines = vec![];
    let mut filter = Filter { limit: 4, ..Filter::default() };
    while let page = book.log(&filter).expect("a page")
        && let Some(last) = page.last()
    {
        filter.before = Some(last.entry.order());
        lines.extend(page);
    }
    assert_eq!(lines.iter().map(|line| line.entry.clone()).collect::<Vec<_>>(), told);
    for line in lines {
        match line.struck {
            Some(struck) => {
                assert_eq!(line.entry.what.kind(), Kind::Reading);
                assert_eq!((struck.why.as_str(), struck.by.as_str()), ("read from the wrong peg", "Oru"));
            }
            None => assert_ne!(line.entry.what.kind(), Kind::Reading),
        }
    }
}

#[test]
fn the_day_book_is_filtered_by_house_kind_person_and_text_together() {
    let (shelf, mut teller) = (Shelf::new(), Teller::new());
    let mut book = shelf.book();
    let mut told = teller.tells_of_everything();
    let tern = told[0].id;
    let mut stone = teller.tallies(tern, Item::PackingStone, 1.5, How::Delivered, None);
    stone.by = "Tavi".to_owned();
    if let What::Tally(tally) = &mut stone.what {
        tally.remark = "100% of_it \\ all".to_owned();
    }
    told.push(stone.clone());
    book.keep(&told).expect("kept");

    let count = |filter: Filter| book.log(&filter).expect("a page").len();
    let all = Filter::default();
    assert_eq!(count(Filter { house: Some(tern), ..all.clone() }), 11);
    assert_eq!(count(Filter { kind: Some(Kind::Tally), ..all.clone() }), 2);
    assert_eq!(count(Filter { by: Some("tavi".to_owned()), ..all.clone() }), 1);
    for (words, lines) in [
        ("wrong PEG", 1),
        ("set-out/ab", 1),
        ("Lee shore", 1),
        ("shore", 2),
        ("storm", 1),
        ("signed", 1),
        ("resumed", 1),
        ("read set-out/ab", 1),
        ("landing", 1),
        ("lagoon", 1),
        ("mangrove", 2),
        ("kin thatching", 1),
        ("rain from NOON", 1),
        ("2031-06-04", 1),
        ("coir", 1),
        ("rope was wet", 1),
        ("%", 1),
        ("_", 1),
        ("\\", 1),
        ("of_it", 1),
        ("ofxit", 0),
    ] {
        assert_eq!(count(Filter { text: Some(words.to_owned()), ..all.clone() }), lines, "{words}");
    }
    let every = Filter {
        house: Some(tern),
        kind: Some(Kind::Tally),
        by: Some("TAVI".to_owned()),
        text: Some("packing".to_owned()),
        ..all
    };
    assert_eq!(book.log(&every).expect("a page")[0].entry, stone);
    assert_eq!(count(Filter { kind: Some(Kind::Hold), ..every }), 0);
}

#[test]
fn where_the_screen_was_left_is_kept_and_replaced() {
    let shelf = Shelf::new();
    let mut book = shelf.book();
    assert_eq!(book.left("page").expect("asked"), None);
    book.leave("page", "houses").expect("left");
    book.leave("page", "stores").expect("left");
    drop(book);
    assert_eq!(shelf.book().left("page").expect("asked").as_deref(), Some("stores"));
}
