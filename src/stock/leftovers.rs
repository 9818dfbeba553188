//! `stock.toml`: what earlier jobs left over, by name, and the text of it that a package hands on.

use super::model::Leftover;
use super::sheets::Kind;
use crate::rules::RulesError;
use crate::toml_text::{At, LengthValue, Text, read_typed};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// Leftovers on hand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Leftovers {
    /// In the order of the file.
    pub all: Vec<Leftover>,
}

impl Leftovers {
    /// Laminated leftovers of an assembly.
    pub(super) fn blanks(&self, assembly: &str) -> impl Iterator<Item = Kind> {
        self.sheets(move |it| it.kind == "blank" && it.what == assembly)
    }

    /// Leftover boards of a material and thickness.
    pub(super) fn boards(&self, material: &str, thickness: Length) -> impl Iterator<Item = Kind> {
        self.sheets(move |it| {
            it.kind == "board" && it.what == material && it.thickness == thickness
        })
    }

    /// Leftover slabs of a foam and thickness.
    pub(super) fn slabs(&self, material: &str, thickness: Length) -> impl Iterator<Item = Kind> {
        self.sheets(move |it| it.kind == "slab" && it.what == material && it.thickness == thickness)
    }

    /// What is left of billets that give slabs of a length and width: name and height.
    pub(super) fn billets(
        &self,
        material: &str,
        size: [Length; 2],
    ) -> impl Iterator<Item = (&str, Length)> {
        let billets = self.all.iter().filter(move |it| {
            it.kind == "billet" && it.what == material && [it.length, it.width] == size
        });
        billets.map(|it| (it.name.as_str(), it.thickness))
    }

    /// True of a leftover, by its name, through whose core no joint runs.
    pub(super) fn is_whole(&self, name: &str) -> bool {
        let mut named = self.all.iter().filter(|it| it.name == name);
        named.any(|it| it.has_whole_core)
    }

    fn sheets(&self, fits: impl Fn(&Leftover) -> bool) -> impl Iterator<Item = Kind> {
        self.all.iter().filter(move |it| fits(it)).map(|it| Kind {
            length: it.length,
            width: it.width,
            leftover: Some(it.name.clone()),
        })
    }

    /// Leftover bars of a section and grade: name and length.
    pub(super) fn bars(&self, section: &str, grade: &str) -> impl Iterator<Item = (&str, Length)> {
        let bars = self
            .all
            .iter()
            .filter(move |it| it.kind == "bar" && it.what == section && it.grade == grade);
        bars.map(|it| (it.name.as_str(), it.length))
    }
}

