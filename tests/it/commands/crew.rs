//! `crew`: who works, how fast, and the days nobody works.

use serde_json::{Value, json as made};

use super::{id, json, refused, tern};

fn rate(list: &Value, work: &str) -> Value {
    list["rates"].as_array().unwrap().iter().find(|rate| rate["work"] == work).unwrap().clone()
}

#[test]
fn a_crew_is_named_said_anew_and_ended() {
    let desk = tern();
    let before = json(&desk, &["crew", "list"]);
    assert_eq!(before["crews"][0]["name"], "builders");
    assert_eq!((&before["crews"][0]["size"], &before["crews"][0]["assumed"]), (&made!(4), &made!(true)));
    assert_eq!((&before["crews"][1]["name"], &before["crews"][1]["size"]), (&made!("weavers"), &made!(3)));
    desk.run(["crew", "add", "Reef", "--size", "6", "--for", "weaving,thatching"]).well();
    desk.run(["crew", "add", "reef", "--size", "7", "--for", "weaving"]).well();
    let list = json(&desk, &["crew", "list"]);
    let reef = &list["crews"][0];
    assert_eq!((&reef["size"], &reef["works"]), (&made!(7), &made!(["weaving"])));
    assert_eq!(list["crews"][1]["assumed"], true, "builders are still taken for granted");
    desk.run(["crew", "end", "Reef"]).well();
    assert_eq!(json(&desk, &["crew", "list"])["crews"][0]["assumed"], true);
    refused(&desk, &["crew", "end", "Reef"], 2, &["name: ", "no crew is called"]);
}

/// Source: worked by hand: 12 person-days at the usual 15 panels and 3 in which
/// 60 were woven make 240 panels in 15 person-days.
#[test]
fn a_rate_is_learnt_from_the_days_that_are_told() {
    let desk = tern();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["per_person_day"], 15.0);
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--work", "weaving", "--people", "3"];
    let kept = id(&desk, &[&day[..], &["--done", "60"]].concat());
    let learnt = rate(&json(&desk, &["crew", "list"]), "weaving");
    assert_eq!(learnt["per_person_day"], 16.0);
    assert!((learnt["learnt"].as_f64().unwrap() - 0.2).abs() < 1e-9, "{learnt}");
    assert!(desk.run(["crew", "list"]).well().contains("16 panels a person-day, 20 % learnt from 1 day"));
    desk.run(["strike", &kept, "--why", "counted twice"]).well();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["per_person_day"], 15.0);
    desk.run(day).well();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["days"], 0, "nothing was counted");
}

#[test]
fn closed_days_and_the_weather_are_listed() {
    let desk = tern();
    desk.run(["crew", "rest", "--weekday", "sunday"]).well();
    desk.run(["crew", "closed", "--from", "2030-12-24", "--to", "2030-12-26", "--why", "feast"]).well();
    desk.run(["crew", "weather", "--month", "11", "--chance", "0.3"]).well();
    let list = json(&desk, &["crew", "list"]);
    let feast = made!({ "from": "2030-12-24", "to": "2030-12-26", "why": "feast" });
    assert_eq!(list["closed"], made!([{ "weekday": "sunday", "why": "" }, feast]));
    assert_eq!(list["weather"], made!([{ "month": 11, "chance": 0.3 }]));
    let text = desk.run(["crew", "list"]).well();
    for line in
        ["Nobody works on a Sunday.", "from 2030-12-24 to 2030-12-26: feast.", "month 11, 30 are lost"]
    {
        assert!(text.contains(line), "{text}");
    }
}

#[test]
fn a_refusal_names_the_field() {
    let desk = tern();
    refused(&desk, &["crew", "add", "Reef", "--size", "none"], 2, &["size: "]);
    refused(&desk, &["crew", "add", "Reef", "--size", "3", "--for", "singing"], 2, &["for: ", "weaving"]);
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--people", "3", "--work"];
    refused(&desk, &[&day[..], &["resting"]].concat(), 2, &["work: ", "thatching"]);
    refused(&desk, &[&day[..], &["posts", "--share", "2"]].concat(), 2, &["share: "]);
    refused(&desk, &["crew", "rest", "--weekday", "someday"], 2, &["weekday: "]);
    refused(&desk, &["crew", "closed", "--from", "2030-12-26", "--to", "2030-12-24"], 2, &["to: "]);
    refused(&desk, &["crew", "weather", "--month", "0", "--chance", "0.3"], 2, &["month: "]);
    refused(&desk, &["crew", "weather", "--month", "1", "--chance", "1"], 2, &["chance: "]);
}

#[test]
fn where_no_day_is_worked_the_list_shows_which_are_closed() {
    let desk = tern();
    desk.run(["crew", "closed", "--from", "2030-10-01", "--to", "9999-12-31", "--why", "for ever"]).well();
    let told = desk.run(["crew", "list"]).well();
    assert!(told.contains("for ever") && told.contains("no day is worked"), "{told}");
    assert_eq!(json(&desk, &["crew", "list"])["closed"][0]["why"], "for ever");
}
