//! Schedules: openings, panels, lumber by length, plates.

use super::{GeneralInput, Named, sheet};
use crate::building::{RoughOpening, SizeOrigin};
use crate::documents::paper::Sheet;
use crate::documents::paper::flow::Flow;
use crate::documents::paper::table::{Column, Table};
use crate::documents::plan_view::grouped;
use crate::fabrication::FabricatedPanel;
use crate::layout::PanelKind;
use crate::units::{Inches, Length};
use std::collections::BTreeMap;

/// Least width of a column of schedules, mm.
const COLUMN: f64 = 150.0;

/// The schedules of a package, on as many sheets as they need: `Z-601`…
pub(in crate::documents) fn schedule_sheets(input: &GeneralInput<'_>) -> Vec<Sheet> {
    let paper = input.paper();
    let field = paper.field();
    let count = [3, 2]
        .into_iter()
        .find(|count| field.width() / f64::from(*count) >= COLUMN)
        .unwrap_or(1);
    let tables = [
        (
            "OPENINGS",
            "inches; rough opening = skin hole",
            openings(input),
        ),
        ("PANELS", "inches, pounds", panels(input)),
        ("LUMBER, SPLINES AND BLOCKS", "inches", lumber(input)),
        ("PLATES", "inches; loose, marked", plates(input)),
    ];
    let pages = Flow::filling(field.grown(-8.0), count, paper.lettering, |flow| {
        for (heading, remark, table) in &tables {
            if !table.rows.is_empty() {
                flow.table(heading, remark, table);
            }
        }
    });
    let count = pages.len();
    pages
        .into_iter()
        .zip(1..)
        .map(|(page, number)| {
            let subtitle = if count > 1 {
                format!("openings, panels, lumber, plates; {number} of {count}")
            } else {
                "openings, panels, lumber, plates".to_owned()
            };
            let named = Named {
                number: format!("Z-{}", 600 + number),
                name: "schedules",
                title: "SCHEDULES",
                subtitle: &subtitle,
                description: "Every opening, panel, piece of lumber and plate.",
                scale: "not to scale",
            };
            let layers = vec![page.into_group("schedules", "Schedules")];
            sheet(input, named, layers, |canvas, strip| {
                strip.heading(canvas, "NOTES", "");
                let notes = [
                    "Lumber of one section, use and length stands in one row; every piece with its mark stands on the sheet of its panel.",
                    "Not sized: engineer. A header in a schedule is what job or plant table names, not a calculation.",
                    "Height from: plan = drawn, tagged or scheduled; job = job file; assumed = the plant's default, to be confirmed.",
                ];
                strip.numbered(canvas, &notes.map(str::to_owned));
                strip.rule(canvas);
            })
        })
        .collect()
}

fn inches(length: Length) -> String {
    Inches(length).to_string()
}

