//! `where`: where the work was.

use super::{json, tern};
use crate::desk::Desk;

#[test]
fn each_house_tells_its_last_entries_what_is_in_hand_and_what_is_first() {
    let mut desk = tern();
    desk.run(["read", "Tern house", "set-out/ab", "6.970m", "--by", "Tavi"]).well();
    desk.set_clock("2030-10-26T08:00:00+10:00");
    let said = desk.run(["where"]).well();
    for line in [
        "Nothing was written since 14 Oct, 12 days ago.",
        "Tern house: 1 Centre mark, open",
        "  14 Oct, Tavi: read set-out/ab: 6.970m",
        "  short for this stage: 3 pegs and 1 other item",
        "  First: Read Oru's span on the rod, 1",
    ] {
        assert!(said.contains(line), "{line}: {said}");
    }
    let told = json(&desk, &["where"]);
    let house = &told["houses"][0];
    assert_eq!((&house["stage"], &house["doubts"]), (&"centre-mark".into(), &0.into()));
    assert_eq!(house["lately"][0]["by"], "Tavi");
    assert_eq!(house["short"][0]["item"], "peg");
}

#[test]
fn the_end_of_a_hold_is_told_until_something_is_written_of_the_house() {
    let mut desk = tern();
    desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    desk.set_clock("2030-10-17T08:00:00+10:00");
    desk.run(["resume", "Tern house"]).well();
    let why = |desk: &Desk| json(desk, &["where"])["why"].clone();
    assert_eq!(why(&desk), "A house was held until 17 Oct: storm.");
    desk.set_clock("2030-10-17T09:00:00+10:00");
    desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    assert_eq!(why(&desk), serde_json::Value::Null);
}

#[test]
fn what_is_not_made_fast_is_told_as_long_as_the_storm_holds() {
    let desk = tern();
    desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    let all = ["--panels", "yes", "--lifting-poles", "yes", "--openings", "yes", "--tools", "yes"];
    let answers = all.iter().chain(&["--people", "yes", "--ridge", "no"]);
    desk.run(["tie-down", "Tern house"].iter().chain(answers)).well();
    for page in ["where", "houses"] {
        let told = desk.run([page]).well();
        assert!(told.contains("before it is resumed. Not made fast: ridge."), "{page}: {told}");
    }
    desk.run(["tie-down", "Tern house", "--ridge", "yes"]).well();
    for page in ["where", "houses"] {
        let told = desk.run([page]).well();
        assert!(!told.contains("Not made fast"), "{page}: {told}");
    }
}

#[test]
fn what_was_written_under_another_offset_is_told_by_the_days_here() {
    let mut desk = tern();
    // The evening of 23 November there is the morning of the 24th here.
    desk.set_clock("2030-11-23T22:30:00Z");
    desk.run(["read", "Tern house", "set-out/ab", "6.970m"]).well();
    desk.set_clock("2030-12-24T08:00:00+10:00");
    let said = desk.run(["where"]).well();
    assert!(said.contains("Nothing was written since 24 Nov, 29 days ago."), "{said}");
    assert!(said.contains("  24 Nov, builder: read set-out/ab: 6.970m"), "{said}");
    desk.set_clock("2030-12-24T22:30:00Z");
    desk.run(["hold", "Tern house", "--cause", "feast"]).well();
    desk.set_clock("2030-12-25T10:00:00+10:00");
    let said = desk.run(["where"]).well();
    assert!(said.contains("First: Held since 25 Dec: feast."), "{said}");
    desk.set_clock("2030-12-25T22:30:00Z");
    desk.run(["resume", "Tern house"]).well();
    desk.set_clock("2030-12-26T10:00:00+10:00");
    let said = desk.run(["where"]).well();
    assert!(said.contains("A house was held until 26 Dec: feast."), "{said}");
}
