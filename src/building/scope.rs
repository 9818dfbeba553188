//! The limits of the code's prescriptive rules for panel walls: what lies beyond them needs design.

use super::codes;
use super::model::Building;
use super::raise::Raising;
use crate::findings::{Finding, Place};
use crate::geometry::tolerance::BRIDGE_MOVE;
use crate::rules::HeaderMember;
use crate::units::Length;

/// Compares the building, and the loads the job states, with `scope` of the plant rules. Nothing is assumed for a load.
pub(super) fn check_scope(raising: &mut Raising<'_>, building: &Building) {
    if building.walls.is_empty() {
        return;
    }
    let mut beyond = walls_beyond(raising, building);
    beyond.extend(building_beyond(raising, building));
    beyond.extend(loads_beyond(raising));
    beyond.extend(chases_beyond(raising));
    beyond.extend(panel_headers_beyond(raising, building));
    for message in beyond {
        raising.findings.push(Finding::doubt(
            codes::OUTSIDE_PRESCRIPTIVE,
            Place::default(),
            message,
            "have it designed, or confirm that the plant's evaluation report covers it; check the edition your jurisdiction adopted",
        ));
    }
    let loads = &raising.job.loads;
    let missing: Vec<&str> = [
        (loads.ground_snow_psf.is_none(), "ground_snow_psf"),
        (loads.wind_mph.is_none(), "wind_mph"),
        (loads.exposure.is_none(), "exposure"),
        (loads.seismic.is_none(), "seismic"),
    ]
    .into_iter()
    .filter_map(|(is_missing, key)| is_missing.then_some(key))
    .collect();
    if !missing.is_empty() {
        let place = if raising.job.file.is_empty() {
            Place::default()
        } else {
            Place::file(&raising.job.file)
        };
        let message = format!(
            "the job does not state {}: the limits of {} that depend on it were not checked",
            missing.join(", "),
            raising.rules.scope.source
        );
        raising.findings.push(Finding::note(
            codes::LOADS_NOT_STATED,
            place,
            message,
            "state them in job.toml under [loads], from the engineer of record or the building department",
        ));
    }
}

fn walls_beyond(raising: &Raising<'_>, building: &Building) -> Vec<String> {
    let scope = &raising.rules.scope;
    let list = |ids: Vec<&str>| ids.join(", ");
    let mut beyond = Vec::new();
    let high: Vec<&str> = building
        .walls
        .iter()
        .filter(|wall| wall.stack.panel_top > scope.wall_height)
        .map(|wall| wall.id.as_str())
        .collect();
    if !high.is_empty() {
        beyond.push(format!(
            "{} is higher than {}, the greatest wall height of {}: design required",
            list(high),
            scope.wall_height.feet_inches(),
            scope.source
        ));
    }
    for (index, assembly) in raising.rules.assemblies.iter().enumerate() {
        let used: Vec<&str> = building
            .walls
            .iter()
            .filter(|wall| wall.assembly == index)
            .map(|wall| wall.id.as_str())
            .collect();
        if !used.is_empty() && !scope.thicknesses.contains(&assembly.thickness()) {
            beyond.push(format!(
                "{} is made of {} panels, a thickness ANSI/APA PRS 610.1 and so {} do not cover: design required",
                list(used.clone()),
                assembly.name,
                scope.source
            ));
        }
        if !used.is_empty() && assembly.bare().is_none() && !assembly.is_even() {
            beyond.push(format!(
                "{} is made of {} panels with unequal skins ({}), and ANSI/APA PRS 610.1 and so {} cover equal ones: design required",
                list(used),
                assembly.name,
                assembly.skin_words(),
                scope.source
            ));
        }
    }
    beyond
}

