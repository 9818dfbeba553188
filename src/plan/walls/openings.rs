//! Says what each opening is, and ties the sizes written on the plan to the openings they mean.
//!
//! ```text
//!   swing → door        glazing → window        one line over a wide gap → vehicle door
//!   "3068" beside it → height, and the kind where nothing is drawn
//! ```

use crate::plan::OpeningKind;
use crate::plan::answers::strays::{Stray, strays};
use crate::plan::axis::Axis;
use crate::plan::callouts::{Callout, Reading};
use crate::plan::lines::symbols::{Evidence, Place};
use crate::plan::walls::runs::{Cell, Run};
use geo::Coord;
use rstar::RTree;

/// An opening of a run with what was found out about it.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Judged {
    pub run: usize,
    pub u0: f64,
    pub u1: f64,
    pub kind: OpeningKind,
    pub evidence: Evidence,
    pub has_jambs: bool,
    pub in_corner: bool,
    /// Call-out, the reading that fits, and whether it fits exactly.
    pub callout: Option<(usize, Reading)>,
    /// What the schedule says of the tag beside it, where that has its width.
    pub tagged: Option<OpeningKind>,
}

impl Judged {
    /// True when a fixture is let into one side of a wall: the other face runs on behind it.
    pub(in crate::plan) fn is_recess(&self) -> bool {
        self.width() < RECESS && self.evidence.swings.is_empty() && self.evidence.n_faces == 1
    }

    /// Jamb to jamb.
    pub(in crate::plan) fn width(&self) -> f64 {
        self.u1 - self.u0
    }

    /// True when nothing but jambs speaks for it.
    pub(in crate::plan) fn is_bare(&self) -> bool {
        !self.evidence.speaks() && self.callout.is_none() && self.tagged.is_none()
    }

    /// True when jambs, both faces over it and a size or a tag of the same width agree that it is an opening.
    pub(in crate::plan) fn is_agreed(&self) -> bool {
        let fits = |(_, it): &(usize, Reading)| {
            it.height.is_some() && (it.width - self.width()).abs() <= EXACT
        };
        let is_told = self.tagged.is_some() || self.callout.as_ref().is_some_and(fits);
        self.has_jambs && self.evidence.n_faces >= 2 && is_told
    }
}

/// A vehicle door is at least this wide, inches: 7 ft. Source: common practice, no source.
const VEHICLE: f64 = 84.0;
/// A unit at least this high is a door, inches: 6'-6". Source: 6'-8" and 7'-0" are the trade's door heights.
const DOOR_HEIGHT: f64 = 78.0;
/// A size fits an opening of its width within this, inches: the trade writes whole inches and millimetres.
pub(in crate::plan) const EXACT: f64 = 0.6;
/// Drawn to the frame or the rough opening, it fits within this, inches: rough openings are up to 3 in wider.
const FRAMED: f64 = 3.1;

/// In a wall between rooms, what is narrower than this and lets nothing through is no opening, inches: 2 ft.
const RECESS: f64 = 24.0;

/// Judges all openings of all runs.
pub(in crate::plan) fn judge(runs: &[Run], place: &Place<'_>) -> (Vec<Judged>, Vec<Stray>) {
    let mut list: Vec<Judged> = runs
        .iter()
        .enumerate()
        .flat_map(|(run, it)| it.cells.iter().map(move |cell| (run, cell)))
        .map(|(run, cell)| first_look(run, cell))
        .collect();
    for judged in &mut list {
        let axis = &runs[judged.run].axis;
        let axis = Axis {
            origin: axis.point(judged.u0, 0.0),
            ..*axis
        };
        judged.tagged = place.tagged(&axis, judged.width());
    }
    let used = tie(runs, place, &mut list);
    for judged in &mut list {
        judged.kind = kind(judged, place);
    }
    let strays = strays(runs, place, &list, &used);
    (list, strays)
}

