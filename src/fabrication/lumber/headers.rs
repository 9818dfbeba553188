//! What carries over an opening: placed and listed as job or plant names it, never sized here.
//!
//! ```text
//!   section through the head, outside left
//!   ║▓▓░░░▓▓║    a ply against each skin, filler of foam between
//!   ║▓▓░░░▓▓║
//!   ║▒▒▒▒▒▒▒║    head buck, flat, on the jacks
//!   ║       ║    rough opening
//! ```
//!
//! A header of panel is a strip as thick as the core, on edge and in one piece, made as block splines are.
//!
//! A member of more plies than two has the further ones on the inside. When buck and member together are too high for the room
//! under the top plate, the member bears on the jacks without the buck.

use super::super::brief::PanelBrief;
use super::super::{Fitted, codes};
use super::{Home, Piece, PieceKind, cubic_feet, piece, strip_of_panel, stud};
use crate::building::RoughOpening;
use crate::findings::{Finding, Place};
use crate::geometry::ShopRect;
use crate::layout::PanelKind;
use crate::rules::{BuckConvention, HeaderMember, LumberSection};
use crate::units::{Inches, Length};

/// Head buck and header over one opening.
#[derive(Clone, Debug, Default)]
pub(in super::super) struct HeaderStack {
    pub(in super::super) pieces: Vec<Piece>,
    /// From the bottom of the stack to its top.
    pub(in super::super) height: Length,
    pub(in super::super) findings: Vec<Finding>,
}

/// Where a stack goes: between which ends, on which height, to which edge it belongs.
pub(in super::super) struct StackPlace {
    pub(in super::super) home: Home,
    pub(in super::super) x0: Length,
    pub(in super::super) x1: Length,
    pub(in super::super) y0: Length,
}

/// What will stand over an opening.
struct StackPlan<'a> {
    has_buck: bool,
    /// The member that fits.
    member: Option<Member<'a>>,
    /// Why the named member does not.
    problem: Option<Problem>,
}

/// A member over an opening.
#[derive(Clone, Copy)]
enum Member<'a> {
    /// Plies, name and section of lumber.
    Plies(u32, &'a str, LumberSection),
    /// A strip of panel, by its depth.
    Panel(Length),
}

impl Member<'_> {
    const fn depth(&self) -> Length {
        match self {
            Self::Plies(_, _, section) => section.width,
            Self::Panel(depth) => *depth,
        }
    }
}

/// Why a member is not fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Problem {
    TooThick { plies: Length },
    TooDeep { room: Length },
    UnknownSection,
}

/// True when jacks stand under the head: a member is named, whether sized or not.
pub(super) fn has_jacks(opening: &RoughOpening) -> bool {
    opening.header != HeaderMember::None
}

/// Studs beside a hole cut in a panel: the jacks, or without a member the buck alone.
pub(super) fn columns_beside(opening: &RoughOpening) -> i64 {
    if has_jacks(opening) {
        i64::from(opening.jacks.max(1))
    } else {
        1
    }
}

/// What the sheet says of an opening that leaves no room under the top plate, not even for a head buck.
pub(in super::super) fn under_plate_note(opening: &RoughOpening) -> String {
    format!(
        "{} reaches the top plate: plate and cap alone pass over it: not sized: engineer",
        opening.id
    )
}

/// What every sheet says of the member over an opening.
pub(in super::super) fn sizing_note(opening: &RoughOpening) -> String {
    let id = &opening.id;
    match &opening.header {
        HeaderMember::None => {
            format!("no header over {id}, the panel carries: not sized: engineer")
        }
        HeaderMember::Engineer => {
            format!(
                "header over {id} is not named, only head buck and jacks are drawn: not sized: engineer"
            )
        }
        HeaderMember::Lumber { .. } | HeaderMember::Sip { .. } => {
            let name = opening.header.name();
            let made = match opening.header {
                HeaderMember::Sip { .. } => {
                    ", in one piece, strength axis of its skins along the span, no joint in its core"
                }
                _ => "",
            };
            if opening.is_header_by_table() {
                let rule = &opening.header_rule;
                format!("header {name} over {id}{made}, by {rule}: confirm the adopted edition")
            } else {
                format!("header {name} over {id}{made}: not sized: engineer")
            }
        }
    }
}

