//! Ordinates from the datum corner: outline, rough openings and cuts of the inner skin left and below (saw), chase heights right, chases and picks
//! above (drill, crane).

use super::arrange::{Arrangement, Lanes};
use super::subject::{Hand, Subject, TITLE_CAP};
use crate::documents::paper::dimension::{Ordinate, OrdinateRow, Side, ordinate_row};
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::{Canvas, Lettered};
use crate::fabrication::{EdgeJoint, Fitted};
use crate::layout::WallEnd;
use crate::units::{Inches, Length};
use std::collections::BTreeMap;

/// Distance of the labels from the panel, mm; on a ticket and elsewhere.
const LABEL: [f64; 2] = [7.5, 9.5];

const fn label_off(is_ticket: bool) -> f64 {
    if is_ticket { LABEL[0] } else { LABEL[1] }
}

/// A number with what it is for; the words come from the sides they stand on.
#[derive(Clone, Debug, Default)]
struct Mark {
    words: Vec<&'static str>,
    remarks: Vec<String>,
    is_bold: bool,
}

/// All four rows, by position.
pub(super) struct Ordinates {
    left: BTreeMap<Length, Mark>,
    bottom: BTreeMap<Length, Mark>,
    right: BTreeMap<Length, Mark>,
    top: BTreeMap<Length, Mark>,
    /// How far lumber stands beyond the skins, left and right: numbers keep clear of it.
    beyond: [Length; 2],
    /// True where words at the left stand below their numbers.
    pub(super) is_narrow: bool,
}

impl Ordinates {
    pub(super) fn of(subject: &Subject<'_>) -> Self {
        let panel = subject.panel;
        let mut ordinates = Self {
            left: BTreeMap::new(),
            bottom: BTreeMap::new(),
            right: BTreeMap::new(),
            top: BTreeMap::new(),
            beyond: [Length::ZERO; 2],
            is_narrow: false,
        };
        for lumber in panel.lumber.iter().filter(|it| it.fitted == Fitted::Plant) {
            let [left, right] = &mut ordinates.beyond;
            *left = (*left).max(Length::ZERO - lumber.rect.x0);
            *right = (*right).max(lumber.rect.x1 - panel.width);
        }
        for point in &panel.outer_skin.outline.0 {
            ordinates.bottom.entry(point.x).or_default();
            ordinates.left.entry(point.y).or_default();
        }
        for (_, hole) in subject.holes() {
            for x in [hole.x0, hole.x1] {
                ordinates.bottom.entry(x).or_default();
            }
            for y in [hole.y0, hole.y1] {
                ordinates.left.entry(y).or_default();
            }
        }
        ordinates.add_lumber(subject);
        if let Some(deck) = subject.deck().filter(|it| *it > Length::ZERO) {
            let mark = ordinates.left.entry(deck).or_default();
            mark.words.push("DECK");
        }
        ordinates.add_inner_cuts(subject);
        ordinates.add_bevels(subject);
        if panel.make_up > Length::ZERO {
            let trim = ordinates.bottom.entry(panel.width - panel.make_up);
            trim.or_default().words.push("TRIM");
        }
        ordinates.add_chases(subject);
        for pick in &panel.pick_points {
            ordinates.top.entry(pick.x).or_default().words.push("PICK");
        }
        ordinates
    }

