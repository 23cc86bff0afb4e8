//! Both slopes side by side, filling with thatch from the eave to the ridge.

use ratatui::buffer::Buffer;
use ratatui::layout::{Alignment, Rect};
use ratatui::text::Line;
use ratatui::widgets::Widget;

use crate::build::House;
use crate::build::bands::Band;
use crate::build::house::StageNow;
use crate::build::stages::thatch::{behind, whole};
use crate::screen::look::{Meaning, style};

/// Columns for the row numbers, and for the mark of the next row on each side.
const NUMBERS: u16 = 3;
const NEXT: u16 = 1;
/// Lines above the slopes: the caps.
const ABOVE: u16 = 1;
/// Lines below: whose slope, how many rows, and how they compare.
const BELOW: u16 = 3;

/// The fills of the bands of a slope, from the eave up; there are seldom more
/// than two, and then they take turns.
const FILLS: [char; 2] = ['▒', '▓'];

/// The two slopes of a house.
#[derive(Debug, Clone)]
pub struct Slopes<'a> {
    rows: [Laid; 2],
    bands: [&'a [Band]; 2],
    caps: Laid,
    /// The slope that is behind, and by how many rows.
    behind: Option<(usize, u32)>,
    /// Whether the slopes are too many rows apart.
    apart: bool,
}

impl<'a> Slopes<'a> {
    /// The slopes of a house.
    #[must_use]
    pub fn new(house: &'a House) -> Self {
        let thatch = house.stage("thatch");
        let rows = ["rows-ab", "rows-cd"].map(|point| Laid::of(thatch, point));
        Self {
            rows,
            behind: behind(&house.worked, rows.map(|laid| laid.done)),
            bands: house.worked.slopes.each_ref().map(Vec::as_slice),
            caps: Laid::of(house.stage("cap"), "caps"),
            apart: thatch.is_some_and(|s| !s.findings.bars.is_empty()),
        }
    }

    fn compared(&self) -> (String, Meaning) {
        let rows = |n: u32| if n == 1 { "1 row".to_owned() } else { format!("{n} rows") };
        match self.behind {
            None if self.caps.done > 0 => {
                (format!("caps {}/{}", self.caps.done, self.caps.of), Meaning::Quiet)
            }
            None if self.rows.iter().all(Laid::whole) => ("all rows laid".to_owned(), Meaning::Quiet),
            None => ("slopes level".to_owned(), Meaning::Quiet),
            Some((slope, by)) => {
                let behind = if slope == 0 { "a-b" } else { "c-d" };
                let sign = if self.apart { "! " } else { "" };
                let meaning = if self.apart { Meaning::Out } else { Meaning::Quiet };
                (format!("{sign}{behind} {} behind", rows(by)), meaning)
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
        let of = whole(now.and_then(|p| p.point.goal.target()).unwrap_or(0.0));
        let done = whole(now.and_then(|p| p.value).unwrap_or(0.0));
        Self { done, of }
    }

    const fn whole(&self) -> bool {
        self.done >= self.of
    }

    /// How far some of its rows, one after another, are laid; `fill` where
    /// all of them are.
    fn mark(self, after: u32, rows: u32, fill: char) -> (char, Meaning) {
        match self.done.saturating_sub(after).min(rows) {
            0 => ('·', Meaning::Quiet),
            n if n < rows => ('░', Meaning::Plain),
            _ => (fill, Meaning::Plain),
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
    fn of(area: Rect, rows: u32, below: u16) -> Option<Self> {
        let each = (area.width.checked_sub(NUMBERS + 2 * NEXT + 1)? / 2).min(16);
        let most = u32::from(area.height.checked_sub(ABOVE + below)?);
        if each == 0 || most == 0 || rows == 0 {
            return None;
        }
        // Every fourth row ends a line, so that its number stands beside it.
        let per_line = [1, 2].into_iter().chain((4..).step_by(4)).find(|per| rows.div_ceil(*per) <= most)?;
        let height = u16::try_from(rows.div_ceil(per_line)).ok()?;
        let left = Rect { x: area.x + NUMBERS + NEXT, y: area.y + ABOVE, width: each, height };
        Some(Self { slopes: [left, Rect { x: left.x + each + 1, ..left }], per_line })
    }

    /// A line for words under the slopes, as long to the left of their middle
    /// as to the right.
    fn under(&self, y: u16, area: Rect) -> Rect {
        let across = self.across(y);
        let spare = (across.x - area.x).min(area.right() - across.right());
        Rect { x: across.x - spare, width: across.width + 2 * spare, ..across }
    }

    /// Everything between the outer edges of the slopes, on one line.
    fn across(&self, y: u16) -> Rect {
        let [left, right] = self.slopes;
        Rect { y, width: right.right() - left.x, height: 1, ..left }
    }
}

impl Widget for &Slopes<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let area = area.intersection(*buf.area());
        let rows = self.rows.map(|laid| laid.of).into_iter().max().unwrap_or(0);
        let legend = self.legend();
        let below = if legend.is_empty() { BELOW } else { BELOW + 1 };
        let Some(layout) = Layout::of(area, rows, below) else { return };
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
            for ((laid, slope), bands) in self.rows.into_iter().zip(layout.slopes).zip(self.bands) {
                let fill = FILLS[band_of(bands, after + 1) % FILLS.len()];
                let (mark, meaning) = if after < laid.of {
                    laid.mark(after, on_line.min(laid.of - after), fill)
                } else {
                    (' ', Meaning::Plain)
                };
                let marks = mark.to_string().repeat(usize::from(slope.width));
                buf.set_string(slope.x, y, marks, style(meaning));
                if (after..after + on_line).contains(&laid.done) && !laid.whole() {
                    let (x, next) = if slope == left { (slope.x - NEXT, ">") } else { (right.right(), "<") };
                    buf.set_string(x, y, next, style(Meaning::Hand));
                }
            }
        }
        self.counts(&layout, area, buf);
        self.explained(&legend, &layout, area, buf);
    }
}

/// The band in which a row lies, counted from 1.
fn band_of(bands: &[Band], row: u32) -> usize {
    let mut top = 0;
    let above = |band: &Band| {
        top += band.rows;
        row <= top
    };
    bands.iter().position(above).unwrap_or(bands.len().saturating_sub(1))
}

impl Slopes<'_> {
    /// What the fills stand for, where a slope has more than one: the kinds
    /// of thatch, or the courses where the kind is the same.
    fn legend(&self) -> String {
        let [ab, cd] = self.bands;
        let bands = if ab.len() >= cd.len() { ab } else { cd };
        if bands.len() < 2 {
            return String::new();
        }
        let one_kind = bands.iter().all(|band| band.way.kind.id == bands[0].way.kind.id);
        let word = |band: &Band| match one_kind {
            true => format!("{:.0} mm", band.even_course_m * 1000.0),
            false => band.way.kind.id.to_owned(),
        };
        let signs = bands.iter().zip(FILLS.into_iter().cycle());
        signs.map(|(band, fill)| format!("{fill} {}", word(band))).collect::<Vec<_>>().join("  ")
    }

    fn explained(&self, legend: &str, layout: &Layout, area: Rect, buf: &mut Buffer) {
        let at = layout.under(layout.slopes[0].bottom() + BELOW, area).intersection(area);
        Line::styled(legend, style(Meaning::Quiet)).centered().render(at, buf);
    }

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
        let at = layout.under(below + 2, area);
        Line::styled(words, style(meaning)).centered().render(at, buf);
    }
}
