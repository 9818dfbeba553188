//! Values that must agree with each other: names that refer to something, lists that rise, least below preferred.

use super::assembly::WallAxis;
use super::checks::Checks;
use super::plant::{HeaderMember, PlantRules};
use super::plant_file::{Key, LengthKey, PlantFile};
use super::splines::SplineKind;
use crate::toml_text::nearest;
use std::collections::BTreeSet;

/// Checks the rules as they stand after the file was taken over; a mistake points at what the file gives.
pub(super) fn check_agreement(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    assemblies(file, rules, checks);
    lines(file, rules, checks);
    headers(file, rules, checks);
    liner_spline(file, rules, checks);
    pairs(file, rules, checks);
    layers(rules, checks);
}

fn place<T>(given: &Key<T>) -> usize {
    given.as_ref().map_or(0, |at| at.offset)
}

fn assemblies(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    let offset = place(&file.assemblies);
    if rules.assemblies.is_empty() {
        checks.refuse(
            offset,
            "there is no assembly",
            "give at least one [[assemblies]]",
        );
    }
    let sections: Vec<&str> = rules.lumber.sections.keys().map(String::as_str).collect();
    let mut names = BTreeSet::new();
    let places = file.assemblies.iter().flat_map(|list| &list.value);
    let offsets: Vec<usize> = places.map(|item| item.offset).collect();
    for (index, assembly) in rules.assemblies.iter().enumerate() {
        let offset = offsets.get(index).copied().unwrap_or(offset);
        if !names.insert(assembly.name.as_str()) {
            let message = format!("two assemblies are called '{}'", assembly.name);
            checks.refuse(offset, message, "give each its own name");
        }
        match rules.lumber.sections.get(&assembly.lumber) {
            None => checks.refuse(
                offset,
                format!(
                    "assembly '{}' asks for lumber '{}'",
                    assembly.name, assembly.lumber
                ),
                known("section", &assembly.lumber, &sections),
            ),
            Some(section) if section.width > assembly.core => checks.refuse(
                offset,
                format!(
                    "lumber {} is {} wide and does not go into the core of assembly '{}', {}",
                    assembly.lumber, section.width, assembly.name, assembly.core
                ),
                "take a narrower section, or correct the core",
            ),
            Some(_) => {}
        }
    }
    if !names.contains(rules.default_assembly.as_str()) {
        let names: Vec<&str> = names.into_iter().collect();
        let offset = file
            .default_assembly
            .as_ref()
            .map_or(offset, |at| at.offset);
        checks.refuse(
            offset,
            format!("default_assembly is '{}'", rules.default_assembly),
            known("assembly", &rules.default_assembly, &names),
        );
    }
}

fn known(what: &str, name: &str, names: &[&str]) -> String {
    match nearest(name, names) {
        Some(near) => format!("there is no such {what}; did you mean '{near}'?"),
        None => format!("there is no such {what}; there are {}", names.join(", ")),
    }
}

fn lines(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    let offset = place(&file.lines);
    if rules.lines.is_empty() {
        checks.refuse(
            offset,
            "there is no laminating line",
            "give at least one [[lines]]",
        );
    }
    for line in &rules.lines {
        if line.width - line.trim * 2 < rules.joints.least_panel {
            checks.refuse(
                offset.max(place(&file.joints.least_panel)),
                format!(
                    "line '{}' makes blanks of {} with {} of trim on each edge, less than joints.least_panel ({})",
                    line.name, line.width, line.trim, rules.joints.least_panel
                ),
                "widen the line, or allow narrower panels",
            );
        }
    }
    let places = file.lines.iter().flat_map(|list| &list.value);
    let offsets: Vec<usize> = places.map(|item| item.offset).collect();
    for (index, line) in rules.lines.iter().enumerate() {
        if line.wall_axis == WallAxis::Either && line.report.is_empty() {
            checks.refuse(
                offsets.get(index).copied().unwrap_or(offset),
                format!(
                    "line '{}' lets the strength axis of walls lie level and names no evaluation report",
                    line.name
                ),
                "name it (report = …), or take wall_axis = \"vertical\", as the prescriptive rules assume",
            );
        }
    }
    if rules
        .lines
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if b.width < a.width))
    {
        checks.refuse(
            offset,
            "a wider line stands before a narrower one",
            "list lines smallest first",
        );
    }
}

