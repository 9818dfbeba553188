//! `plant.toml` to [`PlantRules`]: the shipped defaults, with what the plant's file says laid over them.

use super::agree::check_agreement;
use super::apply::apply;
use super::checks::Checks;
use super::codes;
use super::error::RulesError;
use super::plant::PlantRules;
use super::plant_file::PlantFile;
use super::schema::plant_schema;
use crate::findings::{Finding, Outcome, Place};
use crate::toml_text::{Text, all_keys, read_typed};
use std::collections::{BTreeMap, BTreeSet};

/// The plant's rules, each in a file of its own: what it demands, why, a picture, its keys with units and sources.
macro_rules! plant_text {
    ($($rule:literal)*) => {
        /// The commented default rules, as `panelwright rules` prints them and `panelwright new` writes them.
        const DEFAULT_PLANT: &str = concat!(
            include_str!("default_plant.toml"),
            $("\n", include_str!(concat!("plant/", $rule, ".toml"))),*
        );
        /// Each rule's file by its name.
        #[cfg(test)]
        pub(super) const RULE_FILES: &[(&str, &str)] =
            &[$(($rule, include_str!(concat!("plant/", $rule, ".toml")))),*];
    };
}

// Files that go on with a table of the one before stand after it.
plant_text! {
    "grid"
    "unstated"
    "drawn_lines"
    "assemblies"
    "lines"
    "recesses"
    "fixings"
    "chases"
    "nailers"
    "lumber"
    "sections"
    "saw"
    "saw_layers"
    "stock"
    "stock_leftovers"
    "stock_batches"
    "boards"
    "billets"
    "press"
    "labels"
    "shipping"
    "stacks"
    "site_goods"
    "quote"
    "thermal"
    "sheets"
    "scope"
    "joints"
    "panel_widths"
    "joint_from_opening"
    "joint_from_tee"
    "joint_from_step"
    "joint_from_point_load"
    "site"
    "piers"
    "points"
    "plates"
    "splines"
    "corners"
    "openings"
    "drawn_width"
    "allowances"
    "sizes"
    "headers"
    "sip_headers"
    "lifts"
    "cost"
    "alignment"
    "revisions"
}

/// Groups that give sizes or name members: what was assumed there is a doubt.
const SIZE_GROUPS: [&str; 2] = ["assemblies", "openings"];

/// The commented default rules: every key with its meaning, unit, default and source.
#[must_use]
pub fn default_rules_text() -> &'static str {
    DEFAULT_PLANT
}

impl Default for PlantRules {
    /// The rules of [`default_rules_text`]: what is printed is what holds.
    fn default() -> Self {
        let text = Text {
            file: "default_plant.toml",
            text: DEFAULT_PLANT,
        };
        let read = read_over(Self::blank(), text);
        // The text is part of the program, and a test reads it: a mistake in it cannot reach a user.
        read.map_or_else(|error| unreachable!("{error}"), |(rules, _)| rules)
    }
}

/// Reads a plant's rules.
///
/// - `text`: the file's content, empty for none; `file`: its name as the user gave it, empty for none.
/// - What the text leaves out keeps its default; the findings say, group by group, which defaults were taken.
///
/// ```
/// use panelwright::rules::read_rules;
/// let rules = read_rules("[joints]\ngap = '3 mm'", "plant.toml").unwrap().output;
/// assert_eq!(rules.joints.gap.to_nanometres(), 3_000_000);
/// let error = read_rules("[joints]\ngapp = 0", "plant.toml").unwrap_err();
/// assert_eq!(error.to_string(), "plant.toml:2: there is no key 'joints.gapp': did you mean 'gap'?");
/// ```
///
/// # Errors
/// [`RulesError`] when a key is misspelt or a value impossible: nothing is read past a mistake in silence.
pub fn read_rules(text: &str, file: &str) -> Result<Outcome<PlantRules>, RulesError> {
    let (rules, given) = read_over(PlantRules::default(), Text { file, text })?;
    let mut findings = defaults_taken(&given, file);
    findings.extend(lowered(&rules, file));
    Ok(Outcome {
        output: rules,
        findings,
    })
}

