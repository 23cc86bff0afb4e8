//! Puts a sketch in metres on cells, in true proportion: a cell is twice as
//! high as it is wide.
//!
//! Level and upright lines are box drawing and join where they meet. Sloping
//! lines are made of marks at different heights in their cells (`.` and `'`),
//! or of `╱` and `╲` where they are steep. Whatever mirrors itself about the
//! middle of the house does so on the cells, to the cell.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::build::figure::{At, Means, Shape, Side, Sign, Sketch};
use crate::screen::look::{Meaning, style};

/// Where metres go on cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Metres across a column; a row is twice that.
    pub m_per_col: f64,
    /// The column of the middle.
    pub middle: i32,
    /// The row of the ground, or of the centre mark.
    pub ground: i32,
}

impl Scale {
    /// The largest that lets a sketch fit a width and height in cells, with
    /// `side` columns kept for words at the left and right. The top of the
    /// sketch goes on the top row.
    pub fn fitting(sketch: &Sketch, width: u16, height: u16, side: u16) -> Option<Self> {
        let (least, most) = sketch.reach();
        let (half, up, down) = (most[0].max(-least[0]), most[1], -least[1]);
        let middle = i32::from(width.saturating_sub(1) / 2);
        let columns = middle - i32::from(side);
        let rows = i32::from(height) - 1;
        if columns < 1 || rows < 1 || half <= 0.0 {
            return None;
        }
        let mut m_per_col = (half / f64::from(columns)).max((up + down) / f64::from(2 * rows));
        // Both ends are rounded to whole rows: that can take a row more.
        while nearest(up / m_per_col / 2.0) + nearest(down / m_per_col / 2.0) > rows {
            m_per_col *= 1.01;
        }
        Some(Self { m_per_col, middle, ground: nearest(up / m_per_col / 2.0) })
    }

    /// How many rows a sketch takes, from the top of the area.
    pub fn rows(&self, sketch: &Sketch) -> u16 {
        let lowest = self.cell(sketch.reach().0).1.saturating_add(1);
        u16::try_from(lowest).unwrap_or(0)
    }

    /// Columns and rows from the top left of the area, the middles of cells
    /// being whole.
    fn place(&self, [x, y]: At) -> [f64; 2] {
        [f64::from(self.middle) + x / self.m_per_col, f64::from(self.ground) - y / (2.0 * self.m_per_col)]
    }

    /// The cell of a place. Rounds away from the middle on both sides alike.
    fn cell(&self, [x, y]: At) -> (i32, i32) {
        (self.middle + nearest(x / self.m_per_col), self.ground - nearest(y / (2.0 * self.m_per_col)))
    }
}

/// The nearest whole number; what is far off any screen stays far off.
fn nearest(cells: f64) -> i32 {
    // The cast keeps to the bounds of its type and turns no number to nought.
    cells.round() as i32
}

const NORTH: u8 = 1;
const SOUTH: u8 = 2;
const EAST: u8 = 4;
const WEST: u8 = 8;

/// What is in a cell so far.
#[derive(Debug, Clone, Copy, Default)]
struct Spot {
    /// The sides a box line leaves by.
    sides: u8,
    /// What runs level in it, where that is not a plain line.
    level: Option<Means>,
    /// Half blocks: upper, lower.
    halves: [bool; 2],
    /// Any other mark; it goes over the lines.
    mark: Option<char>,
    /// How much of it is filled, 0 to 1.
    fill: f64,
    style: Style,
}

impl Spot {
    fn symbol(&self) -> Option<char> {
        if self.mark.is_some() {
            return self.mark;
        }
        match self.halves {
            [true, true] => return Some('█'),
            [true, false] => return Some('▀'),
            [false, true] => return Some('▄'),
            [false, false] => {}
        }
        if self.sides != 0 {
            return Some(joined(self.sides, self.level));
        }
        match self.fill {
            fill if fill >= 0.75 => Some('▒'),
            fill if fill >= 0.25 => Some('░'),
            _ => None,
        }
    }
}

