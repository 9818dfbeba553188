//! The layers of the architect's wall as the job names them, from the outside in.

use super::checks::Checks;
use crate::toml_text::{At, LengthValue};
use crate::units::Length;

/// Layers of a wall, each of some thickness and with a name of its own.
pub(super) fn layers(
    key: &str,
    given: &[At<(String, LengthValue)>],
    checks: &mut Checks<'_>,
) -> Vec<(String, Length)> {
    let mut layers: Vec<(String, Length)> = Vec::with_capacity(given.len());
    for at in given {
        let (name, thickness) = (at.value.0.trim(), at.value.1.0);
        let is_known = layers.iter().any(|it| it.0.eq_ignore_ascii_case(name));
        if name.is_empty() || is_known || thickness <= Length::ZERO {
            checks.refuse(
                at.offset,
                format!("{key} has the layer '{name}', {thickness} thick"),
                "give each layer a name of its own and a thickness, from the outside in",
            );
        }
        layers.push((name.to_owned(), thickness));
    }
    layers
}
