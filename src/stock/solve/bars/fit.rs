//! The first plan of bars: longest piece first, each into the fullest bar that still holds it.

use super::super::model::{Bar, BarUse, Length1, Unfit};

/// A plan, found at once.
pub(super) fn first_plan(
    bars: &[Bar],
    pieces: &[Length1],
    kerf: i64,
    end_trim: i64,
) -> Result<Vec<BarUse>, Unfit> {
    let net = |it: &Bar| it.length - 2 * end_trim;
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|it| std::cmp::Reverse(pieces[*it].length));
    let mut left: Vec<u32> = bars
        .iter()
        .map(|it| it.on_hand.unwrap_or(u32::MAX))
        .collect();
    let mut plan: Vec<BarUse> = Vec::new();
    for piece in order {
        let length = pieces[piece].length;
        if !bars.iter().any(|it| net(it) >= length) {
            return Err(Unfit::Piece { piece });
        }
        for _ in 0..pieces[piece].count {
            let open = plan.iter_mut().filter(|it| it.offcut >= length);
            if let Some(it) = open.min_by_key(|it| it.offcut) {
                it.offcut -= length + kerf;
                it.pieces.push(piece);
                continue;
            }
            // Cheapest by length first; on hand before bought at the same price.
            let fresh = bars
                .iter()
                .enumerate()
                .filter(|(at, it)| left[*at] > 0 && net(it) >= length);
            let bar = fresh.min_by(|(_, a), (_, b)| {
                let price = |it: &Bar, other: &Bar| i128::from(it.cost) * i128::from(other.length);
                price(a, b)
                    .cmp(&price(b, a))
                    .then(a.on_hand.is_none().cmp(&b.on_hand.is_none()))
                    .then(a.length.cmp(&b.length))
            });
            let Some((bar, it)) = bar else {
                return Err(Unfit::RunsOut { piece });
            };
            left[bar] -= 1;
            plan.push(BarUse {
                bar,
                pieces: vec![piece],
                offcut: net(it) - length - kerf,
            });
        }
    }
    for it in &mut plan {
        it.offcut = it.offcut.max(0);
    }
    Ok(plan)
}