    /// What frames an opening at the panel's own end: heights of the pocket between jack and cripple, and of a header panel the
    /// ends of head buck and header that go into the pockets of its neighbours.
    fn add_lumber(&mut self, subject: &Subject<'_>) {
        let panel = subject.panel;
        let ends = [Length::ZERO, panel.width];
        // On a ticket the drawing needs the room that the words would take.
        let is_ticket = subject.is_ticket();
        let tell = |row: &mut BTreeMap<Length, Mark>, at: Length, word: &'static str| {
            if is_ticket {
                row.entry(at).or_default();
            } else {
                add_word(row, at, word);
            }
        };
        for lumber in &panel.lumber {
            let rect = lumber.rect;
            let is_at_end = lumber
                .edge
                .and_then(|edge| panel.edges.get(edge))
                .is_some_and(|edge| {
                    edge.joint == EdgeJoint::Jamb
                        && edge.from.x == edge.to.x
                        && ends.contains(&edge.from.x)
                });
            if is_at_end && lumber.usage == "jack" {
                tell(&mut self.left, rect.y1, "JACK");
            }
            if is_at_end && lumber.usage.starts_with("cripple over") {
                tell(&mut self.left, rect.y0, "HEADER");
            }
            let is_over = ["buck head", "header"].contains(&lumber.usage.as_str());
            if is_over && lumber.fitted == Fitted::Plant && !lumber.is_upright {
                for x in [rect.x0, rect.x1] {
                    if x < Length::ZERO || x > panel.width {
                        tell(&mut self.bottom, x, "LUMBER");
                    }
                }
            }
        }
    }

    /// Sides of what is cut into the inner skin alone, from the same corner: seen from outside like all else.
    fn add_inner_cuts(&mut self, subject: &Subject<'_>) {
        for cut in &subject.panel.inner_cuts {
            for x in [cut.rect.x0, cut.rect.x1] {
                add_word(&mut self.bottom, x, "INNER");
            }
            for y in [cut.rect.y0, cut.rect.y1] {
                add_word(&mut self.left, y, "INNER");
            }
        }
    }

    /// The inner skin's ends where a bevel sets them apart from the outer skin's.
    fn add_bevels(&mut self, subject: &Subject<'_>) {
        let ends = subject.panel.inner_skin.outline.bounds();
        let Some(ends) = ends else { return };
        for (hand, x) in [(Hand::Left, ends.x0), (Hand::Right, ends.x1)] {
            let is_mitred = matches!(subject.wall_end(hand), Some(WallEnd::Mitre { .. }));
            if is_mitred && x != subject.end(hand) {
                add_word(&mut self.bottom, x, "INNER");
            }
        }
    }

    fn add_chases(&mut self, subject: &Subject<'_>) {
        let chases = &subject.panel.chases;
        for chase in chases {
            if chase.from.x == chase.to.x {
                let words = &mut self.top.entry(chase.from.x).or_default().words;
                if !words.contains(&"CHASE") {
                    words.insert(0, "CHASE");
                }
            } else if chase.from.y == chase.to.y {
                let mark = self.right.entry(chase.from.y).or_default();
                if mark.remarks.is_empty() {
                    let stops = stops_at_an_opening(subject, chase.from.y);
                    let reach = if stops {
                        "stops at lumber"
                    } else {
                        "end to end"
                    };
                    mark.remarks = vec![
                        format!("CHASE Ø{}", Inches(chase.diameter)),
                        reach.to_owned(),
                    ];
                    mark.is_bold = true;
                }
            }
        }
    }

    /// How wide the lanes must be for the labels. On a ticket signs of the edges stand there without room for many words.
    pub(super) fn lanes(&self, is_ticket: bool) -> Lanes {
        let lettered = Lettered::cap(SMALL_SHEET.note);
        let widest = |row: &BTreeMap<Length, Mark>| {
            row.iter()
                .map(|(at, mark)| lettered.width(&label(*at, mark)))
                .fold(0.0, f64::max)
        };
        let off = label_off(is_ticket);
        let remarks = self.right.values().flat_map(|mark| &mark.remarks);
        let remarks = remarks
            .map(|words| lettered.width(words))
            .fold(0.0, f64::max);
        let (left, right) = if is_ticket {
            // A sign at the left beside plain numbers, a neighbour's mark at the right.
            let plain = self
                .left
                .keys()
                .map(|at| lettered.width(&Inches(*at).to_string()));
            let plain = plain.fold(0.0, f64::max) + 11.5;
            let left = off + plain.max(widest(&self.left) + 2.5);
            (left, (off + remarks + 0.8).max(25.0))
        } else {
            let words = if self.is_narrow {
                let numbers = self.left.iter().flat_map(|(at, mark)| parted(*at, mark));
                numbers.map(|it| lettered.width(&it)).fold(0.0, f64::max)
            } else {
                widest(&self.left)
            };
            (24.0 + words.max(14.0), 36.0)
        };
        Lanes {
            left,
            right,
            top: off + widest(&self.top) + 2.5,
            bottom: off + widest(&self.bottom) + 2.5,
        }
    }

    pub(super) fn draw(&self, canvas: &mut Canvas, arrangement: &Arrangement) {
        let (view, panel, stage) = (&arrangement.view, arrangement.panel, arrangement.stage);
        let rows = [
            (
                Side::Left,
                &self.left,
                panel.x0,
                [panel.y0 - 8.0, panel.y1 + 8.0],
            ),
            (
                Side::Right,
                &self.right,
                panel.x1,
                [panel.y0 - 8.0, stage.y1 - 1.0],
            ),
            (
                Side::Above,
                &self.top,
                panel.y0,
                [stage.x0 + 4.0, stage.x1 - 2.0],
            ),
            (
                Side::Below,
                &self.bottom,
                panel.y1,
                [stage.x0 + 4.0, stage.x1 - 2.0],
            ),
        ];
        let off = label_off(arrangement.sections.is_none());
        let [left, right] = self.beyond.map(|it| it.to_inches() * view.scale);
        for (side, marks, edge, within) in rows {
            let past = match side {
                Side::Left => left,
                Side::Right => right,
                Side::Above | Side::Below => 0.0,
            };
            let is_parted = side == Side::Left && self.is_narrow;
            let mut ordinates: Vec<Ordinate> = marks
                .iter()
                .map(|(at, mark)| Ordinate {
                    at: if side.is_upright() {
                        view.y(at.to_inches())
                    } else {
                        view.x(at.to_inches())
                    },
                    words: if is_parted {
                        Inches(*at).to_string()
                    } else {
                        label(*at, mark)
                    },
                    is_bold: mark.is_bold,
                    remarks: if is_parted {
                        parted(*at, mark).skip(1).collect()
                    } else {
                        mark.remarks.clone()
                    },
                })
                .collect();
            ordinates.sort_by(|a, b| a.at.total_cmp(&b.at));
            let row = OrdinateRow {
                side,
                edge,
                label: off.max(past + 2.0),
                within,
                cap: if side == Side::Right {
                    TITLE_CAP
                } else {
                    SMALL_SHEET.note
                },
            };
            ordinate_row(canvas, &SMALL_SHEET, &row, &ordinates);
        }
    }
}

