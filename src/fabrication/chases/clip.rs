//! Chases cut short where the job's posts, pockets and nailers stand in their way, and boxes that no chase reaches.

use super::super::inserts::Inserts;
use super::super::{Chase, codes};
use super::{Chases, free};
use crate::fabrication::brief::PanelBrief;
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect};
use crate::units::{Inches, Length};

/// Cuts the chases short, and says so.
pub(in super::super) fn clip(brief: &PanelBrief<'_>, inserts: &Inserts, drawn: &mut Chases) {
    let rules = &brief.rules.chases;
    let middle = brief.core_middle();
    let mut kept = Vec::new();
    for chase in std::mem::take(&mut drawn.chases) {
        let radius = chase.diameter.half();
        let level = chase.from.y == chase.to.y;
        let mut blocks: Vec<(Length, Length)> = Vec::new();
        for solid in &inserts.solids {
            let deep = solid.depth[0] < middle + radius && middle - radius < solid.depth[1];
            let zone = solid.rect.grown(rules.clear_of_lumber);
            let (low, high, across) = if level {
                (
                    zone.x0,
                    zone.x1,
                    (zone.y0 - radius, zone.y1 + radius, chase.from.y),
                )
            } else {
                (
                    zone.y0,
                    zone.y1,
                    (zone.x0 - radius, zone.x1 + radius, chase.from.x),
                )
            };
            if deep && across.0 < across.2 && across.2 < across.1 {
                blocks.push((low, high));
            }
        }
        let (from, to) = if level {
            (chase.from.x.min(chase.to.x), chase.from.x.max(chase.to.x))
        } else {
            (chase.from.y.min(chase.to.y), chase.from.y.max(chase.to.y))
        };
        let spans = free(from, to, &mut blocks);
        if spans != [(from, to)] {
            drawn.findings.push(cut_short(brief, &chase, level));
        }
        for (a, b) in spans.into_iter().filter(|(a, b)| *b - *a > chase.diameter) {
            let point = |along| {
                if level {
                    ShopPoint::new(along, chase.from.y)
                } else {
                    ShopPoint::new(chase.from.x, along)
                }
            };
            kept.push(Chase {
                from: point(a),
                to: point(b),
                ..chase
            });
        }
    }
    for (rect, what) in &inserts.boxes {
        if !kept.iter().any(|chase| passes(chase, rect)) {
            drawn.findings.push(Finding::doubt(
                codes::BOX_WITHOUT_WIRE,
                Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
                format!("no chase passes behind the box for {what}"),
                "put the box at the height of a chase or over a vertical one, or fish the wire through an access cut that local code allows",
            ));
        }
    }
    drawn.chases = kept;
}

fn passes(chase: &Chase, rect: &ShopRect) -> bool {
    let radius = chase.diameter.half();
    let line = ShopRect::new(
        chase.from.x.min(chase.to.x) - radius,
        chase.from.y.min(chase.to.y) - radius,
        chase.from.x.max(chase.to.x) + radius,
        chase.from.y.max(chase.to.y) + radius,
    );
    line.common(rect).is_some()
}

fn cut_short(brief: &PanelBrief<'_>, chase: &Chase, level: bool) -> Finding {
    let which = if level {
        format!("the chase {} up", Inches(chase.from.y))
    } else {
        format!(
            "the upright chase {} from the left end",
            Inches(chase.from.x)
        )
    };
    Finding::note(
        codes::CHASE_CUT_SHORT,
        Place::panel(&brief.panel.mark).with_sources(&brief.wall.sources),
        format!("{which} stops at lumber or a pocket that stands in its way"),
        "bring the wire round by the next upright chase; a post is drilled only where its engineer allows",
    )
}
