//! The architect's drawing, pale, beneath what was recovered: strokes, fills, texts and dimensions, cut to the frame.
//!
//! A layer of the drawing becomes one path: lines that fall on each other at the sheet's resolution are drawn once, so a
//! drawing of half a million strokes makes a file whose size is bounded by what a reader can see.

use super::dimension_checks::DimensionCheck;
use super::units::Units;
use super::words::{LEAST, Rank, WordLine, Words, standing};
use crate::documents::paper::fonts::{text_width, wrap};
use crate::documents::paper::overlap::ARCHITECT;
use crate::documents::paper::style::dimension::{EXTENSION_GAP, HALF_TICK, OVERRUN, TEXT_LIFT};
use crate::documents::paper::style::{Fill, Ink, Pen, Stroke};
use crate::documents::paper::{Area, Canvas, Form, Group, Lettered, Spot, Weight};
use crate::documents::plan_view::{PlanView, clip_line, clip_ring};
use crate::drawing::{Curve, Dimension, Drawing, FillKind, SourceIndex};
use crate::plan::{DimensionVerdict, layer_meaning};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// Lines are told apart to this, mm on paper: finer than the thinnest pen.
const RESOLUTION: f64 = 0.05;

/// A chord of an arc leaves the arc by no more than this, mm on paper.
const CHORD: f64 = 0.05;

/// Cap height of the numbers of the architect's dimensions, mm: the file does not say how high they are.
pub(super) const DIMENSION_CAP: f64 = 2.4;

/// What the architect drew, and the boxes of its texts for whoever wants to keep clear of them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Background {
    /// The layer of the sheet.
    pub(crate) group: Group,
    /// Lines on paper, each once.
    pub(crate) lines: Vec<(Spot, Spot)>,
    /// Boxes of texts on paper: middle, width, height, direction.
    pub(crate) texts: Vec<(Spot, f64, f64, Coord<f64>)>,
    /// How many words and numbers have no room.
    pub(crate) left: usize,
}

/// Draws the architect's drawing inside a window of the paper. Hidden layers are left out.
pub(crate) fn draw_background(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    view: &PlanView,
    window: &Area,
) -> Background {
    let mut background = Background::default();
    let mut canvas = Canvas::new();
    draw_fills(&mut canvas, drawing, view, window);
    draw_strokes(&mut canvas, drawing, view, window, &mut background.lines);
    let dimensions: Vec<Measured<'_>> = (checks.iter())
        .filter_map(|check| Measured::new(drawing, check, view, window))
        .collect();
    let lines = dimensions.iter().flat_map(|it| it.lines.iter().copied());
    background.lines.extend(lines);
    let mut all = texts(drawing, view, window);
    let first_number = all.len();
    all.extend(dimensions.iter().map(Measured::number));
    let stands = standing(&all, &background.lines);
    background.left = stands.iter().filter(|stands| !**stands).count();
    let mut draw = |canvas: &mut Canvas, words: &Words| {
        let turn = (-words.along.y).atan2(words.along.x).to_degrees();
        let lettered = Lettered::cap(words.cap).middle().turned(turn);
        for line in &words.lines {
            let lettered = lettered.ink(Ink::Pale);
            canvas.text_centred(line.middle, line.words.as_str(), lettered);
            let area = (line.middle, line.width, words.cap, words.along);
            background.texts.push(area);
        }
    };
    let (texts, numbers) = all.split_at(first_number);
    let (of_texts, of_numbers) = stands.split_at(first_number);
    canvas.group("architect-texts", "Architect's texts", |canvas| {
        for (words, _) in texts.iter().zip(of_texts).filter(|it| *it.1) {
            draw(canvas, words);
        }
    });
    canvas.group("architect-dimensions", "Architect's dimensions", |canvas| {
        for ((dimension, words), stands) in dimensions.iter().zip(numbers).zip(of_numbers) {
            let lines = dimension.lines.clone();
            canvas.shape(Form::Hatch(lines), pale(Pen::Fine), Fill::None);
            if *stands {
                draw(canvas, words);
            }
        }
    });
    background.group = canvas.into_group(ARCHITECT, "Architect");
    background
}

fn is_shown(drawing: &Drawing, source: SourceIndex) -> bool {
    layer_of(drawing, source).is_some()
}

