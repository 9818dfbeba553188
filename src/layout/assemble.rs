//! From chosen runs to panels with edges, marks, order of erection and reasons.

use super::plates::{PlateProblem, plates};
use super::ring::Chosen;
use super::run::{Run, line_for, lying_line_for};
use super::search::{Piece, Side, Solution};
use super::{Layout, Panel, PanelEdge, PanelKind, Reason, RunPiece, WallEnd, WallLayout, codes};
use crate::building::{Building, Corner, PanelWall};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::rules::PlantRules;
use crate::units::Length;

/// Builds the layout wall by wall in the order of erection.
pub(crate) fn assemble(
    building: &Building,
    rules: &PlantRules,
    chosen: &[Chosen],
    findings: &mut Vec<Finding>,
) -> Layout {
    let mut layout = Layout::default();
    for (index, (wall, choice)) in building.walls.iter().zip(chosen).enumerate() {
        let mut laid = WallLayout {
            wall: index,
            from: choice.ends.from,
            to: choice.ends.to,
            left_end: choice.ends.left,
            right_end: choice.ends.right,
            ..WallLayout::default()
        };
        match &choice.solution {
            Ok(solution) => {
                laid.cost_cents = solution.cost;
                laid.bound_cents = solution.cost;
                let run = Run::new(wall, &choice.ends, rules);
                WallAssembly { rules, wall, index, run: &run, solution }.add_panels(&mut laid, &mut layout.panels, findings);
                add_plates(building, rules, wall, solution, &run, &mut laid, findings);
            }
            Err(blocked) => findings.push(Finding::fault(
                codes::NO_LAYOUT,
                Place::element(&wall.storey, &wall.id).with_sources(wall.sources.iter()),
                format!(
                    "wall {} cannot be panelled: no panel can span from {} to {} along it (from its left end as seen from outside)",
                    wall.name,
                    blocked.from.feet_inches(),
                    blocked.to.feet_inches()
                ),
                "openings stand too close together or too near a corner there: move one, allow a narrower strip (joints.least_panel, joints.from_opening), or frame that stretch by hand",
            )),
        }
        layout.walls.push(laid);
    }
    number(building, &mut layout);
    layout
}

struct WallAssembly<'a> {
    rules: &'a PlantRules,
    wall: &'a PanelWall,
    index: usize,
    run: &'a Run<'a>,
    solution: &'a Solution,
}

