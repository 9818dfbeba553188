//! The program: parses, runs, returns the exit code.

#![cfg_attr(
    test,
    allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")
)]

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
