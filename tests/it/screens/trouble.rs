//! What becomes of a form while others write, the disk is full, or the book
//! is taken away.

use std::fs;

use crate::commands::{house, json, point, tern};
use crate::desk::Desk;
use crate::seat::{Place, Seat};

fn at(desk: &Desk) -> Place {
    Place::at(desk, [""; 0])
}

/// At the first point of Tern house.
fn at_the_mark(place: Place) -> Seat {
    let mut seat = place.sit();
    seat.wait_for("Tern house");
    seat.press("Enter");
    seat.wait_for("Mind first");
    seat
}

/// Whether something is told, over however many lines.
fn tells(seat: &Seat, words: &str) -> bool {
    seat.shown().split_whitespace().collect::<Vec<_>>().join(" ").contains(words)
}

#[test]
fn what_another_writes_is_shown_beside_what_is_half_typed() {
    let desk = tern();
    let mut seat = at_the_mark(at(&desk));
    seat.type_in("1.7");
    seat.wait_for("Enter keep");
    desk.run(["read", "Tern house", "centre-mark/span-2", "1.744 m", "--by", "Tavi"]).well();
    seat.wait_for("1.744");
    seat.type_in("42 m");
    seat.wait_for("1.742 m");
    seat.press("Enter");
    seat.wait_for("Kept: Oru's span on the rod, 1 1.742 m.");
    let house = house(&desk);
    let said = |id| point(&house, "centre-mark", id)["said"].clone();
    assert_eq!((said("span-1"), said("span-2")), ("1.742 m".into(), "1.744 m".into()));
}

#[test]
fn a_full_disk_is_told_and_the_entry_stays_in_the_form_until_there_is_room() {
    let desk = tern();
    let mut seat = at_the_mark(at(&desk).on_a_small_disk(140));
    let mut kept = 0;
    let last = loop {
        let value = format!("1.7{kept:02} m");
        seat.press("Home");
        seat.type_in(&value);
        seat.wait_for(&value);
        seat.press("Enter");
        seat.wait_until("an answer", |seat| {
            seat.shown().contains(&format!(" {value}.")) || tells(seat, "did not take it")
        });
        if tells(&seat, "did not take it") {
            break value;
        }
        kept += 1;
        seat.press("Esc");
        seat.wait_until("the page", |seat| !seat.shown().contains("Enter keep"));
    };
    assert!(seat.settled().contains(&last), "{}", seat.shown());
    assert_eq!(json(&desk, &["log", "--kind", "reading"]).as_array().unwrap().len(), kept);
    seat.make_room();
    seat.press("Enter");
    seat.wait_for(&format!("Kept: Oru's span on the rod, 1 {last}."));
    assert_eq!(json(&desk, &["log", "--kind", "reading"]).as_array().unwrap().len(), kept + 1);
}

#[test]
fn a_book_that_is_taken_away_is_told_and_the_entry_stays_in_the_form() {
    let desk = tern();
    let mut seat = at_the_mark(at(&desk));
    seat.type_in("1.742 m");
    seat.wait_for("Enter keep");
    let elsewhere = desk.file("elsewhere");
    fs::rename(desk.book(), &elsewhere).unwrap();
    let told = "the book was moved, removed or replaced";
    seat.wait_until(told, |seat| tells(seat, told));
    seat.press("Left");
    seat.wait_until("the form without it", |seat| !tells(seat, told));
    seat.press("Enter");
    seat.wait_until(told, |seat| tells(seat, told));
    assert!(seat.settled().contains("1.742 m"), "{}", seat.shown());
    fs::rename(&elsewhere, desk.book()).unwrap();
    seat.press("Enter");
    seat.wait_for("Kept: Oru's span on the rod, 1 1.742 m.");
}
