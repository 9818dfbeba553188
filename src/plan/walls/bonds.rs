//! What is between two solid pieces in line: an opening, a crossing wall, both, or the end of the wall.
//!
//! ```text
//!   ─────┐      ╻  ┌─────      the gap less the walls that cross it:
//!        │ part ┃  │           every part that is left is judged by its own
//!   ─────┘      ╹  └─────
//! ```

use crate::plan::axis::{Axis, Interval, covered, dot};
use crate::plan::lines::rails::{Rails, around};
use crate::plan::lines::symbols::{Evidence, Place};
use crate::plan::nearby::{Area, Nearby, rank};
use crate::plan::pieces::bands::{STONE, jamb_off};
use crate::plan::pieces::solids::{Solid, without};
use crate::plan::walls::masses::fills;
use crate::plan::walls::piers::{between_glass, between_piers};
use crate::plan::walls::splays::splayed;
use crate::side_by_side::one_each;
use geo::Coord;

/// Openings are at least this wide, inches; between jambs, with glass drawn in them, slits of 5 in are.
pub(in crate::plan) const NARROWEST: f64 = 10.0;
const SLIT: f64 = 5.0;
/// And at most this wide, inches: a vehicle door of 20 ft.
pub(in crate::plan) const WIDEST: f64 = 246.0;
/// A break of both faces up to this is a drafting error, inches.
const BREAK: f64 = 3.0;
/// Ends closer than this are one, inches.
const LEAST_BREAK: f64 = 0.02;
/// A gap at a meeting with another wall is at most this wide, inches.
const MEETING: f64 = 39.0;
/// Pieces of thicknesses rarer than this, as a share of the commonest, part no gap.
const PARTING: f64 = 0.06;

/// An opening between two solids.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Between {
    pub from: Coord<f64>,
    pub to: Coord<f64>,
    pub evidence: Evidence,
    pub has_jambs: bool,
}

/// Two solids that belong to one run, and the openings between them.
pub(in crate::plan) struct Bond {
    pub a: usize,
    pub b: usize,
    /// Which ends face each other: 1 is the end at `u1`.
    pub ends: [usize; 2],
    pub cells: Vec<Between>,
}

/// The nearest solid in line beyond an end.
#[derive(Clone, Copy)]
struct Link {
    to: usize,
    gap: f64,
    /// True when it runs the same way.
    same_way: bool,
}

/// Solids with what lies next in line at each end.
pub(in crate::plan) struct Linked {
    pub solids: Vec<Solid>,
    index: Nearby,
    /// For each solid the links beyond its start and beyond its end.
    links: Vec<[Option<Link>; 2]>,
    /// All pairs of neighbours in line: those that face forwards by rising number, then the others.
    judged: Vec<Judged>,
}

/// The facing ends of two neighbours in line: which solid, and `true` for its end at `u1`.
type Pair = [(usize, bool); 2];

/// Two neighbours in line.
struct Judged {
    pair: Pair,
    /// What stands between them, where they do not touch: looked at once.
    look: Option<Evidence>,
    /// Whether and how they belong together; `None` until it is known.
    bond: Option<Option<Bond>>,
}

impl Judged {
    fn new(pair: Pair) -> Self {
        Self {
            pair,
            look: None,
            bond: None,
        }
    }

    /// Its place among all.
    fn order(&self) -> (bool, usize) {
        let [(i, ahead), _] = self.pair;
        (!ahead, i)
    }
}

impl Linked {
    /// Links solids.
    pub(in crate::plan) fn new(solids: Vec<Solid>, slack: f64) -> Self {
        let index = index(solids.iter());
        let links = one_each(solids.len(), |i| {
            [false, true].map(|ahead| neighbour(&index, &solids, i, ahead, slack))
        });
        Self {
            solids,
            index,
            links,
            judged: Vec::new(),
        }
    }

