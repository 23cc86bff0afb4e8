//! Poles to pieces on the screen.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::super::model::Page;
use super::super::msg::{Effect, Msg, Question};
use super::super::update::update;
use super::Sitting;
use crate::build::draft::{Draft, StemSaid};
use crate::build::entry::Item;

/// At poles to pieces, with some poles there.
fn with_poles() -> Sitting {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    for (count, length, thick) in
        [("7", "6 m", "16 cm"), ("6", "6 m", "8 cm"), ("4", "3.2 m", "19 cm"), ("2", "", "")]
    {
        let draft = Draft::Tally {
            item: "pole".to_owned(),
            count: count.to_owned(),
            how: "cut".to_owned(),
            to: None,
            remark: String::new(),
            of: StemSaid { length: length.to_owned(), thick: thick.to_owned(), ..StemSaid::default() },
        };
        sitting.keep(Some(house), &draft).unwrap();
    }
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("l");
    sitting
}

#[test]
fn poles_are_drawn_with_the_places_where_they_are_cut() {
    let mut sitting = with_poles();
    insta::assert_snapshot!("pieces_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("pieces_120x40", sitting.picture(120, 40));
    sitting.type_in("v").press(KeyCode::Down);
    insta::assert_snapshot!("pieces_usual_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("These poles are not here"), "{}", sitting.text());
    sitting.press(KeyCode::End);
    sitting.type_in("v").press(KeyCode::Esc);
    assert!(matches!(sitting.model.page, Page::House(_)));
}

#[test]
fn a_house_without_poles_says_so() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("l");
    assert!(sitting.text().contains("lacking, no poles of known size: 3.1 m x 18 cm"), "{}", sitting.text());
}

#[test]
fn a_plan_that_did_not_come_is_asked_for_again() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter);
    let key = |code| Msg::Key(KeyEvent::new(code, KeyModifiers::NONE));
    // What is asked for is not answered, for the book cannot be read.
    update(&mut sitting.model, key(KeyCode::Char('l')), sitting.now);
    sitting.take(Msg::Failed("the book is busy".to_owned()));
    assert!(sitting.text().contains("the book is busy"), "{}", sitting.text());
    for again in [KeyCode::Enter, KeyCode::Char('t')] {
        let todo = update(&mut sitting.model, key(again), sitting.now);
        let asks = |effect: &Effect| matches!(effect, Effect::Ask { question: Question::Pieces(id), .. } if *id == house);
        assert!(todo.iter().any(asks), "{todo:?}");
        assert!(sitting.text().contains("Working out which pole"), "{}", sitting.text());
    }
    sitting.press(KeyCode::Enter);
    let text = sitting.text();
    assert!(text.contains("lacking") && !text.contains("not here yet"), "{text}");
}

#[test]
fn a_pole_is_cut_with_two_keys() {
    let mut sitting = with_poles();
    sitting.press(KeyCode::Enter);
    insta::assert_snapshot!("pieces_form_80x24", sitting.picture(80, 24));
    let (pole, into) = {
        let form = sitting.model.form.as_ref().unwrap();
        (form.text("pole").to_owned(), form.text("into").to_owned())
    };
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains(&format!("Kept: 1 of {pole} cut to pieces.")), "{}", sitting.text());
    let Page::Pieces(page) = &sitting.model.page else { panic!() };
    let house = &page.told.as_ref().unwrap().house;
    assert_eq!(house.heaps[&Item::Pole].used, 1.0, "{into}");
    sitting.press(KeyCode::Esc).type_in("u").type_in("not cut yet").press(KeyCode::Enter);
    assert!(sitting.text().contains("Struck, the "), "{}", sitting.text());
    let house = sitting.model.house().unwrap();
    assert_eq!((house.heaps[&Item::Pole].used, house.heaps[&Item::Pole].on_hand), (0.0, 19.0));
}

#[test]
fn poles_that_came_are_told_by_their_size() {
    let mut sitting = with_poles();
    sitting.type_in("t").type_in("3").press(KeyCode::Tab).type_in("9 m").press(KeyCode::Tab).type_in("12 cm");
    sitting.press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert!(sitting.text().contains("9 m x 12 cm"), "{}", sitting.text());
    sitting.type_in("t").type_in("3").press(KeyCode::Tab).type_in("90 m").press(KeyCode::Enter);
    assert!(sitting.text().contains("length: 90.000 m is out of range"), "{}", sitting.text());
}

#[test]
fn poles_to_pieces_open_again_where_they_were_left() {
    let mut sitting = with_poles();
    sitting.type_in("q");
    let sitting = sitting.back_again();
    assert!(matches!(sitting.model.page, Page::Pieces(_)));
    for wide in [0, 1, 40, 60, 80, 200] {
        for high in [0, 1, 10, 13, 24, 60] {
            sitting.drawn(wide, high);
        }
    }
}

#[test]
fn posts_that_are_too_small_are_told_when_they_are_kept() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Right).type_in("t");
    sitting
        .ctrl('u')
        .type_in("post")
        .press(KeyCode::Tab)
        .type_in("5")
        .press(KeyCode::Tab)
        .ctrl('u')
        .type_in("cut");
    for (field, text) in [("length", "2 m"), ("thick", "10 cm")] {
        let form = sitting.model.form.as_mut().unwrap();
        form.focus = form.fields.iter().position(|f| f.id == field).unwrap();
        sitting.type_in(text);
    }
    sitting.press(KeyCode::Enter);
    let text = sitting.text();
    assert!(text.contains("Kept, but 5 posts of 2 m x 10 cm: 3.1 m x 18 cm is asked"), "{text}");
    sitting.type_in("f").press(KeyCode::End).press(KeyCode::Up);
    insta::assert_snapshot!("too_small_80x24", sitting.picture(80, 24));
    sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down);
    assert!(sitting.text().contains("5 too short or too thin to count"), "{}", sitting.text());
}

#[test]
fn a_number_that_stands_in_a_form_gives_way_to_what_is_typed() {
    let times = |sitting: &Sitting| sitting.model.form.as_ref().unwrap().text("times").to_owned();
    let mut sitting = with_poles();
    sitting.press(KeyCode::Enter).type_in("12");
    assert_eq!(times(&sitting), "12", "{}", sitting.text());
    sitting.press(KeyCode::Esc).press(KeyCode::Enter).press(KeyCode::Backspace);
    assert_eq!(times(&sitting), "");
    sitting.press(KeyCode::Esc).press(KeyCode::Enter).press(KeyCode::Right).type_in("2");
    assert_eq!(times(&sitting), "12", "the cursor was moved in it");
    sitting.press(KeyCode::Esc).press(KeyCode::Enter).type_in("2");
    assert_eq!(times(&sitting), "2");
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept: 2 of "), "{}", sitting.text());
}