impl WallAssembly<'_> {
    fn add_panels(
        &self,
        laid: &mut WallLayout,
        panels: &mut Vec<Panel>,
        findings: &mut Vec<Finding>,
    ) {
        let pieces = &self.solution.panels;
        let first = panels.len();
        // Index of each full-height panel: header and sill panels stand after the panel at the opening's right.
        let mut indices = Vec::new();
        let mut next = first;
        for piece in pieces {
            indices.push(next);
            next += 1;
            if let Side::Jamb(opening) = piece.left {
                next += self.infill(opening).len();
            }
        }
        let mut reached = Length::ZERO;
        for (i, piece) in pieces.iter().enumerate() {
            match piece.left {
                Side::Joint => laid.run.push(RunPiece::Gap {
                    from: reached,
                    to: piece.from,
                }),
                Side::Jamb(opening) => laid.run.push(RunPiece::Opening {
                    opening,
                    from: reached,
                    to: piece.from,
                }),
                Side::End => {}
            }
            laid.run.push(RunPiece::Panel {
                panel: indices[i],
                from: piece.from,
                to: piece.to,
            });
            reached = piece.to;
            let left = self.edge(
                piece.left,
                &self.wall.left,
                laid.left_end,
                i.checked_sub(1).map(|i| indices[i]),
                false,
            );
            let right = self.edge(
                piece.right,
                &self.wall.right,
                laid.right_end,
                indices.get(i + 1).copied(),
                true,
            );
            panels.push(self.panel(piece, left, right, findings));
            if let (Side::Jamb(opening), Some(before)) = (piece.left, i.checked_sub(1)) {
                for (kind, rect) in self.infill(opening) {
                    panels.push(self.infill_panel(
                        kind,
                        rect,
                        opening,
                        indices[before],
                        indices[i],
                    ));
                }
            }
        }
    }

    fn edge(
        &self,
        side: Side,
        corner: &Corner,
        end: WallEnd,
        neighbour: Option<usize>,
        carries: bool,
    ) -> PanelEdge {
        match (side, neighbour, corner.with) {
            (Side::Jamb(opening), _, _) => PanelEdge::Jamb { opening },
            (Side::Joint, Some(with), _) => PanelEdge::Spline { with, carries },
            (Side::End, _, Some(with)) => PanelEdge::Corner { with, end },
            (Side::Joint, None, _) | (Side::End, _, None) => PanelEdge::Free,
        }
    }

    fn panel(
        &self,
        piece: &Piece,
        left: PanelEdge,
        right: PanelEdge,
        findings: &mut Vec<Finding>,
    ) -> Panel {
        let stack = &self.wall.stack;
        let rect = ShopRect::new(piece.from, stack.panel_bottom, piece.to, stack.panel_top);
        let inside = |(a, b): &(Length, Length)| *a >= piece.from && *b <= piece.to;
        let openings: Vec<usize> = (0..self.run.openings.len())
            .filter(|i| inside(&self.run.openings[*i]))
            .collect();
        let mut reasons = vec![
            self.edge_reason("left edge", piece.left, piece.from),
            self.edge_reason("right edge", piece.right, piece.to),
        ];
        reasons.push(self.width_reason(rect.width()));
        for opening in &openings {
            let id = &self.wall.openings[*opening].id;
            reasons.push(reason(
                &format!("opening {id}"),
                "openings.whole_up_to",
                format!("{id} is cut whole in this panel, its jambs clear of both edges"),
            ));
            let (from, to) = self.run.openings[*opening];
            let leg = (from - piece.from).min(piece.to - to);
            if leg < self.rules.openings.least_leg {
                findings.push(Finding::doubt(
                    codes::NARROW_LEG,
                    Place::element(&self.wall.storey, id).with_sources(self.wall.openings[*opening].sources.iter()),
                    format!("{} of panel stands beside {id}, less than {}", leg, self.rules.openings.least_leg),
                    "the leg becomes solid lumber: confirm, or move the opening (openings.least_leg)",
                ));
            }
        }
        let line = line_for(self.rules, rect.width(), rect.height()).unwrap_or_default();
        Panel {
            mark: String::new(),
            erection: 0,
            wall: self.index,
            kind: PanelKind::Wall,
            rect,
            openings,
            left,
            right,
            line,
            reasons,
        }
    }

    /// Header and sill panels of an opening framed between two panels, with their rectangles.
    fn infill(&self, opening: usize) -> Vec<(PanelKind, ShopRect)> {
        let (stack, hole) = (&self.wall.stack, &self.wall.openings[opening]);
        let (from, to) = self.run.openings[opening];
        let gap = self.rules.joints.gap;
        let mut infill = Vec::new();
        if hole.sill > stack.panel_bottom {
            infill.push((
                PanelKind::Sill,
                ShopRect::new(from + gap, stack.panel_bottom, to - gap, hole.sill),
            ));
        }
        if hole.head < stack.panel_top {
            infill.push((
                PanelKind::Header,
                ShopRect::new(from + gap, hole.head, to - gap, stack.panel_top),
            ));
        }
        infill
    }

    fn infill_panel(
        &self,
        kind: PanelKind,
        rect: ShopRect,
        opening: usize,
        left: usize,
        right: usize,
    ) -> Panel {
        let id = &self.wall.openings[opening].id;
        let words = format!(
            "{id} is framed between panels: this {} panel fills it, a gap at each end",
            kind.name()
        );
        Panel {
            mark: String::new(),
            erection: 0,
            wall: self.index,
            kind,
            rect,
            openings: Vec::new(),
            left: PanelEdge::Spline {
                with: left,
                carries: false,
            },
            right: PanelEdge::Spline {
                with: right,
                carries: false,
            },
            line: lying_line_for(self.rules, rect.width(), rect.height()).unwrap_or_default(),
            reasons: vec![reason("panel", "openings.whole_up_to", words)],
        }
    }

    fn edge_reason(&self, about: &str, side: Side, at: Length) -> Reason {
        match side {
            Side::End => reason(
                about,
                "corners",
                "the run ends here, at the corner as the corner rule has it".to_owned(),
            ),
            Side::Jamb(opening) => {
                let id = &self.wall.openings[opening].id;
                reason(
                    about,
                    "openings.whole_up_to",
                    format!("{id} is framed between panels, so this edge is its rough jamb"),
                )
            }
            Side::Joint => self.joint_reason(about, at),
        }
    }

    /// A joint lies where the whole run costs least; what keeps it from the next place is named where something does.
    fn joint_reason(&self, about: &str, at: Length) -> Reason {
        let near = self.rules.grid + self.rules.joints.gap;
        let next = self
            .run
            .forbidden
            .iter()
            .find(|f| at + near > f.from && at - near < f.to);
        match next {
            Some(f) => reason(
                about,
                f.rule,
                format!("as far as the rule lets the joint go: {}", f.words),
            ),
            None => reason(
                about,
                "cost",
                "the run costs least with its joint here; no rule forbids it".to_owned(),
            ),
        }
    }

    fn width_reason(&self, width: Length) -> Reason {
        let line = line_for(self.rules, width, self.run.height)
            .and_then(|index| self.rules.lines.get(index));
        let name = line.map_or("", |line| line.name.as_str());
        let is_full =
            line.is_some_and(|line| width + self.rules.joints.gap >= line.width - line.trim * 2);
        let words = if is_full {
            format!("a whole module of the {name} line")
        } else {
            format!("ripped to {width} on the {name} line")
        };
        reason("width", "line", words)
    }
}

