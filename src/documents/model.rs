//! Files of a package before they are written.

use std::collections::BTreeMap;

/// Names (with `/`, relative to the package) and bytes, sorted by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DocumentSet {
    /// The files.
    pub files: BTreeMap<String, Vec<u8>>,
}

impl DocumentSet {
    /// Adds a file; a name given twice keeps the last.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.insert(name.into(), bytes.into());
    }
}

/// What every title block says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TitleFacts {
    /// Project line, such as the owner and site; empty when the job names none.
    pub project: String,
    /// Building.
    pub building: String,
    /// Job number.
    pub number: String,
    /// Date handed in; empty prints none.
    pub date: String,
    /// Who drew it.
    pub drawn_by: String,
    /// Revision printed in the table.
    pub revision: String,
    /// Version of the program, small print.
    pub program: String,
}
