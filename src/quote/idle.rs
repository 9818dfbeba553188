//! What was stated for an estimate and changes nothing: whoever stated it believes that it does.

use super::moved::{figures, openings_of};
use super::{QuoteOptions, Run};
use crate::building::{RoughOpening, SizeOrigin};
use crate::estimate::changes_nothing;
use crate::findings::Finding;
use crate::plan::OpeningKind;
use crate::rules::{PlantRules, Prices};

/// Options without an opening that they decide, miles without a price, prices of assemblies that nobody makes.
pub(super) fn found(
    run: &Run,
    options: &QuoteOptions,
    rules: &PlantRules,
    prices: Option<&Prices>,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for figure in figures(options).iter().filter(|it| it.is_typed) {
        let is_own =
            |it: &RoughOpening| it.kind == figure.kind && figure.origin(it) == SizeOrigin::Assumed;
        // Heads that nobody states are level with the doors'.
        let is_level = |it: &RoughOpening| {
            let own = rules.openings.sizes.get(&it.kind).and_then(|it| it.head);
            figure.kind == OpeningKind::Door
                && !it.kind.reaches_floor()
                && it.head_origin == SizeOrigin::Assumed
                && own.is_none()
        };
        let decides = openings_of(run).any(|it| is_own(it) || is_level(it));
        if !decides {
            let what = figure.kind.name();
            let part = if figure.is_head { "head" } else { "height" };
            found.push(changes_nothing(
                format!(
                    "{} changes nothing: no {what} lacks its {part}, plan and job state them",
                    figure.option
                ),
                "leave it out, or change the heights under [[opening]] in job.toml",
            ));
        }
    }
    // What the command line names stands on no line of the job file.
    let is_named = |rule: &str| rule.ends_with(":0");
    if options.header.is_some() && !openings_of(run).any(|it| is_named(&it.header_rule)) {
        found.push(changes_nothing(
            "--header changes nothing: there is no opening whose header the job does not name"
                .to_owned(),
            "leave it out, or change the headers under [[opening]] in job.toml",
        ));
    }
    let is_priced = prices.is_some_and(|it| it.freight.mile.is_some());
    if options.miles.is_some() && !is_priced {
        found.push(changes_nothing(
            "--miles changes nothing: no prices file prices a mile".to_owned(),
            "leave it out, or add freight.mile to the prices file",
        ));
    }
    let priced = prices.map(|it| it.panels.keys()).into_iter().flatten();
    for name in priced.filter(|name| rules.assemblies.iter().all(|it| it.name != **name)) {
        found.push(changes_nothing(
            format!("the prices file prices panels '{name}', which the plant does not make"),
            "spell it as an assembly of plant.toml, or take it out",
        ));
    }
    found
}
