//! What a stage noticed, handed on beside what it made.
//!
//! ```text
//!   stage ──► Outcome { output, findings: [Finding { code, severity, message, place, hint }, …] }
//! ```
//!
//! *Promises.* Every finding has a stable [`Code`] that is never reused, a [`Severity`], a message in the author's own
//! terms, a [`Place`] and a hint that says what to do. Each room keeps its codes in its own `codes.rs`; `docs/findings.md`
//! lists them all, and a test compares the two.
//!
//! *Does not do.* Printing: that is `cli/report.rs`.

use std::fmt;

/// A stable name for a kind of finding, such as `PLAN-03`. Never reused for another meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code(&'static str);

impl Code {
    /// A code by its printed name. Declared as `pub const NAME: Code = Code::new("ROOM-00");` in a room's `codes.rs` only.
    #[must_use]
    pub const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// The printed name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// A file's name without its folders: a package says the same wherever its inputs lay.
#[must_use]
pub fn base_name(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Fine; worth knowing.
    Note,
    /// The program chose; please confirm.
    Doubt,
    /// Do not build. What it touches is on HOLD.
    Fault,
}

impl Severity {
    /// The word used in messages and in `findings.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Doubt => "doubt",
            Self::Fault => "fault",
        }
    }
}

/// Where a finding points: any of these may be known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Place {
    /// File name as the user gave it.
    pub file: Option<String>,
    /// Line in that file, counted from 1.
    pub line: Option<usize>,
    /// Storey id, as in `plan.json`.
    pub storey: Option<String>,
    /// Wall or opening id, as in `plan.json`.
    pub element: Option<String>,
    /// Point in drawing coordinates, inches.
    pub at: Option<[f64; 2]>,
    /// Both ends, where the finding is about a gap; drawing coordinates in inches.
    pub between: Option<[[f64; 2]; 2]>,
    /// Panel mark.
    pub panel: Option<String>,
    /// DXF handles of the entities concerned.
    pub sources: Vec<String>,
    /// Layer of the first entity.
    pub layer: Option<String>,
}

impl Place {
    /// A whole file.
    #[must_use]
    pub fn file(name: &str) -> Self {
        Self {
            file: Some(name.to_owned()),
            ..Self::default()
        }
    }

    /// A line of a file.
    #[must_use]
    pub fn line(name: &str, line: usize) -> Self {
        Self {
            file: Some(name.to_owned()),
            line: Some(line),
            ..Self::default()
        }
    }

    /// A wall or an opening by its id.
    #[must_use]
    pub fn element(storey: &str, id: &str) -> Self {
        Self {
            storey: Some(storey.to_owned()),
            element: Some(id.to_owned()),
            ..Self::default()
        }
    }

    /// A panel by its mark.
    #[must_use]
    pub fn panel(mark: &str) -> Self {
        Self {
            panel: Some(mark.to_owned()),
            ..Self::default()
        }
    }

    /// The same place with a point, drawing coordinates in inches.
    #[must_use]
    pub fn with_at(mut self, x: f64, y: f64) -> Self {
        self.at = Some([x, y]);
        self
    }

    /// The same place with the two ends of a gap, drawing coordinates in inches.
    #[must_use]
    pub const fn with_between(mut self, from: [f64; 2], to: [f64; 2]) -> Self {
        self.between = Some([from, to]);
        self
    }

    /// The same place with the handles it comes from.
    #[must_use]
    pub fn with_sources(mut self, sources: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.sources = sources.into_iter().map(Into::into).collect();
        self
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        match (&self.file, self.line) {
            (Some(file), Some(line)) => parts.push(format!("{file}:{line}")),
            (Some(file), None) => parts.push(file.clone()),
            (None, Some(line)) => parts.push(format!("line {line}")),
            (None, None) => {}
        }
        parts.extend(self.panel.as_ref().map(|mark| format!("panel {mark}")));
        parts.extend(self.element.as_ref().map(|id| match &self.storey {
            Some(storey) => format!("{storey} {id}"),
            None => id.clone(),
        }));
        if let Some(handle) = self.sources.first() {
            parts.push(match &self.layer {
                Some(layer) => format!("entity {handle} on layer {layer}"),
                None => format!("entity {handle}"),
            });
        }
        f.write_str(&parts.join(": "))
    }
}

/// One thing a stage noticed.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which kind of finding.
    pub code: Code,
    /// How much it matters.
    pub severity: Severity,
    /// What was noticed: lower case, no full stop, in the author's terms.
    pub message: String,
    /// What to do about it.
    pub hint: String,
    /// Where.
    pub place: Place,
}

impl Finding {
    /// Fine; worth knowing.
    #[must_use]
    pub fn note(
        code: Code,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: Severity::Note,
            message: message.into(),
            hint: hint.into(),
            place,
        }
    }

    /// The program chose; please confirm.
    #[must_use]
    pub fn doubt(
        code: Code,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: Severity::Doubt,
            message: message.into(),
            hint: hint.into(),
            place,
        }
    }

    /// Do not build.
    #[must_use]
    pub fn fault(
        code: Code,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            code,
            severity: Severity::Fault,
            message: message.into(),
            hint: hint.into(),
            place,
        }
    }

    /// True when both say the same, at places of their own: one answer may settle both, so they are one question.
    #[must_use]
    pub fn says_the_same(&self, other: &Self) -> bool {
        self.code == other.code
            && self.severity == other.severity
            && self.message == other.message
            && self.hint == other.hint
    }
}

/// `place: severity[CODE]: message`, the hint is printed by whoever shows it.
impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        write!(
            f,
            "{}[{}]: {}",
            self.severity.name(),
            self.code,
            self.message
        )
    }
}

/// Outputs, and what was found in all of them.
#[must_use]
pub fn parted<T>(list: Vec<Outcome<T>>) -> (Vec<T>, Vec<Finding>) {
    let mut findings = Vec::new();
    let outputs = list.into_iter().map(|it| it.into_output(&mut findings));
    (outputs.collect(), findings)
}

/// What a stage made, and what it noticed on the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outcome<T> {
    /// What the stage hands on.
    pub output: T,
    /// In the order in which they were noticed.
    pub findings: Vec<Finding>,
}

impl<T> Outcome<T> {
    /// An output about which there is nothing to say.
    #[must_use]
    pub fn clean(output: T) -> Self {
        Self {
            output,
            findings: Vec::new(),
        }
    }

    /// Takes the output and appends the findings to a list kept elsewhere.
    pub fn into_output(self, findings: &mut Vec<Finding>) -> T {
        findings.extend(self.findings);
        self.output
    }
}
