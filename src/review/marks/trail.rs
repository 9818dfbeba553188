//! Paths and other shapes of an SVG as runs of straight pieces; transforms.

use super::drawn::{Lines, Run};
use super::style::length;
use crate::documents::paper::{Spot, spot};
use kurbo::{Affine, BezPath, PathEl, Point, Shape, Vec2};
use roxmltree::Node;

/// Straight pieces that stand for a curve.
const PIECES: u32 = 8;
/// Digits before the point that a coordinate may have: a sheet is a few thousand units wide.
const MOST_DIGITS: u32 = 7;

/// A longer path is read to there, bytes: a sheet joined into one path, its letters outlines, takes a fifth of it.
const LONGEST_PATH: usize = 8 << 20;
/// Points that are nearer to each other than this are first to go, mm.
const FINEST: f64 = 0.02;

/// True when an element's path is longer than what is read of it.
pub(super) fn is_endless(node: Node<'_, '_>) -> bool {
    let mut long = ["d", "points"].iter().filter_map(|it| node.attribute(*it));
    long.any(|it| it.len() > LONGEST_PATH)
}

/// The part of a path that is read: to its last whole command.
fn bounded(d: &str) -> &str {
    if d.len() <= LONGEST_PATH {
        return d;
    }
    let mut end = LONGEST_PATH;
    while !d.is_char_boundary(end) {
        end -= 1;
    }
    let d = &d[..end];
    let is_command = |c: char| c.is_ascii_alphabetic() && !matches!(c, 'e' | 'E');
    let command = d.rfind(is_command).filter(|at| *at > LONGEST_PATH / 2);
    &d[..command.or_else(|| d.rfind([' ', ','])).unwrap_or(0)]
}

/// Takes points out of lines until there are no more than so many; true when any went.
pub(super) fn thinned(lines: &mut Lines, most: usize) -> bool {
    let n_points = |lines: &Lines| lines.runs.iter().map(|it| it.points.len()).sum::<usize>();
    if n_points(lines) <= most {
        return false;
    }
    lines.runs.truncate((most / 2).max(1));
    let mut within = FINEST;
    while n_points(lines) > most && within < 1e6 {
        for run in &mut lines.runs {
            let last = run.points.len().saturating_sub(1);
            let mut kept: Option<Spot> = None;
            let mut at = 0;
            run.points.retain(|p| {
                let is_kept =
                    at == last || kept.is_none_or(|it| (p.x - it.x).hypot(p.y - it.y) > within);
                if is_kept {
                    kept = Some(*p);
                }
                at += 1;
                is_kept
            });
        }
        within *= 2.0;
    }
    true
}

/// The shape of an element in its own user units; `None` for what is no shape, or no shape that can be drawn.
pub(super) fn shape(node: Node<'_, '_>) -> Option<BezPath> {
    let number = |name: &str| node.attribute(name).and_then(length).unwrap_or_default();
    let mut path = BezPath::new();
    match node.tag_name().name() {
        "line" => {
            path.move_to((number("x1"), number("y1")));
            path.line_to((number("x2"), number("y2")));
        }
        "rect" => {
            let (x, y, w, h) = (number("x"), number("y"), number("width"), number("height"));
            if w <= 0.0 || h <= 0.0 {
                return None;
            }
            path.move_to((x, y));
            path.line_to((x + w, y));
            path.line_to((x + w, y + h));
            path.line_to((x, y + h));
            path.close_path();
        }
        "circle" | "ellipse" => {
            let (rx, ry) = match node.tag_name().name() {
                "circle" => (number("r"), number("r")),
                _ => (number("rx"), number("ry")),
            };
            if rx <= 0.0 || ry <= 0.0 {
                return None;
            }
            let round = kurbo::Ellipse::new((number("cx"), number("cy")), (rx, ry), 0.0);
            path = round.to_path(0.1);
        }
        "polyline" | "polygon" => {
            let points = numbers(bounded(node.attribute("points")?));
            for (i, pair) in points.chunks_exact(2).enumerate() {
                let p = (pair[0], pair[1]);
                if i == 0 {
                    path.move_to(p);
                } else {
                    path.line_to(p);
                }
            }
            if node.tag_name().name() == "polygon" && !path.elements().is_empty() {
                path.close_path();
            }
        }
        "path" => {
            let mut d = bounded(node.attribute("d")?);
            if !is_tame(d) {
                return None;
            }
            let mut read = BezPath::from_svg(d).ok();
            // One without a command in sight may end between two numbers that belong together.
            for _ in 0..7 {
                if read.is_some() || !is_endless(node) {
                    break;
                }
                d = &d[..d.trim_end().rfind([' ', ','])?];
                read = BezPath::from_svg(d).ok();
            }
            path = read?;
        }
        _ => return None,
    }
    (path.elements().len() > 1 && path.is_finite()).then_some(path)
}

