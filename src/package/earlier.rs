//! What a job says of the plan it was written on: that of `corrected_plan`, or that of the issue before when the job is the same.

use super::{MakeError, MakeOptions, Traced};
use crate::findings::Finding;
use crate::plan::{IssuedNames, Plan, read_issued_names, read_issued_plan};
use crate::review::{
    Issued, IssuedError, carry_entries, ids_of_no_plan, names_things, renamed_entries, written_on,
};
use crate::rules::Job;
use std::collections::BTreeMap;

/// Gives the job the names of the issue before, and the plan on which its corrections were written when the job is the same.
///
/// - Returns that plan.
pub(super) fn known_earlier(
    options: &MakeOptions,
    job: &mut Job,
) -> Result<Option<IssuedNames>, MakeError> {
    const FILE: &str = "plan.json";
    let Some(files) = &options.earlier else {
        return Ok(None);
    };
    let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
    let text = String::from_utf8_lossy(bytes);
    job.corrections.issued = Some(read_issued_names(&text, FILE)?);
    if job.corrected_plan.is_some() || !names_things(job) || !is_same_job(options, files)? {
        return Ok(None);
    }
    let written = written_on(files)?;
    job.corrections.earlier = Some(written.before_corrections.clone());
    Ok(Some(written))
}

/// What the next issue must know of the plan on which the job was written: nothing where this plan is the same. An issue made from
/// the same job again is carried from there too, for its own plan is not the one that was looked at.
pub(super) fn of_the_plan(known: Option<IssuedNames>, plan: &Plan) -> Option<IssuedNames> {
    let drawn = if plan.before_corrections.is_empty() {
        &plan.storeys
    } else {
        &plan.before_corrections
    };
    known.filter(|it| !it.before_corrections.is_as_drawn(drawn))
}

/// Carries what the job says of walls and openings by their ids from the plan it was written on: the one it names, or that of
/// the issue before when the job is the same to the byte. Of a job that was edited since, what would mean another thing is
/// a doubt, corrections included; those of the same job are carried before, in [`known_earlier`].
pub(super) fn entries_on_this_plan(
    options: &MakeOptions,
    traced: &mut Traced,
    findings: &mut Vec<Finding>,
) -> Result<(), MakeError> {
    let (plan, job) = (&traced.plan, &mut traced.job);
    if let (Some(_), Some(file)) = (&job.corrected_plan, &options.earlier_plan) {
        let earlier = read_issued_plan(&file.text(), &file.name)?;
        findings.extend(carry_entries(&earlier, plan, job));
        return Ok(());
    }
    let Some(files) = &options.earlier else {
        findings.extend(ids_of_no_plan(job));
        return Ok(());
    };
    if is_same_job(options, files)? {
        let earlier = written_on(files)?.as_issued;
        findings.extend(carry_entries(&earlier, plan, job));
    } else {
        findings.extend(renamed_entries(files, (plan, &traced.drawings), job)?);
    }
    Ok(())
}

/// True when the issue before was made from this job, but for the line that names the issue before.
fn is_same_job(
    options: &MakeOptions,
    files: &BTreeMap<String, Vec<u8>>,
) -> Result<bool, IssuedError> {
    let Some(job) = &options.job else {
        return Ok(false);
    };
    Issued::is_made_from(files, &job.text())
}
