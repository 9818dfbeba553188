//! The one table of how sheets look: line widths, dash patterns, inks, lettering heights, hatches.
//!
//! Widths step by the square root of two and cap heights are 3/32 in or more, as in the general drafting standards that
//! `docs/sheets.md` names (ISO 128, ASME Y14.2, US National CAD Standard; the numbers from memory). Nothing else in the
//! program knows a line width.

/// A line width.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// 0.13 mm: hatches and table rules.
    Hair,
    /// 0.18 mm: dimension, extension and leader lines, chain lines.
    Fine,
    /// 0.25 mm: hidden edges, chases, balloons.
    Thin,
    /// 0.35 mm: visible edges, dimension ticks, table heads.
    Edge,
    /// 0.5 mm: openings, joints, cut lumber and skin.
    Bold,
    /// 0.7 mm: outline, frame, floor, cutting plane.
    Heavy,
}

/// One row of the table of pens.
#[derive(Clone, Copy, Debug)]
pub struct PenRow {
    /// The pen.
    pub pen: Pen,
    /// Its class in an SVG.
    pub class: &'static str,
    /// Width on paper, mm.
    pub width: f64,
}

/// All pens.
pub const PENS: [PenRow; 6] = [
    pen_row(Pen::Hair, "w13", 0.13),
    pen_row(Pen::Fine, "w18", 0.18),
    pen_row(Pen::Thin, "w25", 0.25),
    pen_row(Pen::Edge, "w35", 0.35),
    pen_row(Pen::Bold, "w50", 0.5),
    pen_row(Pen::Heavy, "w70", 0.7),
];

const fn pen_row(pen: Pen, class: &'static str, width: f64) -> PenRow {
    PenRow { pen, class, width }
}

impl Pen {
    /// Its row.
    #[must_use]
    pub const fn row(self) -> PenRow {
        match self {
            Self::Hair => PENS[0],
            Self::Fine => PENS[1],
            Self::Thin => PENS[2],
            Self::Edge => PENS[3],
            Self::Bold => PENS[4],
            Self::Heavy => PENS[5],
        }
    }

    /// A full black line of this width.
    #[must_use]
    pub const fn full(self) -> Stroke {
        Stroke {
            pen: self,
            dash: Dash::Full,
            ink: Ink::Black,
        }
    }

    /// A dashed black line of this width.
    #[must_use]
    pub const fn dashed(self, dash: Dash) -> Stroke {
        Stroke {
            pen: self,
            dash,
            ink: Ink::Black,
        }
    }
}

/// A line pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// No breaks.
    Full,
    /// Edges behind something.
    Hidden,
    /// Chases.
    Chase,
    /// Grid lines, axes, joint lines carried into another view.
    Chain,
    /// What is not there yet or not ours: the next wall, a bridge cut out on site.
    Phantom,
}

impl Dash {
    /// Class and pattern in mm, on and off in turn; `None` for a full line.
    #[must_use]
    pub const fn row(self) -> Option<(&'static str, &'static str)> {
        match self {
            Self::Full => None,
            Self::Hidden => Some(("hid", "3 1.2")),
            Self::Chase => Some(("cha", "5 1.8")),
            Self::Chain => Some(("ctr", "9 1.4 1.4 1.4")),
            Self::Phantom => Some(("pha", "9 1.2 1.4 1.2 1.4 1.2")),
        }
    }

    /// Every pattern, for the style sheet.
    pub const ALL: [Self; 5] = [
        Self::Full,
        Self::Hidden,
        Self::Chase,
        Self::Chain,
        Self::Phantom,
    ];
}

/// What a line or a text is drawn with. Meaning never hangs on it alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Ours.
    Black,
    /// Names that are read second.
    Mid,
    /// Hatches.
    Hatch,
    /// The architect's drawing.
    Pale,
    /// What a shape already says is wrong.
    Accent,
    /// On black.
    White,
}

