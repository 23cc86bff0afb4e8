//! The ladder of the nine stages, climbed from the ground to the ridge.

use ratatui::layout::Rect;

use super::super::look::Meaning;
use super::super::msg::Target;
use super::super::pen::{Pen, row};
use crate::build::House;
use crate::build::house::State;

/// How wide the ladder is, cells.
pub const WIDE: u16 = 13;

/// The sign of a state.
#[must_use]
pub const fn sign(state: State) -> &'static str {
    match state {
        State::Ahead => " ",
        State::Open => ">",
        State::Ready => "!",
        State::Signed => "=",
        State::Doubtful => "?",
    }
}

const fn meaning(state: State) -> Meaning {
    match state {
        State::Ahead => Meaning::Quiet,
        State::Open | State::Signed => Meaning::Plain,
        State::Ready => Meaning::Hand,
        State::Doubtful => Meaning::Doubtful,
    }
}

/// Draws the ladder with its foot at the bottom of the area.
pub fn draw(house: &House, open: usize, area: Rect, pen: &mut Pen<'_>) {
    let count = house.stages.len() as u16;
    let spread = if area.height >= 2 * count { 2 } else { 1 };
    for (at, now) in house.stages.iter().enumerate() {
        let up = at as u16 * spread + 1;
        if up > area.height {
            break;
        }
        let line = row(area, area.height - up);
        let mark = if at == open { "▸" } else { " " };
        let text = format!("{mark}{} {:<9}{}", now.stage.number, now.stage.short, sign(now.state));
        let meaning = if at == open { Meaning::Chosen } else { meaning(now.state) };
        pen.line(line, &text, meaning);
        pen.target(line, Target::Stage(at));
    }
}
