//! `log`: the day book.

use super::{json, refused, tern};
use crate::desk::Desk;

fn says(desk: &Desk, arguments: &[&str]) -> Vec<String> {
    let log = json(desk, &[&["log"], arguments].concat());
    log.as_array().unwrap().iter().map(|line| line["says"].as_str().unwrap().to_owned()).collect()
}

fn written() -> Desk {
    let desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "6.97m", "--by", "Tavi"]).well();
    desk.run(["tally", "Tern house", "panel", "40", "--as", "woven", "--by", "Sefa"]).well();
    desk.run(["hold", "--all", "--cause", "storm", "--at", "2030-10-01T06:00:00Z"]).well();
    desk
}

#[test]
fn the_newest_stands_first_by_when_it_happened() {
    let desk = written();
    let all = says(&desk, &[]);
    assert!(all[0] == "40 panels woven" && all[1].contains("set-out/ab"), "{all:?}");
    assert_eq!(all.last().unwrap(), "held: storm");
    assert_eq!(says(&desk, &["--limit", "2"]), &all[..2]);
}

#[test]
fn it_is_sifted_by_house_kind_person_and_words() {
    let desk = written();
    assert!(!says(&desk, &["Tern house"]).iter().any(|line| line.contains("storm")));
    assert_eq!(says(&desk, &["--kind", "tally"]).len(), 1);
    assert_eq!(says(&desk, &["--by", "tavi"]).len(), 1);
    assert_eq!(says(&desk, &["--text", "WOVEN"]).len(), 1);
    assert!(desk.run(["log", "--text", "100%"]).well().starts_with("Nothing"));
}

#[test]
fn a_strike_and_an_answer_say_in_words_what_they_are_about() {
    let desk = written();
    let panels = json(&desk, &["log", "--kind", "tally"])[0]["id"].as_str().unwrap().to_owned();
    desk.run(["strike", &panels, "--why", "by mistake"]).well();
    assert_eq!(says(&desk, &["--kind", "strike"]), ["struck: \"40 panels woven\", by mistake"]);
    assert_eq!(json(&desk, &["log", "--kind", "strike"])[0]["about"], panels.as_str());
    assert_eq!(json(&desk, &["log", "--kind", "tally"])[0]["about"], serde_json::Value::Null);

    desk.run(["permit", "add", "--tree", "beach oak", "--count", "2", "--until", "2030-12-31"]).well();
    let cut = ["tally", "Tern house", "pole", "3", "--as", "cut", "--tree", "beach oak", "--why"];
    let cut = super::id(&desk, &[&cut[..], &["the storm felled it"]].concat());
    desk.run(["permit", "answer", &cut, "--said", "the headman knows"]).well();
    let answer = &says(&desk, &["--kind", "answer"])[0];
    assert!(answer.starts_with("answered: \"3 poles cut, beach oak, past the permit: the storm"), "{answer}");
    assert!(answer.ends_with("\", the headman knows"), "{answer}");
}

#[test]
fn what_is_asked_for_must_be_known() {
    let desk = written();
    refused(&desk, &["log", "Nowhere"], 2, &["Nowhere"]);
    refused(&desk, &["log", "--kind", "gossip"], 2, &["--kind", "reading"]);
    refused(&desk, &["log", "--limit", "0"], 2, &["limit: "]);
}

#[test]
fn words_are_looked_for_as_they_are_shown() {
    let desk = tern();
    desk.run(["brief", "Tern house", "--place", "Lee \\ \"low\" shore"]).well();
    let found = |text: &str| desk.run(["log", "--kind", "brief", "--text", text, "--json"]).well();
    let count = |text: &str| found(text).matches("\"kind\"").count();
    assert_eq!((count("length 4sp"), count("\\ \"low\" SHORE"), count("\":\""), count("%")), (2, 1, 0, 0));
    refused(&desk, &["log", "--text", &"x".repeat(60_000)], 2, &["text: longer than 500 characters"]);
}
