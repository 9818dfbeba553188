//! Solid pieces of wall: which spans of which bands are walls.
//!
//! ```text
//!    ──────────┐    ┌──────       a face has wall on one side only:
//!      solid   │    │ solid       bands that want the same face compete
//!    ──────────┘    └──────
//! ```
//!
//! Method: thicknesses are clustered by length and jambs; bands are ranked by the support of their thickness, the jambs
//! that fit them exactly and what their layers say; of those that want one face the best choice is taken, exactly (`conflicts.rs`).

use crate::plan::axis::{Axis, Few, Interval, covered, moved};
use crate::plan::lines::rails::Rails;
use crate::plan::lines::symbols::Place;
use crate::plan::nearby::rank;
use crate::plan::pieces::bands::{Band, FURRING, Jamb, LEAST_SOLID, Span};
use crate::plan::pieces::claims::{Claims, faces};
use crate::plan::pieces::conflicts::{Wanted, sharing};
use crate::plan::pieces::gaps::gaps;
use crate::plan::pieces::held::{Held, without_held};
use crate::plan::pieces::in_line::in_line;
use crate::plan::pieces::layered::{Layered, lacks_a_layer};
use crate::plan::pieces::linings::linings;
use crate::plan::pieces::spans::{doors, is_glazed};
use crate::plan::pieces::thicknesses::{SHOWN, Thicknesses, Weighed};
use crate::plan::walls::runs::RARE;
use crate::side_by_side::{both, in_stretches, one_each, one_of_many, sort_by_key};
use smallvec::{SmallVec, smallvec};

/// A piece of wall without openings.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Solid {
    pub axis: Axis,
    pub thickness: f64,
    pub u0: f64,
    pub u1: f64,
    /// Along the axis, where a full-thickness line closes this end.
    pub jambs: [Option<f64>; 2],
    pub rails: (usize, usize),
    /// Offsets of the lines between layers.
    pub layers: Vec<f64>,
    /// How common its thickness is: 0 to 1.
    pub support: f64,
    /// By how much of its own worth the plan is better with it than without: 0 to 1.
    pub margin: f64,
}

/// Thicknesses within this are one kind of wall, inches, beyond the drawing's slack.
const SAME_THICKNESS: f64 = 0.12;
/// A jamb that fits exactly speaks as loud as this length of wall, inches.
const JAMB_WEIGHT: f64 = 24.0;
/// Two faces that are drawn together over this length, inches, are worth this much more.
const LONG: f64 = 240.0;
const LONG_BONUS: f64 = 2.0;
/// The gap between two walls is worth this share of what it would be as a wall.
const GAP: f64 = 0.2;
/// And what stands against a wall that goes on beyond it: no more than what is left when that wall has its faces.
const LEANING: f64 = 0.001;
/// What is thicker than all that ends at jambs takes nothing from it: an edge of a roof runs along the whole of a house.
const LAST: f64 = 0.01;
/// Scores and lengths are compared in steps of one over this.
const EVEN: f64 = 1e5;
/// Glass goes past its jamb by less, inches.
const PAST_JAMB: f64 = 0.6;
/// A header bears on its studs by less, inches, and on less than this share of a pier. Source: common practice, no source.
const BEARING: f64 = 6.0;
const BEARING_SHARE: f64 = 0.5;

/// Parts of a span that may be solid: what no line between the faces covers, unless the wall is layered.
fn open_parts(span: &Span) -> Vec<Interval> {
    let mut parts = vec![(span.u0, span.u1)];
    let ends = [span.u0, span.u1].into_iter().zip(&span.jambs);
    let jambs: Vec<f64> = ends
        .filter_map(|(u, jamb)| jamb.as_ref().map(|_| u))
        .collect();
    // Glass that goes past its jamb by a little is no glass in the pier beyond, nor is the end of a header.
    let bearing = BEARING.min(BEARING_SHARE * (span.u1 - span.u0));
    let goes_past = |it: &Interval| {
        jambs.iter().any(|u| {
            let (near, far) = ((it.0 - u).abs(), (it.1 - u).abs());
            near.min(far) < PAST_JAMB && near.max(far) < bearing.max(PAST_JAMB)
        })
    };
    for (_, list) in &span.inner {
        for hole in list.iter().filter(|it| !goes_past(it)) {
            parts = parts
                .into_iter()
                .flat_map(|part| without(part, *hole))
                .collect();
        }
    }
    parts.retain(|(a, b)| b - a >= LEAST_SOLID);
    parts
}

