//! What a mark is about: the panel, opening and wall at its place, and the text it touches.

use super::crossing::{crossed, goes_through, pieces};
use super::drafts::{Draft, far};
use super::drawn::{Drawing, Drawn, DrawnForm, around, gap_to};
use super::model::MarkKind;
use super::sheets::{IssuedSheet, ShownPlace};
use crate::documents::paper::{Area, Spot};
use crate::units::parse_length;

/// A mark farther from everything than this is about the sheet, mm.
const NEAR: f64 = 12.0;
/// A text this near to where a mark points is what it points at, mm.
const AT_THE_TIP: f64 = 5.0;

/// What a mark is about.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct About {
    pub(super) panel: Option<String>,
    pub(super) opening: Option<String>,
    pub(super) wall: Option<String>,
    /// The string of dimensions that an edited number stands in: `openings`.
    pub(super) string: Option<String>,
    /// Where the piece of that string is, from the wall's left corner seen from outside to its middle, inches.
    pub(super) along: Option<f64>,
    /// The text it touches.
    pub(super) touches: Option<String>,
    /// Where it points.
    pub(super) at: Spot,
    /// Its box.
    pub(super) area: Area,
}

/// Finds what a mark is about.
pub(super) fn about(sheet: &IssuedSheet, draft: &Draft) -> About {
    let area = around(&draft.items).or(draft.on).unwrap_or_default();
    let on = draft
        .on
        .unwrap_or_else(|| lines_only(draft).unwrap_or(area));
    let at = draft.tip.unwrap_or_else(|| on.middle());
    let target = draft.tip.map_or(on, |tip| Area::of(tip, tip));
    let panel = best(sheet, &target, |place| place.panel.as_ref());
    let opening = best(sheet, &target, |place| place.opening.as_ref());
    let sheet_panel = sheet.fact("panel").map(str::to_owned);
    // What was changed on the sheet itself says what it is about.
    let changed = draft.issued.and_then(|it| sheet.drawing.items.get(it));
    let own = |name: &str| {
        let words = sheet.drawing.fact(changed?, name)?;
        words.split(' ').next().map(str::to_owned)
    };
    let panel = sheet_panel
        .or_else(|| own("panel"))
        .or_else(|| panel.and_then(|it| it.panel.clone()));
    let wall = own("wall").or_else(|| panel_wall(sheet, panel.as_deref()));
    let wall = wall.or_else(|| {
        let of_sheet = sheet.fact("wall").map(str::to_owned);
        of_sheet.or_else(|| {
            best(sheet, &target, |place| place.wall.as_ref())?
                .wall
                .clone()
        })
    });
    About {
        touches: match draft.kind {
            MarkKind::ChangedText => draft.edit.as_ref().map(|(was, _)| named(was)),
            MarkKind::Strike => {
                let words = struck(&sheet.drawing, draft, &target).into_iter().next();
                let words = words.map(|it| named(it.words()));
                words.or_else(|| crossed_words(sheet, draft, opening, &target))
            }
            _ if !paper(sheet).meets(&area.grown(0.1)) => {
                Some("nothing: it stands beside the paper".to_owned())
            }
            _ => touched(&sheet.drawing, draft, &target).map(|it| named(it.words())),
        },
        opening: own("opening").or_else(|| opening.and_then(|it| it.opening.clone())),
        wall: wall.or_else(|| opening.and_then(|it| it.wall.clone())),
        panel,
        string: None,
        along: None,
        at,
        area,
    }
}

fn paper(sheet: &IssuedSheet) -> Area {
    let [wide, high] = sheet.drawing.size;
    Area::new(0.0, 0.0, wide, high)
}

/// What a line crosses; inside an opening it is the opening, whatever line of it is crossed.
fn crossed_words(
    sheet: &IssuedSheet,
    draft: &Draft,
    opening: Option<&ShownPlace>,
    target: &Area,
) -> Option<String> {
    let (is_plain, words) = crossed(sheet, draft)?;
    let around = opening.filter(|it| is_plain && gap_to(&it.area, target.middle()) <= 0.0);
    let id = around.and_then(|it| it.opening.as_ref());
    Some(id.map_or(words, |id| format!("opening {id}")))
}

/// The box of a mark without the remark beside it.
fn lines_only(draft: &Draft) -> Option<Area> {
    around(
        draft
            .items
            .iter()
            .filter(|it| !matches!(it.form, DrawnForm::Words(_))),
    )
}

