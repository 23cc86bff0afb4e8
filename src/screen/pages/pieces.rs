//! Poles to pieces.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{Model, Page, PiecesPage, PiecesTold};
use super::super::msg::Effect;
use super::super::update::open_house;
use crate::build::pieces::size_told;

/// Opens the page of a house.
pub fn open(model: &mut Model, house: uuid::Uuid) -> Vec<Effect> {
    model.page = Page::Pieces(PiecesPage::new(house));
    let remember = Effect::Remember(model.left());
    vec![remember, model.reload()]
}

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    let Page::Pieces(page) = &mut model.page else { return vec![] };
    if page.told.is_none() && matches!(act, Act::Enter | Act::Tally) {
        // The book may have failed to answer: it is asked again, and the page
        // says that it waits.
        return vec![model.reload()];
    }
    let last = page.plan().map_or(0, |plan| plan.out.cuts.len() + plan.lacking.len()).saturating_sub(1);
    page.chosen = match act {
        Act::Back => page.chosen.saturating_sub(1),
        Act::Forth => page.chosen + 1,
        Act::PageBack => page.chosen.saturating_sub(10),
        Act::PageForth => page.chosen + 10,
        Act::First => 0,
        Act::Last => last,
        Act::Out => {
            let house = page.house;
            return open_house(model, house);
        }
        Act::Usual => {
            page.usual = !page.usual;
            0
        }
        Act::Tally => {
            model.form = page.told.as_ref().map(|told| Form::poles(&told.house, &by));
            return vec![];
        }
        Act::Enter => {
            match page.told.as_ref().map(|told| cut(page, told, &by)) {
                Some(Ok(form)) => model.form = Some(form),
                Some(Err(why)) => model.tell(why, Meaning::Hand),
                None => {}
            }
            return vec![];
        }
        _ => return vec![],
    }
    .min(last);
    vec![]
}

/// Opens the form for the chosen line.
fn cut(page: &PiecesPage, told: &PiecesTold, by: &str) -> Result<Form, &'static str> {
    if page.usual {
        return Err("These poles are not here: v goes back to those on hand.");
    }
    let plan = &told.plans.at_hand;
    let cut = plan.out.cuts.get(page.chosen).ok_or("Choose a pole that is to be cut; t tells what came.")?;
    let pole = plan.pole(cut).map_or_else(String::new, |pole| size_told(pole.size));
    Ok(Form::cut_up(&told.house, &pole, &plan.pieces(cut), by))
}
