//! The help page.

use ratatui::layout::Rect;

use super::super::keys::{self, Place};
use super::super::look::Meaning;
use super::super::model::{Model, Page};
use super::super::pen::{Pen, row};
use super::heading;

/// The signs, explained where the keys are.
const SIGNS: &[&str] = &[
    "=  true: as it should be        x  out: by how much and which way",
    "?  in doubt: something since makes it uncertain        ____  not read yet",
    "Stages: = signed   ! ready to sign   > in hand   ? signed, but in doubt",
];

/// How readings are called out.
const SAID: &[&str] = &[
    "2 1/2 sp  spans    2 sp + 1 h  spans and hand spans    2 1/2 sp of Tavi",
    "hs half span   fa forearm   h hand span   hb hand breadth   fi finger",
    "3.44 m   344 cm   3440 mm   5' 4 1/2\"   a bare number is centimetres",
    "yes or no, or y and n alone, where that is asked",
    "+5 mm or -5 mm   what leans    2.31 m less 2.305 m   two that should be equal",
];

/// Draws the help of the page that is open, with the forms' keys below.
pub fn draw(model: &Model, scroll: usize, area: Rect, pen: &mut Pen<'_>) {
    heading("What the keys do here", "Esc closes this", area, pen);
    let place = match &model.page {
        Page::Row(_) => Place::Row,
        Page::House(_) => Place::House,
        Page::DayBook(_) => Place::DayBook,
        Page::Stores(_) => Place::Stores,
        Page::Days(page) if page.crews.is_some() => Place::Crews,
        Page::Days(_) => Place::Days,
        Page::Pieces(_) => Place::Pieces,
        Page::Holds(_) => Place::Holds,
    };
    let mut lines: Vec<(String, Meaning)> = Vec::new();
    let keys = |place| keys::of(place).map(|b| (format!("  {:<11} {}", b.shown, b.says), Meaning::Plain));
    lines.extend(keys(place));
    lines.push(("While something is typed".to_owned(), Meaning::Title));
    let in_forms = keys::of(Place::Form).filter(|b| !b.places.contains(&place));
    lines.extend(in_forms.map(|b| (format!("  {:<11} {}", b.shown, b.says), Meaning::Plain)));
    let long = keys::of(Place::Brief).filter(|b| !b.places.contains(&Place::Form));
    lines.extend(long.map(|b| (format!("  {:<11} {} (in a brief)", b.shown, b.says), Meaning::Plain)));
    lines.push(("How a reading is said".to_owned(), Meaning::Title));
    lines.extend(SAID.iter().map(|s| (format!("  {s}"), Meaning::Plain)));
    lines.push(("What the signs mean".to_owned(), Meaning::Title));
    lines.extend(SIGNS.iter().map(|s| (format!("  {s}"), Meaning::Plain)));
    let room = usize::from(area.height.saturating_sub(2));
    let from = scroll.min(lines.len().saturating_sub(room));
    pen.drawn.from = Some(from);
    for (at, (text, meaning)) in lines.iter().skip(from).take(room).enumerate() {
        pen.line(row(area, at as u16 + 2), &format!(" {text}"), *meaning);
    }
    if from + room < lines.len() {
        pen.line(row(area, 1), "  Down or PgDn shows more", Meaning::Quiet);
    }
}
