//! Plans made at once, without a search: the longest pieces first, each onto
//! the first pole that has room.

use std::cmp::Reverse;

use super::shop::{Cut, Shop, gathered};

/// Which pole is taken when a new one is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begin {
    /// The longest that serves.
    Longest,
    /// The shortest that serves.
    Shortest,
}

/// Which piece comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum First {
    /// The longest.
    Long,
    /// The one that the fewest poles serve, then the longest.
    Rare,
}

/// The ways of filling that are tried.
pub const WAYS: [(First, Begin); 4] = [
    (First::Long, Begin::Longest),
    (First::Rare, Begin::Longest),
    (First::Long, Begin::Shortest),
    (First::Rare, Begin::Shortest),
];

/// Poles filled alike so far.
#[derive(Debug, Clone)]
struct Filled {
    cut: Cut,
    room: i64,
}

/// First fit, decreasing. The work grows with the kinds, not with the pieces.
pub fn first_fit(shop: &Shop, wanted: &[u32], at_hand: &[u32], way: (First, Begin)) -> Vec<Cut> {
    let mut at_hand = at_hand.to_vec();
    let mut order: Vec<usize> = (0..wanted.len()).filter(|c| wanted[*c] > 0).collect();
    if way.0 == First::Rare {
        order.sort_by_key(|c| shop.boles.iter().filter(|b| b.serves[*c]).count());
    }
    let mut filled: Vec<Filled> = Vec::new();
    for cutting in order {
        let left = onto_begun(shop, &mut filled, cutting, wanted[cutting]);
        onto_new(shop, &mut filled, &mut at_hand, way.1, (cutting, left));
    }
    let mut cuts: Vec<Cut> = filled.into_iter().map(|f| f.cut).collect();
    for cut in &mut cuts {
        cut.pieces.sort_unstable();
    }
    onto_shorter(shop, &mut cuts, &mut at_hand);
    gathered(cuts)
}

/// Puts what fits onto poles that were begun; what is left over.
fn onto_begun(shop: &Shop, filled: &mut Vec<Filled>, cutting: usize, mut left: u32) -> u32 {
    let size = shop.cuttings[cutting].size;
    let mut at = 0;
    while at < filled.len() && left > 0 {
        let each = fitting(filled[at].room, size).min(left);
        if each > 0 && shop.boles[filled[at].cut.bole].serves[cutting] {
            let alike = filled[at].cut.count.min(left / each);
            if alike < filled[at].cut.count {
                let mut others = filled[at].clone();
                others.cut.count -= alike;
                filled.insert(at + 1, others);
            }
            filled[at].cut.count = alike;
            filled[at].cut.pieces.push((cutting, each));
            filled[at].room -= i64::from(each) * size;
            left -= alike * each;
        }
        at += 1;
    }
    left
}

/// Begins new poles until nothing is left or no pole serves.
fn onto_new(
    shop: &Shop,
    filled: &mut Vec<Filled>,
    at_hand: &mut [u32],
    begin: Begin,
    (cutting, mut left): (usize, u32),
) {
    let size = shop.cuttings[cutting].size;
    while left > 0 {
        let serving = (0..at_hand.len()).filter(|b| at_hand[*b] > 0 && shop.boles[*b].serves[cutting]);
        // Of poles of one length the one that serves the fewest others.
        let others = |b: &usize| shop.boles[*b].serves.iter().filter(|s| **s).count();
        let new = match begin {
            Begin::Longest => serving.min_by_key(|b| (Reverse(shop.boles[*b].length), others(b))),
            Begin::Shortest => serving.min_by_key(|b| (shop.boles[*b].length, others(b))),
        };
        let Some(bole) = new else { return };
        let room = shop.boles[bole].room;
        let each = fitting(room, size).min(left);
        let count = at_hand[bole].min(left / each);
        at_hand[bole] -= count;
        left -= count * each;
        let cut = Cut { bole, pieces: vec![(cutting, each)], count };
        filled.push(Filled { cut, room: room - i64::from(each) * size });
    }
}

/// Moves each cut, those on the longest poles first, to the shortest pole at
/// hand that still holds it.
fn onto_shorter(shop: &Shop, cuts: &mut Vec<Cut>, at_hand: &mut [u32]) {
    cuts.sort_by_key(|cut| Reverse(shop.boles[cut.bole].length));
    let mut at = 0;
    while at < cuts.len() {
        let now = &shop.boles[cuts[at].bole];
        let size: i64 = cuts[at].pieces.iter().map(|(c, n)| shop.cuttings[*c].size * i64::from(*n)).sum();
        let holds = |b: &usize| {
            let bole = &shop.boles[*b];
            let serves = cuts[at].pieces.iter().all(|(c, _)| bole.serves[*c]);
            at_hand[*b] > 0 && bole.length < now.length && bole.room >= size && serves
        };
        if let Some(bole) = (0..at_hand.len()).filter(holds).min_by_key(|b| shop.boles[*b].length) {
            let count = cuts[at].count.min(at_hand[bole]);
            if count < cuts[at].count {
                let others = Cut { count: cuts[at].count - count, ..cuts[at].clone() };
                cuts.insert(at + 1, others);
            }
            at_hand[cuts[at].bole] += count;
            at_hand[bole] -= count;
            cuts[at] = Cut { bole, count, pieces: std::mem::take(&mut cuts[at].pieces) };
        }
        at += 1;
    }
}

/// How many of a size fit into a room.
pub fn fitting(room: i64, size: i64) -> u32 {
    u32::try_from(room / size).unwrap_or(u32::MAX)
}
