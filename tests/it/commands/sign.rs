//! `sign`: a stage is right.

use super::{house, id, refused, stage, tern};
use crate::desk::Desk;

fn centre_mark(desk: &Desk) -> Vec<String> {
    let read =
        |point: &str, value: &str| id(desk, &["read", "Tern house", &format!("centre-mark/{point}"), value]);
    let mut readings: Vec<String> = (1..=3).map(|i| read(&format!("span-{i}"), "1.742m")).collect();
    readings.push(read("bearing", "74"));
    readings.push(read("fall", "12cm"));
    readings.push(read("above-high-water", "yes"));
    readings.push(read("nothing-can-fall", "yes"));
    readings
}

#[test]
fn a_sign_off_rests_on_its_readings() {
    let desk = tern();
    let readings = centre_mark(&desk);
    let entry = id(&desk, &["sign", "Tern house", "centre-mark", "--by", "Tavi"]);
    let house = house(&desk);
    let stage = stage(&house, "centre-mark");
    let sign_off = &stage["sign_off"];
    assert_eq!(stage["state"], "signed");
    assert_eq!((&sign_off["id"], &sign_off["by"]), (&entry.as_str().into(), &"Tavi".into()));
    assert_eq!(sign_off["rested_on"], serde_json::json!(readings));
    refused(&desk, &["sign", "Tern house", "centre-mark"], 2, &["stage: ", "signed already"]);
}

#[test]
fn a_stage_that_is_not_ready_takes_a_remark() {
    let desk = tern();
    refused(&desk, &["sign", "Tern house", "set-out"], 2, &["remark: ", "not ready"]);
    desk.run(["sign", "Tern house", "set-out", "--remark", "read by eye"]).well();
    assert_eq!(stage(&house(&desk), "set-out")["sign_off"]["remark"], "read by eye");
}

#[test]
fn there_are_nine_stages_to_sign() {
    refused(&tern(), &["sign", "Tern house", "roofing"], 2, &["stage: ", "roofing", "handing-over"]);
}
