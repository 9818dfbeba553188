//! What the job puts into a wall: posts and pockets under what bears on it, boxes for wiring, nailers behind the skin.

use super::HeaderMember;
use super::checks::Checks;
use super::job_layout::{ALONG, SIZE};
use super::plant::Face;
use super::plant_file::{Key, LengthKey};
use crate::toml_text::{At, LengthValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Something that bears on a wall at one place: a point load, a beam, a hold-down. Places run along the wall's outside face.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PointLoad {
    /// Its middle, along the wall's outside face from its left corner.
    pub at: Length,
    /// Its width along the wall.
    pub width: Length,
    /// What it is, as printed: `girder`.
    pub what: String,
    /// The post under it, as the job names it; never sized here.
    pub post: Option<Post>,
    /// The pocket it lies in, open to the inside.
    pub pocket: Option<Pocket>,
    /// Where it pulls upwards: what holds the post down.
    pub hold_down: Option<HoldDown>,
}

/// What ties a post to the foundation, as the job names it; never sized here.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HoldDown {
    /// The device that the engineer names; `None` while nobody has.
    pub device: Option<String>,
    /// Width and height of the cut through inner skin and core beside the post, above the sole plate, through which it is fitted.
    pub access: Option<[Length; 2]>,
}

/// Plies of a lumber section side by side, upright in the core.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Post {
    /// How many.
    pub plies: u32,
    /// Name of the section.
    pub section: String,
}

/// A hole through the inner skin and the core in which a beam lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pocket {
    /// Where the beam bears, above the deck.
    pub bottom: Length,
    /// How high the pocket is.
    pub height: Length,
}

/// An electrical box, cut into the inner skin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WiringBox {
    /// Its middle, along the wall's outside face from its left corner.
    pub at: Length,
    /// Its middle above the deck.
    pub height: Length,
    /// Width and height of the cut.
    pub size: [Length; 2],
    /// How deep the core is hollowed behind it; `None` leaves it to the plant.
    pub depth: Option<Length>,
    /// What it is, as printed: `receptacle`.
    pub what: String,
}

/// A level board flat behind a skin, for what hangs on the wall.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nailer {
    /// Left end, along the wall's outside face from its left corner.
    pub from: Length,
    /// Right end.
    pub to: Length,
    /// Its middle above the deck.
    pub height: Length,
    /// Name of the section.
    pub section: String,
    /// What hangs on it, as printed: `cabinets`.
    pub what: String,
    /// Behind which skin it lies.
    pub face: Face,
    /// True where the plan shows what hangs there, and no entry of the job says it.
    pub is_drawn: bool,
    /// The rule that placed it, such as `layout.nailers`.
    pub rule: &'static str,
    /// Handles of the lines of the plan that show what hangs there; none where the job says it.
    pub sources: Vec<String>,
}

