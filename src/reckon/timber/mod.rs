//! Pieces from poles: which pole to cut into what, so that the fewest are
//! felled.
//!
//! All that can be made is made; where poles run out, the greatest length of
//! pieces. Then the fewest poles, then the least length of them. A plan is made
//! at once and bettered by a search that ends when the plan is proved best or
//! its steps are used up.

mod fill;
mod pattern;
mod relax;
mod search;
mod shop;
mod simplex;

use std::collections::BTreeSet;

use serde::Serialize;
use serde_json::Value;

use self::relax::Aim;
use self::search::{Search, bound_for};
use self::shop::{Cut as Plan, Shop};
use super::count::round_up;
use super::fields::{MOST_COUNT, number, whole};
use super::{Fields, Refusal};

/// The most kinds of stock, and of pieces.
pub const MOST_KINDS: usize = 200;
/// The most pieces.
pub const MOST_PIECES: u32 = 100_000;
/// By how much the pieces of a pole may be too long together.
pub const SPARE_M: f64 = 1e-9;
/// Search steps for a second: a step is a node of the search for a pattern or
/// a number touched in a linear program; so many take about a second of one
/// ordinary core.
pub const STEPS_A_SECOND: f64 = 4e8;

/// Poles of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// 1e-6 to 1,000 m.
    pub length_m: f64,
    /// How many there are, 0 to 1,000,000; as many as wanted where there is
    /// none.
    pub count: Option<u32>,
    /// The diameter, 1e-6 to 1,000 m; thick enough for all where there is none.
    pub d_m: Option<f64>,
}

/// Pieces of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What the builder calls it; no two alike.
    pub name: String,
    /// 1e-6 to 1,000 m.
    pub length_m: f64,
    /// How many are wanted, 0 to 1,000,000.
    pub count: u32,
    /// How thick its pole must be, 0 or 1e-6 to 1,000 m.
    pub min_d_m: f64,
}

/// What there is and what is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct In {
    /// Poles, up to [`MOST_KINDS`] kinds.
    pub stock: Vec<Stock>,
    /// Pieces, up to [`MOST_KINDS`] kinds and [`MOST_PIECES`] in all.
    pub pieces: Vec<Piece>,
    /// What a saw or an axe takes between two pieces, 0 or 1e-6 to 1,000 m.
    pub kerf_m: f64,
    /// How long to search, as [`STEPS_A_SECOND`], 0 to 60.
    pub seconds: f64,
}

impl In {
    /// Reads the input.
    ///
    /// # Errors
    /// Refuses a missing or unknown key, a number outside its range, a name
    /// given twice, and more than [`MOST_PIECES`].
    pub fn read(value: Value) -> Result<Self, Refusal> {
        let mut f = Fields::open("", value)?;
        let stock = f.list("stock", 0, MOST_KINDS)?;
        let stock = stock.into_iter().map(|(at, v)| read_stock(&at, v)).collect::<Result<_, _>>()?;
        let mut names = BTreeSet::new();
        let mut total = 0;
        let mut pieces = Vec::new();
        for (place, value) in f.list("pieces", 0, MOST_KINDS)? {
            let piece = read_piece(&place, value)?;
            if !names.insert(piece.name.clone()) {
                return Err(Refusal::at(format!("{place}/name"), "given before; another name would do"));
            }
            total += piece.count;
            if total > MOST_PIECES {
                let why = format!("makes {total} pieces; up to {MOST_PIECES} in all would do");
                return Err(Refusal::at(format!("{place}/count"), why));
            }
            pieces.push(piece);
        }
        let input = Self {
            stock,
            pieces,
            kerf_m: f.length_or_zero_or("kerf_m", 0.005)?,
            seconds: f.number_or("seconds", 1.0, 0.0, 60.0)?,
        };
        f.end()?;
        Ok(input)
    }
}

fn read_stock(place: &str, value: Value) -> Result<Stock, Refusal> {
    let mut f = Fields::open(place, value)?;
    let length_m = f.length("length_m")?;
    let given = |value: Option<Value>| value.filter(|v| !v.is_null());
    let count = given(f.maybe("count")).map(|v| whole(&f.at("count"), &v, 0, MOST_COUNT)).transpose()?;
    let (least, most) = super::fields::LENGTH_M;
    let d_m = given(f.maybe("d_m")).map(|v| number(&f.at("d_m"), &v, least, most)).transpose()?;
    f.end()?;
    Ok(Stock { length_m, count, d_m })
}

