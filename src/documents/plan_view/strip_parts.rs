//! Parts of strips that the plan sheets share: legends that count, tables that show what fits and count the rest.

use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::table::Table;
use crate::documents::paper::{Canvas, Item, Lettered, Spot, spot};

/// Rows of a table below which it is not shown at all: a head over nothing says less than a line.
const LEAST_ROWS: usize = 2;

/// The first few, and how many more.
pub(crate) fn short_list(items: &[String], most: usize) -> String {
    let shown: Vec<&str> = items.iter().take(most).map(String::as_str).collect();
    let more = items.len().saturating_sub(most);
    if more == 0 {
        shown.join(", ")
    } else {
        format!("{} and {more} more", shown.join(", "))
    }
}

/// So many signs that found no place are named.
const MOST_NAMES: usize = 30;

/// What a sheet says of signs that found no free place on it; empty when all did.
pub(crate) fn left_words(signs: &[String]) -> String {
    let names = short_list(signs, MOST_NAMES);
    match signs.len() {
        0 => String::new(),
        1 => format!("1 sign found no free place on the drawing: {names}."),
        n => format!("{n} signs found no free place on the drawing: {names}."),
    }
}

/// A row of the legend: sample, words, count.
pub(crate) fn legend_row(
    canvas: &mut Canvas,
    strip: &mut Strip,
    words: &str,
    count: &str,
    sample: impl FnOnce(&mut Canvas, Spot),
) {
    let lettered = Lettered::cap(strip.lettering.note);
    let left = strip.left() + 26.0;
    let count_width = lettered.bold().width(count) + 3.0;
    let lines = wrap(
        words,
        strip.right() - left - count_width,
        lettered.cap,
        lettered.weight,
    );
    let more: f64 = lines
        .iter()
        .skip(1)
        .map(|_| strip.lettering.leading())
        .sum();
    let row = strip.lettering.note * 2.73;
    let height = row + more;
    let middle = strip.top + row / 2.0;
    sample(canvas, spot(strip.left() + 11.0, strip.top + height / 2.0));
    let mut base = middle + lettered.cap / 2.0;
    for line in lines {
        canvas.text(spot(left, base), line, lettered);
        base += strip.lettering.leading();
    }
    canvas.text_centred(spot(strip.right(), middle), count, lettered.bold().end());
    strip.top += height;
}

/// A whole number with commas between thousands.
pub(crate) fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    let count = digits.len();
    let mut words = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (count - index) % 3 == 0 {
            words.push(',');
        }
        words.push(digit);
    }
    words
}

/// A table as far as the strip has room, with a line that counts what is left out.
///
/// - `elsewhere`: the file that has all rows.
/// - Returns whether all rows are there.
pub(crate) fn draw_table(
    canvas: &mut Canvas,
    strip: &mut Strip,
    heading: &str,
    remark: &str,
    table: Table,
    elsewhere: &str,
) -> bool {
    let all = table.rows.len();
    let mut table = table;
    table.rows.truncate(strip.most_rows());
    loop {
        let mut trial = *strip;
        let mut drawn = Canvas::new();
        trial.heading(&mut drawn, heading, remark);
        let shown = table.rows.len();
        if shown > 0 {
            trial.table(&mut drawn, &table);
        }
        if shown < all {
            trial.prose(
                &mut drawn,
                &[format!("{} more: see {elsewhere}.", all - shown)],
            );
        } else if shown == 0 {
            trial.top += 1.5;
        }
        if trial.top <= trial.foot {
            *strip = trial;
            canvas.put(Item::Group(drawn.into_group("", heading)));
            return shown == all;
        }
        if shown <= LEAST_ROWS.min(all) {
            return false;
        }
        // Rows that wrap make the height uneven, so rows go one by one from the foot.
        table.rows.pop();
    }
}

/// Left end and length in feet of the longest usual scale bar of at most 200 mm that fits between two places.
pub(crate) fn bar_place(from: f64, to: f64, per_inch: f64) -> Option<(f64, i32)> {
    [128, 64, 32, 16, 8, 4]
        .into_iter()
        .map(|feet| (feet, f64::from(feet) * 12.0 * per_inch))
        .find(|(_, length)| *length <= 200.0 && *length <= to - from)
        .map(|(feet, length)| (to - length, feet))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_without_a_place_are_named_and_the_rest_counted() {
        let names = |n: usize| (1..=n).map(|it| format!("O{it}")).collect::<Vec<_>>();
        assert_eq!(left_words(&[]), "");
        assert!(left_words(&names(2)).ends_with("on the drawing: O1, O2."));
        assert!(left_words(&names(MOST_NAMES + 3)).ends_with("O30 and 3 more."));
    }
}
