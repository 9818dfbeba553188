//! What was recovered, over the architect's drawing: walls by confidence, door swings, gaps.

use super::facts::Gap;
use crate::documents::paper::style::{Dash, Fill, Hatch, Ink, Pen, Stroke, WALL_HATCH};
use crate::documents::paper::{Canvas, Form, Spot, spot};
use crate::documents::plan_view::{
    PlanView, WallBody, closed_shape, direction, shape_on_paper, solid_shape, wall_bodies,
};
use crate::plan::{Hinge, Opening, Storey, Swing, Wall};
use geo::{Coord, MultiPolygon};

/// How sure a wall or an opening is, as the sheet shows it: by pattern as well as by weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Surety {
    /// Confidence of [`SURE`] or more: close hatch, full lines.
    Sure,
    /// Of [`LIKELY`] or more: open hatch, full lines.
    Likely,
    /// Less: no hatch, dashed lines.
    Doubtful,
}

/// Confidence from which nobody need look.
pub(super) const SURE: f64 = 0.95;

/// Confidence from which a glance is enough.
pub(super) const LIKELY: f64 = 0.8;

impl Surety {
    /// All, the surest first.
    pub(super) const ALL: [Self; 3] = [Self::Sure, Self::Likely, Self::Doubtful];

    /// Of a confidence between 0 and 1.
    pub(super) fn of(confidence: f64) -> Self {
        if confidence >= SURE {
            Self::Sure
        } else if confidence >= LIKELY {
            Self::Likely
        } else {
            Self::Doubtful
        }
    }

    /// Line and hatch of an exterior wall.
    pub(super) const fn exterior(self) -> (Stroke, Option<Hatch>) {
        match self {
            Self::Sure => (Pen::Heavy.full(), Some(WALL_HATCH)),
            Self::Likely => (
                Pen::Heavy.full(),
                Some(Hatch {
                    spacing: WALL_HATCH.spacing * 2.5,
                    ..WALL_HATCH
                }),
            ),
            Self::Doubtful => (Pen::Heavy.dashed(Dash::Hidden), None),
        }
    }

    /// Line of an interior wall.
    pub(super) const fn interior(self) -> Stroke {
        match self {
            Self::Sure => Pen::Edge.full(),
            Self::Likely => Pen::Edge.dashed(Dash::Chase),
            Self::Doubtful => Pen::Edge.dashed(Dash::Hidden),
        }
    }
}

/// Draws walls, swings and gaps.
pub(super) fn draw_recovered(canvas: &mut Canvas, storey: &Storey, gaps: &[Gap], view: &PlanView) {
    let bodies = wall_bodies(storey);
    let of = |is_exterior: bool, surety: Surety| -> Vec<&WallBody> {
        bodies
            .iter()
            .filter(|body| {
                storey.walls.get(body.wall).is_some_and(|wall| {
                    wall.is_exterior == is_exterior && Surety::of(wall.confidence) == surety
                })
            })
            .collect()
    };
    let mut taken = MultiPolygon::new(Vec::new());
    canvas.group("exterior-walls", "Exterior walls", |canvas| {
        for surety in Surety::ALL {
            let walls = of(true, surety);
            let shape = solid_shape(storey, walls.iter().copied(), &taken);
            taken = join(&taken, walls);
            let (stroke, hatch) = surety.exterior();
            for rings in shape_on_paper(&shape, view) {
                if let Some(hatch) = hatch {
                    canvas.hatch(&hatch, &rings);
                }
                canvas.shape(Form::Region(rings), stroke, Fill::None);
            }
        }
    });
    canvas.group("interior-walls", "Interior walls", |canvas| {
        for surety in Surety::ALL {
            let walls = of(false, surety);
            let shape = solid_shape(storey, walls.iter().copied(), &taken);
            taken = join(&taken, walls);
            for rings in shape_on_paper(&shape, view) {
                canvas.shape(Form::Region(rings), surety.interior(), Fill::None);
            }
        }
    });
    canvas.group("swings", "Door swings", |canvas| {
        for opening in &storey.openings {
            if let Some(wall) = storey.walls.iter().find(|wall| wall.id == opening.wall) {
                let data = [("opening", opening.id.as_str()), ("wall", wall.id.as_str())];
                canvas.group_with("", &opening.id, &data, |canvas| {
                    draw_swing(canvas, wall, opening, view);
                });
            }
        }
    });
    canvas.group("gaps", "Gaps in the exterior", |canvas| {
        for gap in gaps {
            let (from, to) = (view.paper(gap.from), view.paper(gap.to));
            let stroke = Pen::Bold.dashed(Dash::Hidden).with(Ink::Accent);
            for end in [from, to] {
                canvas.circle(Pen::Bold.full().with(Ink::Accent), Fill::None, end, 2.5);
            }
            canvas.line(stroke, from, to);
        }
    });
}

