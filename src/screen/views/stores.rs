//! The stores: every item over all houses, then the permits.

use chrono::NaiveDate;
use ratatui::layout::Rect;

use super::super::look::{Meaning, style};
use super::super::model::Model;
use super::super::msg::Target;
use super::super::parts::cells::{fit, fit_right, wrap};
use super::super::pen::{Pen, row};
use super::super::stores::{Line, StoresPage, Sum};
use super::{heading, told};
use crate::build::accept::told as count;
use crate::build::days::telling::day as day_of;
use crate::build::entry::Item;
use crate::build::heap::Heap;
use crate::build::kinds::LeftOver;
use crate::build::next::day;
use crate::build::stage::STAGES;
use crate::build::stores::{AtHouse, Row, overdrawn, to_spare, too_small};
use crate::build::telling::of_item;

/// The lines at the foot, on what is chosen.
const FOOT: u16 = 4;
/// How wide a number's column is, cells.
const NUMBER: usize = 8;
/// How wide the column of the day is, cells.
const BY: usize = 11;

/// Draws the page.
pub fn draw(model: &Model, page: &StoresPage, area: Rect, pen: &mut Pen<'_>) {
    let today = page.today.format("%a %-d %b %Y");
    let shown = if page.this_week { "must come this week" } else { "all items" };
    heading("The stores", &format!("{shown}   {today}"), area, pen);
    if !page.loaded {
        pen.line(row(area, 2), " Counting the stores …", Meaning::Plain);
        return;
    }
    let lines = page.lines();
    let foot = if model.form.is_some() { 0 } else { FOOT.min(area.height / 3) };
    let list = Rect { y: area.y + 2, height: area.height.saturating_sub(2 + foot), ..area };
    let cells = usize::from(list.width);
    pen.line(row(area, 1), &head(cells), Meaning::Title);
    let mut drawn: Vec<(String, Meaning, Option<usize>)> = Vec::new();
    let is_item = |line: &Line| matches!(line, Line::Item(_) | Line::House(..));
    if !lines.first().is_some_and(is_item) {
        let text =
            if page.this_week { " Nothing must come this week." } else { " Nothing is in the stores." };
        drawn.push((text.to_owned(), Meaning::Plain, None));
    }
    let mut permits = false;
    for (at, line) in lines.iter().enumerate() {
        if !is_item(line) && !permits {
            permits = true;
            drawn.push((String::new(), Meaning::Plain, None));
            drawn.push((permit_head(cells), Meaning::Title, None));
        }
        let (text, meaning) = one_line(page, *line, cells);
        drawn.push((text, meaning, Some(at)));
    }
    scrolled(&drawn, page.index(), list, pen);
    let under = Rect {
        x: area.x + 1,
        y: list.bottom(),
        width: area.width.saturating_sub(2),
        height: area.bottom() - list.bottom(),
    };
    if model.notice.is_some() {
        told(model, "", under, pen);
        return;
    }
    for (at, text) in wrap(&chosen(page), usize::from(under.width)).iter().enumerate() {
        pen.line(row(under, at as u16), text, Meaning::Plain);
    }
}

/// Draws lines so that the chosen one is in sight, with one more below it.
fn scrolled(lines: &[(String, Meaning, Option<usize>)], chosen: usize, area: Rect, pen: &mut Pen<'_>) {
    let room = usize::from(area.height);
    let at = lines.iter().position(|(.., place)| *place == Some(chosen)).unwrap_or(0);
    let from = (at + 1).saturating_sub(room.saturating_sub(1)).min(lines.len().saturating_sub(room));
    for (place, (text, meaning, line)) in lines.iter().skip(from).take(room).enumerate() {
        let here = row(area, place as u16);
        let look = if *line == Some(chosen) {
            style(*meaning).patch(style(Meaning::Chosen))
        } else {
            style(*meaning)
        };
        pen.styled(here, text, look);
        if let Some(line) = line {
            pen.target(here, Target::Line(*line));
        }
    }
}

/// Whether there is room for a column each of what spoiled and what was lost.
const fn is_wide(cells: usize) -> bool {
    cells >= 100
}

fn head(cells: usize) -> String {
    let gone: &[&str] = if is_wide(cells) { &["spoiled", "lost"] } else { &[] };
    let numbers = [&["need", "used"], gone, &["ahead", "on hand", "to come", "short"]].concat();
    columns("Item", &numbers.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>(), "by", cells)
}

fn columns(name: &str, numbers: &[String], by: &str, cells: usize) -> String {
    let right = numbers.len() * NUMBER + BY + 1;
    let numbers: String = numbers.iter().map(|n| fit_right(n, NUMBER)).collect();
    format!(" {}{numbers}{}", fit(name, cells.saturating_sub(right + 1)), fit_right(by, BY))
}

