//! Puts a sketch in metres on cells.
//!
//! Level and upright lines are box drawing and join where they meet. Sloping
//! lines are made of marks at different heights in their cells (`.` and `'`),
//! or of `╱` and `╲` where they are steep. Whatever mirrors itself about the
//! middle of the house does so on the cells, to the cell.

use std::ops::{Range, RangeInclusive};

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::scale::{Scale, nearest};
use super::spot::{EAST, NORTH, POST, SOUTH, Spot, WEST, meaning};
use crate::build::figure::{At, Means, Shape, Side, Sign, Sketch};
use crate::screen::look::style;

/// Cells to draw on.
pub struct Paper {
    scale: Scale,
    width: i32,
    height: i32,
    spots: Vec<Spot>,
}

impl Paper {
    /// Draws a sketch on cells, and the cells on a buffer.
    pub fn draw(sketch: &Sketch, scale: Scale, area: Rect, buf: &mut Buffer) {
        let (width, height) = (i32::from(area.width), i32::from(area.height));
        let spots = vec![Spot::default(); usize::from(area.width) * usize::from(area.height)];
        let mut paper = Self { scale, width, height, spots };
        for shape in &sketch.shapes {
            paper.shape(shape);
        }
        for (spot, position) in paper.spots.iter().zip(area.positions()) {
            if let (Some(symbol), Some(cell)) = (spot.symbol(), buf.cell_mut(position)) {
                cell.set_char(symbol).set_style(spot.style);
            }
        }
    }

    fn spot(&mut self, col: i32, row: i32) -> Option<&mut Spot> {
        if !(0..self.width).contains(&col) || !(0..self.height).contains(&row) {
            return None;
        }
        let index = usize::try_from(row * self.width + col).ok()?;
        self.spots.get_mut(index)
    }

    fn mark(&mut self, (col, row): (i32, i32), mark: char, means: Means) {
        if let Some(spot) = self.spot(col, row) {
            spot.mark = Some(mark);
            spot.style = style(meaning(means));
        }
    }

    fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Line { from, to, means: Means::Design } => self.dots(*from, *to),
            Shape::Line { from, to, means: means @ (Means::Thatch | Means::Cap) } => {
                self.band(*from, *to, *means);
            }
            Shape::Line { from, to, means } => self.line(*from, *to, *means),
            Shape::Way { from, to, means } => self.way(*from, *to, *means),
            Shape::Area { corners, means } => self.area(corners, *means),
            Shape::Sign { at, sign, means } => self.sign(*at, *sign, *means),
            Shape::Label { at, side, text, means } => self.label(*at, *side, text, *means),
        }
    }

    fn line(&mut self, from: At, to: At, means: Means) {
        let ((c0, r0), (c1, r1)) = (self.scale.cell(from), self.scale.cell(to));
        let upright = (to[1] - from[1]).abs() > (to[0] - from[0]).abs();
        if r0 == r1 && c0 == c1 && upright {
            self.stub((c0, r0), means);
        } else if r0 == r1 {
            self.joined((c0, r0), (c1, r1), [WEST, EAST], means);
        } else if c0 == c1 {
            self.joined((c0, r0), (c1, r1), [NORTH, SOUTH], means);
        } else {
            self.sloping(from, to, means);
        }
    }

    /// An upright line that is shorter than a row: a peg in the ground.
    fn stub(&mut self, (col, row): (i32, i32), means: Means) {
        if let Some(spot) = self.spot(col, row) {
            spot.sides |= NORTH;
            spot.style = style(meaning(means));
        }
    }

    /// A level or upright line, joined to those it meets.
    fn joined(&mut self, one: (i32, i32), other: (i32, i32), sides: [u8; 2], means: Means) {
        let (first, last) = (one.min(other), one.max(other));
        for col in first.0.max(0)..=last.0.min(self.width) {
            for row in first.1.min(last.1).max(0)..=first.1.max(last.1).min(self.height) {
                let Some(spot) = self.spot(col, row) else { continue };
                let alone = first == last;
                if (col, row) != first || alone {
                    spot.sides |= sides[0];
                }
                if (col, row) != last || alone {
                    spot.sides |= sides[1];
                }
                if matches!(means, Means::Ground | Means::Beam) {
                    spot.level = Some(means);
                }
                spot.mark = None;
                spot.halves = [false; 2];
                spot.style = style(meaning(means));
            }
        }
    }

    /// A sloping line: column by column, or row by row where it is steep.
    fn sloping(&mut self, from: At, to: At, means: Means) {
        let ([c0, r0], [c1, r1]) = (self.scale.place(from), self.scale.place(to));
        if (r1 - r0).abs() > 0.75 * (c1 - c0).abs() {
            let mark = match (c1 - c0) / (r1 - r0) {
                right if right > 0.4 => '╲',
                right if right < -0.4 => '╱',
                _ => '│',
            };
            self.row_by_row(from, to, mark, means);
            return;
        }
        let slope = (r1 - r0) / (c1 - c0);
        for col in self.columns(from, to) {
            let row = r0 + (f64::from(col) - c0) * slope;
            self.mark((col, nearest(row)), at_height(row - row.round(), slope), means);
        }
    }

    /// The columns of a line, as far as they are on the paper.
    fn columns(&self, from: At, to: At) -> RangeInclusive<i32> {
        let (first, last) = (self.scale.cell(from).0, self.scale.cell(to).0);
        first.min(last).max(0)..=first.max(last).min(self.width)
    }

    /// A mark on each row of a line that is not level. Counted from the
    /// middle, so that mirrored lines give mirrored cells.
    fn row_by_row(&mut self, from: At, to: At, mark: char, means: Means) {
        let ([c0, r0], [c1, r1]) = (self.scale.place(from), self.scale.place(to));
        let middle = f64::from(self.scale.middle);
        let (first, last) = (self.scale.cell(from).1, self.scale.cell(to).1);
        for row in first.min(last).max(0)..=first.max(last).min(self.height) {
            // Not past its ends, which lie within their rows.
            let within = f64::from(row).max(r0.min(r1)).min(r0.max(r1));
            let col = (c0 - middle) + (within - r0) * (c1 - c0) / (r1 - r0);
            self.mark((self.scale.middle.saturating_add(nearest(col)), row), mark, means);
        }
    }

    /// A line of dots, as far apart level as upright.
    fn dots(&mut self, from: At, to: At) {
        let ((c0, r0), (c1, r1)) = (self.scale.cell(from), self.scale.cell(to));
        if r0 != r1 {
            self.row_by_row(from, to, '·', Means::Design);
            return;
        }
        for col in self.columns(from, to) {
            if (col - self.scale.middle) % 2 == 0 || col == c0 || col == c1 {
                self.mark((col, r0), '·', Means::Design);
            }
        }
    }

    /// A thick line, in half cells.
    fn band(&mut self, from: At, to: At, means: Means) {
        let [c0, r0] = self.scale.place(from);
        let [c1, r1] = self.scale.place(to);
        let slope = if c1 == c0 { 0.0 } else { (r1 - r0) / (c1 - c0) };
        // The columns at its ends are rounded too: a flat line runs on in them.
        let slack = if slope.abs() < 0.75 { slope.abs() / 2.0 } else { 0.0 };
        let (least, most) = (r0.min(r1) - slack, r0.max(r1) + slack);
        for col in self.columns(from, to) {
            let row = r0 + (f64::from(col) - c0) * slope;
            // As high as the line climbs within the column, half a cell at least.
            let reach = (slope.abs() / 2.0 - 0.25).max(0.0);
            let (top, bottom) = ((row - reach).max(least), (row + reach).min(most));
            // Half rows counted from the top of row nought.
            let half = |row: f64| nearest((row + 0.5) * 2.0 - 0.5);
            for half in half(top).max(0)..=half(bottom.max(top)).min(2 * self.height) {
                if let Some(spot) = self.spot(col, half / 2) {
                    let [upper, lower] = &mut spot.halves;
                    *(if half % 2 == 0 { upper } else { lower }) = true;
                    spot.mark = None;
                    spot.style = style(meaning(means));
                }
            }
        }
    }

    /// A way: sideways first, then up or down, an arrow head at its end.
    fn way(&mut self, from: At, to: At, means: Means) {
        let (c0, r0) = self.scale.cell(from);
        let (c1, r1) = if means == Means::Move {
            self.scale.cell(to)
        } else {
            // It is its length that counts, not where it ends.
            let (right, up) = self.scale.cells([to[0] - from[0], to[1] - from[1]]);
            (c0.saturating_add(right), r0.saturating_sub(up))
        };
        for col in c0.min(c1).max(0)..=c0.max(c1).min(self.width) {
            self.mark((col, r0), '─', means);
        }
        for row in r0.min(r1).max(0)..=r0.max(r1).min(self.height) {
            self.mark((c1, row), '│', means);
        }
        if c0 != c1 && r0 != r1 {
            let corner = match (c1 > c0, r1 > r0) {
                (true, true) => '┐',
                (true, false) => '┘',
                (false, true) => '┌',
                (false, false) => '└',
            };
            self.mark((c1, r0), corner, means);
        }
        let head = match (c1 - c0, r1 - r0) {
            (_, down) if down > 0 => 'v',
            (_, up) if up < 0 => '^',
            (right, _) if right > 0 => '>',
            (left, _) if left < 0 => '<',
            _ => return,
        };
        self.mark((c1, r1), head, means);
    }

    /// Fills an area, half a cell by the share of it that lies within:
    /// thatch as shade, anything else as blocks.
    fn area(&mut self, corners: &[At], means: Means) {
        let corners: Vec<At> = corners.iter().map(|c| self.scale.place(*c)).collect();
        let reach = |of: fn(&At) -> f64, most: i32| {
            let least = corners.iter().map(of).fold(f64::MAX, f64::min);
            let top = corners.iter().map(of).fold(f64::MIN, f64::max);
            nearest(least).max(0)..=nearest(top).min(most)
        };
        for row in reach(|[_, y]| *y, self.height) {
            for col in reach(|[x, _]| *x, self.width) {
                let [upper, lower] = halves_within(&corners, col, row);
                let Some(spot) = self.spot(col, row) else { continue };
                if means == Means::Thatch {
                    spot.thatch += (upper + lower) / 2.0;
                } else if upper.max(lower) >= 0.5 {
                    spot.halves = [spot.halves[0] || upper >= 0.5, spot.halves[1] || lower >= 0.5];
                    spot.mark = None;
                    spot.style = style(meaning(means));
                }
            }
        }
    }

    fn sign(&mut self, at: At, sign: Sign, means: Means) {
        let (col, row) = self.scale.cell(at);
        match sign {
            Sign::Mark => self.mark((col, row), '+', means),
            Sign::Hole | Sign::Pole => self.mark((col, row), 'o', means),
            Sign::Post => self.mark((col, row), POST, means),
            Sign::Person => self.person(col, row, means),
        }
    }

    /// Somebody of ordinary height, standing on a row.
    fn person(&mut self, col: i32, row: i32, means: Means) {
        const TALL_M: f64 = 1.7;
        // Not rounded up: nobody's head is in the beam.
        let lines: &[&str] = match nearest((TALL_M / self.scale.m_per_row).floor()) {
            ..=1 => &["i"],
            2 => &["o", "A"],
            _ => &["o", "/|\\", "/ \\"],
        };
        for (line, row) in lines.iter().rev().zip((0..row).rev()) {
            let first = col.saturating_sub(i32::from(line.len() > 1));
            for (col, mark) in (first..).zip(line.chars()).filter(|(_, mark)| *mark != ' ') {
                self.mark((col, row), mark, means);
            }
        }
    }

    /// Words, where there is room for all of them.
    fn label(&mut self, at: At, side: Side, text: &str, means: Means) {
        let (col, row) = self.scale.cell(at);
        let long = i32::try_from(text.chars().count()).unwrap_or(i32::MAX);
        let first = match side {
            Side::On => col.saturating_sub(long.saturating_sub(1) / 2),
            Side::Left => col.saturating_sub(long),
            Side::Right => col.saturating_add(1),
        };
        if first < 0 || first.saturating_add(long) > self.width {
            return;
        }
        // What lies under a space stays to be seen.
        let letters: Vec<(i32, char)> = (first..).zip(text.chars()).filter(|(_, l)| *l != ' ').collect();
        let free = |spot: &Spot| spot.sides == 0 && matches!(spot.mark, None | Some('·'));
        if side != Side::On && letters.iter().any(|(col, _)| self.spot(*col, row).is_some_and(|s| !free(s))) {
            return;
        }
        for (col, letter) in letters {
            self.mark((col, row), letter, means);
        }
    }
}

