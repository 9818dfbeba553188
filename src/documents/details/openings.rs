//! Head, sill and jamb of each kind of opening, cut from the panel that holds it.

use super::cut::{CutPart, Part, Stuff};
use super::detail::{CutWay, Detail, DetailKind};
use super::walls::WallScene;
use crate::building::RoughOpening;
use crate::documents::paper::{Area, spot};
use crate::layout::PanelKind;
use crate::plan::OpeningKind;
use crate::units::Length;

/// White round what is shown, inches.
const ROUND: f64 = 0.8;

/// Details of the openings of a wall, each kind once.
pub(super) fn opening_details(scene: &WallScene<'_>) -> Vec<Detail> {
    let mut kinds: Vec<(String, Vec<&RoughOpening>)> = Vec::new();
    for opening in &scene.wall.openings {
        let whole = scene.panels.iter().any(|(_, laid, made)| {
            laid.kind == PanelKind::Wall && made.openings.iter().any(|it| it.id == opening.id)
        });
        let key = format!(
            "{:?} {:?} {} {} {whole}",
            opening.kind,
            opening.header,
            opening.jacks,
            opening.reaches_floor()
        );
        match kinds.iter_mut().find(|it| it.0 == key) {
            Some((_, openings)) => openings.push(opening),
            None => kinds.push((key, vec![opening])),
        }
    }
    let mut found = Vec::new();
    for (_, openings) in kinds {
        let Some(first) = openings.first() else {
            continue;
        };
        let mut three: Vec<Detail> = [
            level(scene, first, Line::Head),
            level(scene, first, Line::Sill),
            jamb(scene, first),
        ]
        .into_iter()
        .flatten()
        .collect();
        for detail in &mut three {
            detail.places = openings.iter().map(|it| it.id.clone()).collect();
        }
        found.extend(three);
    }
    found
}

const fn word(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::Door => "DOOR",
        OpeningKind::Window => "WINDOW",
        OpeningKind::Opening => "OPENING",
        OpeningKind::GarageDoor => "GARAGE DOOR",
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Line {
    Head,
    Sill,
}

/// Head or sill: an upright cut through the middle of the opening.
fn level(scene: &WallScene<'_>, opening: &RoughOpening, line: Line) -> Option<Detail> {
    if line == Line::Sill && opening.reaches_floor() {
        return None;
    }
    let middle = opening.from + opening.width().half() - scene.run.from;
    let (at, wanted) = match line {
        Line::Head => (opening.head, PanelKind::Header),
        Line::Sill => (opening.sill, PanelKind::Sill),
    };
    let (index, laid, _) = scene.panels.iter().find(|(_, laid, made)| {
        let holds = made.openings.iter().any(|it| it.id == opening.id);
        let spans = laid.rect.x0 <= middle && middle < laid.rect.x1;
        spans && (holds || laid.kind == wanted)
    })?;
    let parts = scene.models.upright(*index, middle - laid.rect.x0);
    let at = (at - laid.rect.y0).to_inches();
    let t = scene.thickness();
    let header = opening.header.name();
    let (title, remark, window) = match line {
        Line::Head => {
            let sized = if opening.header_from_job || header == "none" {
                String::new()
            } else {
                ": not sized, engineer".to_owned()
            };
            let high = solid_above(&parts, at).max(t * 0.8) + 3.0;
            (
                format!("HEAD OF {}", word(opening.kind)),
                format!("section; header {header}{sized}"),
                Area::new(-ROUND, at - 1.0, t + ROUND, at + high),
            )
        }
        Line::Sill => (
            format!("SILL OF {}", word(opening.kind)),
            "section".to_owned(),
            Area::new(-ROUND, at - t * 1.2, t + ROUND, at + 1.0),
        ),
    };
    let place = opening.id.clone();
    let mut detail = Detail::of(DetailKind::Opening, CutWay::Upright, &title, place);
    detail.remark = remark;
    detail.least = Some(match line {
        Line::Head => Area {
            y1: window.y1 - 2.0,
            ..window
        },
        Line::Sill => Area {
            y0: at - t * 0.7,
            ..window
        },
    });
    detail.window = window;
    detail.up = lumber_heights(&parts, &window);
    detail.across = scene.layers();
    detail.parts = parts;
    // Into the clear opening, beyond the lumber.
    let clear = match line {
        Line::Head => at - 0.7,
        Line::Sill => at + 0.7,
    };
    let words = "ROUGH OPENING".to_owned();
    detail.call_outs.push((spot(t * 0.75, clear), words));
    Some(detail.named(scene))
}

/// How far the header reaches above the head, inches.
fn solid_above(parts: &[CutPart], head: f64) -> f64 {
    let lumber = parts
        .iter()
        .filter(|part| matches!(part.part, Part::Lumber(_)))
        .filter_map(|part| Area::around(&part.ring))
        .filter(|it| it.y0 >= head - 0.1 && it.y0 < head + 4.0);
    lumber.map(|it| it.y1 - head).fold(0.0, f64::max)
}

/// Heights at which lumber cut across its grain begins and ends in a window.
fn lumber_heights(parts: &[CutPart], window: &Area) -> Vec<f64> {
    let mut heights: Vec<f64> = parts
        .iter()
        .filter(|part| matches!(part.part, Part::Lumber(_)) && part.stuff == Stuff::LumberEnd)
        .filter_map(|part| Area::around(&part.ring))
        .flat_map(|it| [it.y0, it.y1])
        .filter(|y| window.y0 < *y && *y < window.y1)
        .collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < 1.0 / 64.0);
    heights
}

/// The left jamb: a level cut at half the opening's height.
fn jamb(scene: &WallScene<'_>, opening: &RoughOpening) -> Option<Detail> {
    let height = opening.sill + opening.height().half();
    let parts = scene.models.level(scene.index, height);
    let (at, t) = (opening.from.to_inches(), scene.thickness());
    let title = format!("JAMB OF {}", word(opening.kind));
    let place = opening.id.clone();
    let mut detail = Detail::of(DetailKind::Opening, CutWay::Level, &title, place);
    let buck = scene.models.rules.openings.buck.sentence();
    detail.remark = format!("plan, left jamb; {buck}");
    detail.window = Area::new(at - t * 1.6, -ROUND / 2.0, at + 1.5, t + ROUND / 2.0);
    let studs = parts
        .iter()
        .filter(|part| matches!(part.part, Part::Lumber(_)))
        .filter_map(|part| Area::around(&part.ring))
        .filter(|it| it.x1 <= at + 0.01 && it.x0 > at - 8.0);
    let mut across: Vec<f64> = studs.flat_map(|it| [it.x0, it.x1]).collect();
    across.push(at);
    across.retain(|x| detail.window.x0 < *x);
    across.sort_by(f64::total_cmp);
    across.dedup_by(|a, b| (*a - *b).abs() < 1.0 / 64.0);
    let lumber = across.first().copied().unwrap_or(at) - 1.0;
    detail.least = Some(Area {
        x0: lumber.min(at - t).max(detail.window.x0),
        ..detail.window
    });
    detail.across = across;
    detail.up = scene.layers();
    let words = "ROUGH OPENING".to_owned();
    detail.call_outs.push((spot(at + 1.0, t * 0.25), words));
    detail.parts = parts;
    let is_cut = detail
        .parts
        .iter()
        .any(|part| Area::around(&part.ring).is_some_and(|it| it.meets(&detail.window)));
    (is_cut && opening.height() > Length::ZERO).then(|| detail.named(scene))
}
