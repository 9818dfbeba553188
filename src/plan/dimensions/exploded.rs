//! Dimensions that were exploded into lines, marks and text, found again: a length over a line between two clear ends.
//!
//! ```text
//!      │          9'-0"          │        witness lines that end a little beyond the line,
//!   ───┼─────────────────────────┼───     or ticks across it, on both sides of the text
//!      │                         │
//!      ╵ these ends lie beside a face or a jamb of the plan
//! ```
//!
//! Furniture, notes of stairs, tables and details have lengths beside lines too: both ends must be marked, the text must stand about
//! the middle between them, and both must measure to something of the plan. A length that two texts claim is none.

use super::ties::{Ties, tie};
use super::{Typed, typed};
use crate::drawing::{Curve, Dimension, Drawing, SourceIndex, Text};
use crate::plan::Storey;
use crate::plan::axis::{Axis, Interval, covered, joined};
use crate::plan::callouts::readings;
use crate::plan::nearby::{Area, Nearby};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// A text stands this near its line, in heights of its letters.
const BESIDE: f64 = 1.8;
/// Letters are about this wide, in their heights.
const LETTER: f64 = 0.9;
/// A witness line goes beyond its dimension's line by so much, in heights of letters.
const BEYOND: (f64, f64) = (0.02, 2.0);
/// A tick is at most this long, in heights of letters.
const TICK: f64 = 3.0;
/// Sine of the angle within which lines are along a text or square to it.
const SQUARE: f64 = 0.01;
/// Sines of the angles at which ticks stand.
const SLANTED: (f64, f64) = (0.3, 0.95);
/// Marks at one place stand within this, inches.
const SAME: f64 = 1.0 / 64.0;
/// The text stands off the middle between its marks by at most this share of their distance.
const OFF_MIDDLE: f64 = 0.2;

/// A length on the sheet, with the axis through its middle along which it is written.
struct Written<'a> {
    text: &'a Text,
    axis: Axis,
    /// Lines along it: how far aside, and from where to where.
    lanes: Vec<(f64, Interval)>,
    /// Marks across them: where, how far aside the lane is, and the end that measures.
    marks: Vec<(f64, f64, Coord<f64>)>,
}

impl Written<'_> {
    /// Half of how long the text is.
    fn half(&self) -> f64 {
        let letters = u32::try_from(self.text.content.chars().count()).map_or(0.0, f64::from);
        0.5 * LETTER * self.text.height * letters
    }

    fn height(&self) -> f64 {
        self.text.height
    }
}

/// A drawing of nothing but the exploded dimensions of another, each with the handle of its text: they are compared alone, as those
/// of a drawing that has no others.
///
/// - `storeys`: those recovered from it.
#[must_use]
pub fn dimensions_in_lines(drawing: &Drawing, storeys: &[&Storey]) -> Drawing {
    let ties: Vec<Ties<'_>> = storeys.iter().map(|it| Ties::new(it)).collect();
    let mut dimensions = exploded(drawing, &ties);
    let mut sources = Vec::new();
    for (number, dimension) in (0_u32..).zip(&mut dimensions) {
        let own = drawing.sources.get(dimension.source.0 as usize);
        sources.push(own.cloned().unwrap_or_default());
        dimension.source = SourceIndex(number);
    }
    Drawing {
        file: drawing.file.clone(),
        scale: drawing.scale.clone(),
        sources,
        dimensions,
        ..Drawing::default()
    }
}

