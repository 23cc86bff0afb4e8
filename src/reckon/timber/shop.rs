//! What the search works on: whole numbers, equal things put together.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::{In, SPARE_M};

/// Whole picometres to the metre. Lengths of up to 1,000 m with up to twelve
/// decimals turn into whole numbers exactly, so that sums are exact too; of
/// others a thousand fit on one pole before rounding reaches [`SPARE_M`].
const UNITS: f64 = 1e12;

/// The most that is worked out to tell which lengths poles can have together.
const MOST_STEPS: usize = 2_000_000;

/// Pieces that are alike to the saw: one length, served by the same poles.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutting {
    /// The length alone.
    pub length: i64,
    /// The length and one kerf.
    pub size: i64,
    /// How many are wanted.
    pub wanted: u32,
    /// The kinds of pieces it is made of, in the order given.
    pub kinds: Vec<usize>,
}

/// Poles that are alike to the saw: one length, serving the same pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Bole {
    /// The length alone.
    pub length: i64,
    /// The length, one kerf and the tolerance: what sizes must fit into.
    pub room: i64,
    /// How many there are; no more than could be used.
    pub count: u32,
    /// Whether they may run out.
    pub scarce: bool,
    /// For each [`Cutting`] whether this pole is long and thick enough.
    pub serves: Vec<bool>,
    /// The kinds of stock it is made of, in the order given.
    pub kinds: Vec<usize>,
}

/// Everything to be cut, and everything to cut it from.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The longest first.
    pub cuttings: Vec<Cutting>,
    /// In the order given.
    pub boles: Vec<Bole>,
}

/// Poles cut alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    /// The index of the [`Bole`].
    pub bole: usize,
    /// The index of each [`Cutting`] and how many of it, in ascending order.
    pub pieces: Vec<(usize, u32)>,
    /// How many poles are cut so.
    pub count: u32,
}

/// What a plan is judged by, the first aim first; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Worth {
    /// The length of pieces that are not made.
    pub left: i128,
    /// The number of poles.
    pub poles: u32,
    /// Their length.
    pub length: i128,
}

fn units(metres: f64) -> i64 {
    (metres * UNITS).round() as i64
}

