//! Measures what the program spends, as ratios to a bare baseline.

fn main() {}
