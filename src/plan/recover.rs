//! From drawings to a plan: one storey for each drawing.

use super::features::{Callout, Found, Swing, callouts, look, swings};
use super::network::{Member, Network, network};
use super::rails::{Family, families, segments};
use super::runs::{Cell, Run, crosses, runs};
use super::{
    Hinge, Opening, OpeningKind, Plan, PlanCorrections, Room, Storey, Swing as Opens, Wall, codes,
};
use crate::drawing::{Curve, Drawing, SourceIndex};
use crate::findings::{Finding, Outcome, Place};
use geo::Coord;

/// Recovers the plan of each drawing: the first is the lowest storey.
#[must_use]
pub fn recover_plan(drawings: &[Drawing], _corrections: &PlanCorrections) -> Outcome<Plan> {
    let mut findings = Vec::new();
    let scale = drawings
        .first()
        .map(|drawing| drawing.scale.clone())
        .unwrap_or_default();
    let mut plan = Plan {
        unit: scale.unit,
        inches_per_unit: scale.inches_per_unit,
        unit_confidence: scale.confidence,
        storeys: Vec::new(),
    };
    let mut numbers = Numbers::default();
    for (index, drawing) in drawings.iter().enumerate() {
        let storey =
            Recovery::new(drawing).storey(&format!("S{}", index + 1), &mut numbers, &mut findings);
        plan.storeys.push(storey);
    }
    Outcome {
        output: plan,
        findings,
    }
}

/// Ids are unique in the whole plan.
#[derive(Default)]
struct Numbers {
    exterior: usize,
    interior: usize,
    opening: usize,
    room: usize,
}

struct Recovery<'a> {
    drawing: &'a Drawing,
    origin: Coord<f64>,
    families: Vec<Family>,
    runs: Vec<Run>,
    swings: Vec<Swing>,
    callouts: Vec<Callout>,
    network: Network,
}

/// A wall to be: part of a member between two stops.
struct Part {
    member: usize,
    from: f64,
    to: f64,
    exterior: bool,
    /// True when it runs against its member so that the outside is on its right.
    reversed: bool,
}

impl<'a> Recovery<'a> {
    fn new(drawing: &'a Drawing) -> Self {
        let origin = middle(drawing);
        let segments = segments(drawing, origin);
        let families = families(&segments);
        let crosses: Vec<_> = families
            .iter()
            .map(|family| crosses(family, &segments))
            .collect();
        let runs = runs(&families, &crosses);
        let network = network(&families, &runs);
        Self {
            drawing,
            origin,
            swings: swings(drawing, origin),
            callouts: callouts(drawing, origin),
            families,
            runs,
            network,
        }
    }

    fn storey(&self, id: &str, numbers: &mut Numbers, findings: &mut Vec<Finding>) -> Storey {
        let mut storey = Storey {
            id: id.to_owned(),
            file: self.drawing.file.clone(),
            ..Storey::default()
        };
        storey.outline = self.outline();
        if storey.outline.is_empty() && !self.runs.is_empty() {
            let ends: Vec<String> = self
                .network
                .gaps
                .iter()
                .take(2)
                .map(|p| format!("({:.1}, {:.1})", p.x + self.origin.x, p.y + self.origin.y))
                .collect();
            let mut place = Place {
                storey: Some(id.to_owned()),
                ..Place::default()
            };
            place.at = self
                .network
                .gaps
                .first()
                .map(|p| [p.x + self.origin.x, p.y + self.origin.y]);
            findings.push(Finding::fault(
                codes::NO_OUTLINE,
                place,
                format!(
                    "the outside walls do not close; the gap has its ends at {}",
                    ends.join(" and ")
                ),
                "draw the missing wall, or say in the job which lines are the outside",
            ));
        }
        let parts = self.parts();
        for part in &parts {
            let member = &self.network.members[part.member];
            let wall = self.wall(part, member, numbers);
            for cell in &self.runs[member.run].openings {
                let (from, to) = self.along(member, cell);
                if from >= part.from - 0.5 && to <= part.to + 0.5 {
                    let found = look(
                        &self.families[self.runs[member.run].family],
                        &self.runs[member.run],
                        cell,
                        &self.swings,
                        &self.callouts,
                    );
                    let opening = self.opening(part, &wall, (from, to), &found, numbers);
                    self.ask(id, &opening, &found, findings);
                    storey.openings.push(opening);
                }
            }
            storey.walls.push(wall);
        }
        storey.rooms = self.rooms(numbers);
        storey
    }

