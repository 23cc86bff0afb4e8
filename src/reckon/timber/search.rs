//! The search for the best plan: pole by pole, longest piece first, with the
//! linear program to say what is hopeless.

use std::ops::ControlFlow;

use super::fill::{WAYS, first_fit};
use super::pattern::{Bench, Pattern};
use super::relax::{Aim, Pool, Relaxed, Rest, relax};
use super::shop::{Cut, Shop, Worth, common_measure, gathered};

/// Plans of more poles are first cut down by what the linear program uses
/// whole; the search goes on with what is left, and is then not exhaustive.
const DEEPEST: u32 = 300;
/// The search is done over and over: how often a way through it may leave what
/// looks best, counted in places down the ranking; and how far above the floor
/// it looks, as a share of the way up to the best plan. A short way and a low
/// one are gone through soon, and find what the full search would find late.
const PASSES: [(usize, f64); 5] =
    [(1, 1.0), (3, 1.0), (usize::MAX, 0.1), (usize::MAX, 0.3), (usize::MAX, 1.0)];

/// A search in hand.
#[derive(Debug)]
pub struct Search<'s> {
    shop: &'s Shop,
    aim: Aim,
    /// The best plan so far.
    pub best: Vec<Cut>,
    /// What it is worth.
    pub worth: Worth,
    pool: Pool,
    work: u64,
    floor: f64,
    goal: f64,
    ceiling: f64,
    /// What is enough of the aim: no plan is looked for that is better.
    enough: Option<f64>,
    whole: bool,
}

/// What the search for one aim came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// What no plan comes under; lengths as shares of the longest pole.
    pub floor: f64,
    /// Whether nothing was left to look at.
    pub through: bool,
}

impl<'s> Search<'s> {
    /// Begins with the best of the plans that are made at once.
    pub fn new(shop: &'s Shop) -> Self {
        let worth = shop.worth(&[]);
        let (pool, best) = (Pool::new(), Vec::new());
        let mut search = Self {
            shop,
            aim: Aim::Left,
            best,
            worth,
            pool,
            work: 0,
            floor: 0.0,
            goal: 0.0,
            ceiling: f64::INFINITY,
            enough: None,
            whole: false,
        };
        search.fill(&[], &Rest::of(shop));
        for cut in &search.best {
            search.pool.insert(Pattern { bole: cut.bole, pieces: cut.pieces.clone() });
        }
        search
    }

    /// Looks for a plan that comes down to `enough` in one aim, and for none
    /// that is better; whether nothing was left to look at.
    pub fn come_to(&mut self, aim: Aim, enough: f64, work: &mut u64, most: u64) -> bool {
        self.enough = Some(enough);
        let outcome = self.better(aim, work, most);
        self.enough = None;
        outcome.through
    }

    /// Betters the plan in one aim with at most so much work, which is taken
    /// off.
    pub fn better(&mut self, aim: Aim, work: &mut u64, most: u64) -> Outcome {
        let allowed = most.min(*work);
        (self.aim, self.work, self.whole, self.floor) = (aim, allowed, false, 0.0);
        self.goal = self.next_goal();
        let mut rest = Rest::of(self.shop);
        let relaxed = self.relaxed(&rest);
        self.floor = relaxed.bound;
        let mut path = Vec::new();
        self.take_whole(&relaxed, &mut rest, &mut path);
        self.fill(&path, &rest);
        let shallow = self.worth.poles <= DEEPEST;
        if shallow {
            (rest, path) = (Rest::of(self.shop), Vec::new());
        }
        for (passed, (strays, share)) in PASSES.into_iter().enumerate() {
            self.goal = self.next_goal();
            if self.floor >= self.goal || self.work == 0 {
                break;
            }
            self.ceiling = self.goal - (1.0 - share) * (self.goal - self.floor);
            self.goal = self.ceiling;
            let later = self.work - self.work / (PASSES.len() - passed) as u64;
            self.work -= later;
            self.whole = shallow;
            // A break only says that there is no need or no work to go on.
            let _ = self.branch(&mut rest, &mut path, &mut Pool::new(), strays);
            self.work += later;
            if self.whole {
                self.floor = self.floor.max(self.goal);
            }
        }
        self.ceiling = f64::INFINITY;
        self.goal = self.next_goal();
        *work -= allowed - self.work;
        let through = self.floor >= self.goal;
        Outcome { floor: self.floor, through }
    }

