//! Before, in and after a hold, by keys.

use chrono::Duration;
use crossterm::event::KeyCode;
use insta::assert_snapshot;
use uuid::Uuid;

use super::Sitting;
use crate::build::draft::Draft;
use crate::build::together::Together;

fn storm() -> Draft {
    Draft::Hold { cause: "storm".to_owned(), planned: false }
}

/// Two houses, one with panels on hand and built in.
fn village() -> (Sitting, Uuid) {
    let mut sitting = Sitting::new();
    let tern = sitting.house("Tern house");
    sitting.house("Landing house");
    for (count, how) in [("100", "woven"), ("80", "used")] {
        sitting.keep(Some(tern), &Draft::tally("panel", count, how)).unwrap();
    }
    (sitting, tern)
}

#[test]
fn a_hold_for_a_storm_asks_at_once_what_is_made_fast() {
    let (sitting, tern) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("h").type_in("storm").press(KeyCode::Enter);
    assert_snapshot!("made_fast_80x24", sitting.picture(80, 24));
    sitting.type_in("yes").press(KeyCode::Tab);
    assert_snapshot!("made_fast_answered_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Tab).type_in("no").press(KeyCode::Enter);
    let lacking = sitting.told(tern).held_at(sitting.model.now).unwrap().lacking().unwrap();
    assert_eq!(lacking, "Not made fast: ridge. Not answered: lifting poles, openings, tools, people.");
    sitting.press(KeyCode::Enter);
    assert_snapshot!("held_80x24", sitting.picture(80, 24));
    sitting.type_in("y");
    assert!(sitting.text().contains("panels            yes"), "{}", sitting.text());
}

#[test]
fn the_form_that_stops_the_work_tells_the_whole_list_before_it_is_kept() {
    let (sitting, _) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("h");
    assert_snapshot!("hold_80x24", sitting.picture(80, 24));
    let told = sitting.text().split_whitespace().collect::<Vec<_>>().join(" ");
    let list = "before a storm: stays on, lifting poles tied, loose poles and panels down, people away";
    assert!(told.contains(list), "{told}");
}

#[test]
fn what_was_answered_before_the_hold_stands_in_the_list_that_the_hold_asks() {
    let (sitting, _) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("y").type_in("yes").press(KeyCode::Enter);
    sitting.type_in("y");
    assert!(sitting.text().contains("panels            yes"), "{}", sitting.text());
    sitting.press(KeyCode::Esc).type_in("h").type_in("storm").press(KeyCode::Enter);
    assert!(sitting.text().contains("panels            yes"), "{}", sitting.text());
}

#[test]
fn what_was_answered_for_all_houses_stands_in_their_list() {
    let (sitting, tern) = village();
    let mut sitting = sitting.open();
    sitting.type_in("y").press(KeyCode::Tab).type_in("no").press(KeyCode::Enter);
    sitting.type_in("h").type_in("storm").press(KeyCode::Enter);
    assert!(sitting.text().contains("lifting poles     no"), "{}", sitting.text());
    sitting.press(KeyCode::Esc).press(KeyCode::Enter).type_in("y");
    assert!(sitting.text().contains("lifting poles     no"), "{}", sitting.text());
    let told = sitting.told(tern);
    assert_eq!(told.held_at(sitting.now).unwrap().tied.0.len(), 1);
}

#[test]
fn after_a_storm_the_page_goes_to_what_is_read_again_first_wherever_it_stood() {
    let (mut sitting, tern) = village();
    sitting.keep(Some(tern), &storm()).unwrap();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Right);
    assert!(sitting.text().contains("3 Posts"), "{}", sitting.text());
    sitting.type_in("h").press(KeyCode::Enter);
    let text = sitting.text();
    assert!(text.contains("1 Centre mark") && text.contains("seen from outside: no line down"), "{text}");
}

#[test]
fn all_houses_are_asked_what_is_made_fast_after_all_are_held() {
    let (sitting, tern) = village();
    let mut sitting = sitting.open();
    sitting.type_in("h").type_in("storm").press(KeyCode::Enter);
    assert!(sitting.text().contains("Made fast at all houses?"), "{}", sitting.text());
    sitting.type_in("yes").press(KeyCode::Enter);
    assert_eq!(sitting.told(tern).held_at(sitting.model.now).unwrap().tied.0.len(), 1);
}

