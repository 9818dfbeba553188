//! Plans of one storey more than once on a sheet: existing and proposed, option A and option B, once more for furniture. One of them
//! is built.

use crate::drawing::{PlanVariant, ViewKind, ViewTitle, plan_variant, storey_level};
use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::codes;
use crate::plan::enclosure::shells::Shell;
use crate::plan::inside::rooms::title;
use crate::plan::storeys::several::lower_left;
use crate::plan::storeys::views::own_title;
use geo::Coord;

/// What a plan's title says, how high it lies, and which of several plans of its storey it is.
type Told = (String, Option<i32>, Option<PlanVariant>);

/// The outline of a plan, drawing coordinates.
fn laid(it: &Traced<'_>, own: &Shell<'_>) -> Vec<Coord<f64>> {
    own.outline.iter().map(|p| *p + it.lines.origin).collect()
}

/// Plans by whether they are taken.
pub(in crate::plan) struct Chosen<'b, 'a> {
    pub taken: Vec<&'b Shell<'a>>,
    pub left: Vec<&'b Shell<'a>>,
    /// What is asked about those left out.
    pub asked: Option<Finding>,
}

/// Asks about plans whose titles say that something else may be built: all of them are as it is now, one is an option whose
/// fellows are not on the sheet, or the title is one of a plan of something else.
pub(in crate::plan) fn ask_about_titles(it: &Traced<'_>, taken: &[&Shell<'_>]) -> Option<Finding> {
    let laid = |own: &Shell<'_>| laid(it, own);
    let told: Vec<(String, Option<PlanVariant>)> = (taken.iter())
        .map(|own| title(it.drawing, it.views, &laid(own)))
        .map(|title| (title.clone(), plan_variant(&title)))
        .collect();
    let mut all = taken.iter().zip(&told);
    let is_option =
        |it: &(String, Option<PlanVariant>)| matches!(it.1, Some(PlanVariant::Option(_)));
    let is_existing = |it: &(String, Option<PlanVariant>)| it.1 == Some(PlanVariant::Existing);
    let (own, words) = if let Some((own, it)) = all.clone().find(|own| is_option(own.1)) {
        let words = format!(
            "'{}' is one of several options, and the others are not on the sheet",
            it.0
        );
        (own, words)
    } else if told.iter().all(is_existing) {
        let (own, it) = all.next()?;
        let words = format!(
            "'{}' shows the building as it is, and no plan shows it as it shall be",
            it.0
        );
        (own, words)
    } else {
        let other = |own: &&&Shell<'_>| {
            let title = own_title(&it.views.titles, &laid(own));
            title.filter(|it| it.kind != ViewKind::Plan)
        };
        let own = taken.iter().find(|own| other(own).is_some())?;
        let title = other(&own)?;
        let words = format!(
            "the plan has the title '{}' ({}), and there is no other",
            title.text,
            title.kind.name()
        );
        (own, words)
    };
    let at = lower_left(&own.outline) + it.lines.origin;
    Some(Finding::doubt(
        codes::PLAN_TITLE,
        Where::file(&it.drawing.file).with_at(at.x, at.y),
        format!("{words}: it is taken"),
        "check that this is the plan that is built, and have its title corrected",
    ))
}

/// Of plans that show one storey as it is and as it shall be, as options, or once more, takes one: the proposed, else the first option,
/// else the one that is not for furniture or finishes, else the first.
pub(in crate::plan) fn choose<'b, 'a>(
    it: &Traced<'_>,
    plans: Vec<&'b Shell<'a>>,
) -> Chosen<'b, 'a> {
    let laid: Vec<Vec<Coord<f64>>> = plans.iter().map(|own| laid(it, own)).collect();
    let told: Vec<Told> = laid
        .iter()
        .map(|corners| {
            let title = title(it.drawing, it.views, corners);
            let (level, variant) = (storey_level(&title), plan_variant(&title));
            (title, level, variant)
        })
        .collect();
    let titles = laid
        .iter()
        .map(|corners| own_title(&it.views.titles, corners));
    let titles: Vec<Option<&ViewTitle>> = titles.collect();
    let once_more = |own: usize| once_more(&plans, &told, &titles, own);
    // What of the same storey goes before a plan.
    let better = |own: usize| {
        let (_, level, variant) = &told[own];
        let others = || told.iter().filter(|it| it.1 == *level);
        match variant {
            Some(PlanVariant::Existing) => {
                let mut same = others().filter(|it| it.2 != Some(PlanVariant::Existing));
                same.next()
            }
            Some(PlanVariant::Option(key)) => {
                let before =
                    |it: &&Told| matches!(&it.2, Some(PlanVariant::Option(other)) if other < key);
                others().filter(before).min_by(|p, q| p.2.cmp(&q.2))
            }
            // One that says no storey shows any of them.
            Some(PlanVariant::Trade) => {
                let same = told.iter().filter(|it| level.is_none() || it.1 == *level);
                let mut same = same.filter(|it| it.2 != Some(PlanVariant::Trade));
                same.next().or_else(|| once_more(own))
            }
            _ => once_more(own),
        }
    };
    let goes: Vec<_> = (0..plans.len()).map(better).collect();
    let asked = (0..plans.len()).find(|i| goes[*i].is_some()).map(|first| {
        let corners = &plans[first].outline;
        let sum = corners
            .iter()
            .fold(Coord { x: 0.0, y: 0.0 }, |sum, p| sum + *p);
        #[expect(
            clippy::cast_precision_loss,
            reason = "outlines have far fewer than 2^53 corners"
        )]
        let at = sum / corners.len().max(1) as f64 + it.lines.origin;
        let place = Where::file(&it.drawing.file).with_at(at.x, at.y);
        let pairs = (0..plans.len()).filter_map(|i| Some((&told[i].0, &goes[i]?.0)));
        let pairs: Vec<String> = pairs
            .map(|(left, taken)| format!("'{taken}' is taken, '{left}' left out"))
            .collect();
        let pairs = pairs.join("; ");
        // Which option is built no drawing says.
        if matches!(told[first].2, Some(PlanVariant::Option(_))) {
            Finding::fault(
                codes::SEVERAL_PLANS,
                place,
                format!("the sheet shows options of one storey, and one of them is built: {pairs}"),
                "give the option that is built a drawing of its own",
            )
        } else {
            let is_existing = told[first].2 == Some(PlanVariant::Existing);
            let how = if is_existing {
                "as it is and as it shall be"
            } else {
                "more than once"
            };
            Finding::doubt(
                codes::SEVERAL_PLANS,
                place,
                format!("the sheet shows a storey {how}: {pairs}"),
                "if the other is meant, give it a drawing of its own",
            )
        }
    });
    let both = plans.into_iter().zip(&goes);
    let (left, taken): (Vec<_>, Vec<_>) = both.partition(|it| it.1.is_some());
    Chosen {
        taken: taken.into_iter().map(|it| it.0).collect(),
        left: left.into_iter().map(|it| it.0).collect(),
        asked,
    }
}

