//! The day book: every entry as it was written, newest first.

use ratatui::layout::Rect;
use uuid::Uuid;

use super::super::look::{Meaning, style};
use super::super::model::{DayBookPage, Model};
use super::super::msg::Target;
use super::super::parts::cells::{cut, fit, wrap};
use super::super::pen::{Pen, row};
use super::{heading, told};
use crate::book::LogLine;

/// Draws the day book.
pub fn draw(model: &Model, page: &DayBookPage, area: Rect, pen: &mut Pen<'_>) {
    let name = |id: Option<Uuid>| id.and_then(|id| page.name(id)).unwrap_or_else(|| "all houses".to_owned());
    let whose = page
        .house
        .map_or_else(|| "The day book".to_owned(), |id| format!("The day book of {}", name(Some(id))));
    let mut only = Vec::new();
    if let Some(kind) = page.kind {
        only.push(format!("only {kind}"));
    }
    if let Some(by) = &page.by {
        only.push(format!("by {by}"));
    }
    if !page.text.is_empty() {
        only.push(format!("with \"{}\"", page.text));
    }
    let more = if page.more { " and older" } else { "" };
    only.push(format!("{}{more}", page.lines.len()));
    heading(&whose, &only.join(", "), area, pen);
    let list = Rect { y: area.y + 1, height: area.height.saturating_sub(5), ..area };
    if page.lines.is_empty() {
        let text = if page.loaded { "Nothing is written that fits." } else { "Opening the day book …" };
        pen.line(row(list, 1), &format!("  {text}"), Meaning::Plain);
    }
    let room = usize::from(list.height);
    let at = page.index();
    let from = at.saturating_sub(room / 2).min(page.lines.len().saturating_sub(room));
    for (row_at, line) in page.lines.iter().skip(from).take(room).enumerate() {
        let here = row(list, row_at as u16);
        let text = one_line(line, page, usize::from(here.width));
        let meaning = if line.struck.is_some() { Meaning::Quiet } else { Meaning::Plain };
        let look = if from + row_at == at { style(Meaning::Chosen) } else { style(meaning) };
        pen.styled(here, &text, look);
        pen.target(here, Target::Entry(line.entry.id));
    }
    let foot = Rect {
        x: area.x + 1,
        y: list.bottom(),
        width: area.width.saturating_sub(2),
        height: area.bottom() - list.bottom(),
    };
    if let Some(line) = page.lines.get(at) {
        for (at, text) in wrap(&whole(line, page), usize::from(foot.width)).iter().take(3).enumerate() {
            pen.line(row(foot, at as u16), text, Meaning::Plain);
        }
        pen.line(row(foot, 3), &format!("entry {}", line.entry.id), Meaning::Quiet);
    }
    if model.notice.is_some() {
        told(model, "", row(foot, foot.height.saturating_sub(1)), pen);
    }
}

/// An entry on one line: day, house, who, what; struck ones say so first.
fn one_line(line: &LogLine, page: &DayBookPage, cells: usize) -> String {
    let e = &line.entry;
    let day = e.happened.format("%d %b %H:%M").to_string();
    let name = || e.house.and_then(|id| page.name(id)).unwrap_or_else(|| "all houses".to_owned());
    let house = if page.house.is_none() { format!("{} ", fit(&name(), 15)) } else { String::new() };
    let struck = if line.struck.is_some() { "-- struck: " } else { "" };
    cut(&format!(" {day}  {house}{} {struck}{}", fit(&e.by, 8), line.says(|id| page.name(id))), cells)
}

fn whole(line: &LogLine, page: &DayBookPage) -> String {
    let e = &line.entry;
    let struck = line.struck.as_ref().map(|s| format!(" Struck by {}: {}.", s.by, s.why)).unwrap_or_default();
    let written = if e.written.signed_duration_since(e.happened).num_minutes().abs() > 5 {
        format!(" Written {}.", e.written.format("%-d %b %Y %H:%M"))
    } else {
        String::new()
    };
    format!(
        "{}: {}. By {}, {}.{written}{struck}",
        e.what.kind(),
        line.says(|id| page.name(id)),
        e.by,
        e.happened.format("%-d %b %Y %H:%M")
    )
}
