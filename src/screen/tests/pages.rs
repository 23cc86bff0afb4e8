//! What the pages look like.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::super::msg::{Effect, Msg, Question};
use super::super::update::update;
use super::Sitting;
use crate::build::draft::Draft;

/// Four houses: one set out with a slip, one held at the frame, one half
/// thatched, one handed over.
pub(super) fn island() -> Sitting {
    let mut sitting = Sitting::new();
    let tern = sitting.house("Tern house");
    let landing = sitting.house("Landing house");
    let sister = sitting.house("Sister Oru's");
    let school = sitting.house("School shade");
    sitting.build(tern, &["centre-mark"]);
    for (pair, m) in
        [("ab", "6.970"), ("bc", "5.225"), ("cd", "6.966"), ("da", "5.228"), ("ac", "8.792"), ("bd", "8.709")]
    {
        sitting.read(tern, &format!("set-out/{pair}"), &format!("{m} m"));
    }
    sitting.build(landing, &["centre-mark", "set-out", "posts", "beams"]);
    sitting.keep(Some(landing), &Draft::Hold { cause: "storm".to_owned(), planned: false }).unwrap();
    let raised = ["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"];
    sitting.build(sister, &raised);
    sitting.read(sister, "thatch/rows-ab", "19");
    sitting.read(sister, "thatch/rows-cd", "18");
    sitting.build(school, &raised);
    sitting.build(school, &["thatch", "cap", "handing-over"]);
    sitting.now += chrono::Duration::days(8);
    sitting.open()
}

