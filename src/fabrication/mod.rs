//! Makes each panel's parts: skins, core, lumber, chases, fixings, weight.
//!
//! ```text
//!   Panel ──► recesses ──► outer skin, inner skin, core ──► lumber ──► chases ──► weight, picks ──► holds, twins
//! ```
//!
//! *Promises.* All contours are exact and counter-clockwise, holes clockwise, none crosses itself. Panel axes: x from the
//! left end as seen from outside, y up, origin at the lower left of the outer skin's bounding rectangle. Every part names
//! the rule that sized it and who fits it. A plate that crosses a joint belongs to the wall and is not here.
//!
//! *Does not do.* Structure: members are named by job or plant, never sized here.

mod brief;
mod by_hand;
mod chases;
pub mod codes;
mod dropped;
mod fixings;
mod holds;
mod inserts;
mod inset;
mod joints;
mod lumber;
mod model;
mod overlaps;
mod placement;
mod plates;
#[cfg(test)]
mod properties;
mod recesses;
mod region;
mod skins;
mod tees;
#[cfg(test)]
mod testing;
mod twins;
mod weight;

pub use by_hand::CornersByHand;
pub use lumber::board_feet;
pub use model::{
    Chase, EdgeContour, EdgeJoint, FabricatedPanel, Fabrication, Fitted, Fixing, Hold, InnerCut,
    Joint, JointKind, Lift, Lumber, PanelOpening, PartFace, Placement, SkinEdge, Slot, WallPlate,
};

use crate::building::Building;
use crate::findings::{Finding, Outcome, Place};
use crate::layout::{Layout, PanelKind};
use crate::rules::{Face, Issue, PlantRules, WallAxis};
use brief::PanelBrief;
use lumber::{Home, OpeningFrame, Piece};

/// What fabrication has to know beside the models.
#[derive(Clone, Copy, Debug, Default)]
pub struct FabricateOptions<'a> {
    /// Findings of all earlier rooms: a fault among them holds the panels it touches. Default: none.
    pub earlier: &'a [Finding],
    /// What the package is issued for: for review, every panel is held. Default: production.
    pub issue: Issue,
}

/// Makes every panel of the layout.
///
/// - Panels come in the order of `Layout::panels`; one that refers to something that does not exist is left out with a fault.
/// - Lengths are exact; at bevelled ends to the nanometre.
pub fn fabricate(
    building: &Building,
    layout: &Layout,
    rules: &PlantRules,
    options: &FabricateOptions<'_>,
) -> Outcome<Fabrication> {
    let mut findings = Vec::new();
    let mut panels = Vec::new();
    let mut joints = joints::JointSums::default();
    for (index, panel) in layout.panels.iter().enumerate() {
        let Some(brief) = PanelBrief::new(building, layout, rules, index) else {
            findings.push(Finding::fault(
                codes::PANEL_WITHOUT_BASIS,
                Place::panel(&panel.mark),
                "the panel has no size, or its wall, assembly or lumber does not exist",
                "this is a mistake of the program or of a file written by hand: report it with the input",
            ));
            continue;
        };
        panels.push(fabricate_panel(&brief, &mut joints, &mut findings));
    }
    findings.extend(chases_beyond(building, layout));
    twins::find_twins(&mut panels, &mut findings);
    // A height that no panel of a wall has foam for is said by each of them; once is enough.
    let mut once: Vec<Finding> = Vec::new();
    for finding in findings {
        if !once.contains(&finding) {
            once.push(finding);
        }
    }
    let mut findings = once;
    holds::hold(&mut panels, building, layout, &mut findings, options);
    Outcome {
        output: Fabrication {
            panels,
            plates: plates::wall_plates(building, layout, rules),
            joints: joints.into_joints(),
        },
        findings,
    }
}

/// Chases that the job asks for where no full panel stands.
fn chases_beyond(building: &Building, layout: &Layout) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, (wall, run)) in building.walls.iter().zip(&layout.walls).enumerate() {
        let panels = layout.panels.iter();
        let full = panels.filter(|it| it.wall == index && it.kind == PanelKind::Wall);
        let stretches: Vec<_> = full.map(|it| (it.rect.x0, it.rect.x1)).collect();
        let is_in = |x| stretches.iter().any(|(from, to)| *from <= x && x < *to);
        for at in run.chases.iter().filter(|at| !is_in(**at - run.from)) {
            findings.push(Finding::doubt(
                codes::CHASE_WITHOUT_ROOM,
                Place::element(&wall.storey, &wall.id).with_sources(wall.sources.iter()),
                format!(
                    "the job asks for an upright chase at {at}, where no full panel of {} stands",
                    wall.id
                ),
                "move it under [[layout]] of the job",
            ));
        }
    }
    findings
}

