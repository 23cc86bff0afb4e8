//! What is typed or pasted while the book is busy, and what is told where it
//! fails.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::super::model::Page;
use super::super::msg::Msg;
use super::Sitting;
use super::acts::at_the_set_out;

#[test]
fn a_failure_is_told_whole_in_every_form() {
    let told = format!("/{}/book: the disk is full and nothing was kept; try again", "home/".repeat(12));
    let fail = |sitting: &mut Sitting| {
        sitting.take(Msg::Failed(told.clone()));
        let text = sitting.text().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("the disk is full and nothing was kept; try again"), "{}", sitting.text());
        assert!(sitting.text().contains("half a word"), "what was typed stays: {}", sitting.text());
    };
    let mut sitting = Sitting::new().open();
    fail(sitting.type_in("nhalf a word"));
    for form in ["b", "t", "s", "h"] {
        let mut sitting = at_the_set_out();
        fail(sitting.type_in(form).type_in("half a word"));
    }
    fail(at_the_set_out().type_in("6half a word"));
}

#[test]
fn whole_readings_typed_ahead_are_kept_one_after_another() {
    let mut sitting = at_the_set_out();
    sitting.type_in("6.970 m");
    let key = |code| Msg::Key(KeyEvent::new(code, KeyModifiers::NONE));
    let todo = super::update(&mut sitting.model, key(KeyCode::Enter), sitting.now);
    for c in "5.225 m\n6.966 m\n5.228".chars() {
        let code = if c == '\n' { KeyCode::Enter } else { KeyCode::Char(c) };
        assert!(super::update(&mut sitting.model, key(code), sitting.now).is_empty());
    }
    sitting.carry_out(todo);
    let set_out = sitting.model.house().unwrap().readings.clone();
    assert_eq!(set_out.number("set-out", "bc"), Some(5.225));
    assert_eq!(set_out.number("set-out", "cd"), Some(6.966));
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!((form.title.as_str(), form.text("value")), ("d-a end", "5.228"));
}

#[test]
fn what_is_pasted_while_the_book_writes_is_not_lost() {
    let mut sitting = at_the_set_out();
    sitting.type_in("6.970 m");
    let enter = Msg::Key(KeyEvent::new(KeyCode::Enter, KeyModifiers::NONE));
    let todo = super::update(&mut sitting.model, enter, sitting.now);
    sitting.take(Msg::Pasted("5.225 m".to_owned()));
    sitting.carry_out(todo);
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!((form.title.as_str(), form.text("value")), ("b-c end", "5.225 m"));
}

#[test]
fn lines_that_are_pasted_come_apart_by_a_blank() {
    let mut sitting = Sitting::new().open();
    sitting.type_in("n");
    sitting.take(Msg::Pasted("Tern\r\nhouse".to_owned()));
    assert_eq!(sitting.model.form.as_ref().unwrap().text("name"), "Tern house");
}

#[test]
fn a_look_that_fails_does_not_end_a_keeping() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Char('f')).type_in("6.970 m");
    let press = |code| Msg::Key(KeyEvent::new(code, KeyModifiers::NONE));
    let todo = super::update(&mut sitting.model, press(KeyCode::Enter), sitting.now);
    assert!(super::update(&mut sitting.model, press(KeyCode::Char('5')), sitting.now).is_empty());
    sitting.take(Msg::Failed("the book is busy".to_owned()));
    let again = super::update(&mut sitting.model, press(KeyCode::Enter), sitting.now);
    assert!(again.is_empty(), "the reading would be kept twice: {again:?}");
    sitting.carry_out(todo);
    assert_eq!(sitting.told_of("set-out/ab"), 1);
}

#[test]
fn a_stop_asked_for_before_the_book_has_told_the_houses_is_asked_for_then() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    let Page::Row(page) = &mut sitting.model.page else { panic!("the row") };
    page.loaded = false;
    sitting.type_in("h");
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    sitting.take(Msg::Changed);
    assert!(sitting.text().contains("Stop the work at all houses"), "{}", sitting.text());
}
