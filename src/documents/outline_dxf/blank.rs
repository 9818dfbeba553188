//! One blank for the saw: `blanks/B01.dxf`.
//!
//! ```text
//!   y ▲ ┌───────────────┬──────────┬────┐ BLANK
//!     │ │ W101  turn 0  ┊ W104     ┊ B01-1    CUT lines with their numbers; the kerf lies right of or above them
//!     │ └───────────────┴──────────┴────┘
//!     └──────────────────────────────────► x   from the datum corner, the face that lies up towards you
//! ```

use super::contents::{COLOURS, SawDrawing, SawEntity, SawShape, layer_names, without_repeats};
use super::facts::number;
use super::writer;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::rules::{PlantRules, SawUnit};
use crate::stock::{Blank, BlankPanel, StockPlan, numbered_cuts};
use crate::units::{Length, Millimetres};
use std::collections::BTreeMap;

/// Height of notes and numbers. Common practice, no source: read on a screen beside the saw.
const LETTERS: Length = Length::fraction(1, 1, 2);
/// Colours of the four layers that only blanks have: red, yellow-green, grey, brown.
const BLANK_COLOURS: [u8; 4] = [7, 1, 92, 34];

/// Every blank's file by its path.
#[must_use]
pub fn blank_files(
    plan: &StockPlan,
    fabrication: &Fabrication,
    rules: &PlantRules,
) -> BTreeMap<String, Vec<u8>> {
    let blanks = plan.blanks.iter();
    blanks
        .map(|blank| {
            let path = format!("blanks/{}.dxf", blank.sheet.name);
            (path, writer::write(&drawing(blank, fabrication, rules)))
        })
        .collect()
}

/// Adds entities to one file.
struct File<'a> {
    rules: &'a PlantRules,
    entities: Vec<SawEntity>,
}

impl File<'_> {
    fn add(&mut self, layer: &str, shape: SawShape, facts: Vec<String>) {
        self.entities.push(SawEntity {
            layer: layer.to_owned(),
            shape,
            facts,
        });
    }

    fn text(&mut self, layer: &str, at: ShopPoint, height: Length, words: String) {
        self.add(layer, SawShape::Text { at, height, words }, Vec::new());
    }

    fn number(&self, length: Length) -> String {
        number(length, self.rules.saw.unit)
    }

    fn words(&self, length: Length) -> String {
        match self.rules.saw.unit {
            SawUnit::Inch => length.to_string(),
            SawUnit::Millimetre => format!("{} mm", Millimetres(length)),
        }
    }
}

fn drawing(blank: &Blank, fabrication: &Fabrication, rules: &PlantRules) -> SawDrawing {
    let names = &rules.saw.layers;
    let sheet = &blank.sheet;
    let mut file = File {
        rules,
        entities: Vec::new(),
    };
    let whole = ShopRect::new(Length::ZERO, Length::ZERO, sheet.length, sheet.width);
    let facts = blank_facts(&file, blank, rules);
    file.add(&names.blank, SawShape::Contour(whole.ring().0), facts);
    for placed in &blank.panels {
        if let Some(panel) = fabrication.panels.get(placed.panel) {
            add_panel(&mut file, blank, placed, panel);
        }
    }
    for line in &blank.chases {
        let shape = SawShape::Line(line[0], line[1]);
        file.add(&names.chase, shape, vec!["role=chase".to_owned()]);
    }
    for line in &blank.core_joints {
        let shape = SawShape::Line(line[0], line[1]);
        file.add(&names.core_joint, shape, vec!["role=core joint".to_owned()]);
    }
    for cut in numbered_cuts(blank, |index| fabrication.panels.get(index)) {
        let facts = vec![
            "role=cut".to_owned(),
            format!("number={}", cut.number),
            format!("kind={}", cut.kind.name()),
            format!("stage={}", cut.stage),
        ];
        file.add(&names.cut, SawShape::Line(cut.from, cut.to), facts);
        let middle = ShopPoint::new(
            (cut.from.x + cut.to.x).half(),
            (cut.from.y + cut.to.y).half(),
        );
        file.text(&names.cut, middle, LETTERS, cut.number.to_string());
    }
    for offcut in &sheet.offcuts {
        let facts = vec![
            "role=offcut".to_owned(),
            format!("name={}", offcut.name),
            format!("kept={}", if offcut.is_kept { "yes" } else { "no" }),
        ];
        file.add(
            &names.offcut,
            SawShape::Contour(offcut.rect.ring().0),
            facts,
        );
        let at = ShopPoint::new(offcut.rect.x0, offcut.rect.y0);
        file.text(&names.offcut, at, LETTERS, offcut.name.clone());
    }
    add_notes(&mut file, blank);
    let own = [&names.blank, &names.cut, &names.offcut, &names.core_joint];
    let own = own.into_iter().cloned().zip(BLANK_COLOURS);
    let shared = layer_names(names).into_iter().map(str::to_owned);
    SawDrawing {
        version: rules.saw.version,
        unit: rules.saw.unit,
        layers: shared.zip(COLOURS).chain(own).collect(),
        entities: file.entities,
    }
}

