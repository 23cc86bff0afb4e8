//! Ways to cut one pole: the dearest at given prices, and all that are worth
//! trying.

use super::fill::fitting;
use super::shop::{Shop, common_measure};

/// A way to cut one pole.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pattern {
    /// The index of the bole.
    pub bole: usize,
    /// The index of each cutting and how many of it, in ascending order.
    pub pieces: Vec<(usize, u32)>,
}

/// A cutting that may go on a pole.
#[derive(Debug, Clone, Copy)]
struct Item {
    cutting: usize,
    size: i64,
    price: f64,
    most: u32,
}

impl Item {
    fn density(&self) -> f64 {
        self.price / self.size as f64
    }
}

/// The cuttings that one pole could hold, the dearest for its size first.
#[derive(Debug)]
pub struct Bench {
    bole: usize,
    room: i64,
    items: Vec<Item>,
}

/// The dearest way to cut a pole.
#[derive(Debug)]
pub struct Dearest {
    /// The best that was found.
    pub pattern: Pattern,
    /// Its price.
    pub value: f64,
    /// What no pattern's price exceeds.
    pub most: f64,
}

impl Bench {
    /// Lays out what is wanted and fits.
    pub fn new(shop: &Shop, bole: usize, wanted: &[u32], prices: &[f64]) -> Self {
        let room = shop.boles[bole].room;
        let mut items: Vec<Item> = shop
            .cuttings
            .iter()
            .enumerate()
            .filter(|(c, _)| shop.boles[bole].serves[*c])
            .map(|(c, cutting)| {
                let most = wanted[c].min(fitting(room, cutting.size));
                Item { cutting: c, size: cutting.size, price: prices[c], most }
            })
            .filter(|item| item.most > 0)
            .collect();
        items.sort_by(|a, b| b.density().total_cmp(&a.density()));
        Self { bole, room, items }
    }

    /// The dearest pattern, by branch and bound: first by what the best item
    /// would fill a room with, and where that takes long and has found nothing
    /// above `enough`, by [`Tops`]. Takes what it looks at off `work`.
    pub fn dearest(&self, enough: f64, work: &mut u64) -> Dearest {
        let paid = self.items.partition_point(|item| item.price > 0.0);
        let items = &self.items[..paid];
        let mut look = Look { items, tops: None, taken: vec![0; paid], best: (0.0, vec![0; paid]), left: 0 };
        let mut most = None;
        if !look.all(self.room, NODES, work) {
            let dense = self.dense();
            most = Some(dense);
            if look.best.0 <= enough {
                look.tops = Tops::new(items, self.room, work);
            }
            if look.tops.is_some() {
                let through = look.all(self.room, MORE_NODES, work);
                most = (!through).then(|| look.top(0, self.room).min(dense));
            }
        }
        let (value, taken) = look.best;
        Dearest { pattern: self.pattern(&taken), value, most: most.map_or(value, |most| most.max(value)) }
    }

    /// A price that no pattern exceeds: pieces may be cut in parts.
    fn dense(&self) -> f64 {
        let mut room = self.room as f64;
        let mut value = 0.0;
        for item in &self.items {
            let amount = (room / item.size as f64).min(f64::from(item.most));
            value += amount * item.price;
            room -= amount * item.size as f64;
        }
        value
    }

    fn pattern(&self, taken: &[u32]) -> Pattern {
        let mut pieces: Vec<(usize, u32)> = self
            .items
            .iter()
            .zip(taken)
            .filter(|(_, n)| **n > 0)
            .map(|(item, n)| (item.cutting, *n))
            .collect();
        pieces.sort_unstable();
        Pattern { bole: self.bole, pieces }
    }

    /// All patterns with `cutting` in them that are worth `least`, to which
    /// nothing more could be added; `None` when there are too many to look at.
    pub fn full_with(&self, cutting: usize, least: f64, work: &mut u64) -> Option<Vec<(Pattern, f64)>> {
        let at = self.items.iter().position(|item| item.cutting == cutting)?;
        let mut items = self.items.clone();
        let own = items.remove(at);
        items.insert(0, own);
        let bench = Self { bole: self.bole, room: self.room, items };
        let mut after = vec![0; bench.items.len() + 1];
        for (i, item) in bench.items.iter().enumerate().rev() {
            after[i] = after[i + 1] + i128::from(item.size) * i128::from(item.most);
        }
        let mut list = List { bench: &bench, after, least, taken: Vec::new(), found: Vec::new() };
        list.take(bench.room, i64::MAX, 0.0, work).then_some(list.found)
    }
}

