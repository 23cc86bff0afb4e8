//! The stores: items over all houses, and the permits.

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{Model, Page};
use super::super::msg::{Effect, Question};
use super::super::stores::{Line, StoresPage};
use super::super::update::{open_house, open_row};
use crate::build::accept::told;
use crate::build::telling::many;

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    let Page::Stores(page) = &mut model.page else { return vec![] };
    let form = match act {
        Act::Back | Act::Forth | Act::First | Act::Last | Act::PageBack | Act::PageForth => {
            moved(page, act);
            return vec![];
        }
        Act::Out => {
            return match page.from {
                Some(house) => open_house(model, house),
                None => open_row(model, None),
            };
        }
        Act::ThisWeek => {
            page.chosen = page.line();
            page.this_week = !page.this_week;
            return vec![];
        }
        Act::Sum => {
            let meant = page.meant().or_else(|| page.first()).map(|(row, at)| (at.house, row.item));
            return match meant {
                Some((house, item)) => {
                    let today = model.now.date_naive();
                    vec![model.ask(Question::Sum(house, item, today))]
                }
                None => hint(model, "Choose an item first; i shows how its need is worked out."),
            };
        }
        Act::Enter => match page.line() {
            Some(Line::Item(item)) => {
                if !page.open.remove(&item) {
                    page.open.insert(item);
                }
                page.chosen = Some(Line::Item(item));
                return vec![];
            }
            Some(Line::House(..)) => tally(page, &by),
            Some(Line::Past(id)) => answer(page, id, &by),
            Some(Line::Permit(_)) | None => Ok(Form::permit(&page.trees(), &by)),
        },
        Act::Tally => tally(page, &by),
        Act::Lend => lend(page, &by),
        Act::Permit => Ok(Form::permit(&page.trees(), &by)),
        _ => return vec![],
    };
    match form {
        Ok(form) => model.form = Some(form),
        Err(why) => model.tell(why, Meaning::Hand),
    }
    vec![]
}

/// Opens the tally that the first digit of a count is for.
pub fn begin_tally(model: &mut Model) -> Vec<Effect> {
    acted(model, Act::Tally)
}

fn hint(model: &mut Model, text: &str) -> Vec<Effect> {
    model.tell(text, Meaning::Hand);
    vec![]
}

fn moved(page: &mut StoresPage, act: Act) {
    let lines = page.lines();
    let last = lines.len().saturating_sub(1);
    let at = page.index();
    let to = match act {
        Act::Back => at.saturating_sub(1),
        Act::Forth => at + 1,
        Act::PageBack => at.saturating_sub(10),
        Act::PageForth => at + 10,
        Act::First => 0,
        _ => last,
    };
    page.chosen = lines.get(to.min(last)).copied();
}

/// A tally of the chosen item at the chosen house; of an item over all houses,
/// at the one that lacks it first.
fn tally(page: &StoresPage, by: &str) -> Result<Form, String> {
    let (row, at) = page.meant().ok_or_else(|| which(page, "t tells what came of it"))?;
    Ok(Form::tally(at.house, &at.name, Some(row.item), &page.trees(), by))
}

/// What is to be chosen first, before a key does what it does.
fn which(page: &StoresPage, does: &str) -> String {
    match page.line() {
        Some(Line::Item(item)) if page.open.contains(&item) => {
            format!("No house lacks it. Choose a house below it; {does}.")
        }
        Some(Line::Item(_)) => format!("No house lacks it. Enter lists the houses: choose one; {does}."),
        _ => format!("Choose an item first; {does}."),
    }
}

/// What is short here, from the house that can lend most.
fn lend(page: &StoresPage, by: &str) -> Result<Form, String> {
    let (row, at) = page.meant().ok_or_else(|| which(page, "m moves some of it"))?;
    let lender = row.lender(at);
    let Some((lender, spare)) = lender.filter(|_| at.short > 0.0) else {
        return Err(match lender {
            Some(_) => format!("{} is not short of {}.", at.name, many(row.item)),
            None => {
                let kind = at.kind.as_ref().map(|kind| format!("{kind} ")).unwrap_or_default();
                format!("No other house has {kind}{} to spare.", many(row.item))
            }
        });
    };
    let count = told(at.short.min(spare));
    Ok(Form::lend((lender.house, &lender.name), &at.name, (row.item, at.kind.as_deref()), &count, by))
}

fn answer(page: &StoresPage, id: uuid::Uuid, by: &str) -> Result<Form, String> {
    let (tree, past) = page.past(id).ok_or("That cut is not here any more.")?;
    if past.cut.answer.is_some() {
        return Err("It is answered already.".to_owned());
    }
    let what = format!("{} {tree}, {}", past.cut.count, past.uncovered_told());
    Ok(Form::answer(past.cut.house, id, &what, by))
}
