//! Where items are put down, in drawing order.

use super::fonts::measure;
use super::hatch::hatch_lines;
use super::model::{Anchor, Area, Form, Group, Item, Shape, Spot, Text, Weight, spot};
use super::style::{Fill, Hatch, Ink, Pen, SMALL_SHEET, Stroke};

/// A list of items being drawn; becomes a group.
#[derive(Clone, Debug, Default)]
pub struct Canvas {
    items: Vec<Item>,
}

impl Canvas {
    /// An empty one.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// What was drawn, as a group with an id and a title.
    #[must_use]
    pub fn into_group(self, id: &str, title: &str) -> Group {
        Group {
            id: id.to_owned(),
            title: title.to_owned(),
            items: self.items,
            ..Group::default()
        }
    }

    /// Puts down a finished item.
    pub fn put(&mut self, item: Item) {
        self.items.push(item);
    }

    /// Puts down all that another canvas holds.
    pub fn append(&mut self, other: Self) {
        self.items.extend(other.items);
    }

    /// Draws into a group of its own. An empty group is left out.
    pub fn group(&mut self, id: &str, title: &str, draw: impl FnOnce(&mut Self)) {
        self.group_with(id, title, &[], draw);
    }

    /// Draws into a group with `data-` attributes.
    pub fn group_with(
        &mut self,
        id: &str,
        title: &str,
        data: &[(&str, &str)],
        draw: impl FnOnce(&mut Self),
    ) {
        let mut inner = Self::new();
        draw(&mut inner);
        if inner.items.is_empty() {
            return;
        }
        let mut group = inner.into_group(id, title);
        group.data = data
            .iter()
            .map(|(name, value)| ((*name).to_owned(), (*value).to_owned()))
            .collect();
        self.put(Item::Group(group));
    }

    /// A shape with a line and a fill.
    pub fn shape(&mut self, form: Form, stroke: impl Into<Option<Stroke>>, fill: Fill) {
        self.put(Item::Shape(Shape {
            form,
            stroke: stroke.into(),
            fill,
        }));
    }

    /// A straight line.
    pub fn line(&mut self, stroke: Stroke, from: Spot, to: Spot) {
        self.shape(Form::Line(from, to), stroke, Fill::None);
    }

    /// An open row of lines.
    pub fn polyline(&mut self, stroke: Stroke, points: Vec<Spot>) {
        self.shape(Form::Polyline(points), stroke, Fill::None);
    }

    /// A closed row of lines.
    pub fn polygon(&mut self, stroke: Stroke, points: Vec<Spot>) {
        self.shape(Form::Polygon(points), stroke, Fill::None);
    }

    /// An upright rectangle, not filled.
    pub fn rect(&mut self, stroke: Stroke, area: Area) {
        self.shape(Form::Area(area), stroke, Fill::None);
    }

    /// A filled rectangle without a line.
    pub fn fill(&mut self, fill: Fill, area: Area) {
        self.shape(Form::Area(area), None, fill);
    }

    /// A circle.
    pub fn circle(&mut self, stroke: Stroke, fill: Fill, centre: Spot, radius: f64) {
        self.shape(Form::Circle(centre, radius), stroke, fill);
    }

    /// Part of a circle: see [`Form::Arc`].
    pub fn arc(
        &mut self,
        stroke: Stroke,
        centre: Spot,
        radius: f64,
        start_deg: f64,
        sweep_deg: f64,
    ) {
        self.shape(
            Form::Arc {
                centre,
                radius,
                start_deg,
                sweep_deg,
            },
            stroke,
            Fill::None,
        );
    }

    /// Hatches closed contours by the even-odd rule; one path.
    pub fn hatch(&mut self, hatch: &Hatch, contours: &[Vec<Spot>]) {
        let lines = hatch_lines(hatch, contours);
        if !lines.is_empty() {
            self.shape(Form::Hatch(lines), hatch.stroke, Fill::None);
        }
    }

    /// Hatches a rectangle.
    pub fn hatch_area(&mut self, hatch: &Hatch, area: Area) {
        self.hatch(hatch, &[area.corners().to_vec()]);
    }

    /// Lumber cut across the grain: a rectangle with its two diagonals.
    pub fn lumber_end(&mut self, area: Area) {
        self.shape(Form::Area(area), Pen::Bold.full(), Fill::White);
        let [a, b, c, d] = area.corners();
        self.shape(
            Form::Hatch(vec![(a, c), (b, d)]),
            Pen::Fine.full(),
            Fill::None,
        );
    }