/// The most that one search for the dearest pattern tries.
const NODES: u64 = 5_000;
/// The most it tries where it knows better what can be had.
const MORE_NODES: u64 = 100_000;
/// The most numbers that [`Tops`] hold.
const MOST_TOPS: i64 = 1_000_000;
/// The steps of room where more would be needed.
const COARSE: i64 = 2_000;
/// The most patterns that are listed at a time.
const MOST_LISTED: usize = 5_000;

/// The most that the items from each one on can be worth in each room, in
/// steps of the sizes' common measure; where those are too many, in coarser
/// steps with sizes rounded down, so that it may be more than can be had.
#[derive(Debug)]
struct Tops {
    step: i64,
    values: Vec<Vec<f64>>,
}

impl Tops {
    /// `None` where that takes too much work.
    fn new(items: &[Item], room: i64, work: &mut u64) -> Option<Self> {
        let measure = items.iter().fold(0, |step, item| common_measure(step, item.size)).max(1);
        let step = if room / measure * items.len() as i64 > MOST_TOPS { room / COARSE } else { measure };
        let rooms = room.checked_div(step)? as usize;
        if items.iter().any(|item| item.size < step) {
            return None;
        }
        let tries: u64 = items.iter().map(|item| u64::from(item.most)).sum();
        // Many of these tries go to a step of the other kinds.
        *work = work.checked_sub((tries / 8 + items.len() as u64) * rooms as u64)?;
        let mut values = vec![vec![0.0_f64; rooms + 1]];
        for item in items.iter().rev() {
            let after = &values[values.len() - 1];
            let steps = (item.size / step) as usize;
            let value = |room: usize| {
                let all = (0..=item.most as usize).take_while(|n| n * steps <= room);
                all.map(|n| after[room - n * steps] + n as f64 * item.price).fold(0.0, f64::max)
            };
            let own = (0..=rooms).map(value).collect();
            values.push(own);
        }
        values.reverse();
        Some(Self { step, values })
    }

    fn of(&self, at: usize, room: i64) -> f64 {
        self.values[at][(room / self.step) as usize]
    }
}

struct Look<'b> {
    items: &'b [Item],
    tops: Option<Tops>,
    taken: Vec<u32>,
    best: (f64, Vec<u32>),
    left: u64,
}

impl Look<'_> {
    /// Looks through all there is; false when it is more than `most`, or work
    /// ran out.
    fn all(&mut self, room: i64, most: u64, work: &mut u64) -> bool {
        let allowed = most.min(*work);
        self.left = allowed;
        self.taken.fill(0);
        let through = self.take(0, room, 0.0);
        *work -= allowed - self.left;
        through
    }

    /// What the items from `at` on cannot be worth more than.
    fn top(&self, at: usize, room: i64) -> f64 {
        match &self.tops {
            // Sums of doubles in another order differ in their last digits.
            Some(tops) => tops.of(at, room) * (1.0 + 1e-12),
            None => room as f64 * self.items.get(at).map_or(0.0, Item::density),
        }
    }

    /// Tries every number of the item at `at`; false when there was too much.
    fn take(&mut self, at: usize, room: i64, value: f64) -> bool {
        if value > self.best.0 {
            self.best = (value, self.taken.clone());
        }
        let Some(item) = self.items.get(at).copied() else { return true };
        for n in (0..=item.most.min(fitting(room, item.size))).rev() {
            if self.left == 0 {
                return false;
            }
            self.left -= 1;
            let room = room - i64::from(n) * item.size;
            let value = value + f64::from(n) * item.price;
            if value + self.top(at + 1, room) <= self.best.0 && value <= self.best.0 {
                if self.tops.is_none() {
                    break;
                }
                continue;
            }
            self.taken[at] = n;
            if !self.take(at + 1, room, value) {
                return false;
            }
        }
        self.taken[at] = 0;
        true
    }
}

struct List<'b> {
    bench: &'b Bench,
    after: Vec<i128>,
    least: f64,
    taken: Vec<u32>,
    found: Vec<(Pattern, f64)>,
}

