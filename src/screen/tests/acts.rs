//! What keys do.

use crossterm::event::KeyCode;

use super::super::form::FormKind;
use super::super::model::{ITEM, Page};
use super::super::msg::{Msg, Target};
use super::{Sitting, as_it_should_be};
use crate::build::draft::Draft;
use crate::build::entry::PointName;
use crate::build::house::{From, State};
use crate::build::stage::PointKind;

pub(super) fn at_the_set_out() -> Sitting {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Char('f'));
    sitting
}

#[test]
fn an_empty_book_offers_to_start_a_house() {
    let sitting = Sitting::new().open();
    assert!(sitting.text().contains("No house stands in this book yet"));
    assert!(sitting.text().contains("spanwright demo"));
}

#[test]
fn a_house_is_started_from_the_empty_book() {
    let mut sitting = Sitting::new().open();
    sitting.type_in("n").type_in("Tern house").press(KeyCode::Tab);
    for text in ["Oru", "Lee shore", "Oru", "1.742 m", "4 sp"] {
        sitting.type_in(text).press(KeyCode::Enter);
    }
    assert!(sitting.text().contains("6.968 m x 5.226 m"), "{}", sitting.text());
    sitting.ctrl('s');
    assert!(matches!(sitting.model.page, Page::House(_)), "{}", sitting.text());
    assert!(sitting.text().contains("Tern house   4 sp x 3 sp, Oru's span 1.742 m"), "{}", sitting.text());
    assert!(sitting.text().contains("Mind first"), "cautions stand before the first point");
}

#[test]
fn a_brief_that_will_not_do_keeps_what_was_typed() {
    let mut sitting = Sitting::new().open();
    sitting.type_in("n").type_in("Tern house").ctrl('s');
    let form = sitting.model.form.as_ref().unwrap();
    assert_eq!(form.text("name"), "Tern house");
    assert!(!form.refused.is_empty());
    assert!(sitting.text().contains("measure: missing"), "{}", sitting.text());
}

#[test]
fn readings_are_typed_one_after_another() {
    let mut sitting = at_the_set_out();
    for value in ["6.970", "5.225", "6.966", "5.228", "8.709", "8.709"] {
        sitting.type_in(value).type_in(" m").press(KeyCode::Enter);
    }
    assert!(sitting.text().contains("mark to a"), "{}", sitting.text());
    assert!(sitting.text().contains("Kept: b-d across 8.709 m."), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(sitting.text().contains("The pegs stand true"), "{}", sitting.text());
}

#[test]
fn a_reading_may_begin_while_the_steps_are_shown() {
    let mut sitting = at_the_set_out();
    sitting.type_in("f").type_in("6.97 m");
    assert_eq!(sitting.model.form.as_ref().unwrap().text("value"), "6.97 m");
}

#[test]
fn an_older_line_of_the_day_book_stays_chosen_when_the_book_changes() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    for _ in 0..250 {
        sitting.read(house, "set-out/ab", "6.970 m");
    }
    let mut sitting = sitting.open();
    sitting.type_in("d").press(KeyCode::End).press(KeyCode::Down).press(KeyCode::End);
    let chosen = |sitting: &Sitting| match &sitting.model.page {
        Page::DayBook(page) => page.chosen,
        _ => None,
    };
    assert_eq!(chosen(&sitting), Some(house), "the start is the oldest entry");
    sitting.take(Msg::Changed);
    assert_eq!(chosen(&sitting), Some(house));
}