/// A line of counts: what is needed in all and yet, what became of the item,
/// what there is and will be of it.
fn counted(name: &str, need: f64, left: f64, heap: &Heap, short: f64, by: &str, cells: usize) -> String {
    let numbers = if is_wide(cells) {
        vec![need, heap.used, heap.spoiled, heap.lost, left, heap.on_hand, heap.promised]
    } else {
        vec![need, heap.used, left, heap.on_hand, heap.promised]
    };
    let mut numbers: Vec<String> = numbers.into_iter().map(count).collect();
    numbers.push(if short > 0.0 { count(short) } else { "-".to_owned() });
    columns(name, &numbers, by, cells)
}

fn one_line(page: &StoresPage, line: Line, cells: usize) -> (String, Meaning) {
    match line {
        Line::Item(item) => page.row(item).map(|row| item_line(page, row, cells)),
        Line::House(item, house) => {
            page.at_house(item, house).map(|(_, at)| house_line(at, page.today, cells))
        }
        Line::Permit(id) => page.permit(id).map(|now| {
            let permit = &now.leave.permit;
            let is_over = permit.until < page.today;
            let until = format!("{}{}", permit.until, if is_over { ", over" } else { "" });
            let numbers = [permit.count, now.cut, now.left()].map(|n| n.to_string());
            let meaning = if is_over { Meaning::Quiet } else { Meaning::Plain };
            (permit_columns(&permit.tree, &numbers, &until, &permit.place, cells), meaning)
        }),
        Line::Past(id) => page.past(id).map(|(tree, past)| {
            let cut = &past.cut;
            let state = match (&cut.answer, &cut.why) {
                (Some(_), _) => "answered",
                (None, Some(_)) => "not answered",
                (None, None) => "its permit is gone",
            };
            let what = of_item(cut.item, f64::from(cut.count));
            let text =
                format!("   ! {what} of {tree}, {}, {}: {state}", past.uncovered_told(), day(cut.happened));
            (text, if cut.answer.is_some() { Meaning::Quiet } else { Meaning::Out })
        }),
    }
    .unwrap_or((String::new(), Meaning::Plain))
}

fn item_line(page: &StoresPage, row: &Row, cells: usize) -> (String, Meaning) {
    let sign = if page.open.contains(&row.item) { "-" } else { "+" };
    let unit = row.item.unit();
    let name = row.item.word().replace('-', " ");
    let name = if unit.is_empty() { format!("{sign} {name}") } else { format!("{sign} {name}, {unit}") };
    let soon = row.bites_within_a_week(page.today);
    let by = row.bites.map(|day| told_day(day, page.today, soon)).unwrap_or_default();
    let overdrawn = row.houses.iter().any(|at| at.heap.is_overdrawn());
    let name = if overdrawn { format!("{name} x") } else { name };
    let text = counted(&name, row.need, row.left, &row.heap, row.short, &by, cells);
    (text, meaning(soon, overdrawn))
}

/// The day on which something is lacked, with a mark where that is soon, and
/// with the year where it is not and the year is another: a week needs none.
fn told_day(by: NaiveDate, today: NaiveDate, soon: bool) -> String {
    if soon { format!("! {}", by.format("%-d %b")) } else { day_of(by, today) }
}

fn house_line(at: &AtHouse, today: NaiveDate, cells: usize) -> (String, Meaning) {
    let soon = at.bites_within_a_week(today);
    let by = match at.bites {
        Some(day) => told_day(day, today, soon),
        None if at.lacks > 0.0 => "held".to_owned(),
        None => String::new(),
    };
    let mark = if at.heap.is_overdrawn() { " x" } else { "" };
    let text = counted(&format!("    {}{mark}", at.name), at.need, at.left, &at.heap, at.short, &by, cells);
    (text, meaning(soon, at.heap.is_overdrawn()))
}

const fn meaning(soon: bool, overdrawn: bool) -> Meaning {
    if overdrawn {
        Meaning::Out
    } else if soon {
        Meaning::Hand
    } else {
        Meaning::Plain
    }
}

fn permit_head(cells: usize) -> String {
    permit_columns("Leave to cut", &["given", "cut", "left"].map(str::to_owned), "until", "where", cells)
}

fn permit_columns(tree: &str, numbers: &[String; 3], until: &str, place: &str, cells: usize) -> String {
    let numbers: String = numbers.iter().map(|n| fit_right(n, NUMBER)).collect();
    let before = 21 + 3 * NUMBER + 20;
    format!(" {}{numbers}  {}{}", fit(tree, 20), fit(until, 18), fit(place, cells.saturating_sub(before)))
}