    /// Takes solids out, given by rising number; the others close up.
    pub(in crate::plan) fn leave_out(&mut self, gone: &[usize], slack: f64) {
        let mut left = 0;
        let place: Vec<Option<usize>> = (0..self.solids.len())
            .map(|i| {
                let stays = gone.binary_search(&i).is_err();
                left += usize::from(stays);
                stays.then(|| left - 1)
            })
            .collect();
        let left_out = index(gone.iter().map(|i| &self.solids[*i]));
        let judged = std::mem::take(&mut self.judged);
        let kept = judged.into_iter().filter_map(|it| {
            let [(i, i_end), (j, j_end)] = it.pair;
            let (a, b) = (place[i]?, place[j]?);
            // What was left out may have crossed the gap.
            let gap = self.gap(it.pair);
            let area = gap.and_then(|(axis, width)| crossing_area(&axis, width));
            let is_touched = area.is_some_and(|it| left_out.any(&it, |_| true));
            let moved = |bond: Option<Bond>| bond.map(|it| Bond { a, b, ..it });
            Some(Judged {
                pair: [(a, i_end), (b, j_end)],
                look: it.look,
                bond: it.bond.filter(|_| !is_touched).map(moved),
            })
        });
        self.judged = kept.collect();
        let mut stays = place.iter().map(Option::is_some);
        self.solids.retain(|_| stays.next().unwrap_or(false));
        self.index = index(self.solids.iter());
        let before = std::mem::take(&mut self.links);
        for (links, i) in before.iter().zip(&place) {
            let Some(i) = *i else { continue };
            let mut own = *links;
            for (link, ahead) in own.iter_mut().zip([false, true]) {
                if let Some(it) = link {
                    match place[it.to] {
                        Some(to) => it.to = to,
                        None => *link = neighbour(&self.index, &self.solids, i, ahead, slack),
                    }
                }
            }
            self.links.push(own);
        }
    }

    /// All bonds between solids in line.
    pub(in crate::plan) fn bonds(&self) -> Vec<&Bond> {
        let bonds = self.judged.iter().filter_map(|it| it.bond.as_ref());
        bonds.flatten().collect()
    }

    /// Judges all pairs of solids in line; what was judged and still holds is not judged again.
    pub(in crate::plan) fn judge(&mut self, rails: &Rails, place: &Place<'_>, slack: f64) {
        // What is known of a pair goes on; both lists stand in one order.
        let mut known = std::mem::take(&mut self.judged).into_iter().peekable();
        let pairs = self.pairs().into_iter().map(|pair| {
            let new = Judged::new(pair);
            while known.next_if(|it| it.order() < new.order()).is_some() {}
            known.next_if(|it| it.pair == pair).unwrap_or(new)
        });
        let mut judged: Vec<Judged> = pairs.collect();
        let found = one_each(judged.len(), |k| {
            let it = &judged[k];
            let look = it.look.is_none().then(|| self.look(it.pair, place));
            let look = look.flatten();
            let seen = look.as_ref().or(it.look.as_ref());
            let is_new = it.bond.is_none();
            let bond = is_new.then(|| self.bond(rails, it.pair, seen, place, slack));
            (look, bond)
        });
        for (it, (look, bond)) in judged.iter_mut().zip(found) {
            it.look = look.or(it.look.take());
            it.bond = bond.or(it.bond.take());
        }
        self.judged = judged;
    }

    /// All pairs of solids that are each other's neighbours in line.
    fn pairs(&self) -> Vec<Pair> {
        let mut pairs = Vec::new();
        for (i, [_, link]) in self.links.iter().enumerate() {
            let Some(link) = link else { continue };
            let back = &self.links[link.to][usize::from(!link.same_way)];
            let is_mutual = back.is_some_and(|b| b.to == i);
            if is_mutual && (link.same_way || i < link.to) {
                pairs.push([(i, true), (link.to, !link.same_way)]);
            }
        }
        for (i, [link, _]) in self.links.iter().enumerate() {
            let Some(link) = link else { continue };
            // Backwards neighbours that run the other way have not been seen from the front.
            let is_mutual = self.links[link.to][0].is_some_and(|b| b.to == i);
            if !link.same_way && i < link.to && is_mutual {
                pairs.push([(i, false), (link.to, false)]);
            }
        }
        pairs
    }

    /// What stands between two neighbours; `None` where they touch.
    fn look(&self, pair: Pair, place: &Place<'_>) -> Option<Evidence> {
        let (axis, width) = self.gap(pair)?;
        Some(place.look(&axis, width, self.solids[pair[0].0].thickness))
    }

    /// Where a solid ends, at its jamb if it has one.
    fn end(&self, (i, at_end): (usize, bool)) -> Coord<f64> {
        let it = &self.solids[i];
        let u = if at_end { it.u1 } else { it.u0 };
        let u = it.jambs[usize::from(at_end)].unwrap_or(u);
        it.axis.point(u, 0.0)
    }

