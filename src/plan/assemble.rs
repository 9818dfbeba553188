//! Puts together what recovery found: storeys with their outline, walls, openings and rooms, and gives ids by geometry.
//!
//! ```text
//!   outer rings ──► which are plans ──► X1, X2… round each, I1… inside, O1… along the walls, R1… by place
//! ```

use super::answers::questions::{ask_about_openings, ask_about_posts};
use super::answers::strays::{Stray, ask_about_strays};
use super::carry::Names;
use super::enclosure::completion::ask_about_gap;
use super::enclosure::crossed::{ask_about_lines_across, ask_about_mullions};
use super::enclosure::faces::Ring;
use super::enclosure::leftovers::{ask_about_leftovers, ask_about_unclosed};
use super::enclosure::network::Network;
use super::enclosure::open_plans::ask_about_open_plans;
use super::enclosure::outbuildings::{is_outbuilding, outbuildings, say_outbuildings};
use super::enclosure::outline::{Stretch, contains, polygon, stretches};
use super::enclosure::outside::InnerPlaces;
use super::enclosure::shells::{Shell, ask_about_no_opening, holds_opening, shells};
use super::inside::loose::{ask_about_boxes, ask_about_loose_ends};
use super::inside::niches::{ask_about_niches, left_behind};
use super::inside::rooms::{rooms, title};
use super::inside::standing::ask_about_standing;
use super::lines::rails::Rails;
use super::lines::segments::Lines;
use super::lines::symbols::Place;
use super::nearby::Area;
use super::pieces::held::Held;
use super::storeys::clusters::clusters;
use super::storeys::pictures::{ask_about_open_drawings, leave_pictures};
use super::storeys::several::{in_order, lower_left, say_several};
use super::storeys::views::{ByTitle, own_title, views_by_title};
use super::walls::facets::refuse_facets;
use super::walls::openings::Judged;
use super::walls::parts::{bears_clearly, opening, same_layers, wall};
use super::walls::runs::Run;
use super::{Opening, Plan, Storey, Wall, codes, enclosure::courts, storeys::variants};
use crate::drawing::{Drawing, ViewKind, ViewsNamed};
use crate::findings::{Finding, Place as Where};
use crate::side_by_side::{both, one_each};
use geo::Coord;

/// Everything that was traced in one drawing.
pub(super) struct Traced<'a> {
    pub drawing: &'a Drawing,
    pub views: &'a ViewsNamed,
    pub lines: &'a Lines,
    pub rails: &'a Rails,
    pub place: &'a Place<'a>,
    pub runs: &'a [Run],
    pub network: &'a Network,
    pub rings: &'a [Ring],
    pub openings: &'a [Judged],
    /// For each run its openings.
    pub by_run: &'a [Vec<usize>],
    pub strays: &'a [Stray],
    pub held: &'a [Held],
    pub inner_places: &'a InnerPlaces,
    /// Outlines of buildings beside the plan, of yards, and of plans that are left out.
    pub beside: &'a [Vec<Coord<f64>>],
    /// Where storeys of single lines lie beside others.
    pub single: &'a [Area],
}

/// Ids are unique in the whole plan.
#[derive(Clone, Default)]
pub(super) struct Numbers<'a> {
    pub exterior: usize,
    pub interior: usize,
    pub opening: usize,
    pub room: usize,
    /// What the issue before called them.
    pub names: Names<'a>,
}

/// A wall to be: part of a run, walked from one place to another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    pub run: usize,
    pub from: f64,
    pub to: f64,
    pub is_exterior: bool,
}

/// Another ring on the sheet without a plan's title is another storey when its area is at least this share of the largest.
const LIKE_STOREY: f64 = 0.35;
/// A bare gap in an interior wall wider than this parts two walls, inches.
const LONG_GAP: f64 = 72.0;
/// A part of a wall shorter than this is a corner, inches.
const LEAST_PART: f64 = 1.0;

