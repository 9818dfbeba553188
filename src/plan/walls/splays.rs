//! Doors in reveals splayed in masonry: the opening is as wide as it is clear at the narrow end, where its frame stands.
//!
//! ```text
//!   ══════╲            ╱══════      the wall has both its faces up to the wide end only; one of them goes on to the narrow end
//!          ╲          ╱
//!   ════════╡◜      ╞════════
//! ```

use crate::plan::axis::Axis;
use crate::plan::lines::rails::Rails;
use crate::plan::lines::symbols::Place;
use crate::plan::walls::bonds::{Between, NARROWEST};

/// A splayed reveal makes an opening wider by at most this at either end, inches. Source: masonry of two bricks, no source.
const SPLAY: f64 = 14.0;
/// And alike at both within this, inches, beyond the drawing's slack.
const EVEN: f64 = 0.5;

/// A door in a splayed reveal: one face of the wall goes on beyond both ends of a gap, and the swing hangs between where it ends.
///
/// - `faces`: the rails of the piece before the gap and of the one behind it.
pub(super) fn splayed(
    rails: &Rails,
    faces: &[usize; 4],
    (axis, width): (&Axis, f64),
    thickness: f64,
    place: &Place<'_>,
    slack: f64,
) -> Option<Between> {
    // How far a face that runs up to one end of the gap goes on into it.
    let ahead = |list: &[usize], sign: f64, end: f64| -> f64 {
        let covers = list.iter().flat_map(|&r| {
            let rail = &rails.list[r];
            rail.face_cover.iter().map(|&(a, b)| {
                let [p, q] = [a, b].map(|u| sign * (axis.s(rail.axis.point(u, 0.0)) - end));
                (p.min(q), p.max(q))
            })
        });
        let on = covers.filter(|it| it.0 < -EVEN && it.1 > 0.0);
        on.map(|it| it.1).fold(0.0, f64::max)
    };
    let (low, high) = (
        ahead(&faces[..2], 1.0, 0.0),
        ahead(&faces[2..], -1.0, width),
    );
    let clear = width - low - high;
    let is_splay = (EVEN..=SPLAY).contains(&low) && (low - high).abs() <= EVEN + slack;
    if !is_splay || clear < NARROWEST {
        return None;
    }
    let own = Axis {
        origin: axis.point(low, 0.0),
        ..*axis
    };
    let evidence = place.look(&own, clear, thickness);
    evidence.is_swung().then(|| Between {
        from: own.point(0.0, 0.0),
        to: own.point(clear, 0.0),
        has_jambs: evidence.fits,
        evidence,
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::OpeningKind;
    use crate::plan::trial::{Swing, exterior_openings, recovered_with, sides};

    #[test]
    fn a_door_in_a_splayed_reveal_is_as_wide_as_it_is_clear_at_the_narrow_end() {
        let mut lines = sides(0.0, 0.0, 400.0, 280.0);
        lines.extend(sides(12.0, 12.0, 388.0, 268.0));
        lines.retain(|l| !(l[1] < 13.0 && l[3] < 13.0));
        lines.extend([[0.0, 0.0, 100.0, 0.0], [136.0, 0.0, 400.0, 0.0]]);
        lines.extend([[12.0, 12.0, 92.0, 12.0], [144.0, 12.0, 388.0, 12.0]]);
        for (x, away) in [(100.0, -8.0), (136.0, 8.0)] {
            lines.extend([[x, 0.0, x, 4.0], [x, 4.0, x + away, 12.0]]);
        }
        lines.push([100.0, 4.0, 100.0, 40.0]);
        let swing = Swing {
            centre: [100.0, 4.0],
            radius: 36.0,
            start: 0.0,
        };
        let found = recovered_with(&lines, &[swing]);
        assert_eq!(exterior_openings(&found.output), [[118.0, 6.0, 36.0]]);
        let storey = &found.output.storeys[0];
        assert_eq!(storey.openings[0].kind, OpeningKind::Door);
        assert!(found.findings.is_empty(), "{:?}", found.findings);
    }
}
