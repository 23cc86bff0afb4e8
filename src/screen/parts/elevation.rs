//! x
use crate::build::House;
use ratatui::layout::Size;
use ratatui::{buffer::Buffer, layout::Rect, widgets::Widget};
/// x
pub struct Elevation<'a>(&'a House);
impl<'a> Elevation<'a> {
    /// x
    pub fn new(h: &'a House, _: f64) -> Self {
        Self(h)
    }
}
/// x
pub fn common_scale<'a>(_: impl IntoIterator<Item = &'a House>, _: Size) -> f64 {
    1.0
}
impl Widget for &Elevation<'_> {
    fn render(self, _: Rect, _: &mut Buffer) {
        let _ = self.0;
    }
}
