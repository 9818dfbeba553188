//! The program: parses, runs, returns the exit code.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
