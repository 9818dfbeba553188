//! Places against the outside that are no rooms: window wells, planters, terraces with walls, boxes for bins and chimneys.
//!
//! ```text
//!   ┏━━━━━╍╍╍╍━━━━━┓      the house's wall goes on past it, nothing opens to the outside from it, and it has no name: outside
//!   ┃    └────┘    ┃      where its walls are unlike those of the house, or it is too small for a room and a window looks into it
//! ```

use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::codes;
use crate::plan::enclosure::decks::{answer, corners, is_room, leave, middle};
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::glazed::is_of_glass;
use crate::plan::enclosure::heated::holds_vehicles;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::contains;
use crate::plan::enclosure::outside::is_reverse;
use crate::plan::inside::rooms::is_name;
use crate::plan::lines::symbols::Evidence;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::walls::runs::{Cell, Run};
use geo::Coord;
use std::collections::BTreeMap;

/// Rooms that the house's wall goes past are at least this large, square inches: 20 sq ft.
pub(in crate::plan) const LEAST: f64 = 20.0 * 144.0;
/// And those that windows of the house look into: 40 sq ft.
const SEEN: f64 = 40.0 * 144.0;
/// Walls are as thick as those outside within this, inches.
const ALIKE: f64 = 0.25;
/// Walls are of another kind when they are less or more thick by this, inches.
const OTHER: f64 = 0.5;

/// Takes places out of the building that are no rooms, each with a doubt there and at what opens into it; with a note what is too
/// small for one and has a window towards it. What may be a terrace, its walls like those of the house, stays and is asked about.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
/// - `roofed`: places that the job calls rooms, from there.
pub(in crate::plan) fn leave_wells(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    (drawing, origin): (&Drawing, Coord<f64>),
    roofed: &[Coord<f64>],
    findings: &mut Vec<Finding>,
) -> Vec<Ring> {
    let place = |at: Coord<f64>| {
        let at = at + origin;
        Place::file(&drawing.file).with_at(at.x, at.y)
    };
    let found = |rings: &[Ring]| -> Vec<Well> {
        let all = wells(rings, network, runs, drawing, origin).into_iter();
        let is_room = |it: &Well| is_room(&rings[it.room], network, runs, roofed);
        all.filter(|it| !is_room(it)).collect()
    };
    loop {
        let mut all = found(&rings);
        let Some(first) = all.iter().position(|it| !it.is_like_house) else {
            for it in all {
                let at = middle(&rings[it.room], network, runs);
                for p in std::iter::once(at).chain(it.openings) {
                    findings.push(Finding::doubt(
                        codes::LEFT_OUTSIDE,
                        place(p),
                        "a place without the name of a room stands against the outside, its walls like those of the house and without a \
                         door or window: taken as a room",
                        format!(
                            "if it is a terrace or a yard, {}; \"interior\" if it is a room; or write its name in it",
                            answer(at + origin, "exterior")
                        ),
                    ));
                }
            }
            return rings;
        };
        let well = all.swap_remove(first);
        let at = middle(&rings[well.room], network, runs);
        let is_small = well.has_window && rings[well.room].area < LEAST;
        let hint = format!(
            "if it is a part of the building, {}; or draw its walls as thick as the others and what opens into it, or write its \
             name in it",
            answer(at + origin, "interior")
        );
        if is_small && well.is_told {
            let said = "a place too small for a room stands before a window: taken as outside";
            findings.push(Finding::note(codes::LEFT_OUTSIDE, place(at), said, hint));
        } else {
            let said = if is_small {
                "a place too small for a room stands before what seems a window: left out of the building"
            } else {
                "a place without a name, its walls unlike those of the house and without a door or window, stands against the \
                 outside: left out of the building"
            };
            for p in std::iter::once(at).chain(well.openings) {
                findings.push(Finding::doubt(
                    codes::LEFT_OUTSIDE,
                    place(p),
                    said,
                    hint.clone(),
                ));
            }
        }
        leave(&mut rings, network, well.room, well.outer);
    }
}