fn panel_wall(sheet: &IssuedSheet, panel: Option<&str>) -> Option<String> {
    let mut of_it = sheet
        .places
        .iter()
        .filter(|it| it.panel.is_some() && it.panel.as_deref() == panel);
    of_it.find_map(|it| it.wall.clone())
}

/// The place that a box is about: the smallest that holds its middle; else the nearest, if it is near.
fn best<'a>(
    sheet: &'a IssuedSheet,
    target: &Area,
    name: impl Fn(&ShownPlace) -> Option<&String>,
) -> Option<&'a ShownPlace> {
    let middle = target.middle();
    let size = |place: &ShownPlace| place.area.width() * place.area.height();
    let named = || sheet.places.iter().filter(|place| name(place).is_some());
    let holding = named()
        .filter(|place| gap_to(&place.area, middle) <= 0.0)
        .min_by(|a, b| size(a).total_cmp(&size(b)));
    holding.or_else(|| {
        // A cloud round a small thing: the thing it holds.
        let held = named()
            .filter(|place| target.holds(&place.area))
            .max_by(|a, b| size(a).total_cmp(&size(b)));
        let far = |place: &ShownPlace| gap_to(&place.area, middle);
        held.or_else(|| {
            named()
                .filter(|place| far(place) <= NEAR)
                .min_by(|a, b| far(a).total_cmp(&far(b)))
        })
    })
}

/// The text of the sheet that a mark touches: struck through, pointed at, or inside.
fn touched<'a>(issued: &'a Drawing, draft: &Draft, target: &Area) -> Option<&'a Drawn> {
    let texts = || issued.items.iter().filter(|it| !it.words().is_empty());
    let middle = target.middle();
    let by_distance = |within: f64| {
        texts()
            .map(|it| (gap_to(&it.area, middle), it))
            .filter(|(gap, _)| *gap <= within)
            .min_by(|a, b| {
                let far = |it: &Drawn| far(it.area.middle(), middle);
                a.0.total_cmp(&b.0).then(far(a.1).total_cmp(&far(b.1)))
            })
            .map(|it| it.1)
    };
    match draft.kind {
        MarkKind::Highlight => struck(issued, draft, target).into_iter().next(),
        MarkKind::Arrow | MarkKind::Dimension => by_distance(AT_THE_TIP),
        MarkKind::Cloud | MarkKind::Shape | MarkKind::Handwriting | MarkKind::Restyled => {
            // What it encloses: of several texts, the one nearest to its middle.
            let inside = texts().filter(|it| target.holds(&it.area));
            inside.min_by(|a, b| {
                far(a.area.middle(), middle).total_cmp(&far(b.area.middle(), middle))
            })
        }
        MarkKind::Text | MarkKind::Image | MarkKind::Stamp | MarkKind::Deleted => by_distance(2.0),
        MarkKind::Moved | MarkKind::ChangedText | MarkKind::Strike => None,
    }
}

/// Texts that a line or a box goes through, those near its middle first.
pub(super) fn struck<'a>(issued: &'a Drawing, draft: &Draft, target: &Area) -> Vec<&'a Drawn> {
    let target = target.grown(0.3);
    let lines = pieces(&draft.items);
    let is_hit = |it: &Drawn| {
        let area = it.area.grown(0.3);
        draft.kind != MarkKind::Strike || lines.iter().any(|line| goes_through(*line, &area))
    };
    let covered = |it: &Drawn| {
        let wide = it.area.x1.min(target.x1) - it.area.x0.max(target.x0);
        let high = it.area.y1.min(target.y1) - it.area.y0.max(target.y0);
        let share = (wide / it.area.width().max(0.1)).max(high / it.area.height().max(0.1));
        if wide > 0.0 && high > 0.0 { share } else { 0.0 }
    };
    let mut found: Vec<(f64, &Drawn)> = issued
        .items
        .iter()
        .filter(|it| !it.words().is_empty())
        .map(|it| (covered(it), it))
        .filter(|(share, it)| *share >= 0.5 && is_hit(it))
        .collect();
    let middle = target.middle();
    found.sort_by(|a, b| far(a.1.area.middle(), middle).total_cmp(&far(b.1.area.middle(), middle)));
    found.into_iter().map(|it| it.1).collect()
}

/// A text of a sheet by what it is.
pub(super) fn named(words: &str) -> String {
    let kind = if parse_length(words).is_ok() {
        "dimension"
    } else {
        "text"
    };
    format!("{kind} {words}")
}
