//! A sketch as it is written, and the words in it: runs and call-outs.

use crate::drawing::entities::affine;
use crate::toml_text::{At, LengthValue};
use crate::units::{Length, parse_length};
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use std::sync::LazyLock;

/// A sketch: the outside faces of a plan by direction and length, and what opens in them.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "Sketch")]
pub(in crate::drawing) struct SketchFile {
    /// Name of the plan. Default: the file's name.
    pub(in crate::drawing) name: Option<String>,
    /// Thickness of the outside walls. Default: 6 1/2", which is reported.
    pub(in crate::drawing) thickness: Option<At<LengthValue>>,
    /// The outside faces in order, each as direction and length: `E 28'-0"`, `NE 5'-8"`, `@45 6'` (degrees
    /// counter-clockwise from east), the last one as `close` if you like. A name may stand before it: `south: E 28'`.
    /// Unnamed ones are W1, W2 and so on by order.
    pub(in crate::drawing) run: At<Vec<At<String>>>,
    /// What opens in the walls.
    #[serde(default)]
    pub(in crate::drawing) opening: Vec<At<OpeningItem>>,
}

/// One opening.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "Opening")]
pub(in crate::drawing) struct OpeningItem {
    /// The wall: its name, or its number in `run` from 1.
    pub(in crate::drawing) wall: At<WallName>,
    /// What it is.
    pub(in crate::drawing) kind: At<OpeningKind>,
    /// From the wall's left end, seen from outside, to the nearer jamb.
    pub(in crate::drawing) from: At<LengthValue>,
    /// Jamb to jamb. Needed unless `size` gives it.
    pub(in crate::drawing) width: Option<At<LengthValue>>,
    /// Height. Unknown when neither this nor `size` gives it.
    pub(in crate::drawing) height: Option<At<LengthValue>>,
    /// Sill above the deck.
    pub(in crate::drawing) sill: Option<At<LengthValue>>,
    /// A call-out, width first: `3068` is 3'-0" by 6'-8"; also `2-6 x 6-8`.
    pub(in crate::drawing) size: Option<At<String>>,
    /// A tag to find it by in the job. Default: the size.
    pub(in crate::drawing) tag: Option<String>,
}

/// What opens.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(in crate::drawing) enum OpeningKind {
    /// A door for people.
    Door,
    /// A window.
    Window,
    /// An opening without door or window.
    Opening,
    /// A door for cars.
    GarageDoor,
}

impl OpeningKind {
    /// As in `plan.json`.
    pub(in crate::drawing) const fn name(self) -> &'static str {
        match self {
            Self::Door => "door",
            Self::Window => "window",
            Self::Opening => "opening",
            Self::GarageDoor => "garage_door",
        }
    }
}

/// A wall by its name or its number.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::drawing) enum WallName {
    /// Number in `run`, from 1.
    Number(usize),
    /// Name.
    Name(String),
}

static SCHEMA: LazyLock<Value> = LazyLock::new(|| schemars::schema_for!(SketchFile).to_value());

/// The schema that keys are checked against.
pub(in crate::drawing) fn schema() -> &'static Value {
    &SCHEMA
}

/// The JSON Schema of a sketch.
#[must_use]
pub fn sketch_schema() -> Value {
    SCHEMA.clone()
}

/// One run as written.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Run {
    /// Name before the colon.
    pub(in crate::drawing) name: Option<String>,
    /// Direction as a unit vector, and length; `None` for `close`.
    pub(in crate::drawing) step: Option<([f64; 2], Length)>,
}

/// Reads `south: E 28'-0"`, `@45 6'` or `close`.
///
/// # Errors
/// What is wrong, and what would be right.
pub(in crate::drawing) fn parse_run(text: &str) -> Result<Run, (String, String)> {
    let (name, rest) = match text.split_once(':') {
        Some((name, rest)) => (Some(name.trim().to_owned()), rest.trim()),
        None => (None, text.trim()),
    };
    if name.as_ref().is_some_and(String::is_empty) {
        return Err((
            "there is no name before the colon".to_owned(),
            "write a name, as in \"south: E 28'\", or leave the colon out".to_owned(),
        ));
    }
    if rest.eq_ignore_ascii_case("close") {
        return Ok(Run { name, step: None });
    }
    let split = rest.find(char::is_whitespace).unwrap_or(rest.len());
    let (word, length) = rest.split_at(split);
    let direction = direction(word).ok_or_else(|| {
        (
            format!("'{word}' is no direction"),
            "write N, S, E, W, NE, NW, SE, SW, or @ and degrees counter-clockwise from east, then a length: \"E 28'-0\\\"\""
                .to_owned(),
        )
    })?;
    if length.trim().is_empty() {
        return Err((
            format!("'{rest}' has no length"),
            format!("write one after the direction, as in \"{word} 28'-0\\\"\""),
        ));
    }
    let length = parse_length(length)
        .map_err(|error| (error.to_string(), "correct the length".to_owned()))?;
    if length <= Length::ZERO {
        return Err((
            format!("the length of '{rest}' is not above zero"),
            "turn the direction round instead of writing a negative length".to_owned(),
        ));
    }
    Ok(Run {
        name,
        step: Some((direction, length)),
    })
}

