//! A house's whole life, by keys alone, in a pseudo-terminal.

use serde_json::Value;

use crate::commands::{house, stage};
use crate::desk::Desk;
use crate::seat::{Place, Seat};

/// What is typed so that each point of a stage is as it was meant to be.
fn as_meant(desk: &Desk, at: &str) -> Vec<String> {
    let now = house(desk);
    let points = stage(&now, at)["points"].as_array().unwrap().clone();
    points
        .iter()
        .filter(|p| p["derived"] != true)
        .map(|p| {
            let target = p["target"].as_f64().unwrap_or_default();
            match p["kind"].as_str().unwrap() {
                "yes-no" => "yes".to_owned(),
                // Rounding down would make a bound too short.
                "length" if p["tolerance"] == 0.0 => format!("{:.3} m", target + 0.001),
                "length" => format!("{target:.4} m"),
                _ => format!("{target:.0}"),
            }
        })
        .collect()
}

/// Opens the house that was chosen in the row, at its stage in hand.
fn start(seat: &mut Seat) {
    seat.wait_for("No house stands in this book yet");
    seat.press("n");
    seat.wait_for("A new house");
    for said in ["Tern house", "Oru", "Lee shore", "Oru", "1.742 m", "4 sp"] {
        seat.type_in(said);
        seat.press("Enter");
    }
    seat.wait_for("6.968 m x 5.226 m");
    seat.press("Ctrl-S");
    seat.wait_for("Tern house   4 sp x 3 sp, Oru's span 1.742 m");
}

#[test]
fn a_house_is_built_by_keys_from_the_mark_to_the_handing_over() {
    let desk = Desk::new();
    let mut seat = Place::at(&desk, [""; 0]).sit();
    start(&mut seat);
    let stages: Vec<Value> = house(&desk)["stages"].as_array().unwrap().clone();
    for (number, at) in (1..).zip(&stages) {
        let (id, says) = (at["id"].as_str().unwrap(), at["name"].as_str().unwrap());
        let told = |state: &str| format!("{number} {says}, {state}");
        seat.wait_for(&format!("{number} {says}, "));
        seat.wait_for("Mind first");
        seat.press("Enter");
        seat.wait_for("meant");
        for (place, value) in as_meant(&desk, id).iter().enumerate() {
            if place == 0 {
                // The first opens the form; after that it goes on by itself.
                seat.press("Enter");
                seat.wait_for("Enter keep");
            }
            seat.type_in(value);
            seat.press("Enter");
        }
        seat.wait_for(&told("ready"));
        seat.wait_for("Enter read");
        seat.press("s");
        seat.wait_for("all that must hold holds");
        seat.press("Enter");
        seat.wait_for(&told("signed"));
        if number == 2 {
            seat.press("q");
            assert_eq!(seat.end(), 0);
            seat = Place::at(&desk, [""; 0]).sit();
            seat.wait_for(&told("signed"));
        }
        if number < 9 {
            seat.press("Right");
        }
    }
    seat.press("Esc");
    seat.wait_for("handed over");
    seat.press("q");
    assert_eq!(seat.end(), 0);
    let built = house(&desk);
    assert!(built["stages"].as_array().unwrap().iter().all(|s| s["state"] == "signed"), "{built}");
    assert_eq!(built["doubts"], serde_json::json!([]));
}