impl Shop {
    /// Puts together what is alike, and leaves out pieces that no pole serves.
    pub fn new(input: &In) -> Self {
        let spare = units(SPARE_M);
        let kerf = units(input.kerf_m);
        let stock: Vec<usize> =
            (0..input.stock.len()).filter(|s| input.stock[*s].count.is_none_or(|n| n > 0)).collect();
        let mut alike: BTreeMap<(Reverse<i64>, Reverse<Vec<bool>>), Cutting> = BTreeMap::new();
        for (kind, piece) in input.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
            let length = units(piece.length_m);
            let serves = |s: &usize| {
                let pole = &input.stock[*s];
                length <= units(pole.length_m) + spare && pole.d_m.is_none_or(|d| d >= piece.min_d_m)
            };
            let served: Vec<bool> = stock.iter().map(serves).collect();
            if served.iter().any(|s| *s) {
                let new = Cutting { length, size: length + kerf, wanted: 0, kinds: Vec::new() };
                let cutting = alike.entry((Reverse(length), Reverse(served))).or_insert(new);
                cutting.wanted += piece.count;
                cutting.kinds.push(kind);
            }
        }
        let wanted = alike.values().map(|c| c.wanted).sum();
        let mut boles: Vec<Bole> = Vec::new();
        for (at, kind) in stock.into_iter().enumerate() {
            let serves: Vec<bool> = alike.keys().map(|(_, served)| served.0[at]).collect();
            let length = units(input.stock[kind].length_m);
            let count = input.stock[kind].count.unwrap_or(wanted).min(wanted);
            match boles.iter_mut().find(|b| b.length == length && b.serves == serves) {
                Some(bole) => {
                    bole.count = (bole.count + count).min(wanted);
                    bole.kinds.push(kind);
                }
                None if serves.contains(&true) => {
                    let room = length + kerf + spare;
                    boles.push(Bole { length, room, count, scarce: false, serves, kinds: vec![kind] });
                }
                None => {}
            }
        }
        for bole in &mut boles {
            bole.scarce = bole.count < wanted;
        }
        Self { cuttings: alike.into_values().collect(), boles }
    }

    /// What a plan is worth.
    pub fn worth(&self, cuts: &[Cut]) -> Worth {
        let wanted = self.cuttings.iter().map(|c| i128::from(c.length) * i128::from(c.wanted)).sum();
        let mut worth = Worth { left: wanted, ..Worth::default() };
        for cut in cuts {
            let made: i128 = cut.pieces.iter().map(|(c, n)| self.length(*c) * i128::from(*n)).sum();
            worth.left -= made * i128::from(cut.count);
            worth.poles += cut.count;
            worth.length += i128::from(self.boles[cut.bole].length) * i128::from(cut.count);
        }
        worth
    }

    fn length(&self, cutting: usize) -> i128 {
        self.cuttings[cutting].length.into()
    }

    /// The longest pole's length.
    pub fn longest(&self) -> i64 {
        self.boles.iter().map(|b| b.length).max().unwrap_or(1)
    }

    /// The greatest length under `length` that so many poles can have, by
    /// their lengths alone; `None` where there is none.
    pub fn shorter(&self, poles: u32, length: i128) -> Option<i128> {
        let longest = self.longest();
        let short: Vec<i64> = self.boles.iter().map(|b| longest - b.length).filter(|d| *d > 0).collect();
        let step = short.iter().fold(0, |step, d| common_measure(step, *d));
        let most = i128::from(*short.iter().max()?) * i128::from(poles);
        let all = i128::from(longest) * i128::from(poles);
        let steps = (most / i128::from(step)) as usize;
        if steps.saturating_mul(short.len()) > MOST_STEPS {
            return Some(length - i128::from(step));
        }
        // The fewest poles that are together so many steps short.
        let mut fewest = vec![u32::MAX; steps + 1];
        fewest[0] = 0;
        for at in 1..=steps {
            let before = short.iter().filter_map(|d| at.checked_sub((d / step) as usize));
            fewest[at] = before.map(|before| fewest[before].saturating_add(1)).min().unwrap_or(u32::MAX);
        }
        let now = usize::try_from((all - length) / i128::from(step)).ok()?;
        let next = (now + 1..=steps).find(|at| fewest[*at] <= poles)?;
        Some(all - next as i128 * i128::from(step))
    }

    /// The number of poles that these pieces take at the least, by their sizes
    /// alone.
    pub fn by_size(&self, made: &[u32]) -> u32 {
        let mut left: i128 =
            self.cuttings.iter().zip(made).map(|(c, n)| i128::from(c.size) * i128::from(*n)).sum();
        let mut rooms: Vec<(i64, u32)> = self.boles.iter().map(|b| (b.room, b.count)).collect();
        rooms.sort_unstable_by_key(|r| Reverse(*r));
        let mut poles = 0;
        for (room, count) in rooms {
            let room = i128::from(room);
            let most = left.max(0).div_euclid(room) + i128::from(left.max(0).rem_euclid(room) > 0);
            let taken = most.min(i128::from(count));
            left -= taken * room;
            poles += taken as u32;
        }
        poles
    }
}

/// Puts equal cuts together, in ascending order.
pub fn gathered(mut cuts: Vec<Cut>) -> Vec<Cut> {
    cuts.sort_unstable();
    cuts.dedup_by(|next, kept| {
        let alike = next.bole == kept.bole && next.pieces == kept.pieces;
        if alike {
            kept.count += next.count;
        }
        alike
    });
    cuts
}

/// The greatest common measure of two lengths, 0 counting as none.
pub fn common_measure(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common_measure(b, a % b) }
}
