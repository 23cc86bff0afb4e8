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
        "  short for this stage: 3 pegs and 1 rope",
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
