//! Panels onto blanks.
//!
//! ```text
//!   panels ─► groups: assembly, line, face up, and with chases in the core the lines they need ─► sheets ─► blanks
//! ```
//!
//! A blank made to length is as long as one of the panels cut from it. Chases made in the core run through the whole blank, so
//! panels share one only where their chases coincide: on a blank made to length panels of one length lie side by side from its
//! datum end, and only the lines across it must agree; on a blank of full length lines along it must agree too.

use super::apart::{Laid, Shop};
use super::foam::lintels;
use super::items::{Item, Lay, item, paired};
use super::kept::passes;
use super::leftovers::Leftovers;
use super::model::{Blank, BlankPanel, CutSheet};
use super::sheets::{Kind, Least, SheetAnswer, SheetProblem, Want, cut, weaker};
use super::{Models, Notes, codes};
use crate::fabrication::FabricatedPanel;
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect};
use crate::rules::{Assembly, ChaseMade, Face, LaminatingLine};
use crate::units::{Length, counted};
use std::collections::{BTreeMap, BTreeSet};

/// Panels that may share a blank.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Group {
    assembly: usize,
    line: usize,
    inner_up: bool,
    /// What must agree because of chases in the core.
    chases: Option<Lines>,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Lines {
    along: Length,
    crosswise: BTreeSet<Length>,
    /// Across the blank, and lines along it; `None` where panels lie side by side only.
    lengthwise: Option<(Length, BTreeSet<Length>)>,
}

/// Blanks of one assembly and line, and what no plan can go below.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct BlankCount {
    pub(super) assembly: usize,
    pub(super) line: usize,
    pub(super) count: usize,
    pub(super) bound: usize,
    /// Square inches.
    pub(super) area: f64,
    /// New stock, square inches.
    pub(super) new_area: f64,
    pub(super) bound_area: f64,
    /// True where leftovers were on hand: then the bound is of new stock beside them.
    pub(super) has_leftovers: bool,
    pub(super) scope: &'static str,
    /// How many groups of panels share blanks among themselves only.
    pub(super) groups: usize,
}

/// Lays all panels that may be cut onto blanks.
pub(super) fn plan_blanks(
    models: &Models<'_>,
    leftovers: &Leftovers,
    notes: &mut Notes,
) -> (Vec<Blank>, Vec<BlankCount>) {
    let mut groups: BTreeMap<Group, Vec<Item>> = BTreeMap::new();
    for (index, panel) in models.fabrication.panels.iter().enumerate() {
        if panel.is_held() {
            continue;
        }
        let laid = models.layout.panels.get(panel.panel);
        let laid = laid.and_then(|it| {
            let line = models.rules.lines.get(it.line)?;
            Some((it.line, item(index, panel, line, it.is_axis_level)?))
        });
        match laid {
            Some((line, item)) => {
                let group = group(models, panel, line, &item);
                groups.entry(group).or_default().push(item);
            }
            None => {
                notes.unplaced.push(panel.mark.clone());
                notes.findings.push(Finding::doubt(
                    codes::FITS_NO_STOCK,
                    Place::panel(&panel.mark),
                    "no line is known that makes its blank",
                    "add a line that makes such panels (lines)",
                ));
            }
        }
    }
    let mut blanks = Vec::new();
    let mut counts: BTreeMap<(usize, usize), BlankCount> = BTreeMap::new();
    let mut parted: BTreeMap<Group, (usize, Vec<Item>)> = BTreeMap::new();
    for (group, mut items) in groups {
        if group.chases.is_some() {
            let free = Group {
                chases: None,
                ..group.clone()
            };
            let (n_groups, all) = parted.entry(free).or_default();
            *n_groups += 1;
            all.extend(items.iter().cloned());
        }
        items.sort_by_key(|item| (item.erection, item.panel));
        plan_group(
            models,
            leftovers,
            (&group, &items),
            (&mut blanks, &mut counts),
            notes,
        );
    }
    report_parted(models, parted, &counts, notes);
    blanks.sort_by_key(|blank| {
        let first = blank.panels.iter().map(|panel| erection(models, panel));
        (blank.assembly, blank.line, first.min())
    });
    for (number, blank) in blanks.iter_mut().enumerate() {
        super::sheets::name_sheet(&mut blank.sheet, &format!("B{:02}", number + 1));
    }
    (blanks, counts.into_values().collect())
}

