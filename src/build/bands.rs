//! A slope thatched in more than one way: what is laid stays, and the rest is
//! worked out anew from the row reached.

use super::brief::{Roofing, Thatch};
use crate::reckon::{Refusal, thatch};

/// Less than this is left between the last row and the ridge: nothing, m.
const NOTHING_M: f64 = 1e-6;

/// Rows of a slope that are laid alike, one above the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// How they are laid.
    pub way: Way,
    /// The foot of the first of them up the slope from the eave, m.
    pub from_m: f64,
    /// How many rows.
    pub rows: u32,
    /// From the foot of one to the foot of the next, m.
    pub even_course_m: f64,
    /// Panels in each row.
    pub panels_per_row: u32,
}

/// How rows are laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// The kind of thatch.
    pub kind: Thatch,
    /// Rows are no further apart, m.
    pub course_m: f64,
    /// Length of a panel, m.
    pub panel_m: f64,
    /// Side lap, m.
    pub lap_m: f64,
}

impl Way {
    /// The way of a brief.
    #[must_use]
    pub const fn of(roofing: &Roofing) -> Self {
        let &Roofing { kind, course_m, panel_m, lap_m, .. } = roofing;
        Self { kind, course_m, panel_m, lap_m }
    }
}

impl Band {
    /// Where its last row ends up the slope, m.
    #[must_use]
    pub fn top_m(&self) -> f64 {
        self.from_m + f64::from(self.rows) * self.even_course_m
    }

    /// Its panels.
    #[must_use]
    pub const fn panels(&self) -> u32 {
        self.rows * self.panels_per_row
    }
}

/// The rows of some bands together.
#[must_use]
pub fn rows(bands: &[Band]) -> u32 {
    bands.iter().map(|band| band.rows).sum()
}

/// The foot of each row up the slope, from the eave, m.
#[must_use]
pub fn marks_m(bands: &[Band]) -> Vec<f64> {
    let of = |band: &Band| {
        let (from, course) = (band.from_m, band.even_course_m);
        (0..band.rows).map(move |row| from + f64::from(row) * course)
    };
    bands.iter().flat_map(of).collect()
}

/// How far up the slope its lowest rows reach, m.
#[must_use]
pub fn reached_m(bands: &[Band], rows: u32) -> f64 {
    lowest(bands, rows).last().map_or(0.0, Band::top_m)
}

/// The panels of the lowest rows of some bands.
#[must_use]
pub fn panels_of(bands: &[Band], rows: u32) -> u32 {
    lowest(bands, rows).iter().map(Band::panels).sum()
}

/// A slope of which so many rows were laid, from the eave up, in the bands
/// `below`: those rows stay, and the rest up to the ridge is laid in the way of
/// `whole`, the slope as it would be laid from the eave. Rows that lie in that
/// way already are worked out together with the rest.
///
/// # Errors
/// What [`thatch::run`] refuses.
pub fn upward(below: &[Band], laid: u32, way: Way, whole: &thatch::In) -> Result<Vec<Band>, Refusal> {
    let mut bands = lowest(below, laid);
    bands.pop_if(|band| band.way == way);
    let from_m = bands.last().map_or(0.0, Band::top_m);
    let rest_m = whole.slope_m - from_m;
    if rest_m > NOTHING_M {
        let out = thatch::run(&thatch::In { slope_m: rest_m, slopes: 1, ..whole.clone() })?;
        bands.push(Band {
            way,
            from_m,
            rows: out.rows_per_slope,
            even_course_m: out.even_course_m,
            panels_per_row: out.panels_per_row,
        });
    }
    Ok(bands)
}