    /// Text: see [`Lettered`].
    pub fn text(&mut self, at: Spot, words: impl Into<String>, lettered: Lettered) {
        let words = words.into();
        if words.is_empty() {
            return;
        }
        self.put(Item::Text(Text {
            words,
            at,
            cap: lettered.cap,
            weight: lettered.weight,
            anchor: lettered.anchor,
            turn_deg: lettered.turn_deg,
            ink: lettered.ink,
            is_masked: lettered.is_masked,
            cell: lettered.cell,
        }));
    }

    /// Text on one line of a width: set smaller as far as lettering may be, then cut, with the whole of it as title for those
    /// who point at it. Returns the width it takes.
    ///
    /// - `at`: where its baseline stands, at the anchor.
    pub fn text_within(&mut self, at: Spot, words: &str, lettered: Lettered, width: f64) -> f64 {
        let full = lettered.width(words);
        if full <= width {
            self.text(at, words, lettered);
            return full;
        }
        let cap = (lettered.cap * width / full).max(SMALL_SHEET.note.min(lettered.cap));
        let smaller = Lettered { cap, ..lettered };
        // As wide as the room but for the last digit of the division.
        if smaller.width(words) <= width + 1e-6 {
            self.text(at, words, smaller);
            return smaller.width(words);
        }
        let mut short: String = words.to_owned();
        while short.pop().is_some() && smaller.width(&format!("{short}…")) > width {}
        let short = format!("{}…", short.trim_end());
        self.group("", words, |canvas| canvas.text(at, short.as_str(), smaller));
        smaller.width(&short)
    }

    /// A name and what stands for it at the right of a cell: on one line, else with the second line below the name, over the whole
    /// width; what has no room there either is cut, and whole in the title of its group.
    ///
    /// - `cell`: as wide as the words may be.
    /// - `value`: its lettering; the name has that of notes.
    pub fn named_value(
        &mut self,
        cell: Area,
        name: (&str, Lettered),
        words: &str,
        value: Lettered,
    ) {
        let middle = cell.middle().y;
        let value = value.end();
        let room = cell.width() - name.1.width(name.0) - 2.0;
        let small = Lettered {
            cap: value.cap.min(SMALL_SHEET.note),
            ..value
        };
        let parted = [value, small].into_iter().find_map(|lettered| {
            let lines = two_lines(words, |first, second| {
                lettered.width(first) <= room && lettered.width(second) <= cell.width()
            });
            Some((lettered, lines?))
        });
        let leading = value.cap * 1.55;
        match parted {
            Some((lettered, [first, second]))
                if small.width(words) > room && cell.height() >= 2.0 * leading =>
            {
                let upper = middle - leading / 2.0;
                self.text_centred(spot(cell.x0, upper), name.0, name.1);
                if !first.is_empty() {
                    self.text_centred(spot(cell.x1, upper), first, lettered);
                }
                self.text_centred(spot(cell.x1, upper + leading), second, lettered);
            }
            _ => {
                self.text_centred(spot(cell.x0, middle), name.0, name.1);
                self.text_within(spot(cell.x1, middle + value.cap / 2.0), words, value, room);
            }
        }
    }

    /// Text whose capitals are centred on a point (along the anchor still by the anchor).
    pub fn text_centred(&mut self, middle: Spot, words: impl Into<String>, lettered: Lettered) {
        let turn = lettered.turn_deg.to_radians();
        let half = lettered.cap / 2.0;
        let at = spot(middle.x + half * turn.sin(), middle.y + half * turn.cos());
        self.text(at, words, lettered);
    }
}

/// Words parted at a blank or behind a hyphen so that both lines stand, as many as can be on the first.
fn two_lines(words: &str, stands: impl Fn(&str, &str) -> bool) -> Option<[&str; 2]> {
    let ends = words.match_indices([' ', '-']).map(|(at, _)| at + 1);
    let ends: Vec<usize> = std::iter::once(0).chain(ends).collect();
    let parted = ends
        .into_iter()
        .rev()
        .filter_map(|at| words.split_at_checked(at));
    parted
        .map(|(first, second)| [first.trim_end(), second])
        .find(|[first, second]| stands(first, second))
}

/// How a text is lettered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettered {
    /// Cap height, mm.
    pub cap: f64,
    /// Weight.
    pub weight: Weight,
    /// Which end stands at the point.
    pub anchor: Anchor,
    /// Turned counter-clockwise, degrees.
    pub turn_deg: f64,
    /// Ink.
    pub ink: Ink,
    /// True to cover what was drawn before.
    pub is_masked: bool,
    /// The cell it must stay in.
    pub cell: Option<Area>,
}

