//! The strip of a trace: questions with boxes for answers, units, dimensions, a legend that counts, layers, openings.

use super::dimension_checks::{ChainCheck, DimensionCheck, Verdict};
use super::facts::{Gap, Question, opening_rows, unused_layers};
use super::legend::draw_legend;
use super::sheet::TraceInput;
use crate::documents::Revision;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Ink, LARGE_SHEET, Pen};
use crate::documents::paper::symbol::{conflict, diamond, tick_box};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Group, Lettered, number, spot};
use crate::documents::plan_view::{draw_table, short_list};
use crate::drawing::{Drawing, DrawingUnit};
use crate::plan::Storey;
use crate::units::counted;

/// Share of the strip's free height that questions in full may take before they are set close.
const QUESTIONS_SHARE: f64 = 0.5;
/// The same on a small sheet, whose legend takes more of the height.
const QUESTIONS_SHARE_SMALL: f64 = 0.25;

/// What the strip tells.
pub(super) struct StripFacts<'a> {
    /// The sheet's input.
    pub(super) input: &'a TraceInput<'a>,
    /// Questions by number.
    pub(super) questions: &'a [Question],
    /// For each question the part of the sheet to look at; `None` when it is about the drawing as a whole.
    pub(super) zooms: &'a [Option<Area>],
    /// Gaps of the outline.
    pub(super) gaps: &'a [Gap],
    /// Dimensions, checked.
    pub(super) checks: &'a [DimensionCheck],
    /// Chains, checked.
    pub(super) chains: &'a [ChainCheck],
    /// Scale as printed.
    pub(super) scale: &'static str,
    /// What found no room on the drawing.
    pub(super) left: &'a [String],
}

/// Draws the strip with its title block: questions in full where all else has room beside them, else set close.
pub(super) fn draw_strip(facts: &StripFacts<'_>) -> Group {
    let (full, has_all) = draw_as(facts, Setting::Full);
    if has_all {
        full
    } else {
        draw_as(facts, Setting::Close).0
    }
}

/// The strip, and whether everything found its place on it.
fn draw_as(facts: &StripFacts<'_>, setting: Setting) -> (Group, bool) {
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&facts.input.paper());
    strip.title_block(&mut canvas, &title_block(facts));
    let share = if strip.lettering == LARGE_SHEET {
        QUESTIONS_SHARE
    } else {
        QUESTIONS_SHARE_SMALL
    };
    let room = strip.rest().height() * share;
    let mut has_all = draw_questions(&mut canvas, &mut strip, facts, room, setting);
    if let Some(drawing) = facts.input.drawing {
        draw_units(&mut canvas, &mut strip, drawing, facts);
        draw_dimensions(&mut canvas, &mut strip, facts);
    }
    draw_legend(&mut canvas, &mut strip, facts);
    let openings = opening_table(facts);
    // Openings come first in worth, layers first on paper: layers take what openings can spare, four rows at least.
    let spare = strip.rest().height() - strip.table_height(&openings) - 14.0;
    if let Some(drawing) = facts.input.drawing {
        let room = spare.max(44.0);
        let all = &facts.input.plan.storeys;
        let own = all.iter().filter(|it| it.file == facts.input.storey.file);
        let storeys: Vec<&Storey> = own.collect();
        has_all &= draw_layers(&mut canvas, &mut strip, drawing, &storeys, room);
    }
    let remark = facts.input.storey.openings.len().to_string();
    let heading = "OPENINGS";
    has_all &= draw_table(
        &mut canvas,
        &mut strip,
        heading,
        &remark,
        openings,
        "plan.json",
    );
    (canvas.into_group("strip", "Strip"), has_all)
}

fn title_block<'a>(facts: &StripFacts<'a>) -> TitleBlock<'a> {
    let input = facts.input;
    let faults: Vec<String> = facts
        .questions
        .iter()
        .filter(|it| it.is_fault)
        .map(|it| it.number.to_string())
        .collect();
    let revision = &input.facts.revision;
    TitleBlock {
        facts: input.facts,
        title: "TRACE".to_owned(),
        subtitle: "what was read, what is asked".to_owned(),
        scale: facts.scale.to_owned(),
        number: format!("Z-{:03}", input.number),
        revisions: vec![Revision {
            name: if revision.is_empty() {
                "A".to_owned()
            } else {
                revision.clone()
            },
            date: input.facts.date.clone(),
            change: "For checking".to_owned(),
        }],
        hold: if faults.is_empty() {
            HoldBox::Released
        } else {
            HoldBox::Held(vec![format!("until answered: {}", short_list(&faults, 8))])
        },
    }
}

/// How much room a question takes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Setting {
    /// Prose in full, boxes on lines of their own.
    Full,
    /// One line of prose, boxes beside it.
    Close,
}

