//! Takes what a `plant.toml` says over into the rules, group by group.
//!
//! The ranges are what is possible at all, wide enough for any plant; what is sensible is the plant's business.

use super::alignment::apply_alignment;
use super::assembly::{Assembly, LaminatingLine, WallAxis, WallAxisWord};
use super::checks::Checks;
use super::cost::{MOST_CENTS, apply_cost};
use super::dispatch::apply_dispatch;
use super::piers::apply_piers;
use super::plant::{
    Allowance, HeaderRule, LumberSection, OpeningSize, PlantRules, SectionMaterial,
};
use super::plant_file::{
    AllowanceFile, AssemblyFile, HeaderFile, Key, LineFile, OpeningsFile, PlantFile, SectionFile,
    SizeFile,
};
use super::points::apply_points;
use super::sip_headers::apply_sip_headers;
use super::splines::apply_splines;
use super::stock::apply_stock;
use crate::plan::OpeningKind;
use crate::toml_text::At;
use crate::units::Length;
use std::ops::RangeInclusive;

/// Anything from nothing to a foot: gaps, slots, recesses.
const SMALL: RangeInclusive<Length> = Length::ZERO..=Length::feet(1);
/// Anything from nothing to a blank's length.
const SPAN: RangeInclusive<Length> = Length::ZERO..=Length::feet(40);
/// A thing that has a size: from 1/64 in to a blank's length.
const SIZE: RangeInclusive<Length> = Length::TAPE_STEP..=Length::feet(40);
/// A thickness.
const THICKNESS: RangeInclusive<Length> = Length::TAPE_STEP..=Length::feet(2);
/// Money, cents.
const CENTS: RangeInclusive<i64> = 0..=MOST_CENTS;
/// Weights, pounds; and densities, pounds per cubic foot, which are below steel's.
const POUNDS: RangeInclusive<f64> = 1.0..=100_000.0;
pub(super) const DENSITY: RangeInclusive<f64> = 0.1..=490.0;

/// Takes over everything the file gives; what it leaves out stays.
pub(super) fn apply(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    checks.text("name", &mut rules.name, &file.name);
    checks.length(
        "grid",
        &mut rules.grid,
        &file.grid,
        &(Length::TAPE_STEP..=Length::inches(4)),
    );
    checks.text(
        "default_assembly",
        &mut rules.default_assembly,
        &file.default_assembly,
    );
    let (target, given) = (&mut rules.default_wall_height, &file.default_wall_height);
    checks.length("default_wall_height", target, given, &SIZE);
    if let Some(list) = &file.assemblies {
        rules.assemblies = list
            .value
            .iter()
            .map(|item| assembly(&item.value, checks))
            .collect();
    }
    if let Some(list) = &file.lines {
        rules.lines = list
            .value
            .iter()
            .map(|item| line(&item.value, checks))
            .collect();
        rules.cost.panel = list
            .value
            .iter()
            .map(|item| item.value.panel_cents.value)
            .collect();
        rules.cost.blank_sq_ft = list
            .value
            .iter()
            .map(|item| item.value.blank_sq_ft_cents.value)
            .collect();
    }
    joints(file, rules, checks);
    let lines = &mut rules.drawn_lines;
    super::drawn_lines::apply_drawn_lines(&file.drawn_lines, lines, checks);
    apply_piers(&file.piers, &mut rules.piers, checks);
    apply_points(&file.points, &mut rules.points, checks);
    super::quoting::apply_quote(&file.quote, &mut rules.quote, checks);
    apply_sip_headers(&file.sip_headers, &mut rules.sip_headers, checks);
    apply_alignment(&file.alignment, &mut rules.alignment, checks);
    plates_recesses_splines_corners(file, rules, checks);
    openings(&file.openings, rules, checks);
    chases(file, rules, checks);
    super::nailers::apply_nailers(&file.nailers, &mut rules.nailers, checks);
    lumber_and_lifts(file, rules, checks);
    saw(file, rules, checks);
    apply_stock(&file.stock, &mut rules.stock, checks);
    let dispatch = (&file.press, &file.labels, &file.shipping, &file.thermal);
    apply_dispatch(dispatch, &mut rules.dispatch, checks);
    super::sheets::apply_sheets(&file.sheets, &mut rules.sheets);
    super::site_goods::apply_site_goods(&file.site_goods, &mut rules.dispatch.site_goods, checks);
    apply_cost(&file.cost, &mut rules.cost, checks);
    super::revisions::apply_revisions(&file.revisions, &mut rules.revisions, checks);
    scope(file, rules, checks);
}

