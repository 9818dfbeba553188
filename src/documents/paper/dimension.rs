//! Dimension strings with oblique ticks, and ordinates from one datum.
//!
//! ```text
//!      object │        │              string: lines outside, text above; what does not
//!             │        │              fit goes outside the line with a leader
//!             ╱──8'-0"─╱─╱──
//!                       1/8"
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

/// A row of more texts than this that needs more than so many times the string's length is left out.
const MANY: usize = 8;
const CROWDED: f64 = 1.2;

/// Draws a string of dimensions. Where very many pieces are too short for their texts, a small ring at its end says that some are
/// not printed; the ring's title has them.
///
/// - Returns which pieces have no text printed, in order, for the sheet to tell elsewhere: see [`unprinted`].
#[must_use = "lengths that are not printed are named elsewhere on the sheet"]
pub fn dimension_string(canvas: &mut Canvas, string: &DimensionString<'_>) -> Vec<usize> {
    draw_string(canvas, string, MANY)
}

/// Draws a string that has few pieces by its nature, such as the thickness of a wall: every length is printed, between its ticks
/// or in a row beside them.
pub fn short_string(canvas: &mut Canvas, string: &DimensionString<'_>) {
    let left = draw_string(canvas, string, usize::MAX);
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

/// - `many`: a crowded row of more texts than this is left out.
fn draw_string(canvas: &mut Canvas, string: &DimensionString<'_>, many: usize) -> Vec<usize> {
    let side = string.side;
    let place = |along: f64, out: f64| side.spot(string.edge, along, out);
    let (Some(first), Some(last)) = (string.ends.first(), string.ends.last()) else {
        return Vec::new();
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
    let needed: f64 = outside.iter().map(|text| text.1 + 2.0).sum();
    let mut left = Vec::new();
    if outside.len() > many && needed > (*last - *first).abs() * CROWDED {
        // Too many to read: the pieces stand in the title for those who point at the string, and on the sheets of their panels.
        left = beyond;
        let short: Vec<&str> = outside.iter().map(|it| it.2).collect();
        canvas.group("", &short.join(", "), |canvas| {
            let at = place(*last, string.lane);
            canvas.circle(Pen::Fine.full(), Fill::White, at, size::HALF_TICK * 0.6);
        });
    } else {
        outside_texts(canvas, string, &outside, &fitted, lettered);
    }
    // Last, so that their patches cover leaders that pass beneath.
    for (at, words) in inside {
        canvas.text(at, words, lettered.masked());
    }
    left
}

/// Texts that do not fit between their ticks: in a row on the far side of the line, each with a leader.
fn outside_texts(
    canvas: &mut Canvas,
    string: &DimensionString<'_>,
    texts: &[(f64, f64, &str)],
    fitted: &[[f64; 2]],
    lettered: Lettered,
) {
    let side = string.side;
    let wanted: Vec<f64> = texts.iter().map(|text| text.0).collect();
    let sizes: Vec<f64> = texts.iter().map(|text| text.1 + 2.0).collect();
    let places = spread(&wanted, &sizes, f64::NEG_INFINITY, f64::INFINITY);
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
    for ((middle, _, words), along) in texts.iter().zip(places) {
        canvas.line(
            Pen::Fine.full(),
            side.spot(string.edge, *middle, string.lane),
            side.spot(string.edge, along, near - 0.4),
        );
        let out = near + string.cap / 2.0;
        canvas.text_centred(side.spot(string.edge, along, out), *words, lettered);
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