impl Lettered {
    /// Regular black text from its left end.
    #[must_use]
    pub const fn cap(cap: f64) -> Self {
        Self {
            cap,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            turn_deg: 0.0,
            ink: Ink::Black,
            is_masked: false,
            cell: None,
        }
    }

    /// In bold.
    #[must_use]
    pub const fn bold(self) -> Self {
        self.weight(Weight::Bold)
    }

    /// In a weight.
    #[must_use]
    pub const fn weight(self, weight: Weight) -> Self {
        Self { weight, ..self }
    }

    /// By its middle.
    #[must_use]
    pub const fn middle(self) -> Self {
        self.anchor(Anchor::Middle)
    }

    /// By its right end.
    #[must_use]
    pub const fn end(self) -> Self {
        self.anchor(Anchor::End)
    }

    /// By an anchor.
    #[must_use]
    pub const fn anchor(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    /// Read from the right: turned a quarter counter-clockwise.
    #[must_use]
    pub const fn upwards(self) -> Self {
        Self {
            turn_deg: 90.0,
            ..self
        }
    }

    /// Turned counter-clockwise by degrees.
    #[must_use]
    pub const fn turned(self, turn_deg: f64) -> Self {
        Self { turn_deg, ..self }
    }

    /// In an ink.
    #[must_use]
    pub const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// On a white patch that covers what was drawn before.
    #[must_use]
    pub const fn masked(self) -> Self {
        Self {
            is_masked: true,
            ..self
        }
    }

    /// Bound to a cell.
    #[must_use]
    pub const fn within(self, cell: Area) -> Self {
        Self {
            cell: Some(cell),
            ..self
        }
    }

    /// Width of a text so lettered, mm.
    #[must_use]
    pub fn width(&self, words: &str) -> f64 {
        measure(words, self.cap, self.weight).width
    }
}

impl Text {
    /// Its ink box before turning, relative to its place: left, top, right, bottom.
    #[must_use]
    pub fn local_box(&self) -> Area {
        let extent = measure(&self.words, self.cap, self.weight);
        let x0 = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -extent.width / 2.0,
            Anchor::End => -extent.width,
        };
        Area::new(x0, -extent.above, x0 + extent.width, extent.below.max(0.0))
    }

    /// The four corners of its ink box on paper, grown by `by` mm.
    #[must_use]
    pub fn corners(&self, by: f64) -> [Spot; 4] {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        self.local_box().grown(by).corners().map(|p| {
            spot(
                self.at.x + p.x * cos + p.y * sin,
                self.at.y - p.x * sin + p.y * cos,
            )
        })
    }

    /// The upright box around its ink on paper.
    #[must_use]
    pub fn area(&self) -> Area {
        let corners = self.corners(0.0);
        Area::around(&corners).unwrap_or_default()
    }
}

/// A model's inches on paper: x right, y up, at a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Where the model's origin lies on paper.
    pub origin: Spot,
    /// Millimetres on paper for one inch of the model.
    pub scale: f64,
}

impl View {
    /// A point of the model on paper.
    #[must_use]
    pub fn spot(&self, x: f64, y: f64) -> Spot {
        spot(self.x(x), self.y(y))
    }

    /// An x of the model on paper.
    #[must_use]
    pub fn x(&self, x: f64) -> f64 {
        self.origin.x + x * self.scale
    }

    /// A y of the model on paper.
    #[must_use]
    pub fn y(&self, y: f64) -> f64 {
        self.origin.y - y * self.scale
    }

    /// A rectangle of the model on paper.
    #[must_use]
    pub fn area(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> Area {
        Area::of(self.spot(x0, y0), self.spot(x1, y1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_shrink_into_their_room_are_whole() {
        let number = "Z-4104.2";
        let lettered = Lettered::cap(SMALL_SHEET.mark).bold();
        let least = lettered.width(number) * SMALL_SHEET.note / SMALL_SHEET.mark;
        for step in 0..500 {
            let width = least + 0.01 + f64::from(step) * 0.037;
            let mut canvas = Canvas::new();
            let used = canvas.text_within(spot(0.0, 0.0), number, lettered, width);
            assert!(used <= width + 1e-6);
            let told = canvas.into_group("", "").items;
            let is_whole = |it: &Item| matches!(it, Item::Text(text) if text.words == number);
            assert!(told.iter().any(is_whole), "{width}");
        }
    }
}
