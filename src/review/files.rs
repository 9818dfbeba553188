//! What the files that a package is made from say otherwise than they did, key by key.
//!
//! ```text
//!   by its name in both issues ──► what it said and says
//!   new, another of its kind gone ──► what the other said and it says      rules alone are new or gone ──► what the shipped ones say
//! ```

use super::in_plain::{in_plain_words, value_of};
use super::issued::Issued;
use crate::documents::{InputFile, said, sha256_hex};
use crate::findings::base_name;
use crate::rules::default_rules_text;
use std::collections::{BTreeMap, BTreeSet};

/// So many keys of a file are told of a panel, and so many where the file is told by itself.
const MOST_KEYS: usize = 4;
const MOST_KEYS_ALONE: usize = 12;
/// What of a job says which issue it is, and makes no panel another.
const OF_THE_ISSUE: [&str; 3] = ["date", "revises", "drawn_by"];
/// What of a job is printed, and cuts no panel otherwise.
const PRINTED: [&str; 4] = ["name", "number", "project", "north"];

type Keys = BTreeMap<String, String>;

/// What the files that a package is made from say otherwise than they did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InputNews {
    /// All of it: why a sheet may print something else.
    pub all: Vec<FileNews>,
    /// Without what is printed and no more: why a panel may be another.
    pub of_panels: Vec<FileNews>,
}

/// What one file says otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FileNews {
    file: String,
    /// Whether it is new, gone, or instead of another.
    since: Since,
    /// Each key with what it said and says; none of a file without keys.
    keys: Vec<KeyNews>,
}

/// What one key of a file says otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct KeyNews {
    key: String,
    /// By its key, for the drafter: he finds it in the file.
    told: String,
    /// In plain words, for paper.
    plain: String,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
enum Since {
    #[default]
    Changed,
    New,
    Gone,
    InsteadOf(String),
}

impl FileNews {
    /// Of a file that has changed, with some keys.
    #[cfg(test)]
    pub(super) fn of_keys(file: &str, keys: impl IntoIterator<Item = (String, String)>) -> Self {
        let keys = keys.into_iter().map(|(key, told)| KeyNews {
            key,
            plain: told.clone(),
            told,
        });
        Self {
            file: file.to_owned(),
            since: Since::Changed,
            keys: keys.collect(),
        }
    }

    /// True of a file that is told by its name alone.
    pub(super) fn is_named_alone(&self) -> bool {
        self.keys.is_empty()
    }

    /// In plain words, one text a key, of the keys that are asked for; none where it has others only.
    pub(super) fn words(&self, is_asked: &impl Fn(&str) -> bool) -> Vec<String> {
        if self.is_named_alone() {
            return vec![self.name_alone()];
        }
        let asked = || self.keys.iter().filter(|it| is_asked(&it.key));
        let mut told: Vec<String> = asked().take(MOST_KEYS).map(|it| it.plain.clone()).collect();
        let more = asked().count() - told.len();
        if more > 0 {
            told.push(format!("{more} more in {}", self.file));
        }
        told
    }

    /// The same of all its keys.
    pub(super) fn all_words(&self) -> Vec<String> {
        self.words(&|_| true)
    }

    /// All of it by its keys, for the drafter.
    #[must_use]
    pub fn told(&self) -> String {
        if self.is_named_alone() {
            return self.name_alone();
        }
        let file = &self.file;
        let first = self.keys.iter().take(MOST_KEYS_ALONE);
        let mut told: Vec<String> = first.map(|it| it.told.clone()).collect();
        if self.keys.len() > MOST_KEYS_ALONE {
            told.push(format!("{} keys more", self.keys.len() - MOST_KEYS_ALONE));
        }
        let head = match &self.since {
            Since::Changed => format!("in {file}"),
            Since::New => format!("in {file}, which is new"),
            Since::Gone => format!("without {file}"),
            Since::InsteadOf(other) => format!("in {file} instead of {other}"),
        };
        format!("{head}, {}", told.join(", "))
    }

