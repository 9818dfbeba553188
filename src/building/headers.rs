//! The member over an opening: named by the job or by the plant's table of widths, never sized here.

use super::codes;
use super::header_sizes::{size_by_table, size_panel_header};
use super::model::{PanelWall, RoughOpening};
use super::raise::Raising;
use super::statements::said;
use crate::findings::{Finding, Place, base_name};
use crate::plan::Opening;
use crate::rules::HeaderMember;
use crate::units::Length;

/// Puts the header into an opening, and says that nobody has sized it.
///
/// - The job's word holds before the plant's table by rough width.
/// - No member is ever sized: every one is a doubt, printed "not sized: engineer". One that nobody names, or
///   that the job names and that cannot go into the wall, is a fault.
pub(super) fn choose_header(
    raising: &mut Raising<'_>,
    place: &Place,
    opening: &Opening,
    wall: &PanelWall,
    rough: &mut RoughOpening,
) {
    let row = raising
        .rules
        .openings
        .headers
        .iter()
        .find(|row| rough.width() <= row.up_to);
    let by_job = said(raising.job, opening, |entry| entry.header.clone());
    match (by_job, row) {
        (Some(stated), row) => {
            // The table's jacks for the width serve a member the job names; two where the table ends.
            rough.jacks = match stated.value {
                HeaderMember::None => 0,
                _ => row.map_or(2, |row| row.jacks).max(1),
            };
            rough.header = stated.value;
            rough.header_from_job = true;
            // Where the file lies is nobody's matter, and would make other bytes of the same job.
            rough.header_rule = format!("{}:{}", base_name(&raising.job.file), stated.line);
        }
        (None, Some(row)) => {
            rough.header = row.member.clone();
            rough.jacks = row.jacks;
            "openings.headers".clone_into(&mut rough.header_rule);
        }
        (None, None) => {
            rough.header = HeaderMember::Engineer;
            rough.jacks = 2;
            rough.on_hold = true;
            "nobody".clone_into(&mut rough.header_rule);
            raising.findings.push(Finding::fault(
                codes::HEADER_UNNAMED,
                place.clone(),
                format!(
                    "nobody names the member over {}, {} wide: not sized: engineer",
                    rough.id,
                    rough.width()
                ),
                "have it designed, and name it in job.toml: [[opening]] header = …",
            ));
            return;
        }
    }
    if reaches_plate(raising, place, wall, rough) {
        return;
    }
    if let Some(reason) = misfit(raising, wall, rough) {
        report_misfit(raising, place, rough, &reason);
    }
    let fits = |raising: &Raising<'_>, tried: &RoughOpening| misfit(raising, wall, tried).is_none();
    if size_panel_header(raising, wall, rough) || size_by_table(raising, place, wall, rough, fits) {
        return;
    }
    leave_to_engineer(raising, place, wall, rough);
    report_not_sized(raising, place, rough);
}

/// True, and said, when no member has room under the top plate, not even a buck laid flat, and the job names none: plates carry by
/// the job's word, or nobody says what does.
fn reaches_plate(
    raising: &mut Raising<'_>,
    place: &Place,
    wall: &PanelWall,
    rough: &mut RoughOpening,
) -> bool {
    let thickness = raising.rules.plates.thickness;
    let room = wall.room_over(rough, thickness) - rough.head;
    let is_named = rough.header_from_job && rough.header != HeaderMember::None;
    if room >= thickness || is_named {
        return false;
    }
    let what = format!(
        "{} reaches the top plate of {}: no member has room over it",
        rough.id, wall.id
    );
    raising.findings.push(if rough.header_from_job {
        Finding::doubt(
            codes::OPENING_TO_PLATE,
            place.clone(),
            format!(
                "{what}, and plate and cap carry by {}: not sized: engineer",
                rough.header_rule
            ),
            "have plates, loads and the panels' studs beside it checked by a licensed engineer",
        )
    } else {
        rough.header = HeaderMember::Engineer;
        rough.on_hold = true;
        Finding::fault(
            codes::OPENING_TO_PLATE,
            place.clone(),
            format!("{what}, and nobody says what carries there: not sized: engineer"),
            "have it designed, and say header = \"none\" in job.toml where the plates carry; or lower the head",
        )
    });
    true
}

/// A member the job names and that cannot go in is a fault; the table's is only a first guess and goes to the engineer.
fn report_misfit(raising: &mut Raising<'_>, place: &Place, rough: &mut RoughOpening, reason: &str) {
    let hint = "name another member in job.toml, lower the opening's head, or raise the wall";
    let finding = if rough.header_from_job {
        rough.on_hold = true;
        Finding::fault(codes::HEADER_DOES_NOT_FIT, place.clone(), reason, hint)
    } else {
        rough.header = HeaderMember::Engineer;
        let message = format!("{reason}; it is left to the engineer instead");
        Finding::doubt(codes::HEADER_DOES_NOT_FIT, place.clone(), message, hint)
    };
    raising.findings.push(finding);
}

