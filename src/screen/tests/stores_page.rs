//! The stores: items over all houses, permits, tallies in few keys.

use crossterm::event::KeyCode;
use uuid::Uuid;

use super::super::model::Page;
use super::super::stores::Line;
use super::Sitting;
use crate::build::draft::{Draft, StemSaid};
use crate::build::entry::{Entry, How, Item, Stem, Tally, What};
use crate::build::together::Together;

fn cut(count: &str, why: &str) -> Draft {
    let of = StemSaid { tree: "mangrove".to_owned(), why: why.to_owned(), ..StemSaid::default() };
    let Draft::Tally { item, how, to, remark, .. } = Draft::tally("post", count, "cut") else {
        unreachable!()
    };
    Draft::Tally { item, count: count.to_owned(), how, to, remark, of }
}

/// Two houses, one with posts to spare and cut past its permit, one thatching
/// with panels that spoiled.
fn village() -> (Sitting, Uuid, Uuid) {
    let mut sitting = Sitting::new();
    let tern = sitting.house("Tern house");
    let sister = sitting.house("Sister Oru's");
    let leave = Together::Permit {
        tree: "mangrove".to_owned(),
        count: "12".to_owned(),
        place: "north creek".to_owned(),
        until: "2031-06-30".to_owned(),
    };
    sitting.keep(None, &Draft::Together(leave)).unwrap();
    sitting.keep(Some(tern), &cut("12", "")).unwrap();
    sitting.keep(Some(tern), &cut("2", "two split in the felling")).unwrap();
    sitting.build(sister, &["centre-mark", "set-out", "posts", "beams", "roof-frame", "ridge"]);
    for (count, how) in [("200", "woven"), ("60", "used"), ("30", "spoiled"), ("40", "promised")] {
        sitting.keep(Some(sister), &Draft::tally("panel", count, how)).unwrap();
    }
    sitting.read(sister, "thatch/rows-ab", "4");
    (sitting, tern, sister)
}

#[test]
fn the_stores_of_all_houses() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down).press(KeyCode::Enter);
    insta::assert_snapshot!("stores_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Down);
    insta::assert_snapshot!("stores_120x40", sitting.picture(120, 40));
    sitting.press(KeyCode::End);
    insta::assert_snapshot!("permits_80x24", sitting.picture(80, 24));
}

#[test]
fn the_sum_of_an_item_is_opened_from_the_stores_and_from_the_house() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("gi");
    assert!(sitting.text().contains("1 centre mark: 3 pegs"), "{}", sitting.text());
    sitting.press(KeyCode::Esc).press(KeyCode::Esc);
    assert!(matches!(sitting.model.page, Page::Row(_)));
    sitting.press(KeyCode::Enter);
    for _ in 0..3 {
        sitting.press(KeyCode::Right);
    }
    sitting.type_in("f").press(KeyCode::End).type_in("i");
    insta::assert_snapshot!("sum_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Esc);
    assert!(matches!(sitting.model.page, Page::House(_)) && sitting.model.sum.is_none());
}

#[test]
fn a_delivery_is_three_keys() {
    let (sitting, tern, _) = village();
    let mut sitting = sitting.open();
    sitting.type_in("g");
    // The pegs come first; the house that lacks them first is meant.
    sitting.type_in("7").press(KeyCode::Enter);
    assert!(sitting.text().contains("Kept: 7 pegs delivered at Tern house."), "{}", sitting.text());
    assert_eq!(sitting.told(tern).heaps[&Item::Peg].on_hand, 7.0);
}

#[test]
fn what_is_short_is_moved_from_the_house_that_has_most_to_spare() {
    let (sitting, tern, _) = village();
    let mut sitting = sitting;
    let landing = sitting.house("Landing house");
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down);
    assert!(sitting.text().contains("Tern house has 4 to spare"), "{}", sitting.text());
    sitting.type_in("m").press(KeyCode::Enter);
    assert_eq!(sitting.told(landing).heaps[&Item::Post].on_hand, 4.0, "{}", sitting.text());
    assert_eq!(sitting.told(tern).heaps[&Item::Post].on_hand, 10.0);
    sitting.type_in("m");
    assert!(sitting.text().contains("No other house has posts to spare."), "{}", sitting.text());
}

#[test]
fn of_posts_that_are_not_all_alike_the_form_asks_which_are_moved() {
    let mut sitting = Sitting::new();
    let [tern, landing] = ["Tern house", "Landing house"].map(|name| sitting.house(name));
    let of = StemSaid { length: "2 m".to_owned(), thick: "10 cm".to_owned(), ..StemSaid::default() };
    let small = match Draft::tally("post", "2", "cut") {
        Draft::Tally { item, count, how, to, remark, .. } => {
            Draft::Tally { item, count, how, to, remark, of }
        }
        other => other,
    };
    sitting.keep(Some(tern), &small).unwrap();
    sitting.keep(Some(tern), &Draft::tally("post", "12", "cut")).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("g");
    let Page::Stores(page) = &mut sitting.model.page else { panic!("the stores") };
    page.open.insert(Item::Post);
    page.chosen = Some(Line::House(Item::Post, landing));
    sitting.type_in("m").press(KeyCode::Enter);
    assert!(sitting.text().contains("2 of 2 m x 10 cm, 12 of no known"), "{}", sitting.text());
    insta::assert_snapshot!("lend_which_80x24", sitting.picture(80, 24));
    sitting.type_in("3.1 m").press(KeyCode::Enter);
    assert_eq!(sitting.told(landing).heaps[&Item::Post].on_hand, 2.0, "{}", sitting.text());
    assert_eq!(sitting.told(landing).stage("posts").unwrap().items[0].short, 8.0);
}