/// An interval without another.
pub(in crate::plan) fn without(part: Interval, hole: Interval) -> SmallVec<[Interval; 2]> {
    if hole.1 <= part.0 || hole.0 >= part.1 {
        return smallvec![part];
    }
    [(part.0, hole.0), (hole.1, part.1)]
        .into_iter()
        .filter(|(a, b)| b > a)
        .collect()
}

/// Furring is at least this many times as long as it is thick.
const LONG_FURRING: f64 = 2.5;
/// Thicker than this, a wall is a double one, inches.
pub(in crate::plan) const THICK: f64 = 20.0;
/// A double wall is at least this many times as long as it is thick: shorter, two faces happen to lie opposite.
const DOUBLE: f64 = 1.5;
/// Walls thicker than that are what the building is made of from this share of the commonest thickness on.
const COMMON: f64 = 0.5;
/// At a jamb, less than this is casing, inches.
pub(in crate::plan) const CASING: f64 = 1.6;

/// One candidate: a part of a span.
pub(in crate::plan) struct Candidate {
    pub band: usize,
    pub u0: f64,
    pub u1: f64,
    pub jambs: [Option<f64>; 2],
    pub layers: Vec<f64>,
    /// Which ends a jamb closes that ends at both faces.
    pub exact: [bool; 2],
}

impl Candidate {
    pub(in crate::plan) fn n_exact(&self) -> usize {
        self.exact.iter().filter(|it| **it).count()
    }

    /// Which ends no line across closes.
    pub(in crate::plan) fn free(&self) -> [bool; 2] {
        self.jambs.map(|jamb| jamb.is_none())
    }
}

#[cfg(test)]
impl Candidate {
    /// A part of a band closed at both ends.
    pub(in crate::plan) fn closed(band: usize, u0: f64, u1: f64) -> Self {
        Self {
            band,
            u0,
            u1,
            jambs: [Some(u0), Some(u1)],
            layers: Vec::new(),
            exact: [true, true],
        }
    }
}

/// Chooses the solid pieces; beside them the openings that stand between them in one pair of faces.
pub(in crate::plan) fn solids(
    rails: &Rails,
    bands: &[Band],
    place: &Place<'_>,
    slack: f64,
) -> (Vec<Solid>, Vec<Held>) {
    let spans: Vec<(usize, usize)> = bands
        .iter()
        .enumerate()
        .flat_map(|(index, band)| (0..band.spans.len()).map(move |k| (index, k)))
        .collect();
    let (layered, doors) = both(
        || Layered::learn(bands, SAME_THICKNESS + slack, slack),
        || doors(rails, bands, &spans, place),
    );
    let made = |&(index, k): &(usize, usize), is_pier: bool| {
        let (span, thickness) = (&bands[index].spans[k], bands[index].thickness);
        let lines = layered.lines_of(span, thickness);
        let is_glass = is_glazed(rails, &bands[index], span, slack);
        from_span(index, span, lines, thickness, (is_pier, is_glass))
    };
    let is_opening = |index: usize, k: usize| {
        let span = &bands[index].spans[k];
        doors.contains(&(index, k))
            || is_glazed(rails, &bands[index], span, slack)
                && layered.lines_of(span, bands[index].thickness).is_none()
    };
    let frames = one_each(bands.len(), |index| {
        linings(rails, &bands[index], (&|k| is_opening(index, k), slack))
    });
    let is_wall = |it: &(usize, usize)| !doors.contains(it) && !frames[it.0][it.1];
    let mut candidates = in_stretches(spans.len(), |part| {
        let own = spans[part].iter().filter(|it| is_wall(it));
        own.flat_map(|it| made(it, false)).collect()
    });
    let known = weighed(rails, bands, &candidates, slack);
    // Where walls are so thick, what stands between jambs beside an opening is a pier, and no box.
    let piers = spans.iter().filter(|&&(index, k)| {
        let thickness = bands[index].thickness;
        thickness > THICK
            && known.support(thickness) >= COMMON
            && !is_opening(index, k)
            && stands_beside(&bands[index].spans, k, &|k| is_opening(index, k))
            && made(&(index, k), false).is_empty()
    });
    let before = candidates.len();
    candidates.extend(piers.flat_map(|it| made(it, true)));
    if candidates.len() > before {
        candidates.sort_by(|p, q| p.band.cmp(&q.band).then(p.u0.total_cmp(&q.u0)));
    }
    let held = without_held(rails, bands, &mut candidates, &known, (&is_opening, slack));
    (choose(rails, bands, candidates, slack), held)
}

