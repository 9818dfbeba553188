//! Rough openings: where each lies along its wall, how wide and how high, and who says so.

use super::codes;
use super::corner_posts;
use super::faces::Face;
use super::headers::choose_header;
use super::model::{PanelWall, RoughOpening, SizeOrigin};
use super::raise::{Raising, element_place, to_building};
use super::statements::{Rank, Stated, said, stated_by_plan};
use crate::findings::{Finding, Place};
use crate::geometry::tolerance::BRIDGE_MOVE;
use crate::plan::{Hinge, Opening, OpeningKind, Storey};
use crate::rules::{Allowance, DrawnWidth, PlantRules};
use crate::units::Length;

/// Fills a wall's openings from the plan; the wall has its frame, length and heights.
///
/// - `corners`: how far the walls that stand square to it at its left and right corner reach behind it.
pub(super) fn raise_openings(
    raising: &mut Raising<'_>,
    storey: &Storey,
    face: &Face,
    wall: &mut PanelWall,
    corners: [Option<Length>; 2],
) {
    let mut openings = Vec::new();
    for opening in &storey.openings {
        if !face.has_wall(&opening.wall) {
            continue;
        }
        if is_beyond(raising, storey, wall, opening) {
            continue;
        }
        match raise_opening(raising, storey, face, (wall, corners), opening) {
            Some(rough) => openings.push(rough),
            None => wall.on_hold = true,
        }
    }
    openings.sort_by(|a, b| (a.from, a.to, &a.id).cmp(&(b.from, b.to, &b.id)));
    for next in openings {
        match wall.openings.last_mut() {
            Some(before) if next.from < before.to => {
                let message = format!(
                    "{} and {} overlap by {} along {}; {} is left out",
                    before.id,
                    next.id,
                    before.to.min(next.to) - next.from,
                    wall.id,
                    next.id
                );
                before.on_hold = true;
                wall.on_hold = true;
                raising.findings.push(Finding::fault(
                    codes::OPENINGS_OVERLAP,
                    element_place(storey, &next.id).with_sources(next.sources.iter()),
                    message,
                    "correct their widths or places in the drawing, or by [[opening]] and [[correction]] in job.toml",
                ));
            }
            _ => wall.openings.push(next),
        }
    }
}

/// True, and said, for an opening whose middle lies where the wall is not made of panels.
fn is_beyond(
    raising: &mut Raising<'_>,
    storey: &Storey,
    wall: &PanelWall,
    opening: &Opening,
) -> bool {
    let centre = to_building(&storey.to_building, opening.centre);
    let (along, _) = wall.frame.local(centre);
    let [from, to] = wall.panelled();
    let is_stopped = from > Length::ZERO || to < wall.face_length;
    if !is_stopped || (from.to_inches()..=to.to_inches()).contains(&along) {
        return false;
    }
    raising.findings.push(Finding::doubt(
        codes::BEYOND_PANELS,
        element_place(storey, &opening.id)
            .with_at(opening.centre.x, opening.centre.y)
            .with_sources(opening.sources.iter()),
        format!(
            "{} lies where {} is not made of panels, which stand from {} to {}: what stands there and what carries over it is not of this program; not sized: engineer",
            opening.id,
            wall.id,
            from.feet_inches(),
            to.feet_inches()
        ),
        "have posts, header and bracing there designed by a licensed engineer; the free end of the panels needs a brace until it is tied",
    ));
    true
}