    /// From one neighbour to the other, and how far that is; `None` where they touch.
    fn gap(&self, [a, b]: Pair) -> Option<(Axis, f64)> {
        let (from, to) = (self.end(a), self.end(b));
        let axis = Axis::through(from, to)?;
        let width = axis.s(to);
        (width >= LEAST_BREAK).then_some((axis, width))
    }

    /// Judges what is between two neighbours in line.
    ///
    /// - `look`: what stands between them.
    fn bond(
        &self,
        rails: &Rails,
        pair: Pair,
        look: Option<&Evidence>,
        place: &Place<'_>,
        slack: f64,
    ) -> Option<Bond> {
        let [(i, i_end), (j, j_end)] = pair;
        let (a, b) = (&self.solids[i], &self.solids[j]);
        let (from, to) = (self.end(pair[0]), self.end(pair[1]));
        let ends = [usize::from(i_end), usize::from(j_end)];
        let joined = |cells| {
            Some(Bond {
                a: i,
                b: j,
                ends,
                cells,
            })
        };
        let Some((axis, width)) = self.gap(pair) else {
            return joined(Vec::new());
        };
        let jambs = a.jambs[ends[0]].is_some() && b.jambs[ends[1]].is_some();
        let faces = [a.rails.0, a.rails.1, b.rails.0, b.rails.1];
        let gap = (&axis, width);
        let parts = match (jambs, width >= NARROWEST) {
            (true, true) => between_piers(rails, &faces, gap, a.thickness, place, slack),
            (false, true) => between_glass(rails, &faces, gap, a.thickness, place, slack),
            _ => None,
        };
        if let Some(parts) = parts {
            let cells = parts.into_iter().map(|(low, high, evidence)| Between {
                from: axis.point(low, 0.0),
                to: axis.point(high, 0.0),
                evidence,
                has_jambs: jambs,
            });
            return joined(cells.collect());
        }
        if !jambs && let Some(cell) = splayed(rails, &faces, gap, a.thickness, place, slack) {
            return joined(vec![cell]);
        }
        let evidence = look?;
        let is_slit = jambs && (SLIT..NARROWEST).contains(&width) && evidence.is_drawn();
        let is_drawn = jambs && width >= NARROWEST && evidence.speaks();
        let crossings = crossings(&self.index, &self.solids, (i, j), gap, a.thickness, jambs);
        let is_filled = |&(low, high): &Interval| low < BREAK && high > width - BREAK;
        if width <= MEETING && crossings.iter().any(is_filled) && !is_drawn {
            return joined(Vec::new());
        }
        if !is_drawn && !crossings.is_empty() && width >= NARROWEST {
            return parted(rails, &axis, width, a.thickness, &crossings, place, slack)
                .and_then(joined);
        }
        let is_wide = width >= NARROWEST - slack && (jambs || evidence.speaks());
        if (is_wide || is_slit) && !crossings.iter().any(is_filled) {
            return joined(vec![Between {
                from,
                to,
                evidence: evidence.clone(),
                has_jambs: jambs,
            }]);
        }
        if width <= BREAK {
            return joined(Vec::new());
        }
        // One face drawn through: a wall meets the other face there.
        let through = [a.rails.0, a.rails.1].iter().any(|&r| {
            let rail = &rails.list[r];
            let (s, t) = (rail.axis.s(from), rail.axis.s(to));
            covered(&rail.face_cover, s.min(t), s.max(t)) > 0.95 * width
        });
        if !jambs && (width <= MEETING && through || fills(rails, gap, a.thickness, slack)) {
            joined(Vec::new())
        } else {
            None
        }
    }
}

/// Where the middle lines of solids lie.
fn index<'a>(solids: impl Iterator<Item = &'a Solid>) -> Nearby {
    Nearby::lines(solids.map(|it| (it.axis.point(it.u0, 0.0), it.axis.point(it.u1, 0.0))))
}

