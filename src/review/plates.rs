//! Marks of wall plates from issue to issue: a plate that is cut as before, where it was, is called as before. So is one at the same
//! place of a wall that moved, as its panels are.
//!
//! A plate has no revision letter, so one that is longer or shorter than it was takes the next free number of its series.

use super::issued::{Issued, IssuedPlate, IssuedWall};
use super::lineage::{MOVED, PARALLEL, STAYED};
use super::registration::Motion;
use crate::layout::Layout;
use std::collections::{BTreeMap, BTreeSet};

/// Lengths no farther apart than this are the same, inches; as in [`super::differences`].
const SAME: f64 = 0.001;

/// Gives the plates of a layout the marks of the earlier issue.
///
/// - `new`: the layout as a package under its own marks.
pub(super) fn carry_plates(old: &Issued, new: &Issued, motion: &Motion, layout: &mut Layout) {
    let names = names(old, new, motion);
    for plate in layout.walls.iter_mut().flat_map(|wall| &mut wall.plates) {
        if let Some(name) = names.get(plate.mark.as_str()) {
            plate.mark.clone_from(name);
        }
    }
}

/// For each mark of a new plate the one it bears from now on.
fn names<'a>(old: &Issued, new: &'a Issued, motion: &Motion) -> BTreeMap<&'a str, String> {
    let mut free: Vec<(&IssuedWall, &IssuedPlate)> = plates(old).collect();
    let mut last: BTreeMap<String, u32> = BTreeMap::new();
    let used = free.iter().map(|(_, plate)| plate.mark.as_str());
    for mark in used.chain(old.retired.iter().map(String::as_str)) {
        let (series, number) = parted(mark);
        let known = last.entry(series.to_owned()).or_default();
        *known = number.max(*known);
    }
    let mut names = BTreeMap::new();
    let mut others: Vec<(&IssuedWall, &IssuedPlate)> = plates(new).collect();
    for reach in [STAYED, MOVED] {
        let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
        for (j, is) in others.iter().enumerate() {
            let off = free.iter().map(|was| apart(*was, *is, motion));
            let near = off.enumerate().filter_map(|(i, off)| Some((off?, i, j)));
            pairs.extend(near.filter(|it| it.0 <= reach));
        }
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let (mut gone, mut named) = (BTreeSet::new(), BTreeSet::new());
        for (_, i, j) in pairs {
            if !gone.contains(&i) && !named.contains(&j) {
                names.insert(others[j].1.mark.as_str(), free[i].1.mark.clone());
                gone.insert(i);
                named.insert(j);
            }
        }
        free = left(free, &gone);
        others = left(others, &named);
    }
    for (_, plate) in others {
        let (series, _) = parted(&plate.mark);
        let number = last.entry(series.to_owned()).or_default();
        *number += 1;
        names.insert(plate.mark.as_str(), format!("{series}{number}"));
    }
    names
}

/// Marks of plates of the earlier issue that the new one has no more.
pub(super) fn retired_plates(old: &Issued, new: &Issued) -> BTreeSet<String> {
    let marks =
        |issued| -> BTreeSet<&str> { plates(issued).map(|it| it.1.mark.as_str()).collect() };
    let [was, is] = [marks(old), marks(new)];
    was.difference(&is).map(|it| (*it).to_owned()).collect()
}

fn plates(issued: &Issued) -> impl Iterator<Item = (&IssuedWall, &IssuedPlate)> {
    let walls = issued.walls.iter();
    walls.flat_map(|wall| wall.plates.iter().map(move |plate| (wall, plate)))
}

/// `SP` and 12.
fn parted(mark: &str) -> (&str, u32) {
    let letters = mark.find(|c: char| c.is_ascii_digit());
    let (series, number) = mark.split_at(letters.unwrap_or(mark.len()));
    (series, number.parse().unwrap_or_default())
}

/// What is not taken of a list.
fn left<T>(list: Vec<T>, taken: &BTreeSet<usize>) -> Vec<T> {
    let all = list.into_iter().enumerate();
    all.filter(|(n, _)| !taken.contains(n))
        .map(|it| it.1)
        .collect()
}

