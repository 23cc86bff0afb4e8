//! Where the work was, house by house.

use ratatui::layout::Rect;

use super::super::look::Meaning;
use super::super::model::Model;
use super::super::parts::cells::wrap;
use super::super::pen::{Pen, row};
use super::heading;
use crate::book::{HouseWas, Were};
use crate::build::Moment;
use crate::build::days::telling::day;
use crate::build::telling::shown;

/// Draws it, from a line on.
pub fn draw(model: &Model, were: &Were, scroll: usize, area: Rect, pen: &mut Pen<'_>) {
    heading("Where we were", &model.now.format("%a %-d %b %Y").to_string(), area, pen);
    if let Some(why) = &were.why {
        pen.line(row(area, 1), &format!(" {why}"), Meaning::Plain);
    }
    let cells = usize::from(area.width.saturating_sub(2));
    let lines: Vec<(String, Meaning)> =
        were.houses.iter().flat_map(|house| of_house(house, model.now, cells)).collect();
    let room = usize::from(area.height.saturating_sub(3));
    let from = scroll.min(lines.len().saturating_sub(room));
    pen.drawn.from = Some(from);
    for (at, (text, meaning)) in lines.iter().skip(from).take(room).enumerate() {
        pen.line(row(area, at as u16 + 3), &format!(" {text}"), *meaning);
    }
    let below = lines.len().saturating_sub(from + room);
    if below > 0 {
        pen.line(
            row(area, 2),
            &format!(" {below} more lines below: Down or PgDn shows them"),
            Meaning::Quiet,
        );
    }
}

fn of_house(was: &HouseWas, now: Moment, cells: usize) -> Vec<(String, Meaning)> {
    let mut lines = vec![(format!("{}: {}", shown(&was.glance.name), was.in_hand(now)), Meaning::Title)];
    for line in &was.lately {
        let day = format!("  {:<6} ", day(line.at.date_naive(), now.date_naive()));
        let text = format!("{}: {}", shown(&line.by), shown(&line.says));
        let wrapped = wrap(&text, cells.saturating_sub(day.len()));
        lines.extend(wrapped.into_iter().enumerate().map(|(at, text)| {
            let before = if at == 0 { day.clone() } else { " ".repeat(day.len()) };
            (format!("{before}{text}"), Meaning::Plain)
        }));
    }
    let mut under = |text: String, meaning| {
        let wrapped = wrap(&text, cells.saturating_sub(2));
        lines.extend(wrapped.into_iter().map(|line| (format!("  {line}"), meaning)));
    };
    if let Some(told) = was.doubtful() {
        under(format!("? {told}"), Meaning::Doubtful);
    }
    if let Some(told) = was.short() {
        under(told, Meaning::Hand);
    }
    under(format!("First: {}", was.glance.next_at(now)), Meaning::Plain);
    lines
}
