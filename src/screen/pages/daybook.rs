//! The day book.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{DayBookPage, Model, Page};
use super::super::msg::{Effect, Question};
use super::super::update::{open_house, open_row};
use crate::book::{HouseLine, LogLine};
use crate::build::entry::{Kind, What};

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    let Page::DayBook(page) = &mut model.page else { return vec![] };
    let last = page.lines.len().saturating_sub(1);
    let at = page.index();
    if let Some(to) = act.leads(at, last) {
        page.chosen = page.lines.get(to).map(|l| l.entry.id);
        // Further down than there are lines yet.
        if to >= last && page.more {
            let filter = page.filter(true);
            return vec![model.ask(Question::DayBook(filter))];
        }
        return vec![];
    }
    match act {
        Act::Out => match page.house {
            Some(id) => open_house(model, id),
            None => open_row(model, None),
        },
        Act::KindOnly => {
            page.kind = match page.kind {
                None => Kind::ALL.first().copied(),
                Some(kind) => Kind::ALL.iter().copied().skip_while(|k| *k != kind).nth(1),
            };
            anew(model)
        }
        Act::PersonOnly => {
            let chosen = page.lines.get(at).map(|l| l.entry.by.clone());
            page.by = if page.by.is_some() { None } else { chosen };
            anew(model)
        }
        Act::HouseOnly => {
            let chosen = page.lines.get(at).and_then(|l| l.entry.house);
            page.house = if page.house.is_some() { None } else { chosen };
            anew(model)
        }
        Act::Find => {
            model.form = Some(Form::find(&page.text));
            vec![]
        }
        Act::Strike => {
            let form = strike(page, &by);
            match form {
                Ok(form) => model.form = Some(form),
                Err(why) => model.tell(why, Meaning::Hand),
            }
            vec![]
        }
        _ => vec![],
    }
}

/// Asks for the lines that fit the new filter.
fn anew(model: &mut Model) -> Vec<Effect> {
    if let Page::DayBook(page) = &mut model.page {
        page.lines.clear();
        page.loaded = false;
    }
    vec![model.reload()]
}

fn strike(page: &DayBookPage, by: &str) -> Result<Form, String> {
    let line = page.lines.get(page.index()).ok_or_else(|| "There is no entry to strike.".to_owned())?;
    if line.struck.is_some() {
        return Err("It is struck already.".to_owned());
    }
    if matches!(line.entry.what, What::Strike { .. }) {
        return Err("A strike is not struck; write the entry anew.".to_owned());
    }
    let what = format!("{}: {}", line.entry.what.kind(), line.says(|id| page.name(id)));
    Ok(Form::strike(line.entry.house, vec![line.entry.id], &what, by))
}

/// Takes in a page of the day book; older lines go below those that are there.
pub fn take(page: &mut DayBookPage, lines: Vec<LogLine>, more: bool, houses: Vec<HouseLine>, older: bool) {
    if older {
        page.lines.extend(lines);
    } else {
        page.lines = lines;
    }
    page.more = more;
    page.houses = houses;
    page.loaded = true;
    if !page.chosen.is_some_and(|id| page.lines.iter().any(|l| l.entry.id == id)) {
        page.chosen = page.lines.first().map(|l| l.entry.id);
    }
}
