//! Trucks with their stacks. Deck axes: x from the headboard, y from the left side seen towards the front, z up from the deck.

use crate::units::{Erection, Length};

/// All trucks, in the order in which they are sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadPlan {
    /// The first carries what is set first.
    pub trucks: Vec<Truck>,
    /// Lumber in bundles, those that are shipped and those for the framing station.
    pub bundles: Vec<Bundle>,
    /// No plan that keeps the order of erection needs fewer trucks.
    pub bound: usize,
}

impl LoadPlan {
    /// What the bound covers.
    pub const SCOPE: &'static str = "flat, long side along the deck, each wholly on one other, alone or side by side with more, in this order of erection, overhanging no more than the rules allow";

    /// `2 trucks; none can do with fewer than 2 (flat, …)`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let count = self.trucks.len();
        let noun = if count == 1 { "truck" } else { "trucks" };
        let gap = match count.saturating_sub(self.bound) {
            0 => String::new(),
            gap => format!(": gap {gap}, not proven"),
        };
        let (bound, scope) = (self.bound, Self::SCOPE);
        format!("{count} {noun}; none can do with fewer than {bound} ({scope}){gap}")
    }
}

/// One truck.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Truck {
    /// From 1.
    pub number: u32,
    /// Its stacks, from the headboard.
    pub stacks: Vec<Stack>,
    /// Weight of plates, splines and loose lumber that ride along, pounds.
    pub loose_lb: f64,
    /// Limits it goes beyond, in words; empty for a legal load.
    pub beyond: Vec<String>,
}

/// Panels lying flat on each other.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stack {
    /// Name: `1A`.
    pub name: String,
    /// From the headboard.
    pub x: Length,
    /// From the deck's left side.
    pub y: Length,
    /// Along the deck.
    pub length: Length,
    /// Across the deck.
    pub width: Length,
    /// Of the panels, without dunnage.
    pub height: Length,
    /// As they are laid, so from the bottom up.
    pub panels: Vec<LoadedPanel>,
    /// How many stand side by side from where it forks; 0 where it does not.
    pub columns: usize,
    /// True when its columns are equally high: then one strap holds all of them.
    pub is_level: bool,
    /// How many tie-downs hold it.
    pub tie_downs: u32,
}

impl Stack {
    /// Where a panel lies in it, in words: `3`, or `3, 1 of 2 from the left`.
    #[must_use]
    pub fn place_of(&self, panel: &LoadedPanel) -> String {
        if panel.column == 0 {
            panel.layer.to_string()
        } else {
            let (layer, column, columns) = (panel.layer, panel.column, self.columns);
            format!("{layer}, {column} of {columns} from the left")
        }
    }

    /// Pounds.
    #[must_use]
    pub fn weight_lb(&self) -> f64 {
        self.panels
            .iter()
            .fold(0.0, |sum, panel| sum + panel.weight_lb)
    }
}

impl Truck {
    /// Pounds of panels and loose goods.
    #[must_use]
    pub fn weight_lb(&self) -> f64 {
        self.stacks
            .iter()
            .fold(self.loose_lb, |sum, stack| sum + stack.weight_lb())
    }

    /// Greatest height of its stacks.
    #[must_use]
    pub fn height(&self) -> Length {
        self.stacks
            .iter()
            .map(|stack| stack.height)
            .max()
            .unwrap_or_default()
    }

    /// Deck used up across, over the widest bay.
    #[must_use]
    pub fn width(&self) -> Length {
        let widths = self.stacks.iter().map(|stack| {
            // Those beside it, which may stand one behind the other.
            let beside = || {
                let all = self.stacks.iter();
                all.filter(|it| it.x < stack.x + stack.length && stack.x < it.x + it.length)
            };
            let from = beside().map(|it| it.y).min();
            let to = beside().map(|it| it.y + it.width).max();
            to.unwrap_or_default() - from.unwrap_or_default()
        });
        widths.max().unwrap_or_default()
    }

    /// Deck used up from the headboard.
    #[must_use]
    pub fn length(&self) -> Length {
        self.stacks
            .iter()
            .map(|stack| stack.x + stack.length)
            .max()
            .unwrap_or_default()
    }
}

/// One panel in a stack.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadedPanel {
    /// Mark.
    pub mark: String,
    /// Place in the order of erection.
    pub erection: Erection,
    /// Longer side, along the deck.
    pub length: Length,
    /// Shorter side.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// Pounds.
    pub weight_lb: f64,
    /// In its stack: counted from the bottom, from 1.
    pub layer: u32,
    /// Its column in a stack that forks, from the truck's left, from 1; 0 for all of its width.
    pub column: usize,
    /// Its underside above the stack's.
    pub bottom: Length,
    /// Its left side from the stack's.
    pub across: Length,
}

/// Lumber bound together under one label.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bundle {
    /// Name, unique in the package: `W101-F`, `W101-L`, `PLATES-X1`.
    pub name: String,
    /// What it is.
    pub kind: BundleKind,
    /// Mark of the panel it belongs to; none for plates.
    pub panel: Option<String>,
    /// Index into `Building::walls`.
    pub wall: usize,
    /// What lies in it, in the order of the panel's or wall's own list.
    pub pieces: Vec<BundlePiece>,
}

impl Bundle {
    /// Pounds.
    #[must_use]
    pub fn weight_lb(&self) -> f64 {
        self.pieces
            .iter()
            .fold(0.0, |sum, piece| sum + piece.weight_lb)
    }
}

/// What a bundle is, and so where it goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum BundleKind {
    /// What the plant fits into a panel: to the framing station.
    #[default]
    Framing,
    /// What ships loose with a panel: to the truck.
    Loose,
    /// The plates of a wall: to the truck.
    Plates,
}

impl BundleKind {
    /// In lists: `framing`, `loose`, `plates`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Framing => "framing",
            Self::Loose => "loose",
            Self::Plates => "plates",
        }
    }

    /// True when it rides on a truck beside the panels.
    #[must_use]
    pub const fn is_shipped(self) -> bool {
        !matches!(self, Self::Framing)
    }
}

/// A piece in a bundle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BundlePiece {
    /// Mark.
    pub mark: String,
    /// What it is for.
    pub usage: String,
    /// Section.
    pub section: String,
    /// Cut length.
    pub length: Length,
    /// Pounds.
    pub weight_lb: f64,
}
