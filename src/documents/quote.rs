//! A quote on one page: what is counted, what is assumed, what it may cost; a plan and elevations nobody can build from.

mod drawings;
mod json;

pub use json::quote_json;

use super::model::TitleFacts;
use super::paper::frame::ANSI_B;
use super::paper::style::{Pen, SMALL_SHEET};
use super::paper::table::{Column, Table};
use super::paper::{Area, Canvas, Lettered, Sheet, spot};
use super::plan_view::without_scale;
use crate::building::Building;
use crate::estimate::{Line, Quote, whole};
use crate::fabrication::Fabrication;
use crate::rules::PlantRules;
use crate::units::counted;
use rust_decimal::{Decimal, RoundingStrategy};

/// What a quote is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct QuoteInput<'a> {
    /// The quote.
    pub quote: &'a Quote,
    /// Walls.
    pub building: &'a Building,
    /// Panels.
    pub fabrication: &'a Fabrication,
    /// Rules, for the thickness of walls.
    pub rules: &'a PlantRules,
    /// Job, date, names.
    pub facts: &'a TitleFacts,
    /// What a building without a name is called.
    pub source: &'a str,
}

/// Said to the customer on every quote.
const SCOPE: &str = "Walls only: panels with their plates, splines, lumber, nails, screws and sealant, delivered. Not in it: roof, floors, foundation, windows and doors, erection, crane, finishes, engineering, permits, taxes.";
/// Said below it.
const NOT_FOR_CONSTRUCTION: &str = "NOT FOR CONSTRUCTION. Headers and structure are not sized here: an engineer and the local code decide.";

/// An amount or an area as printed.
#[must_use]
pub(super) fn amount(quote: &Quote, value: Decimal) -> String {
    match &quote.prices {
        Some(prices) => whole(value, &prices.currency),
        None => format!("{} sq ft", whole(value, "")),
    }
}

/// A move as printed.
fn signed(quote: &Quote, value: Decimal) -> String {
    let words = amount(quote, value.abs());
    match (value.is_zero(), value.is_sign_negative()) {
        (true, _) => "0".to_owned(),
        (false, true) => format!("−{words}"),
        (false, false) => format!("+{words}"),
    }
}

/// The sheet `quote`.
#[must_use]
pub fn quote_sheet(input: &QuoteInput<'_>) -> Sheet {
    let (quote, facts) = (input.quote, input.facts);
    let paper = ANSI_B;
    let frame = paper.frame();
    let middle = frame.x0 + frame.width() * 0.47;
    let top = frame.y0 + 26.0;
    let foot = frame.y1 - 18.0;

    let mut lines = Canvas::new();
    lines.rect(Pen::Heavy.full(), frame);
    lines.line(Pen::Bold.full(), spot(frame.x0, top), spot(frame.x1, top));
    lines.line(Pen::Bold.full(), spot(middle, top), spot(middle, foot));
    lines.line(Pen::Bold.full(), spot(frame.x0, foot), spot(frame.x1, foot));

    let mut words = Canvas::new();
    head(&mut words, input, frame);
    let left = Area::new(frame.x0 + 4.0, top + 3.0, middle - 4.0, foot - 2.0);
    let right = Area::new(middle + 4.0, top + 3.0, frame.x1 - 4.0, foot - 2.0);
    let y = block(
        &mut words,
        right,
        right.y0,
        "QUANTITIES",
        &quantities(quote),
        26,
    );
    let choices = choices(quote);
    let choices_y = left.y1 - 10.0 - choices.lay_out(&SMALL_SHEET, left.width()).height();
    block(
        &mut words,
        left,
        choices_y,
        "ASSEMBLIES SIDE BY SIDE",
        &choices,
        6,
    );
    let assumed = assumed(quote);
    let most = fitting(&assumed, right, right.y1 - y - 16.0);
    block(
        &mut words,
        right,
        y + 4.0,
        "ASSUMED, WHAT MOVES MOST FIRST",
        &assumed,
        most,
    );
    let note = Lettered::cap(SMALL_SHEET.note);
    let made_from = first_line(&made_from(quote), frame.width() - 8.0, note);
    words.text(spot(frame.x0 + 4.0, frame.y1 - 13.2), made_from, note);
    words.text(spot(frame.x0 + 4.0, frame.y1 - 8.0), SCOPE, note);
    words.text(
        spot(frame.x0 + 4.0, frame.y1 - 2.8),
        NOT_FOR_CONSTRUCTION,
        note.bold(),
    );

    let mut views = Canvas::new();
    let room = Area::new(left.x0, left.y0, left.x1, choices_y - 2.0);
    drawings::draw(&mut views, input, room);
    Sheet {
        number: "Q-1".to_owned(),
        name: "quote".to_owned(),
        title: format!("Quote {} {}", facts.number, facts.building)
            .trim()
            .to_owned(),
        description: "Quantities, assumptions and a range; not for construction.".to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![("job".to_owned(), facts.number.clone())],
        layers: vec![
            lines.into_group("frame", "Frame"),
            views.into_group("views", "Plan and elevations, not for construction"),
            words.into_group("words", "Figures"),
        ],
    }
}

