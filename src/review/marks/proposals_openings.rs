//! From an edited place of an opening, on a panel sheet or in a string of an elevation, to the correction that moves it.

use super::proposals::{PRINTED, quoted};
use super::proposals_layout::{from_corner, left_of};
use super::touching::About;
use crate::review::issued::{Issued, IssuedWall};
use crate::units::Length;

/// An opening along its wall: its rough jambs from the wall's left corner, inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing<'a> {
    pub(super) id: &'a str,
    pub(super) from: f64,
    pub(super) to: f64,
}

/// The opening that an edited ordinate of a jamb, or an edited piece between openings, moves, as `[[correction]]` of `job.toml`;
/// `None` when no one jamb stands there, or two do.
pub(super) fn jamb(issued: &Issued, about: &About, was: Length, now: Length) -> Option<String> {
    let panel = about.panel.as_deref().and_then(|mark| issued.panel(mark));
    let id = panel.map(|panel| &panel.wall).or(about.wall.as_ref())?;
    let wall = issued.walls.iter().find(|it| it.id == *id)?;
    let standing = openings(issued, wall);
    let is = |length: f64| (length - was.to_inches()).abs() <= PRINTED;
    let named = |it: &Standing<'_>| about.opening.as_deref().is_none_or(|id| id == it.id);
    let mut found: Vec<(Standing<'_>, f64, &str)> = Vec::new();
    if let Some(panel) = panel {
        let edge = left_of(issued, wall, panel);
        for it in standing.iter().filter(|it| named(it)) {
            let by = now.to_inches() - was.to_inches();
            let jambs = [(it.from, "left jamb"), (it.to, "right jamb")];
            let asked = jambs.into_iter().filter(|(at, _)| is(at - edge));
            found.extend(asked.map(|(_, what)| (*it, by, what)));
        }
    }
    if found.is_empty() {
        found = between(issued, about, wall, &standing, was, now);
    }
    let [(it, by, what)] = found[..] else {
        return None;
    };
    let half = (it.to - it.from) / 2.0;
    let middle = Length::nearest(it.from + half + by, STEP)?;
    Some(format!(
        "[[correction]]\nid = \"{}\"\nis = \"moved\"\nmiddle = {}\n# its {what} at {now}, not {was}: it keeps its width, and every panel beside it follows\n",
        it.id,
        quoted(middle),
    ))
}

/// Places are set on whole sixty-fourths: half of a width on sixteenths is on thirty-seconds.
const STEP: Length = Length::fraction(0, 1, 64);

/// Pieces between openings along the run: the opening at the piece's right moves; of the last piece, the one at its left.
fn between<'a>(
    issued: &Issued,
    about: &About,
    wall: &IssuedWall,
    standing: &[Standing<'a>],
    was: Length,
    now: Length,
) -> Vec<(Standing<'a>, f64, &'static str)> {
    let start = from_corner(issued, wall);
    let mut from = start;
    let mut found = Vec::new();
    let by = now.to_inches() - was.to_inches();
    // Of several pieces as long the place of the number tells which.
    let is = |from: f64, to: f64| {
        let is_here = about.along.is_none_or(|at| from < at && at < to);
        is_here && (to - from - was.to_inches()).abs() <= PRINTED
    };
    for it in standing {
        if is(from, it.from) {
            found.push((*it, by, "distance from what stands left of it"));
        }
        from = it.to;
    }
    if let Some(last) = standing.last()
        && is(from, start + wall.length)
    {
        found.push((*last, -by, "distance to the end of the run"));
    }
    found
}

/// Every opening in the panels of a wall once, from left to right.
pub(super) fn openings<'a>(issued: &'a Issued, wall: &IssuedWall) -> Vec<Standing<'a>> {
    let mut all: Vec<Standing<'a>> = Vec::new();
    for panel in issued.panels.iter().filter(|it| it.wall == wall.id) {
        let edge = left_of(issued, wall, panel);
        for opening in panel.data["openings"].as_array().into_iter().flatten() {
            let side = |i: usize| opening["rough"][i].as_f64();
            if let (Some(id), Some(x0), Some(x1)) = (opening["id"].as_str(), side(0), side(2))
                && !all.iter().any(|it| it.id == id)
            {
                let (from, to) = (edge + x0, edge + x1);
                all.push(Standing { id, from, to });
            }
        }
    }
    all.sort_by(|a, b| a.from.total_cmp(&b.from));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::issued::IssuedPanel;
    use serde_json::json;

    /// A run of 240 in from the corner with a panel of 96 in and one of 144 in: a window from 30 to 66, a door from 120 to 158.
    fn issued() -> Issued {
        let panel = |mark: &str, left: f64, width: f64, id: &str, rough: [f64; 2]| IssuedPanel {
            mark: mark.to_owned(),
            wall: "X3".to_owned(),
            kind: "wall".to_owned(),
            origin: [left, 0.0, 0.0],
            width,
            data: json!({"openings": [{"id": id, "rough": [rough[0], 0.0, rough[1], 82.0]}]}),
            ..IssuedPanel::default()
        };
        Issued {
            walls: vec![IssuedWall {
                id: "X3".to_owned(),
                along: [1.0, 0.0],
                length: 240.0,
                ..IssuedWall::default()
            }],
            panels: vec![
                panel("W1", 0.0, 96.0, "O1", [30.0, 66.0]),
                panel("W2", 96.0, 144.0, "O2", [24.0, 62.0]),
            ],
            ..Issued::default()
        }
    }

    fn proposed(panel: Option<&str>, was: i64, now: i64) -> Option<String> {
        let about = About {
            panel: panel.map(str::to_owned),
            wall: Some("X3".to_owned()),
            ..About::default()
        };
        jamb(&issued(), &about, Length::inches(was), Length::inches(now))
    }

    #[test]
    fn an_edited_jamb_moves_its_opening_by_its_middle() {
        // Left jamb of O2: 96 + 24 = 120 becomes 96 + 30, the middle 139 becomes 145.
        let text = proposed(Some("W2"), 24, 30).unwrap();
        assert!(
            text.starts_with("[[correction]]\nid = \"O2\"\nis = \"moved\"\nmiddle = \"145\\\"\"\n"),
            "{text}"
        );
        // Right jamb of O1: 66 becomes 60, the middle 48 becomes 42.
        let text = proposed(Some("W1"), 66, 60).unwrap();
        assert!(
            text.contains("id = \"O1\"") && text.contains("middle = \"42\\\"\""),
            "{text}"
        );
    }

    #[test]
    fn an_edited_piece_moves_the_opening_at_its_right_and_the_last_piece_that_at_its_left() {
        // From 66 to 120 are 54.
        let text = proposed(None, 54, 50).unwrap();
        assert!(
            text.contains("id = \"O2\"") && text.contains("middle = \"135\\\"\""),
            "{text}"
        );
        // From 158 to 240 are 82.
        let text = proposed(None, 82, 80).unwrap();
        assert!(
            text.contains("id = \"O2\"") && text.contains("middle = \"141\\\"\""),
            "{text}"
        );
        assert_eq!(proposed(None, 53, 50), None);
    }
}
