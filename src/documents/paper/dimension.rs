//! Dimension strings with oblique ticks, and ordinates from one datum.
//!
//! ```text
//!      object │        │              string: lines outside, text above; what does not
//!             │        │              fit goes outside the line with a leader
//!             ╱──8'-0"─╱─╱──
//!                       1/8"
//!
//!      ╱──╱──╱──╱──╱               where very many do not fit: in two or more rows, the leaders of the
//!      1'-9" │ 1'-9" │               farther pass between the numbers of the nearer
//!          2'-0"   2'-0"
//!
//!      29 3/4 ──┐                     ordinate: one line, one number; a label that had to
//!               └───── object         move gets a jog
//! ```

use super::canvas::{Canvas, Lettered};
use super::fonts::measure;
use super::model::{Anchor, Spot, Weight, spot};
use super::spread::spread;
use super::style::{Fill, Lettering, Pen, dimension as size};
use crate::units::Length;
use std::cmp::Ordering;

/// Dimensions are printed to this.
pub const PRINTED: Length = Length::fraction(0, 1, 16);

/// What is printed between positions: differences of positions rounded to 1/16 in, so that pieces add up as printed.
#[must_use]
pub fn printed_pieces(ends: &[Length]) -> Vec<String> {
    let rounded: Vec<Length> = ends
        .iter()
        .map(|it| Length::nearest(it.to_inches(), PRINTED).unwrap_or(*it))
        .collect();
    rounded
        .windows(2)
        .filter_map(|pair| {
            let &[a, b] = pair else { return None };
            Some((b - a).feet_inches().to_string())
        })
        .collect()
}

/// On which side of the object something stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left of it.
    Left,
    /// Right of it.
    Right,
    /// Above it.
    Above,
    /// Below it.
    Below,
}

impl Side {
    /// The point `along` the side and `out` mm outside an object's edge.
    #[must_use]
    pub fn spot(self, edge: f64, along: f64, out: f64) -> Spot {
        match self {
            Self::Left => spot(edge - out, along),
            Self::Right => spot(edge + out, along),
            Self::Above => spot(along, edge - out),
            Self::Below => spot(along, edge + out),
        }
    }

    /// True when positions run along the paper's y.
    #[must_use]
    pub const fn is_upright(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }
}

/// A string of dimensions that closes.
#[derive(Clone, Debug)]
pub struct DimensionString<'a> {
    /// Side of the object.
    pub side: Side,
    /// The object's edge on that side, mm on paper.
    pub edge: f64,
    /// Where the pieces part, mm along the side, in order from left to right or from top to bottom.
    pub ends: &'a [f64],
    /// One text for each piece.
    pub words: &'a [String],
    /// Distance of the dimension line from the edge: see [`size::LANES`].
    pub lane: f64,
    /// Where extension lines begin, mm from the edge.
    pub from: f64,
    /// Cap height of the texts.
    pub cap: f64,
}

/// A row of more texts than this that needs more than so many times the string's length is parted into more rows, or left out.
const MANY: usize = 8;
const CROWDED: f64 = 1.2;
/// Between the ends of texts in one row, and the room of a leader that passes between them, mm.
const BETWEEN: f64 = 2.0;
const LEADER: f64 = 1.6;
/// From one row of texts to the next, beside the letters' own height, mm.
const ROW: f64 = 2.4;

/// Draws a string of dimensions. Where very many pieces are too short for their texts, a small ring at its end says that some are
/// not printed; the ring's title has them.
///
/// - Returns which pieces have no text printed, in order, for the sheet to tell elsewhere: see [`unprinted`].
#[must_use = "lengths that are not printed are named elsewhere on the sheet"]
pub fn dimension_string(canvas: &mut Canvas, string: &DimensionString<'_>) -> Vec<usize> {
    draw_string(canvas, string, MANY, 1).left
}

/// What became of the texts of a string.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StringTold {
    /// Which pieces have no text printed, in order: see [`unprinted`].
    pub left: Vec<usize>,
    /// How much farther than those of one row the numbers reach, mm: what stands beyond them moves by it.
    pub deeper: f64,
}

/// The same for a string whose name stands at its left, with up to so many rows of numbers where one is longer than the string.
#[must_use = "lengths that are not printed are named elsewhere on the sheet"]
pub fn dimension_string_in_rows(
    canvas: &mut Canvas,
    string: &DimensionString<'_>,
    rows: usize,
) -> StringTold {
    draw_string(canvas, string, MANY, rows)
}

