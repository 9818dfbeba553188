//! Upright chases, from sole to top plate.
//!
//! In this order: where the job asks, beside a door's latch, left of the joint, where a level chase stops at an opening and nothing else picks it up,
//! at spacing in wide panels. The first three are wanted in any case; the others give way to a chase that is near enough.
//!
//! ```text
//!   │ ▓▓ ┊←      a post stands where a rule wants a chase: it moves beside the post, `chases.clear_of_lumber` away, and says so;
//!   │ ▓▓ ┊       what the job asks for is never moved
//! ```

use super::super::{Chase, codes};
use super::{Chases, Field, Obstacle, free};
use crate::findings::Finding;
use crate::geometry::ShopPoint;
use crate::layout::PanelEdge;
use crate::plan::{Hinge, OpeningKind};
use crate::units::{Inches, Length};

/// A side of an obstacle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Beside {
    Left,
    Right,
}

struct Upright {
    x: Length,
    rule: &'static str,
}

/// Draws them; `stops` says at which obstacles a level chase stops.
pub(super) fn draw(field: &Field<'_>, stops: &[bool], drawn: &mut Chases) {
    let legs = legs(field);
    let mut uprights: Vec<Upright> = Vec::new();
    asked(field, &legs, &mut uprights, drawn);
    for obstacle in &field.obstacles {
        for side in latch_sides(obstacle) {
            beside(
                field,
                &legs,
                obstacle,
                side,
                "chases.from_latch",
                &mut uprights,
                drawn,
            );
        }
    }
    left_of_joint(field, &legs, &mut uprights, drawn);
    for (obstacle, _) in field.obstacles.iter().zip(stops).filter(|(_, s)| **s) {
        for side in [Beside::Left, Beside::Right] {
            let rule = "chases.clear_of_lumber";
            let is_latch = latch_sides(obstacle).contains(&side);
            let leg = leg_beside(field, &legs, obstacle, side);
            let is_served = leg.is_some_and(|(a, b)| uprights.iter().any(|u| a <= u.x && u.x <= b));
            // A leg between an opening and the joint is spoken of once, as the joint's.
            let is_joints = side == Beside::Right
                && matches!(field.brief.panel.right, PanelEdge::Spline { .. })
                && leg.is_none()
                && field
                    .obstacles
                    .last()
                    .is_some_and(|last| last.hole == obstacle.hole);
            let is_wanted = !is_solid_to_the_next(field, &legs, obstacle, side);
            if is_wanted && !is_latch && !is_served && !is_joints {
                beside(field, &legs, obstacle, side, rule, &mut uprights, drawn);
            }
        }
    }
    at_spacing(field, &legs, &mut uprights, drawn);
    uprights.sort_by_key(|upright| upright.x);
    note_close(field, &uprights, drawn);
    drawn
        .chases
        .extend(uprights.iter().map(|u| chase(field, u)));
}

/// One chase in the middle of a sill panel, to bring the wire up to its level chases.
pub(super) fn draw_middle(field: &Field<'_>, drawn: &mut Chases) {
    let upright = Upright {
        x: (field.foam.x0 + field.foam.x1).half(),
        rule: "chases.vertical_spacing",
    };
    drawn.chases.push(chase(field, &upright));
}

fn chase(field: &Field<'_>, upright: &Upright) -> Chase {
    let (low, high) = field.upright(upright.x);
    Chase {
        from: ShopPoint::new(upright.x, low),
        to: ShopPoint::new(upright.x, high),
        diameter: field.brief.rules.chases.diameter,
        rule: upright.rule,
    }
}

/// Where the middle of an upright chase may stand: foam over the full height, less the clear distance at both ends. A leg of
/// foam too narrow for any chase is given with its ends crossed, so that what stands beside it is not mistaken for it.
fn legs(field: &Field<'_>) -> Vec<(Length, Length)> {
    let mut blocks: Vec<(Length, Length)> = field
        .obstacles
        .iter()
        .map(|obstacle| (obstacle.hole.x0, obstacle.hole.x1))
        .chain(field.posts.iter().copied())
        .collect();
    let clear = field.clear();
    free(field.foam.x0, field.foam.x1, &mut blocks)
        .into_iter()
        .map(|(a, b)| (a + clear, b - clear))
        .collect()
}

/// The leg beside an obstacle, beyond any post that leaves no room for a chase; `None` when there is no foam or it is too narrow.
fn leg_beside(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    obstacle: &Obstacle<'_>,
    side: Beside,
) -> Option<(Length, Length)> {
    let (hole, clear) = (obstacle.hole, field.clear());
    let others = || field.obstacles.iter().map(|it| it.hole);
    let is_reached = |(a, b): (Length, Length)| match side {
        // Legs are given less the clear distance; another opening between parts the wall.
        Beside::Left => {
            b < hole.x0 && others().all(|it| it.x1 > hole.x0 || it.x1 <= a - clear || it == hole)
        }
        Beside::Right => {
            a > hole.x1 && others().all(|it| it.x0 < hole.x1 || it.x0 >= b + clear || it == hole)
        }
    };
    let reached = legs.iter().copied().filter(|leg| is_reached(*leg));
    let mut fitting = reached.filter(|(a, b)| a <= b);
    match side {
        Beside::Left => fitting.next_back(),
        Beside::Right => fitting.next(),
    }
}

