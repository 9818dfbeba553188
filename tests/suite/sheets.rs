//! The sheet set of every sample: nothing on anything, one file, every link leads somewhere, every sheet names its package.

use crate::kit::{SAMPLES, sample_package};
use panelwright::documents::paper::frame::Paper;
use panelwright::documents::paper::overlap::overlaps;
use panelwright::documents::paper::page::{extent, links};
use panelwright::documents::paper::style::dimension;
use panelwright::documents::paper::{Area, Form, Group, Item, Sheet};
use panelwright::fabrication::Fabrication;
use std::collections::BTreeSet;

#[test]
fn nothing_stands_on_anything_on_any_sheet_and_every_link_leads_to_a_file() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let files = &made.documents.files;
        let mut led = BTreeSet::new();
        for it in &made.sheets {
            assert_eq!(overlaps(&it.sheet), [], "{case} {}", it.path);
            on_its_paper(&it.sheet);
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

/// What is drawn off the paper nobody reads.
#[track_caller]
pub(crate) fn on_its_paper(sheet: &Sheet) {
    let paper = Area::new(0.0, 0.0, sheet.width, sheet.height);
    for layer in &sheet.layers {
        let area = extent(layer).unwrap_or(paper);
        assert!(paper.holds(&area), "{} {}: {area:?}", sheet.name, layer.id);
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

/// Of the field of a sheet, parted into 24 by 16 rectangles, the share on which something is drawn or written.
fn used(sheet: &Sheet) -> f64 {
    let field = Paper::named(&sheet.paper).unwrap().field();
    let mut hit = BTreeSet::new();
    let mut mark = |area: &Area| {
        // Frame, strip and small print are not the drawing.
        if !field.grown(0.5).holds(area) {
            return;
        }
        for (column, row) in (0..24).flat_map(|i| (0..16).map(move |j| (i, j))) {
            let [x, y] = [f64::from(column), f64::from(row)];
            let [w, h] = [field.width() / 24.0, field.height() / 16.0];
            let (left, top) = (field.x0 + x * w, field.y0 + y * h);
            let cell = Area::new(left, top, left + w, top + h);
            if cell.meets(area) {
                hit.insert((column, row));
            }
        }
    };
    let mut items: Vec<&Item> = sheet.layers.iter().flat_map(|it| &it.items).collect();
    while let Some(item) = items.pop() {
        if let Item::Group(group) = item {
            items.extend(&group.items);
            continue;
        }
        let one = Group {
            items: vec![item.clone()],
            ..Group::default()
        };
        if let Some(area) = extent(&one) {
            mark(&area);
        }
    }
    let count = u32::try_from(hit.len()).unwrap();
    f64::from(count) / (24.0 * 16.0)
}

/// Least share of the field that sheets of a series use, each and on the mean of all samples. Ours: three
/// hundredths below what was measured, so that a sheet that is drawn smaller than it could be is seen.
const USED: [(&str, f64, f64); 7] = [
    ("Z-1", 0.38, 0.50),
    ("Z-2", 0.38, 0.57),
    ("Z-4", 0.40, 0.62),
    ("Z-5", 0.53, 0.60),
    ("Z-6", 0.32, 0.58),
    ("Z-7", 0.27, 0.48),
    ("Z-8", 0.62, 0.72),
];

/// All groups of a sheet.
fn groups(sheet: &Sheet) -> Vec<&Group> {
    let mut found: Vec<&Group> = sheet.layers.iter().collect();
    let mut next = 0;
    while let Some(group) = found.get(next).copied() {
        found.extend(group.items.iter().filter_map(|it| match it {
            Item::Group(group) => Some(group),
            _ => None,
        }));
        next += 1;
    }
    found
}

#[test]
fn marks_on_the_cover_stand_beside_openings() {
    let mut seen = 0;
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let cover = made.sheets.iter().find(|it| it.sheet.number == "Z-000");
        let groups = groups(&cover.unwrap().sheet);
        let marks = groups.iter().find(|it| it.id == "marks").unwrap();
        for item in &marks.items {
            let Item::Text(mark) = item else { continue };
            let id = format!("panel-{}", mark.words);
            let panel = groups.iter().find(|it| it.id == id).unwrap();
            let Some(Item::Shape(face)) = panel.items.last() else {
                panic!("{id} has no face");
            };
            let Form::Region(rings) = &face.form else {
                panic!("{id} is no region");
            };
            for hole in rings.iter().skip(1) {
                seen += 1;
                // Openings are parallelograms in the picture: the middle of each side and the corners tell.
                let ends = hole.iter().zip(hole.iter().cycle().skip(1));
                let points = ends.flat_map(|(a, b)| [*a, (*a + *b) / 2.0]);
                let area = mark.area();
                for point in points {
                    let here = Area::of(point, point);
                    assert!(!area.holds(&here), "{case} {}", mark.words);
                }
                let centre = Area::around(hole).unwrap().middle();
                assert!(
                    !area.holds(&Area::of(centre, centre)),
                    "{case} {}",
                    mark.words
                );
            }
        }
    }
    assert!(seen > 10);
}

#[test]
fn drawings_fill_their_sheets() {
    let mut all: Vec<(String, f64)> = Vec::new();
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let numbers = made.sheets.iter().map(|it| &it.sheet);
        all.extend(numbers.map(|it| (it.number.clone(), used(it))));
    }
    let mut too_empty = Vec::new();
    for (series, each, mean) in USED {
        let shares = all.iter().filter(|it| it.0.starts_with(series));
        let shares: Vec<f64> = shares.map(|it| it.1).collect();
        let count = u32::try_from(shares.len()).unwrap();
        assert!(count > 0, "{series}");
        let least = shares.iter().copied().fold(1.0, f64::min);
        let found = shares.iter().sum::<f64>() / f64::from(count);
        if least < each || found < mean {
            too_empty.push(format!("{series}: least {least:.2}, mean {found:.2}"));
        }
    }
    assert!(too_empty.is_empty(), "{too_empty:?}");
}

/// Marks of all parts of a package: panels, lumber, plates.
fn parts(made: &Fabrication) -> BTreeSet<&str> {
    let lumber = made.panels.iter().flat_map(|it| &it.lumber);
    let lumber = lumber.map(|it| it.mark.as_str());
    let panels = made.panels.iter().map(|it| it.mark.as_str());
    let plates = made.plates.iter().map(|it| it.mark.as_str());
    lumber.chain(panels).chain(plates).collect()
}

#[test]
fn every_piece_of_a_detail_names_its_part() {
    let (case, plan) = SAMPLES[0];
    let made = sample_package(case, plan);
    let known = parts(&made.fabrication);
    let details = made
        .sheets
        .iter()
        .filter(|it| it.sheet.number.starts_with("Z-5"));
    let mut seen = BTreeSet::new();
    for it in details {
        let svg = String::from_utf8(made.documents.files[&it.path].clone()).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        for node in document.descendants() {
            let is_detail = node
                .attribute("id")
                .is_some_and(|id| id.starts_with("detail-"));
            if is_detail {
                let parts = node
                    .descendants()
                    .filter_map(|it| it.attribute("data-part"));
                let parts: BTreeSet<String> = parts.map(str::to_owned).collect();
                assert!(!parts.is_empty(), "{} {:?}", it.path, node.attribute("id"));
                for part in &parts {
                    assert!(known.contains(part.as_str()), "{part} is no part");
                }
                seen.extend(parts);
            }
        }
    }
    // Lumber and plates by their own marks, not only panels.
    assert!(seen.iter().any(|it| it.contains('-')), "{seen:?}");
    assert!(seen.iter().any(|it| it.starts_with("SP")), "{seen:?}");
}

/// What the groups that a test picks hold in words, in drawing order.
fn words_in(group: &Group, all: &mut Vec<String>) {
    for item in &group.items {
        match item {
            Item::Text(text) => all.push(text.words.replace('\u{a0}', " ")),
            Item::Group(inner) => words_in(inner, all),
            Item::Shape(_) => {}
        }
    }
}

/// True for the oblique tick of a dimension line.
fn is_tick(item: &Item) -> bool {
    let Item::Shape(shape) = item else {
        return false;
    };
    let Form::Line(a, b) = shape.form else {
        return false;
    };
    let ((x, y), side) = ((b.x - a.x, b.y - a.y), 2.0 * dimension::HALF_TICK);
    (x - side).abs() < 1e-9 && (y + side).abs() < 1e-9
}

/// The titles of rings that stand for lengths a string did not print, in a group.
fn rings(group: &Group) -> Vec<&str> {
    let inner = group.items.iter().filter_map(|it| match it {
        Item::Group(inner) => Some(inner),
        _ => None,
    });
    let is_ring = |it: &&Group| match it.items.as_slice() {
        [Item::Shape(shape)] => matches!(shape.form, Form::Circle(..)) && it.title.ends_with('"'),
        _ => false,
    };
    inner.filter(is_ring).map(|it| it.title.as_str()).collect()
}

/// Strings of a sheet whose lengths are neither printed nor named in its notes, and how many strings it has.
pub(crate) fn unsaid(sheet: &Sheet) -> (Vec<String>, usize) {
    let mut all = Vec::new();
    sheet.layers.iter().for_each(|it| words_in(it, &mut all));
    let all = all.join(" ");
    let (mut missing, mut count) = (Vec::new(), 0);
    for group in groups(sheet) {
        let named: Vec<&str> = rings(group).iter().flat_map(|it| it.split(", ")).collect();
        let lost = named.iter().filter(|it| {
            let ways = [format!("{it} at "), format!("{it},"), format!("{it})")];
            !ways.iter().any(|way| all.contains(way.as_str()))
        });
        missing.extend(lost.map(|it| format!("{}: {it}", group.title)));
        let ticks = group.items.iter().filter(|it| is_tick(it)).count();
        if !group.id.starts_with("string-") || ticks == 0 {
            continue;
        }
        count += 1;
        let texts = group.items.iter().filter(|it| matches!(it, Item::Text(_)));
        // What is named is not printed, and the other way round.
        if texts.count() + named.len() < ticks - 1 {
            missing.push(format!("{}: {ticks} ticks", group.title));
        }
    }
    (missing, count)
}

#[test]
fn of_every_string_each_length_is_printed_or_named() {
    for (case, plan) in SAMPLES {
        let made = sample_package(case, plan);
        let mut strings = 0;
        for it in &made.sheets {
            let (missing, count) = unsaid(&it.sheet);
            assert_eq!(missing, Vec::<String>::new(), "{case} {}", it.path);
            strings += count;
        }
        assert!(strings > 8, "{case}: {strings}");
    }
}
