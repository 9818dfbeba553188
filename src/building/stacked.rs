//! Openings of storeys over each other: in line, nearly in line, and what their jacks bear on.
//!
//! ```text
//!   upper   ──┬──┐ O7 ┌──┬──     nearly in line: left jambs, middles or right jambs no farther apart than the rule says: asked
//!             │▓▓│    │▓▓│       about with both places, or the upper one moved
//!   ══════════╪══╪════╪══╪══
//!   lower   ──┴┐ ▼ O2 ▼ ┌┴──     its jacks bear on the wall below: no joint under them, and what carries over an opening there
//!              └────────┘        takes them at one place
//! ```

use super::Building;
use super::codes;
use super::model::{JacksAbove, MovedOver, PanelWall, RoughOpening};
use super::raise::{Raising, element_place};
use super::statements::said;
use crate::findings::Finding;
use crate::plan::{Opening, Plan, Storey};
use crate::rules::{HeaderMember, PlantRules, StackedOpenings};
use crate::units::Length;

/// How far beside each other the faces of two walls may lie that stand over each other, inches: less than a panel is thick.
const BESIDE: f64 = 3.0;

/// Where 0 of the wall `lower` lies along `upper`, to the nearest `step`; `None` where it does not stand under it.
#[must_use]
pub fn lies_over(upper: &PanelWall, lower: &PanelWall, step: Length) -> Option<Length> {
    if lower.storey_index + 1 != upper.storey_index {
        return None;
    }
    let (along, other) = (upper.frame.along, lower.frame.along);
    let is_parallel = along.x * other.x + along.y * other.y > 0.999_999;
    let (start, out) = upper.frame.local(lower.frame.origin);
    let end = start + lower.face_length.to_inches();
    let overlaps = end > 0.0 && start < upper.face_length.to_inches();
    let is_over = is_parallel && out.abs() <= BESIDE && overlaps;
    let start = Length::nearest(start, step)?;
    is_over.then_some(start)
}

/// Asks about openings that stand nearly in line with one below, or moves them, storey by storey from the lowest.
pub(super) fn line_up(raising: &mut Raising<'_>, plan: &Plan, building: &mut Building) {
    let within = raising.rules.alignment.openings_within;
    for upper in 0..building.walls.len() {
        for i in 0..building.walls[upper].openings.len() {
            let wall = &building.walls[upper];
            let opening = &wall.openings[i];
            let storey = plan.storeys.iter().find(|it| it.id == wall.storey);
            let drawn =
                storey.and_then(|it| it.openings.iter().find(|drawn| drawn.id == opening.id));
            let below = nearest_below(building, wall, opening, raising.step);
            let (Some(storey), Some(drawn), Some(below)) = (storey, drawn, below) else {
                continue;
            };
            let apart = below.apart.abs();
            if apart < raising.step || apart > within {
                continue;
            }
            let place = (building.walls[upper].clone(), i);
            let moved = judge(raising, (storey, drawn), &place, &below);
            if let Some(moved) = moved {
                let opening = &mut building.walls[upper].openings[i];
                opening.from += moved.by;
                opening.to += moved.by;
                opening.moved_over = Some(moved);
            }
        }
    }
}

/// The opening below one that is most nearly in line with it.
struct Below {
    /// The wall below, and the opening in it along the upper wall.
    wall: String,
    id: String,
    at: [Length; 2],
    /// Which lines are nearest.
    line: &'static str,
    /// How far the upper one would have to move.
    apart: Length,
}

fn nearest_below(
    building: &Building,
    upper: &PanelWall,
    opening: &RoughOpening,
    step: Length,
) -> Option<Below> {
    let lowers = building.walls.iter();
    let lowers = lowers.filter_map(|lower| Some((lower, lies_over(upper, lower, step)?)));
    let all = lowers.flat_map(|(lower, start)| {
        lower.openings.iter().flat_map(move |it| {
            let at = [it.from + start, it.to + start];
            let [left, right] = [at[0] - opening.from, at[1] - opening.to];
            let middle = (left + right).half();
            [
                ("middles", middle),
                ("left jambs", left),
                ("right jambs", right),
            ]
            .map(|(line, apart)| Below {
                wall: lower.id.clone(),
                id: it.id.clone(),
                at,
                line,
                apart,
            })
        })
    });
    all.min_by_key(|below| below.apart.abs())
}

