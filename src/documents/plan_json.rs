//! `plan.json`: the recovered plan, inches, in drawing coordinates.

use super::findings_json::{FindingRow, rows};
use super::nine;
use crate::drawing::Drawing;
use crate::findings::{Finding, base_name};
use crate::plan::{
    Alternative, Fitment, GridLine, Hinge, NotWall, Opening, Plan, Room, StatedDimension, Storey,
    Swing, Wall, not_walls,
};
use geo::Coord;
use serde::Serialize;

#[derive(Serialize)]
struct PlanFile<'a> {
    schema: &'static str,
    drawing: DrawingRow,
    storeys: Vec<StoreyRow<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    before_corrections: Vec<StoreyRow<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    written_on: Option<WrittenOn<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_walls: Vec<NotWallRow<'a>>,
    findings: Vec<FindingRow<'a>>,
}

/// The earlier plan on which the job was written, when it was carried to this one.
#[derive(Serialize)]
struct WrittenOn<'a> {
    storeys: Vec<StoreyRow<'a>>,
    before_corrections: Vec<StoreyRow<'a>>,
}

#[derive(Serialize)]
struct NotWallRow<'a> {
    file: &'a str,
    storey: Option<&'a str>,
    kind: &'static str,
    by: &'static str,
    at: [f64; 2],
    bounds: [[f64; 2]; 2],
    sources: &'a [String],
}

#[derive(Serialize)]
struct DrawingRow {
    unit: &'static str,
    inches_per_unit: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct StoreyRow<'a> {
    id: &'a str,
    name: &'a str,
    file: &'a str,
    to_building: ToBuildingRow,
    outline: Vec<[f64; 2]>,
    walls: Vec<WallRow<'a>>,
    openings: Vec<OpeningRow<'a>>,
    rooms: Vec<RoomRow<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    grid: Vec<GridRow<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fitments: Vec<FitmentRow<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    dimensions: Vec<DimensionRow<'a>>,
}

#[derive(Serialize)]
struct DimensionRow<'a> {
    handle: &'a str,
    from: [f64; 2],
    to: [f64; 2],
    along: [f64; 2],
    written: f64,
}

#[derive(Serialize)]
struct FitmentRow<'a> {
    kind: &'static str,
    wall: &'a str,
    from: [f64; 2],
    to: [f64; 2],
    label: &'a str,
    sources: &'a [String],
}

#[derive(Serialize)]
struct GridRow<'a> {
    name: &'a str,
    start: [f64; 2],
    end: [f64; 2],
    sources: &'a [String],
}

#[derive(Serialize)]
struct ToBuildingRow {
    #[serde(rename = "move")]
    shift: [f64; 2],
    turn_deg: f64,
    floor: f64,
}

#[derive(Serialize)]
struct WallRow<'a> {
    id: &'a str,
    exterior: bool,
    start: [f64; 2],
    end: [f64; 2],
    thickness: f64,
    layers: Vec<LayerRow>,
    sources: &'a [String],
    confidence: f64,
    alternatives: Vec<AlternativeRow>,
}

#[derive(Serialize)]
struct AlternativeRow {
    is: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    layer: Option<usize>,
    confidence: f64,
}

#[derive(Serialize)]
struct LayerRow {
    thickness: f64,
    structural: bool,
}

#[derive(Serialize)]
struct OpeningRow<'a> {
    id: &'a str,
    wall: &'a str,
    kind: &'static str,
    centre: [f64; 2],
    near: f64,
    width: f64,
    tag: Option<&'a str>,
    height: Option<f64>,
    sill: Option<f64>,
    head: Option<f64>,
    leaf: Option<f64>,
    rough: Option<[f64; 2]>,
    hinge: Option<&'static str>,
    swing: Option<&'static str>,
    sources: &'a [String],
    confidence: f64,
    alternatives: Vec<AlternativeRow>,
}

#[derive(Serialize)]
struct RoomRow<'a> {
    id: &'a str,
    name: &'a str,
    outline: Vec<[f64; 2]>,
    area_sq_ft: f64,
    sources: &'a [String],
    confidence: f64,
    alternatives: Vec<AlternativeRow>,
}

/// The plan, what its drawings show besides, and its findings as JSON text.
#[must_use]
pub fn plan_json(plan: &Plan, drawings: &[Drawing], findings: &[Finding]) -> String {
    let not_walls = not_walls(drawings, plan);
    super::pretty(&PlanFile {
        schema: "panelwright.plan/1",
        drawing: DrawingRow {
            unit: plan.unit.name(),
            inches_per_unit: plan.inches_per_unit,
            confidence: nine(plan.unit_confidence),
        },
        storeys: plan.storeys.iter().map(storey).collect(),
        before_corrections: plan.before_corrections.iter().map(storey).collect(),
        written_on: plan.written_on.as_ref().map(|it| WrittenOn {
            storeys: it.as_issued.storeys.iter().map(storey).collect(),
            before_corrections: it.before_corrections.storeys.iter().map(storey).collect(),
        }),
        not_walls: not_walls.iter().map(not_wall).collect(),
        findings: rows(findings),
    })
}

