//! What closes or joins the two upright edges of a panel.
//!
//! ```text
//!   corner, free         spline (block)           jamb of a framed opening
//!   ║▓▓░░░░              ░░░░▒▒║▒▒                ░░░░▓▓▒▒▒▒║
//!   ║▓▓░░░░  end stud    ░░░░▒▒║▒▒  half of it    ░░░░▓▓▒▒▒▒║  king stud, then the jacks
//!   ║▓▓░░░░              ░░░░▒▒║▒▒  beyond        ░░░░▓▓▒▒▒▒║
//! ```
//!
//! At a corner the inner skin of the panel that runs through stays whole: the wall that butts bears against it, and the screws
//! go through foam and both skins into the butt's end stud.

use super::super::brief::{PanelBrief, askew, bevel_of};
use super::super::{EdgeJoint, Fitted, Slot};
use super::{Home, Piece, PieceKind, cubic_feet, piece, section_name, stud};
use crate::geometry::ShopRect;
use crate::layout::{PanelEdge, PanelKind};
use crate::rules::{Face, SplineKind};
use crate::units::{Inches, Length};

/// One upright edge: its joint, how far the foam stands back there, and the lumber in it.
#[derive(Clone, Debug)]
pub(in super::super) struct EndPack {
    pub(in super::super) joint: EdgeJoint,
    /// Foam back from the panel's end, in the middle of the core.
    pub(in super::super) recess: Length,
    pub(in super::super) slots: Vec<Slot>,
    pub(in super::super) pieces: Vec<Piece>,
}

/// The pack at the left or right edge; `span` is from where to where upright lumber stands.
pub(in super::super) fn end_pack(
    brief: &PanelBrief<'_>,
    home: Home,
    span: (Length, Length),
) -> EndPack {
    let end = End { brief, home, span };
    let edge = if home == Home::Left {
        brief.panel.left
    } else {
        brief.panel.right
    };
    match (brief.panel.kind, edge) {
        (PanelKind::Header | PanelKind::Sill, _) => end.closed(EdgeJoint::Jamb, 0.0),
        (PanelKind::Wall, PanelEdge::Spline { carries, .. }) => end.spline(carries),
        (PanelKind::Wall, PanelEdge::Corner { .. }) => {
            end.closed(EdgeJoint::Corner, bevel_of(edge))
        }
        (PanelKind::Wall, PanelEdge::Free) => end.closed(EdgeJoint::Free, 0.0),
        (PanelKind::Wall, PanelEdge::Jamb { opening }) => end.jamb(opening),
    }
}

struct End<'a> {
    brief: &'a PanelBrief<'a>,
    home: Home,
    span: (Length, Length),
}