/// Name of the layer; `None` when it is hidden.
fn layer_of(drawing: &Drawing, source: SourceIndex) -> Option<&str> {
    let source = usize::try_from(source.0)
        .ok()
        .and_then(|index| drawing.sources.get(index))?;
    (!source.is_hidden).then_some(source.layer.as_str())
}

fn draw_fills(canvas: &mut Canvas, drawing: &Drawing, view: &PlanView, window: &Area) {
    canvas.group("architect-fills", "Architect's fills", |canvas| {
        for fill in &drawing.fills {
            if fill.kind == FillKind::Wipeout || !is_shown(drawing, fill.source) {
                continue;
            }
            let rings: Vec<Vec<Spot>> = fill
                .rings
                .iter()
                .map(|ring| {
                    let ring: Vec<Spot> = ring.iter().map(|p| view.paper(*p)).collect();
                    clip_ring(&ring, window)
                })
                .filter(|ring| ring.len() > 2)
                .collect();
            if rings.is_empty() {
                continue;
            }
            // A pattern may cover a whole room: only solid areas are filled.
            let is_solid = fill.pattern == "SOLID" || fill.kind == FillKind::Solid;
            let stroke = pale(Pen::Hair);
            if is_solid {
                canvas.shape(Form::Region(rings), None, Fill::Light);
            } else {
                canvas.shape(Form::Region(rings), stroke, Fill::None);
            }
        }
    });
}

const fn pale(pen: Pen) -> Stroke {
    pen.full().with(Ink::Pale)
}

fn draw_strokes(
    canvas: &mut Canvas,
    drawing: &Drawing,
    view: &PlanView,
    window: &Area,
    lines: &mut Vec<(Spot, Spot)>,
) {
    let mut layers: BTreeMap<&str, Vec<(Spot, Spot)>> = BTreeMap::new();
    let mut seen: BTreeSet<[i64; 4]> = BTreeSet::new();
    for stroke in &drawing.strokes {
        let Some(layer) = layer_of(drawing, stroke.source) else {
            continue;
        };
        for (from, to) in chords(&stroke.curve, view) {
            let Some((from, to)) = clip_line(from, to, window) else {
                continue;
            };
            let (a, b) = (on_grid(from), on_grid(to));
            if a != b
                && seen.insert(if a < b {
                    [a.0, a.1, b.0, b.1]
                } else {
                    [b.0, b.1, a.0, a.1]
                })
            {
                push_or_extend(layers.entry(layer).or_default(), from, to);
            }
        }
    }
    for (number, (layer, strokes)) in layers.into_iter().enumerate() {
        lines.extend_from_slice(&strokes);
        let id = format!("architect-layer-{}", number + 1);
        let title = format!("Layer {layer}");
        let data = [("layer", layer), ("meaning", layer_meaning(layer))];
        canvas.group_with(&id, &title, &data, |canvas| {
            canvas.shape(Form::Hatch(strokes), pale(Pen::Thin), Fill::None);
        });
    }
}

/// Adds a line, or makes the last one longer when this one goes straight on from its end.
fn push_or_extend(lines: &mut Vec<(Spot, Spot)>, from: Spot, to: Spot) {
    if let Some((start, end)) = lines.last_mut() {
        let (before, d) = (*end - *start, to - from);
        let across = (before.x * d.y - before.y * d.x).abs();
        let length = before.x.hypot(before.y).max(1e-9);
        let goes_on = before.x * d.x + before.y * d.y > 0.0;
        if on_grid(*end) == on_grid(from) && goes_on && across / length < RESOLUTION / 10.0 {
            *end = to;
            return;
        }
    }
    lines.push((from, to));
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "points lie on the sheet, a few thousand steps from its corner"
)]
fn on_grid(p: Spot) -> (i64, i64) {
    (
        (p.x / RESOLUTION).round() as i64,
        (p.y / RESOLUTION).round() as i64,
    )
}

