//! Proving that no plan finishes by a day.
//!
//! Source: destructive lower bounds, Klein & Scholl (1999); the energy that
//! tasks must spend between two days, Baptiste, Le Pape & Nuijten (1999);
//! trying one half of a window and giving it up where it leads nowhere
//! ("shaving"), Martin & Shmoys (1996).

use super::network::Network;

/// The most tasks for which it is tried; beyond that it shows too little for
/// its cost.
const MOST_TASKS: usize = 200;
/// How often a task may be looked at for each step of search.
const LOOKS_A_STEP: u64 = 15;

/// Raises a proved bound as far as refuting goes, but not above `high`, the
/// finish of a plan.
pub(super) fn raise(network: &Network, low: u64, high: u64, steps: u64) -> u64 {
    if network.len() > MOST_TASKS {
        return low;
    }
    let mut refuter = Refuter::new(network, steps * LOOKS_A_STEP);
    let (mut low, mut high) = (low, high);
    // Strides double while they succeed, and then close in.
    let mut stride = 1;
    while low < high && refuter.looks > 0 {
        let day = (low + stride - 1).min(high - 1);
        if refuter.refutes(day) {
            low = day + 1;
            stride *= 2;
        } else {
            high = day;
            stride = (high - low).div_ceil(2).max(1);
        }
    }
    low
}

/// A task has no place left.
struct Nowhere;

/// Between which days each task lies: from its earliest start to its latest
/// end.
#[derive(Clone)]
struct Windows {
    from: Vec<u64>,
    to: Vec<u64>,
}

struct Refuter<'n> {
    network: &'n Network,
    /// Tasks that cannot be done at the same time.
    apart: Vec<(usize, usize)>,
    /// The tasks of each crew, with the people they take.
    of_crew: Vec<Vec<(usize, u64)>>,
    looks: u64,
}

impl<'n> Refuter<'n> {
    fn new(network: &'n Network, looks: u64) -> Self {
        let mut of_crew = vec![Vec::new(); network.crews.len()];
        for (n, node) in network.nodes.iter().enumerate() {
            for need in &node.needs {
                of_crew[need.crew].push((n, u64::from(need.people)));
            }
        }
        let mut apart = Vec::new();
        for (tasks, size) in of_crew.iter().zip(&network.crews) {
            for (i, (a, some)) in tasks.iter().enumerate() {
                let others = tasks[i + 1..].iter().filter(|(_, others)| some + others > u64::from(*size));
                apart.extend(others.map(|(b, _)| (*a, *b)));
            }
        }
        apart.sort_unstable();
        apart.dedup();
        Self { network, apart, of_crew, looks }
    }

    /// Whether no plan finishes by a day.
    fn refutes(&mut self, day: u64) -> bool {
        // No bound is below the longest path, so that no tail is longer.
        let to = self.network.tails.iter().map(|tail| day - tail).collect();
        let mut windows = Windows { from: self.network.heads.clone(), to };
        self.narrow(&mut windows).and_then(|()| self.shave(&mut windows)).is_err()
    }

    /// Narrows all windows as far as that goes.
    fn narrow(&mut self, windows: &mut Windows) -> Result<(), Nowhere> {
        loop {
            while self.follow(windows)? | self.part(windows)? {}
            let mut moved = false;
            for crew in 0..self.of_crew.len() {
                moved |= self.spend(windows, crew)?;
            }
            if !moved || self.looks == 0 {
                return Ok(());
            }
        }
    }

    fn look(&mut self, tasks: usize) {
        self.looks = self.looks.saturating_sub(tasks as u64);
    }

    /// Lets a task begin no earlier; says whether that is news.
    fn begin(&self, windows: &mut Windows, n: usize, day: u64) -> Result<bool, Nowhere> {
        if day <= windows.from[n] {
            return Ok(false);
        }
        windows.from[n] = day;
        if day + self.network.nodes[n].days > windows.to[n] { Err(Nowhere) } else { Ok(true) }
    }

    /// Lets a task end no later; says whether that is news.
    fn end(&self, windows: &mut Windows, n: usize, day: u64) -> Result<bool, Nowhere> {
        if day >= windows.to[n] {
            return Ok(false);
        }
        windows.to[n] = day;
        if windows.from[n] + self.network.nodes[n].days > day { Err(Nowhere) } else { Ok(true) }
    }

    /// A task begins when those it waits for have ended.
    fn follow(&mut self, windows: &mut Windows) -> Result<bool, Nowhere> {
        let nodes = &self.network.nodes;
        let mut moved = false;
        for (n, node) in nodes.iter().enumerate() {
            for a in &node.after {
                moved |= self.begin(windows, n, windows.from[*a] + nodes[*a].days)?;
            }
        }
        for (n, node) in nodes.iter().enumerate().rev() {
            for a in &node.after {
                moved |= self.end(windows, *a, windows.to[n] - node.days)?;
            }
        }
        self.look(nodes.len());
        Ok(moved)
    }