impl End<'_> {
    /// A rectangle from `near` to `far` inwards of the panel's end, over the whole span.
    fn rect(&self, near: Length, far: Length) -> ShopRect {
        let (y0, y1) = self.span;
        let shift = self.brief.end_shift(self.brief.core_middle());
        if self.home == Home::Left {
            ShopRect::new(shift[0] + near, y0, shift[0] + far, y1)
        } else {
            let end = self.brief.width - shift[1];
            ShopRect::new(end - far, y0, end - near, y1)
        }
    }

    fn kind<'k>(&self, usage: &'k str, section: &'k str, rule: &'k str) -> PieceKind<'k> {
        PieceKind {
            home: self.home,
            usage,
            section,
            rule,
        }
    }

    /// An end stud. At a bevelled end it stands along the bevel, ripped to what the core measures across it.
    fn closed(&self, joint: EdgeJoint, bevel_deg: f64) -> EndPack {
        let brief = self.brief;
        let recess = brief.rules.recesses.end_stud + brief.rules.recesses.seat;
        let across = askew(brief.stud.width, bevel_deg);
        let section = section_name(brief, across);
        let rect = self.rect(Length::ZERO, askew(brief.stud.thickness, bevel_deg));
        let kind = self.kind("end stud", &section, "recesses.end_stud");
        let mut piece = stud(brief, &kind, rect, true);
        piece.lumber.end_cuts = [[0.0; 2]; 2];
        EndPack {
            joint,
            recess: askew(recess, bevel_deg),
            slots: Vec::new(),
            pieces: vec![piece],
        }
    }

    fn spline(&self, carries: bool) -> EndPack {
        let (brief, rules) = (self.brief, self.brief.rules);
        let mut pack = EndPack {
            joint: EdgeJoint::Spline,
            recess: Length::ZERO,
            slots: Vec::new(),
            pieces: Vec::new(),
        };
        // The middle of the joint lies half a gap beyond the skin.
        let middle = -rules.joints.gap.half();
        let centred = |width: Length| {
            let near = middle - width.half();
            self.rect(near, near + width)
        };
        match rules.joints.spline {
            SplineKind::Block => {
                let width = rules.splines.block_width;
                pack.recess = width.half();
                if carries {
                    pack.pieces.push(self.block_spline(centred(width)));
                }
            }
            SplineKind::SingleLumber => {
                pack.recess = brief.stud.thickness.half();
                if carries {
                    let kind = self.kind("spline", &brief.assembly.lumber, "joints.spline");
                    pack.pieces
                        .push(stud(brief, &kind, centred(brief.stud.thickness), true));
                }
            }
            SplineKind::DoubleLumber => {
                pack.recess = rules.recesses.end_stud + rules.recesses.seat;
                let kind = self.kind("spline", &brief.assembly.lumber, "joints.spline");
                let rect = self.rect(Length::ZERO, brief.stud.thickness);
                pack.pieces.push(stud(brief, &kind, rect, true));
            }
            SplineKind::Surface => {
                let strip = rules.splines.surface_width;
                for face in [Face::Outer, Face::Inner] {
                    pack.slots.push(Slot {
                        face,
                        depth: rules.splines.surface_slot,
                        width: strip.half() + rules.splines.surface_play,
                    });
                    if carries {
                        pack.pieces.push(self.surface_strip(face, centred(strip)));
                    }
                }
            }
        }
        pack
    }

    /// A strip of panel as thick as the core, made with the panel's own skins.
    fn block_spline(&self, rect: ShopRect) -> Piece {
        let (brief, assembly) = (self.brief, self.brief.assembly);
        let section = format!("block {} x {}", Inches(rect.width()), Inches(assembly.core));
        let depth = brief.centred_depth(assembly.core);
        let kind = self.kind("spline", &section, "joints.spline");
        let mut block = piece(brief, &kind, rect, true, depth);
        let skins = assembly.outer_skin + assembly.inner_skin;
        let of = |thickness: Length| cubic_feet(rect, [Length::ZERO, thickness]);
        block.lumber.grade = format!("{} on {}", assembly.skin_material, assembly.core_material);
        block.lumber.weight_lb =
            of(skins) * assembly.skin_density + of(assembly.core - skins) * assembly.core_density;
        block
    }

    fn surface_strip(&self, face: Face, rect: ShopRect) -> Piece {
        let (brief, assembly) = (self.brief, self.brief.assembly);
        let (thickness, depth) = match face {
            Face::Outer => {
                let near = assembly.outer_skin;
                (near, [near, near + assembly.outer_skin])
            }
            Face::Inner => {
                let far = assembly.outer_skin + assembly.core;
                (assembly.inner_skin, [far - assembly.inner_skin, far])
            }
        };
        let section = format!("strip {} x {}", Inches(thickness), Inches(rect.width()));
        let usage = format!("spline, {}", face.name());
        let kind = self.kind(&usage, &section, "joints.spline");
        let mut strip = piece(brief, &kind, rect, true, depth);
        strip.lumber.grade = assembly.skin_material.clone();
        strip.lumber.weight_lb = cubic_feet(rect, depth) * assembly.skin_density;
        strip
    }

    /// King stud and jacks in the edge beside an opening framed between panels. The jacks reach the head; what stands over
    /// them comes loose, because the header has to be lowered between the skins first.
    fn jamb(&self, opening: usize) -> EndPack {
        let brief = self.brief;
        let thickness = brief.stud.thickness;
        let (rule, head, n_jacks) = match brief.opening(opening) {
            Some(opening) => (
                opening.header_rule.as_str(),
                brief.y_of(opening.head),
                i64::from(opening.jacks.max(1)),
            ),
            None => ("openings.header", self.span.1, 1),
        };
        let section = brief.assembly.lumber.as_str();
        let over = brief.opening(opening).map_or(head, |opening| {
            head + super::headers::stack_height(brief, opening)
        });
        let mut pieces = vec![stud(
            brief,
            &self.kind("king stud", section, rule),
            self.rect(thickness * n_jacks, thickness * (n_jacks + 1)),
            true,
        )];
        for place in 0..n_jacks {
            let column = self.rect(thickness * place, thickness * (place + 1));
            let jack = ShopRect {
                y1: head.min(column.y1),
                ..column
            };
            pieces.push(stud(brief, &self.kind("jack", section, rule), jack, true));
            let cripple = ShopRect {
                y0: over.max(column.y0),
                ..column
            };
            if cripple.y0 < cripple.y1 {
                let kind = self.kind("cripple over header", section, rule);
                let mut piece = stud(brief, &kind, cripple, true);
                piece.lumber.fitted = Fitted::Loose;
                pieces.push(piece);
            }
        }
        EndPack {
            joint: EdgeJoint::Jamb,
            recess: thickness * (n_jacks + 1) + brief.rules.recesses.seat,
            slots: Vec::new(),
            pieces,
        }
    }
}