fn head(canvas: &mut Canvas, input: &QuoteInput<'_>, frame: Area) {
    let (quote, facts) = (input.quote, input.facts);
    let large = Lettered::cap(SMALL_SHEET.heading).bold();
    let note = Lettered::cap(SMALL_SHEET.note);
    let left = frame.x0 + 4.0;
    let given = |words: &str, other: &str| {
        if words.is_empty() {
            other.to_owned()
        } else {
            words.to_owned()
        }
    };
    let half = frame.width() * 0.47 - 8.0;
    let title = format!(
        "QUOTE  {}",
        given(
            &facts.building,
            given(input.source, "building without a name").as_str()
        )
    );
    canvas.text(
        spot(left, frame.y0 + 9.0),
        first_line(&title, half, large),
        large,
    );
    let second = [
        facts.project.as_str(),
        facts.number.as_str(),
        facts.date.as_str(),
    ];
    let second: Vec<&str> = second.into_iter().filter(|it| !it.is_empty()).collect();
    canvas.text(
        spot(left, frame.y0 + 16.0),
        first_line(&second.join("   "), half, note),
        note,
    );
    let prices = match &quote.prices {
        Some(prices) => {
            let left_out = match quote.without_price.len() {
                0 => String::new(),
                1 => ". 1 ITEM HAS NO PRICE: NOT IN THE SUM".to_owned(),
                n => format!(". {n} ITEMS HAVE NO PRICE: NOT IN THE SUM"),
            };
            format!("Prices: {}, {}{left_out}", prices.name, prices.date)
        }
        None => "No prices were given: quantities and no money.".to_owned(),
    };
    canvas.text(
        spot(left, frame.y0 + 22.0),
        first_line(&prices, half, note),
        note,
    );
    let right = frame.x0 + frame.width() * 0.47 + 4.0;
    let range = quote.range_words(&|it| amount(quote, it));
    let step = (frame.x1 - right) / 3.0;
    for (i, (name, value)) in [0.0, 1.0, 2.0].into_iter().zip(range) {
        let x = right + i * step;
        canvas.text(spot(x, frame.y0 + 5.5), name, note);
        let large = Lettered::cap(SMALL_SHEET.large);
        canvas.text_within(spot(x, frame.y0 + 16.5), &value, large, step - 4.0);
    }
    let swing = amount(quote, quote.questions_swing());
    let questions = match quote.n_questions() {
        0 => "No open question.".to_owned(),
        1 => format!("1 open question widens the range by {swing} each way: see below"),
        n => format!(
            "{n} open questions widen the range by {swing} each way: see below, all in quote.json"
        ),
    };
    // Said where the range stands; in full among the figures.
    let questions = match quote.uncounted.as_slice() {
        [] => questions,
        [first, ..] => first_line(first, frame.x1 - right, note),
    };
    canvas.text(spot(right, frame.y0 + 23.5), questions, note);
}

/// How many digits of a SHA-256 tell one issue of a plan from another on paper; `quote.json` has all.
const DIGITS: usize = 12;

/// `Made from plan.dxf (SHA-256 e3b0c44298fc…), 1 storey: FIRST FLOOR PLAN. A revised plan needs a new quote.`
fn made_from(quote: &Quote) -> String {
    let plans = quote.plans.iter().map(|it| {
        let digits: String = it.sha256.chars().take(DIGITS).collect();
        format!("{} (SHA-256 {digits}…)", it.file)
    });
    let plans: Vec<String> = plans.collect();
    let storeys = counted(quote.storeys.len(), "storey");
    let names: Vec<&str> = quote.storeys.iter().map(|it| without_scale(it)).collect();
    let names: Vec<&str> = names.into_iter().filter(|it| !it.is_empty()).collect();
    let named = if names.is_empty() {
        String::new()
    } else {
        format!(": {}", names.join(", "))
    };
    format!(
        "Made from {}, {storeys}{named}. A revised plan needs a new quote.",
        plans.join(", ")
    )
}

