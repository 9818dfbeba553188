//! Why a panel is not as it was: what changed on the plan or by a correction, which rules say so now, which files differ.
//!
//! ```text
//!   panel ──► its openings, its wall ──► the plan's changes of those; of none, what changed elsewhere in its wall or round its corner
//! ```

use super::issued::{Issued, IssuedError, IssuedPanel};
use crate::documents::PanelNews;
use crate::plan::{Plan, PlanChange, as_drawn, plan_changes, read_issued_names};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// So many handles of a change are named.
const MOST_HANDLES: usize = 6;

/// What changed between the plan of the issue before and this one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanNews {
    /// True where the drawing is as it was there, and a correction says otherwise than it did.
    is_correction: bool,
    change: PlanChange,
}

/// What changed on the plan since the issue before.
///
/// - `files`: the package of the issue before.
///
/// # Errors
/// [`IssuedError`] when its `plan.json` is missing or cannot be read.
pub fn plan_news(
    files: &BTreeMap<String, Vec<u8>>,
    plan: &Plan,
) -> Result<Vec<PlanNews>, IssuedError> {
    const FILE: &str = "plan.json";
    let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
    let text = String::from_utf8_lossy(bytes);
    let earlier = read_issued_names(&text, FILE).map_err(|error| IssuedError::Unreadable {
        file: FILE.to_owned(),
        reason: error.reason,
    })?;
    let drawn = plan_changes(&earlier.before_corrections, &as_drawn(plan));
    let is_drawn = |it: &PlanChange| {
        let own = (it.kind, &it.what, &it.sources);
        drawn
            .iter()
            .any(|it| own == (it.kind, &it.what, &it.sources))
    };
    let all = plan_changes(&earlier.as_issued, plan).into_iter();
    Ok(all
        .map(|change| PlanNews {
            is_correction: !is_drawn(&change),
            change,
        })
        .collect())
}

impl PlanNews {
    fn words(&self) -> String {
        let by = if self.is_correction {
            "by a correction"
        } else {
            "on the plan"
        };
        format!("{by}, {}", self.change.words())
    }

    /// The same with the handles of what draws it.
    fn with_handles(&self) -> String {
        let handles = &self.change.sources;
        let named = handles.iter().take(MOST_HANDLES).cloned();
        let mut named: Vec<String> = named.collect();
        let more = handles.len() - named.len();
        if more > 0 {
            named.push(format!("{more} more"));
        }
        match named.is_empty() {
            true => self.words(),
            false => format!("{} [{}]", self.words(), named.join(", ")),
        }
    }
}

/// Why one panel is not as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Why {
    /// What changed on the plan or by a correction that touches it, in short.
    pub(super) causes: Vec<String>,
    /// The same with handles, then what changed elsewhere in its wall, then the rules.
    pub(super) words: Vec<String>,
}

impl Why {
    /// Of a panel as it was and as it is.
    pub(super) fn of(
        before: Option<&IssuedPanel>,
        now: Option<&IssuedPanel>,
        news: &[PlanNews],
    ) -> Self {
        let touching = Touching::of(before, now);
        let own: Vec<&PlanNews> = news.iter().filter(|it| touching.is_own(it)).collect();
        let mut words: Vec<String> = own.iter().map(|it| it.with_handles()).collect();
        if own.is_empty() {
            let beside = news.iter().filter(|it| touching.is_beside(it));
            words.extend(beside.map(|it| format!("beside it: {}", it.with_handles())));
        }
        words.extend(rules(before, now));
        Self {
            causes: own.iter().map(|it| it.words()).collect(),
            words,
        }
    }

    /// Takes over what changed at or beyond a neighbour.
    pub(super) fn follow(&mut self, neighbour: &str, causes: &[String]) {
        let told = causes
            .iter()
            .map(|it| format!("it follows {neighbour}: {it}"));
        self.causes = told.collect();
        self.words.splice(0..0, self.causes.iter().cloned());
    }
}

/// Names of what a panel has and of what it meets, as it was and as it is.
struct Touching<'a> {
    walls: BTreeSet<&'a str>,
    openings: BTreeSet<&'a str>,
    others: BTreeSet<&'a str>,
}

impl<'a> Touching<'a> {
    fn of(before: Option<&'a IssuedPanel>, now: Option<&'a IssuedPanel>) -> Self {
        let both = || before.into_iter().chain(now);
        let named = |list: &'static str, key: &'static str| {
            let items = both().flat_map(move |it| it.data[list].as_array().into_iter().flatten());
            items.filter_map(move |it| it[key].as_str())
        };
        Self {
            walls: both().map(|it| it.wall.as_str()).collect(),
            openings: named("openings", "id").collect(),
            others: named("edges", "with").collect(),
        }
    }

    fn is_own(&self, news: &PlanNews) -> bool {
        let change = &news.change;
        change.opening.as_deref().map_or_else(
            || self.walls.contains(change.wall.as_str()),
            |id| self.openings.contains(id) || self.others.contains(id),
        )
    }

    /// Elsewhere in its wall, or the wall round its corner.
    fn is_beside(&self, news: &PlanNews) -> bool {
        let wall = news.change.wall.as_str();
        self.walls.contains(wall) || news.change.opening.is_none() && self.others.contains(wall)
    }
}

