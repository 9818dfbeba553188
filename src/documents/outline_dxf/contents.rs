//! What stands in a panel's outline file, before it is spelt as DXF.

use super::facts::{self, SawAxes};
use super::marking::mark_on_face;
use super::notes;
use crate::fabrication::{FabricatedPanel, PartFace, SkinEdge};
use crate::geometry::{ShopPoint, ShopRing};
use crate::rules::{ChaseMade, LayerNames, PlantRules, SawUnit, SawVersion};
use crate::units::Length;

/// A file for the saw as data.
pub(super) struct SawDrawing {
    pub(super) version: SawVersion,
    pub(super) unit: SawUnit,
    /// All layers of the file, with their colour by index.
    pub(super) layers: Vec<(String, u8)>,
    pub(super) entities: Vec<SawEntity>,
}

/// One entity.
pub(super) struct SawEntity {
    pub(super) layer: String,
    pub(super) shape: SawShape,
    /// Written as data of the application; empty writes none.
    pub(super) facts: Vec<String>,
}

/// What an entity is.
pub(super) enum SawShape {
    /// A closed polyline.
    Contour(Vec<ShopPoint>),
    /// A line.
    Line(ShopPoint, ShopPoint),
    /// Level text by its lower left corner.
    Text {
        at: ShopPoint,
        height: Length,
        words: String,
    },
}

/// Adds entities on the layers of one file; each layer of a held panel begins with `HOLD-`.
struct Sheet<'a> {
    names: &'a LayerNames,
    prefix: &'static str,
    entities: Vec<SawEntity>,
}

impl Sheet<'_> {
    fn add(&mut self, layer: &str, shape: SawShape, facts: Vec<String>) {
        self.entities.push(SawEntity {
            layer: format!("{}{layer}", self.prefix),
            shape,
            facts,
        });
    }
}

/// Colours by index, so that a controller or a viewer shows the layers apart: white, blue, grey, green, cyan, magenta, yellow,
/// light grey.
pub(super) const COLOURS: [u8; 8] = [7, 5, 8, 3, 4, 6, 2, 9];

/// Contours, lines, marks and notes of one panel.
pub(super) fn saw_drawing(panel: &FabricatedPanel, rules: &PlantRules) -> SawDrawing {
    let names = &rules.saw.layers;
    let prefix = if panel.is_held() { "HOLD-" } else { "" };
    let axes = SawAxes::of(panel, rules);
    let [up, down] = [panel.face_up, panel.face_up.other()].map(|face| panel.face(face));
    let mut sheet = Sheet {
        names,
        prefix,
        entities: Vec::new(),
    };
    add_faces(&mut sheet, panel, rules, &axes, (up, down));
    add_core(&mut sheet, panel, &axes);
    add_slots(&mut sheet, panel, &axes);
    for chase in &panel.chases {
        let line = SawShape::Line(axes.point(chase.from), axes.point(chase.to));
        let fact = format!("chase diameter={}", axes.number(chase.diameter));
        let made = format!(
            "made={}",
            match rules.chases.made {
                ChaseMade::Core => "core",
                ChaseMade::Panel => "panel",
            }
        );
        let facts = vec!["role=chase".to_owned(), fact, made];
        sheet.add(&names.chase, line, facts);
    }
    if let Some(text) = mark_on_face(panel, &axes, up) {
        sheet.add(&names.mark, text, Vec::new());
    }
    for text in notes::note_texts(panel, rules, &axes) {
        sheet.add(&names.note, text, Vec::new());
    }
    let Sheet { entities, .. } = sheet;
    SawDrawing {
        version: rules.saw.version,
        unit: rules.saw.unit,
        layers: layer_names(names)
            .into_iter()
            .zip(COLOURS)
            .map(|(name, colour)| (format!("{prefix}{name}"), colour))
            .collect(),
        entities,
    }
}

pub(super) fn layer_names(names: &LayerNames) -> [&str; 8] {
    [
        &names.outline,
        &names.opening,
        &names.under,
        &names.recess,
        &names.slot,
        &names.chase,
        &names.mark,
        &names.note,
    ]
}

