//! `start`: a house from its brief.

use super::{TERN, json, refused, tern};
use crate::desk::Desk;

/// Source: Euclid, Elements I.47, the 3-4-5 triangle: four spans by three
/// are five across, so a leg of the rope triangle is two and a half.
#[test]
fn a_new_house_gives_its_rope_kit() {
    let desk = Desk::new();
    let said = desk.run(TERN).well();
    let id = said.lines().next().unwrap();
    assert_eq!(id.len(), 36, "an id alone on the first line: {said}");
    for line in [
        "length rope    cut 6.968 m (4 sp)   mark at 3.484 m (2 sp)",
        "width rope     cut 5.226 m (3 sp)   mark at 2.613 m (1 1/2 sp)",
        "triangle rope  cut 13.936 m (8 sp)  mark at 5.226 m (3 sp) and 9.581 m (5 1/2 sp)",
        "no allowance for knots is in them",
        "not a design",
    ] {
        assert!(said.contains(line), "{line} is not in {said}");
    }
    assert_eq!(json(&desk, &["house", id])["name"], "Tern house");
}

#[test]
fn the_kit_is_told_in_json_too() {
    let said = json(&Desk::new(), TERN);
    assert_eq!(said["ropes"][0]["cut_m"], 6.968);
    assert_eq!(said["corners"]["c"][0], 3.484);
    let warnings = said["warnings"].as_array().unwrap();
    assert_eq!(warnings.len(), 1, "the wood is not named: {warnings:?}");
    assert!(warnings[0].as_str().unwrap().starts_with("rafter_d: "), "{warnings:?}");
}

#[test]
fn everything_wrong_with_a_brief_is_told_at_once_and_no_book_is_begun() {
    let desk = Desk::new();
    let arguments = ["start", "X", "--measure", "Oru", "--span", "9m", "--length", "4", "--pitch", "-4"];
    refused(&desk, &arguments, 2, &["span: ", "length: ", "pitch: "]);
    assert!(!desk.book().exists());
}

#[test]
fn a_width_and_a_proportion_are_one_too_many() {
    let arguments = [TERN, &["--width", "3sp"]].concat();
    refused(&Desk::new(), &arguments, 2, &["--width", "--ratio"]);
}

#[test]
fn no_two_houses_share_a_name() {
    let mut again = TERN.to_vec();
    again[1] = "tern  HOUSE";
    refused(&tern(), &again, 2, &["name"]);
}

#[test]
fn a_known_measure_need_not_be_said_again() {
    let desk = tern();
    desk.run(["start", "Landing house", "--measure", "oru", "--length", "4 sp"]).well();
    assert_eq!(json(&desk, &["house", "Landing house"])["brief"]["length_m"], 6.968);
}

#[test]
fn both_spellings_of_a_field_will_do() {
    let desk = Desk::new();
    let arguments = [TERN, &["--post_height", "2.2m", "--post-depth", "1m"]].concat();
    desk.run(arguments).well();
    let brief = json(&desk, &["brief", "Tern house"]);
    assert_eq!((&brief["post_height_m"], &brief["post_depth_m"]), (&2.2.into(), &1.0.into()));
}

#[test]
fn a_flat_roof_is_warned_of() {
    let said = Desk::new().run([TERN, &["--pitch", "30"]].concat()).well();
    assert!(said.contains("Think it over: pitch: 30° is too flat"), "{said}");
}

#[test]
fn a_named_book_is_begun_in_a_folder_that_exists() {
    let desk = Desk::new();
    desk.run([TERN, &["--book", "mine.spanwright"]].concat()).well();
    assert!(desk.file("mine.spanwright").exists() && !desk.book().exists());
    refused(
        &desk,
        &[TERN, &["--book", "no/where.spanwright"]].concat(),
        1,
        &["no/where.spanwright", "folder"],
    );
}
