//! Boards flat behind a skin, for what hangs on the wall: cabinets inside, a deck outside.
//!
//! ```text
//!   outside ║▓▓░░░░░║   behind the outer skin: backing for a ledger, which nobody here sizes
//!           ║░░░░░▓▓║   behind the inner skin: backing for cabinets
//! ```

use super::{Field, Inserts, Solid, codes, conflicts};
use crate::fabrication::Lumber;
use crate::fabrication::brief::PanelBrief;
use crate::fabrication::lumber::{Home, PieceKind, board_between, piece};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::rules::{Face, Nailer};
use crate::units::{Inches, Length};

/// What a board is for that is let into the core behind a skin.
const fn usage(face: Face) -> &'static str {
    match face {
        Face::Inner => "nailer",
        Face::Outer => "outer nailer",
    }
}

/// True of the use of a piece that lies within the core's own contour, where foam has to make room for it.
pub(in crate::fabrication) fn is_nailer(use_of: &str) -> bool {
    [Face::Inner, Face::Outer].map(usage).contains(&use_of)
}

/// Tells each nailer that would cross a header or sill panel, where none is made.
pub(super) fn left_out(brief: &PanelBrief<'_>, to: &mut Inserts) {
    for it in &brief.run.nailers {
        let Some(section) = brief.rules.lumber.sections.get(&it.section) else {
            continue;
        };
        let [x0, x1] = [it.from, it.to].map(|at| at - brief.along());
        let y0 = brief.y_of(it.height) - section.width.half();
        let board = ShopRect::new(x0, y0, x1, y0 + section.width);
        let panel = ShopRect::new(Length::ZERO, Length::ZERO, brief.width, brief.height);
        if board.common(&panel).is_some() {
            let why = format!("none is made in a {} panel", brief.panel.kind.name());
            to.findings.push(missing(brief, it, &why));
        }
    }
}

/// The panel, with the lines that show what hangs there, else those of the wall.
fn place(brief: &PanelBrief<'_>, it: &Nailer) -> Place {
    let sources = if it.sources.is_empty() {
        &brief.wall.sources
    } else {
        &it.sources
    };
    Place::panel(&brief.panel.mark).with_sources(sources)
}

/// Handles of the lines of the plan that asked for the nailers of a panel.
pub(in crate::fabrication) fn sources(brief: &PanelBrief<'_>, lumber: &[Lumber]) -> Vec<String> {
    let boards = || lumber.iter().filter(|it| is_nailer(&it.usage));
    let own = brief.run.nailers.iter().filter(|it| {
        let [x0, x1] = [it.from, it.to].map(|at| at - brief.along());
        let middle = brief.y_of(it.height);
        boards().any(|board| {
            let board = &board.rect;
            board.x0 < x1 && x0 < board.x1 && board.y0 < middle && middle < board.y1
        })
    });
    own.flat_map(|it| it.sources.iter().cloned()).collect()
}

fn missing(brief: &PanelBrief<'_>, it: &Nailer, why: &str) -> Finding {
    Finding::doubt(
        codes::NAILER_LEFT_OUT,
        place(brief, it),
        format!("the nailer for {} is left out here: {why}", it.what),
        "have blocking fitted on site where something hangs there, or give the nailer another place under [[layout]] of job.toml",
    )
}

impl Field<'_> {
    /// The part of a nailer that lies in this panel; an opening in its way parts it.
    pub(super) fn nail(&self, it: &Nailer, to: &mut Inserts) {
        let brief = self.brief;
        let name = format!("the nailer for {}", it.what);
        // What the plan shows is a proposal: it never holds a panel.
        let refused = |why: &str| {
            if it.is_drawn {
                missing(brief, it, why)
            } else {
                self.fault(&name, why)
            }
        };
        let [from, end] = [it.from, it.to].map(|at| at - brief.along());
        let (x0, x1) = (from.max(self.left), end.min(self.right));
        if x0 >= x1 {
            return;
        }
        let Some(section) = brief.rules.lumber.sections.get(&it.section).copied() else {
            to.findings
                .push(refused("the plant rules know no such section"));
            return;
        };
        let (outer, core) = (brief.assembly.outer.thickness, brief.assembly.core);
        if section.thickness > core {
            to.findings.push(refused("it is thicker than the core"));
            return;
        }
        let skin = match it.face {
            Face::Inner => brief.assembly.inner.thickness,
            Face::Outer => outer,
        };
        if skin == Length::ZERO {
            to.findings.push(refused("that face has no skin"));
            return;
        }
        let y0 = brief.y_of(it.height) - section.width.half();
        let whole = ShopRect::new(x0, y0, x1, y0 + section.width);
        let depth = match it.face {
            Face::Inner => [outer + core - section.thickness, outer + core],
            Face::Outer => [outer, outer + section.thickness],
        };
        let frames = self.frames.iter().map(|frame| frame.foam_hole);
        // Boards behind the two skins pass each other where the core is thick enough.
        let solids = to.solids.iter();
        let in_depth = solids.filter(|it| it.depth[0] < depth[1] && depth[0] < it.depth[1]);
        let blocks = frames
            .chain(in_depth.map(|solid| solid.rect))
            .filter(|rect| rect.common(&whole).is_some());
        let parts = board_between(whole, blocks.map(|rect| [rect.x0, rect.x1]));
        let solids = to.solids.iter();
        let mut in_depth = solids.filter(|it| it.depth[0] < depth[1] && depth[0] < it.depth[1]);
        if in_depth.any(|solid| solid.rect.common(&whole).is_some()) {
            let why = "lumber, or a cut of the inner face, stands in its way";
            to.findings.push(missing(brief, it, why));
        }
        for part in parts {
            let why = self.obstacle(part);
            let boxed = || conflicts::of_lumber(brief, (part, depth), to);
            if let Some(why) = why.or_else(boxed) {
                to.findings.push(refused(&why));
                continue;
            }
            self.let_in(it, part, depth, to);
        }
    }

    fn let_in(&self, it: &Nailer, part: ShopRect, depth: [Length; 2], to: &mut Inserts) {
        let brief = self.brief;
        let kind = PieceKind {
            home: Home::Field,
            usage: usage(it.face),
            section: &it.section,
            rule: it.rule,
        };
        to.pieces.push(piece(brief, &kind, part, false, depth));
        to.solids.push(Solid { rect: part, depth });
        let hangs = match it.face {
            Face::Inner => "",
            Face::Outer => {
                "; what hangs on it, its fixings and the skin there: not sized: engineer; flash over it"
            }
        };
        to.notes.push(format!(
            "nailer for {}: {} flat behind the {} skin, {} to {} up; let it {} into the core{hangs}",
            it.what,
            it.section,
            it.face.name(),
            Inches(part.y0),
            Inches(part.y1),
            Inches(depth[1] - depth[0])
        ));
        if it.face == Face::Outer {
            to.findings.push(Finding::doubt(
                codes::OUTER_NAILER,
                place(brief, it),
                format!(
                    "{} hangs on the outer skin over a nailer {}: ledger, fixings and what the skin carries there: not sized: engineer",
                    it.what, it.section
                ),
                "have the engineer name ledger and fixings, or let it stand on posts of its own beside the wall",
            ));
        }
    }
}
