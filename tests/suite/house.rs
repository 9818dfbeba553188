//! A small house written down by hand: a rectangle with one corner cut off at 45 degrees.
//!
//! ```text
//!        X4 (288)
//!     ┌────────────╲          outside faces, inches, drawn 6 1/2 thick
//!  X5 │             ╲ X3      X1: window O1 and door O2
//!     │              │        X2: window O3
//!     │              │ X2     X4: garage door O4, framed between panels
//!     └──────────────┘
//!          X1 (336)
//! ```

use geo::Coord;
use panelwright::building::{Building, raise_building};
use panelwright::fabrication::{FabricateOptions, Fabrication, fabricate};
use panelwright::findings::Finding;
use panelwright::layout::{Layout, LayoutOptions, lay_out};
use panelwright::loads::plan_loads;
use panelwright::plan::{Opening, OpeningKind, Plan, Storey, Wall};
use panelwright::rules::{Job, PlantRules};
use panelwright::stock::{Leftovers, plan_stock};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Everything from the plan to the panels.
pub(crate) struct House {
    pub(crate) plan: Plan,
    pub(crate) rules: PlantRules,
    pub(crate) building: Building,
    pub(crate) layout: Layout,
    pub(crate) fabrication: Fabrication,
    pub(crate) findings: Vec<Finding>,
}

const OUTLINE: [(f64, f64); 5] = [
    (0.0, 0.0),
    (336.0, 0.0),
    (336.0, 144.0),
    (288.0, 192.0),
    (0.0, 192.0),
];
const THICKNESS: f64 = 6.5;

/// The house under some rules.
pub(crate) fn house_with(rules: PlantRules) -> House {
    raised(plan(), rules)
}

/// The house under the default rules, as a job has it.
pub(crate) fn house_of(job: &Job) -> House {
    raised_for(plan(), PlantRules::default(), job)
}

/// Everything from any plan to its panels.
pub(crate) fn raised(plan: Plan, rules: PlantRules) -> House {
    raised_for(plan, rules, &Job::default())
}

/// As a job has it.
pub(crate) fn raised_for(plan: Plan, rules: PlantRules, job: &Job) -> House {
    let mut findings = Vec::new();
    let building = raise_building(&plan, job, &rules).into_output(&mut findings);
    let layout = lay_out(&building, &rules, &LayoutOptions::default()).into_output(&mut findings);
    let options = FabricateOptions {
        earlier: &findings.clone(),
        ..FabricateOptions::default()
    };
    let fabrication = fabricate(&building, &layout, &rules, &options).into_output(&mut findings);
    House {
        plan,
        rules,
        building,
        layout,
        fabrication,
        findings,
    }
}

/// The house under the default rules.
pub(crate) fn house() -> House {
    house_with(PlantRules::default())
}

fn plan() -> Plan {
    let outline: Vec<(f64, f64)> = OUTLINE.to_vec();
    let walls = walls(&outline);
    let openings = vec![
        opening("O1", &walls[0], OpeningKind::Window, 60.0, 48.0, "4040"),
        opening("O2", &walls[0], OpeningKind::Door, 200.0, 36.0, "3068"),
        opening("O3", &walls[1], OpeningKind::Window, 50.0, 36.0, "3040"),
        opening(
            "O4",
            &walls[3],
            OpeningKind::GarageDoor,
            90.0,
            108.0,
            "9070",
        ),
    ];
    plan_of(&outline, walls, openings)
}

/// Outside walls round an outline, centre lines half a wall inside it.
pub(crate) fn walls(outline: &[(f64, f64)]) -> Vec<Wall> {
    let centre = inset(outline, THICKNESS / 2.0);
    let n = centre.len();
    (0..n)
        .map(|i| Wall {
            id: format!("X{}", i + 1),
            is_exterior: true,
            start: centre[i],
            end: centre[(i + 1) % n],
            thickness: THICKNESS,
            sources: vec![format!("A{i}")],
            confidence: 1.0,
            ..Wall::default()
        })
        .collect()
}

/// A plan of one storey.
pub(crate) fn plan_of(outline: &[(f64, f64)], walls: Vec<Wall>, openings: Vec<Opening>) -> Plan {
    Plan {
        inches_per_unit: 1.0,
        unit_confidence: 1.0,
        storeys: vec![Storey {
            id: "S1".to_owned(),
            name: "FIRST FLOOR PLAN".to_owned(),
            outline: outline.iter().map(|p| Coord { x: p.0, y: p.1 }).collect(),
            walls,
            openings,
            ..Storey::default()
        }],
        ..Plan::default()
    }
}