/// Makes the storeys of one drawing.
pub(super) fn assemble(
    it: &Traced<'_>,
    plan: &mut Plan,
    numbers: &mut Numbers<'_>,
    findings: &mut Vec<Finding>,
) {
    let titles = &it.views.titles;
    let mut clusters = clusters(it.runs, it.network, titles, it.lines.origin);
    leave_pictures(it, &mut clusters, findings);
    clusters.take(it.runs, it.single);
    let shells = shells(it, &clusters, findings);
    let laid = |s: &Shell<'_>| s.outline.iter().map(|p| *p + it.lines.origin).collect();
    let outlines: Vec<Vec<Coord<f64>>> = shells.iter().map(laid).collect();
    let kinds = views_by_title(titles, &outlines);
    let others = shells.iter().zip(&kinds).filter(|it| !it.1.is_plan());
    let mut titled: Vec<&[Coord<f64>]> = others.map(|it| it.0.outline.as_slice()).collect();
    let mut plans = shells.iter().zip(kinds).filter(|it| it.1.is_plan());
    let Some(first @ (largest, _)) = plans.next() else {
        let id = format!("S{}", plan.storeys.len() + 1);
        let open = |run: usize| clusters.is_plan.get(clusters.of[run]) == Some(&true);
        findings.extend(ask_about_gap(it, &id, &open, &open));
        let own: Vec<usize> = (0..it.runs.len()).filter(|run| open(*run)).collect();
        ask_about_unclosed(it, &own, findings);
        plan.storeys.push(storey(it, None, id, numbers, findings));
        return;
    };
    let alike: Vec<&Shell<'_>> = std::iter::once(first)
        .chain(plans)
        .filter(|(s, by)| {
            let is_like = s.area >= LIKE_STOREY * largest.area;
            *by == ByTitle::Plan || is_like && !is_outbuilding(it, s, largest)
        })
        .map(|it| it.0)
        .collect();
    let chosen = variants::choose(it, alike);
    let alike = chosen.taken;
    if chosen.asked.is_none() {
        findings.extend(variants::ask_about_titles(it, &alike));
    }
    findings.extend(chosen.asked);
    titled.extend(chosen.left.iter().map(|it| it.outline.as_slice()));
    clusters.leave(&chosen.left, &alike);
    findings.extend(say_several(it, &alike));
    let taken: Vec<&[Coord<f64>]> = alike.iter().map(|it| it.outline.as_slice()).collect();
    let mut beside = outbuildings(it, &taken);
    // What has the title of something else is noted with the titles.
    let is_other = |outline: &&Vec<Coord<f64>>| {
        let laid: Vec<Coord<f64>> = outline.iter().map(|p| *p + it.lines.origin).collect();
        own_title(titles, &laid).is_some_and(|own| own.kind != ViewKind::Plan)
    };
    titled.extend(beside.iter().filter(is_other).map(Vec::as_slice));
    findings.extend(say_outbuildings(it, &beside, &titled));
    let left: Vec<Vec<Coord<f64>>> = titled.iter().map(|it| it.to_vec()).collect();
    beside.extend(left);
    beside.extend(it.beside.iter().cloned());
    let it = &Traced {
        beside: &beside,
        ..*it
    };
    if largest.n_openings == 0 && !holds_opening(it, largest) {
        findings.push(ask_about_no_opening(it, largest));
    }
    let mut lowest: Option<f64> = None;
    for shell in in_order(it, alike) {
        let id = format!("S{}", plan.storeys.len() + 1);
        let mut storey = storey(it, Some(shell), id, numbers, findings);
        if let Some(floor) = it.drawing.floor_at(lower_left(&storey.outline).x) {
            let lowest = *lowest.get_or_insert(floor);
            storey.to_building.floor = floor - lowest;
        }
        plan.storeys.push(storey);
    }
    let taken = plan.storeys.iter().filter(|s| s.file == it.drawing.file);
    let taken: Vec<_> = taken.collect();
    let mut leftovers = Vec::new();
    both(
        || {
            ask_about_open_plans(it, &clusters, plan, findings);
            ask_about_open_drawings(it, &clusters, &taken, findings);
        },
        || ask_about_leftovers(it, &taken, &mut leftovers),
    );
    findings.append(&mut leftovers);
}

