//! Top and foot of a wall, cut where a panel shows them plainly. Of a wall that stands on the deck here and on a step of its
//! foundation there, both feet, each with the panels that stand so.

use super::cut::{CutPart, Part};
use super::detail::{CutWay, Detail, DetailKind};
use super::walls::{ROUND, WallScene};
use crate::documents::paper::{Area, spot};
use crate::fabrication::FabricatedPanel;
use crate::geometry::ShopRect;
use crate::layout::Panel;
use crate::rules::Face;
use crate::units::Length;

/// A panel of a wall: index into the fabrication, place, parts.
type Made<'a> = (usize, &'a Panel, &'a FabricatedPanel);

/// The top of a wall, and each kind of foot it has.
pub(super) fn plates(scene: &WallScene<'_>) -> Vec<Detail> {
    let mut full: Vec<&Made<'_>> = scene.full().collect();
    // Those that show both plainly first.
    full.sort_by_key(|(_, _, made)| !made.openings.is_empty());
    let Some(first) = full.first() else {
        return Vec::new();
    };
    let mut details = vec![top_of_wall(scene, first)];
    let (deck, step): (Vec<_>, Vec<_>) = full.into_iter().partition(|it| stands_on_deck(it));
    let is_stepped = !deck.is_empty() && !step.is_empty();
    for (panels, on_deck) in [(deck, true), (step, false)] {
        let Some(first) = panels.first() else {
            continue;
        };
        let mut detail = foot_of_wall(scene, first, on_deck);
        if is_stepped {
            detail.places = panels.iter().map(|it| it.2.mark.clone()).collect();
            detail.places.sort();
        }
        details.push(detail);
    }
    details
}

/// Does what bears of a panel stand on the deck, where it is cut?
fn stands_on_deck((_, laid, made): &Made<'_>) -> bool {
    let x = clear_place(made);
    let sides = made.outer_skin.outline.sides();
    let under = sides.filter(|(a, b)| a.x.min(b.x) <= x && x < a.x.max(b.x));
    let foot = under.map(|(a, b)| a.y.min(b.y)).min();
    laid.rect.y0 + foot.unwrap_or_default() + made.skin_drop == Length::ZERO
}

fn top_of_wall(scene: &WallScene<'_>, (index, _, made): &Made<'_>) -> Detail {
    let x = clear_place(made);
    let parts = scene.models.upright(*index, x);
    let top = |is_skin: bool| {
        let of = parts
            .iter()
            .filter(|it| !is_skin || matches!(it.part, Part::Skin(_)));
        of.flat_map(|part| &part.ring)
            .map(|p| p.y)
            .fold(0.0, f64::max)
    };
    let (skin, all) = (top(true), top(false));
    let t = scene.thickness();
    let shown = t * 1.25;
    let id = scene.wall.id.clone();
    let mut upper = Detail::of(DetailKind::Plate, CutWay::Upright, "TOP OF THE WALL", id);
    let is_liner = scene.assembly.is_liner();
    upper.remark = "section; top plate in the recess, cap over both skins".to_owned();
    if is_liner {
        upper.remark = "section; top plate in the recess, cap over skin and foam".to_owned();
    }
    upper.window = Area::new(-ROUND * 2.0, skin - shown, t + ROUND * 2.0, all + ROUND);
    let foot = skin - shown * 0.6;
    upper.least = Some(Area::new(
        upper.window.x0,
        foot,
        upper.window.x1,
        upper.window.y1,
    ));
    if all <= skin {
        upper.remark = "section; top plate in the recess".to_owned();
    }
    finished(scene, upper, parts)
}

/// - `on_deck`: false on a step of the foundation.
fn foot_of_wall(scene: &WallScene<'_>, (index, _, made): &Made<'_>, on_deck: bool) -> Detail {
    let x = clear_place(made);
    let parts = scene.models.upright(*index, x);
    let t = scene.thickness();
    let shown = t * 1.25;
    let id = scene.wall.id.clone();
    let is_liner = scene.assembly.is_liner();
    let mut lower = Detail::of(DetailKind::Plate, CutWay::Upright, "FOOT OF THE WALL", id);
    // Over a step of the foundation a panel's foot is higher than its lowest corner.
    let inner = parts.iter().filter(|it| it.part == Part::Skin(Face::Inner));
    let inner = inner.filter_map(|it| Area::around(&it.ring));
    let foot = inner.map(|it| it.y0).fold(f64::INFINITY, f64::min);
    let drop = made.skin_drop.to_inches();
    let foot = if foot.is_finite() { foot } else { drop };
    lower.remark = if is_liner {
        "section; one skin, it bears nothing: not sized: engineer"
    } else if made.skin_drop > Length::ZERO {
        "section; the outer skin hangs and does not bear: not sized: engineer"
    } else if on_deck {
        "section; both skins bear on the deck"
    } else {
        "section; both skins bear on the step of the foundation"
    }
    .to_owned();
    let lowest = foot - drop.min(shown / 2.0) - ROUND;
    lower.window = Area::new(-ROUND * 2.0, lowest, t + ROUND * 2.0, foot + shown);
    let head = foot + shown * 0.6;
    lower.least = Some(Area::new(lower.window.x0, lowest, lower.window.x1, head));
    lower.deck = on_deck.then_some(foot);
    finished(scene, lower, parts)
}