#[test]
fn a_reading_that_is_not_understood_stays_in_the_form() {
    let mut sitting = at_the_set_out();
    sitting.type_in("3 m 5").press(KeyCode::Enter);
    assert_eq!(sitting.model.form.as_ref().unwrap().text("value"), "3 m 5");
    assert!(sitting.text().contains("at 5, a number without a unit"), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(sitting.model.form.is_none());
}

#[test]
fn the_form_answers_before_enter() {
    let mut sitting = at_the_set_out();
    sitting.type_in("4 sp + 20 mm");
    assert!(sitting.text().contains("= 6.988 m"), "{}", sitting.text());
    assert!(sitting.text().contains("true, +20 mm"), "{}", sitting.text());
    sitting.ctrl('u').type_in("7.2 m");
    assert!(sitting.text().contains("out, +232 mm"), "{}", sitting.text());
}

#[test]
fn the_last_reading_is_struck_with_its_reason() {
    let mut sitting = at_the_set_out();
    sitting.type_in("6.5 m").press(KeyCode::Enter).press(KeyCode::Esc).press(KeyCode::Up);
    sitting.type_in("x").press(KeyCode::Enter);
    assert!(sitting.text().contains("say why it is struck"), "{}", sitting.text());
    sitting.type_in("wrong peg").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    let house = sitting.model.house().unwrap();
    assert!(house.stage("set-out").unwrap().point("ab").unwrap().reading.is_none());
    sitting.type_in("d");
    assert!(sitting.text().contains("-- struck: read set-out/ab: 6.5 m"), "{}", sitting.text());
    assert!(sitting.text().contains("struck"), "{}", sitting.text());
}

#[test]
fn the_peg_that_is_to_move_is_the_one_told_of() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    // Peg C 60 mm too far along the house.
    for (pair, m) in [
        ("ab", "6.968"),
        ("bc", "5.2263"),
        ("cd", "7.028"),
        ("da", "5.226"),
        ("ac", "8.7581"),
        ("bd", "8.710"),
    ] {
        sitting.read(house, &format!("set-out/{pair}"), &format!("{m} m"));
    }
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Home).type_in("m");
    assert_eq!(sitting.model.form.as_ref().unwrap().text("point"), "c", "{}", sitting.text());
    sitting.press(KeyCode::Enter);
    let Page::House(page) = &sitting.model.page else { panic!() };
    assert_eq!(page.line, "bc", "on to what is unread now");
}

#[test]
fn up_goes_up_from_the_very_end_of_the_steps() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::End);
    let (_, drawn) = sitting.drawn(80, 24);
    sitting.take(Msg::ShownFrom(drawn.from.unwrap()));
    let at_the_end = sitting.text();
    sitting.press(KeyCode::Up);
    assert_ne!(sitting.text(), at_the_end);
}

#[test]
fn what_was_kept_last_is_struck_at_once() {
    let mut sitting = at_the_set_out();
    sitting.type_in("6.5 m").press(KeyCode::Enter).press(KeyCode::Esc).type_in("u");
    assert!(sitting.text().contains("Strike a-b side: 6.5 m; it stays readable"), "{}", sitting.text());
    sitting.type_in("rope sagged").press(KeyCode::Enter);
    let house = sitting.model.house().unwrap();
    assert!(house.stage("set-out").unwrap().point("ab").unwrap().reading.is_none());
    sitting.type_in("u");
    assert!(sitting.text().contains("Nothing was kept yet"), "{}", sitting.text());
}

#[test]
fn the_day_book_shows_one_persons_or_one_houses_entries() {
    let mut sitting = Sitting::new();
    let tern = sitting.house("Tern house");
    sitting.house("Landing house");
    sitting.read(tern, "set-out/ab", "6.97 m");
    let mut sitting = sitting.open();
    sitting.type_in("d").type_in("h");
    assert!(sitting.text().contains("The day book of Tern house"), "{}", sitting.text());
    assert!(!sitting.text().contains("started Landing house"), "{}", sitting.text());
    sitting.type_in("h").type_in("p");
    assert!(sitting.text().contains("by Oru, "), "{}", sitting.text());
    assert!(sitting.text().contains("started Landing house"), "{}", sitting.text());
}

#[test]
fn a_bare_number_is_in_the_unit_of_the_brief() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    let changes = vec![("bare_numbers".to_owned(), "m".to_owned())];
    sitting.keep(Some(house), &Draft::Brief { changes }).unwrap();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Char('f')).type_in("6.97");
    assert!(sitting.text().contains("6.97 m = 6.970 m"), "{}", sitting.text());
}

#[test]
fn the_book_opens_where_it_was_left() {
    let mut sitting = at_the_set_out();
    sitting.press(KeyCode::Down).press(KeyCode::Down).type_in("q");
    assert_eq!(sitting.ended, Some(0));
    let sitting = sitting.back_again();
    let Page::House(page) = &sitting.model.page else { panic!("{}", sitting.text()) };
    assert_eq!((page.stage, page.line.as_str(), page.how), (1, "cd", false));
}

