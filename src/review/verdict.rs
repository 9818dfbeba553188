//! What to do with a panel that was made from the earlier issue: one judgement for the table, the overlay and the list of parts.
//!
//! ```text
//!   same ──► keep      redrawn ──► new sheet      changed ──► refit │ recut │ scrap, each with what is done or what hinders
//! ```

use super::issued::IssuedPanel;
use super::lineage::Fate;
use super::recut::{cuts, is_cut_alike, laid_over};

/// What to do with a panel.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Nothing.
    Keep,
    /// Its sheet is another, it is not.
    NewSheet,
    /// Skins and core stay as they are: other lumber, or other fixings.
    Refit,
    /// It is cut out of the one that was made.
    Recut {
        /// What is cut off and out, in words, as far as sizes and openings say.
        cuts: Vec<String>,
        /// Where its datum corner lies on the one that was made, inches.
        at: [f64; 2],
    },
    /// It is made anew, and the one that was made is thrown away.
    Scrap {
        /// Why it cannot be cut out of the one that was made.
        hindrances: Vec<String>,
        /// Where its datum corner lies on the one that was made, with the fewest of them, inches.
        at: [f64; 2],
    },
    /// There was none.
    CutNew,
    /// It is not needed any more.
    Retire,
}

impl Verdict {
    /// Of a panel as it was and as it is.
    pub(super) fn of(fate: &Fate, pair: Option<(&IssuedPanel, &IssuedPanel)>) -> Self {
        match (fate, pair) {
            (Fate::Same, _) => Self::Keep,
            (Fate::Redrawn, _) => Self::NewSheet,
            (Fate::New, _) => Self::CutNew,
            (Fate::Retired, _) => Self::Retire,
            (Fate::Changed(_), Some((was, now)))
                if fate.is_cut() && !is_cut_alike(&was.data, &now.data) =>
            {
                let laid = laid_over(&was.data, &now.data);
                match laid.hindrances.is_empty() {
                    true => Self::Recut {
                        cuts: cuts(&was.data, &now.data, laid.at),
                        at: laid.at,
                    },
                    false => Self::Scrap {
                        hindrances: laid.hindrances,
                        at: laid.at,
                    },
                }
            }
            (Fate::Changed(_), _) => Self::Refit,
        }
    }

    /// What is cut, or what hinders, in words; nothing of the others.
    #[must_use]
    pub fn details(&self) -> &[String] {
        match self {
            Self::Recut { cuts: words, .. }
            | Self::Scrap {
                hindrances: words, ..
            } => words,
            Self::Keep | Self::NewSheet | Self::Refit | Self::CutNew | Self::Retire => &[],
        }
    }

    /// Where the datum corner of the panel lies on the one that was made, inches.
    pub(super) const fn at(&self) -> [f64; 2] {
        match self {
            Self::Recut { at, .. } | Self::Scrap { at, .. } => *at,
            Self::Keep | Self::NewSheet | Self::Refit | Self::CutNew | Self::Retire => [0.0; 2],
        }
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        let details = self.details().join("; ");
        match self {
            Self::Keep => "reuse: nothing to do".to_owned(),
            Self::NewSheet => "reuse: replace its sheet".to_owned(),
            Self::Refit => {
                "reuse: skins and core stay as they are; fit it as its new sheet says".to_owned()
            }
            Self::Recut { .. } if details.is_empty() => {
                "recut: it can be cut from the one made before; replace sheet and outline"
                    .to_owned()
            }
            Self::Recut { .. } => format!(
                "recut: it can be cut from the one made before ({details}); replace sheet and outline"
            ),
            Self::Scrap { .. } => {
                format!("scrap: it cannot be cut from the one made before ({details}); cut it new")
            }
            Self::CutNew => "cut: new".to_owned(),
            Self::Retire => "scrap: mark retired".to_owned(),
        }
    }

    /// In a word or two, as it stands beside a mark on a sheet; nothing of a panel that stays.
    #[must_use]
    pub const fn on_sheet(&self) -> Option<&'static str> {
        match self {
            Self::Keep | Self::NewSheet => None,
            Self::Refit => Some("REUSE, REFIT"),
            Self::Recut { .. } => Some("RECUT"),
            Self::Scrap { .. } => Some("CUT NEW"),
            Self::CutNew => Some("NEW"),
            Self::Retire => Some("GONE"),
        }
    }
}