/// How high buck and member stand above the head.
pub(super) fn stack_height(brief: &PanelBrief<'_>, opening: &RoughOpening) -> Length {
    plan(brief, opening).height(brief)
}

/// The stack as pieces.
pub(in super::super) fn header_stack(
    brief: &PanelBrief<'_>,
    opening: &RoughOpening,
    place: &StackPlace,
) -> HeaderStack {
    let plan = plan(brief, opening);
    let mut stack = HeaderStack {
        height: plan.height(brief),
        ..HeaderStack::default()
    };
    let mut y = place.y0;
    if plan.has_buck {
        let rect = ShopRect::new(place.x0, y, place.x1, y + brief.stud.thickness);
        let kind = PieceKind {
            home: place.home,
            usage: "buck head",
            section: &brief.assembly.lumber,
            rule: "openings.buck",
        };
        stack.pieces.push(stud(brief, &kind, rect, false));
        y = rect.y1;
    }
    match (plan.member, &opening.header) {
        (Some(member), _) => {
            let rect = ShopRect::new(place.x0, y, place.x1, y + member.depth());
            stack.pieces.extend(match member {
                Member::Plies(plies, name, section) => {
                    plies_of(brief, opening, place.home, rect, (plies, name, section))
                }
                Member::Panel(_) => vec![panel_header(brief, opening, place.home, rect)],
            });
        }
        (None, HeaderMember::Sip { depth }) => {
            let y0 = place.y0 + brief.stud.thickness;
            let rect = ShopRect::new(place.x0, y0, place.x1, y0 + *depth);
            let mut piece = panel_header(brief, opening, place.home, rect);
            piece.lumber.fitted = Fitted::Loose;
            stack.pieces.push(piece);
        }
        (None, HeaderMember::Lumber { plies, section }) => {
            stack
                .pieces
                .extend(loose(brief, opening, place, (*plies, section)));
        }
        _ => {}
    }
    stack
        .findings
        .extend(plan.problem.map(|problem| finding(brief, opening, problem)));
    stack
}

impl StackPlan<'_> {
    fn height(&self, brief: &PanelBrief<'_>) -> Length {
        let buck = if self.has_buck {
            brief.stud.thickness
        } else {
            Length::ZERO
        };
        buck + self.member.map_or(Length::ZERO, |member| member.depth())
    }
}

fn plan<'a>(brief: &PanelBrief<'a>, opening: &'a RoughOpening) -> StackPlan<'a> {
    let liner = match (brief.rules.openings.buck, brief.panel.kind) {
        (BuckConvention::Lining, PanelKind::Wall) => brief.stud.thickness,
        _ => Length::ZERO,
    };
    let under = brief.wall.room_over(opening, brief.rules.plates.thickness);
    let room = under - opening.head - liner;
    // Where the head reaches the top plate, the plate closes the opening itself.
    let only_buck = |problem| StackPlan {
        has_buck: brief.stud.thickness <= room,
        member: None,
        problem,
    };
    let (plies, name) = match &opening.header {
        HeaderMember::None | HeaderMember::Engineer => return only_buck(None),
        HeaderMember::Sip { depth } if *depth > room => {
            return only_buck(Some(Problem::TooDeep { room }));
        }
        HeaderMember::Sip { depth } => {
            return StackPlan {
                has_buck: *depth + brief.stud.thickness <= room,
                member: Some(Member::Panel(*depth)),
                problem: None,
            };
        }
        HeaderMember::Lumber { plies, section } => (*plies, section.as_str()),
    };
    let Some(section) = brief.rules.lumber.sections.get(name).copied() else {
        return only_buck(Some(Problem::UnknownSection));
    };
    let thick = section.thickness * i64::from(plies);
    if thick > brief.assembly.core {
        return only_buck(Some(Problem::TooThick { plies: thick }));
    }
    if section.width > room {
        return only_buck(Some(Problem::TooDeep { room }));
    }
    StackPlan {
        has_buck: section.width + brief.stud.thickness <= room,
        member: Some(Member::Plies(plies, name, section)),
        problem: None,
    }
}

