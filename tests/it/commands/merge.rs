//! `merge`: the entries of another book.

use serde_json::json;

use super::{TERN, json, refused, tern};
use crate::desk::Desk;

/// Two books that were one when Tern house was started, with its panels.
fn apart() -> Desk {
    let desk = tern();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "woven"]).well();
    desk.run(["keep-copy", "other.spanwright"]).well();
    desk
}

fn in_other(desk: &Desk, arguments: &[&str]) {
    desk.run([arguments, &["--book", "other.spanwright"]].concat()).well();
}

#[test]
fn what_was_new_is_told_by_house_and_kind() {
    let desk = apart();
    in_other(&desk, &["read", "Tern house", "set-out/ab", "6.97m"]);
    in_other(&desk, &["read", "Tern house", "set-out/bc", "5.22m"]);
    in_other(&desk, &["hold", "--all", "--cause", "storm"]);
    assert_eq!(
        desk.run(["merge", "other.spanwright"]).well(),
        "3 entries were taken in; 4 entries are here already.\nall houses: hold 1\nTern house: reading 2\n"
    );
    assert_eq!(
        desk.run(["merge", "other.spanwright"]).well(),
        "Nothing was new: 7 entries are here already.\n"
    );
    assert_eq!(json(&desk, &["log"]), json(&desk, &["log", "--book", "other.spanwright"]));
}

#[test]
fn what_must_be_known_is_told_beside_it() {
    let desk = apart();
    desk.run(["tally", "Tern house", "panel", "30", "--as", "used"]).well();
    in_other(&desk, &["tally", "Tern house", "panel", "25", "--as", "used"]);
    let name = ["start", "Reef house", "--measure", "Oru", "--length", "4sp", "--ratio", "3:4"];
    in_other(&desk, &name);
    desk.run(name).well();
    let told = desk.run(["merge", "other.spanwright"]).well();
    let lines: Vec<&str> = told.lines().collect();
    assert_eq!(lines.len(), 5, "{told}");
    assert!(lines.contains(&"Reef house (2): house 1, brief 1"), "{told}");
    assert!(
        lines.contains(&"The other book's house of a name that was taken is called Reef house (2) here."),
        "{told}"
    );
    assert_eq!(lines[2], "Tern house: 15 panels more gone than came; count the heap, and tally it.");

    let house = json(&desk, &["house", "Reef house (2)"]);
    assert_eq!(house["name"], "Reef house (2)");
    let mut names: Vec<String> =
        json(&desk, &["houses"]).as_array().unwrap().iter().map(|h| h["name"].to_string()).collect();
    names.sort();
    assert_eq!(names, ["\"Reef house (2)\"", "\"Reef house\"", "\"Tern house\""]);
    assert_eq!(json(&desk, &["houses"])[0]["doubts"], 1);
    let verified = desk.run(["verify"]).well();
    assert!(
        verified.ends_with(
            "sound; 3 houses\nTern house: 15 panels more gone than came; count the heap, and tally it\n"
        ),
        "{verified}"
    );
    assert_eq!(
        json(&desk, &["verify"])["lacking"],
        json!([{ "name": "Tern house", "item": "panel", "lacking": 15 }])
    );
}

#[test]
fn the_answer_in_json_has_all_of_it() {
    let desk = apart();
    let tally = json(&desk, &["log", "--kind", "tally"])[0]["id"].as_str().unwrap().to_owned();
    desk.run(["strike", &tally, "--why", "counted twice"]).well();
    in_other(&desk, &["strike", &tally, "--why", "they were the reef's"]);
    in_other(&desk, &["tally", "Tern house", "panel", "5", "--as", "woven"]);
    let told = json(&desk, &["merge", "other.spanwright"]);
    let house = json(&desk, &["house", "Tern house"])["id"].clone();
    assert_eq!(
        told,
        json!({
            "other": told["other"],
            "new": 2,
            "here_already": 4,
            "houses": [{ "id": house, "name": "Tern house", "new": { "tally": 1, "strike": 1 } }],
            "all_houses": {},
            "renamed": [],
            "struck_in_both": [tally],
            "lacking": [],
        })
    );
}

#[test]
fn what_cannot_be_taken_in_is_refused_in_one_line() {
    let desk = tern();
    refused(&desk, &["merge", "data/spanwright/book.spanwright"], 2, &["this is the book itself"]);
    refused(&desk, &["merge", "none.spanwright"], 1, &["none.spanwright", "there is no book here"]);
    std::fs::write(desk.file("letter.txt"), "Dear Oru").unwrap();
    refused(&desk, &["merge", "letter.txt"], 1, &["letter.txt", "not a spanwright book"]);
    refused(&desk, &["merge"], 2, &["<OTHER>"]);
    let empty = Desk::new();
    refused(&empty, &["merge", "other.spanwright"], 1, &["book.spanwright", "there is no book here"]);
    empty.run([TERN, &["--book", "other.spanwright"]].concat()).well();
    refused(&empty, &["merge", "other.spanwright"], 1, &["data/spanwright/book.spanwright"]);
}

