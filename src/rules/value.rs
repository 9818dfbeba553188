//! Header members as files write them.

use super::HeaderMember;
use crate::units::{Inches, Length, parse_length};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error};
use std::borrow::Cow;

/// A header: `none`, `engineer`, plies and section as in `2-2x10`, or a strip of panel as in `SIP 11-7/8`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct HeaderValue(pub(super) HeaderMember);

impl<'de> Deserialize<'de> for HeaderValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        HeaderMember::from_name(&text).map(Self).ok_or_else(|| {
            D::Error::custom(format!(
                "'{text}' is not a header; write \"none\", \"engineer\", plies and section such as \"2-2x10\", or a header of panel such as \"SIP 11-7/8\""
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
            "pattern": "^(none|engineer|SIP .+|[1-6]-.+x.+)$",
            "description": "A header: none, engineer, plies and section such as 2-2x10, or a header of panel such as SIP 11-7/8."
        })
    }
}

impl HeaderMember {
    /// Reads `none`, `engineer`, plies and section as in `2-2x10`, or a header of panel by its depth.
    ///
    /// ```
    /// use panelwright::rules::HeaderMember;
    /// let member = HeaderMember::from_name("2-2x10").unwrap();
    /// assert_eq!(member.name(), "2-2x10");
    /// assert_eq!(HeaderMember::from_name("2x10"), None);
    /// assert_eq!(HeaderMember::from_name("SIP 11-7/8").unwrap().name(), "SIP 11 7/8");
    /// ```
    #[must_use]
    pub fn from_name(text: &str) -> Option<Self> {
        match text.trim() {
            "none" => return Some(Self::None),
            "engineer" => return Some(Self::Engineer),
            _ => {}
        }
        if let Some(depth) = text.trim().strip_prefix("SIP ") {
            let depth = parse_length(depth).ok()?;
            return (depth > Length::ZERO).then_some(Self::Sip { depth });
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
            Self::Sip { depth } => format!("SIP {}", Inches(*depth)),
        }
    }
}