    /// What no better plan exceeds in the aim, with room for rounding.
    fn next_goal(&self) -> f64 {
        let unit = self.shop.longest() as f64;
        let (now, next) = match self.aim {
            Aim::Left => {
                let step = self.shop.cuttings.iter().fold(0, |d, c| common_measure(d, c.length));
                let left = |left: i128| left as f64 / unit;
                (left(self.worth.left), left(self.worth.left - i128::from(step)))
            }
            Aim::Poles => (f64::from(self.worth.poles), f64::from(self.worth.poles) - 1.0),
            Aim::Length => {
                let shorter = self.shop.shorter(self.worth.poles, self.worth.length);
                let length = |length: i128| length as f64 / unit;
                (length(self.worth.length), shorter.map_or(-1.0, length))
            }
        };
        let goal = match self.enough {
            Some(enough) if now <= enough => -1.0,
            Some(enough) => enough,
            None => next,
        };
        goal + 1e-8 * (1.0 + goal.abs())
    }

    fn relaxed(&mut self, rest: &Rest) -> Relaxed {
        relax(self.shop, rest, self.aim, self.worth, &mut self.pool, &mut self.work)
    }

    fn offer(&mut self, cuts: Vec<Cut>) {
        let worth = self.shop.worth(&cuts);
        if worth < self.worth {
            (self.best, self.worth) = (gathered(cuts), worth);
            self.goal = self.next_goal().min(self.ceiling);
        }
    }

    /// Tries the plans that are made at once for what a path leaves over.
    fn fill(&mut self, path: &[Cut], rest: &Rest) {
        for way in WAYS {
            let filled = first_fit(self.shop, &rest.wanted, &rest.at_hand, way);
            self.offer(path.iter().cloned().chain(filled).collect());
        }
    }

    /// Takes what the linear program uses whole.
    fn take_whole(&self, relaxed: &Relaxed, rest: &mut Rest, path: &mut Vec<Cut>) {
        for (pattern, amount) in &relaxed.used {
            let pieces = pattern.pieces.iter();
            let most = pieces.map(|(c, n)| rest.wanted[*c] / n).min().unwrap_or(0);
            let count = ((amount + 1e-4) as u32).min(most).min(rest.at_hand[pattern.bole]);
            if count > 0 {
                path.push(Cut { bole: pattern.bole, pieces: pattern.pieces.clone(), count });
                self.take(rest, pattern, count);
            }
        }
    }

    fn take(&self, rest: &mut Rest, pattern: &Pattern, count: u32) {
        for (cutting, n) in &pattern.pieces {
            rest.wanted[*cutting] -= n * count;
        }
        rest.at_hand[pattern.bole] -= count;
        rest.spent.poles += count;
        rest.spent.length += i128::from(self.shop.boles[pattern.bole].length) * i128::from(count);
    }

    fn spent(&self, rest: &Rest) -> f64 {
        let unit = self.shop.longest() as f64;
        match self.aim {
            Aim::Left => rest.spent.left as f64 / unit,
            Aim::Poles => f64::from(rest.spent.poles),
            Aim::Length => rest.spent.length as f64 / unit,
        }
    }

