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