    /// Of two tasks that cannot be done at the same time one comes first.
    fn part(&mut self, windows: &mut Windows) -> Result<bool, Nowhere> {
        let days = |n: usize| self.network.nodes[n].days;
        let mut moved = false;
        for (a, b) in self.apart.iter().copied() {
            let both = days(a) + days(b);
            let a_first = windows.from[a] + both <= windows.to[b];
            let b_first = windows.from[b] + both <= windows.to[a];
            let (first, second) = match (a_first, b_first) {
                (true, true) => continue,
                (true, false) => (a, b),
                (false, true) => (b, a),
                (false, false) => return Err(Nowhere),
            };
            moved |= self.begin(windows, second, windows.from[first] + days(first))?;
            moved |= self.end(windows, first, windows.to[second] - days(second))?;
        }
        self.look(self.apart.len());
        Ok(moved)
    }

    /// Between two days a crew has room for what its tasks must do there; a
    /// task that would not leave the others enough begins or ends elsewhere.
    fn spend(&mut self, windows: &mut Windows, crew: usize) -> Result<bool, Nowhere> {
        let days = |n: usize| self.network.nodes[n].days;
        let size = u64::from(self.network.crews[crew]);
        let tasks = &self.of_crew[crew];
        let mut lows: Vec<u64> =
            tasks.iter().flat_map(|(n, _)| [windows.from[*n], windows.to[*n] - days(*n)]).collect();
        let mut highs: Vec<u64> =
            tasks.iter().flat_map(|(n, _)| [windows.to[*n], windows.from[*n] + days(*n)]).collect();
        for all in [&mut lows, &mut highs] {
            all.sort_unstable();
            all.dedup();
        }
        let most = tasks.iter().map(|(n, people)| days(*n) * people).max().unwrap_or(0);
        let mut moved = false;
        let mut looked = 0;
        for low in lows {
            for high in highs[highs.partition_point(|high| *high <= low)..].iter().copied() {
                looked += tasks.len();
                let between = |from: u64, to: u64| to.min(high).saturating_sub(from.max(low));
                // What is done there at the least, be it as early or as late as can be.
                let early = |w: &Windows, n: usize| between(w.from[n], w.from[n] + days(n));
                let late = |w: &Windows, n: usize| between(w.to[n] - days(n), w.to[n]);
                let must = |w: &Windows, n: usize| early(w, n).min(late(w, n));
                let sum: u64 = tasks.iter().map(|(n, people)| people * must(windows, *n)).sum();
                let Some(spare) = (size * (high - low)).checked_sub(sum) else { return Err(Nowhere) };
                if spare >= most {
                    continue;
                }
                for (n, people) in tasks.iter().copied() {
                    // The days it may spend there.
                    let room = spare / people + must(windows, n);
                    if early(windows, n) > room {
                        moved |= self.begin(windows, n, high - room)?;
                    }
                    if late(windows, n) > room {
                        moved |= self.end(windows, n, low + room)?;
                    }
                }
            }
        }
        self.look(looked);
        Ok(moved)
    }

    /// Gives up parts of windows that lead nowhere.
    fn shave(&mut self, windows: &mut Windows) -> Result<(), Nowhere> {
        let mut moved = true;
        while moved && self.looks > 0 {
            moved = false;
            for n in 0..self.network.len() {
                moved |= self.shave_one(windows, n, true)?;
                moved |= self.shave_one(windows, n, false)?;
            }
        }
        Ok(())
    }

    /// Tries the early or the late part of one window, smaller and smaller.
    fn shave_one(&mut self, windows: &mut Windows, n: usize, early: bool) -> Result<bool, Nowhere> {
        let days = self.network.nodes[n].days;
        let free = |w: &Windows| w.to[n] - w.from[n] - days;
        let mut part = free(windows).div_ceil(2);
        let mut moved = false;
        while part > 0 && self.looks > 0 {
            let mut trial = windows.clone();
            if early {
                trial.to[n] = trial.from[n] + days + part - 1;
            } else {
                trial.from[n] = trial.to[n] - days - (part - 1);
            }
            if self.narrow(&mut trial).is_ok() {
                part /= 2;
                continue;
            }
            moved = true;
            if early {
                self.begin(windows, n, windows.from[n] + part)?;
            } else {
                self.end(windows, n, windows.to[n] - part)?;
            }
            self.narrow(windows)?;
            part = part.min(free(windows));
        }
        Ok(moved)
    }
}
