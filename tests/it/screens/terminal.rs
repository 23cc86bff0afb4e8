//! The terminal: taken, given back whatever happens, and what comes from it.

use std::time::Duration;

use rustix::process::Signal;

use crate::desk::Desk;
use crate::seat::{Place, Seat};

/// Starts a house by command, as another program would, some minutes into
/// the morning.
fn start(desk: &mut Desk, name: &str, minutes: u32) {
    desk.set_clock(&format!("2030-10-14T08:{minutes:02}:00+10:00"));
    let brief = ["--measure", "Oru", "--span", "1.742m", "--length", "4sp", "--ratio", "3:4"];
    let id = desk.run(["start", name].into_iter().chain(brief)).well();
    assert!(!id.is_empty());
}

fn desk_with(houses: &[&str]) -> Desk {
    let mut desk = Desk::new();
    houses.iter().zip(0..).for_each(|(name, minutes)| start(&mut desk, name, minutes));
    desk
}

const NOTHING: [&str; 0] = [];

fn at(desk: &Desk) -> Place {
    Place::at(desk, NOTHING)
}

/// At the row of houses, with a first house in it.
fn at_the_row(desk: &Desk) -> Seat {
    let mut seat = at(desk).sit();
    seat.wait_for("Tern house");
    seat
}

/// Checks that the terminal was given back, each mode by its code and the
/// reports of the mouse before the rest.
#[track_caller]
fn was_given_back(seat: &Seat) {
    assert!(seat.is_given_back(), "modes are left on:\n{}", seat.shown());
    let wrote = String::from_utf8_lossy(seat.bytes());
    let last = |code: &str| wrote.rfind(code).unwrap_or_else(|| panic!("{code:?} was never sent"));
    let mouse = last("\x1b[?1000l");
    for code in ["\x1b[?2004l", "\x1b[?1049l", "\x1b[?25h"] {
        assert!(mouse < last(code), "{code:?} before the mouse is off");
    }
}

#[test]
fn without_a_terminal_nothing_is_begun() {
    let desk = Desk::new();
    let said = desk.run_with_input(NOTHING, "q").refused(1);
    assert!(said.contains("needs a terminal") && said.lines().count() == 1, "{said}");
    assert!(!desk.book().exists());
}

#[test]
fn leaving_gives_the_terminal_back() {
    for key in ["q", "Ctrl-C"] {
        let desk = desk_with(&["Tern house"]);
        let mut seat = at_the_row(&desk);
        assert!(!seat.is_given_back(), "it was taken");
        seat.press(key);
        assert_eq!(seat.end(), 0);
        was_given_back(&seat);
    }
}

#[test]
fn told_to_end_the_program_gives_the_terminal_back() {
    for signal in [Signal::TERM, Signal::HUP, Signal::INT, Signal::QUIT] {
        let desk = desk_with(&["Tern house"]);
        let mut seat = at_the_row(&desk);
        seat.signal(signal);
        assert_eq!(seat.end(), 0, "{signal:?}");
        was_given_back(&seat);
    }
}

#[test]
fn the_program_ends_when_its_window_is_shut() {
    let desk = desk_with(&["Tern house"]);
    assert_eq!(at_the_row(&desk).close(), 0);
}

#[test]
fn stopped_and_woken_the_screen_is_as_it_was() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at(&desk).in_a_shell().sit();
    seat.wait_for("Tern house");
    seat.press("?");
    seat.wait_until("the help", |seat| !seat.shown().contains("Tern house"));
    let help = seat.settled();
    seat.press("Ctrl-Z");
    seat.wait_for("[stopped]");
    was_given_back(&seat);
    seat.press("Enter");
    seat.wait_until("the help again", |seat| seat.shown() == help);
    assert!(!seat.is_given_back());
    seat.press("Esc");
    seat.wait_for("Tern house");
    seat.press("q");
    seat.wait_for("[status 0]");
    was_given_back(&seat);
}

#[test]
fn without_a_shell_to_wake_it_the_program_is_not_stopped() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    seat.press("Ctrl-Z");
    seat.signal(Signal::TSTP);
    seat.press("?");
    seat.wait_until("the help", |seat| !seat.shown().contains("Tern house"));
}

#[test]
fn woken_from_outside_the_modes_are_set_again() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    let row = seat.settled();
    let times = |seat: &Seat, code: &[u8]| seat.bytes().windows(code.len()).filter(|w| *w == code).count();
    assert_eq!(times(&seat, b"\x1b[?1049h"), 1);
    seat.signal(Signal::STOP);
    seat.signal(Signal::CONT);
    seat.wait_until("the other screen once more", |seat| times(seat, b"\x1b[?1049h") == 2);
    seat.wait_until("the row again", |seat| seat.shown() == row);
    seat.press("q");
    assert_eq!(seat.end(), 0);
    was_given_back(&seat);
}