/// Draws a string that has few pieces by its nature, such as the thickness of a wall: every length is printed, between its ticks
/// or in a row beside them.
pub fn short_string(canvas: &mut Canvas, string: &DimensionString<'_>) {
    let left = draw_string(canvas, string, usize::MAX, 1).left;
    debug_assert!(left.is_empty(), "a short string prints all: {left:?}");
}

/// What the notes of a sheet say of the pieces of a string that have no length printed; `None` where all have one.
///
/// - `about`: which string.
/// - `start`: from where it runs.
/// - `ends`: where its pieces part, in the order of `words`.
/// - `left`: as [`dimension_string`] returns it.
#[must_use]
pub fn unprinted(
    about: &str,
    start: &str,
    ends: &[Length],
    words: &[String],
    left: &[usize],
) -> Option<String> {
    let first = *ends.first()?;
    let named = left.iter().filter_map(|piece| {
        let begins = (*ends.get(*piece)? - first).feet_inches();
        Some(format!("{} at {begins}", words.get(*piece)?))
    });
    let named: Vec<String> = named.collect();
    (!named.is_empty()).then(|| {
        format!(
            "{about}, pieces too short for their numbers, with where each begins from {start}: {}.",
            named.join("; ")
        )
    })
}

/// - `many`: a crowded row of more texts than this is parted into up to `rows`; where they are crowded too, it is left out.
fn draw_string(
    canvas: &mut Canvas,
    string: &DimensionString<'_>,
    many: usize,
    rows: usize,
) -> StringTold {
    let side = string.side;
    let place = |along: f64, out: f64| side.spot(string.edge, along, out);
    let (Some(first), Some(last)) = (string.ends.first(), string.ends.last()) else {
        return StringTold::default();
    };
    let fine = Pen::Fine.full();
    canvas.line(fine, place(*first, string.lane), place(*last, string.lane));
    for end in string.ends {
        canvas.line(
            fine,
            place(*end, string.from.max(size::EXTENSION_GAP)),
            place(*end, string.lane + size::OVERRUN),
        );
        let at = place(*end, string.lane);
        let half = spot(size::HALF_TICK, -size::HALF_TICK);
        canvas.line(Pen::Edge.full(), at - half, at + half);
    }
    let lettered = Lettered::cap(string.cap).middle();
    let lettered = if side.is_upright() {
        lettered.upwards()
    } else {
        lettered
    };
    let mut inside: Vec<(Spot, &str)> = Vec::new();
    let mut fitted: Vec<[f64; 2]> = Vec::new();
    let mut outside: Vec<(f64, f64, &str)> = Vec::new();
    let mut beyond = Vec::new();
    for (piece, (ends, words)) in string.ends.windows(2).zip(string.words).enumerate() {
        let &[a, b] = ends else { continue };
        let middle = f64::midpoint(a, b);
        let width = lettered.width(words);
        if width + 2.0 * size::HALF_TICK <= (b - a).abs() {
            let at = place(middle, string.lane);
            let lift = size::TEXT_LIFT;
            let at = if side.is_upright() {
                spot(at.x - lift, at.y)
            } else {
                spot(at.x, at.y - lift)
            };
            inside.push((at, words));
            fitted.push([middle - width / 2.0, middle + width / 2.0]);
        } else {
            outside.push((middle, width, words));
            beyond.push(piece);
        }
    }
    let widths: Vec<f64> = outside.iter().map(|text| text.1).collect();
    let length = (*last - *first).abs();
    let of_one = needed(&widths, 1);
    let further = (2..=rows).find(|count| needed(&widths, *count) <= length);
    let is_left_out = outside.len() > many && of_one > length * CROWDED;
    let rows = match further {
        Some(count) if of_one > length => Some((count, [*first - BETWEEN, *last + BETWEEN])),
        None if is_left_out => None,
        _ if rows == 1 => Some((1, [f64::NEG_INFINITY, f64::INFINITY])),
        // The string's name stands at its left.
        _ => Some((1, [*first - BETWEEN, f64::INFINITY])),
    };
    let mut told = StringTold::default();
    if let Some((rows, within)) = rows {
        outside_texts(canvas, string, &outside, &fitted, (rows, within), lettered);
        let further = u8::try_from(rows - 1).unwrap_or_default();
        told.deeper = f64::from(further) * (string.cap + ROW);
    } else {
        // Too many to read: the pieces stand in the title for those who point at the string, and on the sheets of their panels.
        told.left = beyond;
        let short: Vec<&str> = outside.iter().map(|it| it.2).collect();
        canvas.group("", &short.join(", "), |canvas| {
            let at = place(*last, string.lane);
            canvas.circle(Pen::Fine.full(), Fill::White, at, size::HALF_TICK * 0.6);
        });
    }
    // Last, so that their patches cover leaders that pass beneath.
    for (at, words) in inside {
        canvas.text(at, words, lettered.masked());
    }
    told
}