pub(super) fn openings_of<'a>(
    it: &Traced<'a>,
    run: usize,
) -> impl Iterator<Item = (usize, &'a Judged)> {
    let own = it.by_run.get(run).map_or(&[][..], Vec::as_slice);
    own.iter().map(|k| (*k, &it.openings[*k]))
}

fn storey(
    it: &Traced<'_>,
    shell: Option<&Shell<'_>>,
    id: String,
    numbers: &mut Numbers<'_>,
    findings: &mut Vec<Finding>,
) -> Storey {
    let origin = it.lines.origin;
    let (around, corners) = shell.map_or((Vec::new(), Vec::new()), |s| round(it, s.ring));
    let outline: Vec<Coord<f64>> = corners.iter().map(|p| *p + origin).collect();
    let mut parts: Vec<Part> = around
        .iter()
        .map(|s| Part {
            run: s.run,
            from: s.from,
            to: s.to,
            is_exterior: true,
        })
        .collect();
    let mut inside: Vec<&Ring> = it
        .rings
        .iter()
        .filter(|ring| ring.area > 0.0 && is_within(it, ring, &corners))
        .collect();
    let courts = courts::courts(it, &inside, &parts);
    inside.retain(|ring| !courts.iter().any(|court| std::ptr::eq(court.ring, *ring)));
    for court in &courts {
        parts.extend(courts::parts(it, court.ring));
    }
    parts.extend(interior(it, &parts, &corners));
    let mut storey = Storey {
        name: if outline.is_empty() {
            String::new()
        } else {
            title(it.drawing, it.views, &outline)
        },
        id,
        file: it.drawing.file.clone(),
        outline,
        ..Storey::default()
    };
    let (asked, found) = both(
        || walls_and_openings(it, &parts, numbers, &mut storey),
        || rooms(it.runs, it.network, &inside, it.drawing, origin),
    );
    numbers.names.give(&mut storey);
    courts::note(it, &courts, &storey, findings);
    storey.rooms = found;
    for room in &mut storey.rooms {
        numbers.room += 1;
        room.id = format!("R{}", numbers.room);
    }
    let (mut of_openings, mut of_lines) = (Vec::new(), Vec::new());
    both(
        || {
            ask_about_openings(it, &storey, &asked, &mut of_openings);
            ask_about_posts(&storey, &mut of_openings);
            ask_about_mullions(it, &storey, &asked, &mut of_openings);
        },
        || {
            ask_about_strays(it, &storey, &asked, &mut of_lines);
            ask_about_lines_across(it, &parts, &storey, &mut of_lines);
            ask_about_loose_ends(it, (&parts, &inside), &storey, &mut of_lines);
            ask_about_boxes(it, &inside, &storey, &mut of_lines);
            ask_about_niches(it, &parts, &storey, &mut of_lines);
            ask_about_standing(it, &parts, &storey, &mut of_lines);
        },
    );
    findings.extend(of_openings.into_iter().chain(of_lines));
    layers(&storey, findings);
    curtains(it, &parts, &storey, findings);
    refuse_facets(&storey, findings);
    storey
}

/// Adds the walls of a storey with their openings, numbered on; says which of those judged each opening is.
fn walls_and_openings(
    it: &Traced<'_>,
    parts: &[Part],
    numbers: &mut Numbers<'_>,
    storey: &mut Storey,
) -> Vec<usize> {
    let owned = one_each(parts.len(), |i| openings_in(it, &parts[i]));
    let numbered: Vec<(usize, usize)> = (parts.iter().zip(&owned))
        .map(|(part, own)| {
            let walls = match part.is_exterior {
                true => &mut numbers.exterior,
                false => &mut numbers.interior,
            };
            *walls += 1;
            let first = numbers.opening + 1;
            numbers.opening += own.len();
            (*walls, first)
        })
        .collect();
    let made = one_each(parts.len(), |i| {
        let part = &parts[i];
        let (number, first) = numbered[i];
        let wall = wall(it, part, number);
        let all = owned[i].iter().zip(first..);
        let openings: Vec<Opening> = all
            .map(|((_, judged), number)| opening(it, part, &wall, judged, number))
            .collect();
        (wall, openings)
    });
    for (wall, openings) in made {
        storey.walls.push(wall);
        storey.openings.extend(openings);
    }
    owned.into_iter().flatten().map(|it| it.0).collect()
}