/// The lowest rows of some bands.
fn lowest(bands: &[Band], rows: u32) -> Vec<Band> {
    let mut left = rows;
    let mut lowest = Vec::new();
    for band in bands {
        let rows = band.rows.min(left);
        left -= rows;
        if rows > 0 {
            lowest.push(Band { rows, ..band.clone() });
        }
    }
    lowest
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::build::brief::THATCHES;

    const NIPA: Way = Way { kind: THATCHES[0], course_m: 0.1, panel_m: 1.2, lap_m: 0.1 };
    const COCONUT: Way = Way { kind: THATCHES[1], course_m: 0.08, ..NIPA };

    fn slope(way: Way) -> thatch::In {
        thatch::In {
            slope_m: 4.5,
            ridge_m: 8.0,
            course_m: way.course_m,
            panel_m: way.panel_m,
            side_lap_m: way.lap_m,
            cap_panel_m: way.panel_m,
            cap_lap_m: 0.15,
            pins_per_cap: 4,
            slopes: 2,
            spoil: 0.1,
        }
    }

    fn up(below: &[Band], laid: u32, way: Way) -> Vec<Band> {
        upward(below, laid, way, &slope(way)).unwrap()
    }

    /// Source: by hand. 20 rows of 100 mm reach 2.0 m; 2.5 m are left, which
    /// 80 mm divide 31.25 times: 32 rows of 78.125 mm.
    #[test]
    fn the_rest_is_laid_in_the_new_way_from_the_row_reached() {
        let nipa = up(&[], 0, NIPA);
        assert_eq!((rows(&nipa), nipa[0].even_course_m), (45, 0.1));
        let both = up(&nipa, 20, COCONUT);
        assert_eq!(both.len(), 2);
        assert_eq!((both[0].rows, both[1].rows), (20, 32));
        assert!((both[1].from_m - 2.0).abs() < 1e-12);
        assert!((both[1].even_course_m - 0.078_125).abs() < 1e-12);
        assert!((both[1].top_m() - 4.5).abs() < 1e-12);
        let marks = marks_m(&both);
        assert_eq!(marks.len(), 52);
        assert!((marks[20] - 2.0).abs() < 1e-12 && (marks[21] - 2.078_125).abs() < 1e-12);
    }

    proptest! {
        /// However often the way changes, what lies stays where it is, and the
        /// rest reaches the ridge in rows no further apart than the way has them.
        #[test]
        fn what_lies_stays_and_the_rest_reaches_the_ridge(
            changes in proptest::collection::vec((0.03..0.2_f64, 0..2_usize, 0..20_u32), 1..8),
        ) {
            let mut bands = up(&[], 0, NIPA);
            let mut laid = 0;
            for (course_m, kind, more) in changes {
                laid = (laid + more).min(rows(&bands));
                let way = Way { kind: THATCHES[kind], course_m, ..NIPA };
                let after = up(&bands, laid, way);
                let lie = |bands: &[Band]| marks_m(bands).into_iter().take(laid as usize).collect::<Vec<_>>();
                // A few sums of numbers under 5.
                let moved = lie(&bands).iter().zip(lie(&after)).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                prop_assert!(moved < 1e-12);
                prop_assert!((after.last().unwrap().top_m() - 4.5).abs() < 1e-5);
                prop_assert!(after.last().unwrap().even_course_m <= course_m + 1e-9 || rows(&after) == laid);
                prop_assert!(panels_of(&after, laid) == panels_of(&bands, laid));
                bands = after;
            }
        }
    }

    #[test]
    fn with_nothing_laid_the_whole_slope_is_laid_anew() {
        assert_eq!(up(&up(&[], 0, NIPA), 0, COCONUT), up(&[], 0, COCONUT));
    }

    #[test]
    fn back_to_the_first_way_with_nothing_laid_between_changes_nothing() {
        let nipa = up(&[], 0, NIPA);
        assert_eq!(up(&up(&nipa, 20, COCONUT), 20, NIPA), nipa);
        let thrice = up(&up(&nipa, 20, COCONUT), 30, NIPA);
        assert_eq!(thrice.iter().map(|b| b.rows).collect::<Vec<_>>(), [20, 10, 18]);
    }

    #[test]
    fn a_slope_that_is_full_stays_as_it_is() {
        let nipa = up(&[], 0, NIPA);
        assert_eq!(up(&nipa, 45, COCONUT), nipa);
        assert_eq!(up(&nipa, 99, COCONUT), nipa);
    }

    #[test]
    fn rows_torn_off_before_the_change_are_laid_in_the_new_way() {
        let both = up(&up(&[], 0, NIPA), 20, COCONUT);
        let closer = Way { course_m: 0.06, ..COCONUT };
        let torn = up(&both, 15, closer);
        assert_eq!((torn.len(), torn[0].rows, torn[0].way.kind.id), (2, 15, "nipa"));
    }
}
