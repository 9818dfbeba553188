//! Lists for people and their spreadsheets: `lists/*.csv`, each with a header row that names its units. See `docs/lists.md`.

mod site;
mod stations;
mod stock;
mod waste;

use super::csv_table::{CsvTable, FeetInTurn};
use super::outline_dxf::outline_path;
use crate::building::{Building, PanelWall, RoughOpening, SizeOrigin};
use crate::fabrication::{FabricatedPanel, Fabrication, PartFace, WallPlate};
use crate::geometry::ShopRing;
use crate::loads::LoadPlan;
use crate::plan::OpeningKind;
use crate::rules::{Assembly, HeaderMember, PlantRules};
use crate::stock::StockPlan;
use crate::units::{Length, square_feet};
use std::collections::BTreeMap;

/// All lists by their paths.
///
/// - Rows stand in the order of erection, parts in the order of the panel's own list, walls in the order of the outline.
#[must_use]
pub fn lists(
    building: &Building,
    fabrication: &Fabrication,
    loads: &LoadPlan,
    cut_from: &StockPlan,
    rules: &PlantRules,
) -> BTreeMap<String, Vec<u8>> {
    let panels = in_erection_order(fabrication);
    [
        ("panels", panel_list(building, &panels, rules)),
        ("lumber", lumber_list(&panels)),
        ("skins", skin_list(&panels, rules)),
        ("cores", core_list(&panels, rules)),
        ("openings", opening_list(building, &panels)),
        ("plates", plate_list(building, fabrication)),
        ("loose", loose_list(&panels)),
        ("joints", joint_list(building, fabrication)),
        ("saw", stations::saw_list(&panels, rules)),
        ("specials", stations::special_list(&panels, rules)),
        ("framing", stations::framing_list(&panels)),
        ("bundles", stations::bundle_list(building, loads)),
        (
            "erection",
            stations::erection_list(building, &panels, loads),
        ),
        ("site", site::site_list(fabrication, rules)),
        ("billets", stock::billet_list(cut_from)),
        ("slabs", stock::sheet_list("slab", &cut_from.slabs)),
        ("boards", stock::sheet_list("board", &cut_from.boards)),
        ("lamination", stock::lamination_list(cut_from, rules)),
        ("bars", stock::bar_list(cut_from)),
        ("leftovers", stock::leftover_list(cut_from)),
        ("waste", waste::waste_list(cut_from, rules)),
        ("foam", waste::foam_list(cut_from, rules)),
    ]
    .into_iter()
    .map(|(name, table)| (format!("lists/{name}.csv"), table.into_bytes()))
    .collect()
}

fn in_erection_order(fabrication: &Fabrication) -> Vec<&FabricatedPanel> {
    let mut panels: Vec<&FabricatedPanel> = fabrication.panels.iter().collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    panels
}

fn yes(is_so: bool) -> String {
    if is_so { "yes" } else { "no" }.to_owned()
}

fn feet(square_inches: f64) -> String {
    CsvTable::number(square_inches / 144.0, 3)
}

fn pounds(weight: f64) -> String {
    CsvTable::number(weight, 1)
}

fn panel_list(building: &Building, panels: &[&FabricatedPanel], rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "erection",
        "mark",
        "revision",
        "hold",
        "storey",
        "wall",
        "kind",
        "assembly",
        "width (in)",
        "height (in)",
        "gross area (sq ft)",
        "net area (sq ft)",
        "openings",
        "weight (lb)",
        "lift",
        "face up",
        "same as",
        "mirror of",
        "outline file",
    ]);
    for panel in panels {
        let wall = building.walls.get(panel.wall);
        let openings: Vec<&str> = panel.openings.iter().map(|o| o.id.as_str()).collect();
        table.row([
            panel.erection.to_string(),
            panel.mark.clone(),
            panel.revision.clone(),
            yes(panel.is_held()),
            wall.map_or_else(String::new, |wall| wall.storey.clone()),
            wall.map_or_else(String::new, |wall| wall.id.clone()),
            panel.kind_name().to_owned(),
            assembly_of(panel, rules).map_or_else(String::new, |it| it.name.clone()),
            CsvTable::inches(panel.width),
            CsvTable::inches(panel.height),
            CsvTable::number(square_feet(panel.width, panel.height), 3),
            feet(panel.outer_skin.square_inches()),
            openings.join(" "),
            pounds(panel.weight_lb),
            panel.lift.name().to_owned(),
            panel.face_up.name().to_owned(),
            panel.same_as.clone().unwrap_or_default(),
            panel.mirror_of.clone().unwrap_or_default(),
            outline_path(panel),
        ]);
    }
    table
}

fn assembly_of<'a>(panel: &FabricatedPanel, rules: &'a PlantRules) -> Option<&'a Assembly> {
    rules.assemblies.get(panel.assembly)
}