    fn name_alone(&self) -> String {
        let file = &self.file;
        match &self.since {
            Since::Changed => format!("not as it was: {file}"),
            Since::New => format!("new: {file}"),
            Since::Gone => format!("not given any more: {file}"),
            Since::InsteadOf(other) => format!("{file} instead of {other}"),
        }
    }
}

/// Which files the package is made from are not as they were, each with the keys that changed, from what to what.
///
/// - `old`: the issue before.
/// - `inputs`: the files of this one.
#[must_use]
pub fn input_news(old: &Issued, inputs: &[&InputFile]) -> InputNews {
    let was = files_of(old);
    let now: Vec<File> = inputs
        .iter()
        .map(|it| File {
            name: base_name(&it.name).to_owned(),
            digest: sha256_hex(&it.bytes),
            keys: it.said(),
        })
        .collect();
    InputNews {
        all: news(&was, &now, &[]),
        of_panels: news(&was, &now, &PRINTED),
    }
}

/// The same of two packages.
pub(super) fn news_between(old: &Issued, new: &Issued) -> Vec<FileNews> {
    news(&files_of(old), &files_of(new), &[])
}

/// One file as it was or is.
struct File {
    name: String,
    digest: String,
    keys: Keys,
}

impl File {
    /// What it is, so that one may stand instead of another: plant rules, else the ending of its name.
    fn kind(&self, shipped: &Keys) -> &str {
        if is_within(&self.keys, shipped) {
            return "rules";
        }
        self.name.rsplit_once('.').map_or("", |(_, ending)| ending)
    }
}

/// True of plant rules, by what stands in them: a job has no key of theirs but its name.
pub(super) fn is_of_rules(keys: &Keys) -> bool {
    is_within(keys, &said(default_rules_text()))
}

fn is_within(keys: &Keys, shipped: &Keys) -> bool {
    let tops = |keys: &Keys| -> BTreeSet<String> { keys.keys().map(|it| top(it)).collect() };
    let (own, theirs) = (tops(keys), tops(shipped));
    own.is_subset(&theirs) && own.iter().any(|it| it != "name")
}

/// `joints` of `joints.gap`, `assemblies` of `assemblies[6-1/2].core`.
fn top(key: &str) -> String {
    let end = key.find(['.', '[']).unwrap_or(key.len());
    key[..end].to_owned()
}

fn files_of(issued: &Issued) -> Vec<File> {
    let all = issued.inputs.iter();
    all.map(|(name, digest)| File {
        name: name.clone(),
        digest: digest.clone(),
        keys: issued.said.get(name).cloned().unwrap_or_default(),
    })
    .collect()
}

fn news(old: &[File], new: &[File], passed_over: &[&str]) -> Vec<FileNews> {
    let shipped = said(default_rules_text());
    let nothing = Keys::new();
    let has_digest = |list: &[File], it: &File| list.iter().any(|other| other.digest == it.digest);
    let named = |list: &[File], name: &str| list.iter().position(|it| it.name == name);
    let mut gone: Vec<&File> = old
        .iter()
        .filter(|it| !has_digest(new, it) && named(new, &it.name).is_none())
        .collect();
    let mut found = Vec::new();
    for now in new.iter().filter(|it| !has_digest(old, it)) {
        let (was, since) = match named(old, &now.name) {
            Some(index) => (Some(&old[index]), Since::Changed),
            None => {
                let kind = now.kind(&shipped);
                let other = gone.iter().position(|it| it.kind(&shipped) == kind);
                let other = other.map(|index| gone.remove(index));
                let since = other.map_or(Since::New, |it| Since::InsteadOf(it.name.clone()));
                (other, since)
            }
        };
        let beneath = if is_within(&now.keys, &shipped) {
            &shipped
        } else {
            &nothing
        };
        let keys = match was {
            // An older package does not tell what its files said.
            Some(was) if was.keys.is_empty() || now.keys.is_empty() => None,
            _ if now.keys.is_empty() => None,
            was => Some(other_keys(
                [was.map_or(&nothing, |it| &it.keys), &now.keys],
                beneath,
                passed_over,
            )),
        };
        found.extend(told(&now.name, since, keys));
    }
    for was in gone {
        let is_rules = is_within(&was.keys, &shipped);
        let keys = is_rules.then(|| other_keys([&was.keys, &nothing], &shipped, passed_over));
        found.extend(told(&was.name, Since::Gone, keys));
    }
    found
}

