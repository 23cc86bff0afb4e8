//! Which pieces are made where the poles do not do for all, and of which
//! poles.
//!
//! Pieces stand in an order, and none is left lacking for the sake of one
//! after it. For what can be made the fewest poles are taken, and of all ways
//! to do with so few one that takes the thinnest: a pole that is thicker than
//! it need be is kept.

use super::{KERF_M, Pole, Wanted};
use crate::reckon::timber::{self, All, Cut, In, Out};

/// The steps of the search for what can be made, and of that for thin poles.
const STEPS: u64 = (0.2 * timber::STEPS_A_SECOND) as u64;
/// How long the search for the fewest poles may take, in its own counted
/// seconds.
const SECONDS: f64 = 0.2;
/// The share of the steps left that one question may take.
const SHARE: u64 = 8;

/// What is made, and how.
#[derive(Debug)]
pub(super) struct Served {
    /// The cuts.
    pub out: Out,
    /// Whether it is proved that no more of a piece can be made without less
    /// of one before it.
    pub proved: bool,
}

/// Cuts poles to the pieces that are wanted, the first wanted before the next.
pub(super) fn served(wanted: &[Wanted], stock: &[Pole]) -> Served {
    let whole = asked(wanted, stock);
    let (made, found, proved) = most(&whole);
    let fewest = timber::run(&made).ok().filter(|out| out.lacking.is_empty());
    let mut out = fewest.unwrap_or(found);
    let bound = out.bound;
    out.cuts = thinnest(std::mem::take(&mut out.cuts), &made);
    out = sparing(&made, out);
    out.bound = bound;
    out.proved = out.poles == bound;
    let short = |name: &String| {
        let count = |of: &In| of.pieces.iter().find(|piece| piece.name == *name).map(|piece| piece.count);
        count(&made) < count(&whole)
    };
    out.lacking = wanted.iter().map(|piece| piece.name.to_owned()).filter(short).collect();
    Served { out, proved }
}

fn asked(wanted: &[Wanted], stock: &[Pole]) -> In {
    let pole = |pole: &Pole| timber::Stock {
        length_m: pole.size.length_m,
        count: pole.count.map(|n| n.min(1_000_000)),
        d_m: Some(pole.size.d_m),
    };
    let piece = |piece: &Wanted| timber::Piece {
        name: piece.name.to_owned(),
        length_m: piece.size.length_m,
        count: piece.count,
        min_d_m: piece.size.d_m,
    };
    In {
        stock: stock.iter().map(pole).collect(),
        pieces: wanted.iter().map(piece).collect(),
        kerf_m: KERF_M,
        seconds: SECONDS,
    }
}

/// As much as can be made in the order of the pieces: how many of each, a way
/// to do it, and whether it is proved that there is no more.
fn most(whole: &In) -> (In, Out, bool) {
    let mut left = STEPS;
    let mut can = |asked: &In| {
        let most = left / SHARE;
        timber::all_made(asked, None, &mut left, most)
    };
    if let All::Made(out) = can(whole) {
        return (whole.clone(), out, true);
    }
    let mut made = whole.clone();
    made.pieces.iter_mut().for_each(|piece| piece.count = 0);
    let mut found = nothing();
    let mut proved = true;
    for kind in 0..whole.pieces.len() {
        let (mut low, mut high) = (0, whole.pieces[kind].count);
        let (mut tried, mut sure) = (high, true);
        while low < high {
            made.pieces[kind].count = tried;
            match can(&made) {
                All::Made(out) => (low, found) = (tried, out),
                // The last that is refused is one more than is made.
                no => (high, sure) = (tried - 1, no == All::Not),
            }
            tried = low + (high - low).div_ceil(2);
        }
        made.pieces[kind].count = low;
        proved &= sure;
    }
    (made, found, proved)
}

fn nothing() -> Out {
    Out {
        poles: 0,
        length_m: 0.0,
        cuts: Vec::new(),
        waste_m: 0.0,
        bound: 0,
        proved: true,
        lacking: Vec::new(),
    }
}

