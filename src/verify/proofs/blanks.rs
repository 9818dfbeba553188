//! Every panel that may be cut lies on one blank, a kerf from its neighbours, and the cuts in order leave just that.

use super::Proof;
use crate::findings::Place;
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel};
use crate::verify::readers::outline::{Entity, Outline};
use crate::verify::readers::panels::{Panel, shop_point};
use crate::verify::readers::stock::{Blank, BlankPanel, StockFile};
use crate::verify::readers::table::Table;
use crate::verify::replay::prove_sheet;
use std::collections::{BTreeMap, BTreeSet};

pub(super) const PROOF: Proof = Proof {
    code: codes::BLANKS,
    statement: "each panel that may be cut lies on one blank, inside it, a kerf from its neighbours, its chases where the core has them, no core joint where it carries over an opening; the cuts in order leave just panels and offcuts, and the blank's file shows the same",
    cases: "blanks",
    prove,
};

const FILE: &str = "stock.json";

/// Reads the file, or enters in the book why not.
pub(super) fn read(package: &Package<'_>, ledger: &mut Ledger) -> Option<StockFile> {
    match package.files.get(FILE).map(|bytes| StockFile::read(bytes)) {
        None => ledger.fail(Place::file(FILE), "it is missing"),
        Some(Err(reason)) => ledger.fail(Place::file(FILE), reason),
        Some(Ok(file)) => return Some(file),
    }
    None
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let Some(stock) = read(package, ledger) else {
        return;
    };
    let held: BTreeSet<&str> = stock.held.iter().map(String::as_str).collect();
    let unplaced: BTreeSet<&str> = stock.unplaced.iter().map(String::as_str).collect();
    let mut blank_of: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for blank in &stock.blanks {
        for placed in &blank.panels {
            blank_of.entry(&placed.mark).or_default().push(&blank.blank);
        }
    }
    let index = indexed_blanks(package);
    for panel in &package.panels.panels {
        let mark = panel.mark.as_str();
        let on = blank_of.remove(mark).unwrap_or_default();
        let said = panel.blank.as_deref();
        let holds = if panel.hold {
            on.is_empty() && said.is_none() && held.contains(mark)
        } else if unplaced.contains(mark) {
            on.is_empty() && said.is_none()
        } else {
            on.len() == 1 && said == on.first().copied() && !held.contains(mark)
        };
        ledger.demand(
            holds,
            || at_panel(panel),
            || {
                format!(
                    "it is on blanks [{}], panels.json says {}, and it is {}",
                    on.join(", "),
                    said.unwrap_or("none"),
                    if panel.hold { "held" } else { "not held" }
                )
            },
        );
        let listed = index.get(mark).map(String::as_str);
        ledger.demand(
            panel.hold || listed == Some(said.unwrap_or_default()),
            || Place::file("outlines/index.csv"),
            || format!("the blank of {mark} is not the one of panels.json"),
        );
    }
    for mark in blank_of.keys() {
        ledger.fail(Place::file(FILE), format!("{mark} is no panel"));
    }
    let mut files: BTreeSet<&str> = package
        .files
        .keys()
        .filter(|name| name.starts_with("blanks/"))
        .map(String::as_str)
        .collect();
    let mut names = BTreeSet::new();
    for blank in &stock.blanks {
        ledger.case();
        ledger.demand(
            names.insert(blank.blank.as_str()),
            || Place::file(FILE),
            || format!("two blanks are called {}", blank.blank),
        );
        for reason in faults(package, blank) {
            ledger.fail(
                Place::file(FILE),
                format!("blank {}: {reason}", blank.blank),
            );
        }
        let path = format!("blanks/{}.dxf", blank.blank);
        files.remove(path.as_str());
        let read = package.files.get(&path).map(|bytes| Outline::read(bytes));
        match read {
            None => ledger.fail(Place::file(&path), "it is missing"),
            Some(Err(reason)) => ledger.fail(Place::file(&path), reason),
            Some(Ok(file)) => {
                for reason in file_faults(package, blank, &file) {
                    ledger.fail(Place::file(&path), reason);
                }
            }
        }
    }
    for name in files {
        ledger.fail(Place::file(name), "it is no blank of stock.json");
    }
}