/// Says that an opening stands nearly in line with one below; what it is moved by, where job or plant has it moved and it may be.
fn judge(
    raising: &mut Raising<'_>,
    (storey, drawn): (&Storey, &Opening),
    (wall, i): &(PanelWall, usize),
    below: &Below,
) -> Option<MovedOver> {
    let opening = &wall.openings[*i];
    let by_job = said(raising.job, drawn, |entry| entry.in_line);
    let is_wished = match &by_job {
        Some(stated) => stated.value,
        None => raising.rules.alignment.openings == StackedOpenings::Move,
    };
    if by_job.is_some() && !is_wished {
        return None;
    }
    let place = element_place(storey, &opening.id).with_sources(opening.sources.iter());
    let words = format!(
        "{} stands nearly over {} of {}: along {} from its left corner it runs from {} to {}, the one below from {} to {}; their {} are {} apart",
        opening.id,
        below.id,
        below.wall,
        wall.id,
        opening.from.feet_inches(),
        opening.to.feet_inches(),
        below.at[0].feet_inches(),
        below.at[1].feet_inches(),
        below.line,
        below.apart.abs()
    );
    let by = (below.apart + raising.step.half()).floor_to(raising.step);
    let hindrance = is_wished.then(|| hindrance(raising.rules, wall, *i, by));
    let (finding, moved) = match hindrance {
        Some(None) => {
            let finding = Finding::note(
                codes::NEARLY_OVER,
                place,
                format!("{words}; it is moved into line"),
                "nothing; or say in_line = false under its [[opening]] in job.toml",
            );
            let over = below.id.clone();
            (finding, Some(MovedOver { by, over }))
        }
        Some(Some(why)) => (
            Finding::doubt(
                codes::NEARLY_OVER,
                place,
                format!("{words}; it stays where it is drawn, for {why}"),
                "move one of them in the drawing or by [[correction]] in job.toml",
            ),
            None,
        ),
        None => (
            Finding::doubt(
                codes::NEARLY_OVER,
                place,
                format!("{words}; it stays where it is drawn"),
                "ask the architect; in_line = true under its [[opening]] in job.toml moves it into line, false leaves it without a question (alignment.openings)",
            ),
            None,
        ),
    };
    raising.findings.push(finding);
    moved
}

/// What keeps an opening from being moved along its wall.
fn hindrance(rules: &PlantRules, wall: &PanelWall, i: usize, by: Length) -> Option<String> {
    let opening = &wall.openings[i];
    let (from, to) = (opening.from + by, opening.to + by);
    let [first, last] = wall.panelled();
    let before = i.checked_sub(1).and_then(|i| wall.openings.get(i));
    let beside = [before, wall.openings.get(i + 1)];
    let mut hit = beside.into_iter().flatten();
    let hit = hit.find(|other| other.from < to && from < other.to);
    if let Some(other) = hit {
        return Some(format!("{} stands there", other.id));
    }
    if opening.drawn.is_some() || from < first || to > last {
        return Some("it stands at the end of its wall's panels".to_owned());
    }
    let there = RoughOpening {
        from,
        to,
        ..opening.clone()
    };
    (opening.head > wall.room_over(&there, rules.plates.thickness))
        .then(|| "its head would reach into the slope of the top".to_owned())
}

/// Tells each wall which jacks of the storey above bear on it.
///
/// - `building`: openings with their headers; what they bear on is written anew.
pub fn bear_on_below(building: &mut Building, rules: &PlantRules) {
    let stud = rules.plates.thickness;
    let step = building.snap_step.max(Length::nanometres(1));
    for lower in 0..building.walls.len() {
        let wall = &building.walls[lower];
        let mut above = Vec::new();
        for upper in &building.walls {
            let Some(start) = lies_over(upper, wall, step) else {
                continue;
            };
            let bearing = upper.openings.iter();
            for it in bearing.filter(|it| it.header != HeaderMember::None) {
                let wide = stud * i64::from(it.jacks.max(1));
                for [from, to] in [[it.from - wide, it.from], [it.to, it.to + wide]] {
                    let (from, to) = (from - start, to - start);
                    if to > Length::ZERO && from < wall.face_length {
                        let opening = it.id.clone();
                        above.push(JacksAbove { opening, from, to });
                    }
                }
            }
        }
        above.sort_by(|a, b| (a.from, a.to, &a.opening).cmp(&(b.from, b.to, &b.opening)));
        building.walls[lower].jacks_above = above;
    }
}
