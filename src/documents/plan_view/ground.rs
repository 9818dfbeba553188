//! Turns what is drawn already into things labels keep clear of.

use super::{Candidate, LabelBox, Obstacles};
use crate::documents::paper::style::dimension::MASK;
use crate::documents::paper::{Form, Group, Item, Spot};

/// Slack round a line or a text, mm on paper: labels do not touch what they stand beside, nor do their white patches.
const CLEARANCE: f64 = MASK + 0.1;

impl Obstacles {
    /// Every line and every text of a group becomes something no label may touch.
    pub(crate) fn add_group(&mut self, group: &Group) {
        self.add_items(group, None);
    }

    /// Every line and every text of a group becomes something a label had better not touch, at a cost each.
    pub(crate) fn add_group_softly(&mut self, group: &Group, cost: f64) {
        self.add_items(group, Some(cost));
    }

    fn add_items(&mut self, group: &Group, cost: Option<f64>) {
        let (texts, lines) = boxes_of(group);
        for area in texts {
            match cost {
                Some(cost) => self.add_soft(area, cost),
                None => self.add_text(area),
            }
        }
        for area in lines {
            match cost {
                Some(cost) => self.add_soft(area, cost),
                None => self.add_line(area),
            }
        }
    }
}

impl Candidate {
    /// What is drawn in a group, as one candidate: its texts as boxes, its lines as lines.
    pub(crate) fn of_group(group: &Group, cost: f64) -> Self {
        let (boxes, lines) = boxes_of(group);
        Self { boxes, lines, cost }
    }
}

/// Boxes of all texts and of all lines of a group.
fn boxes_of(group: &Group) -> (Vec<LabelBox>, Vec<LabelBox>) {
    let (mut texts, mut lines) = (Vec::new(), Vec::new());
    for item in &group.items {
        match item {
            Item::Group(inner) => {
                let (more_texts, more_lines) = boxes_of(inner);
                texts.extend(more_texts);
                lines.extend(more_lines);
            }
            Item::Text(text) => {
                let [a, b, c, _] = text.corners(CLEARANCE);
                let (across, down) = (b - a, c - b);
                let (width, height) = (across.x.hypot(across.y), down.x.hypot(down.y));
                if width > 0.0 {
                    texts.push(LabelBox::about(
                        (a + c) / 2.0,
                        width,
                        height,
                        across / width,
                    ));
                }
            }
            Item::Shape(shape) => {
                let all = lines_of(&shape.form).into_iter();
                lines.extend(all.map(|(from, to)| LabelBox::line(from, to, CLEARANCE)));
            }
        }
    }
    (texts, lines)
}

/// A form as straight lines; circles and arcs by the boxes that hold them.
fn lines_of(form: &Form) -> Vec<(Spot, Spot)> {
    let row = |points: &[Spot], is_closed: bool| -> Vec<(Spot, Spot)> {
        let back = points.last().copied().zip(points.first().copied());
        points
            .windows(2)
            .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
            .chain(back.filter(|_| is_closed))
            .collect()
    };
    match form {
        Form::Line(a, b) => vec![(*a, *b)],
        Form::Polyline(points) => row(points, false),
        Form::Polygon(points) => row(points, true),
        Form::Region(rings) => rings.iter().flat_map(|ring| row(ring, true)).collect(),
        Form::Area(area) => row(&area.corners(), true),
        Form::Hatch(lines) => lines.clone(),
        Form::Circle(centre, radius) => arc(*centre, *radius, 0.0, 360.0),
        Form::Arc {
            centre,
            radius,
            start_deg,
            sweep_deg,
        } => arc(*centre, *radius, *start_deg, *sweep_deg),
    }
}

fn arc(centre: Spot, radius: f64, start_deg: f64, sweep_deg: f64) -> Vec<(Spot, Spot)> {
    const CHORDS: i32 = 12;
    let at = |i: i32| {
        let angle = (start_deg + sweep_deg * f64::from(i) / f64::from(CHORDS)).to_radians();
        Spot {
            x: centre.x + radius * angle.cos(),
            y: centre.y - radius * angle.sin(),
        }
    };
    (0..CHORDS).map(|i| (at(i), at(i + 1))).collect()
}