fn assembly(file: &AssemblyFile, checks: &mut Checks<'_>) -> Assembly {
    let [outer, inner] = super::skins::skins(file, checks);
    Assembly {
        name: checks.one_text("assemblies.name", &file.name),
        core: checks.one_length("assemblies.core", &file.core, &THICKNESS),
        outer,
        inner,
        lumber: file.lumber.value.clone(),
        core_material: checks.one_text("assemblies.core_material", &file.core_material),
        core_density: checks.one_number("assemblies.core_density", &file.core_density, &DENSITY),
    }
}

fn line(file: &LineFile, checks: &mut Checks<'_>) -> LaminatingLine {
    checks.one_number("lines.panel_cents", &file.panel_cents, &CENTS);
    checks.one_number("lines.blank_sq_ft_cents", &file.blank_sq_ft_cents, &CENTS);
    let wall_axis = match file.wall_axis.as_ref().map(|at| (at.value, at.offset)) {
        None | Some((WallAxisWord::Vertical, _)) => WallAxis::Vertical,
        Some((WallAxisWord::Either, _)) => WallAxis::Either,
        Some((WallAxisWord::Horizontal, offset)) => {
            checks.refuse(
                offset,
                "lines.wall_axis is 'horizontal', a word no longer used",
                "write wall_axis = \"either\": each panel then lies the way that uses less blank, under the report named",
            );
            WallAxis::Either
        }
    };
    LaminatingLine {
        name: checks.one_text("lines.name", &file.name),
        width: checks.one_length("lines.width", &file.width, &SIZE),
        length: checks.one_length("lines.length", &file.length, &SIZE),
        trim: checks.one_length("lines.trim", &file.trim, &SMALL),
        strength_axis: file.strength_axis.value,
        wall_axis,
        report: file
            .report
            .as_ref()
            .map_or_else(String::new, |at| at.value.trim().to_owned()),
        made_to_length: file.made_to_length.as_ref().is_some_and(|at| at.value),
    }
}

fn joints(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let (to, from) = (&mut rules.joints, &file.joints);
    checks.length(
        "joints.gap",
        &mut to.gap,
        &from.gap,
        &(Length::ZERO..=Length::inches(1)),
    );
    Checks::take(&mut to.spline, &from.spline);
    Checks::take(&mut to.closing, &from.closing);
    Checks::take(&mut to.liner_spline, &from.liner_spline);
    checks.length(
        "joints.least_panel",
        &mut to.least_panel,
        &from.least_panel,
        &SIZE,
    );
    checks.length(
        "joints.preferred_panel",
        &mut to.preferred_panel,
        &from.preferred_panel,
        &SIZE,
    );
    checks.length(
        "joints.from_opening",
        &mut to.from_opening,
        &from.from_opening,
        &SPAN,
    );
    let preferred = &mut to.from_opening_preferred;
    checks.length(
        "joints.from_opening_preferred",
        preferred,
        &from.from_opening_preferred,
        &SPAN,
    );
    checks.length("joints.from_tee", &mut to.from_tee, &from.from_tee, &SPAN);
    let (target, given) = (&mut to.from_step, &from.from_step);
    checks.length("joints.from_step", target, given, &SPAN);
    let (target, given) = (&mut to.from_point_load, &from.from_point_load);
    checks.length("joints.from_point_load", target, given, &SPAN);
    let (target, given) = (&mut to.site_tolerance, &from.site_tolerance);
    checks.length("joints.site_tolerance", target, given, &SMALL);
    checks.length("joints.make_up", &mut to.make_up, &from.make_up, &SMALL);
}