fn lumber_list(panels: &[&FabricatedPanel]) -> CsvTable {
    let mut table = CsvTable::new(&[
        "mark",
        "panel",
        "use",
        "section",
        "grade",
        "length (in)",
        "length (ft-in)",
        "first cut mitre (deg)",
        "first cut bevel (deg)",
        "second cut mitre (deg)",
        "second cut bevel (deg)",
        "fitted",
        "weight (lb)",
        "rule",
    ]);
    for panel in panels {
        for part in &panel.lumber {
            let cuts = part.end_cuts.as_flattened().iter();
            let head = [
                part.mark.clone(),
                panel.mark.clone(),
                part.usage.clone(),
                part.section.clone(),
                part.grade.clone(),
                CsvTable::inches(part.length),
                part.length.feet_inches().to_string(),
            ];
            let tail = [
                part.fitted.name().to_owned(),
                pounds(part.weight_lb),
                part.rule.clone(),
            ];
            let cuts = cuts.map(|degrees| CsvTable::number(*degrees, 3));
            table.row(head.into_iter().chain(cuts).chain(tail));
        }
    }
    table
}

fn skin_list(panels: &[&FabricatedPanel], rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "panel",
        "face",
        "material",
        "thickness (in)",
        "width (in)",
        "height (in)",
        "net area (sq ft)",
        "holes",
        "hold",
    ]);
    for panel in panels {
        let Some(assembly) = assembly_of(panel, rules) else {
            continue;
        };
        for side in assembly.skinned() {
            let (skin, face) = (assembly.skin(side), panel.face(side));
            let [width, height] = size(&face.outline);
            table.row([
                panel.mark.clone(),
                side.name().to_owned(),
                skin.material.clone(),
                CsvTable::inches(skin.thickness),
                CsvTable::inches(width),
                CsvTable::inches(height),
                feet(face.square_inches()),
                face.holes.len().to_string(),
                yes(panel.is_held()),
            ]);
        }
    }
    table
}

fn size(outline: &ShopRing) -> [Length; 2] {
    let bounds = outline.bounds().unwrap_or_default();
    [bounds.width(), bounds.height()]
}

fn core_list(panels: &[&FabricatedPanel], rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "panel",
        "piece",
        "material",
        "thickness (in)",
        "width (in)",
        "height (in)",
        "net area (sq ft)",
        "volume (cu ft)",
        "weight (lb)",
        "hold",
    ]);
    for panel in panels {
        let Some(assembly) = assembly_of(panel, rules) else {
            continue;
        };
        for (number, piece) in panel.core_pieces().enumerate() {
            let [width, height] = size(&piece.outline);
            let cubic_feet = volume(piece, assembly.core);
            table.row([
                panel.mark.clone(),
                (number + 1).to_string(),
                assembly.core_material.clone(),
                CsvTable::inches(assembly.core),
                CsvTable::inches(width),
                CsvTable::inches(height),
                feet(piece.square_inches()),
                CsvTable::number(cubic_feet, 3),
                pounds(cubic_feet * assembly.core_density),
                yes(panel.is_held()),
            ]);
        }
    }
    table
}

fn volume(piece: &PartFace, thickness: Length) -> f64 {
    piece.square_inches() * thickness.to_inches() / 1728.0
}

fn opening_list(building: &Building, panels: &[&FabricatedPanel]) -> CsvTable {
    let mut table = CsvTable::new(&[
        "opening",
        "kind",
        "tag",
        "storey",
        "wall",
        "panels",
        "unit width (in)",
        "unit height (in)",
        "rough width (in)",
        "rough height (in)",
        "rough size (ft-in)",
        "rough sill above deck (in)",
        "rough head above deck (in)",
        "left corner to left jamb (in)",
        "left corner to left jamb (ft-in)",
        "header",
        "jacks each end",
        "header from",
        "height from",
        "head from",
        "hold",
    ]);
    for wall in &building.walls {
        for opening in &wall.openings {
            table.row([
                opening.id.clone(),
                kind_words(opening.kind).to_owned(),
                opening.tag.clone().unwrap_or_default(),
                wall.storey.clone(),
                wall.id.clone(),
                marks_at(wall, &opening.id, building, panels),
                CsvTable::inches(opening.unit[0]),
                CsvTable::inches(opening.unit[1]),
                CsvTable::inches(opening.width()),
                CsvTable::inches(opening.height()),
                CsvTable::size(opening.width(), opening.height()),
                CsvTable::inches(opening.sill),
                CsvTable::inches(opening.head),
                CsvTable::inches(opening.from),
                opening.from.feet_inches().to_string(),
                header_words(opening),
                opening.jacks.to_string(),
                opening.header_rule.clone(),
                origin_words(opening.height_origin).to_owned(),
                origin_words(opening.head_origin).to_owned(),
                yes(opening.on_hold),
            ]);
        }
    }
    table
}

const fn kind_words(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::GarageDoor => "garage door",
        _ => kind.name(),
    }
}

const fn origin_words(origin: SizeOrigin) -> &'static str {
    match origin {
        SizeOrigin::Plan => "plan",
        SizeOrigin::Job => "job",
        SizeOrigin::Assumed => "assumed",
    }
}