fn openings(input: &GeneralInput<'_>) -> Table {
    let mut rows = Vec::new();
    for (index, wall) in input.building.walls.iter().enumerate() {
        for (number, opening) in wall.openings.iter().enumerate() {
            let holds = |panel: &&FabricatedPanel| {
                panel.wall == index
                    && (panel.openings.iter().any(|it| it.opening == number)
                        || stands_in(input, panel, opening))
            };
            let marks: Vec<&str> = input
                .fabrication
                .panels
                .iter()
                .filter(holds)
                .map(|panel| panel.mark.as_str())
                .collect();
            rows.push(vec![
                opening.id.clone(),
                wall.id.clone(),
                if marks.is_empty() {
                    "between panels".to_owned()
                } else {
                    marks.join(" ")
                },
                opening.kind.name().replace('_', " "),
                format!("{} × {}", inches(opening.unit[0]), inches(opening.unit[1])),
                format!("{} × {}", inches(opening.width()), inches(opening.height())),
                inches(opening.sill),
                inches(opening.head),
                size_from(opening),
            ]);
        }
    }
    Table {
        columns: vec![
            Column::words("No.").bold().naming("opening"),
            Column::words("Wall").naming("wall"),
            Column::wrapping("Panel").naming("panel"),
            Column::wrapping("Kind"),
            Column::numbers("Unit w × h"),
            Column::numbers("Rough w × h").bold(),
            Column::numbers("Sill"),
            Column::numbers("Head"),
            Column::words("From"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// True for the header or sill panel of an opening that is framed between panels.
fn stands_in(input: &GeneralInput<'_>, panel: &FabricatedPanel, opening: &RoughOpening) -> bool {
    let laid = input.layout.panels.get(panel.panel);
    let run = input.layout.walls.get(panel.wall);
    let (Some(laid), Some(run)) = (laid, run) else {
        return false;
    };
    let [left, right] = [run.from + laid.rect.x0, run.from + laid.rect.x1];
    laid.kind != PanelKind::Wall && left < opening.to && right > opening.from
}

fn panels(input: &GeneralInput<'_>) -> Table {
    let mut panels: Vec<&FabricatedPanel> = input.fabrication.panels.iter().collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    let rows = panels
        .iter()
        .map(|panel| {
            let wall = input.building.walls.get(panel.wall);
            vec![
                panel.erection.to_string(),
                panel.mark.clone(),
                wall.map_or_else(String::new, |wall| wall.id.clone()),
                panel.kind.name().to_owned(),
                inches(panel.width),
                inches(panel.height),
                grouped(panel.weight_lb),
                panel.lift.name().to_owned(),
                if panel.is_held() { "HOLD" } else { "" }.to_owned(),
            ]
        })
        .collect();
    let weight: f64 = panels.iter().map(|it| it.weight_lb).sum();
    Table {
        columns: vec![
            Column::numbers("Set"),
            Column::words("Mark").bold().naming("panel"),
            Column::words("Wall").naming("wall"),
            Column::wrapping("Kind"),
            Column::numbers("Width"),
            Column::numbers("Height"),
            Column::numbers("lb"),
            Column::words("Lift"),
            Column::words("").bold(),
        ],
        rows,
        total: Some(
            ["", "All", "", "", "", "", &grouped(weight), "", ""]
                .map(str::to_owned)
                .to_vec(),
        ),
        has_heads: true,
    }
}

/// Lumber alike: section, use, who fits it, length.
fn lumber(input: &GeneralInput<'_>) -> Table {
    let mut alike: BTreeMap<(&str, &str, &str, Length), usize> = BTreeMap::new();
    for part in input.fabrication.panels.iter().flat_map(|it| &it.lumber) {
        let key = (
            part.section.as_str(),
            part.usage.as_str(),
            part.fitted.name(),
            part.length,
        );
        *alike.entry(key).or_default() += 1;
    }
    let all: usize = alike.values().sum();
    let rows = alike
        .iter()
        .map(|((section, usage, fitted, length), count)| {
            vec![
                count.to_string(),
                (*section).to_owned(),
                (*usage).to_owned(),
                inches(*length),
                (*fitted).to_owned(),
            ]
        })
        .collect();
    Table {
        columns: vec![
            Column::numbers("Qty").bold(),
            Column::words("Section"),
            Column::wrapping("Use"),
            Column::numbers("Length").bold(),
            Column::words("Fitted"),
        ],
        rows,
        total: Some(
            [&all.to_string(), "all", "", "", ""]
                .map(str::to_owned)
                .to_vec(),
        ),
        has_heads: true,
    }
}

fn plates(input: &GeneralInput<'_>) -> Table {
    let rows: Vec<Vec<String>> = input
        .fabrication
        .plates
        .iter()
        .map(|plate| {
            let wall = input.building.walls.get(plate.wall);
            vec![
                plate.mark.clone(),
                wall.map_or_else(String::new, |wall| wall.id.clone()),
                plate.plate.name().to_owned(),
                plate.section.clone(),
                inches(plate.to - plate.from),
            ]
        })
        .collect();
    Table {
        columns: vec![
            Column::words("Mark").bold().naming("part"),
            Column::words("Wall").naming("wall"),
            Column::wrapping("Use"),
            Column::words("Section"),
            Column::numbers("Length").bold(),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// Where a height came from, and where the head did when from elsewhere.
fn size_from(opening: &RoughOpening) -> String {
    let words = |origin| match origin {
        SizeOrigin::Plan => "plan",
        SizeOrigin::Job => "job",
        SizeOrigin::Assumed => "assumed",
    };
    let [height, head] = [opening.height_origin, opening.head_origin].map(words);
    if height == head {
        height.to_owned()
    } else {
        format!("{height}, head {head}")
    }
}