#[test]
fn panels_left_over_of_another_kind_are_lent_as_what_they_are() {
    let mut sitting = Sitting::new();
    let [tern, landing] = ["Tern house", "Landing house"].map(|name| sitting.house(name));
    sitting.keep(Some(tern), &Draft::tally("panel", "36", "woven")).unwrap();
    let changes = vec![("thatch".to_owned(), "coconut".to_owned())];
    sitting.keep(Some(tern), &Draft::Brief { changes }).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("g");
    let Page::Stores(page) = &mut sitting.model.page else { panic!("the stores") };
    page.open.insert(Item::Panel);
    page.chosen = Some(Line::House(Item::Panel, tern));
    insta::assert_snapshot!("left_over_80x24", sitting.picture(80, 24));
    let Page::Stores(page) = &mut sitting.model.page else { panic!("the stores") };
    page.chosen = Some(Line::House(Item::Panel, landing));
    sitting.type_in("m");
    insta::assert_snapshot!("lend_kind_80x24", sitting.picture(80, 24));
    sitting.press(KeyCode::Enter);
    assert_eq!(sitting.told(landing).heaps[&Item::Panel].on_hand, 36.0, "{}", sitting.text());
    assert_eq!(sitting.told(tern).kinds.left_over(), []);
}

#[test]
fn only_what_must_come_this_week_is_shown_on_asking() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("gw");
    assert!(sitting.text().contains("must come this week"), "{}", sitting.text());
    assert!(sitting.text().contains("+ peg") && !sitting.text().contains("+ pin"), "{}", sitting.text());
    sitting.type_in("w");
    assert!(sitting.text().contains("all items"));
}

#[test]
fn a_cut_past_the_permit_stands_out_until_it_is_answered() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    assert!(sitting.text().contains("! past permit"), "{}", sitting.text());
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("! 2 posts of mangrove cut past the permit"), "{}", sitting.text());
    sitting.type_in("g").press(KeyCode::End);
    assert!(sitting.text().contains("two split in the felling"), "{}", sitting.text());
    sitting
        .press(KeyCode::Enter)
        .type_in("the ranger allowed both")
        .press(KeyCode::Enter)
        .press(KeyCode::End);
    assert!(sitting.text().contains("Answered: the ranger"), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(!sitting.text().contains("cut past the permit"), "{}", sitting.text());
    sitting.press(KeyCode::Esc);
    assert!(!sitting.text().contains("past permit"), "{}", sitting.text());
}

#[test]
fn what_was_cut_is_told_with_its_tree() {
    let (sitting, tern, _) = village();
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down).type_in("7");
    assert!(sitting.text().contains("No house lacks it. Enter lists the houses"), "{}", sitting.text());
    sitting.press(KeyCode::Enter).press(KeyCode::Down).type_in("t");
    assert!(!sitting.text().contains("tree"), "only what is cut has a tree: {}", sitting.text());
    sitting.type_in("1").press(KeyCode::Tab).ctrl('u').type_in("cut");
    insta::assert_snapshot!("cut_80x24", sitting.picture(80, 24));
    assert_eq!(sitting.model.form.as_ref().unwrap().text("tree"), "mangrove");
    sitting.press(KeyCode::Enter);
    assert!(sitting.text().contains("1 mangrove cut, but none are left to cut"), "{}", sitting.text());
    let form = sitting.model.form.as_ref().unwrap();
    let why = form.fields.iter().position(|f| f.id == "why").unwrap();
    sitting.model.form.as_mut().unwrap().focus = why;
    sitting.type_in("the canoe leaves today").press(KeyCode::Enter);
    assert_eq!(sitting.told(tern).past_permit.len(), 2, "{}", sitting.text());
}

#[test]
fn a_cut_that_counts_against_no_permit_says_so() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::Down).press(KeyCode::Down).press(KeyCode::Enter);
    sitting.press(KeyCode::Down).type_in("1").press(KeyCode::Tab).ctrl('u').type_in("cut");
    sitting.press(KeyCode::Tab).ctrl('u').press(KeyCode::Enter);
    let told = "! no tree was said, so it counts against no";
    assert!(sitting.text().contains(told), "{}", sitting.text());
}

#[test]
fn a_permit_is_given_on_the_page() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("gp");
    for text in ["casuarina", "9", "2031-01-31", "the point"] {
        sitting.type_in(text).press(KeyCode::Tab);
    }
    sitting.press(KeyCode::Enter).press(KeyCode::End);
    let text = sitting.text();
    assert!(
        text.contains("casuarina") && text.contains("2031-01-31") && text.contains("the point"),
        "{text}"
    );
}