/// A detail with its parts, what seals and fixes its plates, and the layers of the wall.
fn finished(scene: &WallScene<'_>, mut detail: Detail, parts: Vec<CutPart>) -> Detail {
    detail.parts = parts;
    seal_plates(scene, &mut detail);
    detail.across = scene.layers();
    detail.named(scene)
}

/// Beads, nails and heights of the plates that a window shows.
fn seal_plates(scene: &WallScene<'_>, detail: &mut Detail) {
    let t = scene.thickness();
    let mut heights: Vec<f64> = Vec::new();
    for part in &detail.parts {
        let Some(extent) = Area::around(&part.ring) else {
            continue;
        };
        let middle = extent.middle();
        let is_seen = detail.window.holds(&Area::of(middle, middle));
        if !matches!(part.part, Part::Plate(_)) || !is_seen {
            continue;
        }
        heights.extend([extent.y0, extent.y1]);
        // A cap lies over the skins: it is nailed down, not sealed between them.
        if extent.width() < t - 1e-6 {
            detail.beads.push(spot(extent.x0, middle.y));
            detail.beads.push(spot(extent.x1, middle.y));
            detail.nails.extend(scene.nails(middle.y, CutWay::Upright));
        }
    }
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < 1.0 / 64.0);
    detail.up = heights;
    if let Some(bead) = detail.beads.last() {
        let words = "SEALANT, BOTH EDGES OF THE PLATE".to_owned();
        detail.call_outs.push((*bead, words));
        detail.call_outs.push((spot(t, bead.y), scene.nail_words()));
    }
    if let Some(deck) = detail.deck {
        detail
            .call_outs
            .push((spot(t + 0.5, deck), "DECK".to_owned()));
    }
}

/// A place across a panel where no upright lumber, no chase and no opening stands; of one that is all door and studs a place in its studs:
/// what is cut over a doorway shows no foot.
fn clear_place(panel: &FabricatedPanel) -> Length {
    let upright = panel.lumber.iter().filter(|it| it.is_upright);
    let holes = panel.openings.iter().map(|it| it.skin_hole);
    let ends = |it: ShopRect| [it.x0, it.x1];
    let lumber: Vec<[Length; 2]> = upright.map(|it| ends(it.rect)).collect();
    let holes: Vec<[Length; 2]> = holes.map(ends).collect();
    place_clear_of(panel.width, &lumber, &holes)
}

fn place_clear_of(width: Length, lumber: &[[Length; 2]], holes: &[[Length; 2]]) -> Length {
    /// These are tried before those in between: wide bays are cut in their middle.
    const EIGHTHS: [i64; 7] = [32, 24, 40, 16, 48, 8, 56];
    let part = |n: i64| Length::nanometres(width.to_nanometres() / 64 * n);
    let places = || EIGHTHS.into_iter().chain(1..64).map(part);
    let is_in = |list: &[[Length; 2]], x: &Length| list.iter().any(|[a, b]| a <= x && x <= b);
    let clear = places().find(|x| !is_in(lumber, x) && !is_in(holes, x));
    let solid = || places().find(|x| !is_in(holes, x));
    clear.or_else(solid).unwrap_or_else(|| part(32))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_that_is_all_door_and_studs_is_not_cut_in_the_doorway() {
        let [width, three, far] = [80, 3, 77].map(Length::inches);
        let (studs, door) = ([[Length::ZERO, three], [far, width]], [[three, far]]);
        let place = place_clear_of(width, &studs, &door);
        assert!(place < three || far < place, "{place}");
        // Between stud and door stands foam.
        let one = Length::inches(1);
        let place = place_clear_of(width, &[[Length::ZERO, one], studs[1]], &door);
        assert!(one < place && place < three, "{place}");
        assert_eq!(place_clear_of(width, &studs, &[]), Length::inches(40));
    }
}