/// A doubt where least distances of the plant lie below those shipped, which are what a checker of panel walls looks for.
fn lowered(rules: &PlantRules, file: &str) -> Option<Finding> {
    let shipped = PlantRules::default();
    let distances = |of: &PlantRules| {
        [
            ("joints.from_opening", of.joints.from_opening),
            ("joints.least_panel", of.joints.least_panel),
            ("plates.joint_offset", of.plates.joint_offset),
            ("chases.vertical_least", of.chases.vertical_least),
        ]
    };
    let pairs = distances(rules).into_iter().zip(distances(&shipped));
    let below: Vec<String> = pairs
        .filter(|((_, own), (_, usual))| own < usual)
        .map(|((key, own), (_, usual))| format!("{key} {own} instead of {usual}"))
        .collect();
    (!below.is_empty()).then(|| {
        Finding::doubt(
            codes::LOWERED,
            Place::file(file),
            format!("the plant allows less than is usual: {}", below.join(", ")),
            "confirm it with the engineer and the adopted code; `panelwright rules` gives the source of each",
        )
    })
}

/// Lays a text over rules; also returns the dotted keys the text gives.
fn read_over(
    mut rules: PlantRules,
    text: Text<'_>,
) -> Result<(PlantRules, BTreeSet<String>), RulesError> {
    let parsed: PlantFile = read_typed(text, plant_schema())?;
    let mut checks = Checks::new(text);
    apply(&parsed, &mut rules, &mut checks);
    check_agreement(&parsed, &rules, &mut checks);
    if checks.mistakes.is_empty() {
        Ok((rules, given_keys(text)))
    } else {
        let mut mistakes = checks.mistakes;
        mistakes.sort_by_key(|mistake| mistake.place.line);
        Err(RulesError { mistakes })
    }
}

/// The dotted keys a text gives, tables and what is in them.
fn given_keys(text: Text<'_>) -> BTreeSet<String> {
    fn walk(table: &toml::Table, path: &str, keys: &mut BTreeSet<String>) {
        for (name, value) in table {
            let key = format!("{path}{name}");
            if let Some(inner) = value.as_table() {
                walk(inner, &format!("{key}."), keys);
            }
            keys.insert(key);
        }
    }
    let mut keys = BTreeSet::new();
    if let Ok(table) = toml::from_str::<toml::Table>(text.text) {
        walk(&table, "", &mut keys);
    }
    keys
}

