//! What the job puts into a panel: posts and beam pockets under what bears on it, boxes for wiring, nailers behind a skin.
//!
//! ```text
//!   ├──────┬──┬──────┤        post     plies of lumber through the core, from sole to top plate or to a pocket's bottom
//!   │      │▓▓│ ┌─┐  │        pocket   through the inner skin and the core, over the post that carries the beam
//!   │ ▒▒▒▒▒│▓▓│ └─┘  │        box      through the inner skin; the core is hollowed behind it
//!   │      │▓▓│      │        nailer   flat behind the inner or the outer skin, let into the core
//!   └──────┴──┴──────┘
//! ```
//!
//! Members are the job's own: nothing here is sized, and every note says so.

mod conflicts;
mod hold_downs;
mod nailers;

use super::InnerCut;
use super::brief::PanelBrief;
use super::codes;
use super::lumber::{EndPack, Home, OpeningFrame, Piece, PieceKind, piece};
use super::recesses::Recesses;
use super::tees::{TeeAt, has_stud, tees};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::layout::PanelKind;
use crate::rules::{PointLoad, Post, UnnamedPost, WiringBox};
use crate::units::{Inches, Length};
pub(super) use nailers::{is_nailer, sources as nailer_sources};

/// A place that wiring must go round: from where to where in the elevation, and in depth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Solid {
    pub(super) rect: ShopRect,
    pub(super) depth: [Length; 2],
}

/// All inserts of a panel.
#[derive(Clone, Debug, Default)]
pub(super) struct Inserts {
    pub(super) pieces: Vec<Piece>,
    /// Taken out of the core.
    pub(super) foam_holes: Vec<ShopRect>,
    /// Taken out of the inner skin.
    pub(super) inner_cuts: Vec<InnerCut>,
    /// Where no chase may run.
    pub(super) solids: Vec<Solid>,
    /// Boxes with what is fed there.
    pub(super) boxes: Vec<(ShopRect, String)>,
    pub(super) notes: Vec<String>,
    pub(super) findings: Vec<Finding>,
}

/// Places the job's inserts that lie in the panel. Header and sill panels take none; nailers that would cross them are told.
pub(super) fn insert(
    brief: &PanelBrief<'_>,
    recesses: &Recesses,
    frames: &[OpeningFrame],
) -> Inserts {
    let mut inserts = Inserts::default();
    if brief.panel.kind != PanelKind::Wall {
        nailers::left_out(brief, &mut inserts);
        return inserts;
    }
    // Strips and flanges reach farther in than the foam's edge stands back.
    let taken = |pack: &EndPack| {
        let slots = pack.slots.iter().map(|slot| slot.width);
        slots.fold(pack.recess, Length::max)
    };
    let field = Field {
        brief,
        left: taken(&recesses.left),
        right: brief.width - brief.panel.make_up - taken(&recesses.right),
        frames,
    };
    if has_stud(brief) {
        for tee in tees(brief) {
            field.back(&tee, &mut inserts);
        }
    }
    for point in &brief.run.points {
        field.bear(point, &mut inserts);
    }
    for it in &brief.run.boxes {
        field.cut_box(it, &mut inserts);
    }
    for it in &brief.run.nailers {
        field.nail(it, &mut inserts);
    }
    inserts
}

/// Upright lumber to be put into the core.
struct Upright<'a> {
    name: String,
    usage: &'a str,
    rule: &'a str,
    section: &'a str,
    plies: u32,
    /// Panel axes.
    middle: Length,
    /// Where it ends below the top plate.
    top: Option<Length>,
}

/// Where inserts may lie: between the packs at the panel's ends, clear of its openings.
struct Field<'a> {
    brief: &'a PanelBrief<'a>,
    left: Length,
    right: Length,
    frames: &'a [OpeningFrame],
}