/// The room that the longest of so many rows takes, mm: its texts, and the leaders of the rows beyond it.
fn needed(widths: &[f64], rows: usize) -> f64 {
    let room = |row: usize| -> f64 {
        let sizes = widths.iter().zip(0..);
        let sizes = sizes.map(|(width, number)| match (number % rows).cmp(&row) {
            Ordering::Less => 0.0,
            Ordering::Equal => width + BETWEEN,
            Ordering::Greater => LEADER,
        });
        sizes.sum()
    };
    (0..rows).map(room).fold(0.0, f64::max)
}

/// Texts that do not fit between their ticks: in rows on the far side of the line, turn by turn, each with a leader.
fn outside_texts(
    canvas: &mut Canvas,
    string: &DimensionString<'_>,
    texts: &[(f64, f64, &str)],
    fitted: &[[f64; 2]],
    (rows, within): (usize, [f64; 2]),
    lettered: Lettered,
) {
    let side = string.side;
    let row_of = |number: usize| number % rows;
    // Row by row: where its texts stand, and where the leaders of those beyond it pass.
    let mut at: Vec<Vec<f64>> = texts.iter().map(|text| vec![text.0]).collect();
    for row in 0..rows {
        let (ids, room): (Vec<usize>, Vec<[f64; 2]>) = texts
            .iter()
            .enumerate()
            .filter(|(number, _)| row_of(*number) >= row)
            .filter_map(|(number, text)| {
                let size = if row_of(number) == row {
                    text.1 + BETWEEN
                } else {
                    LEADER
                };
                Some((number, [*at.get(number)?.last()?, size]))
            })
            .unzip();
        let wanted: Vec<f64> = room.iter().map(|it| it[0]).collect();
        let sizes: Vec<f64> = room.iter().map(|it| it[1]).collect();
        for (number, place) in ids
            .into_iter()
            .zip(spread(&wanted, &sizes, within[0], within[1]))
        {
            if let Some(path) = at.get_mut(number) {
                path.push(place);
            }
        }
    }
    let last = |path: &Vec<f64>| path.last().copied().unwrap_or_default();
    let places: Vec<f64> = at.iter().map(last).collect();
    // Left and above, texts that fit stand on the far side as well: a row that would meet one moves beyond them.
    let shares_side = matches!(side, Side::Left | Side::Above);
    let meets_fitted = texts.iter().zip(&places).any(|((_, width, _), along)| {
        let half = width / 2.0 + 1.0;
        fitted
            .iter()
            .any(|[from, to]| along - half < *to && along + half > *from)
    });
    let near = string.lane
        + if shares_side && meets_fitted {
            size::TEXT_LIFT + string.cap + 1.2
        } else {
            // Clear of the overrun of the extension lines.
            size::OVERRUN + 1.2
        };
    for (((_, _, words), path), along) in texts.iter().zip(&at).zip(places) {
        let place = |along: f64, out: f64| side.spot(string.edge, along, out);
        let mut points: Vec<Spot> = path
            .first()
            .map(|middle| place(*middle, string.lane))
            .into_iter()
            .collect();
        let mut out = near;
        for (passed, beyond) in path.iter().skip(1).zip(1..) {
            points.push(place(*passed, out - 0.4));
            if beyond + 1 < path.len() {
                points.push(place(*passed, out + string.cap + 0.6));
                out += string.cap + ROW;
            }
        }
        let fine = Pen::Fine.full();
        match points.as_slice() {
            [from, to] => canvas.line(fine, *from, *to),
            _ => canvas.polyline(fine, points),
        }
        canvas.text_centred(place(along, out + string.cap / 2.0), *words, lettered);
    }
}

/// One ordinate: a position and what stands at its end.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ordinate {
    /// Position on paper along the side, mm.
    pub at: f64,
    /// The number, perhaps with a word.
    pub words: String,
    /// True for a number to act on.
    pub is_bold: bool,
    /// Smaller lines beneath, on the left and right sides only.
    pub remarks: Vec<String>,
}

