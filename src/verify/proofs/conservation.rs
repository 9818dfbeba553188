//! Nothing is lost between stock and panels: boards, slabs, billets and bars come apart into just what is cut from them.

use super::Proof;
use super::blanks::read;
use crate::findings::Place;
use crate::geometry::ShopRect;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::panels::Panel;
use crate::verify::readers::stock::{Billet, Blank, Piece, Sheet, StockFile};
use crate::verify::replay::{area, prove_sheet};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const PROOF: Proof = Proof {
    code: codes::CONSERVATION,
    statement: "boards are skins, offcuts, kerf and trim; blanks skins and a core; billets slabs, kerf, skins and rest; foam is cores, offcuts, kerf and grindings; bars are pieces, kerf and offcut",
    cases: "sheets, billets and bars",
    prove,
};

const FILE: &str = "stock.json";

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let Some(stock) = read(package, ledger) else {
        return;
    };
    let mut say = |holds: bool, words: &dyn Fn() -> String| {
        ledger.case();
        ledger.demand(holds, || Place::file(FILE), words);
    };
    let sheets = stock
        .boards
        .iter()
        .map(|it| (&it.board, &it.sheet, &it.pieces));
    let slabs = stock
        .slabs
        .iter()
        .map(|it| (&it.slab, &it.sheet, &it.pieces));
    for (name, sheet, pieces) in sheets.chain(slabs) {
        let rects: Vec<ShopRect> = pieces.iter().map(Piece::rect).collect();
        let proved = prove_sheet(sheet, &rects);
        say(proved.is_ok(), &|| {
            let reason = proved.clone().err().unwrap_or_default();
            format!("{name}: {reason}")
        });
    }
    prove_blanks(package, &stock, &mut say);
    prove_billets(&stock, &mut say);
    prove_bars(package, &stock, &mut say);
    prove_foam(package, &stock, &mut say);
}

type Say<'a> = dyn FnMut(bool, &dyn Fn() -> String) + 'a;

/// By name, where each piece is cut from: sheet and size.
fn found<'a>(
    sheets: impl Iterator<Item = (&'a Sheet, &'a Vec<Piece>)>,
) -> BTreeMap<&'a str, Vec<(&'a Sheet, ShopRect)>> {
    let mut all: BTreeMap<&str, Vec<(&Sheet, ShopRect)>> = BTreeMap::new();
    for (sheet, pieces) in sheets {
        for piece in pieces {
            let places = all.entry(piece.name.as_str()).or_default();
            places.push((sheet, piece.rect()));
        }
    }
    all
}

/// Each blank that is laminated anew has its panels' skins, two or one, of its size and a core of its area, and is as thick as they are.
fn prove_blanks(package: &Package<'_>, stock: &StockFile, say: &mut Say<'_>) {
    let unplaced: BTreeSet<&str> = stock.unplaced.iter().map(String::as_str).collect();
    let mut skins = found(stock.boards.iter().map(|it| (&it.sheet, &it.pieces)));
    let mut cores = found(stock.slabs.iter().map(|it| (&it.sheet, &it.pieces)));
    for blank in &stock.blanks {
        if !blank.sheet.leftover.is_empty() {
            continue;
        }
        let name = &blank.blank;
        let mut thickness = Some(Length::ZERO);
        let panels: Vec<&Panel> = blank
            .panels
            .iter()
            .filter_map(|it| package.panel(&it.mark))
            .collect();
        let has = |face: &str| {
            panels
                .iter()
                .all(|it| it.skins().any(|skin| skin.0 == face))
        };
        for face in ["outer", "inner"].into_iter().filter(|face| has(face)) {
            let key = format!("{name} {face}");
            let places = skins.remove(key.as_str()).unwrap_or_default();
            if unplaced.contains(key.as_str()) {
                thickness = None;
                say(places.is_empty(), &|| format!("{key} is cut and not cut"));
                continue;
            }
            let is_whole = places.len() == 1 && places.iter().all(|(_, rect)| is_size(blank, rect));
            say(is_whole, &|| {
                format!("{key} is not one piece as large as the blank")
            });
            let deep = places.first().map(|(sheet, _)| sheet.thickness.0);
            thickness = thickness.zip(deep).map(|(sum, deep)| sum + deep);
        }
        let prefix = format!("{name} core");
        let keys: Vec<&str> = cores
            .keys()
            .copied()
            .filter(|key| key.rsplit_once(' ').is_some_and(|(head, _)| head == prefix))
            .collect();
        let pieces: Vec<(&Sheet, ShopRect)> = keys
            .into_iter()
            .filter_map(|key| cores.remove(key))
            .flatten()
            .collect();
        if unplaced.iter().any(|it| it.starts_with(&prefix)) {
            continue;
        }
        let whole = area(&ShopRect::new(
            Length::ZERO,
            Length::ZERO,
            blank.sheet.length.0,
            blank.sheet.width.0,
        ));
        let sum: i128 = pieces.iter().map(|(_, rect)| area(rect)).sum();
        say(sum == whole, &|| {
            format!("the pieces of the core of {name} do not make up the blank")
        });
        let deep: BTreeSet<Length> = pieces.iter().map(|(sheet, _)| sheet.thickness.0).collect();
        if let (Some(skins), 1) = (thickness, deep.len()) {
            let all = skins + deep.into_iter().sum();
            say(all == blank.sheet.thickness.0, &|| {
                format!("skins and core of {name} are {all} thick")
            });
        } else {
            say(thickness.is_none(), &|| {
                format!("the core of {name} is not of one thickness")
            });
        }
    }
    let rest: Vec<&str> = skins.keys().chain(cores.keys()).copied().collect();
    say(rest.is_empty(), &|| {
        format!("cut for no blank: {}", rest.join(", "))
    });
}

