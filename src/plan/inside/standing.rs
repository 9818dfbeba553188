//! Inner walls that stand free in a room, as large as furniture and in line with a wall: a shelf, a sofa, a low wall.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━┓
//!   ┃   ┌─────┐   ┃      as thick as a partition, closed all round, near no wall: a low wall is drawn so, and a shelf
//!   ┃   └─────┘   ┃
//!   ┗━━━━━━━━━━━━━┛
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Part, Traced};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::around;
use crate::plan::nearby::Area;
use crate::plan::pieces::bands::FURRING;
use crate::plan::walls::runs::Run;
use crate::plan::{Storey, codes};
use geo::Coord;
use std::collections::BTreeMap;

/// A sofa or a row of shelves is at most this long, inches: 16 ft.
const FURNITURE: f64 = 192.0;

/// So many walls close round a place: they are asked about by what that is as large as.
const RING: usize = 4;

/// A doubt at each group of inner walls that hangs together with no other wall, holds no opening and is as large as furniture.
pub(in crate::plan) fn ask_about_standing(
    it: &Traced<'_>,
    parts: &[Part],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    let mut groups = Groups::new(it.runs.len());
    let mut at: BTreeMap<usize, usize> = BTreeMap::new();
    for (run, stops) in it.network.stops.iter().enumerate() {
        for stop in stops {
            let first = *at.entry(stop.1).or_insert(run);
            groups.join(first, run);
        }
    }
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, part) in parts.iter().enumerate() {
        members.entry(groups.least(part.run)).or_default().push(i);
    }
    for list in members.values() {
        let runs = || list.iter().map(|&i| &it.runs[parts[i].run]);
        // Thin partitions hang together with no wall as it is.
        let is_known = list.iter().any(|&i| parts[i].is_exterior)
            || runs().any(|run| run.thickness < FURRING)
            || runs().any(|run| run.is_curtain || run.curve.is_some() || !run.cells.is_empty());
        let corners: Vec<Coord<f64>> = runs().flat_map(Run::corners).collect();
        let Some(area) = around(&corners, 0.0).filter(|_| !is_known) else {
            continue;
        };
        let length = |i: &usize| (parts[*i].to - parts[*i].from).abs();
        let Some(longest) = list
            .iter()
            .copied()
            .max_by(|a, b| length(a).total_cmp(&length(b)))
        else {
            continue;
        };
        let part = &parts[longest];
        let is_large = runs().any(|run| run.u1 - run.u0 > FURNITURE);
        let origin = it.lines.origin;
        let is_in = |p: [f64; 2]| {
            let p = Coord { x: p[0], y: p[1] } - origin;
            area.holds(&Area::of(p, p))
        };
        let mut said = findings.iter().filter(|own| own.code == codes::CLOSED_BOX);
        if is_large || list.len() >= RING || said.any(|own| own.place.at.is_some_and(is_in)) {
            continue;
        }
        let run = &it.runs[part.run];
        let middle = run.axis.point(f64::midpoint(part.from, part.to), 0.0) + origin;
        let wall = &storey.walls[longest];
        findings.push(Finding::doubt(
            codes::CLOSED_BOX,
            Where::element(&storey.id, &wall.id)
                .with_at(middle.x, middle.y)
                .with_sources(wall.sources.iter()),
            format!(
                "a piece of {:.1} by {:.1} in stands free and meets no wall of the house: a shelf or a sofa is drawn so; taken as wall",
                length(&longest),
                run.thickness
            ),
            "say in the job that it is no wall, if it is furniture; nothing, if it is a low wall or a divider",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::findings::Finding;
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered, sides};

    /// How often is asked about a box in a house whose partition is 4 1/2 in thick.
    fn asked([x0, y0, x1, y1]: [f64; 4], stub: &[[f64; 4]]) -> usize {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend([[250.0, 6.0, 250.0, 234.0], [254.5, 6.0, 254.5, 234.0]]);
        lines.extend(sides(x0, y0, x1, y1));
        lines.extend(stub);
        let is_it = |it: &&Finding| it.code == codes::CLOSED_BOX;
        recovered(&lines).findings.iter().filter(is_it).count()
    }

    #[test]
    fn a_shelf_as_thick_as_a_partition_is_asked_about_and_a_wall_that_meets_another_is_not() {
        // In line with the stub of a wall.
        let stub = sides(190.0, 79.25, 250.0, 85.25);
        assert_eq!(asked([80.0, 80.0, 150.0, 84.5], &stub), 1);
        // Longer than a shelf that is left out, and than any.
        assert_eq!(asked([80.0, 80.0, 186.0, 84.5], &[]), 1);
        assert_eq!(asked([20.0, 80.0, 240.0, 84.5], &[]), 0);
        assert_eq!(asked([180.0, 80.0, 250.0, 84.5], &[]), 0);
    }
}