fn neighbour(tree: &Nearby, solids: &[Solid], i: usize, ahead: bool, slack: f64) -> Option<Link> {
    let solid = &solids[i];
    let (end, sign) = if ahead {
        (solid.u1, 1.0)
    } else {
        (solid.u0, -1.0)
    };
    let (p, q) = (
        solid.axis.point(end - sign * 0.5, 0.0),
        solid.axis.point(end + sign * WIDEST, 0.0),
    );
    let area = around(&[p, q], 1.0)?;
    let lateral = 0.12 + 1.5 * slack;
    let link = |j: usize| {
        let other = &solids[j];
        let same_way = dot(solid.axis.along, other.axis.along) > 0.0;
        let short = (other.u1 - other.u0).min(solid.u1 - solid.u0).max(1.0);
        if solid.axis.sine(&other.axis).abs() > (0.006 + 2.0 * slack / short).min(0.12)
            || (other.thickness - solid.thickness).abs() > 0.15 + 2.0 * slack
            || j == i
        {
            return None;
        }
        let ends = [other.u0, other.u1].map(|u| solid.axis.s(other.axis.point(u, 0.0)));
        let near = if ahead {
            ends[0].min(ends[1])
        } else {
            -ends[0].max(ends[1])
        };
        let far = if ahead {
            ends[0].max(ends[1])
        } else {
            -ends[0].min(ends[1])
        };
        let gap = near - sign * end;
        let at = if ahead == same_way {
            other.u0
        } else {
            other.u1
        };
        // A skew that both share moves the neighbour aside in proportion to the way there.
        let long = (solid.u1 - solid.u0).max(other.u1 - other.u0).max(1.0);
        let aside = lateral * (1.0 + (gap.max(0.0) / long).min(2.0));
        let d = solid.axis.d(other.axis.point(at, 0.0)).abs();
        let back = other.axis.d(solid.axis.point(end, 0.0)).abs();
        (gap > -1.0 && far > sign * end && gap <= WIDEST && d.min(back) <= aside).then_some(Link {
            to: j,
            gap,
            same_way,
        })
    };
    let order = |it: &Link| (rank(it.gap), it.to);
    let mut nearest: Option<Link> = None;
    tree.visit(&area, |j| {
        if let Some(own) = link(j)
            && nearest.is_none_or(|it| order(&own) < order(&it))
        {
            nearest = Some(own);
        }
    });
    nearest
}

/// The openings of a gap that other walls cross; `None` when something of it is no opening.
fn parted(
    rails: &Rails,
    axis: &Axis,
    width: f64,
    thickness: f64,
    crossings: &[Interval],
    place: &Place<'_>,
    slack: f64,
) -> Option<Vec<Between>> {
    let mut parts = vec![(0.0, width)];
    for hole in crossings {
        parts = parts
            .into_iter()
            .flat_map(|part| without(part, *hole))
            .collect();
    }
    parts.retain(|(low, high)| high - low > BREAK);
    let mut cells = Vec::new();
    for (low, high) in parts {
        // A jamb may stand a little off the wall across.
        let off = |side: f64, sign: f64| jamb_off(rails, axis, thickness, side, sign, slack);
        let low = if low > 0.0 { off(low, 1.0) } else { low };
        let high = if high < width { off(high, -1.0) } else { high };
        let own = Axis {
            origin: axis.point(low, 0.0),
            ..*axis
        };
        let evidence = place.look(&own, high - low, thickness);
        if high - low < NARROWEST || !evidence.is_drawn() {
            return None;
        }
        cells.push(Between {
            from: axis.point(low, 0.0),
            to: axis.point(high, 0.0),
            evidence,
            has_jambs: true,
        });
    }
    Some(cells)
}

/// Where what crosses a gap lies.
fn crossing_area(axis: &Axis, width: f64) -> Option<Area> {
    around(&[axis.point(0.0, 0.0), axis.point(width, 0.0)], STONE)
}