#[test]
fn an_older_answer_is_dropped() {
    let mut sitting = at_the_set_out();
    let stale = sitting.model.asked;
    sitting.press(KeyCode::Esc);
    let answer = sitting.answer(super::Question::Row { around: None });
    let super::Answer::Row { lines, .. } = answer else { panic!() };
    sitting.take(Msg::Told {
        asked: stale,
        answer: super::Answer::Row { lines: vec![], drawn: vec![], holds: vec![], tied: vec![] },
    });
    let Page::Row(page) = &sitting.model.page else { panic!() };
    assert_eq!(page.lines, lines);
}

#[test]
fn holding_and_going_on() {
    let mut sitting = at_the_set_out();
    sitting.type_in("h").press(KeyCode::F(2)).press(KeyCode::Enter);
    assert!(sitting.text().contains("Held"), "{}", sitting.text());
    sitting.press(KeyCode::Esc).press(KeyCode::Down);
    assert!(sitting.text().contains("Held since 14 Oct: storm"), "{}", sitting.text());
    sitting.type_in("h").press(KeyCode::Enter);
    assert!(sitting.model.house().unwrap().held_at(sitting.model.now).is_none());
}

#[test]
fn a_delivery_is_tallied_and_moved_to_another_house() {
    let mut sitting = Sitting::new();
    let tern = sitting.house("Tern house");
    let landing = sitting.house("Landing house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("t");
    sitting.type_in("panel").press(KeyCode::Tab).type_in("40").press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept: 40 panels delivered"), "{}", sitting.text());
    sitting.type_in("t").type_in("panel").press(KeyCode::Tab).type_in("12").press(KeyCode::Tab);
    sitting.ctrl('u').type_in("moved").press(KeyCode::Tab).type_in("landing house").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    let panel = crate::build::entry::Item::Panel;
    assert_eq!(sitting.told(tern).heaps[&panel].on_hand, 28.0);
    assert_eq!(sitting.told(landing).heaps[&panel].on_hand, 12.0);
}

#[test]
fn what_is_drawn_can_be_pressed() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let second = sitting.house("Landing house");
    let mut sitting = sitting.open();
    let (_, drawn) = sitting.drawn(80, 24);
    let (area, target) = drawn.targets.iter().find(|(_, t)| *t == Target::House(second)).unwrap().clone();
    assert!(area.width > 2 && area.height > 2, "{area}");
    sitting.take(Msg::Pressed(target.clone()));
    sitting.take(Msg::Pressed(target));
    assert!(sitting.text().contains("Landing house   4 sp"), "{}", sitting.text());
    sitting.take(Msg::Pressed(Target::Stage(1)));
    assert!(sitting.text().contains("2 Set-out"), "{}", sitting.text());
}

/// The whole life of a house, by keys alone.
#[test]
fn a_house_is_built_by_keys_from_the_mark_to_the_handing_over() {
    let mut sitting = Sitting::new().open();
    sitting.type_in("n").type_in("Tern house").press(KeyCode::Enter);
    for text in ["Oru", "Lee shore", "Oru", "1.742 m", "4 sp"] {
        sitting.type_in(text).press(KeyCode::Enter);
    }
    sitting.ctrl('s');
    for stage in 0..9 {
        let Page::House(page) = &sitting.model.page else { panic!() };
        assert_eq!(page.stage, stage, "{}", sitting.text());
        if page.how {
            sitting.press(KeyCode::Enter);
        }
        let points = sitting.model.house().unwrap().stages[stage].points.clone();
        for p in points.iter().filter(|p| p.from != From::Derived) {
            let Page::House(page) = &mut sitting.model.page else { panic!() };
            assert_eq!(page.line, p.point.id, "the form goes on by itself");
            if sitting.model.form.is_none() {
                sitting.press(KeyCode::Enter);
            }
            sitting.type_in(&as_it_should_be(&p.point)).press(KeyCode::Enter);
        }
        assert!(sitting.model.form.is_none(), "{}", sitting.text());
        sitting.type_in("s").press(KeyCode::Enter);
        let now = &sitting.model.house().unwrap().stages[stage];
        assert_eq!(now.state, State::Signed, "{} {:?}", now.stage.id, now.against);
        if stage < 8 {
            sitting.press(KeyCode::Right);
        }
    }
    assert!(sitting.model.house().unwrap().is_handed_over());
    sitting.press(KeyCode::Esc);
    assert!(sitting.text().contains("handed over"), "{}", sitting.text());
}

