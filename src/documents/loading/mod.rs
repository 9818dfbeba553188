//! Load sheets, one for each truck: from the side, from the top, each stack as it lies, limits, straps, cautions.
//!
//! ```text
//!   ── legal height ─────────────────    limits and what the load has of them
//!   ┌────┐┌────┐                         how to load, cautions
//!   ╧════╧╧════╧═══ seen from the left
//!   ┌────────────────┐
//!   │ 1A │ 1B │      │ from above         stack 1A: from the top down, the first off first
//!   └────────────────┘                     loose goods: a row for each bundle
//! ```
//!
//! Numbers `Z-801`… run on: a truck whose lists need more room has further sheets.

mod list;
mod side;
mod strip;
mod top;

use super::TitleFacts;
use super::paper::canvas::View;
use super::paper::frame::Paper;
use super::paper::scale::{Scale, fitting_scale, scales};
use super::paper::{Area, Canvas, Sheet, spot};
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::loads::{Bundle, LoadPlan, Truck};
use crate::rules::{PlantRules, ShippingRules};

/// Left of the deck: where the front is said, mm.
const LEFT: f64 = 12.0;
/// Right of the deck: dimensions, mm.
const RIGHT: f64 = 30.0;

/// Printed with every load.
pub(super) const CAUTIONS: [&str; 4] = [
    "Weights are computed, not weighed. The driver answers for the load and its tie-downs.",
    "Stacks lie on dunnage, level, 3 in or more above the deck; edges are kept from straps.",
    "Panels catch the wind: unload with tag lines, and never stand beneath a load.",
    "Axle loads, permits and routes are the carrier's; state and local law decide.",
];

/// What load sheets are drawn from.
#[derive(Clone, Copy, Debug)]
pub(super) struct LoadSheetInput<'a> {
    /// Panels.
    pub(super) fabrication: &'a Fabrication,
    /// Trucks.
    pub(super) loads: &'a LoadPlan,
    /// The plant's rules.
    pub(super) rules: &'a PlantRules,
    /// Title block.
    pub(super) facts: &'a TitleFacts,
}

impl<'a> LoadSheetInput<'a> {
    /// The paper of load sheets.
    fn paper(&self) -> Paper {
        Paper::of_shop(&self.facts.sheets)
    }

    fn shipping(&self) -> &'a ShippingRules {
        &self.rules.dispatch.shipping
    }

    /// Bundles that ride on a truck beside its panels: all of them on the first.
    fn loose_on(&self, truck: &Truck) -> Vec<&'a Bundle> {
        let bundles = self.loads.bundles.iter();
        bundles
            .filter(|bundle| truck.number == 1 && bundle.kind.is_shipped())
            .collect()
    }

    fn panel(&self, mark: &str) -> Option<&'a FabricatedPanel> {
        self.fabrication.panels.iter().find(|it| it.mark == mark)
    }
}

/// All load sheets.
pub(super) fn load_sheets(input: &LoadSheetInput<'_>) -> Vec<Sheet> {
    let mut sheets = Vec::new();
    let paper = input.paper();
    for truck in &input.loads.trucks {
        let views = Views::new(input, truck);
        let pages = list::pages(input, truck, &paper.field(), views.foot);
        let count = pages.len();
        for (index, page) in pages.into_iter().enumerate() {
            let number = format!("Z-8{:02}", sheets.len() + 1);
            let part = (index + 1, count);
            let mut layers = Vec::new();
            let mut left = None;
            if index == 0 {
                layers.push(side::draw(input, truck, &views));
                let (top, short) = top::draw(input, truck, &views);
                layers.push(top);
                left = short;
            }
            layers.push(page.into_group("stacks", "Stacks"));
            let mut frame = Canvas::new();
            paper.draw_frame(&mut frame);
            layers.push(frame.into_group("frame", "Frame"));
            let scale = if index == 0 {
                views.scale.name
            } else {
                "not to scale"
            };
            layers.push(strip::draw(input, truck, &number, scale, part, left));
            sheets.push(Sheet {
                name: format!("{number}-truck-{}", truck.number),
                title: match part {
                    (_, 1) => format!("{number} Load of truck {}", truck.number),
                    (page, all) => format!(
                        "{number} Load of truck {} (sheet {page} of {all})",
                        truck.number
                    ),
                },
                description:
                    "A truck from the side and from the top, its stacks, limits and tie-downs."
                        .to_owned(),
                paper: paper.name.to_owned(),
                width: paper.width,
                height: paper.height,
                number,
                data: vec![("truck".to_owned(), truck.number.to_string())],
                layers,
            });
        }
    }
    sheets
}

/// Where the two views of a truck lie. Origin of both: headboard, x towards the rear; of the side view on the road.
struct Views {
    scale: Scale,
    side: View,
    top: View,
    /// Below the lower view's title, mm.
    foot: f64,
}

impl Views {
    fn new(input: &LoadSheetInput<'_>, truck: &Truck) -> Self {
        let rules = input.shipping();
        let paper = input.paper();
        let (field, grown) = (paper.field(), paper.letters_grown());
        let length = rules.deck_length.max(truck.length()).to_inches();
        let height = rules.greatest_height.max(above_road(rules, truck));
        let width = rules.deck_width.max(truck.width());
        let [height, width] = [height, width].map(|it| it.to_inches());
        // Height: the two views leave the lower third of the sheet to the lists.
        let size = [length, height + width];
        let room = [field.width() - LEFT - RIGHT, 125.0 * paper.grown()];
        let scale = fitting_scale(
            scales(input.facts.sheets.scales),
            48.0 / paper.grown(),
            size,
            room,
        );
        let k = scale.per_inch();
        let left = field.x0 + LEFT;
        let road = field.y0 + 9.0 * grown + height * k;
        let deck = road + 15.0 * grown + width * k;
        Self {
            scale,
            side: View {
                origin: spot(left, road),
                scale: k,
            },
            top: View {
                origin: spot(left, deck),
                scale: k,
            },
            foot: deck + 27.0 * grown,
        }
    }
}

/// How high a truck's load stands above the road.
fn above_road(rules: &ShippingRules, truck: &Truck) -> crate::units::Length {
    rules.deck_height + rules.dunnage + truck.height()
}

/// A stack's rectangle on the deck, on paper.
fn on_deck(view: &View, stack: &crate::loads::Stack) -> Area {
    let [x, y, l, w] = [stack.x, stack.y, stack.length, stack.width].map(|it| it.to_inches());
    view.area(x, y, x + l, y + w)
}
