//! `panelwright estimate`.

use super::args::{Estimate, Format, Shared};
use super::place::{Place, Standing};
use super::{COMPLETE, read_input, read_inputs, report};
use anyhow::{Context, Result};
use panelwright::documents::{findings_json, quote_text};
use panelwright::findings::{Finding, Severity};
use panelwright::package::MakeOptions;
use panelwright::quote::{QuoteOptions, quote};

/// A file that only an estimate leaves in a folder.
const QUOTE_FILES: &[&str] = &["quote.json"];

pub(super) fn run(estimate: &Estimate, shared: &Shared) -> Result<u8> {
    let inputs = read_inputs(&estimate.read)?;
    let options = QuoteOptions {
        make: MakeOptions {
            job: estimate.read.job.as_deref().map(read_input).transpose()?,
            rules: estimate.rules.as_deref().map(read_input).transpose()?,
            date: estimate.date.clone(),
            ..MakeOptions::default()
        },
        prices: estimate.prices.as_deref().map(read_input).transpose()?,
        wall_height: estimate.wall_height.clone(),
        assemblies: estimate.assembly.clone(),
        door_height: estimate.door_height.clone(),
        window_height: estimate.window_height.clone(),
        window_head: estimate.window_head.clone(),
        header: estimate.header.clone(),
        miles: estimate.miles,
    };
    let place = estimate
        .out
        .as_deref()
        .map(|out| {
            let standing = if estimate.replace {
                Standing::Replaced
            } else {
                Standing::Refused
            };
            Place::claim(out, standing, QUOTE_FILES)
        })
        .transpose()?;
    let quoted = quote(&inputs, &options)?;
    if let Some(place) = place {
        let documents = quoted
            .documents(estimate.date.as_deref())
            .context("the quote cannot be drawn")?;
        place.put(&documents.files, &[])?;
    }
    // An open question never blocks a quote: findings are told, and the range is wider.
    let told: Vec<Finding> = quoted
        .findings
        .iter()
        .filter(|it| it.severity != Severity::Note)
        .cloned()
        .collect();
    if shared.format == Format::Json {
        report::report(shared, &told, &findings_json(&told), "");
    } else {
        report::say(&quote_text(&quoted.quote));
    }
    Ok(COMPLETE)
}
