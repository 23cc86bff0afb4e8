//! Placing tasks one by one, each as early as can be.
//!
//! Source: the serial schedule generation scheme of Kelley (1963), and the
//! double justification of Valls, Ballestín & Quintanilla (2005), as surveyed
//! by Kolisch & Hartmann (2006). A plan placed in the order of a list has no
//! task that could stand earlier with all others left where they are: at its
//! turn no earlier place was free, and places only fill.

use super::network::{Need, Network};

/// When each task of a network begins, and when all is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Plan {
    pub starts: Vec<u64>,
    pub finish: u64,
}

/// How many of a crew are free from which day on.
#[derive(Debug, Clone)]
struct Free {
    /// Ascending from 0; the last spell has no end, and all are free in it.
    spells: Vec<(u64, u32)>,
}

impl Free {
    /// The spell in which a day lies.
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
    crews: Vec<Free>,
    order: Vec<usize>,
}

impl<'n> Placer<'n> {
    /// A placer for a network and the same network turned round.
    pub fn new(forth: &'n Network, back: &'n Network) -> Self {
        let crews = vec![Free { spells: Vec::new() }; forth.crews.len()];
        Self { forth, back, crews, order: (0..forth.len()).collect() }
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
        let end = |n: usize| plan.starts[n] + self.forth.nodes[n].days;
        self.order.sort_unstable_by_key(|n| std::cmp::Reverse((end(*n), *n)));
        let late = serial(self.back, &mut self.crews, &self.order);
        // The finish is the same or earlier, so that no task moves to before
        // its old start, and none to before the day it may begin.
        let start = |n: usize| plan.finish - late.starts[n] - self.forth.nodes[n].days;
        self.order.sort_unstable_by_key(|n| (start(*n), *n));
        serial(self.forth, &mut self.crews, &self.order)
    }

    /// The order of the plan that was placed last.
    pub fn order(&self) -> &[usize] {
        &self.order
    }
}

fn serial(network: &Network, crews: &mut [Free], order: &[usize]) -> Plan {
    for (free, size) in crews.iter_mut().zip(&network.crews) {
        free.spells.clear();
        free.spells.push((0, *size));
    }
    let mut starts = vec![0; network.len()];
    let mut finish = 0;
    for n in order {
        let node = &network.nodes[*n];
        let ends = node.after.iter().map(|a| starts[*a] + network.nodes[*a].days);
        let from = ends.max().unwrap_or(0).max(node.not_before);
        let start = first(crews, &node.needs, from, node.days);
        for need in &node.needs {
            crews[need.crew].take(start, node.days, need.people);
        }
        starts[*n] = start;
        finish = finish.max(start + node.days);
    }
    Plan { starts, finish }
}

/// The first day from `from` on at which all that are needed are free.
fn first(crews: &[Free], needs: &[Need], from: u64, days: u64) -> u64 {
    let mut start = from;
    loop {
        let before = start;
        for need in needs {
            start = crews[need.crew].first(start, days, need.people);
        }
        if start == before {
            return start;
        }
    }
}
