//! Both slopes side by side, filling with thatch from the eave to the ridge.

use ratatui::buffer::Buffer;
use ratatui::layout::{Alignment, Rect};
use ratatui::text::Line;
use ratatui::widgets::Widget;

use crate::build::House;
use crate::build::house::StageNow;
use crate::screen::look::{Meaning, style};

/// Columns for the row numbers, and for the mark of the next row on each side.
const NUMBERS: u16 = 3;
const NEXT: u16 = 1;
/// Lines above the slopes: the caps.
const ABOVE: u16 = 1;
/// Lines below: whose slope, how many rows, and how they compare.
const BELOW: u16 = 3;

/// The two slopes of a house.
#[derive(Debug, Clone, Copy)]
pub struct Slopes {
    rows: [Laid; 2],
    caps: Laid,
    /// Whether the slopes are too many rows apart.
    apart: bool,
}

impl Slopes {
    /// The slopes of a house.
    #[must_use]
    pub fn new(house: &House) -> Self {
        let thatch = house.stage("thatch");
        Self {
            rows: ["rows-ab", "rows-cd"].map(|point| Laid::of(thatch, point)),
            caps: Laid::of(house.stage("cap"), "caps"),
            apart: thatch.is_some_and(|s| !s.findings.bars.is_empty()),
        }
    }

    fn compared(&self) -> (String, Meaning) {
        let [ab, cd] = self.rows.map(|laid| laid.done);
        let rows = |n: u32| if n == 1 { "1 row".to_owned() } else { format!("{n} rows") };
        match ab.cmp(&cd) {
            std::cmp::Ordering::Equal if self.caps.done > 0 => {
                (format!("caps {}/{}", self.caps.done, self.caps.of), Meaning::Quiet)
            }
            std::cmp::Ordering::Equal if self.rows.iter().all(Laid::whole) => {
                ("all rows laid".to_owned(), Meaning::Quiet)
            }
            std::cmp::Ordering::Equal => ("slopes level".to_owned(), Meaning::Quiet),
            order => {
                let behind = if order.is_lt() { "a-b" } else { "c-d" };
                let sign = if self.apart { "! " } else { "" };
                let meaning = if self.apart { Meaning::Out } else { Meaning::Quiet };
                (format!("{sign}{behind} {} behind", rows(ab.abs_diff(cd))), meaning)
            }
        }
    }
}

/// A count and what it should come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Laid {
    done: u32,
    of: u32,
}

impl Laid {
    fn of(stage: Option<&StageNow>, point: &str) -> Self {
        let now = stage.and_then(|s| s.point(point));
        // Counts are whole; the casts keep to the bounds of their type.
        let of = now.and_then(|p| p.point.goal.target()).unwrap_or(0.0) as u32;
        let done = now.and_then(|p| p.value).unwrap_or(0.0).round() as u32;
        Self { done, of }
    }

    const fn whole(&self) -> bool {
        self.done >= self.of
    }

    /// How far some of its rows, one after another, are laid.
    fn mark(self, after: u32, rows: u32) -> (char, Meaning) {
        match self.done.saturating_sub(after).min(rows) {
            0 => ('·', Meaning::Quiet),
            n if n < rows => ('░', Meaning::Plain),
            _ => ('▒', Meaning::Plain),
        }
    }
}

/// Where the parts of the drawing go.
struct Layout {
    /// The left and the right slope.
    slopes: [Rect; 2],
    /// Rows of thatch on a line.
    per_line: u32,
}

impl Layout {
    fn of(area: Rect, rows: u32) -> Option<Self> {
        let each = (area.width.checked_sub(NUMBERS + 2 * NEXT + 1)? / 2).min(16);
        let most = u32::from(area.height.checked_sub(ABOVE + BELOW)?);
        if each == 0 || most == 0 || rows == 0 {
            return None;
        }
        // Every fourth row ends a line, so that its number stands beside it.
        let per_line = [1, 2].into_iter().chain((4..).step_by(4)).find(|per| rows.div_ceil(*per) <= most)?;
        let height = u16::try_from(rows.div_ceil(per_line)).ok()?;
        let left = Rect { x: area.x + NUMBERS + NEXT, y: area.y + ABOVE, width: each, height };
        Some(Self { slopes: [left, Rect { x: left.x + each + 1, ..left }], per_line })
    }

    /// Everything between the outer edges of the slopes, on one line.
    fn across(&self, y: u16) -> Rect {
        let [left, right] = self.slopes;
        Rect { y, width: right.right() - left.x, height: 1, ..left }
    }
}

impl Widget for &Slopes {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(*buf.area());
        let rows = self.rows.map(|laid| laid.of).into_iter().max().unwrap_or(0);
        let Some(layout) = Layout::of(area, rows) else { return };
        self.cap(&layout, buf);
        let [left, right] = layout.slopes;
        for (line, y) in (0..).zip((left.top()..left.bottom()).rev()) {
            let after = line * layout.per_line;
            let on_line = layout.per_line.min(rows - after);
            let fourth = (after + on_line) / 4 * 4;
            if fourth > after {
                let number = Rect { x: area.x, y, width: NUMBERS, height: 1 };
                let words = Line::styled(fourth.to_string(), style(Meaning::Quiet));
                words.alignment(Alignment::Right).render(number, buf);
            }
            buf.set_string(left.right(), y, "│", style(Meaning::Quiet));
            for (laid, slope) in self.rows.into_iter().zip(layout.slopes) {
                let (mark, meaning) = laid.mark(after, on_line);
                let marks = mark.to_string().repeat(usize::from(slope.width));
                buf.set_string(slope.x, y, marks, style(meaning));
                if (after..after + on_line).contains(&laid.done) {
                    let (x, next) = if slope == left { (slope.x - NEXT, ">") } else { (right.right(), "<") };
                    buf.set_string(x, y, next, style(Meaning::Hand));
                }
            }
        }
        self.counts(&layout, area, buf);
    }
}

impl Slopes {
    /// The caps, laid along the ridge over both slopes.
    fn cap(&self, layout: &Layout, buf: &mut Buffer) {
        let Laid { done, of } = self.caps;
        let ridge = layout.across(layout.slopes[0].y.saturating_sub(1));
        let capped = u32::from(ridge.width) * done.min(of) / of.max(1);
        for (column, place) in (0..).zip(ridge.positions()) {
            let (mark, meaning) =
                if column < capped { ("▄", Meaning::Plain) } else { ("·", Meaning::Quiet) };
            buf.set_string(place.x, place.y, mark, style(meaning));
        }
    }

    fn counts(&self, layout: &Layout, area: Rect, buf: &mut Buffer) {
        let below = layout.slopes[0].bottom();
        for ((laid, slope), side) in self.rows.into_iter().zip(layout.slopes).zip(["a-b", "c-d"]) {
            let at = |y: u16| Rect { y, height: 1, ..slope };
            Line::from(side).centered().render(at(below), buf);
            Line::from(format!("{}/{}", laid.done, laid.of)).centered().render(at(below + 1), buf);
        }
        let (words, meaning) = self.compared();
        let across = layout.across(below + 2);
        // As much to the left of the middle as to the right.
        let spare = (across.x - area.x).min(area.right() - across.right());
        let at = Rect { x: across.x - spare, width: across.width + 2 * spare, ..across };
        Line::styled(words, style(meaning)).centered().render(at, buf);
    }
}
