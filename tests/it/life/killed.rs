//! The plug is pulled: nothing that was acknowledged is lost.

use std::io::Read as _;
use std::process::Stdio;
use std::thread::sleep;
use std::time::{Duration, Instant};

use rustix::process::Signal;

use crate::commands::{id, json, tern};
use crate::desk::Desk;
use crate::seat::Place;

const KILLS: u32 = 300;

/// The ids of everything that was written, newest first.
fn written(desk: &Desk) -> Vec<String> {
    let log = json(desk, &["log", "--limit", "100000"]);
    log.as_array().unwrap().iter().map(|e| e["id"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_command_that_is_killed_has_kept_what_it_said_it_kept() {
    let desk = tern();
    let started = Instant::now();
    let first = id(&desk, &["read", "Tern house", "set-out/ab", "6.9m"]);
    let whole = started.elapsed();
    let mut acknowledged = vec![first];
    let mut killed_early = 0;
    for kill in 0..KILLS {
        let value = format!("{}mm", 6900 + kill);
        let mut child = desk
            .command(["read", "Tern house", "set-out/ab", &value])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Anywhere between its first instruction and well after its end.
        sleep(whole * kill / KILLS * 3 / 2);
        child.kill().unwrap();
        let mut said = String::new();
        child.stdout.take().unwrap().read_to_string(&mut said).unwrap();
        child.wait().unwrap();
        match said.lines().next().filter(|id| id.len() == 36) {
            Some(id) => acknowledged.push(id.to_owned()),
            None => killed_early += 1,
        }
    }
    let kept = written(&desk);
    for id in &acknowledged {
        assert!(kept.contains(id), "{id} was acknowledged and is gone");
    }
    assert!(killed_early > 0, "none was killed before its end");
    assert_eq!(json(&desk, &["verify"])["sound"], true);
}

#[test]
fn a_screen_that_is_killed_has_kept_what_it_said_it_kept() {
    let desk = tern();
    for kill in 0..40_u64 {
        let mut seat = Place::at(&desk, [""; 0]).sit();
        if kill == 0 {
            seat.wait_for("Tern house");
            seat.press("Enter");
            seat.wait_for("Mind first");
            seat.press("Enter");
        }
        seat.wait_for("meant");
        seat.press("Home");
        let value = 160 + kill;
        seat.type_in(&format!("{value}\r"));
        // From the second on, half a word of the next reading is typed, too.
        seat.wait_for("Kept: Oru's span on the rod, 1 ");
        seat.type_in("1.7");
        sleep(Duration::from_micros(kill * 379 % 5_000));
        seat.signal(Signal::KILL);
        seat.end();
        let said = json(&desk, &["house", "Tern house"])["stages"][0]["points"][0]["said"].clone();
        assert_eq!(said, value.to_string());
    }
    assert_eq!(json(&desk, &["verify"])["sound"], true);
}
