//! The count at the end of a replay: no more stock than there is, and every piece as often as it is needed.

/// Why the counts do not hold; `stock` gives what is on hand and used of each kind, `pieces` what is needed and made of each.
pub(super) fn tally(
    name: &str,
    stock: impl Iterator<Item = (Option<u32>, u32)>,
    pieces: impl Iterator<Item = (u32, u32)>,
) -> Result<(), String> {
    for (index, (on_hand, used)) in stock.enumerate() {
        if on_hand.is_some_and(|have| used > have) {
            return Err(format!(
                "{used} {name} of kind {index} are more than there are"
            ));
        }
    }
    for (index, (needed, made)) in pieces.enumerate() {
        if needed != made {
            return Err(format!(
                "piece {index} is made {made} times, {needed} are needed"
            ));
        }
    }
    Ok(())
}