fn erection(models: &Models<'_>, panel: &BlankPanel) -> u32 {
    let panels = &models.fabrication.panels;
    panels
        .get(panel.panel)
        .map_or(u32::MAX, |it| it.erection.number)
}

fn group(models: &Models<'_>, panel: &FabricatedPanel, line: usize, item: &Item) -> Group {
    let to_length = models
        .rules
        .lines
        .get(line)
        .is_some_and(|it| it.made_to_length);
    let chases = (models.rules.chases.made == ChaseMade::Core).then(|| Lines {
        along: item.along(),
        crosswise: item.crosswise.clone(),
        lengthwise: (!to_length).then(|| (item.across(), item.lengthwise.clone())),
    });
    Group {
        assembly: panel.assembly,
        line,
        inner_up: item.on.mirror.is_some(),
        chases,
    }
}

fn plan_group(
    models: &Models<'_>,
    leftovers: &Leftovers,
    (group, items): (&Group, &[Item]),
    (blanks, counts): (&mut Vec<Blank>, &mut BTreeMap<(usize, usize), BlankCount>),
    notes: &mut Notes,
) {
    let (Some(line), Some(assembly)) = (
        models.rules.lines.get(group.line),
        models.rules.assemblies.get(group.assembly),
    ) else {
        return;
    };
    let has_chases = group.chases.is_some()
        && items
            .iter()
            .any(|it| !it.crosswise.is_empty() || !it.lengthwise.is_empty());
    // A laminated leftover has no chases in its core.
    let old: Vec<Kind> = if has_chases {
        Vec::new()
    } else {
        leftovers.blanks(&assembly.name).collect()
    };
    // What carries over an opening is cut from no leftover whose core may have a joint there.
    let carries = |item: &Item| {
        let panel = models.fabrication.panels.get(item.panel);
        panel.is_some_and(|it| lintels(it).iter().any(|(_, is_lintel)| *is_lintel))
    };
    let is_unsure = |name: &str| !name.is_empty() && !leftovers.is_whole(name);
    let solve_with = |lays: Vec<Lay>, old: &[Kind]| {
        let mut kinds = kinds(line, &lays);
        kinds.extend(old.iter().cloned());
        let wants: Vec<Want> = lays.iter().map(|lay| lay.want(models)).collect();
        let answer = cut(&problem(models, group, &kinds, &wants));
        (lays, wants, answer)
    };
    let solve = |lays: Vec<Lay>| {
        let (lays, wants, answer) = solve_with(lays, &old);
        let unsure = answer.sheets.iter().zip(&answer.wants).any(|(sheet, own)| {
            let placed = own.iter().filter_map(|index| lays.get(*index));
            is_unsure(&sheet.leftover) && placed.flat_map(Lay::items).any(carries)
        });
        if !unsure {
            return (lays, wants, answer);
        }
        let whole = old
            .iter()
            .filter(|it| !is_unsure(it.leftover.as_deref().unwrap_or("")));
        let whole: Vec<Kind> = whole.cloned().collect();
        solve_with(lays, &whole)
    };
    let (mut lays, mut wants, mut answer) = solve(items.iter().cloned().map(Lay::One).collect());
    if !has_chases {
        // Chases in the core would not coincide with those of a half-turned panel.
        let trims = line.trim * 2;
        let nosed = paired(models, items, (line.length - trims, line.width - trims));
        if nosed.len() < items.len() {
            // A bound on rectangles says nothing about trapezoids: their own area does.
            let net = items
                .iter()
                .filter_map(|it| models.fabrication.panels.get(it.panel));
            let net: f64 = net.map(|it| it.outer_skin.outline.square_inches()).sum();
            let free = old
                .iter()
                .map(|it| it.length.to_inches() * it.width.to_inches());
            let net = (net - free.sum::<f64>()).max(0.0);
            let bound = least_sheets(net, &kinds(line, &nosed));
            let (nosed, names, other) = solve(nosed);
            if other.unfit.is_empty() && other.area() <= answer.area() {
                (lays, wants, answer) = (nosed, names, other);
            }
            answer.bound = answer.bound.min(bound);
            answer.bound_area = answer.bound_area.min(net);
            answer.scope = "any cutting";
        }
    }
    for index in &answer.unfit {
        let mark = wants.get(*index).map_or("", |want| want.name.as_str());
        notes.unplaced.push(mark.to_owned());
        notes.findings.push(Finding::doubt(
            codes::FITS_NO_STOCK,
            Place::panel(mark),
            format!(
                "it fits no blank of the {} line with the trim taken off",
                line.name
            ),
            "lower its trim, or add a line that makes such panels (lines)",
        ));
    }
    let count = counts
        .entry((group.assembly, group.line))
        .or_insert_with(|| BlankCount {
            assembly: group.assembly,
            line: group.line,
            scope: answer.scope,
            ..BlankCount::default()
        });
    count.scope = weaker(count.scope, answer.scope);
    count.bound += answer.bound;
    count.bound_area += answer.bound_area;
    count.groups += 1;
    count.has_leftovers |= answer.has_leftovers;
    let cut_new = |lays: &[Lay]| {
        let wants: Vec<Want> = lays.iter().map(|lay| lay.want(models)).collect();
        laid(
            cut(&problem(models, group, &kinds(line, lays), &wants)),
            lays,
        )
    };
    let shop = Shop {
        models,
        cut: &cut_new,
        blank: &|it| blank(models, group, it),
    };
    for together in laid(answer, &lays) {
        // Where panels lie in pairs there are no chases.
        let coincides = !has_chases || {
            let placed: Vec<&Item> = together.items().collect();
            chases_coincide(&placed, &together.rects())
        };
        let parted = if coincides {
            vec![together]
        } else {
            shop.each_alone(&together)
        };
        let parted = parted.into_iter();
        for one in parted.flat_map(|it| shop.for_lintels(it, has_chases)) {
            let blank = blank(models, group, &one);
            count.count += 1;
            count.area += blank.sheet.square_inches();
            if blank.sheet.leftover.is_empty() {
                count.new_area += blank.sheet.square_inches();
            }
            blanks.push(blank);
        }
    }
}

