//! `keep-copy`: a safe copy of the book.

use super::{json, refused, tern};
use crate::desk::Desk;

#[test]
fn a_copy_holds_what_the_book_holds() {
    let desk = tern();
    desk.run(["keep-copy", "copy.spanwright"]).well();
    assert_eq!(json(&desk, &["log", "--book", "copy.spanwright"]), json(&desk, &["log"]));
}

#[test]
fn nothing_is_written_over() {
    let desk = tern();
    std::fs::write(desk.file("mine.txt"), "mine").unwrap();
    refused(&desk, &["keep-copy", "mine.txt"], 1, &["mine.txt", "already"]);
    assert_eq!(std::fs::read_to_string(desk.file("mine.txt")).unwrap(), "mine");
    refused(&desk, &["keep-copy", "no/where"], 1, &["no/where"]);
    refused(&Desk::new(), &["keep-copy", "copy"], 1, &["book.spanwright"]);
}
