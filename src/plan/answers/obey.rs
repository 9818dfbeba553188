//! Obeys the drafter's corrections: what the job says holds, whatever the drawing says.
//!
//! Method: (1) a correction by id is turned into one by point with the plan as recovered without corrections, so that ids
//! mean what the drafter saw; (2) lines that are no wall are taken out before walls meet, so that outline and rooms follow;
//! (3) openings are put right in the finished plan, those that move last: the others are found where they are drawn. A
//! correction that finds nothing is reported, never dropped.

use crate::findings::{Finding, Place, Severity, base_name};
use crate::plan::answers::meant::opening_meant;
use crate::plan::answers::moved::move_opening;
use crate::plan::carry::carry;
use crate::plan::enclosure::outline::{contains, point_within};
use crate::plan::nearby::Area;
use crate::plan::walls::parts::same_layers;
use crate::plan::walls::runs::Run;
use crate::plan::{
    CorrectionAnchor, CorrectionIntent, Opening, OpeningKind, Plan, PlanCorrection,
    PlanCorrections, Storey, Wall, codes,
};
use geo::Coord;

/// How far beside a wall's face a point may lie and still mean the wall, inches.
pub(in crate::plan) const BESIDE: f64 = 3.0;

/// A correction with its point.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Located<'a> {
    pub(in crate::plan) correction: &'a PlanCorrection,
    pub(in crate::plan) at: Coord<f64>,
    pub(in crate::plan) storey: Option<String>,
    /// The drawing of that storey.
    pub(in crate::plan) file: Option<String>,
}

/// Turns ids into points; what names nothing is reported.
pub(in crate::plan) fn locate<'a>(
    plan: &Plan,
    corrections: &'a PlanCorrections,
    findings: &mut Vec<Finding>,
) -> Vec<Located<'a>> {
    let earlier = corrections.earlier.as_ref();
    if let Some(earlier) = earlier.filter(|it| !it.is_as_drawn(&plan.storeys)) {
        return carry(earlier, plan, &corrections.list, findings);
    }
    let mut located = Vec::new();
    for correction in &corrections.list {
        let found = match &correction.anchor {
            CorrectionAnchor::Point { at, storey } => {
                let file = storey.as_ref().map(|id| {
                    let own = plan.storeys.iter().find(|it| it.id == *id);
                    own.map(|it| it.file.clone())
                });
                if file == Some(None) {
                    findings.push(orphan(correction, "names a storey that this plan has not"));
                    continue;
                }
                Some(Located {
                    correction,
                    at: Coord { x: at[0], y: at[1] },
                    storey: storey.clone(),
                    file: file.flatten(),
                })
            }
            // Dimensions are obeyed in the finished plan.
            CorrectionAnchor::Dimension(_) => continue,
            CorrectionAnchor::Id(id) => plan.storeys.iter().find_map(|storey| {
                let wall = storey.walls.iter().find(|wall| wall.id == *id);
                let opening = storey.openings.iter().find(|opening| opening.id == *id);
                let room = storey.rooms.iter().find(|room| room.id == *id);
                let at = opening
                    .map(|it| it.centre)
                    .or(wall.map(|it| clear_point(storey, it)))
                    .or(room.and_then(|it| point_within(&it.outline)))?;
                Some(Located {
                    correction,
                    at,
                    storey: Some(storey.id.clone()),
                    file: Some(storey.file.clone()),
                })
            }),
        };
        match found {
            Some(found) => located.push(found),
            None => findings.push(orphan(
                correction,
                "names no wall, no opening and no room of this plan",
            )),
        }
    }
    located
}

