//! Taking in another book.

use crossterm::event::KeyCode;

use super::Sitting;
use crate::build::draft::Draft;

fn panels(sitting: &mut Sitting, house: uuid::Uuid, count: &str, how: &str) {
    let draft = Draft::tally("panel", count, how);
    sitting.keep(Some(house), &draft).unwrap();
}

/// A sitting, and a copy of its book in which another builder went on.
fn apart() -> (Sitting, Sitting) {
    let mut mine = Sitting::new();
    let tern = mine.house("Tern house");
    panels(&mut mine, tern, "40", "woven");
    let mut theirs = mine.copied();
    panels(&mut mine, tern, "30", "used");
    panels(&mut theirs, tern, "25", "used");
    theirs.read(tern, "set-out/ab", "6.970 m");
    mine.house("Reef house");
    theirs.house("Reef house");
    theirs.house("Landing house");
    (mine.open(), theirs)
}

#[test]
fn another_book_is_taken_in_and_what_was_new_is_told() {
    let (mut mine, theirs) = apart();
    mine.type_in("M");
    insta::assert_snapshot!("take_in_80x24", mine.picture(80, 24));
    mine.type_in(&theirs.file()).press(KeyCode::Enter);
    insta::assert_snapshot!("taken_in_80x24", mine.picture(80, 24));
    insta::assert_snapshot!("taken_in_120x40", mine.picture(120, 40));
    mine.press(KeyCode::Enter);
    assert!(mine.model.form.is_none());
    let text = mine.text();
    assert!(text.contains("Reef house (2)") && text.contains("Landing house"), "{text}");
    assert!(text.contains("? 1 in doubt"), "{text}");

    mine.type_in("M").type_in(&theirs.file()).press(KeyCode::Enter);
    assert!(mine.text().contains("Nothing was new"), "{}", mine.text());
    mine.press(KeyCode::Esc);
    assert!(mine.model.form.is_none());
}

#[test]
fn a_book_that_cannot_be_taken_in_leaves_what_was_typed() {
    let (mut mine, _) = apart();
    mine.type_in("M").press(KeyCode::Enter);
    assert!(mine.text().contains("other: name the other book's file"), "{}", mine.text());
    mine.type_in("/no/such/book").press(KeyCode::Enter);
    assert!(mine.text().contains("/no/such/book: there is no book here"), "{}", mine.text());
    let form = mine.model.form.as_ref().unwrap();
    assert!(!form.keeping && form.text("other") == "/no/such/book");
    let own = mine.file();
    mine.ctrl('u').type_in(&own).press(KeyCode::Enter);
    assert!(mine.text().contains("this is the book itself"), "{}", mine.text());
}
