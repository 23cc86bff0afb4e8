//! What a message makes of the screen, and what is to be done. Pure: no
//! clock, file or terminal, and any message in any state.

use std::sync::Arc;

use crossterm::event::{KeyEvent, KeyModifiers};

use super::form::Form;
use super::keys::{self, Act, Place};
use super::look::Meaning;
use super::model::{DayBookPage, DaysPage, HoldsPage, HousePage, Model, Page, PiecesPage, RowPage};
use super::msg::{Answer, Effect, Left, Msg, Question, Target};
use super::pages::{crews, daybook, days, forms, help, holds, house, pieces, row, stores, were};
use super::stores::{StoresPage, Sum};
use crate::build::Moment;

/// The most that is typed ahead while the book keeps something.
const MOST_WAITING: usize = 500;

/// Takes a message.
pub fn update(model: &mut Model, msg: Msg, now: Moment) -> Vec<Effect> {
    model.now = now;
    match msg {
        Msg::Key(_) | Msg::Pasted(_) if model.is_keeping() => {
            if model.waiting.len() < MOST_WAITING {
                model.waiting.push_back(msg);
            }
            vec![]
        }
        Msg::Key(key) => pressed(model, key),
        Msg::Pasted(text) => {
            if let Some(form) = &mut model.form {
                form.pasted(&text);
            }
            vec![]
        }
        Msg::Pressed(target) => touched(model, target),
        Msg::Wheel(by) => act(model, if by < 0 { Act::Back } else { Act::Forth }),
        Msg::Resized => vec![],
        Msg::ShownFrom(line) => {
            if let Some((_, from)) = &mut model.were {
                *from = line;
                return vec![];
            }
            match (&mut model.help, &mut model.sum, &mut model.page) {
                (Some(help), ..) => *help = line,
                (None, Some(sum), _) => sum.from = line,
                (None, None, Page::House(page)) => page.scroll = line,
                (None, None, Page::Holds(page)) => page.scroll = line,
                (None, None, Page::Days(page)) => {
                    if let Some(shown) = &mut page.crews {
                        shown.scroll = line;
                    }
                }
                _ => {}
            }
            vec![]
        }
        Msg::Told { asked, answer } => {
            // An answer to an older question is out of date.
            if asked == model.asked { told(model, answer) } else { vec![] }
        }
        Msg::Kept(Ok(kept)) => {
            let mut todo = forms::kept(model, kept);
            // One of these may be the Enter that keeps the next line: those
            // after it wait again.
            while !model.is_keeping()
                && let Some(typed) = model.waiting.pop_front()
            {
                todo.extend(update(model, typed, now));
            }
            todo
        }
        Msg::Kept(Err(refused)) => {
            // What was typed ahead was meant for the next line, not for this.
            model.waiting.clear();
            forms::refused(model, refused);
            vec![]
        }
        Msg::TakenIn(lines) => forms::taken_in(model, lines),
        Msg::Failed(why) => {
            model.tell(why, Meaning::Out);
            vec![]
        }
        Msg::NotKept(why) => {
            model.waiting.clear();
            model.form.take_if(|form| form.asks_who_alone());
            if let Some(form) = &mut model.form {
                form.keeping = false;
            }
            model.tell(why, Meaning::Out);
            vec![]
        }
        Msg::Planned(planned) => {
            days::planned(model, planned);
            // The stores tell by the plan on which day what is short bites.
            if matches!(model.page, Page::Stores(_)) {
                return vec![model.ask(model.stores_question())];
            }
            vec![]
        }
        Msg::Changed => vec![model.reload()],
        Msg::End => vec![Effect::Remember(model.left()), Effect::Leave { status: 0 }],
        Msg::Woken => vec![Effect::Redraw],
    }
}