/// The exploded dimensions of a drawing, each with the source of its text; storeys are those recovered from it.
fn exploded(drawing: &Drawing, ties: &[Ties<'_>]) -> Vec<Dimension> {
    let mut list = lengths(drawing);
    if list.is_empty() || ties.is_empty() {
        return Vec::new();
    }
    let lines: Vec<Line> = drawing
        .strokes
        .iter()
        .filter(|it| !is_hidden(drawing, it.source))
        .filter_map(|it| match it.curve {
            Curve::Line { start, end } => Some((start, end)),
            Curve::Arc { .. } => None,
        })
        .collect();
    let index = Nearby::new(list.iter().enumerate().filter_map(|(i, it)| {
        let reach = it.half() + BESIDE * it.height();
        Some((Area::around(&[it.text.middle], reach)?, i))
    }));
    for (line, i) in passing(&lines, &index) {
        add_lane(&mut list[i], line);
    }
    list.retain(|it| !it.lanes.is_empty());
    let index = Nearby::new(list.iter().enumerate().filter_map(|(i, it)| {
        let ends = it
            .lanes
            .iter()
            .flat_map(|(d, (from, to))| [it.axis.point(*from, *d), it.axis.point(*to, *d)]);
        let ends: Vec<Coord<f64>> = ends.collect();
        Some((Area::around(&ends, 0.1 * it.height())?, i))
    }));
    for (line, i) in passing(&lines, &index) {
        add_mark(&mut list[i], line);
    }
    let found: Vec<Dimension> = list
        .iter()
        .filter_map(|it| between_marks(it, ties))
        .collect();
    let is_claimed_twice = |own: &Dimension| {
        let same = |p: Coord<f64>, q: Coord<f64>| (p.x - q.x).hypot(p.y - q.y) <= SAME;
        let alike = |it: &&Dimension| {
            same(it.from, own.from) && same(it.to, own.to)
                || same(it.from, own.to) && same(it.to, own.from)
        };
        found.iter().filter(alike).count() > 1
    };
    let single = found.iter().filter(|it| !is_claimed_twice(it));
    single.cloned().collect()
}

/// The two ends of a line.
type Line = (Coord<f64>, Coord<f64>);

/// Each line, in their order, with the number of each box that it may pass.
fn passing(lines: &[Line], boxes: &Nearby) -> Vec<(Line, usize)> {
    in_stretches(lines.len(), |part| {
        let mut pairs = Vec::new();
        for line in &lines[part] {
            boxes.visit(&Area::of(line.0, line.1), |i| pairs.push((*line, i)));
        }
        pairs
    })
}

fn is_hidden(drawing: &Drawing, source: SourceIndex) -> bool {
    let source = drawing.sources.get(source.0 as usize);
    source.is_some_and(|it| it.is_hidden)
}

/// Texts that are lengths.
fn lengths(drawing: &Drawing) -> Vec<Written<'_>> {
    in_stretches(drawing.texts.len(), |part| {
        let texts = drawing.texts[part].iter();
        texts
            .filter(|it| it.height > 0.0 && !is_hidden(drawing, it.source))
            .filter(|it| matches!(typed(&it.content, 1.0, 0.0), Typed::Length(it) if it >= 1.0))
            // `3068` beside a door is its size; in millimetres it may be a length.
            .filter(|it| drawing.scale.unit.is_metric() || readings(&it.content).is_empty())
            .filter_map(|text| {
                let along = Coord {
                    x: text.angle.cos(),
                    y: text.angle.sin(),
                };
                Some(Written {
                    text,
                    axis: Axis::through(text.middle, text.middle + along)?,
                    lanes: Vec::new(),
                    marks: Vec::new(),
                })
            })
            .collect()
    })
}

/// Adds a line along the text and beside it.
fn add_lane(it: &mut Written<'_>, (a, b): (Coord<f64>, Coord<f64>)) {
    let (s, t) = (it.axis.s(a), it.axis.s(b));
    let (d, e) = (it.axis.d(a), it.axis.d(b));
    let is_along = (d - e).abs() <= SQUARE * (t - s).abs() && (t - s).abs() > it.height();
    let is_beside = d.abs() <= BESIDE * it.height() && e.abs() <= BESIDE * it.height();
    if is_along && is_beside {
        it.lanes.push((f64::midpoint(d, e), (s.min(t), s.max(t))));
    }
}

/// Adds a witness line or a tick across one of its lines.
fn add_mark(it: &mut Written<'_>, (a, b): (Coord<f64>, Coord<f64>)) {
    let (s, t) = (it.axis.s(a), it.axis.s(b));
    let (d, e) = (it.axis.d(a), it.axis.d(b));
    let long = (t - s).hypot(e - d);
    let letter = it.height();
    let lanes: Vec<f64> = it.lanes.iter().map(|(lane, _)| *lane).collect();
    for lane in lanes {
        // How far it goes to either side of the line.
        let (below, above) = (lane - d.min(e), d.max(e) - lane);
        if below <= 0.0 || above <= 0.0 || long <= 1e-6 {
            continue;
        }
        let sine = (e - d).abs() / long;
        let (beyond, rest) = (below.min(above), below.max(above));
        let is_witness = (t - s).abs() <= SQUARE * long
            && (BEYOND.0 * letter..=BEYOND.1 * letter).contains(&beyond)
            && rest > beyond + SAME;
        let is_tick = (SLANTED.0..=SLANTED.1).contains(&sine)
            && long <= TICK * letter
            && (below - above).abs() <= 0.2 * letter;
        if is_witness {
            let is_first = (d - lane).abs() > (e - lane).abs();
            it.marks
                .push((f64::midpoint(s, t), lane, if is_first { a } else { b }));
        } else if is_tick {
            let at = f64::midpoint(s, t);
            it.marks.push((at, lane, it.axis.point(at, lane)));
        }
    }
}

