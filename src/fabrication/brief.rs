//! What every step needs to know of one panel, gathered once.

use crate::building::{Building, PanelWall, RoughOpening};
use crate::geometry::{ShopRect, ShopRing};
use crate::layout::{Layout, Panel, PanelEdge, PanelKind, WallEnd, WallLayout};
use crate::rules::{Assembly, LumberSection, PlantRules};
use crate::units::Length;

/// One panel with the wall it stands in and the build-up it is made of. Panel axes unless stated otherwise.
#[derive(Clone, Copy, Debug)]
pub(super) struct PanelBrief<'a> {
    pub(super) rules: &'a PlantRules,
    pub(super) layout: &'a Layout,
    pub(super) building: &'a Building,
    /// Index into `Layout::panels`.
    pub(super) index: usize,
    pub(super) panel: &'a Panel,
    pub(super) wall: &'a PanelWall,
    pub(super) run: &'a WallLayout,
    pub(super) assembly: &'a Assembly,
    /// Dressed section that fits the core: plates, studs, bucks.
    pub(super) stud: LumberSection,
    /// Bounds of the outer skin.
    pub(super) width: Length,
    /// From the bottom that bears to the top; y 0 is at that bottom while the panel is made.
    pub(super) height: Length,
    /// How far the outer skin reaches below y 0.
    pub(super) drop: Length,
}

impl<'a> PanelBrief<'a> {
    /// `None` when the layout names a wall, an assembly or a section that does not exist, or the panel has no size.
    pub(super) fn new(
        building: &'a Building,
        layout: &'a Layout,
        rules: &'a PlantRules,
        index: usize,
    ) -> Option<Self> {
        let panel = layout.panels.get(index)?;
        let wall = building.walls.get(panel.wall)?;
        let run = layout.walls.get(panel.wall)?;
        let assembly = rules.assemblies.get(wall.assembly)?;
        let stud = *rules.lumber.sections.get(&assembly.lumber)?;
        let drop = match panel.kind {
            PanelKind::Wall | PanelKind::Sill => wall.skin_drop,
            PanelKind::Header => Length::ZERO,
        };
        let (width, height) = (panel.rect.width(), panel.rect.height() - drop);
        (width > Length::ZERO && height > Length::ZERO).then_some(Self {
            rules,
            layout,
            building,
            index,
            panel,
            wall,
            run,
            assembly,
            stud,
            width,
            height,
            drop,
        })
    }

    /// The bounding rectangle of what bears.
    pub(super) fn bounds(&self) -> ShopRect {
        ShopRect::new(Length::ZERO, Length::ZERO, self.width, self.height)
    }

    /// From the wall's left corner to the panel's x 0.
    pub(super) fn along(&self) -> Length {
        self.run.from + self.panel.rect.x0
    }

    /// Height of y 0 above the deck.
    fn bottom(&self) -> Length {
        self.panel.rect.y0 + self.drop
    }

    /// The outer skin's outline before openings: its base lowered where it drops.
    pub(super) fn outer_outline(&self) -> ShopRing {
        let mut ring = self.outline_at(Length::ZERO);
        // Contours run with the panel on their left: a base runs to the right.
        let sides: Vec<_> = ring.sides().collect();
        let on_base = |point| {
            let mut base = sides.iter().filter(|(from, to)| to.x > from.x);
            base.any(|(from, to)| *from == point || *to == point)
        };
        for point in ring.0.iter_mut().filter(|point| on_base(**point)) {
            point.y -= self.drop;
        }
        ring
    }

    /// The panel's outline before openings, as cut at a depth below its outer face.
    pub(super) fn outline_at(&self, depth: Length) -> ShopRing {
        let [left, right] = self.end_shift(depth);
        let rect = self.panel.rect.moved(self.run.from, Length::ZERO);
        let rect = ShopRect {
            x0: rect.x0 + left,
            x1: rect.x1 - right,
            y0: self.bottom(),
            ..rect
        };
        let face = self.wall.profile.within(&rect);
        face.moved(-self.along(), -self.bottom())
    }

