//! Small drawings for tests: lines in, plan out.

use super::axis::{Axis, distance};
use super::lines::rails::Rails;
use super::lines::segments::{Lines, lines};
use super::lines::symbols::Place;
use super::pieces::bands::{Band, THICKEST, bands};
use super::pieces::held::Held;
use super::pieces::solids::{Solid, solids};
use super::walls::runs::{Run, runs};
use super::{
    CorrectionAnchor, CorrectionIntent, Plan, PlanCorrection, PlanCorrections, SingleLines,
    recover_plan,
};
use crate::drawing::{Curve, Drawing, Scale, Source, SourceIndex, Stroke, Text};
use crate::findings::Outcome;
use geo::Coord;

/// The two faces, the ends and so all four sides of a box.
pub(super) fn sides(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<[f64; 4]> {
    vec![
        [x0, y0, x1, y0],
        [x1, y0, x1, y1],
        [x1, y1, x0, y1],
        [x0, y1, x0, y0],
    ]
}

/// The outer and the inner faces of a house of 6 in walls, 30 ft by 20 ft, its lower left outer corner at the origin.
pub(super) fn shell() -> Vec<[f64; 4]> {
    let mut lines = sides(0.0, 0.0, 360.0, 240.0);
    lines.extend(sides(6.0, 6.0, 354.0, 234.0));
    lines
}

/// The shell with its lower wall cut away between two places, jambs drawn.
pub(super) fn open_shell(from: f64, to: f64) -> Vec<[f64; 4]> {
    let mut lines = shell();
    lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0));
    for y in [0.0, 6.0] {
        let (start, end) = if y > 0.0 { (6.0, 354.0) } else { (0.0, 360.0) };
        lines.push([start, y, from, y]);
        lines.push([to, y, end, y]);
    }
    lines.push([from, 0.0, from, 6.0]);
    lines.push([to, 0.0, to, 6.0]);
    lines
}

/// Recovers the plan of lines in inches, all on layer 0.
pub(super) fn recovered(lines: &[[f64; 4]]) -> Outcome<Plan> {
    recovered_with(lines, &[])
}

/// A quarter circle.
pub(super) struct Swing {
    pub centre: [f64; 2],
    pub radius: f64,
    /// Where it starts, radians.
    pub start: f64,
}

/// Recovers the plan of lines and swings in inches, all on layer 0.
pub(super) fn recovered_with(lines: &[[f64; 4]], swings: &[Swing]) -> Outcome<Plan> {
    recovered_among(lines, swings, &[])
}

/// The same with words at places.
pub(super) fn recovered_among(
    lines: &[[f64; 4]],
    swings: &[Swing],
    words: &[(&str, [f64; 2])],
) -> Outcome<Plan> {
    let corrections = PlanCorrections {
        // As the shipped plant rules have it.
        single_lines: SingleLines {
            exterior: 6.5,
            interior: 4.5,
            ..SingleLines::default()
        },
        ..PlanCorrections::default()
    };
    recover_plan(&[drawing(lines, swings, words)], &corrections)
}

/// Recovers the plan of lines and words with one correction at a point, if there is one.
pub(super) fn corrected(
    lines: &[[f64; 4]],
    words: &[(&str, [f64; 2])],
    (at, storey): ([f64; 2], Option<&str>),
    intent: Option<CorrectionIntent>,
) -> Outcome<Plan> {
    let storey = storey.map(str::to_owned);
    let list = intent.map(|intent| PlanCorrection {
        anchor: CorrectionAnchor::Point { at, storey },
        intent,
        file: "job.toml".to_owned(),
        line: 1,
    });
    let corrections = PlanCorrections {
        list: list.into_iter().collect(),
        ..PlanCorrections::default()
    };
    recover_plan(&[drawing(lines, &[], words)], &corrections)
}

/// What recovery makes of lines on the way to a plan; axes begin at [`Lines::origin`].
pub(super) struct Pieces {
    pub lines: Lines,
    pub bands: Vec<Band>,
    pub solids: Vec<Solid>,
    pub held: Vec<Held>,
    pub runs: Vec<Run>,
}

/// The pieces of lines in inches.
pub(super) fn pieces(list: &[[f64; 4]]) -> Pieces {
    let drawing = drawing(list, &[], &[]);
    let lines = lines(&drawing);
    let rails = Rails::new(&lines.segments, &lines.index, lines.slack);
    let place = Place::new(&drawing, &lines, Vec::new());
    let (bands, _) = bands(&rails, THICKEST, lines.slack);
    let (solids, held) = solids(&rails, &bands, &place, lines.slack);
    let runs = runs(&rails, solids.clone(), &place, lines.slack);
    Pieces {
        bands,
        solids,
        held,
        runs,
        lines,
    }
}

/// A straight wall with nothing in it, by its centre line.
pub(super) fn wall(from: [f64; 2], to: [f64; 2], thickness: f64, support: f64) -> Option<Run> {
    let (from, to) = (Coord::from(from), Coord::from(to));
    let long = distance(from, to);
    Some(Run {
        axis: Axis::through(from, to)?,
        thickness,
        u0: 0.0,
        u1: long,
        cells: Vec::new(),
        rails: Vec::new(),
        layers: Vec::new(),
        support,
        capped: [false, false],
        n_solids: 1,
        longest: long,
        is_curtain: false,
        curve: None,
        margin: 1.0,
    })
}

pub(super) fn drawing(lines: &[[f64; 4]], swings: &[Swing], words: &[(&str, [f64; 2])]) -> Drawing {
    let lines = lines.iter().map(|l| Curve::Line {
        start: Coord { x: l[0], y: l[1] },
        end: Coord { x: l[2], y: l[3] },
    });
    let swings = swings.iter().map(|it| Curve::Arc {
        centre: it.centre.into(),
        radius: it.radius,
        start_angle: it.start,
        sweep: std::f64::consts::FRAC_PI_2,
    });
    let strokes = lines
        .chain(swings)
        .map(|curve| Stroke {
            curve,
            source: SourceIndex(0),
            part: 0,
            is_face: false,
            is_approximate: false,
        })
        .collect();
    Drawing {
        file: "trial.dxf".to_owned(),
        scale: Scale {
            inches_per_unit: 1.0,
            confidence: 1.0,
            ..Scale::default()
        },
        sources: vec![Source {
            layer: "0".to_owned(),
            ..Source::default()
        }],
        strokes,
        texts: words.iter().map(|it| text(it.0, it.1)).collect(),
        ..Drawing::default()
    }
}

fn text(content: &str, at: [f64; 2]) -> Text {
    Text {
        content: content.to_owned(),
        at: at.into(),
        middle: at.into(),
        height: 6.0,
        angle: 0.0,
        tag: None,
        is_underlined: false,
        placement: None,
        source: SourceIndex(0),
    }
}

/// Openings of exterior walls: centre and width, by place.
pub(super) fn exterior_openings(plan: &Plan) -> Vec<[f64; 3]> {
    let mut list: Vec<[f64; 3]> = plan
        .storeys
        .iter()
        .flat_map(|storey| {
            storey
                .openings
                .iter()
                .filter(|o| storey.walls.iter().any(|w| w.id == o.wall && w.is_exterior))
        })
        .map(|o| [o.centre.x, o.centre.y, o.width])
        .collect();
    list.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    list
}
