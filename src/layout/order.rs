//! The order of erection: from a corner round the building, left to right as seen from outside.
//!
//! ```text
//!        ┌──────◄───────┐        The first panel stands in a corner. Every next one tilts up over the sole plate and slides
//!        │              ▲        left onto the spline of its neighbour: it needs room at its right. The last panel of a
//!        ▼              │        closed ring has that room only where its wall runs through at the corner of the first.
//!        └──────►───────┘
//! ```
//!
//! So the walk starts, where it can, at a corner whose left-hand wall runs through: of these at the lowest on the drawing,
//! then the leftmost; of a revised plan where the issue before began, so that a plan turned round is set up as before. Where there is none, the panel that closes the ring stands down between two neighbours that stand
//! already: the spline on its left is loose then, dropped in from the top. Common practice, no source. Interior walls follow when
//! the walls round them stand, each in the same way.

use super::ring::{Chosen, Ring};
use super::{Layout, LayoutOptions, Panel, PanelEdge, PanelKind, Reason, SplineFit, WallEnd};
use crate::building::{Building, CornerKind, WallRole};
use crate::rules::{Assembly, JointRules, PlantRules};
use crate::units::{Erection, Length};

/// One ring or chain as it is walked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Walk {
    /// Walls in order of erection.
    pub(crate) walls: Vec<usize>,
    /// True when the last panel has no room to slide: every corner lacks a wall that runs through from the left.
    pub(crate) is_tight: bool,
}

/// All walks of the building: storey by storey, within a storey from the lowest start on the drawing.
pub(crate) fn walks(
    building: &Building,
    options: &LayoutOptions,
    chosen: &[Chosen],
    rings: &[Ring],
) -> Vec<Walk> {
    let mut walks: Vec<(StartKey, Walk)> = rings
        .iter()
        .map(|ring| {
            let walk = walk((building, options), chosen, ring);
            let first = walk.walls.first().copied().unwrap_or_default();
            (start_key((building, options), first), walk)
        })
        .collect();
    walks.sort_by(|a, b| (a.0, &a.1.walls).cmp(&(b.0, &b.1.walls)));
    walks.into_iter().map(|(_, walk)| walk).collect()
}

/// Storey, interior walls after those round it, place in the issue before, then how far up and how far right the wall's left corner lies on the drawing, to the nearest 1/64 in.
type StartKey = (usize, bool, Erection, Length, Length);

fn start_key((building, options): (&Building, &LayoutOptions), wall: usize) -> StartKey {
    building.walls.get(wall).map_or(
        (0, false, Erection::default(), Length::ZERO, Length::ZERO),
        |wall| {
            let round = |x: f64| Length::nearest(x, Length::TAPE_STEP).unwrap_or_default();
            let corner = wall.frame.origin;
            let is_interior = wall.role != WallRole::Exterior;
            let wishes = options.walls.get(&wall.id);
            let stood_from = wishes.and_then(|it| it.stood_from);
            (
                wall.storey_index,
                is_interior,
                stood_from.unwrap_or(u32::MAX.into()),
                round(corner.y),
                round(corner.x),
            )
        },
    )
}

fn walk(models: (&Building, &LayoutOptions), chosen: &[Chosen], ring: &Ring) -> Walk {
    let (building, _) = models;
    let count = ring.walls.len();
    if !ring.is_closed {
        // An interior wall is set between walls that stand.
        let last = ring.walls.last().and_then(|wall| building.walls.get(*wall));
        return Walk {
            walls: ring.walls.clone(),
            is_tight: last.is_some_and(|wall| wall.right.kind == CornerKind::Tee),
        };
    }
    // A wall that is not panelled leaves room too.
    let has_room = |start: usize| {
        let last = ring.walls[(start + count - 1) % count];
        chosen
            .get(last)
            .is_none_or(|last| last.solution.is_none() || last.ends.right.end == WallEnd::Through)
    };
    let key = |start: &usize| {
        (
            !has_room(*start),
            start_key(models, ring.walls[*start]),
            *start,
        )
    };
    let start = (0..count).min_by_key(key).unwrap_or_default();
    let mut walls = ring.walls.clone();
    walls.rotate_left(start);
    Walk {
        walls,
        is_tight: !has_room(start),
    }
}

/// The panel that closes a ring between two standing neighbours has no travel: its spline is loose. Returns the panel before
/// it and the closing one; `None` where that panel has no spline.
pub(crate) fn loosen(walk: &Walk, layout: &mut Layout) -> Option<[usize; 2]> {
    let wall = *walk.walls.last()?;
    let stands = |panel: &Panel| panel.wall == wall && panel.kind == PanelKind::Wall;
    let last = layout.panels.iter().rposition(stands)?;
    let PanelEdge::Spline { with: before, .. } = layout.panels.get(last)?.left else {
        return None;
    };
    let fit = SplineFit::Loose;
    layout.panels.get_mut(last)?.left = PanelEdge::Spline { with: before, fit };
    layout.panels.get_mut(before)?.right = PanelEdge::Spline { with: last, fit };
    Some([before, last])
}

/// Adds to the reasons of each panel who carries the spline at its joints, and where it needs a brace.
pub(crate) fn tell_order(
    building: &Building,
    walks: &[Walk],
    rules: &PlantRules,
    layout: &mut Layout,
) {
    let marks: Vec<String> = layout.panels.iter().map(|it| it.mark.clone()).collect();
    let firsts: Vec<Option<usize>> = walks
        .iter()
        .map(|walk| {
            let panels = &layout.panels;
            let mut walls = walk.walls.iter();
            walls.find_map(|wall| panels.iter().position(|panel| panel.wall == *wall))
        })
        .collect();
    for (index, panel) in layout.panels.iter_mut().enumerate() {
        let wall = building.walls.get(panel.wall);
        let Some(assembly) = wall.and_then(|wall| rules.assemblies.get(wall.assembly)) else {
            continue;
        };
        let mut told = Vec::new();
        for (about, edge) in [("left spline", panel.left), ("right spline", panel.right)] {
            if let PanelEdge::Spline { with, fit } = edge
                && let Some(mark) = marks.get(with)
            {
                told.push(spline_reason((about, fit), mark, &rules.joints, assembly));
            }
        }
        if firsts.contains(&Some(index)) {
            let words = "it is set first: brace it before the next panel is set".to_owned();
            told.push(reason("bracing", "order", words));
        }
        for (side, edge) in [("left", panel.left), ("right", panel.right)] {
            if edge == PanelEdge::Free {
                let words = format!("its {side} end is free: brace it until the walls tie it");
                told.push(reason("bracing", "order", words));
            }
        }
        panel.reasons.extend(told);
    }
}

fn spline_reason(
    (about, fit): (&str, SplineFit),
    mark: &str,
    joints: &JointRules,
    assembly: &Assembly,
) -> Reason {
    let kind = fit.kind(joints, assembly).name();
    let rule = joints.spline_rule(assembly);
    let (rule, words) = match fit {
        SplineFit::Carries => (
            rule,
            format!("{kind} spline, delivered in this panel's edge: {mark} slides onto it"),
        ),
        SplineFit::Receives => (
            rule,
            format!("{kind} spline in the edge of {mark}: this panel slides left onto it"),
        ),
        SplineFit::Loose => (
            "joints.closing",
            format!("{kind} spline, loose: dropped in from the top before the top plate goes on"),
        ),
    };
    reason(about, rule, words)
}

fn reason(about: &str, rule: &str, words: String) -> Reason {
    Reason {
        about: about.to_owned(),
        rule: rule.to_owned(),
        words,
        lead: None,
    }
}
