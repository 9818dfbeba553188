//! Counts what a building takes, on its panels as laid out.

use super::model::{Line, PricedBy, Sure};
use super::not_made::{Unnamed, bare_walls};
use crate::building::Building;
use crate::fabrication::{EdgeJoint, FabricatedPanel, Fabrication, Fitted, Lumber};
use crate::loads::LoadPlan;
use crate::rules::{LumberRules, PlantRules, SectionMaterial, SplineKind};
use crate::units::{Length, square_feet};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The line of jacks, studs and bucks.
const STUDS: &str = "lumber of studs and bucks";

/// Lines of the members over openings.
const HEADERS: [PricedBy; 3] = [
    PricedBy::Material("header_bd_ft"),
    PricedBy::Material("lvl_ft"),
    PricedBy::Material("sip_header_ft"),
];

/// True of the members over openings.
#[must_use]
pub fn is_header(line: &Line) -> bool {
    HEADERS.contains(&line.by)
}

/// True of what changes when an engineer names other headers: the members, the jacks under them, the nails in both.
#[must_use]
pub fn hangs_on_headers(line: &Line) -> bool {
    is_header(line) || line.by == PricedBy::Material("nail") || line.item == STUDS
}

/// A counted amount as a decimal with two places.
#[must_use]
pub fn decimal(value: f64) -> Decimal {
    Decimal::from_f64_retain(value)
        .unwrap_or_default()
        .round_dp(2)
}

fn count(n: usize) -> Decimal {
    Decimal::from(n)
}

/// Board feet of a piece: nominal inches times nominal inches times length; `None` when the section is no sawn lumber of the rules.
///
/// - Section: `2x6`, with plies `2-2x10`, or `2x8 ripped to 6 1/2`, which is bought as a 2x8.
/// - Source: the definition, 144 cubic inches of nominal size.
#[must_use]
pub fn board_feet(section: &str, length: Length, rules: &PlantRules) -> Option<f64> {
    let whole = LumberRules::sawn_from(section);
    let (plies, name) = match whole.split_once('-') {
        Some((plies, name)) => (plies.parse::<u32>().ok()?, name),
        None => (1, whole),
    };
    let it = rules.lumber.sections.get(name)?;
    if it.material != SectionMaterial::Sawn {
        return None;
    }
    let nominal = f64::from(it.nominal_thickness) * f64::from(it.nominal_width);
    Some(f64::from(plies) * nominal * length.to_inches() / 144.0)
}

/// Gross area of all panels and of walls that have none, square feet.
#[must_use]
pub fn gross_square_feet(building: &Building, fabrication: &Fabrication) -> f64 {
    let bare: f64 = bare_walls(building, fabrication)
        .iter()
        .map(|it| it.1)
        .sum();
    let areas = fabrication
        .panels
        .iter()
        .map(|it| square_feet(it.width, it.height));
    areas.fold(bare, |sum, area| sum + area)
}

