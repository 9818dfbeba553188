//! Header members as files write them.

use super::HeaderMember;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error};
use std::borrow::Cow;

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
