//! The only place that prints.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "this is where the program speaks"
)]

use super::args::{Format, Shared};
use panelwright::findings::{Finding, Severity};
use std::io::IsTerminal;
use std::time::{Duration, Instant};

/// Prints text to standard output as it is.
pub(crate) fn say(text: &str) {
    print!("{text}");
    if !text.ends_with('\n') {
        println!();
    }
}

/// Prints why nothing was done.
pub(crate) fn refuse(error: &anyhow::Error) {
    eprintln!("panelwright: {error:#}");
}

/// Prints findings and a summary as asked.
///
/// - `json`: the whole JSON document when findings are printed as JSON.
/// - `summary`: one or more lines for people.
pub(crate) fn report(shared: &Shared, findings: &[Finding], json: &str, summary: &str) {
    if shared.format == Format::Json {
        say(json);
        return;
    }
    for finding in findings {
        if shared.quiet && finding.severity != Severity::Fault {
            continue;
        }
        println!("{finding}");
        if !finding.hint.is_empty() {
            println!("    hint: {}", finding.hint);
        }
    }
    if !shared.quiet {
        say(summary);
    }
}

/// Times rooms, and says on a terminal what is going on.
#[derive(Debug)]
pub(crate) struct Progress {
    is_shown: bool,
    last: Instant,
    rooms: Vec<(String, Duration)>,
}

impl Progress {
    /// Starts the watch.
    pub(crate) fn start(shared: &Shared) -> Self {
        let is_shown =
            !shared.quiet && shared.format == Format::Text && std::io::stderr().is_terminal();
        Self {
            is_shown,
            last: Instant::now(),
            rooms: Vec::new(),
        }
    }

    /// A room is done.
    pub(crate) fn done(&mut self, room: &str) {
        let now = Instant::now();
        self.rooms.push((room.to_owned(), now - self.last));
        self.last = now;
        if self.is_shown {
            eprint!("\r\u{1b}[K{room} done");
        }
    }

    /// Clears the progress line, and prints the table of times when asked.
    pub(crate) fn finish(&self, timings: bool) {
        if self.is_shown {
            eprint!("\r\u{1b}[K");
        }
        if timings {
            for (room, time) in &self.rooms {
                eprintln!("{room:<14}{:>9.1} ms", time.as_secs_f64() * 1e3);
            }
            let total: Duration = self.rooms.iter().map(|(_, time)| *time).sum();
            eprintln!("{:<14}{:>9.1} ms", "together", total.as_secs_f64() * 1e3);
        }
    }
}