fn fabricate_panel(
    brief: &PanelBrief<'_>,
    joints: &mut joints::JointSums,
    findings: &mut Vec<Finding>,
) -> FabricatedPanel {
    let recesses = recesses::recess(brief);
    let frames: Vec<OpeningFrame> = brief
        .panel
        .openings
        .iter()
        .filter_map(|index| lumber::frame_opening(brief, *index))
        .collect();
    let inserts = inserts::insert(brief, &recesses, &frames);
    let faces = skins::cut_faces(brief, &recesses, &frames, &inserts);
    let edges = recesses::edges(brief, &faces.outer, &recesses, &frames);
    let lumber = marked(
        brief,
        [
            &recesses.left.pieces,
            &recesses.right.pieces,
            &recesses.level_pieces,
            &inserts.pieces,
        ],
        &frames,
        &edges,
    );
    let mut chases = chases::draw_chases(brief, &faces.foam, &frames, &inserts.solids);
    chases::clip(brief, &inserts, &mut chases);
    let weight = weight::weigh(
        brief,
        [&faces.outer, &faces.inner],
        &faces.core,
        &weight::Hollows {
            slots: [&recesses.left.slots, &recesses.right.slots],
            chases: &chases.chases,
            cuts: &inserts.inner_cuts,
        },
        &lumber,
    );
    let lift = weight::lift(weight.pounds, &brief.rules.lifts);
    let keep_out: Vec<_> = frames.iter().map(|frame| frame.skin_hole).collect();
    let pick_points = match lift {
        Lift::Hand => Vec::new(),
        Lift::Forklift | Lift::Crane => weight::pick_points(brief, weight.centre, &keep_out),
    };
    findings.extend(recesses.findings);
    findings.extend(frames.iter().flat_map(|frame| frame.findings.clone()));
    findings.extend(faces.findings);
    findings.extend(overlaps::find_overlap(brief, &lumber));
    findings.extend(lifting_findings(brief, &weight, lift, &pick_points));
    findings.extend(chases.findings);
    findings.extend(inserts.findings);
    let edges: Vec<SkinEdge> = edges.into_iter().map(|(_, edge)| edge).collect();
    let charges = fixings::charges(brief, &edges, &lumber);
    let (fixings, sealant) = fixings::sums(&charges);
    joints.take(brief, charges);
    let notes = recesses
        .notes
        .into_iter()
        .chain(frames.iter().flat_map(|frame| frame.notes.clone()))
        .chain(chases.notes)
        .chain(inserts.notes)
        .chain(tees::notes(brief))
        .chain(layout_notes(brief))
        .chain(dropped::note(brief))
        .collect();
    let mut core = faces.core.into_iter();
    let sources = sources(brief, &frames, &lumber);
    let made = FabricatedPanel {
        mark: brief.panel.mark.clone(),
        revision: String::new(),
        holds: Vec::new(),
        panel: brief.index,
        wall: brief.panel.wall,
        kind: brief.panel.kind,
        assembly: brief.wall.assembly,
        width: brief.width,
        height: brief.height + brief.drop,
        skin_drop: brief.drop,
        make_up: brief.panel.make_up,
        erection: brief.panel.erection,
        outer_skin: faces.outer,
        inner_skin: faces.inner,
        inner_cuts: inserts.inner_cuts,
        core: core.next().unwrap_or_default(),
        core_others: core.collect(),
        openings: frames
            .iter()
            .map(|frame| PanelOpening {
                id: frame.id.clone(),
                opening: frame.index,
                rough: frame.rough,
                skin_hole: frame.skin_hole,
            })
            .collect(),
        edges,
        lumber,
        chases: chases.chases,
        fixings,
        sealant,
        weight_lb: weight.pounds,
        centre_of_gravity: weight.centre,
        pick_points,
        lift,
        placed: placement::place(brief),
        // What has one skin lies on its foam: marks and cuts are on the skin.
        face_up: brief
            .assembly
            .bare()
            .map_or(brief.rules.saw.face_up, Face::other),
        same_as: None,
        mirror_of: None,
        notes,
        sources,
    };
    dropped::on_its_skin(made)
}

