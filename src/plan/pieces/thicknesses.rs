//! How common each thickness of wall is: by length, by jambs, and only among those that end at jambs somewhere.
//!
//! ```text
//!   ▂▇▂     ▅         a border's two lines, tiles and treads are long and many, and no jamb ever closes them:
//!   4.5    6.5   12   they say nothing of what is common
//! ```

/// A piece that may be wall.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Weighed {
    pub thickness: f64,
    pub weight: f64,
    /// Ends that a jamb closes exactly.
    pub n_jambs: usize,
    /// True when it is longer than thick.
    pub is_long: bool,
}

/// A drawing shows what its jambs are from this many on.
pub(in crate::plan) const SHOWN: usize = 4;
/// What never ends at a jamb is at most this common, where others do: a wall without openings may still be one.
const UNSEEN: f64 = 0.25;

/// How common each thickness is.
pub(in crate::plan) struct Thicknesses {
    /// By rising thickness.
    list: Vec<f64>,
    /// Weight, and jambs, of all before each, and of all.
    sums: Vec<(f64, usize)>,
    /// Thicknesses within this are one, inches.
    width: f64,
    most: f64,
    has_jambs: bool,
    /// The thickest that ends at a jamb and is longer than thick.
    thickest: f64,
}

impl Thicknesses {
    pub(in crate::plan) fn new(mut list: Vec<Weighed>, width: f64) -> Self {
        list.sort_by(|p, q| {
            p.thickness
                .total_cmp(&q.thickness)
                .then(p.weight.total_cmp(&q.weight))
        });
        let mut sums = vec![(0.0, 0)];
        let mut sum = (0.0, 0);
        for it in &list {
            sum = (sum.0 + it.weight, sum.1 + it.n_jambs);
            sums.push(sum);
        }
        let ended = list.iter().filter(|it| it.n_jambs > 0 && it.is_long);
        let mut it = Self {
            thickest: ended.map(|it| it.thickness).fold(0.0, f64::max),
            list: list.into_iter().map(|it| it.thickness).collect(),
            sums,
            width,
            most: 0.0,
            has_jambs: sum.1 >= SHOWN,
        };
        let (mut from, mut to, mut most) = (0, 0, 0.0_f64);
        for t in &it.list {
            let passed = |k: usize, most: f64| it.list.get(k).is_some_and(|own| *own <= most);
            while it.list[from] < t - width {
                from += 1;
            }
            while passed(to, t + width) {
                to += 1;
            }
            let (weight, n_jambs) = it.between(from, to);
            if n_jambs > 0 || !it.has_jambs {
                most = most.max(weight);
            }
        }
        it.most = most;
        it
    }

    fn near(&self, thickness: f64) -> (f64, usize) {
        let from = self.list.partition_point(|t| *t < thickness - self.width);
        let to = self.list.partition_point(|t| *t <= thickness + self.width);
        self.between(from, to)
    }

    /// Weight and jambs of some.
    fn between(&self, from: usize, to: usize) -> (f64, usize) {
        let (low, high) = (self.sums[from], self.sums[to]);
        (high.0 - low.0, high.1 - low.1)
    }

    /// True when walls of this thickness end at jambs somewhere, or none do.
    pub(in crate::plan) fn is_seen(&self, thickness: f64) -> bool {
        !self.has_jambs || self.near(thickness).1 > 0
    }

    /// True when this is thicker than all walls that end at jambs, and some do. What is shorter than thick may lie between the jambs
    /// of two openings.
    pub(in crate::plan) fn is_beyond(&self, thickness: f64) -> bool {
        self.thickest > 0.0 && thickness > self.thickest + self.width
    }

    /// Share of the commonest, 0 to 1.
    pub(in crate::plan) fn support(&self, thickness: f64) -> f64 {
        if self.most <= 0.0 {
            return 0.0;
        }
        let (weight, n_jambs) = self.near(thickness);
        let share = weight / self.most;
        if self.has_jambs && n_jambs == 0 {
            share.min(UNSEEN)
        } else {
            share
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::trial::{exterior_openings, recovered, sides};

    #[test]
    fn the_edge_of_a_roof_makes_no_wall_where_no_opening_has_jambs() {
        for off in [2.0, 9.0, 20.0] {
            let mut lines = sides(-off, -off, 360.0 + off, 240.0 + off);
            for (y, low, high) in [(0.0, 0.0, 360.0), (6.0, 6.0, 354.0)] {
                for y in [y, 240.0 - y] {
                    lines.extend([[low, y, 60.0, y], [108.0, y, 200.0, y], [260.0, y, high, y]]);
                }
            }
            for (x, low, high) in [(0.0, 0.0, 240.0), (6.0, 6.0, 234.0)] {
                lines.extend([x, 360.0 - x].map(|x| [x, low, x, high]));
            }
            for (from, to) in [(60.0, 108.0), (200.0, 260.0)] {
                lines.extend([2.5, 3.5, 236.5, 237.5].map(|y| [from, y, to, y]));
            }
            let places = [84.0, 230.0].map(|x| [[x, 3.0], [x, 237.0]]).concat();
            let found = exterior_openings(&recovered(&lines).output);
            let found: Vec<[f64; 2]> = found.iter().map(|it| [it[0], it[1]]).collect();
            assert_eq!(found, places, "{off}");
        }
    }

    #[test]
    fn a_border_is_not_what_walls_are_measured_by() {
        let it = |thickness, weight, n_jambs| Weighed {
            thickness,
            weight,
            n_jambs,
            is_long: weight > thickness,
        };
        let list = vec![it(12.0, 3000.0, 0), it(6.5, 700.0, 6), it(4.5, 350.0, 8)];
        let found = Thicknesses::new(list, 0.12);
        assert_eq!(found.support(6.5), 1.0);
        assert_eq!(found.support(4.5), 0.5);
        assert_eq!(found.support(12.0), UNSEEN);
        assert!(found.is_seen(6.5) && !found.is_seen(12.0));
        assert!(!found.is_beyond(5.0) && !found.is_beyond(6.5) && found.is_beyond(12.0));
    }
}
