//! `permit`, and what is cut against it.

use std::process::Stdio;

use serde_json::{Value, json};

use super::{house, id, json as said, refused, tern};
use crate::desk::Desk;

const GIVEN: &[&str] = &[
    "permit",
    "add",
    "--tree",
    "Mangrove",
    "--count",
    "20",
    "--until",
    "2031-06-30",
    "--where",
    "north creek",
];

fn cut<'a>(count: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let cut = ["tally", "Tern house", "post", count, "--as", "cut", "--tree", "mangrove"];
    [&cut[..], more].concat()
}

/// The one permit there is: given, cut and left.
fn counted(desk: &Desk) -> Value {
    let permits = said(desk, &["permit", "list"]);
    let mangrove = permits.as_array().unwrap().iter().find(|of| of["tree"] == "mangrove").unwrap();
    let permit = &mangrove["permits"][0];
    json!([permit["given"], permit["cut"], permit["left"]])
}

#[test]
fn what_is_cut_counts_against_the_permit() {
    let desk = tern();
    let permit = id(&desk, GIVEN);
    desk.run(cut("14", &["--length", "3.2m", "--thick", "18cm"])).well();
    assert_eq!(counted(&desk), json!([20, 14, 6]));
    let told = desk.run(["permit", "list"]).well();
    let line = told.lines().nth(1).unwrap();
    for word in ["mangrove", "20", "14", "6", "2031-06-30", "north creek", &permit] {
        assert!(line.contains(word), "{word}: {told}");
    }
    // What comes from elsewhere, and what names no tree, counts against nothing.
    desk.run(["tally", "Tern house", "post", "9", "--as", "bought", "--tree", "mangrove"]).well();
    desk.run(["tally", "Tern house", "post", "9", "--as", "cut"]).well();
    assert_eq!(counted(&desk), json!([20, 14, 6]));
}

#[test]
fn a_cut_past_the_permit_is_refused_without_a_reason() {
    let desk = tern();
    desk.run(cut("30", &[])).well();
    desk.run(["permit", "add", "--tree", "casuarina", "--count", "5", "--until", "2031-06-30"]).well();
    let casuarina = |count: &'static str, at: &'static str| {
        ["tally", "Tern house", "rafter", count, "--as", "cut", "--tree", "Casuarina", "--at", at]
    };
    let today = "2030-10-14T09:00:00+10:00";
    refused(&desk, &casuarina("6", today), 2, &["count: ", "6 casuarina", "5 until 2031-06-30", "why"]);
    desk.run(casuarina("5", "2031-06-30T23:59:00+10:00")).well();
    refused(&desk, &casuarina("1", today), 2, &["none are left"]);
    refused(&desk, &casuarina("1", "2031-07-01T00:10:00+10:00"), 2, &["the permit ended on 2031-06-30"]);
    refused(&desk, &casuarina("1", "2030-10-13T23:00:00+10:00"), 2, &["no permit holds on that day"]);
    let needless = [&casuarina("1", today)[..], &["--why", ""]].concat();
    refused(&desk, &needless, 2, &["none are left"]);
}

#[test]
fn a_cut_past_the_permit_stands_out_until_it_is_answered() {
    let desk = tern();
    desk.run(GIVEN).well();
    desk.run(cut("18", &[])).well();
    let entry = id(&desk, &cut("5", &["--why", "two split in the felling"]));
    let past = &house(&desk)["past_permit"];
    assert_eq!((&past[0]["entry"], &past[0]["why"]), (&json!(entry), &json!("two split in the felling")));
    assert_eq!(said(&desk, &["houses"])[0]["past_permit"][0]["count"], 5);
    assert!(desk.run(["houses"]).well().contains("! past permit"));
    let told = desk.run(["house", "Tern house"]).well();
    assert!(told.contains("! 5 posts of mangrove cut, 3 past the permit"), "{told}");
    let listed = said(&desk, &["permit", "list"]);
    let listed = &listed[0]["past"][0];
    assert_eq!((&listed["past"], &listed["answered"]), (&json!(3), &json!(false)));
    assert!(desk.run(["permit", "list"]).well().contains("not answered"));

    refused(&desk, &["permit", "answer", &entry, "--said", " "], 2, &["said: "]);
    desk.run(["permit", "answer", &entry, "--said", "the ranger allowed three more"]).well();
    assert_eq!(house(&desk)["past_permit"], json!([]));
    assert!(!desk.run(["houses"]).well().contains("past permit"));
    let listed = said(&desk, &["permit", "list"]);
    assert_eq!(listed[0]["past"][0]["answer"], "the ranger allowed three more");
    refused(&desk, &["permit", "answer", &entry, "--said", "again"], 2, &["entry: "]);
}

