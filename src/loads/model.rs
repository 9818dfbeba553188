//! Trucks with their stacks. Deck axes: x from the headboard, y from the left side seen towards the front, z up from the deck.

use crate::units::Length;

/// All trucks, in the order in which they are sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadPlan {
    /// The first carries what is set first.
    pub trucks: Vec<Truck>,
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
    /// From the bottom up.
    pub panels: Vec<LoadedPanel>,
    /// How many tie-downs hold it.
    pub tie_downs: u32,
}

impl Stack {
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
    pub erection: u32,
    /// Longer side, along the deck.
    pub length: Length,
    /// Shorter side.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
    /// Pounds.
    pub weight_lb: f64,
}