fn read_piece(place: &str, value: Value) -> Result<Piece, Refusal> {
    let mut f = Fields::open(place, value)?;
    let piece = Piece {
        name: f.text("name")?,
        length_m: f.length("length_m")?,
        count: f.whole("count", 0, MOST_COUNT)?,
        min_d_m: f.length_or_zero_or("min_d_m", 0.0)?,
    };
    f.end()?;
    Ok(piece)
}

/// Poles that are cut alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Cut {
    /// The kind of stock, by its place in the list from 0.
    pub stock: usize,
    /// How many poles.
    pub count: u32,
    /// What each is cut into, the longest first.
    pub pieces: Vec<String>,
}

/// The cutting list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Out {
    /// How many poles are used.
    pub poles: u32,
    /// Their length together.
    pub length_m: f64,
    /// What each is cut into.
    pub cuts: Vec<Cut>,
    /// What is not used of them, the saw's share in it.
    pub waste_m: f64,
    /// A proved lower bound on the poles for the pieces that are made.
    pub bound: u32,
    /// Whether the poles are as few as the bound.
    pub proved: bool,
    /// Kinds that are not all made.
    pub lacking: Vec<String>,
}

/// Works out the cutting list.
///
/// # Errors
/// None for numbers within their ranges.
pub fn run(input: &In) -> Result<Out, Refusal> {
    let shop = Shop::new(input);
    let (plan, bound) = best_plan(&shop, (input.seconds * STEPS_A_SECOND) as u64);
    Ok(out(input, &shop, &plan, bound))
}

/// A plan in the builder's words.
fn out(input: &In, shop: &Shop, plan: &[Plan], bound: u32) -> Out {
    let poles = plan.iter().map(|cut| cut.count).sum();
    let made = made(input, shop, plan);
    let mut cuts = named(input, shop, plan);
    cuts.sort_unstable();
    let length_m =
        cuts.iter().fold(0.0, |sum, cut| sum + f64::from(cut.count) * input.stock[cut.stock].length_m);
    let made_m =
        input.pieces.iter().zip(&made).fold(0.0, |sum, (piece, n)| sum + f64::from(*n) * piece.length_m);
    let lacking = input.pieces.iter().zip(&made).filter(|(piece, n)| **n < piece.count);
    let lacking = lacking.map(|(piece, _)| piece.name.clone()).collect();
    Out { poles, length_m, cuts, waste_m: length_m - made_m, bound, proved: poles == bound, lacking }
}

/// Whether all pieces can be made.
#[derive(Debug, Clone, PartialEq)]
pub enum All {
    /// They can, so; it is not said that fewer poles would not do.
    Made(Out),
    /// They cannot: this is proved.
    Not,
    /// No way was found, and none is ruled out.
    Unknown,
}

/// Whether all pieces can be made, of no more than so many poles where that is
/// asked for, in at most `most` of the steps that are left; those it takes are
/// taken off. [`In::seconds`] is not looked at.
#[must_use]
pub fn all_made(input: &In, poles: Option<u32>, left: &mut u64, most: u64) -> All {
    let shop = Shop::new(input);
    let served: u32 = shop.cuttings.iter().map(|cutting| cutting.wanted).sum();
    if served < input.pieces.iter().map(|piece| piece.count).sum() {
        return All::Not;
    }
    let mut search = Search::new(&shop);
    let mut through = search.worth.left == 0 || search.come_to(Aim::Left, 0.0, left, most);
    let many = |poles: &u32| search.worth.poles > *poles;
    if search.worth.left == 0
        && let Some(poles) = poles.filter(many)
    {
        through = search.come_to(Aim::Poles, f64::from(poles), left, most);
    }
    if search.worth.left == 0 && poles.is_none_or(|poles| search.worth.poles <= poles) {
        All::Made(out(input, &shop, &search.best, shop.by_size(&made_of(&shop, &search.best))))
    } else if through {
        All::Not
    } else {
        All::Unknown
    }
}

