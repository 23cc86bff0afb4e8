//! A house: the ladder, the open stage, the drawing.

use crossterm::event::{KeyCode, KeyEvent};

use super::super::form::Form;
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{DayBookPage, HousePage, ITEM, Model, Page};
use super::super::msg::Effect;
use super::super::stores::Sum;
use super::super::update::{open_page, open_row, open_stores};
use super::{days, forms, holds, pieces};
use crate::build::entry::PointName;
use crate::build::house::{From, House, StageNow};
use crate::build::stage::PointKind;
use crate::build::stores;
use crate::build::tie_down::LEAVE;

/// Whether a key is the first of a reading: readings begin with a digit, a
/// sign or a fraction, and answers need no more than Enter.
#[must_use]
pub fn begins_a_reading(key: &KeyEvent) -> bool {
    matches!(key.code, KeyCode::Char(c) if c.is_ascii_digit() || "+-½¼¾⅛".contains(c))
}

/// Whether a key is the first of the answer that the chosen line asks for.
#[must_use]
pub fn answers(model: &Model, key: &KeyEvent) -> bool {
    matches!(key.code, KeyCode::Char('y' | 'Y' | 'n' | 'N')) && asks_yes_or_no(model)
}

fn asks_yes_or_no(model: &Model) -> bool {
    matches!(&model.page, Page::House(page) if page.asks_yes_or_no())
}

/// Does what a key asks for.
pub fn acted(model: &mut Model, act: Act) -> Vec<Effect> {
    let by = model.by.clone();
    match act {
        Act::Out => {
            let Page::House(page) = &model.page else { return vec![] };
            let id = page.id;
            return open_row(model, Some(id));
        }
        Act::Days => return days::open(model),
        Act::DayBook => {
            let Page::House(page) = &model.page else { return vec![] };
            let only = DayBookPage { house: Some(page.id), ..DayBookPage::default() };
            model.page = Page::DayBook(only);
            let remember = Effect::Remember(model.left());
            return vec![remember, model.reload()];
        }
        Act::Stores => {
            let Page::House(page) = &model.page else { return vec![] };
            let id = page.id;
            return open_stores(model, Some(id));
        }
        Act::LayRow => return lay_row(model, &by),
        Act::Yes if asks_yes_or_no(model) => return begin_reading_with(model, 'y'),
        Act::Sum => return open_sum(model),
        Act::Pieces => {
            let Page::House(page) = &model.page else { return vec![] };
            let id = page.id;
            return pieces::open(model, id);
        }
        Act::Holds => {
            let left = model.left();
            return holds::open(model, left);
        }
        Act::Back | Act::Forth | Act::First | Act::Last | Act::PageBack | Act::PageForth => {
            moved(model, act);
            return vec![];
        }
        Act::StageUp | Act::StageDown => {
            let Page::House(page) = &mut model.page else { return vec![] };
            let to = if act == Act::StageUp { page.stage + 1 } else { page.stage.saturating_sub(1) };
            page.open(to, None);
            return vec![Effect::Remember(model.left())];
        }
        Act::Fold => {
            fold(model);
            return vec![Effect::Remember(model.left())];
        }
        _ => {}
    }
    // The book may have failed to answer: it is asked again, and the page says
    // that it waits.
    let Some((house, page)) = open_page(model) else { return vec![model.reload()] };
    let Some(now) = house.stages.get(page.stage) else { return vec![] };
    let form = match act {
        Act::Enter if page.how => {
            fold(model);
            return vec![Effect::Remember(model.left())];
        }
        Act::Enter | Act::Again => reading(&house, page, act == Act::Again, &by),
        Act::Moved => Ok(Form::moved(&house, &peg(now, &page.line), &by)),
        Act::Tally => {
            let item = page.line.strip_prefix(ITEM).and_then(|i| i.parse().ok());
            Ok(Form::tally(house.id, &house.name, item, &page.trees, &by))
        }
        Act::Sign => Ok(Form::sign(&house, now.stage.id, now.stage.says, &now.against, &by)),
        Act::Hold => Ok(match house.held_at(model.now) {
            Some(_) => Form::resume(Some(&house), &by),
            None => Form::hold(Some(&house), &by),
        }),
        Act::TieDown | Act::Yes => {
            model.tell(LEAVE, Meaning::Caution);
            Ok(Form::tie_down(Some(&house), &house.made_fast_at(model.now), &by))
        }
        Act::Lost if house.heaps.values().all(|heap| heap.on_hand <= 0.0 && heap.used <= 0.0) => {
            Err("Nothing is on hand or built in here that could be lost.".to_owned())
        }
        Act::Lost => Ok(Form::lost(&house, &by)),
        Act::Brief => Ok(Form::brief(&house, &by)),
        Act::Strike => strike(page, &by),
        _ => return vec![],
    };
    match form {
        Ok(form) => model.form = Some(form),
        Err(why) => model.tell(why, Meaning::Hand),
    }
    vec![]
}

/// Opens the form that the first key of a reading is for, from the steps too.
pub fn begin_reading(model: &mut Model) -> Vec<Effect> {
    let mut todo = Vec::new();
    if matches!(&model.page, Page::House(page) if page.how) {
        todo.extend(acted(model, Act::Fold));
    }
    todo.extend(acted(model, Act::Enter));
    todo
}

