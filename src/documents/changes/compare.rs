//! What differs between the plan as drawn and the panels as made, with both numbers.

use super::in_drawing;
use crate::building::{PanelWall, RoughOpening};
use crate::documents::Models;
use crate::documents::paper::Area;
use crate::documents::plan_view::{extent_of, turned};
use crate::documents::trace::Units;
use crate::geometry::Frame;
use crate::plan::{Opening, Room, Storey};
use crate::rules::{Allowance, HeldFace};
use geo::Coord;

/// Less than this is no difference that a tape shows: half of the 1/16 in printed.
const SAME: f64 = 1.0 / 32.0;
/// A side of a room belongs to a wall whose drawn inside face is this near, inches.
const ON_FACE: f64 = 1.0;

/// One difference.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Difference {
    /// Ids it is about: walls, an opening, a room.
    pub(super) about: String,
    /// What differs.
    pub(super) what: &'static str,
    /// As on the plan.
    pub(super) plan: String,
    /// As the panels are made.
    pub(super) panels: String,
    /// Why, in a few words.
    pub(super) why: String,
    /// Where, drawing inches.
    pub(super) at: Option<Coord<f64>>,
    /// What it may as well be shown in, a room: its corners, drawing inches; none where only the point will do.
    pub(super) within: Vec<Coord<f64>>,
}

/// All differences of a storey: overall, walls, rooms, openings.
///
/// - `turn`: as the sheet is turned, so that length runs along the sheet.
pub(super) fn differences(
    models: &Models<'_>,
    storey: &Storey,
    turn: f64,
    units: Units,
) -> Vec<Difference> {
    let walls: Vec<&PanelWall> = models
        .building
        .walls
        .iter()
        .filter(|wall| wall.storey == storey.id)
        .collect();
    let mut found = overall(models, storey, turn, units);
    found.extend(thicknesses(models, storey, &walls, units));
    for room in &storey.rooms {
        found.extend(room_size(models, storey, room, &walls, turn, units));
    }
    for opening in &storey.openings {
        let drawn = drawn_openings(models, storey).find(|it| are_one(it, opening));
        found.extend(match drawn {
            Some(drawn) => opening_differences(models, storey, (opening, drawn), &walls, units),
            None => vec![by_drafter(storey, opening, ["none", ""], units)],
        });
    }
    let is_gone = |it: &&Opening| !storey.openings.iter().any(|kept| are_one(it, kept));
    let gone = drawn_openings(models, storey).filter(is_gone);
    found.extend(gone.map(|it| by_drafter(storey, it, ["", "none"], units)));
    found
}

/// The openings of a storey as the architect drew them, whatever the drafter corrected.
fn drawn_openings<'a>(
    models: &Models<'a>,
    storey: &'a Storey,
) -> impl Iterator<Item = &'a Opening> + use<'a> {
    let before = &models.trace.plan.before_corrections;
    let drawn = before.iter().find(|it| it.id == storey.id);
    drawn.unwrap_or(storey).openings.iter()
}

/// True for one opening before and after corrections: they keep what it was read from.
fn are_one(a: &Opening, b: &Opening) -> bool {
    let shared = a.sources.iter().any(|it| b.sources.contains(it));
    shared || a.sources.is_empty() && b.sources.is_empty() && a.id == b.id
}

/// An opening that the drafter put in or took out; `width` has what stands instead of it on plan or panels, empty for its own.
fn by_drafter(storey: &Storey, opening: &Opening, width: [&str; 2], units: Units) -> Difference {
    let kind = storey.walls.iter().find(|it| it.id == opening.wall);
    let inside = kind.is_some_and(|wall| !wall.is_exterior);
    let [plan, panels] = width.map(|words| match words {
        "" => units.inches(opening.width),
        words => words.to_owned(),
    });
    Difference {
        about: opening.id.clone(),
        what: if inside {
            "opening in an inner wall, width"
        } else {
            "opening, width"
        },
        plan,
        panels,
        why: "set right by hand: please confirm".to_owned(),
        at: Some(opening.centre),
        within: Vec::new(),
    }
}

