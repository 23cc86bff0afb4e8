//! Placing tasks one by one, each as early as can be.
//!
//! Source: the serial schedule generation scheme of Kelley (1963), and the
//! double justification of Valls, Ballestín & Quintanilla (2005), as surveyed
//! by Kolisch & Hartmann (2006). A plan placed in the order of a list has no
//! task that could stand earlier with all others left where they are: at its
//! turn no earlier place was free, and places only fill.

use std::cmp::Reverse;

use super::network::{Need, Network};

/// When each task of a network begins and ends, and when all is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Plan {
    pub starts: Vec<u64>,
    pub ends: Vec<u64>,
    pub finish: u64,
}

/// How many of a crew are free from which day on.
#[derive(Debug, Clone)]
struct Free {
    /// Ascending from 0; the last spell has no end, and all are free in it.
    spells: Vec<(u64, u32)>,
}

impl Free {
    /// The spell in which a day lies; the first begins on day 0.
    fn spell(&self, day: u64) -> usize {
        self.spells.partition_point(|(from, _)| *from <= day) - 1
    }

    /// The first day from `from` on at which so many are free for so long.
    fn first(&self, from: u64, days: u64, people: u32) -> u64 {
        let mut start = from;
        for pair in self.spells[self.spell(from)..].windows(2) {
            if pair[0].1 < people {
                start = pair[1].0;
            } else if pair[1].0 >= start + days {
                return start;
            }
        }
        start
    }

    /// Takes so many away, who must be free.
    fn take(&mut self, start: u64, days: u64, people: u32) {
        let first = self.cut(start);
        let end = self.cut(start + days);
        for spell in &mut self.spells[first..end] {
            spell.1 -= people;
        }
    }

    /// Makes a spell begin on a day.
    fn cut(&mut self, day: u64) -> usize {
        let at = self.spell(day);
        if self.spells[at].0 == day {
            return at;
        }
        self.spells.insert(at + 1, (day, self.spells[at].1));
        at + 1
    }
}

/// Places the tasks of a network in the order of a list, over and over.
pub(super) struct Placer<'n> {
    forth: &'n Network,
    back: &'n Network,
    crews: Crews,
    order: Vec<usize>,
}

impl<'n> Placer<'n> {
    /// A placer for a network and the same network turned round.
    pub fn new(forth: &'n Network, back: &'n Network) -> Self {
        Self { forth, back, crews: Crews::default(), order: (0..forth.len()).collect() }
    }

    /// Places all tasks in an order in which none stands before one it waits
    /// for. Counts as a step for each task.
    pub fn place(&mut self, order: &[usize]) -> Plan {
        serial(self.forth, &mut self.crews, order)
    }

    /// Pushes all tasks toward the finish, the last first, and then back
    /// toward the beginning, the first first. Finishes no later than before.
    /// Counts as two steps for each task.
    pub fn justify(&mut self, plan: &Plan) -> Plan {
        // Of tasks that end together the greater number is the later one, for
        // a task of no days may be among them.
        self.order.sort_unstable_by_key(|n| Reverse((plan.ends[*n], *n)));
        let late = serial(self.back, &mut self.crews, &self.order);
        // The finish is the same or earlier, so that no task moves to before
        // its old start, and none to before the day it may begin.
        self.order.sort_unstable_by_key(|n| (plan.finish - late.ends[*n], *n));
        serial(self.forth, &mut self.crews, &self.order)
    }

    /// The order of the plan that was placed last.
    pub fn order(&self) -> &[usize] {
        &self.order
    }
}

/// What is free of all crews while tasks are being placed.
#[derive(Debug, Default)]
struct Crews {
    free: Vec<Free>,
    /// For each kind of need, a day before which its crew has no room for it.
    /// Crews only fill, so that it needs no second look there.
    full: Vec<u64>,
}

impl Crews {
    /// Sets all crews free.
    fn clear(&mut self, network: &Network) {
        self.free.resize(network.crews.len(), Free { spells: Vec::new() });
        for (free, size) in self.free.iter_mut().zip(&network.crews) {
            free.spells.clear();
            free.spells.push((0, *size));
        }
        self.full.clear();
        self.full.resize(network.kinds, 0);
    }

    /// The first day from `from` on at which all that are needed are free.
    fn first(&mut self, needs: &[Need], from: u64, days: u64) -> u64 {
        let mut start = from;
        loop {
            let before = start;
            for need in needs {
                let full = &mut self.full[need.kind];
                if start > *full {
                    start = self.free[need.crew].first(start, days, need.people);
                } else {
                    *full = self.free[need.crew].first(*full, days, need.people);
                    start = *full;
                }
            }
            if start == before {
                return start;
            }
        }
    }
}

fn serial(network: &Network, crews: &mut Crews, order: &[usize]) -> Plan {
    crews.clear(network);
    let mut plan = Plan { starts: vec![0; network.len()], ends: vec![0; network.len()], finish: 0 };
    for n in order {
        let node = &network.nodes[*n];
        let ends = node.after.iter().map(|a| plan.ends[*a]);
        let from = ends.max().unwrap_or(0).max(node.not_before);
        let start = crews.first(&node.needs, from, node.days);
        for need in &node.needs {
            crews.free[need.crew].take(start, node.days, need.people);
        }
        plan.starts[*n] = start;
        plan.ends[*n] = start + node.days;
        plan.finish = plan.finish.max(start + node.days);
    }
    plan
}
