//! Every key of the table: each does something where it is meant to, and the
//! help lists it.

use crossterm::event::{KeyCode, KeyEvent};

use super::super::keys::{self, Place};
use super::super::msg::Msg;
use super::Sitting;
use crate::build::draft::Draft;
use crate::build::together::Together;

/// Every key of the table changes something, somewhere where it is meant to.
#[test]
fn every_key_does_something() {
    let pages = [Place::Row, Place::House, Place::DayBook, Place::Stores, Place::Holds, Place::Pieces];
    let pages = pages.into_iter().chain([Place::Days, Place::Crews]);
    for place in pages.chain([Place::Form, Place::Brief, Place::Help, Place::Were]) {
        for binding in keys::of(place) {
            let does = (0..3).any(|variant| {
                let mut sitting = somewhere(place, variant);
                let before = format!("{:?}", sitting.model);
                let key = KeyEvent::new(binding.code, binding.held);
                let todo = super::update(&mut sitting.model, Msg::Key(key), sitting.now);
                !todo.is_empty() || format!("{:?}", sitting.model) != before
            });
            assert!(does, "{} at {place:?} does nothing", binding.shown);
        }
    }
}

/// A sitting at a place, in the midst of a list.
fn somewhere(place: Place, variant: usize) -> Sitting {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    sitting.house("Landing house");
    sitting.house("School shade");
    sitting.read(house, "set-out/ab", "6.970 m");
    sitting.read(house, "set-out/oa", "4.35 m");
    if place == Place::Were {
        let mut sitting = sitting.days_later(10).open();
        sitting.press(KeyCode::Down);
        return sitting;
    }
    let mut sitting = sitting.open();
    match place {
        Place::Were => {}
        Place::Row => {
            sitting.press(KeyCode::Right);
        }
        Place::House => {
            sitting.press(KeyCode::Enter).press(KeyCode::Right);
            if variant == 1 {
                // On the reading from the mark to a, so that a peg can be moved.
                for _ in 0..5 {
                    sitting.press(KeyCode::Down);
                }
            } else if variant == 2 {
                sitting.press(KeyCode::Up).press(KeyCode::Up);
            }
        }
        Place::DayBook => {
            sitting.type_in("d").press(KeyCode::Down).press(KeyCode::Down);
        }
        Place::Stores => {
            sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down);
        }
        Place::Days => {
            // In the midst of the calendar too, so that a week back is one.
            sitting.type_in("c").press(KeyCode::Down).press(KeyCode::Right);
        }
        Place::Crews => {
            let crew = |n: u32| Together::Crew {
                name: format!("Reef {n}"),
                size: "4".to_owned(),
                works: String::new(),
            };
            for n in 1..=12 {
                sitting.keep(None, &Draft::Together(crew(n))).unwrap();
            }
            sitting.type_in("c").type_in("l").press(KeyCode::Down).press(KeyCode::PageDown);
        }
        Place::Pieces => {
            sitting.press(KeyCode::Enter).type_in("l").press(KeyCode::Down).press(KeyCode::Down);
        }
        Place::Holds => {
            sitting.press(KeyCode::Enter).type_in("w").press(KeyCode::Down);
        }
        Place::Form => {
            sitting.press(KeyCode::Enter).type_in("t").press(KeyCode::Tab).press(KeyCode::Tab);
        }
        Place::Brief => {
            sitting.type_in("n").press(KeyCode::Up).press(KeyCode::Up);
        }
        Place::Help => {
            sitting.type_in("?");
            if variant > 0 {
                sitting.press(KeyCode::Down);
            }
        }
    }
    sitting
}

#[test]
fn help_lists_every_key_of_its_page() {
    let places = [
        Place::Row,
        Place::House,
        Place::DayBook,
        Place::Stores,
        Place::Holds,
        Place::Pieces,
        Place::Days,
        Place::Crews,
    ];
    for place in places {
        let mut sitting = somewhere(place, 0);
        sitting.type_in("?");
        let (buf, _) = sitting.drawn(80, 100);
        let text: String =
            (0..100).map(|y| (0..80).map(|x| buf[(x, y)].symbol()).collect::<String>() + "\n").collect();
        for binding in keys::of(place).chain(keys::of(Place::Form)) {
            assert!(text.contains(binding.says), "{} at {place:?}", binding.shown);
        }
    }
}
