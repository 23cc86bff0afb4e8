//! What a plan must cost at the least, were parts of poles allowed.
//!
//! The linear program over all ways to cut a pole, with the ways found as they
//! are needed (P. C. Gilmore and R. E. Gomory, A linear programming approach
//! to the cutting-stock problem, Operations Research 9, 1961), and the bound
//! that holds before all are found (A. A. Farley, Operations Research 38,
//! 1990).

use std::collections::BTreeSet;

use super::pattern::{Bench, Pattern};
use super::shop::{Bole, Cutting, Shop, Worth};
use super::simplex::{CHEAPER, Column, Simplex};

/// What is made small, the things before it held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The length of pieces not made.
    Left,
    /// The number of poles.
    Poles,
    /// The length of the poles.
    Length,
}

/// What is still to be done.
#[derive(Debug, Clone)]
pub struct Rest {
    /// How many of each cutting.
    pub wanted: Vec<u32>,
    /// How many of each bole are still there.
    pub at_hand: Vec<u32>,
    /// What was spent before.
    pub spent: Worth,
}

impl Rest {
    /// All of it.
    pub fn of(shop: &Shop) -> Self {
        Self {
            wanted: shop.cuttings.iter().map(|c| c.wanted).collect(),
            at_hand: shop.boles.iter().map(|b| b.count).collect(),
            spent: Worth::default(),
        }
    }
}

/// The answer of the linear program.
#[derive(Debug)]
pub struct Relaxed {
    /// What the rest costs at the least; lengths as shares of the longest pole.
    pub bound: f64,
    /// What one of each cutting is worth.
    pub prices: Vec<f64>,
    /// What one of each bole costs, its rarity in it.
    pub costs: Vec<f64>,
    /// How often each way to cut is used.
    pub used: Vec<(Pattern, f64)>,
}

/// Ways to cut that were found useful.
pub type Pool = BTreeSet<Pattern>;

/// The most ways to cut that are kept.
const MOST_KEPT: usize = 3_000;

/// One linear program: its rows and what is told about them.
struct Program<'s> {
    shop: &'s Shop,
    rest: &'s Rest,
    aim: Aim,
    simplex: Simplex,
    /// The row of each cutting that is wanted.
    cutting_rows: Vec<Option<usize>>,
    /// The row of each bole that may run out.
    bole_rows: Vec<Option<usize>>,
    poles_row: Option<usize>,
    left_row: Option<usize>,
    right: Vec<f64>,
    leave: Vec<f64>,
    patterns: Vec<(usize, Pattern)>,
}

/// The cost of a bole to an aim.
pub fn cost(shop: &Shop, aim: Aim, bole: usize) -> f64 {
    match aim {
        Aim::Left => 0.0,
        Aim::Poles => 1.0,
        Aim::Length => shop.boles[bole].length as f64 / shop.longest() as f64,
    }
}

/// What each cutting costs that is not made: its length where that is the aim;
/// elsewhere as much as the best plan, which no better plan can pay.
fn leave(shop: &Shop, aim: Aim, best: Worth) -> Vec<f64> {
    let unit = shop.longest() as f64;
    let each = |cutting: &Cutting| match aim {
        Aim::Left => cutting.length as f64 / unit,
        Aim::Poles => f64::from(best.poles),
        Aim::Length => best.length as f64 / unit,
    };
    shop.cuttings.iter().map(each).collect()
}

/// The work of setting up a program and of the plans made beside it.
const BEGIN: u64 = 2_000;
/// The work of adding a column.
const ADD: u64 = 50;

/// Solves the program for the rest; `best` is the best plan so far, and only
/// plans that better it in `aim` are of interest.
pub fn relax(shop: &Shop, rest: &Rest, aim: Aim, best: Worth, pool: &mut Pool, work: &mut u64) -> Relaxed {
    if pool.len() > MOST_KEPT {
        pool.clear();
    }
    let mut program = Program::new(shop, rest, aim, best);
    *work = work.saturating_sub(BEGIN + pool.len() as u64);
    for pattern in pool.iter() {
        if pattern.pieces.iter().all(|(c, n)| *n <= rest.wanted[*c]) && rest.at_hand[pattern.bole] > 0 {
            *work = work.saturating_sub(ADD);
            program.add(pattern.clone());
        }
    }
    loop {
        let optimal = program.simplex.optimise(work);
        let (prices, costs) = program.prices();
        let mut share = 1.0_f64;
        let mut more = false;
        for bole in (0..shop.boles.len()).filter(|b| rest.at_hand[*b] > 0) {
            *work = work.saturating_sub(8 * rest.wanted.len() as u64);
            let bench = Bench::new(shop, bole, &rest.wanted, &prices);
            let dearest = bench.dearest(costs[bole] + CHEAPER, work);
            if dearest.most > costs[bole] + 10.0 * CHEAPER {
                let own = cost(shop, aim, bole);
                share = share.min(own / (dearest.most - costs[bole] + own));
            }
            if dearest.value > costs[bole] + CHEAPER && pool.insert(dearest.pattern.clone()) {
                program.add(dearest.pattern);
                more = true;
            }
        }
        if !more || !optimal || *work == 0 {
            let bound = share * program.dual_value(&prices);
            return Relaxed { bound, prices, costs, used: program.used() };
        }
    }
}

