//! The search for an early finish: lists that are mixed from better lists.
//!
//! Source: Hartmann (1998), a genetic algorithm on activity lists with
//! two-point crossover; double justification of every plan as Valls,
//! Ballestín & Quintanilla (2005) do.

use std::cmp::Reverse;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::network::Network;
use super::plan::{Placer, Plan};

/// The fewest and the most plans that are kept to mix from.
const KEPT: (u64, u64) = (4, 100);
/// So many tries for each plan that is kept; after as many without an earlier
/// finish among them all are given up for new ones.
const TRIES_EACH: u64 = 25;
/// A mixed list has up to so many tasks moved, more where it is long.
const MOVES: usize = 4;

/// A plan by its list.
struct Kept {
    /// The order in which its tasks were placed.
    order: Vec<usize>,
    /// Its finish and, where that is equal, the sum of its starts: less is
    /// better.
    worth: (u64, u64),
}

/// Plans the tasks of a network, looking for an early finish until one is
/// found that is as early as `low`, or the steps are used up.
pub(super) fn search(network: &Network, low: u64, steps: u64) -> Plan {
    let turned = network.turned();
    let mut placer = Placer::new(network, &turned);
    // Numbers are so sorted that they make a list themselves.
    let any: Vec<usize> = (0..network.len()).collect();
    let best = placer.place(&any);
    let steps_each = 3 * network.len().max(1) as u64;
    let chance = ChaCha8Rng::seed_from_u64(1);
    let mut search = Search { network, placer, chance, tries: steps / steps_each, low, best };
    search.run();
    search.best
}

struct Search<'n> {
    network: &'n Network,
    placer: Placer<'n>,
    chance: ChaCha8Rng,
    /// How many more plans may be tried.
    tries: u64,
    low: u64,
    best: Plan,
}

impl Search<'_> {
    fn run(&mut self) {
        let plain = self.sampled(0.0);
        self.tried(&plain);
        let many = (self.tries / TRIES_EACH).clamp(KEPT.0, KEPT.1);
        while self.goes_on() {
            let kept = self.begin(many);
            self.better(kept);
        }
    }

    fn goes_on(&self) -> bool {
        self.tries > 0 && self.best.finish > self.low
    }

    /// Plans of lists that are more and more left to chance.
    fn begin(&mut self, many: u64) -> Vec<Kept> {
        let mut kept = Vec::new();
        while self.goes_on() && (kept.len() as u64) < many {
            let order = self.sampled((kept.len() + 1) as f64 / many as f64);
            kept.push(self.tried(&order));
        }
        kept
    }

    /// Mixes new lists from good ones; what comes out better takes the place
    /// of the worst.
    fn better(&mut self, mut kept: Vec<Kept>) {
        let patience = TRIES_EACH * kept.len() as u64;
        let mut stale = 0;
        while self.goes_on() && stale < patience {
            let mother = self.pick(&kept);
            let father = self.pick(&kept);
            let mut order = self.mixed(&kept[mother].order, &kept[father].order);
            self.shuffle(&mut order);
            let new = self.tried(&order);
            stale += 1;
            if kept.iter().any(|other| other.worth == new.worth) {
                continue;
            }
            if kept.iter().all(|other| new.worth.0 < other.worth.0) {
                stale = 0;
            }
            if let Some(worst) = kept.iter_mut().max_by_key(|other| other.worth)
                && new.worth < worst.worth
            {
                *worst = new;
            }
        }
    }

    /// Places a list, and justifies what comes of it.
    fn tried(&mut self, order: &[usize]) -> Kept {
        self.tries = self.tries.saturating_sub(1);
        let plan = self.placer.place(order);
        let plan = self.placer.justify(&plan);
        let kept =
            Kept { order: self.placer.order().to_vec(), worth: (plan.finish, plan.starts.iter().sum()) };
        if plan.finish < self.best.finish {
            self.best = plan;
        }
        kept
    }

    /// A number from 0 to below `n`.
    fn below(&mut self, n: usize) -> usize {
        ((u64::from(self.chance.next_u32()) * n as u64) >> 32) as usize
    }

    /// The better of two drawn by chance.
    fn pick(&mut self, kept: &[Kept]) -> usize {
        let (a, b) = (self.below(kept.len()), self.below(kept.len()));
        if kept[a].worth <= kept[b].worth { a } else { b }
    }

    /// The mother's list, but between two places in the father's order.
    fn mixed(&mut self, mother: &[usize], father: &[usize]) -> Vec<usize> {
        let (one, other) = (self.below(mother.len() + 1), self.below(mother.len() + 1));
        let (first, last) = (one.min(other), one.max(other));
        let mut placed = vec![false; mother.len()];
        let mut order = Vec::with_capacity(mother.len());
        for (from, until) in [(mother, first), (father, last), (mother, mother.len())] {
            for n in from {
                if order.len() == until {
                    break;
                }
                if !std::mem::replace(&mut placed[*n], true) {
                    order.push(*n);
                }
            }
        }
        order
    }

    /// Moves some tasks elsewhere in the list, behind those they wait for and
    /// before those that wait for them.
    fn shuffle(&mut self, order: &mut [usize]) {
        let nodes = &self.network.nodes;
        for _ in 0..=self.below(MOVES + (order.len() / 50).min(2 * MOVES)) {
            let from = self.below(order.len());
            let n = order[from];
            let before = order[..from].iter().rposition(|b| nodes[n].after.contains(b));
            let after = order[from + 1..].iter().position(|a| nodes[*a].after.contains(&n));
            let low = before.map_or(0, |b| b + 1);
            let high = after.map_or(order.len(), |a| from + 1 + a);
            let to = low + self.below(high - low);
            if to < from {
                order[to..=from].rotate_right(1);
            } else {
                order[from..=to].rotate_left(1);
            }
        }
    }

    /// A list by the rule of the longest way to the finish first, blurred by
    /// chance.
    fn sampled(&mut self, blur: f64) -> Vec<usize> {
        let network = self.network;
        let ways = || network.nodes.iter().zip(&network.tails).map(|(node, tail)| node.days + tail);
        let most = ways().max().unwrap_or(0) as f64 * blur;
        let mut keys: Vec<u64> = ways().map(|way| way + self.below(most as usize + 1) as u64).collect();
        for (n, node) in network.nodes.iter().enumerate().rev() {
            // Nothing is more pressing than what it waits for.
            node.after.iter().for_each(|a| keys[*a] = keys[*a].max(keys[n]));
        }
        let mut order: Vec<usize> = (0..network.len()).collect();
        order.sort_unstable_by_key(|n| (Reverse(keys[*n]), *n));
        order
    }
}
