//! `panels.json`: every wall, panel and part as data, inches, nine decimals.
//!
//! Additions to a panel are documented in `docs/panels.md`.

mod joints;
mod plates;

use super::json_text::json_text;
use super::{IssueFacts, nine};
use crate::building::{Building, PanelWall, RoughOpening};
use crate::fabrication::{
    Chase, EdgeContour, FabricatedPanel, Fabrication, Lumber, PanelOpening, PartFace, SkinEdge,
};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::layout::{Layout, RunPiece, WallEnd, WallLayout};
use crate::rules::{Assembly, Face, Job, PanelStatus, PlantRules};
use crate::stock::StockPlan;
use crate::units::{Erection, Length};
use joints::{FixingRow, JointRow, fixing_row, joint_row};
use plates::{PlateRow, plate_row};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeSet;

type Pair = [f64; 2];

#[derive(Serialize)]
struct PanelsFile<'a> {
    schema: &'static str,
    priced_by: String,
    walls: Vec<WallRow<'a>>,
    panels: Vec<PanelRow<'a>>,
    joints: Vec<JointRow<'a>>,
    retired: &'a BTreeSet<String>,
}

#[derive(Serialize)]
struct WallRow<'a> {
    id: &'a str,
    name: &'a str,
    storey: &'a str,
    role: &'static str,
    assembly: &'a str,
    thickness: f64,
    origin: [f64; 3],
    along: Pair,
    length: f64,
    #[serde(skip_serializing_if = "is_nothing")]
    skin_drop: f64,
    base: Vec<Pair>,
    top: Vec<Pair>,
    left_end: &'static str,
    right_end: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moved: Vec<Value>,
    corners: Pair,
    openings: Vec<[f64; 4]>,
    tees: Vec<Pair>,
    run: Vec<RunRow<'a>>,
    plates: Vec<PlateRow<'a>>,
    cost_cents: i64,
    bound_cents: i64,
    alternatives: Vec<AlternativeRow>,
}

/// A layout that truly differs: its cost, and where its joints lie.
#[derive(Serialize)]
struct AlternativeRow {
    cost_cents: i64,
    joints: Vec<f64>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum RunRow<'a> {
    Panel {
        panel: &'a str,
        from: f64,
        to: f64,
    },
    Gap {
        gap: f64,
    },
    Opening {
        opening: &'a str,
        from: f64,
        to: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        drawn: Option<Pair>,
    },
}

#[derive(Serialize)]
struct PanelRow<'a> {
    mark: &'a str,
    revision: &'a str,
    status: &'static str,
    hold: bool,
    holds: Vec<HoldRow<'a>>,
    storey: &'a str,
    wall: &'a str,
    kind: &'static str,
    assembly: &'a str,
    layers: String,
    thickness: f64,
    width: f64,
    height: f64,
    #[serde(skip_serializing_if = "is_nothing")]
    make_up: f64,
    #[serde(flatten)]
    erection: Erection,
    blank: Option<&'a str>,
    face_up: &'static str,
    same_as: Option<&'a str>,
    mirror_of: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bare: Option<&'static str>,
    outer_skin: FaceRow,
    inner_skin: FaceRow,
    inner_cuts: Vec<InnerCutRow<'a>>,
    core: FaceRow,
    core_others: Vec<FaceRow>,
    openings: Vec<OpeningRow<'a>>,
    edges: Vec<EdgeRow<'a>>,
    lumber: Vec<LumberRow<'a>>,
    chases: Vec<ChaseRow>,
    fixings: Vec<FixingRow<'a>>,
    sealant_in: f64,
    weight_lb: f64,
    centre_of_gravity: Pair,
    pick_points: Vec<Pair>,
    lift: &'static str,
    placed: PlacedRow,
    reasons: Vec<ReasonRow<'a>>,
    notes: &'a [String],
    sources: &'a [String],
}

/// Why the panel is as it is, for `panelwright explain`.
#[derive(Serialize)]
struct ReasonRow<'a> {
    about: &'a str,
    rule: &'a str,
    words: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    lead: Option<&'a str>,
}

#[derive(Serialize)]
struct HoldRow<'a> {
    code: &'a str,
    reason: &'a str,
}

#[derive(Serialize)]
struct FaceRow {
    outline: Vec<Pair>,
    holes: Vec<Vec<Pair>>,
}

#[derive(Serialize)]
struct InnerCutRow<'a> {
    what: &'a str,
    rect: [f64; 4],
    depth: f64,
}

