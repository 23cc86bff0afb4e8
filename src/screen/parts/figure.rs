//! x
use crate::build::{House, house::StageNow};
use ratatui::{buffer::Buffer, layout::Rect, widgets::Widget};
/// x
pub struct Drawing<'a>(&'a House, &'a StageNow);
impl<'a> Drawing<'a> {
    /// x
    pub fn new(h: &'a House, s: &'a StageNow) -> Self {
        Self(h, s)
    }
}
impl Widget for &Drawing<'_> {
    fn render(self, _: Rect, _: &mut Buffer) {
        let _ = (self.0, self.1);
    }
}
