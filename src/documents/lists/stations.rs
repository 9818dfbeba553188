//! Lists of the stations after the press: saw, specials, framing, load, erection.

use super::{assembly_of, pounds, yes};
use crate::building::Building;
use crate::documents::csv_table::CsvTable;
use crate::documents::outline_dxf::outline_path;
use crate::fabrication::{EdgeContour, EdgeJoint, FabricatedPanel, Fitted, Lumber};
use crate::geometry::ShopRect;
use crate::loads::{Bundle, LoadPlan};
use crate::rules::{ChaseMade, CornerTreatment, PlantRules};
use crate::units::Length;
use std::collections::BTreeMap;

/// Pieces that are alike: use, section, grade, length, both end cuts in words.
type Alike<'a> = (&'a str, &'a str, &'a str, Length, String);

/// The framing package of each panel: what the plant fits into it, equal pieces in one row, in the order of its sheet.
pub(super) fn framing_list(panels: &[&FabricatedPanel]) -> CsvTable {
    let mut table = CsvTable::new(&[
        "erection",
        "panel",
        "hold",
        "bundle",
        "use",
        "section",
        "grade",
        "length (in)",
        "length (ft-in)",
        "end cuts",
        "quantity",
        "marks",
        "weight (lb)",
    ]);
    for panel in panels {
        let mut alike: Vec<(Alike<'_>, Vec<&Lumber>)> = Vec::new();
        for it in panel.lumber.iter().filter(|it| it.fitted == Fitted::Plant) {
            let key = (
                it.usage.as_str(),
                it.section.as_str(),
                it.grade.as_str(),
                it.length,
                end_cuts(it),
            );
            match alike.iter_mut().find(|(known, _)| *known == key) {
                Some((_, pieces)) => pieces.push(it),
                None => alike.push((key, vec![it])),
            }
        }
        for ((usage, section, grade, length, cuts), pieces) in alike {
            let marks: Vec<&str> = pieces.iter().map(|it| it.mark.as_str()).collect();
            let weight = pieces.iter().fold(0.0, |sum, it| sum + it.weight_lb);
            table.row([
                panel.erection.to_string(),
                panel.mark.clone(),
                yes(panel.is_held()),
                format!("{}-F", panel.mark),
                usage.to_owned(),
                section.to_owned(),
                grade.to_owned(),
                CsvTable::inches(length),
                length.feet_inches().to_string(),
                cuts,
                pieces.len().to_string(),
                marks.join(" "),
                pounds(weight),
            ]);
        }
    }
    table
}

/// `square`, or the two ends with mitre and bevel in degrees: `26.565/0, 0/0`.
fn end_cuts(piece: &Lumber) -> String {
    let cuts = piece.end_cuts;
    if cuts.as_flattened().iter().all(|degrees| *degrees == 0.0) {
        return "square".to_owned();
    }
    let end = |[mitre, bevel]: [f64; 2]| {
        let number = |degrees| CsvTable::number(degrees, 3);
        format!("{}/{}", number(mitre), number(bevel))
    };
    cuts.map(end).join(", ")
}

/// What the saw does to each panel that may be cut, in cutting order.
pub(super) fn saw_list(panels: &[&FabricatedPanel], rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "order",
        "mark",
        "revision",
        "assembly",
        "face up",
        "width (in)",
        "height (in)",
        "size (ft-in)",
        "holes",
        "bevelled edges",
        "sloped edges",
        "corners by hand",
        "recessed edges",
        "chases to make",
        "special",
        "outline file",
    ]);
    let released = panels.iter().filter(|panel| !panel.is_held());
    for (index, panel) in released.enumerate() {
        let count = |is_so: fn(&&crate::fabrication::SkinEdge) -> bool| {
            panel.edges.iter().filter(is_so).count().to_string()
        };
        let by_hand = panel.corners_by_hand(&rules.saw);
        let by_hand: usize = by_hand.iter().map(|it| it.count).sum();
        let chases = match rules.chases.made {
            ChaseMade::Core => 0,
            ChaseMade::Panel => panel.chases.len(),
        };
        table.row([
            (index + 1).to_string(),
            panel.mark.clone(),
            panel.revision.clone(),
            assembly_of(panel, rules).map_or_else(String::new, |it| it.name.clone()),
            panel.face_up.name().to_owned(),
            CsvTable::inches(panel.width),
            CsvTable::inches(panel.height),
            CsvTable::size(panel.width, panel.height),
            panel.outer_skin.holes.len().to_string(),
            count(|edge| edge.bevel_deg != 0.0),
            count(|edge| slope(edge).is_some()),
            by_hand.to_string(),
            count(|edge| edge.recess > Length::ZERO),
            chases.to_string(),
            yes(!out_of_the_run(panel).is_empty()),
            outline_path(panel),
        ]);
    }
    table
}

