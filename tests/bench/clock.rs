//! Measuring side by side, and the table of it.

use std::hint::black_box;
use std::time::{Duration, Instant};

/// How long a piece of work takes.
pub fn time<T>(work: impl FnOnce() -> T) -> Duration {
    let start = Instant::now();
    black_box(work());
    start.elapsed()
}

/// One thing to measure, each time anew.
pub type Run<'a> = Box<dyn FnMut() -> Duration + 'a>;

/// The same work in a book that is all but empty and in a large one, and a
/// bare piece of work to hold both against.
pub struct Trial<'a> {
    pub what: String,
    pub empty: Run<'a>,
    pub large: Run<'a>,
    pub bare: Run<'a>,
}

/// What came of a trial.
pub struct Line {
    what: String,
    empty: Duration,
    large: Duration,
    bare: Duration,
}

impl Trial<'_> {
    /// The median of so many runs. The three take turns, so that whatever
    /// else the machine does falls on all alike; the first turn only warms up.
    pub fn run(mut self, runs: usize) -> Line {
        let mut took: [Vec<Duration>; 3] = Default::default();
        for turn in 0..=runs {
            for (took, work) in took.iter_mut().zip([&mut self.empty, &mut self.large, &mut self.bare]) {
                let time = work();
                if turn > 0 {
                    took.push(time);
                }
            }
        }
        let [empty, large, bare] = took.map(median);
        eprintln!("measured: {}", self.what);
        Line { what: self.what, empty, large, bare }
    }
}

fn median(mut took: Vec<Duration>) -> Duration {
    took.sort_unstable();
    took.get(took.len() / 2).copied().unwrap_or_default()
}

/// Prints what came of all trials.
pub fn print(lines: &[Line]) {
    println!(
        "{:<46}{:>10}{:>10}{:>10}{:>9}{:>9}",
        "microseconds, median", "empty", "large", "bare", "e/bare", "l/bare"
    );
    for Line { what, empty, large, bare } in lines {
        let micros = |time: &Duration| time.as_secs_f64() * 1e6;
        println!(
            "{what:<46}{:>10.1}{:>10.1}{:>10.1}{:>9.2}{:>9.2}",
            micros(empty),
            micros(large),
            micros(bare),
            micros(empty) / micros(bare),
            micros(large) / micros(bare)
        );
    }
}
