//! Saws a sheet again from its list of cuts.
//!
//! ```text
//!   ┌────────┐     ┌───┬────┐     each cut parts one rectangle from edge to edge; its kerf, to the right of an upright
//!   │        │ ──► │   ░    │     line and above a level one, is gone
//!   └────────┘     └───┴────┘
//! ```

use super::readers::stock::Sheet;
use crate::geometry::ShopRect;
use crate::units::Length;

/// The rectangles that come of all cuts through, sorted; what has no area is dust.
pub(super) fn sawn(sheet: &Sheet) -> Result<Vec<ShopRect>, String> {
    let mut parts = vec![sheet.inside()];
    let kerf = sheet.kerf.0;
    for cut in sheet.cuts.iter().filter(|cut| cut.is_through()) {
        let [a, b] = cut.ends();
        let number = cut.number;
        let is_upright = a.x == b.x;
        if !is_upright && a.y != b.y {
            return Err(format!("cut {number} is neither upright nor level"));
        }
        let (low, high) = if is_upright {
            (a.y.min(b.y), a.y.max(b.y))
        } else {
            (a.x.min(b.x), a.x.max(b.x))
        };
        let spans = |part: &ShopRect| {
            if is_upright {
                part.y0 == low && part.y1 == high && part.x0 <= a.x && a.x <= part.x1
            } else {
                part.x0 == low && part.x1 == high && part.y0 <= a.y && a.y <= part.y1
            }
        };
        let Some(index) = parts.iter().position(spans) else {
            return Err(format!(
                "cut {number} goes through no part from edge to edge"
            ));
        };
        let part = parts.swap_remove(index);
        let (mut first, mut second) = (part, part);
        if is_upright {
            first.x1 = a.x;
            second.x0 = a.x + kerf;
        } else {
            first.y1 = a.y;
            second.y0 = a.y + kerf;
        }
        let has_area =
            |part: &ShopRect| part.width() > Length::ZERO && part.height() > Length::ZERO;
        parts.extend([first, second].into_iter().filter(has_area));
    }
    parts.sort_unstable();
    Ok(parts)
}

/// Says why pieces and offcuts are not what the cuts leave.
pub(super) fn prove_sheet(sheet: &Sheet, pieces: &[ShopRect]) -> Result<(), String> {
    let parts = sawn(sheet)?;
    let mut listed: Vec<ShopRect> = pieces.to_vec();
    listed.extend(sheet.offcuts.iter().map(|offcut| offcut.rect()));
    listed.sort_unstable();
    if parts == listed {
        return Ok(());
    }
    let odd = listed.iter().find(|rect| !parts.contains(rect));
    let odd = odd.or_else(|| parts.iter().find(|rect| !listed.contains(rect)));
    let place = odd.map_or_else(String::new, |rect| {
        format!(
            ", first at {}, {} of size {} x {}",
            rect.x0,
            rect.y0,
            rect.width(),
            rect.height()
        )
    });
    Err(format!(
        "its cuts leave {} rectangles and {} are listed{place}",
        parts.len(),
        listed.len()
    ))
}

/// The area of a rectangle in square nanometres.
pub(super) fn area(rect: &ShopRect) -> i128 {
    i128::from(rect.width().to_nanometres()) * i128::from(rect.height().to_nanometres())
}
