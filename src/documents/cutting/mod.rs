//! Cutting sheets: blanks, boards, slabs, billets and lumber, each as it comes apart.
//!
//! ```text
//!   ┌──────────┬──────────┬─┐     what lies where, with mark and turn; cuts by number; offcuts by name
//!   │ W101   ► │ W102   ► │▒│     ordinates from the datum corner ◣ at the lower left
//!   ◣──────────┴──────────┴─┘     pieces, cuts, offcuts as lists; what no plan can go below
//! ```
//!
//! Numbers `Z-701`… run on. Equal blanks, boards, slabs and bars share a drawing and are named beside it.

mod bars;
mod billets;
mod blank;
mod blank_view;
mod cards;
mod fill;
mod small;

use super::paper::frame::Paper;
use super::paper::scale::{Scale, scales};
use super::paper::strip::{HoldBox, Strip, TitleBlock};
use super::paper::style::Ink;
use super::paper::table::{Column, Table};
use super::paper::{Area, Canvas, Group, Lettered, Sheet, Spot, spot};
use super::{Revision, TitleFacts};
use crate::fabrication::Fabrication;
use crate::rules::PlantRules;
use crate::stock::{StockPlan, Tally};
use crate::units::runs;

/// What can hurt people or spoil work where panels are sawn from blanks. Common practice, no source.
const AT_THE_SAW: &[&str] = &[
    "A mirrored panel is scrap: the face named here lies up. Never over-cut the corner of an opening.",
    "Lift by two people or a machine. Guards stay on the saw.",
    "Draw off foam dust. No flame near foam.",
];
/// Where skins are sawn from boards.
const AT_THE_BOARDS: &[&str] = &[
    "The strength axis runs along the board: a skin cut across it is scrap.",
    "Lift by two people or a machine. Guards stay on the saw; draw off its dust.",
];
/// Where foam is cut by wire.
const AT_THE_WIRE: &[&str] = &[
    "The wire is hot and under tension: switch it off before reaching in.",
    "Draw off wire fumes and foam dust. No flame near foam.",
    "Foam burns: scraps leave at the end of each shift; what is kept is shelved away from wire and flame.",
];
/// Where lumber is cut.
const AT_THE_LUMBER: &[&str] = &[
    "Guards stay on the saw; draw off its dust. Long bars rest on both sides of the cut.",
    "Cut no member of another grade or section in place of the one named here.",
];

/// What cutting sheets are drawn from.
#[derive(Clone, Copy, Debug)]
pub(super) struct CuttingInput<'a> {
    /// Panels.
    pub(super) fabrication: &'a Fabrication,
    /// What is cut from what.
    pub(super) stock: &'a StockPlan,
    /// The plant's rules.
    pub(super) rules: &'a PlantRules,
    /// Title block.
    pub(super) facts: &'a TitleFacts,
}

impl CuttingInput<'_> {
    /// The paper of cutting sheets.
    fn paper(&self) -> Paper {
        Paper::of_shop(&self.facts.sheets)
    }

    /// The scales they are drawn at, largest first.
    fn scales(&self) -> &'static [Scale] {
        scales(self.facts.sheets.scales)
    }
}

/// A sheet before it has its number and frame.
struct Page {
    /// Ending of the file name: `B01`, `boards`.
    name: String,
    title: String,
    subtitle: String,
    scale: &'static str,
    layers: Vec<Group>,
    /// A table at the head of the strip, under its heading.
    facts: (String, Table),
    /// What no plan can go below, as sentences.
    bounds: Vec<String>,
    /// How the sheet is read.
    notes: Vec<String>,
    /// What can hurt people at this station.
    cautions: &'static [&'static str],
}

/// All cutting sheets.
pub(super) fn cutting_sheets(input: &CuttingInput<'_>) -> Vec<Sheet> {
    let mut pages = blank::pages(input);
    pages.extend(cards::pages(input));
    pages.extend(billets::pages(input));
    pages.extend(bars::pages(input));
    pages
        .into_iter()
        .zip(1_usize..)
        .map(|(page, number)| sheet(input, page, &format!("Z-7{number:02}")))
        .collect()
}