/// A strip of panel on edge between the skins.
fn panel_header(
    brief: &PanelBrief<'_>,
    opening: &RoughOpening,
    home: Home,
    rect: ShopRect,
) -> Piece {
    let core = Inches(brief.assembly.core);
    let section = format!("SIP {} x {core}", Inches(rect.height()));
    let kind = PieceKind {
        home,
        usage: "header",
        section: &section,
        rule: &opening.header_rule,
    };
    strip_of_panel(brief, &kind, rect, false)
}

/// One ply against the outer skin, the others against the inner one, foam between.
fn plies_of(
    brief: &PanelBrief<'_>,
    opening: &RoughOpening,
    home: Home,
    rect: ShopRect,
    (plies, name, section): (u32, &str, LumberSection),
) -> Vec<Piece> {
    let assembly = brief.assembly;
    let (near, far) = (
        assembly.outer.thickness,
        assembly.outer.thickness + assembly.core,
    );
    let kind = PieceKind {
        home,
        usage: "header",
        section: name,
        rule: &opening.header_rule,
    };
    let mut pieces = Vec::new();
    for ply in 0..i64::from(plies) {
        let from = if ply == 0 {
            near
        } else {
            far - section.thickness * ply
        };
        let depth = [from, from + section.thickness];
        pieces.push(piece(brief, &kind, rect, false, depth));
    }
    let between = [
        near + section.thickness,
        far - section.thickness * (i64::from(plies) - 1),
    ];
    if between[0] < between[1] {
        let name = format!(
            "{} {} x {}",
            assembly.core_material,
            Inches(between[1] - between[0]),
            Inches(section.width)
        );
        let kind = PieceKind {
            usage: "header filler",
            section: &name,
            ..kind
        };
        let mut filler = piece(brief, &kind, rect, false, between);
        filler.lumber.grade = assembly.core_material.clone();
        filler.lumber.weight_lb = cubic_feet(rect, between) * assembly.core_density;
        pieces.push(filler);
    }
    pieces
}

/// A member that does not go in is listed all the same, loose, so that it is not forgotten.
fn loose(
    brief: &PanelBrief<'_>,
    opening: &RoughOpening,
    place: &StackPlace,
    (plies, name): (u32, &str),
) -> Vec<Piece> {
    let Some(section) = brief.rules.lumber.sections.get(name) else {
        return Vec::new();
    };
    let rect = ShopRect::new(
        place.x0,
        place.y0 + brief.stud.thickness,
        place.x1,
        place.y0 + brief.stud.thickness + section.width,
    );
    let kind = PieceKind {
        home: place.home,
        usage: "header",
        section: name,
        rule: &opening.header_rule,
    };
    (0..i64::from(plies))
        .map(|ply| {
            let near = brief.assembly.outer.thickness + section.thickness * ply;
            let depth = [near, near + section.thickness];
            let mut piece = piece(brief, &kind, rect, false, depth);
            piece.lumber.fitted = Fitted::Loose;
            piece
        })
        .collect()
}