fn first_look(run: usize, cell: &Cell) -> Judged {
    Judged {
        run,
        u0: cell.u0,
        u1: cell.u1,
        kind: OpeningKind::Opening,
        evidence: cell.evidence.clone(),
        has_jambs: cell.has_jambs,
        in_corner: cell.in_corner,
        callout: None,
        tagged: None,
    }
}

/// The middle of an opening.
pub(in crate::plan) fn middle_of(runs: &[Run], judged: &Judged) -> Coord<f64> {
    runs[judged.run]
        .axis
        .point(f64::midpoint(judged.u0, judged.u1), 0.0)
}

/// Gives each call-out to the nearest opening it fits, exact fits first.
fn tie(runs: &[Run], place: &Place<'_>, list: &mut [Judged]) -> Vec<bool> {
    let mut pairs: Vec<(bool, f64, usize, usize, Reading)> = Vec::new();
    for (index, judged) in list.iter().enumerate() {
        let middle = middle_of(runs, judged);
        for i in place.callouts_near(middle, judged.width()) {
            let callout = &place.callouts[i];
            if let Some((reading, exact)) = fitting(callout, judged.width()) {
                pairs.push((!exact, nearness(runs, judged, callout), index, i, reading));
            }
        }
    }
    pairs.sort_by(|p, q| {
        p.0.cmp(&q.0)
            .then(p.1.total_cmp(&q.1))
            .then(p.2.cmp(&q.2))
            .then(p.3.cmp(&q.3))
    });
    let mut used = vec![false; place.callouts.len()];
    for (_, _, index, i, reading) in pairs {
        if list[index].callout.is_none() && !used[i] {
            list[index].callout = Some((i, reading));
            used[i] = true;
        }
    }
    used
}

fn fitting(callout: &Callout, width: f64) -> Option<(Reading, bool)> {
    let off = |reading: &Reading| (reading.width - width).abs();
    // Drawn to the unit, an opening is narrower than its rough opening.
    let least = if callout.is_rough { -FRAMED } else { -EXACT };
    callout
        .readings
        .iter()
        .filter(|reading| off(reading) <= FRAMED && width - reading.width > least)
        .min_by(|p, q| off(p).total_cmp(&off(q)))
        .map(|reading| (*reading, off(reading) <= EXACT))
}

/// How far a text stands from an opening: across the wall, and along it beyond the jambs.
pub(in crate::plan) fn nearness(runs: &[Run], judged: &Judged, callout: &Callout) -> f64 {
    let axis: &Axis = &runs[judged.run].axis;
    let (s, d) = (axis.s(callout.at), axis.d(callout.at).abs());
    let beyond = (judged.u0 - s).max(s - judged.u1).max(0.0);
    d + 2.0 * beyond + 0.05 * (s - f64::midpoint(judged.u0, judged.u1)).abs()
}

fn kind(judged: &Judged, place: &Place<'_>) -> OpeningKind {
    let it = &judged.evidence;
    let written = judged.callout.and_then(|(i, _)| place.callouts[i].kind);
    let height = judged.callout.and_then(|(_, reading)| reading.height);
    let is_one_leaf = it.n_inner + it.n_faces == 1 || it.is_flush;
    if it.has_leaf() {
        OpeningKind::Door
    } else if let Some(kind) = written {
        kind
    } else if let Some(kind) = judged.tagged.filter(|_| !it.speaks()) {
        kind
    } else if is_glass_on_a_door_layer(judged) && height.is_none_or(|h| h < DOOR_HEIGHT) {
        OpeningKind::Window
    } else if it.door > it.window && it.door > 6.0 {
        // No swing, on a door's layer: wider than an 8 ft slider it is for vehicles.
        if judged.width() >= VEHICLE && is_one_leaf || judged.width() > VEHICLE + 12.6 {
            OpeningKind::GarageDoor
        } else {
            OpeningKind::Door
        }
    } else if it.window > 6.0 {
        OpeningKind::Window
    } else if height.is_some_and(|h| h >= DOOR_HEIGHT) {
        if judged.width() >= VEHICLE + 12.0 {
            OpeningKind::GarageDoor
        } else {
            OpeningKind::Door
        }
    } else if judged.width() >= VEHICLE && is_one_leaf {
        OpeningKind::GarageDoor
    } else if it.n_inner > 0 || it.is_filled || it.n_faces >= 2 && judged.callout.is_some() {
        OpeningKind::Window
    } else {
        OpeningKind::Opening
    }
}

