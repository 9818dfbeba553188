//! Level chases, from one end of the foam to the other, stopped clear of what stands in the way.

use super::super::{Chase, codes};
use super::{Chases, Field, Obstacle, free};
use crate::findings::{Finding, Place};
use crate::geometry::ShopPoint;
use crate::layout::PanelKind;
use crate::units::Length;

/// Draws them; returns for each obstacle whether some chase stops at it.
pub(super) fn draw(field: &Field<'_>, drawn: &mut Chases) -> Vec<bool> {
    let rules = &field.brief.rules.chases;
    let clear = field.clear();
    let mut stopped: Vec<Vec<Length>> = vec![Vec::new(); field.obstacles.len()];
    let mut passes: Vec<Length> = Vec::new();
    for height in &rules.horizontal {
        let y = field.brief.y_of(*height);
        let Some((left, right)) = field.level(y) else {
            drawn.findings.extend(outside(field, *height));
            continue;
        };
        passes.push(*height);
        let mut blocks = Vec::new();
        for (obstacle, stops) in field.obstacles.iter().zip(&mut stopped) {
            let hole = obstacle.hole;
            if hole.y0 - clear < y && y < hole.y1 + clear {
                blocks.push((
                    hole.x0 - rules.clear_of_lumber,
                    hole.x1 + rules.clear_of_lumber,
                ));
                stops.push(*height);
            }
        }
        for (x0, x1) in free(left, right, &mut blocks) {
            // A stub shorter than it is wide reaches nothing.
            if x1 - x0 > rules.diameter {
                drawn.chases.push(Chase {
                    from: ShopPoint::new(x0, y),
                    to: ShopPoint::new(x1, y),
                    diameter: rules.diameter,
                    rule: "chases.horizontal",
                });
            }
        }
    }
    for (obstacle, heights) in field.obstacles.iter().zip(&stopped) {
        if !heights.is_empty() {
            say_how_the_wire_crosses(field, obstacle, heights, &passes, drawn);
        }
    }
    stopped.iter().map(|heights| !heights.is_empty()).collect()
}

/// A rule's height that lies in no foam of a full-height panel: said once, of the wall.
fn outside(field: &Field<'_>, height: Length) -> Option<Finding> {
    let brief = field.brief;
    (brief.panel.kind == PanelKind::Wall).then(|| {
        Finding::doubt(
            codes::CHASE_OUTSIDE,
            Place::element(&brief.wall.storey, &brief.wall.id),
            format!("the chase at {height} above the deck lies in a plate or outside the panel"),
            "set other heights in chases.horizontal of plant.toml",
        )
    })
}

fn say_how_the_wire_crosses(
    field: &Field<'_>,
    obstacle: &Obstacle<'_>,
    heights: &[Length],
    passes: &[Length],
    drawn: &mut Chases,
) {
    let opening = obstacle.opening;
    let crossing = |is_passed: &dyn Fn(Length) -> bool| {
        passes
            .iter()
            .copied()
            .find(|height| !heights.contains(height) && is_passed(*height))
    };
    let below = crossing(&|height| height < opening.sill);
    let above = crossing(&|height| height > opening.head);
    let list: Vec<String> = heights.iter().map(Length::to_string).collect();
    let verb = if heights.len() == 1 {
        "chase stops"
    } else {
        "chases stop"
    };
    let way = match (below, above) {
        (Some(height), _) => format!(
            "the wire goes down a vertical chase and crosses below the sill in the {height} chase"
        ),
        (None, Some(height)) => format!(
            "the wire goes up a vertical chase and crosses over the head in the {height} chase"
        ),
        (None, None) => {
            "the wire crosses over the head through the top plate, or under the deck, by the vertical chases: plates are drilled on site"
                .to_owned()
        }
    };
    let start = format!("{} {verb} at ", list.join(" and "));
    let stops = format!("{start}{}", opening.id);
    drawn.findings.push(Finding::note(
        codes::CHASE_STOPS,
        field.place(Some(opening)),
        stops.clone(),
        way.clone(),
    ));
    // Openings about which the same is to be said share a note on the sheet.
    let is_alike = |it: &&mut String| it.starts_with(&start) && it.ends_with(&format!(": {way}"));
    match drawn.notes.iter_mut().find(is_alike) {
        Some(note) => note.insert_str(note.len() - way.len() - 2, &format!(", {}", opening.id)),
        None => drawn.notes.push(format!("{stops}: {way}")),
    }
}