fn is_size(blank: &Blank, rect: &ShopRect) -> bool {
    let (length, width) = (blank.sheet.length.0, blank.sheet.width.0);
    let size = (rect.width(), rect.height());
    size == (length, width) || size == (width, length)
}

/// Every slab that is no leftover lies in one billet, as thick and as large as it is; layers lie a kerf apart between the skins.
fn prove_billets(stock: &StockFile, say: &mut Say<'_>) {
    let unplaced: BTreeSet<&str> = stock.unplaced.iter().map(String::as_str).collect();
    let mut layers: BTreeMap<&str, Vec<(&Billet, Length)>> = BTreeMap::new();
    for billet in &stock.billets {
        let mut at = billet.skin.0;
        let mut is_stacked = true;
        for layer in &billet.slabs {
            is_stacked &= layer.from.0 == at && layer.to.0 > layer.from.0;
            at = layer.to.0 + billet.kerf.0;
            let places = layers.entry(layer.slab.as_str()).or_default();
            places.push((billet, layer.to.0 - layer.from.0));
        }
        let top = billet.height.0 - billet.skin.0;
        let last = billet.slabs.last().map_or(at, |layer| layer.to.0);
        is_stacked &= last <= top && billet.rest.0 == (top - at).max(Length::ZERO);
        say(is_stacked, &|| {
            format!("the layers of {} do not make it up", billet.billet)
        });
    }
    for slab in &stock.slabs {
        let places = layers.remove(slab.slab.as_str()).unwrap_or_default();
        if !slab.sheet.leftover.is_empty() {
            say(places.is_empty(), &|| {
                format!("{} is a leftover, and cut from a billet too", slab.slab)
            });
            continue;
        }
        if unplaced.contains(slab.slab.as_str()) && places.is_empty() {
            continue;
        }
        let fits = |(billet, thickness): &(&Billet, Length)| {
            billet.material == slab.material
                && *thickness == slab.sheet.thickness.0
                && billet.length == slab.sheet.length
                && billet.width == slab.sheet.width
        };
        say(places.len() == 1 && places.iter().all(fits), &|| {
            format!("{} is not one layer of one billet of its size", slab.slab)
        });
    }
    let rest: Vec<&str> = layers.keys().copied().collect();
    say(rest.is_empty(), &|| {
        format!("layers that are no slabs: {}", rest.join(", "))
    });
}

/// True for a piece of the section, and for one that is ripped from it.
pub(super) fn is_sawn_from(piece: &str, section: &str) -> bool {
    let rest = piece.strip_prefix(section);
    let ripped = [" ripped to ", ", edges at "];
    rest.is_some_and(|rest| rest.is_empty() || ripped.iter().any(|it| rest.starts_with(it)))
}

/// Every piece of lumber of panels that may be cut, and every plate, is cut from one bar to its length.
fn prove_bars(package: &Package<'_>, stock: &StockFile, say: &mut Say<'_>) {
    let unplaced: BTreeSet<&str> = stock.unplaced.iter().map(String::as_str).collect();
    let panels = package.panels.panels.iter().filter(|panel| !panel.hold);
    let lumber = panels
        .flat_map(|panel| &panel.lumber)
        .map(|it| (it.mark.as_str(), it.section.as_str(), it.length.0));
    let plates = package.panels.walls.iter().flat_map(|wall| &wall.plates);
    let plates = plates.map(|it| (it.mark.as_str(), it.section.as_str(), it.length.0));
    let mut wanted: BTreeMap<&str, (&str, Length)> = BTreeMap::new();
    for (mark, section, length) in lumber.chain(plates) {
        if !unplaced.contains(mark) {
            wanted.insert(mark, (section, length));
        }
    }
    for bar in &stock.lumber {
        let holds = bar.rest() == Some(bar.offcut.0);
        say(holds, &|| {
            format!("{}: pieces, kerf and offcut are not the bar", bar.bar)
        });
        for piece in &bar.pieces {
            let asked = wanted.remove(piece.mark.as_str());
            say(
                asked.is_some_and(|(section, length)| {
                    is_sawn_from(section, &bar.section) && length == piece.length.0
                }),
                &|| {
                    format!(
                        "{} of {} is not a piece that panels.json has, or is cut twice",
                        piece.mark, bar.bar
                    )
                },
            );
        }
    }
    let missing: Vec<&str> = wanted.keys().copied().collect();
    say(missing.is_empty(), &|| {
        format!("cut from no bar: {}", missing.join(", "))
    });
}

