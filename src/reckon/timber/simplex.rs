//! Linear programs to which columns are added as they are found.
//!
//! The revised simplex method with the inverse of the basis kept in full:
//! least cost, x ≥ 0, one equation a row. (G. B. Dantzig, Linear Programming
//! and Extensions, 1963, chapters 8 and 9.)

/// A number under which a pivot is not trusted.
const PIVOT: f64 = 1e-9;
/// How far below zero a reduced cost must be to count.
pub const CHEAPER: f64 = 1e-10;

/// One unknown: what it costs, and its number in some of the rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The cost of one.
    pub cost: f64,
    /// Row and number, each row once.
    pub rows: Vec<(usize, f64)>,
}

/// A program in hand, at a corner of what is possible.
#[derive(Debug, Clone)]
pub struct Simplex {
    columns: Vec<Column>,
    basis: Vec<usize>,
    inverse: Vec<f64>,
    values: Vec<f64>,
    duals: Vec<f64>,
}

impl Simplex {
    /// Begins with one column for each row that has a 1 in it and that cost;
    /// `right` are the right sides, none negative.
    pub fn new(right: &[f64], costs: &[f64]) -> Self {
        let rows = right.len();
        let mut inverse = vec![0.0; rows * rows];
        inverse.iter_mut().step_by(rows + 1).for_each(|x| *x = 1.0);
        let own = |(row, cost): (usize, &f64)| Column { cost: *cost, rows: vec![(row, 1.0)] };
        Self {
            columns: costs.iter().enumerate().map(own).collect(),
            basis: (0..rows).collect(),
            inverse,
            // Right sides that differ a very little keep corners apart, so that
            // no pivot stands still; the duals, which alone are relied on, do
            // not feel it.
            values: right.iter().enumerate().map(|(i, r)| r + apart(i)).collect(),
            duals: costs.to_vec(),
        }
    }

    /// Adds a column; its number.
    pub fn add(&mut self, column: Column) -> usize {
        self.columns.push(column);
        self.columns.len() - 1
    }

    /// The price of each row.
    pub fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// The columns that are in use and how much of each.
    pub fn in_use(&self) -> impl Iterator<Item = (usize, f64)> {
        self.basis.iter().copied().zip(self.values.iter().copied())
    }

    /// Pivots until no column is cheaper. Each step's work is taken off
    /// `work`; false when that ran out first.
    pub fn optimise(&mut self, work: &mut u64) -> bool {
        let rows = self.basis.len();
        let touched: usize = self.columns.iter().map(|c| c.rows.len()).sum();
        let each = (touched + rows * rows / 2) as u64;
        while let Some((column, reduced)) = self.cheapest() {
            if *work < each {
                *work = 0;
                return false;
            }
            *work -= each;
            if !self.pivot(column, reduced) {
                return false;
            }
        }
        true
    }

    fn cheapest(&self) -> Option<(usize, f64)> {
        let reduced = |c: &Column| c.cost - c.rows.iter().map(|(r, x)| self.duals[*r] * x).sum::<f64>();
        let all = self.columns.iter().map(reduced).enumerate();
        all.filter(|(_, reduced)| *reduced < -CHEAPER).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Brings a column into the basis; false when nothing bounds it.
    fn pivot(&mut self, column: usize, reduced: f64) -> bool {
        let rows = self.basis.len();
        let entering: Vec<f64> = (0..rows)
            .map(|i| {
                let own = &self.inverse[i * rows..(i + 1) * rows];
                self.columns[column].rows.iter().map(|(r, x)| own[*r] * x).sum()
            })
            .collect();
        let ratio = |i: &usize| self.values[*i].max(0.0) / entering[*i];
        let leaving = (0..rows)
            .filter(|i| entering[*i] > PIVOT)
            .min_by(|a, b| ratio(a).total_cmp(&ratio(b)).then(entering[*b].total_cmp(&entering[*a])));
        let Some(leaving) = leaving else { return false };
        let step = ratio(&leaving);
        let at = leaving * rows;
        for x in &mut self.inverse[at..at + rows] {
            *x /= entering[leaving];
        }
        let own = self.inverse[at..at + rows].to_vec();
        for (i, by) in entering.iter().enumerate() {
            if i != leaving && *by != 0.0 {
                let other = &mut self.inverse[i * rows..(i + 1) * rows];
                other.iter_mut().zip(&own).for_each(|(x, y)| *x -= by * y);
                self.values[i] -= by * step;
            }
        }
        self.values[leaving] = step;
        self.basis[leaving] = column;
        self.duals.iter_mut().zip(&own).for_each(|(dual, x)| *dual += reduced * x);
        true
    }
}

/// Less than a millionth, different for every row.
fn apart(row: usize) -> f64 {
    1e-6 * ((row + 1) as f64 * 0.618_033_988_749_895).fract()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_trades_share_three_benches() {
        // At most 4, 12 and 18 hours; 3 x + 5 y gained: 2 and 6, gain 36.
        let mut simplex = Simplex::new(&[4.0, 12.0, 18.0], &[0.0; 3]);
        let x = simplex.add(Column { cost: -3.0, rows: vec![(0, 1.0), (2, 3.0)] });
        assert!(simplex.optimise(&mut 1000));
        let y = simplex.add(Column { cost: -5.0, rows: vec![(1, 2.0), (2, 2.0)] });
        assert!(simplex.optimise(&mut 1000));
        let of = |column| simplex.in_use().find(|(c, _)| *c == column).unwrap().1;
        assert!((of(x) - 2.0).abs() < 1e-5 && (of(y) - 6.0).abs() < 1e-5);
        let gain: f64 = simplex.duals().iter().zip([4.0, 12.0, 18.0]).map(|(d, r)| d * r).sum();
        assert!((gain + 36.0).abs() < 1e-12);
    }

    #[test]
    fn what_nothing_bounds_is_not_called_done() {
        let mut simplex = Simplex::new(&[1.0], &[0.0]);
        simplex.add(Column { cost: -1.0, rows: vec![(0, -1.0)] });
        assert!(!simplex.optimise(&mut 1000));
    }

    #[test]
    fn work_that_runs_out_is_said() {
        let mut simplex = Simplex::new(&[1.0], &[0.0]);
        simplex.add(Column { cost: -1.0, rows: vec![(0, 1.0)] });
        let mut work = 1;
        assert!(!simplex.optimise(&mut work));
        assert_eq!(work, 0);
    }
}
