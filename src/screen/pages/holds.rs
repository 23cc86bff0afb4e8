//! What holds: a page to read, with the forms that make it say more.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{HoldsPage, HousePage, Model, Page};
use super::super::msg::{Effect, Left, Question};

/// Opens the page from a house's.
pub fn open(model: &mut Model, left: Left) -> Vec<Effect> {
    let Some(id) = left.house else { return vec![] };
    model.page = Page::Holds(HoldsPage { id, house: None, gust_m_s: None, scroll: 0, left });
    let remember = Effect::Remember(model.left());
    vec![remember, model.ask(Question::House(id))]
}

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    let Page::Holds(page) = &mut model.page else { return vec![] };
    page.scroll = act.leads(page.scroll, usize::MAX).unwrap_or(page.scroll);
    match act {
        Act::Out => {
            let left = Left { page: "house".to_owned(), ..page.left.clone() };
            let id = page.id;
            model.page = Page::House(HousePage::new(id, Some(left)));
            let remember = Effect::Remember(model.left());
            return vec![remember, model.ask(Question::House(id))];
        }
        Act::Pull | Act::Wood | Act::Gust | Act::Brief => {
            // The book may have failed to answer: it is asked again.
            let Some(house) = page.house.clone() else { return vec![model.reload()] };
            model.form = Some(match act {
                Act::Pull => Form::pull(&house, &by),
                Act::Wood => Form::wood(&by),
                Act::Gust => Form::gust(page.gust_m_s),
                _ => Form::brief(&house, &by),
            });
        }
        _ => {}
    }
    vec![]
}

/// Tries another gust than the brief's; none goes back to that.
pub fn try_gust(model: &mut Model, gust_m_s: Option<f64>) {
    let Page::Holds(page) = &mut model.page else { return };
    page.gust_m_s = gust_m_s;
    page.scroll = 0;
    if gust_m_s.is_some() {
        model.tell("Tried, not kept: the gust to hold is said in the brief (b).", Meaning::Plain);
    }
}