#[derive(Serialize)]
struct OpeningRow<'a> {
    id: &'a str,
    rough: [f64; 4],
    skin_hole: [f64; 4],
}

#[derive(Serialize)]
struct EdgeRow<'a> {
    contour: &'a str,
    from: Pair,
    to: Pair,
    joint: &'static str,
    recess: f64,
    slots: Vec<SlotRow>,
    bevel_deg: f64,
    with: Option<&'a str>,
}

#[derive(Serialize)]
struct SlotRow {
    face: &'static str,
    depth: f64,
    width: f64,
}

#[derive(Serialize)]
struct LumberRow<'a> {
    mark: &'a str,
    #[serde(rename = "use")]
    usage: &'a str,
    section: &'a str,
    grade: &'a str,
    length: f64,
    at: Pair,
    along: Pair,
    rect: [f64; 4],
    depth: Pair,
    end_cuts: [CutRow; 2],
    edge: Option<usize>,
    fitted: &'static str,
    weight_lb: f64,
    rule: &'a str,
}

#[derive(Serialize)]
struct CutRow {
    mitre: f64,
    bevel: f64,
}

#[derive(Serialize)]
struct ChaseRow {
    line: [Pair; 2],
    diameter: f64,
    rule: &'static str,
}

#[derive(Serialize)]
struct PlacedRow {
    origin: [f64; 3],
    x: [f64; 3],
    y: [f64; 3],
}

/// What `panels.json` says of panels beyond their making.
#[derive(Clone, Copy, Debug)]
pub struct PanelsFacts<'a> {
    /// How far panels are.
    pub job: &'a Job,
    /// What the issue takes over from the one before.
    pub issue: &'a IssueFacts,
    /// What panels are cut from; empty before that is planned.
    pub stock: &'a StockPlan,
}

/// The text of `panels.json`.
///
/// - Every length reads back to the same whole nanometre.
/// - A name that refers to something that does not exist is written empty: `verify` then says so.
#[must_use]
pub fn panels_json(
    building: &Building,
    layout: &Layout,
    fabrication: &Fabrication,
    rules: &PlantRules,
    facts: &PanelsFacts<'_>,
) -> String {
    json_text(&PanelsFile {
        schema: "panelwright.panels/1",
        priced_by: rules.cost.source(),
        walls: layout
            .walls
            .iter()
            .filter_map(|run| {
                let wall = building.walls.get(run.wall)?;
                Some(wall_row(building, layout, fabrication, rules, (wall, run)))
            })
            .collect(),
        panels: fabrication
            .panels
            .iter()
            .map(|panel| panel_row(building, layout, panel, (rules, facts)))
            .collect(),
        joints: fabrication
            .joints
            .iter()
            .map(|joint| joint_row(building, joint))
            .collect(),
        retired: &facts.issue.retired,
    })
}

/// What most panels do not have is not written.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks by reference")]
fn is_nothing(inches: &f64) -> bool {
    *inches == 0.0
}

fn inches(length: Length) -> f64 {
    nine(length.to_inches())
}

fn pair(point: ShopPoint) -> Pair {
    [inches(point.x), inches(point.y)]
}

fn sides(rect: &ShopRect) -> [f64; 4] {
    [rect.x0, rect.y0, rect.x1, rect.y1].map(inches)
}

fn ring(ring: &ShopRing) -> Vec<Pair> {
    ring.0.iter().map(|point| pair(*point)).collect()
}