struct Well {
    room: usize,
    outer: usize,
    /// Middles of what opens into it from the house.
    openings: Vec<Coord<f64>>,
    /// True when windows of the house look into it, and nothing else opens there.
    has_window: bool,
    /// And their layers, or what is written in it, say so.
    is_told: bool,
    /// True when it is large enough for a room, and its walls are those of the house.
    is_like_house: bool,
    /// False when nothing but its want of a name tells it from a room.
    is_told_apart: bool,
}

fn wells(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    drawing: &Drawing,
    origin: Coord<f64>,
) -> Vec<Well> {
    // Most rooms touch no outside: which side is whose is looked up.
    let outers = (0..rings.len()).filter(|i| rings[*i].area < 0.0);
    let sides = outers.flat_map(|i| rings[i].sides.iter().map(move |it| (it, i)));
    let edges: Edges = sides.map(|(it, i)| ((it.run, it.to, it.from), i)).collect();
    let rooms = || (0..rings.len()).filter(|i| rings[*i].area > 0.0);
    let outside = edges.keys().map(|it| runs[it.0].thickness);
    let thin = outside.fold(f64::INFINITY, f64::min) - ALIKE;
    let inner = rooms().flat_map(|i| &rings[i].sides);
    let inner = inner.filter(|it| !edges.contains_key(&(it.run, it.from, it.to)));
    let thick = (
        thin,
        inner.filter(|it| runs[it.run].thickness >= thin).count(),
    );
    let found = rooms().filter_map(|room| one(rings, network, runs, (&edges, thick), room));
    let found = found.filter_map(|it| {
        let outline = corners(&rings[it.room], network, runs);
        let may_be_room = it.is_like_house;
        // What lies there is told sooner than what reads like a name.
        let texts = drawing.texts.iter();
        let texts = texts.filter(|text| contains(&outline, text.middle - origin));
        let mut names = texts.filter(|text| is_name(&text.content));
        // Tags and sizes are no names, and some names say that it is a well.
        let own = names.next();
        let is_told = it.is_told || own.is_some_and(|it| is_well(&it.content));
        let is_none = |it: &str| is_well(it) || may_be_room && (is_yard(it) || holds_vehicles(it));
        let is_free = own.is_none_or(|it| is_none(&it.content)) && names.next().is_none();
        let is_outdoors = || !is_indoors(&rings[it.outer], rings, network, runs);
        let is_told_apart =
            || it.is_told_apart || are_named(rings, network, runs, it.room, (drawing, origin));
        (is_free && is_outdoors() && is_told_apart()).then_some(Well { is_told, ..it })
    });
    found.collect()
}

/// True when all other places as large as a room hold a name, two at least.
fn are_named(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    room: usize,
    (drawing, origin): (&Drawing, Coord<f64>),
) -> bool {
    let mut others = (0..rings.len()).filter(|&i| i != room && rings[i].area >= SEEN);
    if others.clone().nth(1).is_none() {
        return false;
    }
    let texts = drawing.texts.iter().filter(|it| is_name(&it.content));
    let names: Vec<Coord<f64>> = texts.map(|text| text.middle - origin).collect();
    let tree = Nearby::points(names.iter().copied());
    others.all(|i| {
        let outline = corners(&rings[i], network, runs);
        let area = Area::around(&outline, 0.0);
        area.is_some_and(|it| tree.any(&it, |k| contains(&outline, names[k])))
    })
}

/// Words in names of places before windows. Source: common practice in each language, no source.
const WELLS: [&str; 8] = [
    "WELL",
    "AREAWAY",
    "PLANTER",
    "LICHTSCHACHT",
    "PFLANZ",
    "JARDINERA",
    "COUR ANGLAISE",
    "FIORIERA",
];

