//! Reads what the proofs need of `findings.json`: the walls that cannot be panelled.

use serde::Deserialize;
use std::collections::BTreeSet;

/// The only fault that says why nothing is made of a wall: it cannot be panelled.
const NO_LAYOUT: &str = "LAY-01";

#[derive(Debug, Deserialize)]
struct Told {
    code: String,
    severity: String,
    #[serde(default)]
    storey: Option<String>,
    #[serde(default)]
    element: Option<String>,
}

/// The fault of a storey of which no wall can be raised.
const OUTLINE_OPEN: &str = "BLDG-01";

/// Storeys whose outline does not close.
pub(in crate::verify) fn open_storeys(findings: &[u8]) -> BTreeSet<String> {
    let told: Vec<Told> = serde_json::from_slice(findings).unwrap_or_default();
    let faults = told
        .into_iter()
        .filter(|it| it.severity == "fault" && it.code == OUTLINE_OPEN);
    faults.filter_map(|it| it.storey).collect()
}

/// Storey and id of each wall that cannot be panelled; none where the file cannot be read.
pub(in crate::verify) fn left_out(findings: &[u8]) -> BTreeSet<(String, String)> {
    let told: Vec<Told> = serde_json::from_slice(findings).unwrap_or_default();
    let faults = told
        .into_iter()
        .filter(|it| it.severity == "fault" && it.code == NO_LAYOUT);
    faults
        .filter_map(|it| Some((it.storey?, it.element?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_fault_that_an_outline_does_not_close_excuses_a_storey() {
        let file = r#"[
            {"code":"BLDG-01","severity":"fault","storey":"S1"},
            {"code":"BLDG-01","severity":"doubt","storey":"S2"},
            {"code":"BLDG-02","severity":"fault","storey":"S3"},
            {"code":"BLDG-01","severity":"fault"}]"#;
        assert_eq!(
            open_storeys(file.as_bytes()),
            BTreeSet::from(["S1".to_owned()])
        );
        assert!(open_storeys(b"torn").is_empty());
    }

    #[test]
    fn only_the_fault_that_a_wall_cannot_be_panelled_excuses_it() {
        let file = r#"[
            {"code":"LAY-01","severity":"fault","storey":"S1","element":"X1"},
            {"code":"LAY-01","severity":"doubt","storey":"S1","element":"X2"},
            {"code":"LAY-12","severity":"fault","storey":"S1","element":"X3"},
            {"code":"BLDG-53","severity":"fault","storey":"S1","element":"X4"},
            {"code":"LAY-01","severity":"fault"}]"#;
        let named = BTreeSet::from([("S1".to_owned(), "X1".to_owned())]);
        assert_eq!(left_out(file.as_bytes()), named);
        assert!(left_out(b"torn").is_empty());
    }
}
