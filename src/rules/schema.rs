//! JSON Schemas of the files, made from the types that read them, so that an editor knows every key.

use super::describe::describe_schema;
use super::job_file::JobFile;
use super::plant_file::PlantFile;
use super::read_job::new_job_text;
use super::read_rules::default_rules_text;
use serde_json::Value;
use std::sync::LazyLock;

static PLANT: LazyLock<Value> = LazyLock::new(|| {
    let mut schema = schemars::schema_for!(PlantFile).to_value();
    describe_schema(&mut schema, default_rules_text());
    schema
});
static JOB: LazyLock<Value> = LazyLock::new(|| {
    let mut schema = schemars::schema_for!(JobFile).to_value();
    describe_schema(&mut schema, new_job_text());
    schema
});

/// The schema of `plant.toml`.
pub(super) fn plant_schema() -> &'static Value {
    &PLANT
}

/// The JSON Schema of `plant.toml`.
#[must_use]
pub fn rules_schema() -> Value {
    plant_schema().clone()
}

/// The schema of `job.toml`.
pub(super) fn job_schema_value() -> &'static Value {
    &JOB
}

/// The JSON Schema of `job.toml`.
#[must_use]
pub fn job_schema() -> Value {
    job_schema_value().clone()
}
