//! `labels.pdf`: one label for each panel and each bundle of lumber, at the size in which it is stuck on. See `docs/labels.md`.
//!
//! ```text
//!   ┌ page ───────────────┐     ┌ label ──────────────────┐
//!   │ ┌ label ┐ ┌ label ┐ │     │ W101            ▓▓▓▓▓▓▓ │   mark, job, wall, size, face and up, weight, how it is
//!   │ └───────┘ └───────┘ │     │ wall, size      ▓ QR  ▓ │   lifted, place in the order of erection, caution, and
//!   │ ┌ label ┐  …        │     │ ▲ UP   171 lb   ERECT 1 │   a code that says job, mark and revision
//!   └─────────────────────┘     └─────────────────────────┘
//! ```
//!
//! A label is designed at 6 in x 4 in and grows or shrinks as one to the size of `[labels]`.

mod bundle;
mod panel;
mod place;
mod qr;

use super::TitleFacts;
use super::paper::{Area, Canvas, Sheet};
use crate::building::Building;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::loads::LoadPlan;
use crate::rules::{LabelRules, PlantRules};
use crate::units::Length;
use place::Place;

/// What labels are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct LabelInput<'a> {
    /// Walls.
    pub building: &'a Building,
    /// Panels.
    pub fabrication: &'a Fabrication,
    /// Bundles.
    pub loads: &'a LoadPlan,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// Job.
    pub facts: &'a TitleFacts,
}

/// All pages of labels: panels in the order of erection, then bundles; row by row from the upper left.
#[must_use]
pub fn label_pages(input: &LabelInput<'_>) -> Vec<Sheet> {
    let mut panels: Vec<&FabricatedPanel> = input.fabrication.panels.iter().collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    let mut labels: Vec<Label<'_>> = panels.into_iter().map(Label::Panel).collect();
    labels.extend(input.loads.bundles.iter().map(Label::Bundle));
    let places = places(&input.rules.dispatch.labels);
    let pages = labels.chunks(places.len().max(1)).zip(1_usize..);
    pages
        .map(|(labels, number)| page(input, labels, &places, number))
        .collect()
}

enum Label<'a> {
    Panel(&'a FabricatedPanel),
    Bundle(&'a crate::loads::Bundle),
}

/// Where the labels of a page stand, mm.
fn places(rules: &LabelRules) -> Vec<Area> {
    let at = |first: Length, size: Length, index: u32| {
        (0..index).fold(first, |sum, _| sum + size + rules.gap)
    };
    let rows = 0..rules.rows;
    rows.flat_map(|row| (0..rules.columns).map(move |column| [column, row]))
        .map(|[column, row]| {
            let x = at(rules.left, rules.width, column);
            let y = at(rules.top, rules.height, row);
            let ends = [x, y, x + rules.width, y + rules.height];
            let [x0, y0, x1, y1] = ends.map(Length::to_millimetres);
            Area::new(x0, y0, x1, y1)
        })
        .collect()
}

fn page(input: &LabelInput<'_>, labels: &[Label<'_>], places: &[Area], number: usize) -> Sheet {
    let rules = &input.rules.dispatch.labels;
    let mut canvas = Canvas::new();
    let mut names = Vec::new();
    for (label, area) in labels.iter().zip(places) {
        let place = Place::new(*area);
        let (name, data) = match label {
            Label::Panel(panel) => (&panel.mark, "panel"),
            Label::Bundle(bundle) => (&bundle.name, "bundle"),
        };
        let id = format!("label-{name}");
        canvas.group_with(&id, name, &[(data, name)], |canvas| match label {
            Label::Panel(it) => panel::draw(canvas, &place, input, it),
            Label::Bundle(it) => bundle::draw(canvas, &place, input, it),
        });
        names.push(name.as_str());
    }
    Sheet {
        number: number.to_string(),
        name: format!("labels-{number}"),
        title: names.join(", "),
        width: rules.page_width.to_millimetres(),
        height: rules.page_height.to_millimetres(),
        layers: vec![canvas.into_group("labels", "Labels")],
        ..Sheet::default()
    }
}

/// What a label's code says: job, name and revision, parted by semicolons.
fn code_words(input: &LabelInput<'_>, name: &str, revision: &str) -> String {
    let facts = input.facts;
    let job = if facts.number.is_empty() {
        &facts.package
    } else {
        &facts.number
    };
    let job: String = job.replace(';', " ").chars().take(60).collect();
    format!("{job};{name};{revision}")
}

/// The last line of a label.
fn job_words(facts: &TitleFacts) -> String {
    let number = Some(format!("Job {}", facts.number)).filter(|_| !facts.number.is_empty());
    let building = Some(facts.building.clone()).filter(|it| !it.is_empty());
    let words: Vec<String> = number.into_iter().chain(building).collect();
    words.join(", ")
}

/// A wall as its label names it: its printed name, and its id where that says more.
fn wall_words(input: &LabelInput<'_>, wall: usize) -> String {
    let Some(wall) = input.building.walls.get(wall) else {
        return String::new();
    };
    let storey = input.building.storeys.get(wall.storey_index);
    let storey = storey.map_or("", |it| it.name.as_str());
    let name = if wall.name == wall.id {
        wall.id.clone()
    } else {
        format!("{} ({})", wall.name, wall.id)
    };
    if storey.is_empty() {
        format!("Wall {name}")
    } else {
        format!("Wall {name}, {storey}")
    }
}

#[cfg(test)]
mod tests;
