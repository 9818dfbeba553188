//! From chosen runs to panels with edges, marks and order of erection.

use super::caps::Caps;
use super::corners::RunEnd;
use super::demands::pier_at_opening;
use super::order::{Walk, loosen, tell_order, walks};
use super::price::{lying_line, upright_way};
use super::reasons::Reasons;
use super::ring::{Chosen, Ring};
use super::run::Run;
use super::search::{Before, Search};
use super::solution::{Piece, Side, Solution};
use super::{
    Layout, LayoutOptions, Panel, PanelEdge, PanelKind, Reason, RunPiece, SplineFit, WallLayout,
    alternatives::alternatives, checks, make_up, wall_plates::add_plates,
};
use crate::building::{Building, Corner, PanelWall};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::rules::{PlantRules, PointLoad};
use crate::units::{Erection, Length};

/// Builds the layout, walls in the building's order, panels in the order of erection.
pub(crate) fn assemble(
    building: &Building,
    rules: &PlantRules,
    options: &LayoutOptions,
    (rings, chosen): (&[Ring], &[Chosen]),
    findings: &mut Vec<Finding>,
) -> Layout {
    let mut layout = Layout::default();
    for (index, choice) in chosen.iter().enumerate() {
        layout.walls.push(WallLayout {
            wall: index,
            from: choice.ends.left.at,
            to: choice.ends.right.at,
            left_end: choice.ends.left.end,
            right_end: choice.ends.right.end,
            ..WallLayout::default()
        });
    }
    let walks = walks(building, options, chosen, rings);
    for index in walks.iter().flat_map(|walk| &walk.walls) {
        let (Some(wall), Some(choice)) = (building.walls.get(*index), chosen.get(*index)) else {
            continue;
        };
        let stated = options.walls.get(&wall.id);
        let wished = stated.map(|wished| choice.honoured(wished));
        let run = Run::new(wall, &choice.ends, rules, wished.as_ref(), &choice.beside);
        if let Some(stated) = stated {
            checks::stated(wall, rules, (stated, choice), findings);
        }
        checks::wall(wall, rules, &run, choice.solution.as_ref(), findings);
        let Some(solution) = &choice.solution else {
            continue;
        };
        let assembly = WallAssembly {
            rules,
            wall,
            choice,
            index: *index,
            run: &run,
            solution,
        };
        let laid = &mut layout.walls[*index];
        laid.cost_cents = choice.own_cents(rules);
        laid.bound_cents = laid.cost_cents - choice.gap;
        // What joints above pay is theirs; another layout is dearer by what it makes them pay more.
        let paid_above = solution.cost.whole_cents() - laid.cost_cents;
        if options.alternatives > 0
            && let Ok(mut search) = Search::new(&run, run.left.at, run.left.at)
            && let Ok(mut plain) = Search::plain(&run, run.left.at)
            && let mirrored = run.mirrored()
            && let Ok(before) = Before::new(&mirrored)
        {
            let searches = [&mut search, &mut plain];
            let others = alternatives(searches, (&before, &run.left), solution, options);
            let from_run = |other: &Solution| other.joints().map(|x| x - run.left.at).collect();
            laid.alternatives = others
                .iter()
                .map(|o| (o.cost.whole_cents() - paid_above, from_run(o)))
                .collect();
        }
        if let Some(stated) = stated {
            laid.points.clone_from(&stated.points);
            laid.boxes.clone_from(&stated.boxes);
            laid.nailers.clone_from(&stated.nailers);
            laid.chases.clone_from(&stated.chases);
        }
        let first = layout.panels.len();
        assembly.add_panels(laid, &mut layout.panels);
        if let Some(stated) = stated {
            findings.extend(checks::without_panel(wall, stated, laid));
        }
        for panel in layout.panels.iter_mut().skip(first) {
            tell_points(wall, laid, panel);
        }
        let mut own = layout.panels.iter().skip(first);
        let last = own.rfind(|it| it.kind == PanelKind::Wall);
        findings.extend(make_up::finding(wall, &choice.ends.right, last, rules));
        let caps = Caps {
            building,
            rules,
            chosen,
        };
        add_plates(caps, wall, solution, laid, findings);
    }
    number(building, &walks, &mut layout);
    let reaches = |wall: usize| {
        let wall = building.walls.get(wall);
        let assembly = wall.and_then(|wall| rules.assemblies.get(wall.assembly));
        assembly.is_some_and(|it| rules.joints.spline_of(it).reach(rules) > Length::ZERO)
    };
    for walk in walks.iter().filter(|walk| walk.is_tight) {
        if walk.walls.last().is_some_and(|wall| reaches(*wall))
            && let Some([before, last]) = loosen(walk, &mut layout)
        {
            checks::closing_panel(building, [before, last], &layout, findings);
        }
    }
    tell_order(building, &walks, rules, &mut layout);
    layout
}

