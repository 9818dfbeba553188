//! Which neighbour a panel follows, where nothing on the plan touched the panel itself.
//!
//! ```text
//!   W105 ── W106 ── W107        the window of W107 moved: W106 gives way to W107, W105 to W106
//! ```

use super::issued::IssuedPanel;
use std::collections::{BTreeMap, BTreeSet};

/// A panel that is not the same.
pub(super) struct Unlike<'a> {
    /// Panels and walls that it is joined with, as it was and as it is.
    with: BTreeSet<&'a str>,
    /// What changed on the plan that touches it.
    causes: Vec<String>,
}

impl<'a> Unlike<'a> {
    /// Of a panel as it was and as it is.
    pub(super) fn of(
        before: Option<&'a IssuedPanel>,
        now: Option<&'a IssuedPanel>,
        causes: &[String],
    ) -> Self {
        let edges = before.into_iter().chain(now).flat_map(|it| {
            let edges = it.data["edges"].as_array();
            edges.into_iter().flatten()
        });
        Self {
            with: edges.filter_map(|it| it["with"].as_str()).collect(),
            causes: causes.to_vec(),
        }
    }
}

/// The neighbour by which a change came to a panel, and what changed there or beyond it; the nearest first.
///
/// - `unlike`: every panel that is not the same, by its mark.
pub(super) fn followed<'u>(
    mark: &str,
    unlike: &'u BTreeMap<&'u str, Unlike<'u>>,
) -> Option<(&'u str, &'u [String])> {
    let mut seen: BTreeSet<&str> = BTreeSet::from([mark]);
    // Each with the neighbour by which it was reached.
    let mut row: Vec<(&str, &str)> = beside(mark, unlike)
        .into_iter()
        .map(|it| (it, it))
        .collect();
    while !row.is_empty() {
        row.retain(|(_, at)| seen.insert(*at));
        let told = row.iter().find_map(|(first, at)| {
            let causes = &unlike.get(at)?.causes;
            (!causes.is_empty()).then_some((*first, causes.as_slice()))
        });
        if told.is_some() {
            return told;
        }
        let next = (row.iter())
            .flat_map(|(first, at)| beside(at, unlike).into_iter().map(move |it| (*first, it)));
        row = next.collect();
    }
    None
}

/// Those of its neighbours that are not the same either.
fn beside<'u>(mark: &str, unlike: &'u BTreeMap<&'u str, Unlike<'u>>) -> Vec<&'u str> {
    let with = unlike.get(mark).map(|it| &it.with);
    let all = with.into_iter().flatten().copied();
    all.filter(|it| unlike.contains_key(it)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_told_by_the_neighbour_it_came_through_and_not_past_one_that_is_the_same() {
        let unlike = |with: &[&'static str], causes: &[&str]| Unlike {
            with: with.iter().copied().collect(),
            causes: causes.iter().map(|it| (*it).to_owned()).collect(),
        };
        let mut all = BTreeMap::from([
            ("W105", unlike(&["W104", "W106"], &[])),
            ("W106", unlike(&["W105", "W107"], &[])),
            ("W107", unlike(&["W106"], &["window O2 is gone"])),
        ]);
        let gone = ["window O2 is gone".to_owned()];
        assert_eq!(followed("W106", &all), Some(("W107", &gone[..])));
        assert_eq!(followed("W105", &all), Some(("W106", &gone[..])));
        all.remove("W106");
        assert_eq!(followed("W105", &all), None);
    }
}
