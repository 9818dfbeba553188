//! How a plan may be drawn: everything that varies from office to office, chosen by chance.

use super::plane::{Point, point};
use super::random::Random;
use super::sheet::{Lie, Writing};

/// How exact the drawing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Level {
    /// Exact, names, the unit stated.
    Easy,
    /// Exact, but turned, far away, all on one layer, furnished, the unit not stated or stated wrong.
    Mixed,
    /// Drafted with errors.
    Hard,
}

impl Level {
    /// Levels take turns.
    pub(crate) fn of(seed: u64) -> Self {
        match seed % 3 {
            0 => Self::Easy,
            1 => Self::Mixed,
            _ => Self::Hard,
        }
    }

    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Easy => "easy",
            Self::Mixed => "mixed",
            Self::Hard => "hard",
        }
    }
}

/// How walls are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Walls {
    /// Two faces and jambs, as lines.
    Lines,
    /// Each piece of wall as one closed polyline.
    Rings,
    /// Lines, and a hatch between them.
    Poche,
    /// A hatch and nothing else.
    HatchOnly,
    /// Filled quadrilaterals and nothing else.
    Solids,
    /// Polylines as wide as the wall.
    Wide,
    /// Multi-lines.
    Multi,
    /// One line each.
    Single,
}

/// How windows are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Glass {
    /// Lines of glass, 1 to 4.
    pub(crate) lines: usize,
    /// The sill is drawn on both faces.
    pub(crate) sills: bool,
    /// A frame stands at each jamb.
    pub(crate) frames: bool,
}

/// How doors are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Leaf {
    /// A quarter circle and a line.
    Swing,
    /// A quarter circle and a leaf of its thickness.
    ThickSwing,
    /// A quarter circle of chords.
    Chords,
    /// A leaf at 45 degrees and its arc.
    Half,
    /// A leaf at 90 degrees and no arc.
    Alone,
    /// A leaf at 45 degrees and no arc.
    AloneHalf,
    /// A straight line from the leaf's tip to the other jamb.
    Chord,
    /// Two leaves that slide past each other.
    Sliding,
}

/// Names of layers: walls, doors, windows, furniture, words, dimensions, hatch, grid, roof.
pub(crate) type Names = [&'static str; 9];

const NAMES: [Names; 8] = [
    [
        "A-WALL",
        "A-DOOR",
        "A-GLAZ",
        "A-FURN",
        "A-ANNO-TEXT",
        "A-ANNO-DIMS",
        "A-HATCH",
        "S-GRID",
        "A-ROOF",
    ],
    [
        "WALLS",
        "DOORS",
        "WINDOWS",
        "FURNITURE",
        "TEXT",
        "DIMS",
        "HATCH",
        "GRID",
        "ROOF",
    ],
    [
        "WAND",
        "TUEREN",
        "FENSTER",
        "MOEBEL",
        "BESCHRIFTUNG",
        "BEMASSUNG",
        "SCHRAFFUR",
        "RASTER",
        "DACH",
    ],
    [
        "MUROS",
        "PUERTAS",
        "VENTANAS",
        "MUEBLES",
        "TEXTO",
        "COTAS",
        "SOMBREADO",
        "EJES",
        "CUBIERTA",
    ],
    [
        "MURS", "PORTES", "FENETRES", "MOBILIER", "TEXTE", "COTES", "HACHURES", "AXES", "TOITURE",
    ],
    [
        "МЛ-СТЕНЫ",
        "ДВЕРИ",
        "ОКНА",
        "МЕБЕЛЬ",
        "ТЕКСТ",
        "РАЗМЕРЫ",
        "ШТРИХОВКА",
        "ОСИ",
        "КРОВЛЯ",
    ],
    [
        "墙", "门", "窗", "家具", "文字", "尺寸", "填充", "轴线", "屋顶",
    ],
    ["L1", "L2", "L3", "L4", "L5", "L6", "L7", "L8", "L9"],
];
const ZERO: Names = ["0"; 9];

/// Errors of drafting.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Errors {
    /// Ends lie off by up to this each way, inches.
    pub(crate) jitter: f64,
    /// Share of lines broken, doubled, too short or too long.
    pub(crate) share: f64,
    /// Ends miss by up to this, inches.
    pub(crate) miss: f64,
}

/// How one plan is drawn.
#[derive(Clone, Debug)]
pub(crate) struct Style {
    pub(crate) level: Level,
    pub(crate) walls: Walls,
    pub(crate) glass: Glass,
    pub(crate) leaf: Leaf,
    pub(crate) inner_leaf: Leaf,
    pub(crate) names: Names,
    /// Windows and doors are blocks.
    pub(crate) blocks: bool,
    /// Blocks are nested and anonymous.
    pub(crate) nested: bool,
    /// Faces run on over openings.
    pub(crate) run_on: bool,
    /// The inside face of an outside wall runs on past the walls that meet it.
    pub(crate) unbroken: bool,
    pub(crate) furniture: bool,
    pub(crate) dimensions: bool,
    pub(crate) call_outs: bool,
    pub(crate) grid: bool,
    pub(crate) frame: bool,
    pub(crate) overhang: bool,
    pub(crate) stairs: bool,
    pub(crate) porch: bool,
    pub(crate) floor_hatch: bool,
    pub(crate) lie: Lie,
    pub(crate) writing: Writing,
    pub(crate) unit: &'static str,
    pub(crate) declared: bool,
    pub(crate) errors: Option<Errors>,
}