#[test]
fn a_book_whose_version_or_tables_another_program_altered_is_refused_in_one_line() {
    let desk = apart();
    desk.run(["keep-copy", "before.spanwright"]).well();
    for (altered, what) in [
        ("PRAGMA user_version = -1", "its version is -1"),
        ("PRAGMA user_version = 0", "its version is 0"),
        ("PRAGMA user_version = 2", "already exists"),
        ("PRAGMA user_version = 9", "kept by a newer spanwright"),
        ("DROP TABLE measure", "no such table"),
    ] {
        std::fs::copy(desk.file("before.spanwright"), desk.file("other.spanwright")).unwrap();
        crate::store::told::shell(&desk.file("other.spanwright")).execute_batch(altered).unwrap();
        let before = std::fs::read(desk.file("other.spanwright")).unwrap();
        for asked in [&["merge", "other.spanwright"][..], &["log", "--book", "other.spanwright"]] {
            let line = desk.run(asked).refused(1);
            assert!(line.contains(what) && line.contains("other.spanwright"), "{line}");
            assert!(line.len() < 250 && line.matches('\n').count() == 1, "{line}");
        }
        assert!(std::fs::read(desk.file("other.spanwright")).unwrap() == before, "{altered}");
    }
}

#[test]
fn what_is_no_file_of_a_book_is_not_taken_in() {
    let desk = tern();
    std::fs::create_dir(desk.file("folder")).unwrap();
    std::fs::write(desk.file("empty"), "").unwrap();
    refused(&desk, &["merge", "folder"], 1, &["folder", "this is a folder"]);
    refused(&desk, &["merge", "empty"], 1, &["empty", "there is no book here"]);
    refused(&desk, &["merge", "letter.txt/other"], 1, &["there is no book here"]);
    refused(&desk, &["merge", "/dev/null"], 1, &["/dev/null", "not a plain file"]);
}

#[test]
fn cuts_that_each_book_allowed_alone_are_told_when_they_are_too_many_together() {
    let desk = tern();
    desk.run(["permit", "add", "--tree", "mangrove", "--count", "30", "--until", "2031-06-30"]).well();
    desk.run(["keep-copy", "other.spanwright"]).well();
    let cut = ["tally", "Tern house", "pole", "25", "--as", "cut", "--tree", "mangrove"];
    desk.run(cut).well();
    in_other(&desk, &cut);
    let told = desk.run(["merge", "other.spanwright"]).well();
    assert!(told.contains("20 more of mangrove were cut than the permits allow"), "{told}");
    assert!(desk.run(["permit", "list"]).well().contains("two books brought together"));
}

#[test]
fn poles_of_a_size_that_each_book_used_up_are_told() {
    let desk = tern();
    let poles = |count: &str, how: &str| {
        ["tally", "Tern house", "pole", count, "--as", how, "--length", "6m", "--thick", "12cm"]
            .map(str::to_owned)
    };
    desk.run(poles("10", "cut")).well();
    desk.run(["tally", "Tern house", "pole", "20", "--as", "cut", "--length", "5m", "--thick", "9cm"]).well();
    desk.run(["keep-copy", "other.spanwright"]).well();
    desk.run(poles("8", "used")).well();
    desk.run([&poles("7", "used")[..], &["--book".to_owned(), "other.spanwright".to_owned()]].concat())
        .well();
    desk.run(["merge", "other.spanwright"]).well();
    let told = desk.run(["pieces", "Tern house"]).well();
    assert!(told.contains("5 poles of 6 m x 12 cm more went than came"), "{told}");
}

#[test]
fn a_house_whose_name_cannot_be_seen_is_not_taken_in() {
    let desk = apart();
    in_other(&desk, &["start", "Reef house", "--measure", "Oru", "--length", "4sp"]);
    let other = crate::store::told::shell(&desk.folder().join("other.spanwright"));
    other
        .execute_batch(
            "DROP TRIGGER house_is_never_changed;
             UPDATE house SET name = char(8203), known_as = char(8203) WHERE name = 'Reef house'",
        )
        .unwrap();
    drop(other);
    refused(&desk, &["merge", "other.spanwright"], 1, &["its name", "can be seen"]);
}
