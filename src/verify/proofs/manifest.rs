//! Each file is the one the manifest names, and none is missing or more than it names.

use super::Proof;
use crate::findings::Place;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::digest::sha256;
use serde::Deserialize;
use std::collections::BTreeMap;

pub(super) const PROOF: Proof = Proof {
    code: codes::MANIFEST,
    statement: "every file is the one the manifest names by its digest, none missing, none more",
    cases: "files",
    prove,
};

const NAME: &str = "manifest.json";
/// What comes back after issue lies outside the manifest.
const REVIEW: &str = "review/";

#[derive(Deserialize)]
struct Manifest {
    files: BTreeMap<String, String>,
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let Some(bytes) = package.files.get(NAME) else {
        return ledger.fail(Place::file(NAME), "it is missing");
    };
    let mut manifest: Manifest = match serde_json::from_slice(bytes) {
        Ok(manifest) => manifest,
        Err(error) => return ledger.fail(Place::file(NAME), error.to_string()),
    };
    let ours = package.files.iter();
    for (name, bytes) in ours.filter(|(name, _)| *name != NAME && !name.starts_with(REVIEW)) {
        ledger.case();
        match manifest.files.remove(name) {
            None => ledger.fail(Place::file(name), "the manifest does not name it"),
            Some(digest) => ledger.demand(
                digest == sha256(bytes),
                || Place::file(name),
                || "it is not the file that was written: its digest differs".to_owned(),
            ),
        }
    }
    for name in manifest.files.keys() {
        ledger.fail(Place::file(name), "the manifest names it and it is missing");
    }
}
