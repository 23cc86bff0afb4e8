//! The pen that views draw with: it clips, and gathers what can be pressed.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::style::Style;

use super::look::{Meaning, style};
use super::msg::Target;
use super::parts::cells::fit;

/// What comes of drawing besides the picture.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drawn {
    /// What can be pressed, and where; the last of two that overlap counts.
    pub targets: Vec<(Rect, Target)>,
    /// Where something is typed.
    pub cursor: Option<Position>,
    /// From which line a text was shown, where it was scrolled as far as it
    /// goes or less.
    pub from: Option<usize>,
}

/// A pen on a buffer.
#[derive(Debug)]
pub struct Pen<'b> {
    /// What is drawn on.
    pub buf: &'b mut Buffer,
    /// What comes of it.
    pub drawn: Drawn,
}

impl<'b> Pen<'b> {
    /// A pen that has drawn nothing.
    pub fn new(buf: &'b mut Buffer) -> Self {
        Self { buf, drawn: Drawn::default() }
    }

    /// Writes one line at the top of an area, cut and filled to its width.
    pub fn line(&mut self, area: Rect, text: &str, meaning: Meaning) {
        self.styled(area, text, style(meaning));
    }

    /// The same in a style.
    pub fn styled(&mut self, area: Rect, text: &str, style: Style) {
        let area = area.intersection(*self.buf.area());
        if area.is_empty() {
            return;
        }
        let text = fit(text, usize::from(area.width));
        self.buf.set_stringn(area.x, area.y, text, usize::from(area.width), style);
    }

    /// Says that an area can be pressed.
    pub fn target(&mut self, area: Rect, target: Target) {
        let area = area.intersection(*self.buf.area());
        if !area.is_empty() {
            self.drawn.targets.push((area, target));
        }
    }

    /// Puts the cursor somewhere.
    pub fn cursor(&mut self, x: u16, y: u16) {
        let here = Position::new(x, y);
        if self.buf.area().contains(here) {
            self.drawn.cursor = Some(here);
        }
    }
}

/// A row of an area, counted from its top; empty where there is none.
#[must_use]
pub fn row(area: Rect, at: u16) -> Rect {
    if at >= area.height {
        return Rect::new(area.x, area.y, 0, 0);
    }
    Rect::new(area.x, area.y + at, area.width, 1)
}

/// A stretch of a row: from a column of it, so many cells at the most.
#[must_use]
pub fn stretch(line: Rect, from: u16, cells: u16) -> Rect {
    let from = from.min(line.width);
    Rect::new(line.x + from, line.y, cells.min(line.width - from), line.height)
}