fn direction(word: &str) -> Option<[f64; 2]> {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    Some(match word.to_ascii_uppercase().as_str() {
        "E" => [1.0, 0.0],
        "N" => [0.0, 1.0],
        "W" => [-1.0, 0.0],
        "S" => [0.0, -1.0],
        "NE" => [half, half],
        "NW" => [-half, half],
        "SW" => [-half, -half],
        "SE" => [half, -half],
        other => {
            let degrees: f64 = other
                .strip_prefix('@')?
                .trim_end_matches('°')
                .parse()
                .ok()?;
            if !degrees.is_finite() || degrees.abs() > 720.0 {
                return None;
            }
            let (sin, cos) = affine::exact_sin_cos(degrees.to_radians());
            [cos, sin]
        }
    })
}

/// Width and height of a call-out: `3068`, `16070`, `2-6 x 6-8`.
///
/// # Errors
/// What is wrong, and what would be right.
pub(in crate::drawing) fn parse_size(text: &str) -> Result<(Length, Length), (String, String)> {
    const RIGHT: &str =
        "write four digits such as 3068 (3'-0\" wide, 6'-8\" high), or \"2'-6\\\" x 6'-8\\\"\"";
    let refuse = |what: String| Err((what, RIGHT.to_owned()));
    let text = text.trim();
    if let Some((width, height)) = text.split_once(['x', 'X', '×']) {
        return match (parse_length(width), parse_length(height)) {
            (Ok(width), Ok(height)) if width > Length::ZERO && height > Length::ZERO => {
                Ok((width, height))
            }
            _ => refuse(format!("the size '{text}' is not two lengths")),
        };
    }
    let digits: Option<Vec<i64>> = text
        .chars()
        .map(|letter| letter.to_digit(10).map(i64::from))
        .collect();
    let both = |feet: i64, inches: i64, high_feet: i64, high_inches: i64| {
        (
            Length::inches(feet * 12 + inches),
            Length::inches(high_feet * 12 + high_inches),
        )
    };
    match digits.as_deref() {
        Some(&[feet @ 1..=9, inches, high @ 1..=9, more]) => Ok(both(feet, inches, high, more)),
        // Three digits for the width: 16'-0", or 2'-10", which could also be 21'-0".
        Some(&[_, 1, 0 | 1, _, _]) => refuse(format!(
            "the size '{text}' can be read in two ways: state the width and height"
        )),
        Some(&[tens @ 1..=9, feet, inches, high @ 1..=9, more]) => {
            Ok(both(tens * 10 + feet, inches, high, more))
        }
        _ => refuse(format!("the size '{text}' cannot be read")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_read_in_every_form() {
        let run = |text: &str| parse_run(text).unwrap();
        assert_eq!(run("E 28'-0\"").step, Some(([1.0, 0.0], Length::feet(28))));
        assert_eq!(run("south: w 6 m").name.as_deref(), Some("south"));
        assert_eq!(run("@90 6'").step, Some(([0.0, 1.0], Length::feet(6))));
        assert_eq!(run("Close").step, None);
        for (text, word) in [
            ("Q 6'", "no direction"),
            ("E", "no length"),
            ("E six", "not a length"),
            ("E -6'", "not above zero"),
            (": E 6'", "no name"),
            ("@x 6'", "no direction"),
        ] {
            let (message, hint) = parse_run(text).unwrap_err();
            assert!(
                message.contains(word) && !hint.is_empty(),
                "{text}: {message}"
            );
        }
    }

    #[test]
    fn call_outs_give_width_then_height() {
        // Four digits: house-plan usage, 3068 is 3'-0" by 6'-8"; 4050 is 4'-0" by 5'-0".
        let size = |text: &str| parse_size(text).map_err(|error| error.0);
        assert_eq!(size("3068"), Ok((Length::inches(36), Length::inches(80))));
        assert_eq!(size("4050"), Ok((Length::inches(48), Length::inches(60))));
        assert_eq!(size("16070"), Ok((Length::feet(16), Length::feet(7))));
        assert_eq!(
            size("2-6 x 6-8"),
            Ok((Length::inches(30), Length::inches(80)))
        );
        assert!(size("21068").unwrap_err().contains("two ways"));
        assert!(size("306").unwrap_err().contains("cannot be read"));
        assert!(size("3 x y").unwrap_err().contains("not two lengths"));
    }
}
