//! What a panel sheet is about, gathered once: the panel, its wall, its neighbours, its parts by number.

use super::PanelSheetInput;
use crate::building::{CornerKind, PanelWall, RoughOpening};
use crate::documents::paper::frame::Paper;
use crate::fabrication::{EdgeContour, EdgeJoint, FabricatedPanel, Fitted, Lumber, SkinEdge};
use crate::geometry::ShopRect;
use crate::layout::{Panel, PanelEdge, PanelKind, WallEnd};
use crate::plan::OpeningKind;
use crate::rules::{Assembly, PanelPaper};
use crate::units::{Inches, Length};

/// Left or right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::documents) enum Hand {
    Left,
    Right,
}

impl Hand {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// Pieces that are alike: one row of the parts table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PartRow {
    pub(super) name: String,
    pub(super) section: String,
    pub(super) length: Length,
    pub(super) fitted: Fitted,
    /// Indices into the panel's lumber.
    pub(super) pieces: Vec<usize>,
}

/// A panel with everything its sheet needs.
pub(super) struct Subject<'a> {
    pub(super) input: &'a PanelSheetInput<'a>,
    /// Index into `Fabrication::panels`.
    pub(super) index: usize,
    pub(super) panel: &'a FabricatedPanel,
    pub(super) place: &'a Panel,
    pub(super) wall: &'a PanelWall,
    pub(super) assembly: &'a Assembly,
    pub(super) rows: Vec<PartRow>,
}

impl<'a> Subject<'a> {
    /// `None` when the models do not hold together.
    pub(super) fn new(input: &'a PanelSheetInput<'a>, index: usize) -> Option<Self> {
        let panel = input.fabrication.panels.get(index)?;
        let mut subject = Self {
            input,
            index,
            panel,
            place: input.layout.panels.get(panel.panel)?,
            wall: input.building.walls.get(panel.wall)?,
            assembly: input.rules.assemblies.get(panel.assembly)?,
            rows: Vec::new(),
        };
        subject.rows = subject.part_rows();
        Some(subject)
    }

    /// The paper of the sheet.
    pub(super) const fn paper(&self) -> Paper {
        Paper::of_panels(&self.input.facts.sheets)
    }

    /// True on a sheet so small that it has no sections.
    pub(super) const fn is_ticket(&self) -> bool {
        matches!(
            self.input.facts.sheets.panels,
            PanelPaper::Letter | PanelPaper::A4
        )
    }

    /// How high the deck of its storey lies on the panel: 0 where it stands on the deck, more where it reaches below it; `None`
    /// where it begins above it.
    pub(super) fn deck(&self) -> Option<Length> {
        let deck = Length::ZERO - self.place.rect.y0;
        (Length::ZERO <= deck && deck < self.panel.height).then_some(deck)
    }

    /// True where the outline leaves the corner out that all is measured from: over a step of the foundation.
    pub(super) fn is_datum_cut_away(&self) -> bool {
        let mut corners = self.panel.outer_skin.outline.0.iter();
        !corners.any(|it| it.x == Length::ZERO && it.y == Length::ZERO)
    }

    pub(super) const fn edge(&self, hand: Hand) -> PanelEdge {
        match hand {
            Hand::Left => self.place.left,
            Hand::Right => self.place.right,
        }
    }

