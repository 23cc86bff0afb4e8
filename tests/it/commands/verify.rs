//! `verify`: the file, and every rule the book must obey.

use super::{json, refused, tern};

#[test]
fn a_sound_book_is_said_to_be_sound() {
    let desk = tern();
    assert_eq!(desk.run(["verify"]).well(), "[desk]/data/spanwright/book.spanwright: sound; 1 house\n");
    assert_eq!(json(&desk, &["verify"]), serde_json::json!({ "sound": true, "houses": 1, "lacking": [] }));
}

#[test]
fn a_file_of_another_kind_is_not_touched() {
    let desk = tern();
    std::fs::write(desk.file("letter.txt"), "Dear Oru").unwrap();
    refused(&desk, &["verify", "--book", "letter.txt"], 1, &["letter.txt", "not a spanwright book"]);
    assert_eq!(std::fs::read_to_string(desk.file("letter.txt")).unwrap(), "Dear Oru");
}
