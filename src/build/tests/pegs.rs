//! Pegs: read, found out of place, moved, read again.

use super::*;

#[test]
fn pegs_within_their_tolerance_may_be_signed() {
    let house = set_out().house();
    let now = house.stage("set-out").unwrap();
    assert_eq!(now.state, State::Ready, "{:?}", now.against);
    let pegs = now.findings.set_out.as_ref().unwrap();
    assert_eq!(pegs.kept.len(), 4);
    assert!(pegs.moves.is_empty());
}

#[test]
fn a_slip_across_is_seen_and_more_readings_find_it() {
    let house = set_out().read("set-out/ac", "8.792 m").house();
    let now = house.stage("set-out").unwrap();
    assert_eq!(now.findings.set_out.as_ref().unwrap().square.suspects.len(), 6);
    assert!(now.findings.told.join(" ").contains("cannot say which"), "{:?}", now.findings.told);
    // One length from the mark settles nothing and is left out.
    let one_more = set_out().read("set-out/ac", "8.792 m").read("set-out/oa", "4.355 m").house();
    assert!(one_more.stage("set-out").unwrap().findings.told[0].starts_with("The six disagree"));
    let house = ["oa", "ob", "oc", "od"]
        .iter()
        .fold(set_out().read("set-out/ac", "8.792 m"), |t, p| t.read(&format!("set-out/{p}"), "4.355 m"))
        .house();
    let now = house.stage("set-out").unwrap();
    let suspects: Vec<&str> =
        now.findings.set_out.as_ref().unwrap().square.suspects.iter().map(|p| p.name()).collect();
    assert_eq!(suspects, ["ac"]);
    assert_eq!(now.findings.next.as_deref(), Some("Read a-c again."));
}

#[test]
fn a_peg_out_of_place_is_moved_and_read_again() {
    // Peg C 60 mm too far along the house: b-c, c-d and a-c with it.
    let out = [
        ("set-out/ab", "6.968 m"),
        ("set-out/bc", "5.2263 m"),
        ("set-out/cd", "7.028 m"),
        ("set-out/da", "5.226 m"),
        ("set-out/ac", "8.7581 m"),
        ("set-out/bd", "8.710 m"),
    ];
    let trial = out.iter().fold(Trial::new("Tern house"), |t, (point, value)| t.read(point, value));
    let house = trial.house();
    let now = house.stage("set-out").unwrap();
    let moves = &now.findings.set_out.as_ref().unwrap().moves;
    assert_eq!(moves.len(), 1);
    assert_eq!(moves[0].corner.name(), "c");
    assert!((moves[0].along_m + 0.060).abs() < 0.002 && moves[0].across_m.abs() < 0.002, "{:?}", moves[0]);
    let largest = now.point("largest-move").unwrap();
    assert!(largest.value.unwrap() > 0.040 && largest.verdict == Verdict::Out, "{largest:?}");
    let next = now.findings.next.as_ref().unwrap();
    assert!(next.contains("Move peg C 60 mm along the house toward the d-a end"), "{next}");

    let house = trial.draft(&Draft::Moved { point: "set-out/c".to_owned() }).house();
    let unread: Vec<&str> = house
        .stage("set-out")
        .unwrap()
        .points
        .iter()
        .filter(|p| p.verdict == Verdict::Unread && p.point.must)
        .map(|p| p.point.id.as_str())
        .collect();
    assert_eq!(unread, ["bc", "cd", "ac", "oa", "ob", "oc", "od"]);
}

#[test]
fn pegs_read_again_after_signing_that_are_to_move_put_the_sign_off_in_doubt() {
    // Every reading is within its own tolerance; together they say that the
    // plan leans like a rhombus.
    let signed = SIX[..5]
        .iter()
        .fold(Trial::new("Tern house"), |t, (point, value)| t.read(point, value))
        .sign("set-out");
    let again = [("set-out/ab", "6.935 m"), ("set-out/cd", "6.935 m"), ("set-out/ac", "8.752 m")];
    let house = again.iter().fold(signed, |t, (point, value)| t.read(point, value)).house();
    let now = house.stage("set-out").unwrap();
    assert!(now.points.iter().filter(|p| p.point.must).all(|p| p.verdict != Verdict::Out));
    assert!(!now.against.is_empty());
    assert_eq!(now.state, State::Doubtful);
}

#[test]
fn pegs_read_again_after_signing_that_stand_true_leave_it_signed() {
    let house = set_out().sign("set-out").read("set-out/ab", "6.972 m").house();
    assert_eq!(house.stage("set-out").unwrap().state, State::Signed, "{:?}", house.doubts);
}

#[test]
fn what_the_pegs_do_not_tell_is_not_worked_out() {
    let worked_out = |house: &House, id: &str| house.stage("set-out").unwrap().point(id).unwrap().value;
    let unmarked = set_out().house();
    assert_eq!(worked_out(&unmarked, "crossing"), None, "nothing was read from the mark");
    assert!(worked_out(&unmarked, "diagonal-difference").is_some());
    let marked = ["oa", "ob", "oc", "od"]
        .iter()
        .fold(set_out(), |t, pair| t.read(&format!("set-out/{pair}"), "4.355 m"))
        .house();
    assert!(worked_out(&marked, "crossing").is_some());
}

#[test]
fn no_peg_is_moved_on_the_word_of_readings_that_disagree() {
    let exact = [
        ("ab", 6.968),
        ("bc", 5.226),
        ("cd", 6.968),
        ("da", 5.226),
        ("ac", 8.710),
        ("bd", 8.710),
        ("oa", 4.355),
        ("ob", 4.355),
        ("oc", 4.355),
        ("od", 4.355),
    ];
    // An everyday slip of the tape, in each of the ten in turn.
    for (slip, _) in exact {
        for by in [0.05, 0.06, 0.08, 0.15] {
            let trial = exact.iter().fold(Trial::new("Tern house"), |t, (pair, m)| {
                let m = if *pair == slip { m + by } else { *m };
                t.read(&format!("set-out/{pair}"), &format!("{m:.4} m"))
            });
            let house = trial.house();
            let found = &house.stage("set-out").unwrap().findings;
            let told = found.told.join(" ");
            assert!(!told.contains("Move peg"), "{slip} by {by}: {told}");
        }
    }
}

#[test]
fn no_peg_is_moved_before_one_reading_checks_another() {
    let five = [("ab", "6.968"), ("bc", "5.226"), ("cd", "6.968"), ("da", "5.226"), ("ac", "8.60")];
    let trial = five
        .iter()
        .fold(Trial::new("Tern house"), |t, (pair, m)| t.read(&format!("set-out/{pair}"), &format!("{m} m")));
    let house = trial.house();
    let found = &house.stage("set-out").unwrap().findings;
    assert_eq!(found.next.as_deref(), Some("Read b-d first."), "{:?}", found.told);
}