impl Ink {
    /// Classes for strokes and for text, and the two colours. Text stays readable: 4.5 : 1 on white (WCAG 2.1, AA).
    #[must_use]
    pub const fn row(self) -> Option<InkRow> {
        match self {
            Self::Black => None,
            Self::Mid => Some(ink_row("mid", "tmid", "#808080", "#5a5a5a")),
            Self::Hatch => Some(ink_row("hat", "that", "#777", "#666")),
            Self::Pale => Some(ink_row("pale", "tpale", "#a8a8a8", "#737373")),
            Self::Accent => Some(ink_row("acc", "tacc", "#b3261e", "#b3261e")),
            Self::White => Some(ink_row("swht", "twht", "#fff", "#fff")),
        }
    }

    /// Every ink, for the style sheet.
    pub const ALL: [Self; 6] = [
        Self::Black,
        Self::Mid,
        Self::Hatch,
        Self::Pale,
        Self::Accent,
        Self::White,
    ];
}

/// One row of the table of inks.
#[derive(Clone, Copy, Debug)]
pub struct InkRow {
    /// Class of a line.
    pub stroke_class: &'static str,
    /// Class of a text.
    pub text_class: &'static str,
    /// Colour of a line.
    pub stroke: &'static str,
    /// Colour of a text.
    pub text: &'static str,
}

const fn ink_row(
    stroke_class: &'static str,
    text_class: &'static str,
    stroke: &'static str,
    text: &'static str,
) -> InkRow {
    InkRow {
        stroke_class,
        text_class,
        stroke,
        text,
    }
}

/// What fills a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing: what lies beneath shows.
    None,
    /// White: what lies beneath is covered.
    White,
    /// Light grey.
    Light,
    /// Middle grey.
    Medium,
    /// Black.
    Black,
    /// The accent colour.
    Accent,
}

impl Fill {
    /// Class and colour; `None` for no fill.
    #[must_use]
    pub const fn row(self) -> Option<(&'static str, &'static str)> {
        match self {
            Self::None => None,
            Self::White => Some(("wht", "#fff")),
            Self::Light => Some(("g1", "#ececec")),
            Self::Medium => Some(("g2", "#d4d4d4")),
            Self::Black => Some(("k", "#000")),
            Self::Accent => Some(("facc", "#b3261e")),
        }
    }

    /// Every fill, for the style sheet.
    pub const ALL: [Self; 6] = [
        Self::None,
        Self::White,
        Self::Light,
        Self::Medium,
        Self::Black,
        Self::Accent,
    ];
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stroke {
    /// Width.
    pub pen: Pen,
    /// Pattern.
    pub dash: Dash,
    /// Colour.
    pub ink: Ink,
}

impl Stroke {
    /// The same line in another ink.
    #[must_use]
    pub const fn with(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }
}

/// Cap heights of one family of sheets, mm on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettering {
    /// Dimensions, notes, tables. Never below 3/32 in (2.38 mm).
    pub note: f64,
    /// View titles, chase heights.
    pub title: f64,
    /// Marks on a plan, neighbours' marks, face.
    pub mark: f64,
    /// Headings of a trace, sheet title.
    pub heading: f64,
    /// Marks in an elevation, weight.
    pub large: f64,
    /// The sheet number, or the mark of a panel sheet.
    pub sheet: f64,
}

/// Letter, A4, A3 and ANSI B: read at arm's length.
pub const SMALL_SHEET: Lettering = Lettering {
    note: 2.4,
    title: 3.2,
    mark: 4.0,
    heading: 5.0,
    large: 8.0,
    sheet: 17.5,
};

/// ANSI D, ARCH C and D, A1: read on a table or a wall.
pub const LARGE_SHEET: Lettering = Lettering {
    note: 3.0,
    title: 4.0,
    mark: 5.0,
    heading: 6.4,
    large: 8.0,
    sheet: 10.5,
};

impl Lettering {
    /// The same with notes and titles that many times larger.
    #[must_use]
    pub fn larger(self, by: f64) -> Self {
        Self {
            note: self.note * by,
            title: self.title * by,
            ..self
        }
    }

    /// Distance between baselines of prose.
    #[must_use]
    pub fn leading(&self) -> f64 {
        self.note * 1.6
    }
}

/// A hatch: parallel lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hatch {
    /// Direction, degrees from the paper's x, counter-clockwise.
    pub angle: f64,
    /// Between lines, mm on paper, measured across them.
    pub spacing: f64,
    /// Line.
    pub stroke: Stroke,
}

