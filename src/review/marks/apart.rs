//! An outline that somebody made of many things of a sheet, taken apart into its lines, and what is left of it put together again.
//!
//! ```text
//!   combined outline ─► a thing for each line ─► lines and letters of the sheet fall out (`remade`) ─► clouds apart, the rest one thing
//! ```

use super::cloud::is_cloud;
use super::drawn::{Drawing, Drawn, DrawnForm, Lines, joined};
use crate::documents::paper::Area;
use std::collections::BTreeSet;

/// An outline of fewer lines is what it is.
const FEWEST: usize = 12;
/// Of more than this nothing is taken apart.
const MOST: usize = 40_000;

/// One outline that was taken apart.
pub(super) struct Apart {
    whole: usize,
    pieces: BTreeSet<usize>,
}

/// Puts the lines of each open outline of many at the end of a drawing, and opens them instead.
pub(super) fn taken_apart(marked: &mut Drawing, open: &mut Vec<usize>) -> Vec<Apart> {
    let n_runs = |item: &Drawn| item.lines().map_or(0, |it| it.runs.len());
    let many = |i: &usize| (FEWEST..MOST).contains(&n_runs(&marked.items[*i]));
    let wholes: Vec<usize> = open.iter().copied().filter(many).collect();
    let mut list = Vec::new();
    for whole in wholes {
        let item = marked.items[whole].clone();
        let first = marked.items.len();
        let Some(lines) = item.lines().filter(|_| first < MOST) else {
            continue;
        };
        // Which of its lines are curves is not known any more: one that turns little by little is.
        let per_run = lines.n_curves.div_ceil(lines.runs.len());
        for run in &lines.runs {
            let Some(area) = Area::around(&run.points) else {
                continue;
            };
            let form = DrawnForm::Lines(Lines {
                runs: vec![run.clone()],
                n_curves: per_run,
                heads: [false; 2],
            });
            marked.items.push(Drawn {
                form,
                area,
                ..item.clone()
            });
        }
        open.retain(|i| *i != whole);
        open.extend(first..marked.items.len());
        list.push(Apart {
            whole,
            pieces: (first..marked.items.len()).collect(),
        });
    }
    list
}

/// All lines that were taken apart.
pub(super) fn pieces(list: &[Apart]) -> BTreeSet<usize> {
    list.iter()
        .flat_map(|it| it.pieces.iter().copied())
        .collect()
}

/// What of each outline nobody found on the sheet becomes one thing again, but for clouds, which are things of their own.
pub(super) fn put_together(marked: &mut Drawing, list: &[Apart], added: &mut Vec<usize>) {
    for apart in list {
        let left: Vec<usize> = (added.iter().copied())
            .filter(|i| apart.pieces.contains(i))
            .collect();
        added.retain(|i| !apart.pieces.contains(i));
        if left.len() == apart.pieces.len() {
            added.push(apart.whole);
            continue;
        }
        let (clouds, others): (Vec<usize>, Vec<usize>) = left.into_iter().partition(|i| {
            let lines = marked.items[*i].lines();
            lines.is_some_and(|it| is_cloud(&it.runs.iter().collect::<Vec<_>>(), it.n_curves))
        });
        added.extend(clouds);
        let Some((first, rest)) = others.split_first() else {
            continue;
        };
        let more: Vec<Drawn> = rest.iter().map(|i| marked.items[*i].clone()).collect();
        let one = &mut marked.items[*first];
        for item in more {
            one.area = joined(one.area, item.area);
            if let (DrawnForm::Lines(all), DrawnForm::Lines(own)) = (&mut one.form, item.form) {
                all.runs.extend(own.runs);
                all.n_curves += own.n_curves;
            }
        }
        added.push(*first);
    }
    added.sort_unstable();
}

#[cfg(test)]
mod tests {
    use super::super::drafts::kind_of;
    use super::super::matching::differences;
    use super::super::model::MarkKind;
    use super::super::reader::read_svg;
    use super::*;

    fn drawing(body: &str) -> Drawing {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" viewBox=\"0 0 200 200\">{body}</svg>"
        );
        read_svg(text.as_bytes()).unwrap()
    }

    /// Fourteen lines of two inks and a text, combined with what a reviewer drew.
    fn combined(drawn: &str) -> (Drawing, Drawing) {
        let (mut issued, mut path) = (String::new(), String::new());
        for n in 0..14 {
            let y = 20 + n * 4;
            let ink = if n % 2 == 0 { "#000" } else { "#808080" };
            issued.push_str(&format!(
                "<line x1=\"10\" y1=\"{y}\" x2=\"90\" y2=\"{y}\" stroke=\"{ink}\" stroke-width=\"0.35\"/>"
            ));
            path.push_str(&format!("M10 {y}L90 {y}"));
        }
        issued.push_str("<text x=\"120\" y=\"40\" font-size=\"4\">SPLINE</text>");
        for n in 0..6 {
            path.push_str(&format!(
                "M{x} 40V37h1.5v3z",
                x = 120.2 + f64::from(n) * 2.1
            ));
        }
        let one = format!(
            "<path d=\"{path}{drawn}\" fill=\"none\" stroke=\"#808080\" stroke-width=\"0.35\"/>"
        );
        (drawing(&issued), drawing(&one))
    }

    #[test]
    fn a_sheet_in_one_outline_is_the_sheet_and_what_was_drawn_on_it_is_left() {
        let (issued, mut marked) = combined("");
        let found = differences(&issued, &mut marked);
        assert_eq!((found.added.len(), found.deleted.len()), (0, 0));
        assert_eq!((found.n_combined, found.n_outlined), (14, 1));
        let cloud = "M110 100A4.4 4.4 0 0 1 118 100A4.4 4.4 0 0 1 126 100A4.4 4.4 0 0 1 126 108A4.4 4.4 0 0 1 118 108A4.4 4.4 0 0 1 110 108A4.4 4.4 0 0 1 110 100Z";
        let (issued, mut marked) = combined(&format!("{cloud}M100 150L150 150M20 90L90 90L95 120"));
        let found = differences(&issued, &mut marked);
        let kinds: Vec<MarkKind> = found
            .added
            .iter()
            .map(|i| kind_of(&marked.items[*i]))
            .collect();
        assert_eq!(kinds, [MarkKind::Cloud, MarkKind::Shape]);
        assert!(found.deleted.is_empty());
        let left = marked.items[found.added[1]].lines().unwrap();
        assert_eq!(left.runs.len(), 2);
    }

    #[test]
    fn many_strokes_of_a_reviewer_stay_one_thing() {
        let mut strokes = String::new();
        for n in 0..20 {
            strokes.push_str(&format!("M{x} 120l3 4", x = 20 + n * 5));
        }
        let line = "<line x1=\"10\" y1=\"20\" x2=\"90\" y2=\"20\" stroke=\"#000\"/>";
        let drawn = format!("{line}<path d=\"{strokes}\" fill=\"none\" stroke=\"#00f\"/>");
        let (issued, mut marked) = (drawing(line), drawing(&drawn));
        assert_eq!(differences(&issued, &mut marked).added, [1]);
    }
}
