//! Why a panel is not as it was: what changed on the plan or by a correction, which rules say so now, which files differ.
//!
//! ```text
//!   panel ──► its openings, its wall ──► the plan's changes of those; of none, what changed elsewhere in its wall or round its corner
//! ```

use super::issued::{Issued, IssuedError, IssuedPanel};
use crate::documents::{InputFile, sha256_hex};
use crate::findings::base_name;
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

    /// Says, of a panel that nothing else is the cause of, which files are not as they were: of the keys that name a wall, an
    /// opening or a storey those of its own, and where none is all of them.
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
        let is_own = |key: &str| {
            let mut ids = ids_in(key).filter(|it| named.contains(it)).peekable();
            ids.peek().is_none() || ids.any(|id| touching.names(id))
        };
        let own: Vec<String> = inputs.iter().filter_map(|it| it.words(&is_own)).collect();
        let told = match own.is_empty() {
            true => inputs.iter().filter_map(|it| it.words(&|_| true)).collect(),
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
        self.words.splice(0..0, self.causes.iter().cloned());
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

/// So many keys of a file are told.
const MOST_KEYS: usize = 4;
/// What of a job says which issue it is, and makes no panel another.
const OF_THE_ISSUE: [&str; 3] = ["date", "revises", "drawn_by"];
/// What of a job is printed, and cuts no panel otherwise.
const PRINTED: [&str; 4] = ["name", "number", "project", "north"];

/// What the files that a package is made from say otherwise than they did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InputNews {
    /// All of it, in words: why a sheet may print something else.
    pub all: Vec<String>,
    /// Without what is printed and no more: why a panel may be another.
    pub of_panels: Vec<FileNews>,
}

/// What one file says otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FileNews {
    file: String,
    /// Each key with what it said and says; none of a file without keys.
    keys: Vec<(String, String)>,
}

impl FileNews {
    /// In words, of the keys that are asked for; nothing where it has others only.
    fn words(&self, is_asked: &impl Fn(&str) -> bool) -> Option<String> {
        if self.keys.is_empty() {
            return Some(format!("not as it was: {}", self.file));
        }
        let asked = self.keys.iter().filter(|(key, _)| is_asked(key));
        let all: Vec<&str> = asked.map(|(_, words)| words.as_str()).collect();
        let first = all.iter().take(MOST_KEYS);
        let mut told: Vec<String> = first.map(|it| (*it).to_owned()).collect();
        if all.len() > MOST_KEYS {
            told.push(format!("{} keys more", all.len() - MOST_KEYS));
        }
        (!told.is_empty()).then(|| format!("in {}, {}", self.file, told.join(", ")))
    }
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

/// Which files the package is made from are not as they were, each with the keys that changed, from what to what.
///
/// - `old`: the issue before.
/// - `inputs`: the files of this one.
#[must_use]
pub fn input_news(old: &Issued, inputs: &[&InputFile]) -> InputNews {
    let is_known = |file: &&&InputFile| {
        let digest = sha256_hex(&file.bytes);
        old.inputs.values().any(|it| *it == digest)
    };
    let others: Vec<&&InputFile> = inputs.iter().filter(|file| !is_known(file)).collect();
    let told = |passed_over: &[&str]| -> Vec<FileNews> {
        let all = others.iter();
        all.filter_map(|file| of_file(old, file, passed_over))
            .collect()
    };
    let all = told(&[]);
    InputNews {
        all: all.iter().filter_map(|it| it.words(&|_| true)).collect(),
        of_panels: told(&PRINTED),
    }
}

/// Of one file, some keys passed over; nothing where no other key says anything else.
fn of_file(old: &Issued, file: &InputFile, passed_over: &[&str]) -> Option<FileNews> {
    let name = base_name(&file.name);
    let nothing = BTreeMap::new();
    let was = old.said.get(name).unwrap_or(&nothing);
    let now = file.said();
    let news = |keys| FileNews {
        file: name.to_owned(),
        keys,
    };
    if was.is_empty() || now.is_empty() {
        return Some(news(Vec::new()));
    }
    let both: BTreeSet<&String> = was.keys().chain(now.keys()).collect();
    let is_cause = |key: &&&String| {
        let is_passed = |list: &[&str]| list.contains(&key.as_str());
        let is_none = key.starts_with("panel[") || is_passed(&OF_THE_ISSUE);
        !is_none && !is_passed(passed_over) && was.get(**key) != now.get(**key)
    };
    let told = |key: &String| match (was.get(key), now.get(key)) {
        (Some(was), Some(now)) => format!("{key} was {was} and is {now}"),
        (Some(was), None) => format!("{key} was {was} and is not said"),
        (_, now) => format!(
            "{key} is {} and was not said",
            now.map_or("", String::as_str)
        ),
    };
    let changed = both.iter().filter(is_cause);
    let keys: Vec<(String, String)> = changed.map(|key| ((*key).clone(), told(key))).collect();
    (!keys.is_empty()).then(|| news(keys))
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
    fn keys_of_other_walls_are_no_cause_of_a_panel() {
        let key = |key: &str| (key.to_owned(), format!("{key} is 1 and was not said"));
        let told = |keys: &[&str], wall: &str| {
            let inputs = [FileNews {
                file: "job.toml".to_owned(),
                keys: keys.iter().map(|it| key(it)).collect(),
            }];
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
        let own = "in job.toml, wall.only[X1].bears is 1 and was not said, layout[at 0 18].left is 1 and was not said";
        assert_eq!(told(&all, "X1"), own);
        let elsewhere = "in job.toml, layout[at 0 18].left is 1 and was not said";
        assert_eq!(told(&all, "X9"), elsewhere);
        // Something is the cause, though no key names what the panel has.
        let far = "in job.toml, opening[O5].head is 1 and was not said";
        assert_eq!(told(&all[1..2], "X9"), far);
    }

    #[test]
    fn of_a_file_the_keys_that_changed_are_told_and_of_an_older_package_its_name() {
        let file = |text: &str| InputFile {
            name: "/home/somebody/job.toml".to_owned(),
            bytes: text.as_bytes().to_vec(),
        };
        let was = file("date = 1\n[wall]\nheight = 108\nlength = 3\n");
        let now = file("date = 2\n[wall]\nheight = 110\nlength = 3\nbears = true\n");
        let mut old = Issued::default();
        assert_eq!(input_news(&old, &[&now]).all, ["not as it was: job.toml"]);
        old.said.insert("job.toml".to_owned(), was.said());
        let told =
            "in job.toml, wall.bears is true and was not said, wall.height was 108 and is 110";
        assert_eq!(input_news(&old, &[&now]).all, [told]);
        let of_panels = input_news(&old, &[&now]).of_panels;
        assert_eq!(of_panels[0].words(&|_| true).unwrap(), told);
        let named = file("name = \"B\"\n[wall]\nheight = 108\nlength = 3\n");
        let told = "in job.toml, name is \"B\" and was not said";
        assert_eq!(input_news(&old, &[&named]).all, [told]);
        assert_eq!(input_news(&old, &[&named]).of_panels, []);
        let dated = file("date = 3\n[wall]\nheight = 108\nlength = 3\n");
        assert_eq!(input_news(&old, &[&dated]).all, [""; 0]);
        let digest = sha256_hex(&now.bytes);
        old.inputs.insert("job.toml".to_owned(), digest);
        assert_eq!(input_news(&old, &[&now]), InputNews::default());
    }
}