fn plates_recesses_splines_corners(
    file: &PlantFile,
    rules: &mut PlantRules,
    checks: &mut Checks<'_>,
) {
    let (to, from) = (&mut rules.plates, &file.plates);
    checks.length(
        "plates.thickness",
        &mut to.thickness,
        &from.thickness,
        &THICKNESS,
    );
    checks.rising(
        "plates.stock_lengths",
        &mut to.stock_lengths,
        &from.stock_lengths,
        &SIZE,
    );
    checks.length(
        "plates.joint_offset",
        &mut to.joint_offset,
        &from.joint_offset,
        &SPAN,
    );
    checks.length(
        "plates.least_piece",
        &mut to.least_piece,
        &from.least_piece,
        &SPAN,
    );
    Checks::take(&mut to.sole_at_doors, &from.sole_at_doors);
    Checks::take(&mut to.has_cap, &from.has_cap);
    Checks::take(&mut to.cap_at_tees, &from.cap_at_tees);

    let (to, from) = (&mut rules.recesses, &file.recesses);
    checks.length("recesses.plate", &mut to.plate, &from.plate, &SMALL);
    checks.length(
        "recesses.end_stud",
        &mut to.end_stud,
        &from.end_stud,
        &SMALL,
    );
    checks.length("recesses.buck", &mut to.buck, &from.buck, &SMALL);
    checks.length("recesses.seat", &mut to.seat, &from.seat, &SMALL);

    apply_splines(&file.splines, &mut rules.splines, checks);

    let (to, from) = (&mut rules.corners, &file.corners);
    checks.length(
        "corners.screw_spacing",
        &mut to.screw_spacing,
        &from.screw_spacing,
        &SIZE,
    );
    checks.length(
        "corners.screw_bite",
        &mut to.screw_bite,
        &from.screw_bite,
        &SMALL,
    );
    Checks::take(&mut to.odd, &from.odd);
    Checks::take(&mut to.tee, &from.tee);
    let (target, given) = (&mut to.tee_least_angle, &from.tee_least_angle);
    checks.number("corners.tee_least_angle", target, given, &(20.0..=89.0));

    let (to, from) = (&mut rules.fixings, &file.fixings);
    checks.text("fixings.nail", &mut to.nail, &from.nail);
    checks.length(
        "fixings.nail_spacing",
        &mut to.nail_spacing,
        &from.nail_spacing,
        &SIZE,
    );
}

fn openings(from: &OpeningsFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let to = &mut rules.openings;
    Checks::take(&mut to.buck, &from.buck);
    checks.length(
        "openings.whole_up_to",
        &mut to.whole_up_to,
        &from.whole_up_to,
        &SPAN,
    );
    checks.length(
        "openings.least_leg",
        &mut to.least_leg,
        &from.least_leg,
        &SPAN,
    );
    checks.length(
        "openings.door_bridge",
        &mut to.door_bridge,
        &from.door_bridge,
        &SPAN,
    );
    let kinds = [
        (
            OpeningKind::Door,
            &from.drawn_width.door,
            &from.allowances.door,
            &from.sizes.door,
        ),
        (
            OpeningKind::Window,
            &from.drawn_width.window,
            &from.allowances.window,
            &from.sizes.window,
        ),
        (
            OpeningKind::Opening,
            &from.drawn_width.opening,
            &from.allowances.opening,
            &from.sizes.opening,
        ),
        (
            OpeningKind::GarageDoor,
            &from.drawn_width.garage_door,
            &from.allowances.garage_door,
            &from.sizes.garage_door,
        ),
    ];
    for (kind, drawn, given_allowance, given_size) in kinds {
        if let Some(at) = drawn {
            to.drawn_width.insert(kind, at.value);
        }
        if let Some(value) = allowance(kind, given_allowance, checks) {
            to.allowances.insert(kind, value);
        }
        if let Some(value) = size(kind, given_size, checks) {
            to.sizes.insert(kind, value);
        }
    }
    if let Some(list) = &from.headers {
        to.headers = list.value.iter().map(|item| header(item, checks)).collect();
    }
}