#[test]
fn what_was_lost_is_told_in_one_form_and_asked_for_again() {
    let (mut sitting, tern) = village();
    sitting.keep(Some(tern), &Draft::tally("cord", "50", "bought")).unwrap();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("z");
    assert_snapshot!("lost_80x24", sitting.picture(80, 24));
    sitting.type_in("30").press(KeyCode::Tab).type_in("45").press(KeyCode::Enter);
    let heap = |sitting: &Sitting| sitting.told(tern).heaps[&crate::build::entry::Item::Panel];
    assert_eq!((heap(&sitting).on_hand, heap(&sitting).used, heap(&sitting).lost), (0.0, 55.0, 45.0));
    assert!(sitting.text().contains("30 m of cord, 45 panels lost"), "{}", sitting.text());
    sitting.type_in("z").type_in("900").press(KeyCode::Enter);
    assert!(sitting.text().contains("20 on hand and 0 built in"), "{}", sitting.text());
}

#[test]
fn a_feast_to_come_is_told_and_does_not_hold_the_house_before() {
    let (mut sitting, tern) = village();
    let now = sitting.now;
    sitting.now += Duration::days(30);
    sitting.keep(Some(tern), &Draft::Hold { cause: "feast".to_owned(), planned: true }).unwrap();
    sitting.now = now;
    let mut sitting = sitting.open();
    assert!(sitting.text().contains("feast from 13 Nov"), "{}", sitting.text());
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("feast from 13 Nov"), "{}", sitting.text());
    assert!(!sitting.text().contains("held"), "{}", sitting.text());
    sitting.type_in("h");
    assert!(sitting.text().contains("Stop the work at Tern house"), "{}", sitting.text());
}

#[test]
fn a_reading_in_a_hold_is_kept_and_told_so() {
    let (mut sitting, tern) = village();
    sitting.keep(Some(tern), &storm()).unwrap();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("6.968 m").press(KeyCode::Enter);
    assert!(sitting.text().contains("Tern house is held: storm, day 1."), "{}", sitting.text());
}

/// A hold of all houses stands in the book, whichever houses are drawn.
#[test]
fn all_are_held_where_the_book_says_so_even_with_no_house_drawn() {
    let mut sitting = Sitting::new();
    sitting.keep(None, &storm()).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("h");
    assert!(sitting.text().contains("Go on with the work at all houses"), "{}", sitting.text());
}

#[test]
fn a_book_left_for_long_opens_once_where_the_work_was() {
    let (mut sitting, tern) = village();
    sitting.read(tern, "set-out/ab", "6.970 m");
    let mut sitting = sitting.days_later(12).open();
    assert_snapshot!("were_80x24", sitting.picture(80, 24));
    assert_snapshot!("were_120x40", sitting.picture(120, 40));
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("The houses"), "{}", sitting.text());
    let sitting = sitting.back_again();
    assert!(sitting.text().contains("The houses"), "{}", sitting.text());
}

#[test]
fn what_is_not_made_fast_is_told_where_the_work_was() {
    let (mut sitting, _) = village();
    sitting.keep(None, &storm()).unwrap();
    let answers = ["panels", "lifting-poles", "openings", "tools", "ridge"]
        .map(|what| (what.to_owned(), if what == "ridge" { "no" } else { "yes" }.to_owned()));
    let told = Together::TieDown { answers: answers.to_vec() };
    sitting.keep(None, &Draft::Together(told)).unwrap();
    let text = sitting.days_later(12).open().text();
    let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("Not made fast: ridge; 1 of 6 not answered."), "{text}");
}

#[test]
fn after_a_hold_the_book_opens_where_the_work_was_until_something_is_written() {
    let (mut sitting, tern) = village();
    sitting.keep(None, &storm()).unwrap();
    let mut sitting = sitting.days_later(3);
    sitting.keep(None, &Draft::Resume).unwrap();
    let sitting = sitting.days_later(0);
    let mut sitting = sitting.open();
    assert!(sitting.text().contains("All houses were held until 17 Oct: storm."), "{}", sitting.text());
    sitting.read(tern, "set-out/ab", "6.970 m");
    let sitting = sitting.back_again();
    assert!(sitting.text().contains("Where we were"), "Landing house waits still: {}", sitting.text());
}