    /// The straight edges of the outline at an end, from any height.
    pub(super) fn skin_edge(&self, hand: Hand) -> Option<&'a SkinEdge> {
        self.panel.edges.iter().find(|edge| {
            edge.contour == EdgeContour::Outline
                && edge.from.x == edge.to.x
                && (edge.from.x == self.end(hand))
        })
    }

    /// x of the outline at an end.
    pub(super) fn end(&self, hand: Hand) -> Length {
        match hand {
            Hand::Left => Length::ZERO,
            Hand::Right => self.panel.width,
        }
    }

    /// Edges along the bottom or the top: contours run with the panel on their left.
    pub(super) fn level_edges(&self, is_top: bool) -> impl Iterator<Item = &'a SkinEdge> {
        let level = if is_top {
            self.panel.height
        } else {
            Length::ZERO
        };
        self.panel.edges.iter().filter(move |edge| {
            let is_level = edge.from.y == level && edge.to.y == level;
            let is_side = edge.from.x != edge.to.x && (edge.to.x < edge.from.x) == is_top;
            edge.contour == EdgeContour::Outline
                && is_side
                && (is_level || edge.joint == EdgeJoint::Plate)
        })
    }

    /// Where the outline begins and ends at an end of the panel.
    pub(super) fn end_span(&self, hand: Hand) -> [Length; 2] {
        let x = self.end(hand);
        let here = self.panel.outer_skin.outline.0.iter();
        let ys = here.filter(|point| point.x == x).map(|point| point.y);
        [
            ys.clone().min().unwrap_or_default(),
            ys.max().unwrap_or(self.panel.height),
        ]
    }

    /// Height of the panel at an end.
    pub(super) fn end_height(&self, hand: Hand) -> Length {
        let [low, high] = self.end_span(hand);
        high - low
    }

    /// As high as screws go at a corner: up to the lower of the two walls that meet there.
    pub(super) fn screwed_height(&self, hand: Hand) -> Length {
        let corner = match hand {
            Hand::Left => self.wall.left,
            Hand::Right => self.wall.right,
        };
        let met = corner
            .with
            .and_then(|with| self.input.building.walls.get(with));
        let own = self.end_height(hand);
        met.map_or(own, |wall| own.min(wall.end_height(hand == Hand::Right)))
    }

    /// Heights of the screws at a corner, from the panel's foot there.
    pub(super) fn screws(&self, hand: Hand) -> Vec<Length> {
        let plates = self.level_edges(true).map(|edge| edge.recess);
        let plate = plates.max().unwrap_or_default();
        let spacing = self.input.rules.corners.screw_spacing;
        screw_heights(self.screwed_height(hand), plate, spacing)
    }

    /// The opening as the wall has it.
    pub(super) fn rough_opening(&self, index: usize) -> Option<&'a RoughOpening> {
        self.wall.openings.get(index)
    }

    /// What stands beyond an end: the neighbour's mark, or the opening's id.
    pub(super) fn neighbour(&self, hand: Hand) -> Option<String> {
        match self.edge(hand) {
            PanelEdge::Spline { with, .. } => self.mark(with),
            PanelEdge::Corner { with, .. } => {
                self.corner_panel(with, hand).and_then(|p| self.mark(p))
            }
            PanelEdge::Jamb { opening } => self.rough_opening(opening).map(|o| o.id.clone()),
            PanelEdge::Free => None,
        }
    }

    fn mark(&self, panel: usize) -> Option<String> {
        self.input
            .layout
            .panels
            .get(panel)
            .map(|panel| panel.mark.clone())
    }

    /// The full-height panel at the end of another wall that meets this one: seen from outside, the wall at our left ends
    /// with its right end here.
    fn corner_panel(&self, wall: usize, hand: Hand) -> Option<usize> {
        let panels = self.input.layout.panels.iter().enumerate();
        let mut of_wall = panels.filter(|(_, p)| p.wall == wall && p.kind == PanelKind::Wall);
        let corner = match hand {
            Hand::Left => self.wall.left,
            Hand::Right => self.wall.right,
        };
        if corner.kind == CornerKind::Tee {
            let host = self.input.building.walls.get(wall)?;
            let run = self.input.layout.walls.get(wall)?;
            let at = match hand {
                Hand::Left => 0.0,
                Hand::Right => self.wall.face_length.to_inches(),
            };
            let (at, _) = host.frame.local(self.wall.frame.point(at, 0.0));
            let at = Length::nearest(at, Length::TAPE_STEP)? - run.from;
            let found = of_wall.find(|(_, p)| p.rect.x0 <= at && at <= p.rect.x1);
            return found.map(|(index, _)| index);
        }
        let found = match hand {
            Hand::Left => of_wall.max_by_key(|(_, p)| p.rect.x1),
            Hand::Right => of_wall.min_by_key(|(_, p)| p.rect.x0),
        };
        found.map(|(index, _)| index)
    }

    /// The row of a piece.
    pub(super) fn row_of(&self, piece: usize) -> Option<&PartRow> {
        self.rows.iter().find(|row| row.pieces.contains(&piece))
    }

    /// The number of a piece wherever it stands on the sheet: that of its mark, as lists, labels and bars have it.
    pub(super) fn number(&self, piece: usize) -> Option<usize> {
        let lumber = self.panel.lumber.get(piece)?;
        let (_, number) = lumber.mark.rsplit_once('-')?;
        number.parse().ok()
    }

    /// What stands before the numbers in the marks of this panel's pieces: `W101-`.
    pub(super) fn before_numbers(&self) -> String {
        format!("{}-", self.panel.mark)
    }

    /// The number of the first part at an end whose use begins so.
    pub(super) fn number_at(&self, hand: Hand, usage: &str) -> Option<usize> {
        let piece = self.panel.lumber.iter().position(|lumber| {
            lumber.usage.starts_with(usage) && self.hand_of(lumber) == Some(hand)
        })?;
        self.number(piece)
    }

    /// At which end of the panel a piece stands, if at one.
    fn hand_of(&self, lumber: &Lumber) -> Option<Hand> {
        let edge = lumber.edge.and_then(|edge| self.panel.edges.get(edge))?;
        if edge.contour != EdgeContour::Outline || edge.joint == EdgeJoint::Buck {
            return None;
        }
        [Hand::Left, Hand::Right]
            .into_iter()
            .find(|hand| edge.from.x == self.end(*hand) && edge.to.x == edge.from.x)
    }

    fn part_rows(&self) -> Vec<PartRow> {
        let mut rows: Vec<PartRow> = Vec::new();
        for fitted in [Fitted::Plant, Fitted::Loose, Fitted::Site] {
            let of_kind = self.panel.lumber.iter().enumerate();
            for (index, lumber) in of_kind.filter(|(_, lumber)| lumber.fitted == fitted) {
                let name = self.part_name(lumber);
                let section = lumber.section.replace(" x ", " × ");
                let known = rows.iter_mut().find(|row| {
                    row.fitted == fitted
                        && row.name == name
                        && row.section == section
                        && row.length == lumber.length
                });
                if let Some(row) = known {
                    row.pieces.push(index);
                } else {
                    rows.push(PartRow {
                        name,
                        section,
                        length: lumber.length,
                        fitted,
                        pieces: vec![index],
                    });
                }
            }
        }
        rows
    }

    fn part_name(&self, lumber: &Lumber) -> String {
        let mut name = capital(&lumber.usage);
        let has_hand = ["end stud", "spline", "king stud"];
        if let Some(hand) = self.hand_of(lumber)
            && has_hand.iter().any(|usage| lumber.usage.starts_with(usage))
        {
            name = format!("{name}, {}", hand.word());
        }
        let cuts: Vec<String> = lumber
            .end_cuts
            .iter()
            .flatten()
            .filter(|cut| **cut != 0.0)
            .map(|cut| format!("{}°", degrees(*cut)))
            .collect();
        if !cuts.is_empty() {
            name = format!("{name}, ends cut {}", cuts.join(" and "));
        }
        name
    }

    /// Bounds of an opening's hole in the skins, reaching the bottom for a door.
    pub(super) fn holes(&self) -> impl Iterator<Item = (&'a str, ShopRect)> {
        self.panel
            .openings
            .iter()
            .map(|opening| (opening.id.as_str(), opening.skin_hole))
    }

    /// How an end meets the other wall, for a corner.
    pub(super) fn wall_end(&self, hand: Hand) -> Option<WallEnd> {
        match self.edge(hand) {
            PanelEdge::Corner { end, .. } => Some(end),
            _ => None,
        }
    }
}