/// Words in names of yards with walls round them, in nine languages. Source: common practice, no source.
const YARDS: [&str; 20] = [
    "YARD",
    "GARDEN",
    "GARTEN",
    "JARDIN",
    "JARDÍN",
    "GIARDINO",
    "JARDIM",
    "PIHA",
    "ДВОР",
    "САД",
    "院",
    "LAWN",
    "OPEN SPACE",
    "OPEN TO SKY",
    "SETBACK",
    "QUINTAL",
    "DESCOBERT",
    "DESCUBIERT",
    "CORTILE",
    "PODWÓRZ",
];
/// A room for children has the word in its name too.
const NO_YARD: &str = "KINDERGARTEN";

/// True when a place is a yard by its name.
pub(in crate::plan) fn is_yard(name: &str) -> bool {
    let upper = name.to_uppercase();
    let is_named = YARDS.iter().any(|word| upper.contains(word));
    is_named && !upper.contains(NO_YARD) && !is_of_glass(name)
}

fn is_well(name: &str) -> bool {
    let upper = name.to_uppercase();
    WELLS.iter().any(|word| upper.contains(word))
}

/// Sides as a room beside them walks them, and the outside that they are of.
type Edges = BTreeMap<(usize, usize, usize), usize>;

/// True for what is outside of rooms that stand free in a larger one.
fn is_indoors(outer: &Ring, rings: &[Ring], network: &Network, runs: &[Run]) -> bool {
    let node = |side: &Side| network.nodes[network.stops[side.run][side.from].1];
    let mut rooms = rings.iter().filter(|it| it.area > outer.area.abs());
    (outer.sides.first().map(node))
        .is_some_and(|at| rooms.any(|room| contains(&corners(room, network, runs), at)))
}

/// True for an opening with glass in it and no leaf. Leaves that slide fill the front of a closet, and
/// look like sashes.
pub(in crate::plan) fn shows_glass(it: &Evidence) -> bool {
    let is_named = it.window > 0.0;
    let glass = it.n_inner > 0 || is_named && it.is_filled;
    !it.is_hung() && glass && it.door <= it.window
}

/// Gates of one line are at least this wide, inches.
const GATE: f64 = 60.0;

/// True for a gap in which nothing is drawn, or one line and no sill.
fn is_gate(it: &Cell) -> bool {
    let is_one = it.evidence.n_inner <= 1 && it.evidence.n_faces == 0;
    !it.evidence.speaks() || is_one && it.u1 - it.u0 >= GATE
}

