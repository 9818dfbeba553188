//! Panels of the issue before: what it costs not to make one again as it was.
//!
//! ```text
//!   as issued  ├── W101 ──┼── W102 ──┼── W103 ──┤      each panel that is not made again as it was costs its price
//!   now        ├── W101 ──┼──────┼── ? ─┼─ W103 ┤      kept are W101 and, where its two ends lie as they did, W103
//! ```
//!
//! A panel is kept where a panel of the run starts and ends where it did, at the same kind of edge, is as high, of the same
//! assembly, and has the same openings at the same places. The search pays for all of them at the start and gets back the price
//! of each that is kept: the sum is what those cost that are not.

use super::cost::Cost;
use super::{Layout, LayoutOptions, RunPiece, WallLayout, codes};
use crate::building::{Building, PanelWall};
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::rules::PlantRules;
use crate::units::Length;

/// Nearer than this two edges are the same: below what a saw or a tape can tell, and what a turned plan may be off.
const SAME: Length = Length::nanometres(25_400);

/// A panel as it was issued, along the outside face of the wall it stands in now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IssuedPanel {
    /// Its face: x along the wall from its left corner, y from the storey's deck.
    pub rect: ShopRect,
    /// What it ended at, left and right.
    pub edges: [IssuedEdge; 2],
    /// Name of its assembly.
    pub assembly: String,
    /// Its openings by rough size, in the same axes, from the left.
    pub openings: Vec<ShopRect>,
    /// True once it is released, cut or shipped.
    pub is_locked: bool,
}

/// What an edge of an issued panel was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IssuedEdge {
    /// The end of the run.
    End,
    /// A joint.
    Joint,
    /// The jamb of an opening framed between panels.
    Jamb,
}

/// The issued panels of one run.
#[derive(Clone, Debug, Default)]
pub(crate) struct Issued {
    /// Those that could be made again, by where they start, rising.
    panels: Vec<Keepable>,
    /// The price of all.
    all: Cost,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Keepable {
    from: Length,
    pub(crate) to: Length,
    edges: [IssuedEdge; 2],
    price: Cost,
}

impl Issued {
    /// Those of a wall as it is now.
    pub(crate) fn new(panels: &[IssuedPanel], wall: &PanelWall, rules: &PlantRules) -> Self {
        let mut issued = Self::default();
        for panel in panels {
            let price = Cost::of_issued(panel.cents(rules));
            issued.all += price;
            if panel.could_be(wall, rules) {
                issued.panels.push(Keepable {
                    from: panel.rect.x0,
                    to: panel.rect.x1,
                    edges: panel.edges,
                    price,
                });
            }
        }
        issued.panels.sort_by_key(|panel| panel.from);
        issued
    }

    /// What it costs to keep none.
    pub(crate) fn all(&self) -> Cost {
        self.all
    }

    /// The panel that started here.
    pub(crate) fn at(&self, from: Length) -> Option<&Keepable> {
        let next = self
            .panels
            .partition_point(|panel| panel.from < from - SAME);
        let panel = self.panels.get(next)?;
        (panel.from <= from + SAME).then_some(panel)
    }

    /// The same seen from inside: what is `x` here is `sum - x` there.
    pub(crate) fn mirrored(&self, sum: Length) -> Self {
        let panels = self.panels.iter().rev().map(|panel| Keepable {
            from: sum - panel.to,
            to: sum - panel.from,
            edges: [panel.edges[1], panel.edges[0]],
            price: panel.price,
        });
        Self {
            panels: panels.collect(),
            all: self.all,
        }
    }
}

impl Keepable {
    /// What is got back when a panel ends here, between these edges; nothing where it is another.
    pub(crate) fn kept(&self, to: Length, edges: [IssuedEdge; 2]) -> Cost {
        if (self.to - to).abs() <= SAME && self.edges == edges {
            -self.price
        } else {
            Cost::default()
        }
    }

    /// From where to where a right edge is the one it had.
    pub(crate) fn ends(&self) -> [Length; 2] {
        [self.to - SAME, self.to + SAME]
    }
}

impl IssuedPanel {
    /// Cents of not making it again as it was.
    fn cents(&self, rules: &PlantRules) -> i64 {
        if self.is_locked {
            rules.revisions.locked_panel
        } else {
            rules.revisions.issued_panel
        }
    }