/// Degrees of an edge of the outline from level, when it is neither level nor upright.
fn slope(edge: &crate::fabrication::SkinEdge) -> Option<f64> {
    let [dx, dy] = [edge.to.x - edge.from.x, edge.to.y - edge.from.y].map(Length::abs);
    let is_sloped = dx > Length::ZERO && dy > Length::ZERO;
    is_sloped.then(|| dy.to_inches().atan2(dx.to_inches()).to_degrees())
}

struct Special {
    what: &'static str,
    place: String,
    degrees: Option<f64>,
    length: Option<Length>,
    count: Option<usize>,
    radius: Option<Length>,
}

/// What is not the ordinary run of saw, scoop and framing: header and sill panels, make-up, mirror images, bevels, slopes, pockets and
/// boxes, bridges, mitred lumber. Corners finished by hand are in every opening, and have a column of their own.
fn out_of_the_run(panel: &FabricatedPanel) -> Vec<Special> {
    let mut found = Vec::new();
    let mut add = |what, place: String, degrees, length| {
        found.push(Special {
            what,
            place,
            degrees,
            length,
            count: None,
            radius: None,
        });
    };
    if panel.kind_name() != "wall" {
        let length = Some(panel.width.max(panel.height));
        add("kind of panel", panel.kind_name().to_owned(), None, length);
    }
    if panel.make_up > Length::ZERO {
        let end = "right end as seen from outside".to_owned();
        add(
            "make-up, left long to be trimmed on site",
            end,
            None,
            Some(panel.make_up),
        );
    }
    if let Some(other) = &panel.mirror_of {
        add("mirror image of another panel", other.clone(), None, None);
    }
    for edge in &panel.edges {
        let [dx, dy] = [edge.to.x - edge.from.x, edge.to.y - edge.from.y].map(Length::to_inches);
        let long = Length::nearest(dx.hypot(dy), Length::nanometres(1));
        let contour = match &edge.contour {
            EdgeContour::Outline => "outline",
            EdgeContour::Opening(id) => id,
        };
        let [x0, y0, x1, y1] = [edge.from.x, edge.from.y, edge.to.x, edge.to.y];
        let place = format!("{contour}, from {x0}, {y0} to {x1}, {y1}");
        if edge.bevel_deg != 0.0 {
            add("bevelled edge", place.clone(), Some(edge.bevel_deg), long);
        }
        if let Some(degrees) = slope(edge) {
            add("sloped edge", place, Some(degrees), long);
        }
    }
    for cut in &panel.inner_cuts {
        let [what, depth] = [&cut.what, &cut.depth.to_string()];
        let ShopRect { x0, y0, x1, y1 } = cut.rect;
        let place = format!("{what}, from {x0}, {y0} to {x1}, {y1}, {depth} deep");
        add("cut from the inner face alone", place, None, None);
    }
    for piece in &panel.lumber {
        if piece.usage.starts_with("bridge") {
            let place = format!("{}, {}", piece.mark, piece.section);
            add("bridge, cut out on site", place, None, Some(piece.length));
        }
        let cuts = piece.end_cuts.as_flattened();
        let most = cuts.iter().fold(0.0, |most: f64, it| most.max(it.abs()));
        if most > 0.0 {
            let place = format!("{}, {}", piece.mark, piece.usage);
            add(
                "lumber with a slanting end",
                place,
                Some(most),
                Some(piece.length),
            );
        }
    }
    found
}

/// Inside corners that the saw leaves to the hand, skin by skin.
fn by_hand(panel: &FabricatedPanel, rules: &PlantRules) -> impl Iterator<Item = Special> {
    let (what, radius) = match rules.saw.corners {
        CornerTreatment::ToolRadius => ("square corners by hand", Some(rules.saw.tool_radius)),
        CornerTreatment::Square | CornerTreatment::StopShort => {
            ("finish corners by hand: the saw stops short", None)
        }
    };
    let corners = panel.corners_by_hand(&rules.saw);
    corners.into_iter().map(move |it| Special {
        what,
        place: format!(
            "{} skin, {}",
            it.face.name(),
            it.place.as_deref().unwrap_or("outline")
        ),
        degrees: None,
        length: None,
        count: Some(it.count),
        radius,
    })
}