/// True when no number of a path is beyond any sheet: what is, is no drawing.
fn is_tame(d: &str) -> bool {
    let (mut digits, mut is_fraction, mut exponent) = (0_u32, false, None::<u32>);
    for c in d.chars() {
        match (c, exponent) {
            ('0'..='9', Some(size)) => {
                let size = size * 10 + c.to_digit(10).unwrap_or_default();
                if size > 6 {
                    return false;
                }
                exponent = Some(size);
            }
            ('0'..='9', None) if !is_fraction => {
                digits += 1;
                if digits > MOST_DIGITS {
                    return false;
                }
            }
            ('0'..='9', None) => {}
            ('e' | 'E', _) => exponent = Some(0),
            // Small numbers are as harmless as none.
            ('-', Some(0)) => exponent = None,
            ('+', Some(0)) => {}
            ('.', None) => is_fraction = true,
            _ => (digits, is_fraction, exponent) = (0, false, None),
        }
    }
    true
}

/// A shape under a transform, straightened.
pub(super) fn straightened(path: &BezPath, to_paper: Affine) -> Lines {
    let mut lines = Lines::default();
    let mut run = Run::default();
    let mut last = Point::ORIGIN;
    let on_paper = |p: Point| -> Spot {
        let p = to_paper * p;
        spot(p.x, p.y)
    };
    let mut finish = |run: &mut Run| {
        let done = std::mem::take(run);
        if done.points.len() > 1 {
            lines.runs.push(done);
        }
    };
    let mut n_curves = 0;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => {
                finish(&mut run);
                run.points.push(on_paper(p));
                last = p;
            }
            PathEl::LineTo(p) => {
                run.points.push(on_paper(p));
                last = p;
            }
            PathEl::QuadTo(a, p) => {
                let cubic = kurbo::QuadBez::new(last, a, p).raise();
                curve(&cubic, &on_paper, &mut run);
                n_curves += 1;
                last = p;
            }
            PathEl::CurveTo(a, b, p) => {
                curve(&kurbo::CubicBez::new(last, a, b, p), &on_paper, &mut run);
                n_curves += 1;
                last = p;
            }
            PathEl::ClosePath => {
                run.is_closed = true;
                let start = run.points.first().copied();
                finish(&mut run);
                // What follows without a move begins where the closed run began.
                run.points.extend(start);
            }
        }
    }
    finish(&mut run);
    lines.n_curves = n_curves;
    lines
}

fn curve(cubic: &kurbo::CubicBez, on_paper: &impl Fn(Point) -> Spot, run: &mut Run) {
    use kurbo::ParamCurve;
    for i in 1..=PIECES {
        run.points
            .push(on_paper(cubic.eval(f64::from(i) / f64::from(PIECES))));
    }
}

/// Every number of a list.
pub(super) fn numbers(text: &str) -> Vec<f64> {
    text.split([' ', ',', '\n', '\t', '\r'])
        .filter(|it| !it.is_empty())
        .filter_map(length)
        .collect()
}