#[test]
fn a_window_made_tiny_and_large_again_loses_nothing_that_was_typed() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    seat.press("n");
    seat.wait_until("a form", |seat| !seat.shown().contains("Tern house"));
    seat.type_in("Landing");
    seat.wait_for("Landing");
    seat.resize(10, 3);
    seat.wait_for("Make");
    seat.type_in(" house");
    seat.resize(1, 1);
    assert_eq!(seat.settled(), "M");
    seat.resize(80, 24);
    seat.wait_for("Landing house");
    seat.press("Esc");
    seat.wait_for("Tern house");
}

#[test]
fn what_is_typed_while_the_window_changes_waits_for_no_other_key() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    seat.press("n");
    seat.wait_until("a form", |seat| !seat.shown().contains("Tern house"));
    seat.type_in("Land");
    seat.wait_for("Land");
    // The key comes before, beside or after the word of the new size.
    for columns in [81, 80].into_iter().cycle().take(100) {
        seat.resize(columns, 24);
        seat.type_in("x");
        seat.wait_for("Landx");
        seat.press("Backspace");
        seat.wait_until("the letter gone", |seat| !seat.shown().contains("Landx"));
    }
}

#[test]
fn a_paste_is_typed_in_one_piece() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    seat.press("n");
    seat.wait_until("a form", |seat| !seat.shown().contains("Tern house"));
    seat.paste("Sister Oru's");
    seat.wait_for("Sister Oru's");
}

/// The parameters of every sequence that sets how letters look.
fn looks(bytes: &[u8]) -> Vec<String> {
    let wrote = String::from_utf8_lossy(bytes).into_owned();
    let sequences = wrote.split("\x1b[").skip(1);
    sequences
        .filter_map(|rest| rest.split_once(|c: char| c.is_ascii_alphabetic()).map(|(told, _)| (rest, told)))
        .filter(|(rest, told)| rest.as_bytes().get(told.len()) == Some(&b'm'))
        .map(|(_, told)| told.to_owned())
        .collect()
}

/// Whether a look sets a colour of letters, ground or underline; 39, 49 and
/// 59 take one back.
fn is_colour(look: &str) -> bool {
    let numbers = || look.split([';', ':']).filter_map(|n| n.parse::<u8>().ok());
    numbers().any(|n| matches!(n, 30..=38 | 40..=48 | 58 | 90..=97 | 100..=107))
}

#[test]
fn without_colours_the_marks_stay() {
    let mut looked = Vec::new();
    for set in ["", "1"] {
        let desk = desk_with(&["Tern house", "Landing house"]);
        let mut seat = at(&desk).with("NO_COLOR", set).sit();
        seat.wait_for("Tern house");
        let chosen = |seat: &Seat, name: &str| {
            let (column, row) = seat.find(name);
            seat.screen().cell(row, column).expect("a cell").inverse()
        };
        seat.wait_until("a mark", |seat| chosen(seat, "Tern house"));
        assert!(!chosen(&seat, "Landing house"));
        // Coloured besides, where there are colours.
        let (column, row) = seat.find("short");
        assert!(seat.screen().cell(row, column).expect("a cell").bold(), "NO_COLOR={set}");
        seat.press("Right");
        seat.wait_until("the mark beside", |seat| chosen(seat, "Landing house"));
        assert!(!chosen(&seat, "Tern house"));
        seat.press("q");
        assert_eq!(seat.end(), 0);
        looked.push(looks(seat.bytes()));
    }
    assert!(
        looked[0].iter().any(|look| is_colour(look)),
        "an empty NO_COLOR counts as none: {:?}",
        looked[0]
    );
    assert!(!looked[1].iter().any(|look| is_colour(look)), "no colour is sent: {:?}", looked[1]);
}

#[test]
fn a_press_chooses_a_house_and_another_opens_it() {
    let desk = desk_with(&["Tern house", "Landing house"]);
    let mut seat = at_the_row(&desk);
    seat.click("Landing house");
    seat.wait_for("▸Landing house");
    seat.click("Landing house");
    seat.wait_until("the house", |seat| {
        seat.shown().contains("Landing house") && !seat.shown().contains("Tern house")
    });
}

#[test]
fn what_another_program_writes_is_shown() {
    let mut desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    start(&mut desk, "Landing house", 1);
    seat.wait_for("Landing house");
}

#[test]
fn nothing_is_drawn_while_nothing_happens() {
    let desk = desk_with(&["Tern house"]);
    let mut seat = at_the_row(&desk);
    // On a busy machine, what was asked at the start may be answered late.
    let quiet = (0..10).any(|_| seat.listen(Duration::from_secs(2)) == 0);
    assert!(quiet, "{:?}", String::from_utf8_lossy(seat.bytes()));
}

#[test]
fn the_book_opens_where_it_was_left() {
    let desk = desk_with(&["Tern house", "Landing house"]);
    let mut seat = at_the_row(&desk);
    seat.press("Right");
    seat.wait_for("▸Landing house");
    seat.press("Enter");
    seat.wait_until("the house", |seat| !seat.shown().contains("Tern house"));
    let house = seat.settled();
    seat.signal(Signal::TERM);
    assert_eq!(seat.end(), 0);
    let mut seat = at(&desk).sit();
    seat.wait_until("the same house", |seat| seat.shown() == house);
}