#[test]
fn a_struck_answer_leaves_the_cut_standing_out_again() {
    let desk = tern();
    desk.run(GIVEN).well();
    let entry = id(&desk, &cut("21", &["--why", "two split in the felling"]));
    let answer = id(&desk, &["permit", "answer", &entry, "--said", "allowed"]);
    desk.run(["strike", &answer, "--why", "it was not"]).well();
    assert_eq!(house(&desk)["past_permit"].as_array().unwrap().len(), 1);
    assert_eq!(said(&desk, &["houses"])[0]["past_permit"].as_array().unwrap().len(), 1);
}

#[test]
fn a_misspelt_tree_does_not_slip_past_its_permit() {
    let desk = tern();
    desk.run(GIVEN).well();
    let mangroove = ["tally", "Tern house", "post", "40", "--as", "cut", "--tree", "Mangroove"];
    refused(&desk, &mangroove, 2, &["tree: ", "no permit is for mangroove", "mangrove", "why"]);
    let another = [&mangroove[..], &["--why", "a tree of that name on the hill"]].concat();
    let entry = id(&desk, &another);
    assert_eq!(house(&desk)["past_permit"][0]["entry"], json!(entry));
    // Known once that was answered.
    refused(&desk, &mangroove, 2, &["tree: ", "no permit is for mangroove"]);
    desk.run(["permit", "answer", &entry, "--said", "so it is"]).well();
    desk.run(mangroove).well();
    assert_eq!(counted(&desk), json!([20, 0, 20]));
}

#[test]
fn a_cut_that_counts_against_no_permit_says_so() {
    let desk = tern();
    desk.run(["tally", "Tern house", "post", "2", "--as", "cut"]).well();
    desk.run(GIVEN).well();
    let bare = ["tally", "Tern house", "post", "2", "--as", "cut"];
    let told = desk.run(bare).well();
    assert!(told.contains("! no tree was said, so it counts against no permit"), "{told}");
    let coconut = [&bare[..], &["--tree", "coconut"]].concat();
    let told = desk.run(&coconut).well();
    assert!(told.contains("! it counts against no permit; there are permits for mangrove"), "{told}");
    assert!(said(&desk, &coconut)["no_permit"].is_string());
    assert!(!desk.run(cut("2", &[])).well().contains("no permit"));
}

#[test]
fn a_tree_whose_only_permit_was_struck_is_not_free_to_cut() {
    let desk = tern();
    let permit = id(&desk, GIVEN);
    desk.run(cut("20", &[])).well();
    desk.run(["strike", &permit, "--why", "wrong paper"]).well();
    refused(&desk, &cut("500", &[]), 2, &["count: ", "the permit for it was struck"]);
    assert_eq!(house(&desk)["past_permit"][0]["past"], 20);
    assert!(desk.run(["permit", "list"]).well().contains("20 posts of mangrove"));
    let spelled = ["tally", "Tern house", "post", "1", "--as", "cut", "--tree", "mangroves"];
    refused(&desk, &spelled, 2, &["tree: ", "mangrove"]);
}

#[test]
fn a_permit_that_is_over_before_it_is_given_is_refused() {
    let desk = tern();
    let add = ["permit", "add", "--tree", "mangrove", "--count", "5", "--until", "2030-10-13"];
    refused(&desk, &add, 2, &["until: ", "2030-10-13", "over"]);
    desk.run([&add[..], &["--at", "2030-10-01T08:00:00+10:00"]].concat()).well();
}

#[test]
fn a_struck_cut_gives_its_trees_back() {
    let desk = tern();
    desk.run(GIVEN).well();
    let entry = id(&desk, &cut("20", &[]));
    refused(&desk, &cut("1", &[]), 2, &["none are left"]);
    desk.run(["strike", &entry, "--why", "counted at the other house"]).well();
    assert_eq!(counted(&desk), json!([20, 0, 20]));
    desk.run(cut("20", &[])).well();
}

