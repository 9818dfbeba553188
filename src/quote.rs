//! A quote from a plan alone: the line is run as far as fabrication, and once more for each figure that nobody stated.
//!
//! ```text
//!   plan ──► building ──► layout ──► fabrication ──► loads ──► quantities ──► low, likely, high
//!     each assumed figure changed once, the whole line again ────────────────────┘
//! ```
//!
//! *Promises.* An open question never blocks a quote: it widens the range, with its reason. An outline that does not close takes the
//! bound above away, for what it would close is not counted. What an assumed figure moves is
//! measured by building it both ways, not by a rule of thumb. Low and high add all moves up: they are bounds, not odds.
//!
//! *Does not do.* Anything drawn to be built from.

mod idle;
mod moved;
mod questions;
mod typed;

use crate::building::{
    Building, RoughOpening, SizeOrigin, codes as building_codes, default_head, raise_building,
};
use crate::documents::paper::to_svg;
use crate::documents::{
    DocumentSet, PdfError, PdfFacts, QuoteInput, TitleFacts, quote_json, quote_sheet, sha256_hex,
    to_pdf,
};
use crate::estimate::{
    Assumed, Choice, PricedBy, Quote, QuotedPlan, Sure, decimal, gross_square_feet,
    hangs_on_headers, is_header, n_specials, price, quantities, r_value, to_whole,
};
use crate::fabrication::{FabricateOptions, Fabrication, fabricate};
use crate::findings::{Finding, base_name};
use crate::layout::{Layout, lay_out, options_of_job};
use crate::loads::{LoadPlan, plan_loads};
use crate::package::{InputFile, MakeError, MakeOptions, Traced, plant_rules, read_and_recover};
use crate::rules::{Issue, Job, Money, PlantRules, Prices, read_prices};
use crate::units::Length;
use moved::{Moved, figures, openings_of};
use questions::{open_questions, widened};
use rust_decimal::Decimal;

/// What an estimate reads besides the drawings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuoteOptions {
    /// Job, rules, date.
    pub make: MakeOptions,
    /// Prices. Default: none, quantities and no money.
    pub prices: Option<InputFile>,
    /// Wall height as typed. Default: the job's, else the plant's default, assumed.
    pub wall_height: Option<String>,
    /// Assemblies: the first is quoted, all stand side by side. Default: the job's, else the plant's default, assumed.
    pub assemblies: Vec<String>,
    /// Unit height of doors of unknown height, as typed.
    pub door_height: Option<String>,
    /// Unit height of windows of unknown height, as typed.
    pub window_height: Option<String>,
    /// Rough head above the deck of windows of unknown head, as typed.
    pub window_head: Option<String>,
    /// Header over every opening for which the job names none, as typed.
    pub header: Option<String>,
    /// Miles to the site. Default: those of the prices file, assumed.
    pub miles: Option<u32>,
}

/// A quote and what it was made from.
#[derive(Clone, Debug, PartialEq)]
pub struct Quoted {
    /// The quote.
    pub quote: Quote,
    /// The job, with what the command line says.
    pub job: Job,
    /// The rules.
    pub rules: PlantRules,
    /// The building as quoted.
    pub building: Building,
    /// Its panels.
    pub fabrication: Fabrication,
    /// All findings.
    pub findings: Vec<Finding>,
    /// Name of the first file read: what a building without a name is called.
    pub source: String,
}