/// As much of a text as fits on one line.
fn first_line(words: &str, width: f64, lettered: Lettered) -> String {
    let lines = super::paper::fonts::wrap(words, width, lettered.cap, lettered.weight);
    match lines.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, ..] => {
            let mut kept = first.clone();
            while lettered.width(&format!("{kept}…")) > width && kept.pop().is_some() {}
            format!("{kept}…")
        }
    }
}

/// A heading and a table of at most `most` rows; what is cut off is said. Returns the y of its foot.
fn block(
    canvas: &mut Canvas,
    room: Area,
    y: f64,
    heading: &str,
    table: &Table,
    most: usize,
) -> f64 {
    let lettered = Lettered::cap(SMALL_SHEET.title).bold();
    canvas.text(spot(room.x0, y + 4.5), heading, lettered);
    let mut table = table.clone();
    let n_more = table.rows.len().saturating_sub(most);
    table.rows.truncate(most);
    let foot = table
        .lay_out(&SMALL_SHEET, room.width())
        .draw(canvas, room.x0, y + 7.0);
    if n_more == 0 {
        return foot;
    }
    canvas.text(
        spot(room.x0, foot + 4.0),
        format!("and {n_more} more: see quote.json"),
        Lettered::cap(SMALL_SHEET.note),
    );
    foot + 5.0
}

/// How many rows of a table fit into a height.
fn fitting(table: &Table, room: Area, height: f64) -> usize {
    (0..=table.rows.len())
        .rev()
        .find(|n| {
            let mut cut = table.clone();
            cut.rows.truncate(*n);
            cut.lay_out(&SMALL_SHEET, room.width()).height() <= height
        })
        .unwrap_or_default()
}

fn quantities(quote: &Quote) -> Table {
    let has_prices = quote.prices.is_some();
    let mut columns = vec![
        Column::wrapping("Item"),
        Column::numbers("Quantity"),
        Column::words("Unit"),
    ];
    if has_prices {
        columns.extend([Column::numbers("Rate"), Column::numbers("Amount")]);
    }
    columns.push(Column::words("How sure"));
    let rows = quote.lines.iter().map(|line| {
        let mut row = vec![line.item.clone(), quantity(line.quantity), unit(line)];
        if has_prices {
            row.push(
                line.rate
                    .map_or_else(|| "–".to_owned(), |it| it.to_string()),
            );
            let none = if quote.without_price.contains(&line.item) {
                "no price"
            } else {
                "–"
            };
            row.push(
                line.amount
                    .map_or_else(|| none.to_owned(), |it| amount(quote, it)),
            );
        }
        row.push(line.sure.words().to_owned());
        row
    });
    let rows = rows.collect();
    let total = has_prices.then(|| {
        let [_, likely, _] = quote.range;
        let mut row = vec![String::new(); 6];
        if let Some(cell) = row.first_mut() {
            "Likely".clone_into(cell);
        }
        if let Some(cell) = row.get_mut(4) {
            *cell = amount(quote, likely);
        }
        row
    });
    Table {
        columns,
        rows,
        total,
        has_heads: true,
    }
}

/// A quantity as printed: whole from a hundred on, else to a tenth.
fn quantity(value: Decimal) -> String {
    if value.abs() >= Decimal::ONE_HUNDRED || value.fract().is_zero() {
        whole(value, "")
    } else {
        value
            .round_dp_with_strategy(1, RoundingStrategy::MidpointAwayFromZero)
            .normalize()
            .to_string()
    }
}

/// The unit of a quantity: one piece is no pieces.
fn unit(line: &Line) -> String {
    let is_one = quantity(line.quantity) == "1";
    let one = ["pieces", "loads", "miles"].contains(&line.unit) && is_one;
    let words = if one {
        line.unit.trim_end_matches('s')
    } else {
        line.unit
    };
    words.to_owned()
}