/// A piece of a thin partition is at least this long, inches: the post beside a cubicle's door.
const POST: f64 = 1.5;

/// Chooses the solid pieces of bands thinner than walls.
pub(in crate::plan) fn thin_solids(rails: &Rails, bands: &[Band], slack: f64) -> Vec<Solid> {
    let candidates = bands
        .iter()
        .enumerate()
        .flat_map(|(index, band)| band.spans.iter().map(move |span| (index, span)))
        .filter(|(index, span)| {
            span.u1 - span.u0 >= POST && !is_glazed(rails, &bands[*index], span, slack)
        })
        .flat_map(|(index, span)| pieces(index, span))
        .collect();
    choose(rails, bands, candidates, slack)
}

fn choose(rails: &Rails, bands: &[Band], candidates: Vec<Candidate>, slack: f64) -> Vec<Solid> {
    let thicknesses = weighed(rails, bands, &candidates, slack);
    resolve(rails, bands, &candidates, &thicknesses, slack)
}

/// How well the lines of both faces may be a wall's, over a candidate: 0 to 1.
fn face(rails: &Rails, band: &Band, c: &Candidate) -> f64 {
    [band.rails.0, band.rails.1]
        .into_iter()
        .map(|rail| {
            let rail = &rails.list[rail];
            let (from, to) = moved((c.u0, c.u1), &band.axis, &rail.axis);
            rail.face(from, to)
        })
        .fold(1.0, f64::min)
}

/// How common each thickness is among candidates.
fn weighed(rails: &Rails, bands: &[Band], candidates: &[Candidate], slack: f64) -> Thicknesses {
    let made = |c: &Candidate, n_jambs: usize| {
        let band = &bands[c.band];
        let jambs = if c.n_exact() > 0 { JAMB_WEIGHT } else { 0.0 };
        Weighed {
            thickness: band.thickness,
            weight: ((c.u1 - c.u0) + jambs) * face(rails, band, c),
            n_jambs,
            is_long: c.u1 - c.u0 > band.thickness,
        }
    };
    let mut ends: Vec<usize> = candidates.iter().map(Candidate::n_exact).collect();
    if ends.iter().sum::<usize>() < SHOWN {
        // Where no jambs are drawn, ends of both faces at one place say as much.
        let even = |c: &Candidate| n_even(rails, &bands[c.band], c);
        ends = one_each(candidates.len(), |i| even(&candidates[i]));
    }
    let weights = one_of_many(candidates.len(), |i| made(&candidates[i], ends[i]));
    Thicknesses::new(weights, SAME_THICKNESS + slack)
}

/// Past the end of a piece its faces are looked at so far, inches.
const PAST_END: (f64, f64) = (0.3, 1.3);

