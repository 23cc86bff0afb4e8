//! `moved`: a peg was moved.

use super::{house, id, point, refused, tern};

#[test]
fn what_was_read_to_a_moved_peg_is_unread_again() {
    let desk = tern();
    for (pair, value) in [("ab", "4 sp"), ("bc", "3 sp"), ("ac", "5 sp")] {
        desk.run(["read", "Tern house", &format!("set-out/{pair}"), value]).well();
    }
    id(&desk, &["moved", "Tern house", "set-out/c"]);
    let house = house(&desk);
    let verdict = |id: &str| point(&house, "set-out", id)["verdict"].clone();
    assert_eq!([verdict("ab"), verdict("bc"), verdict("ac")], ["true", "unread", "unread"]);
}

#[test]
fn only_pegs_are_moved() {
    refused(&tern(), &["moved", "Tern house", "posts/A"], 2, &["point: ", "posts/A", "set-out/a"]);
}