/// Where a row of ordinates stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrdinateRow {
    /// Side of the object.
    pub side: Side,
    /// The object's edge on that side.
    pub edge: f64,
    /// Where the labels start, mm outside the edge.
    pub label: f64,
    /// Labels stay between these two positions along the side.
    pub within: [f64; 2],
    /// Cap height of the numbers.
    pub cap: f64,
}

/// Draws ordinates: lines from near the object to their labels, spread with the least movement.
///
/// - `ordinates`: by position, rising.
/// - Returns how far out the longest label reaches, mm from the edge.
pub fn ordinate_row(
    canvas: &mut Canvas,
    lettering: &Lettering,
    row: &OrdinateRow,
    ordinates: &[Ordinate],
) -> f64 {
    let side = row.side;
    let pitch = row.cap * size::ORDINATE_PITCH;
    let extra = |ordinate: &Ordinate| {
        let lines = ordinate.remarks.iter().map(|_| lettering.leading());
        if side.is_upright() { lines.sum() } else { 0.0 }
    };
    let wanted: Vec<f64> = ordinates.iter().map(|it| it.at + extra(it) / 2.0).collect();
    let sizes: Vec<f64> = ordinates.iter().map(|it| pitch + extra(it)).collect();
    let places = spread(&wanted, &sizes, row.within[0], row.within[1]);
    let mut reach = row.label;
    for (ordinate, middle) in ordinates.iter().zip(places) {
        let along = middle - extra(ordinate) / 2.0;
        let place = |along: f64, out: f64| side.spot(row.edge, along, out);
        let start = size::EXTENSION_GAP + 0.5;
        let end = row.label - 1.2;
        let jog = (along - ordinate.at).abs() > 0.05;
        let points = if jog {
            let third = (end - start) / 3.0;
            vec![
                place(ordinate.at, start),
                place(ordinate.at, start + third),
                place(along, end - third),
                place(along, end),
            ]
        } else {
            vec![place(ordinate.at, start), place(ordinate.at, end)]
        };
        canvas.polyline(Pen::Fine.full(), points);
        let weight = if ordinate.is_bold {
            Weight::Bold
        } else {
            Weight::Regular
        };
        let lettered = Lettered::cap(row.cap).weight(weight);
        let lettered = match side {
            Side::Left => lettered.end(),
            Side::Right => lettered,
            Side::Above => lettered.upwards(),
            Side::Below => lettered.upwards().anchor(Anchor::End),
        };
        canvas.text_centred(place(along, row.label), ordinate.words.clone(), lettered);
        reach = reach.max(row.label + measure(&ordinate.words, row.cap, weight).width);
        if !side.is_upright() {
            continue;
        }
        let mut y = along + row.cap / 2.0 + lettering.leading();
        for remark in &ordinate.remarks {
            let small = Lettered::cap(lettering.note).anchor(lettered.anchor);
            canvas.text(spot(place(along, row.label).x, y), remark.clone(), small);
            reach = reach.max(row.label + small.width(remark));
            y += lettering.leading();
        }
    }
    reach
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Sheet;
    use crate::documents::paper::overlap::overlaps;
    use crate::documents::paper::style::{LARGE_SHEET, SMALL_SHEET};
    use crate::documents::paper::to_svg;

    #[track_caller]
    fn check(draw: impl FnOnce(&mut Canvas)) {
        let mut canvas = Canvas::new();
        draw(&mut canvas);
        let sheet = Sheet {
            width: 400.0,
            height: 400.0,
            layers: vec![canvas.into_group("all", "All")],
            ..Sheet::default()
        };
        assert_eq!(overlaps(&sheet), []);
    }

    #[test]
    fn two_strings_one_outside_the_other_do_not_touch() {
        let openings = [50.0, 52.0, 54.0, 56.0, 120.0, 122.0, 250.0];
        let words = ["1/8\"", "2 1/2\"", "1/8\"", "5'-4\"", "1/8\"", "10'-8\""].map(str::to_owned);
        for side in [Side::Left, Side::Right, Side::Above, Side::Below] {
            check(|canvas| {
                for (lane, ends, words) in [
                    (size::LANES[0], &openings[..], &words[..]),
                    (
                        size::LANES[1],
                        &[50.0, 250.0][..],
                        &["16'-8\"".to_owned()][..],
                    ),
                ] {
                    let string = DimensionString {
                        side,
                        edge: 150.0,
                        ends,
                        words,
                        lane,
                        from: lane - 5.0,
                        cap: LARGE_SHEET.note,
                    };
                    let _ = dimension_string(canvas, &string);
                }
            });
        }
    }

    #[test]
    fn a_string_tells_what_it_has_no_room_to_print() {
        let ends: Vec<f64> = (0..=40).map(|i| 50.0 + 4.0 * f64::from(i)).collect();
        let told = |ends: &[f64]| {
            let words: Vec<String> = (1..ends.len()).map(|i| format!("{i}'-0\"")).collect();
            let string = DimensionString {
                side: Side::Below,
                edge: 150.0,
                ends,
                words: &words,
                lane: size::LANES[0],
                from: 4.0,
                cap: LARGE_SHEET.note,
            };
            let mut canvas = Canvas::new();
            dimension_string(&mut canvas, &string)
        };
        assert!(told(&ends).into_iter().eq(0..40));
        let left = told(&ends[..4]);
        assert!(left.is_empty(), "{left:?}");
    }

    #[test]
    fn each_length_of_a_crowded_string_is_printed_or_named() {
        let ends: Vec<Length> = (0..=40).map(|i| Length::inches(3 * i)).collect();
        let places: Vec<f64> = (0..=40).map(|i| 50.0 + 4.0 * f64::from(i)).collect();
        let words = printed_pieces(&ends);
        let string = DimensionString {
            side: Side::Above,
            edge: 150.0,
            ends: &places,
            words: &words,
            lane: size::LANES[0],
            from: 4.0,
            cap: LARGE_SHEET.note,
        };
        let texts = |canvas: Canvas| {
            let sheet = Sheet {
                layers: vec![canvas.into_group("all", "All")],
                ..Sheet::default()
            };
            let svg = String::from_utf8(to_svg(&sheet)).unwrap();
            svg.matches("<text").count()
        };
        let mut canvas = Canvas::new();
        let left = dimension_string(&mut canvas, &string);
        let note = unprinted("MODULES", "the left end", &ends, &words, &left).unwrap();
        assert_eq!(texts(canvas) + note.matches(" at ").count(), words.len());
        assert!(note.contains("3\" at 0\"; 3\" at 3\";"), "{note}");
        assert!(note.ends_with("; 3\" at 9'-9\"."), "{note}");
        assert_eq!(
            unprinted("MODULES", "the left end", &ends, &words, &[]),
            None
        );
        let mut canvas = Canvas::new();
        short_string(&mut canvas, &string);
        assert_eq!(texts(canvas), words.len());
    }

    #[test]
    fn numbers_of_a_crowded_string_stand_in_as_many_rows_as_they_need() {
        for (step, rows) in [(13.0, 2), (10.0, 3), (8.0, 4)] {
            let ends: Vec<f64> = (0..=40).map(|i| 40.0 + step / 2.0 * f64::from(i)).collect();
            let words: Vec<String> = (0..40).map(|i| format!("{i}'-{i}")).collect();
            for side in [Side::Left, Side::Right, Side::Above, Side::Below] {
                let mut told = StringTold::default();
                check(|canvas| {
                    let string = DimensionString {
                        side,
                        edge: 200.0,
                        ends: &ends,
                        words: &words,
                        lane: size::LANES[0],
                        from: 4.0,
                        cap: SMALL_SHEET.note,
                    };
                    told = dimension_string_in_rows(canvas, &string, 4);
                });
                let further = (told.deeper / (SMALL_SHEET.note + ROW)).round() + 1.0;
                assert!(told.left.is_empty(), "{step}");
                assert_eq!(format!("{further}"), format!("{rows}"), "{step}");
            }
        }
    }

    #[test]
    fn ordinates_that_crowd_are_spread_and_keep_their_order() {
        let ordinates: Vec<Ordinate> = [60.0, 61.0, 61.5, 90.0, 92.0]
            .map(|at| Ordinate {
                at,
                words: format!("{at} 15/16"),
                remarks: vec!["chase".to_owned()],
                ..Ordinate::default()
            })
            .into();
        for side in [Side::Left, Side::Right, Side::Above, Side::Below] {
            check(|canvas| {
                let row = OrdinateRow {
                    side,
                    edge: 150.0,
                    label: 12.0,
                    within: [40.0, 120.0],
                    cap: SMALL_SHEET.note,
                };
                ordinate_row(canvas, &SMALL_SHEET, &row, &ordinates);
            });
        }
    }
}
