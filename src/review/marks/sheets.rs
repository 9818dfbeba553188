//! The sheets of a package as issued, and which of them a file that came back is.

use super::drawn::{Drawing, DrawnForm, around};
use super::matching::{Differences, differences, fit_by_words, quarters_by_words, share};
use super::reader::read_svg;
use crate::documents::paper::{Area, Spot, spot};
use std::collections::BTreeMap;

/// A sheet of which less came back is not that sheet.
const LEAST_SHARE: f64 = 0.3;
/// The sheet found by geometry alone must be better than any other by this share.
const MARGIN: f64 = 0.1;

/// A sheet as issued.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct IssuedSheet {
    /// File name without folder and ending: `Z-4101-W101`.
    pub(super) name: String,
    /// What stands on it.
    pub(super) drawing: Drawing,
    /// Where panels, openings and walls are shown.
    pub(super) places: Vec<ShownPlace>,
}

/// Something of the building on a sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct ShownPlace {
    /// Panel it is, or stands in.
    pub(super) panel: Option<String>,
    /// Opening it is.
    pub(super) opening: Option<String>,
    /// Wall it is, or stands in.
    pub(super) wall: Option<String>,
    /// Where.
    pub(super) area: Area,
}

impl IssuedSheet {
    fn read(name: &str, bytes: &[u8]) -> Option<Self> {
        // A sheet of a package that cannot be read is not a sheet any more.
        let drawing = read_svg(bytes).ok()?;
        Some(Self {
            name: name.to_owned(),
            places: shown(&drawing),
            drawing,
        })
    }

    /// A fact of the whole sheet.
    pub(super) fn fact(&self, name: &str) -> Option<&str> {
        let value = self.drawing.data.get(name)?;
        Some(value.as_str()).filter(|value| !value.is_empty())
    }
}

/// Every group that names a panel, an opening or a wall, with the box of what stands in it.
fn shown(drawing: &Drawing) -> Vec<ShownPlace> {
    let mut places = Vec::new();
    for (index, group) in drawing.groups.iter().enumerate() {
        // Of several that are cut alike the first stands for all.
        let own = |name: &str| {
            let words = group.data.get(name)?.split(' ').next()?;
            (!words.is_empty()).then(|| words.to_owned())
        };
        let (panel, opening, wall) = (own("panel"), own("opening"), own("wall"));
        if panel.is_none() && opening.is_none() && wall.is_none() {
            continue;
        }
        let inside = drawing.items.iter().filter(|it| it.groups.contains(&index));
        if let Some(area) = around(inside) {
            places.push(ShownPlace {
                panel,
                opening,
                wall,
                area,
            });
        }
    }
    places
}

/// The sheets of a package, read when they are asked for.
pub(super) struct Sheets<'a> {
    files: BTreeMap<&'a str, &'a [u8]>,
    read: BTreeMap<&'a str, Option<IssuedSheet>>,
}

/// A file that came back, laid over its sheet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laid {
    /// Name of the sheet.
    pub(super) sheet: String,
    /// The file in the sheet's millimetres.
    pub(super) marked: Drawing,
    /// What differs.
    pub(super) differences: Differences,
}

/// Why a file was laid over no sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoSheet {
    /// It names another package: its id.
    OtherPackage(String),
    /// It names a sheet of this package whose file is not there: the sheet's number.
    Gone(String),
    /// No sheet of the package looks like it.
    Unknown,
}

impl<'a> Sheets<'a> {
    /// Every sheet of a package by the name of its file.
    pub(super) fn of(files: &'a BTreeMap<String, Vec<u8>>) -> Self {
        let sheets = files.iter().filter_map(|(path, bytes)| {
            let stem = path.strip_suffix(".svg")?;
            let name = stem.strip_prefix("sheets/").unwrap_or(stem);
            (!name.contains('/')).then_some((name, bytes.as_slice()))
        });
        Self {
            files: sheets.collect(),
            read: BTreeMap::new(),
        }
    }

    /// A sheet by its name.
    pub(super) fn get(&mut self, name: &str) -> Option<&IssuedSheet> {
        let (name, bytes) = self.files.get_key_value(name).map(|(a, b)| (*a, *b))?;
        self.read
            .entry(name)
            .or_insert_with(|| IssuedSheet::read(name, bytes))
            .as_ref()
    }

    /// The name of the sheet of a number, `Z-4101`.
    pub(super) fn named(&mut self, number: &str) -> Option<String> {
        let names: Vec<&str> = self.files.keys().copied().collect();
        let by_name = names.iter().find(|name| {
            let rest = name.strip_prefix(number);
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
        });
        // The trace is a file of another name than its number.
        let found = by_name.copied().or_else(|| {
            let mut others = names.iter().filter(|name| !name.starts_with("Z-"));
            others
                .find(|name| {
                    let sheet = self.get(name);
                    sheet.and_then(|it| it.fact("sheet")) == Some(number)
                })
                .copied()
        });
        found.map(str::to_owned)
    }

    /// True when a sheet here bears the id of a package.
    fn has_any_of(&mut self, package: &str) -> bool {
        let names: Vec<&str> = self.files.keys().copied().collect();
        names.into_iter().any(|name| {
            let sheet = self.get(name);
            sheet.and_then(|it| it.fact("package")) == Some(package)
        })
    }

