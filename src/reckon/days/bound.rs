//! How early no plan can finish.

use super::network::Network;

/// A day before which no plan finishes.
pub(super) fn bound(network: &Network) -> u64 {
    let path = (0..network.len())
        .map(|n| network.heads[n] + network.nodes[n].days + network.tails[n])
        .max()
        .unwrap_or(0);
    (0..network.crews.len()).map(|crew| work(network, crew)).fold(path, u64::max)
}

/// The work of a crew between the heads and the tails of any of its tasks.
///
/// Tasks whose head is at least a and whose tail is at least b lie between
/// day a and b days before the finish; the crew has so much room there.
fn work(network: &Network, crew: usize) -> u64 {
    let size = u64::from(network.crews[crew]);
    let mut tasks: Vec<(u64, u64, u64)> = Vec::new();
    for (n, node) in network.nodes.iter().enumerate() {
        for need in node.needs.iter().filter(|need| need.crew == crew) {
            tasks.push((network.heads[n], network.tails[n], node.days * u64::from(need.people)));
        }
    }
    let mut tails: Vec<u64> = tasks.iter().map(|t| t.1).collect();
    tails.sort_unstable();
    tails.dedup();
    tasks.sort_unstable();
    let mut most = 0;
    let mut envelope = Envelope::new(&tails, size);
    for (head, tail, work) in tasks.into_iter().rev() {
        let at = tails.partition_point(|t| *t < tail);
        envelope.add(at, work);
        most = most.max(head + envelope.most().div_ceil(size));
    }
    most
}

/// The greatest, over all tails b, of size·b and the work of tasks with tails
/// of at least b: a tree of halves, as Vilím (2009) keeps it.
struct Envelope {
    /// For each part of the tails: its work, and its envelope.
    parts: Vec<(u64, u64)>,
    leaves: usize,
    /// size·b for each tail.
    base: Vec<u64>,
}

impl Envelope {
    fn new(tails: &[u64], size: u64) -> Self {
        let leaves = tails.len().next_power_of_two();
        Self { parts: vec![(0, 0); 2 * leaves], leaves, base: tails.iter().map(|b| b * size).collect() }
    }

    fn add(&mut self, leaf: usize, work: u64) {
        let mut at = self.leaves + leaf;
        self.parts[at].0 += work;
        self.parts[at].1 = self.base[leaf] + self.parts[at].0;
        while at > 1 {
            at /= 2;
            let (low, high) = (self.parts[2 * at], self.parts[2 * at + 1]);
            self.parts[at] = (low.0 + high.0, high.1.max(if low.1 > 0 { low.1 + high.0 } else { 0 }));
        }
    }

    fn most(&self) -> u64 {
        self.parts[1].1
    }
}
