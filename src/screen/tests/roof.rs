//! A roof that is finished in another kind of thatch, on the screen.

use crossterm::event::KeyCode;

use super::Sitting;

#[test]
fn the_brief_as_it_is_typed_goes_on_from_the_rows_that_lie() {
    let mut sitting = Sitting::new();
    let house = sitting.house("Tern house");
    sitting.read(house, "thatch/rows-ab", "20");
    sitting.read(house, "thatch/rows-cd", "18");
    let mut sitting = sitting.open();
    sitting.press(KeyCode::Enter).type_in("b");
    let form = sitting.model.form.as_mut().unwrap();
    form.focus = form.fields.iter().position(|f| f.id == "thatch").unwrap();
    sitting.type_in("coconut");
    // 20 and 18 rows of nipa, 33 and 35 of coconut, 8 panels in each; 8 caps.
    assert!(sitting.text().contains("864 panels, order 960"), "{}", sitting.text());
    sitting.ctrl('s');
    for _ in 0..6 {
        sitting.press(KeyCode::Right);
    }
    sitting.type_in("f");
    insta::assert_snapshot!("two_kinds_80x24", sitting.picture(80, 24));
    insta::assert_snapshot!("two_kinds_120x40", sitting.picture(120, 40));
}
