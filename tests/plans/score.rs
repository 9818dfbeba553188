//! How well a recovered plan agrees with the truth, by the rules of the judge beside the project (see docs/recovery.md).
//!
//! ```text
//!   wall: same line within 1 in, by length covered      opening: middle within 1 in, width within 1/8 in
//! ```

use crate::generator::plan::{TrueWall, Truth, assumed, length};
use crate::generator::plane::{Line, Point, distance};
use geo::{Area, BooleanOps, LineString, Polygon};
use panelwright::drawing::{DrawingOptions, read_drawing};
use panelwright::findings::{Finding, Severity};
use panelwright::plan::{Plan, PlanCorrections, SingleLines, recover_plan};
use std::fmt::Write as _;

/// Axis of a wall found may lie this far off, inches.
const BESIDE: f64 = 1.0;
/// A question answers for an error within this, inches.
const NEAR: f64 = 24.0;

/// What one plan scored.
#[derive(Clone, Debug, Default)]
pub(crate) struct Score {
    pub(crate) exterior: [f64; 2],
    pub(crate) interior: [f64; 2],
    /// Length of walls right, and of all recovered.
    pub(crate) precision: [f64; 2],
    pub(crate) exterior_openings: [usize; 2],
    pub(crate) interior_openings: [usize; 2],
    /// Openings right, and all recovered.
    pub(crate) opening_precision: [usize; 2],
    pub(crate) invented: usize,
    pub(crate) silent: usize,
    pub(crate) called_wrongly: f64,
    pub(crate) kinds: usize,
    pub(crate) axis_error: f64,
    pub(crate) thickness_error: f64,
    pub(crate) opening_error: f64,
    pub(crate) overlap: f64,
    pub(crate) questions: Vec<String>,
    /// Items with confidence of 0.99 or more: right, and all.
    pub(crate) sure: [usize; 2],
    pub(crate) perfect: bool,
    /// What is wrong, for people.
    pub(crate) notes: Vec<String>,
}

/// Reads a drawing and recovers its plan.
pub(crate) fn recover(dxf: &str) -> Result<(Plan, Vec<Finding>), String> {
    recover_as(dxf, assumed())
}

/// Reads a drawing and recovers its plan, told what single lines are.
pub(crate) fn recover_as(
    dxf: &str,
    single_lines: SingleLines,
) -> Result<(Plan, Vec<Finding>), String> {
    let options = DrawingOptions::default();
    let read = read_drawing(dxf.as_bytes(), "plan.dxf", &options).map_err(|it| it.to_string())?;
    let mut findings = read.findings;
    let corrections = PlanCorrections {
        single_lines,
        ..PlanCorrections::default()
    };
    let recovered = recover_plan(&[read.output], &corrections);
    findings.extend(recovered.findings);
    Ok((recovered.output, findings))
}

fn of_plan(plan: &Plan) -> Vec<TrueWall> {
    let walls = plan.storeys.iter().flat_map(|storey| &storey.walls);
    walls
        .map(|wall| TrueWall {
            start: wall.start,
            end: wall.end,
            thickness: wall.thickness,
            exterior: wall.is_exterior,
        })
        .collect()
}

/// Length of one wall that others cover, with the worst errors of axis and thickness.
fn cover<'a>(one: &TrueWall, others: impl Iterator<Item = &'a TrueWall>) -> (f64, f64, f64) {
    let line = Line::through(one.start, one.end);
    let whole = length(one);
    let (mut parts, mut axis, mut thick) = (Vec::new(), 0.0_f64, 0.0_f64);
    for other in others.filter(|other| length(other) > 1e-6) {
        let own = Line::through(other.start, other.end);
        let sine = own.along.x * line.along.y - own.along.y * line.along.x;
        let off = line.d(other.start).abs().max(line.d(other.end).abs());
        if sine.abs() > 0.5_f64.to_radians().sin() || off > BESIDE {
            continue;
        }
        let (p, q) = (line.s(other.start), line.s(other.end));
        let (from, to) = (p.min(q).max(0.0), p.max(q).min(whole));
        if to > from {
            parts.push((from, to));
            axis = axis.max(off);
            thick = thick.max((other.thickness - one.thickness).abs());
        }
    }
    parts.sort_by(|p, q| p.0.total_cmp(&q.0));
    let (mut sum, mut end) = (0.0, f64::NEG_INFINITY);
    for (from, to) in parts {
        if to > end {
            sum += to - from.max(end);
            end = to;
        }
    }
    (sum, axis, thick)
}

fn is_asked(finding: &Finding) -> bool {
    finding.severity != Severity::Note
}

