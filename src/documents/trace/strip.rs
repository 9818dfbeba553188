//! The strip of a trace: questions with boxes for answers, units, dimensions, a legend that counts, layers, openings.

use super::dimension_checks::{ChainCheck, DimensionCheck, Verdict};
use super::facts::{Gap, Question, distance, opening_rows, printed, unused_layers};
use super::labels::Left;
use super::recovered::{Surety, wall_sample};
use super::sheet::{PAPER, TraceInput};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::{HoldBox, Revision, Strip, TitleBlock};
use crate::documents::paper::style::{Fill, Ink, Pen};
use crate::documents::paper::symbol::{balloon, conflict, diamond, hexagon, tick, tick_box};
use crate::documents::paper::table::{Column, Table};
use crate::documents::plan_view::{draw_table, grouped, left_words, legend_row, short_list};
use crate::documents::paper::{Canvas, Group, Lettered, spot};
use crate::drawing::{Drawing, DrawingUnit};
use crate::plan::{OpeningKind, Storey};
use crate::units::Length;

/// Share of the strip's free height that questions in full may take before they are set close.
const QUESTIONS_SHARE: f64 = 0.5;

/// What the strip tells.
pub(super) struct StripFacts<'a> {
    /// The sheet's input.
    pub(super) input: &'a TraceInput<'a>,
    /// Questions by number.
    pub(super) questions: &'a [Question],
    /// Gaps of the outline.
    pub(super) gaps: &'a [Gap],
    /// Dimensions, checked.
    pub(super) checks: &'a [DimensionCheck],
    /// Chains, checked.
    pub(super) chains: &'a [ChainCheck],
    /// Scale as printed.
    pub(super) scale: &'static str,
    /// What found no room on the drawing.
    pub(super) left: &'a Left,
}

/// Draws the strip with its title block.
pub(super) fn draw_strip(facts: &StripFacts<'_>) -> Group {
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&PAPER);
    strip.title_block(&mut canvas, &title_block(facts));
    let all = strip.rest().height();
    draw_questions(&mut canvas, &mut strip, facts.questions, all * QUESTIONS_SHARE);
    if let Some(drawing) = facts.input.drawing {
        draw_units(&mut canvas, &mut strip, drawing, facts);
        draw_dimensions(&mut canvas, &mut strip, facts);
    }
    draw_legend(&mut canvas, &mut strip, facts);
    let openings = opening_table(facts);
    // Openings come first in worth, layers first on paper: layers take what openings can spare, four rows at least.
    let spare = strip.rest().height() - strip.table_height(&openings) - 14.0;
    if let Some(drawing) = facts.input.drawing {
        draw_layers(&mut canvas, &mut strip, drawing, facts.input.storey, spare.max(44.0));
    }
    let remark = facts.input.storey.openings.len().to_string();
    draw_table(&mut canvas, &mut strip, "OPENINGS", &remark, openings, "plan.json");
    canvas.into_group("strip", "Strip")
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

