//! What holds, on the screen.

use crossterm::event::KeyCode;

use super::Sitting;
use crate::build::draft::Draft;
use crate::build::together::Together;
use crate::screen::model::Page;

fn pull(joint: &str, value: &str) -> Draft {
    Draft::Together(Together::Pull {
        joint: joint.to_owned(),
        value: value.to_owned(),
        cord: "coir 9 mm".to_owned(),
        remark: String::new(),
    })
}

/// At what holds of a house of mangrove whose strands and plate lashings were
/// pulled.
fn at_what_holds() -> Sitting {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    for value in ["1410 N", "1455 N", "1390 N", "1480 N", "1430 N"] {
        sitting.keep(None, &pull("cord", value)).unwrap();
    }
    for value in ["8.1 kN", "8.4 kN"] {
        sitting.keep(Some(house), &pull("plate", value)).unwrap();
    }
    let said = [("wood", "mangrove"), ("soil", "sand"), ("foot", "50 cm"), ("gust", "35")];
    let changes = said.map(|(field, text)| (field.to_owned(), text.to_owned())).to_vec();
    sitting.keep(Some(house), &Draft::Brief { changes }).unwrap();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("w");
    sitting
}

#[test]
fn the_chain_is_drawn_from_the_thatch_down() {
    let mut sitting = at_what_holds();
    insta::assert_snapshot!("holds_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("holds_120x40", sitting.picture(120, 40));
    sitting.press(KeyCode::PageDown).press(KeyCode::PageDown).press(KeyCode::PageDown);
    insta::assert_snapshot!("holds_poles_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::End);
    insta::assert_snapshot!("holds_end_80x24", sitting.picture(80, 24));
}

#[test]
fn a_pull_is_told_with_its_caution_and_counts_at_once() {
    let mut sitting = at_what_holds();
    sitting.type_in("p").type_in("143.3 kg");
    insta::assert_snapshot!("pull_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Down).type_in("coir 9 mm").press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept."), "{}", sitting.text());
    let house = sitting.model.house().unwrap();
    let strands = &house.holds(None).tests[0];
    assert_eq!(strands.tests, 6);
}

#[test]
fn a_pull_may_count_for_this_house_alone() {
    let mut sitting = at_what_holds();
    let other = sitting.house("Landing house");
    sitting.type_in("p").type_in("1400 N").press(KeyCode::Down).type_in("hibiscus");
    sitting.press(KeyCode::Down).press(KeyCode::F(2)).press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept."), "{}", sitting.text());
    let mine = sitting.model.house().unwrap().told.pulls.len();
    assert_eq!(mine - sitting.told(other).told.pulls.len(), 3, "with the two plates pulled before");
}

#[test]
fn a_force_without_a_unit_is_refused_in_the_form() {
    let mut sitting = at_what_holds();
    sitting.type_in("p").type_in("480").press(KeyCode::Down).type_in("coir").press(KeyCode::Enter);
    assert!(sitting.text().contains("value: \"480\" is no force"), "{}", sitting.text());
}

#[test]
fn another_gust_is_tried_and_not_kept() {
    let mut sitting = at_what_holds();
    sitting.type_in("g").type_in("62").press(KeyCode::Enter);
    assert!(sitting.text().contains("in a gust of 62 m/s"), "{}", sitting.text());
    sitting
        .type_in("g")
        .press(KeyCode::Backspace)
        .press(KeyCode::Backspace)
        .type_in("4")
        .press(KeyCode::Enter);
    assert!(sitting.text().contains("10 to 90 m/s"), "{}", sitting.text());
    sitting.press(KeyCode::Backspace).press(KeyCode::Enter);
    assert!(sitting.text().contains("in a gust of 35 m/s"), "{}", sitting.text());
}

#[test]
fn a_kind_of_wood_is_told_on_the_screen() {
    let mut sitting = at_what_holds();
    sitting.type_in("t");
    for text in ["Ghost tree", "840", "D40", "2"] {
        sitting.type_in(text).press(KeyCode::Down);
    }
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("the wood can be named in a brief"), "{}", sitting.text());
    assert_eq!(sitting.model.house().unwrap().told.woods[0].name, "ghost tree");
}

#[test]
fn a_new_house_knows_the_wood_that_was_told() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let told = Together::Wood {
        name: "ghost tree".to_owned(),
        density: "840".to_owned(),
        class: "D50".to_owned(),
        durability: "2".to_owned(),
    };
    sitting.keep(None, &Draft::Together(told)).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("n").type_in("Landing house").press(KeyCode::Down).press(KeyCode::Down);
    for text in ["", "Oru", "1.742 m", "4 sp"] {
        sitting.type_in(text).press(KeyCode::Down);
    }
    let wood = sitting.model.form.as_ref().unwrap().fields.iter().position(|f| f.id == "wood").unwrap();
    sitting.model.form.as_mut().unwrap().focus = wood;
    sitting.type_in("ghost tree");
    assert!(sitting.text().contains("(D50)"), "{}", sitting.text());
}

#[test]
fn back_at_the_house_the_same_stage_is_open_and_the_book_opens_where_it_was_left() {
    let mut sitting = at_what_holds();
    sitting.press(KeyCode::Esc).press(KeyCode::Right).press(KeyCode::Right).type_in("w");
    let mut again = sitting.back_again();
    assert!(matches!(again.model.page, Page::Holds(_)));
    assert!(again.text().contains("From the thatch down"), "{}", again.text());
    again.press(KeyCode::Esc);
    assert!(again.text().contains("3 Posts"), "{}", again.text());
}

#[test]
fn a_brief_tells_as_it_is_typed_which_pole_is_too_weak() {
    let mut sitting = Sitting::new();
    sitting.house("Tern house");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("b");
    insta::assert_snapshot!("brief_weak_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("brief_weak_120x40", sitting.picture(120, 40));
}

#[test]
fn a_brief_that_is_kept_tells_what_changed_and_which_pole_is_too_weak_now() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    let thick = ["rafter_d", "beam_d", "post_d", "ridge_d"];
    let changes = thick.map(|field| (field.to_owned(), "25 cm".to_owned())).to_vec();
    sitting.keep(Some(house), &Draft::Brief { changes }).unwrap();
    let mut sitting = sitting.open();
    for (thick, told) in [
        ("12 cm", "Kept: rafter thickness 25 cm to 12 cm."),
        ("5 cm", "Kept: rafter thickness 12 cm to 5 cm. Poles x TOO WEAK by screening: rafter "),
    ] {
        if matches!(sitting.model.page, Page::Row(_)) {
            sitting.press(KeyCode::Enter);
        }
        sitting.type_in("b");
        let form = sitting.model.form.as_mut().unwrap();
        form.focus = form.fields.iter().position(|f| f.id == "rafter_d").unwrap();
        sitting.ctrl('u').type_in(thick).ctrl('s');
        let notice = &sitting.model.notice.as_ref().unwrap().text;
        assert!(notice.starts_with(told), "{notice}");
        assert_eq!(notice.ends_with("(w tells more)."), thick == "5 cm", "{notice}");
    }
}