fn wall_row<'a>(
    building: &'a Building,
    layout: &'a Layout,
    fabrication: &'a Fabrication,
    rules: &'a PlantRules,
    (wall, run): (&'a PanelWall, &'a WallLayout),
) -> WallRow<'a> {
    let start = wall.frame.point(run.from.to_inches(), 0.0);
    let floor = building
        .storeys
        .get(wall.storey_index)
        .map_or(Length::ZERO, |storey| storey.floor);
    let assembly = rules.assemblies.get(wall.assembly);
    let plates = fabrication.plates.iter();
    WallRow {
        id: &wall.id,
        name: &wall.name,
        storey: &wall.storey,
        role: wall.role.name(),
        assembly: assembly.map_or("", |assembly| &assembly.name),
        thickness: assembly.map_or(0.0, |assembly| inches(assembly.thickness())),
        origin: [start.x, start.y, floor.to_inches()].map(nine),
        along: [wall.frame.along.x, wall.frame.along.y].map(nine),
        length: inches(run.length()),
        skin_drop: inches(wall.skin_drop),
        base: base_steps(wall, run),
        top: wall
            .profile
            .top_between(run.from, run.to)
            .into_iter()
            .map(|point| pair(point.moved(-run.from, Length::ZERO)))
            .collect(),
        left_end: end_name(run.left_end),
        right_end: end_name(run.right_end),
        moved: wall.openings.iter().filter_map(moved_row).collect(),
        corners: [Length::ZERO, wall.face_length].map(|at| inches(at - run.from)),
        openings: wall
            .openings
            .iter()
            .map(|it| [it.from - run.from, it.sill, it.to - run.from, it.head].map(inches))
            .collect(),
        tees: wall
            .tees
            .iter()
            .map(|it| [it.from, it.to].map(|at| inches(at - run.from)))
            .collect(),
        run: run
            .run
            .iter()
            .map(|piece| run_row(layout, (wall, run), piece))
            .collect(),
        plates: plates
            .filter(|plate| plate.wall == run.wall)
            .map(plate_row)
            .collect(),
        cost_cents: run.cost_cents,
        bound_cents: run.bound_cents,
        alternatives: run
            .alternatives
            .iter()
            .map(|(cost_cents, joints)| AlternativeRow {
                cost_cents: *cost_cents,
                joints: joints.iter().copied().map(inches).collect(),
            })
            .collect(),
    }
}

fn moved_row(opening: &RoughOpening) -> Option<Value> {
    let moved = opening.moved_over.as_ref()?;
    Some(json!({ "opening": opening.id, "by": inches(moved.by), "over": moved.over }))
}

/// Where each level of the base begins, run axes.
fn base_steps(wall: &PanelWall, run: &WallLayout) -> Vec<Pair> {
    let points = wall.profile.base_between(run.from, run.to);
    let level = |pair: &&[ShopPoint]| pair[0].y == pair[1].y;
    let levels = points.windows(2).filter(level);
    levels
        .map(|level| pair(level[0].moved(-run.from, Length::ZERO)))
        .collect()
}

const fn end_name(end: WallEnd) -> &'static str {
    match end {
        WallEnd::Through => "through",
        WallEnd::Butt => "butt",
        WallEnd::Mitre { .. } => "mitre",
        WallEnd::Filled { .. } => "filled",
        WallEnd::Free => "free",
    }
}

fn run_row<'a>(
    layout: &'a Layout,
    (wall, run): (&'a PanelWall, &WallLayout),
    piece: &RunPiece,
) -> RunRow<'a> {
    match *piece {
        RunPiece::Panel { panel, from, to } => RunRow::Panel {
            panel: layout.panels.get(panel).map_or("", |panel| &panel.mark),
            from: inches(from),
            to: inches(to),
        },
        RunPiece::Gap { from, to } => RunRow::Gap {
            gap: inches(to - from),
        },
        RunPiece::Opening { opening, from, to } => RunRow::Opening {
            opening: wall.openings.get(opening).map_or("", |opening| &opening.id),
            from: inches(from),
            to: inches(to),
            drawn: wall
                .openings
                .get(opening)
                .and_then(|opening| opening.drawn)
                .map(|drawn| drawn.map(|x| inches(x - run.from))),
        },
    }
}

