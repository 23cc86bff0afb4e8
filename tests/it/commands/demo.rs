//! `demo`: a fresh copy of the sample book.

use super::{TERN, json, refused, tern};
use crate::desk::Desk;

#[test]
fn the_sample_tells_of_four_houses_at_four_stages() {
    let desk = Desk::new();
    let houses = json(&desk, &["demo"]);
    let told: Vec<(&str, &str)> = houses
        .as_array()
        .unwrap()
        .iter()
        .map(|h| (h["name"].as_str().unwrap(), h["stage"].as_str().unwrap()))
        .collect();
    let four = [
        ("School shade", "handing-over"),
        ("Sister Oru's", "thatch"),
        ("Landing house", "ridge"),
        ("Tern house", "set-out"),
    ];
    assert_eq!(told, four);
    assert_eq!((&houses[2]["held"]["cause"], &houses[2]["held"]["day"]), (&"storm".into(), &9.into()));
    assert!(houses[3]["next"].as_str().unwrap().starts_with("Read the four from the mark"));
    assert!(!desk.book().exists(), "the builder's own book is left alone");
    let demo = "data/spanwright/demo.spanwright";
    assert_eq!(json(&desk, &["verify", "--book", demo])["sound"], true);
}

#[test]
fn no_day_of_the_sample_is_odd() {
    let desk = Desk::new();
    desk.run(["demo"]).well();
    let demo = ["--book", "data/spanwright/demo.spanwright"];
    let list = json(&desk, &[&["crew", "list"][..], &demo].concat());
    let rates = list["rates"].as_array().unwrap();
    assert_eq!(rates.iter().map(|rate| rate["days"].as_u64().unwrap()).sum::<u64>(), 3);
    assert!(rates.iter().all(|rate| rate["odd"] == 0), "{list}");
}

#[test]
fn each_demo_is_a_fresh_copy() {
    let desk = tern();
    // What was written into the last one.
    desk.run([TERN, &["--book", "data/spanwright/demo.spanwright"]].concat()).well();
    assert_eq!(json(&desk, &["demo"]).as_array().unwrap().len(), 4);
    let left: Vec<String> = std::fs::read_dir(desk.file("data/spanwright"))
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".new"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn the_demo_is_not_written_over_a_book() {
    let desk = tern();
    let before = json(&desk, &["log"]);
    refused(
        &desk,
        &["demo", "--book", "data/spanwright/book.spanwright"],
        1,
        &["book.spanwright", "already"],
    );
    assert_eq!(json(&desk, &["log"]), before);
    desk.run(["demo", "--book", "new.spanwright"]).well();
    assert_eq!(json(&desk, &["houses", "--book", "new.spanwright"]).as_array().unwrap().len(), 4);
}
