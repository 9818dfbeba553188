//! How high decks, panels and caps are.

use super::codes;
use super::model::HeightStack;
use super::profile::WallProfile;
use super::raise::{Raising, storey_place};
use crate::findings::{Finding, Place};
use crate::geometry::ShopPoint;
use crate::plan::Storey;
use crate::rules::{FloorKind, HeightTo, JobStorey, JobWall};
use crate::units::Length;

/// The job's entry for a storey, by id or by title; the later one wins.
pub(super) fn job_storey<'a>(raising: &Raising<'a>, storey: &Storey) -> Option<&'a JobStorey> {
    raising.job.storeys.iter().rev().find(|entry| {
        entry.storey.eq_ignore_ascii_case(&storey.id)
            || (!storey.name.is_empty() && entry.storey.eq_ignore_ascii_case(&storey.name))
    })
}

/// The height a wall is given, and whether anybody stated it.
pub(super) fn wall_height(
    raising: &Raising<'_>,
    storey: &Storey,
    entry: Option<&JobWall>,
) -> (Length, bool) {
    let stated = entry
        .and_then(|entry| entry.wall_height)
        .or_else(|| job_storey(raising, storey).and_then(|entry| entry.wall_height))
        .or(raising.job.wall_height);
    (
        stated.unwrap_or(raising.rules.default_wall_height),
        stated.is_some(),
    )
}

/// Panel and cap for a wall height, by what the height reaches.
///
/// ```text
///   to = "panel"                        to = "cap", "ceiling"
///   ┌──────────┐ cap top = height + cap   ┌──────────┐ cap top = height
///   ├──────────┤ panel top = height       ├──────────┤ panel top = height - cap
///   │          │                          │          │
/// ```
///
/// A ceiling is fixed to what lies on the cap, so its height is the cap's.
pub(super) fn height_stack(raising: &Raising<'_>, height: Length) -> HeightStack {
    let plates = &raising.rules.plates;
    let cap = if plates.has_cap {
        plates.thickness
    } else {
        Length::ZERO
    };
    let panel_top = match raising.job.height_to {
        HeightTo::Panel => height,
        HeightTo::Cap | HeightTo::Ceiling => height - cap,
    };
    HeightStack {
        panel_bottom: Length::ZERO,
        panel_top,
        cap_top: panel_top + cap,
    }
}

/// Deck and floor of a storey.
pub(super) struct Deck {
    /// Above the lowest deck.
    pub(super) floor: Length,
    /// How its floor is carried.
    pub(super) kind: FloorKind,
    /// From the caps below to the deck.
    pub(super) depth: Length,
    /// True when its walls must be held.
    pub(super) is_unknown: bool,
}

/// The deck of a storey above the lowest.
///
/// ```text
///   next deck ───┬─ floor
///   cap top   ───┤  floor depth (0 where the floor hangs inside the walls)
///   panel top ───┤  cap
///   deck      ───┴─ panel
/// ```
///
/// - `below`: deck and cap top of the storey below; `None` for the lowest.
pub(super) fn deck(
    raising: &mut Raising<'_>,
    storey: &Storey,
    below: Option<(Length, Length)>,
) -> Deck {
    let entry = job_storey(raising, storey);
    let kind = entry.and_then(|entry| entry.floor_kind).unwrap_or_default();
    let mut deck = Deck {
        floor: Length::ZERO,
        kind,
        depth: Length::ZERO,
        is_unknown: false,
    };
    let Some((floor_below, cap_below)) = below else {
        return deck;
    };
    let carried = floor_below + cap_below;
    let by_plan = Length::nearest(storey.to_building.floor, raising.step)
        .filter(|floor| *floor > floor_below);
    let stated = entry.and_then(|entry| entry.floor).or(by_plan);
    let depth = entry.and_then(|entry| entry.floor_depth);
    let stacked = match (kind, depth) {
        (FloorKind::Hung, _) => Some(carried),
        (FloorKind::Platform, Some(depth)) => Some(carried + depth),
        (FloorKind::Platform, None) => None,
    };
    let place = storey_place(storey);
    match (stated, stacked) {
        (Some(floor), Some(other)) if floor != other => raising.findings.push(Finding::doubt(
            codes::HEIGHTS_DO_NOT_STACK,
            place.clone(),
            format!(
                "the deck of storey {} is stated at {}; caps below and floor make {}: {} was taken",
                storey.id,
                floor.feet_inches(),
                other.feet_inches(),
                floor.feet_inches()
            ),
            "correct floor, floor_depth or floor_kind of the storey, or the wall height below",
        )),
        (None, None) => {
            deck.is_unknown = true;
            raising.findings.push(Finding::fault(
                codes::FLOOR_UNKNOWN,
                place.clone(),
                format!(
                    "nothing says how high the deck of storey {} lies; it is drawn on the caps below, at {}, without any floor",
                    storey.id,
                    carried.feet_inches()
                ),
                format!(
                    "give it in job.toml: [[storey]] id = \"{}\", floor = …, or floor_depth = …",
                    storey.id
                ),
            ));
        }
        _ => {}
    }
    deck.floor = stated.or(stacked).unwrap_or(carried);
    deck.depth = deck.floor - carried;
    if deck.depth < Length::ZERO {
        deck.is_unknown = true;
        raising.findings.push(Finding::fault(
            codes::HEIGHTS_DO_NOT_STACK,
            place,
            format!(
                "the deck of storey {} lies at {}, {} below the caps that carry it",
                storey.id,
                deck.floor.feet_inches(),
                -deck.depth
            ),
            "raise the floor of the storey, or lower the walls below",
        ));
    }
    deck
}

