//! Reads what the proofs need of `findings.json`: the walls that faults name.

use serde::Deserialize;
use std::collections::BTreeSet;

/// Series of findings about walls and their layouts.
const OF_WALLS: [&str; 2] = ["BLDG-", "LAY-"];

#[derive(Debug, Deserialize)]
struct Told {
    code: String,
    severity: String,
    #[serde(default)]
    storey: Option<String>,
    #[serde(default)]
    element: Option<String>,
}

/// Storey and id of each wall or opening that a fault of building or layout names; none where the file cannot be read.
pub(in crate::verify) fn faulted(findings: &[u8]) -> BTreeSet<(String, String)> {
    let told: Vec<Told> = serde_json::from_slice(findings).unwrap_or_default();
    let of_walls = |it: &Told| {
        it.severity == "fault" && OF_WALLS.iter().any(|series| it.code.starts_with(series))
    };
    let faults = told.into_iter().filter(of_walls);
    faults
        .filter_map(|it| Some((it.storey?, it.element?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_faults_of_building_and_layout_name_a_wall() {
        let file = r#"[
            {"code":"LAY-01","severity":"fault","storey":"S1","element":"X1"},
            {"code":"LAY-04","severity":"doubt","storey":"S1","element":"X2"},
            {"code":"FAB-06","severity":"fault","storey":"S1","element":"X3"},
            {"code":"BLDG-01","severity":"fault"}]"#;
        let named = BTreeSet::from([("S1".to_owned(), "X1".to_owned())]);
        assert_eq!(faulted(file.as_bytes()), named);
        assert!(faulted(b"torn").is_empty());
    }
}