/// Takes out runs that the job says are no walls.
///
/// - `file`: the drawing being recovered; `origin`: where the runs' axes begin, drawing coordinates.
/// - `met`: for each correction whether it was obeyed in a drawing.
pub(in crate::plan) fn drop_runs(
    mut runs: [&mut Vec<Run>; 2],
    located: &[Located<'_>],
    (file, origin): (&str, Coord<f64>),
    met: &mut [bool],
) {
    for (it, is_met) in located.iter().zip(met) {
        if it.correction.intent != CorrectionIntent::NotAWall || !it.is_drawn_in(file) {
            continue;
        }
        let point = it.at - origin;
        for list in &mut runs {
            let before = list.len();
            list.retain(|run| !holds(run, point));
            *is_met |= list.len() < before;
        }
    }
}

/// What the job says of lines, and no drawing has.
pub(in crate::plan) fn ask_about_no_walls(located: &[Located<'_>], met: &[bool]) -> Vec<Finding> {
    let lost = located.iter().zip(met).filter(|it| !it.1);
    lost.filter(|(it, _)| is_of_lines(it.correction.intent))
        .map(|(it, _)| orphan_at(it, why_not(it.correction.intent)))
        .collect()
}

fn holds(run: &Run, point: Coord<f64>) -> bool {
    let along = run.axis.s(point);
    let aside = run.axis.d(point).abs();
    along >= run.u0 - BESIDE && along <= run.u1 + BESIDE && aside <= run.thickness / 2.0 + BESIDE
}

impl Located<'_> {
    fn is_for(&self, storey: &str) -> bool {
        self.storey.as_deref().is_none_or(|own| own == storey)
    }

    pub(in crate::plan) fn is_drawn_in(&self, file: &str) -> bool {
        self.file.as_deref().is_none_or(|own| own == file)
    }
}

/// Puts walls and openings of the finished plan right.
///
/// - `met`: for each correction whether it was obeyed while the plan was made.
pub(in crate::plan) fn put_right(
    plan: &mut Plan,
    (located, met): (&[Located<'_>], &[bool]),
    findings: &mut Vec<Finding>,
) {
    let mut next = 1 + plan
        .storeys
        .iter()
        .flat_map(|storey| &storey.openings)
        .filter_map(|opening| opening.id.get(1..)?.parse::<usize>().ok())
        .max()
        .unwrap_or(0);
    let is_move = |it: &(usize, &Located<'_>)| {
        matches!(it.1.correction.intent, CorrectionIntent::Moved { .. })
    };
    let (moves, others): (Vec<_>, Vec<_>) = located.iter().enumerate().partition(is_move);
    for (number, it) in others.into_iter().chain(moves) {
        let intent = it.correction.intent;
        if is_of_lines(intent) || intent == CorrectionIntent::Trusted {
            continue;
        }
        if let CorrectionIntent::Opening { width: Some(w), .. } = intent {
            let mut own = plan.storeys.iter().filter(|storey| it.is_for(&storey.id));
            if own.any(|storey| !has_room(storey, it.at, w)) {
                findings.push(orphan_at(it, "makes an opening wider than its wall leaves"));
                continue;
            }
        }
        let storeys = plan
            .storeys
            .iter_mut()
            .filter(|storey| it.is_for(&storey.id));
        let done = storeys.into_iter().find_map(|storey| match intent {
            CorrectionIntent::NotAnOpening => remove_opening(storey, it.at, findings),
            CorrectionIntent::Opening { kind, width } => {
                change_opening(storey, it.at, kind, width, findings)
                    .or_else(|| add_opening(storey, it, kind, width, &mut next))
            }
            CorrectionIntent::Wall => remove_opening(storey, it.at, findings)
                .or_else(|| wall_at(storey, it.at).map(|_| ())),
            CorrectionIntent::Moved { middle } => move_opening(storey, it.at, middle),
            CorrectionIntent::Exterior => {
                confirm_exterior(storey, it.at, findings).or_else(|| is_place(storey, it.at, true))
            }
            CorrectionIntent::Interior => {
                is_wall(storey, it.at, false).or_else(|| is_place(storey, it.at, false))
            }
            CorrectionIntent::Core { layer } => choose_core(storey, it.at, layer, findings),
            CorrectionIntent::NotAWall
            | CorrectionIntent::SingleLines
            | CorrectionIntent::Trusted => None,
        });
        // A corner that was closed has its point beside its walls.
        let is_closed = intent == CorrectionIntent::Wall && met.get(number) == Some(&true);
        let is_answer = match intent {
            CorrectionIntent::NotAnOpening => answer_at(findings, it.at),
            CorrectionIntent::Opening { .. } | CorrectionIntent::Wall => {
                done.is_some() && answer_at(findings, it.at)
            }
            _ => false,
        };
        if done.is_none() && !is_closed && !is_answer {
            findings.push(orphan_at(it, why_not(intent)));
        }
    }
}

/// True of what is obeyed while walls are made of lines.
const fn is_of_lines(intent: CorrectionIntent) -> bool {
    matches!(
        intent,
        CorrectionIntent::NotAWall | CorrectionIntent::SingleLines
    )
}

const fn why_not(intent: CorrectionIntent) -> &'static str {
    match intent {
        CorrectionIntent::NotAnOpening => "finds no opening at its point",
        CorrectionIntent::Moved { .. } => {
            "moves an opening, and there is none at its point, its wall has no outside, or it would not stand within its wall"
        }
        CorrectionIntent::Opening { width: None, .. } => {
            "finds no opening at its point, and without a width none can be made"
        }
        CorrectionIntent::Opening { .. } | CorrectionIntent::Wall => {
            "finds no wall at its point, and no gap between two walls in line with it"
        }
        CorrectionIntent::NotAWall | CorrectionIntent::Trusted => "finds no wall at its point",
        CorrectionIntent::SingleLines => {
            "finds no plan of single lines round its point that closes and has an opening, off every wall of two faces"
        }
        CorrectionIntent::Core { .. } => "finds no wall with that many layers at its point",
        CorrectionIntent::Exterior => {
            "finds no wall at its point that can be at the building's edge, and no room there that can lie outside"
        }
        CorrectionIntent::Interior => {
            "calls a wall interior that has the outside on one side, or a place that lies outside: draw the walls that close round it"
        }
    }
}

fn answered(findings: &mut Vec<Finding>, id: &str) {
    findings.retain(|finding| finding.place.element.as_deref() != Some(id));
}

/// What the job says of a place answers what is asked about openings within this of it, inches.
const ANSWERED: f64 = 24.0;

/// Takes away doubts about openings at a place; true when there was one.
fn answer_at(findings: &mut Vec<Finding>, at: Coord<f64>) -> bool {
    let before = findings.len();
    findings.retain(|it| {
        let is_near = |p: [f64; 2]| (p[0] - at.x).hypot(p[1] - at.y) <= ANSWERED;
        let is_asked = it.severity == Severity::Doubt && codes::ABOUT_OPENINGS.contains(&it.code);
        !is_asked || !it.place.at.is_some_and(is_near)
    });
    findings.len() < before
}

fn remove_opening(storey: &mut Storey, at: Coord<f64>, findings: &mut Vec<Finding>) -> Option<()> {
    let index = opening_meant(storey, at)?;
    let gone = storey.openings.remove(index);
    answered(findings, &gone.id);
    Some(())
}

fn change_opening(
    storey: &mut Storey,
    at: Coord<f64>,
    kind: OpeningKind,
    width: Option<f64>,
    findings: &mut Vec<Finding>,
) -> Option<()> {
    let index = opening_meant(storey, at)?;
    let opening = storey.openings.get_mut(index)?;
    opening.kind = kind;
    opening.confidence = 1.0;
    opening.alternatives.clear();
    if let Some(width) = width {
        // About its middle: that is where the architect drew it.
        opening.near += (opening.width - width) / 2.0;
        opening.width = width;
    }
    answered(findings, &opening.id);
    Some(())
}

/// False where the opening at a point, made so wide, would go on beyond its wall's end or over another opening.
fn has_room(storey: &Storey, at: Coord<f64>, width: f64) -> bool {
    let Some(opening) = opening_meant(storey, at).and_then(|i| storey.openings.get(i)) else {
        return true;
    };
    let Some(wall) = storey.walls.iter().find(|it| it.id == opening.wall) else {
        return true;
    };
    let (from, to) = (opening.near, opening.near + opening.width);
    let others = storey.openings.iter();
    let others = others.filter(|it| it.wall == wall.id && it.id != opening.id);
    let (mut least, mut most) = (0.0_f64.min(from), length_of(wall).max(to));
    for other in others {
        if other.near >= to {
            most = most.min(other.near);
        } else if other.near + other.width <= from {
            least = least.max(other.near + other.width);
        }
    }
    let half = (width - opening.width) / 2.0;
    from - half >= least - 1e-6 && to + half <= most + 1e-6
}

fn add_opening(
    storey: &mut Storey,
    it: &Located<'_>,
    kind: OpeningKind,
    width: Option<f64>,
    next: &mut usize,
) -> Option<()> {
    let width = width?;
    let (wall, along) = wall_at(storey, it.at)?;
    let length = length_of(wall);
    let near = along - width / 2.0;
    if near < 0.0 || near + width > length {
        return None;
    }
    let opening = Opening {
        id: format!("O{next}"),
        wall: wall.id.clone(),
        kind,
        centre: wall.start + (wall.end - wall.start) * (along / length),
        near,
        width,
        sources: vec![format!(
            "{}:{}",
            base_name(&it.correction.file),
            it.correction.line
        )],
        confidence: 1.0,
        ..Opening::default()
    };
    *next += 1;
    storey.openings.push(opening);
    put_in_order(storey);
    Some(())
}

/// Openings in the order of their walls and along them.
pub(in crate::plan) fn put_in_order(storey: &mut Storey) {
    let order: Vec<String> = storey.walls.iter().map(|wall| wall.id.clone()).collect();
    storey.openings.sort_by(|a, b| {
        let place = |opening: &Opening| order.iter().position(|id| *id == opening.wall);
        place(a).cmp(&place(b)).then(a.near.total_cmp(&b.near))
    });
}

/// Marks the layer that bears, in every wall drawn in the same layers, and answers the question about them.
fn choose_core(
    storey: &mut Storey,
    at: Coord<f64>,
    layer: usize,
    findings: &mut Vec<Finding>,
) -> Option<()> {
    let wanted = wall_at(storey, at)?.0.clone();
    let number = layer.checked_sub(1).filter(|n| *n < wanted.layers.len())?;
    let mut answered = Vec::new();
    for wall in &mut storey.walls {
        let Some(is_turned) = same_layers(&wanted, wall) else {
            continue;
        };
        let last = wanted.layers.len() - 1;
        let index = if is_turned { last - number } else { number };
        for (n, layer) in wall.layers.iter_mut().enumerate() {
            layer.is_structural = n == index;
        }
        wall.alternatives.retain(|it| it.layer.is_none());
        answered.push(wall.id.clone());
    }
    findings.retain(|finding| {
        let place = &finding.place;
        let is_of = |id: &String| place.element.as_ref() == Some(id);
        finding.code != codes::WHICH_LAYER
            || place.storey.as_deref() != Some(&storey.id)
            || !answered.iter().any(is_of)
    });
    Some(())
}

/// A point on a wall's centre line that lies in no other wall: what is said of it is said of this wall alone.
pub(in crate::plan) fn clear_point(storey: &Storey, wall: &Wall) -> Coord<f64> {
    let at = |share: f64| wall.start + (wall.end - wall.start) * share;
    let is_clear = |p: Coord<f64>| {
        storey
            .walls
            .iter()
            .filter(|other| other.id != wall.id)
            .all(|other| {
                let length = length_of(other);
                if length <= 0.0 {
                    return true;
                }
                let d = (other.end - other.start) / length;
                let r = p - other.start;
                let (along, aside) = (r.x * d.x + r.y * d.y, (d.x * r.y - d.y * r.x).abs());
                along < -2.0 * BESIDE
                    || along > length + 2.0 * BESIDE
                    || aside > other.thickness / 2.0 + 2.0 * BESIDE
            })
    };
    [
        0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.45, 0.55, 0.25, 0.75, 0.1, 0.9,
    ]
    .into_iter()
    .map(at)
    .find(|p| is_clear(*p))
    .unwrap_or_else(|| at(0.5))
}

/// Whether the wall there already is what the job says.
fn is_wall(storey: &Storey, at: Coord<f64>, is_exterior: bool) -> Option<()> {
    let (wall, _) = wall_at(storey, at)?;
    (wall.is_exterior == is_exterior).then_some(())
}

/// Whether a place off every wall already is what the job says: outside, or in a room.
fn is_place(storey: &Storey, at: Coord<f64>, is_outside: bool) -> Option<()> {
    let is_free = wall_at(storey, at).is_none() && !storey.outline.is_empty();
    let is_room = storey.rooms.iter().any(|room| contains(&room.outline, at));
    (is_free && is_room != is_outside).then_some(())
}

/// An exterior wall that the drafter confirms is a straight wall, whatever its neighbours make it look like.
fn confirm_exterior(
    storey: &mut Storey,
    at: Coord<f64>,
    findings: &mut Vec<Finding>,
) -> Option<()> {
    is_wall(storey, at, true)?;
    let id = wall_at(storey, at)?.0.id.clone();
    let wall = storey.walls.iter_mut().find(|wall| wall.id == id)?;
    wall.alternatives.retain(|it| it.layer.is_some());
    findings.retain(|it| {
        it.code != codes::FACET || it.place.element.as_deref() != Some(wall.id.as_str())
    });
    Some(())
}

fn length_of(wall: &Wall) -> f64 {
    let d = wall.end - wall.start;
    d.x.hypot(d.y)
}

/// The wall whose body holds a point, and how far along it.
pub(in crate::plan) fn wall_at(storey: &Storey, at: Coord<f64>) -> Option<(&Wall, f64)> {
    wall_among(storey.walls.iter(), at)
}

/// The box that holds every point which is in the body of a wall.
pub(in crate::plan) fn body(wall: &Wall) -> Option<Area> {
    Area::around(&[wall.start, wall.end], wall.thickness / 2.0 + BESIDE)
}

/// Of some walls the one whose body holds a point, and how far along it.
pub(in crate::plan) fn wall_among<'a>(
    walls: impl Iterator<Item = &'a Wall>,
    at: Coord<f64>,
) -> Option<(&'a Wall, f64)> {
    let candidates = walls.filter_map(|wall| {
        let length = length_of(wall);
        if length <= 0.0 {
            return None;
        }
        let d = (wall.end - wall.start) / length;
        let r = at - wall.start;
        let (along, aside) = (r.x * d.x + r.y * d.y, (d.x * r.y - d.y * r.x).abs());
        let holds = along >= 0.0 && along <= length && aside <= wall.thickness / 2.0 + BESIDE;
        holds.then_some((wall, along, aside))
    });
    candidates
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(wall, along, _)| (wall, along))
}

