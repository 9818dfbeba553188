//! From an edited width of a panel to the joint it moves.

use super::proposals::{PRINTED, quoted};
use super::touching::About;
use crate::review::issued::{Issued, IssuedPanel, IssuedWall};
use crate::units::Length;

/// A panel along its wall: its left edge from the wall's left corner, its width, inches.
struct Stretch<'a> {
    panel: &'a IssuedPanel,
    left: f64,
}

impl Stretch<'_> {
    fn holds(&self, at: f64) -> bool {
        self.left < at && at < self.left + self.panel.width
    }
}

/// The joint that an edited width or module moves, as `[[layout]]` of `job.toml`; `None` when no one panel has that width.
///
/// The joint at the panel's right moves; of a wall's last panel, the one at its left.
pub(super) fn joint(issued: &Issued, about: &About, was: Length, now: Length) -> Option<String> {
    let own = about.panel.as_deref().and_then(|mark| issued.panel(mark));
    let id = own.map(|panel| &panel.wall).or(about.wall.as_ref())?;
    let wall = issued.walls.iter().find(|it| it.id == *id)?;
    let row = stretches(issued, wall);
    let module = |i: usize| row.get(i + 1).map(|next| next.left - row[i].left);
    let is = |length: f64| (length - was.to_inches()).abs() <= PRINTED;
    let fits: Vec<usize> = (0..row.len())
        .filter(|i| own.is_none_or(|own| own.mark == row[*i].panel.mark))
        // Of several as wide the place of the number tells which.
        .filter(|i| about.along.is_none_or(|at| row[*i].holds(at)))
        .filter(|i| is(row[*i].panel.width) || module(*i).is_some_and(is))
        .collect();
    let [i] = fits[..] else { return None };
    let it = &row[i];
    let gap = |module: f64| {
        if is(module) {
            0.0
        } else {
            module - it.panel.width
        }
    };
    let (start, whose) = match (module(i), i) {
        (Some(module), _) => (it.left + now.to_inches() + gap(module), &row[i + 1]),
        (None, 1..) => (it.left + it.panel.width - now.to_inches(), it),
        (None, _) => return None,
    };
    let start = Length::nearest(start, Length::TAPE_STEP)?;
    Some(format!(
        "[[layout]]\nid = \"{}\"\njoints = [{}]\n# {} would start there, from the wall's left corner; add the joints to keep\n",
        wall.id,
        quoted(start),
        whose.panel.mark,
    ))
}

/// A run starts no farther from its wall's corner than this: the thickness of the wall it butts against, inches.
const CORNER: f64 = 24.0;

/// From a wall's left corner to the start of its run: as far as the face of the wall round the corner lies before it.
pub(super) fn from_corner(issued: &Issued, wall: &IssuedWall) -> f64 {
    let [x, y] = wall.along;
    let crossing = |other: &IssuedWall| {
        let across = x * other.along[1] - y * other.along[0];
        if other.storey != wall.storey || across.abs() < 0.05 {
            return None;
        }
        let d = [0, 1].map(|i| other.origin[i] - wall.origin[i]);
        let own = (d[0] * other.along[1] - d[1] * other.along[0]) / across;
        let along = (d[0] * y - d[1] * x) / across;
        let is_near = (-CORNER..=other.length + CORNER).contains(&along);
        (is_near && own > -CORNER && own < PRINTED).then_some(-own)
    };
    let all = issued.walls.iter().filter_map(crossing);
    all.min_by(f64::total_cmp).unwrap_or(0.0).max(0.0)
}

/// From a wall's left corner to a panel's left edge, inches.
pub(super) fn left_of(issued: &Issued, wall: &IssuedWall, panel: &IssuedPanel) -> f64 {
    let d = [0, 1].map(|i| panel.origin[i] - wall.origin[i]);
    from_corner(issued, wall) + d[0] * wall.along[0] + d[1] * wall.along[1]
}

/// Full-height panels of a wall from left to right.
fn stretches<'a>(issued: &'a Issued, wall: &IssuedWall) -> Vec<Stretch<'a>> {
    let mut row: Vec<Stretch<'_>> = issued
        .panels
        .iter()
        .filter(|it| it.wall == wall.id && it.kind == "wall")
        .map(|panel| Stretch {
            panel,
            left: left_of(issued, wall, panel),
        })
        .collect();
    row.sort_by(|a, b| a.left.total_cmp(&b.left));
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three panels of 48 in with gaps of 1/8 in on a run that starts 6 1/2 in from its corner; the last is 30 in.
    fn issued() -> Issued {
        let panel = |mark: &str, left: f64, width: f64| IssuedPanel {
            mark: mark.to_owned(),
            wall: "X3".to_owned(),
            kind: "wall".to_owned(),
            origin: [100.0 + left, 20.0, 0.0],
            width,
            ..IssuedPanel::default()
        };
        Issued {
            walls: vec![
                IssuedWall {
                    id: "X3".to_owned(),
                    origin: [100.0, 20.0, 0.0],
                    along: [1.0, 0.0],
                    length: 126.0,
                    ..IssuedWall::default()
                },
                // Round the corner, its face 6 1/2 in before the run.
                IssuedWall {
                    id: "X2".to_owned(),
                    origin: [93.5, 220.0, 0.0],
                    along: [0.0, -1.0],
                    length: 200.0,
                    ..IssuedWall::default()
                },
            ],
            panels: vec![
                panel("W1", 0.0, 47.875),
                panel("W2", 48.0, 47.875),
                panel("W3", 96.0, 30.0),
            ],
            ..Issued::default()
        }
    }

    fn proposed(panel: Option<&str>, was: Length, now: Length) -> Option<String> {
        let about = About {
            panel: panel.map(str::to_owned),
            wall: Some("X3".to_owned()),
            ..About::default()
        };
        joint(&issued(), &about, was, now)
    }

    #[test]
    fn an_edited_width_moves_the_joint_at_its_right_and_of_the_last_panel_that_at_its_left() {
        // 6 1/2 + 48 + 40 = 94 1/2: the module becomes 40.
        let text = proposed(Some("W2"), Length::inches(48), Length::inches(40)).unwrap();
        assert!(
            text.starts_with("[[layout]]\nid = \"X3\"\njoints = [\"94 1/2\\\"\"]\n# W3"),
            "{text}"
        );
        // The net width becomes 40, and the gap of 1/8 in follows.
        let net = Length::fraction(47, 7, 8);
        let text = proposed(Some("W2"), net, Length::inches(40)).unwrap();
        assert!(text.contains("94 5/8"), "{text}");
        // 6 1/2 + 96 + 30 - 36 = 96 1/2.
        let text = proposed(None, Length::inches(30), Length::inches(36)).unwrap();
        assert!(text.contains("96 1/2") && text.contains("# W3"), "{text}");
    }

    #[test]
    fn a_width_that_two_panels_have_moves_nothing() {
        assert_eq!(proposed(None, Length::inches(48), Length::inches(40)), None);
        assert_eq!(
            proposed(Some("W2"), Length::inches(12), Length::inches(40)),
            None
        );
    }
}