/// Base and top of a wall, level unless the job gives it another line; what cannot be built is a fault and drawn level.
pub(super) fn profile(
    raising: &mut Raising<'_>,
    place: &Place,
    entry: Option<&JobWall>,
    (id, length): (&str, Length),
    stack: &HeightStack,
) -> (WallProfile, bool) {
    let level = WallProfile::level(stack.panel_bottom, stack.panel_top, length);
    let Some(entry) = entry else {
        return (level, true);
    };
    let points = |given: &[[Length; 2]]| -> Vec<ShopPoint> {
        given.iter().map(|[x, y]| ShopPoint::new(*x, *y)).collect()
    };
    let mut profile = level.clone();
    if !entry.top.is_empty() {
        profile.top = points(&entry.top);
    } else if let Some(pitch) = entry.pitch {
        let ridge = entry.ridge.unwrap_or_else(|| length.half());
        profile.top = gable(stack.panel_top, pitch, ridge, length);
    }
    if !entry.base.is_empty() {
        profile.base = points(&entry.base);
    }
    let reason = impossible(&profile, length, raising.rules.plates.thickness);
    let Some(reason) = reason else {
        return (profile, true);
    };
    raising.findings.push(Finding::fault(
        codes::PROFILE_IMPOSSIBLE,
        Place {
            file: Some(raising.job.file.clone()),
            line: Some(entry.line),
            ..place.clone()
        },
        format!(
            "{id} is {} long, and {reason}; it is drawn level",
            length.feet_inches()
        ),
        "correct pitch, ridge, top or base of this [[wall.only]] in job.toml",
    ));
    (level, false)
}

/// From the height at both ends up to the ridge; one slope where the ridge stands at an end.
fn gable(eave: Length, pitch: Length, ridge: Length, length: Length) -> Vec<ShopPoint> {
    let run = ridge.max(length - ridge);
    let foot = i128::from(Length::feet(1).to_nanometres());
    let rise = i128::from(pitch.to_nanometres()) * i128::from(run.to_nanometres()) / foot;
    let peak = eave + Length::nanometres(i64::try_from(rise).unwrap_or_default());
    // The shorter side falls by the same pitch: it ends higher.
    let at = |x: Length| {
        let away = (x - ridge).abs();
        let fall = i128::from(pitch.to_nanometres()) * i128::from(away.to_nanometres()) / foot;
        peak - Length::nanometres(i64::try_from(fall).unwrap_or_default())
    };
    let mut top = vec![ShopPoint::new(Length::ZERO, at(Length::ZERO))];
    if ridge > Length::ZERO && ridge < length {
        top.push(ShopPoint::new(ridge, peak));
    }
    top.push(ShopPoint::new(length, at(length)));
    top
}

/// Why a profile cannot be built.
fn impossible(profile: &WallProfile, length: Length, plate: Length) -> Option<String> {
    let (Some(first), Some(last)) = (profile.top.first(), profile.top.last()) else {
        return Some("its top has no points".to_owned());
    };
    if profile.top.len() < 2 || first.x > Length::ZERO || last.x < length {
        return Some(format!(
            "the points of its top reach from {} to {}",
            first.x, last.x
        ));
    }
    if profile.stretches().any(|it| it.slope().abs() > 4.0) {
        return Some("its top is steeper than 48 in 12".to_owned());
    }
    if profile
        .base
        .first()
        .is_none_or(|step| step.x > Length::ZERO)
        || profile.base.windows(2).any(|pair| pair[0].x >= pair[1].x)
        || profile.base.last().is_some_and(|step| step.x >= length)
    {
        return Some("the steps of its base do not begin at 0 or do not lie within it".to_owned());
    }
    let inside = profile.top.iter().chain(&profile.base).map(|point| point.x);
    let places = inside.filter(|x| (Length::ZERO..=length).contains(x));
    let low = places.chain([Length::ZERO, length]).find(|x| {
        [false, true].into_iter().any(|is_left| {
            let over = profile.stretch(*x, is_left);
            let under = over.map_or(Length::ZERO, |it| it.at(*x) - it.upright(plate));
            under - profile.base_at(*x, is_left) <= plate
        })
    });
    low.map(|x| format!("at {x} no panel is left between its plates"))
}