/// One opening; `None`, with a fault, when it cannot stand in this wall at all.
fn raise_opening(
    raising: &mut Raising<'_>,
    storey: &Storey,
    face: &Face,
    (wall, corners): (&PanelWall, [Option<Length>; 2]),
    opening: &Opening,
) -> Option<RoughOpening> {
    let place = element_place(storey, &opening.id)
        .with_at(opening.centre.x, opening.centre.y)
        .with_sources(opening.sources.iter());
    let allowance = allowance(raising.rules, opening.kind);
    let (width, unit_width) = rough_width(raising, opening, allowance)?;
    let centre = to_building(&storey.to_building, opening.centre);
    let (along, _) = wall.frame.local(centre);
    let drawn = Length::nearest(along - width.to_inches() / 2.0, raising.step)?;
    let drawn = [drawn, drawn + width];
    let moved = (f64::midpoint(drawn[0].to_inches(), drawn[1].to_inches()) - along).abs();
    if moved > BRIDGE_MOVE {
        raising.findings.push(Finding::doubt(
            codes::MOVED,
            place.clone(),
            format!(
                "the middle of {} was moved by {moved:.3}\" along {}",
                opening.id, wall.id
            ),
            "draw it on whole sixty-fourths, or confirm its place on the elevation",
        ));
    }
    let [first, last] = wall.panelled();
    let [from, to] =
        corner_posts::beside_posts(wall, raising.rules, corners, (drawn, allowance.width));
    let (width, unit_width) = (to - from, unit_width - (width - (to - from)));
    if from < first || to > last || width <= Length::ZERO {
        raising.findings.push(Finding::fault(
            codes::OPENING_BEYOND_WALL,
            place,
            format!(
                "the rough opening of {} runs from {from} to {to} and {} from {first} to {last}; it is left out",
                opening.id, wall.id
            ),
            "correct its width or place in the drawing, or by [[opening]] and [[correction]] in job.toml; where glass runs round a corner or a wall stops at an opening, say from or to in its [[wall.only]]",
        ));
        return None;
    }
    let is_cut_short = [from, to] != drawn;
    let on_hold = is_cut_short
        && corner_posts::ask(raising, &place, (storey, wall, opening), [from, to], drawn);
    let upright = upright(raising, &place, opening, allowance)?;
    let mut rough = RoughOpening {
        id: opening.id.clone(),
        kind: opening.kind,
        from,
        to,
        sill: upright.sill,
        head: upright.head,
        unit: [
            unit_width,
            (upright.head - upright.sill - allowance.height).max(Length::ZERO),
        ],
        height_origin: upright.height_origin,
        head_origin: upright.head_origin,
        tag: opening.tag.clone(),
        hinge: hinge(opening.hinge, face.runs_against(&opening.wall)),
        header: crate::rules::HeaderMember::None,
        jacks: 0,
        header_from_job: false,
        header_rule: String::new(),
        drawn: is_cut_short.then_some(drawn),
        moved_over: None,
        on_hold,
        sources: opening.sources.clone(),
    };
    let issued = raising.issued;
    if let Some(under) = issued.under(&storey.id, &wall.frame, wall.face_length)
        && under.keep_opening(&mut rough, along)
    {
        raising.n_kept += 1;
    }
    if !fit_height(raising, &place, wall, &mut rough) {
        return None;
    }
    choose_header(raising, &place, opening, wall, &mut rough);
    Some(rough)
}

/// Along the face, which jamb a door hangs on: a plan wall may run against it.
fn hinge(drawn: Option<Hinge>, runs_against: bool) -> Option<Hinge> {
    match (drawn, runs_against) {
        (Some(Hinge::Start), true) => Some(Hinge::End),
        (Some(Hinge::End), true) => Some(Hinge::Start),
        (drawn, _) => drawn,
    }
}

fn allowance(rules: &PlantRules, kind: OpeningKind) -> Allowance {
    rules
        .openings
        .allowances
        .get(&kind)
        .copied()
        .unwrap_or_default()
}

/// Rough width and the unit's: the job's rough or unit size, a schedule's rough size, or what is drawn.
fn rough_width(
    raising: &Raising<'_>,
    opening: &Opening,
    allowance: Allowance,
) -> Option<(Length, Length)> {
    let drawn = |inches: f64| Length::nearest(inches, raising.step);
    let rough = said(raising.job, opening, |entry| entry.rough_width);
    let unit = said(raising.job, opening, |entry| entry.width);
    // The more particular entry wins; of equal ones the rough size, which needs no allowance.
    if let Some(rough) = rough
        && unit.as_ref().is_none_or(|unit| rough.rank <= unit.rank)
    {
        let unit = unit.map_or(rough.value - allowance.width, |unit| unit.value);
        return Some((rough.value, unit));
    }
    if let Some(unit) = unit {
        return Some((unit.value + allowance.width, unit.value));
    }
    if let Some([width, _]) = opening.rough {
        let width = drawn(width)?;
        return Some((width, width - allowance.width));
    }
    let by_job = said(raising.job, opening, |entry| entry.drawn);
    let by_kind = raising.rules.openings.drawn_width.get(&opening.kind);
    Some(match by_job.map(|it| it.value).or(by_kind.copied()) {
        Some(DrawnWidth::Rough) => {
            let width = drawn(opening.width)?;
            (width, width - allowance.width)
        }
        Some(DrawnWidth::Leaf) => {
            let width = drawn(opening.leaf.unwrap_or(opening.width))?;
            (width + allowance.width, width)
        }
        Some(DrawnWidth::Unit) | None => {
            let width = drawn(opening.width)?;
            (width + allowance.width, width)
        }
    })
}