    /// True when the wall, between the same two edges, still asks for this panel.
    fn could_be(&self, wall: &PanelWall, rules: &PlantRules) -> bool {
        let assembly = rules.assemblies.get(wall.assembly);
        let mut bounds = wall.profile.bounds(self.rect.x0, self.rect.x1);
        bounds.y0 -= wall.skin_drop;
        let inside = wall
            .openings
            .iter()
            .filter(|hole| hole.to > self.rect.x0 && hole.from < self.rect.x1);
        let holes: Vec<ShopRect> = inside
            .map(|hole| ShopRect::new(hole.from, hole.sill, hole.to, hole.head))
            .collect();
        assembly.is_some_and(|own| own.name == self.assembly)
            && is_same(&bounds, &self.rect)
            && holes.len() == self.openings.len()
            && holes.iter().zip(&self.openings).all(|(a, b)| is_same(a, b))
    }

    /// True when the run has a panel between the same two edges, of the same kinds.
    fn is_in(&self, laid: &WallLayout) -> bool {
        let near = |a: Length, b: Length| (a - b).abs() <= SAME;
        laid.run.iter().enumerate().any(|(i, piece)| match piece {
            RunPiece::Panel { from, to, .. } => {
                near(laid.from + *from, self.rect.x0)
                    && near(laid.from + *to, self.rect.x1)
                    && edges(laid, i) == self.edges
            }
            RunPiece::Gap { .. } | RunPiece::Opening { .. } => false,
        })
    }
}

/// What the panel at place `i` of a run ends at, left and right.
pub(super) fn edges(laid: &WallLayout, i: usize) -> [IssuedEdge; 2] {
    let edge = |other: Option<usize>| match other.and_then(|i| laid.run.get(i)) {
        None => IssuedEdge::End,
        Some(RunPiece::Opening { .. }) => IssuedEdge::Jamb,
        Some(_) => IssuedEdge::Joint,
    };
    [edge(i.checked_sub(1)), edge(Some(i + 1))]
}

fn is_same(a: &ShopRect, b: &ShopRect) -> bool {
    let off = [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1];
    off.iter().all(|off| off.abs() <= SAME)
}

/// What the layout of a revision says of itself beside the layout that heeds no earlier issue; nothing where they are the same.
///
/// - `free`: the layout of the same building with no panel issued; `laid`: the one with what `options` says was issued.
#[must_use]
pub fn beside_free(
    building: &Building,
    rules: &PlantRules,
    options: &LayoutOptions,
    [free, laid]: [&Layout; 2],
) -> Option<Finding> {
    let count = |layout: &Layout| {
        let (mut kept, mut lost, mut cents) = (0_usize, 0_usize, 0_i64);
        for (wall, run) in building.walls.iter().zip(&layout.walls) {
            let wishes = options.walls.get(&wall.id);
            for panel in wishes.iter().flat_map(|wishes| &wishes.issued) {
                if panel.is_in(run) && panel.could_be(wall, rules) {
                    kept += 1;
                } else {
                    lost += 1;
                    cents = cents.saturating_add(panel.cents(rules));
                }
            }
        }
        (kept, lost, cents)
    };
    let sum = |layout: &Layout| -> i64 { layout.walls.iter().map(|wall| wall.cost_cents).sum() };
    let dollars = |cents: i64| format!("{}.{:02}", cents / 100, cents % 100);
    let (kept, lost, cents) = count(laid);
    let (_, lost_free, cents_free) = count(free);
    (kept + lost > 0 && lost + lost_free > 0).then(|| {
        Finding::note(
            codes::HEEDS_ISSUE,
            Place::default(),
            format!(
                "of {} issued wall panels {kept} are made as they were and {lost} are not: the layout costs {}, {} of it for those; without the earlier issue it would cost {}, and {} for the {lost_free} that would then not be",
                kept + lost,
                dollars(sum(laid)),
                dollars(cents),
                dollars(sum(free)),
                dollars(cents_free),
            ),
            "nothing; what it costs to change an issued panel is a rule of the plant (revisions)",
        )
    })
}
