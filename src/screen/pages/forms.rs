//! What keys do in a form, and what becomes of it when the book has answered.

use super::super::form::{Form, FormKind};
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{Model, Page};
use super::super::msg::Effect;
use super::super::update::open_house;
use super::house;
use crate::book::{HouseLine, Kept};
use crate::build::accept::Refused;
use crate::build::entry::TieDown;
use crate::build::tie_down::{LEAVE, is_storm};

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let Some(form) = &mut model.form else { return vec![] };
    match act {
        Act::Out => {
            model.form = None;
            vec![]
        }
        Act::NextField => {
            form.step(1);
            vec![]
        }
        Act::FieldBefore => {
            form.step(-1);
            vec![]
        }
        Act::NextWord => {
            form.next_word();
            vec![]
        }
        Act::Enter => entered(model),
        _ => vec![],
    }
}

fn entered(model: &mut Model) -> Vec<Effect> {
    let Some(form) = &model.form else { return vec![] };
    if form.kind == FormKind::Find {
        let text = form.text("text").trim().to_owned();
        model.form = None;
        if let Page::DayBook(page) = &mut model.page {
            page.text = text;
            page.loaded = false;
            page.lines.clear();
        }
        return vec![model.reload()];
    }
    let (house, by, at) = (form.house, form.by(), model.now);
    let houses = match &model.page {
        Page::House(page) => page.houses.as_slice(),
        _ => &[],
    };
    let find = |name: &str| {
        let same = |h: &&HouseLine| h.name.to_lowercase() == name.to_lowercase();
        houses.iter().find(same).map(|h| h.id)
    };
    match form.draft(find) {
        Ok(Some(draft)) => {
            if !by.is_empty() {
                model.by.clone_from(&by);
            }
            if let Some(form) = &mut model.form {
                form.keeping = true;
            }
            vec![Effect::Keep { house, draft, by, at }]
        }
        Ok(None) => vec![],
        Err(refused) => {
            if let Some(form) = &mut model.form {
                form.refuse(vec![refused]);
            }
            vec![]
        }
    }
}

/// The book kept it.
pub fn kept(model: &mut Model, kept: Kept) -> Vec<Effect> {
    let Some(form) = model.form.take() else { return vec![model.reload()] };
    model.last_kept = match form.kind {
        FormKind::Strike { .. } => None,
        _ => Some((kept.entry, form.house, form.in_words())),
    };
    match &form.kind {
        FormKind::Reading { point, .. } => {
            let held = held(model);
            model.tell(format!("Kept: {} {}.{held}", form.title, form.text("value").trim()), Meaning::True);
            let point = point.split_once('/').map_or(point.as_str(), |(_, p)| p).to_owned();
            house::on_to_the_next(model, &point);
        }
        FormKind::Start => {
            model.tell("Kept: the house is started.", Meaning::True);
            if let Some(id) = kept.house {
                return open_house(model, id);
            }
        }
        FormKind::Strike { .. } => model.tell("Struck. It stays readable in the day book.", Meaning::True),
        FormKind::Sign { .. } => model.tell("Signed.", Meaning::True),
        FormKind::Moved => {
            if let Page::House(page) = &mut model.page {
                page.seek = true;
            }
            model.tell("Kept. Read to that peg again.", Meaning::True);
        }
        FormKind::Tally => {
            let (count, item, how) =
                (form.text("count").trim(), form.text("item").trim(), form.text("as").trim());
            let held = held(model);
            model.tell(format!("Kept: {count} {item} {how}.{held}"), Meaning::True);
        }
        FormKind::Hold if is_storm(form.text("cause")) => {
            model.tell(format!("Held. {LEAVE}"), Meaning::Caution);
            let house = model.house().filter(|house| Some(house.id) == form.house);
            let tied = TieDown::default();
            model.form = Some(Form::tie_down(house.map(AsRef::as_ref), &tied, &model.by));
        }
        FormKind::Hold => model.tell("Held. Nothing is asked until it is resumed.", Meaning::True),
        FormKind::Resume => {
            let lost = if form.house.is_some() { " z tells all that was lost." } else { "" };
            model.tell(format!("Resumed.{lost}"), Meaning::True);
        }
        FormKind::TieDown => model.tell("Kept: what is made fast. Leave in time.", Meaning::True),
        FormKind::Lost => {
            let told = form.in_words();
            model.tell(
                format!("Kept: {told}. What was built in is asked for again.{}", held(model)),
                Meaning::True,
            );
        }
        FormKind::Brief => model.tell("Kept: the brief is said anew.", Meaning::True),
        FormKind::Find => {}
    }
    vec![model.reload(), Effect::Remember(model.left())]
}

/// That the open house is held, after what was written of it all the same.
fn held(model: &Model) -> String {
    let house = model.house();
    let held = house.and_then(|house| Some((house, house.held_at(model.now)?)));
    held.map_or_else(String::new, |(house, held)| format!(" {} is {}.", house.name, held.told(model.now)))
}

/// The book would not keep it; the form keeps what was typed.
pub fn refused(model: &mut Model, refused: Vec<Refused>) {
    match &mut model.form {
        Some(form) => form.refuse(refused),
        None => {
            if let Some(first) = refused.first() {
                model.tell(first.to_string(), Meaning::Out);
            }
        }
    }
}
