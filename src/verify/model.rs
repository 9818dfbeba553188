//! What was proved.

use crate::findings::Code;

/// The proofs of one package.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VerifyReport {
    /// In the order in which they were made.
    pub proofs: Vec<ProofResult>,
    /// Marks of panels on HOLD: proved too, and not to be cut.
    pub held: Vec<String>,
}

/// One proof.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofResult {
    /// Code of its findings when it fails.
    pub code: Code,
    /// What holds, as a sentence.
    pub statement: &'static str,
    /// How many cases were looked at.
    pub n_checked: usize,
    /// What they are: `walls`, `panels`.
    pub cases: &'static str,
    /// How many failures were found.
    pub n_failed: usize,
}

impl VerifyReport {
    /// True when no proof failed.
    #[must_use]
    pub fn is_proved(&self) -> bool {
        self.proofs.iter().all(|proof| proof.n_failed == 0)
    }

    /// `12 of 12 proofs hold`.
    #[must_use]
    pub fn summary(&self) -> String {
        let n_proved = self.proofs.iter().filter(|it| it.n_failed == 0).count();
        format!("{n_proved} of {} proofs hold", self.proofs.len())
    }

    /// What was proved, one line for each proof and one for the panels on HOLD.
    ///
    /// ```text
    /// proved PROOF-01  panels, gaps and framed openings tile each wall's run to the nanometre (5 walls)
    /// FAILED PROOF-03  every opening sits where the plan has it, within 1/64 in (4 openings, 1 failure)
    /// on HOLD: W102, W107
    /// ```
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.proofs.iter().map(ProofResult::line).collect();
        if !self.held.is_empty() {
            lines.push(format!("on HOLD: {}", self.held.join(", ")));
        }
        lines
    }
}

impl ProofResult {
    fn line(&self) -> String {
        let (statement, n, cases) = (self.statement, self.n_checked, self.cases);
        match self.n_failed {
            0 => format!("proved {}  {statement} ({n} {cases})", self.code),
            1 => format!("FAILED {}  {statement} ({n} {cases}, 1 failure)", self.code),
            failed => format!(
                "FAILED {}  {statement} ({n} {cases}, {failed} failures)",
                self.code
            ),
        }
    }
}