impl Field<'_> {
    /// x of a place along the wall, if it lies in this panel.
    fn x_of(&self, at: Length) -> Option<Length> {
        let x = at - self.brief.along();
        (Length::ZERO <= x && x < self.brief.width).then_some(x)
    }

    fn fault(&self, what: &str, why: &str) -> Finding {
        Finding::fault(
            codes::INSERT_DOES_NOT_FIT,
            Place::panel(&self.brief.panel.mark).with_sources(&self.brief.wall.sources),
            format!("{what}: {why}"),
            "move it, or change it, under [[layout]] of job.toml; where it carries load, with the engineer who named it",
        )
    }

    /// What keeps a rectangle out: an opening with its frame, the end of the panel, a plate.
    fn obstacle(&self, rect: ShopRect) -> Option<String> {
        let thickness = self.brief.rules.plates.thickness;
        let foot = self.brief.foot(rect.x0, rect.x1, thickness);
        let [_, head] = self.brief.head(rect.x0, rect.x1, thickness);
        if rect.x0 < self.left || rect.x1 > self.right {
            return Some("it reaches into the lumber at the panel's end".to_owned());
        }
        if rect.y0 < foot {
            return Some("it cuts the sole plate".to_owned());
        }
        if rect.y1 > head {
            return Some("it cuts the top plate".to_owned());
        }
        let mut frames = self.frames.iter();
        let hit = frames.find(|frame| frame.foam_hole.common(&rect).is_some());
        hit.map(|frame| format!("it lies in {} or its frame", frame.id))
    }

    fn bear(&self, point: &PointLoad, to: &mut Inserts) {
        let Some(x) = self.x_of(point.at) else { return };
        let brief = self.brief;
        if brief.assembly.is_liner() {
            to.findings
                .push(self.fault(&point.what, "a panel with one skin bears nothing"));
            return;
        }
        if let Some(pocket) = point.pocket {
            let bottom = brief.y_of(pocket.bottom);
            let play = brief.rules.points.pocket_play;
            let left = x - point.width.half() - play;
            let right = left + point.width + play * 2;
            let rect = ShopRect::new(left, bottom, right, bottom + pocket.height);
            let depth = brief.assembly.inner.thickness + brief.assembly.core;
            let why = self.obstacle(rect);
            match why.or_else(|| conflicts::of_cut(brief, (rect, depth), to)) {
                Some(why) => to
                    .findings
                    .push(self.fault(&format!("the pocket of {}", point.what), &why)),
                None => {
                    to.foam_holes.push(rect);
                    let what = point.what.clone();
                    to.inner_cuts.push(InnerCut { what, rect, depth });
                    to.solids.push(Solid {
                        rect,
                        depth: [brief.assembly.outer.thickness, brief.assembly.thickness()],
                    });
                    to.notes.push(format!(
                        "pocket of {}: {} wide, {} high, bearing {} above the deck, through inner skin and core; seal round the beam",
                        point.what,
                        Inches(rect.width()),
                        Inches(pocket.height),
                        pocket.bottom.feet_inches()
                    ));
                }
            }
        }
        if brief.wall.carried_by(point).is_some() {
            return;
        }
        match &point.post {
            Some(post) => self.stand(point, post, ["post", "layout.points"], x, to),
            None if brief.rules.points.unnamed == UnnamedPost::Stack => {
                self.stack(point, x, to);
            }
            None => to.findings.push(Finding::fault(
                codes::POST_UNNAMED,
                Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
                format!(
                    "neither the job nor the plant's rules name what stands under {}: not sized: engineer",
                    point.what
                ),
                "have the engineer name the post, and write it under [[layout]] points of job.toml",
            )),
        }
    }

    /// Studs as wide as the load, where the job names no post.
    fn stack(&self, point: &PointLoad, x: Length, to: &mut Inserts) {
        let brief = self.brief;
        let thickness = brief.stud.thickness;
        let plies = (1..=64_u32).find(|it| thickness * i64::from(*it) >= point.width);
        let post = Post {
            plies: plies.unwrap_or(64),
            section: brief.assembly.lumber.clone(),
        };
        to.findings.push(Finding::doubt(
            codes::BLOCKING_NOT_SIZED,
            Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
            format!(
                "{} names no post: a stack of {}-{}, as wide as it, stands under it by rule (points.unnamed); not sized: engineer",
                point.what, post.plies, post.section
            ),
            "have the engineer name the post, and write it under [[layout]] points of job.toml",
        ));
        self.stand(point, &post, ["blocking", "points.unnamed"], x, to);
    }

    fn stand(
        &self,
        point: &PointLoad,
        post: &Post,
        [usage, rule]: [&'static str; 2],
        x: Length,
        to: &mut Inserts,
    ) {
        let name = format!(
            "the {usage} {}-{} under {}",
            post.plies, post.section, point.what
        );
        let upright = Upright {
            name,
            usage: if point.hold_down.is_some() {
                "hold-down post"
            } else {
                usage
            },
            rule,
            section: &post.section,
            plies: post.plies,
            middle: x,
            top: point.pocket.map(|pocket| self.brief.y_of(pocket.bottom)),
        };
        match &point.hold_down {
            Some(device) => hold_downs::hold_down(self, point, device, upright, to),
            None => {
                self.put(&upright, to);
            }
        }
    }

    fn back(&self, tee: &TeeAt<'_>, to: &mut Inserts) {
        let upright = Upright {
            name: format!("the stud behind {}", tee.name()),
            usage: "tee stud",
            rule: "corners.tee",
            section: &self.brief.assembly.lumber,
            plies: 1,
            middle: tee.middle(),
            top: None,
        };
        self.put(&upright, to);
    }

    /// Upright lumber through the core, from sole to top plate or to its own top. Returns where it stands, if it fits.
    fn put(&self, it: &Upright<'_>, to: &mut Inserts) -> Option<ShopRect> {
        let brief = self.brief;
        let Some(section) = brief.rules.lumber.sections.get(it.section).copied() else {
            to.findings
                .push(self.fault(&it.name, "the plant rules know no such section"));
            return None;
        };
        if section.width > brief.assembly.core {
            let core = Inches(brief.assembly.core);
            to.findings.push(self.fault(
                &it.name,
                &format!("it is {} deep and the core {core}", Inches(section.width)),
            ));
            return None;
        }
        let plate = brief.rules.plates.thickness;
        let wide = section.thickness * i64::from(it.plies);
        let x0 = it.middle - wide.half();
        let [_, head] = brief.head(x0, x0 + wide, plate);
        let top = it.top.unwrap_or(head);
        let rect = ShopRect::new(x0, brief.foot(x0, x0 + wide, plate), x0 + wide, top);
        if rect.y1 <= rect.y0 {
            to.findings
                .push(self.fault(&it.name, "nothing of it is left above the sole plate"));
            return None;
        }
        let depth = brief.centred_depth(section.width);
        let why = self.obstacle(rect);
        if let Some(why) = why.or_else(|| conflicts::of_lumber(brief, (rect, depth), to)) {
            to.findings.push(self.fault(&it.name, &why));
            return None;
        }
        let kind = PieceKind {
            home: Home::Field,
            usage: it.usage,
            section: it.section,
            rule: it.rule,
        };
        for ply in 0..i64::from(it.plies) {
            let from = x0 + section.thickness * ply;
            let part = ShopRect {
                x0: from,
                x1: from + section.thickness,
                ..rect
            };
            to.pieces.push(piece(brief, &kind, part, true, depth));
        }
        let seat = brief.rules.recesses.seat;
        let above = if it.top.is_some() {
            Length::ZERO
        } else {
            plate
        };
        to.foam_holes.push(ShopRect::new(
            rect.x0 - seat,
            rect.y0 - plate,
            rect.x1 + seat,
            rect.y1 + above,
        ));
        to.solids.push(Solid { rect, depth });
        Some(rect)
    }

    fn cut_box(&self, it: &WiringBox, to: &mut Inserts) {
        let Some(x) = self.x_of(it.at) else { return };
        let y = self.brief.y_of(it.height);
        let [wide, high] = it.size;
        let (x0, y0) = (x - wide.half(), y - high.half());
        let rect = ShopRect::new(x0, y0, x0 + wide, y0 + high);
        let assembly = self.brief.assembly;
        let hollow = it.depth.unwrap_or(self.brief.rules.chases.box_depth);
        let depth = assembly.inner.thickness + hollow.min(assembly.core);
        let why = self.obstacle(rect);
        if let Some(why) = why.or_else(|| conflicts::of_cut(self.brief, (rect, depth), to)) {
            to.findings
                .push(self.fault(&format!("the box for {}", it.what), &why));
            return;
        }
        to.inner_cuts.push(InnerCut {
            what: it.what.clone(),
            rect,
            depth,
        });
        to.boxes.push((rect, it.what.clone()));
        to.notes.push(format!(
            "box for {}: {} x {} in the inner skin, {} into the core, middle {} above the deck; a licensed electrician wires it",
            it.what,
            Inches(wide),
            Inches(high),
            Inches(hollow.min(assembly.core)),
            it.height.feet_inches()
        ));
    }
}

#[cfg(test)]
mod tests;