fn allowance(
    kind: OpeningKind,
    given: &Key<AllowanceFile>,
    checks: &mut Checks<'_>,
) -> Option<Allowance> {
    let file = &given.as_ref()?.value;
    let key = |side| format!("openings.allowances.{}.{side}", kind.name());
    Some(Allowance {
        width: checks.one_length(&key("width"), &file.width, &SMALL),
        height: checks.one_length(&key("height"), &file.height, &SMALL),
    })
}

fn size(kind: OpeningKind, given: &Key<SizeFile>, checks: &mut Checks<'_>) -> Option<OpeningSize> {
    let file = &given.as_ref()?.value;
    let key = |side| format!("openings.sizes.{}.{side}", kind.name());
    Some(OpeningSize {
        height: checks.one_length(&key("height"), &file.height, &SIZE),
        head: file
            .head
            .as_ref()
            .map(|head| checks.one_length(&key("head"), head, &SIZE)),
    })
}

fn header(item: &At<HeaderFile>, checks: &mut Checks<'_>) -> HeaderRule {
    let file = &item.value;
    HeaderRule {
        up_to: checks.one_length("openings.headers.up_to", &file.up_to, &SIZE),
        member: file.member.value.0.clone(),
        jacks: checks.one_number("openings.headers.jacks", &file.jacks, &(0..=6)),
    }
}

fn chases(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let (to, from) = (&mut rules.chases, &file.chases);
    checks.length("chases.diameter", &mut to.diameter, &from.diameter, &SMALL);
    checks.rising(
        "chases.horizontal",
        &mut to.horizontal,
        &from.horizontal,
        &SIZE,
    );
    let target = &mut to.vertical_from_joint;
    checks.length(
        "chases.vertical_from_joint",
        target,
        &from.vertical_from_joint,
        &SPAN,
    );
    let target = &mut to.vertical_spacing;
    checks.length(
        "chases.vertical_spacing",
        target,
        &from.vertical_spacing,
        &SIZE,
    );
    checks.length(
        "chases.vertical_least",
        &mut to.vertical_least,
        &from.vertical_least,
        &SPAN,
    );
    checks.length(
        "chases.from_latch",
        &mut to.from_latch,
        &from.from_latch,
        &SPAN,
    );
    checks.length(
        "chases.clear_of_lumber",
        &mut to.clear_of_lumber,
        &from.clear_of_lumber,
        &SMALL,
    );
    let target = &mut to.box_depth;
    checks.length("chases.box_depth", target, &from.box_depth, &SMALL);
    Checks::take(&mut to.made, &from.made);
}

fn lumber_and_lifts(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let (to, from) = (&mut rules.lumber, &file.lumber);
    checks.text("lumber.grade", &mut to.grade, &from.grade);
    checks.number("lumber.density", &mut to.density, &from.density, &DENSITY);
    checks.text("lumber.lvl_grade", &mut to.lvl_grade, &from.lvl_grade);
    let (target, given) = (&mut to.lvl_density, &from.lvl_density);
    checks.number("lumber.lvl_density", target, given, &DENSITY);
    for (name, at) in &from.sections {
        to.sections
            .insert(name.clone(), section(name, &at.value, checks));
    }

    let (to, from) = (&mut rules.lifts, &file.lifts);
    checks.number(
        "lifts.hand_limit",
        &mut to.hand_limit,
        &from.hand_limit,
        &POUNDS,
    );
    checks.number(
        "lifts.forklift_limit",
        &mut to.forklift_limit,
        &from.forklift_limit,
        &POUNDS,
    );
    let target = &mut to.pick_half_spacing;
    checks.length(
        "lifts.pick_half_spacing",
        target,
        &from.pick_half_spacing,
        &SPAN,
    );
    checks.length(
        "lifts.pick_below_top",
        &mut to.pick_below_top,
        &from.pick_below_top,
        &SPAN,
    );
    checks.number(
        "lifts.greatest_weight",
        &mut to.greatest_weight,
        &from.greatest_weight,
        &POUNDS,
    );
}