/// Whether nothing but lumber lies between an obstacle and the next on that side: no level chase ends there that wants one.
fn is_solid_to_the_next(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    obstacle: &Obstacle<'_>,
    side: Beside,
) -> bool {
    let hole = obstacle.hole;
    let others = field.obstacles.iter().map(|it| it.hole);
    let between = match side {
        Beside::Left => others
            .filter(|it| it.x0 < hole.x0)
            .map(|it| it.x1)
            .max()
            .map(|from| (from, hole.x0)),
        Beside::Right => others
            .filter(|it| it.x1 > hole.x1)
            .map(|it| it.x0)
            .min()
            .map(|to| (hole.x1, to)),
    };
    between.is_some_and(|(from, to)| {
        let middles = legs.iter().map(|(a, b)| (*a + *b).half());
        !middles.into_iter().any(|x| from < x && x < to)
    })
}

/// Says that a post or an opening stood where a rule wanted a chase.
fn tell_moved(field: &Field<'_>, wanted: Length, to: Option<Length>, drawn: &mut Chases) {
    let clear = field.clear();
    let is_hit = |a: Length, b: Length| a - clear < wanted && wanted < b + clear;
    // A hair to the side of a jamb is nothing to tell.
    let least = field.brief.rules.chases.clear_of_lumber;
    let is_far = to.is_none_or(|x| (x - wanted).abs() > least);
    if to == Some(wanted) {
        return;
    }
    let went = match to {
        Some(x) => format!("it stands {} from the left end instead", Inches(x)),
        None => "it is dropped".to_owned(),
    };
    let said = if field.is_at_post(wanted) {
        let code = codes::CHASE_CUT_SHORT;
        Some((code, None, "would run into a post or pocket".to_owned()))
    } else {
        let mut obstacles = field.obstacles.iter();
        let hit = obstacles.find(|it| is_far && is_hit(it.hole.x0, it.hole.x1));
        hit.map(|it| {
            let words = format!("would run into the frame of {}", it.opening.id);
            (codes::CHASE_AT_OPENING, Some(it.opening), words)
        })
    };
    if let Some((code, opening, hits)) = said {
        drawn.findings.push(Finding::note(
            code,
            field.place(opening),
            format!("the upright chase wanted {} from the left end {hits}: {went}", Inches(wanted)),
            "nothing to do where the wire may come up there; else ask for a chase under [[layout]] chases of job.toml",
        ));
    }
}

/// The sides of a door on which a switch goes: the latch's, both when it is not known. Only where this panel has foam.
fn latch_sides(obstacle: &Obstacle<'_>) -> Vec<Beside> {
    let sides: &[Beside] = match (obstacle.opening.kind, obstacle.opening.hinge) {
        (OpeningKind::Door, Some(Hinge::Start)) => &[Beside::Right],
        (OpeningKind::Door, Some(Hinge::End)) => &[Beside::Left],
        (OpeningKind::Door, None) => &[Beside::Left, Beside::Right],
        (OpeningKind::Window | OpeningKind::Opening | OpeningKind::GarageDoor, _) => &[],
    };
    sides
        .iter()
        .copied()
        .filter(|side| has_foam(obstacle, *side))
        .collect()
}

fn has_foam(obstacle: &Obstacle<'_>, side: Beside) -> bool {
    match side {
        Beside::Left => obstacle.has_left,
        Beside::Right => obstacle.has_right,
    }
}

/// One at the rule's distance from the rough opening, or as near to that as the leg allows.
fn beside(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    obstacle: &Obstacle<'_>,
    side: Beside,
    rule: &'static str,
    uprights: &mut Vec<Upright>,
    drawn: &mut Chases,
) {
    if !has_foam(obstacle, side) {
        return;
    }
    let distance = field.brief.rules.chases.from_latch;
    let (wanted, word) = match side {
        Beside::Left => (obstacle.rough.x0 - distance, "left"),
        Beside::Right => (obstacle.rough.x1 + distance, "right"),
    };
    match leg_beside(field, legs, obstacle, side) {
        Some((a, b)) => {
            let x = wanted.clamp(a, b);
            tell_moved(field, wanted, Some(x), drawn);
            add(field, uprights, x, rule);
        }
        None => {
            let id = &obstacle.opening.id;
            let what = format!("a vertical chase {word} of {id}, as seen from outside");
            drawn
                .findings
                .push(field.without_room(Some(obstacle.opening), &what));
        }
    }
}

