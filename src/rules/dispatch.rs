//! What happens after the saw, as rules: the press, labels, trucks, and the resistance that a quote prints.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Press, labels, trucks, thermal resistance.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DispatchRules {
    /// The press.
    pub press: PressRules,
    /// Labels.
    pub labels: LabelRules,
    /// Trucks.
    pub shipping: ShippingRules,
    /// Thermal resistance.
    pub thermal: ThermalRules,
    /// Screws, sealant and tape for the site.
    pub site_goods: super::SiteGoodsRules,
}

/// The laminating press.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PressRules {
    /// Minutes until the glue is dry. Default: 4.
    pub minutes: f64,
    /// Blanks pressed at once. Default: 8.
    pub blanks: u32,
}

/// Labels and the sheet they are printed on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LabelRules {
    /// Width of a page. Default: 6 in.
    pub page_width: Length,
    /// Height of a page. Default: 4 in.
    pub page_height: Length,
    /// Width of a label. Default: 6 in.
    pub width: Length,
    /// Height of a label. Default: 4 in.
    pub height: Length,
    /// Labels side by side. Default: 1.
    pub columns: u32,
    /// Labels above each other. Default: 1.
    pub rows: u32,
    /// From the page's left edge to the first label. Default: 0.
    pub left: Length,
    /// From the page's top edge to the first label. Default: 0.
    pub top: Length,
    /// Between labels, across and down. Default: 0.
    pub gap: Length,
}

/// Trucks and their limits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShippingRules {
    /// Length of the deck. Default: 48 ft.
    pub deck_length: Length,
    /// Width of the deck, and of the load. Default: 102 in.
    pub deck_width: Length,
    /// Height of the deck above the road. Default: 5 ft.
    pub deck_height: Length,
    /// Greatest height above the road. Default: 13 ft 6 in.
    pub greatest_height: Length,
    /// Dunnage under a stack. Default: 4 in.
    pub dunnage: Length,
    /// Greatest distance of dunnage pieces. Default: 4 ft.
    pub dunnage_spacing: Length,
    /// Greatest weight of a load, pounds. Default: 48,000.
    pub payload: f64,
    /// Working load limit of one tie-down, pounds. Default: 5,000.
    pub tie_down: f64,
    /// How far a panel may lie beyond the one below it. Default: 2 in.
    pub overhang: Length,
    /// True where every stack is blocked towards the front. Default: false.
    pub blocked: bool,
}

impl ShippingRules {
    /// Clear height of a stack above its dunnage.
    #[must_use]
    pub fn clear_height(&self) -> Length {
        self.greatest_height - self.deck_height - self.dunnage
    }
}

