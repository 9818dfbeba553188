//! Which corrections the job of the issue before had not: they were written since, for the plan at hand.
//!
//! Known by the place alone: one whose place stood there and of which something else was edited may be of either drawing.

use crate::plan::CorrectionAnchor;
use std::collections::BTreeMap;

/// Places are the same within this, inches.
const SAME_PLACE: f64 = 1e-6;

/// True when the issue before tells what its job said, and no correction of that was about this place or dimension.
///
/// - `before`: what each input of the issue before said, key by key.
pub(super) fn is_new(anchor: &CorrectionAnchor, before: &[BTreeMap<String, String>]) -> bool {
    // An older package does not tell, nor does one whose job says very much.
    let is_told = before.iter().any(|it| it.contains_key("assembly"));
    let keys = before.iter().flatten();
    let mut corrections = keys.filter(|(key, _)| key.starts_with("correction["));
    is_told && !corrections.any(|(key, value)| is_about(anchor, key, value))
}

/// True of the key of a correction that says its place.
fn is_about(anchor: &CorrectionAnchor, key: &str, value: &str) -> bool {
    match anchor {
        CorrectionAnchor::Point { at, .. } if key.ends_with("].at") => {
            point(value).is_none_or(|known| (known[0] - at[0]).hypot(known[1] - at[1]) < SAME_PLACE)
        }
        CorrectionAnchor::Dimension(handle) if key.ends_with("].dimension") => {
            value.trim_matches(['"', '\'']).eq_ignore_ascii_case(handle)
        }
        CorrectionAnchor::Id(id) if key.ends_with("].id") => value.trim_matches(['"', '\'']) == id,
        _ => false,
    }
}

/// A point as TOML writes it; `None` where it is none.
fn point(value: &str) -> Option<[f64; 2]> {
    let inner = value.trim().strip_prefix('[')?.strip_suffix(']')?;
    let (x, y) = inner.split_once(',')?;
    Some([x.trim().parse().ok()?, y.trim().parse().ok()?])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::said;

    fn at(x: f64, y: f64) -> CorrectionAnchor {
        CorrectionAnchor::Point {
            at: [x, y],
            storey: None,
        }
    }

    #[test]
    fn a_correction_is_new_where_none_before_was_at_its_place() {
        let job = "assembly = '6-1/2'\n[[correction]]\nat = [357, 75.5]\nis = 'door'\n[[correction]]\ndimension = '2F4'\nis = 'trusted'\n";
        let before = [said(job)];
        let dimension = |it: &str| CorrectionAnchor::Dimension(it.to_owned());
        assert!(!is_new(&at(357.0, 75.5), &before));
        assert!(is_new(&at(357.0, 75.0), &before));
        assert!(!is_new(&dimension("2f4"), &before));
        assert!(is_new(&dimension("2F5"), &before));
        assert!(is_new(&at(1.0, 2.0), &[said("assembly = '6-1/2'\n")]));
        // Where nothing is told, nothing is new.
        assert!(!is_new(&at(1.0, 2.0), &[BTreeMap::new()]));
    }
}