fn choices(quote: &Quote) -> Table {
    let rows = quote.choices.iter().map(|it| {
        vec![
            it.assembly.clone(),
            format!("R-{:.1}", it.r_value),
            it.n_panels.to_string(),
            whole(it.square_feet, ""),
            whole(crate::estimate::decimal(it.pounds), ""),
            it.loads.to_string(),
            it.total
                .map_or_else(|| "–".to_owned(), |it| amount(quote, it)),
        ]
    });
    Table {
        columns: vec![
            Column::words("Assembly").bold(),
            Column::numbers("Foam, skins"),
            Column::numbers("Panels"),
            Column::numbers("sq ft"),
            Column::numbers("lb"),
            Column::numbers("Loads"),
            Column::numbers("Likely"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}

fn assumed(quote: &Quote) -> Table {
    let signed = |it| signed(quote, it);
    let figures = quote.assumed.iter().map(|it| {
        let row = [
            &it.words,
            &it.step,
            &signed(it.low),
            &signed(it.high),
            &it.option,
        ];
        (it.swing(), row.map(Clone::clone).to_vec())
    });
    let questions = quote.questions.iter().map(|it| {
        let moves = [signed(-it.swing), signed(it.swing)];
        let [low, high] = moves;
        let state = "job.toml".to_owned();
        (
            it.swing,
            vec![it.words(), "open question".to_owned(), low, high, state],
        )
    });
    let mut rows: Vec<(Decimal, Vec<String>)> = figures.chain(questions).collect();
    rows.sort_by_key(|(swing, _)| std::cmp::Reverse(*swing));
    let open = quote.uncounted.iter().map(|it| {
        let [none, low, high] = ["not counted", "0", "no bound"].map(str::to_owned);
        vec![it.clone(), none, low, high, "job.toml".to_owned()]
    });
    let rows = open.chain(rows.into_iter().map(|(_, row)| row)).collect();
    Table {
        columns: vec![
            Column::wrapping("Figure"),
            Column::wrapping("What it moves"),
            Column::numbers("Low"),
            Column::numbers("High"),
            Column::words("State it by"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// The quote in a few lines, for a terminal.
#[must_use]
pub fn quote_text(quote: &Quote) -> String {
    let mut lines: Vec<String> = quote
        .lines
        .iter()
        .map(|it| {
            let money = it.amount.map_or_else(String::new, |amount_| {
                format!("  {:>12}", amount(quote, amount_))
            });
            format!(
                "{:<34}{:>12} {:<7}{money}  {}",
                it.item,
                quantity(it.quantity),
                unit(it),
                it.sure.words()
            )
        })
        .collect();
    let range = quote.range_words(&|it| amount(quote, it));
    let range = range.map(|(name, value)| format!("{name} {value}"));
    lines.push(range.join(", "));
    lines.extend(quote.uncounted.iter().cloned());
    let figures = quote.assumed.iter().map(|it| {
        let [low, high] = [it.low, it.high].map(|it| signed(quote, it));
        let (words, step, option) = (&it.words, &it.step, &it.option);
        let said = format!("{words}; {step} {low} / {high}; state it by {option}");
        (it.swing(), said)
    });
    let questions = quote.questions.iter().map(|it| {
        let swing = amount(quote, it.swing);
        let words = it.words();
        let said = format!("open question, widens the range by {swing} each way: {words}");
        (it.swing, said)
    });
    let mut moves: Vec<(Decimal, String)> = figures.chain(questions).collect();
    moves.sort_by_key(|(swing, _)| std::cmp::Reverse(*swing));
    lines.extend(moves.into_iter().map(|(_, said)| said));
    for choice in &quote.choices {
        let total = choice
            .total
            .map_or_else(String::new, |it| format!(", {}", amount(quote, it)));
        lines.push(format!(
            "{}: R-{:.1}, {}, {} sq ft, {} lb{total}",
            choice.assembly,
            choice.r_value,
            counted(choice.n_panels, "panel"),
            whole(choice.square_feet, ""),
            whole(crate::estimate::decimal(choice.pounds), "")
        ));
    }
    if !quote.without_price.is_empty() {
        lines.push(format!(
            "NOT IN THE SUM, the prices file has no price for it: {}",
            quote.without_price.join("; ")
        ));
    }
    lines.extend(quote.idle.iter().map(|it| format!("NOTE: {it}")));
    lines.push(made_from(quote));
    lines.push(SCOPE.to_owned());
    lines.push(NOT_FOR_CONSTRUCTION.to_owned());
    lines.join("\n")
}
