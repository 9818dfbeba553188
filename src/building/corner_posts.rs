//! Openings that run into a corner, glass that goes round it: they end at a post that stands in the corner.
//!
//! ```text
//!   as drawn                     as made, seen from above
//!   ═══════╗ - - glass - -       ═══╤══════════╤▓▓▓▓▓   ▓ solid lumber: as wide as the other wall is thick,
//!          ║             ¦          │  O1      │▓▓▓▓▓     and beside it as wide as a pier is at least
//!          ║             ¦                     ├───▓▓
//!          ║           glass                   │ O2 ▓
//! ```
//!
//! The plan shows no post and nobody has sized one. Header piece, sill panel and the rest of both walls are made as anywhere.

use super::codes;
use super::model::PanelWall;
use super::raise::{Raising, to_building};
use super::statements::said;
use crate::findings::{Finding, Place};
use crate::plan::{Opening, Storey};
use crate::rules::PlantRules;
use crate::units::Length;

/// Where an opening ends so that posts have room: as drawn, but where it reaches over a wall that stands square to this one.
///
/// - `corners`: how far those walls reach behind this one, left and right; `None` where none stands square.
/// - `over`: how far it may reach past the corner: its allowance. One that goes on is no glass round a corner.
pub(super) fn beside_posts(
    wall: &PanelWall,
    rules: &PlantRules,
    corners: [Option<Length>; 2],
    ([from, to], over): ([Length; 2], Length),
) -> [Length; 2] {
    let length = wall.face_length;
    let room = |behind: Length| behind + rules.piers.least;
    let [left, right] = corners;
    let from = match left {
        Some(behind) if -over <= from && from < behind && to > room(behind) => room(behind),
        _ => from,
    };
    let to = match right {
        Some(behind)
            if to <= length + over && to > length - behind && from < length - room(behind) =>
        {
            length - room(behind)
        }
        _ => to,
    };
    [from, to]
}

/// The opening of another wall that reaches to the corner where this one ends at a post: glass that meets there with none between.
fn met_at_corner<'a>(
    storey: &'a Storey,
    (wall, opening): (&PanelWall, &Opening),
    is_left: bool,
) -> Option<&'a Opening> {
    let along = if is_left {
        Length::ZERO
    } else {
        wall.face_length
    };
    let corner = wall.frame.point(along.to_inches(), 0.0);
    let reaches = |other: &&Opening| {
        let d = to_building(&storey.to_building, other.centre) - corner;
        other.wall != opening.wall
            && d.x.hypot(d.y) < other.width / 2.0 + wall.drawn_thickness * 2.0
    };
    storey.openings.iter().find(reaches)
}

/// Says that an opening ends at a post; true where nobody has named that post.
///
/// - `made`, `drawn`: from where to where along the wall.
pub(super) fn ask(
    raising: &mut Raising<'_>,
    place: &Place,
    (storey, wall, opening): (&Storey, &PanelWall, &Opening),
    [from, to]: [Length; 2],
    drawn: [Length; 2],
) -> bool {
    let met = met_at_corner(storey, (wall, opening), drawn[0] < from);
    let how = met.map_or_else(
        || "where the plan shows no post".to_owned(),
        |other| {
            format!(
                "where {} of {} meets it and the plan shows no post between them",
                other.id, other.wall
            )
        },
    );
    let by_job = said(raising.job, opening, |entry| {
        entry.corner_post.then_some(())
    });
    let words = format!(
        "{} runs into a corner of {}, {how}: it is made from {} to {}, beside a post of solid lumber that stands in the corner",
        opening.id,
        wall.id,
        from.feet_inches(),
        to.feet_inches()
    );
    let finding = match &by_job {
        Some(_) => Finding::doubt(
            codes::CORNER_POST,
            place.clone(),
            format!("{words}, as the job has it (corner_post); not sized: engineer"),
            "have the post and what carries over the corner sized; order the unit to the opening as made",
        ),
        None => Finding::fault(
            codes::CORNER_POST,
            place.clone(),
            format!("{words}; nobody names that post: not sized: engineer"),
            "one of three: have the engineer name the post and what carries over the corner, and say corner_post = true under its [[opening]] in job.toml; or have both walls' panels end before it (from or to of its [[wall.only]]) and glass and what carries over it made by others; or have the architect move the openings apart, so that panels stand in the corner",
        ),
    };
    raising.findings.push(finding);
    by_job.is_none()
}