/// How many ends of a candidate no line closes, beyond which both faces go on over glass, or neither does.
fn n_even(rails: &Rails, band: &Band, c: &Candidate) -> usize {
    let goes_on = |rail: usize, beyond: Interval| {
        let rail = &rails.list[rail];
        let (from, to) = moved(beyond, &band.axis, &rail.axis);
        covered(&rail.face_cover, from, to) > 0.5 * (to - from)
    };
    let beyond = [
        (c.u0 - PAST_END.1, c.u0 - PAST_END.0),
        (c.u1 + PAST_END.0, c.u1 + PAST_END.1),
    ];
    let is_even =
        |it: &(Interval, bool)| it.1 && goes_on(band.rails.0, it.0) == goes_on(band.rails.1, it.0);
    beyond.into_iter().zip(c.free()).filter(is_even).count()
}

/// True when an opening begins where a span ends, or the other way round.
fn stands_beside(spans: &[Span], k: usize, is_opening: &dyn Fn(usize) -> bool) -> bool {
    let beside = [k.checked_sub(1), Some(k + 1)].into_iter().flatten();
    let mut openings = beside.filter(|it| *it < spans.len() && is_opening(*it));
    openings.any(|it| {
        let near = (spans[it].u1 - spans[k].u0).abs();
        near.min((spans[it].u0 - spans[k].u1).abs()) < CASING
    })
}

/// - `is_pier`: true for what is known to stand in a wall of its thickness, however short it is.
/// - `is_glass`: true for what glass fills from jamb to jamb.
fn from_span(
    band: usize,
    span: &Span,
    layers: Option<Vec<f64>>,
    thickness: f64,
    (is_pier, is_glass): (bool, bool),
) -> Vec<Candidate> {
    // A thin pair must be long to be furring: casings, frames and leaves are thin and short. So must a very thick one.
    let least = if thickness < FURRING {
        LONG_FURRING
    } else if thickness > THICK {
        DOUBLE
    } else {
        0.0
    };
    let exact = [0, 1].map(|i| span.jambs[i].is_some_and(|j| j.is_exact));
    // A double wall ends at other walls: so deep a box, closed at both ends, is a cabinet, a wardrobe or a tub.
    let is_box = thickness > THICK && exact == [true, true];
    if !is_pier && (span.u1 - span.u0 < least * thickness || is_box) {
        return Vec::new();
    }
    let ends = span.jambs.map(|jamb| jamb.map(|j| j.u));
    if let Some(layers) = layers {
        return vec![Candidate {
            band,
            u0: span.u0,
            u1: span.u1,
            jambs: ends,
            layers,
            exact,
        }];
    }
    // Between two jambs a sliver is the casing of an opening.
    let is_casing = span.u1 - span.u0 < CASING && is_between_jambs(span);
    if is_glass || is_casing {
        return Vec::new();
    }
    pieces(band, span)
}

/// True when jambs close both ends of a span, and neither is the leaf of a door that stands through the wall beside a jamb of it.
fn is_between_jambs(span: &Span) -> bool {
    let [Some(from), Some(to)] = span.jambs else {
        return false;
    };
    let is_leaf =
        |own: &Jamb, other: &Jamb| !own.has_own_line && other.has_own_line && other.is_exact;
    !is_leaf(&from, &to) && !is_leaf(&to, &from)
}

/// The open parts of a span as candidates.
fn pieces(band: usize, span: &Span) -> Vec<Candidate> {
    let ends = span.jambs.map(|jamb| jamb.map(|j| j.u));
    let exact = span.jambs.map(|it| it.is_some_and(|j| j.is_exact));
    open_parts(span)
        .into_iter()
        .map(|(u0, u1)| {
            let at = [(u0 - span.u0).abs() < 1e-9, (u1 - span.u1).abs() < 1e-9];
            let keep = |i: usize| if at[i] { ends[i] } else { None };
            Candidate {
                band,
                u0,
                u1,
                jambs: [keep(0), keep(1)],
                layers: Vec::new(),
                exact: [at[0] && exact[0], at[1] && exact[1]],
            }
        })
        .collect()
}

