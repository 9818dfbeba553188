//! Panels that leave the blank they were laid on: chases in its core would not coincide, or no core of it has their lintel in one piece.
//!
//! ```text
//!   together: rows break A, turned columns break B        apart: each core as its panel needs it
//!   ┌──────┬──────────┐                                   ┌──────┐   ┌──────────┐
//!   │  A░  │░░░ B ░░░ │     ░ a lintel                    │  A░  │   │░░░ B ░░░ │
//!   └──────┴──────────┘                                   └──────┘   └──────────┘
//! ```
//!
//! A panel whose lintel no slab holds in one piece even on a blank of its own stays where it is, and goes on HOLD.

use super::Models;
use super::foam::broken_panels;
use super::items::{Item, Lay};
use super::model::{Blank, CutSheet};
use crate::geometry::ShopRect;
use std::collections::BTreeSet;

/// A blank as it is cut, and what lies on it piece by piece.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub(super) sheet: CutSheet,
    pub(super) lays: Vec<Lay>,
}

impl Laid {
    pub(super) fn items(&self) -> impl Iterator<Item = &Item> {
        self.lays.iter().flat_map(Lay::items)
    }

    pub(super) fn rects(&self) -> Vec<ShopRect> {
        self.sheet.pieces.iter().map(|piece| piece.rect).collect()
    }
}

/// How blanks of one group are made.
pub(super) struct Shop<'a> {
    pub(super) models: &'a Models<'a>,
    /// Blanks for these alone, of new stock.
    pub(super) cut: &'a dyn Fn(&[Lay]) -> Vec<Laid>,
    pub(super) blank: &'a dyn Fn(&Laid) -> Blank,
}

impl Shop<'_> {
    /// Every panel of a blank on one of its own.
    pub(super) fn each_alone(&self, laid: &Laid) -> Vec<Laid> {
        let lays = laid.lays.iter();
        lays.flat_map(|lay| (self.cut)(std::slice::from_ref(lay)))
            .collect()
    }

    /// The blank as it is, or several with fewer panels whose lintel is in pieces.
    ///
    /// - `is_chased`: what stays behind may lie together only as it was laid.
    pub(super) fn for_lintels(&self, laid: Laid, is_chased: bool) -> Vec<Laid> {
        let whole = self.broken(&laid);
        if whole.is_empty() || laid.items().count() < 2 || !laid.sheet.leftover.is_empty() {
            return vec![laid];
        }
        let count = |all: &[Laid]| all.iter().map(|it| self.broken(it).len()).sum::<usize>();
        let (mut parted, mut stay) = (Vec::new(), Vec::new());
        for lay in &laid.lays {
            let own: Vec<Laid> = lay
                .items()
                .flat_map(|item| (self.cut)(&[Lay::One(item.clone())]))
                .collect();
            let before = lay.items().filter(|it| whole.contains(&it.panel)).count();
            if count(&own) < before {
                parted.extend(own);
            } else {
                stay.push(lay.clone());
            }
        }
        if is_chased {
            let alone = stay.iter().map(std::slice::from_ref);
            parted.extend(alone.flat_map(|lay| (self.cut)(lay)));
        } else if !stay.is_empty() {
            parted.extend((self.cut)(&stay));
        }
        let is_all = parted.iter().flat_map(Laid::items).count() == laid.items().count();
        if is_all && count(&parted) < whole.len() {
            parted
        } else {
            vec![laid]
        }
    }

    fn broken(&self, laid: &Laid) -> BTreeSet<usize> {
        broken_panels(self.models, &(self.blank)(laid))
    }
}
