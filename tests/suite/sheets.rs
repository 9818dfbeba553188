//! The sheet set of every sample: nothing on anything, one file, every link leads somewhere, every sheet names its package.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::page::links;
use std::collections::BTreeSet;

#[test]
fn nothing_stands_on_anything_on_any_sheet_and_every_link_leads_to_a_file() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let files = &made.documents.files;
        let mut led = BTreeSet::new();
        for it in &made.sheets {
            assert_eq!(overlaps(&it.sheet), [], "{case} {}", it.path);
            for link in links(&it.sheet) {
                // A question of the trace shows its place in the same file.
                if link.target.starts_with("#svgView(viewBox(") {
                    continue;
                }
                let folder = it.path.rsplit_once('/').map_or("", |(folder, _)| folder);
                let target = match link.target.strip_prefix("../") {
                    Some(above) => above.to_owned(),
                    None if folder.is_empty() => link.target.clone(),
                    None => format!("{folder}/{}", link.target),
                };
                assert!(files.contains_key(&target), "{case} {} → {target}", it.path);
                assert_ne!(target, it.path, "a sheet leads to itself");
                led.insert((it.path.clone(), target));
            }
        }
        // One key plan for each storey.
        let is_key_plan = |path: &str| path.contains("key-plan");
        assert!(made.sheets.iter().any(|it| is_key_plan(&it.path)));
        for panel in &made.fabrication.panels {
            let leads = |(from, to): &(String, String)| {
                is_key_plan(from) && to.ends_with(&format!("-{}.svg", panel.mark))
            };
            assert!(
                led.iter().any(leads),
                "{case}: no way from the plan to {}",
                panel.mark
            );
        }
        assert!(files["sheets.pdf"].starts_with(b"%PDF-"), "{case}");
    }
}

#[test]
fn every_sheet_says_which_package_sheet_and_revision_it_is() {
    let (case, plan) = SAMPLES[0];
    let made = sample_package(case, plan);
    let mut ids = BTreeSet::new();
    for it in &made.sheets {
        let svg = String::from_utf8(made.documents.files[&it.path].clone()).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let root = document.root_element();
        let id = root.attribute("data-package").unwrap();
        assert_eq!(id.len(), 12);
        assert_eq!(root.attribute("data-sheet"), Some(it.sheet.number.as_str()));
        assert!(
            root.attribute("data-revision")
                .is_some_and(|it| !it.is_empty())
        );
        let small = document
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .filter_map(|node| node.text())
            .filter(|words| words.starts_with(&format!("{id}  {}  rev", it.sheet.number)))
            .count();
        assert_eq!(small, 1, "{}", it.path);
        ids.insert(id.to_owned());
    }
    assert_eq!(ids.len(), 1);
}