#[test]
fn a_struck_permit_leaves_its_cuts_to_the_others() {
    let desk = tern();
    let first = id(&desk, GIVEN);
    desk.run(cut("15", &[])).well();
    desk.run(["permit", "add", "--tree", "mangrove", "--count", "10", "--until", "2031-12-31"]).well();
    desk.run(["strike", &first, "--why", "given for another creek"]).well();
    let listed = said(&desk, &["permit", "list"]);
    assert_eq!(listed[0]["permits"][0]["left"], 0);
    assert_eq!((&listed[0]["past"][0]["past"], &listed[0]["past"][0]["why"]), (&json!(5), &Value::Null));
    // Nobody could write why: it stands out all the same, and can be answered.
    let past = &house(&desk)["past_permit"][0];
    assert_eq!((&past["past"], &past["why"]), (&json!(5), &Value::Null));
    assert!(desk.run(["houses"]).well().contains("! past permit"));
    let told = desk.run(["house", "Tern house"]).well();
    assert!(told.contains("! 15 posts of mangrove cut, 5 past the permit"), "{told}");
    let entry = past["entry"].as_str().unwrap();
    desk.run(["permit", "answer", entry, "--said", "the ranger was told"]).well();
    assert_eq!(house(&desk)["past_permit"], json!([]));
    assert!(!desk.run(["houses"]).well().contains("past permit"));
}

#[test]
fn a_permit_written_late_covers_what_was_cut_since() {
    let desk = tern();
    desk.run(GIVEN).well();
    let entry = id(&desk, &cut("25", &["--why", "the second paper is under way"]));
    let late =
        ["--tree", "mangrove", "--count", "10", "--until", "2031-01-31", "--at", "2030-10-01T08:00:00+10:00"];
    desk.run([&["permit", "add"][..], &late].concat()).well();
    let listed = said(&desk, &["permit", "list"]);
    assert_eq!(listed[0]["past"][0]["past"], 0);
    // It was said to be past, and waits for its answer all the same.
    assert_eq!(house(&desk)["past_permit"][0]["entry"], json!(entry));
}

/// Nobody else can cut between the looking and the keeping.
#[test]
fn many_hands_at_once_cut_no_more_than_the_permit() {
    let desk = tern();
    desk.run(GIVEN).well();
    let hands: Vec<_> = (0..8)
        .map(|_| {
            let mut hand = desk.command(cut("6", &[]));
            hand.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
        })
        .collect();
    let well = hands.into_iter().filter_map(|mut hand| hand.wait().ok()).filter(|s| s.success()).count();
    assert_eq!((well, counted(&desk)), (3, json!([20, 18, 2])));
}

#[test]
fn what_is_no_permit_is_refused() {
    let desk = tern();
    let add = |tree: &'static str, count: &'static str, until: &'static str| {
        ["permit", "add", "--tree", tree, "--count", count, "--until", until]
    };
    refused(&desk, &add(" ", "20", "2031-06-30"), 2, &["tree: "]);
    refused(&desk, &add("mangrove", "0", "2031-06-30"), 2, &["count: ", "0"]);
    refused(&desk, &add("mangrove", "-3", "2031-06-30"), 2, &["count: ", "-3"]);
    refused(&desk, &add("mangrove", "20", "30 June"), 2, &["until: ", "2031-06-30"]);
    let entry = id(&desk, &["tally", "Tern house", "post", "3", "--as", "cut"]);
    refused(&desk, &["permit", "answer", &entry, "--said", "all is well"], 2, &["entry: ", "permit list"]);
    refused(&desk, &cut("3", &["--why", "no reason"]), 2, &["why: "]);
    let panel = ["tally", "Tern house", "panel", "3", "--as", "woven", "--tree", "mangrove"];
    refused(&desk, &panel, 2, &["kind: ", "no kind of panel"]);
    let no_tree = ["tally", "Tern house", "post", "3", "--as", "cut", "--why", "more"];
    refused(&desk, &no_tree, 2, &["why: ", "tree"]);
    assert!(desk.run(["permit", "list"]).well().contains("permit add"));
}