fn finding(brief: &PanelBrief<'_>, opening: &RoughOpening, problem: Problem) -> Finding {
    let (id, member) = (&opening.id, &opening.header);
    let named = member.name();
    let place = Place {
        storey: Some(brief.wall.storey.clone()),
        element: Some(id.clone()),
        ..Place::panel(&brief.panel.mark)
    }
    .with_sources(&opening.sources);
    match problem {
        Problem::TooThick { plies } => Finding::doubt(
            codes::HEADER_DOES_NOT_FIT,
            place,
            format!(
                "{named} over {id} is {plies} thick; the core is {}",
                brief.assembly.core
            ),
            "name a header of fewer plies, a thicker assembly, or have an engineer detail it outside the panel; it is listed loose",
        ),
        Problem::TooDeep { room } => Finding::doubt(
            codes::HEADER_DOES_NOT_FIT,
            place,
            format!("{named} over {id} does not fit between head and top plate, {room} high"),
            "lower the head, raise the wall, or name a shallower member that an engineer agrees to; it is listed loose",
        ),
        Problem::UnknownSection => Finding::doubt(
            codes::HEADER_DOES_NOT_FIT,
            place,
            format!("the section of {named} over {id} is not in the plant's list of lumber"),
            "add it under [lumber.sections] in plant.toml, or name another header",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::testing::{Scene, inches, plies};
    use super::super::super::{FabricatedPanel, Fitted};
    use crate::findings::Severity;
    use crate::layout::PanelEdge;
    use crate::rules::HeaderMember;

    fn scene(head: &str, header: HeaderMember) -> Scene {
        Scene::new("96")
            .opening(&format!("30, 33, 68, {head}"), header, 1)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0])
    }

    fn depths(panel: &FabricatedPanel) -> Vec<[String; 2]> {
        panel
            .lumber
            .iter()
            .filter(|l| l.usage.starts_with("header"))
            .map(|l| l.depth.map(|d| d.to_string()))
            .collect()
    }

    #[test]
    fn plies_lie_against_both_skins_and_foam_fills_between() {
        //   7/16 │ ▓▓ 1 1/2 │ ░░ 2 5/8 │ ▓▓ 1 1/2 │ 7/16     of 6 1/2
        let panel = scene("82", plies("2-2x8")).made(0);
        assert_eq!(
            depths(&panel),
            [
                ["7/16\"", "1 15/16\""],
                ["4 9/16\"", "6 1/16\""],
                ["1 15/16\"", "4 9/16\""],
            ]
        );
    }

    #[test]
    fn a_header_thicker_than_the_core_is_a_doubt_and_ships_loose() {
        // Four plies are 6 in; the core is 5 5/8.
        let scene = scene("82", plies("4-2x8"));
        let made = scene.make();
        let found = made
            .findings
            .iter()
            .find(|f| f.code.name() == "FAB-04")
            .unwrap();
        assert_eq!(found.severity, Severity::Doubt);
        assert_eq!(
            found.message,
            "4-2x8 over O1 is 6\" thick; the core is 5 5/8\""
        );
        let header: Vec<_> = made.output.panels[0]
            .lumber
            .iter()
            .filter(|l| l.usage == "header")
            .map(|l| l.fitted)
            .collect();
        assert_eq!(header, [Fitted::Loose; 4]);
    }

    #[test]
    fn a_header_too_deep_for_the_room_over_the_head_is_a_doubt() {
        let made = scene("100", plies("2-2x8")).make();
        let found = made.findings.iter().find(|f| f.code.name() == "FAB-04");
        assert_eq!(
            found.map(|f| f.message.as_str()),
            Some("2-2x8 over O1 does not fit between head and top plate, 6 1/2\" high")
        );
    }

    #[test]
    fn a_header_left_to_the_engineer_leaves_jacks_and_buck_and_says_so() {
        let panel = scene("82", HeaderMember::Engineer).made(0);
        let uses: Vec<&str> = panel.lumber.iter().map(|l| l.usage.as_str()).collect();
        assert_eq!(
            uses,
            [
                "end stud",
                "end stud",
                "buck head",
                "buck sill",
                "jack",
                "jack"
            ]
        );
        assert!(
            panel.notes[0].contains("not sized: engineer"),
            "{:?}",
            panel.notes
        );
        assert_eq!(panel.lumber[2].length, inches("41"));
    }
}