/// Every special of every panel, and its corners by hand.
pub(super) fn special_list(panels: &[&FabricatedPanel], rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "erection",
        "panel",
        "hold",
        "special",
        "where",
        "angle (deg)",
        "length (in)",
        "length (ft-in)",
        "quantity",
        "radius left (in)",
    ]);
    for panel in panels {
        for it in out_of_the_run(panel)
            .into_iter()
            .chain(by_hand(panel, rules))
        {
            table.row([
                panel.erection.to_string(),
                panel.mark.clone(),
                yes(panel.is_held()),
                it.what.to_owned(),
                it.place,
                it.degrees
                    .map_or_else(String::new, |it| CsvTable::number(it, 3)),
                it.length.map_or_else(String::new, CsvTable::inches),
                it.length
                    .map_or_else(String::new, |it| it.feet_inches().to_string()),
                it.count.map_or_else(String::new, |it| it.to_string()),
                it.radius.map_or_else(String::new, CsvTable::inches),
            ]);
        }
    }
    table
}

/// Every piece of lumber and plate in its bundle.
pub(super) fn bundle_list(building: &Building, loads: &LoadPlan) -> CsvTable {
    let mut table = CsvTable::new(&[
        "bundle",
        "kind",
        "panel",
        "storey",
        "wall",
        "mark",
        "use",
        "section",
        "length (in)",
        "length (ft-in)",
        "weight (lb)",
        "truck",
    ]);
    for bundle in &loads.bundles {
        let wall = building.walls.get(bundle.wall);
        for piece in &bundle.pieces {
            table.row([
                bundle.name.clone(),
                bundle.kind.name().to_owned(),
                bundle.panel.clone().unwrap_or_default(),
                wall.map_or_else(String::new, |it| it.storey.clone()),
                wall.map_or_else(String::new, |it| it.id.clone()),
                piece.mark.clone(),
                piece.usage.clone(),
                piece.section.clone(),
                CsvTable::inches(piece.length),
                piece.length.feet_inches().to_string(),
                pounds(piece.weight_lb),
                if bundle.kind.is_shipped() { "1" } else { "" }.to_owned(),
            ]);
        }
    }
    table
}

/// The order in which panels are set, with where each lies on which truck and what goes with it.
pub(super) fn erection_list(
    building: &Building,
    panels: &[&FabricatedPanel],
    loads: &LoadPlan,
) -> CsvTable {
    let mut table = CsvTable::new(&[
        "erection",
        "mark",
        "revision",
        "hold",
        "storey",
        "wall",
        "kind",
        "width (in)",
        "height (in)",
        "size (ft-in)",
        "trim on site, up to (in)",
        "weight (lb)",
        "lift",
        "pick points",
        "joined to",
        "loose lumber",
        "truck",
        "stack",
        "layer",
        "beside",
    ]);
    let mut rides: BTreeMap<&str, [String; 4]> = BTreeMap::new();
    for truck in &loads.trucks {
        for stack in &truck.stacks {
            for it in &stack.panels {
                let beside = if it.column > 0 {
                    format!("{} of {} from the left", it.column, stack.columns)
                } else {
                    String::new()
                };
                let [number, layer] = [truck.number, it.layer].map(|it| it.to_string());
                let place = [number, stack.name.clone(), layer, beside];
                rides.insert(it.mark.as_str(), place);
            }
        }
    }
    let loose = |mark: &str| {
        let own = |it: &&Bundle| it.kind.is_shipped() && it.panel.as_deref() == Some(mark);
        let found = loads.bundles.iter().find(own);
        found.map_or_else(String::new, |it| it.name.clone())
    };
    for panel in panels {
        let wall = building.walls.get(panel.wall);
        let joined = panel
            .edges
            .iter()
            .filter(|it| it.joint == EdgeJoint::Spline);
        let joined: Vec<&str> = joined.filter_map(|it| it.with.as_deref()).collect();
        let picks = panel.pick_points.iter();
        let picks: Vec<String> = picks
            .map(|at| format!("{} right, {} up", at.x, at.y))
            .collect();
        let [truck, stack, layer, beside] = rides.remove(panel.mark.as_str()).unwrap_or_default();
        table.row([
            panel.erection.to_string(),
            panel.mark.clone(),
            panel.revision.clone(),
            yes(panel.is_held()),
            wall.map_or_else(String::new, |it| it.storey.clone()),
            wall.map_or_else(String::new, |it| it.id.clone()),
            panel.kind_name().to_owned(),
            CsvTable::inches(panel.width),
            CsvTable::inches(panel.height),
            CsvTable::size(panel.width, panel.height),
            if panel.make_up > Length::ZERO {
                CsvTable::inches(panel.make_up)
            } else {
                String::new()
            },
            pounds(panel.weight_lb),
            panel.lift.name().to_owned(),
            picks.join("; "),
            joined.join(" "),
            loose(&panel.mark),
            truck,
            stack,
            layer,
            beside,
        ]);
    }
    table
}