/// What is told of the chosen line.
fn chosen(page: &StoresPage) -> String {
    match page.line() {
        Some(Line::Item(item)) => page.row(item).map(of_row).unwrap_or_default(),
        Some(Line::House(item, house)) => {
            page.at_house(item, house).map(|(row, at)| at_house(row, at)).unwrap_or_default()
        }
        Some(Line::Permit(id)) => page
            .permit(id)
            .map(|now| {
                let permit = &now.leave.permit;
                format!("{} more {} may be cut, until {}.", now.left(), permit.tree, permit.until)
            })
            .unwrap_or_default(),
        Some(Line::Past(id)) => page
            .past(id)
            .map(|(_, past)| {
                let cut = &past.cut;
                let house = cut.house.map(|id| page.name(id)).unwrap_or_default();
                let why = cut.why.as_deref().unwrap_or("the permit it was cut by is gone");
                let answer =
                    cut.answer.as_ref().map(|said| format!(" Answered: {said}.")).unwrap_or_default();
                format!("{} at {house}, by {}: {why}.{answer}", day(cut.happened), cut.by)
            })
            .unwrap_or_default(),
        None => String::new(),
    }
}

fn of_row(row: &Row) -> String {
    let lacking = row.houses.iter().filter(|at| at.lacks > 0.0).count();
    let able: Vec<String> = row
        .houses
        .iter()
        .filter(|at| at.spare > 0.0)
        .map(|at| format!("{} has {}", at.name, at.spares(row.item)))
        .collect();
    let mut text = match lacking {
        0 => "No house lacks it.".to_owned(),
        1 => "One house lacks it.".to_owned(),
        n => format!("{n} houses lack it."),
    };
    if !able.is_empty() {
        text.push_str(&format!(" {}.", able.join(", ")));
    }
    for at in &row.houses {
        text.extend(at.left_over.iter().map(|left| format!(" {}: {}.", at.name, left.told())));
    }
    for at in row.houses.iter().filter(|at| at.heap.is_overdrawn()) {
        text.push_str(&format!(" {}: {}.", at.name, overdrawn(row.item, &at.heap)));
    }
    for at in row.houses.iter().filter(|at| at.too_small > 0.0) {
        text.push_str(&format!(" {}: {}.", at.name, too_small(at.too_small)));
    }
    text
}

fn at_house(row: &Row, at: &AtHouse) -> String {
    let mut words = Vec::new();
    if at.heap.is_overdrawn() {
        words.push(overdrawn(row.item, &at.heap));
    }
    if at.too_small > 0.0 {
        words.push(too_small(at.too_small));
    }
    if let Some(stage) = at.stage.and_then(|s| STAGES.get(s)) {
        words.push(format!("{} waits for {}", stage.says.to_lowercase(), of_item(row.item, at.lacks)));
        if let Some((lender, spare)) = row.lender(at).filter(|_| at.short > 0.0) {
            let spare = to_spare(row.item, at.kind.as_deref(), spare);
            words.push(format!("{} has {spare} (m)", lender.name));
        }
    }
    if let Some(weave) = at.to_weave.filter(|weave| *weave > 0) {
        let spoil = at.spoil.map(|spoil| format!(": {}", spoil.told())).unwrap_or_default();
        words.push(format!("weave {}{spoil}", of_item(Item::Panel, f64::from(weave))));
    }
    if at.spare > 0.0 {
        words.push(at.spares(row.item));
    }
    words.extend(at.left_over.iter().map(LeftOver::told));
    if words.is_empty() {
        words.push("what it takes is there".to_owned());
    }
    format!("{}: {}.", at.name, words.join("; "))
}

/// Draws a sum over the page.
pub fn draw_sum(sum: &Sum, area: Rect, pen: &mut Pen<'_>) {
    heading(&sum.title, "Esc closes this", area, pen);
    let cells = usize::from(area.width.saturating_sub(2));
    let wrapped = |line: &String| {
        let set_in = line.chars().take_while(|c| *c == ' ').count();
        let pieces = wrap(line.trim_start(), cells.saturating_sub(set_in + 2));
        let place = |(at, text): (usize, String)| {
            format!("{}{text}", " ".repeat(set_in + if at == 0 { 0 } else { 2 }))
        };
        pieces.into_iter().enumerate().map(place).collect::<Vec<_>>()
    };
    let lines: Vec<String> = sum.lines.iter().flat_map(wrapped).collect();
    let room = usize::from(area.height.saturating_sub(2));
    let from = sum.from.min(lines.len().saturating_sub(room));
    pen.drawn.from = Some(from);
    for (at, text) in lines.iter().skip(from).take(room).enumerate() {
        pen.line(row(area, at as u16 + 2), &format!(" {text}"), Meaning::Plain);
    }
    if from + room < lines.len() {
        pen.line(row(area, 1), "  Down or PgDn shows more", Meaning::Quiet);
    }
}
