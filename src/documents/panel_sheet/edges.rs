//! What stands at the four edges, in words, and whose mark is beyond.

use super::signs::{EdgePlace, EdgeSign, Sign};
use super::subject::{Hand, Subject, degrees};
use crate::building::WallRole;
use crate::fabrication::{EdgeJoint, SkinEdge};
use crate::layout::{PanelEdge, PanelKind, PlateUse, SplineFit, WallEnd};
use crate::rules::SplineKind;
use crate::units::{Inches, counted};

/// An edge as its block of text says it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct EdgeWords {
    pub(super) sign: EdgeSign,
    pub(super) lines: Vec<String>,
}

/// The mark beyond an end and what it does there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Neighbour {
    pub(super) hand: Hand,
    pub(super) mark: String,
    pub(super) remark: String,
}

/// Marks beyond both ends, where there is something.
pub(super) fn neighbours(subject: &Subject<'_>) -> Vec<Neighbour> {
    [Hand::Left, Hand::Right]
        .into_iter()
        .filter_map(|hand| {
            let remark = match (subject.edge(hand), subject.place.kind) {
                (PanelEdge::Corner { end, .. }, _) => match end {
                    WallEnd::Through => "butts behind",
                    WallEnd::Butt => "runs through",
                    WallEnd::Mitre { .. } => "meets at the bevel",
                    WallEnd::Filled { .. } => "meets at the wedge",
                    WallEnd::Free => "",
                },
                (PanelEdge::Jamb { .. }, PanelKind::Wall) => "opening",
                _ => "",
            };
            Some(Neighbour {
                hand,
                mark: infill_neighbour(subject, hand).or_else(|| subject.neighbour(hand))?,
                remark: remark.to_owned(),
            })
        })
        .collect()
}

/// Beside a header or sill panel stands a full-height panel.
fn infill_neighbour(subject: &Subject<'_>, hand: Hand) -> Option<String> {
    if subject.place.kind == PanelKind::Wall {
        return None;
    }
    let own = subject.place.rect;
    let panels = subject.input.layout.panels.iter();
    let beside = panels.filter(|it| it.wall == subject.place.wall && it.kind == PanelKind::Wall);
    let found = match hand {
        Hand::Left => beside
            .filter(|it| it.rect.x1 <= own.x0)
            .max_by_key(|it| it.rect.x1),
        Hand::Right => beside
            .filter(|it| it.rect.x0 >= own.x1)
            .min_by_key(|it| it.rect.x0),
    };
    found.map(|it| it.mark.clone())
}

/// The words of all four edges.
pub(super) fn edge_words(subject: &Subject<'_>) -> Vec<EdgeWords> {
    let ends = [Hand::Left, Hand::Right].map(|hand| end_words(subject, hand));
    ends.into_iter()
        .chain(
            [true, false]
                .into_iter()
                .filter_map(|is_top| level_words(subject, is_top)),
        )
        .collect()
}

fn sign_at(subject: &Subject<'_>, shows: Sign, place: EdgePlace) -> EdgeSign {
    EdgeSign {
        shows,
        place,
        bare: subject.assembly.bare(),
    }
}

fn end_words(subject: &Subject<'_>, hand: Hand) -> EdgeWords {
    let edge = subject.skin_edge(hand);
    let recess = edge.map_or_else(String::new, |edge| {
        format!("recess {}", Inches(edge.recess))
    });
    let stud = |usage: &str| match subject.number_at(hand, usage) {
        Some(number) => format!("{usage} {number}, {recess}"),
        None => recess.clone(),
    };
    let (sign, lines) = match subject.edge(hand) {
        PanelEdge::Spline { with, fit } => (
            Sign::Spline,
            spline_words(subject, hand, (with, fit), edge, &recess),
        ),
        PanelEdge::Corner { end, .. } => corner_words(subject, hand, end, &stud("end stud")),
        PanelEdge::Jamb { opening } => {
            let id = subject
                .rough_opening(opening)
                .map_or("", |it| it.id.as_str());
            let lines = if subject.place.kind == PanelKind::Wall {
                vec![
                    format!("JAMB OF {id}"),
                    "king stud and jacks,".to_owned(),
                    recess,
                ]
            } else {
                vec![
                    format!("END AT {id}"),
                    stud("end stud"),
                    format!("gap {}, sealed", Inches(subject.input.rules.joints.gap)),
                ]
            };
            (Sign::Closed, lines)
        }
        PanelEdge::Free => (Sign::Closed, vec!["FREE END".to_owned(), stud("end stud")]),
    };
    EdgeWords {
        sign: sign_at(subject, sign, EdgePlace::End(hand)),
        lines,
    }
}

fn spline_words(
    subject: &Subject<'_>,
    hand: Hand,
    (with, fit): (usize, SplineFit),
    edge: Option<&SkinEdge>,
    recess: &str,
) -> Vec<String> {
    let joints = &subject.input.rules.joints;
    let number = subject.number_at(hand, "spline");
    let other = subject
        .input
        .layout
        .panels
        .get(with)
        .map_or("", |it| it.mark.as_str());
    let head = match (fit.kind(joints, subject.assembly), number) {
        (SplineKind::DoubleLumber, Some(number)) => format!("SPLINE {number}, one in each"),
        (_, Some(number)) if fit == SplineFit::Carries => format!("SPLINE {number}, fitted"),
        (_, Some(number)) => format!("SPLINE {number}, loose, from the top"),
        _ => format!("SPLINE comes with {other}"),
    };
    let mut lines = vec![head];
    if let Some(slot) = edge.and_then(|edge| edge.slots.first()) {
        lines.push(format!(
            "slots {} deep, {} wide",
            Inches(slot.depth),
            Inches(slot.width)
        ));
    } else {
        lines.push(recess.to_owned());
    }
    lines.push(format!("gap {}", Inches(joints.gap)));
    lines
}

