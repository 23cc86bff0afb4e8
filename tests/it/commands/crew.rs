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
    desk.run(["crew", "add", "Reef", "--size", "3", "--for", "weaving"]).well();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["per_person_day"], 15.0);
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--work", "weaving", "--people", "3"];
    let kept = id(&desk, &[&day[..], &["--done", "60"]].concat());
    let learnt = rate(&json(&desk, &["crew", "list"]), "weaving");
    assert_eq!(learnt["per_person_day"], 16.0);
    assert!((learnt["learnt"].as_f64().unwrap() - 0.2).abs() < 1e-9, "{learnt}");
    let listed = desk.run(["crew", "list"]).well();
    assert!(listed.contains("16 panels (15)") && listed.contains("20 % learnt from 1 day"), "{listed}");
    desk.run(["strike", &kept, "--why", "counted twice"]).well();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["per_person_day"], 15.0);
    desk.run(day).well();
    assert_eq!(rate(&json(&desk, &["crew", "list"]), "weaving")["days"], 0, "nothing was counted");
}

/// Source: worked by hand: of 900 panels by six people 45 each count, three
/// times the 15 that are known: (12 × 15 + 6 × 45) / 18 = 25.
#[test]
fn one_odd_day_does_not_rule_and_is_kept_only_with_a_reason() {
    let desk = tern();
    desk.run(["crew", "add", "Reef", "--size", "6", "--for", "weaving"]).well();
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--work", "weaving", "--people", "6", "--done"];
    let odd = [&day[..], &["900"]].concat();
    let why = ["done: 900 panels by 6 people", "150 each, 10 times the 15", "the reason as the remark"];
    refused(&desk, &odd, 2, &why);
    let told = desk.run([&odd[..], &["--remark", "from the school"]].concat()).well();
    assert!(told.contains("it counts as three times that, 45"), "{told}");
    let learnt = rate(&json(&desk, &["crew", "list"]), "weaving");
    assert_eq!((&learnt["per_person_day"], &learnt["odd"]), (&made!(25.0), &made!(1)));
}

#[test]
fn a_crew_nobody_named_is_refused_and_those_there_are_are_named() {
    let desk = tern();
    let day = ["crew", "day", "Tern house", "--work", "weaving", "--people", "3", "--crew"];
    refused(&desk, &[&day[..], &["Reef"]].concat(), 2, &["crew: no crew is called", "builders", "weavers"]);
    desk.run([&day[..], &["weavers"]].concat()).well();
    desk.run(["crew", "add", "Lee crew", "--size", "6"]).well();
    desk.run(["crew", "add", "Reef", "--size", "3", "--for", "weaving"]).well();
    refused(&desk, &[&day[..], &["Reaf"]].concat(), 2, &["there are Reef, Lee crew"]);
    let told = json(&desk, &["log"]).to_string();
    assert!(!told.contains("Reaf"), "nothing was kept: {told}");
}

#[test]
fn a_day_says_what_is_odd_about_it_and_where_what_was_done_is_told_too() {
    let desk = tern();
    desk.run(["crew", "add", "Reef", "--size", "3", "--for", "weaving"]).well();
    let day =
        ["crew", "day", "Tern house", "--crew", "Reef", "--work", "weaving", "--people", "4", "--done", "60"];
    let told = desk.run(day).well();
    assert!(told.contains("Crew Reef is 3 people; 4 were told."), "{told}");
    assert!(told.contains("spanwright tally --as woven 'Tern house' panel 60"), "{told}");
    desk.run(["hold", "Tern house", "--cause", "mourning"]).well();
    let told = json(&desk, &[&day[..], &["--remark", "the same again"]].concat());
    let says = told["says"].to_string();
    assert!(says.contains("Reef was told for 14 Oct already: 4 of 3 people."), "{told}");
    assert!(says.contains("Tern house is held: mourning"), "{told}");
    assert_eq!(told["tell_too"], "spanwright tally --as woven 'Tern house' panel 60");
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
    for line in [
        "Nobody works on a Sunday.",
        "from 2030-12-24 to 2030-12-26: feast.",
        "Of 100 days in November, 30 are lost",
    ] {
        assert!(text.contains(line), "{text}");
    }
}

#[test]
fn a_refusal_names_the_field() {
    let desk = tern();
    refused(&desk, &["crew", "add", "Reef", "--size", "none"], 2, &["size: "]);
    refused(&desk, &["crew", "add", "Reef", "--size", "3", "--for", "singing"], 2, &["for: ", "weaving"]);
    let day = ["crew", "day", "Tern house", "--crew", "builders", "--people", "3", "--work"];
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

#[test]
fn a_crew_told_again_for_a_day_past_its_people_is_refused_without_a_reason() {
    let desk = tern();
    desk.run(["start", "Reef house", "--measure", "Oru", "--length", "4sp"]).well();
    desk.run(["crew", "add", "Reef", "--size", "4", "--for", "weaving"]).well();
    let day = |house| ["crew", "day", house, "--crew", "Reef", "--work", "weaving", "--people", "4"];
    let half = |house| [&day(house)[..], &["--share", "0.5", "--done", "30"]].concat();
    let kept = id(&desk, &half("Tern house"));
    let told = desk.run(half("Reef house")).well();
    assert!(told.contains("Reef was told for 14 Oct already: 2 of 4 people."), "{told}");
    let why = ["people: Reef was told for 14 Oct already: 4 of 4 people", "the reason as the remark"];
    refused(&desk, &half("Tern house"), 2, &why);
    refused(&desk, &[&half("Tern house")[..], &["--remark", "."]].concat(), 2, &why);
    desk.run(["strike", &kept, "--why", "they were at the other"]).well();
    desk.run(half("Tern house")).well();
    desk.run([&half("Tern house")[..], &["--remark", "by torchlight"]].concat()).well();
}

#[test]
fn a_crews_day_is_told_once_it_is_there_and_of_a_house_that_was_started() {
    let desk = tern();
    desk.run(["crew", "add", "Reef", "--size", "4", "--for", "weaving"]).well();
    let day = ["crew", "day", "Tern house", "--crew", "Reef", "--work", "weaving", "--people", "4", "--at"];
    for (at, why) in [
        ("2030-11-14T17:00:00+10:00", "2030-11-14 is still to come"),
        ("2050-01-01T17:00:00+10:00", "2050-01-01 is still to come"),
        ("1900-01-01T17:00:00+10:00", "1900-01-01 is before 2030-10-14, the day the house was started"),
    ] {
        refused(&desk, &[&day[..], &[at]].concat(), 2, &["at: ", why]);
    }
    assert!(!json(&desk, &["log"]).to_string().contains("crew-day"));
    desk.run([&day[..], &["2030-10-14T23:00:00+10:00"]].concat()).well();
}
