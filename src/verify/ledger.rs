//! The book a proof keeps: how many cases it looked at, and what failed.

use crate::findings::{Code, Finding, Place};

/// What to do about any failed proof.
const HINT: &str = "do not build from this package; make it again, and if the proof still fails report it with the input";

/// Cases and failures of one proof.
pub(super) struct Ledger {
    code: Code,
    pub(super) n_checked: usize,
    pub(super) failures: Vec<Finding>,
}

impl Ledger {
    pub(super) const fn new(code: Code) -> Self {
        Self {
            code,
            n_checked: 0,
            failures: Vec::new(),
        }
    }

    /// One more case was looked at.
    pub(super) fn case(&mut self) {
        self.n_checked += 1;
    }

    /// A failure at a place.
    pub(super) fn fail(&mut self, place: Place, message: impl Into<String>) {
        self.fail_for(place, message, HINT);
    }

    /// A failure whose reason is known, and what to do about that.
    pub(super) fn fail_for(&mut self, place: Place, message: impl Into<String>, hint: &str) {
        let finding = Finding::fault(self.code, place, message, hint);
        self.failures.push(finding);
    }

    /// A failure unless `holds`.
    pub(super) fn demand(
        &mut self,
        holds: bool,
        place: impl FnOnce() -> Place,
        message: impl FnOnce() -> String,
    ) {
        if !holds {
            self.fail(place(), message());
        }
    }
}