impl<'s> Program<'s> {
    fn new(shop: &'s Shop, rest: &'s Rest, aim: Aim, best: Worth) -> Self {
        let unit = shop.longest() as f64;
        let mut right: Vec<f64> = Vec::new();
        let mut row = |amount: f64| {
            right.push(amount);
            right.len() - 1
        };
        let total: u32 = rest.wanted.iter().sum();
        let cutting_rows: Vec<Option<usize>> =
            rest.wanted.iter().map(|n| (*n > 0).then(|| row(f64::from(*n)))).collect();
        let scarce = |(bole, n): (&Bole, &u32)| bole.scarce && *n > 0 && *n < total;
        let pairs = shop.boles.iter().zip(&rest.at_hand);
        let bole_rows = pairs.map(|(b, n)| scarce((b, n)).then(|| row(f64::from(*n)))).collect();
        let poles = best.poles.saturating_sub(rest.spent.poles);
        let poles_row = (aim == Aim::Length).then(|| row(f64::from(poles)));
        let left = (best.left - rest.spent.left).max(0);
        let left_row = (aim != Aim::Left && left > 0).then(|| row(left as f64 / unit));
        let leave = leave(shop, aim, best);
        let mut costs = vec![0.0; right.len()];
        let active = cutting_rows.iter().zip(&leave).filter(|(row, _)| row.is_some());
        costs.iter_mut().zip(active).for_each(|(cost, (_, leave))| *cost = *leave);
        let mut program = Self {
            shop,
            rest,
            aim,
            simplex: Simplex::new(&right, &costs),
            cutting_rows,
            bole_rows,
            poles_row,
            left_row,
            right,
            leave,
            patterns: Vec::new(),
        };
        program.add_loose_ends();
        program
    }

    /// Adds columns for pieces that are made beyond what is wanted, and for
    /// those that may be left out.
    fn add_loose_ends(&mut self) {
        let unit = self.shop.longest() as f64;
        let rows = self.cutting_rows.iter().zip(&self.shop.cuttings);
        for (row, cutting) in rows.filter_map(|(row, cutting)| row.map(|row| (row, cutting))) {
            self.simplex.add(Column { cost: 0.0, rows: vec![(row, -1.0)] });
            if let Some(left_row) = self.left_row {
                let length = cutting.length as f64 / unit;
                self.simplex.add(Column { cost: 0.0, rows: vec![(row, 1.0), (left_row, length)] });
            }
        }
    }

    fn add(&mut self, pattern: Pattern) {
        let pieces = pattern.pieces.iter();
        let mut rows: Vec<(usize, f64)> =
            pieces.filter_map(|(c, n)| self.cutting_rows[*c].map(|row| (row, f64::from(*n)))).collect();
        rows.extend(self.bole_rows[pattern.bole].map(|row| (row, 1.0)));
        rows.extend(self.poles_row.map(|row| (row, 1.0)));
        let cost = cost(self.shop, self.aim, pattern.bole);
        self.patterns.push((self.simplex.add(Column { cost, rows }), pattern));
    }

    /// What limits on poles and on what is left out add to a row's price; never
    /// less than nothing.
    fn rent(&self, row: Option<usize>) -> f64 {
        row.map_or(0.0, |row| (-self.simplex.duals()[row]).max(0.0))
    }

    /// Prices of cuttings and costs of boles, put right where rounding left
    /// them outside what any duals may be: the bound rests on these alone.
    fn prices(&self) -> (Vec<f64>, Vec<f64>) {
        let unit = self.shop.longest() as f64;
        let price = |(cutting, row): (usize, &Option<usize>)| {
            let Some(row) = row else { return 0.0 };
            let length = self.shop.cuttings[cutting].length as f64 / unit;
            let forgone = self.left_row.map_or(f64::INFINITY, |_| self.rent(self.left_row) * length);
            self.simplex.duals()[*row].min(self.leave[cutting]).min(forgone).max(0.0)
        };
        let prices = self.cutting_rows.iter().enumerate().map(price).collect();
        let all = self.bole_rows.iter().enumerate();
        let costs = all
            .map(|(bole, row)| cost(self.shop, self.aim, bole) + self.rent(*row) + self.rent(self.poles_row))
            .collect();
        (prices, costs)
    }

    fn dual_value(&self, prices: &[f64]) -> f64 {
        let gained: f64 = prices.iter().zip(&self.rest.wanted).map(|(p, n)| p * f64::from(*n)).sum();
        let limits = self.bole_rows.iter().copied().chain([self.poles_row, self.left_row]);
        let rents: f64 = limits.flatten().map(|row| self.rent(Some(row)) * self.right[row]).sum();
        (gained - rents).max(0.0)
    }

    fn used(self) -> Vec<(Pattern, f64)> {
        let amounts: Vec<(usize, f64)> = self.simplex.in_use().collect();
        let amount = |column| amounts.iter().find(|(c, _)| *c == column).map_or(0.0, |(_, x)| *x);
        let all = self.patterns.into_iter().map(|(column, pattern)| (pattern, amount(column)));
        all.filter(|(_, x)| *x > 1e-9).collect()
    }
}