/// Foam in section.
pub const FOAM_HATCH: Hatch = hatch(-45.0, 4.0, Ink::Hatch);
/// Foam of the neighbour in section: the other way.
pub const OTHER_FOAM_HATCH: Hatch = hatch(45.0, 4.0, Ink::Hatch);
/// Skin in section.
pub const SKIN_HATCH: Hatch = hatch(45.0, 1.0, Ink::Black);
/// A band from which the foam is taken out.
pub const RECESS_HATCH: Hatch = hatch(45.0, 1.6, Ink::Hatch);
/// An exterior wall as recovered from the plan.
pub const WALL_HATCH: Hatch = hatch(45.0, 2.0, Ink::Hatch);

const fn hatch(angle: f64, spacing: f64, ink: Ink) -> Hatch {
    Hatch {
        angle,
        spacing,
        stroke: Pen::Hair.full().with(ink),
    }
}

/// Dimension lines, mm on paper.
pub mod dimension {
    /// Between object and extension line.
    pub const EXTENSION_GAP: f64 = 1.5;
    /// Extension line beyond the dimension line.
    pub const OVERRUN: f64 = 2.0;
    /// Half an oblique tick, along each axis.
    pub const HALF_TICK: f64 = 1.1;
    /// Between the line and the text above it.
    pub const TEXT_LIFT: f64 = 1.1;
    /// Distance of the lanes from the object: openings, panels, overall.
    pub const LANES: [f64; 3] = [16.0, 29.0, 42.0];
    /// Least distance of ordinate labels, in cap heights.
    pub const ORDINATE_PITCH: f64 = 1.75;
    /// White around text that must lie on a line.
    pub const MASK: f64 = 0.7;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pens_step_by_about_the_square_root_of_two_and_find_their_rows() {
        // ISO 128: line widths grow by 1 : 1.4 (from memory).
        for pair in PENS.windows(2) {
            let ratio = pair[1].width / pair[0].width;
            assert!((1.35..1.45).contains(&ratio), "{ratio}");
        }
        assert!(PENS.iter().all(|row| row.pen.row().class == row.class));
    }

    #[test]
    fn no_lettering_is_below_three_thirty_seconds_of_an_inch() {
        // 3/32 in plotted: trade.md 4.1, common practice.
        for sheet in [SMALL_SHEET, LARGE_SHEET] {
            assert!(sheet.note >= 25.4 * 3.0 / 32.0);
        }
    }

    /// How light a colour is on a printer without colour: 0 black, 1 white (relative luminance, WCAG 2.1, in part from memory).
    fn grey(colour: &str) -> f64 {
        let digits: Vec<f64> = colour
            .trim_start_matches('#')
            .chars()
            .map(|c| f64::from(c.to_digit(16).unwrap()))
            .collect();
        let parts: Vec<f64> = match digits.as_slice() {
            [r, g, b] => vec![r * 17.0, g * 17.0, b * 17.0],
            [a, b, c, d, e, f] => vec![a * 16.0 + b, c * 16.0 + d, e * 16.0 + f],
            _ => panic!("{colour}"),
        };
        let linear = |it: &f64| {
            let it = it / 255.0;
            if it <= 0.040_45 {
                it / 12.92
            } else {
                ((it + 0.055) / 1.055).powf(2.4)
            }
        };
        let parts: Vec<f64> = parts.iter().map(linear).collect();
        parts[0] * 0.2126 + parts[1] * 0.7152 + parts[2] * 0.0722
    }

    #[test]
    fn grounds_that_mean_something_differ_without_colour() {
        let of = |fill: Fill| grey(fill.row().unwrap().1);
        // A panel, one on HOLD, paper, what is cut: each a tenth lighter or darker than the next.
        let mut grounds = [Fill::White, Fill::Light, Fill::Medium, Fill::Black].map(of);
        grounds.sort_by(f64::total_cmp);
        for pair in grounds.windows(2) {
            assert!(pair[1] - pair[0] > 0.1, "{grounds:?}");
        }
        // Red prints dark: text in it is read as well as black text, contrast 4.5 : 1 on white.
        let red = grey(Ink::Accent.row().unwrap().text);
        assert!(1.05 / (red + 0.05) >= 4.5, "{red}");
    }
}