fn join(taken: &MultiPolygon<f64>, walls: Vec<&WallBody>) -> MultiPolygon<f64> {
    use geo::BooleanOps;
    if walls.is_empty() {
        taken.clone()
    } else {
        taken.union(&closed_shape(walls))
    }
}

/// Leaf and swing of a door whose hinge and way are known.
pub(crate) fn draw_swing(canvas: &mut Canvas, wall: &Wall, opening: &Opening, view: &PlanView) {
    let (Some(hinge), Some(swing), Some(along)) = (opening.hinge, opening.swing, direction(wall))
    else {
        return;
    };
    let leaf = opening.leaf.unwrap_or(opening.width).min(opening.width);
    let left = Coord {
        x: -along.y,
        y: along.x,
    };
    let (into, offset) = match swing {
        Swing::In => (left, left * (wall.thickness / 2.0)),
        Swing::Out => (left * -1.0, left * (-wall.thickness / 2.0)),
    };
    let (at, towards) = match hinge {
        Hinge::Start => (opening.near, along),
        Hinge::End => (opening.near + opening.width, along * -1.0),
    };
    let pivot = wall.start + along * at + offset;
    let arc: Vec<Spot> = (0..=12)
        .map(|i| {
            let (sine, cosine) = (f64::from(i) * std::f64::consts::FRAC_PI_2 / 12.0).sin_cos();
            view.paper(pivot + into * (leaf * cosine) + towards * (leaf * sine))
        })
        .collect();
    let foot = view.paper(pivot);
    if let Some(tip) = arc.first() {
        canvas.line(Pen::Fine.full(), foot, *tip);
    }
    canvas.polyline(Pen::Fine.full(), arc);
}

/// The middle of an opening on paper, the way to its outside (or left), its wall's direction, and half its wall's
/// thickness on paper.
pub(super) fn opening_place(
    wall: &Wall,
    opening: &Opening,
    view: &PlanView,
) -> Option<(Spot, Coord<f64>, Coord<f64>, f64)> {
    let along = direction(wall)?;
    let out = Coord {
        x: along.y,
        y: -along.x,
    };
    let middle = wall.start + along * (opening.near + opening.width / 2.0);
    Some((
        view.paper(middle),
        view.paper_vector(out),
        view.paper_vector(along),
        view.millimetres(wall.thickness / 2.0),
    ))
}

/// Solid runs of a wall between its openings, on paper: their ends along the centre line, the longest first.
pub(super) fn solid_runs(storey: &Storey, wall: &Wall, view: &PlanView) -> Vec<(Spot, Spot)> {
    let Some(along) = direction(wall) else {
        return Vec::new();
    };
    let d = wall.end - wall.start;
    let length = d.x.hypot(d.y);
    let mut holes: Vec<(f64, f64)> = storey
        .openings
        .iter()
        .filter(|it| it.wall == wall.id)
        .map(|it| (it.near, it.near + it.width))
        .collect();
    holes.push((length, length));
    holes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut runs = Vec::new();
    let mut from = 0.0;
    for (near, far) in holes {
        if near > from {
            runs.push((from, near));
        }
        from = far.max(from);
    }
    runs.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
    runs.into_iter()
        .map(|(a, b)| {
            (
                view.paper(wall.start + along * a),
                view.paper(wall.start + along * b),
            )
        })
        .collect()
}

/// A small sample of a wall for the legend.
pub(super) fn wall_sample(canvas: &mut Canvas, left: Spot, is_exterior: bool, surety: Surety) {
    let (width, height) = (18.0, 4.6);
    let ring = vec![
        left,
        spot(left.x + width, left.y),
        spot(left.x + width, left.y + height),
        spot(left.x, left.y + height),
    ];
    if is_exterior {
        let (stroke, hatch) = surety.exterior();
        if let Some(hatch) = hatch {
            canvas.hatch(&hatch, std::slice::from_ref(&ring));
        }
        canvas.polygon(stroke, ring);
    } else {
        canvas.polygon(surety.interior(), ring);
    }
}
