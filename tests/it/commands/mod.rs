//! The commands, a file each: what they do, and what they refuse.

mod brief;
mod crew;
mod days;
mod demo;
mod hold;
mod holds;
mod house;
mod houses;
mod keep_copy;
mod log;
mod lost;
mod measure;
mod merge;
mod moved;
mod only_read;
mod permit;
mod pieces;
mod read;
mod reckon;
mod sign;
mod start;
mod stores;
mod storm;
mod strike;
mod tally;
mod thatch;
mod tie_down;
mod typed;
mod verify;
mod where_we_were;

use serde_json::Value;

use crate::desk::Desk;

/// What starts the house that most of these are about.
pub const TERN: &[&str] = &[
    "start",
    "Tern house",
    "--owner",
    "Oru",
    "--place",
    "Lee shore",
    "--measure",
    "Oru",
    "--span",
    "1.742m",
    "--length",
    "4sp",
    "--ratio",
    "3:4",
];

/// A desk with Tern house in its book.
pub fn tern() -> Desk {
    let desk = Desk::new();
    desk.run(TERN).well();
    desk
}

/// What a command says in JSON.
#[track_caller]
pub fn json(desk: &Desk, arguments: &[&str]) -> Value {
    let out = desk.run([arguments, &["--json"]].concat()).well();
    assert!(out.ends_with("}\n") || out.ends_with("]\n"), "one value and a line end: {out}");
    serde_json::from_str(&out).unwrap()
}

/// The id that a recording command gives.
#[track_caller]
pub fn id(desk: &Desk, arguments: &[&str]) -> String {
    json(desk, arguments)["id"].as_str().unwrap().to_owned()
}

/// Tern house in JSON.
#[track_caller]
pub fn house(desk: &Desk) -> Value {
    json(desk, &["house", "Tern house"])
}

/// A stage of a house in JSON.
#[track_caller]
pub fn stage<'h>(house: &'h Value, id: &str) -> &'h Value {
    house["stages"].as_array().unwrap().iter().find(|s| s["id"] == id).unwrap()
}

/// A point of a house in JSON, by its stage and its id there.
#[track_caller]
pub fn point<'h>(house: &'h Value, at: &str, id: &str) -> &'h Value {
    stage(house, at)["points"].as_array().unwrap().iter().find(|p| p["id"] == id).unwrap()
}

/// A refusal: one line that names the place.
#[track_caller]
pub fn refused(desk: &Desk, arguments: &[&str], status: i32, names: &[&str]) {
    let line = desk.run(arguments).refused(status);
    assert!(line.starts_with("spanwright: ") && line.matches('\n').count() == 1, "one line: {line}");
    for name in names {
        assert!(line.contains(name), "should name {name}: {line}");
    }
}