/// Gives faces to the best supported candidates first.
fn resolve(
    rails: &Rails,
    bands: &[Band],
    candidates: &[Candidate],
    thicknesses: &Thicknesses,
    slack: f64,
) -> Vec<Solid> {
    let (worth, faces) = both(
        || {
            one_of_many(candidates.len(), |i| {
                let band = &bands[candidates[i].band];
                thicknesses.support(band.thickness) * face(rails, band, &candidates[i])
            })
        },
        || faces(rails, bands, candidates),
    );
    let alike = SAME_THICKNESS + slack;
    let beside = || {
        let claims = Claims::of(rails, bands, candidates, &faces, &worth, alike);
        let is_gap = gaps(rails, candidates, &faces, &worth, &claims);
        (claims, is_gap)
    };
    // The same two faces further on speak for a short piece of them.
    let ((claims, is_gap), (in_line, lacking, sharing)) = both(beside, || {
        (
            in_line(bands, candidates, slack),
            lacks_a_layer(bands, candidates, &faces),
            sharing(&faces),
        )
    });
    let scores = one_each(candidates.len(), |i| {
        let c = &candidates[i];
        let band = &bands[c.band];
        let leans =
            in_line[c.band] < c.u1 - c.u0 + 1.0 && claims.leans(rails, band, (c, &faces[i]), RARE);
        let shape = (in_line[c.band] / band.thickness / 1.5).min(1.0);
        // Lines round a building are long, and no jamb ever ends what lies between them and its faces.
        let long = match thicknesses.is_seen(band.thickness) {
            true => 1.0 + LONG_BONUS * (in_line[c.band] / LONG).min(1.0),
            false => 1.0,
        };
        let exact = f64::from(u8::try_from(c.n_exact()).unwrap_or(2));
        // A wall less its outermost layer looks layered too: the whole of it has more lines.
        let layered = match lacking[i] {
            true => 0.0,
            false => 2.0 * f64::from(u32::try_from(c.layers.len()).unwrap_or(0)),
        };
        let worth = match (leans || lacking[i], is_gap[i]) {
            (true, _) => LEANING * worth[i],
            (_, true) => GAP * worth[i],
            _ => worth[i],
        };
        let (last, layered) = match thicknesses.is_beyond(band.thickness) {
            true => (LAST, 0.0),
            false => (1.0, layered),
        };
        // Three walls in four are inside: an outside wall's thickness is rarer, and no less a wall's.
        worth.sqrt() * shape * long * last * (1.0 + 0.25 * exact) + layered
    });
    // Of equals the thinner goes first, whichever way round the plan lies: differences below rounding are none.
    let even = |value: f64| rank((value * EVEN).round());
    let mut ranked: Vec<([i64; 3], (usize, i64), usize)> = one_of_many(candidates.len(), |i| {
        let c = &candidates[i];
        let thickness = bands[c.band].thickness;
        let worse = [!even(scores[i]), !even(c.u1 - c.u0), even(thickness)];
        (worse, (c.band, rank(c.u0)), i)
    });
    sort_by_key(&mut ranked, |it| *it);
    let order: Vec<usize> = ranked.into_iter().map(|it| it.2).collect();
    let wanted = Wanted {
        rails,
        bands,
        candidates,
        faces: &faces,
        scores: &scores,
    };
    let settled = wanted.settle(sharing, &order);
    let mut taken: Vec<Few<Interval>> = vec![Few::new(); rails.list.len()];
    let mut left: Vec<(usize, Few<Interval>)> = Vec::new();
    for i in order.into_iter().filter(|i| settled[*i].is_wall) {
        let Some(parts) = wanted.left(i, |rail| taken[rail].iter()) else {
            continue;
        };
        for part in &parts {
            for ((rail, _), own) in wanted.faces_of(i, *part) {
                taken[rail].push(own);
            }
        }
        left.push((i, parts));
    }
    // As they lie again: what follows looks at neighbours.
    left.sort_unstable_by_key(|it| it.0);
    in_stretches(left.len(), |part| {
        let solids = left[part].iter().flat_map(|(i, parts)| {
            let c = &candidates[*i];
            let (band, margin) = (&bands[c.band], settled[*i].margin);
            let end = |k: usize, u: f64, own: f64| c.jambs[k].filter(|_| (u - own).abs() < 1e-9);
            parts.iter().map(move |&(u0, u1)| Solid {
                axis: band.axis,
                thickness: band.thickness,
                u0,
                u1,
                jambs: [end(0, u0, c.u0), end(1, u1, c.u1)],
                rails: band.rails,
                layers: c.layers.clone(),
                support: thicknesses.support(band.thickness),
                margin,
            })
        });
        solids.collect()
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{
        Swing, exterior_openings, open_shell, recovered, recovered_with, sides,
    };

    #[test]
    fn the_edge_of_a_roof_takes_no_face_from_short_piers() {
        // Faces run on as sills; between the eaves, 24 in off, and the face is more room than the piers fill.
        let mut lines = sides(0.0, 0.0, 360.0, 240.0);
        lines.extend(sides(6.0, 6.0, 354.0, 234.0));
        let windows = [
            (60.0, 120.0),
            (132.0, 182.0),
            (194.0, 244.0),
            (256.0, 306.0),
        ];
        for (from, to) in windows {
            lines.extend([from, to].map(|x| [x, 0.0, x, 6.0]));
            lines.extend([2.5, 3.5].map(|y| [from, y, to, y]));
        }
        lines.push([-24.0, -24.0, 384.0, -24.0]);
        let found = exterior_openings(&recovered(&lines).output);
        let wanted = windows.map(|(from, to)| [f64::midpoint(from, to), 3.0, to - from]);
        assert_eq!(found, wanted);
    }

    /// The openings of a house with outside walls so thick, a window and a door in the lower wall and a partition behind.
    fn in_stone(thick: f64) -> Vec<[f64; 3]> {
        let mut lines = sides(0.0, 0.0, 600.0, 420.0);
        lines.extend(sides(thick, thick, 600.0 - thick, 420.0 - thick));
        lines.retain(|l| !(l[1] < thick + 1.0 && l[3] < thick + 1.0));
        for y in [0.0, thick] {
            lines.extend([[y, y, 100.0, y], [142.0, y, 200.0, y]]);
            lines.push([248.0, y, 600.0 - y, y]);
        }
        lines.extend([100.0, 142.0, 200.0, 248.0].map(|x| [x, 0.0, x, thick]));
        lines.extend([0.0, 0.4, 0.6, 1.0].map(|d| [200.0, d * thick, 248.0, d * thick]));
        lines.extend([290.0, 298.0].map(|x| [x, thick, x, 420.0 - thick]));
        let door = Swing {
            centre: [100.0, thick],
            radius: 42.0,
            start: 0.0,
        };
        exterior_openings(&recovered_with(&lines, &[door]).output)
    }

    #[test]
    fn walls_of_stone_have_piers_between_their_openings() {
        for thick in [18.0, 24.0, 28.0] {
            let middle = thick / 2.0;
            let wanted = [[121.0, middle, 42.0], [224.0, middle, 48.0]];
            assert_eq!(in_stone(thick), wanted, "{thick}");
        }
    }

    #[test]
    fn glass_that_goes_past_its_jamb_leaves_the_pier_beyond() {
        let mut lines = open_shell(100.0, 178.0);
        for x in [136.0, 142.0] {
            lines.push([x, 0.0, x, 6.0]);
        }
        for y in [0.0, 6.0] {
            lines.push([136.0, y, 142.0, y]);
        }
        lines.extend([[100.0, 3.0, 136.4, 3.0], [141.6, 3.0, 178.0, 3.0]]);
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0], [160.0, 3.0, 36.0]]);
    }

    #[test]
    fn a_header_that_bears_on_its_studs_leaves_the_pier_beyond() {
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([0.0, 2.9, 3.1, 6.0].map(|y| [100.0, y, 136.0, y]));
        lines.extend([1.25, 4.75].map(|y| [97.0, y, 139.0, y]));
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0]]);
    }
}