impl List<'_> {
    /// Goes on with the next item; `passed` is the smallest of which more
    /// could have been taken. False when there was too much to look at.
    fn take(&mut self, room: i64, passed: i64, value: f64, work: &mut u64) -> bool {
        if *work == 0 || self.found.len() > MOST_LISTED {
            return false;
        }
        *work -= 1;
        let at = self.taken.len();
        // Whatever follows, a piece passed over would still fit.
        if i128::from(room) - self.after[at] >= i128::from(passed) {
            return true;
        }
        let Some(item) = self.bench.items.get(at).copied() else {
            if value >= self.least {
                self.found.push((self.bench.pattern(&self.taken), value));
            }
            return true;
        };
        // The first item stands out of the order of density, and must be taken.
        let next = self.bench.items.get(at + 1).map_or(0.0, Item::density);
        for n in (u32::from(at == 0)..=item.most.min(fitting(room, item.size))).rev() {
            let room = room - i64::from(n) * item.size;
            let value = value + f64::from(n) * item.price;
            if value + room as f64 * next < self.least {
                if at == 0 {
                    continue;
                }
                break;
            }
            let passed = if n < item.most { passed.min(item.size) } else { passed };
            self.taken.push(n);
            let through = self.take(room, passed, value, work);
            self.taken.pop();
            if !through {
                return false;
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bench(sizes: &[i64], room: i64) -> Bench {
        let item = |(cutting, size): (usize, &i64)| Item {
            cutting,
            size: *size,
            // Nearly as dear as long: the hardest to choose from.
            price: *size as f64 + (cutting % 3) as f64,
            most: 2,
        };
        let mut items: Vec<Item> = sizes.iter().enumerate().map(item).collect();
        items.sort_by(|a, b| b.density().total_cmp(&a.density()));
        Bench { bole: 0, room, items }
    }

    fn size_and_price(bench: &Bench, pattern: &Pattern) -> (i64, f64) {
        let item = |cutting| bench.items.iter().find(|item| item.cutting == cutting).unwrap();
        let pieces = pattern.pieces.iter();
        pieces.fold((0, 0.0), |(size, price), (c, n)| {
            (size + item(*c).size * i64::from(*n), price + item(*c).price * f64::from(*n))
        })
    }

    #[test]
    fn a_long_search_for_the_dearest_pattern_ends_with_one_that_fits() {
        for room in (20_011..140_000).step_by(3_001) {
            let sizes: Vec<i64> = (0..60).map(|i| 7_000 + 389 * i + 97 * (i % 7)).collect();
            let bench = bench(&sizes, room);
            let found = bench.dearest(f64::INFINITY, &mut 100_000_000);
            let (size, price) = size_and_price(&bench, &found.pattern);
            assert!(size <= room, "{size} on {room}");
            assert!((price - found.value).abs() < 1e-6 && found.most >= found.value);
            assert!(found.most <= bench.dense());
        }
    }

    #[test]
    fn the_dearest_pattern_is_that_of_trying_everything() {
        let sizes = [41, 37, 29, 23, 19];
        for room in 20..200 {
            let bench = bench(&sizes, room);
            let mut best = 0.0_f64;
            for code in 0..3_usize.pow(5) {
                let counts = (0..5).map(|i| (code / 3_usize.pow(i)) % 3);
                let (size, price) =
                    bench.items.iter().zip(counts).fold((0, 0.0), |(size, price), (item, n)| {
                        (size + item.size * n as i64, price + item.price * n as f64)
                    });
                best = if size <= room { best.max(price) } else { best };
            }
            let found = bench.dearest(f64::INFINITY, &mut 1_000_000);
            assert!((found.value - best).abs() < 1e-9 && found.most == found.value);
        }
    }

    #[test]
    fn full_patterns_leave_no_room_for_what_is_left() {
        let bench = bench(&[41, 37, 29, 23, 19], 120);
        let all = bench.full_with(2, 0.0, &mut 1_000_000).unwrap();
        assert!(all.len() > 5);
        for (pattern, value) in &all {
            let (size, price) = size_and_price(&bench, pattern);
            assert!((price - value).abs() < 1e-9);
            assert!(pattern.pieces.iter().any(|(c, _)| *c == 2));
            let taken = |cutting| pattern.pieces.iter().find(|(c, _)| *c == cutting).map_or(0, |(_, n)| *n);
            let more = bench.items.iter().filter(|item| taken(item.cutting) < item.most);
            assert!(more.into_iter().all(|item| size + item.size > 120));
        }
        let dear = all.iter().filter(|(_, value)| *value >= 115.0).count();
        assert_eq!(bench.full_with(2, 115.0, &mut 1_000_000).unwrap().len(), dear);
    }
}