    /// Top of the sole, as thick as `sole`, from `x0` to `x1`: the highest. A header panel has none: its own bottom counts.
    pub(super) fn foot(&self, x0: Length, x1: Length, sole: Length) -> Length {
        if self.panel.kind == PanelKind::Header {
            return sole;
        }
        let along = self.along();
        let [base, _] = self.wall.profile.base_range(x0 + along, x1 + along);
        self.y_of(base) + sole
    }

    /// Underside of the top plate, as thick as `plate`, from `x0` to `x1`: highest and lowest. A sill panel's top is level.
    pub(super) fn head(&self, x0: Length, x1: Length, plate: Length) -> [Length; 2] {
        if self.panel.kind == PanelKind::Sill {
            return [self.height - plate; 2];
        }
        let along = self.along();
        let under = self.wall.profile.underside(x0 + along, x1 + along, plate);
        under.map(|y| self.y_of(y))
    }

    /// Slope of the top over a place, degrees from level, rising to the right.
    pub(super) fn slope_deg(&self, x: Length) -> f64 {
        let stretch = self.wall.profile.stretch(x + self.along(), false);
        stretch.map_or(0.0, |stretch| stretch.degrees())
    }

    /// Height of the panel's left or right end.
    pub(super) fn end_height(&self, is_left: bool) -> Length {
        let x = if is_left { Length::ZERO } else { self.width };
        let outline = self.outline_at(Length::ZERO);
        let upright = outline.sides().filter(|(a, b)| a.x == x && b.x == x);
        upright.map(|(a, b)| (b.y - a.y).abs()).sum()
    }

    /// A height above the deck as y of the panel.
    pub(super) fn y_of(&self, above_deck: Length) -> Length {
        above_deck - self.bottom()
    }

    /// An opening of the panel's wall, by index.
    pub(super) fn opening(&self, index: usize) -> Option<&'a RoughOpening> {
        self.wall.openings.get(index)
    }

    /// The rough opening; it may reach beyond the panel, as a door's bottom does.
    pub(super) fn rough(&self, opening: &RoughOpening) -> ShopRect {
        let left = self.run.from + self.panel.rect.x0;
        ShopRect::new(
            opening.from - left,
            self.y_of(opening.sill),
            opening.to - left,
            self.y_of(opening.head),
        )
    }

    /// From the outer face, where a piece as thick as `across` lies that is centred in the core.
    pub(super) fn centred_depth(&self, across: Length) -> [Length; 2] {
        let near = self.assembly.outer.thickness + (self.assembly.core - across).half();
        [near, near + across]
    }

    /// Depth of the middle of the core below the outer face.
    pub(super) fn core_middle(&self) -> Length {
        self.assembly.outer.thickness + self.assembly.core.half()
    }

    /// How far the panel's end stands back from the outer skin's edge at a depth below the outer face: left and right.
    ///
    /// ```text
    ///   outer ├───────────────────┤
    ///          \                 /       bevel positive: the outer skin is longer
    ///   inner   ├───────────────┤
    /// ```
    pub(super) fn end_shift(&self, depth: Length) -> [Length; 2] {
        [self.panel.left, self.panel.right].map(|edge| shift(bevel_of(edge), depth))
    }
}

/// Bevel of an edge through the thickness, degrees from square; positive when the outer skin is longer.
pub(super) fn bevel_of(edge: PanelEdge) -> f64 {
    match edge {
        PanelEdge::Corner {
            end: WallEnd::Mitre { bevel_deg },
            ..
        } => bevel_deg,
        _ => 0.0,
    }
}

/// What a bevelled cut gains in `depth`, to the nanometre.
fn shift(bevel_deg: f64, depth: Length) -> Length {
    let inches = depth.to_inches() * bevel_deg.to_radians().tan();
    Length::nearest(inches, Length::nanometres(1)).unwrap_or(Length::ZERO)
}

/// What a piece of that thickness takes along the panel when it stands askew by the bevel, to the nanometre.
pub(super) fn askew(thickness: Length, bevel_deg: f64) -> Length {
    let inches = thickness.to_inches() / bevel_deg.to_radians().cos();
    Length::nearest(inches, Length::nanometres(1)).unwrap_or(thickness)
}