/// What layout has decided and the sheet has to say: braces, point loads, loose splines, a strength axis that lies.
fn layout_notes(brief: &PanelBrief<'_>) -> Vec<String> {
    let reasons = brief.panel.reasons.iter();
    let mut notes: Vec<String> = reasons
        .filter_map(|reason| match reason.about.as_str() {
            "bracing" | "point load" | "pier" | "make-up" => Some(reason.words.clone()),
            "left spline" | "right spline" if reason.words.contains("loose") => {
                Some(format!("{}: {}", reason.about, reason.words))
            }
            _ => None,
        })
        .collect();
    if let Some(bare) = brief.assembly.bare() {
        notes.push(format!(
            "one skin, the {} face is bare: this panel bears nothing; not sized: engineer",
            bare.name()
        ));
    }
    if let Some(line) = brief.rules.lines.get(brief.panel.line)
        && (brief.panel.is_axis_level
            || line.wall_axis == WallAxis::Either && brief.panel.kind == PanelKind::Wall)
    {
        let way = if brief.panel.is_axis_level {
            "horizontal"
        } else {
            "vertical"
        };
        notes.push(format!("strength axis {way}, under {}", line.report));
    }
    notes
}

/// A panel heavier than the plant lifts, or one that a machine lifts and that has no sound place to be held.
fn lifting_findings(
    brief: &PanelBrief<'_>,
    weight: &weight::Weight,
    lift: Lift,
    picks: &[crate::geometry::ShopPoint],
) -> Vec<Finding> {
    let place = || Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources);
    let greatest = brief.rules.lifts.greatest_weight;
    let mut findings = Vec::new();
    if weight.pounds > greatest {
        findings.push(Finding::fault(
            codes::TOO_HEAVY,
            place(),
            format!(
                "the panel weighs {:.0} lb; the plant lifts {greatest:.0} lb at most",
                weight.pounds
            ),
            "part it with one more joint, or raise lifts.greatest_weight where crane and rigging allow",
        ));
    }
    if lift != Lift::Hand && picks.is_empty() {
        findings.push(Finding::doubt(
            codes::PICKS_WITHOUT_ROOM,
            place(),
            "no two pick points at equal distance from the centre of gravity are clear of its openings",
            "have the rigger choose the picks, or lift it flat on a spreader; never by the bridge of a door",
        ));
    }
    findings
}

/// All pieces in the order of the parts table, each with its mark and its edge.
fn marked(
    brief: &PanelBrief<'_>,
    own: [&[Piece]; 4],
    frames: &[OpeningFrame],
    edges: &[(Home, SkinEdge)],
) -> Vec<Lumber> {
    own.into_iter()
        .flatten()
        .chain(frames.iter().flat_map(|frame| &frame.pieces))
        .enumerate()
        .map(|(place, piece)| Lumber {
            mark: format!("{}-{}", brief.panel.mark, place + 1),
            edge: edges.iter().position(|(home, _)| *home == piece.home),
            ..piece.lumber.clone()
        })
        .collect()
}

/// Handles of the wall, then of the openings, then of what hangs on nailers.
fn sources(brief: &PanelBrief<'_>, frames: &[OpeningFrame], lumber: &[Lumber]) -> Vec<String> {
    let mut sources = brief.wall.sources.clone();
    let openings = frames.iter().filter_map(|frame| brief.opening(frame.index));
    let openings = openings.flat_map(|opening| opening.sources.iter().cloned());
    for handle in openings.chain(inserts::nailer_sources(brief, lumber)) {
        if !sources.contains(&handle) {
            sources.push(handle);
        }
    }
    sources
}

#[cfg(test)]
mod tests {
    use super::testing::{inches, rect, reference};
    use super::*;

    /// A contour in inches: `0,0 95 7/8,0 …`.
    fn contour(ring: &crate::geometry::ShopRing) -> Vec<[f64; 2]> {
        ring.0
            .iter()
            .map(|p| [p.x.to_inches(), p.y.to_inches()])
            .collect()
    }