/// Where other solids, not in line, stand across the gap: intervals along the axis.
///
/// - `has_jambs`: true where both sides of the gap end at jambs. A box let into it is no wall: it is thicker than long.
fn crossings(
    tree: &Nearby,
    solids: &[Solid],
    pair: (usize, usize),
    (axis, width): (&Axis, f64),
    thickness: f64,
    has_jambs: bool,
) -> Vec<Interval> {
    let Some(area) = crossing_area(axis, width) else {
        return Vec::new();
    };
    let mut list: Vec<Interval> = tree
        .sorted(&area)
        .into_iter()
        .filter_map(|k| {
            let other = &solids[k];
            let sine = axis.sine(&other.axis).abs();
            if k == pair.0 || k == pair.1 || sine < 0.3 {
                return None;
            }
            let u = axis.meets(&other.axis)?;
            let v = other.axis.s(axis.point(u, 0.0));
            let reach = thickness / 2.0 + 1.5;
            let half = other.thickness / 2.0 / sine;
            let fills = u - half < BREAK && u + half > width - BREAK;
            // It reaches the wall, and is more than a post inside it.
            let meets = v > other.u0 - reach && v < other.u1 + reach;
            let goes_beyond = other.u0 < v - reach || other.u1 > v + reach;
            let is_box = has_jambs && other.u1 - other.u0 < other.thickness;
            let is_wall = fills && !is_box || other.support >= PARTING;
            (is_wall && meets && goes_beyond && u + half > 0.0 && u - half < width)
                .then_some((u - half, u + half))
        })
        .collect();
    list.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1)));
    list
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered, shell, sides};

    #[test]
    fn a_slit_with_glass_between_its_jambs_is_a_window() {
        for wide in [5.5, 6.0, 9.0] {
            let mut lines = open_shell(100.0, 100.0 + wide);
            let end = 100.0 + wide;
            lines.extend([0.0, 2.5, 3.5, 6.0].map(|y| [100.0, y, end, y]));
            let openings = exterior_openings(&recovered(&lines).output);
            assert_eq!(openings, [[100.0 + wide / 2.0, 3.0, wide]]);
        }
    }

    #[test]
    fn a_window_that_ends_at_a_wall_across_ends_at_its_face() {
        // Gap from 100 to 206 without a jamb at 200; a partition 200 to 206 fills its end; glazing in the rest.
        let mut lines = open_shell(100.0, 206.0);
        lines.retain(|l| *l != [206.0, 0.0, 206.0, 6.0]);
        lines.retain(|l| *l != [206.0, 0.0, 360.0, 0.0]);
        lines.extend([
            [200.0, 0.0, 360.0, 0.0],
            [200.0, 0.0, 200.0, 234.0],
            [206.0, 6.0, 206.0, 234.0],
            [100.0, 2.0, 200.0, 2.0],
            [100.0, 4.0, 200.0, 4.0],
        ]);
        let plan = recovered(&lines).output;
        assert_eq!(exterior_openings(&plan), [[150.0, 3.0, 100.0]]);
    }

    #[test]
    fn a_box_let_into_a_partition_between_jambs_leaves_the_opening() {
        let mut lines = shell();
        for x in [200.0, 204.0] {
            lines.extend([[x, 6.0, x, 100.0], [x, 112.0, x, 234.0]]);
        }
        lines.extend([100.0, 112.0].map(|y| [200.0, y, 204.0, y]));
        // A cabinet that shows 2 1/2 in before the wall, its rim 1/2 in past the jambs, and 1 1/2 in behind it.
        lines.extend([[200.0, 99.4, 197.5, 99.4], [197.5, 99.4, 197.5, 112.6]]);
        lines.push([197.5, 112.6, 200.0, 112.6]);
        lines.extend([[200.0, 112.6, 205.5, 111.5], [205.5, 111.5, 205.5, 100.5]]);
        lines.push([205.5, 100.5, 200.0, 99.4]);
        let found = recovered(&lines).output;
        let inside = found.storeys[0].openings.iter();
        let inside: Vec<[f64; 2]> = inside.map(|it| [it.centre.y, it.width]).collect();
        assert_eq!(inside, [[106.0, 12.0]]);
    }

    #[test]
    fn a_frame_beyond_the_jamb_is_no_wall() {
        // The window's frame goes 0.8 in along both faces into the opening: the jambs at 100 and 148 count.
        let mut lines = open_shell(100.0, 148.0);
        for (y, inward) in [(0.0, 1.5), (6.0, -1.5)] {
            for (x, way) in [(100.0, 0.8), (148.0, -0.8)] {
                lines.push([x, y, x + way, y]);
                lines.push([x + way, y, x + way, y + inward]);
            }
        }
        lines.extend([[100.8, 2.8, 147.2, 2.8], [100.8, 3.2, 147.2, 3.2]]);
        let plan = recovered(&lines).output;
        assert_eq!(exterior_openings(&plan), [[124.0, 3.0, 48.0]]);
    }

    #[test]
    fn a_post_in_a_window_does_not_part_it() {
        let mut lines = open_shell(100.0, 220.0);
        lines.extend(sides(158.0, 1.5, 161.0, 4.5));
        lines.extend([
            [100.0, 2.9, 158.0, 2.9],
            [100.0, 3.1, 158.0, 3.1],
            [161.0, 2.9, 220.0, 2.9],
            [161.0, 3.1, 220.0, 3.1],
        ]);
        let plan = recovered(&lines).output;
        assert_eq!(exterior_openings(&plan), [[160.0, 3.0, 120.0]]);
    }
}