/// Scores a plan.
pub(crate) fn score(plan: &Plan, findings: &[Finding], truth: &Truth) -> Score {
    let mut it = Score::default();
    let walls = of_plan(plan);
    judge_walls(&mut it, plan, &walls, truth);
    judge_openings(&mut it, plan, findings, truth);
    let ring = |list: &[Point]| Polygon::new(LineString::from(list.to_vec()), Vec::new());
    let own = ring(&truth.outline);
    for storey in plan.storeys.iter().filter(|it| it.outline.len() > 2) {
        let other = ring(&storey.outline);
        let both = own.intersection(&other).unsigned_area();
        let share = both / (own.unsigned_area() + other.unsigned_area() - both);
        it.overlap = it.overlap.max(share);
    }
    // What says the same at several places is one question, as on the trace.
    let mut asked: Vec<&Finding> = Vec::new();
    for finding in findings.iter().filter(|finding| is_asked(finding)) {
        if !asked.iter().any(|first| first.says_the_same(finding)) {
            asked.push(finding);
        }
    }
    it.questions = asked
        .iter()
        .map(|finding| format!("{} {}", finding.code.name(), finding.message))
        .collect();
    let error = |factor: f64| (1.0 / 16.0_f64).max(factor * truth.jitter);
    it.perfect = it.exterior[0] >= it.exterior[1] - 1.0
        && it.exterior_openings[0] == it.exterior_openings[1]
        && it.invented == 0
        && it.called_wrongly < 1.0
        && it.axis_error <= error(2.0)
        && it.thickness_error <= error(3.0)
        && it.opening_error <= error(3.0)
        && it.overlap > 0.999;
    it
}

fn judge_walls(it: &mut Score, plan: &Plan, walls: &[TrueWall], truth: &Truth) {
    for wall in &truth.walls {
        let pool = walls.iter().filter(|own| own.exterior || !wall.exterior);
        let (got, axis, thick) = cover(wall, pool);
        let whole = length(wall) - wall.thickness;
        let sum = if wall.exterior {
            &mut it.exterior
        } else {
            &mut it.interior
        };
        sum[0] += got.min(whole);
        sum[1] += whole;
        if got < whole - 1.0 {
            it.notes.push(format!(
                "{} wall {:.1} in thick at ({:.1}, {:.1}) to ({:.1}, {:.1}): {got:.1} of {whole:.1} found",
                if wall.exterior { "exterior" } else { "interior" },
                wall.thickness, wall.start.x, wall.start.y, wall.end.x, wall.end.y
            ));
        }
        if got > 0.0 && wall.exterior {
            it.axis_error = it.axis_error.max(axis);
            it.thickness_error = it.thickness_error.max(thick);
        }
    }
    let confidences = plan.storeys.iter().flat_map(|storey| &storey.walls);
    for (wall, own) in walls.iter().zip(confidences) {
        let whole = length(wall);
        let sum = |exterior: bool| {
            let pool = truth
                .walls
                .iter()
                .filter(|other| !exterior || other.exterior);
            pool.map(|other| cover(wall, std::iter::once(other)).0)
                .sum::<f64>()
        };
        let right = sum(false).min(whole);
        it.precision[0] += right;
        it.precision[1] += whole;
        let is_right = right > whole - wall.thickness - 2.0;
        if !is_right {
            it.notes.push(format!(
                "{} {:.1} in thick at ({:.1}, {:.1}) to ({:.1}, {:.1}): {right:.1} of {whole:.1} true",
                own.id, wall.thickness, wall.start.x, wall.start.y, wall.end.x, wall.end.y
            ));
        }
        if own.confidence >= 0.99 {
            it.sure[0] += usize::from(is_right);
            it.sure[1] += 1;
        }
        if wall.exterior {
            let rest = whole - sum(true);
            if rest > wall.thickness + 2.0 {
                it.called_wrongly += rest;
            }
        }
    }
}

fn judge_openings(it: &mut Score, plan: &Plan, findings: &[Finding], truth: &Truth) {
    let openings: Vec<_> = plan.storeys.iter().flat_map(|it| &it.openings).collect();
    let mut used = vec![false; openings.len()];
    let mut wrong: Vec<(Point, String)> = Vec::new();
    for own in &truth.openings {
        let sum = if own.exterior {
            &mut it.exterior_openings
        } else {
            &mut it.interior_openings
        };
        sum[1] += 1;
        let best = openings
            .iter()
            .enumerate()
            .filter(|(i, found)| {
                !used[*i]
                    && distance(found.centre, own.centre) <= 1.0
                    && (found.width - own.width).abs() <= 0.125
            })
            .min_by(|(_, p), (_, q)| {
                distance(p.centre, own.centre).total_cmp(&distance(q.centre, own.centre))
            });
        let words = format!(
            "{} {} {:.2} in wide at ({:.1}, {:.1})",
            if own.exterior { "exterior" } else { "interior" },
            own.kind,
            own.width,
            own.centre.x,
            own.centre.y
        );
        let Some((i, found)) = best else {
            it.notes.push(format!("{words}: missed"));
            if own.exterior {
                wrong.push((own.centre, words));
            }
            continue;
        };
        used[i] = true;
        sum[0] += 1;
        it.kinds += usize::from(found.kind.name() == own.kind);
        if found.kind.name() != own.kind {
            it.notes
                .push(format!("{words}: called {}", found.kind.name()));
        }
        if own.exterior {
            let off = distance(found.centre, own.centre).max((found.width - own.width).abs());
            it.opening_error = it.opening_error.max(off);
        }
    }
    it.opening_precision = [used.iter().filter(|it| **it).count(), used.len()];
    for (found, used) in openings.iter().zip(&used) {
        if found.confidence >= 0.99 {
            it.sure[0] += usize::from(*used);
            it.sure[1] += 1;
        }
        if *used {
            continue;
        }
        let words = format!(
            "{} {} {:.2} in wide at ({:.1}, {:.1}), confidence {:.2}",
            found.id,
            found.kind.name(),
            found.width,
            found.centre.x,
            found.centre.y,
            found.confidence
        );
        it.notes.push(format!("{words}: not true"));
        let mut walls = plan.storeys.iter().flat_map(|storey| &storey.walls);
        if walls.any(|wall| wall.id == found.wall && wall.is_exterior) {
            it.invented += 1;
            wrong.push((found.centre, words));
        }
    }
    for (at, words) in wrong {
        let mut asked = findings.iter().filter(|finding| is_asked(finding));
        let is_asked = asked.any(|finding| {
            let place = finding.place.at;
            place.is_some_and(|p| distance(Point { x: p[0], y: p[1] }, at) <= NEAR)
        });
        if !is_asked {
            it.silent += 1;
            it.notes.push(format!("SILENT: {words}"));
        }
    }
}