    /// Distances along a member of a cell's two ends.
    fn along(&self, member: &Member, cell: &Cell) -> (f64, f64) {
        let run = &self.runs[member.run];
        let start = self.families[run.family].local(member.start).0;
        (cell.u0 - start, cell.u1 - start)
    }

    /// Exterior parts in the order of the ring, then interior ones.
    fn parts(&self) -> Vec<Part> {
        let mut parts: Vec<Part> = Vec::new();
        for (m, a, b) in &self.network.ring {
            let member = &self.network.members[*m];
            let at = |node: usize| {
                member
                    .stops
                    .iter()
                    .find(|stop| stop.1 == node)
                    .map_or(0.0, |stop| stop.0)
            };
            let (from, to) = (at(*a), at(*b));
            let reversed = from > to;
            let (from, to) = (from.min(to), from.max(to));
            match parts.last_mut() {
                Some(last) if last.member == *m && last.reversed == reversed => {
                    last.from = last.from.min(from);
                    last.to = last.to.max(to);
                }
                _ => parts.push(Part {
                    member: *m,
                    from,
                    to,
                    exterior: true,
                    reversed,
                }),
            }
        }
        // The ring may start in the middle of a wall.
        if parts.len() > 1
            && parts[0].member == parts[parts.len() - 1].member
            && parts[0].reversed == parts[parts.len() - 1].reversed
        {
            if let Some(last) = parts.pop() {
                parts[0].from = parts[0].from.min(last.from);
                parts[0].to = parts[0].to.max(last.to);
            }
        }
        let mut interior: Vec<Part> = Vec::new();
        for (m, member) in self.network.members.iter().enumerate() {
            let mut covered: Vec<(f64, f64)> = parts
                .iter()
                .filter(|p| p.member == m)
                .map(|p| (p.from, p.to))
                .collect();
            covered.sort_by(|p, q| p.0.total_cmp(&q.0));
            let length = member.stops.last().map_or(0.0, |stop| stop.0);
            let mut from = 0.0;
            for (a, b) in covered.into_iter().chain([(length, length)]) {
                if a - from > 1.0 {
                    interior.push(Part {
                        member: m,
                        from,
                        to: a,
                        exterior: false,
                        reversed: false,
                    });
                }
                from = f64::max(from, b);
            }
        }
        parts.extend(interior);
        parts
    }

    fn wall(&self, part: &Part, member: &Member, numbers: &mut Numbers) -> Wall {
        let run = &self.runs[member.run];
        let d = self.families[run.family].along;
        let point = |s: f64| member.start + d * s + self.origin;
        let (start, end) = if part.reversed {
            (point(part.to), point(part.from))
        } else {
            (point(part.from), point(part.to))
        };
        let id = if part.exterior {
            numbers.exterior += 1;
            format!("X{}", numbers.exterior)
        } else {
            numbers.interior += 1;
            format!("I{}", numbers.interior)
        };
        Wall {
            id,
            is_exterior: part.exterior,
            start,
            end,
            thickness: run.thickness(),
            layers: Vec::new(),
            sources: self.handles(&run.sources),
            confidence: 0.99,
        }
    }

