//! What it costs to change a panel that was issued before.

use super::checks::Checks;
use super::cost::MOST_CENTS;
use super::plant_file::Key;
use schemars::JsonSchema;
use serde::Deserialize;

/// Changes to issued panels, as part of what a layout costs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RevisionRules {
    /// Each issued panel that is not made again as it was, whole cents. Default: 25000.
    pub issued_panel: i64,
    /// The same of one that is released, cut or shipped. Default: 150000.
    pub locked_panel: i64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RevisionsFile {
    issued_panel: Key<i64>,
    locked_panel: Key<i64>,
}

/// Takes over what the group gives.
pub(super) fn apply_revisions(
    file: &RevisionsFile,
    to: &mut RevisionRules,
    checks: &mut Checks<'_>,
) {
    let range = 0..=MOST_CENTS;
    for (key, target, given) in [
        ("issued_panel", &mut to.issued_panel, &file.issued_panel),
        ("locked_panel", &mut to.locked_panel, &file.locked_panel),
    ] {
        checks.number(&format!("revisions.{key}"), target, given, &range);
    }
}
