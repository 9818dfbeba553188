//! Which panels must not be cut, and why.
//!
//! A fault holds every panel it touches: the one whose mark it names, those that have or border the opening it names, those of the
//! wall it names. A fault that names no element but a place on the plan holds the panels of the walls and openings there. One that
//! names a storey and nothing in it, or a place where no panel stands, holds the storey; one that names nothing holds everything,
//! because nobody can say what it spares. An element that is no wall or opening of the panels, such as an interior wall, holds nothing.
//!
//! A doubt holds nothing, but for those about openings of the outside walls ([`ABOUT_OPENINGS`]): a window that may be missing must not
//! be cut solid. Such a one holds the panels that have or border its opening, or stand at its place, until the job answers it.

use super::{FabricateOptions, FabricatedPanel, Hold, codes};
use crate::building::Building;
use crate::findings::{Finding, Place, Severity};
use crate::layout::{Layout, PanelEdge};
use crate::plan::codes::ABOUT_OPENINGS;
use crate::rules::Issue;

/// Puts every hold on its panels.
///
/// - `findings`: this room's own; a note is added when the whole package is issued for review.
pub(super) fn hold(
    panels: &mut [FabricatedPanel],
    building: &Building,
    layout: &Layout,
    findings: &mut Vec<Finding>,
    options: &FabricateOptions<'_>,
) {
    let touched: Vec<Touched<'_>> = panels
        .iter()
        .map(|panel| Touched::of(panel, building, layout))
        .collect();
    let spots: Vec<Spot> = panels
        .iter()
        .map(|panel| Spot::of(panel, building, layout))
        .collect();
    let mut all: Vec<Vec<Hold>> = vec![Vec::new(); panels.len()];
    for finding in options.earlier.iter().chain(findings.iter()) {
        if is_open_question(finding) {
            for index in asked_about(finding, &touched, &spots, building) {
                add(&mut all[index], finding.code.name(), &finding.message);
            }
        }
        if finding.severity != Severity::Fault {
            continue;
        }
        let own: Vec<usize> = (0..touched.len())
            .filter(|index| touched[*index].by(&finding.place, building))
            .collect();
        // A place on the plan spares what stands elsewhere; where nothing stands at it, nobody can say what it spares.
        let there: Vec<usize> = own
            .iter()
            .copied()
            .filter(|index| spots[*index].is_at(&finding.place))
            .collect();
        for index in if there.is_empty() { own } else { there } {
            add(&mut all[index], finding.code.name(), &finding.message);
        }
    }
    let held_elements: Vec<Vec<(String, bool)>> = touched
        .iter()
        .map(|it| {
            it.elements(building)
                .into_iter()
                .map(|(id, is_held)| (id.to_owned(), is_held))
                .collect()
        })
        .collect();
    drop(touched);
    for ((panel, mut holds), elements) in panels.iter_mut().zip(all).zip(held_elements) {
        for (id, is_held) in elements {
            // Where the fault itself is known, its own words are the better reason.
            if is_held && holds.is_empty() {
                let reason = format!("{id} is on hold by an open question of the plan");
                add(&mut holds, codes::HELD_BEFORE.name(), &reason);
            }
        }
        if options.issue == Issue::Review {
            let reason = "issued for review, not for production";
            add(&mut holds, codes::ISSUED_FOR_REVIEW.name(), reason);
        }
        panel.holds = holds;
    }
    if options.issue == Issue::Review {
        findings.push(Finding::note(
            codes::ISSUED_FOR_REVIEW,
            Place::default(),
            "the job is issued for review: every panel is on HOLD",
            "set issue = \"production\" in job.toml when the review is done",
        ));
    }
}

fn is_open_question(finding: &Finding) -> bool {
    finding.severity == Severity::Doubt && ABOUT_OPENINGS.contains(&finding.code)
}