    /// Tries all that can be done with the longest piece that is left: every
    /// full pole with it, then none. `shut` are poles that were tried before.
    fn branch(
        &mut self,
        rest: &mut Rest,
        path: &mut Vec<Cut>,
        shut: &mut Pool,
        strays: usize,
    ) -> ControlFlow<()> {
        let Some(piece) = rest.wanted.iter().position(|n| *n > 0) else {
            self.offer(path.clone());
            return ControlFlow::Continue(());
        };
        let relaxed = self.relaxed(rest);
        if self.work == 0 {
            self.whole = false;
            return ControlFlow::Break(());
        }
        let least = self.spent(rest) + relaxed.bound;
        if least > self.goal {
            return ControlFlow::Continue(());
        }
        self.fill(path, rest);
        if self.floor >= self.goal {
            return ControlFlow::Break(());
        }
        let mut tried = Vec::new();
        for (pattern, more) in self.patterns(rest, &relaxed, piece, least) {
            if least + more > self.goal || shut.contains(&pattern) {
                continue;
            }
            let Some(strays) = strays.checked_sub(tried.len()) else {
                self.whole = false;
                break;
            };
            let before = rest.clone();
            self.take(rest, &pattern, 1);
            path.push(Cut { bole: pattern.bole, pieces: pattern.pieces.clone(), count: 1 });
            let went = self.branch(rest, path, shut, strays);
            path.pop();
            *rest = before;
            went?;
            shut.insert(pattern.clone());
            tried.push(pattern);
        }
        let went = match strays.checked_sub(tried.len()) {
            Some(strays) => self.without(rest, path, shut, piece, strays),
            None => {
                self.whole = false;
                ControlFlow::Continue(())
            }
        };
        for pattern in &tried {
            shut.remove(pattern);
        }
        went
    }

    /// Tries to make no more of a piece, where pieces may be left out.
    fn without(
        &mut self,
        rest: &mut Rest,
        path: &mut Vec<Cut>,
        shut: &mut Pool,
        piece: usize,
        strays: usize,
    ) -> ControlFlow<()> {
        let count = rest.wanted[piece];
        let left = rest.spent.left + i128::from(self.shop.cuttings[piece].length) * i128::from(count);
        if left > self.worth.left {
            return ControlFlow::Continue(());
        }
        let before = std::mem::replace(&mut rest.spent.left, left);
        rest.wanted[piece] = 0;
        let went = self.branch(rest, path, shut, strays);
        rest.wanted[piece] = count;
        rest.spent.left = before;
        went
    }

    /// The full poles with a piece that could still lead to a better plan,
    /// the most promising first, and what each adds to the least cost.
    fn patterns(&mut self, rest: &Rest, relaxed: &Relaxed, piece: usize, least: f64) -> Vec<(Pattern, f64)> {
        let gap = self.goal - least;
        let mut all: Vec<(Pattern, f64)> = Vec::new();
        for bole in 0..self.shop.boles.len() {
            if rest.at_hand[bole] == 0 || !self.shop.boles[bole].serves[piece] {
                continue;
            }
            let price = relaxed.costs[bole];
            let bench = Bench::new(self.shop, bole, &rest.wanted, &relaxed.prices);
            let Some(found) = bench.full_with(piece, price - gap, &mut self.work) else {
                self.whole = false;
                continue;
            };
            all.extend(found.into_iter().map(|(pattern, value)| (pattern, price - value)));
        }
        let used = |pattern: &Pattern| {
            relaxed.used.iter().find(|(used, _)| used == pattern).map_or(0.0, |(_, amount)| *amount)
        };
        let mut ranked: Vec<(f64, Pattern, f64)> =
            all.into_iter().map(|(pattern, more)| (used(&pattern), pattern, more)).collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.total_cmp(&b.2)).then_with(|| a.1.cmp(&b.1)));
        ranked.into_iter().map(|(_, pattern, more)| (pattern, more)).collect()
    }
}

/// A proved lower bound on the poles for pieces that were all made in `poles`.
pub fn bound_for(shop: &Shop, made: Vec<u32>, poles: u32, work: &mut u64) -> f64 {
    let rest = Rest { wanted: made, ..Rest::of(shop) };
    let best = Worth { poles, ..Worth::default() };
    relax(shop, &rest, Aim::Poles, best, &mut Pool::new(), work).bound
}