fn corner_words(
    subject: &Subject<'_>,
    hand: Hand,
    end: WallEnd,
    stud: &str,
) -> (Sign, Vec<String>) {
    let other = subject.neighbour(hand).unwrap_or_default();
    let corners = &subject.input.rules.corners;
    let screws = corner_screws(subject, hand);
    match end {
        WallEnd::Through => (
            Sign::Through,
            vec![
                "CORNER, RUNS THROUGH".to_owned(),
                stud.to_owned(),
                format!(
                    "SITE: {} + at {} o.c. into {other}",
                    counted(screws, "screw"),
                    Inches(corners.screw_spacing)
                ),
            ],
        ),
        WallEnd::Butt => (
            Sign::Butt,
            vec![
                if subject.wall.role == WallRole::Exterior {
                    "CORNER, BUTTS".to_owned()
                } else {
                    "TEE, BUTTS".to_owned()
                },
                stud.to_owned(),
                format!("SITE: screwed through {other}, 2 beads"),
            ],
        ),
        WallEnd::Mitre { bevel_deg } => {
            let more =
                subject.assembly.thickness().to_inches() * bevel_deg.abs().to_radians().tan();
            let longer = if bevel_deg > 0.0 { "outer" } else { "inner" };
            (
                Sign::Mitre(bevel_deg > 0.0),
                vec![
                    format!("CORNER, BEVEL {}°", degrees(bevel_deg)),
                    format!("{longer} skin longer by {}", super::subject::printed(more)),
                    stud.to_owned(),
                ],
            )
        }
        WallEnd::Filled { bevel_deg } => (
            Sign::Closed,
            vec![
                format!("CORNER, SQUARE, WEDGE OF {}°", degrees(bevel_deg)),
                "SITE: wedge, loose, deck to cap".to_owned(),
                stud.to_owned(),
            ],
        ),
        WallEnd::Free => (Sign::Closed, vec!["FREE END".to_owned(), stud.to_owned()]),
    }
}

fn corner_screws(subject: &Subject<'_>, hand: Hand) -> usize {
    subject.screws(hand).len()
}

/// Bottom and top: plates by mark, or the head or sill buck of an opening framed between panels.
fn level_words(subject: &Subject<'_>, is_top: bool) -> Option<EdgeWords> {
    let edges: Vec<&SkinEdge> = subject.level_edges(is_top).collect();
    let edge = edges.first()?;
    let recess = format!("recess {}", Inches(edge.recess));
    let mut marks: Vec<&str> = Vec::new();
    for mark in edges.iter().filter_map(|edge| edge.with.as_deref()) {
        for mark in mark.split(", ") {
            if !marks.contains(&mark) {
                marks.push(mark);
            }
        }
    }
    let marks = marks.join(", ");
    let lines = match edge.joint {
        EdgeJoint::Plate => {
            let section = section_of(
                subject,
                if is_top {
                    PlateUse::Top
                } else {
                    PlateUse::Sole
                },
            );
            if is_top {
                let cap = cap_marks(subject);
                let cap = if cap.is_empty() {
                    String::new()
                } else {
                    format!(", cap {cap} over")
                };
                vec![
                    format!("TOP PLATE {marks} {section}{cap},"),
                    format!("loose; {recess}{}", rakes(&edges)),
                ]
            } else {
                vec![
                    format!("SOLE PLATE {marks} {section},"),
                    format!("loose; {recess}"),
                ]
            }
        }
        _ => {
            let number = ["buck", "header"].iter().find_map(|usage| {
                let piece = subject
                    .panel
                    .lumber
                    .iter()
                    .position(|lumber| lumber.usage.starts_with(usage) && !lumber.is_upright)?;
                subject.number(piece)
            });
            let number = number.map_or_else(String::new, |number| format!(" {number}"));
            vec![format!("BUCK{number} AT {marks},"), recess]
        }
    };
    let place = if is_top {
        EdgePlace::Top
    } else {
        EdgePlace::Bottom
    };
    Some(EdgeWords {
        sign: sign_at(subject, Sign::of_joint(edge.joint), place),
        lines,
    })
}

/// Slopes of a top, each once: `, rake 6 in 12`; nothing when it is level.
fn rakes(edges: &[&SkinEdge]) -> String {
    let mut words: Vec<String> = Vec::new();
    for edge in edges.iter().filter(|edge| edge.from.y != edge.to.y) {
        let (run, rise) = (edge.to.x - edge.from.x, edge.to.y - edge.from.y);
        let slope = (rise.to_inches() / run.to_inches()).abs() * 12.0;
        let word = format!("rake {} in 12", super::subject::printed(slope));
        if !words.contains(&word) {
            words.push(word);
        }
    }
    words.iter().map(|word| format!(", {word}")).collect()
}

fn section_of(subject: &Subject<'_>, plate: PlateUse) -> String {
    let mut plates = subject.input.fabrication.plates.iter();
    plates
        .find(|it| it.wall == subject.panel.wall && it.plate == plate)
        .map_or_else(String::new, |it| it.section.clone())
}

/// Marks of the caps over this panel.
fn cap_marks(subject: &Subject<'_>) -> String {
    let rect = subject.place.rect;
    let plates = subject.input.fabrication.plates.iter();
    let marks: Vec<&str> = plates
        .filter(|it| it.wall == subject.panel.wall && it.plate == PlateUse::Cap)
        .filter(|it| it.from < rect.x1 && it.to > rect.x0)
        .map(|it| it.mark.as_str())
        .collect();
    marks.join(", ")
}