fn draw_questions(canvas: &mut Canvas, strip: &mut Strip, questions: &[Question], room: f64) {
    let places: usize = questions.iter().map(|it| it.places.len()).sum();
    let remark = match questions.len() {
        0 => "none".to_owned(),
        n if places > n => format!("{n} open, at {places} places"),
        n => format!("{n} open"),
    };
    strip.heading(canvas, "QUESTIONS", &remark);
    let limit = strip.top + room;
    let height = |setting: Setting| {
        let mut trial = *strip;
        let mut ignored = Canvas::new();
        for question in questions {
            draw_question(&mut ignored, &mut trial, question, setting);
        }
        trial.top
    };
    let setting = if height(Setting::Full) <= limit {
        Setting::Full
    } else {
        Setting::Close
    };
    for (index, question) in questions.iter().enumerate() {
        let mut trial = *strip;
        let mut drawn = Canvas::new();
        draw_question(&mut drawn, &mut trial, question, setting);
        let is_last = index + 1 == questions.len();
        let reserve = if is_last { 0.0 } else { 8.0 };
        if trial.top + reserve > limit {
            let more = questions.len() - index;
            strip.prose(
                canvas,
                &[format!("{more} more: see findings.json, numbered as there.")],
            );
            break;
        }
        *strip = trial;
        let title = format!("Question {}", question.number);
        canvas.put(crate::documents::paper::Item::Group(
            drawn.into_group(&format!("question-{}", question.number), &title),
        ));
    }
    strip.top += 1.0;
    strip.rule(canvas);
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
    let title_ink = if question.is_fault { Ink::Accent } else { Ink::Black };
    let code_width = plain.width(question.code) + 3.0;
    strip.top += 1.0;
    for (index, line) in wrap(&title, width - code_width, bold.cap, bold.weight).iter().enumerate() {
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
    answers.push(if question.is_fault { "answer:" } else { "other:" });
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
    let count = |verdict: Verdict| facts.checks.iter().filter(|it| it.verdict == verdict).count();
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
                let parts: Vec<String> = chain
                    .parts
                    .iter()
                    .map(|it| it.feet_inches().to_string())
                    .collect();
                vec![
                    chain.side.to_owned(),
                    parts.join(" + "),
                    chain.sum.feet_inches().to_string(),
                    chain.overall.feet_inches().to_string(),
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
                it.written.feet_inches(),
                it.drawn.feet_inches()
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
        for line in wrap(&text.join(" "), strip.right() - left, lettered.cap, lettered.weight) {
            strip.top += strip.lettering.leading();
            canvas.text(spot(left, strip.top), line, lettered);
        }
        strip.top = (strip.top + 2.0).max(start + 12.0);
    } else if facts.chains.is_empty() {
        strip.top += 1.5;
    }
    strip.rule(canvas);
}

fn draw_legend(canvas: &mut Canvas, strip: &mut Strip, facts: &StripFacts<'_>) {
    let storey = facts.input.storey;
    let (remark, is_closed) = outline_words(storey, facts.gaps);
    strip.heading(canvas, "RECOVERED", &remark);
    strip.top += 1.2;
    for (is_exterior, name) in [(true, "exterior wall X"), (false, "interior wall I")] {
        for surety in Surety::ALL {
            let walls: Vec<_> = storey
                .walls
                .iter()
                .filter(|it| it.is_exterior == is_exterior && Surety::of(it.confidence) == surety)
                .collect();
            if walls.is_empty() {
                continue;
            }
            let mut thicknesses: Vec<f64> = walls.iter().map(|it| it.thickness).collect();
            thicknesses.sort_by(f64::total_cmp);
            let mut printed: Vec<String> = thicknesses.into_iter().map(printed).collect();
            printed.dedup();
            let state = match surety {
                Surety::Sure => "",
                Surety::Likely => ", likely: glance at it",
                Surety::Doubtful => ", doubtful: check it",
            };
            let words = format!("{name}, {}{state}", short_list(&printed, 4));
            legend_row(canvas, strip, &words, &walls.len().to_string(), |canvas, at| {
                wall_sample(canvas, spot(at.x - 9.0, at.y - 2.3), is_exterior, surety);
            });
        }
    }
    legend_signs(canvas, strip, facts);
    if !is_closed {
        let gaps = facts.gaps.iter().filter(|it| it.from != it.to).count();
        legend_row(
            canvas,
            strip,
            "gap in the exterior, from end to end",
            &gaps.to_string(),
            |canvas, at| {
                let accent = Pen::Bold.full().with(Ink::Accent);
                canvas.circle(accent, Fill::None, spot(at.x - 7.0, at.y), 1.8);
                canvas.circle(accent, Fill::None, spot(at.x + 7.0, at.y), 1.8);
                canvas.line(accent, spot(at.x - 5.2, at.y), spot(at.x + 5.2, at.y));
            },
        );
    }
    if facts.left.signs > 0 {
        strip.prose(canvas, &[left_words(facts.left.signs)]);
    }
    strip.top += 1.0;
    strip.rule(canvas);
}

fn legend_signs(canvas: &mut Canvas, strip: &mut Strip, facts: &StripFacts<'_>) {
    let storey = facts.input.storey;
    let name = Lettered::cap(strip.lettering.note).bold();
    let is_window = |kind: OpeningKind| kind == OpeningKind::Window;
    let count = |wants_window: bool| {
        let of = |is_exterior: bool| {
            storey
                .openings
                .iter()
                .filter(|it| {
                    is_window(it.kind) == wants_window
                        && super::facts::is_exterior(storey, it) == is_exterior
                })
                .count()
        };
        format!("{} + {}", of(true), of(false))
    };
    legend_row(canvas, strip, "window: exterior + interior", &count(true), |canvas, at| {
        hexagon(canvas, Pen::Thin.full(), at, 3.9, "", name);
    });
    legend_row(canvas, strip, "door, opening: exterior + interior", &count(false), |canvas, at| {
        balloon(canvas, Pen::Thin.full(), at, 3.6, "", name);
    });
    let named = storey.rooms.iter().filter(|it| !it.name.is_empty()).count();
    let rooms = format!("{named} of {}", storey.rooms.len());
    legend_row(canvas, strip, "room with a name", &rooms, |canvas, at| {
        canvas.text_centred(at, "R1 NAME", Lettered::cap(name.cap).middle().ink(Ink::Mid));
    });
    let agree = facts
        .checks
        .iter()
        .filter(|it| it.verdict == Verdict::Agrees)
        .count();
    if !facts.checks.is_empty() {
        legend_row(
            canvas,
            strip,
            "dimension agrees with the drawing",
            &agree.to_string(),
            |canvas, at| tick(canvas, spot(at.x - 1.3, at.y + 1.3), 2.6),
        );
        legend_row(
            canvas,
            strip,
            "dimension contradicts it",
            &(facts
                .checks
                .iter()
                .filter(|it| it.verdict == Verdict::Conflicts)
                .count())
            .to_string(),
            |canvas, at| conflict(canvas, spot(at.x, at.y + 0.8), 3.4),
        );
    }
    legend_row(
        canvas,
        strip,
        "question, ring where it points to",
        &facts.questions.len().to_string(),
        |canvas, at| {
            let accent = Pen::Thin.full().with(Ink::Accent);
            diamond(canvas, spot(at.x - 4.0, at.y), 3.8, "", name);
            canvas.circle(accent, Fill::None, spot(at.x + 7.0, at.y), 2.0);
            canvas.line(accent, at, spot(at.x + 5.0, at.y));
        },
    );
}

/// What the outline is like, and whether it closes.
fn outline_words(storey: &Storey, gaps: &[Gap]) -> (String, bool) {
    if storey.walls.is_empty() {
        return ("no wall".to_owned(), true);
    }
    if storey.outline.is_empty() {
        let widths: Vec<String> = gaps
            .iter()
            .filter(|it| it.from != it.to)
            .map(|it| printed(distance(it.from, it.to)))
            .collect();
        let words = if widths.is_empty() {
            "outline DOES NOT CLOSE".to_owned()
        } else {
            format!("outline DOES NOT CLOSE: {}", short_list(&widths, 3))
        };
        return (words, false);
    }
    let next = storey.outline.iter().cycle().skip(1);
    let (mut doubled, mut around) = (0.0, 0.0);
    for (a, b) in storey.outline.iter().zip(next) {
        doubled += a.x * b.y - b.x * a.y;
        around += distance(*a, *b);
    }
    let area = doubled.abs() / 2.0 / 144.0;
    let around = Length::nearest(around, Length::fraction(0, 1, 16))
        .map_or_else(String::new, |it| it.feet_inches().to_string());
    (format!("outline closed, {} sq ft, {around} round", grouped(area)), true)
}

fn opening_table(facts: &StripFacts<'_>) -> Table {
    let rows = opening_rows(facts.input.drawing, facts.input.storey, facts.questions)
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
    storey: &Storey,
    room: f64,
) {
    let layers = unused_layers(drawing, storey);
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
    let remark = format!("{} layers", layers.len());
    let mut shorter = *strip;
    shorter.foot = shorter.foot.min(shorter.top + room);
    draw_table(canvas, &mut shorter, "READ, NOT USED", &remark, table, "survey");
    strip.top = shorter.top;
    strip.rule(canvas);
}

