//! Part of the proof of blanks: no joint between pieces of a core goes through what a panel itself carries over an opening.

use super::blanks::on_blank;
use crate::geometry::ShopRect;
use crate::units::Length;
use crate::verify::package::Package;
use crate::verify::readers::panels::Panel;
use crate::verify::readers::stock::Blank;

/// Panels of a blank with a core joint where they carry.
pub(super) fn faults(package: &Package<'_>, blank: &Blank) -> Vec<String> {
    let joints = blank.joints();
    let mut found = Vec::new();
    for placed in &blank.panels {
        let panel = package.panel(&placed.mark);
        let Some((panel, on)) = panel.and_then(|it| Some((it, on_blank(it, placed)?))) else {
            continue;
        };
        let crossed = carried(panel).into_iter().any(|rect| {
            let corners = rect.ring().0;
            let points = corners.iter().map(|it| on.point(*it));
            let sides = |of: fn(&crate::geometry::ShopPoint) -> Length| {
                let all = points.clone().map(|it| of(&it));
                (
                    all.clone().min().unwrap_or_default(),
                    all.max().unwrap_or_default(),
                )
            };
            let ((x0, x1), (y0, y1)) = (sides(|it| it.x), sides(|it| it.y));
            joints.iter().any(|[a, b]| {
                a.x.min(b.x) < x1 && a.x.max(b.x) > x0 && a.y.min(b.y) < y1 && a.y.max(b.y) > y0
            })
        });
        if crossed {
            found.push(format!(
                "a joint of the core goes through where {} carries over an opening",
                placed.mark
            ));
        }
    }
    found
}

/// Where a panel carries over an opening without header, and without jacks that wait for one.
fn carried(panel: &Panel) -> Vec<ShopRect> {
    let is_free = |rect: &ShopRect, usage: &str| {
        let own = panel.lumber.iter().filter(|it| it.usage == usage);
        own.into_iter().all(|it| it.rect().common(rect).is_none())
    };
    if panel.kind == "header" {
        let whole = ShopRect::new(Length::ZERO, Length::ZERO, panel.width.0, panel.height.0);
        return [whole]
            .into_iter()
            .filter(|it| is_free(it, "header"))
            .collect();
    }
    if panel.kind == "sill" {
        return Vec::new();
    }
    let open = panel
        .openings
        .iter()
        .map(crate::verify::readers::panels::Opening::rough);
    let open = open.filter(|rough| is_free(&rough.grown(Length::inches(1)), "jack"));
    let over = open.map(|it| ShopRect {
        y0: it.y1,
        y1: panel.height.0,
        ..it
    });
    over.filter(|it| it.y0 < it.y1 && is_free(it, "header"))
        .collect()
}