/// A `transform` attribute; what cannot be read changes nothing.
pub(super) fn transform(text: &str) -> Affine {
    let mut whole = Affine::IDENTITY;
    let mut rest = text;
    while let Some((name, after)) = rest.split_once('(') {
        let (values, next) = after.split_once(')').unwrap_or((after, ""));
        rest = next;
        let n = numbers(values);
        let at = |i: usize| n.get(i).copied().unwrap_or_default();
        let name = name.trim_matches(|c: char| c.is_whitespace() || c == ',');
        let one = match (name, n.len()) {
            ("matrix", 6) => Affine::new([at(0), at(1), at(2), at(3), at(4), at(5)]),
            ("translate", 1 | 2) => Affine::translate(Vec2::new(at(0), at(1))),
            ("scale", 1) => Affine::scale(at(0)),
            ("scale", 2) => Affine::scale_non_uniform(at(0), at(1)),
            ("rotate", 1) => Affine::rotate(at(0).to_radians()),
            ("rotate", 3) => Affine::rotate_about(at(0).to_radians(), Point::new(at(1), at(2))),
            ("skewX", 1) => Affine::skew(at(0).to_radians().tan(), 0.0),
            ("skewY", 1) => Affine::skew(0.0, at(0).to_radians().tan()),
            _ => Affine::IDENTITY,
        };
        whole *= one;
    }
    if whole.is_finite() {
        whole
    } else {
        Affine::IDENTITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(element: &str) -> Lines {
        let document = roxmltree::Document::parse(element).unwrap();
        straightened(&shape(document.root_element()).unwrap(), Affine::IDENTITY)
    }

    #[test]
    fn a_rectangle_is_the_same_however_it_is_drawn() {
        let one = lines("<rect x=\"1\" y=\"2\" width=\"3\" height=\"4\"/>");
        assert_eq!(one, lines("<polygon points=\"1,2 4,2 4,6 1,6\"/>"));
        assert_eq!(one, lines("<path d=\"m1 2h3v4H1z\"/>"));
    }

    #[test]
    fn numbers_beyond_any_sheet_are_no_drawing() {
        for d in [
            "M0 0L1e400 0",
            "M0 0A1e30 1e30 0 0 1 5 5",
            "M0 0L123456789 0",
        ] {
            assert!(!is_tame(d), "{d}");
        }
        assert!(is_tame("M1.123456789 0L1e-9 2.5e3,0-1"));
    }

    #[test]
    fn a_line_without_end_is_read_in_part_and_thinned_to_its_ends() {
        let zigzag: String = (0..2_400_000)
            .map(|n| format!("{} {} ", n % 90, n % 7))
            .collect();
        let text = format!("<path d=\"M0 0L{zigzag}\"/>");
        assert!(text.len() > LONGEST_PATH);
        let document = roxmltree::Document::parse(&text).unwrap();
        assert!(is_endless(document.root_element()));
        let mut lines = straightened(&shape(document.root_element()).unwrap(), Affine::IDENTITY);
        let last = lines.runs[0].points.last().copied();
        assert!(thinned(&mut lines, 1000));
        assert!((2..=1000).contains(&lines.runs[0].points.len()));
        assert_eq!(lines.runs[0].points.last().copied(), last);
        let mut few = Lines::default();
        assert!(!thinned(&mut few, 1000));
    }

    #[test]
    fn transforms_follow_each_other() {
        let p = transform("translate(10,20) rotate(90) scale(2)") * Point::new(1.0, 0.0);
        assert!((p - Point::new(10.0, 22.0)).hypot() < 1e-9);
        let p = transform("rotate(-90 1 2)") * Point::new(2.0, 2.0);
        assert!((p - Point::new(1.0, 1.0)).hypot() < 1e-9);
    }
}
