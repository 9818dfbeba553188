//! Why a panel is not as it was: what changed on the plan or by a correction, which rules say so now, which files differ.
//!
//! ```text
//!   panel ──► its openings, its wall ──► the plan's changes of those; of none, what changed elsewhere in its wall or round its corner
//! ```

use super::files::{FileNews, InputNews};
use super::issued::{IssuedError, IssuedPanel};
use crate::plan::{Plan, PlanChange, as_drawn, plan_changes, read_issued_names};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// So many handles of a change are named.
const MOST_HANDLES: usize = 6;
/// So many changes of the plan are told where all of them are one cause.
const MOST_CHANGES: usize = 3;

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

/// Why sheets of panels that are cut as before print something else: what changed of the walls, which every small plan shows, else of
/// anything on the plan, and what the files say otherwise.
#[must_use]
pub fn why_drawn_anew(plan: &[PlanNews], inputs: &InputNews) -> Vec<String> {
    let walls: Vec<&PlanNews> = plan
        .iter()
        .filter(|it| it.change.opening.is_none())
        .collect();
    let all = match walls.is_empty() {
        true => plan.iter().collect(),
        false => walls,
    };
    let mut told: Vec<String> = all.iter().take(MOST_CHANGES).map(|it| it.words()).collect();
    if all.len() > MOST_CHANGES {
        told.push(format!(
            "{} more changes of the plan",
            all.len() - MOST_CHANGES
        ));
    }
    let files = inputs
        .all
        .iter()
        .filter(|it| plan.is_empty() || !it.is_named_alone());
    told.extend(files.flat_map(FileNews::all_words));
    told
}

/// Why one panel is not as it was.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Why {
    /// What changed on the plan or by a correction that touches it, in short.
    pub(super) causes: Vec<String>,
    /// The same with handles, then what changed elsewhere in its wall, then files.
    pub(super) words: Vec<String>,
    /// Rules that give a reason now and gave none before.
    pub(super) rules: Vec<String>,
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
        Self {
            causes: own.iter().map(|it| it.words()).collect(),
            words,
            rules: rules(before, now),
        }
    }

    /// Says, of a panel that nothing else is the cause of, which files are not as they were: of the keys that name a wall, an
    /// opening or a storey those of its own, and where none is all of them. Where something changed beside the panel it is told so:
    /// neither the drawing nor a correction is named again.
    ///
    /// - `named`: every wall, opening and storey of both issues.
    pub(super) fn add_inputs(
        &mut self,
        panels: [Option<&IssuedPanel>; 2],
        inputs: &[FileNews],
        named: &BTreeSet<&str>,
    ) {
        if !self.causes.is_empty() {
            return;
        }
        let touching = Touching::of(panels[0], panels[1]);
        let is_beside = !self.words.is_empty();
        let is_new = |key: &str| !(is_beside && key.starts_with("correction["));
        let is_own = |key: &str| {
            if !is_new(key) {
                return false;
            }
            let mut ids = ids_in(key).filter(|it| named.contains(it)).peekable();
            ids.peek().is_none() || ids.any(|id| touching.names(id))
        };
        let files = inputs
            .iter()
            .filter(|it| !(is_beside && it.is_named_alone()));
        let own: Vec<String> = files.clone().flat_map(|it| it.words(&is_own)).collect();
        let told = match own.is_empty() {
            true => files.flat_map(|it| it.words(&is_new)).collect(),
            false => own,
        };
        self.causes.extend(told.iter().cloned());
        self.words.extend(told);
    }

    /// Takes over what changed at or beyond a neighbour.
    pub(super) fn follow(&mut self, neighbour: &str, causes: &[String]) {
        let told = causes
            .iter()
            .map(|it| format!("it follows {neighbour}: {it}"));
        self.causes = told.collect();
        // What changed beside it is nearer told so.
        self.words.clone_from(&self.causes);
    }
}

