//! The days: what keys do, and what becomes of a plan.

use std::sync::Arc;

use uuid::Uuid;

use super::super::form::{Form, FormKind};
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{DayBookPage, DaysPage, Model, Page};
use super::super::msg::Effect;
use super::super::update::{open_house, open_row};
use super::crews;
use crate::book::DaysTold;
use crate::build::days::{Again, Evening, Site, elsewhere, same};

/// How far the calendar can be turned on, weeks.
const FARTHEST: u16 = 520;

/// Opens the days from the row or a house.
pub fn open(model: &mut Model) -> Vec<Effect> {
    let (from, chosen) = match &model.page {
        Page::House(page) => (Some(page.id), Some(page.id)),
        Page::Row(page) => (None, page.chosen),
        _ => (None, None),
    };
    model.page = Page::Days(DaysPage { from, chosen, ..DaysPage::default() });
    let remember = Effect::Remember(model.left());
    vec![remember, model.reload()]
}

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    let Page::Days(page) = &mut model.page else { return vec![] };
    let houses: Vec<Uuid> =
        model.planned.iter().flat_map(|told| &told.now.houses).map(|house| house.id).collect();
    let last = houses.len().saturating_sub(1);
    let at = page.chosen.and_then(|id| houses.iter().position(|known| *known == id)).unwrap_or(0);
    let to = match act {
        Act::Back | Act::Forth | Act::PageBack | Act::PageForth | Act::First | Act::Last => {
            act.leads(at, last).unwrap_or(at)
        }
        Act::WeekBack => {
            page.week = page.week.saturating_sub(1);
            return vec![];
        }
        Act::WeekForth => {
            page.week = (page.week + 1).min(FARTHEST);
            return vec![];
        }
        Act::Enter => return houses.get(at).map(|id| open_house(model, *id)).unwrap_or_default(),
        Act::Out => {
            let (from, chosen) = (page.from, page.chosen);
            return match from {
                Some(id) => open_house(model, id),
                None => open_row(model, chosen),
            };
        }
        Act::DayBook => {
            model.page = Page::DayBook(DayBookPage::default());
            let remember = Effect::Remember(model.left());
            return vec![remember, model.reload()];
        }
        Act::CrewDay => {
            tell_a_day(model);
            return vec![];
        }
        Act::Crews => {
            crews::open(model);
            return vec![];
        }
        Act::Crew => {
            model.form = Some(Form::crew(&by));
            return vec![];
        }
        Act::Closed => {
            model.form = Some(Form::closed(&by));
            return vec![];
        }
        Act::Weather => {
            model.form = Some(Form::weather(model.now.date_naive(), &by));
            return vec![];
        }
        _ => return vec![],
    };
    page.chosen = houses.get(to).copied();
    vec![]
}

/// Opens the form of a crew's day: of the first crew whose day is not told
/// yet, filled in from the plan.
fn tell_a_day(model: &mut Model) {
    let Page::Days(page) = &model.page else { return };
    let Some(planned) = model.planned.clone().filter(|told| !told.now.houses.is_empty()) else {
        model.tell("There is no house to have worked at yet.", Meaning::Hand);
        return;
    };
    let days = &planned.now;
    let is_told = |at: usize| {
        days.crews.get(at).is_none_or(|now| {
            page.told.iter().any(|name| same(name, &now.crew.name))
                || now.seen.as_ref().is_some_and(|(_, _, day)| *day == days.today)
        })
    };
    let next = (0..days.crews.len()).find(|at| !is_told(*at)).unwrap_or(0);
    model.form = Some(Form::crew_day(days, next, page.chosen, &model.by));
}

/// A crew's day was kept: on to the next crew whose day is not told.
pub fn day_kept(model: &mut Model, form: &Form, again: Option<&Again>) {
    let mut told = vec![format!("Kept: {}.", form.in_words())];
    told.extend(again.map(|again| format!("{}.", again.told())));
    told.extend(worth_telling(model, form));
    if let Page::Days(page) = &mut model.page {
        page.told.push(form.text("crew").trim().to_owned());
        let known = page.told.clone();
        let left = model.planned.as_ref().is_some_and(|planned| {
            let days = &planned.now;
            days.crews.iter().any(|now| {
                !known.iter().any(|name| same(name, &now.crew.name))
                    && now.seen.as_ref().is_none_or(|(_, _, day)| *day != days.today)
            })
        });
        if left {
            tell_a_day(model);
        }
    }
    model.tell(told.join(" "), Meaning::True);
}

/// What is worth telling of a crew's day that was kept.
fn worth_telling(model: &Model, form: &Form) -> Vec<String> {
    let house = house_of(model, form);
    let Some(planned) = &model.planned else { return vec![] };
    let Some(house) = planned.now.houses.iter().find(|known| Some(known.id) == house) else { return vec![] };
    let Some(day) = form.told_day() else { return vec![] };
    let evening = Evening::with(&planned.village, &planned.now.rates);
    let mut says = evening.says(&day, &Site::of(house, planned.now.today));
    let too = elsewhere(&day, &house.name);
    says.extend(too.map(|to| format!("Tell the house too: {}.", to.keys)));
    says
}

/// The house that a form of a crew's day names.
pub fn house_of(model: &Model, form: &Form) -> Option<Uuid> {
    if form.kind != FormKind::CrewDay {
        return form.about();
    }
    let name = form.text("house").trim();
    let houses = model.planned.iter().flat_map(|told| &told.now.houses);
    houses.filter(|house| same(&house.name, name)).map(|house| house.id).next()
}

/// Takes in a plan, or why there is none.
pub fn planned(model: &mut Model, planned: Result<Arc<DaysTold>, String>) {
    match planned {
        Ok(told) => {
            if let Page::Days(page) = &mut model.page
                && !page.chosen.is_some_and(|id| told.now.houses.iter().any(|house| house.id == id))
            {
                page.chosen = told.now.houses.first().map(|house| house.id);
            }
            model.planned = Some(told);
        }
        Err(why) => {
            model.planned = None;
            model.tell(why, Meaning::Out);
        }
    }
}