/// How far the walls of the same piece are apart, inches, where it begins at the same place along them; `None` for another piece.
fn apart(
    (was_in, was): (&IssuedWall, &IssuedPlate),
    (is_in, is): (&IssuedWall, &IssuedPlate),
    motion: &Motion,
) -> Option<f64> {
    let [a, b] = [motion.turn(was_in.along), is_in.along];
    let length = |it: &IssuedPlate| it.to - it.from;
    if was.usage != is.usage
        || was.section != is.section
        || (length(was) - length(is)).abs() > SAME
        || was_in.storey != is_in.storey
        || a[0] * b[0] + a[1] * b[1] < PARALLEL
    {
        return None;
    }
    let end = |wall: &IssuedWall, at: f64| [0, 1].map(|i| wall.origin[i] + wall.along[i] * at);
    let [x0, y0] = motion.point(end(was_in, was.from));
    let [x1, y1] = end(is_in, is.from);
    let [x, y] = [x1 - x0, y1 - y0];
    let along = x * b[0] + y * b[1];
    (along.abs() <= STAYED).then(|| (x * b[1] - y * b[0]).abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn issue(plates: &[(&str, f64, f64)], turn: bool) -> Issued {
        let wall = IssuedWall {
            along: if turn { [0.0, 1.0] } else { [1.0, 0.0] },
            plates: plates
                .iter()
                .map(|(mark, from, to)| IssuedPlate {
                    mark: (*mark).to_owned(),
                    usage: "top plate".to_owned(),
                    section: "2x6".to_owned(),
                    from: *from,
                    to: *to,
                })
                .collect(),
            ..IssuedWall::default()
        };
        Issued {
            walls: vec![wall],
            ..Issued::default()
        }
    }

    #[test]
    fn a_plate_cut_as_before_keeps_its_name_and_another_takes_the_next_free_one() {
        let old = issue(
            &[
                ("TP1", 0.0, 100.0),
                ("TP2", 100.0, 220.0),
                ("TP3", 220.0, 300.0),
            ],
            false,
        );
        let new = issue(
            &[
                ("TP1", 0.0, 60.0),
                ("TP2", 100.0, 220.0),
                ("TP3", 220.0, 300.0),
            ],
            true,
        );
        let motion = Motion {
            sin: 1.0,
            cos: 0.0,
            shift: [0.0, 0.0],
        };
        let names = names(&old, &new, &motion);
        let names: Vec<(&str, &str)> = names.iter().map(|(a, b)| (*a, b.as_str())).collect();
        assert_eq!(names, [("TP1", "TP4"), ("TP2", "TP2"), ("TP3", "TP3")]);
    }

    #[test]
    fn a_plate_of_a_wall_that_moved_keeps_its_name_unless_another_lies_where_it_was() {
        let old = issue(&[("TP1", 0.0, 100.0)], false);
        let mut new = issue(&[("TP1", 0.0, 100.0)], false);
        new.walls[0].origin = [0.0, 24.0, 0.0];
        let stays = Motion {
            sin: 0.0,
            cos: 1.0,
            shift: [0.0, 0.0],
        };
        assert_eq!(names(&old, &new, &stays)["TP1"], "TP1");
        let mut there = issue(&[("TP2", 0.0, 100.0)], false);
        new.walls.append(&mut there.walls);
        let both = names(&old, &new, &stays);
        assert_eq!((both["TP2"].as_str(), both["TP1"].as_str()), ("TP1", "TP2"));
        new.walls[0].origin = [24.0, 24.0, 0.0];
        new.walls.pop();
        assert_eq!(names(&old, &new, &stays)["TP1"], "TP2");
    }

    #[test]
    fn a_retired_mark_is_not_used_again_two_issues_later() {
        let first = issue(&[("TP1", 0.0, 100.0), ("TP2", 100.0, 220.0)], false);
        let mut second = issue(&[("TP1", 0.0, 100.0)], false);
        second.retired = retired_plates(&first, &second);
        assert_eq!(second.retired, BTreeSet::from(["TP2".to_owned()]));
        let third = issue(&[("TP1", 0.0, 100.0), ("TP2", 100.0, 180.0)], false);
        let motion = Motion {
            sin: 0.0,
            cos: 1.0,
            shift: [0.0, 0.0],
        };
        assert_eq!(names(&second, &third, &motion)["TP2"], "TP3");
    }
}
