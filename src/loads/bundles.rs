//! Lumber that travels as a bundle: what the framing station fits into a panel, what ships loose with it, a wall's plates.

use super::model::{Bundle, BundleKind, BundlePiece};
use crate::building::Building;
use crate::fabrication::{FabricatedPanel, Fabrication, Fitted, Lumber};
use std::collections::BTreeMap;

/// All bundles: framing packages and loose lumber by the panels' order of erection, then plates wall by wall.
///
/// - Every piece of lumber and every plate lies in exactly one; an empty bundle is none.
pub(super) fn bundles(building: &Building, fabrication: &Fabrication) -> Vec<Bundle> {
    let mut panels: Vec<&FabricatedPanel> = fabrication.panels.iter().collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    let mut found = Vec::new();
    for (kind, ending) in [(BundleKind::Framing, "F"), (BundleKind::Loose, "L")] {
        for panel in &panels {
            let own = |it: &&Lumber| (it.fitted == Fitted::Plant) == (kind == BundleKind::Framing);
            let pieces = panel.lumber.iter().filter(own);
            found.push(Bundle {
                name: format!("{}-{ending}", panel.mark),
                kind,
                panel: Some(panel.mark.clone()),
                wall: panel.wall,
                pieces: pieces.map(piece).collect(),
            });
        }
    }
    let mut walls: BTreeMap<usize, Vec<BundlePiece>> = BTreeMap::new();
    for plate in &fabrication.plates {
        walls.entry(plate.wall).or_default().push(BundlePiece {
            mark: plate.mark.clone(),
            usage: plate.plate.name().to_owned(),
            section: plate.section.clone(),
            length: plate.length,
            weight_lb: plate.weight_lb,
        });
    }
    found.extend(walls.into_iter().map(|(wall, pieces)| {
        Bundle {
            name: building
                .walls
                .get(wall)
                .map_or_else(String::new, |it| format!("PLATES-{}", it.id)),
            kind: BundleKind::Plates,
            panel: None,
            wall,
            pieces,
        }
    }));
    found.retain(|bundle| !bundle.pieces.is_empty());
    found
}

fn piece(part: &Lumber) -> BundlePiece {
    BundlePiece {
        mark: part.mark.clone(),
        usage: part.usage.clone(),
        section: part.section.clone(),
        length: part.length,
        weight_lb: part.weight_lb,
    }
}