    #[test]
    fn the_reference_panel_has_the_three_outlines_of_its_sheet() {
        //   0      29 3/4   66 1/4   95 7/8
        //   ┌───────────────────────┐ 108
        //   │      ┌───────┐        │  82      skins: a hole as large as the rough opening
        //   │      │  O1   │        │          foam: back 1 1/2 from every edge and from the opening
        //   │      └───────┘        │  33 1/2
        //   └───────────────────────┘   0
        let panel = reference().made(0);
        let skin = [[0.0, 0.0], [95.875, 0.0], [95.875, 108.0], [0.0, 108.0]];
        assert_eq!(contour(&panel.outer_skin.outline), skin);
        assert_eq!(panel.inner_skin, panel.outer_skin);
        assert_eq!(
            contour(&panel.outer_skin.holes[0]),
            [[29.75, 33.5], [29.75, 82.0], [66.25, 82.0], [66.25, 33.5]]
        );
        assert_eq!(
            contour(&panel.core.outline),
            [[1.5, 1.5], [94.375, 1.5], [94.375, 106.5], [1.5, 106.5]]
        );
        assert_eq!(
            contour(&panel.core.holes[0]),
            [[28.25, 32.0], [28.25, 83.5], [67.75, 83.5], [67.75, 32.0]]
        );
        assert!(panel.core_others.is_empty());
    }

    #[test]
    fn the_reference_panel_has_the_parts_of_its_sheet() {
        // Parts table of the sheet drawn by hand: end stud 105, block spline 3 x 5 5/8 of 105, buck head and sill 39 1/2,
        // two jambs 48 1/2.
        let panel = reference().made(0);
        let table: Vec<String> = panel
            .lumber
            .iter()
            .map(|l| format!("{} {} {} {}", l.mark, l.usage, l.section, l.length))
            .collect();
        assert_eq!(
            table,
            [
                "W101-1 end stud 2x6 105\"",
                "W101-2 spline block 3 x 5 5/8 105\"",
                "W101-3 buck head 2x6 39 1/2\"",
                "W101-4 buck sill 2x6 39 1/2\"",
                "W101-5 buck jamb 2x6 48 1/2\"",
                "W101-6 buck jamb 2x6 48 1/2\"",
            ]
        );
        // The spline stands half in the panel and half beyond it, in the middle of the joint's 1/8 in gap.
        assert_eq!(
            panel.lumber[1].rect,
            rect("94 7/16, 1 1/2, 97 7/16, 106 1/2")
        );
        let at = |index: usize| &panel.edges[panel.lumber[index].edge.unwrap()];
        assert_eq!(at(0).joint, EdgeJoint::Corner);
        assert_eq!(at(1).joint, EdgeJoint::Spline);
        assert_eq!(at(1).with.as_deref(), Some("W102"));
        assert_eq!(at(2).contour, EdgeContour::Opening("O1".to_owned()));
        assert_eq!(at(2).recess, inches("1 1/2"));
    }

    #[test]
    fn the_reference_panel_weighs_what_its_sheet_says() {
        // Sheet drawn by hand from skins of 40 pcf, foam of 1.0 pcf, lumber of 28 pcf: 244 lb, centre of gravity 46 5/8,
        // 53 11/16, picks at 22 5/8 and 70 5/8, 100 up. It leaves chases out: by hand 354.25 in of them, 1 1/2 in diameter, less four
        // crossings of 2.25 cu in, 617.0 cu in of foam, 0.357 lb.
        let panel = reference().made(0);
        let chases = (std::f64::consts::FRAC_PI_4 * 2.25 * 354.25 - 9.0) / 1728.0;
        assert!((chases - 0.357).abs() < 5e-4);
        assert_eq!(format!("{:.0}", panel.weight_lb + chases), "244");
        let [x, y] = panel.centre_of_gravity;
        assert!(
            (x - 46.625).abs() < 0.07 && (y - 53.6875).abs() < 0.04,
            "{x} {y}"
        );
        let picks: Vec<String> = panel
            .pick_points
            .iter()
            .map(|p| format!("{} {}", p.x, p.y))
            .collect();
        assert_eq!(picks, ["22 5/8\" 100\"", "70 5/8\" 100\""]);
        assert_eq!(panel.lift, Lift::Forklift);
    }

    #[test]
    fn a_panel_stands_at_its_place_in_the_wall_with_its_face_out() {
        let panel = reference().made(1);
        assert_eq!(panel.placed.origin, [196.0, 200.0, 0.0]);
        // x × y = (1, 0, 0) × (0, 0, 1) = (0, -1, 0): out of a south wall.
        assert_eq!(panel.placed.x, [1.0, 0.0, 0.0]);
        assert_eq!(panel.placed.y, [0.0, 0.0, 1.0]);
    }
}
