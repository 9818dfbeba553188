//! Gaps of outside walls that are asked about, taken as closed until they are answered: so the whole plan is there to be looked at.
//!
//! ```text
//!   ━━━━━━━      ━━━━━━━━┓   PLAN-02 at the gap, a fault      ━━━━━━━╌╌╌╌╌╌━━━━━━━━┓   taken as an opening; the fault
//!   ━━━━━━━      ━━━━━┓  ┃             ──►                    ━━━━━━━╌╌O1╌╌━━━━━┓  ┃   stays, and holds the panels there
//! ```
//!
//! Recovery goes once more over such a drawing, as if the job had answered "opening" at each gap, or "wall" where no opening closes
//! it. That is believed where more is enclosed and fewer gaps are open than before.
//!
//! *Does not do.* Closing silently: each gap stays a fault, at the opening or the wall that is taken for it.

use crate::findings::{Finding, Severity};
use crate::plan::answers::alternatives::give_alternatives;
use crate::plan::answers::meant::opening_meant;
use crate::plan::answers::obey::{Located, wall_at};
use crate::plan::enclosure::outline::doubled_area;
use crate::plan::{CorrectionAnchor, CorrectionIntent, OpeningKind, PlanCorrection, Storey, codes};
use geo::Coord;

/// How sure an opening is that is only assumed.
const ASSUMED: f64 = 0.4;
/// What is taken first.
const OPENING: CorrectionIntent = CorrectionIntent::Opening {
    kind: OpeningKind::Opening,
    width: None,
};

/// Answers to the gaps that findings ask about.
pub(in crate::plan) fn answers(findings: &[Finding]) -> Vec<PlanCorrection> {
    let gaps = findings.iter().filter(|it| is_gap(it));
    let answers = gaps.filter_map(|it| {
        Some(PlanCorrection {
            anchor: CorrectionAnchor::Point {
                at: it.place.at?,
                storey: None,
            },
            intent: OPENING,
            file: String::new(),
            line: 0,
        })
    });
    answers.collect()
}

/// Answers with their points, in the drawing of a file.
pub(in crate::plan) fn located<'a>(answers: &'a [PlanCorrection], file: &str) -> Vec<Located<'a>> {
    let all = answers.iter().filter_map(|correction| {
        let CorrectionAnchor::Point { at, .. } = &correction.anchor else {
            return None;
        };
        Some(Located {
            correction,
            at: Coord::from(*at),
            storey: None,
            file: Some(file.to_owned()),
        })
    });
    all.collect()
}

fn is_gap(finding: &Finding) -> bool {
    finding.code == codes::NO_OUTLINE
        && finding.severity == Severity::Fault
        && finding.place.between.is_some()
}

/// True when storeys enclose more than others do, and fewer gaps are open.
pub(in crate::plan) fn is_better(
    (storeys, findings): (&[Storey], &[Finding]),
    (others, said): (&[Storey], &[Finding]),
) -> bool {
    let area = |list: &[Storey]| -> f64 { list.iter().map(|it| doubled_area(&it.outline)).sum() };
    let open = |list: &[Finding]| {
        list.iter()
            .filter(|it| it.code == codes::NO_OUTLINE)
            .count()
    };
    area(storeys) > area(others) && open(findings) < open(said)
}

/// Marks what is only assumed, and moves the faults of its gaps to it.
///
/// - `said`: what was asked before the gaps were closed.
pub(in crate::plan) fn assume(
    storeys: &mut [Storey],
    said: &[Finding],
    findings: &mut Vec<Finding>,
) {
    for gap in said.iter().filter(|it| is_gap(it)) {
        let Some(at) = gap.place.at.map(Coord::from) else {
            continue;
        };
        let mut gap = gap.clone();
        let mut what = "wall";
        for storey in &mut *storeys {
            let index = opening_meant(storey, at);
            let opening = index.and_then(|index| storey.openings.get_mut(index));
            let element = opening.map(|opening| {
                opening.kind = OpeningKind::Opening;
                opening.confidence = ASSUMED;
                what = "an opening";
                opening.id.clone()
            });
            let element = element.or_else(|| Some(wall_at(storey, at)?.0.id.clone()));
            if element.is_some() {
                gap.place.storey = Some(storey.id.clone());
                // The fault says all that is to be said of an opening that is only assumed; another gap at it keeps its own.
                let stays = |it: &Finding| what == "wall" || it.code == codes::NO_OUTLINE;
                findings.retain(|it| it.place.element != element || stays(it));
                gap.place.element = element;
                break;
            }
        }
        gap.message += &format!("; taken as {what} until this is answered");
        findings.push(gap);
    }
    for storey in storeys {
        give_alternatives(storey, findings);
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered};
    use crate::plan::{OpeningKind, codes};

    /// A house with a window in its lower wall, and a gap without jambs in its upper one.
    fn gaping() -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let high: Vec<[f64; 4]> = lines
            .iter()
            .copied()
            .filter(|l| l[1] == l[3] && l[1] > 200.0)
            .collect();
        lines.retain(|l| !high.contains(l));
        for [from, y, to, _] in high {
            let (from, to) = (from.min(to), from.max(to));
            lines.extend([[from, y, 150.0, y], [200.0, y, to, y]]);
        }
        lines
    }

    #[test]
    fn a_gap_that_is_asked_about_is_an_opening_until_then() {
        let found = recovered(&gaping());
        let gap = found
            .findings
            .iter()
            .find(|it| it.code == codes::NO_OUTLINE);
        let gap = gap.expect("the gap is asked about");
        let storey = &found.output.storeys[0];
        assert!(!storey.outline.is_empty());
        let taken = storey
            .openings
            .iter()
            .find(|it| Some(&it.id) == gap.place.element.as_ref());
        let taken = taken.expect("the fault names what is taken for the gap");
        assert_eq!(taken.kind, OpeningKind::Opening);
        assert!((taken.width - 50.0).abs() < 0.01 && taken.confidence < 0.5);
        assert!(
            gap.message
                .ends_with("taken as an opening until this is answered")
        );
    }
}