/// Cap height of numbers to act on beside the view.
pub(super) const TITLE_CAP: f64 = crate::documents::paper::style::SMALL_SHEET.title;

/// The first letter as a capital.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Degrees to a quarter: `22 1/2`; finer ones to a hundredth.
pub(super) fn degrees(value: f64) -> String {
    let value = value.abs();
    let quarters = value * 4.0;
    if (quarters - quarters.round()).abs() > 1e-6 {
        return format!("{value:.2}");
    }
    let whole = value.floor();
    let fraction = match value - whole {
        f if f > 0.7 => " 3/4",
        f if f > 0.4 => " 1/2",
        f if f > 0.2 => " 1/4",
        _ => "",
    };
    format!("{whole}{fraction}")
}

/// `36 1/2 × 48 1/2`.
pub(super) fn size(width: Length, height: Length) -> String {
    format!("{} × {}", Inches(width), Inches(height))
}

/// Numbers of pieces, three and more in a row as a range: `3, 5–8`.
pub(super) fn numbers(all: &[usize]) -> String {
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for number in all {
        match runs.last_mut() {
            Some([_, last]) if *last + 1 == *number => *last = *number,
            _ => runs.push([*number; 2]),
        }
    }
    let words = runs.into_iter().map(|[first, last]| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first}–{last}"),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// The word for an opening on a sheet.
pub(super) const fn opening_word(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::Door => "DOOR",
        OpeningKind::Window => "WINDOW",
        OpeningKind::Opening => "OPENING",
        OpeningKind::GarageDoor => "GARAGE DOOR",
    }
}

/// A measured number of inches as printed, to 1/16.
pub(super) fn printed(inches: f64) -> String {
    Length::nearest(inches, Length::nanometres(1))
        .map_or_else(|| "–".to_owned(), |length| Inches(length).to_string())
}

/// One for each begun spacing, the first half a spacing up, none in the plate or at the stud's very end.
///
/// - `plate`: how far the plate at the top reaches down.
fn screw_heights(height: Length, plate: Length, spacing: Length) -> Vec<Length> {
    /// What a screw keeps from the end of the stud it goes into, inches: common practice, no source.
    const END: i64 = 3;
    if spacing <= Length::ZERO {
        return Vec::new();
    }
    let count = height.ceil_to(spacing).steps_of(spacing);
    let highest = (height - plate - Length::inches(END)).max(height.half());
    (0..count)
        .map(|i| (spacing * i + spacing.half()).min(highest))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_a_range() {
        assert_eq!(numbers(&[3]), "3");
        assert_eq!(numbers(&[3, 4, 7]), "3, 4, 7");
        assert_eq!(numbers(&[1, 5, 6, 7, 8, 11, 12]), "1, 5–8, 11, 12");
    }

    /// 9 ft with a plate of 1-1/2: the fifth screw is below the plate, where the stud is, and nowhere are two farther apart
    /// than the spacing.
    #[test]
    fn corner_screws_go_into_the_stud_below_the_plate() {
        let plate = Length::fraction(1, 1, 2);
        let at = |height| screw_heights(Length::inches(height), plate, Length::inches(24));
        let inches = |all: Vec<Length>| all.into_iter().map(Length::to_inches).collect::<Vec<_>>();
        assert_eq!(inches(at(108)), [12.0, 36.0, 60.0, 84.0, 103.5]);
        assert_eq!(inches(at(96)), [12.0, 36.0, 60.0, 84.0]);
        assert_eq!(inches(at(16)), [11.5]);
    }
}