fn pressed(model: &mut Model, key: KeyEvent) -> Vec<Effect> {
    let place = model.place();
    if let Some(act) = keys::act(place, &key) {
        model.notice = None;
        return self::act(model, act);
    }
    if matches!(place, Place::Form | Place::Brief) {
        model.notice = None;
        if let Some(form) = &mut model.form {
            form.typed(&key);
        }
        return vec![];
    }
    let plain = (key.modifiers - KeyModifiers::SHIFT).is_empty();
    let todo = match place {
        Place::House if plain && (house::begins_a_reading(&key) || house::answers(model, &key)) => {
            house::begin_reading(model)
        }
        Place::Stores if plain && house::begins_a_reading(&key) => stores::begin_tally(model),
        _ => return vec![],
    };
    if let Some(form) = &mut model.form {
        form.typed(&key);
    }
    todo
}

/// Does what a key asks for, where the model stands.
pub(super) fn act(model: &mut Model, act: Act) -> Vec<Effect> {
    match act {
        Act::Leave => return vec![Effect::Remember(model.left()), Effect::Leave { status: 0 }],
        Act::Suspend => return vec![Effect::Suspend],
        Act::Redraw => return vec![Effect::Redraw],
        Act::StrikeLast if model.form.is_none() && model.help.is_none() => {
            match &model.last_kept {
                Some(last) => {
                    let form = Form::strike(last.house, last.entries.clone(), &last.says, &model.by);
                    model.form = Some(form);
                }
                None => model.tell(
                    "Nothing was kept yet at this sitting; older entries are struck in the day book (d).",
                    Meaning::Hand,
                ),
            }
            return vec![];
        }
        Act::Help if model.help.is_none() && model.form.is_none() => {
            model.help = Some(0);
            return vec![];
        }
        _ => {}
    }
    match model.place() {
        Place::Help => help::acted(model, act),
        Place::Were => were::acted(model, act),
        Place::Form | Place::Brief => forms::acted(model, act),
        Place::Row => row::acted(model, act),
        Place::House => house::acted(model, act),
        Place::DayBook => daybook::acted(model, act),
        Place::Stores => stores::acted(model, act),
        Place::Days => days::acted(model, act),
        Place::Crews => crews::acted(model, act),
        Place::Pieces => pieces::acted(model, act),
        Place::Holds => holds::acted(model, act),
    }
}

fn touched(model: &mut Model, target: Target) -> Vec<Effect> {
    if model.were.is_some() && !matches!(target, Target::Key(_)) {
        return vec![];
    }
    if model.help.is_some() || model.sum.is_some() {
        (model.help, model.sum) = (None, None);
        return vec![];
    }
    match (target, &mut model.page) {
        (Target::Key(code), _) => {
            let key = KeyEvent::new(code, KeyModifiers::NONE);
            return update(model, Msg::Key(key), model.now);
        }
        (Target::Field(at), _) => {
            if let Some(form) = &mut model.form
                && at < form.fields.len()
            {
                form.focus = at;
            }
        }
        _ if model.form.is_some() => {}
        (Target::House(id), Page::Days(page)) => {
            if page.chosen == Some(id) {
                return act(model, Act::Enter);
            }
            page.chosen = Some(id);
        }
        (Target::House(id), Page::Row(page)) => {
            // A second press on what is chosen opens it.
            if page.chosen == Some(id) {
                return act(model, Act::Enter);
            }
            page.chosen = Some(id);
        }
        (Target::Stage(stage), Page::House(page)) => {
            page.open(stage, None);
            return vec![Effect::Remember(model.left())];
        }
        (Target::Line(at), Page::House(page)) => {
            let lines = page.lines();
            let Some(line) = lines.get(at).cloned() else { return vec![] };
            if page.line == line {
                return act(model, Act::Enter);
            }
            page.line = line;
        }
        (Target::Line(at), Page::Days(page)) => {
            if let Some(shown) = &mut page.crews {
                if shown.chosen == at {
                    return act(model, Act::Enter);
                }
                shown.chosen = at;
            }
        }
        (Target::Line(at), Page::Stores(page)) => {
            if page.index() == at {
                return act(model, Act::Enter);
            }
            page.chosen = page.lines().get(at).copied();
        }
        (Target::Line(at), Page::Pieces(page)) => {
            if page.chosen == at {
                return act(model, Act::Enter);
            }
            page.chosen = at;
        }
        (Target::Entry(id), Page::DayBook(page)) => page.chosen = Some(id),
        _ => {}
    }
    vec![]
}

