//! Nailers behind the cabinets and decks that the plan draws, where the job asks for them.
//!
//! ```text
//!   plan: base cabinets along X1, 24 in deep  ──►  a nailer behind the inner skin, as high as the plant's rules say
//!   plan: DECK outside X2                     ──►  a nailer behind the outer skin, as high as the job says
//! ```
//!
//! Each is told as a doubt with the lines it was read from: a plan shows where something hangs, never how high or how heavy.

use super::codes;
use super::from_job::in_building;
use super::options::LayoutOptions;
use crate::building::{Building, PanelWall};
use crate::findings::{Finding, Place};
use crate::plan::{Fitment, FitmentKind, Plan, Storey};
use crate::rules::{Face, Job, Nailer, PlantRules};
use crate::units::Length;

/// Adds the nailers that the job asks for to the wishes of their walls.
pub(super) fn nail_as_drawn(
    (job, rules): (&Job, &PlantRules),
    (plan, building): (&Plan, &Building),
    options: &mut LayoutOptions,
) -> Vec<Finding> {
    let asked = job.drawn_nailers;
    let mut findings = Vec::new();
    let mut seen = [false; 2];
    for storey in &plan.storeys {
        for fitment in &storey.fitments {
            let is_deck = fitment.kind == FitmentKind::Deck;
            let is_asked = if is_deck { asked.decks } else { asked.cabinets };
            if !is_asked {
                continue;
            }
            seen[usize::from(is_deck)] = true;
            let mut walls = building.walls.iter();
            let Some(wall) = walls.find(|wall| wall.id == fitment.wall) else {
                findings.push(on_no_panels(storey, fitment));
                continue;
            };
            let nailers = nailers(job, rules, (storey, fitment), wall);
            findings.push(told(job, (storey, fitment), wall, &nailers));
            let wishes = options.walls.entry(wall.id.clone()).or_default();
            wishes.nailers.extend(nailers);
        }
    }
    for (is_asked, is_seen, what) in [
        (asked.cabinets, seen[0], "cabinets"),
        (asked.decks, seen[1], "decks"),
    ] {
        if is_asked && !is_seen {
            findings.push(Finding::doubt(
                codes::NAILERS_AS_DRAWN,
                Place::file(&job.file),
                format!("wall.nailers asks for {what} as drawn, and none are recognised on the plan"),
                "draw them on a layer of that name or write their name on them, or state nailers under [[layout]]",
            ));
        }
    }
    findings
}

/// From where to where along the wall's outside face, and behind which skin.
fn stretch(storey: &Storey, fitment: &Fitment, wall: &PanelWall) -> ([Length; 2], Face) {
    let ends = [fitment.from, fitment.to].map(|p| wall.frame.local(in_building(storey, p)));
    let [a, b] = ends.map(|(along, _)| {
        let at = Length::nearest(along, Length::TAPE_STEP).unwrap_or_default();
        at.clamp(Length::ZERO, wall.face_length)
    });
    let face = if fitment.kind == FitmentKind::Deck || ends[0].1 > -wall.drawn_thickness / 2.0 {
        Face::Outer
    } else {
        Face::Inner
    };
    ([a.min(b), a.max(b)], face)
}

fn nailers(
    job: &Job,
    rules: &PlantRules,
    (storey, fitment): (&Storey, &Fitment),
    wall: &PanelWall,
) -> Vec<Nailer> {
    let ([from, to], face) = stretch(storey, fitment, wall);
    let rule = &rules.nailers;
    let (heights, section, name) = match fitment.kind {
        FitmentKind::BaseCabinets => (
            rule.base_heights.clone(),
            &rule.cabinet_section,
            "nailers.base_heights",
        ),
        FitmentKind::WallCabinets => (
            rule.wall_heights.clone(),
            &rule.cabinet_section,
            "nailers.wall_heights",
        ),
        FitmentKind::Deck => (
            job.drawn_nailers.ledger_height.into_iter().collect(),
            &rule.ledger_section,
            "wall.ledger_height",
        ),
    };
    if from >= to {
        return Vec::new();
    }
    let each = heights.into_iter().map(|height| Nailer {
        from,
        to,
        height,
        section: section.clone(),
        what: what(fitment),
        face,
        is_drawn: true,
        rule: name,
        sources: fitment.sources.clone(),
    });
    each.collect()
}

/// `base cabinets`, or what is written on it.
fn what(fitment: &Fitment) -> String {
    if fitment.label.is_empty() {
        fitment.kind.name().to_owned()
    } else {
        fitment.label.clone()
    }
}

