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
    if let Some(to) = act.leads(page.index(), page.lines.len().saturating_sub(1)) {
        page.chosen = page.lines.get(to).map(|l| l.id);
        if page.lacks_neighbours() {
            let around = page.chosen;
            return vec![model.ask(Question::Row { around })];
        }
        return vec![];
    }
    match act {
        Act::Enter => page.chosen.map(|id| open_house(model, id)).unwrap_or_default(),
        Act::Start => {
            let form = Form::start(model.woods(), &model.by);
            model.form = Some(form);
            vec![]
        }
        Act::HoldAll if !page.loaded => {
            page.waiting = Some(act);
            model.tell("The book is still telling the houses.", Meaning::Quiet);
            vec![]
        }
        Act::HoldAll => {
            let held = held::on(&page.holds, model.now);
            model.form = Some(if held.is_some() {
                Form::resume(None, &model.by)
            } else {
                Form::hold(None, &model.by)
            });
            vec![]
        }
        Act::TieDown => {
            let tied = held::made_fast_at(&page.holds, &page.tied, model.now);
            model.form = Some(Form::tie_down(None, &tied, &model.by));
            model.tell(LEAVE, Meaning::Caution);
            vec![]
        }
        Act::Stores => open_stores(model, None),
        Act::Days => days::open(model),
        Act::TakeIn => {
            model.form = Some(Form::take_in());
            vec![]
        }
        Act::DayBook => {
            model.page = Page::DayBook(DayBookPage::default());
            let remember = Effect::Remember(model.left());
            vec![remember, model.reload()]
        }
        _ => vec![],
    }
}
