//! `houses`: all of them at a glance.

use super::{json, refused, tern};
use crate::desk::Desk;

#[test]
fn each_house_has_its_stage_what_is_short_and_what_is_next() {
    let desk = tern();
    let houses = json(&desk, &["houses"]);
    let tern = &houses[0];
    assert_eq!(
        (&tern["name"], &tern["stage"], &tern["state"]),
        (&"Tern house".into(), &"centre-mark".into(), &"open".into())
    );
    assert_eq!(
        tern["short"],
        serde_json::json!([{ "item": "peg", "short": 3 }, { "item": "rope", "short": 1 }])
    );
    assert!(tern["next"].as_str().unwrap().starts_with("Read Oru's span"));
    assert_eq!(desk.run(["houses"]).well().lines().count(), 2);
}

#[test]
fn a_struck_house_is_gone_from_the_list() {
    let desk = tern();
    let id = json(&desk, &["houses"])[0]["id"].as_str().unwrap().to_owned();
    desk.run(["strike", &id, "--why", "the owner thought better of it"]).well();
    assert_eq!(json(&desk, &["houses"]), serde_json::json!([]));
    assert!(desk.run(["houses"]).well().contains("spanwright start"));
}

#[test]
fn without_a_book_it_says_what_to_do() {
    let desk = Desk::new();
    refused(&desk, &["houses"], 1, &["book.spanwright", "start a house"]);
    refused(&desk, &["houses", "--book", "gone.spanwright"], 1, &["gone.spanwright"]);
    assert!(!desk.book().exists());
}

#[test]
fn a_house_that_cannot_be_told_does_not_hide_the_others() {
    let desk = tern();
    desk.run(["start", "Reef house", "--measure", "Oru", "--length", "4sp"]).well();
    let book = crate::store::told::shell(&desk.book());
    book.execute_batch(
        "DROP TRIGGER brief_is_never_changed;
         UPDATE brief SET said = '{\"measure\":\"Oru\",\"span\":\"1e308 m\",\"length\":\"4 sp\"}'
         WHERE id = (SELECT entry.id FROM entry JOIN house ON house.id = entry.house
                     WHERE house.name = 'Reef house' AND entry.kind = 'brief')",
    )
    .unwrap();
    drop(book);
    let houses = json(&desk, &["houses"]);
    assert_eq!((&houses[0]["name"], &houses[1]["name"]), (&"Tern house".into(), &"Reef house".into()));
    assert!(houses[1]["untold"].as_str().unwrap().contains("cannot be worked with"), "{houses}");
    for page in ["houses", "stores", "days"] {
        let told = desk.run([page]).well();
        assert!(told.contains("Tern house") && told.contains("! house \"Reef house\""), "{page}: {told}");
    }
    assert_eq!(json(&desk, &["days"])["untold"].as_array().unwrap().len(), 1);
}