/// Sheets of an answer with what lies on each.
fn laid(answer: SheetAnswer, lays: &[Lay]) -> Vec<Laid> {
    let sheets = answer.sheets.into_iter().zip(answer.wants);
    let laid = sheets.map(|(sheet, wants)| Laid {
        sheet,
        lays: wants
            .iter()
            .filter_map(|it| lays.get(*it).cloned())
            .collect(),
    });
    laid.collect()
}

/// Panels of a group onto blanks.
fn problem<'a>(
    models: &Models<'_>,
    group: &Group,
    kinds: &'a [Kind],
    wants: &'a [Want],
) -> SheetProblem<'a> {
    let stock = &models.rules.stock;
    let assembly = models.rules.assemblies.get(group.assembly);
    let line = models.rules.lines.get(group.line);
    SheetProblem {
        what: assembly.map_or_else(String::new, |it| it.name.clone()),
        thickness: assembly.map_or(Length::ZERO, Assembly::thickness),
        kinds,
        wants,
        trim: line.map_or(Length::ZERO, |it| it.trim),
        kerf: stock.kerf,
        window: (stock.batch > 0).then_some(stock.batch_window),
        effort: stock.effort,
        least: Least {
            width: stock.least_width,
            length: stock.least_length,
        },
    }
}

/// Says what it costs that chases in the core part panels that could share a blank otherwise.
fn report_parted(
    models: &Models<'_>,
    parted: BTreeMap<Group, (usize, Vec<Item>)>,
    counts: &BTreeMap<(usize, usize), BlankCount>,
    notes: &mut Notes,
) {
    for (group, (n_groups, items)) in parted {
        let count = counts.get(&(group.assembly, group.line));
        let (Some(line), Some(count)) = (models.rules.lines.get(group.line), count) else {
            continue;
        };
        if n_groups < 2 {
            continue;
        }
        let lays: Vec<Lay> = items.into_iter().map(Lay::One).collect();
        let wants: Vec<Want> = lays.iter().map(|lay| lay.want(models)).collect();
        let kinds = kinds(line, &lays);
        let together = cut(&problem(models, &group, &kinds, &wants));
        let area: f64 = together.sheets.iter().map(CutSheet::square_inches).sum();
        if area >= count.area {
            continue;
        }
        notes.findings.push(Finding::note(
            codes::CHASES_PART_BLANKS,
            Place::default(),
            format!(
                "{} line: chases made in the core keep panels apart: {}, {:.0} sq ft, instead of {}, {:.0} sq ft",
                line.name,
                counted(count.count, "blank"),
                count.area / 144.0,
                together.sheets.len(),
                area / 144.0
            ),
            "nothing, or make chases in the panel (chases.made)",
        ));
    }
}

