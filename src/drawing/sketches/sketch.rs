//! Reads a sketch: a plan in words of runs and openings, for work that starts on a napkin.
//!
//! ```text
//!   run = ["E 28'", "N 16'", "W 28'", "close"]     ┌───────┐
//!   [[opening]]                               ──►  │       │   Sketch, counter-clockwise, W1 below
//!   wall = "W1"  from = "6'"  size = "3068"        └──▭────┘
//! ```

use crate::drawing::codes;
use crate::drawing::error::DrawingError;
use crate::drawing::model::{Sketch, SketchOpening, SketchWall};
use crate::drawing::sketches::sketch_file::{Run, SketchFile, parse_run, schema};
use crate::drawing::sketches::sketch_openings::{check_overlaps, opening};
use crate::findings::{Finding, Outcome, Place};
use crate::geometry::tolerance::SKETCH_CLOSES;
use crate::toml_text::{At, Mistake, Text, read_typed};
use crate::units::Length;
use geo::{Coord, Intersects, Line};

/// Reads a sketch.
///
/// - Walls come counter-clockwise whichever way they were given; an opening's `from` runs from the left end seen from
///   outside either way.
/// - The first wall given starts at the origin.
///
/// # Errors
/// [`DrawingError::Sketch`] with every mistake, its line and what would be right.
pub fn read_sketch(text: &str, file: &str) -> Result<Outcome<Sketch>, DrawingError> {
    let text = Text { file, text };
    let refused = |mistakes| DrawingError::Sketch { mistakes };
    let written: SketchFile = read_typed(text, schema()).map_err(refused)?;
    let mut mistakes = Vec::new();
    let mut walls = walls(text, &written.run, &mut mistakes);
    let is_sound = mistakes.is_empty();
    if is_sound {
        check_outline(text, &walls, &mut mistakes);
        check_names(text, &walls, &mut mistakes);
    }
    let openings: Vec<SketchOpening> = written
        .opening
        .iter()
        .filter_map(|item| opening(text, item, &walls, is_sound, &mut mistakes))
        .collect();
    check_overlaps(text, &walls, &openings, &mut mistakes);
    if !mistakes.is_empty() {
        mistakes.sort_by_key(|mistake: &Mistake| mistake.place.line);
        return Err(refused(mistakes));
    }
    let mut sketch = Sketch {
        file: file.to_owned(),
        name: written.name.unwrap_or_else(|| stem(file).to_owned()),
        thickness: 0.0,
        walls: Vec::new(),
        openings,
    };
    if signed_area(&walls) < 0.0 {
        turn_round(&mut walls, &mut sketch.openings);
    }
    sketch.walls = walls;
    let mut findings = Vec::new();
    sketch.thickness = match written.thickness {
        Some(thickness) => thickness.value.0.to_inches(),
        None => assumed_thickness(file, &mut findings),
    };
    Ok(Outcome {
        output: sketch,
        findings,
    })
}

/// 6 1/2 in: the commonest wall panel (`docs/rules.md`).
fn assumed_thickness(file: &str, findings: &mut Vec<Finding>) -> f64 {
    let assumed = Length::fraction(6, 1, 2);
    findings.push(Finding::note(
        codes::SKETCH_THICKNESS,
        Place::file(file),
        format!("the sketch does not say how thick its walls are; {assumed} was taken"),
        format!("write thickness = \"{}\" or what it is", "6 1/2"),
    ));
    assumed.to_inches()
}

