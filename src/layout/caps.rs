//! From where to where the cap plates of a wall reach, and where one wall's cap laps onto another's.
//!
//! ```text
//!   corner  ════════╗ ▒▒      tee  ═══════ ▒▒ ═══════   cap of the wall that runs through, parted at the tee
//!                   ╚ ▒▒                   ▒▒
//!                     ▒▒                   ▒▒           ▒ cap of the wall that butts: it lies over both
//! ```
//!
//! The cap of the butting wall runs over the wall that runs through, so that walls are tied across. Where two tops do not lie level
//! with each other, or the other wall cannot be panelled, each cap ends with its own wall. Source: IRC R602.3.2, double top plates overlap
//! at corners and at intersections with bearing partitions; for caps of panels from memory: IRC R610.5.1.

use super::corners::RunEnd;
use super::plates::Span;
use super::ring::Chosen;
use super::wall_plates::long_point;
use super::{WallEnd, assemble::place, codes};
use crate::building::{Building, CornerKind, PanelWall, TopStretch, WallRole};
use crate::findings::Finding;
use crate::rules::{Assembly, CapAtTees, PlantRules};
use crate::units::Length;

/// What decides about caps.
#[derive(Clone, Copy)]
pub(crate) struct Caps<'a> {
    pub(crate) building: &'a Building,
    pub(crate) rules: &'a PlantRules,
    pub(crate) chosen: &'a [Chosen],
}

/// An interior wall's end at another wall: whether its cap laps there, or why it does not.
struct Lap {
    guest: usize,
    is_left: bool,
    /// The stretch it takes of the other wall, along that wall's outside face.
    span: Span,
    refused: Option<String>,
}