fn point(p: &Coord<f64>) -> [f64; 2] {
    [nine(p.x), nine(p.y)]
}

fn storey(storey: &Storey) -> StoreyRow<'_> {
    StoreyRow {
        id: &storey.id,
        name: &storey.name,
        file: base_name(&storey.file),
        to_building: ToBuildingRow {
            shift: storey.to_building.shift.map(nine),
            turn_deg: storey.to_building.turn_deg,
            floor: nine(storey.to_building.floor),
        },
        outline: storey.outline.iter().map(point).collect(),
        walls: storey.walls.iter().map(wall).collect(),
        openings: storey.openings.iter().map(opening).collect(),
        rooms: storey.rooms.iter().map(room).collect(),
        grid: storey.grid.iter().map(grid_line).collect(),
        fitments: storey.fitments.iter().map(fitment).collect(),
        dimensions: storey.dimensions.iter().map(dimension).collect(),
    }
}

fn dimension(it: &StatedDimension) -> DimensionRow<'_> {
    DimensionRow {
        handle: &it.handle,
        from: point(&it.from),
        to: point(&it.to),
        along: point(&it.along),
        written: nine(it.written),
    }
}

fn wall(wall: &Wall) -> WallRow<'_> {
    WallRow {
        id: &wall.id,
        exterior: wall.is_exterior,
        start: point(&wall.start),
        end: point(&wall.end),
        thickness: nine(wall.thickness),
        layers: wall
            .layers
            .iter()
            .map(|layer| LayerRow {
                thickness: nine(layer.thickness),
                structural: layer.is_structural,
            })
            .collect(),
        sources: &wall.sources,
        confidence: wall.confidence,
        alternatives: alternatives(&wall.alternatives),
    }
}

fn alternatives(list: &[Alternative]) -> Vec<AlternativeRow> {
    let rows = list.iter().map(|it| AlternativeRow {
        is: it.is,
        layer: it.layer,
        confidence: nine(it.confidence),
    });
    rows.collect()
}

fn opening(opening: &Opening) -> OpeningRow<'_> {
    OpeningRow {
        id: &opening.id,
        wall: &opening.wall,
        kind: opening.kind.name(),
        centre: point(&opening.centre),
        near: nine(opening.near),
        width: nine(opening.width),
        tag: opening.tag.as_deref(),
        height: opening.height.map(nine),
        sill: opening.sill.map(nine),
        head: opening.head.map(nine),
        leaf: opening.leaf.map(nine),
        rough: opening.rough.map(|size| size.map(nine)),
        hinge: opening.hinge.map(|hinge| match hinge {
            Hinge::Start => "start",
            Hinge::End => "end",
        }),
        swing: opening.swing.map(|swing| match swing {
            Swing::In => "in",
            Swing::Out => "out",
        }),
        sources: &opening.sources,
        confidence: opening.confidence,
        alternatives: alternatives(&opening.alternatives),
    }
}

fn grid_line(line: &GridLine) -> GridRow<'_> {
    GridRow {
        name: &line.name,
        start: point(&line.start),
        end: point(&line.end),
        sources: &line.sources,
    }
}

fn fitment(it: &Fitment) -> FitmentRow<'_> {
    FitmentRow {
        kind: it.kind.name(),
        wall: &it.wall,
        from: point(&it.from),
        to: point(&it.to),
        label: &it.label,
        sources: &it.sources,
    }
}

fn not_wall<'a>(it: &'a NotWall<'a>) -> NotWallRow<'a> {
    NotWallRow {
        file: base_name(it.file),
        storey: it.storey,
        kind: it.thing.kind.name(),
        by: if it.thing.is_named { "name" } else { "shape" },
        at: point(&it.thing.at),
        bounds: [point(&it.thing.bounds[0]), point(&it.thing.bounds[1])],
        sources: &it.thing.sources,
    }
}

fn room(room: &Room) -> RoomRow<'_> {
    RoomRow {
        id: &room.id,
        name: &room.name,
        outline: room.outline.iter().map(point).collect(),
        area_sq_ft: nine(room.area_sq_ft),
        sources: &room.sources,
        confidence: nine(room.confidence),
        alternatives: alternatives(&room.alternatives),
    }
}