fn told(
    job: &Job,
    (storey, fitment): (&Storey, &Fitment),
    wall: &PanelWall,
    nailers: &[Nailer],
) -> Finding {
    let ([from, to], _) = stretch(storey, fitment, wall);
    let drawn = format!(
        "the plan draws {} along {} from {} to {}",
        what(fitment),
        wall.id,
        from.feet_inches(),
        to.feet_inches()
    );
    let place = place(storey, fitment);
    let Some(first) = nailers.first() else {
        let reason =
            if fitment.kind == FitmentKind::Deck && job.drawn_nailers.ledger_height.is_none() {
                "and how high its ledger hangs is not in the plan: no nailer is made"
            } else {
                "and no height is given for it: no nailer is made"
            };
        return Finding::doubt(
            codes::NAILERS_AS_DRAWN,
            place,
            format!("{drawn}, {reason}"),
            "write wall.ledger_height in job.toml, or a nailer with face = \"outer\" under [[layout]]; ledger and fixings: engineer",
        );
    };
    let heights: Vec<String> = nailers.iter().map(|it| it.height.to_string()).collect();
    Finding::doubt(
        codes::NAILERS_AS_DRAWN,
        place,
        format!(
            "{drawn}: nailers {} behind the {} skin, middles {} above the deck ({})",
            first.section,
            first.face.name(),
            heights.join(" and "),
            first.rule
        ),
        "confirm place and height with whoever hangs it, or take the word out of wall.nailers and state nailers under [[layout]]",
    )
}

fn place(storey: &Storey, fitment: &Fitment) -> Place {
    let middle = (fitment.from + fitment.to) / 2.0;
    Place::element(&storey.id, &fitment.wall)
        .with_at(middle.x, middle.y)
        .with_sources(fitment.sources.iter())
}

fn on_no_panels(storey: &Storey, fitment: &Fitment) -> Finding {
    Finding::note(
        codes::NAILERS_AS_DRAWN,
        place(storey, fitment),
        format!(
            "the plan draws {} along {}, which is not made of panels",
            what(fitment),
            fitment.wall
        ),
        "have blocking fitted where that wall is framed on site",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::options_of_job;
    use crate::layout::testing::rectangle;
    use crate::rules::read_job;

    fn plan() -> Plan {
        let fitment = |kind, wall: &str, from: (f64, f64), to: (f64, f64), label: &str| Fitment {
            kind,
            wall: wall.to_owned(),
            from: from.into(),
            to: to.into(),
            label: label.to_owned(),
            sources: vec!["2F".to_owned()],
        };
        Plan {
            storeys: vec![Storey {
                id: "S1".to_owned(),
                fitments: vec![
                    fitment(
                        FitmentKind::WallCabinets,
                        "X1",
                        (40.0, 6.5),
                        (100.0, 6.5),
                        "",
                    ),
                    fitment(
                        FitmentKind::Deck,
                        "X2",
                        (288.0, 24.0),
                        (288.0, 120.0),
                        "DECK",
                    ),
                    fitment(FitmentKind::BaseCabinets, "I1", (0.0, 0.0), (9.0, 0.0), ""),
                ],
                ..Storey::default()
            }],
            ..Plan::default()
        }
    }

    fn asked(keys: &str) -> (Vec<Vec<Nailer>>, Vec<Finding>) {
        let job = read_job(&format!("[wall]\n{keys}"), "job.toml")
            .unwrap()
            .output;
        let rules = PlantRules::default();
        let made = options_of_job(&job, (&plan(), &rectangle(288, 192, &rules)), &rules);
        let walls = made.output.walls.into_values();
        (walls.map(|it| it.nailers).collect(), made.findings)
    }

    #[test]
    fn what_is_drawn_gets_nailers_only_where_the_job_asks() {
        assert_eq!(asked(""), (vec![], vec![]));
        let (walls, findings) = asked("nailers = ['cabinets']");
        let [nailers] = walls.as_slice() else {
            panic!("{walls:?}")
        };
        let found: Vec<_> = nailers
            .iter()
            .map(|it| (it.from, it.to, it.height, it.face))
            .collect();
        let [from, to] = [40, 100].map(Length::inches);
        let at = |height| (from, to, Length::inches(height), Face::Inner);
        assert_eq!(found, [at(56), at(82)]);
        // One doubt with the handle, one note of a wall that is framed on site.
        assert_eq!(findings.len(), 2);
        assert_eq!(findings[0].place.sources, ["2F"]);
        assert!(
            findings[0].message.contains("middles 56\" and 82\""),
            "{}",
            findings[0].message
        );
        assert!(findings[1].message.contains("not made of panels"));
    }

    #[test]
    fn a_drawn_deck_needs_the_height_of_its_ledger() {
        let (walls, findings) = asked("nailers = ['decks']");
        assert!(walls.iter().all(Vec::is_empty));
        assert!(
            findings[0].message.contains("not in the plan"),
            "{}",
            findings[0].message
        );
        let (walls, findings) = asked("nailers = ['decks']\nledger_height = 14");
        let it = &walls[0][0];
        assert_eq!((it.from, it.to), (Length::inches(24), Length::inches(120)));
        assert_eq!(
            (it.face, it.section.as_str(), it.what.as_str()),
            (Face::Outer, "2x10", "DECK")
        );
        assert_eq!(findings.len(), 1);
    }

    #[test]
    fn asking_for_what_no_plan_shows_is_a_doubt() {
        let job = read_job("[wall]\nnailers = ['cabinets', 'decks']", "job.toml")
            .unwrap()
            .output;
        let rules = PlantRules::default();
        let plan = Plan::default();
        let found = options_of_job(&job, (&plan, &rectangle(288, 192, &rules)), &rules).findings;
        assert_eq!(found.len(), 2);
        assert!(found.iter().all(|it| it.code == codes::NAILERS_AS_DRAWN));
    }
}