/// The poles from the thinnest up, of one thickness the shortest first.
fn from_thin(asked: &In) -> Vec<usize> {
    let mut order: Vec<usize> = (0..asked.stock.len()).collect();
    let size = |at: usize| (asked.stock[at].d_m.unwrap_or(f64::INFINITY), asked.stock[at].length_m);
    order.sort_by(|a, b| {
        let (a, b) = (size(*a), size(*b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    order
}

/// The same pieces from as many poles, with as few as can be of the thickest,
/// then of the next.
fn sparing(asked: &In, mut best: Out) -> Out {
    let mut left = STEPS;
    let mut few = asked.clone();
    for at in from_thin(asked).into_iter().rev() {
        let used = |out: &Out| out.cuts.iter().filter(|cut| cut.stock == at).map(|cut| cut.count).sum();
        let mut least = 0;
        let mut most: u32 = used(&best);
        while least < most {
            let tried = least + (most - least) / 2;
            few.stock[at].count = Some(tried);
            let share = left / SHARE;
            match timber::all_made(&few, Some(best.poles), &mut left, share) {
                All::Made(out) => {
                    best = Out { cuts: thinnest(out.cuts, &few), ..out };
                    most = used(&best);
                }
                All::Not | All::Unknown => least = tried + 1,
            }
        }
        few.stock[at].count = Some(most);
    }
    // Poles of a size that is fixed may still lie there beyond what is used.
    best.cuts = thinnest(best.cuts, asked);
    let length = |cut: &Cut| f64::from(cut.count) * asked.stock[cut.stock].length_m;
    let made = |piece: &timber::Piece| f64::from(piece.count) * piece.length_m;
    best.length_m = best.cuts.iter().map(length).fold(0.0, |sum, m| sum + m);
    best.waste_m = best.length_m - asked.pieces.iter().map(made).fold(0.0, |sum, m| sum + m);
    best
}

/// The same cuts, each from the thinnest pole that does and is not taken.
fn thinnest(mut cuts: Vec<Cut>, asked: &In) -> Vec<Cut> {
    let order = from_thin(asked);
    let rank = |stock: usize| order.iter().position(|at| *at == stock);
    let mut there: Vec<u32> = asked.stock.iter().map(|pole| pole.count.unwrap_or(u32::MAX)).collect();
    for cut in &cuts {
        there[cut.stock] = there[cut.stock].saturating_sub(cut.count);
    }
    // What asks for the thickest first: all others could take its pole too.
    cuts.sort_by(|a, b| least(b, asked).1.total_cmp(&least(a, asked).1));
    let mut next = 0;
    while let Some(cut) = cuts.get(next) {
        let (length_m, d_m) = least(cut, asked);
        let does = |at: &&usize| {
            let pole = &asked.stock[**at];
            let thick = pole.d_m.is_none_or(|d| d >= d_m);
            there[**at] > 0 && thick && pole.length_m + timber::SPARE_M >= length_m
        };
        let thinner = order.iter().take(rank(cut.stock).unwrap_or_default()).find(does).copied();
        let Some(thinner) = thinner else {
            next += 1;
            continue;
        };
        let moved = cut.count.min(there[thinner]);
        let (stock, pieces) = (cut.stock, cut.pieces.clone());
        there[thinner] -= moved;
        there[stock] = there[stock].saturating_add(moved);
        cuts[next].count -= moved;
        if cuts[next].count == 0 {
            cuts.remove(next);
        }
        cuts.push(Cut { stock: thinner, count: moved, pieces });
        // The pole that came free may do for a cut that was looked at.
        next = 0;
    }
    gathered(cuts)
}

/// How long, and how thick at the least, a pole must be for a cut, m.
fn least(cut: &Cut, asked: &In) -> (f64, f64) {
    let of_cut = cut.pieces.iter().filter_map(|name| asked.pieces.iter().find(|piece| piece.name == *name));
    let saw = KERF_M * cut.pieces.len().saturating_sub(1) as f64;
    of_cut.fold((saw, 0.0), |(m, d), piece| (m + piece.length_m, piece.min_d_m.max(d)))
}

/// Equal cuts put together, in the order of the poles.
fn gathered(mut cuts: Vec<Cut>) -> Vec<Cut> {
    cuts.sort_unstable_by(|a, b| (a.stock, &a.pieces).cmp(&(b.stock, &b.pieces)));
    cuts.dedup_by(|next, kept| {
        let alike = (next.stock, &next.pieces) == (kept.stock, &kept.pieces);
        if alike {
            kept.count += next.count;
        }
        alike
    });
    cuts
}

#[cfg(test)]
mod tests;
