//! The drawing beside a stage.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::Line;
use ratatui::widgets::Widget;

use super::elevation::{Elevation, common_scale};
use super::paper::{Paper, Scale};
use super::slope::Slopes;
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
        Figure::Slope => Size::new(16, 6),
        Figure::Elevation => Size::new(9, 5),
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
            Figure::Elevation => {
                Elevation::new(self.house, common_scale([self.house], area.as_size())).render(area, buf);
            }
        }
    }
}

/// A sketch with its caption under it, and `side` columns for words beside it.
fn sketched(sketch: &Sketch, side: u16, area: Rect, buf: &mut Buffer) {
    let below = sketch.caption.len() as u16;
    let room = area.height.saturating_sub(below);
    let Some(scale) = Scale::fitting(sketch, area.width, room, side) else { return };
    Paper::draw(sketch, scale, Rect { height: room, ..area }, buf);
    let lowest = scale.rows(sketch);
    for (line, row) in sketch.caption.iter().zip(area.rows().skip(usize::from(lowest))) {
        Line::styled(line.as_str(), style(Meaning::Quiet)).render(row, buf);
    }
}
