//! What every command has in common: what may be typed, and how it is said.

use std::process::Stdio;

use super::{TERN, json, refused, tern};
use crate::desk::{Desk, MORNING};

#[test]
fn what_is_not_a_command_is_one_clear_line() {
    let desk = Desk::new();
    refused(&desk, &["raise"], 2, &["raise"]);
    refused(&desk, &["houses", "--loud"], 2, &["--loud"]);
    refused(&desk, &["houses", "--at", "yesterday"], 2, &["--at", "RFC 3339"]);
    refused(&desk, &[], 1, &["terminal", "houses"]);
}

#[test]
fn help_and_version_are_no_refusals() {
    let desk = Desk::new();
    assert!(desk.run(["--help"]).well().contains("SPANWRIGHT_BOOK"));
    assert!(desk.run(["start", "--help"]).well().contains("--rafter-gap-max"));
    assert!(desk.run(["--version"]).well().starts_with("spanwright "));
}

#[test]
fn the_environment_names_book_writer_and_time() {
    let desk = Desk::new();
    let mut command = desk.command(TERN);
    command.env("SPANWRIGHT_BOOK", "named.spanwright").env("SPANWRIGHT_BY", "Tavi");
    assert!(command.output().unwrap().status.success());
    let log = json(&desk, &["log", "--book", "named.spanwright"]);
    assert_eq!(
        (&log[0]["by"], &log[0]["at"], &log[0]["written"]),
        (&"Tavi".into(), &MORNING.into(), &MORNING.into())
    );
    let mut odd = Desk::new();
    odd.set_clock("noon");
    refused(&odd, &["houses"], 2, &["SPANWRIGHT_NOW", "noon"]);
}

#[test]
fn who_and_when_may_be_said() {
    let desk = tern();
    let arguments =
        ["read", "Tern house", "set-out/ab", "7m", "--by", "Ilo", "--at", "2030-10-13T17:00:00+10:00"];
    desk.run(arguments).well();
    let reading = json(&desk, &["log", "--kind", "reading"])[0].clone();
    assert_eq!((&reading["by"], &reading["at"]), (&"Ilo".into(), &"2030-10-13T17:00:00+10:00".into()));
    refused(&desk, &["read", "Tern house", "set-out/ab", "7m", "--by", " "], 2, &["by: "]);
}

#[test]
fn text_from_the_book_steers_no_terminal() {
    let desk = tern();
    let remark = "\u{1b}]0;mine\u{7}wet\u{9b}2J\u{202e}\nspanwright: all is well";
    desk.run(["tally", "Tern house", "panel", "4", "--as", "woven", "--remark", remark]).well();
    let said = desk.run(["log", "--kind", "tally"]).well();
    assert!(!said.trim_end().contains(|c: char| c.is_control() || c == '\u{202e}'), "{said:?}");
    let line = desk.run(["house", "\u{1b}[2Jnowhere"]).refused(2);
    assert!(!line.trim_end().contains(char::is_control), "{line:?}");
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() {
    let desk = tern();
    let mut child = desk.command(["house", "Tern house", "--all"]).stdout(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    assert!(child.wait().unwrap().success());
}

#[test]
fn output_that_cannot_be_written_is_a_failure() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = tern().command(["houses"]).stdout(full).output().unwrap();
    let line = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.code() == Some(1) && line.contains("standard output"), "{line}");
}
