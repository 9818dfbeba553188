//! What stands on a marked sheet, flat: lines, words and images in millimetres on paper, whatever the file called them.

use crate::documents::paper::fonts::cap_ratio;
use crate::documents::paper::{Anchor, Area, Spot, Text, Weight, spot};
use std::collections::BTreeMap;

/// A sheet as read from an SVG, or a page's annotations.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Drawing {
    /// `data-` attributes of the root, without `data-`.
    pub(super) data: BTreeMap<String, String>,
    /// Width and height, mm.
    pub(super) size: [f64; 2],
    /// Everything drawn, in drawing order.
    pub(super) items: Vec<Drawn>,
    /// What has no ink that could be seen: all lines of a sheet whose style sheet an editor lost.
    pub(super) unseen: Vec<Drawn>,
    /// What the file hides: layers and things that are not shown.
    pub(super) hidden: Vec<Drawn>,
    /// Every group; items name theirs by index.
    pub(super) groups: Vec<GroupFacts>,
    /// What was taken out because it could act or reach outside, in words.
    pub(super) neutralised: Vec<String>,
}

/// A group of a file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct GroupFacts {
    /// Its id; empty for none.
    pub(super) id: String,
    /// Its `data-` attributes, without `data-`.
    pub(super) data: BTreeMap<String, String>,
    /// True for what an editor shows as a layer.
    pub(super) is_layer: bool,
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drawn {
    /// What it is.
    pub(super) form: DrawnForm,
    /// How it is inked.
    pub(super) look: Look,
    /// The upright box round it.
    pub(super) area: Area,
    /// The groups it stands in, outermost first.
    pub(super) groups: Vec<usize>,
}

/// What a thing is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum DrawnForm {
    /// Lines.
    Lines(Lines),
    /// A text.
    Words(Words),
    /// A picture made of dots.
    Image(Image),
}

/// Lines, straightened.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Lines {
    /// Each run from point to point.
    pub(super) runs: Vec<Run>,
    /// How many of its pieces were curves.
    pub(super) n_curves: usize,
    /// Heads that the file puts at start and end.
    pub(super) heads: [bool; 2],
}

/// Lines from point to point.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Run {
    /// The points.
    pub(super) points: Vec<Spot>,
    /// True when the last is joined to the first.
    pub(super) is_closed: bool,
}

impl Run {
    /// Each straight piece.
    pub(super) fn pieces(&self) -> impl Iterator<Item = (Spot, Spot)> + '_ {
        let closing = self
            .is_closed
            .then(|| {
                self.points
                    .last()
                    .copied()
                    .zip(self.points.first().copied())
            })
            .flatten();
        self.points
            .windows(2)
            .map(|pair| (pair[0], pair[1]))
            .chain(closing)
    }
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Words {
    /// What it says, blanks joined.
    pub(super) words: String,
    /// Where it stands: its anchor on the baseline.
    pub(super) at: Spot,
    /// Font size, mm.
    pub(super) size: f64,
    /// Turned counter-clockwise as seen, degrees.
    pub(super) turn_deg: f64,
    /// Which end stands there.
    pub(super) anchor: Anchor,
}

/// A picture of dots, by its box; its bytes only where they stand in the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Image {
    /// Media type and base64 text of a PNG or JPEG.
    pub(super) data: Option<(String, String)>,
}

/// Inks, normalised so that the same look is equal however it was written.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Look {
    /// `none` or `#rrggbb` or another paint as written.
    pub(super) stroke: String,
    /// The same.
    pub(super) fill: String,
    /// Line width in hundredths of a millimetre; 0 without a line.
    pub(super) width: String,
    /// Dashes; empty for none.
    pub(super) dash: String,
    /// True when what stands below is read through it.
    pub(super) is_clear: bool,
}

impl Look {
    fn scaled(&mut self, scale: f64) {
        let by = |text: &str, digits: usize| {
            let numbers = decimals(text).into_iter();
            let numbers = numbers.map(|it| format!("{:.digits$}", it * scale));
            numbers.collect::<Vec<_>>().join(" ")
        };
        (self.width, self.dash) = (by(&self.width, 2), by(&self.dash, 1));
    }
}

/// Every number of a width or of dashes.
pub(super) fn decimals(text: &str) -> Vec<f64> {
    text.split(' ').filter_map(|it| it.parse().ok()).collect()
}