/// A curve as straight pieces on paper.
fn chords(curve: &Curve, view: &PlanView) -> Vec<(Spot, Spot)> {
    match curve {
        Curve::Line { start, end } => vec![(view.paper(*start), view.paper(*end))],
        Curve::Arc { radius, sweep, .. } => {
            let n_chords = n_chords(view.millimetres(*radius), *sweep);
            let at = |i: u32| view.paper(curve.at(f64::from(i) / f64::from(n_chords)));
            (0..n_chords).map(|i| (at(i), at(i + 1))).collect()
        }
    }
}

/// How many chords keep within [`CHORD`] of an arc: one turns by 2 arccos(1 − chord / radius).
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between 1 and 720 before the cast"
)]
fn n_chords(radius: f64, sweep: f64) -> u32 {
    let ratio = (1.0 - CHORD / radius.max(CHORD)).clamp(0.0, 1.0);
    let turn = (2.0 * ratio.acos()).max(1e-3);
    (sweep.abs() / turn).ceil().clamp(1.0, 720.0) as u32
}

/// From line to line of a text that was broken, in cap heights.
const LINE_PITCH: f64 = 1.7;

/// A text as the architect has it where it stays inside a window; else broken into lines that do; none when its middle lies outside.
fn lines_within(
    words: &str,
    cap: f64,
    middle: Spot,
    along: Coord<f64>,
    window: &Area,
) -> Vec<String> {
    let holds = |width: f64, height: f64| {
        let reach = Coord {
            x: (width * along.x.abs() + height * along.y.abs()) / 2.0,
            y: (width * along.y.abs() + height * along.x.abs()) / 2.0,
        };
        window.holds(&Area::of(middle - reach, middle + reach))
    };
    if holds(text_width(words, cap, Weight::Regular), cap) {
        return vec![words.to_owned()];
    }
    // How far the lines may reach to either side: to the nearest edge along them.
    let edge = |low: f64, high: f64, at: f64, part: f64| {
        if part.abs() < 1e-6 {
            f64::INFINITY
        } else {
            (at - low).min(high - at) / part.abs()
        }
    };
    let reach = edge(window.x0, window.x1, middle.x, along.x)
        .min(edge(window.y0, window.y1, middle.y, along.y));
    let room = 2.0 * reach - 4.0 * cap;
    if room < LEAST_ROOM * cap {
        return Vec::new();
    }
    let lines = wrap(words, room, cap, Weight::Regular);
    let count = f64::from(u32::try_from(lines.len()).unwrap_or(u32::MAX));
    if holds(room, cap * LINE_PITCH * count) {
        lines
    } else {
        Vec::new()
    }
}

/// A text is not broken into lines shorter than this, in cap heights.
const LEAST_ROOM: f64 = 8.0;

/// The texts of the drawing that the sheet has in view: those that are lower than the least height raised to it.
fn texts(drawing: &Drawing, view: &PlanView, window: &Area) -> Vec<Words> {
    let shown = drawing.texts.iter();
    let shown = shown.filter(|it| !it.content.trim().is_empty() && is_shown(drawing, it.source));
    let all = shown.filter_map(|text| {
        let drawn = view.millimetres(text.height);
        let cap = drawn.max(LEAST);
        let (sine, cosine) = view.paper_degrees(text.angle).to_radians().sin_cos();
        let along = Coord {
            x: cosine,
            y: -sine,
        };
        let middle = view.paper(text.middle);
        let lines = lines_within(text.content.trim(), cap, middle, along, window);
        let pitch = cap * LINE_PITCH;
        let more = u32::try_from(lines.len().saturating_sub(1)).unwrap_or(u32::MAX);
        let first = -pitch * f64::from(more) / 2.0;
        let lines = lines.into_iter().zip(0_u32..).map(|(words, number)| {
            let down = first + pitch * f64::from(number);
            WordLine {
                middle: middle + Coord { x: sine, y: cosine } * down,
                width: text_width(&words, cap, Weight::Regular),
                words,
            }
        });
        let lines: Vec<WordLine> = lines.collect();
        let rank = if drawn < cap {
            Rank::Raised
        } else {
            Rank::Always
        };
        (!lines.is_empty()).then_some(Words {
            drawn,
            cap,
            along,
            lines,
            rank,
        })
    });
    all.collect()
}