#[test]
fn one_key_lays_a_row_and_uses_its_panels() {
    let (sitting, _, sister) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Right).press(KeyCode::Enter);
    let Page::House(page) = &mut sitting.model.page else { panic!("a house") };
    page.how = false;
    page.line = "rows-ab".to_owned();
    sitting.type_in("++");
    assert!(sitting.text().contains("Kept: one more row on the ab slope"), "{}", sitting.text());
    let house = sitting.told(sister);
    assert_eq!(house.readings.number("thatch", "rows-ab"), Some(6.0));
    assert_eq!(house.heaps[&Item::Panel].used, 60.0 + 2.0 * 8.0);
    // Eleven rows later there are too few panels for one more.
    for _ in 0..12 {
        sitting.type_in("+");
    }
    assert!(sitting.text().contains("8 panels used, but 6 on hand"), "{}", sitting.text());
    assert_eq!(sitting.told(sister).readings.number("thatch", "rows-ab"), Some(17.0));
}

#[test]
fn a_row_laid_by_mistake_is_taken_back_with_its_panels() {
    let (sitting, _, sister) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Right).press(KeyCode::Enter);
    let Page::House(page) = &mut sitting.model.page else { panic!("a house") };
    page.how = false;
    page.line = "rows-ab".to_owned();
    sitting.type_in("++u");
    let text = sitting.text();
    assert!(text.contains("Strike the last row on the ab slope and its panels; it stays readable"), "{text}");
    sitting.type_in("counted twice").press(KeyCode::Enter);
    assert!(sitting.text().contains("Struck, the 2 entries of it"), "{}", sitting.text());
    let house = sitting.told(sister);
    assert_eq!(house.readings.number("thatch", "rows-ab"), Some(5.0));
    assert_eq!(house.heaps[&Item::Panel].used, 60.0 + 8.0);
}

/// As it may be after two books were put together.
#[test]
fn a_heap_from_which_more_went_than_came_is_told_plainly() {
    let (mut sitting, tern, _) = village();
    let told = sitting.book.entries_of(Some(tern)).unwrap();
    let cut = told.iter().find(|e| matches!(e.what, What::Tally(_))).unwrap();
    let used = Tally {
        item: Item::Panel,
        count: 9.0,
        how: How::Used,
        to: None,
        remark: String::new(),
        of: Stem::default(),
    };
    let id = Uuid::parse_str("01be9b32-9f02-7242-a665-88e314adb59c").unwrap();
    sitting.book.keep(&[Entry { id, what: What::Tally(used), ..cut.clone() }]).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::End);
    while !sitting.text().contains("9 panels went that never came") {
        assert!(!matches!(sitting.model.page, Page::Stores(ref page) if page.index() == 0), "it is told");
        sitting.press(KeyCode::Up);
    }
    assert!(sitting.text().contains("+ panel x"), "{}", sitting.text());
}

#[test]
fn the_book_opens_again_at_the_stores() {
    let (sitting, tern, _) = village();
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("g").type_in("q");
    let sitting = sitting.back_again();
    assert!(matches!(&sitting.model.page, Page::Stores(page) if page.from == Some(tern)));
}

#[test]
fn a_book_that_opens_at_the_stores_tells_the_days_of_the_plan() {
    let (sitting, ..) = village();
    let mut sitting = sitting.open();
    sitting.type_in("g");
    let by_the_plan = sitting.picture(80, 24);
    sitting.type_in("q");
    let sitting = sitting.back_again();
    assert!(matches!(sitting.model.page, Page::Stores(_)));
    assert_eq!(sitting.picture(80, 24), by_the_plan);
}

#[test]
fn of_a_cut_only_what_no_permit_covers_is_told_as_past_it() {
    let (mut sitting, tern, _) = village();
    let more = Together::Permit {
        tree: "mangrove".to_owned(),
        count: "5".to_owned(),
        place: "north creek".to_owned(),
        until: "2031-06-30".to_owned(),
    };
    sitting.keep(None, &Draft::Together(more)).unwrap();
    sitting.keep(Some(tern), &cut("6", "the wind felled them")).unwrap();
    let mut sitting = sitting.open();
    sitting.type_in("g").press(KeyCode::End);
    assert!(sitting.text().contains("! 6 posts of mangrove, 3 past the permit"), "{}", sitting.text());
}

#[test]
fn the_brief_and_the_stores_have_the_same_number_woven() {
    let (sitting, _, sister) = village();
    let mut sitting = sitting.open();
    let worked = sitting.told(sister).worked;
    sitting.press(KeyCode::Down).press(KeyCode::Enter).type_in("b");
    sitting.picture(120, 40);
    let order = format!("{} panels, order {}", worked.panels(), worked.order_panels());
    assert!(sitting.text().contains(&order), "{order}: {}", sitting.text());
    assert_ne!(worked.order_panels(), worked.thatch.order_panels, "90 panels have shown how many spoil");
}