/// Rules that give a reason now and gave none before, each by what it decided.
fn rules(before: Option<&IssuedPanel>, now: Option<&IssuedPanel>) -> Vec<String> {
    let list = |panel: Option<&IssuedPanel>| -> Vec<String> {
        let value = panel.map(|panel| &panel.data["reasons"]);
        let all = value.and_then(Value::as_array).into_iter().flatten();
        let told = |reason: &Value| {
            let of = |key: &str| reason[key].as_str().unwrap_or_default().to_owned();
            // What a step aside would cost is no reason to change.
            let words = reason["lead"]
                .as_str()
                .map_or_else(|| of("words"), str::to_owned);
            format!("{}: {words} [{}]", of("about"), of("rule"))
        };
        all.map(told).collect()
    };
    let known = list(before);
    let mut words = list(now);
    words.retain(|it| !known.contains(it));
    words
}

/// Says of panels that nothing on the plan touched which of the files that the package is made from are not as they were.
///
/// - `old`: the issue before.
/// - `inputs`: names and SHA-256 of the files of this one.
pub fn add_changed_inputs(old: &Issued, inputs: &[(&str, String)], news: &mut [PanelNews]) {
    let is_known = |digest: &String| old.inputs.values().any(|it| it == digest);
    let names: Vec<&str> = (inputs.iter())
        .filter(|(_, digest)| !is_known(digest))
        .map(|(name, _)| name.rsplit(['/', '\\']).next().unwrap_or(name))
        .collect();
    if names.is_empty() {
        return;
    }
    let words = format!("not as it was: {}", names.join(", "));
    let is_told = |it: &PanelNews| it.what == "redrawn" || !it.causes.is_empty();
    for news in news.iter_mut().filter(|it| !is_told(it)) {
        news.why.push(words.clone());
        news.causes.push(words.clone());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn panel(opening: &str, reason: &str) -> IssuedPanel {
        IssuedPanel {
            mark: "W101".to_owned(),
            wall: "X1".to_owned(),
            data: json!({"openings": [{"id": opening}], "edges": [{"with": "X2"}, {"with": "W102"}],
                "reasons": [{"about": "width", "rule": "lines", "words": reason}]}),
            ..IssuedPanel::default()
        }
    }

    fn news(wall: &str, opening: Option<&str>, what: &str) -> PlanNews {
        PlanNews {
            is_correction: false,
            change: PlanChange {
                wall: wall.to_owned(),
                opening: opening.map(str::to_owned),
                kind: if opening.is_some() { "window" } else { "wall" },
                what: what.to_owned(),
                sources: ["1A", "1B"].map(str::to_owned).to_vec(),
                ..PlanChange::default()
            },
        }
    }

    #[test]
    fn what_touches_the_panel_is_its_cause_and_the_rest_of_its_wall_is_not() {
        let (before, now) = (panel("O1", "ripped to 40\""), panel("O1", "ripped to 46\""));
        let all = [
            news("X1", Some("O1"), "is 6\" farther left"),
            news("X1", Some("O2"), "is gone"),
            news("X3", None, "is new"),
        ];
        let why = Why::of(Some(&before), Some(&now), &all);
        assert_eq!(why.causes, ["on the plan, window O1 is 6\" farther left"]);
        assert_eq!(
            why.words,
            [
                "on the plan, window O1 is 6\" farther left [1A, 1B]",
                "width: ripped to 46\" [lines]"
            ]
        );
    }

    #[test]
    fn what_a_step_aside_would_cost_is_no_new_reason() {
        let told = |words: &str| {
            let mut panel = panel("O1", words);
            panel.data["reasons"][0]["lead"] = json!("ripped to 40\"");
            panel
        };
        let [before, now] = ["costs nothing", "costs more"].map(told);
        assert_eq!(Why::of(Some(&before), Some(&now), &[]).words, [""; 0]);
    }

    #[test]
    fn where_nothing_touches_it_the_wall_and_the_corner_are_told() {
        let same = panel("O1", "ripped to 40\"");
        let all = [
            news("X1", Some("O2"), "is gone"),
            news("X2", None, "is 12\" farther out"),
            news("X3", None, "is new"),
        ];
        let why = Why::of(Some(&same), Some(&same), &all);
        assert_eq!(why.causes, [""; 0]);
        assert_eq!(
            why.words,
            [
                "beside it: on the plan, window O2 is gone [1A, 1B]",
                "beside it: on the plan, wall X2 is 12\" farther out [1A, 1B]"
            ]
        );
    }

    #[test]
    fn a_file_is_named_without_its_folder_and_only_where_nothing_else_is_the_cause() {
        let row = |what: &'static str, causes: &[&str]| PanelNews {
            what,
            causes: causes.iter().map(|it| (*it).to_owned()).collect(),
            ..PanelNews::default()
        };
        let mut all = [
            row("changed", &[]),
            row("changed", &["on the plan, door O1 is new"]),
            row("redrawn", &[]),
        ];
        let inputs = [("/home/somebody/job.toml", "ab".to_owned())];
        add_changed_inputs(&Issued::default(), &inputs, &mut all);
        let why: Vec<&[String]> = all.iter().map(|it| it.why.as_slice()).collect();
        assert_eq!(why[0], ["not as it was: job.toml"]);
        assert!(why[1].is_empty() && why[2].is_empty());
    }
}