fn one(
    rings: &[Ring],
    network: &Network,
    runs: &[Run],
    (edges, (thin, n_thick)): (&Edges, (f64, usize)),
    room: usize,
) -> Option<Well> {
    let whose = |side: &Side| edges.get(&(side.run, side.from, side.to)).copied();
    let outer = rings[room].sides.iter().find_map(whose)?;
    let (edge, inner): (Vec<&Side>, Vec<&Side>) =
        (rings[room].sides.iter()).partition(|side| whose(side) == Some(outer));
    let cells = |side: &Side| {
        let stop = |i: usize| network.stops[side.run][i].0;
        let (a, b) = (stop(side.from), stop(side.to));
        let (low, high) = (a.min(b), a.max(b));
        runs[side.run].cells.iter().filter(move |it| {
            let middle = f64::midpoint(it.u0, it.u1);
            middle > low && middle < high
        })
    };
    // The wall towards it is the outside on both of its sides, or turns a corner there.
    let goes_on = |side: &&Side| {
        let mut outside = rings[outer].sides.iter();
        outside.any(|it| it.run == side.run && !rings[room].sides.iter().any(|s| is_reverse(it, s)))
    };
    // A gap in a wall of a yard is a gate, where the house has windows towards it: rooms have none towards each other.
    let is_closed = edge.iter().all(|side| cells(side).next().is_none());
    let has_gate = !is_closed && {
        let mut gaps = edge.iter().flat_map(|side| cells(side));
        gaps.all(is_gate)
    };
    let is_window = |it: &Cell| it.has_jambs && shows_glass(&it.evidence);
    let mut into = inner.iter().flat_map(|side| cells(side)).peekable();
    let has_window = into.peek().is_some() && into.all(is_window);
    let mut into = inner.iter().flat_map(|side| cells(side));
    let is_told = has_window && into.all(|it| it.evidence.window > 0.0);
    // Where partitions are thinner, and the walls towards it alone are as thick as those outside, each seen from both its sides.
    let is_lesser = rings[room].area < 0.5 * rings[outer].area.abs();
    let is_parted = || {
        let mut all = inner.iter();
        is_lesser && all.all(|it| runs[it.run].thickness >= thin) && n_thick == 2 * inner.len()
    };
    let is_passed = inner.iter().all(goes_on);
    let looks_out = || {
        let mut into = inner.iter().flat_map(|side| cells(side));
        into.any(is_window)
    };
    let is_shut = is_closed || has_gate && looks_out();
    // Partitions do not tell where they are as thick as the outside: then windows towards it do.
    let is_seen = || is_lesser && is_closed && rings[room].area >= SEEN && looks_out();
    // Nor do windows where only a door leads there: then the names of all others do.
    let is_told_apart = is_passed || is_parted() || is_seen();
    let may_be_terrace = is_lesser && is_shut && rings[room].area >= SEEN;
    if inner.is_empty() || !is_shut || !is_told_apart && !may_be_terrace {
        return None;
    }
    let is_other = |side: &&Side| {
        let own = runs[side.run].thickness;
        let mut walls = inner.iter();
        walls.all(|it| (runs[it.run].thickness - own).abs() >= OTHER)
    };
    let is_well = has_window && rings[room].area < LEAST;
    let is_left = is_closed && is_passed && (is_well || edge.iter().all(is_other));
    let drawn = inner.iter().flat_map(|side| {
        let drawn = cells(side).filter(|it| it.evidence.is_drawn());
        drawn.map(|it| runs[side.run].axis.point(f64::midpoint(it.u0, it.u1), 0.0))
    });
    let openings: Vec<Coord<f64>> = drawn.collect();
    let is_like_house = !is_left && !openings.is_empty() && rings[room].area >= LEAST;
    (is_left || is_like_house).then_some(Well {
        room,
        outer,
        openings,
        has_window,
        is_told,
        is_like_house,
        is_told_apart,
    })
}

#[cfg(test)]
mod tests {
    use crate::findings::{Finding, Severity};
    use crate::plan::CorrectionIntent;
    use crate::plan::codes;
    use crate::plan::trial::{
        corrected, exterior_openings, open_shell, recovered, recovered_among,
    };

    /// Corners of the outline, openings outside and what is said of a box round a window, or beside it, its walls so thick.
    fn boxed(between: (f64, f64), thick: f64, windows: usize) -> (usize, usize, Option<Severity>) {
        let glass = [[100.0, 3.0, 136.0, 3.0]];
        let found = said(&holding(between, thick), &glass, &[]);
        assert_eq!(found.1, windows);
        found
    }