/// Sides of the lowest outline, along its first wall and square to it, and the number of storeys.
fn building_beyond(raising: &Raising<'_>, building: &Building) -> Vec<String> {
    let scope = &raising.rules.scope;
    let mut beyond = Vec::new();
    let outline = building
        .storeys
        .iter()
        .find(|storey| !storey.outline.is_empty());
    if let (Some(storey), Some(wall)) = (outline, building.walls.first()) {
        let extent = |pick: fn((f64, f64)) -> f64| {
            let values = storey
                .outline
                .iter()
                .map(|point| pick(wall.frame.local(*point)));
            let (low, high) = values
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                    (low.min(value), high.max(value))
                });
            high - low
        };
        let (a, b) = (extent(|local| local.0), extent(|local| local.1));
        let (long, short) = (a.max(b), a.min(b));
        // The greater limit is for the length across joists, which a plan need not show: the kinder reading is taken.
        if long > scope.building_length.to_inches() + BRIDGE_MOVE
            || short > scope.building_width.to_inches() + BRIDGE_MOVE
        {
            let feet = |inches: f64| {
                Length::nearest(inches, Length::TAPE_STEP)
                    .unwrap_or_default()
                    .feet_inches()
                    .to_string()
            };
            beyond.push(format!(
                "the building measures {} by {}, and {} reaches to {} by {}: design required",
                feet(long),
                feet(short),
                scope.source,
                scope.building_length.feet_inches(),
                scope.building_width.feet_inches()
            ));
        }
    }
    let n_storeys = u32::try_from(building.storeys.len()).unwrap_or(u32::MAX);
    if n_storeys > scope.storeys {
        beyond.push(format!(
            "the building has {n_storeys} storeys, and {} reaches to {}: design required",
            scope.source, scope.storeys
        ));
    }
    beyond
}

/// Openings over which the panel itself carries, and is not as deep, or spans more, than the code's rules have it.
fn panel_headers_beyond(raising: &Raising<'_>, building: &Building) -> Vec<String> {
    let (limits, plate) = (&raising.rules.sip_headers, raising.rules.plates.thickness);
    let mut beyond = Vec::new();
    let openings = building.walls.iter().flat_map(|wall| {
        let openings = wall.openings.iter();
        openings.map(move |opening| (wall, opening))
    });
    for (wall, opening) in openings.filter(|(_, it)| it.header == HeaderMember::None) {
        let depth = wall.room_over(opening, Length::ZERO) - opening.head;
        // Where no buck has room under the plate, plates carry: that is asked about on its own.
        let is_under_plate = wall.room_over(opening, plate) - opening.head < plate;
        let (least, span) = (limits.least_depth, limits.greatest_width);
        if !is_under_plate && depth < least {
            beyond.push(format!(
                "the panel that carries over {} of {} is {depth} deep, and the code, from memory (IRC R610.8), asks for {least}: design required",
                opening.id, wall.id
            ));
        }
        if !is_under_plate && opening.width() > span {
            beyond.push(format!(
                "the panel carries over {} of {}, {} wide, and the code, from memory (IRC R610.8), lets it over {} at most: design required",
                opening.id,
                wall.id,
                opening.width(),
                span.feet_inches()
            ));
        }
    }
    beyond
}

/// More horizontal chases in a panel than the code's rules allow.
fn chases_beyond(raising: &Raising<'_>) -> Option<String> {
    let (heights, scope) = (&raising.rules.chases.horizontal, &raising.rules.scope);
    let most = usize::try_from(scope.horizontal_chases).unwrap_or(usize::MAX);
    (heights.len() > most).then(|| {
        format!(
            "each panel has {} horizontal chases (chases.horizontal), and the code, from memory, allows {most}: design required",
            heights.len()
        )
    })
}

fn loads_beyond(raising: &Raising<'_>) -> Vec<String> {
    let (scope, loads) = (&raising.rules.scope, &raising.job.loads);
    let mut beyond = Vec::new();
    if let Some(snow) = loads.ground_snow_psf
        && snow > scope.ground_snow_psf
    {
        beyond.push(format!(
            "ground snow load {snow} psf is above {} psf of {}: design required",
            scope.ground_snow_psf, scope.source
        ));
    }
    match (loads.wind_mph, loads.exposure.as_deref()) {
        (_, Some("D")) => beyond.push(format!(
            "{} has no values for wind exposure D: design required",
            scope.source
        )),
        (Some(wind), exposure) => {
            // Without an exposure only what is above both limits is surely beyond.
            let limit = match exposure {
                Some("C") => scope.wind_mph_exposure_c,
                _ => scope.wind_mph_exposure_b,
            };
            if wind > limit {
                beyond.push(format!(
                    "wind speed {wind} mph in exposure {} is above {limit} mph of {}: design required",
                    exposure.unwrap_or("B"),
                    scope.source
                ));
            }
        }
        (None, _) => {}
    }
    if let Some(seismic) = &loads.seismic
        && !scope.seismic.contains(seismic)
    {
        beyond.push(format!(
            "seismic design category {seismic} is not among {} of {}: design required",
            scope.seismic.join(", "),
            scope.source
        ));
    }
    beyond
}
