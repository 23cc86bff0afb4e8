//! The thatch as it goes: `house`, `brief`, `read` and `tally` together.

use serde_json::json;

use super::{house, json, point, stage, tern};

#[test]
fn a_roof_finished_in_another_kind_keeps_its_rows() {
    let desk = tern();
    desk.run(["read", "Tern house", "thatch/rows-ab", "20"]).well();
    desk.run(["read", "Tern house", "thatch/rows-cd", "18"]).well();
    let before = house(&desk);
    assert_eq!(before["thatch"]["ab"].as_array().unwrap().len(), 1);
    let said = desk.run(["brief", "Tern house", "--thatch", "coconut"]).well();
    assert!(said.contains("In doubt: thatch/rows-ab: the brief changed: its target moved by +7"), "{said}");
    let after = house(&desk);
    let [ab, cd] = ["ab", "cd"].map(|slope| after["thatch"][slope].as_array().unwrap().clone());
    assert_eq!((&ab[0]["kind"], &ab[0]["rows"]), (&json!("nipa"), &json!(20)));
    assert_eq!((&ab[1]["kind"], &ab[1]["rows"]), (&json!("coconut"), &json!(33)));
    assert_eq!((&cd[0]["rows"], &cd[1]["rows"]), (&json!(18), &json!(35)));
    assert_eq!(point(&after, "thatch", "rows-ab")["target"], 53);
    assert_eq!(point(&after, "thatch", "rows-ab")["verdict"], "doubtful");
    assert_eq!(after["thatch"]["life_years"], 3);
    let panel = &stage(&after, "thatch")["items"][0];
    assert_eq!(panel["need"], (53 + 53) * 8);
    let how = panel["how"].as_str().unwrap();
    assert!(how.starts_with("304 nipa (20 rows of 8 + 18 rows of 8), 544 coconut"), "{how}");
}

#[test]
fn the_day_on_which_panels_run_out_is_told() {
    let mut desk = tern();
    desk.set_clock("2030-11-06T07:00:00+10:00");
    let on = |day: &str, words: &[&str]| {
        let at = format!("2030-11-{day}T16:00:00+10:00");
        desk.run([words, &["--at", &at]].concat()).well();
    };
    on("01", &["tally", "Tern house", "panel", "100", "--as", "woven"]);
    on("03", &["tally", "Tern house", "panel", "20", "--as", "woven"]);
    on("04", &["tally", "Tern house", "panel", "64", "--as", "used"]);
    on("04", &["read", "Tern house", "thatch/rows-ab", "4"]);
    on("05", &["read", "Tern house", "thatch/rows-cd", "16"]);
    // 160 panels on two days are 80 a day; 120 woven on two are 60; 56 are on
    // hand, 20 fewer each day: two whole days, and the third comes short.
    let thatch = json(&desk, &["house", "Tern house"])["thatch"].clone();
    assert_eq!((&thatch["laid_per_day"], &thatch["woven_per_day"]), (&json!(80.0), &json!(60.0)));
    assert_eq!((&thatch["panels_laid"], &thatch["on_hand"]), (&json!(160), &json!(56)));
    assert_eq!((&thatch["outlook"], &thatch["panels_left"]), (&json!("runs-out"), &json!(92 * 8 - 160)));
    assert_eq!(thatch["runs_out"], "2030-11-08");
    let said = desk.run(["house", "Tern house", "--stage", "thatch"]).well();
    let told = "56 on hand, 576 to lay: at this rate they run out on 8 Nov.";
    assert!(said.contains("So far 10.0 rows, 80 panels a day on 2 days.") && said.contains(told), "{said}");
}