fn told(model: &mut Model, answer: Answer) -> Vec<Effect> {
    match (answer, &mut model.page) {
        (Answer::Left { left, were }, _) => {
            model.were = were.map(|were| (were, 0));
            return open_where_left(model, left);
        }
        (Answer::Row { lines, drawn, holds, tied }, Page::Row(page)) => {
            (page.holds, page.tied) = (holds, tied);
            page.lines = lines;
            page.drawn = drawn;
            page.loaded = true;
            let known = page.chosen.is_some_and(|id| page.lines.iter().any(|l| l.id == id));
            if !known {
                page.chosen = page.lines.first().map(|l| l.id);
            }
            let waiting = page.waiting.take();
            let mut todo = waiting.map(|act| row::acted(model, act)).unwrap_or_default();
            if std::mem::take(&mut model.plan_wanted) {
                todo.push(Effect::Plan(model.now));
            }
            return todo;
        }
        (Answer::House { house, houses, trees }, Page::House(page)) if house.id == page.id => {
            (page.houses, page.trees) = (houses, trees);
            page.take(house);
        }
        (Answer::Stores { rows, ledgers, houses }, Page::Stores(page)) => {
            (page.rows, page.ledgers, page.houses) = (rows, ledgers, houses);
            (page.today, page.loaded) = (model.now.date_naive(), true);
            if std::mem::take(&mut model.plan_wanted) {
                return vec![Effect::Plan(model.now)];
            }
        }
        (Answer::Sum { title, lines }, _) => model.sum = Some(Sum { title, lines, from: 0 }),
        (Answer::Pieces(told), Page::Pieces(page)) if told.house.id == page.house => page.take(told),
        (Answer::House { house, .. }, Page::Holds(page)) if house.id == page.id => page.house = Some(house),
        (Answer::DayBook { lines, more, houses, older }, Page::DayBook(page)) => {
            daybook::take(page, lines, more, houses, older);
        }
        _ => {}
    }
    vec![]
}

fn open_where_left(model: &mut Model, left: Option<Left>) -> Vec<Effect> {
    model.opened = true;
    let left = left.unwrap_or_default();
    model.page = match (left.page.as_str(), left.house) {
        ("house", Some(id)) => Page::House(HousePage::new(id, Some(left))),
        ("stores", from) => Page::Stores(StoresPage::new(from)),
        ("pieces", Some(id)) => Page::Pieces(PiecesPage::new(id)),
        ("holds", Some(id)) => Page::Holds(HoldsPage { id, house: None, gust_m_s: None, scroll: 0, left }),
        ("day book", house) => Page::DayBook(DayBookPage { house, ..DayBookPage::default() }),
        ("days", chosen) => Page::Days(DaysPage { chosen, ..DaysPage::default() }),
        (_, chosen) => Page::Row(RowPage { chosen, ..RowPage::default() }),
    };
    vec![model.reload()]
}

/// Opens a house.
pub(super) fn open_house(model: &mut Model, id: uuid::Uuid) -> Vec<Effect> {
    model.page = Page::House(HousePage::new(id, None));
    let remember = Effect::Remember(model.left());
    vec![remember, model.ask(Question::House(id))]
}

/// Goes back to the row, with a house chosen.
pub(super) fn open_row(model: &mut Model, chosen: Option<uuid::Uuid>) -> Vec<Effect> {
    model.page = Page::Row(RowPage { chosen, ..RowPage::default() });
    let remember = Effect::Remember(model.left());
    vec![remember, model.reload()]
}

/// Opens the stores, from a house or from the row.
pub(super) fn open_stores(model: &mut Model, from: Option<uuid::Uuid>) -> Vec<Effect> {
    model.page = Page::Stores(StoresPage::new(from));
    let remember = Effect::Remember(model.left());
    vec![remember, model.reload()]
}

/// A house with its page, where one is open and told.
pub(super) fn open_page(model: &Model) -> Option<(Arc<crate::build::House>, &HousePage)> {
    match &model.page {
        Page::House(page) => page.house.clone().map(|house| (house, page)),
        _ => None,
    }
}