/// Cubic nanometres in a cubic foot.
const CUBIC_FOOT: f64 = 304_800_000.0 * 304_800_000.0 * 304_800_000.0;
/// Nine decimals of a cubic foot, summed over all blanks of a large job.
const VOLUME: f64 = 1e-5;

#[expect(clippy::cast_precision_loss, reason = "a volume to some decimals")]
fn cubic_feet(area: i128, thickness: Length) -> f64 {
    area as f64 * thickness.to_nanometres() as f64 / CUBIC_FOOT
}

/// Billets and leftover slabs are what panels, offcuts, wire, rests, grindings and what is kept are, each counted again.
fn prove_foam(package: &Package<'_>, stock: &StockFile, say: &mut Say<'_>) {
    // Where a core or slab could not be cut the sums cannot agree, and a finding says so.
    if !stock.unplaced.is_empty() {
        return;
    }
    let slabs = || stock.slabs.iter();
    for foam in &stock.foam {
        let billets = stock
            .billets
            .iter()
            .filter(|it| it.material == foam.material);
        let all: f64 = billets
            .map(|it| cubic_feet(flat(it.length.0, it.width.0), it.height.0))
            .sum();
        let mut panels = 0.0;
        let mut offcuts = 0.0;
        let mut blanks = 0.0;
        for blank in &stock.blanks {
            let core = slabs().find(|slab| {
                let head = format!("{} core", blank.blank);
                let mut names = slab.pieces.iter().map(|it| it.name.as_str());
                names.any(|name| name.rsplit_once(' ').is_some_and(|(it, _)| it == head))
            });
            let Some(core) = core.filter(|slab| slab.material == foam.material) else {
                continue;
            };
            let deep = core.sheet.thickness.0;
            let size = flat(blank.sheet.length.0, blank.sheet.width.0);
            blanks += cubic_feet(size, deep);
            let left = blank.sheet.offcuts.iter().map(|it| area(&it.rect())).sum();
            offcuts += cubic_feet(left, deep);
            for placed in &blank.panels {
                let Some(panel) = package.panel(&placed.mark) else {
                    continue;
                };
                let faces = std::iter::once(&panel.core).chain(&panel.core_others);
                let doubled: i128 = faces.map(|face| face.doubled_area()).sum();
                panels += cubic_feet(doubled, deep) / 2.0;
            }
        }
        let cut: f64 = slabs()
            .filter(|slab| slab.material == foam.material)
            .map(|slab| {
                let pieces = slab.pieces.iter().map(|it| area(&it.rect())).sum();
                cubic_feet(pieces, slab.sheet.thickness.0)
            })
            .sum();
        let old: f64 = slabs()
            .filter(|slab| slab.material == foam.material && !slab.sheet.leftover.is_empty())
            .map(|slab| {
                cubic_feet(
                    flat(slab.sheet.length.0, slab.sheet.width.0),
                    slab.sheet.thickness.0,
                )
            })
            .sum();
        let kept = kept(stock, &foam.material);
        let checks = [
            ("billets", foam.billets_cu_ft, all),
            ("leftover slabs", foam.slabs_cu_ft, old),
            ("what is kept", foam.kept_cu_ft, kept),
            ("panels", foam.panels_cu_ft, panels),
            ("offcuts of blanks", foam.blank_offcuts_cu_ft, offcuts),
            ("grindings", foam.grindings_cu_ft, blanks - offcuts - panels),
            ("cores", blanks, cut),
            (
                "wire and rests",
                foam.wire_cu_ft + foam.rests_cu_ft,
                all + old - cut - kept,
            ),
        ];
        for (what, listed, counted) in checks {
            say(
                (listed - counted).abs() <= VOLUME && listed >= -VOLUME,
                &|| {
                    format!(
                        "{}: {what} are listed as {listed} cu ft and come to {counted}",
                        foam.material
                    )
                },
            );
        }
    }
}

/// Cubic feet kept of slabs and billets.
fn kept(stock: &StockFile, material: &str) -> f64 {
    let slabs = stock.slabs.iter().filter(|it| it.material == material);
    let slabs = slabs.flat_map(|slab| {
        let kept = slab.sheet.offcuts.iter().filter(|it| it.kept);
        kept.map(|it| cubic_feet(area(&it.rect()), slab.sheet.thickness.0))
    });
    let billets = stock.billets.iter();
    let billets = billets.filter(|it| it.material == material && it.kept.is_some());
    let billets = billets.map(|it| cubic_feet(flat(it.length.0, it.width.0), it.left()));
    slabs.chain(billets).sum()
}

fn flat(length: Length, width: Length) -> i128 {
    area(&ShopRect::new(Length::ZERO, Length::ZERO, length, width))
}