/// What earlier jobs left over, for panelwright make --stock.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct StockFile {
    /// Laminated leftovers of blanks.
    #[serde(default)]
    blanks: Vec<BlankRow>,
    /// Leftovers of boards.
    #[serde(default)]
    boards: Vec<BoardRow>,
    /// Leftovers of slabs of foam.
    #[serde(default)]
    slabs: Vec<BoardRow>,
    /// What is left of billets, slabs cut off.
    #[serde(default)]
    billets: Vec<BilletRow>,
    /// Leftovers of lumber and splines.
    #[serde(default)]
    bars: Vec<BarRow>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BlankRow {
    /// The name chalked on it.
    name: At<String>,
    /// Assembly, as the rules name it.
    assembly: At<String>,
    /// Real length, along the strength axis of a blank whose boards run along it.
    length: At<LengthValue>,
    /// Real width.
    width: At<LengthValue>,
    /// True when no joint of its core runs through it; without it none that carries over an opening is cut from it.
    #[serde(default)]
    whole_core: bool,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BoardRow {
    /// The name chalked on it.
    name: At<String>,
    /// Material, as assemblies name it.
    material: At<String>,
    /// Thickness.
    thickness: At<LengthValue>,
    /// Real length, along the strength axis.
    length: At<LengthValue>,
    /// Real width.
    width: At<LengthValue>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BilletRow {
    /// The name chalked on it.
    name: At<String>,
    /// Material, as assemblies name it.
    material: At<String>,
    /// Real height; its bottom and top are trimmed again.
    height: At<LengthValue>,
    /// Length of its slabs.
    length: At<LengthValue>,
    /// Width of its slabs.
    width: At<LengthValue>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BarRow {
    /// The name chalked on it.
    name: At<String>,
    /// Section, as lists name it.
    section: At<String>,
    /// Grade or material.
    grade: At<String>,
    /// Real length.
    length: At<LengthValue>,
}

/// The JSON Schema of `stock.toml`.
#[must_use]
pub fn stock_schema() -> Value {
    schemars::schema_for!(StockFile).to_value()
}

/// Reads a file of leftovers.
///
/// ```
/// use panelwright::stock::read_stock;
/// let text = "[[bars]]\nname = 'J7 L03'\nsection = '2x6'\ngrade = 'SPF No. 2'\nlength = 62";
/// let left = read_stock(text, "stock.toml").unwrap();
/// assert_eq!(left.all[0].length.to_inches(), 62.0);
/// assert!(read_stock("[[bars]]\nnam = \"x\"", "stock.toml").unwrap_err().to_string().contains("stock.toml:2"));
/// ```
///
/// # Errors
/// [`RulesError`] with the line of each mistake: a misspelt key, a length that is none or not above zero, a name given twice.
pub fn read_stock(text: &str, file: &str) -> Result<Leftovers, RulesError> {
    let whole = Text { file, text };
    let read: StockFile = read_typed(whole, &stock_schema())?;
    let mut mistakes = Vec::new();
    let mut names = BTreeSet::new();
    let mut name = |at: &At<String>| {
        if !names.insert(at.value.clone()) {
            let message = format!("two leftovers are called '{}'", at.value);
            mistakes.push(whole.mistake(at.offset, message, "give each its own name"));
        }
        at.value.clone()
    };
    let mut all = Vec::new();
    for row in &read.blanks {
        all.push(Leftover {
            name: name(&row.name),
            kind: "blank",
            what: row.assembly.value.clone(),
            length: row.length.value.0,
            width: row.width.value.0,
            has_whole_core: row.whole_core,
            ..Leftover::default()
        });
    }
    for (kind, rows) in [("board", &read.boards), ("slab", &read.slabs)] {
        for row in rows {
            all.push(Leftover {
                name: name(&row.name),
                kind,
                what: row.material.value.clone(),
                thickness: row.thickness.value.0,
                length: row.length.value.0,
                width: row.width.value.0,
                ..Leftover::default()
            });
        }
    }
    for row in &read.billets {
        all.push(Leftover {
            name: name(&row.name),
            kind: "billet",
            what: row.material.value.clone(),
            thickness: row.height.value.0,
            length: row.length.value.0,
            width: row.width.value.0,
            ..Leftover::default()
        });
    }
    for row in &read.bars {
        all.push(Leftover {
            name: name(&row.name),
            kind: "bar",
            what: row.section.value.clone(),
            grade: row.grade.value.clone(),
            length: row.length.value.0,
            ..Leftover::default()
        });
    }
    let sizes = read
        .blanks
        .iter()
        .flat_map(|row| [&row.length, &row.width])
        .chain(
            (read.boards.iter())
                .chain(&read.slabs)
                .flat_map(|row| [&row.length, &row.width, &row.thickness]),
        )
        .chain(
            read.billets
                .iter()
                .flat_map(|row| [&row.length, &row.width, &row.height]),
        )
        .chain(read.bars.iter().map(|row| &row.length));
    for at in sizes {
        if at.value.0 <= Length::ZERO || at.value.0 > Length::feet(60) {
            let message = format!("a leftover measures {}", at.value.0);
            mistakes.push(whole.mistake(at.offset, message, "it must lie between 0 and 60'"));
        }
    }
    if mistakes.is_empty() {
        Ok(Leftovers { all })
    } else {
        Err(mistakes.into())
    }
}

/// The text of a `stock.toml`: inches to nine decimals, which is the same whole nanometre when read back.
#[must_use]
pub fn stock_text(leftovers: &[Leftover]) -> String {
    let mut text = String::from(
        "# What is left over, for the next job: panelwright make --stock. Lengths are inches where no unit stands. Strike out what is not there.\n",
    );
    for it in leftovers {
        let (length, width) = (exact(it.length), exact(it.width));
        let name = quoted(&it.name);
        let what = quoted(&it.what);
        // Writing to a text cannot fail.
        let _ = match it.kind {
            "blank" => write!(
                text,
                "\n[[blanks]]\nname = {name}\nassembly = {what}\nlength = {length}\nwidth = {width}\n{}",
                if it.has_whole_core {
                    "whole_core = true\n"
                } else {
                    ""
                }
            ),
            "board" | "slab" => write!(
                text,
                "\n[[{}s]]\nname = {name}\nmaterial = {what}\nthickness = {}\nlength = {length}\nwidth = {width}\n",
                it.kind,
                exact(it.thickness)
            ),
            "billet" => write!(
                text,
                "\n[[billets]]\nname = {name}\nmaterial = {what}\nheight = {}\nlength = {length}\nwidth = {width}\n",
                exact(it.thickness)
            ),
            _ => write!(
                text,
                "\n[[bars]]\nname = {name}\nsection = {what}\ngrade = {}\nlength = {length}\n",
                quoted(&it.grade)
            ),
        };
    }
    text
}

/// A length that reads back to the same nanometre: inches where those are on a tape, else millimetres.
fn exact(length: Length) -> String {
    let nm = length.to_nanometres();
    if nm % Length::TAPE_STEP.to_nanometres() == 0 {
        format!("{:.9}", length.to_inches())
    } else {
        format!("\"{}.{:06} mm\"", nm / 1_000_000, nm % 1_000_000)
    }
}

/// A basic TOML string.
fn quoted(words: &str) -> String {
    toml::Value::String(words.to_owned()).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back_to_the_same_leftovers() {
        let all = vec![
            Leftover {
                name: "B01-1".into(),
                kind: "blank",
                what: "6-1/2".into(),
                length: Length::fraction(60, 3, 16),
                width: Length::nanometres(1_217_612_501),
                has_whole_core: true,
                ..Leftover::default()
            },
            Leftover {
                name: "H01-2 \"x\"".into(),
                kind: "board",
                what: "OSB".into(),
                thickness: Length::fraction(0, 7, 16),
                length: Length::inches(72),
                width: Length::inches(48),
                ..Leftover::default()
            },
            Leftover {
                name: "F01-1".into(),
                kind: "slab",
                what: "EPS".into(),
                thickness: Length::fraction(5, 5, 8),
                length: Length::feet(20),
                width: Length::inches(48),
                ..Leftover::default()
            },
            Leftover {
                name: "K01-1".into(),
                kind: "billet",
                what: "EPS".into(),
                thickness: Length::inches(13),
                length: Length::feet(30),
                width: Length::inches(48),
                ..Leftover::default()
            },
            Leftover {
                name: "L01-1".into(),
                kind: "bar",
                what: "2x6".into(),
                grade: "SPF No. 2".into(),
                length: Length::inches(40),
                ..Leftover::default()
            },
        ];
        assert_eq!(
            read_stock(&stock_text(&all), "stock.toml").unwrap().all,
            all
        );
    }

    #[test]
    fn a_name_given_twice_is_refused_with_its_line() {
        let row = "[[bars]]\nname = 'A'\nsection = '2x6'\ngrade = 'g'\nlength = 40\n";
        let error = read_stock(&format!("{row}{row}"), "stock.toml").unwrap_err();
        assert!(error.to_string().starts_with("stock.toml:7"), "{error}");
    }
}