/// What a text says between the marks to both sides of it, on the line that stands nearest to it.
fn between_marks(it: &Written<'_>, ties: &[Ties<'_>]) -> Option<Dimension> {
    let letter = it.height();
    let lane = it.lanes.iter().map(|(d, _)| *d);
    let lane = lane.min_by(|p, q| p.abs().total_cmp(&q.abs()))?;
    let is_of_lane = |d: f64| (d - lane).abs() <= 0.05 * letter;
    let marks = || it.marks.iter().filter(|mark| is_of_lane(mark.1));
    // Marks that stand together are one: a witness line measures, else the middle of the ticks, which may be two sides of a wide one.
    let settled = |at: f64| {
        let own = || marks().filter(move |mark| (mark.0 - at).abs() <= 0.5 * letter);
        let off = |mark: &&(f64, f64, Coord<f64>)| (it.axis.d(mark.2) - lane).abs();
        let witness = own().max_by(|p, q| off(p).total_cmp(&off(q)))?;
        if off(&witness) > SAME {
            return Some((witness.0, witness.2));
        }
        let least = own().map(|mark| mark.0).fold(f64::INFINITY, f64::min);
        let most = own().map(|mark| mark.0).fold(f64::NEG_INFINITY, f64::max);
        let middle = f64::midpoint(least, most);
        Some((middle, it.axis.point(middle, lane)))
    };
    let left = marks().map(|mark| mark.0).filter(|at| *at < 0.0);
    let left = settled(left.max_by(f64::total_cmp)?)?;
    let right = marks().map(|mark| mark.0).filter(|at| *at > 0.0);
    let right = settled(right.min_by(f64::total_cmp)?)?;
    let long = right.0 - left.0;
    let middle = f64::midpoint(left.0, right.0);
    if middle.abs() > OFF_MIDDLE * long + letter {
        return None;
    }
    // The line may be broken for the text, and ends where arrows begin.
    let own = it.lanes.iter().filter(|(d, _)| is_of_lane(*d));
    let own = joined(own.map(|(_, along)| *along).collect(), SAME);
    let open = 2.0 * it.half() + 6.0 * letter;
    if covered(&own, left.0, right.0) + open < long {
        return None;
    }
    let direction = it.text.angle;
    let along = Coord {
        x: direction.cos(),
        y: direction.sin(),
    };
    let (from, to) = (left.1, right.1);
    let is_tied = ties
        .iter()
        .any(|own| tie(own, from, along).is_some() && tie(own, to, along).is_some());
    is_tied.then(|| Dimension {
        from,
        to,
        direction: Some(direction),
        measured: long,
        stated: None,
        override_text: it.text.content.trim().to_owned(),
        shown_text: String::new(),
        text_at: it.text.middle,
        source: it.text.source,
    })
}

#[cfg(test)]
mod tests {
    use crate::drawing::{Source, SourceIndex};
    use crate::plan::codes::DIMENSION_TEXT;
    use crate::plan::trial::{drawing, open_shell, recovered_among};
    use crate::plan::{
        CorrectionAnchor, CorrectionIntent, PlanCorrection, PlanCorrections, recover_plan,
    };

