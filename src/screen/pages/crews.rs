//! Crews, rates and closed days: the list that lies over the days.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{CrewsShown, Model, Page};
use super::super::msg::Effect;

/// How far a page goes, lines.
const FAR: usize = 10;
/// The lines above the chosen crew that stay in sight.
const ABOVE: usize = 5;

/// Shows the list.
pub fn open(model: &mut Model) {
    if let Page::Days(page) = &mut model.page {
        page.crews = Some(CrewsShown::default());
    }
}

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let crews = model.planned.as_ref().map(|told| told.now.crews.clone()).unwrap_or_default();
    let last = crews.len().saturating_sub(1);
    let (by, today) = (model.by.clone(), model.now.date_naive());
    let Page::Days(page) = &mut model.page else { return vec![] };
    let Some(shown) = &mut page.crews else { return vec![] };
    let at = shown.chosen.min(last);
    let mut choose = |at: usize| *shown = CrewsShown { chosen: at, scroll: at.saturating_sub(ABOVE) };
    match act {
        Act::Back => choose(at.saturating_sub(1)),
        Act::Forth => choose((at + 1).min(last)),
        Act::First => choose(0),
        Act::Last => choose(last),
        Act::PageBack => shown.scroll = shown.scroll.saturating_sub(FAR),
        Act::PageForth => shown.scroll = shown.scroll.saturating_add(FAR),
        Act::Out => page.crews = None,
        Act::Crew => model.form = Some(Form::crew(&by)),
        Act::Closed => model.form = Some(Form::closed(&by)),
        Act::Weather => model.form = Some(Form::weather(today, &by)),
        Act::Enter | Act::CrewEnd => match crews.get(at) {
            Some(now) if act == Act::Enter => model.form = Some(Form::crew_again(&now.crew, &by)),
            Some(now) if !now.assumed => model.form = Some(Form::crew_end(&now.crew.name, &by)),
            Some(now) => {
                let name = &now.crew.name;
                let text = format!("{name} are only taken for granted; name a crew (r), and they are not.");
                model.tell(text, Meaning::Hand);
            }
            None => model.tell("No crew is named yet; r names one.", Meaning::Hand),
        },
        _ => {}
    }
    vec![]
}
