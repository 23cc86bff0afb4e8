//! `holds`, `pull` and `wood`: what holds, and what makes that known.

use serde_json::{Value, json};

use super::{house, json, refused, tern};
use crate::desk::Desk;

fn link<'h>(holds: &'h Value, id: &str) -> &'h Value {
    holds["links"].as_array().unwrap().iter().find(|l| l["id"] == id).unwrap()
}

fn pulled(desk: &Desk) {
    for value in ["410 N", "455 N", "0.39 kN", "480 N", "43.85 kg"] {
        desk.run(["pull", "cord", value, "--cord", "coir 6 mm"]).well();
    }
}

#[test]
fn what_was_never_pulled_is_unknown() {
    let desk = tern();
    let holds = json(&desk, &["holds", "Tern house"]);
    assert!(link(&holds, "rafter")["unknown"].as_str().unwrap().contains("pull three"));
    assert_eq!(holds["unknown"], 5);
    let said = desk.run(["holds", "Tern house"]).well();
    assert!(said.contains("rafter to plate     ? unknown"), "{said}");
    assert!(said.contains("go to the shelter when told"), "{said}");
}

#[test]
fn pulled_cords_make_the_chain_known_for_every_house() {
    let desk = tern();
    pulled(&desk);
    desk.run(["brief", "Tern house", "--soil", "sand", "--foot", "0.5 m"]).well();
    let holds = json(&desk, &["holds", "Tern house", "--gust", "22"]);
    assert_eq!((&holds["first"], &holds["unknown"]), (&json!("plate to post"), &json!(0)));
    let rafter = link(&holds, "rafter");
    assert_eq!(rafter["change"], json!({ "by": "turns", "turns": 10, "instead_of": 3 }));
    assert_eq!(rafter["change_said"], "10 turns instead of 3");
    let allowed = rafter["allowed_to_m_s"].as_f64().unwrap();
    assert!((allowed - 14.49).abs() < 0.01, "{allowed}");
    let said = desk.run(["holds", "Tern house", "--gust", "22"]).well();
    assert!(said.contains("x TOO WEAK, first"), "{said}");
    assert_eq!(house(&desk)["what_holds"]["first"], "plate to post");
}

#[test]
fn a_pull_says_what_more_of_them_would_bring() {
    let desk = tern();
    pulled(&desk);
    let told = json(&desk, &["pull", "tern house", "rafter", "2.1 kN", "--cord", "coir 6 mm"]);
    assert!(told["caution"].as_str().unwrap().contains("stand clear"));
    let strands = &told["tests"][0];
    assert_eq!(strands["tests"], 5);
    assert!((strands["working_n"].as_f64().unwrap() - 117.6).abs() < 0.2, "{strands}");
    assert!(strands["more"][0]["gain"].as_f64().unwrap() > 0.0);
    assert_eq!(told["tests"][1]["characteristic_n"], Value::Null);
    let said = desk.run(["pull", "rafter", "2.2 kN", "--cord", "coir 6 mm"]).well();
    assert!(said.contains("19 of 20 hold 353 N, counted on 118 N"), "{said}");
}

#[test]
fn a_struck_pull_no_longer_counts() {
    let desk = tern();
    pulled(&desk);
    let poor = super::id(&desk, &["pull", "cord", "40 N", "--cord", "coir 6 mm"]);
    let strength = |desk: &Desk| house(desk)["what_holds"]["tests"][0]["characteristic_n"].as_f64().unwrap();
    assert!(strength(&desk) < 100.0);
    desk.run(["strike", poor.as_str(), "--why", "a strand that was cut"]).well();
    assert!((strength(&desk) - 352.7).abs() < 0.5);
}

#[test]
fn a_kind_of_wood_is_told_and_named() {
    let desk = tern();
    let add = ["wood", "add", "Ghost tree", "--density", "840", "--class", "D40", "--durability", "2"];
    desk.run(add).well();
    let woods = json(&desk, &["wood", "list"]);
    assert_eq!(
        woods[0],
        json!({
            "name": "ghost tree", "density_kg_m3": 840.0, "class": "D40", "durability": 2, "from": "book",
        })
    );
    desk.run(["brief", "Tern house", "--wood", "ghost  Tree"]).well();
    let brief = &house(&desk)["brief"];
    assert_eq!((&brief["wood"], &brief["warnings"]), (&json!("ghost  Tree"), &json!([])));
    assert_eq!(house(&desk)["what_holds"]["wood"]["class"], "D40");
}

#[test]
fn a_brief_says_at_once_which_pole_is_too_weak() {
    let desk = tern();
    let said = desk.run(["brief", "Tern house", "--ridge-d", "60 mm"]).well();
    assert!(said.contains("x TOO WEAK") && said.contains("ridge loaded to 3.23 of what it bears"), "{said}");
    assert!(said.contains("Think it over: ridge_d: the ridge is asked"), "{said}");
}

#[test]
fn the_first_reading_at_a_stage_lists_its_cautions() {
    let desk = tern();
    let first = desk.run(["read", "Tern house", "ridge/people", "12"]).well();
    assert!(first.contains("! Stop in wind."), "{first}");
    let second = desk.run(["read", "Tern house", "ridge/legs/da", "+5 mm"]).well();
    assert!(!second.contains("! Stop in wind."), "{second}");
}

#[test]
fn what_will_not_do_is_refused() {
    let desk = tern();
    let pull = |joint: &'static str, value: &'static str| ["pull", joint, value, "--cord", "coir"];
    refused(&desk, &pull("cord", "480"), 2, &["value: ", "480 N"]);
    refused(&desk, &pull("knot", "480 N"), 2, &["joint: ", "panel-tie"]);
    refused(&desk, &["pull", "cord", "480 N", "--cord", " "], 2, &["cord: "]);
    refused(&desk, &["pull", "cord", "480 N"], 2, &["--cord"]);
    refused(&desk, &["pull", "Nowhere", "cord", "480 N", "--cord", "coir"], 2, &["Nowhere"]);
    refused(&desk, &["holds", "Tern house", "--gust", "4"], 2, &["gust: ", "10 to 90 m/s"]);
    refused(&desk, &["holds", "Tern house", "--gust", "much"], 2, &["gust: "]);
    let wood = |density: &'static str, class: &'static str, lasts: &'static str| {
        ["wood", "add", "x", "--density", density, "--class", class, "--durability", lasts]
    };
    refused(&desk, &wood("8400", "D40", "2"), 2, &["density: "]);
    refused(&desk, &wood("840", "C24", "2"), 2, &["class: ", "D40"]);
    refused(&desk, &wood("840", "D40", "6"), 2, &["durability: "]);
    let brief = |field: &'static str, said: &'static str| ["brief", "Tern house", field, said];
    refused(&desk, &brief("--soil", "mud"), 2, &["soil: ", "gravel"]);
    refused(&desk, &brief("--gust", "200"), 2, &["gust: "]);
    refused(&desk, &brief("--sides", "some"), 2, &["sides: ", "open, closed"]);
}
