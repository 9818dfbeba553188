//! Places in the order of erection.

use super::letters::{count_of_letters, letters};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// A place in the order of erection: 12, or 12A of a panel that came in between when 12 and 13 were issued.
///
/// ```
/// use panelwright::units::Erection;
/// let twelve = Erection::from(12);
/// assert_eq!(twelve.next_letter().to_string(), "12A");
/// assert!(twelve < twelve.next_letter() && twelve.next_letter() < Erection::from(13));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Erection {
    /// From 1.
    #[serde(rename = "erection")]
    pub number: u32,
    /// Count of its letter, from 1; 0 without one.
    #[serde(
        rename = "erection_letter",
        default,
        skip_serializing_if = "is_none",
        serialize_with = "spell",
        deserialize_with = "read"
    )]
    pub letter: u32,
}

impl Erection {
    /// The same number with the letter after its own.
    #[must_use]
    pub const fn next_letter(self) -> Self {
        Self {
            letter: self.letter + 1,
            ..self
        }
    }
}

impl From<u32> for Erection {
    fn from(number: u32) -> Self {
        Self { number, letter: 0 }
    }
}

impl fmt::Display for Erection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}{}", self.number, letters(self.letter)))
    }
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands over a reference"
)]
const fn is_none(letter: &u32) -> bool {
    *letter == 0
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands over a reference"
)]
fn spell<S: Serializer>(letter: &u32, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&letters(*letter))
}

fn read<'de, D: Deserializer<'de>>(from: D) -> Result<u32, D::Error> {
    let text = String::deserialize(from)?;
    count_of_letters(&text)
        .ok_or_else(|| serde::de::Error::custom(format!("'{text}' is no letter of a place")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_read_back_as_it_was_written() {
        let place = Erection::from(12);
        for (it, text) in [
            (place, r#"{"erection":12}"#),
            (
                place.next_letter(),
                r#"{"erection":12,"erection_letter":"A"}"#,
            ),
        ] {
            assert_eq!(serde_json::to_string(&it).unwrap(), text);
            assert_eq!(serde_json::from_str::<Erection>(text).unwrap(), it);
        }
    }
}