/// Outlines are the same within this, inches.
const SAME: f64 = 0.5;

/// The first plan of the same outline and with as many openings, where both have titles of their own that say no other storey: one
/// plan, drawn twice.
fn once_more<'t>(
    plans: &[&Shell<'_>],
    told: &'t [Told],
    titles: &[Option<&ViewTitle>],
    own: usize,
) -> Option<&'t Told> {
    let size = |of: usize| {
        let low = lower_left(&plans[of].outline);
        let back: Vec<Coord<f64>> = plans[of].outline.iter().map(|p| -*p).collect();
        -lower_left(&back) - low
    };
    let is_same = |other: usize| {
        let (p, q) = (plans[own], plans[other]);
        let off = size(own) - size(other);
        off.x.abs().max(off.y.abs()) < SAME
            && (p.area - q.area).abs() < SAME * (size(own).x + size(own).y)
            && p.outline.len() == q.outline.len()
            && p.n_openings == q.n_openings
    };
    let left = |of: usize| lower_left(&plans[of].outline).x;
    // One that is left out by its own title leaves no other out.
    let stays = |of: usize| {
        let variant = &told[of].2;
        matches!(variant, None | Some(PlanVariant::Proposed)) || *variant == told[own].2
    };
    let mut before = (0..plans.len()).filter(|other| {
        left(*other) < left(own)
            && stays(*other)
            && titles[*other].is_some()
            && titles[*other] != titles[own]
            && told[*other].1 == told[own].1
            && is_same(*other)
    });
    titles[own]?;
    before.next().map(|it| &told[it])
}

#[cfg(test)]
mod tests {
    use crate::findings::Severity;
    use crate::plan::codes;
    use crate::plan::trial::{open_shell, recovered_among};

    /// Names of the storeys of a sheet that shows one plan under each of these titles.
    fn taken(titles: &[&str]) -> Vec<String> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let (mut all, mut words, mut x) = (Vec::new(), Vec::new(), 0.0);
        for title in titles {
            all.extend(lines.iter().map(|l| [l[0] + x, l[1], l[2] + x, l[3]]));
            words.push((*title, [180.0 + x, -40.0]));
            x += 600.0;
        }
        let found = recovered_among(&all, &[], &words).output;
        found.storeys.into_iter().map(|it| it.name).collect()
    }

    #[test]
    fn a_plan_shown_once_more_is_one_storey() {
        let working = "%%uWORKING PLAN";
        let titles = ["%%uFURNITURE LAYOUT", working, "%%uDIMENSION PLAN"];
        assert_eq!(taken(&titles), ["WORKING PLAN"]);
        assert_eq!(taken(&titles[..1]), ["FURNITURE LAYOUT"]);
        let storeys = ["%%uFIRST FLOOR PLAN", "%%uSECOND FLOOR PLAN"];
        assert_eq!(taken(&storeys).len(), 2);
        assert_eq!(taken(&["", ""]).len(), 2);
    }

    /// What is asked about the only plan of a sheet by its title.
    fn asked(title: &str) -> Option<String> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let found = recovered_among(&lines, &[], &[(title, [180.0, -30.0])]).findings;
        let own = found.into_iter().find(|it| it.code == codes::PLAN_TITLE)?;
        assert!(own.severity == Severity::Doubt && own.place.at.is_some());
        Some(own.message)
    }

    #[test]
    fn a_title_that_says_that_something_else_may_be_built_is_asked_about() {
        for (title, word) in [
            ("%%uEXISTING FLOOR PLAN", "as it is"),
            ("%%uGRUNDRISS EG BESTAND", "as it is"),
            ("%%uFIRST FLOOR PLAN - OPTION B", "options"),
            ("%%uOPTION A", "options"),
            ("%%uDEMOLITION PLAN", "DEMOLITION PLAN"),
        ] {
            let said = asked(title).unwrap_or_default();
            assert!(said.contains(word), "{title}: {said}");
        }
        assert_eq!(asked("%%uFIRST FLOOR PLAN"), None);
        assert_eq!(asked("%%uPROPOSED FLOOR PLAN"), None);
        assert_eq!(asked(""), None);
    }
}