/// An opening whose near jamb stands so far from its wall's start.
pub(crate) fn opening(
    id: &str,
    wall: &Wall,
    kind: OpeningKind,
    near: f64,
    width: f64,
    tag: &str,
) -> Opening {
    let direction = wall.end - wall.start;
    let length = direction.x.hypot(direction.y);
    Opening {
        id: id.to_owned(),
        wall: wall.id.clone(),
        kind,
        centre: wall.start + direction * ((near + width / 2.0) / length),
        near,
        width,
        tag: Some(tag.to_owned()),
        sources: vec![format!("B{id}")],
        confidence: 1.0,
        ..Opening::default()
    }
}

/// The polygon moved inwards by `by`: each corner is where the moved sides meet.
fn inset(corners: &[(f64, f64)], by: f64) -> Vec<Coord<f64>> {
    let n = corners.len();
    let side = |i: usize| {
        let (a, b) = (corners[i % n], corners[(i + 1) % n]);
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = dx.hypot(dy);
        let (ux, uy) = (dx / length, dy / length);
        ((a.0 - uy * by, a.1 + ux * by), (ux, uy))
    };
    (0..n)
        .map(|i| {
            let ((px, py), (ux, uy)) = side(i + n - 1);
            let ((qx, qy), (vx, vy)) = side(i);
            let along = ((qx - px) * vy - (qy - py) * vx) / (ux * vy - uy * vx);
            Coord {
                x: px + ux * along,
                y: py + uy * along,
            }
        })
        .collect()
}

/// All data files of the package of the house under the default rules: made once, however many tests ask.
pub(crate) fn house_package() -> BTreeMap<String, Vec<u8>> {
    static MADE: OnceLock<BTreeMap<String, Vec<u8>>> = OnceLock::new();
    MADE.get_or_init(|| package(&house())).clone()
}

/// All data files of the house's package, with manifest.
pub(crate) fn package(house: &House) -> BTreeMap<String, Vec<u8>> {
    package_with(house, &Leftovers::default())
}

/// The same, cut from these leftovers first.
pub(crate) fn package_with(house: &House, leftovers: &Leftovers) -> BTreeMap<String, Vec<u8>> {
    use panelwright::documents;
    let models = (&house.layout, &house.fabrication, &house.rules);
    let stock = plan_stock(models.0, models.1, models.2, leftovers).output;
    let mut files = documents::outline_files(&house.fabrication, &stock, &house.rules);
    files.extend(documents::blank_files(
        &stock,
        &house.fabrication,
        &house.rules,
    ));
    let text = documents::stock_json(&stock, &house.fabrication, &house.rules);
    files.insert("stock.json".to_owned(), text.into_bytes());
    let loads = plan_loads(&house.building, &house.fabrication, &house.rules).output;
    files.extend(documents::lists(
        &house.building,
        &house.fabrication,
        &loads,
        &stock,
        &house.rules,
    ));
    let book = documents::workbook(&files, "2026-01-02", "House").unwrap();
    files.insert("lists/lists.xlsx".to_owned(), book);
    let panels = documents::panels_json(
        &house.building,
        &house.layout,
        &house.fabrication,
        &house.rules,
        &documents::PanelsFacts {
            job: &Job::default(),
            issue: &documents::IssueFacts::default(),
            stock: &stock,
        },
    );
    files.insert("panels.json".to_owned(), panels.into_bytes());
    let loads = documents::loads_json(&loads, &house.rules);
    files.insert("loads.json".to_owned(), loads.into_bytes());
    let plan = documents::plan_json(&house.plan, &[], &house.findings);
    files.insert("plan.json".to_owned(), plan.into_bytes());
    let findings = documents::findings_json(&house.findings);
    files.insert("findings.json".to_owned(), findings.into_bytes());
    let digests: BTreeMap<&String, String> = files
        .iter()
        .map(|(name, bytes)| (name, documents::sha256_hex(bytes)))
        .collect();
    let manifest = serde_json::json!({ "schema": "panelwright.manifest/1", "files": digests });
    files.insert(
        "manifest.json".to_owned(),
        manifest.to_string().into_bytes(),
    );
    files
}