impl Caps<'_> {
    /// The cap of a wall, run axes.
    pub(crate) fn span(&self, index: usize) -> Span {
        self.span_with(index, |is_left| {
            let wall = self.building.walls.get(index);
            let corner = wall.map(|wall| if is_left { wall.left } else { wall.right });
            let host = corner.and_then(|it| it.with);
            let laps = host.map_or_else(Vec::new, |host| self.laps_on(host));
            let mut own = laps.iter().filter(|it| it.guest == index);
            own.any(|it| it.is_left == is_left && it.refused.is_none())
        })
    }

    /// Where caps of other walls lie in the place of a wall's own, run axes.
    pub(crate) fn parted(&self, index: usize) -> Vec<Span> {
        let origin = self.chosen.get(index).map(|it| it.ends.left.at);
        let origin = origin.unwrap_or_default();
        let laps = self.laps_on(index);
        let lapped = laps.iter().filter(|it| it.refused.is_none());
        let mut spans: Vec<Span> = lapped
            .map(|it| (it.span.0 - origin, it.span.1 - origin))
            .collect();
        spans.sort_unstable();
        spans
    }

    /// Why caps that carry end at the face of the wall they meet.
    pub(crate) fn refusals(&self, index: usize) -> Vec<Finding> {
        let Some(host) = self.building.walls.get(index) else {
            return Vec::new();
        };
        let laps = self.laps_on(index);
        let told = laps.iter().filter_map(|lap| {
            let guest = self.building.walls.get(lap.guest)?;
            let why = lap.refused.as_ref()?;
            // A partition carries nothing, and the rule is about what carries.
            (guest.role != WallRole::Partition).then(|| {
                Finding::doubt(
                    codes::CAP_NOT_LAPPED,
                    place(guest, &guest.id, &guest.sources),
                    format!(
                        "the cap of wall {} ends at the face of wall {}: {why}",
                        guest.name, host.name
                    ),
                    "have the engineer name the strap or plate that ties the two tops: not sized here",
                )
            })
        });
        told.collect()
    }

    fn span_with(&self, index: usize, laps: impl Fn(bool) -> bool) -> Span {
        let (Some(wall), Some(choice)) = (self.building.walls.get(index), self.chosen.get(index))
        else {
            return (Length::ZERO, Length::ZERO);
        };
        let assembly = self.rules.assemblies.get(wall.assembly);
        let thickness = assembly.map_or(Length::ZERO, Assembly::thickness);
        let short = |end: &RunEnd, is_left: bool| {
            let corner = if is_left { &wall.left } else { &wall.right };
            match end.end {
                WallEnd::Mitre { .. } => long_point(end, Length::ZERO, thickness),
                _ if corner.kind == CornerKind::Tee && laps(is_left) => -end.other_thickness,
                _ if !self.is_level_with(wall, is_left) => Length::ZERO,
                _ if corner.with.is_some_and(|it| !self.is_made(it)) => Length::ZERO,
                WallEnd::Butt => -end.other_thickness,
                WallEnd::Through => end.other_thickness,
                WallEnd::Free | WallEnd::Filled { .. } => Length::ZERO,
            }
        };
        let length = choice.ends.length();
        (
            short(&choice.ends.left, true),
            length - short(&choice.ends.right, false),
        )
    }

    /// True for a wall of panels; one that cannot be panelled has no cap, and nothing of another laps over it.
    fn is_made(&self, index: usize) -> bool {
        let choice = self.chosen.get(index);
        choice.is_some_and(|it| it.solution.is_some())
    }

    /// True when the tops of two walls that meet at a corner are level there, at one height.
    fn is_level_with(&self, wall: &PanelWall, is_left: bool) -> bool {
        let corner = if is_left { &wall.left } else { &wall.right };
        if corner.kind == CornerKind::Tee {
            return false;
        }
        let other = corner.with.and_then(|with| self.building.walls.get(with));
        let height = level_end(wall, is_left);
        height.is_some() && other.and_then(|other| level_end(other, !is_left)) == height
    }

    /// The interior walls of panels that end at a wall, in the building's order.
    fn laps_on(&self, host_index: usize) -> Vec<Lap> {
        let Some(host) = self.building.walls.get(host_index) else {
            return Vec::new();
        };
        let (from, to) = self.span_with(host_index, |_| false);
        let origin = self.chosen.get(host_index).map(|it| it.ends.left.at);
        let origin = origin.unwrap_or_default();
        // Places at which the host's cap ends anyway, or is parted for an earlier guest.
        let mut taken = vec![(from + origin, from + origin), (to + origin, to + origin)];
        let mut laps = Vec::new();
        let guests = self.building.walls.iter().enumerate();
        for (index, guest) in guests.filter(|(index, _)| self.is_made(*index)) {
            for (corner, is_left) in [(guest.left, true), (guest.right, false)] {
                if corner.kind != CornerKind::Tee || corner.with != Some(host_index) {
                    continue;
                }
                let end = if is_left {
                    guest.frame.origin
                } else {
                    guest.frame.point(guest.face_length.to_inches(), 0.0)
                };
                let at = host.frame.local(end).0;
                let off = |span: &Span| {
                    let [from, to] = [span.0, span.1].map(Length::to_inches);
                    (f64::midpoint(from, to) - at).abs()
                };
                let tees = host.tees.iter().filter(|tee| tee.wall == guest.id);
                let spans = tees.map(|tee| (tee.from, tee.to));
                let Some(span) = spans.min_by(|a, b| off(a).total_cmp(&off(b))) else {
                    continue;
                };
                let refused = if self.is_made(host_index) {
                    self.refused(host, (guest, is_left), span, &taken)
                } else {
                    Some("no panels are made of that one".to_owned())
                };
                if refused.is_none() {
                    taken.push(span);
                }
                laps.push(Lap {
                    guest: index,
                    is_left,
                    span,
                    refused,
                });
            }
        }
        laps
    }

    fn refused(
        &self,
        host: &PanelWall,
        (guest, is_left): (&PanelWall, bool),
        span: Span,
        taken: &[Span],
    ) -> Option<String> {
        let plates = &self.rules.plates;
        if plates.cap_at_tees == CapAtTees::Ends {
            return Some("the rule says so (plates.cap_at_tees)".to_owned());
        }
        if guest.role == WallRole::Partition {
            return Some("it carries nothing".to_owned());
        }
        let corner = if is_left { guest.left } else { guest.right };
        if corner.turn_deg != 0.0 {
            return Some("it meets askew".to_owned());
        }
        let height = level_end(guest, is_left);
        let over = [(span.0, false), (span.1, true)].map(|(x, is_left)| {
            let stretch = host.profile.stretch(x, is_left);
            stretch.filter(TopStretch::is_level).map(|it| it.from.y)
        });
        if height.is_none() || over.iter().any(|it| *it != height) {
            return Some("their tops are not level with each other there".to_owned());
        }
        let is_near =
            |it: &Span| span.0 < it.1 + plates.least_piece && it.0 < span.1 + plates.least_piece;
        taken.iter().any(is_near).then(|| {
            format!(
                "a piece of cap shorter than {} would be left (plates.least_piece)",
                plates.least_piece
            )
        })
    }
}

/// The height of a wall's top at one end, if it is level there.
fn level_end(wall: &PanelWall, is_left: bool) -> Option<Length> {
    let mut stretches = wall.profile.stretches();
    let end = if is_left {
        stretches.next()
    } else {
        stretches.last()
    };
    end.filter(TopStretch::is_level).map(|it| it.from.y)
}