/// By mark, the blank that `outlines/index.csv` names.
fn indexed_blanks(package: &Package<'_>) -> BTreeMap<String, String> {
    let bytes = package.files.get("outlines/index.csv");
    let Some(Ok(table)) = bytes.map(|bytes| Table::read(bytes)) else {
        return BTreeMap::new();
    };
    let rows = table.rows();
    rows.map(|row| (row.text("mark").to_owned(), row.text("blank").to_owned()))
        .collect()
}

/// What is wrong with a blank's plan.
fn faults(package: &Package<'_>, blank: &Blank) -> Vec<String> {
    let mut found = Vec::new();
    let inside = blank.sheet.inside();
    for placed in &blank.panels {
        let Some(panel) = package.panel(&placed.mark) else {
            continue;
        };
        let rect = placed.rect();
        let mark = &placed.mark;
        if panel.assembly != blank.assembly
            || panel.face_up != blank.face_up
            || panel.thickness != blank.sheet.thickness
        {
            found.push(format!("{mark} has another assembly, thickness or face up"));
        }
        let turn = match placed.up.as_str() {
            "+x" | "+y" => 0,
            "-x" | "-y" => 180,
            _ => u32::MAX,
        };
        if turn != placed.turn {
            found.push(format!("the turn of {mark} is not the way its top points"));
        }
        if on_blank(panel, placed).map(|on| on.rect()) != Some(rect) {
            found.push(format!("the place of {mark} is not as large as its skins"));
        }
        if inside.common(&rect) != Some(rect) {
            found.push(format!("{mark} does not lie inside the trim"));
        }
    }
    let kerf = blank.sheet.kerf.0;
    for (i, a) in blank.panels.iter().enumerate() {
        for b in blank.panels.iter().skip(i + 1) {
            let is_pair = a.paired_with.as_ref() == Some(&b.mark);
            let (p, q) = (a.rect(), b.rect());
            let apart_x = (q.x0 - p.x1).max(p.x0 - q.x1);
            let apart_y = (q.y0 - p.y1).max(p.y0 - q.y1);
            if !is_pair && apart_x.max(apart_y) < kerf {
                found.push(format!(
                    "{} and {} lie less than a kerf apart",
                    a.mark, b.mark
                ));
            }
        }
    }
    found.extend(pair_faults(package, blank));
    found.extend(prove_sheet(&blank.sheet, &pieces(blank)).err());
    found.extend(chase_faults(package, blank));
    found.extend(super::core_joints::faults(package, blank));
    found
}

/// Rectangles that the cuts through must leave: a pair nose to tail is one.
fn pieces(blank: &Blank) -> Vec<ShopRect> {
    let mut found: Vec<ShopRect> = Vec::new();
    for (index, placed) in blank.panels.iter().enumerate() {
        let (rect, with) = (placed.rect(), placed.paired_with.as_ref());
        let mut others = blank.panels.iter().enumerate();
        match others.find(|(_, it)| Some(&it.mark) == with) {
            None => found.push(rect),
            Some((before, _)) if before < index => {}
            Some((_, other)) => {
                let far = other.rect();
                found.push(ShopRect::new(
                    rect.x0.min(far.x0),
                    rect.y0.min(far.y0),
                    rect.x1.max(far.x1),
                    rect.y1.max(far.y1),
                ));
            }
        }
    }
    found
}

/// Two panels nose to tail lie a kerf apart: every corner of each from every sloping side of the other.
fn pair_faults(package: &Package<'_>, blank: &Blank) -> Vec<String> {
    let rings = |placed: &BlankPanel| {
        let panel = package.panel(&placed.mark)?;
        let on = on_blank(panel, placed)?;
        let faces = [&panel.outer_skin, &panel.inner_skin];
        Some(faces.map(|face| ShopRing(on.ring(&face.outline()))))
    };
    let kerf = nm(blank.sheet.kerf.0);
    let mut found = Vec::new();
    for placed in &blank.panels {
        let Some(with) = &placed.paired_with else {
            continue;
        };
        let other = blank.panels.iter().find(|it| it.mark == *with);
        let mutual = other.filter(|it| it.paired_with.as_ref() == Some(&placed.mark));
        let both = mutual.and_then(|it| Some((rings(placed)?, rings(it)?)));
        let is_apart = both.is_some_and(|(own, theirs)| {
            own.iter().zip(&theirs).all(|(a, b)| lies_right(a, b, kerf))
        });
        if !is_apart {
            found.push(format!(
                "{} and {with} are no pair a kerf apart",
                placed.mark
            ));
        }
    }
    found
}