fn panel_row<'a>(
    building: &'a Building,
    layout: &'a Layout,
    panel: &'a FabricatedPanel,
    (rules, facts): (&'a PlantRules, &PanelsFacts<'a>),
) -> PanelRow<'a> {
    let wall = building.walls.get(panel.wall);
    let assembly = rules.assemblies.get(panel.assembly);
    PanelRow {
        mark: &panel.mark,
        revision: &panel.revision,
        status: status(facts.job, &panel.mark).name(),
        hold: panel.is_held(),
        holds: panel
            .holds
            .iter()
            .map(|hold| HoldRow {
                code: &hold.code,
                reason: &hold.reason,
            })
            .collect(),
        storey: wall.map_or("", |wall| &wall.storey),
        wall: wall.map_or("", |wall| &wall.id),
        kind: panel.kind_name(),
        assembly: assembly.map_or("", |assembly| &assembly.name),
        layers: assembly.map_or_else(String::new, Assembly::layer_words),
        thickness: assembly.map_or(0.0, |assembly| inches(assembly.thickness())),
        width: inches(panel.width),
        height: inches(panel.height),
        make_up: inches(panel.make_up),
        erection: panel.erection,
        blank: facts
            .stock
            .blank_of(&panel.mark)
            .map(|it| it.sheet.name.as_str()),
        face_up: panel.face_up.name(),
        same_as: panel.same_as.as_deref(),
        mirror_of: panel.mirror_of.as_deref(),
        bare: assembly.and_then(|it| it.bare()).map(Face::name),
        outer_skin: face_row(&panel.outer_skin),
        inner_skin: face_row(&panel.inner_skin),
        inner_cuts: panel
            .inner_cuts
            .iter()
            .map(|cut| InnerCutRow {
                what: &cut.what,
                rect: sides(&cut.rect),
                depth: cut.depth.to_inches(),
            })
            .collect(),
        core: face_row(&panel.core),
        core_others: panel.core_others.iter().map(face_row).collect(),
        openings: panel.openings.iter().map(opening_row).collect(),
        edges: panel.edges.iter().map(edge_row).collect(),
        lumber: panel.lumber.iter().map(lumber_row).collect(),
        chases: panel.chases.iter().map(chase_row).collect(),
        fixings: panel.fixings.iter().map(fixing_row).collect(),
        sealant_in: inches(panel.sealant),
        weight_lb: nine(panel.weight_lb),
        centre_of_gravity: panel.centre_of_gravity.map(nine),
        pick_points: panel.pick_points.iter().map(|point| pair(*point)).collect(),
        lift: panel.lift.name(),
        placed: PlacedRow {
            origin: panel.placed.origin.map(nine),
            x: panel.placed.x.map(nine),
            y: panel.placed.y.map(nine),
        },
        reasons: layout
            .panels
            .get(panel.panel)
            .into_iter()
            .flat_map(|laid| &laid.reasons)
            .map(|reason| ReasonRow {
                about: &reason.about,
                rule: &reason.rule,
                words: &reason.words,
                lead: reason.lead.as_deref(),
            })
            .collect(),
        notes: &panel.notes,
        sources: &panel.sources,
    }
}

/// How far the job says a panel is; of several entries the last.
fn status(job: &Job, mark: &str) -> PanelStatus {
    let named = job.panels.iter().rfind(|panel| panel.mark == mark);
    named.map_or(PanelStatus::Open, |panel| panel.status)
}

fn face_row(face: &PartFace) -> FaceRow {
    FaceRow {
        outline: ring(&face.outline),
        holes: face.holes.iter().map(ring).collect(),
    }
}

fn opening_row(opening: &PanelOpening) -> OpeningRow<'_> {
    OpeningRow {
        id: &opening.id,
        rough: sides(&opening.rough),
        skin_hole: sides(&opening.skin_hole),
    }
}

fn edge_row(edge: &SkinEdge) -> EdgeRow<'_> {
    EdgeRow {
        contour: match &edge.contour {
            EdgeContour::Outline => "outline",
            EdgeContour::Opening(id) => id,
        },
        from: pair(edge.from),
        to: pair(edge.to),
        joint: edge.joint.name(),
        recess: inches(edge.recess),
        slots: edge
            .slots
            .iter()
            .map(|slot| SlotRow {
                face: slot.face.name(),
                depth: inches(slot.depth),
                width: inches(slot.width),
            })
            .collect(),
        bevel_deg: nine(edge.bevel_deg),
        with: edge.with.as_deref(),
    }
}

fn lumber_row(lumber: &Lumber) -> LumberRow<'_> {
    LumberRow {
        mark: &lumber.mark,
        usage: &lumber.usage,
        section: &lumber.section,
        grade: &lumber.grade,
        length: inches(lumber.length),
        at: [inches(lumber.rect.x0), inches(lumber.rect.y0)],
        along: if lumber.is_upright {
            [0.0, 1.0]
        } else {
            [1.0, 0.0]
        },
        rect: sides(&lumber.rect),
        depth: lumber.depth.map(inches),
        end_cuts: cuts(lumber.end_cuts),
        edge: lumber.edge,
        fitted: lumber.fitted.name(),
        weight_lb: nine(lumber.weight_lb),
        rule: &lumber.rule,
    }
}

fn cuts(ends: [[f64; 2]; 2]) -> [CutRow; 2] {
    ends.map(|[mitre, bevel]| CutRow {
        mitre: nine(mitre),
        bevel: nine(bevel),
    })
}

fn chase_row(chase: &Chase) -> ChaseRow {
    ChaseRow {
        line: [pair(chase.from), pair(chase.to)],
        diameter: inches(chase.diameter),
        rule: chase.rule,
    }
}
