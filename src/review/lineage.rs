//! Which panel of the new issue is which panel of the old one.
//!
//! ```text
//!   old panels, moved:   |── W101 ──|── W102 ──|───── W103 ─────|
//!   new panels:          |──────── ? ─|─ ? ─|── ? ──|──── ? ────|      the pair that shares most of its face first
//! ```
//!
//! Two passes: panels of walls that stayed where they were; then, of what is left, panels of parallel walls that moved.

use super::differences::{Change, differences};
use super::issued::{Issued, IssuedPanel};
use super::references::other_references;
use super::registration::{Motion, register};

/// Cosine of the greatest angle between faces of the same panel: one degree.
pub(super) const PARALLEL: f64 = 0.999_8;
/// Walls that are no farther apart than this stayed where they were, inches.
pub(super) const STAYED: f64 = 1.0;
/// A wall that moved farther than this is another wall, inches.
pub(super) const MOVED: f64 = 144.0;
/// Least share of the wider panel's width that both cover to be the same.
const LEAST_SHARE: f64 = 0.2;
/// The same for walls that moved.
const LEAST_SHARE_MOVED: f64 = 0.5;

/// What became of panels from one issue to the next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lineage {
    /// The motion that lays the old building over the new one; `None` when they are different buildings.
    pub motion: Option<Motion>,
    /// Index of the old panel and of the new one.
    pub pairs: Vec<(usize, usize)>,
    /// Old panels without a successor.
    pub retired: Vec<usize>,
    /// New panels without a predecessor.
    pub fresh: Vec<usize>,
}

/// What became of one panel.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// Nothing: mark, drawing and bytes stay.
    Same,
    /// It is cut as before; only what its sheet refers to differs: order of erection, neighbours' marks, ids.
    Redrawn,
    /// It is cut differently.
    Changed(Vec<Change>),
    /// It is new.
    New,
    /// It is not needed any more.
    Retired,
}

/// One row of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelFate {
    /// Index into the old issue's panels.
    pub old: Option<usize>,
    /// Index into the new issue's panels.
    pub new: Option<usize>,
    /// What became of it.
    pub fate: Fate,
}

impl Fate {
    /// True for a changed panel of which something is cut otherwise.
    #[must_use]
    pub fn is_cut(&self) -> bool {
        matches!(self, Self::Changed(changes) if changes.iter().any(|it| it.is_cut))
    }

    /// The word in a comparison.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::Redrawn => "redrawn",
            Self::Changed(_) => "changed",
            Self::New => "new",
            Self::Retired => "retired",
        }
    }
}

impl Lineage {
    /// Matches the panels of two issues by where they stand.
    #[must_use]
    pub fn between(old: &Issued, new: &Issued) -> Self {
        let motion = register(&old.walls, &new.walls);
        let mut pairs = Vec::new();
        if let Some(motion) = &motion {
            for (reach, share) in [(STAYED, LEAST_SHARE), (MOVED, LEAST_SHARE_MOVED)] {
                pair_up(old, new, motion, (reach, share), &mut pairs);
            }
        }
        pairs.sort_by_key(|(_, new)| *new);
        let free = |n: usize, side: fn(&(usize, usize)) -> usize| {
            (0..n)
                .filter(|index| !pairs.iter().any(|pair| side(pair) == *index))
                .collect()
        };
        Self {
            motion,
            retired: free(old.panels.len(), |pair| pair.0),
            fresh: free(new.panels.len(), |pair| pair.1),
            pairs,
        }
    }

    /// What became of every panel: the new issue's in its order, then the retired ones.
    #[must_use]
    pub fn fates(&self, old: &Issued, new: &Issued) -> Vec<PanelFate> {
        let mut rows: Vec<PanelFate> = (0..new.panels.len())
            .map(|index| {
                let Some((before, _)) = self.pairs.iter().find(|(_, new)| *new == index) else {
                    return PanelFate {
                        old: None,
                        new: Some(index),
                        fate: Fate::New,
                    };
                };
                PanelFate {
                    old: Some(*before),
                    new: Some(index),
                    fate: fate(&old.panels[*before], &new.panels[index]),
                }
            })
            .collect();
        rows.extend(self.retired.iter().map(|index| PanelFate {
            old: Some(*index),
            new: None,
            fate: Fate::Retired,
        }));
        rows
    }
}

fn fate(old: &IssuedPanel, new: &IssuedPanel) -> Fate {
    let changes = differences(&old.data, &new.data);
    if !changes.is_empty() {
        Fate::Changed(changes)
    } else if !other_references(&old.data, &new.data).is_empty() {
        Fate::Redrawn
    } else {
        Fate::Same
    }
}

/// Adds the pairs of panels not paired yet whose walls are no farther apart than `reach`: largest shared face first.
fn pair_up(
    old: &Issued,
    new: &Issued,
    motion: &Motion,
    (reach, least): (f64, f64),
    pairs: &mut Vec<(usize, usize)>,
) {
    let mut candidates: Vec<(i64, usize, usize)> = Vec::new();
    for (i, a) in old.panels.iter().enumerate() {
        for (j, b) in new.panels.iter().enumerate() {
            if pairs.iter().any(|(old, new)| *old == i || *new == j) {
                continue;
            }
            let share = shared_face(a, b, motion, reach);
            if share >= least {
                // To a thousandth, so that rounding decides nothing.
                #[expect(clippy::cast_possible_truncation, reason = "a share is at most 1")]
                candidates.push((-(share * 1000.0).round() as i64, i, j));
            }
        }
    }
    candidates.sort_unstable();
    for (_, i, j) in candidates {
        if !pairs.iter().any(|(old, new)| *old == i || *new == j) {
            pairs.push((i, j));
        }
    }
}

/// Share of the larger face that both panels cover, 0 to 1; a little less the farther apart their walls are.
fn shared_face(old: &IssuedPanel, new: &IssuedPanel, motion: &Motion, reach: f64) -> f64 {
    let along = motion.turn(old.along);
    if old.kind != new.kind || along[0] * new.along[0] + along[1] * new.along[1] < PARALLEL {
        return 0.0;
    }
    let start = motion.point([old.origin[0], old.origin[1]]);
    let [x, y] = [start[0] - new.origin[0], start[1] - new.origin[1]];
    let off = (x * new.along[1] - y * new.along[0]).abs();
    let from = x * new.along[0] + y * new.along[1];
    if off > reach {
        return 0.0;
    }
    let rise = old.origin[2] - new.origin[2];
    let wide =
        ((from + old.width).min(new.width) - from.max(0.0)).max(0.0) / old.width.max(new.width);
    let high =
        ((rise + old.height).min(new.height) - rise.max(0.0)).max(0.0) / old.height.max(new.height);
    wide * high * (1.0 - 0.1 * off / reach)
}