#[test]
fn the_row_of_houses() {
    let sitting = island();
    insta::assert_snapshot!("row_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("row_120x40", sitting.picture(120, 40));
}

#[test]
fn a_set_out_with_a_slip() {
    let mut sitting = island();
    sitting.press(KeyCode::Enter);
    insta::assert_snapshot!("set_out_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("set_out_120x40", sitting.picture(120, 40));
    sitting.type_in("2 1/2 sp");
    insta::assert_snapshot!("reading_80x24", sitting.picture(80, 24));
}

#[test]
fn the_steps_of_a_stage_not_begun() {
    let mut sitting = island();
    sitting.press(KeyCode::Enter).press(KeyCode::Right);
    insta::assert_snapshot!("steps_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("steps_120x40", sitting.picture(120, 40));
}

#[test]
fn a_house_held_at_the_frame() {
    let mut sitting = island();
    sitting.press(KeyCode::Right).press(KeyCode::Enter).type_in("f");
    insta::assert_snapshot!("frame_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("frame_120x40", sitting.picture(120, 40));
}

#[test]
fn a_slope_filling_with_rows() {
    let mut sitting = island();
    sitting.press(KeyCode::Right).press(KeyCode::Right).press(KeyCode::Enter);
    insta::assert_snapshot!("thatch_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("thatch_120x40", sitting.picture(120, 40));
}

#[test]
fn the_day_book() {
    let mut sitting = island();
    sitting.type_in("d");
    let text = hide_ids(&sitting.picture(80, 24));
    insta::assert_snapshot!("day_book_80x24", text);
}

#[test]
fn the_brief_as_it_is_said() {
    let mut sitting = island();
    sitting.type_in("n").type_in("New house").press(KeyCode::Enter);
    insta::assert_snapshot!("start_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("start_120x40", sitting.picture(120, 40));
}

#[test]
fn the_help() {
    let mut sitting = island();
    sitting.type_in("?");
    insta::assert_snapshot!("help_80x24", sitting.picture(80, 24));
}

#[test]
fn a_page_down_turns_the_help_and_a_page_up_turns_it_back() {
    let mut sitting = island();
    sitting.type_in("?");
    let top = sitting.text();
    sitting.press(KeyCode::PageDown);
    let (_, drawn) = sitting.drawn(80, 24);
    assert_eq!(drawn.from, Some(10), "{}", sitting.text());
    sitting.press(KeyCode::PageUp);
    assert_eq!(sitting.text(), top);
    sitting.press(KeyCode::End);
    assert!(sitting.text().contains("> in hand"), "{}", sitting.text());
}

#[test]
fn the_foot_of_a_house_tells_what_a_builder_needs_most_and_where_the_rest_is() {
    let mut sitting = island();
    let foot = |sitting: &Sitting, wide| {
        let (buf, _) = sitting.drawn(wide, 24);
        (0..wide).map(|x| buf[(x, 23)].symbol().to_owned()).collect::<String>()
    };
    sitting.press(KeyCode::Enter).press(KeyCode::Right).press(KeyCode::Char('f'));
    for key in ["Enter read", "Down next", "Right stage", "s sign", "Esc houses", "? all keys", "q leave"] {
        assert!(foot(&sitting, 80).contains(key), "{key}: {}", foot(&sitting, 80));
    }
    for key in ["f steps", "t tally", "g stores", "w holds"] {
        assert!(foot(&sitting, 120).contains(key), "{key}: {}", foot(&sitting, 120));
    }
    assert!(!foot(&sitting, 200).contains("moved"), "no peg is left to move: {}", foot(&sitting, 200));
    assert!(foot(&sitting, 200).contains("l poles"), "{}", foot(&sitting, 200));
    let mut sitting = island();
    sitting.press(KeyCode::Right).press(KeyCode::Right).press(KeyCode::Enter);
    sitting.press(KeyCode::Home).press(KeyCode::Down).press(KeyCode::Down).press(KeyCode::Down);
    assert!(foot(&sitting, 80).contains("+ row laid"), "{}", sitting.text());
}

/// Ids are minted anew in every run.
fn hide_ids(text: &str) -> String {
    text.lines()
        .map(|line| {
            line.split_once("entry ")
                .map_or_else(|| line.to_owned(), |(before, _)| format!("{before}entry …"))
                + "\n"
        })
        .collect()
}

#[test]
fn names_of_any_script_line_up() {
    let mut sitting = Sitting::new();
    for name in ["家の海岸", "Maison d’été e\u{301}", "بيت الخطاف", "Tern\u{1b}[31m house"] {
        let mut said = crate::build::brief::BriefText::default();
        for (field, text) in [("owner", "家"), ("measure", "Oru"), ("span", "1.742 m"), ("length", "4 sp")] {
            said.say(field, text);
        }
        let kept = sitting.keep(None, &Draft::Start { name: name.to_owned(), said });
        assert_eq!(kept.is_ok(), !name.contains('\u{1b}'), "{name:?}");
    }
    let sitting = sitting.open();
    insta::assert_snapshot!("scripts_80x24", sitting.picture(80, 24));
}

#[test]
fn every_page_is_drawn_at_every_size() {
    let pages: [&[KeyCode]; 15] = [
        &[KeyCode::Char('g')],
        &[KeyCode::Char('g'), KeyCode::End, KeyCode::Enter],
        &[KeyCode::Char('g'), KeyCode::Char('i')],
        &[],
        &[KeyCode::Enter],
        &[KeyCode::Enter, KeyCode::Char('f')],
        &[KeyCode::Enter, KeyCode::Char('1')],
        &[KeyCode::Right, KeyCode::Right, KeyCode::Enter],
        &[KeyCode::Char('d')],
        &[KeyCode::Char('n')],
        &[KeyCode::Char('?')],
        &[KeyCode::Enter, KeyCode::Char('t')],
        &[KeyCode::Enter, KeyCode::Char('w')],
        &[KeyCode::Enter, KeyCode::Char('w'), KeyCode::Char('p')],
        &[KeyCode::Enter, KeyCode::Char('y')],
    ];
    for keys in pages {
        let mut sitting = island();
        for key in keys {
            sitting.press(*key);
        }
        for wide in [0, 1, 10, 39, 40, 41, 60, 71, 72, 80, 120, 200] {
            for high in [0, 1, 3, 9, 10, 11, 13, 24, 40, 60] {
                let (_, drawn) = sitting.drawn(wide, high);
                for (area, _) in drawn.targets {
                    assert!(area.right() <= wide && area.bottom() <= high);
                }
            }
        }
    }
}

#[test]
fn a_house_that_did_not_come_is_asked_for_again() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    let mut sitting = sitting.open();
    let key = |code| Msg::Key(KeyEvent::new(code, KeyModifiers::NONE));
    // What is asked for is not answered, for the book cannot be read.
    let fail = |sitting: &mut Sitting, code| {
        update(&mut sitting.model, key(code), sitting.now);
        sitting.take(Msg::Failed("the book is busy".to_owned()));
        assert!(sitting.text().contains("the book is busy"), "{}", sitting.text());
    };
    let asks = |sitting: &mut Sitting, code| {
        let todo = update(&mut sitting.model, key(code), sitting.now);
        let asks = |effect: &Effect| matches!(effect, Effect::Ask { question: Question::House(id), .. } if *id == house);
        assert!(todo.iter().any(asks), "{code}: {todo:?}");
        assert!(sitting.text().contains("Opening the house"), "{}", sitting.text());
    };
    fail(&mut sitting, KeyCode::Enter);
    for again in
        [KeyCode::Enter, KeyCode::Char('t'), KeyCode::Char('+'), KeyCode::Char('i'), KeyCode::Char('2')]
    {
        asks(&mut sitting, again);
    }
    sitting.press(KeyCode::Enter);
    assert!(!sitting.text().contains("Opening the house"), "{}", sitting.text());
    fail(&mut sitting, KeyCode::Char('w'));
    asks(&mut sitting, KeyCode::Char('p'));
    sitting.press(KeyCode::Char('p'));
    assert!(!sitting.text().contains("Opening the house"), "{}", sitting.text());
}
