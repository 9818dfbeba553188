//! Values as files write them: lengths, and where each stands in its file.

use crate::units::{Length, parse_length};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::borrow::Cow;
use std::fmt;

/// A value and the byte of the file where it starts, for messages.
#[derive(Clone, Debug)]
pub(crate) struct At<T> {
    /// The value.
    pub(crate) value: T,
    /// Byte offset in the text.
    pub(crate) offset: usize,
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
pub(crate) struct LengthValue(pub(crate) Length);

/// A coordinate of a place: a length as above, or a number of inches with more decimals than a nanometre has, as other programs
/// write them, which is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct PlaceValue(pub(crate) Length);

impl<'de> Deserialize<'de> for PlaceValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer
            .deserialize_any(LengthVisitor { rounds: true })
            .map(|it| Self(it.0))
    }
}

impl JsonSchema for PlaceValue {
    fn schema_name() -> Cow<'static, str> {
        LengthValue::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        LengthValue::json_schema(generator)
    }
}

struct LengthVisitor {
    /// Is a number finer than a nanometre rounded?
    rounds: bool,
}

impl Visitor<'_> for LengthVisitor {
    type Value = LengthValue;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a length, such as \"12'-6 1/2\\\"\", \"165 mm\" or a number of inches")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<LengthValue, E> {
        let rounded = || {
            let number: f64 = text.trim().trim_end_matches('"').parse().ok()?;
            Length::nearest(number, Length::nanometres(1)).filter(|_| self.rounds)
        };
        let read = parse_length(text).or_else(|error| rounded().ok_or(error));
        read.map(LengthValue).map_err(E::custom)
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
        deserializer.deserialize_any(LengthVisitor { rounds: false })
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
