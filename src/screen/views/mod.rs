//! How the pages and forms are drawn. Views only draw.

pub mod crews;
pub mod daybook;
pub mod days;
pub mod form;
pub mod help;
pub mod holds;
pub mod house;
pub mod ladder;
pub mod pieces;
pub mod row;
pub mod stage;
pub mod stores;
pub mod were;

use ratatui::layout::Rect;

use super::look::Meaning;
use super::model::Model;
use super::parts::cells::cut;
use super::pen::{Pen, row, stretch};
use unicode_width::UnicodeWidthStr;

/// A heading at the left and a word at the right, on the first line.
fn heading(left: &str, right: &str, area: Rect, pen: &mut Pen<'_>) {
    let line = row(area, 0);
    let room = usize::from(line.width).saturating_sub(2);
    let right = cut(right, room);
    let wide = right.width() as u16;
    pen.line(stretch(line, 1, line.width.saturating_sub(wide + 3)), left, Meaning::Title);
    pen.line(stretch(line, line.width.saturating_sub(wide + 1), wide), &right, Meaning::Plain);
}

/// What is told: the notice where there is one, else another sentence.
fn told(model: &Model, otherwise: &str, area: Rect, pen: &mut Pen<'_>) {
    let (text, meaning) = match &model.notice {
        Some(notice) => (notice.text.as_str(), notice.meaning),
        None => (otherwise, Meaning::Hand),
    };
    for (at, line) in super::parts::cells::wrap(text, usize::from(area.width)).iter().enumerate() {
        pen.line(row(area, at as u16), line, meaning);
    }
}
