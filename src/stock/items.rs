//! Panels as they are laid: one alone, or two with sloping tops nose to tail.
//!
//! ```text
//!   alone          nose to tail, the second half-turned
//!   ┌──────┐       ┌─────────────┐
//!   │      ╲       │      ╱      │     equal widths and equal slopes; between the slopes a kerf, square to them
//!   │       │      │  A  ╱   B   │
//!   └───────┘      └─────────────┘
//! ```
//!
//! A half-turn keeps the strength axis. A mirror image would not do: nothing is turned over.

use super::Models;
use super::attitude::{Attitude, OnBlank, seen};
use super::model::BlankPanel;
use super::sheets::Want;
use crate::fabrication::FabricatedPanel;
use crate::geometry::{ShopPoint, ShopRect};
use crate::layout::PanelKind;
use crate::rules::{Face, LaminatingLine, StrengthAxis};
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// A panel to be laid on a blank.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub(super) panel: usize,
    pub(super) erection: u32,
    pub(super) on: OnBlank,
    /// Chases across the blank: x from the panel's datum corner.
    pub(super) crosswise: BTreeSet<Length>,
    /// Chases along the blank: y from the panel's datum corner.
    pub(super) lengthwise: BTreeSet<Length>,
}

impl Item {
    pub(super) fn along(&self) -> Length {
        self.on.rect().width()
    }

    pub(super) fn across(&self) -> Length {
        self.on.rect().height()
    }
}

/// What takes up one rectangle of a blank.
#[derive(Clone, Debug)]
pub(super) enum Lay {
    /// A panel alone.
    One(Item),
    /// Two nose to tail; the second is half-turned.
    Pair {
        first: Item,
        second: Item,
        along: Length,
        across: Length,
    },
}

impl Lay {
    pub(super) fn along(&self) -> Length {
        match self {
            Self::One(item) => item.along(),
            Self::Pair { along, .. } => *along,
        }
    }

    pub(super) fn items(&self) -> impl Iterator<Item = &Item> {
        match self {
            Self::One(item) => [Some(item), None],
            Self::Pair { first, second, .. } => [Some(first), Some(second)],
        }
        .into_iter()
        .flatten()
    }

    /// The rectangle wanted, under the marks of its panels.
    pub(super) fn want(&self, models: &Models<'_>) -> Want {
        let panels = &models.fabrication.panels;
        let marks = self.items().filter_map(|item| panels.get(item.panel));
        let marks: Vec<&str> = marks.map(|panel| panel.mark.as_str()).collect();
        let batch = models.rules.stock.batch;
        let first = self.items().map(|item| item.erection).min();
        let first = first.unwrap_or_default().saturating_sub(1);
        Want {
            name: marks.join(" + "),
            length: self.along(),
            width: match self {
                Self::One(item) => item.across(),
                Self::Pair { across, .. } => *across,
            },
            batch: first.checked_div(batch).unwrap_or(0),
        }
    }

    /// Its panels within the rectangle cut for it.
    pub(super) fn placed(&self, models: &Models<'_>, rect: &ShopRect) -> Vec<BlankPanel> {
        let mark = |item: &Item| {
            let panel = models.fabrication.panels.get(item.panel);
            panel.map_or_else(String::new, |panel| panel.mark.clone())
        };
        let panel = |item: &Item, at: ShopPoint, is_turned: bool, with: Option<String>| {
            let mut on = OnBlank { at, ..item.on };
            on.attitude.is_turned = is_turned;
            BlankPanel {
                panel: item.panel,
                mark: mark(item),
                rect: on.rect(),
                on,
                paired_with: with,
            }
        };
        let low = ShopPoint::new(rect.x0, rect.y0);
        match self {
            Self::One(item) => vec![panel(item, low, item.on.attitude.is_turned, None)],
            Self::Pair { first, second, .. } => {
                let far = ShopPoint::new(rect.x1 - second.along(), rect.y1 - second.across());
                // The top of the first points to the second's: along the blank, or across it.
                vec![
                    panel(first, low, false, Some(mark(second))),
                    panel(second, far, true, Some(mark(first))),
                ]
            }
        }
    }
}

/// A panel as it would be laid from the datum corner on a blank of its line.
pub(super) fn item(
    index: usize,
    panel: &FabricatedPanel,
    line: &LaminatingLine,
    is_axis_level: bool,
) -> Option<Item> {
    let mirror = (panel.face_up == Face::Inner).then_some(panel.width);
    let extent = extent(panel, mirror)?;
    let on = OnBlank {
        attitude: attitude(panel, line, is_axis_level, &extent),
        extent,
        at: ShopPoint::default(),
        mirror,
    };
    let mut item = Item {
        panel: index,
        erection: panel.erection.number,
        on,
        crosswise: BTreeSet::new(),
        lengthwise: BTreeSet::new(),
    };
    for chase in &panel.chases {
        let (from, to) = (on.point(chase.from), on.point(chase.to));
        if from.x == to.x {
            item.crosswise.insert(from.x);
        } else {
            item.lengthwise.insert(from.y);
        }
    }
    Some(item)
}