/// Draws questions as far as there is room; returns whether all are there.
fn draw_questions(
    canvas: &mut Canvas,
    strip: &mut Strip,
    facts: &StripFacts<'_>,
    room: f64,
    setting: Setting,
) -> bool {
    let questions = facts.questions;
    let places: usize = questions.iter().map(|it| it.places.len()).sum();
    let remark = match questions.len() {
        0 => "none".to_owned(),
        n if places > n => format!("{n} open, at {places} places"),
        n => format!("{n} open"),
    };
    strip.heading(canvas, "QUESTIONS", &remark);
    let limit = strip.top + room;
    let mut has_all = true;
    for (index, question) in questions.iter().enumerate() {
        let mut trial = *strip;
        let mut drawn = Canvas::new();
        draw_question(&mut drawn, &mut trial, question, setting);
        let is_last = index + 1 == questions.len();
        let reserve = if is_last { 0.0 } else { 8.0 };
        if trial.top + reserve > limit {
            has_all = false;
            let more = questions.len() - index;
            strip.prose(
                canvas,
                &[format!(
                    "{more} more: see findings.json, numbered as there."
                )],
            );
            break;
        }
        *strip = trial;
        let title = format!("Question {}", question.number);
        let mut group = drawn.into_group(&format!("question-{}", question.number), &title);
        group
            .data
            .push(("code".to_owned(), question.code.to_owned()));
        if let Some(zoom) = facts.zooms.get(index).copied().flatten() {
            // A click on the question shows its place: a view of this very file, as SVG 1.1 (17.3.2) has it.
            let numbers = [zoom.x0, zoom.y0, zoom.width(), zoom.height()]
                .map(number)
                .join(",");
            group.data.push(("zoom".to_owned(), numbers.clone()));
            group.link = format!("#svgView(viewBox({numbers}))");
        }
        canvas.put(crate::documents::paper::Item::Group(group));
    }
    strip.top += 1.0;
    strip.rule(canvas);
    has_all
}

fn draw_question(canvas: &mut Canvas, strip: &mut Strip, question: &Question, setting: Setting) {
    let lettering = strip.lettering;
    let number = Lettered::cap(lettering.note).bold();
    let radius = number.width(&question.number.to_string()) + number.cap * 0.9;
    let radius = radius.max(5.0);
    let start = strip.top;
    let centre = spot(strip.left() + 7.0, start + radius + 1.5);
    diamond(canvas, centre, radius, &question.number.to_string(), number);
    let left = strip.left() + 16.0;
    let width = strip.right() - left;
    let bold = Lettered::cap(lettering.note).bold();
    let plain = Lettered::cap(lettering.note);
    let mut title = if question.about.is_empty() {
        "The drawing as a whole".to_owned()
    } else {
        short_list(&question.about, 6)
    };
    if question.is_fault {
        title = format!("STOP. {title}");
    }
    let title_ink = if question.is_fault {
        Ink::Accent
    } else {
        Ink::Black
    };
    let code_width = plain.width(question.code) + 3.0;
    strip.top += 1.0;
    for (index, line) in wrap(&title, width - code_width, bold.cap, bold.weight)
        .iter()
        .enumerate()
    {
        strip.top += lettering.leading();
        canvas.text(spot(left, strip.top), line.clone(), bold.ink(title_ink));
        if index == 0 {
            canvas.text(
                spot(strip.right(), strip.top),
                question.code,
                plain.end().ink(Ink::Mid),
            );
        }
    }
    let mut prose = question.seen.clone();
    if setting == Setting::Full && !question.hint.is_empty() {
        prose = format!("{prose} {}", question.hint);
    }
    for line in wrap(&prose, width, plain.cap, plain.weight) {
        strip.top += lettering.leading();
        canvas.text(spot(left, strip.top), line, plain);
    }
    strip.top += lettering.leading() + if setting == Setting::Full { 1.0 } else { 0.4 };
    let mut x = left;
    let side = lettering.note * 0.95;
    let mut answers: Vec<&str> = Vec::new();
    if !question.is_fault {
        answers.push("right as taken");
    }
    answers.push(if question.is_fault {
        "answer:"
    } else {
        "other:"
    });
    for answer in answers {
        tick_box(canvas, spot(x, strip.top - side), side, false);
        x += side + 1.6;
        canvas.text(spot(x, strip.top), answer, plain);
        x += plain.width(answer) + 5.0;
    }
    canvas.line(
        Pen::Hair.full().with(Ink::Hatch),
        spot(x - 3.0, strip.top + 0.8),
        spot(strip.right(), strip.top + 0.8),
    );
    strip.top = (strip.top + 2.4).max(centre.y + radius + 0.6);
}

fn unit_word(unit: DrawingUnit) -> &'static str {
    match unit {
        DrawingUnit::Inch => "inches",
        DrawingUnit::Foot => "feet",
        DrawingUnit::Millimetre => "millimetres",
        DrawingUnit::Centimetre => "centimetres",
        DrawingUnit::Metre => "metres",
    }
}