fn stem(file: &str) -> &str {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// The walls as given, from the origin; mistakes where a run cannot be read or the runs do not close.
fn walls(
    text: Text<'_>,
    run: &At<Vec<At<String>>>,
    mistakes: &mut Vec<Mistake>,
) -> Vec<SketchWall> {
    let mut walls: Vec<SketchWall> = Vec::new();
    let mut at = Coord { x: 0.0, y: 0.0 };
    let count = run.value.len();
    for (number, item) in run.value.iter().enumerate() {
        let Run { name, step } = match parse_run(&item.value) {
            Ok(run) => run,
            Err((message, hint)) => {
                mistakes.push(text.mistake(item.offset, message, hint));
                continue;
            }
        };
        let end = match step {
            Some((direction, length)) => Coord {
                x: at.x + direction[0] * length.to_inches(),
                y: at.y + direction[1] * length.to_inches(),
            },
            None if number + 1 == count => Coord { x: 0.0, y: 0.0 },
            None => {
                mistakes.push(text.mistake(
                    item.offset,
                    "'close' stands before other runs",
                    "write it last: it goes back to where the first run began",
                ));
                continue;
            }
        };
        walls.push(SketchWall {
            name: name.unwrap_or_else(|| format!("W{}", number + 1)),
            start: at,
            end,
            line: text.line(item.offset),
        });
        at = end;
    }
    if mistakes.is_empty() {
        close(text, run, &mut walls, mistakes);
    }
    walls
}

/// Brings the last end to the origin, or says by how much it misses.
fn close(
    text: Text<'_>,
    run: &At<Vec<At<String>>>,
    walls: &mut [SketchWall],
    mistakes: &mut Vec<Mistake>,
) {
    if walls.len() < 3 {
        mistakes.push(text.mistake(
            run.offset,
            format!("{} runs do not enclose anything", walls.len()),
            "write at least three, such as run = [\"E 28'\", \"N 16'\", \"W 28'\", \"close\"]",
        ));
        return;
    }
    let Some(last) = walls.last_mut() else { return };
    let miss = last.end;
    if miss.x.hypot(miss.y) <= SKETCH_CLOSES {
        last.end = Coord { x: 0.0, y: 0.0 };
        return;
    }
    let offset = run.value.last().map_or(run.offset, |item| item.offset);
    mistakes.push(text.mistake(
        offset,
        format!(
            "the runs do not close: they end {} and {} of where they began",
            side(miss.x, "east", "west"),
            side(miss.y, "north", "south")
        ),
        "correct a length, or write \"close\" as the last run",
    ));
}

fn side(by: f64, forward: &str, backward: &str) -> String {
    let size = Length::nearest(by.abs(), Length::TAPE_STEP).unwrap_or_default();
    format!(
        "{} {}",
        size.feet_inches(),
        if by < 0.0 { backward } else { forward }
    )
}

/// Walls that fold back, cross or touch.
fn check_outline(text: Text<'_>, walls: &[SketchWall], mistakes: &mut Vec<Mistake>) {
    let line = |wall: &SketchWall| Line::new(wall.start, wall.end);
    let mut push = |wall: &SketchWall, message: String| {
        mistakes.push(Mistake {
            place: Place::line(text.file, wall.line),
            message,
            hint: "the outside faces go round the building once, without crossing".to_owned(),
        });
    };
    for (wall, next) in walls.iter().zip(walls.iter().cycle().skip(1)) {
        let (a, b) = (line(wall).delta(), line(next).delta());
        let turn = a.x * b.y - a.y * b.x;
        let along = a.x * b.x + a.y * b.y;
        if along < 0.0 && turn.abs() <= 1e-9 * along.abs() {
            push(
                next,
                format!("'{}' goes back over '{}'", next.name, wall.name),
            );
        }
    }
    let count = walls.len();
    for (number, wall) in walls.iter().enumerate() {
        let not_beside = walls
            .iter()
            .enumerate()
            .skip(number + 2)
            .filter(|(other, _)| !(number == 0 && *other + 1 == count));
        for (_, other) in not_beside {
            if line(wall).intersects(&line(other)) {
                push(
                    other,
                    format!("'{}' crosses or touches '{}'", other.name, wall.name),
                );
            }
        }
    }
}

fn check_names(text: Text<'_>, walls: &[SketchWall], mistakes: &mut Vec<Mistake>) {
    for (number, wall) in walls.iter().enumerate() {
        if let Some(first) = walls.iter().take(number).find(|one| one.name == wall.name) {
            mistakes.push(Mistake {
                place: Place::line(text.file, wall.line),
                message: format!("there are two walls named '{}'", wall.name),
                hint: format!("the other is on line {}; rename one", first.line),
            });
        }
    }
}

/// Twice the signed area is enough for its sign: above zero counter-clockwise.
fn signed_area(walls: &[SketchWall]) -> f64 {
    walls
        .iter()
        .map(|wall| wall.start.x * wall.end.y - wall.start.y * wall.end.x)
        .sum()
}

/// Makes a clockwise outline counter-clockwise. The left end seen from outside stays the left end, so `from` stays.
fn turn_round(walls: &mut [SketchWall], openings: &mut [SketchOpening]) {
    walls.reverse();
    for wall in walls.iter_mut() {
        std::mem::swap(&mut wall.start, &mut wall.end);
    }
    let last = walls.len().saturating_sub(1);
    for opening in openings {
        opening.wall = last.saturating_sub(opening.wall);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CABIN: &str = r#"
name = "Cabin"
thickness = "6 1/2"
run = ["E 24'", "N 16'", "W 24'", "close"]

[[opening]]
wall = "W1"
kind = "door"
from = "4'"
size = "3068"

[[opening]]
wall = 3
kind = "window"
from = "2'"
width = "4'-0\""
sill = "3'"
"#;

    fn read(text: &str) -> Outcome<Sketch> {
        read_sketch(text, "cabin.toml").unwrap()
    }

    #[track_caller]
    fn check_refused(text: &str, line: usize, words: &[&str]) {
        let error = read_sketch(text, "cabin.toml").unwrap_err().to_string();
        let place = format!("cabin.toml:{line}: ");
        assert!(error.contains(&place), "{place} is not in: {error}");
        for word in words {
            assert!(error.contains(word), "'{word}' is not in: {error}");
        }
    }

    #[test]
    fn a_cabin_is_read() {
        let outcome = read(CABIN);
        assert!(outcome.findings.is_empty());
        let sketch = outcome.output;
        assert_eq!(sketch.walls.len(), 4);
        assert_eq!(sketch.walls[2].end, Coord { x: 0.0, y: 192.0 });
        let door = &sketch.openings[0];
        assert_eq!((door.wall, door.from, door.width), (0, 48.0, 36.0));
        assert_eq!(
            (door.height, door.tag.as_deref()),
            (Some(80.0), Some("3068"))
        );
        assert_eq!(sketch.openings[1].sill, Some(36.0));
    }

    #[test]
    fn a_clockwise_sketch_gives_the_same_building() {
        // The same cabin walked the other way round, from the same corner: north first, then east.
        let clockwise = CABIN
            .replace(
                "[\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]",
                "[\"W4: N 16'\", \"W3: E 24'\", \"W2: S 16'\", \"W1: W 24'\"]",
            )
            .replace("wall = 3", "wall = \"W3\"");
        let (one, other) = (read(CABIN).output, read(&clockwise).output);
        for wall in &one.walls {
            let twin = other
                .walls
                .iter()
                .find(|twin| twin.name == wall.name)
                .unwrap();
            assert_eq!(
                (wall.start, wall.end),
                (twin.start, twin.end),
                "{}",
                wall.name
            );
        }
        for (own, twin) in one.openings.iter().zip(&other.openings) {
            assert_eq!(one.walls[own.wall].name, other.walls[twin.wall].name);
            assert_eq!(own.from, twin.from);
        }
        assert!(signed_area(&other.walls) > 0.0);
    }

    #[test]
    fn a_thickness_that_was_assumed_is_reported() {
        let outcome = read("run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]");
        assert_eq!(outcome.output.thickness, 6.5);
        assert_eq!(outcome.output.name, "cabin");
        assert_eq!(outcome.findings[0].code, codes::SKETCH_THICKNESS);
    }

    #[test]
    fn a_bay_at_an_angle_closes() {
        let bay = "run = [\"E 20'\", \"N 12'\", \"W 6'\", \"NW 4'\", \"W 2'-4 1/8\\\"\", \"SW 4'\", \"W 6'\", \"close\"]";
        let sketch = read(bay).output;
        assert_eq!(sketch.walls.len(), 8);
        assert_eq!(sketch.walls[7].end, Coord { x: 0.0, y: 0.0 });
    }

    #[test]
    fn every_mistake_is_named_with_its_line() {
        check_refused(
            "run = [\"E 24'\", \"N 16'\",\n \"W 23'\", \"S 15'-6\\\"\"]",
            2,
            &["do not close", "1'-0\" east", "6\" north", "\"close\""],
        );
        check_refused(
            "run = [\"E 24'\",\n \"Q 6'\", \"close\"]",
            2,
            &["no direction"],
        );
        check_refused("run = [\"E 24'\", \"close\"]", 1, &["2 runs"]);
        check_refused(
            "run = [\"E 24'\", \"close\", \"N 6'\"]",
            1,
            &["before other runs"],
        );
        check_refused(
            "run = [\"E 24'\", \"N 16'\", \"W 24'\", \"close\"]\nthicknes = 6",
            2,
            &["no key 'thicknes'", "did you mean 'thickness'?"],
        );
        check_refused(
            "run = [\"E 9'\", \"W 4'\", \"N 6'\", \"close\"]",
            1,
            &["goes back over"],
        );
        check_refused(
            "run = [\"E 9'\", \"N 6'\", \"W 4'\", \"S 9'\", \"close\"]",
            1,
            &["crosses or touches"],
        );
        check_refused(
            &CABIN.replace("\"W1\"", "\"W9\""),
            7,
            &["no wall 'W9'", "did you mean"],
        );
        check_refused(
            &CABIN.replace("wall = 3", "wall = 9"),
            13,
            &["no wall 9", "W1, W2"],
        );
        check_refused(
            &CABIN.replace("from = \"4'\"", "from = \"22'\""),
            6,
            &["ends at 25'-0\"", "24'-0\" long"],
        );
        check_refused(
            &CABIN.replace("wall = 3", "wall = 1"),
            12,
            &["overlaps the door of line 6"],
        );
        check_refused(
            &CABIN.replace("width = \"4'-0\\\"\"", ""),
            12,
            &["no width"],
        );
        check_refused(
            &CABIN.replace("\"3068\"", "\"3068\"\nwidth = \"2'\""),
            11,
            &["the size says 36\""],
        );
        check_refused(
            &CABIN.replace("\"window\"", "\"windw\""),
            14,
            &["\"window\""],
        );
        check_refused(
            "run = [\"a: E 24'\", \"a: N 16'\", \"W 24'\", \"close\"]",
            1,
            &["two walls named 'a'"],
        );
    }

    #[test]
    fn the_schema_documents_every_key() {
        let schema = crate::drawing::sketch_schema();
        for key in ["name", "thickness", "run", "opening"] {
            let text = schema["properties"][key]["description"].as_str();
            assert!(text.is_some_and(|text| text.len() > 10), "{key}");
        }
    }
}
