//! Three houses through a storm of two weeks, by keys, in a pseudo-terminal.

use serde_json::Value;

use crate::commands::{TERN, json, point, stage};
use crate::desk::Desk;
use crate::seat::{Place, Seat};

const STAGES: [&str; 7] = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge", "thatch"];

/// What is called out where a point is as it was meant to be.
fn as_meant(p: &Value) -> String {
    let target = p["target"].as_f64().unwrap_or_default();
    match p["kind"].as_str().unwrap() {
        "yes-no" => "yes".to_owned(),
        // Rounding down would make a bound too short.
        "length" if p["tolerance"] == 0.0 => format!("{:.3} m", target + 0.001),
        "length" => format!("{target:.4} m"),
        _ => format!("{target:.0}"),
    }
}

fn house(desk: &Desk, name: &str) -> Value {
    json(desk, &["house", name])
}

/// Starts a house and builds it as far as a stage, which is signed.
fn built(desk: &Desk, name: &str, stages: &[&str]) {
    let start = TERN.iter().map(|word| if *word == "Tern house" { name } else { word });
    desk.run(start).well();
    for at in stages {
        let now = house(desk, name);
        for p in stage(&now, at)["points"].as_array().unwrap().iter().filter(|p| p["derived"] != true) {
            let id = format!("{at}/{}", p["id"].as_str().unwrap());
            desk.run(["read", name, &id, &as_meant(p)]).well();
        }
        desk.run(["sign", name, at]).well();
    }
}

fn again(now: &Value) -> Vec<String> {
    now["read_again"].as_array().unwrap().iter().map(|p| p["point"].as_str().unwrap().to_owned()).collect()
}

/// The day on which a house is likely to be done; none while it is held.
fn likely(desk: &Desk, name: &str) -> Option<String> {
    let days = json(desk, &["days"]);
    let house = days["houses"].as_array().unwrap().iter().find(|h| h["name"] == name).unwrap().clone();
    house["likely"].as_str().map(str::to_owned)
}

fn doubtful(now: &Value) -> Vec<String> {
    let stages = now["stages"].as_array().unwrap().iter().filter(|s| s["state"] == "doubtful");
    stages.map(|s| s["name"].as_str().unwrap().to_owned()).collect()
}

/// Goes down the list of a house that is open at the first of it, from form to
/// form; then signs what was signed, opening the house anew for each stage.
fn made_good(seat: &mut Seat, desk: &Desk, name: &str) {
    let before = house(desk, name);
    let list = again(&before);
    seat.press("Enter");
    // Heads under their beams are read once for the posts and the beams.
    let once =
        |at: &&String| !at.strip_prefix("beams/").is_some_and(|head| list.contains(&format!("posts/{head}")));
    for at in list.iter().filter(once) {
        let (at, id) = at.split_once('/').unwrap();
        let p = point(&before, at, id);
        // The form goes on to the next of the list by itself.
        seat.wait_for(&format!("── {} ──", p["name"].as_str().unwrap()));
        seat.type_in(&as_meant(p));
        seat.press("Enter");
    }
    seat.wait_for("Enter read");
    seat.settled();
    let read = house(desk, name);
    assert_eq!(again(&read), [""; 0], "{}", seat.shown());
    for says in doubtful(&read) {
        seat.press("Esc");
        seat.wait_for("Enter open");
        seat.press("Enter");
        seat.wait_for(&format!("{says}, doubtful"));
        seat.press("s");
        seat.wait_for("all that must hold holds");
        seat.press("Enter");
        seat.wait_for(&format!("{says}, signed"));
    }
    let good = house(desk, name);
    assert_eq!(good["doubts"], serde_json::json!([]));
}

#[test]
fn three_houses_are_picked_up_where_a_storm_left_them() {
    let mut desk = Desk::new();
    built(&desk, "Tern house", &STAGES[..2]);
    built(&desk, "Landing house", &STAGES[..3]);
    built(&desk, "School shade", &STAGES);
    desk.run(["tally", "School shade", "panel", "60", "--as", "woven"]).well();

    let before = likely(&desk, "Landing house").unwrap();
    let mut seat = Place::at(&desk, [""; 0]).sit();
    seat.wait_for("▸Tern house");
    seat.press("h");
    seat.wait_for("Stop the work at all houses");
    seat.press("Enter");
    seat.wait_for("Made fast at all houses?");
    seat.type_in("yes");
    seat.press("Enter");
    seat.wait_for("held: storm, day 1");
    seat.wait_for("Enter open");
    seat.press("q");
    assert_eq!(seat.end(), 0);

    desk.set_clock("2030-10-28T07:00:00+10:00");
    assert_eq!(likely(&desk, "Landing house"), None, "not before resuming");
    let mut seat = Place::at(&desk, [""; 0]).sit();
    seat.wait_for("Where we were");
    seat.press("Enter");
    seat.wait_for("Enter open");
    seat.wait_for("held: storm, day 15");
    seat.press("h");
    seat.wait_for("Go on with the work at all houses");
    seat.press("Enter");
    seat.wait_for("in doubt");

    let lists: Vec<Vec<String>> = ["Tern house", "Landing house", "School shade"]
        .iter()
        .map(|name| again(&house(&desk, name)))
        .collect();
    let has = |list: &[String], stage: &str| list.iter().any(|p| p.starts_with(stage));
    assert!(lists.iter().all(|list| list[0] == "centre-mark/seen-from-outside"), "{lists:?}");
    assert!(has(&lists[0], "set-out/ab") && !has(&lists[0], "posts"), "{:?}", lists[0]);
    assert!(!has(&lists[1], "set-out") && has(&lists[1], "posts/A/ground"), "{:?}", lists[1]);
    assert!(has(&lists[2], "ridge/legs") && has(&lists[2], "thatch/rows-ab"), "{:?}", lists[2]);

    for name in ["Tern house", "Landing house", "School shade"] {
        seat.wait_for(&format!("▸{name}"));
        seat.press("Enter");
        seat.wait_for(&format!("{name}   4 sp x 3 sp"));
        seat.wait_for("seen from outside");
        if name == "School shade" {
            seat.press("t");
            seat.wait_for("What came, went or was used");
            for (word, then) in [("panel", "Tab"), ("40", "Tab")] {
                seat.type_in(word);
                seat.press(then);
            }
            seat.press("Ctrl-U");
            seat.type_in("lost");
            seat.press("Enter");
            seat.wait_for("Kept: 40 panels lost");
        }
        made_good(&mut seat, &desk, name);
        seat.press("Esc");
        seat.wait_for(&format!("▸{name}"));
        seat.press("Right");
    }
    let after = likely(&desk, "Landing house").unwrap();
    assert!(after > before, "a new day is told: {before}, now {after}");
    seat.press("c");
    seat.wait_for("w weaving, below the building");
    seat.wait_for("builders (4) today");
    seat.press("q");
    assert_eq!(seat.end(), 0);
    let shade = house(&desk, "School shade");
    let panels = stage(&shade, "thatch")["items"].as_array().unwrap().iter().find(|i| i["id"] == "panel");
    assert_eq!(panels.unwrap()["lost"], 40);
}
