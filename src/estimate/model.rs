//! Quantities, and a quote made of them.

use crate::rules::PriceFacts;
use rust_decimal::{Decimal, RoundingStrategy};

/// How sure a quantity is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sure {
    /// Counted on the panels as laid out.
    Counted,
    /// Counted, and a figure it hangs on is assumed.
    OnAssumed,
    /// Counted on a plan with an open question.
    Open,
    /// By a rate of the prices file.
    ByRate,
}

impl Sure {
    /// As printed.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Counted => "counted",
            Self::OnAssumed => "on assumed figures",
            Self::Open => "question open",
            Self::ByRate => "by rate",
        }
    }
}

/// What a quantity is priced by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PricedBy {
    /// Nothing: told for information.
    Nothing,
    /// `[panels]`, by assembly.
    Panel(String),
    /// `[splines]`, by kind.
    Spline(String),
    /// A key of `[materials]`.
    Material(&'static str),
    /// `labour.rate`.
    Hour,
    /// `freight.load`.
    Load,
    /// `freight.mile`.
    Mile,
}

/// One quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub item: String,
    /// How much, two decimals.
    pub quantity: Decimal,
    /// Of what: `sq ft`, `ft`, `bd ft`, `pieces`, `h`.
    pub unit: &'static str,
    /// How sure it is.
    pub sure: Sure,
    /// What prices it.
    pub by: PricedBy,
    /// Price of one.
    pub rate: Option<Decimal>,
    /// Quantity times rate, whole.
    pub amount: Option<Decimal>,
}

/// A figure that nobody stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// What was taken: `wall height 8'-0"`.
    pub words: String,
    /// What it moves: `each foot`.
    pub step: String,
    /// How to state it: `--wall-height`.
    pub option: String,
    /// What the total becomes less by, at the low side; 0 or less. Money, or square feet of panel without prices.
    pub low: Decimal,
    /// What it becomes more by, at the high side; 0 or more.
    pub high: Decimal,
}

impl Assumed {
    /// The greater of the two moves.
    #[must_use]
    pub fn swing(&self) -> Decimal {
        self.high.max(-self.low)
    }
}

/// Open questions of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Why the plan is not sure, one sentence for each place.
    pub reasons: Vec<String>,
    /// By how much all of them widen the range, each way. Money, or square feet of panel without prices.
    pub swing: Decimal,
}

impl Question {
    /// The first reason, and how many more there are like it.
    #[must_use]
    pub fn words(&self) -> String {
        let first = self.reasons.first().map_or("", String::as_str);
        match self.reasons.len() {
            0 | 1 => first.to_owned(),
            n => format!("{first}; and {} more like it", n - 1),
        }
    }
}

/// The building with another assembly.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Assembly.
    pub assembly: String,
    /// Foam and skins, resistance.
    pub r_value: f64,
    /// Panels, number.
    pub n_panels: usize,
    /// Gross panel area.
    pub square_feet: Decimal,
    /// Pounds of all panels.
    pub pounds: f64,
    /// Truck loads.
    pub loads: usize,
    /// Likely price.
    pub total: Option<Decimal>,
}

/// A quote.
#[derive(Clone, Debug, PartialEq)]
pub struct Quote {
    /// Where the prices come from; `None` without prices.
    pub prices: Option<PriceFacts>,
    /// Assembly of most walls.
    pub assembly: String,
    /// Quantities.
    pub lines: Vec<Line>,
    /// Low, likely, high: money with prices, else square feet of panel. Of what closes; where some does not, no bound above.
    pub range: [Decimal; 3],
    /// Why the range has no bound above, one sentence for each storey that is not in it; empty where it has one.
    pub uncounted: Vec<String>,
    /// Assumed figures, what moves most first.
    pub assumed: Vec<Assumed>,
    /// Open questions of recovery by kind, what moves most first.
    pub questions: Vec<Question>,
    /// Assemblies side by side.
    pub choices: Vec<Choice>,
    /// Things without a price, left out of the sum.
    pub without_price: Vec<String>,
    /// What was stated and changes nothing.
    pub idle: Vec<String>,
    /// The drawings it is made from: another issue of them is another quote.
    pub plans: Vec<QuotedPlan>,
    /// Storeys with walls, as the drawings name them.
    pub storeys: Vec<String>,
}

/// A drawing that a quote is made from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuotedPlan {
    /// Name of the file.
    pub file: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
}

impl Quote {
    /// Low, likely and high in words: without a bound above, what is likely is only of what was counted.
    #[must_use]
    pub fn range_words(&self, amount: &dyn Fn(Decimal) -> String) -> [(&'static str, String); 3] {
        let [low, likely, high] = self.range.map(amount);
        if self.uncounted.is_empty() {
            [("low", low), ("likely", likely), ("high", high)]
        } else {
            let none = "no bound".to_owned();
            [("low", low), ("counted so far", likely), ("high", none)]
        }
    }

    /// How many questions are open.
    #[must_use]
    pub fn n_questions(&self) -> usize {
        self.questions.iter().map(|it| it.reasons.len()).sum()
    }

    /// By how much they widen the range, each way.
    #[must_use]
    pub fn questions_swing(&self) -> Decimal {
        self.questions.iter().map(|it| it.swing).sum()
    }
}

/// An amount of money or an area as a quote gives it: whole, halves away from zero.
///
/// Nothing else rounds one, so that page, text and file show the same and amounts add up to what is likely.
#[must_use]
pub fn to_whole(amount: Decimal) -> Decimal {
    amount.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero)
}

/// An amount with its thousands parted: `$12,345`; whole units.
#[must_use]
pub fn whole(amount: Decimal, sign: &str) -> String {
    let rounded = to_whole(amount);
    let digits = rounded.abs().to_string();
    let digits = digits.split('.').next().unwrap_or_default();
    let mut parted = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            parted.push(',');
        }
        parted.push(digit);
    }
    let minus = if rounded.is_sign_negative() && !rounded.is_zero() {
        "-"
    } else {
        ""
    };
    format!("{minus}{sign}{parted}")
}