/// True when `b` lies a kerf to the right of every sloping side of `a`, which has at least one: a contour runs with its panel on
/// the left.
fn lies_right(a: &ShopRing, b: &ShopRing, kerf: i128) -> bool {
    let slopes = a.sides().filter(|(p, q)| p.x != q.x && p.y != q.y);
    let mut n_slopes = 0;
    for (from, to) in slopes {
        n_slopes += 1;
        let (dx, dy) = (nm(to.x - from.x), nm(to.y - from.y));
        let length = (dx * dx + dy * dy).isqrt();
        let right = |point: &ShopPoint| nm(point.x - from.x) * dy - nm(point.y - from.y) * dx;
        // A nanometre for what the corners were rounded by.
        if b.0.iter().any(|point| right(point) < (kerf - 1) * length) {
            return false;
        }
    }
    n_slopes > 0
}

fn nm(length: Length) -> i128 {
    i128::from(length.to_nanometres())
}

/// Chases that run through the core: those of each panel, and no other through it.
fn chase_faults(package: &Package<'_>, blank: &Blank) -> Vec<String> {
    let lines = blank.chases();
    if lines.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for placed in &blank.panels {
        let Some((panel, on)) = package
            .panel(&placed.mark)
            .and_then(|panel| Some((panel, on_blank(panel, placed)?)))
        else {
            continue;
        };
        let rect = placed.rect();
        let mut own: BTreeSet<(bool, Length)> = BTreeSet::new();
        for chase in &panel.chases {
            let [a, b] = chase.line.map(|point| on.point(shop_point(point)));
            own.insert(if a.x == b.x {
                (true, a.x)
            } else {
                (false, a.y)
            });
        }
        let through: BTreeSet<(bool, Length)> = lines
            .iter()
            .map(|[a, b]| {
                if a.x == b.x {
                    (true, a.x)
                } else {
                    (false, a.y)
                }
            })
            .filter(|(is_across, at)| {
                let (from, to) = if *is_across {
                    (rect.x0, rect.x1)
                } else {
                    (rect.y0, rect.y1)
                };
                from <= *at && *at <= to
            })
            .collect();
        if own != through {
            found.push(format!(
                "the chases through the core are not those of {}",
                placed.mark
            ));
        }
    }
    found
}

/// A panel's points on the blank, from `panels.json` and the way its top points.
pub(super) struct OnBlank<'a> {
    extent: ShopRect,
    mirror: Option<Length>,
    at: ShopPoint,
    up: &'a str,
}

impl OnBlank<'_> {
    pub(super) fn point(&self, point: ShopPoint) -> ShopPoint {
        let x = self.mirror.map_or(point.x, |width| width - point.x);
        let (x, y) = (x - self.extent.x0, point.y - self.extent.y0);
        let (wide, high) = (self.extent.width(), self.extent.height());
        let (x, y) = match self.up {
            "+x" => (y, wide - x),
            "-x" => (high - y, x),
            "-y" => (wide - x, high - y),
            _ => (x, y),
        };
        self.at.moved(x, y)
    }

    fn rect(&self) -> ShopRect {
        let (x, y) = if self.up.ends_with('x') {
            (self.extent.height(), self.extent.width())
        } else {
            (self.extent.width(), self.extent.height())
        };
        ShopRect::new(self.at.x, self.at.y, self.at.x + x, self.at.y + y)
    }

    fn ring(&self, ring: &ShopRing) -> Vec<ShopPoint> {
        let mut points: Vec<ShopPoint> = ring.0.iter().map(|point| self.point(*point)).collect();
        if self.mirror.is_some() {
            points.reverse();
        }
        points.dedup();
        while points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        points
    }
}