fn sheet(input: &CuttingInput<'_>, page: Page, number: &str) -> Sheet {
    let mut frame = Canvas::new();
    let paper = input.paper();
    paper.draw_frame(&mut frame);
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&paper);
    strip.title_block(
        &mut canvas,
        &TitleBlock {
            facts: input.facts,
            title: page.title.to_uppercase(),
            subtitle: page.subtitle,
            scale: page.scale.to_owned(),
            number: number.to_owned(),
            revisions: Revision::issued(input.facts),
            hold: HoldBox::Released,
        },
    );
    let (heading, table) = &page.facts;
    strip.heading(&mut canvas, heading, "");
    strip.table(&mut canvas, table);
    strip.heading(&mut canvas, "CAUTIONS", "");
    let cautions: Vec<String> = page.cautions.iter().map(|it| (*it).to_owned()).collect();
    strip.numbered(&mut canvas, &cautions);
    strip.rule(&mut canvas);
    strip.heading(&mut canvas, "NOTES", "");
    strip.numbered(&mut canvas, &page.notes);
    strip.rule(&mut canvas);
    if !page.bounds.is_empty() {
        strip.heading(&mut canvas, "LEAST STOCK THAT COULD DO", "");
        strip.prose(&mut canvas, &page.bounds);
        strip.rule(&mut canvas);
    }
    let mut layers = page.layers;
    layers.push(frame.into_group("frame", "Frame"));
    layers.push(canvas.into_group("strip", "Strip"));
    Sheet {
        name: format!("{number}-{}", page.name),
        title: format!("{number} {}", page.title),
        number: number.to_owned(),
        description: "What is cut from what: pieces, cuts and offcuts, from the datum corner."
            .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: Vec::new(),
        layers,
    }
}

/// Beyond so many tallies those that are proven share one sentence.
const SENTENCES: usize = 3;

/// What the tallies of some kinds come to, as sentences.
fn bounds(stock: &StockPlan, kinds: &[&str]) -> Vec<String> {
    let tallies = stock.tallies.iter();
    let tallies: Vec<&Tally> = tallies.filter(|it| kinds.contains(&it.kind)).collect();
    let is_short = |it: &Tally| tallies.len() > SENTENCES && it.is_proven;
    let (short, long): (Vec<&Tally>, Vec<&Tally>) = tallies.iter().partition(|it| is_short(it));
    let named: Vec<String> = short
        .iter()
        .map(|it| format!("{} ({})", it.what, it.count))
        .collect();
    let mut sentences: Vec<String> = long
        .iter()
        .map(|it| format!("{}: {}.", it.what, it.sentence))
        .collect();
    if let Some(first) = short.first() {
        let scope = first.scope;
        sentences.push(format!(
            "{}: none of these sizes can do with less ({scope}).",
            named.join(", ")
        ));
    }
    sentences
}

/// What stock of some kinds comes to: taken, cut from it, kept, wasted.
fn waste(input: &CuttingInput<'_>, kinds: &[&str]) -> Table {
    let stock = input.stock;
    let book = input.rules.cost.book.as_ref();
    let sign = book.map_or("$", |book| book.currency.as_str());
    let rows = stock.tallies.iter().filter(|it| kinds.contains(&it.kind));
    let rows = rows.map(|it| {
        let part = if it.used > 0.0 {
            100.0 * it.waste() / it.used
        } else {
            0.0
        };
        let cost = it.waste_cents.map_or_else(String::new, |cents| {
            let cents = cents.max(0);
            format!("{}.{:02}", cents / 100, cents % 100)
        });
        vec![
            it.what.clone(),
            whole(it.used),
            whole(it.cut),
            whole(it.kept),
            whole(it.waste()),
            format!("{} %", whole(part)),
            whole(it.waste_lb),
            cost,
        ]
    });
    let mut rows: Vec<Vec<String>> = rows.collect();
    let has_cost = rows
        .iter()
        .any(|row| row.last().is_some_and(|it| !it.is_empty()));
    let mut columns = vec![
        Column::wrapping("Stock"),
        Column::numbers("Used"),
        Column::numbers("Cut"),
        Column::numbers("Kept"),
        Column::numbers("Waste").bold(),
        Column::numbers(""),
        Column::numbers("lb"),
        Column::numbers(sign),
    ];
    if !has_cost {
        columns.pop();
        for row in &mut rows {
            row.pop();
        }
    }
    Table {
        columns,
        rows,
        total: None,
        has_heads: true,
    }
}

/// To whole units, without a zero that is negative.
fn whole(value: f64) -> String {
    let rounded = value.round();
    format!("{:.0}", if rounded == 0.0 { 0.0 } else { rounded })
}

/// The unit in which stock of a kind is counted.
fn unit(stock: &StockPlan, kind: &str) -> &'static str {
    let tally = stock.tallies.iter().find(|it| it.kind == kind);
    tally.map_or("", |it| it.unit)
}