/// The storey's outline as recovered and as panelled, along and across the sheet.
fn overall(models: &Models<'_>, storey: &Storey, turn: f64, units: Units) -> Vec<Difference> {
    let made = models.building.storeys.iter().find(|it| it.id == storey.id);
    let panels = made.into_iter().flat_map(|it| &it.outline);
    let panels = extent_of(panels.map(|p| turned(in_drawing(storey, *p), turn)));
    let plan = extent_of(storey.outline.iter().map(|p| turned(*p, turn)));
    let (Some(plan), Some(panels)) = (plan, panels) else {
        return Vec::new();
    };
    [
        ("length overall", plan.width(), panels.width()),
        ("depth overall", plan.height(), panels.height()),
    ]
    .into_iter()
    .filter(|(_, a, b)| (a - b).abs() > SAME)
    .map(|(what, a, b)| Difference {
        about: "building".to_owned(),
        what,
        plan: units.inches(a),
        panels: units.inches(b),
        why: "corners stand on whole fractions, or a wall was held on its other face".to_owned(),
        at: None,
        within: Vec::new(),
    })
    .collect()
}

/// Walls drawn thicker or thinner than the panels, those alike together.
fn thicknesses(
    models: &Models<'_>,
    storey: &Storey,
    walls: &[&PanelWall],
    units: Units,
) -> Vec<Difference> {
    let mut found: Vec<(Difference, HeldFace)> = Vec::new();
    for wall in walls {
        let Some(assembly) = models.rules.assemblies.get(wall.assembly) else {
            continue;
        };
        let made = assembly.thickness().to_inches();
        if (wall.drawn_thickness - made).abs() <= SAME {
            continue;
        }
        let (plan, panels) = (units.inches(wall.drawn_thickness), units.inches(made));
        let same = found
            .iter_mut()
            .find(|(it, held)| it.plan == plan && it.panels == panels && *held == wall.held);
        if let Some((same, _)) = same {
            same.about.push_str(&format!(", {}", wall.id));
            continue;
        }
        let face = match wall.held {
            HeldFace::Outside => "outside face",
            HeldFace::Inside => "inside face",
            HeldFace::Centre => "centre line",
        };
        let middle = wall.frame.point(
            wall.face_length.half().to_inches(),
            -wall.drawn_thickness / 2.0,
        );
        let difference = Difference {
            about: wall.id.clone(),
            what: "wall thickness",
            plan,
            panels,
            why: format!("panel without finishes; the {face} was held"),
            at: Some(in_drawing(storey, middle)),
            within: Vec::new(),
        };
        found.push((difference, wall.held));
    }
    found
        .into_iter()
        .map(|(difference, _)| difference)
        .collect()
}

/// Clear size of a room, greatest length by greatest depth, as drawn and between the inside faces of the panels.
fn room_size(
    models: &Models<'_>,
    storey: &Storey,
    room: &Room,
    walls: &[&PanelWall],
    turn: f64,
    units: Units,
) -> Option<Difference> {
    let ring: Vec<Coord<f64>> = room.outline.iter().map(|p| turned(*p, turn)).collect();
    let plan = extent_of(ring.iter().copied())?;
    let mut made = plan;
    let next = ring.iter().cycle().skip(1);
    for (a, b) in ring.iter().zip(next) {
        let Some(face) = inside_face(models, storey, *a, *b, walls, turn) else {
            continue;
        };
        for (side, is_upright) in [
            (&mut made.x0, true),
            (&mut made.x1, true),
            (&mut made.y0, false),
            (&mut made.y1, false),
        ] {
            let (from, to, new) = if is_upright {
                (a.x, b.x, face.x)
            } else {
                (a.y, b.y, face.y)
            };
            let old = *side;
            if (from - old).abs() < 1e-6 && (to - old).abs() < 1e-6 {
                *side = new;
            }
        }
    }
    let size = |area: &Area| {
        format!(
            "{} × {}",
            units.inches(area.width()),
            units.inches(area.height())
        )
    };
    let is_same = (plan.width() - made.width()).abs() <= SAME
        && (plan.height() - made.height()).abs() <= SAME;
    if is_same {
        return None;
    }
    Some(Difference {
        about: format!("{} {}", room.id, room.name).trim().to_owned(),
        what: "clear size",
        plan: size(&plan),
        panels: size(&made),
        why: "between panels, before finishes".to_owned(),
        at: Some(turned(plan.middle(), -turn)),
        within: room.outline.clone(),
    })
}