/// The news of a file; nothing where it has keys and none says anything else.
fn told(name: &str, since: Since, keys: Option<Vec<KeyNews>>) -> Option<FileNews> {
    let is_nothing = keys.as_ref().is_some_and(Vec::is_empty);
    (!is_nothing).then(|| FileNews {
        file: name.to_owned(),
        since,
        keys: keys.unwrap_or_default(),
    })
}

/// Keys that say something else, some passed over.
///
/// - `beneath`: what holds where a file says nothing; empty where that is not known.
fn other_keys([was, now]: [&Keys; 2], beneath: &Keys, passed_over: &[&str]) -> Vec<KeyNews> {
    let both: BTreeSet<&String> = was.keys().chain(now.keys()).collect();
    let is_cause = |key: &&&String| {
        let is_passed = |list: &[&str]| list.contains(&key.as_str());
        // The name of an entry stands in its other keys.
        let is_name = key.ends_with("].id") && was.contains_key(**key) != now.contains_key(**key);
        let is_none = is_name || key.starts_with("panel[") || is_passed(&OF_THE_ISSUE);
        let holds = |keys: &Keys| keys.get(**key).or_else(|| beneath.get(**key)).cloned();
        !is_none && !is_passed(passed_over) && holds(was) != holds(now)
    };
    let plain = |keys: &Keys, key: &String| keys.get(key).map(|it| as_read(it));
    let told = |key: &String| match (plain(was, key), plain(now, key), plain(beneath, key)) {
        (Some(was), Some(now), _) => format!("{key} was {was} and is {now}"),
        (Some(was), None, Some(shipped)) => format!("{key} was {was} and is {shipped} by default"),
        (Some(was), None, None) => format!("{key} was {was} and is not said"),
        (None, Some(now), Some(shipped)) => format!("{key} is {now} and was {shipped} by default"),
        (None, now, _) => format!("{key} is {} and was not said", now.unwrap_or_default()),
    };
    let changed = both.iter().filter(is_cause);
    let news = |key: &&String| {
        let [was, now, shipped] = [was, now, beneath].map(|it| it.get(*key).map(String::as_str));
        KeyNews {
            key: (*key).clone(),
            told: told(key),
            plain: in_plain_words(key, (was, now, shipped)),
        }
    };
    changed.map(news).collect()
}