/// What the sheet says of a point load: its post is the job's word, or is still to be named.
fn bearing_words(wall: &PanelWall, point: &PointLoad, from_left: Length) -> String {
    let verb = if point.hold_down.is_some() {
        "pulls up"
    } else {
        "bears"
    };
    let place = format!(
        "{} {verb} {} from its left end",
        point.what,
        from_left.feet_inches()
    );
    if let Some(opening) = wall.carried_by(point) {
        return format!(
            "{place} on the {} over {}, named by the job, and no post stands under it; not sized here: engineer",
            opening.header.name(),
            opening.id
        );
    }
    match &point.post {
        Some(post) => format!(
            "{place} on {}-{}, named by the job; not sized here: engineer",
            post.plies, post.section
        ),
        None => format!("{place}: post and blocking under it are not sized: engineer"),
    }
}

/// Tells a panel what bears on it.
fn tell_points(wall: &PanelWall, laid: &WallLayout, panel: &mut Panel) {
    let points = laid
        .points
        .iter()
        .map(|point| (point, point.at - laid.from));
    let of = |x: Length| panel.kind == PanelKind::Wall && panel.rect.x0 <= x && x < panel.rect.x1;
    let told: Vec<Reason> = points
        .filter(|(_, x)| of(*x))
        .map(|(point, x)| Reason {
            about: "point load".to_owned(),
            rule: "joints.from_point_load".to_owned(),
            words: bearing_words(wall, point, x - panel.rect.x0),
            lead: None,
        })
        .collect();
    panel.reasons.extend(told);
}

struct WallAssembly<'a> {
    rules: &'a PlantRules,
    wall: &'a PanelWall,
    choice: &'a Chosen,
    index: usize,
    run: &'a Run<'a>,
    solution: &'a Solution,
}

impl WallAssembly<'_> {
    /// Panels from left to right; sill and header panel of a framed opening follow the panel at its right: both of their
    /// neighbours stand by then.
    fn add_panels(&self, laid: &mut WallLayout, panels: &mut Vec<Panel>) {
        let pieces = &self.solution.panels;
        let mut indices = Vec::new();
        let mut next = panels.len();
        for piece in pieces {
            indices.push(next);
            next += 1;
            if let Side::Jamb(opening) = piece.left {
                next += infill(self.wall, self.rules, opening).len();
            }
        }
        let mut reached = self.run.left.at;
        for (i, piece) in pieces.iter().enumerate() {
            let (from, to) = (self.in_run(reached), self.in_run(piece.from));
            match piece.left {
                Side::Joint => laid.run.push(RunPiece::Gap { from, to }),
                Side::Jamb(opening) => laid.run.push(RunPiece::Opening { opening, from, to }),
                Side::End => {}
            }
            laid.run.push(RunPiece::Panel {
                panel: indices[i],
                from: to,
                to: self.in_run(piece.to),
            });
            reached = piece.to;
            panels.push(self.panel(i, &indices));
            if let Side::Jamb(opening) = piece.left {
                for (kind, rect) in infill(self.wall, self.rules, opening) {
                    panels.push(self.infill_panel(kind, rect, opening));
                }
            }
        }
    }

    /// From wall axes to run axes.
    fn in_run(&self, along: Length) -> Length {
        along - self.run.left.at
    }

    fn panel(&self, i: usize, indices: &[usize]) -> Panel {
        let piece = &self.solution.panels[i];
        let ends = &self.choice.ends;
        let before = i.checked_sub(1).and_then(|before| indices.get(before));
        let left = edge(
            piece.left,
            &self.wall.left,
            &ends.left,
            before,
            SplineFit::Receives,
        );
        let after = indices.get(i + 1);
        let right = edge(
            piece.right,
            &self.wall.right,
            &ends.right,
            after,
            SplineFit::Carries,
        );
        let bounds = self.wall.profile.bounds(piece.from, piece.to);
        let rect = bounds.moved(-self.run.left.at, Length::ZERO);
        let is_pier = pier_at_opening::is_pier(self.wall, self.rules, piece);
        let make_up = if piece.right == Side::End && !is_pier {
            ends.right.make_up
        } else {
            Length::ZERO
        };
        let reasons = Reasons {
            rules: self.rules,
            wall: self.wall,
            ends,
            run: self.run,
            solution: self.solution,
        };
        let longer = rect.width() + reasons.extra(i);
        let way = upright_way(self.rules, longer, rect.height() + self.wall.skin_drop);
        Panel {
            mark: String::new(),
            erection: Erection::default(),
            wall: self.index,
            kind: PanelKind::Wall,
            rect: ShopRect {
                x1: rect.x1 + make_up,
                y0: rect.y0 - self.wall.skin_drop,
                ..rect
            },
            make_up,
            openings: held(self.run, piece),
            is_pier,
            left,
            right,
            line: way.map_or(0, |it| it.0),
            is_axis_level: way.is_some_and(|it| it.1.is_axis_level),
            reasons: reasons.of(i),
        }
    }

    fn infill_panel(&self, kind: PanelKind, rect: ShopRect, opening: usize) -> Panel {
        let rect = rect.moved(-self.run.left.at, Length::ZERO);
        let (width, height) = (rect.width(), rect.height());
        let lying = lying_line(self.rules, width, height);
        let way = upright_way(self.rules, width, height).filter(|_| lying.is_none());
        let line = lying.or(way.map(|it| it.0));
        Panel {
            mark: String::new(),
            erection: Erection::default(),
            wall: self.index,
            kind,
            rect,
            make_up: Length::ZERO,
            openings: Vec::new(),
            is_pier: false,
            left: PanelEdge::Jamb { opening },
            right: PanelEdge::Jamb { opening },
            line: line.unwrap_or_default(),
            is_axis_level: way.is_some_and(|it| it.1.is_axis_level),
            reasons: super::reasons::of_infill(self.rules, self.wall, kind, opening),
        }
    }
}

