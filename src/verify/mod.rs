//! Proves a package from its files alone.
//!
//! ```text
//!   plan.json, panels.json, loads.json, outlines/*.dxf, lists/*.csv, manifest.json ──► readers ──► proofs ──► findings
//!        readers/: small readers of its own                 proofs/: one statement in one file
//! ```
//!
//! *Promises.* It trusts no model of the program: it looks only into `geometry`, `units` and `findings`, and reads files with
//! readers of its own. A proof that fails says which panel, wall or file, and by how much. Along a wall all is exact to the
//! nanometre; between walls and against the plan the tolerance is 1/64 in.
//!
//! *Does not do.* Repairing; judging structure.

pub mod codes;
mod ledger;
mod model;
mod package;
mod proofs;
mod readers;
mod replay;

pub use model::{ProofResult, VerifyReport};

use crate::findings::Outcome;
use ledger::Ledger;
use package::Package;
use std::collections::BTreeMap;

/// Why there is nothing to prove.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum VerifyError {
    /// A file without which nothing can be proved is not there.
    #[error("{0}: is missing; this is not a package that `panelwright make` wrote")]
    Missing(&'static str),
    /// A file is there and cannot be read.
    #[error("{file}: {reason}; write the package again with `panelwright make`")]
    Unreadable {
        /// Its name in the package.
        file: String,
        /// What is wrong with it.
        reason: String,
    },
}

/// Proves what a package's files promise.
///
/// - `files`: names relative to the package, with `/`, and bytes. What lies in `review/` is not looked at.
/// - Returns one result for each proof, and a fault for each failure.
///
/// # Errors
/// [`VerifyError`] when `plan.json` or `panels.json` is missing or cannot be read: then it is not a package.
pub fn verify_package(
    files: &BTreeMap<String, Vec<u8>>,
) -> Result<Outcome<VerifyReport>, VerifyError> {
    let package = Package::read(files)?;
    let mut report = VerifyReport {
        held: package.held_marks(),
        ..VerifyReport::default()
    };
    let mut findings = Vec::new();
    for proof in proofs::ALL {
        let mut ledger = Ledger::new(proof.code);
        (proof.prove)(&package, &mut ledger);
        report.proofs.push(ProofResult {
            code: proof.code,
            statement: proof.statement,
            n_checked: ledger.n_checked,
            cases: proof.cases,
            n_failed: ledger.failures.len(),
        });
        findings.extend(ledger.failures);
    }
    Ok(Outcome {
        output: report,
        findings,
    })
}