fn draw_units(canvas: &mut Canvas, strip: &mut Strip, drawing: &Drawing, facts: &StripFacts<'_>) {
    let scale = &drawing.scale;
    let percent = facts.input.plan.unit_confidence.max(scale.confidence) * 100.0;
    strip.heading(canvas, "UNIT", &format!("{percent:.0} % sure"));
    let header = match scale.header {
        Some(unit) if unit == scale.unit => "The header says so too.".to_owned(),
        Some(unit) => format!(
            "The header says {}: the drawing contradicts it.",
            unit_word(unit)
        ),
        None => "The header says nothing.".to_owned(),
    };
    let evidence: Vec<String> = scale
        .votes
        .iter()
        .filter(|it| it.count > 0 && it.evidence != "header")
        .map(|it| format!("{} ({})", it.evidence, it.count))
        .collect();
    let mut words = format!("Read in {}. {header}", unit_word(scale.unit));
    if !evidence.is_empty() {
        words.push_str(&format!(" Evidence: {}.", evidence.join(", ")));
    }
    strip.prose(canvas, &[words]);
    strip.rule(canvas);
}

fn draw_dimensions(canvas: &mut Canvas, strip: &mut Strip, facts: &StripFacts<'_>) {
    let units = facts.input.units();
    let count = |verdict: Verdict| {
        facts
            .checks
            .iter()
            .filter(|it| it.verdict == verdict)
            .count()
    };
    let conflicts = count(Verdict::Conflicts);
    let mut remark = format!(
        "{} read, {} agree, {conflicts} conflict",
        facts.checks.len(),
        count(Verdict::Agrees)
    );
    if count(Verdict::NotALength) > 0 {
        remark.push_str(&format!(", {} no length", count(Verdict::NotALength)));
    }
    strip.heading(canvas, "DIMENSIONS", &remark);
    if !facts.chains.is_empty() {
        let mut chains: Vec<&ChainCheck> = facts.chains.iter().collect();
        // Those that do not close are shown whatever else is left out.
        chains.sort_by_key(|it| (it.closes, std::cmp::Reverse(it.overall)));
        let rows = chains
            .iter()
            .take(6)
            .map(|chain| {
                let parts: Vec<String> = chain.parts.iter().map(|it| units.length(*it)).collect();
                vec![
                    chain.side.to_owned(),
                    parts.join(" + "),
                    units.length(chain.sum),
                    units.length(chain.overall),
                    if chain.closes { "yes" } else { "NO" }.to_owned(),
                ]
            })
            .collect();
        strip.table(
            canvas,
            &Table {
                columns: vec![
                    Column::words("Chain"),
                    Column::wrapping("As written"),
                    Column::numbers("Sum"),
                    Column::numbers("Overall"),
                    Column::centred("OK"),
                ],
                rows,
                total: None,
                has_heads: true,
            },
        );
    }
    let shown: Vec<String> = facts
        .checks
        .iter()
        .filter(|it| it.verdict == Verdict::Conflicts)
        .take(4)
        .map(|it| {
            format!(
                "Written {}, drawn {}.",
                units.length(it.written),
                units.length(it.drawn)
            )
        })
        .collect();
    if conflicts > 0 {
        let start = strip.top;
        conflict(canvas, spot(strip.left() + 7.0, start + 7.0), 4.5);
        let mut text = shown;
        if conflicts > text.len() {
            text.push(format!("{} more.", conflicts - text.len()));
        }
        text.push("The geometry stands: sizes below are as drawn.".to_owned());
        let lettered = Lettered::cap(strip.lettering.note);
        let left = strip.left() + 16.0;
        for line in wrap(
            &text.join(" "),
            strip.right() - left,
            lettered.cap,
            lettered.weight,
        ) {
            strip.top += strip.lettering.leading();
            canvas.text(spot(left, strip.top), line, lettered);
        }
        strip.top = (strip.top + 2.0).max(start + 12.0);
    } else if facts.chains.is_empty() {
        strip.top += 1.5;
    }
    strip.rule(canvas);
}

fn opening_table(facts: &StripFacts<'_>) -> Table {
    let rows = opening_rows(
        facts.input.drawing,
        facts.input.storey,
        facts.questions,
        facts.input.units(),
    )
    .into_iter()
    .map(|it| vec![it.id, it.kind.to_owned(), it.wall, it.size, it.read_from])
    .collect();
    Table {
        columns: vec![
            Column::words("No.").bold(),
            Column::words("Kind"),
            Column::words("Wall"),
            Column::numbers("w × h"),
            Column::wrapping("Read from"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

fn draw_layers(
    canvas: &mut Canvas,
    strip: &mut Strip,
    drawing: &Drawing,
    storeys: &[&Storey],
    room: f64,
) -> bool {
    let layers = unused_layers(drawing, storeys);
    let rows = layers
        .iter()
        .map(|it| {
            vec![
                it.name.clone(),
                format!("{} of {}", it.unused, it.strokes),
                it.why.to_owned(),
            ]
        })
        .collect();
    let table = Table {
        columns: vec![
            Column::wrapping("Layer"),
            Column::numbers("Lines"),
            Column::words("Why"),
        ],
        rows,
        total: None,
        has_heads: true,
    };
    let remark = counted(layers.len(), "layer");
    let mut shorter = *strip;
    shorter.foot = shorter.foot.min(shorter.top + room);
    let has_all = draw_table(
        canvas,
        &mut shorter,
        "READ, NOT USED",
        &remark,
        table,
        "survey",
    );
    strip.top = shorter.top;
    strip.rule(canvas);
    has_all
}