/// Where a dimension lies on paper: the ends of its line, and the middle of its number.
#[derive(Clone, Copy, Debug)]
pub(super) struct DimensionPlace {
    /// One end of the dimension line.
    pub(super) from: Spot,
    /// The other.
    pub(super) to: Spot,
    /// Middle of the number.
    pub(super) text: Spot,
    /// Unit vector of reading: to the right, or upwards.
    pub(super) along: Coord<f64>,
}

/// Puts a dimension on paper: its line runs under its number, as drafters set them.
pub(super) fn place_dimension(dimension: &Dimension, view: &PlanView) -> Option<DimensionPlace> {
    let direction = dimension.direction?;
    let (sine, cosine) = direction.sin_cos();
    let mut along = view.paper_vector(Coord { x: cosine, y: sine });
    // Read from below or from the right.
    if along.x < -1e-9 || (along.x.abs() <= 1e-9 && along.y > 0.0) {
        along = along * -1.0;
    }
    let up = Coord {
        x: along.y,
        y: -along.x,
    };
    let text = view.paper(dimension.text_at);
    let foot = text - up * (DIMENSION_CAP / 2.0 + TEXT_LIFT);
    let project = |p: Coord<f64>| {
        let d = view.paper(p) - foot;
        foot + along * (d.x * along.x + d.y * along.y)
    };
    let (from, to) = (project(dimension.from), project(dimension.to));
    let finite = [from, to, text]
        .iter()
        .all(|p| p.x.is_finite() && p.y.is_finite());
    finite.then_some(DimensionPlace {
        from,
        to,
        text,
        along,
    })
}

/// What the architect's paper shows: the text of the dimension's picture, what was typed over it, or its length.
pub(super) fn written_words(dimension: &Dimension, check: &DimensionCheck, units: Units) -> String {
    let typed = dimension.override_text.trim();
    let length = || units.length(check.written);
    match dimension.shown_text.trim() {
        "" if typed.is_empty() => length(),
        "" => typed.replace("<>", &length()),
        shown => shown.to_owned(),
    }
}

/// A dimension on paper.
struct Measured<'a> {
    check: &'a DimensionCheck,
    place: DimensionPlace,
    words: String,
    width: f64,
    lines: Vec<(Spot, Spot)>,
}

impl<'a> Measured<'a> {
    /// `None` where it is hidden, or its number lies outside the window.
    fn new(
        drawing: &Drawing,
        check: &'a DimensionCheck,
        view: &PlanView,
        window: &Area,
    ) -> Option<Self> {
        let dimension = drawing.dimensions.get(check.dimension)?;
        if !is_shown(drawing, dimension.source) {
            return None;
        }
        let place = place_dimension(dimension, view)?;
        let words = written_words(dimension, check, Units::of(drawing.scale.unit));
        let width = text_width(&words, DIMENSION_CAP, Weight::Regular);
        let half = Coord { x: width, y: width } / 2.0;
        if !window.holds(&Area::of(place.text - half, place.text + half)) {
            return None;
        }
        let tick = Coord {
            x: HALF_TICK,
            y: -HALF_TICK,
        };
        let mut lines = vec![
            (place.from, place.to),
            (place.from - tick, place.from + tick),
            (place.to - tick, place.to + tick),
        ];
        for (point, end) in [(dimension.from, place.from), (dimension.to, place.to)] {
            let point = view.paper(point);
            let d = end - point;
            let length = d.x.hypot(d.y);
            if length > EXTENSION_GAP {
                lines.push((
                    point + d * (EXTENSION_GAP / length),
                    end + d * (OVERRUN / length),
                ));
            }
        }
        let lines = lines.into_iter();
        let lines = lines.filter_map(|(from, to)| clip_line(from, to, window));
        Some(Self {
            check,
            place,
            words,
            width,
            lines: lines.collect(),
        })
    }

    /// Its number: one that conflicts with what is drawn stands whatever else does.
    fn number(&self) -> Words {
        let is_doubted = self.check.verdict == DimensionVerdict::Conflicts;
        Words {
            drawn: DIMENSION_CAP,
            cap: DIMENSION_CAP,
            along: self.place.along,
            lines: vec![WordLine {
                middle: self.place.text,
                width: self.width,
                words: self.words.clone(),
            }],
            rank: if is_doubted {
                Rank::Always
            } else {
                Rank::Number
            },
        }
    }
}
