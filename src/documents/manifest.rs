//! `manifest.json`: the program's version, and the SHA-256 of each input and of each file written.

use super::panel_sheet::panel_revisions;
use super::{DocumentSet, InputFile, IssueFacts, Revision, Revisions, TitleFacts, sha256_hex};
use crate::fabrication::Fabrication;
use crate::findings::base_name;
use crate::rules::{Job, job_without_revises};
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Manifest<'a> {
    schema: &'static str,
    program: &'static str,
    version: &'static str,
    issue: u32,
    revises: Option<&'a str>,
    /// The id that every sheet prints.
    package: &'a str,
    /// What the next issue's sheets repeat.
    revisions: Revisions,
    inputs: Vec<Named<'a>>,
    /// What the job of the next issue is compared with: it differs in that line at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    job_without_revises: Option<String>,
    files: BTreeMap<&'a str, String>,
}

#[derive(Serialize)]
struct Named<'a> {
    name: &'a str,
    sha256: String,
    /// What it says key by key, of a file that people write: the next issue tells which key changed.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    said: BTreeMap<String, String>,
}

/// The manifest of all files in `documents`, which must not hold a manifest yet.
#[must_use]
pub(super) fn manifest(
    documents: &DocumentSet,
    (inputs, job): (&[&InputFile], &Job),
    (issue, facts): (&IssueFacts, &TitleFacts),
    fabrication: &Fabrication,
) -> String {
    let job_without_revises = inputs.iter().find(|it| it.name == job.file).and_then(|it| {
        let (text, without) = (it.text(), job_without_revises(&it.text()));
        (without != text).then(|| sha256_hex(without.as_bytes()))
    });
    let manifest = Manifest {
        schema: "panelwright.manifest/1",
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        issue: issue.number,
        revises: Some(issue.revises.as_str()).filter(|id| !id.is_empty()),
        package: &facts.package,
        revisions: Revisions {
            sheets: Revision::issued(facts),
            panels: fabrication
                .panels
                .iter()
                .map(|it| (it.mark.clone(), panel_revisions(issue, facts, it)))
                .collect(),
        },
        inputs: inputs
            .iter()
            .map(|file| Named {
                name: base_name(&file.name),
                sha256: sha256_hex(&file.bytes),
                said: file.said(),
            })
            .collect(),
        job_without_revises,
        files: documents
            .files
            .iter()
            .map(|(name, bytes)| (name.as_str(), sha256_hex(bytes)))
            .collect(),
    };
    super::pretty(&manifest)
}