pub(super) fn on_blank<'a>(panel: &Panel, placed: &'a BlankPanel) -> Option<OnBlank<'a>> {
    let mirror = (panel.face_up == "inner").then_some(panel.width.0);
    let points = [panel.outer_skin.outline(), panel.inner_skin.outline()]
        .into_iter()
        .flat_map(|ring| ring.0)
        .map(|point| match mirror {
            Some(width) => ShopPoint::new(width - point.x, point.y),
            None => point,
        });
    let rect = placed.rect();
    Some(OnBlank {
        extent: ShopRing(points.collect()).bounds()?,
        mirror,
        at: ShopPoint::new(rect.x0, rect.y0),
        up: &placed.up,
    })
}

/// What is wrong with a blank's file.
fn file_faults(package: &Package<'_>, blank: &Blank, file: &Outline) -> Vec<String> {
    let mut found = Vec::new();
    let whole = ShopRect::new(
        Length::ZERO,
        Length::ZERO,
        blank.sheet.length.0,
        blank.sheet.width.0,
    );
    let contours: Vec<&Entity> = file.with_role("blank").collect();
    let is_blank = |it: &&Entity| it.is_closed && same_ring(&it.points, &whole.ring().0);
    if contours.len() != 1 || !contours.iter().all(is_blank) {
        found.push("its contour is not the blank".to_owned());
    }
    for placed in &blank.panels {
        let Some((panel, on)) = package
            .panel(&placed.mark)
            .and_then(|panel| Some((panel, on_blank(panel, placed)?)))
        else {
            continue;
        };
        let face = if panel.face_up == "inner" {
            &panel.inner_skin
        } else {
            &panel.outer_skin
        };
        let of_panel = |role| {
            let all = file.with_role(role);
            all.filter(|it| it.fact("mark") == placed.mark)
        };
        let outlines: Vec<&Entity> = of_panel("outline").collect();
        let expected = on.ring(&face.outline());
        let turn = placed.turn.to_string();
        let holds = outlines
            .iter()
            .all(|it| it.is_closed && same_ring(&it.points, &expected) && it.fact("turn") == turn);
        if outlines.len() != 1 || !holds {
            found.push(format!(
                "the outline of {} is not where it lies",
                placed.mark
            ));
        }
        let holes = face.holes();
        let drawn: Vec<&Entity> = of_panel("opening").collect();
        let holds = holes.iter().all(|hole| {
            let expected = on.ring(hole);
            drawn.iter().any(|it| same_ring(&it.points, &expected))
        });
        if drawn.len() != holes.len() || !holds {
            found.push(format!(
                "the openings of {} are not where they lie",
                placed.mark
            ));
        }
    }
    let n_outlines = file.with_role("outline").count();
    if n_outlines != blank.panels.len() {
        found.push(format!(
            "it has {n_outlines} outlines for {} panels",
            blank.panels.len()
        ));
    }
    let drawn: Vec<(String, Vec<ShopPoint>)> = file
        .with_role("cut")
        .map(|it| (it.fact("number").to_owned(), it.points.clone()))
        .collect();
    let listed: Vec<(String, Vec<ShopPoint>)> = blank
        .sheet
        .cuts
        .iter()
        .map(|cut| (cut.number.to_string(), cut.ends().to_vec()))
        .collect();
    if drawn != listed {
        found.push("its cuts are not those of stock.json, in that order".to_owned());
    }
    let n_offcuts = file.with_role("offcut").count();
    let all_there = blank.sheet.offcuts.iter().all(|offcut| {
        let ring = offcut.rect().ring().0;
        file.with_role("offcut")
            .any(|it| same_ring(&it.points, &ring))
    });
    if n_offcuts != blank.sheet.offcuts.len() || !all_there {
        found.push("its offcuts are not those of stock.json".to_owned());
    }
    found
}

/// The same points in the same turn, wherever they begin.
fn same_ring(a: &[ShopPoint], b: &[ShopPoint]) -> bool {
    a.len() == b.len()
        && (0..a.len().max(1)).any(|shift| {
            let turned = a.iter().cycle().skip(shift).take(a.len());
            turned.eq(b.iter())
        })
}
