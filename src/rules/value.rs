//! Values as files write them: lengths, header members, and where each stands in its file.

use super::HeaderMember;
use crate::units::{Length, parse_length};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::borrow::Cow;
use std::fmt;

/// A value and the byte of the file where it starts, for messages.
#[derive(Clone, Debug)]
pub(super) struct At<T> {
    /// The value.
    pub(super) value: T,
    /// Byte offset in the text.
    pub(super) offset: usize,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for At<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = toml::Spanned::<T>::deserialize(deserializer)?;
        Ok(Self {
            offset: spanned.span().start,
            value: spanned.into_inner(),
        })
    }
}

impl<T: JsonSchema> JsonSchema for At<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }
}

/// A length: a text in any spelling of [`parse_length`], or a number of inches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct LengthValue(pub(super) Length);

struct LengthVisitor;

impl Visitor<'_> for LengthVisitor {
    type Value = LengthValue;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a length, such as \"12'-6 1/2\\\"\", \"165 mm\" or a number of inches")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<LengthValue, E> {
        parse_length(text).map(LengthValue).map_err(E::custom)
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<LengthValue, E> {
        self.visit_str(&number.to_string())
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<LengthValue, E> {
        self.visit_str(&number.to_string())
    }
}

impl<'de> Deserialize<'de> for LengthValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(LengthVisitor)
    }
}

impl JsonSchema for LengthValue {
    fn schema_name() -> Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": ["string", "number"],
            "description": "A length: text such as 12'-6 1/2\", 5-5/8, 165 mm, or a number of inches."
        })
    }
}

/// A header: `none`, `engineer`, or plies and section as in `2-2x10`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct HeaderValue(pub(super) HeaderMember);

impl<'de> Deserialize<'de> for HeaderValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        HeaderMember::from_name(&text).map(Self).ok_or_else(|| {
            D::Error::custom(format!(
                "'{text}' is not a header; write \"none\", \"engineer\", or plies and section such as \"2-2x10\""
            ))
        })
    }
}

impl JsonSchema for HeaderValue {
    fn schema_name() -> Cow<'static, str> {
        "Header".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": "^(none|engineer|[1-9]-[0-9]+x[0-9]+)$",
            "description": "A header: none, engineer, or plies and section such as 2-2x10."
        })
    }
}

impl HeaderMember {
    /// Reads `none`, `engineer`, or plies and section as in `2-2x10`.
    ///
    /// ```
    /// use panelwright::rules::HeaderMember;
    /// let member = HeaderMember::from_name("2-2x10").unwrap();
    /// assert_eq!(member.name(), "2-2x10");
    /// assert_eq!(HeaderMember::from_name("2x10"), None);
    /// ```
    #[must_use]
    pub fn from_name(text: &str) -> Option<Self> {
        match text.trim() {
            "none" => return Some(Self::None),
            "engineer" => return Some(Self::Engineer),
            _ => {}
        }
        let (plies, section) = text.trim().split_once('-')?;
        let plies = plies.parse().ok().filter(|plies| (1..=6).contains(plies))?;
        section.contains('x').then(|| Self::Lumber {
            plies,
            section: section.to_owned(),
        })
    }

    /// As files and lists write it.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::None => "none".to_owned(),
            Self::Engineer => "engineer".to_owned(),
            Self::Lumber { plies, section } => format!("{plies}-{section}"),
        }
    }
}