    /// What is said of lengths written under the lower wall, whose opening runs from 100 to 136, with lines beside them.
    fn told(extra: &[[f64; 4]], words: &[(&str, [f64; 2])]) -> Vec<String> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(extra);
        let plan = recovered_among(&lines, &[], words);
        let own = plan.findings.into_iter();
        let own = own.filter(|it| it.code == DIMENSION_TEXT);
        own.map(|it| it.message).collect()
    }

    /// A line under the wall from corner to jamb to jamb, with what marks its three ends.
    fn string(mark: impl Fn(f64) -> [f64; 4]) -> Vec<[f64; 4]> {
        let mut lines = vec![[0.0, -40.0, 136.0, -40.0]];
        lines.extend([0.0, 100.0, 136.0].map(mark));
        lines
    }

    fn witness(x: f64) -> [f64; 4] {
        [x, -3.0, x, -44.0]
    }

    /// A witness line with the two sides of a wide tick on it.
    fn wide_ticks(x: f64) -> [[f64; 4]; 3] {
        let side = |by: f64| [x - 3.0 + by, -43.0, x + 3.0 + by, -37.0];
        [witness(x), side(-0.2), side(0.2)]
    }

    fn tick(x: f64) -> [f64; 4] {
        [x - 3.0, -43.0, x + 3.0, -37.0]
    }

    const RIGHT: (&str, [f64; 2]) = ("8'-4\"", [50.0, -36.0]);
    const WRONG: (&str, [f64; 2]) = ("3'-2\"", [118.0, -36.0]);

    #[test]
    fn an_exploded_dimension_is_compared_like_one_that_is_whole() {
        let mut wide = vec![[0.0, -40.0, 136.0, -40.0]];
        wide.extend([0.0, 100.0, 136.0].into_iter().flat_map(wide_ticks));
        for lines in [string(witness), string(tick), wide] {
            let said = told(&lines, &[RIGHT, WRONG]);
            let [message] = &said[..] else {
                panic!("{said:?}");
            };
            assert!(
                message.contains("38\"") && message.contains("36\""),
                "{message}"
            );
            assert!(told(&lines, &[RIGHT, ("3'-0\"", [118.0, -36.0])]).is_empty());
        }
    }

    #[test]
    fn one_that_is_exploded_is_trusted_by_the_handle_of_its_text() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(string(witness));
        let mut drawing = drawing(&lines, &[], &[RIGHT, WRONG]);
        drawing.sources.push(Source {
            handle: "2F4".to_owned(),
            ..drawing.sources[0].clone()
        });
        drawing.texts[1].source = SourceIndex(1);
        let trusted = PlanCorrections {
            list: vec![PlanCorrection {
                anchor: CorrectionAnchor::Dimension("2f4".to_owned()),
                intent: CorrectionIntent::Trusted,
                file: "job.toml".to_owned(),
                line: 1,
            }],
            ..PlanCorrections::default()
        };
        let found = recover_plan(&[drawing], &trusted);
        let wide: Vec<f64> = found.output.storeys[0]
            .openings
            .iter()
            .map(|it| it.width)
            .collect();
        assert_eq!(wide, [38.0]);
        assert!(!found.findings.iter().any(|it| it.code == DIMENSION_TEXT));
        // It is kept for a revised drawing.
        let kept = &found.output.before_corrections[0].dimensions;
        assert!(
            kept.iter()
                .any(|it| it.handle == "2F4" && it.written == 38.0),
            "{kept:?}"
        );
    }

    #[test]
    fn lengths_whose_ends_are_not_clear_are_not_compared() {
        // No marks; marks on one side; a box round the text; two texts between the same marks.
        assert!(told(&[[0.0, -40.0, 136.0, -40.0]], &[RIGHT, WRONG]).is_empty());
        let half = vec![[0.0, -40.0, 136.0, -40.0], witness(100.0)];
        assert!(told(&half, &[WRONG]).is_empty());
        let table = crate::plan::trial::sides(100.0, -44.0, 136.0, -30.0);
        assert!(told(&table, &[WRONG]).is_empty());
        let other = ("4'-0\"", [116.0, -45.0]);
        assert!(told(&string(witness), &[WRONG, other]).is_empty());
        // A bed within a room, a flight of stairs, and a length that measures nothing of the plan.
        let bed = crate::plan::trial::sides(100.0, 100.0, 160.0, 180.0);
        assert!(told(&bed, &[("5'-6\"", [130.0, 104.0])]).is_empty());
        let treads: Vec<[f64; 4]> = (0..10)
            .map(|i| 200.0 + 11.0 * f64::from(i))
            .map(|x| [x, 80.0, x, 120.0])
            .chain([[195.0, 100.0, 305.0, 100.0]])
            .collect();
        assert!(told(&treads, &[("10\"", [238.5, 104.0])]).is_empty());
        // The size of a door over a line is no length.
        assert!(told(&string(witness), &[RIGHT, ("3068", [118.0, -36.0])]).is_empty());
        let away = string(witness)
            .into_iter()
            .map(|l| [l[0] + 20.0, l[1], l[2] + 20.0, l[3]]);
        let away: Vec<[f64; 4]> = away.collect();
        assert!(told(&away, &[("3'-2\"", [138.0, -36.0])]).is_empty());
    }
}
