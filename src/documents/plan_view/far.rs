//! Places far from what a label names, with a leader to it: for labels that found none near while there is white paper.
//!
//! ```text
//!   labels ──place──► most stand ──► the rest, with rings of places round what they name ──place──► nearly all stand
//! ```

use super::{Candidate, LabelBox, Obstacles, box_edge, place};
use crate::documents::paper::{Area, Spot, spot};

/// The first ring and the last, mm from what is named: beyond that no eye follows a leader.
const NEAREST: f64 = 10.0;
const FARTHEST: f64 = 170.0;

/// Between rings, and between places on a ring, mm.
const STEP: f64 = 6.0;

/// Middles of a box round what it names, each with the candidate whose leader ends there.
///
/// - `size`: of the box, mm; `window`: what all of it must stand in.
pub(crate) fn far_places(
    foot: Spot,
    [width, height]: [f64; 2],
    window: &Area,
) -> Vec<(Spot, Candidate)> {
    let mut places = Vec::new();
    let mut reach = NEAREST;
    while reach <= FARTHEST {
        // A third of a step more on each ring, so that a foot between lines is seen from many angles.
        let circle = std::f64::consts::TAU * reach;
        let mut along = reach / 3.0 % STEP;
        while along < circle {
            let (sine, cosine) = (along / reach).sin_cos();
            let at = spot(
                foot.x + cosine * (reach + width / 2.0),
                foot.y + sine * (reach + height / 2.0),
            );
            let half = spot(width / 2.0, height / 2.0);
            if window.holds(&Area::of(at - half, at + half)) {
                let area = LabelBox::about(at, width, height, Spot { x: 1.0, y: 0.0 });
                let leader = LabelBox::line(box_edge(at, foot, width, height), foot, 0.3);
                let candidate = Candidate {
                    boxes: vec![area],
                    lines: vec![leader],
                    cost: reach,
                };
                places.push((at, candidate));
            }
            along += STEP;
        }
        reach += STEP;
    }
    places
}

/// So many labels are looked far for, the more important: where more are left, the sheet is too full to follow their leaders,
/// and looking at thousands of places for each takes longer than all else.
const MOST: usize = 32;

/// A label that can do with a place far off.
pub(crate) trait Far: AsRef<[Candidate]> {
    /// Takes such places for its candidates; none where it had better be left out.
    fn look_far(&mut self, window: &Area);
    /// What the sheet calls it where it had to be left out.
    fn name(&self) -> String;
}

/// How many labels found no place near, and the names of those that found none at all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Missed {
    pub(crate) near: usize,
    pub(crate) all: Vec<String>,
}

/// Places labels near, those that are left far off, and draws them. Labels become obstacles for whatever is placed after them.
///
/// - `draw`: the label at the candidate of that number.
pub(crate) fn place_all<L: Far>(
    labels: Vec<L>,
    window: &Area,
    obstacles: &mut Obstacles,
    mut draw: impl FnMut(&L, usize),
) -> Missed {
    let mut stand = |labels: Vec<L>, obstacles: &mut Obstacles| -> Vec<L> {
        let placed = place(&labels, obstacles);
        let mut left = Vec::new();
        for (label, chosen) in labels.into_iter().zip(placed.chosen) {
            let found = chosen.and_then(|index| Some((index, label.as_ref().get(index)?)));
            match found {
                Some((index, candidate)) => {
                    draw(&label, index);
                    obstacles.add_label(candidate);
                }
                None => left.push(label),
            }
        }
        left
    };
    let mut left = stand(labels, obstacles);
    let near = left.len();
    let beyond = left.split_off(MOST.min(near));
    for label in &mut left {
        label.look_far(window);
    }
    let nowhere = stand(left, obstacles).into_iter().chain(beyond);
    let all = nowhere.map(|it| it.name()).collect();
    Missed { near, all }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Note {
        foot: Spot,
        candidates: Vec<Candidate>,
    }

    impl AsRef<[Candidate]> for Note {
        fn as_ref(&self) -> &[Candidate] {
            &self.candidates
        }
    }

    impl Far for Note {
        fn look_far(&mut self, window: &Area) {
            let found = far_places(self.foot, [8.0, 4.0], window);
            self.candidates = found.into_iter().map(|it| it.1).collect();
        }

        fn name(&self) -> String {
            "N1".to_owned()
        }
    }

    /// A note that has one place near, at its foot.
    fn note(foot: Spot) -> Note {
        let area = LabelBox::about(foot, 8.0, 4.0, spot(1.0, 0.0));
        let near = Candidate {
            boxes: vec![area],
            lines: Vec::new(),
            cost: 0.0,
        };
        Note {
            foot,
            candidates: vec![near],
        }
    }

    #[test]
    fn a_label_among_lines_stands_beyond_them_and_one_without_white_paper_nowhere() {
        for (reach, all) in [(20.0, vec![]), (49.0, vec!["N1".to_owned()])] {
            let window = Area::new(0.0, 0.0, 100.0, 100.0);
            let lined = Area::new(50.0 - reach, 50.0 - reach, 50.0 + reach, 50.0 + reach);
            let mut obstacles = Obstacles::inside(window);
            for i in 0..=33 {
                let y = lined.y0 + 3.0 * f64::from(i);
                if y <= lined.y1 {
                    let line = LabelBox::line(spot(lined.x0, y), spot(lined.x1, y), 0.2);
                    obstacles.add_line(line);
                }
            }
            let mut stands = Vec::new();
            let labels = vec![note(spot(50.0, 50.0))];
            let missed = place_all(labels, &window, &mut obstacles, |label, chosen| {
                stands.push(label.candidates[chosen].clone());
            });
            assert_eq!(missed, Missed { near: 1, all });
            for it in stands {
                assert!(!it.boxes[0].extent().meets(&lined));
                assert_eq!(it.lines.len(), 1, "it has a leader");
            }
        }
    }
}