/// What a correction with its point in this drawing does not find; the point that the job writes may be of an earlier one.
fn orphan_at(it: &Located<'_>, why: &str) -> Finding {
    let mut finding = orphan(it.correction, why);
    finding.place = finding.place.with_at(it.at.x, it.at.y);
    finding
}

pub(in crate::plan) fn orphan(correction: &PlanCorrection, why: &str) -> Finding {
    let mut place = Place::line(&correction.file, correction.line);
    if let CorrectionAnchor::Point { at, .. } = &correction.anchor {
        place = place.with_at(at[0], at[1]);
    }
    Finding::doubt(
        codes::ORPHAN_CORRECTION,
        place,
        format!("a correction {why}"),
        "move its point onto the wall or opening it means, or take it out of the job",
    )
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{corrected, open_shell, shell};
    use crate::plan::{CorrectionIntent, OpeningKind, codes};

    #[test]
    fn what_the_job_says_of_a_place_answers_what_is_asked_about_openings_there() {
        // Two lines across the lower wall with nothing between them.
        let mut lines = shell();
        lines.extend([100.0, 148.0].map(|x| [x, 0.0, x, 6.0]));
        let asked = |intent: Option<CorrectionIntent>| {
            let found = corrected(&lines, &[], ([124.0, 3.0], None), intent);
            let all = found.findings.iter();
            let codes: Vec<&str> = all.map(|it| it.code.name()).collect();
            let n_openings = found.output.storeys[0].openings.len();
            (
                codes.join(" ").replace("PLAN-66", "").trim().to_owned(),
                n_openings,
            )
        };
        assert_eq!(asked(None), ("PLAN-63".to_owned(), 0));
        let (kind, width) = (OpeningKind::Window, Some(48.0));
        let window = CorrectionIntent::Opening { kind, width };
        for (intent, n_openings) in [
            (CorrectionIntent::Wall, 0),
            (CorrectionIntent::NotAnOpening, 0),
            (window, 1),
        ] {
            assert_eq!(asked(Some(intent)), (String::new(), n_openings));
        }
    }

    #[test]
    fn what_is_no_wall_on_the_second_plan_of_a_sheet_goes_too() {
        let house = |x: f64| {
            let mut lines = open_shell(100.0, 136.0);
            lines.extend([
                [100.0, 3.0, 136.0, 3.0],
                [180.0, 6.0, 180.0, 234.0],
                [184.5, 6.0, 184.5, 234.0],
            ]);
            lines
                .into_iter()
                .map(move |l| [l[0] + x, l[1], l[2] + x, l[3]])
        };
        let lines: Vec<[f64; 4]> = house(0.0).chain(house(1000.0)).collect();
        let words = [
            ("FIRST FLOOR PLAN", [150.0, -40.0]),
            ("SECOND FLOOR PLAN", [1150.0, -40.0]),
        ];
        let inner = |intent: Option<CorrectionIntent>, storey: Option<&str>| {
            let at = [1182.25, 120.0];
            let made = corrected(&lines, &words, (at, storey), intent);
            let lost = made
                .findings
                .iter()
                .any(|it| it.code == codes::ORPHAN_CORRECTION);
            let walls = |n: usize| made.output.storeys[n].walls.iter();
            let n = [0, 1].map(|it| walls(it).filter(|wall| !wall.is_exterior).count());
            (n, lost)
        };
        let none = Some(CorrectionIntent::NotAWall);
        assert_eq!(inner(None, None), ([1, 1], false));
        assert_eq!(inner(none, None), ([1, 0], false));
        assert_eq!(inner(none, Some("S2")), ([1, 0], false));
        assert_eq!(inner(none, Some("S3")), ([1, 1], true));
    }

    #[test]
    fn an_opening_wider_than_its_wall_leaves_is_refused() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for (width, drawn, n_orphans) in [(60.0, 60.0, 0), (720.0, 36.0, 1)] {
            let (kind, width) = (OpeningKind::Window, Some(width));
            let intent = Some(CorrectionIntent::Opening { kind, width });
            let found = corrected(&lines, &[], ([118.0, 3.0], None), intent);
            let orphans = found.findings.iter();
            let orphans = orphans.filter(|it| it.code == codes::ORPHAN_CORRECTION);
            assert_eq!(orphans.count(), n_orphans);
            assert_eq!(found.output.storeys[0].openings[0].width, drawn);
        }
    }
}