/// Sill and head of a rough opening.
struct Upright {
    sill: Length,
    head: Length,
    height_origin: SizeOrigin,
    head_origin: SizeOrigin,
}

const fn origin(rank: Rank) -> SizeOrigin {
    match rank {
        Rank::Assumed => SizeOrigin::Assumed,
        Rank::Plan => SizeOrigin::Plan,
        _ => SizeOrigin::Job,
    }
}

/// Sill and head from whatever is stated: of sill, head and height the two best founded hold, and the third is compared.
///
/// Doors, garage doors and plain openings stand on the deck unless a sill is stated.
fn upright(
    raising: &mut Raising<'_>,
    place: &Place,
    opening: &Opening,
    allowance: Allowance,
) -> Option<Upright> {
    let height = rough_height(raising, opening, allowance)?;
    let plan = |value: Option<f64>| stated_by_plan(value, raising.step);
    let sill = said(raising.job, opening, |entry| entry.sill).or_else(|| plan(opening.sill));
    let head = said(raising.job, opening, |entry| entry.head).or_else(|| plan(opening.head));
    let standing =
        opening.kind.reaches_floor() || sill.as_ref().is_some_and(|s| s.value == Length::ZERO);
    // What was used, whether a head is assumed, and how well founded height and head then are.
    let (low, high, used, is_head_assumed, founded) = if standing {
        let low = sill.as_ref().map_or(Length::ZERO, |stated| stated.value);
        match head.as_ref().filter(|head| head.rank <= height.rank) {
            Some(head) => (low, head.value, [head.rank; 2], false, [head.rank; 2]),
            None => {
                let ranks = [height.rank; 2];
                (low, low + height.value, ranks, false, ranks)
            }
        }
    } else {
        let top = head.as_ref().map_or(Rank::Assumed, |head| head.rank);
        let high = head.as_ref().map_or_else(
            || default_head(raising.rules, opening.kind),
            |head| head.value,
        );
        match sill.as_ref() {
            // A sill above the heads of all other windows asks for a window of its own height.
            Some(sill)
                if sill.rank < top
                    && (height.rank < top || head.is_none() && sill.value >= high) =>
            {
                let ranks = [sill.rank, height.rank];
                let founded = [height.rank, sill.rank.max(height.rank)];
                let high = sill.value + height.value;
                (sill.value, high, ranks, false, founded)
            }
            Some(sill) if sill.rank < height.rank => {
                let founded = [sill.rank.max(top), top];
                (sill.value, high, [sill.rank, top], head.is_none(), founded)
            }
            _ => (
                high - height.value,
                high,
                [top, height.rank],
                head.is_none(),
                [height.rank, top],
            ),
        }
    };
    let [first, second] = used;
    let worst = first.max(second);
    let stated = [sill.as_ref(), head.as_ref(), Some(&height)];
    compare(raising, place, opening, [low, high], stated, worst);
    if worst == Rank::Assumed {
        let is_height_assumed = height.rank == Rank::Assumed && used.contains(&height.rank);
        assume(
            raising,
            opening,
            [is_height_assumed, is_head_assumed],
            [low, high],
        );
    }
    let [height_origin, head_origin] = founded.map(origin);
    Some(Upright {
        sill: low,
        head: high,
        height_origin,
        head_origin,
    })
}

