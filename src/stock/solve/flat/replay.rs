//! Saws a plan again from its list of cuts, knowing nothing of how it was found.
//!
//! Each sheet starts as one rectangle inside its trim. Each cut must run from edge to edge of a rectangle that is there; it leaves
//! two, and dust between. In the end the rectangles are exactly the pieces and the offcuts named.

use super::super::model::{CutSheet, Piece, Saw, SawCut, Sheet};
use crate::stock::solve::tally::tally;

/// Left, low, right, high.
type Rectangle = (i64, i64, i64, i64);

/// Saws all sheets again and counts the pieces.
///
/// # Errors
/// What does not agree: a cut that runs through no rectangle, a piece or offcut that no rectangle is, area that is lost, more or
/// fewer pieces than needed, a piece turned that may not be, batches too far apart, or stock that is not there.
pub fn replay(
    sheets: &[Sheet],
    pieces: &[Piece],
    saw: &Saw,
    plan: &[CutSheet],
) -> Result<(), String> {
    let mut made = vec![0u32; pieces.len()];
    let mut used = vec![0u32; sheets.len()];
    for (number, cut) in plan.iter().enumerate() {
        let sheet = sheets.get(cut.sheet);
        let sheet = sheet.ok_or_else(|| format!("sheet {number}: its kind is not there"))?;
        used[cut.sheet] += 1;
        one(sheet, pieces, saw, cut).map_err(|why| format!("sheet {number}: {why}"))?;
        for it in &cut.pieces {
            made[it.piece] += 1;
        }
    }
    let have = sheets.iter().map(|sheet| sheet.on_hand);
    tally(
        "sheets",
        have.zip(used),
        pieces.iter().map(|it| it.count).zip(made),
    )
}

fn one(sheet: &Sheet, pieces: &[Piece], saw: &Saw, cut: &CutSheet) -> Result<(), String> {
    let whole = (
        saw.trim,
        saw.trim,
        sheet.width - saw.trim,
        sheet.height - saw.trim,
    );
    let mut lying = vec![whole];
    let mut dust = 0;
    for it in &cut.cuts {
        dust += sawn(&mut lying, it, saw.kerf)?;
    }
    let mut batches: Option<(u32, u32)> = None;
    let mut taken = 0;
    for it in &cut.pieces {
        let piece = pieces.get(it.piece);
        let piece = piece.ok_or_else(|| format!("piece {} is not there", it.piece))?;
        if it.turned && !piece.may_turn {
            return Err(format!("piece {} is turned and may not be", it.piece));
        }
        let (width, height) = if it.turned {
            (piece.height, piece.width)
        } else {
            (piece.width, piece.height)
        };
        let place = (it.x, it.y, it.x + width, it.y + height);
        taken += take(&mut lying, place).ok_or_else(|| {
            let (x, y) = (it.x, it.y);
            format!("piece {} at {x}, {y} is not what the cuts leave", it.piece)
        })?;
        let (first, last) = batches.unwrap_or((piece.batch, piece.batch));
        batches = Some((first.min(piece.batch), last.max(piece.batch)));
    }
    for it in &cut.offcuts {
        let place = (it.x, it.y, it.x + it.width, it.y + it.height);
        taken += take(&mut lying, place)
            .ok_or_else(|| format!("no offcut lies at {}, {}", it.x, it.y))?;
    }
    if let Some(rest) = lying.first() {
        return Err(format!("{rest:?} is neither piece nor offcut"));
    }
    if area(whole) != taken + dust {
        return Err(format!(
            "pieces and offcuts of {taken} with dust of {dust} are not the sheet's {}",
            area(whole)
        ));
    }
    match (saw.window, batches) {
        (Some(window), Some((first, last))) if last - first > window => Err(format!(
            "batches {first} and {last} are further apart than {window}"
        )),
        _ => Ok(()),
    }
}

/// Parts the rectangle that the cut runs through; the area of the dust.
fn sawn(lying: &mut Vec<Rectangle>, cut: &SawCut, kerf: i64) -> Result<i128, String> {
    let ((x, y), (to_x, to_y)) = (cut.from, cut.to);
    let through = lying.iter().position(|(left, low, right, high)| {
        let upright = x == to_x && (y, to_y) == (*low, *high) && *left < x && x < *right;
        let level = y == to_y && (x, to_x) == (*left, *right) && *low < y && y < *high;
        upright || level
    });
    let Some(through) = through else {
        return Err(format!(
            "the cut {cut:?} runs through no rectangle from edge to edge"
        ));
    };
    let (left, low, right, high) = lying.swap_remove(through);
    let (near, far, dust) = if x == to_x {
        let end = right.min(x + kerf);
        (
            (left, low, x, high),
            (end, low, right, high),
            (x, low, end, high),
        )
    } else {
        let end = high.min(y + kerf);
        (
            (left, low, right, y),
            (left, end, right, high),
            (left, y, right, end),
        )
    };
    lying.extend([near, far].into_iter().filter(|it| area(*it) > 0));
    Ok(area(dust))
}

/// Takes a rectangle that lies there away; its area.
fn take(lying: &mut Vec<Rectangle>, place: Rectangle) -> Option<i128> {
    let at = lying.iter().position(|it| *it == place)?;
    lying.swap_remove(at);
    Some(area(place))
}

fn area((left, low, right, high): Rectangle) -> i128 {
    i128::from(right - left) * i128::from(high - low)
}