/// The mark of a line by how far below the middle of its cell it runs. Where
/// it falls half a row with each column, two heights look straighter than
/// three.
fn at_height(below: f64, slope: f64) -> char {
    match below {
        _ if slope.abs() < 0.45 && below.abs() <= 1.0 / 6.0 => '─',
        below if below < 0.0 => '\'',
        _ => '.',
    }
}

/// The share of the upper and of the lower half of a cell within an area.
fn halves_within(corners: &[At], col: i32, row: i32) -> [f64; 2] {
    const PARTS: i32 = 4;
    let at = |cell: i32, part: i32| f64::from(cell) + (f64::from(part) + 0.5) / f64::from(PARTS) - 0.5;
    let share = |down: Range<i32>| {
        let parts = down.flat_map(|down| (0..PARTS).map(move |right| (right, down)));
        let within = parts.filter(|(right, down)| encloses(corners, [at(col, *right), at(row, *down)]));
        within.count() as f64 / f64::from(PARTS * PARTS / 2)
    };
    [share(0..PARTS / 2), share(PARTS / 2..PARTS)]
}

/// Whether a place lies within an area: an odd number of its sides to the
/// right.
fn encloses(corners: &[At], [x, y]: At) -> bool {
    let nexts = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(nexts)
        .filter(|([a, b], [c, d])| (*b > y) != (*d > y) && x < a + (y - b) * (c - a) / (d - b))
        .count()
        % 2
        == 1
}