/// The same, with the first letter of what a key does elsewhere too.
fn begin_reading_with(model: &mut Model, letter: char) -> Vec<Effect> {
    let todo = begin_reading(model);
    if let Some(form) = &mut model.form {
        form.typed(&KeyEvent::from(KeyCode::Char(letter)));
    }
    todo
}

/// Lays one more row on the chosen slope, and keeps it at once. Elsewhere the
/// sign begins a reading.
fn lay_row(model: &mut Model, by: &str) -> Vec<Effect> {
    let Some((house, page)) = open_page(model) else { return vec![model.reload()] };
    let Some(slope) = page.slope().map(str::to_owned) else {
        return begin_reading_with(model, '+');
    };
    model.form = Some(Form::laid(&house, &slope, by));
    forms::acted(model, Act::Enter)
}

/// Shows how the chosen item is worked out.
fn open_sum(model: &mut Model) -> Vec<Effect> {
    let Some((house, page)) = open_page(model) else { return vec![model.reload()] };
    match page.line.strip_prefix(ITEM).map(str::parse) {
        Some(Ok(item)) => {
            let title = format!("{item} at {}", house.name);
            model.sum =
                Some(Sum { title, lines: stores::sum(&house, item, model.now.date_naive()), from: 0 });
        }
        _ => model.tell("Choose an item below the points first; i shows its sum.", Meaning::Hand),
    }
    vec![]
}

/// The peg that is meant: the one that is to be moved, else the one to which
/// the chosen line was read from the mark; nothing where neither says.
fn peg(now: &StageNow, line: &str) -> String {
    let to_move = now.findings.set_out.as_ref().filter(|s| s.firm).and_then(|s| s.moves.first());
    let chosen = || line.strip_prefix('o').filter(|c| c.len() == 1).map(str::to_owned);
    to_move.map(|m| m.corner.name().to_owned()).or_else(chosen).unwrap_or_default()
}

/// Opens the form for the chosen line.
fn reading(house: &House, page: &HousePage, again: bool, by: &str) -> Result<Form, String> {
    let now = house.stages.get(page.stage).ok_or_else(|| "There is no such stage.".to_owned())?;
    if let Some(item) = page.line.strip_prefix(ITEM) {
        return Ok(Form::tally(house.id, &house.name, item.parse().ok(), &page.trees, by));
    }
    let point = now.point(&page.line).ok_or_else(|| "Choose a point first.".to_owned())?;
    if point.from == From::Derived {
        return Err(format!("The {} is worked out from the readings above; read those.", point.point.says));
    }
    let again = again && point.reading.is_some();
    let mut form = Form::reading(house, now.stage.id, &point.point.id, &point.point.says, again, by);
    if point.point.kind == PointKind::YesNo
        && let Some(field) = form.fields.first_mut()
    {
        field.words = vec!["yes".to_owned(), "no".to_owned()];
    }
    Ok(form)
}

fn strike(page: &HousePage, by: &str) -> Result<Form, String> {
    let chosen = page
        .house
        .as_ref()
        .and_then(|house| Some((house, house.stages.get(page.stage)?.point(&page.line)?)))
        .and_then(|(house, point)| Some((house, point, point.reading.as_ref()?)));
    let Some((house, point, reading)) = chosen else {
        return Err(
            "Nothing is read there to strike. Other entries are struck in the day book (d).".to_owned()
        );
    };
    let id = reading.ids.last().copied().ok_or_else(|| "Nothing is read there.".to_owned())?;
    let said = reading.said.last().map_or("", String::as_str);
    Ok(Form::strike(Some(house.id), vec![id], &format!("{}: {said}", point.point.says), by))
}

fn fold(model: &mut Model) {
    let Page::House(page) = &mut model.page else { return };
    page.how = !page.how;
    page.scroll = 0;
    if page.how {
        page.folded.remove(&page.stage);
    } else {
        page.folded.insert(page.stage);
    }
}

fn moved(model: &mut Model, act: Act) {
    let Page::House(page) = &mut model.page else { return };
    if page.how {
        page.scroll = act.leads(page.scroll, usize::MAX).unwrap_or(page.scroll);
        return;
    }
    let lines = page.lines();
    let to = act.leads(page.index(), lines.len().saturating_sub(1));
    if let Some(line) = to.and_then(|to| lines.get(to)) {
        page.line.clone_from(line);
    }
}

/// After a reading was kept: on to the next point that is read, the form open
/// again; at the last one the form closes.
pub fn on_to_the_next(model: &mut Model, kept_point: &str) {
    let by = model.by.clone();
    let Page::House(page) = &mut model.page else { return };
    let Some(house) = page.house.clone() else { return };
    let Some(now) = house.stages.get(page.stage) else { return };
    let again = house.read_again();
    let kept = PointName::new(now.stage.id, kept_point);
    if let Some(at) = again.iter().position(|p| p.point == kept) {
        match again.iter().skip(at + 1).find(|next| next.once_with.as_ref() != Some(&kept)) {
            Some(next) => {
                page.go_to(&next.point);
                model.form = reading(&house, page, false, &by).ok();
            }
            None => model.tell("Kept. All of it is read again: sign what is in doubt.", Meaning::True),
        }
        return;
    }
    let readable = |p: &&crate::build::house::PointNow| p.from != From::Derived;
    let after = now.points.iter().filter(readable).skip_while(|p| p.point.id != kept_point).nth(1);
    if let Some(next) = after {
        page.line.clone_from(&next.point.id);
        if next.reading.is_none() {
            model.form = reading(&house, page, false, &by).ok();
        }
    }
}