/// The openings of a part of a run, from its start.
fn openings_in<'a>(it: &Traced<'a>, part: &Part) -> Vec<(usize, &'a Judged)> {
    let (low, high) = (part.from.min(part.to), part.from.max(part.to));
    let mut own: Vec<(usize, &Judged)> = openings_of(it, part.run)
        .filter(|(_, judged)| is_of(judged, low, high) && (part.is_exterior || !judged.is_recess()))
        .filter(|(_, judged)| left_behind(it, judged).is_none())
        .collect();
    let off = |it: &Judged| (it.u0 - part.from).abs().min((it.u1 - part.from).abs());
    own.sort_by(|p, q| off(p.1).total_cmp(&off(q.1)));
    own
}

/// True when an opening lies in a stretch of its run; one that runs into a corner may go on to the outer face.
fn is_of(judged: &Judged, low: f64, high: f64) -> bool {
    if judged.in_corner {
        let middle = f64::midpoint(judged.u0, judged.u1);
        return middle > low && middle < high;
    }
    judged.u0 >= low - 0.5 && judged.u1 <= high + 0.5
}

/// A fault for every wall of glass and for every curved one.
fn curtains(it: &Traced<'_>, parts: &[Part], storey: &Storey, findings: &mut Vec<Finding>) {
    for (part, wall) in parts.iter().zip(&storey.walls) {
        if let Some(radius) = it.runs[part.run].curve {
            let middle = (wall.start + wall.end) / 2.0;
            findings.push(Finding::fault(
                codes::CURVED,
                Where::element(&storey.id, &wall.id)
                    .with_at(middle.x, middle.y)
                    .with_sources(wall.sources.iter()),
                format!(
                    "{} is part of a curved wall of {radius:.1} in radius, taken as a chord",
                    wall.id
                ),
                "panels are straight: have the curve framed on site, or draw it as straight walls",
            ));
        }
        if it.runs[part.run].is_curtain {
            let middle = (wall.start + wall.end) / 2.0;
            findings.push(Finding::fault(
                codes::CURTAIN,
                Where::element(&storey.id, &wall.id)
                    .with_at(middle.x, middle.y)
                    .with_sources(wall.sources.iter()),
                format!("{} is glass between posts: a curtain wall, not panels", wall.id),
                "leave it to its maker; say in the job that it is no wall of ours, or draw it as a wall with openings",
            ));
        }
    }
}

/// Which layer of layered walls bears: a doubt for each kind of wall in which several may, or else one note.
fn layers(storey: &Storey, findings: &mut Vec<Finding>) {
    let layered = || storey.walls.iter().filter(|wall| !wall.layers.is_empty());
    let mut open: Vec<&Wall> = Vec::new();
    for wall in layered().filter(|wall| !bears_clearly(&wall.layers)) {
        if !open.iter().any(|it| same_layers(wall, it).is_some()) {
            open.push(wall);
        }
    }
    let about = |wall: &Wall| {
        let middle = (wall.start + wall.end) / 2.0;
        let core = wall.layers.iter().find(|layer| layer.is_structural);
        let taken = core.map_or("nothing says which of them bears".to_owned(), |core| {
            format!(
                "the thickest, of {:.2} in, is taken as the one that bears",
                core.thickness
            )
        });
        (
            Where::element(&storey.id, &wall.id).with_at(middle.x, middle.y),
            format!("{} and others are drawn in layers: {taken}", wall.id),
        )
    };
    let hint = "confirm which layer bears; all of them are counted in the thickness";
    for wall in &open {
        let (place, message) = about(wall);
        findings.push(Finding::doubt(codes::WHICH_LAYER, place, message, hint));
    }
    if let Some(wall) = layered().next().filter(|_| open.is_empty()) {
        let (place, message) = about(wall);
        let message = format!("{message}: the others are no thicker than boards");
        findings.push(Finding::note(codes::WHICH_LAYER, place, message, hint));
    }
}

