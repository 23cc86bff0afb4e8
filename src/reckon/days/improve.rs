//! The search for an early finish: lists that are mixed from better lists.
//!
//! Source: Hartmann (1998), a genetic algorithm on activity lists with
//! two-point crossover; double justification of every plan as Valls,
//! Ballestín & Quintanilla (2005) do.

use std::collections::BinaryHeap;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::network::Network;
use super::plan::{Placer, Plan};

/// How many plans are kept to mix from.
const MOST_KEPT: u64 = 40;

/// A plan with the order in which its tasks were placed.
#[derive(Debug, Clone)]
struct Kept {
    order: Vec<usize>,
    worth: (u64, u64),
}

/// Plans the tasks of a network, looking for an early finish until one is
/// found that is as early as `low`, or the steps are used up.
pub(super) fn search(network: &Network, low: u64, steps: u64) -> Plan {
    let turned = network.turned();
    let each = 3 * network.len().max(1) as u64;
    let mut search = Search {
        network,
        placer: Placer::new(network, &turned),
        chance: ChaCha8Rng::seed_from_u64(1),
        tries: steps / each,
        low,
        best: Plan { starts: Vec::new(), finish: u64::MAX },
        fresh: vec![0; network.len()],
        age: 0,
    };
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
    fresh: Vec<u64>,
    age: u64,
}

impl Search<'_> {
    fn run(&mut self) {
        let first = self.sampled(0.0);
        self.try_order(&first);
        let many = (self.tries / 25).clamp(4, MOST_KEPT);
        while self.goes_on() {
            self.generation(many);
        }
    }

    fn goes_on(&self) -> bool {
        self.tries > 0 && self.best.finish > self.low
    }

    fn generation(&mut self, many: u64) {
        let mut kept: Vec<Kept> = Vec::new();
        for i in 0..many {
            if !self.goes_on() {
                return;
            }
            let order = self.sampled((i + 1) as f64 / many as f64);
            kept.push(self.try_order(&order));
        }
        let mut stale = 0;
        while self.goes_on() && stale < 25 * many {
            let a = self.pick(&kept);
            let b = self.pick(&kept);
            let mut order = self.mixed(&kept[a].order, &kept[b].order);
            self.shuffle(&mut order);
            let new = self.try_order(&order);
            stale += 1;
            if kept.iter().any(|k| k.worth == new.worth) {
                continue;
            }
            let Some(worst) = (0..kept.len()).max_by_key(|i| kept[*i].worth) else { return };
            if new.worth < kept[worst].worth {
                if kept.iter().all(|k| new.worth.0 < k.worth.0) {
                    stale = 0;
                }
                kept[worst] = new;
            }
        }
    }

    fn try_order(&mut self, order: &[usize]) -> Kept {
        self.tries = self.tries.saturating_sub(1);
        let plan = self.placer.place(order);
        let plan = self.placer.justify(&plan);
        if plan.finish < self.best.finish {
            self.best = plan.clone();
        }
        let sum = plan.starts.iter().sum();
        Kept { order: self.placer.order().to_vec(), worth: (plan.finish, sum) }
    }

    fn below(&mut self, n: usize) -> usize {
        ((u64::from(self.chance.next_u32()) * n as u64) >> 32) as usize
    }

    fn pick(&mut self, kept: &[Kept]) -> usize {
        let (a, b) = (self.below(kept.len()), self.below(kept.len()));
        if kept[a].worth <= kept[b].worth { a } else { b }
    }

    fn mixed(&mut self, mother: &[usize], father: &[usize]) -> Vec<usize> {
        let n = mother.len();
        let (p, q) = (self.below(n + 1), self.below(n + 1));
        let (p, q) = (p.min(q), p.max(q));
        self.age += 1;
        let mut order = Vec::with_capacity(n);
        for t in &mother[..p] {
            self.fresh[*t] = self.age;
            order.push(*t);
        }
        for t in father {
            if order.len() >= q {
                break;
            }
            if self.fresh[*t] != self.age {
                self.fresh[*t] = self.age;
                order.push(*t);
            }
        }
        for t in mother {
            if self.fresh[*t] != self.age {
                order.push(*t);
            }
        }
        order
    }

    /// Moves some tasks elsewhere in the list, behind those they wait for.
    fn shuffle(&mut self, order: &mut [usize]) {
        let moves = 1 + order.len() / 50;
        for _ in 0..moves {
            let nodes = &self.network.nodes;
            let from = self.below(order.len());
            let n = order[from];
            let low = order[..from].iter().rposition(|b| nodes[n].after.contains(b)).map_or(0, |b| b + 1);
            let high = order[from + 1..].iter().position(|a| nodes[*a].after.contains(&n)).map_or(order.len(), |a| from + 1 + a);
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
        let nodes = &self.network.nodes;
        let longest = nodes.iter().map(|node| node.tail + node.days).max().unwrap_or(0) as f64;
        let keys: Vec<u64> = nodes
            .iter()
            .map(|node| {
                let chance = f64::from(self.chance.next_u32()) / 4_294_967_296.0;
                node.tail + node.days + (blur * longest * chance) as u64
            })
            .collect();
        let mut waits: Vec<usize> = nodes.iter().map(|node| node.after.len()).collect();
        let mut frees = vec![Vec::new(); nodes.len()];
        for (n, node) in nodes.iter().enumerate() {
            node.after.iter().for_each(|a| frees[*a].push(n));
        }
        let mut heap: BinaryHeap<_> =
            (0..nodes.len()).filter(|n| waits[*n] == 0).map(|n| (keys[n], std::cmp::Reverse(n))).collect();
        let mut order = Vec::with_capacity(nodes.len());
        while let Some((_, std::cmp::Reverse(n))) = heap.pop() {
            order.push(n);
            for f in &frees[n] {
                waits[*f] -= 1;
                if waits[*f] == 0 {
                    heap.push((keys[*f], std::cmp::Reverse(*f)));
                }
            }
        }
        order
    }
}