impl Words {
    /// The upright box round it, measured in the sheets' own font.
    pub(super) fn area(&self) -> Area {
        Text {
            words: self.words.clone(),
            at: self.at,
            cap: self.size * cap_ratio(),
            weight: Weight::Regular,
            anchor: self.anchor,
            turn_deg: self.turn_deg,
            ink: crate::documents::paper::style::Ink::Black,
            is_masked: false,
            cell: None,
        }
        .area()
    }
}

impl Drawn {
    /// What it says; empty for what is no text.
    pub(super) fn words(&self) -> &str {
        match &self.form {
            DrawnForm::Words(words) => &words.words,
            DrawnForm::Lines(_) | DrawnForm::Image(_) => "",
        }
    }

    /// Its lines, if it is lines.
    pub(super) const fn lines(&self) -> Option<&Lines> {
        match &self.form {
            DrawnForm::Lines(lines) => Some(lines),
            DrawnForm::Words(_) | DrawnForm::Image(_) => None,
        }
    }

    /// Scaled about the origin, then shifted.
    pub(super) fn placed(mut self, scale: f64, shift: Spot) -> Self {
        if let DrawnForm::Words(words) = &mut self.form {
            words.size *= scale;
        }
        self.look.scaled(scale);
        self.put(|p| spot(p.x * scale + shift.x, p.y * scale + shift.y))
    }

    /// Turned by a quarter clockwise as seen, on a page of a height.
    fn turned(mut self, high: f64) -> Self {
        if let DrawnForm::Words(words) = &mut self.form {
            words.turn_deg -= 90.0;
        }
        self.put(|p| spot(high - p.y, p.x))
    }

    fn put(mut self, to: impl Fn(Spot) -> Spot) -> Self {
        match &mut self.form {
            DrawnForm::Lines(lines) => {
                for point in lines.runs.iter_mut().flat_map(|run| &mut run.points) {
                    *point = to(*point);
                }
            }
            DrawnForm::Words(words) => words.at = to(words.at),
            DrawnForm::Image(_) => {}
        }
        let (a, b) = (
            to(spot(self.area.x0, self.area.y0)),
            to(spot(self.area.x1, self.area.y1)),
        );
        self.area = Area::of(a, b);
        self
    }
}

impl Drawing {
    /// The whole drawing scaled and shifted; its size becomes that of a sheet.
    pub(super) fn placed(self, scale: f64, shift: Spot, size: [f64; 2]) -> Self {
        Self {
            items: self
                .items
                .into_iter()
                .map(|item| item.placed(scale, shift))
                .collect(),
            unseen: self
                .unseen
                .into_iter()
                .map(|item| item.placed(scale, shift))
                .collect(),
            hidden: self
                .hidden
                .into_iter()
                .map(|item| item.placed(scale, shift))
                .collect(),
            size,
            ..self
        }
    }

    /// The same page turned by a quarter clockwise as seen.
    pub(super) fn turned(self) -> Self {
        let [wide, high] = self.size;
        let turned = |items: Vec<Drawn>| items.into_iter().map(|it| it.turned(high)).collect();
        Self {
            items: turned(self.items),
            unseen: turned(self.unseen),
            hidden: turned(self.hidden),
            size: [high, wide],
            ..self
        }
    }

    /// How many things it has, seen or not.
    pub(super) const fn n_things(&self) -> usize {
        self.items.len() + self.unseen.len() + self.hidden.len()
    }

    /// The same with what has no ink among the rest.
    pub(super) fn with_unseen(mut self) -> Self {
        self.items.append(&mut self.unseen);
        self
    }

    /// A fact of the innermost group of an item that states it.
    pub(super) fn fact(&self, item: &Drawn, name: &str) -> Option<&str> {
        item.groups
            .iter()
            .rev()
            .filter_map(|group| self.groups.get(*group))
            .find_map(|group| group.data.get(name))
            .map(String::as_str)
            .filter(|value| !value.is_empty())
    }
}

/// The box round several things.
pub(super) fn around<'a>(items: impl IntoIterator<Item = &'a Drawn>) -> Option<Area> {
    items.into_iter().map(|item| item.area).reduce(joined)
}

/// The box round two boxes.
pub(super) fn joined(a: Area, b: Area) -> Area {
    Area::new(
        a.x0.min(b.x0),
        a.y0.min(b.y0),
        a.x1.max(b.x1),
        a.y1.max(b.y1),
    )
}

/// How far two boxes are apart; 0 when they touch.
pub(super) fn gap(a: &Area, b: &Area) -> f64 {
    let x = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let y = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    x.hypot(y)
}

/// How far a point is from a box; 0 inside.
pub(super) fn gap_to(area: &Area, p: Spot) -> f64 {
    gap(area, &Area::of(p, p))
}
