//! Files of a package before they are written.

use std::borrow::Cow;
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

/// Whether PDF files are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PdfFiles {
    /// They are.
    #[default]
    Written,
    /// They are left out: `--no-pdf`.
    LeftOut,
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
    /// Id of the package, small print; empty before there is one.
    pub package: String,
    /// Name and version of the program.
    pub program: String,
}

/// A file handed in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InputFile {
    /// Name as the user gave it; drawings end in `.dxf`, sketches in `.toml`.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl InputFile {
    /// Its text; what is not UTF-8 is replaced.
    #[must_use]
    pub fn text(&self) -> Cow<'_, str> {
        String::from_utf8_lossy(&self.bytes)
    }

    /// True for a sketch, by its name.
    #[must_use]
    pub fn is_sketch(&self) -> bool {
        self.name.to_ascii_lowercase().ends_with(".toml")
    }
}
