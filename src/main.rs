//! The spanwright program.
fn main() {}