/// Sums over plans.
#[derive(Clone, Debug, Default)]
pub(crate) struct Total {
    pub(crate) plans: usize,
    pub(crate) perfect: usize,
    pub(crate) refused: usize,
    pub(crate) most_questions: usize,
    pub(crate) questions: usize,
    pub(crate) sum: Score,
}

impl Total {
    pub(crate) fn add(&mut self, one: &Score) {
        self.plans += 1;
        self.perfect += usize::from(one.perfect);
        self.questions += one.questions.len();
        self.most_questions = self.most_questions.max(one.questions.len());
        let sum = &mut self.sum;
        for k in 0..2 {
            sum.exterior[k] += one.exterior[k];
            sum.interior[k] += one.interior[k];
            sum.precision[k] += one.precision[k];
            sum.exterior_openings[k] += one.exterior_openings[k];
            sum.interior_openings[k] += one.interior_openings[k];
            sum.opening_precision[k] += one.opening_precision[k];
            sum.sure[k] += one.sure[k];
        }
        sum.invented += one.invented;
        sum.silent += one.silent;
        sum.kinds += one.kinds;
        sum.opening_error = sum.opening_error.max(one.opening_error);
    }

    /// Stops at the first figure that falls short of what the set has to reach.
    #[track_caller]
    pub(crate) fn assert(&self, goal: &crate::Goal) {
        let it = &self.sum;
        let figures = [
            (
                "exterior perfect",
                counts([self.perfect, self.plans]),
                goal.perfect,
            ),
            ("exterior walls", share(it.exterior), goal.exterior),
            (
                "exterior openings",
                counts(it.exterior_openings),
                goal.exterior_openings,
            ),
            ("interior walls", share(it.interior), goal.interior),
            (
                "interior openings",
                counts(it.interior_openings),
                goal.interior,
            ),
            ("walls right", share(it.precision), goal.precision),
            (
                "openings right",
                counts(it.opening_precision),
                goal.precision,
            ),
            ("sure and right", counts(it.sure), goal.sure),
        ];
        for (name, figure, floor) in figures {
            assert!(
                figure >= floor,
                "{name}: {figure:.4}, at least {floor} is asked for"
            );
        }
        let silent = goal.silent_in_100 * self.plans;
        assert!(it.silent * 100 <= silent, "{} silent errors", it.silent);
        let most = self.most_questions;
        assert!(most <= goal.questions, "{most} questions on one plan");
    }

    /// One line for people.
    pub(crate) fn line(&self, name: &str) -> String {
        let it = &self.sum;
        let mut out = String::new();
        let _ = write!(
            out,
            "{name}: {} of {} exterior perfect; exterior walls {:.4}, openings {} of {}, invented {}, silent {}; \
             interior walls {:.4}, openings {} of {}; right of recovered: walls {:.4}, openings {} of {}; kinds {}; \
             questions {} (most {}); sure and right {} of {}; refused {}",
            self.perfect,
            self.plans,
            share(it.exterior),
            it.exterior_openings[0],
            it.exterior_openings[1],
            it.invented,
            it.silent,
            share(it.interior),
            it.interior_openings[0],
            it.interior_openings[1],
            share(it.precision),
            it.opening_precision[0],
            it.opening_precision[1],
            it.kinds,
            self.questions,
            self.most_questions,
            it.sure[0],
            it.sure[1],
            self.refused
        );
        out
    }
}

/// Part of a whole; all of nothing.
pub(crate) fn share(of: [f64; 2]) -> f64 {
    if of[1] > 0.0 { of[0] / of[1] } else { 1.0 }
}

/// Part of a whole, counted.
fn counts(of: [usize; 2]) -> f64 {
    let real = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    share([real(of[0]), real(of[1])])
}
