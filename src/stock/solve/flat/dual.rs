//! Dual feasible functions, exactly.
//!
//! Source: families after Fekete and Schepers (2001) and Carlier, Clautiaux and Moukrim (2007), from memory; the property test
//! below tries each on every set of lengths of small wholes.

use super::super::model::DualFunction;

/// Worth of a length under a function for a whole; both in the same unit, `0 < length <= whole`.
pub(super) fn worth(function: DualFunction, whole: i64, length: i64) -> i128 {
    let (whole, length) = (i128::from(whole), i128::from(length));
    match function {
        DualFunction::Same => length,
        DualFunction::Threshold(cut) => {
            let cut = i128::from(cut);
            if length > whole - cut {
                whole
            } else if length >= cut {
                length
            } else {
                0
            }
        }
        DualFunction::Steps(parts) => {
            let parts = i128::from(parts);
            if ((parts + 1) * length) % whole == 0 {
                length * parts
            } else {
                (parts + 1) * length / whole * whole
            }
        }
        DualFunction::Count(unit) => {
            let unit = i128::from(unit);
            match (2 * length).cmp(&whole) {
                std::cmp::Ordering::Less => 2 * (length / unit),
                std::cmp::Ordering::Equal => whole / unit,
                std::cmp::Ordering::Greater => 2 * (whole / unit - (whole - length) / unit),
            }
        }
    }
}

/// Whether the function is one for this whole: its parameter is within the range its proof needs.
pub(super) fn is_valid(function: DualFunction, whole: i64) -> bool {
    match function {
        DualFunction::Same => true,
        DualFunction::Threshold(cut) => 0 < cut && 2 * cut <= whole,
        DualFunction::Steps(parts) => 0 < parts && parts < 1 << 20,
        DualFunction::Count(unit) => 0 < unit && 2 * unit <= whole,
    }
}

/// Functions worth a try where pieces have these lengths: at most about `most`.
pub(super) fn candidates(lengths: &[i64], whole: i64, most: usize) -> Vec<DualFunction> {
    let mut cuts: Vec<i64> = lengths
        .iter()
        .flat_map(|it| [*it, whole - it + 1, it / 2, it / 3])
        .filter(|it| *it > 0 && 2 * it <= whole)
        .collect();
    cuts.sort_unstable();
    cuts.dedup();
    let step = (2 * cuts.len()).div_ceil(most.max(1)).max(1);
    let mut found = vec![DualFunction::Same];
    found.extend((1..=12).map(DualFunction::Steps));
    for cut in cuts.iter().step_by(step) {
        found.extend([DualFunction::Threshold(*cut), DualFunction::Count(*cut)]);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every function of every small whole is monotone and superadditive, so lengths that fit are never worth more than the
    /// whole, in that whole and in every smaller one.
    #[test]
    fn no_function_gives_parts_more_worth_than_the_length_they_fill() {
        for whole in 2..40 {
            let lengths: Vec<i64> = (1..=whole).collect();
            let all = (1..=whole).flat_map(|n| {
                [
                    DualFunction::Threshold(n),
                    DualFunction::Steps(n),
                    DualFunction::Count(n),
                ]
            });
            for function in all.filter(|it| is_valid(*it, whole)) {
                for a in &lengths {
                    for b in lengths.iter().filter(|b| a + **b <= whole) {
                        let parts = worth(function, whole, *a) + worth(function, whole, *b);
                        let both = worth(function, whole, a + b);
                        assert!(parts <= both, "{function:?} of {whole}: {a} and {b}");
                    }
                }
            }
        }
    }
}