/// Rough height: the job's rough or unit height, the plan's, or the plant's default.
fn rough_height(
    raising: &Raising<'_>,
    opening: &Opening,
    allowance: Allowance,
) -> Option<Stated<Length>> {
    let with_allowance = |stated: Stated<Length>| Stated {
        value: stated.value + allowance.height,
        ..stated
    };
    let rough = said(raising.job, opening, |entry| entry.rough_height);
    let unit = said(raising.job, opening, |entry| entry.height);
    let by_job = match (rough, unit) {
        (Some(rough), Some(unit)) if unit.rank < rough.rank => Some(with_allowance(unit)),
        (Some(rough), _) => Some(rough),
        (None, unit) => unit.map(with_allowance),
    };
    by_job
        .or_else(|| stated_by_plan(opening.rough.map(|[_, height]| height), raising.step))
        .or_else(|| stated_by_plan(opening.height, raising.step).map(with_allowance))
        .or_else(|| {
            let size = raising.rules.openings.sizes.get(&opening.kind)?;
            Some(Stated {
                value: size.height + allowance.height,
                rank: Rank::Assumed,
                line: 0,
            })
        })
}

/// The head taken when nobody states one: the kind's own, else level with a door of the plant's default height.
#[must_use]
pub fn default_head(rules: &PlantRules, kind: OpeningKind) -> Length {
    let own = rules.openings.sizes.get(&kind).and_then(|size| size.head);
    own.unwrap_or_else(|| {
        let door = rules.openings.sizes.get(&OpeningKind::Door);
        let height = door.map_or(Length::ZERO, |size| size.height);
        height + allowance(rules, OpeningKind::Door).height
    })
}

/// Notes a default taken; findings of the same kind and size are told together.
fn assume(
    raising: &mut Raising<'_>,
    opening: &Opening,
    [is_height_assumed, is_head_assumed]: [bool; 2],
    [low, high]: [Length; 2],
) {
    let kind = opening.kind.name().replace('_', " ");
    let mut taken = Vec::new();
    if is_height_assumed {
        taken.push(format!("rough height {}", high - low));
    }
    if is_head_assumed {
        taken.push(format!("head {high} above the deck"));
    }
    let message = format!(
        "neither plan nor job says how high: {{ids}} ({kind}) takes {} from the plant rules (openings.sizes)",
        taken.join(" and ")
    );
    let hint = "give it in job.toml by [[opening]] with id, tag or kind";
    raising.together(codes::OPENING_SIZE_ASSUMED, message, hint, &opening.id);
}

/// A stated size that the result does not have is a doubt, unless a better founded statement overrules it on purpose.
fn compare(
    raising: &mut Raising<'_>,
    place: &Place,
    opening: &Opening,
    [low, high]: [Length; 2],
    stated: [Option<&Stated<Length>>; 3],
    worst_used: Rank,
) {
    let names = ["sill", "head", "rough height"];
    let results = [low, high, high - low];
    for ((stated, name), result) in stated.into_iter().zip(names).zip(results) {
        if let Some(stated) = stated
            && stated.rank < Rank::Assumed
            && stated.rank <= worst_used
            && (stated.value - result).abs().to_inches() > BRIDGE_MOVE
        {
            raising.findings.push(Finding::doubt(
                codes::SIZES_DISAGREE,
                place.clone(),
                format!(
                    "{}: {name} is stated as {} by the {}, but what else is stated makes it {result}; {result} was taken",
                    opening.id,
                    stated.value,
                    stated.rank.name()
                ),
                "state two of sill, head and height so that the third follows",
            ));
        }
    }
}

/// Keeps an opening between deck or base, whichever is higher, and top plate: cut down with a fault; false when nothing is left of it.
fn fit_height(
    raising: &mut Raising<'_>,
    place: &Place,
    wall: &PanelWall,
    rough: &mut RoughOpening,
) -> bool {
    let limit = wall.room_over(rough, raising.rules.plates.thickness);
    let [base, other] = wall.profile.base_range(rough.from, rough.to);
    let floor = base.max(other).max(Length::ZERO);
    if rough.sill >= floor && rough.head <= limit && rough.sill < rough.head {
        return true;
    }
    raising.findings.push(Finding::fault(
        codes::OPENING_TOO_TALL,
        place.clone(),
        format!(
            "the rough opening of {} reaches from {} to {} above the deck, and {} has room from {floor} to {limit}",
            rough.id, rough.sill, rough.head, wall.id
        ),
        "correct its sill, height or head, or the wall's height or base",
    ));
    rough.on_hold = true;
    rough.sill = rough.sill.max(floor);
    rough.head = rough.head.min(limit);
    rough.sill < rough.head
}