    /// Finds the sheet of a file: by its root, by its small print, by geometry.
    pub(super) fn lay(&mut self, marked: &Drawing) -> Result<Laid, NoSheet> {
        let stated = stated(marked);
        if let Some((package, number)) = &stated {
            let named = self.named(number);
            let is_there = named.is_some();
            if let Some(name) = named {
                let own = self.get(&name).and_then(|it| it.fact("package"));
                if package.is_empty() || own == Some(package.as_str()) {
                    let laid = self.get(&name).map(|sheet| laid_over(sheet, marked));
                    // What says it is a sheet and has nothing of it is a drawing of its own with the sheet's facts: marks alone.
                    return laid.ok_or(NoSheet::Unknown);
                }
            }
            if !package.is_empty() {
                return Err(if !is_there && self.has_any_of(package) {
                    NoSheet::Gone(number.clone())
                } else {
                    NoSheet::OtherPackage(package.clone())
                });
            }
        }
        let names: Vec<&str> = self.files.keys().copied().collect();
        let mut scored: Vec<(f64, Laid)> = Vec::new();
        for name in names {
            let Some(sheet) = self.get(name) else {
                continue;
            };
            let laid = laid_over(sheet, marked);
            scored.push((
                share(laid.differences.n_same, sheet.drawing.items.len()),
                laid,
            ));
        }
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        let second = scored.get(1).map_or(0.0, |it| it.0);
        match scored.into_iter().next() {
            Some((best, laid)) if best >= LEAST_SHARE && best >= second + MARGIN => Ok(laid),
            _ => Err(NoSheet::Unknown),
        }
    }
}

/// Package and number of the sheet as a file says them: in its root, in the group of marks, or in small print.
fn stated(marked: &Drawing) -> Option<(String, String)> {
    let groups = marked.groups.iter().filter(|group| group.id == "review");
    let of = |data: &BTreeMap<String, String>| {
        let number = data.get("sheet").filter(|it| !it.is_empty())?;
        Some((
            data.get("package").cloned().unwrap_or_default(),
            number.clone(),
        ))
    };
    of(&marked.data)
        .or_else(|| groups.map(|it| &it.data).find_map(of))
        .or_else(|| {
            marked
                .items
                .iter()
                .find_map(|item| small_print(item.words()))
        })
}

/// `ae4e2a45e24a Z-4102 rev 0`.
pub(super) fn small_print(words: &str) -> Option<(String, String)> {
    let parts: Vec<&str> = words.split_whitespace().collect();
    let [package, number, "rev", _] = parts[..] else {
        return None;
    };
    let is_package = package.len() == 12 && package.chars().all(|c| c.is_ascii_hexdigit());
    (is_package && number.starts_with("Z-")).then(|| (package.to_owned(), number.to_owned()))
}

/// So many things without ink are the lines of a sheet whose style sheet is lost.
const UNSEEN: usize = 20;

/// Lays a file over a sheet, turned back where an editor turned the page, and with its lines where it lost their inks.
fn laid_over(sheet: &IssuedSheet, marked: &Drawing) -> Laid {
    let as_it_is = laid_upright(sheet, marked);
    let quarters = quarters_by_words(&sheet.drawing, marked);
    let mut turned = marked.clone();
    for _ in 0..quarters {
        turned = turned.turned();
    }
    let mut ways = Vec::new();
    if marked.unseen.len() >= UNSEEN {
        ways.push(laid_upright(sheet, &turned.clone().with_unseen()));
    }
    if quarters > 0 {
        ways.push(laid_upright(sheet, &turned));
    }
    // Of ways as good the plainest.
    ways.into_iter().fold(as_it_is, |best, way| {
        if way.differences.n_same > best.differences.n_same {
            way
        } else {
            best
        }
    })
}

/// Lays a file over a sheet: as its page says, else by its words.
fn laid_upright(sheet: &IssuedSheet, marked: &Drawing) -> Laid {
    let size = sheet.drawing.size;
    let [w, h] = marked.size;
    let scale = if w > 0.0 && h > 0.0 && ((w / h) / (size[0] / size[1]) - 1.0).abs() < 0.01 {
        size[0] / w
    } else {
        1.0
    };
    let by_page = compared(sheet, marked, scale, spot(0.0, 0.0));
    if share(by_page.differences.n_same, sheet.drawing.items.len()) > 0.5 {
        return by_page;
    }
    match fit_by_words(&sheet.drawing, marked) {
        Some((scale, shift)) => {
            let by_words = compared(sheet, marked, scale, shift);
            if by_words.differences.n_same > by_page.differences.n_same {
                by_words
            } else {
                by_page
            }
        }
        None => by_page,
    }
}

fn compared(sheet: &IssuedSheet, marked: &Drawing, scale: f64, shift: Spot) -> Laid {
    let mut marked = marked.clone().placed(scale, shift, sheet.drawing.size);
    Laid {
        sheet: sheet.name.clone(),
        differences: differences(&sheet.drawing, &mut marked),
        marked,
    }
}

impl Laid {
    /// True when so little of the sheet came back that what is missing says nothing: only marks, or one layer, were saved.
    pub(super) fn is_part(&self, sheet: &IssuedSheet) -> bool {
        share(self.differences.n_same, sheet.drawing.items.len()) < 0.6
    }
}

/// True for a text that is a thing's only form.
pub(super) const fn is_text(form: &DrawnForm) -> bool {
    matches!(form, DrawnForm::Words(_))
}