fn blank_facts(file: &File<'_>, blank: &Blank, rules: &PlantRules) -> Vec<String> {
    let sheet = &blank.sheet;
    let assembly = rules.assemblies.get(blank.assembly);
    let line = rules.lines.get(blank.line);
    vec![
        "role=blank".to_owned(),
        format!("blank={}", sheet.name),
        format!(
            "unit={}",
            match rules.saw.unit {
                SawUnit::Inch => "inch",
                SawUnit::Millimetre => "mm",
            }
        ),
        format!("assembly={}", assembly.map_or("", |it| it.name.as_str())),
        format!("line={}", line.map_or("", |it| it.name.as_str())),
        format!("length={}", file.number(sheet.length)),
        format!("width={}", file.number(sheet.width)),
        format!("thickness={}", file.number(sheet.thickness)),
        format!("trim={}", file.number(sheet.trim)),
        format!("kerf={}", file.number(sheet.kerf)),
        format!("face up={}", blank.face_up.name()),
    ]
}

/// Contours of the face that lies up, with the mark inside.
fn add_panel(file: &mut File<'_>, blank: &Blank, placed: &BlankPanel, panel: &FabricatedPanel) {
    let names = &file.rules.saw.layers;
    let face = panel.face(blank.face_up);
    let turn = placed.on.attitude.degrees();
    let facts = |role: &str| {
        vec![
            format!("role={role}"),
            format!("mark={}", placed.mark),
            format!("turn={turn}"),
            format!("up={}", placed.on.attitude.up()),
        ]
    };
    let contour = |ring: &ShopRing| SawShape::Contour(without_repeats(&placed.on.ring(ring)));
    file.add(&names.outline, contour(&face.outline), facts("outline"));
    for hole in &face.holes {
        file.add(&names.opening, contour(hole), facts("opening"));
    }
    let at = ShopPoint::new(placed.rect.x0, placed.rect.y0);
    let words = format!("{} turn {turn} up {}", placed.mark, placed.on.attitude.up());
    let at = at.moved(Length::inches(2), Length::inches(2));
    file.text(&names.mark, at, LETTERS * 2, words);
}

/// All other words, below the blank.
fn add_notes(file: &mut File<'_>, blank: &Blank) {
    let sheet = &blank.sheet;
    let marks: Vec<String> = blank
        .panels
        .iter()
        .map(|it| format!("{} turn {}", it.mark, it.on.attitude.degrees()))
        .collect();
    let unit = match file.rules.saw.unit {
        SawUnit::Inch => "INCHES",
        SawUnit::Millimetre => "MILLIMETRES",
    };
    let mut words = vec![
        format!(
            "BLANK {} {} x {} UNITS {unit}",
            sheet.name,
            file.words(sheet.length),
            file.words(sheet.width)
        ),
        format!(
            "{} FACE UP, ORIGIN AT THE DATUM CORNER",
            blank.face_up.name().to_uppercase()
        ),
        format!(
            "KERF {} RIGHT OF UPRIGHT AND ABOVE LEVEL CUTS THROUGH, TRIM {}",
            file.words(sheet.kerf),
            file.words(sheet.trim)
        ),
        format!("PANELS {}", marks.join(", ")),
    ];
    if !sheet.leftover.is_empty() {
        words.push(format!("USE LEFTOVER {}", sheet.leftover));
    }
    if !blank.chases.is_empty() {
        words.push("CHASES ARE MADE IN THE CORE, FROM THE DATUM CORNER".to_owned());
    }
    words.push("CHECK ONE PANEL AGAINST ITS SHEET BEFORE THE BLANK IS CUT".to_owned());
    let note = file.rules.saw.layers.note.clone();
    let mut at = ShopPoint::new(Length::ZERO, -(LETTERS * 2));
    for line in words {
        file.text(&note, at, LETTERS, line);
        at = at.moved(Length::ZERO, -(LETTERS * 2));
    }
}