/// Where the inside face of the panels runs that stand along a side of a room: a point of it, turned axes.
fn inside_face(
    models: &Models<'_>,
    storey: &Storey,
    a: Coord<f64>,
    b: Coord<f64>,
    walls: &[&PanelWall],
    turn: f64,
) -> Option<Coord<f64>> {
    let d = b - a;
    let length = d.x.hypot(d.y);
    walls.iter().find_map(|wall| {
        let made = models.rules.assemblies.get(wall.assembly)?;
        let made = made.thickness().to_inches();
        let place =
            |along: f64, out: f64| turned(in_drawing(storey, wall.frame.point(along, out)), turn);
        let frame = Frame::from_points(place(0.0, 0.0), place(wall.face_length.to_inches(), 0.0))?;
        let is_parallel = (d.x * frame.along.y - d.y * frame.along.x).abs() < length * 0.01;
        let (from, depth) = frame.local(a);
        let (to, _) = frame.local(b);
        // The drawn inside face lies where the held line and the drawn thickness put it.
        let drawn = match wall.held {
            HeldFace::Outside => wall.drawn_thickness,
            HeldFace::Inside => made,
            HeldFace::Centre => f64::midpoint(wall.drawn_thickness, made),
        };
        let is_beside = from.min(to) < wall.face_length.to_inches() && from.max(to) > 0.0;
        (is_parallel && is_beside && (depth + drawn).abs() < ON_FACE)
            .then(|| frame.point(0.0, -made))
    })
}

/// Place, width, height, sill and head of an opening.
fn opening_differences(
    models: &Models<'_>,
    storey: &Storey,
    (opening, drawn): (&Opening, &Opening),
    walls: &[&PanelWall],
    units: Units,
) -> Vec<Difference> {
    let is_ours = storey
        .walls
        .iter()
        .any(|wall| wall.id == opening.wall && wall.is_exterior);
    let made = walls.iter().find_map(|wall| {
        let found = wall.openings.iter().find(|it| it.id == opening.id)?;
        Some((*wall, found))
    });
    let difference = |what, plan: String, panels: String, why: &str| Difference {
        about: opening.id.clone(),
        what,
        plan,
        panels,
        why: why.to_owned(),
        at: Some(opening.centre),
        within: Vec::new(),
    };
    let Some((wall, made)) = made else {
        let size = units.inches(opening.width);
        return is_ours
            .then(|| {
                difference(
                    "opening left out",
                    size,
                    "none".to_owned(),
                    "see the questions",
                )
            })
            .into_iter()
            .collect();
    };
    let mut found = Vec::new();
    let moved = moved(storey, drawn, wall, made);
    if moved.abs() > SAME {
        let (was, now) = (middle_of(made) - moved, middle_of(made));
        found.push(difference(
            "middle from the wall's left corner",
            units.inches(was),
            units.inches(now),
            &match &made.moved_over {
                Some(moved) => format!("moved into line with {} below", moved.over),
                None if drawn.centre == opening.centre => "set on whole fractions".to_owned(),
                None => "moved by hand: please confirm".to_owned(),
            },
        ));
    }
    if drawn.kind != opening.kind {
        found.push(difference(
            "kind",
            drawn.kind.name().replace('_', " "),
            opening.kind.name().replace('_', " "),
            "set right by hand: please confirm",
        ));
    }
    let allowance = models.rules.openings.allowances.get(&opening.kind);
    let allowance = allowance.copied().unwrap_or_default();
    let [unit_width, unit_height] = made.unit.map(|it| it.to_inches());
    let Allowance { height, .. } = allowance;
    let (head, sill) = (made.head.to_inches(), made.sill.to_inches());
    // What is drawn may be the unit or the rough opening: it differs when it is neither.
    let rows = [
        (
            "width",
            Some(drawn.width),
            [unit_width, made.width().to_inches()],
        ),
        (
            "height",
            opening.height,
            [unit_height, made.height().to_inches()],
        ),
        ("head", opening.head, [head, head - height.to_inches()]),
        ("sill", opening.sill, [sill, sill]),
    ];
    for (what, stated, ours) in rows {
        let Some(stated) = stated else {
            continue;
        };
        if ours.iter().all(|it| (it - stated).abs() > SAME) {
            found.push(difference(
                what,
                units.inches(stated),
                units.inches(ours[0]),
                "job, schedule or plant rule: see the schedule of openings",
            ));
        }
    }
    found
}

fn middle_of(made: &RoughOpening) -> f64 {
    f64::midpoint(made.from.to_inches(), made.to.to_inches())
}

/// How far the middle of an opening stands from where it is drawn, along the wall, inches.
fn moved(storey: &Storey, opening: &Opening, wall: &PanelWall, made: &RoughOpening) -> f64 {
    let at = |along: f64| in_drawing(storey, wall.frame.point(along, 0.0));
    let face = Frame::from_points(at(0.0), at(wall.face_length.to_inches()));
    face.map_or(0.0, |face| middle_of(made) - face.local(opening.centre).0)
}