/// Openings cut whole in a panel.
pub(crate) fn held(run: &Run<'_>, piece: &Piece) -> Vec<usize> {
    let holes = run.openings.iter().enumerate();
    let inside = holes.filter(|(_, hole)| hole.from >= piece.from && hole.to <= piece.to);
    inside.map(|(i, _)| i).collect()
}

/// Sill and header panel of an opening framed between two panels, with their rectangles in wall axes: a gap at each end. Where the
/// head leaves no room for a buck under the top plate there is no header panel: the plates alone pass over it.
pub(crate) fn infill(
    wall: &PanelWall,
    rules: &PlantRules,
    opening: usize,
) -> Vec<(PanelKind, ShopRect)> {
    let Some(hole) = wall.openings.get(opening) else {
        return Vec::new();
    };
    let gap = rules.joints.gap;
    let (from, to) = (hole.from + gap, hole.to - gap);
    let bounds = wall.profile.bounds(from, to);
    let (low, high) = (hole.sill.min(bounds.y1), hole.head.max(bounds.y0));
    let sill = ShopRect { y1: low, ..bounds };
    let header = ShopRect { y0: high, ..bounds };
    let least = |kind| match kind {
        PanelKind::Header => rules.plates.thickness * 2,
        PanelKind::Sill | PanelKind::Wall => Length::nanometres(1),
    };
    [(PanelKind::Sill, sill), (PanelKind::Header, header)]
        .into_iter()
        .filter(|(kind, rect)| rect.x0 < rect.x1 && rect.height() >= least(*kind))
        .map(|(kind, rect)| {
            let drop = match kind {
                PanelKind::Sill => wall.skin_drop,
                PanelKind::Header | PanelKind::Wall => Length::ZERO,
            };
            let y0 = rect.y0 - drop;
            (kind, ShopRect { y0, ..rect })
        })
        .collect()
}

fn edge(
    side: Side,
    corner: &Corner,
    end: &RunEnd,
    neighbour: Option<&usize>,
    fit: SplineFit,
) -> PanelEdge {
    match (side, neighbour, corner.with) {
        (Side::Jamb(opening), _, _) => PanelEdge::Jamb { opening },
        (Side::Joint, Some(with), _) => PanelEdge::Spline { with: *with, fit },
        (Side::End, _, Some(with)) => PanelEdge::Corner { with, end: end.end },
        (Side::Joint, None, _) | (Side::End, _, None) => PanelEdge::Free,
    }
}

/// Marks and order. A mark is the storey's number and the panel's number in it, with as many digits as the storey with the
/// most panels needs, two at least: `W101`, or `W1001` where a storey has more than 99.
fn number(building: &Building, walks: &[Walk], layout: &mut Layout) {
    let storey_of = |panel: &Panel| building.walls.get(panel.wall).map_or(0, |w| w.storey_index);
    let storeys = building
        .walls
        .iter()
        .map(|wall| wall.storey_index + 1)
        .max();
    let mut counts = vec![0_usize; storeys.unwrap_or_default()];
    for panel in &layout.panels {
        counts[storey_of(panel)] += 1;
    }
    let most = counts.iter().max().copied().unwrap_or_default();
    let digits = most.to_string().len().max(2);
    counts.fill(0);
    for (place, panel) in layout.panels.iter_mut().enumerate() {
        let storey = storey_of(panel);
        counts[storey] += 1;
        panel.mark = format!("W{}{:0digits$}", storey + 1, counts[storey]);
        panel.erection = u32::try_from(place + 1).unwrap_or(u32::MAX).into();
    }
    let mut plates = [0_u32; 3];
    for wall in walks.iter().flat_map(|walk| &walk.walls) {
        for plate in &mut layout.walls[*wall].plates {
            let (slot, series) = match plate.plate {
                super::PlateUse::Sole => (0, "SP"),
                super::PlateUse::Top => (1, "TP"),
                super::PlateUse::Cap => (2, "CP"),
            };
            plates[slot] += 1;
            plate.mark = format!("{series}{}", plates[slot]);
        }
    }
}

/// A place that names a wall or an opening of it.
pub(crate) fn place(wall: &PanelWall, id: &str, sources: &[String]) -> Place {
    Place::element(&wall.storey, id).with_sources(sources.iter())
}