/// The numbers of cuts on their lines, clear of every text and of each other's lines; the list has one for which there is
/// no room.
fn cut_numbers(
    canvas: &mut Canvas,
    cap: f64,
    cuts: &[(usize, [Spot; 2], Ink)],
    taken: &mut Vec<Area>,
) {
    for &(number, own, ink) in cuts {
        let straight = |[a, b]: &[Spot; 2]| (a.x - b.x).abs() < 1e-6 || (a.y - b.y).abs() < 1e-6;
        let others = cuts.iter().map(|(_, ends, _)| ends);
        let others = others.filter(|ends| **ends != own && straight(ends));
        let lines = others.map(|[a, b]| Area::of(*a, *b).grown(0.3));
        let mut blocked: Vec<Area> = lines.collect();
        blocked.extend(taken.iter());
        let lettered = Lettered::cap(cap).ink(ink);
        taken.extend(cut_number(canvas, lettered, number, own, &blocked));
    }
}

/// The number of a cut where nothing blocks it; where it stands.
fn cut_number(
    canvas: &mut Canvas,
    lettered: Lettered,
    number: usize,
    [from, to]: [Spot; 2],
    blocked: &[Area],
) -> Option<Area> {
    let words = number.to_string();
    let lettered = lettered.bold().middle().masked();
    let half = spot(lettered.width(&words) / 2.0 + 1.0, lettered.cap / 2.0 + 1.0);
    for part in [0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.28, 0.72, 0.1, 0.9] {
        let at = from + (to - from) * part;
        let area = Area::of(at - half, at + half);
        if !blocked.iter().any(|it| it.meets(&area)) {
            canvas.text_centred(at, words, lettered);
            return Some(area);
        }
    }
    None
}

/// Names of stock that comes apart alike: three or more that follow each other by the first and the last.
fn of_stock(names: &[&str]) -> String {
    let told = runs(names).flat_map(|run| match run {
        [first, _, .., last] => vec![format!("{first} to {last}")],
        short => short.iter().map(|it| (*it).to_owned()).collect(),
    });
    let told: Vec<String> = told.collect();
    named(&told.iter().map(String::as_str).collect::<Vec<_>>())
}

/// So many letters of names stand in a strip at most: three lines of it.
const LISTED: usize = 90;

/// Names for a place that holds no list: all of them, or how many there are and where they stand.
fn shortened(names: &[&str], elsewhere: &str) -> String {
    let words = of_stock(names);
    if words.len() <= LISTED {
        words
    } else {
        format!("{}, {elsewhere}", names.len())
    }
}

/// Longest list of blanks in a title, in letters: what fits one line of the title block.
const TITLE: usize = 24;

/// What a sheet with these blanks is called: all of them where there is room, else the first and how many; the sheet lists them.
/// Without commas, for an index takes what follows one for the building.
fn blanks_title(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => format!("Blank {one}"),
        [first, more @ ..] => match of_stock(names) {
            words if words.len() <= TITLE && !words.contains(',') => format!("Blanks {words}"),
            _ if names.join(" + ").len() <= TITLE => format!("Blanks {}", names.join(" + ")),
            _ => format!("Blank {first} + {} others", more.len()),
        },
    }
}

/// `B01`, or `B01, B04 and B07`.
fn named(names: &[&str]) -> String {
    match names.split_last() {
        None => String::new(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stock_that_follows_is_named_by_its_ends_and_other_stock_one_by_one() {
        assert_eq!(of_stock(&["H01", "H02", "H03"]), "H01 to H03");
        assert_eq!(of_stock(&["H01", "H03", "H04"]), "H01, H03 and H04");
        assert_eq!(of_stock(&["H01", "H02"]), "H01 and H02");
        assert_eq!(of_stock(&["H99", "H100", "H101"]), "H99 to H101");
        assert_eq!(
            of_stock(&["H01", "H02", "H03", "H05", "S06", "S07", "S08"]),
            "H01 to H03, H05 and S06 to S08"
        );
        let odd: Vec<String> = (0..60).map(|it| format!("B{}", 2 * it + 1)).collect();
        let odd: Vec<&str> = odd.iter().map(String::as_str).collect();
        assert_eq!(shortened(&odd, "listed beside"), "60, listed beside");
        assert_eq!(shortened(&odd[..2], "listed beside"), "B1 and B3");
        assert_eq!(blanks_title(&["B01"]), "Blank B01");
        assert_eq!(blanks_title(&["B01", "B02"]), "Blanks B01 and B02");
        assert_eq!(blanks_title(&["B05", "B06", "B07"]), "Blanks B05 to B07");
        assert_eq!(
            blanks_title(&["B05", "B06", "B09"]),
            "Blanks B05 + B06 + B09"
        );
        assert_eq!(
            blanks_title(&["B01", "B03", "B05", "B07", "B09"]),
            "Blank B01 + 4 others"
        );
    }
}
