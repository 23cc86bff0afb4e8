//! The days: what is drawn, and what keys keep.

use crossterm::event::KeyCode;

use super::super::model::Page;
use super::Sitting;
use super::pages::island;
use crate::build::draft::Draft;
use crate::build::together::Together;

fn name_crews(sitting: &mut Sitting) {
    for (name, size, works) in [("Lee crew", "6", ""), ("Reef", "4", "weaving")] {
        let (name, size, works) = (name.to_owned(), size.to_owned(), works.to_owned());
        sitting.keep(None, &Draft::Together(Together::Crew { name, size, works })).unwrap();
    }
    let rest = Together::Rest { weekday: "sunday".to_owned(), why: String::new() };
    sitting.keep(None, &Draft::Together(rest)).unwrap();
}

#[test]
fn the_days_of_an_island() {
    let mut sitting = island();
    sitting.type_in("c");
    insta::assert_snapshot!("days_80x24", sitting.picture(80, 24));
    name_crews(&mut sitting);
    sitting.press(KeyCode::Esc).type_in("c").press(KeyCode::Down).press(KeyCode::Down);
    insta::assert_snapshot!("days_with_crews_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("days_with_crews_120x40", sitting.picture(120, 40));
}

#[test]
fn the_evening_is_told_crew_by_crew() {
    let mut sitting = island();
    name_crews(&mut sitting);
    sitting.type_in("c").type_in("t");
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!((form.text("crew"), form.text("people")), ("Lee crew", "6"));
    insta::assert_snapshot!("crew_day_80x24", sitting.picture(80, 24));
    let work = form.text("work").to_owned();
    sitting.type_in("5").press(KeyCode::Enter);
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!(form.text("crew"), "Reef", "on to the next crew");
    sitting.press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert_eq!(sitting.told_of(&format!("Lee crew {work}")), 1);
    let text = sitting.text();
    assert!(text.contains(&format!("{work} at")) && text.contains(", told"), "{text}");
}

#[test]
fn a_day_that_was_kept_says_what_is_odd_about_it_and_what_is_still_to_be_told() {
    let mut sitting = island();
    name_crews(&mut sitting);
    sitting.type_in("c").type_in("t");
    let form = sitting.model.form.as_mut().unwrap();
    form.focus = 0;
    sitting.ctrl('u').type_in("Reaf");
    sitting.model.form.as_mut().unwrap().focus = 4;
    sitting.press(KeyCode::Enter);
    let refusal = sitting.text();
    assert!(refusal.contains("no crew is called \"Reaf\"; there are Reef, Lee crew;"), "{refusal}");
    assert!(refusal.contains("one of these"), "to its end: {refusal}");
    sitting.ctrl('u').type_in("Reef").press(KeyCode::Down).ctrl('u').type_in("Landing house");
    sitting.press(KeyCode::Down).ctrl('u').type_in("weaving").press(KeyCode::Down).ctrl('u').type_in("5");
    sitting.press(KeyCode::Down).type_in("600").press(KeyCode::Enter);
    assert!(sitting.model.form.as_ref().is_some_and(|f| f.text("crew") == "Lee crew"), "{}", sitting.text());
    assert!(sitting.text().contains("▸Tern house"), "the chosen strip: {}", sitting.text());
    insta::assert_snapshot!("crew_day_kept_80x24", sitting.picture(80, 24));
    let told = sitting.model.notice.as_ref().unwrap().text.clone();
    for says in [
        "Crew Reef is 4 people; 5 were told.",
        "Landing house is held: storm",
        "counts as three times that, 45",
        "t there tallies panels woven",
    ] {
        assert!(told.contains(says), "{told}");
    }
}

#[test]
fn a_crew_told_again_for_today_is_asked_why() {
    let mut sitting = island();
    name_crews(&mut sitting);
    sitting.type_in("ct").press(KeyCode::Enter).press(KeyCode::Enter);
    sitting.type_in("t").type_in("posts").press(KeyCode::Enter);
    let refusal = sitting.text();
    assert!(refusal.contains("Lee crew was told for 22 Oct already: 6 of 6 people"), "{refusal}");
    sitting.model.form.as_mut().unwrap().focus = 6;
    sitting.type_in("by torchlight").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    let told = &sitting.model.notice.as_ref().unwrap().text;
    assert!(told.contains("Lee crew was told for 22 Oct already: 6 of 6 people."), "{told}");
}

#[test]
fn a_house_nobody_knows_is_refused_in_the_form() {
    let mut sitting = island();
    sitting.type_in("c").type_in("t");
    sitting.model.form.as_mut().unwrap().focus = 1;
    sitting.ctrl('u').type_in("Nowhere").press(KeyCode::Enter);
    assert!(sitting.text().contains("house: no house is called \"Nowhere\""), "{}", sitting.text());
}

#[test]
fn a_crew_closed_days_and_the_weather_are_told_from_the_page() {
    let mut sitting = island();
    sitting.type_in("c").type_in("r").type_in("South").press(KeyCode::Tab).type_in("5").press(KeyCode::Enter);
    assert!(sitting.text().contains("South (5) today"), "{}", sitting.text());
    sitting.type_in("k").press(KeyCode::F(2)).press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept: nobody works on a sunday."), "{}", sitting.text());
    sitting.type_in("m").type_in("0.4").press(KeyCode::Enter);
    sitting.press(KeyCode::Down);
    assert!(!sitting.text().contains("No day is taken to be lost"), "{}", sitting.text());
    sitting.type_in("r").type_in("South").press(KeyCode::Tab).type_in("0").press(KeyCode::Enter);
    assert!(!sitting.text().contains("South (5) today"), "{}", sitting.text());
}

#[test]
fn crews_rates_and_closed_days_are_listed_and_a_crew_is_ended() {
    let mut sitting = island();
    name_crews(&mut sitting);
    let weather =
        |month: &str, chance: &str| Together::Weather { month: month.to_owned(), chance: chance.to_owned() };
    for told in [weather("11", "0.15"), weather("12", "0.25")] {
        sitting.keep(None, &Draft::Together(told)).unwrap();
    }
    sitting.type_in("c").type_in("t").press(KeyCode::Esc).type_in("t");
    sitting.type_in("5").press(KeyCode::Enter).type_in("900").press(KeyCode::Enter);
    sitting.press(KeyCode::Down).press(KeyCode::Down).type_in("from the school").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    sitting.type_in("l").press(KeyCode::Down);
    insta::assert_snapshot!("crews_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("crews_120x40", sitting.picture(120, 40));
    sitting.press(KeyCode::Enter);
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!((form.text("name"), form.text("size"), form.text("for")), ("Reef", "4", "weaving"));
    sitting.press(KeyCode::Esc).type_in("x");
    insta::assert_snapshot!("crew_end_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Enter);
    let text = sitting.text();
    assert!(text.contains("Kept: crew Reef is no more.") && text.contains("weavers"), "{text}");
    sitting.type_in("x");
    assert!(sitting.text().contains("weavers are only taken for granted"), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(sitting.text().contains("Lee crew (6) today"), "{}", sitting.text());
}

#[test]
fn escape_goes_back_to_where_the_days_were_opened() {
    let mut sitting = island();
    sitting.press(KeyCode::Enter).type_in("c").press(KeyCode::Esc);
    assert!(matches!(sitting.model.page, Page::House(_)));
    sitting.press(KeyCode::Esc).type_in("c").press(KeyCode::Esc);
    assert!(matches!(sitting.model.page, Page::Row(_)));
}

#[test]
fn the_book_opens_again_at_the_days() {
    let mut sitting = island();
    sitting.type_in("c").type_in("q");
    let sitting = sitting.back_again();
    assert!(matches!(sitting.model.page, Page::Days(_)));
    assert!(sitting.text().contains("Sister Oru's"), "{}", sitting.text());
}

#[test]
fn a_week_of_closed_days_is_told_and_hides_nothing_else() {
    let mut sitting = island();
    for weekday in ["mon", "tue", "wed", "thu", "fri", "sat", "sun"] {
        let rest = Together::Rest { weekday: weekday.to_owned(), why: String::new() };
        sitting.keep(None, &Draft::Together(rest)).unwrap();
    }
    sitting.type_in("c");
    assert!(sitting.text().contains("no day is worked"), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(sitting.text().contains("Tern house"), "{}", sitting.text());
}

#[test]
fn the_calendar_is_turned_week_by_week() {
    let mut sitting = island();
    sitting.type_in("c").press(KeyCode::Right);
    let (first, there) = (sitting.text(), sitting.text().contains("28 Oct"));
    assert!(there && !first.contains("▼ today"), "{first}");
    sitting.press(KeyCode::Left);
    assert!(sitting.text().contains("21 Oct") && sitting.text().contains("▼ today"), "{}", sitting.text());
}

#[test]
fn the_days_are_drawn_at_every_size() {
    let mut sitting = island();
    sitting.type_in("c");
    for _ in 0..2 {
        at_every_size(&sitting);
        sitting.type_in("l");
    }
}

fn at_every_size(sitting: &Sitting) {
    for wide in [0, 1, 10, 39, 40, 41, 60, 80, 120, 200] {
        for high in [0, 1, 3, 9, 10, 11, 13, 24, 40] {
            let (_, drawn) = sitting.drawn(wide, high);
            assert!(drawn.targets.iter().all(|(area, _)| area.right() <= wide && area.bottom() <= high));
        }
    }
}