/// One finding for each group of rules of which any default was taken; one for all when nothing was given.
fn defaults_taken(given: &BTreeSet<String>, file: &str) -> Vec<Finding> {
    let mut known = BTreeSet::new();
    all_keys(plant_schema(), plant_schema(), "", &mut known);
    let mut groups: BTreeMap<&str, (Vec<&str>, usize)> = BTreeMap::new();
    for key in &known {
        let (group, rest) = key.split_once('.').unwrap_or((key, key));
        let entry = groups.entry(group).or_default();
        entry.1 += 1;
        if !given.contains(key) {
            entry.0.push(rest);
        }
    }
    let place = if file.is_empty() {
        Place::default()
    } else {
        Place::file(file)
    };
    let hint = "run `panelwright rules` to see each with its unit and source, and put yours into plant.toml";
    let mut findings = Vec::new();
    if given.is_empty() {
        findings.push(Finding::note(
            codes::DEFAULTS_TAKEN,
            place.clone(),
            "no plant rules were given: the shipped defaults hold for all of them",
            hint,
        ));
    }
    for (group, (missing, all)) in groups {
        if missing.is_empty() {
            continue;
        }
        let gives_sizes = SIZE_GROUPS.contains(&group);
        let which = if missing.len() == all {
            "all of it".to_owned()
        } else {
            missing.join(", ")
        };
        let message = format!("plant rules '{group}': the shipped defaults were taken for {which}");
        if gives_sizes {
            let code = codes::SIZE_DEFAULTS_TAKEN;
            findings.push(Finding::doubt(code, place.clone(), message, hint));
        } else if !given.is_empty() {
            let code = codes::DEFAULTS_TAKEN;
            findings.push(Finding::note(code, place.clone(), message, hint));
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    /// Reads a text that is refused, and compares the message's first line.
    #[track_caller]
    fn check_refused(text: &str, expected: &str) {
        let error = read_rules(text, "plant.toml").unwrap_err();
        let message = error.to_string();
        let first = message.lines().next().unwrap();
        assert_eq!(first, expected);
    }

    #[test]
    fn a_least_distance_below_the_usual_one_is_a_doubt() {
        let told = |text: &str| {
            let found = read_rules(text, "plant.toml").unwrap().findings;
            let lowered = found.into_iter().filter(|it| it.code == codes::LOWERED);
            lowered.map(|it| it.message).collect::<Vec<_>>()
        };
        // 6 in from a jamb, 12 in for a strip: common practice, no source.
        assert_eq!(
            told("[joints]\nfrom_opening = 6\nleast_panel = 12\n"),
            Vec::<String>::new()
        );
        assert_eq!(
            told("[joints]\nfrom_opening = '5-15/16'\n[plates]\njoint_offset = 23\n"),
            [
                "the plant allows less than is usual: joints.from_opening 5 15/16\" instead of 6\", plates.joint_offset 23\" instead of 24\""
            ]
        );
    }

    #[test]
    fn the_printed_defaults_are_the_defaults_and_set_every_key() {
        let again = read_rules(default_rules_text(), "plant.toml").unwrap();
        assert_eq!(again.output, PlantRules::default());
        assert_eq!(again.findings, Vec::new());
        let mut known = BTreeSet::new();
        all_keys(plant_schema(), plant_schema(), "", &mut known);
        let given = given_keys(Text {
            file: "",
            text: default_rules_text(),
        });
        let unset: Vec<&String> = known.difference(&given).collect();
        assert_eq!(unset, Vec::<&String>::new());
    }

    #[test]
    fn the_default_assemblies_have_the_published_cores() {
        // ICC-ES evaluation report on OSB/EPS panels, reissued 2020, section 3.2.1: cores of 3-5/8 to 11-3/8 in.
        let rules = PlantRules::default();
        let names: Vec<&str> = rules.assemblies.iter().map(|a| a.name.as_str()).collect();
        assert_eq!(names[..5], ["4-1/2", "6-1/2", "8-1/4", "10-1/4", "12-1/4"]);
        for assembly in &rules.assemblies {
            let named = crate::units::parse_length(&assembly.name);
            assert_eq!(named, Ok(assembly.thickness()), "{}", assembly.name);
        }
    }

    #[test]
    fn one_jumbo_panel_costs_less_than_two_of_four_feet_and_their_joint() {
        let PlantRules { cost, .. } = PlantRules::default();
        let nine_feet = 9;
        let two = 2 * cost.panel[0] + nine_feet * cost.joint_ft + 2 * 36 * cost.blank_sq_ft[0];
        let one = cost.panel[1] + cost.machine_lift + 72 * cost.blank_sq_ft[1];
        assert!(one < two);
    }

    #[test]
    fn what_a_file_leaves_out_keeps_its_default_and_is_told() {
        let read = read_rules(
            "[joints]\ngap = '3 mm'\n[lifts]\nhand_limit = 120",
            "p.toml",
        )
        .unwrap();
        assert_eq!(read.output.joints.gap, Length::millimetres(3));
        assert_eq!(read.output.joints.least_panel, Length::inches(12));
        let joints: Vec<String> = read
            .findings
            .iter()
            .map(ToString::to_string)
            .filter(|line| line.contains("'joints'"))
            .collect();
        assert_eq!(
            joints,
            [
                "p.toml: note[RULE-02]: plant rules 'joints': the shipped defaults were taken for closing, from_opening, \
              from_opening_preferred, from_point_load, from_step, from_tee, least_panel, liner_spline, make_up, preferred_panel, site_tolerance, spline"
            ]
        );
    }

    #[test]
    fn a_misspelt_key_is_refused_with_its_line_and_neighbour() {
        check_refused(
            "# ours\n[joints]\nleast_pannel = 12\n",
            "plant.toml:3: there is no key 'joints.least_pannel': did you mean 'least_panel'?",
        );
        check_refused(
            "least_panel = 12\n",
            "plant.toml:1: there is no key 'least_panel': did you mean 'joints.least_panel'?",
        );
        check_refused(
            "[openings.sizes.dor]\nheight = 80\n",
            "plant.toml:1: there is no key 'openings.sizes.dor': did you mean 'door'?",
        );
        check_refused(
            "[[lines]]\nname='x'\nwidht=1\n",
            "plant.toml:3: there is no key 'lines.widht': did you mean 'width'?",
        );
    }

    #[test]
    fn every_misspelt_key_of_a_file_is_reported_at_once() {
        let error = read_rules("[joints]\ngapp = 0\n[saw]\nunitt = 'mm'", "p.toml").unwrap_err();
        assert_eq!(error.mistakes.len(), 2);
        assert_eq!(error.findings()[1].place.line, Some(4));
    }

    #[test]
    fn an_impossible_value_is_refused_with_its_range() {
        check_refused(
            "[joints]\ngap = '2\"'\n",
            "plant.toml:2: joints.gap is 2\": it must lie between 0\" and 1\"",
        );
        check_refused(
            "[joints]\ngap = '1/8 furlong'\n",
            "plant.toml:2: '1/8 furlong' is not a length: its inches cannot be read; write for example 12'-6 1/2\", \
             150.5\", 6 1/2 or 3820 mm: correct it, or delete the line to take the default",
        );
        check_refused(
            "[joints]\nspline = 'blok'\n",
            "plant.toml:2: there is no choice \"blok\" here: did you mean \"block\"? It is one of \"surface\", \"block\", \
             \"single lumber\", \"double lumber\", \"thermal post\", \"I-joist\"",
        );
        check_refused(
            "[[lines]]\nname = '4 ft'\n",
            "plant.toml:1: this table has no 'width': add it: a table of this kind is given whole",
        );
        check_refused(
            "[joints]\nleast_panel = 30\n",
            "plant.toml:2: joints.least_panel (30\") is above joints.preferred_panel (24\"): raise \
             joints.preferred_panel, or lower joints.least_panel",
        );
        check_refused(
            "[labels]\nwidth = 9\n",
            "plant.toml:2: labels reach 9\" and their page is 6\" wide: measure the label sheet again: page, labels, margin \
             and gap all belong to one",
        );
        check_refused(
            "[labels]\npage_height = 11\nheight = '3-1/4'\ntop = 1\ngap = '1/4'\nrows = 3\n",
            "plant.toml:6: labels reach 11 1/4\" and their page is 11\" high: measure the label sheet again: page, labels, margin \
             and gap all belong to one",
        );
        check_refused(
            "[shipping]\ngreatest_height = \"4'\"\n",
            "plant.toml:2: shipping.greatest_height (48\") is not above deck_height (60\") and dunnage (4\"): all heights \
             count from the road: raise it, or lower the deck",
        );
        check_refused(
            "default_assembly = '6-1/4'\n",
            "plant.toml:1: default_assembly is '6-1/4': there is no such assembly; did you mean '6-1/2'?",
        );
        check_refused(
            "[[lines]]\nname='L'\nwidth='8 ft'\nlength='24 ft'\ntrim=0\nstrength_axis='long'\nwall_axis='either'\n\
             panel_cents=1\nblank_sq_ft_cents=1\n",
            "plant.toml:1: line 'L' lets the strength axis of walls lie level and names no evaluation report: name it \
             (report = …), or take wall_axis = \"vertical\", as the prescriptive rules assume",
        );
        check_refused(
            "[[lines]]\nname='L'\nwidth='8 ft'\nlength='24 ft'\ntrim=0\nstrength_axis='long'\nwall_axis='horizontal'\n\
             report='R'\npanel_cents=1\nblank_sq_ft_cents=1\n",
            "plant.toml:7: lines.wall_axis is 'horizontal', a word no longer used: write wall_axis = \"either\": each panel then \
             lies the way that uses less blank, under the report named",
        );
        check_refused(
            "[joints\n",
            "plant.toml:1: unclosed table, expected `]`: correct it, or delete the line to take the default",
        );
    }
}
