//! The "lumber header" rule: what the code's span table says of the member over an opening.
//!
//! ```text
//!   [loads] ground_snow_psf, building_width + [[loads.bearing]] supports ──► span of the member, jacks
//!       named by the job: at least as long as the opening is wide ──► a note; shorter ──► a fault
//!       named by the plant: the least member of the table that spans it and fits; none ──► engineer
//! ```
//!
//! What the job does not state is not assumed, and outside the table there is no answer: then the member stays a doubt.

use super::codes;
use super::model::{PanelWall, RoughOpening, SIP_SPANS, WallRole};
use super::raise::Raising;
use crate::findings::{Finding, Place};
use crate::rules::{HeaderLoad, HeaderMember, HeaderSpan, header_span, header_table};

/// Looks a header of panel up in the plant's own table. True when a row allows it: nothing more is to be said then.
pub(super) fn size_panel_header(
    raising: &mut Raising<'_>,
    wall: &PanelWall,
    rough: &mut RoughOpening,
) -> bool {
    let HeaderMember::Sip { depth } = rough.header else {
        return false;
    };
    let load = Some(wall.role).filter(|role| *role == WallRole::Exterior);
    let load = load.and_then(|_| load_on(raising, wall));
    let assembly = raising.rules.assemblies.get(wall.assembly);
    let rules = raising.rules;
    let row = assembly
        .zip(load)
        .and_then(|(it, load)| rules.sip_headers.row(&it.name, depth, rough.width(), &load));
    let Some(row) = row else {
        return false;
    };
    rough.jacks = rough.jacks.max(row.jacks);
    rough.header_rule = format!("{SIP_SPANS}{}", row.source);
    let message = format!(
        "{} over {{ids}} spans {} by {} for {}, {} psf and a building {} wide, with {} jacks at each end",
        rough.header.name(),
        row.span.feet_inches(),
        row.source,
        row.supports.words(),
        row.snow_psf,
        row.building_width.feet_inches(),
        row.jacks
    );
    raising.together(
        codes::HEADER_BY_TABLE,
        message,
        "confirm that your jurisdiction accepts this source, and that nothing else bears on it",
        &rough.id,
    );
    true
}

/// Looks a header up. True when the table has an answer: nothing more is to be said then.
///
/// - `fits`: true when a member goes into the wall over the opening.
pub(super) fn size_by_table(
    raising: &mut Raising<'_>,
    place: &Place,
    wall: &PanelWall,
    rough: &mut RoughOpening,
    fits: impl Fn(&Raising<'_>, &RoughOpening) -> bool,
) -> bool {
    // The table is one of exterior bearing walls.
    let load = Some(wall.role).filter(|role| *role == WallRole::Exterior);
    let Some(load) = load.and_then(|_| load_on(raising, wall)) else {
        return false;
    };
    let width = rough.width();
    let spans =
        |member: &HeaderMember| header_span(member, &load).filter(|found| found.span >= width);
    if !rough.header_from_job {
        let mut members = header_table().members(load.supports);
        let least = members.find_map(|member| {
            let span = spans(&member)?;
            let tried = RoughOpening {
                header: member,
                ..rough.clone()
            };
            fits(raising, &tried).then_some((tried.header, span))
        });
        let Some((member, span)) = least.filter(|_| rough.header != HeaderMember::None) else {
            return false;
        };
        rough.header = member;
        cover(raising, (&load, span), rough);
        return true;
    }
    let Some(found) = header_span(&rough.header, &load) else {
        return false;
    };
    if found.span >= width {
        cover(raising, (&load, found), rough);
        return true;
    }
    rough.on_hold = true;
    raising.findings.push(Finding::fault(
        codes::HEADER_REJECTED,
        place.clone(),
        format!(
            "{} over {} spans {} by {} for {}, and the rough opening is {} wide",
            rough.header.name(),
            rough.id,
            found.span.feet_inches(),
            header_table().edition,
            load.supports.words(),
            width.feet_inches()
        ),
        "name a deeper member in job.toml, or have it designed by an engineer",
    ));
    true
}

/// What the job states of the loads on a wall; `None` when it leaves anything out.
fn load_on(raising: &Raising<'_>, wall: &PanelWall) -> Option<HeaderLoad> {
    let loads = &raising.job.loads;
    let bearing = loads.bearing.iter().filter(|line| line.wall == wall.id);
    Some(HeaderLoad {
        supports: bearing.filter_map(|line| line.supports).next_back()?,
        snow_psf: loads.ground_snow_psf?,
        building_width: loads.building_width?,
        is_braced: loads.is_header_braced,
    })
}

/// Takes the table's answer over, and says so once for all openings that have the same.
fn cover(
    raising: &mut Raising<'_>,
    (load, span): (&HeaderLoad, HeaderSpan),
    rough: &mut RoughOpening,
) {
    let table = header_table();
    rough.jacks = rough.jacks.max(span.jacks);
    rough.header_rule.clone_from(&table.edition);
    let message = format!(
        "{} over {{ids}} spans {} by {} for {}, {} psf and a building {} wide, tops {}, with {} jacks at each end; {}",
        rough.header.name(),
        span.span.feet_inches(),
        table.edition,
        load.supports.words(),
        load.snow_psf,
        load.building_width.feet_inches(),
        if load.is_braced {
            "braced"
        } else {
            "not braced: 0.70 from 2x8 up"
        },
        span.jacks,
        table.species
    );
    raising.together(
        codes::HEADER_BY_TABLE,
        message,
        "confirm that your jurisdiction adopted this edition, and that nothing else bears on it",
        &rough.id,
    );
}