/// Name, inches, code of the header.
const IMPERIAL: [(&str, f64, i32); 2] = [("in", 1.0, 1), ("ft", 12.0, 2)];
const METRIC: [(&str, f64, i32); 3] = [
    ("mm", 1.0 / 25.4, 4),
    ("cm", 1.0 / 2.54, 5),
    ("m", 1000.0 / 25.4, 6),
];

impl Style {
    pub(crate) fn choose(random: &mut Random, level: Level, metric: bool) -> Self {
        let is_easy = level == Level::Easy;
        let walls = match level {
            Level::Hard => random.pick(&[
                Walls::Lines,
                Walls::Lines,
                Walls::Lines,
                Walls::Rings,
                Walls::Poche,
            ]),
            _ => random.pick(&[
                Walls::Lines,
                Walls::Lines,
                Walls::Lines,
                Walls::Rings,
                Walls::Poche,
                Walls::HatchOnly,
                Walls::Solids,
                Walls::Wide,
                Walls::Multi,
            ]),
        };
        let version = match walls {
            Walls::Poche | Walls::HatchOnly | Walls::Multi => {
                random.pick(&["AC1015", "AC1024", "AC1032"])
            }
            _ => random.pick(&["AC1009", "AC1015", "AC1018", "AC1027"]),
        };
        let named = is_easy || random.chance(0.5);
        let plain: Vec<Names> = NAMES
            .iter()
            .copied()
            .filter(|names| version != "AC1009" || names[0].is_ascii())
            .collect();
        let names = if named { random.pick(&plain) } else { ZERO };
        let unit = if metric {
            random.pick(&METRIC)
        } else {
            random.pick(&IMPERIAL)
        };
        let declared = is_easy || random.chance(0.4);
        let unit_code = if declared {
            unit.2
        } else {
            random.pick(&[0, 0, 4, 1])
        };
        let turn = if is_easy || random.chance(0.5) {
            0.0
        } else {
            random
                .pick(&[15.0_f64, 90.0, 30.0, 37.2, -12.5, 0.05, -0.08])
                .to_radians()
        };
        let shift = if is_easy {
            point(random.stepped(0.0, 600.0, 12.0), 0.0)
        } else {
            far(random)
        };
        let leaf = |random: &mut Random| {
            random.pick(&[
                Leaf::Swing,
                Leaf::Swing,
                Leaf::ThickSwing,
                Leaf::Chords,
                Leaf::Half,
                Leaf::Alone,
                Leaf::AloneHalf,
                Leaf::Chord,
                Leaf::Sliding,
            ])
        };
        let errors = (level == Level::Hard).then(|| Errors {
            jitter: random.pick(&[0.0, 0.02, 0.06]),
            share: random.between(0.05, 0.2),
            miss: random.between(0.05, 0.4),
        });
        Self {
            level,
            walls,
            glass: Glass {
                lines: 1 + random.index(4),
                sills: random.chance(0.7),
                frames: random.chance(0.3),
            },
            leaf: leaf(random),
            inner_leaf: leaf(random),
            names,
            blocks: random.chance(0.4),
            nested: random.chance(0.3),
            run_on: matches!(walls, Walls::Lines | Walls::Poche) && random.chance(0.2),
            unbroken: walls == Walls::Lines && random.chance(0.25),
            furniture: random.chance(if is_easy { 0.5 } else { 0.85 }),
            dimensions: random.chance(0.7),
            call_outs: !metric && random.chance(0.3),
            grid: random.chance(0.3),
            frame: random.chance(0.4),
            overhang: random.chance(0.3),
            stairs: random.chance(0.4),
            porch: random.chance(0.3),
            floor_hatch: random.chance(0.2),
            lie: Lie {
                mirrored: false,
                turn,
                shift,
            },
            writing: Writing {
                inches_per_unit: unit.1,
                unit_code,
                version,
            },
            unit: unit.0,
            declared,
            errors,
        }
    }
}

impl Style {
    /// The same office drawing each wall by one line: what stands in the walls is drawn on that line.
    pub(crate) fn by_single_lines(self, random: &mut Random) -> Self {
        let leaf = |leaf: Leaf| match leaf {
            Leaf::AloneHalf | Leaf::Chord | Leaf::Sliding => Leaf::Swing,
            other => other,
        };
        Self {
            walls: Walls::Single,
            leaf: leaf(self.leaf),
            inner_leaf: leaf(self.inner_leaf),
            // The line of the wall runs on under windows, or stops at their box.
            run_on: random.chance(0.5),
            unbroken: false,
            ..self
        }
    }
}

fn far(random: &mut Random) -> Point {
    if random.chance(0.4) {
        return point(0.0, 0.0);
    }
    point(
        random.stepped(-90_000.0, 900_000.0, 12.0),
        random.stepped(-90_000.0, 900_000.0, 12.0),
    )
}