/// True where two panes between sills on both faces stand on a layer or in a block named for doors, and nothing hangs or slides: what
/// is drawn speaks louder than the name.
pub(in crate::plan) fn is_glass_on_a_door_layer(judged: &Judged) -> bool {
    let it = &judged.evidence;
    let is_named = it.door > it.window && it.door > 6.0;
    let is_glass = it.n_inner >= 2 && it.n_faces >= 2 && !it.has_leaf();
    is_named && is_glass && judged.width() <= VEHICLE + 12.6
}

/// The index of the swing that stands alone nearest to a point, for messages.
pub(in crate::plan) fn lone_swings(place: &Place<'_>, list: &[Judged]) -> Vec<usize> {
    let hung = list.iter().flat_map(|judged| &judged.evidence.swings);
    let hinges = hung.map(|it| {
        let centre = place.arcs[it.arc].centre;
        [centre.x, centre.y]
    });
    let hinges: RTree<[f64; 2]> = RTree::bulk_load(hinges.collect());
    (0..place.arcs.len())
        .filter(|&i| {
            let own = place.arcs[i].centre;
            let mut near = hinges.locate_within_distance([own.x, own.y], 1.0);
            near.next().is_none()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::drawing::{Source, SourceIndex};
    use crate::plan::trial::{drawing, open_shell, recovered_among, sides};
    use crate::plan::{OpeningKind, PlanCorrections, codes, recover_plan};

    #[test]
    fn a_flat_box_at_the_outer_face_of_a_wide_opening_is_a_vehicle_door() {
        let mut lines = open_shell(100.0, 292.0);
        lines.extend(sides(100.0, 0.0, 292.0, 2.0));
        let kind = |name: &str| {
            let found = recovered_among(&lines, &[], &[(name, [180.0, 150.0])]);
            let asked = found
                .findings
                .iter()
                .filter(|it| it.code == codes::BARE_JAMBS);
            (found.output.storeys[0].openings[0].kind, asked.count())
        };
        assert_eq!(kind("2 CAR GARAGE"), (OpeningKind::GarageDoor, 0));
        assert_eq!(kind("LIVING"), (OpeningKind::GarageDoor, 1));
    }

    /// What an opening is whose lines along it stand on a layer of doors, and how often it is asked about.
    fn on_doors(wide: f64, lines: &[f64]) -> (OpeningKind, usize) {
        let to = 100.0 + wide;
        let mut all = open_shell(100.0, to);
        let first = all.len();
        all.extend(lines.iter().map(|y| [100.0, *y, to, *y]));
        let mut drawing = drawing(&all, &[], &[]);
        drawing.sources.push(Source {
            layer: "DOORS".to_owned(),
            ..Source::default()
        });
        for stroke in &mut drawing.strokes[first..] {
            stroke.source = SourceIndex(1);
        }
        let found = recover_plan(&[drawing], &PlanCorrections::default());
        let asked = found.findings.iter();
        let asked = asked.filter(|it| it.code == codes::BARE_JAMBS);
        (found.output.storeys[0].openings[0].kind, asked.count())
    }

    #[test]
    fn two_panes_between_sills_are_a_window_on_a_layer_of_doors_too() {
        let window = [0.0, 2.5, 3.5, 6.0];
        assert_eq!(on_doors(48.0, &window), (OpeningKind::Window, 0));
        // As wide as a glass door that slides it is asked.
        assert_eq!(on_doors(72.0, &window), (OpeningKind::Window, 1));
        // A closed leaf over a threshold is a door.
        assert_eq!(on_doors(36.0, &[0.0, 3.0, 6.0]).0, OpeningKind::Door);
    }
}
