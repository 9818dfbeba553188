//! Headers made of panel: the limits of the code's rule, and the spans that a plant's adopted edition or report allows.
//!
//! ```text
//!   ║▓░░░░░░░▓║    a strip of panel as thick as the core, on edge between the skins, one piece from bearing to bearing
//!   ║▓░░░░░░░▓║    depth: `least_depth` at least; rough opening: `greatest_width` at most; span: a row of `spans`
//! ```
//!
//! Without a row that covers it a header of panel is placed and listed, and printed "not sized: engineer".

use super::checks::Checks;
use super::header_table::{HeaderLoad, Supports};
use super::plant_file::{Key, LengthKey};
use crate::toml_text::{At, LengthValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Headers made of panel.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SipHeaderRules {
    /// Least depth. Default: 11-7/8 in.
    pub least_depth: Length,
    /// Greatest rough width of an opening that one may span. Default: 4 ft.
    pub greatest_width: Length,
    /// What they span; empty by default.
    pub spans: Vec<SipHeaderSpan>,
}

/// A row of a span table that the plant has typed in.
#[derive(Clone, Debug, PartialEq)]
pub struct SipHeaderSpan {
    /// Edition or report it is quoted from.
    pub source: String,
    /// Assembly of the wall.
    pub assembly: String,
    /// What bears.
    pub supports: Supports,
    /// Greatest ground snow load, psf.
    pub snow_psf: f64,
    /// Greatest width of the building, square to its ridge.
    pub building_width: Length,
    /// Least depth of the header.
    pub depth: Length,
    /// Greatest clear span.
    pub span: Length,
    /// Jack studs at each end.
    pub jacks: u32,
}

impl SipHeaderRules {
    /// The row that allows a header of this depth over a rough opening; `None` when no row does, or the limits do not.
    #[must_use]
    pub fn row(
        &self,
        assembly: &str,
        depth: Length,
        width: Length,
        load: &HeaderLoad,
    ) -> Option<&SipHeaderSpan> {
        if self.beyond(depth, width) {
            return None;
        }
        self.spans.iter().find(|row| {
            row.assembly == assembly
                && row.supports == load.supports
                && load.snow_psf <= row.snow_psf
                && load.building_width <= row.building_width
                && row.depth <= depth
                && width <= row.span
        })
    }

    /// True when depth or width lie outside the rule.
    #[must_use]
    pub fn beyond(&self, depth: Length, width: Length) -> bool {
        depth < self.least_depth || width > self.greatest_width
    }
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SipHeadersFile {
    least_depth: LengthKey,
    greatest_width: LengthKey,
    spans: Key<Vec<At<SipSpanFile>>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SipSpanFile {
    /// Edition or report the row is quoted from, as printed.
    source: At<String>,
    /// Assembly of the wall.
    assembly: At<String>,
    /// What bears.
    supports: At<Supports>,
    /// Greatest ground snow load, psf.
    snow_psf: At<f64>,
    /// Greatest width of the building, square to its ridge.
    building_width: At<LengthValue>,
    /// Least depth of the header.
    depth: At<LengthValue>,
    /// Greatest clear span.
    span: At<LengthValue>,
    /// Jack studs at each end.
    jacks: At<u32>,
}

/// Of a header.
const DEPTH: RangeInclusive<Length> = Length::inches(3)..=Length::feet(4);
/// Of an opening.
const WIDTH: RangeInclusive<Length> = Length::inches(12)..=Length::feet(24);
/// Of a building.
const BUILDING: RangeInclusive<Length> = Length::feet(1)..=Length::feet(200);

/// Takes over what the group gives.
pub(super) fn apply_sip_headers(
    file: &SipHeadersFile,
    to: &mut SipHeaderRules,
    checks: &mut Checks<'_>,
) {
    let (target, given) = (&mut to.least_depth, &file.least_depth);
    checks.length("sip_headers.least_depth", target, given, &DEPTH);
    let (target, given) = (&mut to.greatest_width, &file.greatest_width);
    checks.length("sip_headers.greatest_width", target, given, &WIDTH);
    if let Some(list) = &file.spans {
        to.spans = list
            .value
            .iter()
            .map(|row| span(&row.value, checks))
            .collect();
    }
}

fn span(file: &SipSpanFile, checks: &mut Checks<'_>) -> SipHeaderSpan {
    let psf = 0.0..=500.0;
    SipHeaderSpan {
        source: checks.one_text("sip_headers.spans.source", &file.source),
        assembly: checks.one_text("sip_headers.spans.assembly", &file.assembly),
        supports: file.supports.value,
        snow_psf: checks.one_number("sip_headers.spans.snow_psf", &file.snow_psf, &psf),
        building_width: checks.one_length(
            "sip_headers.spans.building_width",
            &file.building_width,
            &BUILDING,
        ),
        depth: checks.one_length("sip_headers.spans.depth", &file.depth, &DEPTH),
        span: checks.one_length("sip_headers.spans.span", &file.span, &WIDTH),
        jacks: checks.one_number("sip_headers.spans.jacks", &file.jacks, &(0..=6)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{PlantRules, read_rules};

    #[test]
    fn only_a_row_for_this_wall_and_this_load_allows_a_header() {
        let text = "[sip_headers]\nspans = [{ source = 'report 1', assembly = '6-1/2', supports = 'roof', snow_psf = 50, \
                    building_width = \"28'\", depth = '11-7/8', span = \"4'\", jacks = 1 }]";
        let rules = read_rules(text, "plant.toml").unwrap().output.sip_headers;
        let load = |snow, feet| HeaderLoad {
            supports: Supports::Roof,
            snow_psf: snow,
            building_width: Length::feet(feet),
            is_braced: true,
        };
        let deep = Length::fraction(11, 7, 8);
        let row = |assembly, depth, inches, load: HeaderLoad| {
            let found = rules.row(assembly, depth, Length::inches(inches), &load);
            found.map(|it| it.source.as_str())
        };
        assert_eq!(row("6-1/2", deep, 48, load(50.0, 28)), Some("report 1"));
        assert_eq!(row("6-1/2", deep, 49, load(50.0, 28)), None);
        assert_eq!(row("6-1/2", Length::inches(11), 40, load(50.0, 28)), None);
        assert_eq!(row("4-1/2", deep, 40, load(50.0, 28)), None);
        assert_eq!(row("6-1/2", deep, 40, load(51.0, 28)), None);
        assert_eq!(row("6-1/2", deep, 40, load(50.0, 29)), None);
        // Shipped without rows: nothing is sized until somebody types in what was adopted.
        let shipped = PlantRules::default().sip_headers;
        assert_eq!(shipped.spans, []);
        assert_eq!(shipped.least_depth, deep);
        assert_eq!(shipped.greatest_width, Length::feet(4));
    }
}
