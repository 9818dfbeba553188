//! Which sheet shows best what a finding is about, and where on it.
//!
//! A finding that names no panel, wall or opening as its place is shown by the first that its words name, else by what its code is about.

use super::super::paper::page::extent;
use super::super::paper::{Group, Item, Sheet};
use super::datum;
use crate::findings::Finding;
use std::collections::BTreeMap;

/// A sheet by its place in the set, and a place on it, mm.
pub(super) type Jump = (Option<usize>, Option<[f64; 2]>);

/// Where what has a name is shown.
pub(super) struct Jumps<'a> {
    sheets: &'a [&'a Sheet],
    /// By kind of fact and name: the first sheet.
    named: BTreeMap<(&'static str, &'a str), usize>,
}

impl<'a> Jumps<'a> {
    pub(super) fn of(sheets: &'a [&'a Sheet]) -> Self {
        let mut named = BTreeMap::new();
        for (index, sheet) in sheets.iter().enumerate() {
            for kind in ["panel", "elevation"] {
                for name in datum(&sheet.data, kind).unwrap_or_default().split(' ') {
                    named.entry((kind, name)).or_insert(index);
                }
            }
            let mut openings = Vec::new();
            for layer in &sheet.layers {
                super::openings_in(layer, &mut openings);
            }
            // The trace shows what was found; an opening as it is made stands on the plans.
            if !sheet.name.starts_with("trace") {
                for name in openings {
                    named.entry(("opening", name)).or_insert(index);
                }
            }
        }
        Self { sheets, named }
    }

    /// The sheet that shows a finding best: a panel's own, a wall's elevation, an opening on the first plan that has it.
    pub(super) fn to(&self, finding: &Finding) -> Jump {
        let place = &finding.place;
        let (panel, element) = (place.panel.as_deref(), place.element.as_deref());
        let told = panel
            .and_then(|it| self.to_named("panel", it))
            .or_else(|| element.and_then(|it| self.to_element(it)));
        told.or_else(|| self.by_words(&finding.message))
            .unwrap_or_else(|| (self.by_code(finding), None))
    }

    fn to_element(&self, id: &str) -> Option<Jump> {
        let wall = self.to_named("elevation", id);
        wall.or_else(|| self.to_named("opening", id))
    }

    fn to_named(&self, kind: &'static str, name: &str) -> Option<Jump> {
        let index = *self.named.get(&(kind, name)).filter(|_| !name.is_empty())?;
        let sheet = self.sheets.get(index)?;
        let at = (kind == "opening").then(|| place_of(sheet, kind, name));
        Some((Some(index), at.flatten()))
    }

    /// The first panel, wall or opening that words name.
    fn by_words(&self, words: &str) -> Option<Jump> {
        let is_name = |it: &&str| {
            it.starts_with(|c: char| c.is_ascii_uppercase())
                && it.contains(|c: char| c.is_ascii_digit())
        };
        let names = words.split(|c: char| !c.is_alphanumeric() && c != '-');
        names
            .filter(is_name)
            .find_map(|it| self.to_named("panel", it).or_else(|| self.to_element(it)))
    }

    /// The sheet on which somebody would look for what a code is about; the first of the set where there is none.
    fn by_code(&self, finding: &Finding) -> Option<usize> {
        let room = finding.code.name().split('-').next().unwrap_or_default();
        let series: &[&str] = match room {
            "DRAW" | "PLAN" => &["trace", "Z-1"],
            "BLDG" | "LAY" | "FAB" => &["Z-1"],
            "STOCK" => &["Z-7"],
            "LOAD" => &["Z-8"],
            "REV" => &["Z-091", "Z-092", "Z-1"],
            _ => &[],
        };
        let storey = finding.place.storey.as_deref();
        let find = |series: &&str, is_its: bool| {
            self.sheets.iter().position(|sheet| {
                let is_storey = !is_its || datum(&sheet.data, "storey") == storey;
                sheet.name.starts_with(*series) && is_storey
            })
        };
        let own = storey.and_then(|_| series.iter().find_map(|it| find(it, true)));
        let any = || series.iter().find_map(|it| find(it, false));
        let first = || (!self.sheets.is_empty()).then_some(0);
        own.or_else(any).or_else(first)
    }
}

/// Middle of the first group of a sheet with that fact, mm.
pub(super) fn place_of(sheet: &Sheet, name: &str, value: &str) -> Option<[f64; 2]> {
    fn search(group: &Group, name: &str, value: &str) -> Option<[f64; 2]> {
        if datum(&group.data, name) == Some(value) {
            let middle = extent(group)?.middle();
            return Some([middle.x, middle.y].map(|it| (it * 10.0).round() / 10.0));
        }
        group.items.iter().find_map(|item| match item {
            Item::Group(inner) => search(inner, name, value),
            Item::Shape(_) | Item::Text(_) => None,
        })
    }
    sheet
        .layers
        .iter()
        .find_map(|layer| search(layer, name, value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::{Code, Place};

    fn sheet(name: &str, fact: (&str, &str)) -> Sheet {
        Sheet {
            name: name.to_owned(),
            number: name.to_owned(),
            data: vec![(fact.0.to_owned(), fact.1.to_owned())],
            ..Sheet::default()
        }
    }

    #[test]
    fn a_finding_without_a_place_leads_to_what_its_words_or_its_code_are_about() {
        let set = [
            sheet("Z-000-cover", ("", "")),
            sheet("Z-101-key-plan", ("storey", "S1")),
            sheet("Z-102-key-plan", ("storey", "S2")),
            sheet("Z-201-X1-X4", ("elevation", "X1 X4")),
            sheet("Z-4101-W101", ("panel", "W101")),
            sheet("Z-706-boards", ("", "")),
        ];
        let sheets: Vec<&Sheet> = set.iter().collect();
        let jumps = Jumps::of(&sheets);
        let to = |code: &'static str, place: Place, words: &str| {
            jumps
                .to(&Finding::note(Code::new(code), place, words, ""))
                .0
        };
        let nowhere = Place::default;
        assert_eq!(to("FAB-07", nowhere(), "16\" chases stop in W101"), Some(4));
        assert_eq!(to("LAY-07", nowhere(), "walls X9, X4 are short"), Some(3));
        assert_eq!(to("STOCK-02", nowhere(), "no board on hand"), Some(5));
        assert_eq!(to("BLDG-20", nowhere(), "no snow load"), Some(1));
        let upper = Place {
            storey: Some("S2".to_owned()),
            ..nowhere()
        };
        assert_eq!(to("BLDG-20", upper, "no snow load"), Some(2));
        assert_eq!(to("RULE-02", nowhere(), "no plant rules"), Some(0));
        assert_eq!(
            to("RULE-02", Place::panel("W101"), "no plant rules"),
            Some(4)
        );
    }
}