fn reason(about: &str, rule: &str, words: String) -> Reason {
    Reason {
        about: about.to_owned(),
        rule: rule.to_owned(),
        words,
    }
}

fn add_plates(
    building: &Building,
    rules: &PlantRules,
    wall: &PanelWall,
    solution: &Solution,
    run: &Run<'_>,
    laid: &mut WallLayout,
    findings: &mut Vec<Finding>,
) {
    let Some(assembly) = rules.assemblies.get(wall.assembly) else {
        return;
    };
    let thickness = |corner: &Corner| {
        let other = corner.with.and_then(|index| building.walls.get(index));
        other
            .and_then(|other| rules.assemblies.get(other.assembly))
            .map_or(Length::ZERO, crate::rules::Assembly::thickness)
    };
    // A cap is ripped from the least section that is as wide as the panel; from sheet stock where none is.
    let wide = rules
        .lumber
        .sections
        .iter()
        .filter(|(_, section)| section.width >= assembly.thickness());
    let cap_section = wide
        .min_by_key(|(_, section)| section.width)
        .map_or_else(|| "engineered lumber".to_owned(), |(name, _)| name.clone());
    let holes = |reaches: &dyn Fn(usize) -> bool| -> Vec<(Length, Length)> {
        (0..run.openings.len())
            .filter(|i| reaches(*i))
            .map(|i| run.openings[i])
            .collect()
    };
    let top_recess = wall.stack.panel_top - rules.plates.thickness;
    let made = plates(&PlateProblem {
        rules,
        length: laid.length(),
        section: &assembly.lumber,
        cap_section: &cap_section,
        left: laid.left_end,
        right: laid.right_end,
        neighbours: [thickness(&wall.left), thickness(&wall.right)],
        panel_joints: solution
            .panels
            .iter()
            .filter(|p| p.left == Side::Joint)
            .map(|p| p.from - rules.joints.gap.half())
            .collect(),
        doors: holes(&|i| wall.openings[i].reaches_floor()),
        full_height: holes(&|i| wall.openings[i].head > top_recess),
    });
    for plate in made.broken {
        findings.push(Finding::doubt(
            codes::PLATE_JOINTS,
            Place::element(&wall.storey, &wall.id),
            format!("no joints of the {} keep {} from panel joints and the next plate's joints", plate.name(), rules.plates.joint_offset),
            "splice it over a blocked joint as the engineer says, or change plates.joint_offset or stock lengths",
        ));
    }
    laid.plates = made.pieces;
}

/// Marks and order: storey by storey, wall by wall, left to right as seen from outside; a header after both neighbours.
fn number(building: &Building, layout: &mut Layout) {
    for storey in 0..building.storeys.len() {
        let on_storey = |panel: &&mut Panel| {
            building
                .walls
                .get(panel.wall)
                .is_some_and(|wall| wall.storey_index == storey)
        };
        let count = layout
            .panels
            .iter()
            .filter(|p| {
                building
                    .walls
                    .get(p.wall)
                    .is_some_and(|w| w.storey_index == storey)
            })
            .count();
        let digits = count.to_string().len().max(2);
        for (n, panel) in layout.panels.iter_mut().filter(on_storey).enumerate() {
            panel.mark = format!("W{}{:0digits$}", storey + 1, n + 1);
        }
    }
    for (n, panel) in layout.panels.iter_mut().enumerate() {
        panel.erection = u32::try_from(n + 1).unwrap_or(u32::MAX);
    }
    let mut counts = [0_u32; 3];
    for plate in layout.walls.iter_mut().flat_map(|wall| &mut wall.plates) {
        let (slot, letter) = match plate.plate {
            super::PlateUse::Sole => (0, 'S'),
            super::PlateUse::Top => (1, 'T'),
            super::PlateUse::Cap => (2, 'C'),
        };
        counts[slot] += 1;
        plate.mark = format!("{letter}{}", counts[slot]);
    }
}
