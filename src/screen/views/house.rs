//! A house: the ladder at the left, the open stage in the middle, the drawing
//! at the right, what is told below.

use ratatui::layout::Rect;
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

use super::super::look::Meaning;
use super::super::model::{HousePage, ITEM, Model};
use super::super::parts::Drawing;
use super::super::parts::cells::wrap;
use super::super::pen::{Pen, row};
use super::{heading, ladder, stage, told};
use crate::build::heap::ItemNow;
use crate::build::house::{From, PointNow, StageNow, State};
use crate::build::roofing;
use crate::build::stage::{Goal, PointKind};
use crate::build::stores;
use crate::build::telling;
use crate::build::verdict::amount;
use crate::build::{House, Moment};
use crate::measure::{Metres, told as say};

/// The widest part of the drawing, in hundredths of the page.
const DRAWING: u16 = 32;
/// The lines at the foot: two on what is chosen, two on what is next.
const FOOT: u16 = 4;

/// Draws the page.
pub fn draw(model: &Model, page: &HousePage, area: Rect, pen: &mut Pen<'_>) {
    let Some(house) = &page.house else {
        heading("A house", "", area, pen);
        told(model, "Opening the house …", Rect { y: area.y + 2, height: 1, ..area }, pen);
        return;
    };
    let Some(now) = house.stages.get(page.stage) else { return };
    let held = match house.held_or_to_be(model.now) {
        Some(held) if held.is_on(model.now) => format!(", held: {}", held.cause),
        Some(held) => format!(", {}", held.told(model.now)),
        None => String::new(),
    };
    let state = format!("{} {}, {}{held}", now.stage.number, now.stage.says, now.state.word());
    // Where both are too long, the measures give way before the name does.
    let title = title(house);
    let fits = title.width() + state.width() + 4 <= usize::from(area.width);
    let title = if fits { title } else { title_in_short(house) };
    heading(&title, &state, area, pen);
    let next = next(house, page, now, model.now);
    let told_lines = wrap(&next, usize::from(area.width.saturating_sub(2))).len() as u16;
    let foot = if model.form.is_some() { 0 } else { (2 + told_lines.max(FOOT - 2)).min(area.height / 3) };
    let body = Rect { y: area.y + 1, height: area.height.saturating_sub(1 + foot), ..area };
    let drawing = if area.width >= 72 { (area.width * DRAWING / 100).max(24) } else { 0 };
    let left = Rect { width: ladder::WIDE.min(body.width), ..body };
    ladder::draw(house, page.stage, left, pen);
    let middle = Rect {
        x: body.x + left.width + 1,
        width: body.width.saturating_sub(left.width + 1 + drawing),
        ..body
    };
    rule(left.right(), body, pen);
    if page.how {
        stage::how(house, now, page.scroll, middle, pen);
    } else {
        stage::readings(house, now, &page.line, middle, pen);
    }
    if drawing > 0 {
        let right = Rect { x: middle.right() + 1, width: drawing - 1, ..body };
        rule(middle.right(), body, pen);
        (&Drawing::new(house, now)).render(right, pen.buf);
    }
    if foot > 0 {
        let under =
            Rect { x: area.x + 1, y: body.bottom(), width: area.width.saturating_sub(2), height: foot };
        at_the_foot(model, house, page, now, &next, under, pen);
    }
}

fn rule(x: u16, body: Rect, pen: &mut Pen<'_>) {
    for y in body.y..body.bottom() {
        pen.line(Rect::new(x, y, 1, 1), "│", Meaning::Quiet);
    }
}

fn title(house: &House) -> String {
    let body = &house.worked.brief.body;
    format!("{}, {}'s span {}", title_in_short(house), body.name(), say::metres(body.span().get()))
}

fn title_in_short(house: &House) -> String {
    let brief = &house.worked.brief;
    let spans = |m| telling::in_spans_where_neat(m, &brief.body);
    format!("{}   {} x {}", house.name, spans(brief.length_m), spans(brief.width_m))
}

/// Two lines on what is chosen, then what is next.
fn at_the_foot(
    model: &Model,
    house: &House,
    page: &HousePage,
    now: &StageNow,
    next: &str,
    area: Rect,
    pen: &mut Pen<'_>,
) {
    let chosen = if page.how {
        "Enter goes on to the readings; f folds this away and brings it back.".to_owned()
    } else if let Some(item) = page.line.strip_prefix(ITEM) {
        now.items.iter().find(|i| i.need.item.word() == item).map(of_item).unwrap_or_default()
    } else {
        now.point(&page.line).map(|p| of_point(house, p)).unwrap_or_default()
    };
    for (at, line) in wrap(&chosen, usize::from(area.width)).iter().take(2).enumerate() {
        pen.line(row(area, at as u16), line, Meaning::Plain);
    }
    let below = Rect { y: area.y + 2, height: area.height.saturating_sub(2), ..area };
    told(model, next, below, pen);
}

