//! From metres to cells, in true proportion: a cell is twice as high as it is
//! wide.

use crate::build::figure::{At, Sketch};

/// Where metres go on cells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Metres across a column.
    pub m_per_col: f64,
    /// Metres from a row to the next: twice as much, or nearly so.
    pub m_per_row: f64,
    /// The column of the middle.
    pub middle: i32,
    /// The row of the ground, or of the centre mark.
    pub ground: i32,
}

impl Scale {
    /// A scale for an area of some columns whose ground is the row `ground`.
    pub fn standing(m_per_col: f64, columns: u16, ground: i32) -> Self {
        Self { m_per_col, m_per_row: 2.0 * m_per_col, middle: middle(columns), ground }
    }

    /// The largest that lets a sketch fit a width and height in cells, with
    /// `side` columns kept for words at the left and right. The top of the
    /// sketch goes on the top row.
    pub fn fitting(sketch: &Sketch, width: u16, height: u16, side: u16) -> Option<Self> {
        let (least, most) = sketch.reach();
        let (half, up, down) = (most[0].max(-least[0]), most[1], -least[1]);
        let columns = middle(width) - i32::from(side);
        let rows = i32::from(height) - 1;
        if columns < 1 || rows < 1 || half <= 0.0 {
            return None;
        }
        let mut scale =
            Self::standing((half / f64::from(columns)).max((up + down) / f64::from(2 * rows)), width, 0);
        // Both ends are rounded to whole rows: that can take a row more.
        while nearest(up / scale.m_per_row) + nearest(down / scale.m_per_row) > rows {
            scale = Self::standing(scale.m_per_col * 1.01, width, 0);
        }
        if let Some([x, y]) = sketch.anchor {
            // Rounded down, it cannot outgrow the area.
            let (columns, rows) = ((x / scale.m_per_col).floor(), (y / scale.m_per_row).floor());
            if columns >= 1.0 && rows >= 1.0 {
                (scale.m_per_col, scale.m_per_row) = (x / columns, y / rows);
            }
        }
        Some(Self { ground: nearest(up / scale.m_per_row), ..scale })
    }

    /// How many rows a sketch takes, from the top of the area.
    pub fn rows(&self, sketch: &Sketch) -> u16 {
        let lowest = self.cell(sketch.reach().0).1.saturating_add(1);
        u16::try_from(lowest).unwrap_or(0)
    }

    /// Columns and rows from the top left of the area, the middles of cells
    /// being whole.
    pub fn place(&self, [x, y]: At) -> [f64; 2] {
        [f64::from(self.middle) + x / self.m_per_col, f64::from(self.ground) - y / self.m_per_row]
    }

    /// The cell of a place. Rounds away from the middle on both sides alike.
    pub fn cell(&self, [x, y]: At) -> (i32, i32) {
        let (right, up) = self.cells([x, y]);
        (self.middle.saturating_add(right), self.ground.saturating_sub(up))
    }

    /// A way in whole cells, to the right and up.
    pub fn cells(&self, [x, y]: At) -> (i32, i32) {
        (nearest(x / self.m_per_col), nearest(y / self.m_per_row))
    }
}

/// The middle column.
fn middle(columns: u16) -> i32 {
    i32::from(columns.saturating_sub(1) / 2)
}

/// The nearest whole number; what is far off any screen stays far off.
pub fn nearest(cells: f64) -> i32 {
    // The cast keeps to the bounds of its type and turns no number to nought.
    cells.round() as i32
}