/// A header of panel beyond the limits of its rule: one that the plant names is left to the engineer, one that the job names stays.
fn leave_to_engineer(
    raising: &mut Raising<'_>,
    place: &Place,
    wall: &PanelWall,
    rough: &mut RoughOpening,
) {
    let (rules, width) = (&raising.rules.sip_headers, rough.width());
    let HeaderMember::Sip { depth } = rough.header else {
        return;
    };
    let assembly = raising.rules.assemblies.get(wall.assembly);
    let has_one_skin = assembly.is_some_and(|it| it.is_liner());
    if !rules.beyond(depth, width) && !has_one_skin {
        return;
    }
    let message = format!(
        "{} over {}, {} wide, lies beyond sip_headers: two skins, {} deep at least, over {} at most: not sized: engineer",
        rough.header.name(),
        rough.id,
        width.feet_inches(),
        rules.least_depth,
        rules.greatest_width.feet_inches()
    );
    if !rough.header_from_job {
        rough.header = HeaderMember::Engineer;
    }
    raising.findings.push(Finding::doubt(
        codes::SIP_HEADER_BEYOND,
        place.clone(),
        message,
        "name a header of lumber or LVL, state [loads] so that the code's lumber table can answer, or have it designed",
    ));
}

/// A panel cut without the member that carries over its opening is a fault: nobody has named one.
fn report_not_named(raising: &mut Raising<'_>, place: &Place, rough: &mut RoughOpening) {
    rough.on_hold = true;
    let by = if rough.header_from_job {
        format!("{} leaves it to the engineer", rough.header_rule)
    } else {
        "the plant's table of widths (openings.headers) names none that goes there".to_owned()
    };
    raising.findings.push(Finding::fault(
        codes::HEADER_NOT_SIZED,
        place.clone(),
        format!(
            "nobody names the member over {}, {} wide: {by}; not sized: engineer",
            rough.id,
            rough.width().feet_inches()
        ),
        "have it designed, and name it in job.toml: [[opening]] header = …; or state [loads], so that the code's table can answer",
    ));
}

/// Every member is named only: said once for all openings of a storey that have the same.
fn report_not_sized(raising: &mut Raising<'_>, place: &Place, rough: &mut RoughOpening) {
    let source = if rough.header_from_job {
        format!("by {}", rough.header_rule)
    } else {
        "by the plant's table of widths (openings.headers)".to_owned()
    };
    let message = match &rough.header {
        HeaderMember::None => format!(
            "no header over {{ids}}: the panel itself carries, named {source}; not sized: engineer"
        ),
        HeaderMember::Engineer => return report_not_named(raising, place, rough),
        HeaderMember::Lumber { .. } | HeaderMember::Sip { .. } => format!(
            "{} over {{ids}} is named {source} and no table here has sized it; not sized: engineer",
            rough.header.name()
        ),
    };
    let hint =
        "have loads and spans checked by a licensed engineer before these panels are released";
    raising.together(codes::HEADER_NOT_SIZED, message, hint, &rough.id);
}

/// Why a header cannot go into the wall; `None` when it can.
fn misfit(raising: &Raising<'_>, wall: &PanelWall, rough: &RoughOpening) -> Option<String> {
    let name = rough.header.name();
    let too_deep = |depth: Length| {
        let room = wall.room_over(rough, raising.rules.plates.thickness) - rough.head;
        (depth > room).then(|| {
            format!(
                "{name} over {} is {depth} deep and there is room for {room} below the top plate of {}",
                rough.id, wall.id
            )
        })
    };
    let (plies, section) = match &rough.header {
        HeaderMember::None | HeaderMember::Engineer => return None,
        HeaderMember::Sip { depth } => return too_deep(*depth),
        HeaderMember::Lumber { plies, section } => (plies, section),
    };
    let Some(lumber) = raising.rules.lumber.sections.get(section) else {
        return Some(format!(
            "{name} over {}: the plant has no section {section} (lumber.sections)",
            rough.id
        ));
    };
    let core = raising.rules.assemblies.get(wall.assembly)?.core;
    let thickness = lumber.thickness * i64::from(*plies);
    if thickness > core {
        return Some(format!(
            "{name} over {} is {thickness} thick and the core of {} is {core}",
            rough.id, wall.id
        ));
    }
    too_deep(lumber.width)
}