/// Names of what a panel has and of what it meets, as it was and as it is.
struct Touching<'a> {
    storeys: BTreeSet<&'a str>,
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
            storeys: both().map(|it| it.storey.as_str()).collect(),
            walls: both().map(|it| it.wall.as_str()).collect(),
            openings: named("openings", "id").collect(),
            others: named("edges", "with").collect(),
        }
    }

    fn names(&self, id: &str) -> bool {
        [&self.storeys, &self.walls, &self.openings, &self.others]
            .iter()
            .any(|it| it.contains(id))
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

/// The words in the brackets of a key: `wall.only[X2].bears` has `X2`.
fn ids_in(key: &str) -> impl Iterator<Item = &str> {
    let named = key.split('[').skip(1);
    let inside = named.filter_map(|it| it.split(']').next());
    inside.flat_map(|it| it.split([',', ' ']))
}

/// Every wall, opening and storey that panels of an issue have.
pub(super) fn ids_of<'a>(panels: impl Iterator<Item = &'a IssuedPanel>) -> BTreeSet<&'a str> {
    panels
        .flat_map(|it| {
            let openings = it.data["openings"].as_array().into_iter().flatten();
            let openings = openings.filter_map(|it| it["id"].as_str());
            openings.chain([it.wall.as_str(), it.storey.as_str()])
        })
        .collect()
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
            ["on the plan, window O1 is 6\" farther left [1A, 1B]"]
        );
        assert_eq!(why.rules, ["width: ripped to 46\" [lines]"]);
    }

    #[test]
    fn what_a_step_aside_would_cost_is_no_new_reason() {
        let told = |words: &str| {
            let mut panel = panel("O1", words);
            panel.data["reasons"][0]["lead"] = json!("ripped to 40\"");
            panel
        };
        let [before, now] = ["costs nothing", "costs more"].map(told);
        assert_eq!(Why::of(Some(&before), Some(&now), &[]).rules, [""; 0]);
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
    fn a_sheet_drawn_anew_is_told_the_walls_that_changed_and_no_more_of_the_drawing() {
        let all = [
            news("X1", Some("O1"), "is 6\" farther left"),
            news("X2", None, "is 24\" longer"),
        ];
        let keys = [("wall.to".to_owned(), "wall to: cap".to_owned())];
        let inputs = InputNews {
            all: vec![
                FileNews::of_keys("plan.dxf", []),
                FileNews::of_keys("job.toml", keys),
            ],
            of_panels: Vec::new(),
        };
        assert_eq!(
            why_drawn_anew(&all, &inputs),
            ["on the plan, wall X2 is 24\" longer", "wall to: cap"]
        );
        assert_eq!(why_drawn_anew(&[], &inputs)[0], "not as it was: plan.dxf");
    }

    #[test]
    fn keys_of_other_walls_are_no_cause_of_a_panel() {
        let key = |key: &str| (key.to_owned(), format!("{key} is 1 and was not said"));
        let told = |keys: &[&str], wall: &str| {
            let inputs = [FileNews::of_keys("job.toml", keys.iter().map(|it| key(it)))];
            let mut own = panel("O1", "");
            wall.clone_into(&mut own.wall);
            let named = BTreeSet::from(["X1", "X2", "X3", "X9", "O1", "O5"]);
            let mut why = Why::default();
            why.add_inputs([None, Some(&own)], &inputs, &named);
            why.causes.join("; ")
        };
        let all = [
            "wall.only[X1].bears",
            "opening[O5].head",
            "layout[at 0 18].left",
        ];
        let own =
            "wall.only[X1].bears is 1 and was not said; layout[at 0 18].left is 1 and was not said";
        assert_eq!(told(&all, "X1"), own);
        let elsewhere = "layout[at 0 18].left is 1 and was not said";
        assert_eq!(told(&all, "X9"), elsewhere);
        // Something is the cause, though no key names what the panel has.
        let far = "opening[O5].head is 1 and was not said";
        assert_eq!(told(&all[1..2], "X9"), far);
    }
}