/// What is told of the stage and what is next.
fn next(house: &House, page: &HousePage, now: &StageNow, at: Moment) -> String {
    let past = house.past_permit.first().map_or_else(String::new, |past| {
        let day = past.happened.format("%-d %b");
        format!("! {}, {day}: {}; answer it in the stores (g). ", past.told(), past.why_told())
    });
    let next = format!("Next: {}", house.next_at(at));
    if let Some(held) = house.held_at(at) {
        let key = if page.asks_yes_or_no() { "Ctrl-Y" } else { "y" };
        let lacking = held.lacking().map(|told| format!(" {} ({key}).", told.trim_end_matches('.')));
        return format!("{past}{next}{}", lacking.unwrap_or_default());
    }
    if now.signed.is_some() {
        return format!("{past}{next}");
    }
    let mut told = past + &now.findings.told.join(" ");
    if now.state == State::Ready {
        told.push_str(" Ready: press s to sign.");
    }
    let told = if told.is_empty() { next } else { told.trim_start().to_owned() };
    std::iter::once(told).chain(roofing::told(house, now, at.date_naive())).collect::<Vec<_>>().join(" ")
}

/// All that is known of a point, in a sentence or two.
#[must_use]
pub fn of_point(house: &House, p: &PointNow) -> String {
    let mut parts = vec![format!("{}: {}", p.point.says, goal(house, p))];
    match (&p.reading, p.from) {
        (Some(r), _) => {
            let said: Vec<String> = r.said.iter().map(|s| telling::shown(s)).collect();
            let day = r.happened.format("%-d %b %H:%M");
            parts.push(format!("said {} by {}, {day}", said.join(" and "), telling::shown(&r.by)));
        }
        (None, From::Derived) => parts.push("worked out, not read".to_owned()),
        (None, From::Inferred) => parts.push("not read".to_owned()),
        (None, From::Reading) => parts.push("not read yet".to_owned()),
    }
    if p.value.is_some() {
        let why = p.why.as_ref().map(|w| format!(", {w}")).unwrap_or_default();
        parts.push(format!("{}{why}", p.verdict.word()));
    }
    parts.join("; ")
}

/// What a point should be, with its metres and tolerance.
#[must_use]
pub fn goal(house: &House, p: &PointNow) -> String {
    let body = &house.worked.brief.body;
    let plain = |text: String| text.trim_start_matches('+').to_owned();
    match p.point.goal {
        Goal::Yes => "should be yes".to_owned(),
        Goal::Told { .. } => "only told".to_owned(),
        Goal::NotLess { target } if p.point.kind == PointKind::Count => format!("not less than {target:.0}"),
        Goal::NotLess { target } => format!("not less than {}", say::metres(target)),
        Goal::Near { target, tolerance } => {
            let within = plain(amount(p.point.kind, tolerance));
            let spans = Metres::new(target).ok().filter(|_| p.point.kind == PointKind::Length);
            match spans.map(|m| say::in_spans(m, body)) {
                Some(spans) => format!("meant {spans} = {}, give or take {within}", say::metres(target)),
                None if target == 0.0 => format!("meant 0, give or take {within}"),
                None => format!("meant {}, give or take {within}", amount(p.point.kind, target)),
            }
        }
    }
}

/// How an item's need was worked out, and what became of it.
fn of_item(item: &ItemNow) -> String {
    let h = &item.heap;
    let told = |n| crate::build::accept::told(n);
    if h.is_overdrawn() {
        return format!("! {}.", stores::overdrawn(item.need.item, h));
    }
    let small = if item.too_small > 0.0 {
        format!("! {}. ", stores::too_small(item.too_small))
    } else {
        String::new()
    };
    format!(
        "{small}{}: {} (i: the whole sum). At the house: promised {}, on hand {}, used {}, spoiled {}, lost {}.",
        telling::of_item(item.need.item, item.need.count),
        item.need.how.first().map_or("", String::as_str),
        told(h.promised),
        told(h.on_hand),
        told(h.used),
        told(h.spoiled),
        told(h.lost)
    )
}
