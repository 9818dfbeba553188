//! What a plan leaves open, by kind, and by how much it widens the range of a quote.

use crate::building::codes as building_codes;
use crate::estimate::{Question, to_whole};
use crate::fabrication::codes as fabrication_codes;
use crate::findings::{Code, Finding, Severity};
use crate::layout::codes as layout_codes;
use crate::plan::codes as plan_codes;
use rust_decimal::Decimal;

/// Doubts and faults of reading, recovery and building that no assumed figure stands for already, and what leaves a wall or a part of it
/// without panels, by kind.
pub(super) fn open_questions(findings: &[Finding]) -> Vec<Vec<String>> {
    let told = [
        building_codes::HEIGHT_ASSUMED,
        building_codes::ASSEMBLY_ASSUMED,
        building_codes::OPENING_SIZE_ASSUMED,
        building_codes::HEADER_NOT_SIZED,
        building_codes::OUTLINE_OPEN,
    ];
    let rooms = ["DRAW-", "PLAN-", "BLDG-"];
    let without_panel = [
        layout_codes::NO_LAYOUT,
        layout_codes::NO_INFILL,
        fabrication_codes::SKIN_IN_PIECES,
    ];
    let mut kinds: Vec<(Code, Vec<String>)> = Vec::new();
    let open = findings
        .iter()
        .filter(|it| it.severity != Severity::Note && !told.contains(&it.code) && !is_open(it))
        .filter(|it| {
            let is_in = |room: &&str| it.code.name().starts_with(*room);
            rooms.iter().any(is_in) || without_panel.contains(&it.code)
        });
    for finding in open {
        let reason = if finding.code == layout_codes::NO_LAYOUT {
            format!("{}: of it only the area is counted", finding.message)
        } else {
            finding.message.clone()
        };
        match kinds.iter_mut().find(|it| it.0 == finding.code) {
            Some((_, reasons)) => reasons.push(reason),
            None => kinds.push((finding.code, vec![reason])),
        }
    }
    kinds.into_iter().map(|(_, reasons)| reasons).collect()
}

/// True for a fault that an outline does not close. Where an opening or a wall is taken for the gap, what it closes is counted.
fn is_open(finding: &Finding) -> bool {
    finding.severity == Severity::Fault
        && finding.place.element.is_none()
        && [building_codes::OUTLINE_OPEN, plan_codes::NO_OUTLINE].contains(&finding.code)
}

/// Where outlines do not close: nothing behind them is counted, and no rate bounds what it will add.
pub(super) fn uncounted(findings: &[Finding]) -> Vec<String> {
    let open = findings.iter().filter(|it| is_open(it));
    let said = open.map(|it| {
        let storey = it.place.storey.as_ref();
        let storey = storey.map_or_else(String::new, |id| format!("storey {id}: "));
        format!(
            "NO BOUND ABOVE: {storey}{}; what it closes is not counted ({}, answer it in job.toml by [[correction]])",
            it.message,
            it.code.name()
        )
    });
    said.collect()
}

/// What the questions move: each takes its rate of what the others leave, so that no number of them eats the whole.
pub(super) fn widened(kinds: Vec<Vec<String>>, base: Decimal, rate: Decimal) -> Vec<Question> {
    let mut left = Decimal::ONE;
    let mut questions: Vec<Question> = Vec::new();
    for reasons in kinds {
        let before = left;
        for _ in &reasons {
            left = (left * (Decimal::ONE - rate)).round_dp(12);
        }
        let swing = to_whole(base * (before - left));
        questions.push(Question { reasons, swing });
    }
    questions.sort_by_key(|it| std::cmp::Reverse(it.swing));
    questions
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_questions_widen_a_range_but_never_eat_it() {
        // By hand: 1 - 0.985^48 = 0.5159 of 10,000; the first of them 1.5 per cent.
        let kinds = vec![vec!["a".to_owned()], vec!["b".to_owned(); 47]];
        let found = widened(kinds, Decimal::from(10_000), Decimal::new(15, 3));
        let swings: Vec<Decimal> = found.iter().map(|it| it.swing).collect();
        assert_eq!(swings[1], Decimal::from(150));
        let all: Decimal = swings.iter().sum();
        assert!(
            (all - Decimal::new(51_585, 1)).abs() < Decimal::from(2),
            "{all}"
        );
        assert_eq!(found[0].words(), "b; and 46 more like it");
    }
}