/// The best plan found in so many steps, and a lower bound on its poles.
fn best_plan(shop: &Shop, steps: u64) -> (Vec<Plan>, u32) {
    let mut work = steps;
    let mut search = Search::new(shop);
    if search.worth.left > 0 {
        search.better(Aim::Left, &mut work, steps / 2);
    }
    let one_length = shop.boles.iter().all(|b| b.length == shop.longest());
    let most = if one_length { work / 10 * 9 } else { work / 5 * 3 };
    let mut fewest = search.better(Aim::Poles, &mut work, most);
    if !one_length {
        let (reserve, poles) = (work / 5, search.worth.poles);
        let most = work - reserve;
        search.better(Aim::Length, &mut work, most);
        fewest.through &= poles == search.worth.poles;
    }
    let poles = search.worth.poles;
    let made = made_of(shop, &search.best);
    let floor = match search.worth.left {
        _ if fewest.through => f64::from(poles),
        0 => fewest.floor,
        _ => fewest.floor.max(bound_for(shop, made.clone(), poles, &mut work)),
    };
    let bound = (round_up(floor - 1e-6) as u32).max(shop.by_size(&made)).min(poles);
    (search.best, bound)
}

/// How many of each cutting a plan makes.
fn made_of(shop: &Shop, plan: &[Plan]) -> Vec<u32> {
    let mut made = vec![0; shop.cuttings.len()];
    for cut in plan {
        for (cutting, n) in &cut.pieces {
            made[*cutting] += n * cut.count;
        }
    }
    made
}

/// How many of each kind of piece a plan makes; the kinds first named are
/// served first.
fn made(input: &In, shop: &Shop, plan: &[Plan]) -> Vec<u32> {
    let mut kinds = vec![0; input.pieces.len()];
    for (cutting, n) in shop.cuttings.iter().zip(made_of(shop, plan)) {
        let mut left = n;
        for kind in &cutting.kinds {
            kinds[*kind] = input.pieces[*kind].count.min(left);
            left -= kinds[*kind];
        }
    }
    kinds
}

/// Kinds that are alike to the saw, given out in the order of the list.
struct Alike<'k> {
    kinds: std::iter::Peekable<std::slice::Iter<'k, usize>>,
    given: u32,
}

impl<'k> Alike<'k> {
    fn new(kinds: &'k [usize]) -> Self {
        Self { kinds: kinds.iter().peekable(), given: 0 }
    }

    /// The next kind of which there is one left.
    fn next(&mut self, count: impl Fn(usize) -> u32) -> Option<usize> {
        while let Some(kind) = self.kinds.peek() {
            if self.given < count(**kind) {
                self.given += 1;
                return Some(**kind);
            }
            self.kinds.next();
            self.given = 0;
        }
        None
    }
}

/// The plan with the builder's own names in it.
fn named(input: &In, shop: &Shop, plan: &[Plan]) -> Vec<Cut> {
    let mut boles: Vec<Alike> = shop.boles.iter().map(|b| Alike::new(&b.kinds)).collect();
    let mut cuttings: Vec<Alike> = shop.cuttings.iter().map(|c| Alike::new(&c.kinds)).collect();
    let mut poles: Vec<(usize, Vec<usize>)> = Vec::new();
    for cut in plan {
        for _ in 0..cut.count {
            let all = cut.pieces.iter().flat_map(|(c, n)| (0..*n).map(move |_| *c));
            let pieces = all.filter_map(|c| cuttings[c].next(|kind| input.pieces[kind].count)).collect();
            let stock = boles[cut.bole].next(|kind| input.stock[kind].count.unwrap_or(u32::MAX));
            poles.extend(stock.map(|stock| (stock, pieces)));
        }
    }
    poles.sort_unstable();
    poles
        .chunk_by(|a, b| a == b)
        .map(|alike| Cut {
            stock: alike[0].0,
            count: alike.len() as u32,
            pieces: alike[0].1.iter().map(|kind| input.pieces[*kind].name.clone()).collect(),
        })
        .collect()
}

#[cfg(test)]
mod tests;
