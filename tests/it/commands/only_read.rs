//! A book that may only be read: what it says is told, and nothing is kept.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use super::TERN;
use crate::desk::{Desk, PROGRAM};
use crate::nobody::Nobody;

/// A desk whose book lies in a folder that may only be read.
fn on_a_stick() -> Desk {
    let desk = Desk::new();
    fs::create_dir(desk.file("stick")).unwrap();
    desk.run([TERN, &["--book", "stick/village.spanwright"]].concat()).well();
    let set = |name: &str, mode| {
        fs::set_permissions(desk.file(name), fs::Permissions::from_mode(mode)).unwrap();
    };
    set(".", 0o755);
    set("stick/village.spanwright", 0o444);
    set("stick", 0o555);
    desk
}

/// Status, answer and complaint to one who has no more rights than everybody.
fn said(desk: &Desk, words: &[&str]) -> (Option<i32>, String, String) {
    let nobody = Nobody::of(Path::new(PROGRAM));
    let words = [words, &["--book", "stick/village.spanwright"]].concat();
    let output = desk.set(nobody.command(), words).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code(), text(output.stdout), text(output.stderr))
}

#[test]
fn what_is_in_it_is_told_and_that_nothing_can_be_kept_is_told_beside_it() {
    let desk = on_a_stick();
    let asked: [&[&str]; 16] = [
        &["houses"],
        &["house", "Tern house"],
        &["brief", "Tern house"],
        &["log"],
        &["where"],
        &["stores"],
        &["days"],
        &["holds", "Tern house"],
        &["pieces", "Tern house"],
        &["crew", "list"],
        &["permit", "list"],
        &["wood", "list"],
        &["measure"],
        &["tie-down", "Tern house"],
        &["verify"],
        &["houses", "--json"],
    ];
    for words in asked {
        let (status, out, err) = said(&desk, words);
        assert_eq!(status, Some(0), "{words:?}: {err}");
        assert!(!out.is_empty(), "{words:?}");
        assert!(err.ends_with("it may only be read; nothing can be kept in it\n"), "{words:?}: {err}");
        assert_eq!(err.matches('\n').count(), 1, "{words:?}: {err}");
    }
    assert_eq!(fs::read_dir(desk.file("stick")).unwrap().count(), 2, "the book, and the lock of who made it");
    fs::set_permissions(desk.file("stick"), fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn what_should_be_kept_is_refused_in_one_line() {
    let desk = on_a_stick();
    let asked: [&[&str]; 4] = [
        &["read", "Tern house", "set-out/ab", "6.97m"],
        &["tally", "Tern house", "panel", "4", "--as", "woven"],
        &["hold", "--all", "--cause", "storm"],
        &["start", "Reef house", "--measure", "Oru", "--length", "4sp"],
    ];
    for words in asked {
        let (status, out, err) = said(&desk, words);
        assert_eq!((status, out.as_str()), (Some(1), ""), "{words:?}");
        assert!(err.contains("it may only be read; ask for leave to write"), "{words:?}: {err}");
        assert_eq!(err.matches('\n').count(), 1, "{words:?}: {err}");
    }
    fs::set_permissions(desk.file("stick"), fs::Permissions::from_mode(0o755)).unwrap();
}
