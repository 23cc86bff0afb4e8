//! What holds, what lifts, what gives first.

use ratatui::layout::Rect;

use super::super::look::Meaning;
use super::super::model::{HoldsPage, Model};
use super::super::parts::cells::wrap;
use super::super::pen::{Pen, row};
use super::{heading, told};
use crate::build::holds::{Line, Tone, lines};

/// Draws the page.
pub fn draw(model: &Model, page: &HoldsPage, area: Rect, pen: &mut Pen<'_>) {
    let Some(house) = &page.house else {
        heading("What holds", "", area, pen);
        told(model, "Opening the house …", Rect { y: area.y + 2, height: 1, ..area }, pen);
        return;
    };
    let holds = house.holds(page.gust_m_s);
    heading("What holds, what lifts, what gives first", &house.name, area, pen);
    let cells = usize::from(area.width.saturating_sub(2));
    let all: Vec<(String, Meaning)> = lines(&holds).iter().flat_map(|line| hanging(line, cells)).collect();
    let notice = u16::from(model.notice.is_some());
    let body = Rect {
        x: area.x + 1,
        y: area.y + 1,
        width: area.width.saturating_sub(2),
        height: area.height.saturating_sub(2 + notice),
    };
    let room = usize::from(body.height);
    let from = page.scroll.min(all.len().saturating_sub(room));
    pen.drawn.from = Some(from);
    for (at, (text, meaning)) in all.iter().skip(from).take(room).enumerate() {
        pen.line(row(body, at as u16), text, *meaning);
    }
    let below = all.len().saturating_sub(from + room);
    let foot = Rect { y: body.bottom(), height: 1 + notice, ..body };
    if below > 0 {
        pen.line(row(foot, 0), &format!("  … {below} more below; Down or PgDn shows them"), Meaning::Hand);
    }
    told(model, "", Rect { y: foot.y + 1, height: notice, ..foot }, pen);
}

/// A line behind its mark, its further lines set in below the text.
fn hanging(line: &Line, cells: usize) -> Vec<(String, Meaning)> {
    let meaning = meaning(line.tone);
    let inset = line.mark.chars().count();
    let broken = wrap(&line.text, cells.saturating_sub(inset));
    if broken.is_empty() {
        return vec![(line.mark.clone(), meaning)];
    }
    let before = |at| if at == 0 { line.mark.clone() } else { below(&line.mark) };
    broken.into_iter().enumerate().map(|(at, text)| (format!("{}{text}", before(at)), meaning)).collect()
}

/// What stands below a mark: the rope goes on, all else is blank.
fn below(mark: &str) -> String {
    mark.chars().map(|c| if c == '│' { c } else { ' ' }).collect()
}

const fn meaning(tone: Tone) -> Meaning {
    match tone {
        Tone::Plain => Meaning::Plain,
        Tone::Title => Meaning::Title,
        Tone::Quiet => Meaning::Quiet,
        Tone::Weak => Meaning::Out,
        Tone::Unknown => Meaning::Doubtful,
        Tone::Caution => Meaning::Caution,
    }
}