/// The box line that leaves a cell by some sides.
fn joined(sides: u8, level: Option<Means>) -> char {
    let (upright, across) = (sides & (NORTH | SOUTH), sides & (EAST | WEST));
    let pick = |plain: char, north: char, south: char, both: char| match upright {
        0 => plain,
        NORTH => north,
        SOUTH => south,
        _ => both,
    };
    match (level, across) {
        (_, 0) => '│',
        (Some(Means::Ground), _) => pick('━', '┷', '┯', '┿'),
        (Some(Means::Beam), _) => pick('═', '╧', '╤', '╪'),
        (_, EAST) => pick('─', '└', '┌', '├'),
        (_, WEST) => pick('─', '┘', '┐', '┤'),
        _ => pick('─', '┴', '┬', '┼'),
    }
}

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
            Shape::Area { corners } => self.area(corners),
            Shape::Sign { at, sign, means } => self.sign(*at, *sign, *means),
            Shape::Label { at, side, text, means } => self.label(*at, *side, text, *means),
        }
    }

    fn line(&mut self, from: At, to: At, means: Means) {
        let ((c0, r0), (c1, r1)) = (self.scale.cell(from), self.scale.cell(to));
        if r0 == r1 {
            self.joined((c0, r0), (c1, r1), [WEST, EAST], means);
        } else if c0 == c1 {
            self.joined((c0, r0), (c1, r1), [NORTH, SOUTH], means);
        } else {
            self.sloping(from, to, means);
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
        let (cells, steep) = self.along(from, to);
        for (col, row, rise) in cells {
            let off = row - row.round();
            let mark = if steep {
                match rise {
                    r if r > 0.4 => '╲',
                    r if r < -0.4 => '╱',
                    _ => '│',
                }
            } else if rise.abs() >= 0.34 {
                if off < 0.0 { '\'' } else { '.' }
            } else if off.abs() <= 1.0 / 6.0 {
                '─'
            } else if off < 0.0 {
                '\''
            } else {
                '.'
            };
            self.mark((nearest(col), nearest(row)), mark, means);
        }
    }

    /// The cells of a sloping line as fractions, and how many rows it falls
    /// from one to the next (columns to the right where it is steep). Counted
    /// from the middle, so that mirrored lines give mirrored cells.
    fn along(&self, from: At, to: At) -> (Vec<(f64, f64, f64)>, bool) {
        let ([c0, r0], [c1, r1]) = (self.scale.place(from), self.scale.place(to));
        let (run, fall) = (c1 - c0, r1 - r0);
        let ((a, b), (d, e)) = (self.scale.cell(from), self.scale.cell(to));
        let steep = fall.abs() > 0.75 * run.abs();
        if steep {
            let slope = run / fall;
            let rows = b.min(e).max(-1)..=b.max(e).min(self.height);
            let middle = f64::from(self.scale.middle);
            let at = |row: i32| {
                let row = f64::from(row);
                let col = (c0 - middle) + (row - r0) * slope;
                (middle + col.round(), row, slope)
            };
            (rows.map(at).collect(), true)
        } else {
            let slope = fall / run;
            let cols = a.min(d).max(-1)..=a.max(d).min(self.width);
            let at = |col: i32| {
                let col = f64::from(col);
                (col, r0 + (col - c0) * slope, slope)
            };
            (cols.map(at).collect(), false)
        }
    }

    /// A line of dots, as far apart level as upright.
    fn dots(&mut self, from: At, to: At) {
        let ((c0, r0), (c1, r1)) = (self.scale.cell(from), self.scale.cell(to));
        if r0 == r1 {
            for col in c0.min(c1).max(0)..=c0.max(c1).min(self.width) {
                if (col - self.scale.middle) % 2 == 0 || col == c0 || col == c1 {
                    self.mark((col, r0), '·', Means::Design);
                }
            }
            return;
        }
        let [x, y] = self.scale.place(from);
        let [u, v] = self.scale.place(to);
        let middle = f64::from(self.scale.middle);
        for row in r0.min(r1).max(0)..=r0.max(r1).min(self.height) {
            let col = (x - middle) + (f64::from(row) - y) * (u - x) / (v - y);
            self.mark((self.scale.middle + nearest(col), row), '·', Means::Design);
        }
    }

    /// A thick line, in half cells.
    fn band(&mut self, from: At, to: At, means: Means) {
        let [c0, r0] = self.scale.place(from);
        let [c1, r1] = self.scale.place(to);
        let (first, last) = (self.scale.cell(from).0, self.scale.cell(to).0);
        let slope = if c1 == c0 { 0.0 } else { (r1 - r0) / (c1 - c0) };
        let (least, most) = (r0.min(r1), r0.max(r1));
        for col in first.min(last).max(0)..=first.max(last).min(self.width) {
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
        let ((c0, r0), (c1, r1)) = (self.scale.cell(from), self.scale.cell(to));
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

    /// Fills an area, a cell by the share of it that lies within.
    fn area(&mut self, corners: &[At]) {
        const PARTS: i32 = 4;
        let corners: Vec<[f64; 2]> = corners.iter().map(|c| self.scale.place(*c)).collect();
        let reach = |of: usize, most: i32| {
            let all = corners.iter().map(|c| c[of]);
            let (least, top) = (all.clone().fold(f64::MAX, f64::min), all.fold(f64::MIN, f64::max));
            nearest(least).max(0)..=nearest(top).min(most)
        };
        for row in reach(1, self.height) {
            for col in reach(0, self.width) {
                let within = (0..PARTS * PARTS)
                    .filter(|part| {
                        let part_of = |n: i32| (f64::from(n) + 0.5) / f64::from(PARTS) - 0.5;
                        let at =
                            [f64::from(col) + part_of(part % PARTS), f64::from(row) + part_of(part / PARTS)];
                        encloses(&corners, at)
                    })
                    .count();
                if let Some(spot) = self.spot(col, row) {
                    spot.fill += within as f64 / f64::from(PARTS * PARTS);
                }
            }
        }
    }

    fn sign(&mut self, at: At, sign: Sign, means: Means) {
        let (col, row) = self.scale.cell(at);
        match sign {
            Sign::Mark => self.mark((col, row), '+', means),
            Sign::Hole | Sign::Pole => self.mark((col, row), 'o', means),
            Sign::Post => self.mark((col, row), '#', means),
            Sign::Person => {
                self.mark((col, row - 1), 'A', means);
                self.mark((col, row - 2), 'o', means);
            }
        }
    }

    /// Words, where there is room for all of them.
    fn label(&mut self, at: At, side: Side, text: &str, means: Means) {
        let (col, row) = self.scale.cell(at);
        let long = i32::try_from(text.chars().count()).unwrap_or(i32::MAX);
        let first = match side {
            Side::On => col - (long - 1) / 2,
            Side::Left => col.saturating_sub(long),
            Side::Right => col + 1,
        };
        if first < 0 || first.saturating_add(long) > self.width {
            return;
        }
        for (col, letter) in (first..).zip(text.chars()) {
            self.mark((col, row), letter, means);
        }
    }
}

/// Whether a place lies within an area: an odd number of its sides to the
/// right.
fn encloses(corners: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let nexts = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(nexts)
        .filter(|([a, b], [c, d])| (*b > y) != (*d > y) && x < a + (y - b) * (c - a) / (d - b))
        .count()
        % 2
        == 1
}

const fn meaning(means: Means) -> Meaning {
    match means {
        Means::Design => Meaning::Quiet,
        Means::Suspected | Means::Out => Meaning::Out,
        Means::Move => Meaning::Hand,
        Means::Ground
        | Means::Read
        | Means::Post
        | Means::Beam
        | Means::Rafter
        | Means::Thatch
        | Means::Cap
        | Means::Note => Meaning::Plain,
    }
}
