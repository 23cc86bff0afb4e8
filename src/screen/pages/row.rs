//! The row of houses.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{DayBookPage, Model, Page};
use super::super::msg::{Effect, Question};
use super::super::update::{open_house, open_stores};
use super::days;
use crate::build::held;
use crate::build::tie_down::LEAVE;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let Page::Row(page) = &mut model.page else { return vec![] };
    let last = page.lines.len().saturating_sub(1);
    let at = page.index();
    let to = match act {
        Act::Back => at.saturating_sub(1),
        Act::Forth => (at + 1).min(last),
        Act::First => 0,
        Act::Last => last,
        Act::Enter => return page.chosen.map(|id| open_house(model, id)).unwrap_or_default(),
        Act::Start => {
            let form = Form::start(model.woods(), &model.by);
            model.form = Some(form);
            return vec![];
        }
        Act::HoldAll if !page.loaded => {
            model.tell("The book has not told the houses yet.", Meaning::Hand);
            return vec![];
        }
        Act::HoldAll => {
            let held = held::on(&page.holds, model.now);
            model.form = Some(if held.is_some() {
                Form::resume(None, &model.by)
            } else {
                Form::hold(None, &model.by)
            });
            return vec![];
        }
        Act::TieDown => {
            let tied = held::on_or_to_come(&page.holds, model.now).map(|held| held.tied.clone());
            model.form = Some(Form::tie_down(None, &tied.unwrap_or_default(), &model.by));
            model.tell(LEAVE, Meaning::Caution);
            return vec![];
        }
        Act::Stores => return open_stores(model, None),
        Act::Days => return days::open(model),
        Act::TakeIn => {
            model.form = Some(Form::take_in());
            return vec![];
        }
        Act::DayBook => {
            model.page = Page::DayBook(DayBookPage::default());
            let remember = Effect::Remember(model.left());
            return vec![remember, model.reload()];
        }
        _ => return vec![],
    };
    page.chosen = page.lines.get(to).map(|l| l.id);
    if page.lacks_neighbours() {
        let around = page.chosen;
        return vec![model.ask(Question::Row { around })];
    }
    vec![]
}