/// Both skins: the upper one whole, the lower one where it differs. A lower contour that is not written equals the upper one.
fn add_faces(
    sheet: &mut Sheet<'_>,
    panel: &FabricatedPanel,
    rules: &PlantRules,
    axes: &SawAxes,
    (up, down): (&PartFace, &PartFace),
) {
    let same_outline = up.outline == down.outline;
    let same_holes = up.holes == down.holes;
    let outline_facts = facts::outline_facts(panel, rules, axes, same_outline, same_holes);
    let names = sheet.names;
    sheet.add(
        &names.outline,
        SawShape::Contour(axes.ring(&up.outline)),
        outline_facts,
    );
    for hole in &up.holes {
        let facts = facts::hole_facts(panel, rules, axes, hole);
        sheet.add(&names.opening, SawShape::Contour(axes.ring(hole)), facts);
    }
    let face = axes.face_down().name();
    let under = |contour: &str| {
        vec![
            "role=under".to_owned(),
            format!("face={face}"),
            format!("contour={contour}"),
        ]
    };
    let corners = |ring| facts::corner_facts(rules, axes, ring);
    if !same_outline {
        let contour = SawShape::Contour(axes.ring(&down.outline));
        let mut facts = under("outline");
        facts.extend(corners(&down.outline));
        sheet.add(&names.under, contour, facts);
    }
    if !same_holes {
        for hole in &down.holes {
            let contour = SawShape::Contour(axes.ring(hole));
            let mut facts = under("hole");
            facts.extend(corners(hole));
            facts.extend(facts::cut_facts(panel, axes, hole));
            sheet.add(&names.under, contour, facts);
        }
    }
}

/// The foam's own contours.
fn add_core(sheet: &mut Sheet<'_>, panel: &FabricatedPanel, axes: &SawAxes) {
    let layer = &sheet.names.recess;
    for (number, piece) in panel.core_pieces().enumerate() {
        let foam = |contour: &str| {
            vec![
                "role=recess".to_owned(),
                format!("foam={}", number + 1),
                format!("contour={contour}"),
            ]
        };
        let outline = SawShape::Contour(axes.ring(&piece.outline));
        sheet.add(layer, outline, foam("outline"));
        for hole in &piece.holes {
            sheet.add(layer, SawShape::Contour(axes.ring(hole)), foam("hole"));
        }
    }
}

/// One centre line for all slots that lie over each other.
fn add_slots(sheet: &mut Sheet<'_>, panel: &FabricatedPanel, axes: &SawAxes) {
    let mut lines: Vec<(ShopPoint, ShopPoint, Vec<String>)> = Vec::new();
    for edge in &panel.edges {
        for slot in &edge.slots {
            let Some((from, to)) = centre_line(edge, slot.width.half()) else {
                continue;
            };
            let fact = format!(
                "slot={}; depth={}; width={}",
                slot.face.name(),
                axes.number(slot.depth),
                axes.number(slot.width)
            );
            match lines.iter_mut().find(|line| (line.0, line.1) == (from, to)) {
                Some(line) => line.2.push(fact),
                None => lines.push((from, to, vec!["role=slot".to_owned(), fact])),
            }
        }
    }
    let layer = &sheet.names.slot;
    for (from, to, facts) in lines {
        sheet.add(
            layer,
            SawShape::Line(axes.point(from), axes.point(to)),
            facts,
        );
    }
}

/// The edge moved into the panel; `None` for an edge that is neither upright nor level, where no surface spline goes.
fn centre_line(edge: &SkinEdge, inwards: Length) -> Option<(ShopPoint, ShopPoint)> {
    // Contours run with the panel on their left: inwards is to the left of the edge.
    let (dx, dy) = if edge.from.x == edge.to.x {
        let up = edge.to.y > edge.from.y;
        (if up { -inwards } else { inwards }, Length::ZERO)
    } else if edge.from.y == edge.to.y {
        let right = edge.to.x > edge.from.x;
        (Length::ZERO, if right { inwards } else { -inwards })
    } else {
        return None;
    };
    Some((edge.from.moved(dx, dy), edge.to.moved(dx, dy)))
}

/// The ring without points that repeat the one before: no side of length zero leaves the program.
pub(super) fn without_repeats(ring: &ShopRing) -> Vec<ShopPoint> {
    let mut points = ring.0.clone();
    points.dedup();
    while points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    points
}
