//! The small house of the row: as far as it is built, on the common ground.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::widgets::Widget;

use super::paper::Paper;
use super::scale::Scale;
use crate::build::House;
use crate::build::figure::{elevation, extent, standing};

/// Columns left free beside the widest house of a row, on each side.
const FREE: u16 = 1;

/// A house seen from its b-c end. Its ground is the lowest row of the area and
/// reaches from side to side, so that areas side by side share one ground.
#[derive(Debug, Clone, Copy)]
pub struct Elevation<'a> {
    house: &'a House,
    m_per_col: f64,
}

impl<'a> Elevation<'a> {
    /// A house at a scale, metres across a column.
    #[must_use]
    pub const fn new(house: &'a House, m_per_col: f64) -> Self {
        Self { house, m_per_col }
    }

    /// The rows it takes at a scale when it is built, its ground included.
    #[must_use]
    pub fn rows(house: &House, m_per_col: f64) -> u16 {
        // No screen is higher; the cast keeps to the bounds of its type.
        (extent(&house.worked).1 / m_per_col / 2.0).ceil().min(1000.0) as u16 + 1
    }
}

/// The scale at which each of some houses, when built, fits a plot: metres
/// across a column.
#[must_use]
pub fn common_scale<'a>(houses: impl IntoIterator<Item = &'a House>, plot: Size) -> f64 {
    let columns = f64::from((plot.width.saturating_sub(1) / 2).saturating_sub(FREE).max(1));
    let rows = f64::from(plot.height.saturating_sub(1).max(1));
    houses
        .into_iter()
        .map(|house| extent(&house.worked))
        .map(|(width_m, height_m)| (width_m / 2.0 / columns).max(height_m / 2.0 / rows))
        .fold(0.001, f64::max)
}

impl Widget for &Elevation<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(*buf.area());
        if area.is_empty() {
            return;
        }
        let scale = Scale::standing(self.m_per_col, area.width, i32::from(area.height) - 1);
        let ground_m = f64::from(area.width) * self.m_per_col;
        let sketch = elevation(&self.house.worked, &standing(self.house), ground_m);
        Paper::draw(&sketch, scale, area, buf);
    }
}
