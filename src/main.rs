//! The spanwright program.

use std::process::ExitCode;

fn main() -> ExitCode {
    spanwright::cli::run()
}