/// Thermal resistance of materials, square foot hour degree Fahrenheit for each BTU.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ThermalRules {
    /// Of each inch of foam. Default: 3.6.
    pub core_r_per_inch: f64,
    /// Of each skin. Default: 0.62.
    pub skin_r: f64,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PressFile {
    minutes: Key<f64>,
    blanks: Key<u32>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LabelsFile {
    page_width: LengthKey,
    page_height: LengthKey,
    width: LengthKey,
    height: LengthKey,
    columns: Key<u32>,
    rows: Key<u32>,
    left: LengthKey,
    top: LengthKey,
    gap: LengthKey,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ShippingFile {
    deck_length: LengthKey,
    deck_width: LengthKey,
    deck_height: LengthKey,
    greatest_height: LengthKey,
    dunnage: LengthKey,
    dunnage_spacing: LengthKey,
    payload: Key<f64>,
    tie_down: Key<f64>,
    overhang: LengthKey,
    blocked: Key<bool>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ThermalFile {
    core_r_per_inch: Key<f64>,
    skin_r: Key<f64>,
}

/// A label, from one that holds a mark to a sheet of paper.
const LABEL: RangeInclusive<Length> = Length::inches(2)..=Length::inches(24);
/// A label's width: half of 6 in, so that its smallest letters are still read.
const WIDTH: RangeInclusive<Length> = Length::inches(3)..=Length::inches(24);
/// A margin.
const MARGIN: RangeInclusive<Length> = Length::ZERO..=Length::inches(12);
/// A side of a truck.
const TRUCK: RangeInclusive<Length> = Length::inches(1)..=Length::feet(100);

/// Takes over what the four groups give.
pub(super) fn apply_dispatch(
    files: (&PressFile, &LabelsFile, &ShippingFile, &ThermalFile),
    to: &mut DispatchRules,
    checks: &mut Checks<'_>,
) {
    let (press, labels, shipping, thermal) = files;
    checks.number(
        "press.minutes",
        &mut to.press.minutes,
        &press.minutes,
        &(0.1..=600.0),
    );
    checks.number(
        "press.blanks",
        &mut to.press.blanks,
        &press.blanks,
        &(1..=100),
    );
    let it = &mut to.labels;
    checks.length(
        "labels.page_width",
        &mut it.page_width,
        &labels.page_width,
        &LABEL,
    );
    checks.length(
        "labels.page_height",
        &mut it.page_height,
        &labels.page_height,
        &LABEL,
    );
    checks.length("labels.width", &mut it.width, &labels.width, &WIDTH);
    checks.length("labels.height", &mut it.height, &labels.height, &LABEL);
    checks.number(
        "labels.columns",
        &mut it.columns,
        &labels.columns,
        &(1..=20),
    );
    checks.number("labels.rows", &mut it.rows, &labels.rows, &(1..=20));
    checks.length("labels.left", &mut it.left, &labels.left, &MARGIN);
    checks.length("labels.top", &mut it.top, &labels.top, &MARGIN);
    checks.length("labels.gap", &mut it.gap, &labels.gap, &MARGIN);
    let it = &mut to.shipping;
    checks.length(
        "shipping.deck_length",
        &mut it.deck_length,
        &shipping.deck_length,
        &TRUCK,
    );
    checks.length(
        "shipping.deck_width",
        &mut it.deck_width,
        &shipping.deck_width,
        &TRUCK,
    );
    checks.length(
        "shipping.deck_height",
        &mut it.deck_height,
        &shipping.deck_height,
        &TRUCK,
    );
    let height = &mut it.greatest_height;
    checks.length(
        "shipping.greatest_height",
        height,
        &shipping.greatest_height,
        &TRUCK,
    );
    checks.length(
        "shipping.dunnage",
        &mut it.dunnage,
        &shipping.dunnage,
        &MARGIN,
    );
    checks.length(
        "shipping.dunnage_spacing",
        &mut it.dunnage_spacing,
        &shipping.dunnage_spacing,
        &TRUCK,
    );
    checks.number(
        "shipping.payload",
        &mut it.payload,
        &shipping.payload,
        &(100.0..=200_000.0),
    );
    checks.number(
        "shipping.tie_down",
        &mut it.tie_down,
        &shipping.tie_down,
        &(100.0..=50_000.0),
    );
    checks.length(
        "shipping.overhang",
        &mut it.overhang,
        &shipping.overhang,
        &MARGIN,
    );
    Checks::take(&mut it.blocked, &shipping.blocked);
    let it = &mut to.thermal;
    let r = &mut it.core_r_per_inch;
    checks.number(
        "thermal.core_r_per_inch",
        r,
        &thermal.core_r_per_inch,
        &(0.1..=20.0),
    );
    checks.number(
        "thermal.skin_r",
        &mut it.skin_r,
        &thermal.skin_r,
        &(0.0..=20.0),
    );
    labels_on_their_page(labels, &to.labels, checks);
    room_above_deck(shipping, &to.shipping, checks);
}

/// The last place in the file where one of these is given.
fn last_given(given: &[&LengthKey], counts: &[&Key<u32>]) -> usize {
    let lengths = given.iter().filter_map(|it| it.as_ref());
    let counts = counts.iter().filter_map(|it| it.as_ref());
    let offsets = lengths
        .map(|it| it.offset)
        .chain(counts.map(|it| it.offset));
    offsets.max().unwrap_or_default()
}

/// What hangs over the page is not printed: a code or a number of erection, gone without a word.
fn labels_on_their_page(file: &LabelsFile, it: &LabelRules, checks: &mut Checks<'_>) {
    let across = [&file.page_width, &file.width, &file.left, &file.gap];
    let down = [&file.page_height, &file.height, &file.top, &file.gap];
    let sides = [
        ("wide", it.columns, it.width, it.left, it.page_width),
        ("high", it.rows, it.height, it.top, it.page_height),
    ];
    let given = [
        last_given(&across, &[&file.columns]),
        last_given(&down, &[&file.rows]),
    ];
    for ((side, n, label, from, page), offset) in sides.into_iter().zip(given) {
        let n = i64::from(n);
        let end = from + label * n + it.gap * (n - 1);
        if end > page {
            checks.refuse(
                offset,
                format!("labels reach {end} and their page is {page} {side}"),
                "measure the label sheet again: page, labels, margin and gap all belong to one",
            );
        }
    }
}

/// A truck that nothing can be laid on is no truck.
fn room_above_deck(file: &ShippingFile, it: &ShippingRules, checks: &mut Checks<'_>) {
    if it.greatest_height <= it.deck_height + it.dunnage {
        let given = [&file.greatest_height, &file.deck_height, &file.dunnage];
        checks.refuse(
            last_given(&given, &[]),
            format!(
                "shipping.greatest_height ({}) is not above deck_height ({}) and dunnage ({})",
                it.greatest_height, it.deck_height, it.dunnage
            ),
            "all heights count from the road: raise it, or lower the deck",
        );
    }
}