#[test]
fn a_stage_that_is_not_ready_asks_why_it_is_signed() {
    let mut sitting = at_the_set_out();
    sitting.type_in("s").press(KeyCode::Enter);
    assert!(sitting.text().contains("not ready"), "{}", sitting.text());
    sitting.type_in("old pegs stand").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert!(sitting.text().contains("Signed by Oru, 14 Oct: old pegs stand"), "{}", sitting.text());
}

#[test]
fn a_strike_through_the_day_book_reaches_any_entry() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    let tally = |count: &str, how: &str| Draft::tally("panel", count, how);
    sitting.keep(Some(house), &tally("40", "woven")).unwrap();
    sitting.keep(Some(house), &tally("30", "used")).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("d").press(KeyCode::Down).type_in("x").type_in("counted twice").press(KeyCode::Enter);
    assert!(sitting.text().contains("that never came"), "{}", sitting.text());
    sitting.press(KeyCode::Esc).press(KeyCode::Up).type_in("x").type_in("not laid yet").press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert_eq!(sitting.told(house).heaps[&crate::build::entry::Item::Panel].on_hand, 40.0);
}

#[test]
fn items_are_tallied_from_their_line() {
    let mut sitting = at_the_set_out();
    sitting.press(KeyCode::End);
    let Page::House(page) = &sitting.model.page else { panic!() };
    assert_eq!(page.line, format!("{ITEM}peg"));
    sitting.press(KeyCode::Enter).type_in("4").press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept: 4 pegs delivered"), "{}", sitting.text());
}

/// At the readings of a stage, with its first point that asks yes or no
/// chosen.
fn at_a_question() -> Sitting {
    let mut sitting = at_the_set_out();
    let house = sitting.model.house().unwrap().clone();
    let asked = house.stages.iter().flat_map(|now| now.points.iter().map(move |p| (now.stage.id, p)));
    let (stage, point) = { asked }.find(|(_, p)| p.point.kind == PointKind::YesNo).unwrap();
    let Page::House(page) = &mut sitting.model.page else { panic!() };
    page.go_to(&PointName::new(stage, &point.point.id));
    sitting
}

#[test]
fn yes_and_no_are_typed_as_they_are_said_where_they_are_asked() {
    for said in ["yes", "no", "y", "n", "Yes", "NO"] {
        let mut sitting = at_a_question();
        sitting.type_in(said);
        let form = sitting.model.form.as_ref().unwrap();
        assert!(matches!(form.kind, FormKind::Reading { .. }), "{said}: {}", sitting.text());
        assert_eq!(form.text("value"), said);
    }
}

#[test]
fn what_is_made_fast_is_told_on_any_line_with_ctrl_y() {
    let asks =
        |sitting: &Sitting| sitting.model.form.as_ref().is_some_and(|form| form.kind == FormKind::TieDown);
    let mut sitting = at_a_question();
    sitting.ctrl('y');
    assert!(asks(&sitting), "{}", sitting.text());
    let mut sitting = at_the_set_out();
    sitting.ctrl('y').press(KeyCode::Esc);
    assert!(!asks(&sitting));
    sitting.type_in("y");
    assert!(asks(&sitting), "{}", sitting.text());
    sitting.press(KeyCode::Esc).type_in("n");
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
}

#[test]
fn a_row_that_cannot_be_laid_only_tells_why() {
    let mut sitting = at_the_set_out();
    let Page::House(page) = &mut sitting.model.page else { panic!() };
    page.go_to(&PointName::new("thatch", "rows-ab"));
    sitting.type_in("+");
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert!(sitting.text().contains(" Tern house: the ridge is not up yet"), "{}", sitting.text());
    sitting.type_in("u");
    assert_eq!(sitting.model.by, "Oru");
    assert!(sitting.text().contains("Nothing was kept yet"), "{}", sitting.text());
}

#[test]
fn what_is_refused_whatever_the_name_leaves_no_form_to_type_a_name_in() {
    let mut sitting = at_the_set_out();
    let house = sitting.model.house().unwrap().id;
    sitting.type_in("h").type_in("feast").press(KeyCode::Enter).type_in("h");
    sitting.keep(Some(house), &Draft::Resume).unwrap();
    sitting.press(KeyCode::Enter);
    assert!(sitting.model.form.is_none(), "{}", sitting.text());
    assert!(sitting.model.notice.is_some(), "{}", sitting.text());
}