/// True when the level chases at a height are parted by an opening, or one of them ends at one, short of the foam's end.
fn stops_at_an_opening(subject: &Subject<'_>, height: Length) -> bool {
    let panel = subject.panel;
    let chases = panel.chases.iter();
    let level: Vec<[Length; 2]> = chases
        .filter(|it| it.from.y == height && it.to.y == height)
        .map(|it| [it.from.x.min(it.to.x), it.from.x.max(it.to.x)])
        .collect();
    let foam = [&panel.core].into_iter().chain(&panel.core_others);
    let ends = foam.filter_map(|it| it.outline.bounds());
    let reaches = |[from, to]: [Length; 2]| ends.clone().all(|it| from <= it.x0 && it.x1 <= to);
    match level.as_slice() {
        [one] => !panel.openings.is_empty() && !reaches(*one),
        _ => true,
    }
}

/// Says what a place is for; one that is an edge of the outer skin too stays unsaid.
fn add_word(row: &mut BTreeMap<Length, Mark>, at: Length, word: &'static str) {
    row.entry(at).or_insert_with(|| Mark {
        words: vec![word],
        ..Mark::default()
    });
}

/// The number, then its words, as lines.
fn parted(at: Length, mark: &Mark) -> impl Iterator<Item = String> {
    let words = mark.words.iter().map(|word| (*word).to_owned());
    std::iter::once(Inches(at).to_string()).chain(words)
}

fn label(at: Length, mark: &Mark) -> String {
    let mut words = vec![Inches(at).to_string()];
    words.extend(mark.words.iter().map(|word| (*word).to_owned()));
    words.join(" ")
}
