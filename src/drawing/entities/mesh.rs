//! MESH: points and the faces between them, as drawn before any smoothing.
//!
//! ```text
//!   92 points, each 10 20 30;  93 numbers, each 90: the corners of a face after how many they are, face by face
//! ```

use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Shape, Space};
use crate::drawing::file::contents::{Contents, Record};
use std::collections::BTreeSet;

/// The edges of its faces, each once.
pub(super) fn mesh(contents: &Contents<'_>, record: &Record) -> Reading {
    let mut points: Vec<Space> = Vec::new();
    let mut numbers: Vec<usize> = Vec::new();
    let mut in_faces = false;
    for pair in contents.pairs(record).skip(1) {
        let number = || pair.value.real().unwrap_or(0.0);
        match pair.code {
            101 | 1000.. => break,
            10 => points.push([number(), 0.0, 0.0]),
            20 | 30 => {
                if let Some(point) = points.last_mut() {
                    point[usize::from(pair.code == 30) + 1] = number();
                }
            }
            93 => in_faces = true,
            // What follows are edges and how sharp they are.
            94 => break,
            90 if in_faces => {
                let whole = pair.value.whole().and_then(|it| usize::try_from(it).ok());
                numbers.push(whole.unwrap_or(usize::MAX));
            }
            _ => {}
        }
    }
    let mut edges: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut rest = numbers.as_slice();
    while let Some((count, tail)) = rest.split_first() {
        let Some((face, after)) = tail.split_at_checked(*count) else {
            return Reading::Broken("its faces have more corners than it names".to_owned());
        };
        rest = after;
        for (a, b) in face.iter().zip(face.iter().cycle().skip(1)) {
            edges.insert((*a.min(b), *a.max(b)));
        }
    }
    let mut lines: Vec<(Space, Space)> = Vec::new();
    for (a, b) in edges {
        let (Some(a), Some(b)) = (points.get(a), points.get(b)) else {
            return Reading::Broken("its faces name points that it does not have".to_owned());
        };
        lines.push((*a, *b));
    }
    if lines.is_empty() {
        return Reading::Broken("it has no faces".to_owned());
    }
    Reading::Shape(Shape::Lines {
        lines,
        are_faces: false,
    })
}