/// New stock of a line: of full length, or as long as each of the panels.
fn kinds(line: &LaminatingLine, lays: &[Lay]) -> Vec<Kind> {
    if !line.made_to_length {
        return vec![Kind::new(line.length, line.width)];
    }
    let lengths: BTreeSet<Length> = lays.iter().map(Lay::along).collect();
    lengths
        .into_iter()
        .map(|along| Kind::new(along + line.trim * 2, line.width))
        .collect()
}

/// The least number of sheets whose area holds so many square inches.
fn least_sheets(net: f64, kinds: &[Kind]) -> usize {
    let areas = kinds
        .iter()
        .map(|kind| kind.length.to_inches() * kind.width.to_inches());
    let largest = areas.fold(0.0, f64::max);
    // A hair less, so that rounding never proves one sheet too many.
    let mut rest = net * (1.0 - 1e-9);
    let mut sheets = 0;
    while largest > 0.0 && rest > 0.0 {
        rest -= largest;
        sheets += 1;
    }
    sheets
}

/// True when every line that runs through the blank is wanted by every panel it crosses.
fn chases_coincide(items: &[&Item], rects: &[ShopRect]) -> bool {
    let placed = || items.iter().zip(rects);
    let crosswise: BTreeSet<Length> = placed()
        .flat_map(|(item, rect)| item.crosswise.iter().map(move |x| rect.x0 + *x))
        .collect();
    let lengthwise: BTreeSet<Length> = placed()
        .flat_map(|(item, rect)| item.lengthwise.iter().map(move |y| rect.y0 + *y))
        .collect();
    placed().all(|(item, rect)| {
        let across = crosswise.range(rect.x0..=rect.x1);
        let along = lengthwise.range(rect.y0..=rect.y1);
        across
            .map(|x| *x - rect.x0)
            .all(|x| item.crosswise.contains(&x))
            && along
                .map(|y| *y - rect.y0)
                .all(|y| item.lengthwise.contains(&y))
    })
}

fn blank(models: &Models<'_>, group: &Group, laid: &Laid) -> Blank {
    let mut sheet = laid.sheet.clone();
    let pieces = || laid.lays.iter().zip(&laid.sheet.pieces);
    let panels: Vec<BlankPanel> = pieces()
        .flat_map(|(lay, piece)| lay.placed(models, &piece.rect))
        .collect();
    let mut chases = BTreeSet::new();
    if models.rules.chases.made == ChaseMade::Core {
        let items = pieces().flat_map(|(lay, piece)| lay.items().map(move |it| (it, piece)));
        for (item, piece) in items {
            let across = item.crosswise.iter().map(|x| piece.rect.x0 + *x);
            chases.extend(across.map(|x| {
                [
                    ShopPoint::new(x, Length::ZERO),
                    ShopPoint::new(x, sheet.width),
                ]
            }));
            let along = item.lengthwise.iter().map(|y| piece.rect.y0 + *y);
            chases.extend(along.map(|y| {
                [
                    ShopPoint::new(Length::ZERO, y),
                    ShopPoint::new(sheet.length, y),
                ]
            }));
        }
    }
    let half = models.rules.chases.diameter.half();
    for offcut in &mut sheet.offcuts {
        // A chase through it would come out anywhere in another job's panel.
        let wide = offcut.rect.grown(half);
        offcut.is_kept &= !chases.iter().any(|line| passes(line, &wide));
    }
    Blank {
        sheet,
        assembly: group.assembly,
        line: group.line,
        face_up: if group.inner_up {
            Face::Inner
        } else {
            Face::Outer
        },
        panels,
        chases: chases.into_iter().collect(),
        core_joints: Vec::new(),
    }
}