    fn opening(
        &self,
        part: &Part,
        wall: &Wall,
        (from, to): (f64, f64),
        found: &Found,
        numbers: &mut Numbers,
    ) -> Opening {
        numbers.opening += 1;
        let width = to - from;
        let near = if part.reversed {
            part.to - to
        } else {
            from - part.from
        };
        let length = (wall.end.x - wall.start.x).hypot(wall.end.y - wall.start.y);
        let t = (near + width / 2.0) / length;
        let callout = found.callout.map(|i| &self.callouts[i]);
        Opening {
            id: format!("O{}", numbers.opening),
            wall: wall.id.clone(),
            kind: found.kind,
            centre: wall.start + (wall.end - wall.start) * t,
            near,
            width,
            tag: callout.map(|c| c.text.clone()),
            height: callout.and_then(|c| c.height),
            leaf: found.leaf,
            hinge: found.hinge_low.map(|low| {
                if low == part.reversed {
                    Hinge::End
                } else {
                    Hinge::Start
                }
            }),
            // Higher v is on the left of the member; the outside is on the right of the wall.
            swing: found.swings_up.map(|up| {
                if up == part.reversed {
                    Opens::Out
                } else {
                    Opens::In
                }
            }),
            sources: self.handles(&found.sources),
            confidence: 0.98,
            ..Opening::default()
        }
    }

    fn ask(&self, storey: &str, opening: &Opening, found: &Found, findings: &mut Vec<Finding>) {
        if !found.is_sure || opening.kind != OpeningKind::Opening {
            return;
        }
        findings.push(Finding::doubt(
            codes::BARE_JAMBS,
            Place::element(storey, &opening.id).with_at(opening.centre.x, opening.centre.y).with_sources(opening.sources.iter()),
            format!("{} in {} has two jambs and nothing between them: taken as an opening without door or window", opening.id, opening.wall),
            "say in the job what it is, or leave it as it is",
        ));
    }

    fn handles(&self, sources: &[SourceIndex]) -> Vec<String> {
        let mut handles: Vec<String> = sources
            .iter()
            .filter_map(|index| self.drawing.sources.get(index.0 as usize))
            .map(|source| source.handle.clone())
            .collect();
        handles.sort();
        handles.dedup();
        handles
    }

    /// Corners where the outer faces of ring walls meet, counter-clockwise.
    fn outline(&self) -> Vec<Coord<f64>> {
        let parts: Vec<Part> = self
            .parts()
            .into_iter()
            .filter(|part| part.exterior)
            .collect();
        let face = |part: &Part| {
            let run = &self.runs[self.network.members[part.member].run];
            let family = &self.families[run.family];
            // Outside is on the right of the walk: lower v when walking along u.
            let v = if part.reversed { run.v.1 } else { run.v.0 };
            (family.point(0.0, v), family.along)
        };
        (0..parts.len())
            .map(|i| {
                let (a, b) = (&parts[(i + parts.len() - 1) % parts.len()], &parts[i]);
                let ((p, d), (q, e)) = (face(a), face(b));
                let sine = d.x * e.y - d.y * e.x;
                if sine.abs() < 1e-6 {
                    let member = &self.network.members[b.member];
                    let at = if b.reversed { b.to } else { b.from };
                    return member.start
                        + self.families[self.runs[member.run].family].along * at
                        + self.origin;
                }
                let r = q - p;
                p + d * ((r.x * e.y - r.y * e.x) / sine) + self.origin
            })
            .collect()
    }

    fn rooms(&self, _numbers: &mut Numbers) -> Vec<Room> {
        Vec::new()
    }
}

/// Middle of everything drawn, so that far coordinates lose no digits.
fn middle(drawing: &Drawing) -> Coord<f64> {
    let points = drawing
        .strokes
        .iter()
        .flat_map(|stroke| match stroke.curve {
            Curve::Line { start, end } => [start, end],
            Curve::Arc { centre, .. } => [centre, centre],
        });
    let start = (
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    );
    let (x0, y0, x1, y1) = points.fold(start, |(x0, y0, x1, y1), p| {
        (x0.min(p.x), y0.min(p.y), x1.max(p.x), y1.max(p.y))
    });
    let centre = Coord {
        x: f64::midpoint(x0, x1),
        y: f64::midpoint(y0, y1),
    };
    if centre.x.is_finite() && centre.y.is_finite() {
        centre
    } else {
        Coord { x: 0.0, y: 0.0 }
    }
}