/// A value as one reads it: of a text with an inch mark in it without the quotes round it.
fn as_read(value: &str) -> String {
    let text = value_of(value).and_then(|it| it.as_str().map(str::to_owned));
    text.filter(|it| it.contains('"'))
        .unwrap_or_else(|| value.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::new_job_text;

    fn file(name: &str, text: &str) -> InputFile {
        InputFile {
            name: format!("/home/somebody/{name}"),
            bytes: text.as_bytes().to_vec(),
        }
    }

    fn issued(files: &[&InputFile]) -> Issued {
        let of = |it: &&InputFile| base_name(&it.name).to_owned();
        Issued {
            inputs: files
                .iter()
                .map(|it| (of(it), sha256_hex(&it.bytes)))
                .collect(),
            said: files.iter().map(|it| (of(it), it.said())).collect(),
            ..Issued::default()
        }
    }

    fn all(old: &Issued, now: &[&InputFile]) -> Vec<String> {
        input_news(old, now)
            .all
            .iter()
            .map(FileNews::told)
            .collect()
    }

    #[test]
    fn of_a_file_the_keys_that_changed_are_told_and_of_an_older_package_its_name() {
        let was = file("job.toml", "date = 1\n[wall]\nheight = 108\nlength = 3\n");
        let now = file(
            "job.toml",
            "date = 2\n[wall]\nheight = 110\nlength = 3\nbears = true\n",
        );
        let mut old = issued(&[&was]);
        let told =
            "in job.toml, wall.bears is true and was not said, wall.height was 108 and is 110";
        assert_eq!(all(&old, &[&now]), [told]);
        let of_panels = input_news(&old, &[&now]).of_panels;
        let plain = [
            "wall bears: yes, was not said",
            "wall height: 110\", was 108\"",
        ];
        assert_eq!(of_panels[0].all_words(), plain);
        let named = file(
            "job.toml",
            "name = \"B\"\n[wall]\nheight = 108\nlength = 3\n",
        );
        let told = "in job.toml, name is \"B\" and was not said";
        assert_eq!(all(&old, &[&named]), [told]);
        assert_eq!(input_news(&old, &[&named]).of_panels, []);
        let dated = file("job.toml", "date = 3\n[wall]\nheight = 108\nlength = 3\n");
        assert_eq!(all(&old, &[&dated]), [""; 0]);
        assert_eq!(input_news(&issued(&[&now]), &[&now]), InputNews::default());
        old.said.clear();
        assert_eq!(all(&old, &[&now]), ["not as it was: job.toml"]);
    }

    #[test]
    fn new_rules_are_told_by_what_they_set_otherwise_than_the_shipped_ones() {
        let plan = file("plan.dxf", "0\nEOF\n");
        let rules = file(
            "plant.toml",
            "[joints]\ngap = \"3/16\"\nspline = \"block\"\n",
        );
        let without = issued(&[&plan]);
        let told = "in plant.toml, which is new, joints.gap is \"3/16\" and was \"1/8\" by default";
        assert_eq!(all(&without, &[&plan, &rules]), [told]);
        let told = "without plant.toml, joints.gap was \"3/16\" and is \"1/8\" by default";
        assert_eq!(all(&issued(&[&plan, &rules]), &[&plan]), [told]);
        let shipped = file("plant.toml", default_rules_text());
        assert_eq!(all(&without, &[&plan, &shipped]), [""; 0]);
        // A key taken out of the file falls back to the shipped value.
        let emptied = file("plant.toml", "[joints]\nspline = \"block\"\n");
        let told = "in plant.toml, joints.gap was \"3/16\" and is \"1/8\" by default";
        assert_eq!(all(&issued(&[&rules]), &[&emptied]), [told]);
    }

    #[test]
    fn rules_under_another_name_are_told_by_what_they_set_otherwise_than_the_ones_before() {
        let was = file("plant.toml", "[joints]\ngap = \"3/16\"\n");
        let now = file("hall-2.toml", "[joints]\ngap = \"1/4\"\n");
        let told = "in hall-2.toml instead of plant.toml, joints.gap was \"3/16\" and is \"1/4\"";
        assert_eq!(all(&issued(&[&was]), &[&now]), [told]);
        let plans = ["a.dxf", "b.dxf"].map(|name| file(name, name));
        let told = ["b.dxf instead of a.dxf"];
        assert_eq!(all(&issued(&[&plans[0]]), &[&plans[1]]), told);
    }

    #[test]
    fn a_length_in_feet_and_inches_is_told_without_quotes() {
        let [was, now] = ["8'-0", "8'-6"]
            .map(|it| file("job.toml", &format!("[wall]\nheight = \"{it}\\\"\"\n")));
        let told = "in job.toml, wall.height was 8'-0\" and is 8'-6\"";
        assert_eq!(all(&issued(&[&was]), &[&now]), [told]);
    }

    #[test]
    fn a_new_entry_is_told_by_what_it_says_and_not_by_its_name_again() {
        let was = file("job.toml", "name = \"Barn\"\n");
        let now = file(
            "job.toml",
            "name = \"Barn\"\n[[opening]]\nid = \"O1\"\nhead = 80\n",
        );
        let told = "in job.toml, opening[O1].head is 80 and was not said";
        assert_eq!(all(&issued(&[&was]), &[&now]), [told]);
    }

    #[test]
    fn a_job_is_not_taken_for_plant_rules() {
        let shipped = said(default_rules_text());
        let kind = |text: &str| {
            let it = file("some.toml", text);
            let file = File {
                name: "some.toml".to_owned(),
                digest: String::new(),
                keys: it.said(),
            };
            file.kind(&shipped).to_owned()
        };
        assert_eq!(kind(default_rules_text()), "rules");
        assert_eq!(kind(new_job_text()), "toml");
        assert_eq!(kind("name = \"Barn\"\n"), "toml");
    }
}