/// All quantities of a building, in the order of a quote, each counted: the quote says what an assumed figure moves.
#[must_use]
pub fn quantities(
    building: &Building,
    fabrication: &Fabrication,
    loads: &LoadPlan,
    rules: &PlantRules,
) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut add = |item: String, quantity: Decimal, unit, by| {
        if !quantity.is_zero() {
            lines.push(Line {
                item,
                quantity,
                unit,
                sure: Sure::Counted,
                by,
                rate: None,
                amount: None,
            });
        }
    };
    let panels = &fabrication.panels;
    let bare = bare_walls(building, fabrication);
    for (index, assembly) in rules.assemblies.iter().enumerate() {
        let these = || panels.iter().filter(|panel| panel.assembly == index);
        let gross = these()
            .map(|it| square_feet(it.width, it.height))
            .fold(0.0, |a, b| a + b);
        let bare = bare.iter().filter(|it| it.0 == index);
        let gross = bare.fold(gross, |sum, it| sum + it.1);
        let net = these()
            .map(|it| it.outer_skin.square_inches() / 144.0)
            .fold(0.0, |a, b| a + b);
        let name = &assembly.name;
        add(
            format!("{name} panels, gross"),
            decimal(gross),
            "sq ft",
            PricedBy::Panel(name.clone()),
        );
        add(
            format!("{name} panels, net of openings"),
            decimal(net),
            "sq ft",
            PricedBy::Nothing,
        );
    }
    add(
        "panels".to_owned(),
        count(panels.len()),
        "pieces",
        PricedBy::Nothing,
    );
    let openings = building.walls.iter().map(|wall| wall.openings.len()).sum();
    add(
        "rough openings".to_owned(),
        count(openings),
        "pieces",
        PricedBy::Nothing,
    );
    let spline_of = |it: &FabricatedPanel| {
        let assembly = rules.assemblies.get(it.assembly);
        assembly.map_or(rules.joints.spline, |it| rules.joints.spline_of(it))
    };
    let edge = |it: &FabricatedPanel, joint| -> f64 {
        let edges = it.edges.iter().filter(|edge| edge.joint == joint);
        let lengths =
            edges.map(|it| ((it.to.x - it.from.x).abs() + (it.to.y - it.from.y).abs()).to_inches());
        lengths.fold(0.0, |a, b| a + b) / 12.0
    };
    let feet = |joint| {
        panels
            .iter()
            .map(|it| edge(it, joint))
            .fold(0.0, |a, b| a + b)
    };
    // Where runs are closed by surface strips there is one outer strip at each such joint.
    let closing = |it: &FabricatedPanel| -> f64 {
        if spline_of(it) == SplineKind::Surface {
            return 0.0;
        }
        let strips = it.lumber.iter();
        let strips = strips.filter(|it| it.usage == "spline, outer" && it.fitted == Fitted::Loose);
        strips.fold(0.0, |sum, it| sum + it.length.to_inches() / 12.0)
    };
    for kind in SplineKind::ALL {
        let these = panels.iter().filter(|it| spline_of(it) == kind);
        // Each joint is an edge of two panels.
        let mut feet = these.fold(0.0, |sum, it| {
            sum + edge(it, EdgeJoint::Spline) / 2.0 - closing(it)
        });
        if kind == SplineKind::Surface {
            feet += panels.iter().map(closing).fold(0.0, |a, b| a + b);
        }
        add(
            format!("joints, {} spline", kind.name()),
            decimal(feet),
            "ft",
            PricedBy::Spline(kind.name().to_owned()),
        );
    }
    add(
        "corners".to_owned(),
        decimal(feet(EdgeJoint::Corner) / 2.0),
        "ft",
        PricedBy::Nothing,
    );
    let is_header = |it: &&Lumber| it.usage == "header";
    let lumber = || {
        panels
            .iter()
            .flat_map(|it| &it.lumber)
            .filter(|it| !it.usage.contains("spline"))
    };
    let bf = |part: &Lumber| board_feet(&part.section, part.length, rules);
    let unnamed = Unnamed::of(building, rules);
    let headers = lumber()
        .filter(is_header)
        .filter_map(bf)
        .fold(unnamed.board_feet, |a, b| a + b);
    let studs = lumber()
        .filter(|it| !is_header(it))
        .filter_map(bf)
        .fold(0.0, |a, b| a + b);
    let plates = fabrication.plates.iter();
    let plates_ft = plates
        .clone()
        .map(|it| (it.to - it.from).to_inches() / 12.0)
        .fold(0.0, |a, b| a + b);
    let plates = plates
        .filter_map(|it| board_feet(&it.section, it.to - it.from, rules))
        .fold(0.0, |a, b| a + b);
    add(
        "plates".to_owned(),
        decimal(plates_ft),
        "ft",
        PricedBy::Nothing,
    );
    add(
        "lumber of plates".to_owned(),
        decimal(plates),
        "bd ft",
        PricedBy::Material("lumber_bd_ft"),
    );
    add(
        STUDS.to_owned(),
        decimal(studs),
        "bd ft",
        PricedBy::Material("lumber_bd_ft"),
    );
    add(
        "headers, not sized".to_owned(),
        decimal(headers),
        "bd ft",
        PricedBy::Material("header_bd_ft"),
    );
    let feet_of = |is_so: &dyn Fn(&Lumber) -> bool, unnamed: f64| {
        let pieces = lumber().filter(|it| bf(it).is_none() && is_so(it));
        let feet = pieces.map(|it| it.length.to_inches() / 12.0);
        decimal(feet.fold(unnamed, |a, b| a + b))
    };
    let is_panel = |it: &Lumber| it.usage == "header" && it.section.starts_with("SIP ");
    let is_lvl = |it: &Lumber| {
        let section = rules.lumber.sections.get(&it.section);
        section.is_some_and(|it| it.material == SectionMaterial::Lvl)
    };
    for (item, key, feet) in [
        (
            "headers of panel, not sized",
            "sip_header_ft",
            feet_of(&is_panel, unnamed.panel_feet),
        ),
        (
            "plies of LVL, not sized",
            "lvl_ft",
            feet_of(&is_lvl, unnamed.lvl_feet),
        ),
    ] {
        add(item.to_owned(), feet, "ft", PricedBy::Material(key));
    }
    // A section that no rule has is no board foot: told by the foot, never left out.
    let odd = lumber()
        .filter(|it| bf(it).is_none() && !is_panel(it) && !is_lvl(it))
        .map(|it| it.length.to_inches() / 12.0)
        .fold(0.0, |a, b| a + b);
    add(
        "other members".to_owned(),
        decimal(odd),
        "ft",
        PricedBy::Nothing,
    );
    let mut fixings: BTreeMap<(bool, &str), u64> = BTreeMap::new();
    for fixing in panels.iter().flat_map(|it| &it.fixings) {
        let is_screw = fixing.item.contains("screw");
        *fixings.entry((is_screw, &fixing.item)).or_default() += u64::from(fixing.count);
    }
    for ((is_screw, item), n) in fixings {
        let (name, key) = if is_screw {
            (item.to_owned(), "screw")
        } else {
            (format!("nails {item}"), "nail")
        };
        add(name, Decimal::from(n), "pieces", PricedBy::Material(key));
    }
    let sealant = panels
        .iter()
        .map(|it| it.sealant.to_inches() / 12.0)
        .fold(0.0, |a, b| a + b);
    add(
        "sealant bead".to_owned(),
        decimal(sealant),
        "ft",
        PricedBy::Material("sealant_ft"),
    );
    let chases = panels.iter().flat_map(|it| &it.chases);
    let chases = chases
        .map(|it| ((it.to.x - it.from.x).abs() + (it.to.y - it.from.y).abs()).to_inches() / 12.0);
    add(
        "chases".to_owned(),
        decimal(chases.fold(0.0, |a, b| a + b)),
        "ft",
        PricedBy::Nothing,
    );
    add(
        "truck loads".to_owned(),
        count(loads.trucks.len()),
        "loads",
        PricedBy::Load,
    );
    lines
}

/// How many panels have a bevelled end.
#[must_use]
pub fn n_specials(fabrication: &Fabrication) -> usize {
    let is_special =
        |it: &&FabricatedPanel| it.edges.iter().any(|edge| edge.bevel_deg.abs() > 1e-9);
    fabrication.panels.iter().filter(is_special).count()
}