/// The bounding rectangle of both skins, seen from the face that lies up: a bevel may make either one longer.
fn extent(panel: &FabricatedPanel, mirror: Option<Length>) -> Option<ShopRect> {
    let (a, b) = (
        panel.outer_skin.outline.bounds()?,
        panel.inner_skin.outline.bounds()?,
    );
    let both = ShopRect::new(
        a.x0.min(b.x0),
        a.y0.min(b.y0),
        a.x1.max(b.x1),
        a.y1.max(b.y1),
    );
    let [low, high] =
        [(both.x0, both.y0), (both.x1, both.y1)].map(|(x, y)| seen(ShopPoint::new(x, y), mirror));
    Some(ShopRect::new(
        low.x.min(high.x),
        low.y,
        low.x.max(high.x),
        high.y,
    ))
}

/// A wall panel's strength axis stands as the layout has it; that of a header runs along its length, and that of a sill too where a
/// line makes it so.
fn attitude(
    panel: &FabricatedPanel,
    line: &LaminatingLine,
    is_axis_level: bool,
    extent: &ShopRect,
) -> Attitude {
    let lies = Attitude {
        stands: line.strength_axis == StrengthAxis::Short,
        is_turned: false,
    };
    let stands = Attitude {
        stands: (line.strength_axis == StrengthAxis::Long) != is_axis_level,
        is_turned: false,
    };
    let (along, across) = lies.size(extent.width(), extent.height());
    let fits_lying = along <= line.length - line.trim * 2 && across <= line.width - line.trim * 2;
    match panel.kind {
        PanelKind::Header => lies,
        PanelKind::Sill if fits_lying => lies,
        PanelKind::Wall | PanelKind::Sill => stands,
    }
}

/// Heights at the left and right edge, seen from the face that lies up, of a panel whose only slope is its whole top.
fn slope(models: &Models<'_>, item: &Item) -> Option<(Length, Length)> {
    let panel = models.fabrication.panels.get(item.panel)?;
    if panel.outer_skin.outline != panel.inner_skin.outline {
        return None;
    }
    let outline = panel.outer_skin.outline.0.iter();
    let mut points: Vec<ShopPoint> = outline.map(|it| seen(*it, item.on.mirror)).collect();
    points.dedup();
    let bounds = item.on.extent;
    let feet = [bounds.x0, bounds.x1].map(|x| ShopPoint::new(x, bounds.y0));
    if points.len() != 4 || !feet.iter().all(|foot| points.contains(foot)) {
        return None;
    }
    let top = |foot: ShopPoint| {
        let mut above = points.iter().filter(|it| it.x == foot.x && it.y > foot.y);
        above.next().map(|it| it.y - foot.y)
    };
    let (left, right) = (top(feet[0])?, top(feet[1])?);
    (left != right).then_some((left, right))
}

/// Lays panels with equal widths and slopes in pairs, nearest in erection first; the others alone.
pub(super) fn paired(models: &Models<'_>, items: &[Item], room: (Length, Length)) -> Vec<Lay> {
    let mut classes: BTreeMap<(Length, Length, Attitude), Vec<&Item>> = BTreeMap::new();
    let mut lays = Vec::new();
    for item in items {
        match slope(models, item) {
            Some((left, right)) => {
                let key = (item.on.extent.width(), right - left, item.on.attitude);
                classes.entry(key).or_default().push(item);
            }
            None => lays.push(Lay::One(item.clone())),
        }
    }
    for all in classes.into_values() {
        for two in all.chunks(2) {
            match two {
                [first, second] => match pair(models, first, second, room) {
                    Some(pair) => lays.push(pair),
                    None => lays.extend(two.iter().map(|item| Lay::One((*item).clone()))),
                },
                rest => lays.extend(rest.iter().map(|item| Lay::One((*item).clone()))),
            }
        }
    }
    lays
}

fn pair(models: &Models<'_>, first: &Item, second: &Item, room: (Length, Length)) -> Option<Lay> {
    let (left, _) = slope(models, first)?;
    let (_, right) = slope(models, second)?;
    let (wide, rise) = (first.on.extent.width(), slope(models, first)?);
    let height = left + right + upright_kerf(models.rules.stock.kerf, wide, rise.1 - rise.0)?;
    let (along, across) = first.on.attitude.size(wide, height);
    (along <= room.0 && across <= room.1).then(|| Lay::Pair {
        first: first.clone(),
        second: second.clone(),
        along,
        across,
    })
}

/// The kerf of a sloping cut measured upright: the kerf over the cosine of the slope, rounded up to the nanometre.
fn upright_kerf(kerf: Length, wide: Length, rise: Length) -> Option<Length> {
    let nm = |length: Length| i128::from(length.to_nanometres());
    let (k, w, r) = (nm(kerf), nm(wide), nm(rise));
    // The least whole h with h * w >= k * sqrt(w^2 + r^2).
    let square = k.checked_mul(k)?.checked_mul(w * w + r * r)?;
    let root = square.isqrt();
    let root = if root * root < square { root + 1 } else { root };
    let h = (root + w - 1).checked_div(w)?;
    Some(Length::nanometres(i64::try_from(h).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_kerf_of_a_three_four_five_slope_is_a_quarter_longer_upright() {
        let kerf = Length::fraction(0, 1, 8);
        let upright = upright_kerf(kerf, Length::inches(40), Length::inches(-30));
        assert_eq!(upright, Some(Length::fraction(0, 5, 32)));
        assert_eq!(
            upright_kerf(kerf, Length::inches(40), Length::ZERO),
            Some(kerf)
        );
    }
}