/// The panels that a question about an opening holds: those at its place or of its opening; where none stands there, those of its wall.
fn asked_about(
    finding: &Finding,
    touched: &[Touched<'_>],
    spots: &[Spot],
    building: &Building,
) -> Vec<usize> {
    let place = &finding.place;
    let at = |index: &usize| {
        let own = &touched[*index];
        let is_of_storey = own.is_in(place.storey.as_deref(), building);
        is_of_storey
            && (spots[*index].is_near(place) || own.has_opening(place.element.as_deref(), building))
    };
    let there: Vec<usize> = (0..touched.len()).filter(at).collect();
    if !there.is_empty() || place.element.is_none() {
        return there;
    }
    (0..touched.len())
        .filter(|index| touched[*index].by(place, building))
        .collect()
}

fn add(holds: &mut Vec<Hold>, code: &str, reason: &str) {
    let hold = Hold {
        code: code.to_owned(),
        reason: reason.to_owned(),
    };
    if !holds.contains(&hold) {
        holds.push(hold);
    }
}

/// Where a panel stands on its storey's plan.
struct Spot {
    ends: Option<[[f64; 2]; 2]>,
}

/// A panel stands at a place within this of its middle line, inches: a wall's thickness and what is drawn beside it.
const AT_PLACE: f64 = 18.0;

impl Spot {
    fn of(panel: &FabricatedPanel, building: &Building, layout: &Layout) -> Self {
        let wall = building.walls.get(panel.wall);
        let laid = layout.panels.get(panel.panel);
        let ends = wall.zip(laid).map(|(wall, laid)| {
            let (start, along) = (wall.frame.origin, wall.frame.along);
            [laid.rect.x0, laid.rect.x1].map(|at| {
                let s = at.to_inches();
                [start.x + along.x * s, start.y + along.y * s]
            })
        });
        Self { ends }
    }

    /// True when a finding names a point, and no element, at which the panel stands. Plans of one storey, and of the lowest of
    /// several, lie in building coordinates as drawn; on others the point meets no panel, and the whole storey is held.
    fn is_at(&self, place: &Place) -> bool {
        place.element.is_none() && place.panel.is_none() && self.is_near(place)
    }

    /// True when a finding has a point at which the panel stands.
    fn is_near(&self, place: &Place) -> bool {
        let (Some([x, y]), Some([a, b])) = (place.at, self.ends) else {
            return false;
        };
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let square = dx * dx + dy * dy;
        let share = if square > 0.0 {
            (((x - a[0]) * dx + (y - a[1]) * dy) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (a[0] + dx * share - x).hypot(a[1] + dy * share - y) <= AT_PLACE
    }
}

/// What a panel has to do with.
struct Touched<'a> {
    mark: &'a str,
    wall: usize,
    /// Indices into the wall's openings, cut in the panel or beside it.
    openings: Vec<usize>,
}

impl<'a> Touched<'a> {
    fn of(panel: &'a FabricatedPanel, building: &Building, layout: &Layout) -> Self {
        let mut openings: Vec<usize> = panel.openings.iter().map(|o| o.opening).collect();
        if let Some(laid) = layout.panels.get(panel.panel) {
            for edge in [laid.left, laid.right] {
                if let PanelEdge::Jamb { opening } = edge {
                    openings.push(opening);
                }
            }
        }
        openings.sort_unstable();
        openings.dedup();
        let known = building
            .walls
            .get(panel.wall)
            .map_or(0, |w| w.openings.len());
        openings.retain(|index| *index < known);
        Self {
            mark: &panel.mark,
            wall: panel.wall,
            openings,
        }
    }

    /// Wall and openings by id, with what the building says of them.
    fn elements<'b>(&self, building: &'b Building) -> Vec<(&'b str, bool)> {
        let Some(wall) = building.walls.get(self.wall) else {
            return Vec::new();
        };
        let openings = self.openings.iter().filter_map(|i| wall.openings.get(*i));
        std::iter::once((wall.id.as_str(), wall.on_hold))
            .chain(openings.map(|o| (o.id.as_str(), o.on_hold)))
            .collect()
    }

    /// True for a panel of a storey, and of any where none is named.
    fn is_in(&self, storey: Option<&str>, building: &Building) -> bool {
        let own = building.walls.get(self.wall);
        storey.is_none_or(|storey| own.is_some_and(|wall| wall.storey == storey))
    }

    fn has_opening(&self, id: Option<&str>, building: &Building) -> bool {
        let mut openings = self.elements(building).into_iter().skip(1);
        openings.any(|it| Some(it.0) == id)
    }

    fn by(&self, place: &Place, building: &Building) -> bool {
        if let Some(mark) = &place.panel {
            return mark == self.mark;
        }
        if !self.is_in(place.storey.as_deref(), building) {
            return false;
        }
        match &place.element {
            Some(element) => self.elements(building).iter().any(|(id, _)| id == element),
            None => true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Scene, corner, reference};
    use super::super::{FabricateOptions, Fabrication, fabricate};
    use crate::findings::{Code, Finding, Place};
    use crate::layout::{PanelEdge, WallEnd};
    use crate::plan::codes::ABOUT_OPENINGS;
    use crate::rules::{HeaderMember, Issue};

    const CODE: Code = super::codes::SKIN_IN_PIECES;

    fn made(scene: &Scene, earlier: &[Finding], issue: Issue) -> Fabrication {
        let options = FabricateOptions { earlier, issue };
        fabricate(&scene.building, &scene.layout, &scene.rules, &options).output
    }

    /// Which of the reference scene's two panels a finding of an earlier room holds: W101 has opening O1, W102 none.
    #[track_caller]
    fn check(finding: Finding, expected: &[&str]) {
        let made = made(&reference(), &[finding], Issue::Production);
        let held: Vec<&str> = made
            .panels
            .iter()
            .filter(|panel| panel.is_held())
            .map(|panel| panel.mark.as_str())
            .collect();
        assert_eq!(held, expected);
    }

    fn fault(place: Place) -> Finding {
        Finding::fault(CODE, place, "wrong", "mend it")
    }

    #[test]
    fn a_fault_holds_what_it_touches() {
        check(fault(Place::panel("W102")), &["W102"]);
        check(fault(Place::element("S1", "O1")), &["W101"]);
        check(fault(Place::element("S1", "X1")), &["W101", "W102"]);
        check(fault(Place::element("S2", "X1")), &[]);
        check(fault(Place::element("S1", "I7")), &[]);
        check(fault(Place::file("plan.dxf")), &["W101", "W102"]);
    }

    #[test]
    fn a_fault_at_a_place_holds_what_stands_there_and_spares_the_rest() {
        let scene = reference();
        let at = |panel: usize| {
            let wall = &scene.building.walls[0];
            let rect = &scene.layout.panels[panel].rect;
            let s = (rect.x0.to_inches() + rect.x1.to_inches()) / 2.0;
            (
                wall.frame.origin.x + wall.frame.along.x * s,
                wall.frame.origin.y + wall.frame.along.y * s,
            )
        };
        let storey = || Place {
            storey: Some("S1".to_owned()),
            ..Place::default()
        };
        let (x, y) = at(1);
        check(fault(storey().with_at(x, y)), &["W102"]);
        // Nobody can say what a place spares at which no panel stands.
        check(fault(storey().with_at(9e4, 9e4)), &["W101", "W102"]);
    }

    #[test]
    fn a_doubt_holds_nothing() {
        let doubt = Finding::doubt(CODE, Place::panel("W102"), "odd", "look");
        check(doubt, &[]);
    }

    #[test]
    fn a_question_about_an_opening_holds_the_panels_at_its_place() {
        let asked = |place: Place| Finding::doubt(ABOUT_OPENINGS[1], place, "odd", "look");
        check(asked(Place::element("S1", "O1")), &["W101"]);
        check(asked(Place::element("S1", "X1")), &["W101", "W102"]);
        let scene = reference();
        let wall = &scene.building.walls[0];
        let rect = &scene.layout.panels[1].rect;
        let s = rect.x0.to_inches().midpoint(rect.x1.to_inches());
        let (start, along) = (wall.frame.origin, wall.frame.along);
        let (x, y) = (start.x + along.x * s, start.y + along.y * s);
        check(asked(Place::element("S1", "X1").with_at(x, y)), &["W102"]);
        check(asked(Place::element("S2", "X1").with_at(x, y)), &[]);
        check(asked(Place::default().with_at(9e4, 9e4)), &[]);
    }

    #[test]
    fn the_reason_of_a_hold_is_the_faults_own() {
        let earlier = [fault(Place::element("S1", "O1"))];
        let mut scene = reference();
        scene.building.walls[0].openings[0].on_hold = true;
        let holds = &made(&scene, &earlier, Issue::Production).panels[0].holds;
        assert_eq!(
            (
                holds.len(),
                holds[0].code.as_str(),
                holds[0].reason.as_str()
            ),
            (1, CODE.name(), "wrong")
        );
        // Without the fault at hand the opening still holds its panel, and the other one goes free.
        let alone = made(&scene, &[], Issue::Production);
        assert_eq!(alone.panels[0].holds[0].code, "FAB-13");
        assert!(!alone.panels[1].is_held());
    }

    #[test]
    fn an_opening_framed_between_panels_holds_the_panels_beside_it() {
        let mut scene = Scene::new("240")
            .opening("48, 33, 144, 82", HeaderMember::None, 0)
            .panel(
                ["0", "48"],
                corner(WallEnd::Through),
                PanelEdge::Jamb { opening: 0 },
                &[],
            )
            .panel(
                ["144", "192"],
                PanelEdge::Jamb { opening: 0 },
                PanelEdge::Free,
                &[],
            )
            .panel(["193", "240"], PanelEdge::Free, PanelEdge::Free, &[]);
        scene.building.walls[0].openings[0].on_hold = true;
        let held: Vec<bool> = made(&scene, &[], Issue::Production)
            .panels
            .iter()
            .map(super::FabricatedPanel::is_held)
            .collect();
        assert_eq!(held, [true, true, false]);
    }

    #[test]
    fn a_job_issued_for_review_holds_every_panel() {
        let made = made(&reference(), &[], Issue::Review);
        assert!(made.panels.iter().all(|p| p.holds[0].code == "FAB-14"));
    }
}
