//! The only place that prints.
use super::args::{Format, Shared};
use panelwright::findings::{Finding, Severity};
use std::io::{ErrorKind, IsTerminal, Write};
use std::time::{Duration, Instant};

/// Prints text to standard output as it is.
pub(crate) fn say(text: &str) {
    let end = if text.ends_with('\n') { "" } else { "\n" };
    let mut out = std::io::stdout().lock();
    if let Err(error) = write!(out, "{text}{end}").and_then(|()| out.flush()) {
        // Whoever reads may stop reading: `panelwright compare OLD NEW | head`.
        if error.kind() != ErrorKind::BrokenPipe {
            mutter(&format!("panelwright: standard output: {error}\n"));
        }
    }
}

/// Prints why nothing was done.
pub(crate) fn refuse(error: &anyhow::Error) {
    mutter(&format!("panelwright: {}\n", whole(error)));
}

/// An error with its causes, each of which is said once: some say in their own words what stopped them.
fn whole(error: &anyhow::Error) -> String {
    let mut said = error.to_string();
    for cause in error.chain().skip(1).map(ToString::to_string) {
        if !said.contains(&cause) {
            said = format!("{said}: {cause}");
        }
    }
    said
}

/// Prints to standard error; there is nowhere to say that nobody listens.
fn mutter(text: &str) {
    let _ = std::io::stderr().write_all(text.as_bytes());
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
        say(&finding.to_string());
        if !finding.hint.is_empty() {
            say(&format!("    hint: {}", finding.hint));
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
            mutter(&format!("\r\u{1b}[K{room} done"));
        }
    }

    /// Clears the progress line, and prints the table of times when asked.
    pub(crate) fn finish(&self, timings: bool) {
        if self.is_shown {
            mutter("\r\u{1b}[K");
        }
        if timings {
            for (room, time) in &self.rooms {
                mutter(&format!("{room:<14}{:>9.1} ms\n", time.as_secs_f64() * 1e3));
            }
            let total: Duration = self.rooms.iter().map(|(_, time)| *time).sum();
            mutter(&format!(
                "{:<14}{:>9.1} ms\n",
                "together",
                total.as_secs_f64() * 1e3
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use anyhow::anyhow;

    #[test]
    fn a_cause_is_said_once() {
        let cause = anyhow!("plan.json: is missing");
        assert_eq!(whole(&cause), "plan.json: is missing");
        let named = anyhow!("plan.json: is missing").context("--revise: plan.json: is missing");
        assert_eq!(whole(&named), "--revise: plan.json: is missing");
        let other = anyhow!("no such folder").context("out: cannot be written");
        assert_eq!(whole(&other), "out: cannot be written: no such folder");
    }
}