pub(super) fn is_within(it: &Traced<'_>, ring: &Ring, corners: &[Coord<f64>]) -> bool {
    ring.sides
        .first()
        .map(|side| {
            let stop = |i: usize| it.network.stops[side.run][i].0;
            it.runs[side.run]
                .axis
                .point(f64::midpoint(stop(side.from), stop(side.to)), 0.0)
        })
        .is_some_and(|p| contains(corners, p))
}

/// The stretches of an outer ring with the outside on the right, and the corners, both from the lowest leftmost corner.
fn round(it: &Traced<'_>, ring: &Ring) -> (Vec<Stretch>, Vec<Coord<f64>>) {
    let mut around: Vec<Stretch> = stretches(it.network, &ring.sides)
        .iter()
        .rev()
        .map(|s| Stretch {
            run: s.run,
            from: s.to,
            to: s.from,
        })
        .collect();
    let start = |s: &Stretch| it.runs[s.run].axis.point(s.from, 0.0);
    let first = (0..around.len()).min_by(|&p, &q| {
        let (a, b) = (start(&around[p]), start(&around[q]));
        // Rounded to a quarter inch, so that jitter does not choose between two corners of one height.
        let key = |c: Coord<f64>| ((c.y * 4.0).round(), (c.x * 4.0).round());
        let (ka, kb) = (key(a), key(b));
        ka.0.total_cmp(&kb.0)
            .then(ka.1.total_cmp(&kb.1))
            .then(p.cmp(&q))
    });
    if let Some(first) = first {
        around.rotate_left(first);
    }
    let corners = polygon(it.runs, &around, -1.0);
    (around, corners)
}

