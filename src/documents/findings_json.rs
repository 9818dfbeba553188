//! `findings.json`: one list, all stages.

use crate::findings::{Finding, base_name};
use serde::Serialize;

/// A finding as written; what is not known is left out.
#[derive(Serialize)]
pub(super) struct FindingRow<'a> {
    code: &'static str,
    severity: &'static str,
    message: &'a str,
    hint: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    storey: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    element: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    between: Option<[[f64; 2]; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    panel: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    layer: Option<&'a str>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    sources: &'a [String],
}

pub(super) fn rows(findings: &[Finding]) -> Vec<FindingRow<'_>> {
    findings
        .iter()
        .map(|finding| FindingRow {
            code: finding.code.name(),
            severity: finding.severity.name(),
            message: &finding.message,
            hint: &finding.hint,
            file: finding.place.file.as_deref().map(base_name),
            line: finding.place.line,
            storey: finding.place.storey.as_deref(),
            element: finding.place.element.as_deref(),
            at: finding
                .place
                .at
                .map(|[x, y]| [super::nine(x), super::nine(y)]),
            between: finding
                .place
                .between
                .map(|ends| ends.map(|end| end.map(super::nine))),
            panel: finding.place.panel.as_deref(),
            layer: finding.place.layer.as_deref(),
            sources: &finding.place.sources,
        })
        .collect()
}

/// The findings as JSON text.
#[must_use]
pub fn findings_json(findings: &[Finding]) -> String {
    super::pretty(&rows(findings))
}
