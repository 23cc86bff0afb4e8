//! What keys do in a form, and what becomes of it when the book has answered.

use std::path::PathBuf;

use uuid::Uuid;

use super::super::form::{Form, FormKind};
use super::super::keys::Act;
use super::super::look::Meaning;
use super::super::model::{LastKept, Model, Page, RowPage, Seek};
use super::super::msg::Effect;
use super::super::update::open_house;
use super::{days, holds, house};
use crate::book::{HouseLine, Kept};
use crate::build::accept::Refused;
use crate::build::entry::{How, Item, TieDown};
use crate::build::field;
use crate::build::held;
use crate::build::holds::weak_in_short;
use crate::build::permit::unpermitted;
use crate::build::storm::is_storm;
use crate::build::tie_down::LEAVE;

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
        Act::PageBack | Act::PageForth => {
            let last = form.fields.len().saturating_sub(1);
            form.focus = act.leads(form.focus, last).unwrap_or(form.focus);
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
    if form.kind == FormKind::CrewDay && days::house_of(model, form).is_none() {
        let why = format!("no house is called \"{}\"", form.text("house").trim());
        if let Some(form) = &mut model.form {
            form.refuse(vec![Refused { field: "house", why }]);
        }
        return vec![];
    }
    if form.kind == FormKind::Gust {
        return gust(model);
    }
    if form.kind == FormKind::TakeIn {
        return take_in(model);
    }
    let (house, by, at) = (days::house_of(model, form), form.by(), model.now);
    let houses = match &model.page {
        Page::House(page) => page.houses.as_slice(),
        Page::Stores(page) => page.houses.as_slice(),
        Page::Pieces(page) => page.told.as_ref().map(|told| told.houses.as_slice()).unwrap_or_default(),
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

/// Takes the gust that is to be tried.
fn gust(model: &mut Model) -> Vec<Effect> {
    let Some(form) = &mut model.form else { return vec![] };
    let said = form.text("gust").trim();
    let read = if said.is_empty() { None } else { field::by_id("gust").map(|f| f.read(said, None)) };
    match read.transpose() {
        Ok(gust_m_s) => {
            model.form = None;
            holds::try_gust(model, gust_m_s);
        }
        Err(why) => form.refuse(vec![Refused { field: "gust", why }]),
    }
    vec![]
}

fn take_in(model: &mut Model) -> Vec<Effect> {
    let Some(form) = &mut model.form else { return vec![] };
    let other = PathBuf::from(form.text("other").trim());
    if other.as_os_str().is_empty() {
        form.refuse(vec![Refused { field: "other", why: "name the other book's file".to_owned() }]);
        return vec![];
    }
    form.keeping = true;
    vec![Effect::TakeIn { other }]
}

/// The book has taken in another.
pub fn taken_in(model: &mut Model, lines: Vec<String>) -> Vec<Effect> {
    model.form = Some(Form::taken_in(lines));
    vec![model.reload()]
}

/// The book kept it.
pub fn kept(model: &mut Model, kept: Kept) -> Vec<Effect> {
    let Some(form) = model.form.take() else { return vec![model.reload()] };
    model.last_kept = match form.kind {
        FormKind::Strike { .. } => None,
        _ => Some(LastKept {
            entries: std::iter::once(kept.entry).chain(kept.with).collect(),
            house: form.house,
            says: form.in_words(),
        }),
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
        FormKind::Strike { entries } => {
            let text = match entries.len() {
                1 => "Struck. It stays readable in the day book.".to_owned(),
                n => format!("Struck, the {n} entries of it; they stay readable in the day book."),
            };
            model.tell(text, Meaning::True);
        }
        FormKind::Sign { .. } => model.tell("Signed.", Meaning::True),
        FormKind::Moved => {
            if let Page::House(page) = &mut model.page {
                page.seek = Some(Seek::Unread);
            }
            model.tell("Kept. Read to that peg again.", Meaning::True);
        }
        FormKind::Permit => model.tell("Kept: cuts of that tree count against it now.", Meaning::True),
        FormKind::Answer { .. } => model.tell("Answered. It stands out no more.", Meaning::True),
        FormKind::Laid { slope } => {
            let text =
                format!("Kept: one more row on the {slope} slope, its panels used. u takes both back.");
            model.tell(text, Meaning::True);
        }
        FormKind::Tally { trees } => {
            let but = kept.small.map(|small| small.told()).or(kept.left_over);
            let meaning = if but.is_some() { Meaning::Hand } else { Meaning::True };
            let told = match but {
                Some(but) => format!("Kept, but {but}."),
                None => format!("Kept: {}.", tallied(model, &form)),
            };
            match against_no_permit(&form, trees) {
                Some(why) => model.tell(format!("{told} ! {why}."), Meaning::Caution),
                None => model.tell(format!("{told}{}", held(model)), meaning),
            }
        }
        FormKind::Hold if is_storm(form.text("cause")) => {
            model.tell(format!("Held. {LEAVE}"), Meaning::Caution);
            model.form = Some(tie_down(model, form.house));
        }
        FormKind::Poles | FormKind::CutUp => model.tell(format!("Kept: {}.", form.in_words()), Meaning::True),
        FormKind::Hold => model.tell("Held. Nothing is asked until it is resumed.", Meaning::True),
        FormKind::Resume => {
            let lost = if form.house.is_some() { " z tells all that was lost." } else { "" };
            if let Page::House(page) = &mut model.page {
                page.seek = Some(Seek::Again);
            }
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
        FormKind::Brief => brief_kept(model, &form),
        FormKind::CrewDay => days::day_kept(model, &form, kept.again.as_ref()),
        FormKind::Crew | FormKind::CrewEnd { .. } | FormKind::Closed | FormKind::Weather => {
            model.tell(format!("Kept: {}.", form.in_words()), Meaning::True);
        }
        FormKind::Pull => model.tell("Kept. What it proves stands below.", Meaning::True),
        FormKind::Wood => model.tell("Kept: the wood can be named in a brief.", Meaning::True),
        FormKind::Gust | FormKind::Find | FormKind::TakeIn | FormKind::TakenIn { .. } => {}
    }
    vec![model.reload(), Effect::Remember(model.left())]
}

/// Tells what of the brief was said anew, and whether a pole is too weak now.
fn brief_kept(model: &mut Model, form: &Form) {
    let Some(house) = model.house().cloned() else { return };
    let anew = form.said_anew(&house);
    let told = match anew.as_slice() {
        [first, second, more @ ..] if !more.is_empty() => {
            format!("{first}, {second} and {} more", more.len())
        }
        few => few.join(", "),
    };
    let weak = form.worked(Some(&house), model.woods()).ok().as_ref().and_then(weak_in_short);
    let more = if matches!(model.page, Page::Holds(_)) { "stands below" } else { "w tells more" };
    match weak {
        Some(weak) => model.tell(format!("Kept: {told}. {weak} ({more})."), Meaning::Caution),
        None => model.tell(format!("Kept: {told}."), Meaning::True),
    }
}

/// What is asked once the work was stopped for a storm, with what was answered
/// before.
fn tie_down(model: &Model, house: Option<Uuid>) -> Form {
    let of_all = |page: &RowPage| held::made_fast_at(&page.holds, &page.tied, model.now);
    match (model.house().filter(|open| Some(open.id) == house), &model.page) {
        (Some(open), _) => Form::tie_down(Some(open), &open.made_fast_at(model.now), &model.by),
        (None, Page::Row(page)) => Form::tie_down(None, &of_all(page), &model.by),
        (None, _) => Form::tie_down(None, &TieDown::default(), &model.by),
    }
}

/// What was tallied, and where: `45 pegs delivered at Sister Oru's`.
fn tallied(model: &Model, form: &Form) -> String {
    let (what, how) = (form.counted(), form.text("as").trim());
    match (&model.page, form.house) {
        (Page::Stores(page), Some(house)) => format!("{what} {how} at {}", page.name(house)),
        _ => format!("{what} {how}"),
    }
}

/// That a cut counts against no permit though there are permits.
fn against_no_permit(form: &Form, trees: &[String]) -> Option<String> {
    let item = Item::said(form.text("item")).ok()?;
    let cut = item.is_pole() && form.text("as").parse() == Ok(How::Cut);
    if cut { unpermitted(form.text("tree"), trees) } else { None }
}

/// That the open house is held, after what was written of it all the same.
fn held(model: &Model) -> String {
    let house = model.house();
    let held = house.and_then(|house| Some((house, house.held_at(model.now)?)));
    held.map_or_else(String::new, |(house, held)| format!(" {} is {}.", house.name, held.told(model.now)))
}

/// The book would not keep it; the form keeps what was typed.
pub fn refused(model: &mut Model, refused: Vec<Refused>) {
    if refused.iter().all(|r| r.field != "by") {
        model.form.take_if(|form| form.asks_who_alone());
    }
    match &mut model.form {
        Some(form) => form.refuse(refused),
        None => {
            if let Some(first) = refused.first() {
                model.tell(first.why.clone(), Meaning::Out);
            }
        }
    }
}