impl Quoted {
    /// `quote.svg`, `quote.pdf`, `quote.json`.
    ///
    /// # Errors
    /// [`PdfError`]: a mistake of the program.
    pub fn documents(&self, date: Option<&str>) -> Result<DocumentSet, PdfError> {
        let given = |value: &Option<String>| value.clone().unwrap_or_default();
        let facts = TitleFacts {
            project: given(&self.job.project),
            building: given(&self.job.name),
            number: given(&self.job.number),
            date: date.map_or_else(|| given(&self.job.date), str::to_owned),
            program: format!("{} {}", env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION")),
            ..TitleFacts::default()
        };
        let sheet = quote_sheet(&QuoteInput {
            quote: &self.quote,
            building: &self.building,
            fabrication: &self.fabrication,
            rules: &self.rules,
            facts: &facts,
            source: &self.source,
        });
        let pdf = PdfFacts {
            title: sheet.title.clone(),
            program: facts.program.clone(),
            id: String::new(),
        };
        let mut documents = DocumentSet::default();
        documents.add("quote.svg", to_svg(&sheet));
        documents.add("quote.pdf", to_pdf(&[&sheet], &pdf)?);
        documents.add("quote.json", quote_json(&self.quote, &facts));
        Ok(documents)
    }
}

fn plan_quoted(file: &InputFile) -> QuotedPlan {
    QuotedPlan {
        file: base_name(&file.name).to_owned(),
        sha256: sha256_hex(&file.bytes),
    }
}

/// Storeys with walls, from the lowest.
fn storeys(building: &Building) -> Vec<String> {
    let storeys = building.storeys.iter().enumerate();
    let with_walls = storeys.filter(|(index, _)| {
        let mut walls = building.walls.iter();
        walls.any(|wall| wall.storey_index == *index)
    });
    with_walls.map(|(_, storey)| storey.name.clone()).collect()
}

/// One run of the line.
struct Run {
    building: Building,
    fabrication: Fabrication,
    loads: LoadPlan,
    findings: Vec<Finding>,
}

/// Makes a quote.
///
/// # Errors
/// [`MakeError`] when nothing can be read or there is no wall at all; whatever else is open widens the range instead.
pub fn quote(inputs: &[InputFile], options: &QuoteOptions) -> Result<Quoted, MakeError> {
    let mut findings = Vec::new();
    let mut rules = plant_rules(&options.make)?.into_output(&mut findings);
    let prices = match &options.prices {
        Some(file) => Some(read_prices(&file.text(), &file.name)?),
        None => None,
    };
    if let Some(prices) = &prices {
        rules.price_by(prices);
    }
    let Traced { plan, mut job, .. } =
        read_and_recover(inputs, (&options.make, &rules), &mut findings, &mut |_| {})?;
    let typed = typed::read(options, &rules)?;
    typed::obey(&typed, &mut job, &mut rules);
    job.issue = Issue::Production;
    let run = |job: &Job, rules: &PlantRules| run_line(&plan, job, rules);
    let likely = run(&job, &rules);
    let total = |run: &Run, rules: &PlantRules| total(run, prices.as_ref(), rules, options);
    let base = total(&likely, &rules);

    let mut assumed = Vec::new();
    let mut moved = Moved::new(&likely, &rules);
    let has = |code| likely.findings.iter().any(|finding| finding.code == code);
    if has(building_codes::HEIGHT_ASSUMED) {
        let mut measure = |by: Length| {
            let mut rules = rules.clone();
            rules.default_wall_height += by;
            let run = run(&job, &rules);
            moved.compare(&run, &rules);
            total(&run, &rules) - base
        };
        assumed.push(Assumed {
            words: format!(
                "wall height {} assumed",
                rules.default_wall_height.feet_inches()
            ),
            step: "each foot".to_owned(),
            option: "--wall-height".to_owned(),
            low: measure(-Length::feet(1)).min(Decimal::ZERO),
            high: measure(Length::feet(1)).max(Decimal::ZERO),
        });
    }
    // A name that the plant does not make is a question of the building, whose walls are drawn with the default.
    let named = job
        .assembly
        .clone()
        .filter(|name| rules.assemblies.iter().any(|it| it.name == *name))
        .unwrap_or_else(|| rules.default_assembly.clone());
    let is_assembly_assumed = has(building_codes::ASSEMBLY_ASSUMED);
    let choices: Vec<Choice> = side_by_side(&named, &rules, prices.as_ref(), options)
        .into_iter()
        .map(|name| {
            let mut job = job.clone();
            job.assembly = Some(name.clone());
            for wall in &mut job.walls {
                wall.assembly = None;
            }
            let run = run(&job, &rules);
            if is_assembly_assumed {
                moved.compare(&run, &rules);
            }
            choice(name, &run, &rules, prices.as_ref(), options)
        })
        .collect();
    if is_assembly_assumed {
        let measure = |it: &Choice| match prices {
            Some(_) => it.total,
            None => Some(it.square_feet),
        };
        let moves = choices.iter().filter_map(|it| Some(measure(it)? - base));
        let (low, high) = moves.fold((Decimal::ZERO, Decimal::ZERO), |(low, high), it| {
            (low.min(it), high.max(it))
        });
        assumed.push(Assumed {
            words: format!("assembly {named} assumed"),
            step: "the choices beside it".to_owned(),
            option: "--assembly".to_owned(),
            low,
            high,
        });
    }
    for figure in figures(options) {
        let is_assumed =
            |it: &&RoughOpening| it.kind == figure.kind && figure.origin(it) == SizeOrigin::Assumed;
        if figure.is_typed || openings_of(&likely).filter(is_assumed).count() == 0 {
            continue;
        }
        let Some(size) = rules.openings.sizes.get(&figure.kind).copied() else {
            continue;
        };
        let head = default_head(&rules, figure.kind);
        let runs = [-Length::inches(6), Length::inches(6)].map(|by| {
            let mut rules = rules.clone();
            if let Some(size) = rules.openings.sizes.get_mut(&figure.kind) {
                if figure.is_head {
                    size.head = Some(head + by);
                } else {
                    size.height += by;
                }
            }
            (run(&job, &rules), rules)
        });
        // A window whose height its tag states may still hang from an assumed head: each figure counts what it moves.
        let before: Vec<Length> = openings_of(&likely).map(|it| figure.of(it)).collect();
        let changes = |run: &Run| {
            let after = openings_of(run).zip(openings_of(&likely)).zip(&before);
            after
                .filter(|((now, was), before)| {
                    was.kind == figure.kind && figure.of(now) != **before
                })
                .count()
        };
        let n = runs.iter().map(|(run, _)| changes(run)).max();
        let Some(n) = n.filter(|n| *n > 0) else {
            continue;
        };
        for (run, rules) in &runs {
            moved.compare(run, rules);
        }
        let moves = runs.map(|(run, rules)| total(&run, &rules) - base);
        let [low, high] = moves;
        let what = figure.kind.name();
        let plural = if n == 1 { "" } else { "s" };
        assumed.push(Assumed {
            words: if figure.is_head {
                let head = head.feet_inches();
                format!("{n} {what}{plural} of unknown head: {head} above the deck assumed")
            } else {
                let height = size.height.feet_inches();
                format!("{n} {what}{plural} of unknown height: {height} assumed")
            },
            step: "each 6 in".to_owned(),
            option: figure.option.to_owned(),
            low: low.min(high).min(Decimal::ZERO),
            high: low.max(high).max(Decimal::ZERO),
        });
    }
    findings.extend(likely.findings.iter().cloned());
    let questions = open_questions(&findings);
    let uncounted = questions::uncounted(&findings);
    let is_header_open = has(building_codes::HEADER_NOT_SIZED);
    let mut lines = quantities(&likely.building, &likely.fabrication, &likely.loads, &rules);
    for line in &mut lines {
        line.sure = if moved.items.contains(&line.item) || is_header_open && hangs_on_headers(line)
        {
            Sure::OnAssumed
        } else if questions.is_empty() && uncounted.is_empty() {
            Sure::Counted
        } else {
            Sure::Open
        };
    }
    let mut header_swing = Decimal::ZERO;
    let mut without_price = Vec::new();
    let mut questions_rate = decimal(rules.quote.open_question) / Decimal::ONE_HUNDRED;
    if let Some(prices) = &prices {
        let (_, unpriced) = price(
            &mut lines,
            prices,
            counts(&likely),
            options.miles.map(Decimal::from),
        );
        without_price = lines
            .iter()
            .filter(|it| it.by != PricedBy::Nothing && it.amount.is_none())
            .map(|it| it.item.clone())
            .collect();
        findings.extend(unpriced);
        let per_cent =
            |rate: Option<Money>| rate.map_or(Decimal::ZERO, |it| it.0) / Decimal::ONE_HUNDRED;
        let of = |by: &dyn Fn(&PricedBy) -> bool| -> Decimal {
            lines
                .iter()
                .filter(|it| by(&it.by))
                .filter_map(|it| it.amount)
                .sum()
        };
        if prices.range.question.is_some() {
            questions_rate = per_cent(prices.range.question);
        }
        let headers = lines.iter().filter(|it| is_header(it));
        let headers: Decimal = headers.filter_map(|it| it.amount).sum();
        header_swing = to_whole(headers * per_cent(prices.range.unsized_headers));
        if options.miles.is_none()
            && let Some(miles) = prices.freight.miles
        {
            let haul = of(&|by| *by == PricedBy::Mile);
            let swing = to_whole(haul * per_cent(prices.range.miles));
            assumed.push(Assumed {
                words: format!("{} miles to the site assumed", miles.0),
                step: "the range of the prices file".to_owned(),
                option: "--miles".to_owned(),
                low: -swing,
                high: swing,
            });
        }
        let swing = to_whole(base * per_cent(prices.range.prices));
        if !swing.is_zero() {
            assumed.push(Assumed {
                words: format!("prices of {}", prices.date),
                step: "the range of the prices file".to_owned(),
                option: "--prices".to_owned(),
                low: -swing,
                high: swing,
            });
        }
    }
    if is_header_open {
        assumed.push(Assumed {
            words: "headers by the plant's table, not sized: engineer".to_owned(),
            step: "if the engineer asks for more".to_owned(),
            option: "--header".to_owned(),
            low: Decimal::ZERO,
            high: header_swing,
        });
    }
    let idle = idle::found(&likely, options, &rules, prices.as_ref());
    findings.extend(idle.iter().cloned());
    assumed.sort_by_key(|it| std::cmp::Reverse(it.swing()));
    let questions = widened(questions, base, questions_rate);
    let questions_swing: Decimal = questions.iter().map(|it| it.swing).sum();
    let low = base + assumed.iter().map(|it| it.low).sum::<Decimal>() - questions_swing;
    let high = base + assumed.iter().map(|it| it.high).sum::<Decimal>() + questions_swing;
    Ok(Quoted {
        quote: Quote {
            prices: prices.as_ref().map(Prices::facts),
            assembly: named,
            lines,
            range: [low.max(Decimal::ZERO), base.abs(), high],
            uncounted,
            assumed,
            questions,
            choices,
            without_price,
            idle: idle.into_iter().map(|it| it.message).collect(),
            plans: inputs.iter().map(plan_quoted).collect(),
            storeys: storeys(&likely.building),
        },
        job,
        rules,
        building: likely.building,
        fabrication: likely.fabrication,
        findings,
        source: inputs
            .first()
            .map_or_else(String::new, |it| base_name(&it.name).to_owned()),
    })
}

fn run_line(plan: &crate::plan::Plan, job: &Job, rules: &PlantRules) -> Run {
    let mut findings = Vec::new();
    let building = raise_building(plan, job, rules).into_output(&mut findings);
    let wishes = options_of_job(job, (plan, &building), rules).into_output(&mut findings);
    let layout: Layout = lay_out(&building, rules, &wishes).into_output(&mut findings);
    let options = FabricateOptions {
        earlier: &[],
        issue: job.issue,
    };
    let fabrication = fabricate(&building, &layout, rules, &options).into_output(&mut findings);
    let loads = plan_loads(&building, &fabrication, rules).into_output(&mut findings);
    Run {
        building,
        fabrication,
        loads,
        findings,
    }
}

fn counts(run: &Run) -> [usize; 3] {
    let openings = run
        .building
        .walls
        .iter()
        .map(|wall| wall.openings.len())
        .sum();
    [
        run.fabrication.panels.len(),
        openings,
        n_specials(&run.fabrication),
    ]
}

/// Money with prices, else square feet of panel.
fn total(
    run: &Run,
    prices: Option<&Prices>,
    rules: &PlantRules,
    options: &QuoteOptions,
) -> Decimal {
    let Some(prices) = prices else {
        return to_whole(decimal(gross_square_feet(&run.building, &run.fabrication)));
    };
    let mut lines = quantities(&run.building, &run.fabrication, &run.loads, rules);
    price(
        &mut lines,
        prices,
        counts(run),
        options.miles.map(Decimal::from),
    )
    .0
}

fn choice(
    name: String,
    run: &Run,
    rules: &PlantRules,
    prices: Option<&Prices>,
    options: &QuoteOptions,
) -> Choice {
    let assembly = rules.assemblies.iter().find(|it| it.name == name);
    let weights = run.fabrication.panels.iter().map(|it| it.weight_lb);
    Choice {
        r_value: assembly.map_or(0.0, |it| r_value(it, &rules.dispatch.thermal)),
        n_panels: run.fabrication.panels.len(),
        square_feet: to_whole(decimal(gross_square_feet(&run.building, &run.fabrication))),
        pounds: weights.fold(0.0, |sum, weight| sum + weight),
        loads: run.loads.trucks.len(),
        total: prices
            .filter(|prices| prices.panels.contains_key(&name))
            .map(|prices| total(run, Some(prices), rules, options)),
        assembly: name,
    }
}

/// Most assemblies that stand side by side.
const MOST_CHOICES: usize = 5;

/// Assemblies to compare: those named, else those with a price, else those of the same convention of core; five at most.
fn side_by_side(
    named: &str,
    rules: &PlantRules,
    prices: Option<&Prices>,
    options: &QuoteOptions,
) -> Vec<String> {
    if options.assemblies.len() > 1 {
        let mut names: Vec<String> = Vec::new();
        for name in &options.assemblies {
            if rules.assemblies.iter().any(|it| it.name == *name) && !names.contains(name) {
                names.push(name.clone());
            }
        }
        names.truncate(MOST_CHOICES);
        return names;
    }
    let play = |it: &crate::rules::Assembly| {
        let section = rules.lumber.sections.get(&it.lumber);
        section.map(|section| it.core - section.width)
    };
    let convention = rules
        .assemblies
        .iter()
        .find(|it| it.name == named)
        .and_then(play);
    let like = rules.assemblies.iter().filter(|it| match prices {
        Some(prices) => prices.panels.contains_key(&it.name),
        None => play(it) == convention,
    });
    let mut names: Vec<String> = like.map(|it| it.name.clone()).take(MOST_CHOICES).collect();
    if !names.iter().any(|name| name == named) {
        names.truncate(MOST_CHOICES - 1);
        names.insert(0, named.to_owned());
    }
    names
}