/// What of the runs inside the outline is not exterior.
fn interior(it: &Traced<'_>, exterior: &[Part], corners: &[Coord<f64>]) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut meetings = vec![Vec::new(); it.network.nodes.len()];
    for (run, stops) in it.network.stops.iter().enumerate() {
        for (u, node) in stops {
            meetings[*node].push((run, *u));
        }
    }
    for (run, stops) in it.network.stops.iter().enumerate() {
        let (Some(first), Some(last)) = (stops.first(), stops.last()) else {
            continue;
        };
        let mut holes: Vec<(f64, f64)> = exterior
            .iter()
            .filter(|part| part.run == run)
            .map(|part| (part.from.min(part.to), part.from.max(part.to)))
            .collect();
        holes.extend(
            openings_of(it, run)
                .filter(|(_, j)| is_void(j, exterior))
                .map(|(_, j)| (j.u0, j.u1)),
        );
        holes.sort_by(|p, q| p.0.total_cmp(&q.0));
        let mut from = first.0;
        for (a, b) in holes.into_iter().chain([(last.0, last.0)]) {
            let middle = it.runs[run].axis.point(f64::midpoint(from, a), 0.0);
            if a - from > LEAST_PART && (corners.is_empty() || contains(corners, middle)) {
                let (from, to) = butted(it, &meetings, run, (from, a));
                parts.push(Part {
                    run,
                    from,
                    to,
                    is_exterior: false,
                });
            }
            from = from.max(b);
        }
    }
    let key = |part: &Part| {
        let p = it.runs[part.run].axis.point(part.from, 0.0);
        (p.y, p.x)
    };
    parts.sort_by(|p, q| {
        let (a, b) = (key(p), key(q));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    parts
}

/// A wall between rooms ends at the face of a wall that runs past its end; where two of them meet at a corner, both go on to
/// where their centre lines meet.
///
/// - `meetings`: for each node the runs that stop there, and where.
fn butted(
    it: &Traced<'_>,
    meetings: &[Vec<(usize, f64)>],
    run: usize,
    (from, to): (f64, f64),
) -> (f64, f64) {
    let own = &it.runs[run];
    let inset = |u: f64| {
        let past = |&(other, at): &(usize, f64)| {
            let stops = &it.network.stops[other];
            let (first, last) = (stops.first()?.0, stops.last()?.0);
            let sine = own.axis.sine(&it.runs[other].axis).abs();
            let runs_past = (at - first).min(last - at) >= own.thickness / 2.0;
            (other != run && sine > 0.3 && runs_past).then(|| it.runs[other].thickness / 2.0 / sine)
        };
        let stops = it.network.stops[run].iter();
        stops
            .filter(|stop| (stop.0 - u).abs() < 1e-9)
            .flat_map(|stop| meetings[stop.1].iter().filter_map(past))
            .fold(0.0, f64::max)
    };
    let cut = (from + inset(from), to - inset(to));
    if cut.1 - cut.0 > LEAST_PART {
        cut
    } else {
        (from, to)
    }
}

/// A wide gap inside the house with nothing in it parts two walls.
fn is_void(judged: &Judged, exterior: &[Part]) -> bool {
    let is_outside = exterior.iter().any(|part| {
        part.run == judged.run
            && part.from.min(part.to) < judged.u0
            && part.from.max(part.to) > judged.u1
    });
    judged.is_bare() && judged.width() > LONG_GAP && !is_outside
}

#[cfg(test)]
mod tests {
    use crate::findings::Severity;
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered_among};

    /// Two houses side by side with these titles: how many storeys, how the sheet's plans are told, and how many buildings are
    /// asked about.
    fn told(titles: [&str; 2]) -> (usize, Option<Severity>, usize) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let other: Vec<[f64; 4]> = lines
            .iter()
            .map(|l| [l[0] + 500.0, l[1], l[2] + 500.0, l[3]])
            .collect();
        lines.extend(other);
        let words = [(titles[0], [180.0, -40.0]), (titles[1], [680.0, -40.0])];
        let found = recovered_among(&lines, &[], &words);
        let of = |code| found.findings.iter().filter(move |it| it.code == code);
        (
            found.output.storeys.len(),
            of(codes::SEVERAL_PLANS).next().map(|it| it.severity),
            of(codes::OUTBUILDING).count(),
        )
    }

    #[test]
    fn titles_that_say_the_order_leave_nothing_to_ask() {
        let note = Some(Severity::Note);
        assert_eq!(
            told(["FIRST FLOOR PLAN", "SECOND FLOOR PLAN"]),
            (2, note, 0)
        );
        let doubt = Some(Severity::Doubt);
        assert_eq!(told(["FLOOR PLAN", "SECOND FLOOR PLAN"]), (2, doubt, 0));
    }

    #[test]
    fn of_a_storey_shown_twice_one_is_taken_and_the_other_asked_about_once() {
        let doubt = Some(Severity::Doubt);
        let fault = Some(Severity::Fault);
        for (titles, severity) in [
            (["EXISTING FLOOR PLAN", "PROPOSED FLOOR PLAN"], doubt),
            (["FIRST FLOOR PLAN", "EXISTING FIRST FLOOR PLAN"], doubt),
            (["FLOOR PLAN - OPTION A", "FLOOR PLAN - OPTION B"], fault),
        ] {
            assert_eq!(told(titles), (1, severity, 0), "{titles:?}");
        }
        let note = Some(Severity::Note);
        let both = ["EXISTING FIRST FLOOR PLAN", "PROPOSED SECOND FLOOR PLAN"];
        assert_eq!(told(both), (2, note, 0));
    }

    #[test]
    fn a_plan_of_something_else_is_left_out_by_its_title_and_not_asked() {
        for title in [
            "ROOF PLAN",
            "FOUNDATION PLAN",
            "FIRST FLOOR ELECTRICAL PLAN",
        ] {
            assert_eq!(told(["FIRST FLOOR PLAN", title]), (1, None, 0), "{title}");
        }
    }
}
