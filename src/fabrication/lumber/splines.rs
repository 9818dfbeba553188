//! The splines that join two panels: where each lies, and how the foam makes room for it.
//!
//! ```text
//!   block, thermal post       single lumber      surface            I-joist
//!   ════════║════════         ════════║══════    ════════║══════    ════════║══════
//!   ░░░▒▒▒▒▒║▒▒▒▒▒░░░         ░░░░░▒▒▒║▒▒▒░░░    ░░▒▒▒▒▒▒║▒▒▒▒░░    ░░░▒▒▒▒▒║▒▒▒▒▒░   flange in slots behind both skins
//!   ░░░▒▒▒▒▒║▒▒▒▒▒░░░         ░░░░░▒▒▒║▒▒▒░░░    ░░░░░░░░║░░░░░░    ░░░░░░░▒║▒░░░░░░   foam to its web between them
//! ```

use super::super::brief::PanelBrief;
use super::super::{EdgeJoint, Fitted, Slot};
use super::ends::{End, EndPack};
use super::{Piece, cubic_feet, piece, strip_of_panel, stud, under_slope};
use crate::geometry::ShopRect;
use crate::rules::{Face, SplineKind};
use crate::units::{Inches, Length};

impl End<'_> {
    /// A joint with a spline of this kind; `owns` says how this panel's spline is fitted, `None` where the neighbour has it.
    pub(super) fn spline(&self, spline: SplineKind, owns: Option<Fitted>) -> EndPack {
        let carries = owns.is_some();
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
        match spline {
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
                    let kind = self.kind("spline", &brief.assembly.lumber, self.spline_rule());
                    pack.pieces.push(under_slope(
                        brief,
                        stud(brief, &kind, centred(brief.stud.thickness), true),
                    ));
                }
            }
            SplineKind::DoubleLumber => {
                pack.recess = rules.recesses.end_stud + rules.recesses.seat;
                let kind = self.kind("spline", &brief.assembly.lumber, self.spline_rule());
                let rect = self.rect(Length::ZERO, brief.stud.thickness);
                pack.pieces
                    .push(under_slope(brief, stud(brief, &kind, rect, true)));
            }
            SplineKind::Surface => {
                let strip = rules.splines.surface_width;
                for face in [Face::Outer, Face::Inner] {
                    pack.slots
                        .push(self.slot(face, rules.splines.surface_slot, strip));
                    if carries {
                        pack.pieces.push(self.surface_strip(face, centred(strip)));
                    }
                }
            }
            SplineKind::ThermalPost => {
                let width = rules.splines.post_width;
                pack.recess = width.half();
                if carries {
                    pack.pieces.extend(self.thermal_post(centred(width)));
                }
            }
            SplineKind::IJoist => {
                let flange = rules.splines.i_joist_flange;
                pack.recess = rules.splines.i_joist_web.half();
                let depth = rules.splines.i_joist_flange_depth;
                pack.slots = [Face::Outer, Face::Inner]
                    .map(|face| self.slot(face, depth, flange))
                    .to_vec();
                if carries {
                    pack.pieces.push(self.i_joist(centred(flange)));
                }
            }
        }
        // Of double lumber each panel has its own piece, flush with its edge: nothing to slide onto, nothing loose.
        if spline != SplineKind::DoubleLumber {
            for piece in &mut pack.pieces {
                piece.lumber.fitted = owns.unwrap_or(Fitted::Plant);
            }
        }
        pack
    }

    /// The rule that chose the spline.
    fn spline_rule(&self) -> &'static str {
        self.brief.rules.joints.spline_rule(self.brief.assembly)
    }

    /// A strip of panel as thick as the core, made with the panel's own skins.
    fn block_spline(&self, rect: ShopRect) -> Piece {
        let (brief, assembly) = (self.brief, self.brief.assembly);
        let section = format!("block {} x {}", Inches(rect.width()), Inches(assembly.core));
        let kind = self.kind("spline", &section, "joints.spline");
        under_slope(brief, strip_of_panel(brief, &kind, rect, true))
    }

    fn surface_strip(&self, face: Face, rect: ShopRect) -> Piece {
        let (brief, assembly) = (self.brief, self.brief.assembly);
        let skin = assembly.skin(face);
        let near = assembly.outer.thickness;
        let far = near + assembly.core;
        let depth = match face {
            Face::Outer => [near, near + skin.thickness],
            Face::Inner => [far - skin.thickness, far],
        };
        let section = format!(
            "strip {} x {}",
            Inches(skin.thickness),
            Inches(rect.width())
        );
        let usage = format!("spline, {}", face.name());
        let kind = self.kind(&usage, &section, "joints.spline");
        let mut strip = piece(brief, &kind, rect, true, depth);
        strip.lumber.grade.clone_from(&skin.material);
        strip.lumber.weight_lb = cubic_feet(rect, depth) * skin.density;
        under_slope(brief, strip)
    }

    /// The slot behind a skin for half of a strip or flange.
    fn slot(&self, face: Face, depth: Length, width: Length) -> Slot {
        Slot {
            face,
            depth,
            width: width.half() + self.brief.rules.splines.surface_play,
        }
    }

    /// A flange of lumber behind each skin, and foam between them.
    fn thermal_post(&self, rect: ShopRect) -> Vec<Piece> {
        let (brief, assembly) = (self.brief, self.brief.assembly);
        let [near, far] = brief.centred_depth(assembly.core);
        let flange = brief.rules.splines.post_flange.min(assembly.core.half());
        let (a, b) = (near + flange, far - flange);
        let section = flange_section(brief, flange, rect.width());
        let flanges = [(Face::Outer, [near, a]), (Face::Inner, [b, far])];
        let mut pieces: Vec<Piece> = flanges
            .into_iter()
            .map(|(face, depth)| {
                let usage = format!("spline, {} flange", face.name());
                let kind = self.kind(&usage, &section, "joints.spline");
                under_slope(brief, piece(brief, &kind, rect, true, depth))
            })
            .collect();
        if a < b {
            let section = format!("foam {} x {}", Inches(rect.width()), Inches(b - a));
            let kind = self.kind("spline, filler", &section, "joints.spline");
            let mut foam = piece(brief, &kind, rect, true, [a, b]);
            foam.lumber.grade = assembly.core_material.clone();
            foam.lumber.weight_lb = cubic_feet(rect, [a, b]) * assembly.core_density;
            pieces.push(under_slope(brief, foam));
        }
        pieces
    }

    /// A member bought as deep as the core.
    fn i_joist(&self, rect: ShopRect) -> Piece {
        let (brief, sizes) = (self.brief, &self.brief.rules.splines);
        let core = brief.assembly.core;
        let depth = brief.centred_depth(core);
        let section = format!("I-joist {} x {}", Inches(rect.width()), Inches(core));
        let kind = self.kind("spline, I-joist", &section, "joints.spline");
        let mut joist = piece(brief, &kind, rect, true, depth);
        let flange = sizes.i_joist_flange_depth.min(core.half());
        let web = ShopRect {
            x1: rect.x0 + sizes.i_joist_web,
            ..rect
        };
        let volume = cubic_feet(rect, [Length::ZERO, flange * 2])
            + cubic_feet(web, [Length::ZERO, core - flange * 2]);
        joist.lumber.grade = "engineered".to_owned();
        joist.lumber.weight_lb = volume * sizes.i_joist_density;
        under_slope(brief, joist)
    }
}

/// `2x4` where a section of the plant has these sides, else the narrowest that can be ripped to it.
fn flange_section(brief: &PanelBrief<'_>, thickness: Length, width: Length) -> String {
    let sections = brief.rules.lumber.sections.iter();
    let fitting = sections
        .filter(|(_, it)| it.thickness == thickness && it.width >= width)
        .min_by_key(|(name, it)| (it.width, name.as_str()));
    match fitting {
        Some((name, it)) if it.width == width => name.clone(),
        Some((name, _)) => format!("{name} ripped to {}", Inches(width)),
        None => format!("{} x {}", Inches(thickness), Inches(width)),
    }
}