fn header_words(opening: &RoughOpening) -> String {
    match &opening.header {
        HeaderMember::None => "none".to_owned(),
        HeaderMember::Lumber { .. } | HeaderMember::Sip { .. } => {
            let name = opening.header.name();
            if opening.is_header_by_table() {
                format!("{name} ({})", opening.header_rule)
            } else {
                format!("{name} (not sized: engineer)")
            }
        }
        HeaderMember::Engineer => "not sized: engineer".to_owned(),
    }
}

/// Marks of the panels an opening is cut in; empty when it is framed between panels.
fn marks_at(
    wall: &PanelWall,
    opening: &str,
    building: &Building,
    panels: &[&FabricatedPanel],
) -> String {
    let here = panels.iter().filter(|panel| {
        building.walls.get(panel.wall).map(|it| &it.id) == Some(&wall.id)
            && panel.openings.iter().any(|it| it.id == opening)
    });
    here.map(|panel| panel.mark.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

fn plate_list(building: &Building, fabrication: &Fabrication) -> CsvTable {
    let mut table = CsvTable::new(&[
        "mark",
        "storey",
        "wall",
        "use",
        "section",
        "grade",
        "from (in)",
        "to (in)",
        "from and to (ft-in)",
        "length (in)",
        "length (ft-in)",
        "fitted",
        "cut out on site (in)",
        "cut out on site (ft-in)",
        "weight (lb)",
    ]);
    for plate in &fabrication.plates {
        let wall = building.walls.get(plate.wall);
        let length = plate.length;
        table.row([
            plate.mark.clone(),
            wall.map_or_else(String::new, |wall| wall.storey.clone()),
            wall.map_or_else(String::new, |wall| wall.id.clone()),
            plate.plate.name().to_owned(),
            plate.section.clone(),
            plate.grade.clone(),
            CsvTable::inches(plate.from),
            CsvTable::inches(plate.to),
            format!("{} to {}", plate.from.feet_inches(), plate.to.feet_inches()),
            CsvTable::inches(length),
            length.feet_inches().to_string(),
            plate.fitted().name().to_owned(),
            cut_out(plate, CsvTable::inches),
            cut_out(plate, |it| it.feet_inches().to_string()),
            pounds(plate.weight_lb),
        ]);
    }
    table
}

/// `30 to 68`, along the run as `from` and `to` are; `; ` between two.
///
/// - `said`: how a length is written.
fn cut_out(plate: &WallPlate, said: fn(Length) -> String) -> String {
    let spans = plate.cut_out.iter();
    let spans: Vec<String> = spans
        .map(|[from, to]| format!("{} to {}", said(*from), said(*to)))
        .collect();
    spans.join("; ")
}

/// What ships loose beside lumber and plates: fixings by the piece, sealant by the foot.
fn loose_list(panels: &[&FabricatedPanel]) -> CsvTable {
    let mut table = CsvTable::new(&["panel", "item", "use", "quantity", "unit", "rule"]);
    let mut feet = FeetInTurn::default();
    for panel in panels {
        for fixing in &panel.fixings {
            table.row([
                panel.mark.as_str(),
                &fixing.item,
                &fixing.usage,
                &fixing.count.to_string(),
                "piece",
                &fixing.rule,
            ]);
        }
        if panel.sealant > Length::ZERO {
            let feet = feet.next(panel.sealant);
            let usage = "joints, plates and corners";
            table.row([&panel.mark, "sealant bead", usage, &feet, "ft", ""]);
        }
    }
    table
}

/// The same goods joint by joint.
fn joint_list(building: &Building, fabrication: &Fabrication) -> CsvTable {
    let mut table = CsvTable::new(&[
        "joint",
        "kind",
        "storey",
        "wall",
        "panels",
        "length (in)",
        "item",
        "use",
        "quantity",
        "unit",
        "rule",
    ]);
    let mut feet = FeetInTurn::default();
    for joint in &fabrication.joints {
        let wall = building.walls.get(joint.wall);
        let head = [
            joint.name.clone(),
            joint.kind.name().to_owned(),
            wall.map_or_else(String::new, |wall| wall.storey.clone()),
            wall.map_or_else(String::new, |wall| wall.id.clone()),
            joint.panels.join(" "),
            CsvTable::inches(joint.length),
        ];
        for fixing in &joint.fixings {
            let tail = [
                fixing.item.clone(),
                fixing.usage.clone(),
                fixing.count.to_string(),
                "piece".to_owned(),
                fixing.rule.clone(),
            ];
            table.row(head.clone().into_iter().chain(tail));
        }
        if joint.sealant > Length::ZERO {
            let feet = feet.next(joint.sealant);
            let tail = [
                "sealant bead",
                "joints, plates and corners",
                &feet,
                "ft",
                "",
            ];
            table.row(head.into_iter().chain(tail.map(str::to_owned)));
        }
    }
    table
}