/// Of a box.
const DEPTH: RangeInclusive<Length> = Length::ZERO..=Length::inches(6);

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PointFile {
    /// Middle of it along the wall.
    at: At<LengthValue>,
    /// Its width along the wall.
    width: At<LengthValue>,
    /// What it is, as printed.
    what: At<String>,
    /// Post under it, plies and section, such as `3-2x6`.
    post: Key<String>,
    /// Pocket in the inner skin: its bottom above the deck, and its height.
    pocket: Key<[LengthValue; 2]>,
    /// It is a hold-down: the device that the engineer names, or `engineer` while nobody has.
    hold_down: Key<String>,
    /// Cut through inner skin and core beside the post of a hold-down: width and height.
    access: Key<[LengthValue; 2]>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BoxFile {
    /// Middle of it along the wall.
    at: At<LengthValue>,
    /// Middle of it above the deck.
    height: At<LengthValue>,
    /// Width and height of the cut.
    size: At<[LengthValue; 2]>,
    /// How deep the core is hollowed behind the inner skin.
    depth: LengthKey,
    /// What it is, as printed.
    what: At<String>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct NailerFile {
    /// Left end along the wall.
    from: At<LengthValue>,
    /// Right end along the wall.
    to: At<LengthValue>,
    /// Middle of it above the deck.
    height: At<LengthValue>,
    /// Section, such as `2x6`.
    section: At<String>,
    /// What hangs on it, as printed.
    what: At<String>,
    /// Behind which skin: `inner`, or `outer` for a deck's ledger. Default: inner.
    face: Key<Face>,
}

pub(super) fn point(file: &PointFile, checks: &mut Checks<'_>) -> PointLoad {
    PointLoad {
        at: checks.one_length("layout.points.at", &file.at, &ALONG),
        width: checks.one_length("layout.points.width", &file.width, &SIZE),
        what: checks.one_text("layout.points.what", &file.what),
        post: file.post.as_ref().and_then(|named| post(named, checks)),
        pocket: file.pocket.as_ref().and_then(|given| pocket(given, checks)),
        hold_down: hold_down(file, checks),
    }
}

fn hold_down(file: &PointFile, checks: &mut Checks<'_>) -> Option<HoldDown> {
    let Some(named) = &file.hold_down else {
        if let Some(access) = &file.access {
            checks.refuse(
                access.offset,
                "access is the cut beside the post of a hold-down, and this is none".to_owned(),
                "add hold_down, or make it a pocket",
            );
        }
        return None;
    };
    let device = checks.one_text("layout.points.hold_down", named);
    if file.post.is_none() {
        checks.refuse(
            named.offset,
            "a hold-down holds a post down, and this one has none".to_owned(),
            "name the post as the engineer does, such as post = \"2-2x6\"",
        );
    }
    let access = file.access.as_ref().map(|given| {
        let size = given.value.each_ref().map(|side| side.0);
        if size.iter().any(|side| *side <= Length::ZERO) {
            checks.refuse(
                given.offset,
                "a cut has a width and a height".to_owned(),
                "write both, as [\"6\", \"16\"]",
            );
        }
        size
    });
    Some(HoldDown {
        device: (device != "engineer").then_some(device),
        access,
    })
}

fn post(named: &At<String>, checks: &mut Checks<'_>) -> Option<Post> {
    if let Some(HeaderMember::Lumber { plies, section }) = HeaderMember::from_name(&named.value) {
        return Some(Post { plies, section });
    }
    checks.refuse(
        named.offset,
        format!("'{}' is not a post", named.value),
        "write plies and section such as \"3-2x6\", as the engineer names it",
    );
    None
}

fn pocket(given: &At<[LengthValue; 2]>, checks: &mut Checks<'_>) -> Option<Pocket> {
    let [bottom, height] = [given.value[0].0, given.value[1].0];
    if height > Length::ZERO {
        return Some(Pocket { bottom, height });
    }
    checks.refuse(
        given.offset,
        format!("a pocket {height} high is none"),
        "write where the beam bears above the deck and how high the pocket is, as [\"7'-0\\\"\", \"9-1/2\"]",
    );
    None
}

pub(super) fn wiring_box(file: &BoxFile, checks: &mut Checks<'_>) -> WiringBox {
    let size = file.size.value.each_ref().map(|side| side.0);
    if size.iter().any(|side| *side <= Length::ZERO) {
        checks.refuse(
            file.size.offset,
            "a box has a width and a height".to_owned(),
            "write the cut's width and height, as [\"2-1/4\", \"3-3/4\"]",
        );
    }
    WiringBox {
        at: checks.one_length("layout.boxes.at", &file.at, &ALONG),
        height: checks.one_length("layout.boxes.height", &file.height, &SIZE),
        size,
        depth: file
            .depth
            .as_ref()
            .map(|given| checks.one_length("layout.boxes.depth", given, &DEPTH)),
        what: checks.one_text("layout.boxes.what", &file.what),
    }
}

pub(super) fn nailer(file: &NailerFile, checks: &mut Checks<'_>) -> Nailer {
    let taken = Nailer {
        from: checks.one_length("layout.nailers.from", &file.from, &ALONG),
        to: checks.one_length("layout.nailers.to", &file.to, &ALONG),
        height: checks.one_length("layout.nailers.height", &file.height, &SIZE),
        section: checks.one_text("layout.nailers.section", &file.section),
        what: checks.one_text("layout.nailers.what", &file.what),
        face: file.face.as_ref().map_or(Face::Inner, |given| given.value),
        is_drawn: false,
        rule: "layout.nailers",
        sources: Vec::new(),
    };
    if taken.from >= taken.to {
        checks.refuse(
            file.to.offset,
            format!("{} is not left of {}", taken.from, taken.to),
            "write each nailer from left to right, as seen from outside",
        );
    }
    taken
}