fn section(name: &str, file: &SectionFile, checks: &mut Checks<'_>) -> LumberSection {
    let key = |side| format!("lumber.sections.{name}.{side}");
    LumberSection {
        thickness: checks.one_length(&key("thickness"), &file.thickness, &THICKNESS),
        width: checks.one_length(&key("width"), &file.width, &SIZE),
        nominal_thickness: checks.one_number(
            &key("nominal_thickness"),
            &file.nominal_thickness,
            &(1..=48),
        ),
        nominal_width: checks.one_number(&key("nominal_width"), &file.nominal_width, &(1..=48)),
        material: file
            .material
            .as_ref()
            .map_or_else(SectionMaterial::default, |it| it.value),
    }
}

fn saw(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let (to, from) = (&mut rules.saw, &file.saw);
    Checks::take(&mut to.unit, &from.unit);
    Checks::take(&mut to.version, &from.version);
    Checks::take(&mut to.face_up, &from.face_up);
    Checks::take(&mut to.corners, &from.corners);
    let (target, given) = (&mut to.tool_radius, &from.tool_radius);
    checks.length("saw.tool_radius", target, given, &SMALL);
    let (to, from) = (&mut to.layers, &from.layers);
    checks.text("saw.layers.outline", &mut to.outline, &from.outline);
    checks.text("saw.layers.opening", &mut to.opening, &from.opening);
    checks.text("saw.layers.under", &mut to.under, &from.under);
    checks.text("saw.layers.recess", &mut to.recess, &from.recess);
    checks.text("saw.layers.slot", &mut to.slot, &from.slot);
    checks.text("saw.layers.chase", &mut to.chase, &from.chase);
    checks.text("saw.layers.mark", &mut to.mark, &from.mark);
    checks.text("saw.layers.note", &mut to.note, &from.note);
    checks.text("saw.layers.blank", &mut to.blank, &from.blank);
    checks.text("saw.layers.cut", &mut to.cut, &from.cut);
    checks.text("saw.layers.offcut", &mut to.offcut, &from.offcut);
    let (target, given) = (&mut to.core_joint, &from.core_joint);
    checks.text("saw.layers.core_joint", target, given);
}

fn scope(file: &PlantFile, rules: &mut PlantRules, checks: &mut Checks<'_>) {
    let (to, from) = (&mut rules.scope, &file.scope);
    checks.text("scope.source", &mut to.source, &from.source);
    checks.length(
        "scope.wall_height",
        &mut to.wall_height,
        &from.wall_height,
        &SIZE,
    );
    let large = Length::TAPE_STEP..=Length::feet(1000);
    checks.length(
        "scope.building_length",
        &mut to.building_length,
        &from.building_length,
        &large,
    );
    checks.length(
        "scope.building_width",
        &mut to.building_width,
        &from.building_width,
        &large,
    );
    checks.number("scope.storeys", &mut to.storeys, &from.storeys, &(1..=20));
    let loads = 0.0..=1000.0;
    checks.number(
        "scope.ground_snow_psf",
        &mut to.ground_snow_psf,
        &from.ground_snow_psf,
        &loads,
    );
    let (target, given) = (&mut to.wind_mph_exposure_b, &from.wind_mph_exposure_b);
    checks.number("scope.wind_mph_exposure_b", target, given, &loads);
    let (target, given) = (&mut to.wind_mph_exposure_c, &from.wind_mph_exposure_c);
    checks.number("scope.wind_mph_exposure_c", target, given, &loads);
    let (target, given) = (&mut to.horizontal_chases, &from.horizontal_chases);
    checks.number("scope.horizontal_chases", target, given, &(0..=20));
    if let Some(list) = &from.seismic {
        to.seismic = list
            .value
            .iter()
            .map(|item| checks.one_text("scope.seismic", item))
            .collect();
    }
    checks.rising(
        "scope.thicknesses",
        &mut to.thicknesses,
        &from.thicknesses,
        &THICKNESS,
    );
}
