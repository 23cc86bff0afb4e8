//! The drawing beside a stage.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::Line;
use ratatui::widgets::Widget;
use unicode_width::UnicodeWidthStr;

use super::elevation::{Elevation, common_scale};
use super::paper::Paper;
use super::scale::Scale;
use super::slope::Slopes;
use super::spot::key;
use crate::build::House;
use crate::build::figure::{Sketch, lean, plan, section};
use crate::build::house::StageNow;
use crate::build::stage::Figure;
use crate::screen::look::{Meaning, style};

/// A stage's own drawing.
#[derive(Debug, Clone, Copy)]
pub struct Drawing<'a> {
    house: &'a House,
    figure: Figure,
}

impl<'a> Drawing<'a> {
    /// The drawing of one of a house's stages.
    #[must_use]
    pub const fn new(house: &'a House, stage: &StageNow) -> Self {
        Self { house, figure: stage.stage.figure }
    }
}

/// Below this a drawing cannot be read, and is left out.
#[must_use]
pub const fn min_size(figure: Figure) -> Size {
    match figure {
        Figure::Plan | Figure::Lean => Size::new(14, 7),
        Figure::Section => Size::new(15, 8),
        Figure::Slope => Size::new(20, 7),
        Figure::Elevation => Size::new(12, 6),
    }
}

impl Widget for &Drawing<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(*buf.area());
        let least = min_size(self.figure);
        if area.width < least.width || area.height < least.height {
            return;
        }
        match self.figure {
            Figure::Plan => sketched(&plan(self.house), 1, area, buf),
            Figure::Lean => sketched(&lean(self.house), 2, area, buf),
            Figure::Section => sketched(&section(self.house), 0, area, buf),
            Figure::Slope => Slopes::new(self.house).render(area, buf),
            Figure::Elevation => elevation(self.house, area, buf),
        }
    }
}

/// A sketch with its caption under it, and `side` columns for words beside it.
fn sketched(sketch: &Sketch, side: u16, area: Rect, buf: &mut Buffer) {
    let words = words(sketch, area.width);
    let room = room(&words, area);
    let Some(scale) = Scale::fitting(sketch, area.width, room, side) else { return };
    Paper::draw(sketch, scale, Rect { height: room, ..area }, buf);
    told(&words, scale.rows(sketch), area, buf);
}

/// The house as far as it is built, with the caption under its ground.
fn elevation(house: &House, area: Rect, buf: &mut Buffer) {
    let words = flowed(SEEN.split(' '), " ", area.width);
    let room = room(&words, area);
    let scale = common_scale([house], Size { height: room, ..area.as_size() });
    let height = Elevation::rows(house, scale).min(room);
    Elevation::new(house, scale).render(Rect { height, ..area }, buf);
    told(&words, height, area, buf);
}

const SEEN: &str = "from the b-c end, a-b at the left";

/// The rows left above the words, of which a quarter of the area is enough.
fn room(words: &[String], area: Rect) -> u16 {
    area.height - u16::try_from(words.len()).unwrap_or(u16::MAX).min(area.height / 4)
}

fn told(words: &[String], above: u16, area: Rect, buf: &mut Buffer) {
    for (line, row) in words.iter().zip(area.rows().skip(usize::from(above))) {
        Line::styled(line.replace('\u{a0}', " "), style(Meaning::Quiet)).render(row, buf);
    }
}

/// The caption and the legend, in lines no longer than a width.
fn words(sketch: &Sketch, width: u16) -> Vec<String> {
    let keys: Vec<String> =
        sketch.legend.iter().map(|(sign, says)| format!("{} {says}", key(*sign))).collect();
    let mut lines = flowed(sketch.caption.split(' '), " ", width);
    lines.extend(flowed(keys.iter().map(String::as_str), "  ", width));
    lines
}

/// Pieces one after another, as many to a line as its width takes; a piece
/// that is wider yet is left out.
fn flowed<'p>(pieces: impl Iterator<Item = &'p str>, gap: &str, width: u16) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for piece in pieces.filter(|p| p.width() <= usize::from(width)) {
        let fits = |line: &String| line.width() + gap.width() + piece.width() <= usize::from(width);
        match lines.last_mut().filter(|line| fits(line)) {
            Some(line) => line.extend([gap, piece]),
            None => lines.push(piece.to_owned()),
        }
    }
    lines
}