fn liner_spline(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    let kind = rules.joints.liner_spline;
    if !matches!(kind, SplineKind::SingleLumber | SplineKind::DoubleLumber) {
        checks.refuse(
            place(&file.joints.liner_spline),
            format!(
                "joints.liner_spline is '{}', which needs two skins",
                kind.name()
            ),
            "take \"single lumber\" or \"double lumber\"",
        );
    }
}

fn headers(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    let sections: Vec<&str> = rules.lumber.sections.keys().map(String::as_str).collect();
    let places = file.openings.headers.iter().flat_map(|list| &list.value);
    let offsets: Vec<usize> = places.map(|item| item.offset).collect();
    let mut before = None;
    for (index, row) in rules.openings.headers.iter().enumerate() {
        let offset = offsets.get(index).copied().unwrap_or(0);
        if before.is_some_and(|width| row.up_to <= width) {
            let message = format!(
                "openings.headers: up_to = {} follows a wider row",
                row.up_to
            );
            checks.refuse(offset, message, "list the rows from narrow to wide");
        }
        before = Some(row.up_to);
        if let HeaderMember::Lumber { section, .. } = &row.member
            && !rules.lumber.sections.contains_key(section)
        {
            let message = format!("openings.headers names '{}'", row.member.name());
            checks.refuse(offset, message, known("section", section, &sections));
        }
    }
}

fn pairs(file: &PlantFile, rules: &PlantRules, checks: &mut Checks<'_>) {
    let (joints, given) = (&rules.joints, &file.joints);
    let lengths: [(&str, _, &LengthKey, &str, _, &LengthKey); 3] = [
        (
            "joints.least_panel",
            joints.least_panel,
            &given.least_panel,
            "joints.preferred_panel",
            joints.preferred_panel,
            &given.preferred_panel,
        ),
        (
            "joints.from_opening",
            joints.from_opening,
            &given.from_opening,
            "joints.from_opening_preferred",
            joints.from_opening_preferred,
            &given.from_opening_preferred,
        ),
        (
            "chases.vertical_least",
            rules.chases.vertical_least,
            &file.chases.vertical_least,
            "chases.vertical_spacing",
            rules.chases.vertical_spacing,
            &file.chases.vertical_spacing,
        ),
    ];
    for (low_key, low, low_at, high_key, high, high_at) in lengths {
        if low > high {
            checks.refuse(
                place(low_at).max(place(high_at)),
                format!("{low_key} ({low}) is above {high_key} ({high})"),
                format!("raise {high_key}, or lower {low_key}"),
            );
        }
    }
    let lifts = &rules.lifts;
    if lifts.hand_limit > lifts.forklift_limit || lifts.forklift_limit > lifts.greatest_weight {
        checks.refuse(
            place(&file.lifts.hand_limit)
                .max(place(&file.lifts.forklift_limit))
                .max(place(&file.lifts.greatest_weight)),
            format!(
                "lifts.hand_limit {}, forklift_limit {} and greatest_weight {} do not rise",
                lifts.hand_limit, lifts.forklift_limit, lifts.greatest_weight
            ),
            "a forklift lifts no less than hands, and no panel is heavier than the greatest weight",
        );
    }
    if rules.plates.stock_lengths.is_empty() {
        let offset = place(&file.plates.stock_lengths);
        checks.refuse(
            offset,
            "plates.stock_lengths is empty",
            "give at least one length",
        );
    }
}

fn layers(rules: &PlantRules, checks: &mut Checks<'_>) {
    let layers = &rules.saw.layers;
    let names = [
        &layers.outline,
        &layers.opening,
        &layers.under,
        &layers.recess,
        &layers.slot,
        &layers.chase,
        &layers.mark,
        &layers.note,
        &layers.blank,
        &layers.cut,
        &layers.offcut,
        &layers.core_joint,
    ];
    let mut seen = BTreeSet::new();
    for name in names {
        let fits = name
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '$'));
        if !fits || name.len() > 26 {
            checks.refuse(
                0,
                format!("saw.layers: '{name}' is not a layer name every reader takes"),
                "use up to 26 letters, digits, '-', '_' or '$'",
            );
        }
        if !seen.insert(name.to_ascii_uppercase()) {
            checks.refuse(
                0,
                format!("saw.layers: two uses share the layer '{name}'"),
                "give each its own: a saw takes every line of a layer for the same cut",
            );
        }
    }
}