fn left_of_joint(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    uprights: &mut Vec<Upright>,
    drawn: &mut Chases,
) {
    let PanelEdge::Spline { with, .. } = field.brief.panel.right else {
        return;
    };
    let wanted = field.brief.width - field.brief.rules.chases.vertical_from_joint;
    // Past the last opening: the leg nearest to the joint that a post leaves wide enough.
    let past = field.obstacles.iter().map(|it| it.hole.x1).max();
    let mut fitting = legs.iter().rev().filter(|(a, b)| a <= b);
    match fitting.find(|(a, _)| past.is_none_or(|past| *a > past)) {
        Some((a, b)) => {
            let x = wanted.clamp(*a, *b);
            tell_moved(field, wanted, Some(x), drawn);
            add(field, uprights, x, "chases.vertical_from_joint");
        }
        None => {
            let mark = field.brief.layout.panels.get(with).map(|p| p.mark.as_str());
            let what = format!(
                "the vertical chase at the joint with {}",
                mark.unwrap_or("the next panel")
            );
            drawn.findings.push(field.without_room(None, &what));
        }
    }
}

/// Where the job asks for one: there, or nowhere.
fn asked(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    uprights: &mut Vec<Upright>,
    drawn: &mut Chases,
) {
    let brief = field.brief;
    for at in &brief.run.chases {
        let x = *at - brief.along();
        if x < Length::ZERO || x >= brief.width {
            continue;
        }
        let is_in_foam = legs.iter().any(|(a, b)| *a <= x && x <= *b);
        if !is_in_foam || !add(field, uprights, x, "layout.chases") {
            let what = format!("the upright chase that the job asks for at {x} from the left end");
            drawn.findings.push(field.without_room(None, &what));
        }
    }
}

/// Adds one, unless it would run into one that is there: too little foam between for two. True when it stands.
fn add(field: &Field<'_>, uprights: &mut Vec<Upright>, x: Length, rule: &'static str) -> bool {
    let rules = &field.brief.rules.chases;
    let least = rules.diameter + rules.clear_of_lumber;
    let is_free = uprights
        .iter()
        .all(|upright| (upright.x - x).abs() >= least);
    if is_free {
        uprights.push(Upright { x, rule });
    }
    is_free
}

/// Further ones in wide panels, counted from the chase at a joint: this panel's own, or its left neighbour's.
///
/// ```text
///   ┊│       ┊        ┊│        ┊    every `vertical_spacing`, right to left from this panel's joint;
///                                    left to right from the neighbour's where this panel has none; from the middle where neither
/// ```
fn at_spacing(
    field: &Field<'_>,
    legs: &[(Length, Length)],
    uprights: &mut Vec<Upright>,
    drawn: &mut Chases,
) {
    let brief = field.brief;
    let rules = &brief.rules.chases;
    let neighbours = -(brief.rules.joints.gap + rules.vertical_from_joint);
    let is_joint = |edge: PanelEdge| matches!(edge, PanelEdge::Spline { .. });
    let (left, right) = (is_joint(brief.panel.left), is_joint(brief.panel.right));
    let start = match (left, right) {
        (_, true) => brief.width - rules.vertical_from_joint,
        (true, false) => neighbours,
        (false, false) => brief.width.half(),
    };
    let n_steps = brief.width.steps_of(rules.vertical_spacing) + 1;
    for step in (-n_steps..=n_steps).rev() {
        let wanted = start + rules.vertical_spacing * step;
        // What misses the foam by no more than a joint's chase may stand from its joint moves into it.
        let near = legs
            .iter()
            .filter(|(a, b)| a <= b)
            .map(|(a, b)| wanted.clamp(*a, *b))
            .find(|x| (*x - wanted).abs() <= rules.vertical_from_joint);
        let others: Vec<Length> = uprights
            .iter()
            .map(|upright| upright.x)
            .chain(left.then_some(neighbours))
            .collect();
        let is_far = |x: Length| {
            others
                .iter()
                .all(|other| (*other - x).abs() >= rules.vertical_least)
        };
        let Some(x) = near else {
            // Dropped in an opening beside which another one comes up: nothing is lost.
            let is_lost = is_far(wanted) || field.is_at_post(wanted);
            if Length::ZERO < wanted && wanted < brief.width && is_lost {
                tell_moved(field, wanted, None, drawn);
            }
            continue;
        };
        if is_far(x) {
            tell_moved(field, wanted, Some(x), drawn);
            uprights.push(Upright {
                x,
                rule: "chases.vertical_spacing",
            });
        }
    }
}

fn note_close(field: &Field<'_>, uprights: &[Upright], drawn: &mut Chases) {
    let least = field.brief.rules.chases.vertical_least;
    for pair in uprights.windows(2) {
        let (a, b) = (pair[0].x, pair[1].x);
        if b - a < least {
            drawn.findings.push(Finding::doubt(
                codes::CHASES_CLOSE,
                field.place(None),
                format!("vertical chases at {a} and {b} are {} apart; the rule wants {least}", b - a),
                "move the joint or the opening where the adopted code sets that distance; else it is only a reminder",
            ));
        }
    }
}
