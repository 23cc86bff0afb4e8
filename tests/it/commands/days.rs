//! `days`: who does what on which day, and when each house may be done.

use serde_json::Value;

use super::{TERN, json, tern};

fn works(house: &Value) -> Vec<(&str, &str)> {
    let tasks = house["tasks"].as_array().unwrap().iter();
    tasks.map(|task| (task["work"].as_str().unwrap(), task["from"].as_str().unwrap_or("-"))).collect()
}

#[test]
fn a_house_just_started_has_its_days_from_set_out_to_cap() {
    let desk = tern();
    let days = json(&desk, &["days"]);
    assert_eq!((days["today"].as_str(), days["next"].as_str()), (Some("2030-10-14"), Some("2030-10-15")));
    let house = &days["houses"][0];
    let works = works(house);
    assert_eq!(works[0], ("set-out", "2030-10-14"));
    assert_eq!(works.last().map(|(work, _)| *work), Some("capping"));
    let date = |key: &str| house[key].as_str().unwrap().to_owned();
    assert!(date("early") <= date("likely") && date("likely") <= date("late"), "{house}");
    assert_eq!(days["crews"][0]["today"][0]["work"], "set-out");
    assert_eq!(days["crews"][1]["tomorrow"][0]["work"], "weaving");
    assert_eq!(days["assumed"].as_array().unwrap().len(), 3);
    assert_eq!(house["hangs_on"][0]["what"], "weaving");
    let text = desk.run(["days"]).well();
    for word in ["Tern house", "builders (4)", "hangs most on weaving", "No crew is named for building"] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn tomorrow_is_a_plain_list_to_print() {
    let desk = tern();
    desk.run(["crew", "closed", "--from", "2030-10-15", "--to", "2030-10-16"]).well();
    let list = desk.run(["days", "--tomorrow"]).well();
    assert!(list.starts_with("Thursday 17 October 2030\nbuilders (4 people):\n  Tern house: "), "{list}");
    assert!(list.contains("  Tern house: weaving, part 1 of the roof ("), "{list}");
}

#[test]
fn the_list_to_print_cautions_once_and_after_a_storm_asks_for_reading_again() {
    let mut desk = tern();
    desk.set_clock("2030-10-16T07:00:00+10:00");
    let list = desk.run(["days", "--tomorrow"]).well();
    assert_eq!(list.matches("    ! Nobody alone in a deep hole").count(), 1, "{list}");
    let raising = |days: &Value| {
        let tasks = days["houses"][0]["tasks"].as_array().unwrap().clone();
        tasks.into_iter().find(|task| task["work"] == "raising").unwrap()
    };
    let task = raising(&json(&desk, &["days"]));
    let asks = task["people"].as_u64().unwrap();
    assert_eq!(task["more_needed"].as_u64(), Some(asks - 4), "{task}");
    let told = format!("raising asks {asks} people at the poles: with builders (4), {} more", asks - 4);
    assert!(desk.run(["days"]).well().contains(&told), "{told}");
    desk.run(["read", "Tern house", "set-out/ab", "6.97 m"]).well();
    desk.run(["hold", "Tern house", "--cause", "storm"]).well();
    desk.set_clock("2030-10-17T07:00:00+10:00");
    desk.run(["resume", "Tern house"]).well();
    let first = json(&desk, &["days"])["houses"][0]["tasks"][0].clone();
    assert_eq!((first["work"].as_str(), first["read_again"].as_u64()), (Some("set-out"), Some(3)), "{first}");
    let crew = ["crew", "day", "Tern house", "--crew", "builders", "--work", "other", "--people", "4"];
    desk.run(crew).well();
    let list = desk.run(["days", "--tomorrow"]).well();
    let again = "  Tern house: read again what the storm can have changed (3 points: set-out), until 18 Oct";
    assert!(list.contains(again), "{list}");
}

#[test]
fn a_held_house_waits_for_its_end_and_says_so() {
    let desk = tern();
    desk.run(["hold", "Tern house", "--cause", "mourning"]).well();
    let house = json(&desk, &["days"])["houses"][0].clone();
    assert_eq!((&house["likely"], &house["held"]["cause"]), (&Value::Null, &"mourning".into()));
    assert!(house["held"]["likely_days"].as_u64().unwrap() > 5, "{house}");
    assert!(works(&house).iter().all(|(_, from)| *from == "-"));
    assert!(desk.run(["days"]).well().contains("not before resuming (mourning); then"));
}

#[test]
fn work_goes_on_after_a_planned_hold_of_which_the_end_is_known() {
    let desk = tern();
    let hold = ["hold", "--all", "--cause", "feast", "--planned", "--at", "2030-10-16T06:00:00+10:00"];
    desk.run(hold).well();
    desk.run(["resume", "--all", "--at", "2030-11-01T06:00:00+10:00"]).well();
    let house = json(&desk, &["days"])["houses"][0].clone();
    let none = works(&house).iter().all(|(_, from)| !("2030-10-16"..="2030-10-31").contains(from));
    assert!(none && house["likely"].as_str() > Some("2030-11-01"), "{house}");
}

#[test]
fn what_is_read_today_moves_the_days_and_it_is_told() {
    let mut desk = tern();
    assert_eq!(json(&desk, &["days"])["moved"], Value::Array(vec![]), "it was not there yesterday");
    desk.set_clock("2030-10-15T17:00:00+10:00");
    let moved = json(&desk, &["days"])["moved"].clone();
    assert_eq!(moved[0]["name"], "Tern house");
    assert!(moved[0]["to"].as_str() > moved[0]["from"].as_str(), "nothing was done for a day: {moved}");
    let text = desk.run(["days"]).well();
    assert!(text.contains("Moved since yesterday:\n  Tern house: 1 day later, likely by"), "{text}");
    assert_eq!(moved[0]["likely_to"], json(&desk, &["days"])["houses"][0]["likely"], "the day that is told");
}

#[test]
fn a_feast_that_was_told_before_moves_nothing_when_it_comes_nearer() {
    let mut desk = tern();
    let feast = ["hold", "--all", "--cause", "feast", "--at", "2031-02-01T06:00:00+10:00"];
    desk.run(feast).well();
    desk.run(["resume", "--all", "--at", "2031-02-05T06:00:00+10:00"]).well();
    desk.run(["crew", "rest", "--weekday", "monday"]).well();
    desk.set_clock("2030-10-15T17:00:00+10:00");
    assert_eq!(json(&desk, &["days"])["moved"], Value::Array(vec![]), "nobody was to work on the Monday");
}

#[test]
fn an_empty_book_has_nothing_to_plan_and_a_closed_week_is_refused() {
    let desk = crate::desk::Desk::new();
    desk.run(TERN).well();
    for day in ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"] {
        desk.run(["crew", "rest", "--weekday", day]).well();
    }
    let told = desk.run(["days"]).refused(1);
    assert!(told.contains("no day is worked"), "{told}");
}