    /// The house with a box before it, and an opening towards the box.
    fn holding((left, right): (f64, f64), thick: f64) -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        for d in [0.0, thick] {
            let (left, right, low) = (left + d, right - d, -36.0 + d);
            lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
            lines.push([left, low, right, low]);
        }
        lines
    }

    fn said(
        house: &[[f64; 4]],
        held: &[[f64; 4]],
        words: &[(&str, [f64; 2])],
    ) -> (usize, usize, Option<Severity>) {
        let found = recovered_among(&[house, held].concat(), &[], words);
        let mut said = found.findings.iter();
        let said = said.find(|it| it.code == codes::LEFT_OUTSIDE);
        let openings = exterior_openings(&found.output).len();
        let corners = found.output.storeys[0].outline.len();
        (corners, openings, said.map(|it| it.severity))
    }

    #[test]
    fn a_well_before_a_window_is_outside_and_asked_unless_its_name_says_so() {
        let glass = [[100.0, 3.0, 136.0, 3.0]];
        for thick in [4.0, 6.0] {
            let house = holding((90.0, 146.0), thick);
            let words = |name| [(name, [118.0, -18.0])];
            let asked = (4, 1, Some(Severity::Doubt));
            assert_eq!(said(&house, &glass, &[]), asked, "{thick}");
            assert_eq!(said(&house, &glass, &words("3020")), asked, "{thick}");
            let told = (4, 1, Some(Severity::Note));
            assert_eq!(said(&house, &glass, &words("WINDOW WELL")), told, "{thick}");
            assert_eq!(
                said(&house, &glass, &words("CLOSET")),
                (8, 0, None),
                "{thick}"
            );
        }
    }

    #[test]
    fn a_closet_with_leaves_that_slide_is_a_room() {
        let leaves = [[100.0, 2.5, 119.0, 2.5], [117.0, 3.5, 136.0, 3.5]];
        let house = holding((90.0, 146.0), 6.0);
        assert_eq!(said(&house, &leaves, &[]), (8, 0, None));
    }

    #[test]
    fn a_terrace_with_walls_thicker_than_the_houses_is_outside_and_asked() {
        // Round the window by far, and its walls 12 in thick.
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([[100.0, 6.0, 100.0, 42.0], [100.0, 3.0, 136.0, 3.0]]);
        for d in [0.0, 12.0] {
            let (left, right, low) = (60.0 + d, 260.0 - d, -120.0 + d);
            lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
            lines.push([left, low, right, low]);
        }
        let found = recovered(&lines);
        let mut said = found.findings.iter();
        let said = said.find(|it| it.code == codes::LEFT_OUTSIDE);
        assert_eq!(said.map(|it| it.severity), Some(Severity::Doubt));
        assert_eq!(exterior_openings(&found.output).len(), 1);
    }

    #[test]
    fn a_box_without_a_window_is_asked_about_unless_its_walls_are_the_houses() {
        assert_eq!(boxed((200.0, 256.0), 4.0, 1), (4, 1, Some(Severity::Doubt)));
        assert_eq!(boxed((200.0, 256.0), 6.0, 1), (8, 1, None));
    }

    /// Where is asked of a place as wide as the house, partitions so thick in the house.
    fn asked_before(partition: f64, name: &str) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend([[0.0, 0.0, 0.0, -120.0], [6.0, 0.0, 6.0, -114.0]]);
        lines.extend([[360.0, 0.0, 360.0, -120.0], [354.0, 0.0, 354.0, -114.0]]);
        lines.extend([[0.0, -120.0, 360.0, -120.0], [6.0, -114.0, 354.0, -114.0]]);
        lines.extend([0.0, partition].map(|d| [200.0 + d, 6.0, 200.0 + d, 234.0]));
        let words = [
            ("LIVING", [100.0, 120.0]),
            ("BED", [300.0, 120.0]),
            (name, [180.0, -60.0]),
        ];
        let words = &words[..if name.is_empty() { 2 } else { 3 }];
        let found = recovered_among(&lines, &[], words);
        let own = found
            .findings
            .iter()
            .filter(|it| it.code == codes::LEFT_OUTSIDE);
        own.filter_map(|it| it.place.at).collect()
    }

    #[test]
    fn a_place_as_wide_as_the_house_is_asked_about_where_a_window_looks_into_it() {
        for partition in [4.0, 6.0] {
            assert!(asked_before(partition, "").contains(&[118.0, 3.0]));
            assert!(asked_before(partition, "STORAGE").is_empty());
        }
    }

    #[test]
    fn a_yard_with_a_gate_is_asked_about_where_windows_look_into_it() {
        let asked = |name: &str, glass: bool| {
            let mut lines = open_shell(100.0, 136.0);
            lines.extend(glass.then_some([100.0, 3.0, 136.0, 3.0]));
            for d in [0.0, 6.0] {
                let (left, right, low) = (60.0 + d, 260.0 - d, -120.0 + d);
                lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
                lines.extend([[left, low, 140.0, low], [180.0, low, right, low]]);
            }
            lines.extend([140.0, 180.0].map(|x| [x, -120.0, x, -114.0]));
            let words = [("LIVING", [180.0, 120.0]), (name, [160.0, -60.0])];
            let words = &words[..if name.is_empty() { 1 } else { 2 }];
            let found = recovered_among(&lines, &[], words).findings;
            let own = found.iter().filter(|it| it.code == codes::LEFT_OUTSIDE);
            let places: Vec<[f64; 2]> = own.filter_map(|it| it.place.at).collect();
            places.contains(&[118.0, 3.0])
        };
        assert!(asked("", true) && asked("YARD", true));
        assert!(!asked("STUDY", true) && !asked("", false));
    }

    /// Corners of the outline, and where is asked, of a place 110 in deep before an opening, its walls so thick, with an answer.
    fn answered(thick: f64, intent: Option<CorrectionIntent>) -> (usize, Vec<[f64; 2]>) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for d in [0.0, thick] {
            let (left, right, low) = (60.0 + d, 260.0 - d, -110.0 + d);
            lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
            lines.push([left, low, right, low]);
        }
        let words = [("LIVING", [180.0, 120.0])];
        let found = corrected(&lines, &words, ([160.0, -40.0], None), intent);
        let asks = |it: &&Finding| {
            it.severity == Severity::Doubt && it.code == codes::LEFT_OUTSIDE
                || it.code == codes::ORPHAN_CORRECTION
        };
        let asked = found.findings.iter().filter(asks);
        let places = asked.filter_map(|it| it.place.at).collect();
        (found.output.storeys[0].outline.len(), places)
    }

    #[test]
    fn a_place_without_a_name_is_asked_about_at_its_openings_until_the_job_says_what_it_is() {
        for (thick, by_itself) in [(5.0, 4), (6.0, 8), (12.0, 4)] {
            let (corners, asked) = answered(thick, None);
            assert_eq!(corners, by_itself, "{thick}");
            assert!(asked.contains(&[118.0, 3.0]), "{thick}: {asked:?}");
            let room = answered(thick, Some(CorrectionIntent::Interior));
            assert_eq!(room, (8, vec![]), "{thick}");
            let outside = answered(thick, Some(CorrectionIntent::Exterior));
            assert_eq!(outside, (4, vec![]), "{thick}");
        }
    }

    #[test]
    fn a_closet_with_thin_walls_is_put_back_by_what_its_question_says_to_write() {
        // A walk-in closet without a name, thin walls round it, before an opening of the house.
        let house = open_shell(100.0, 136.0);
        for thick in [3.0, 4.0] {
            let mut lines = house.clone();
            lines.push([100.0, 3.0, 136.0, 3.0]);
            for d in [0.0, thick] {
                let (left, right, low) = (80.0 + d, 160.0 - d, -72.0 + d);
                lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
                lines.push([left, low, right, low]);
            }
            let words = [("BEDROOM", [180.0, 120.0])];
            let asked = corrected(&lines, &words, ([0.0; 2], None), None);
            assert_eq!(asked.output.storeys[0].outline.len(), 4, "{thick}");
            let questions: Vec<_> = (asked.findings.iter())
                .filter(|it| it.code == codes::LEFT_OUTSIDE)
                .collect();
            assert!(!questions.is_empty(), "{thick}");
            for question in questions {
                let said = question.hint.split("[[correction]] at = [").nth(1).unwrap();
                let (at, rest) = said.split_once(']').unwrap();
                assert!(rest.starts_with(" is = \"interior\""), "{rest}");
                let at: Vec<f64> = at.split(", ").map(|it| it.parse().unwrap()).collect();
                let intent = Some(CorrectionIntent::Interior);
                let kept = corrected(&lines, &words, ([at[0], at[1]], None), intent);
                assert_eq!(kept.output.storeys[0].outline.len(), 8, "{thick}");
                let again = [codes::LEFT_OUTSIDE, codes::ORPHAN_CORRECTION];
                assert!(!kept.findings.iter().any(|it| again.contains(&it.code)));
            }
        }
    }
}
