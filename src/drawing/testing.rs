//! Small drawings for tests, written pair by pair.

use super::file::pairs::BINARY_MARK;
use super::{Drawing, DrawingError, DrawingOptions, read_drawing};
use crate::findings::Outcome;

/// A drawing in the making: pairs of each section.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    pub(super) header: String,
    pub(super) layers: String,
    pub(super) blocks: String,
    pub(super) entities: String,
    handle: u32,
}

/// Pairs as lines: `pairs("0 LINE, 8 A-WALL, 10 0.5")`. A comma and a blank part pairs.
pub(super) fn pairs(text: &str) -> String {
    text.split(", ")
        .map(|pair| {
            let (code, value) = pair.split_once(' ').unwrap_or((pair, ""));
            format!("{code}\n{value}\n")
        })
        .collect()
}

impl Draft {
    /// Adds a header variable, as in `$INSUNITS, 70 4`.
    pub(super) fn variable(mut self, text: &str) -> Self {
        self.header.push_str(&pairs(&format!("9 {text}")));
        self
    }

    /// Adds a layer with its flags and colour.
    pub(super) fn layer(mut self, name: &str, flags: i32, colour: i32) -> Self {
        let text = format!("0 LAYER, 2 {name}, 70 {flags}, 62 {colour}, 6 CONTINUOUS");
        self.layers.push_str(&pairs(&text));
        self
    }

    /// Adds a block of these entities.
    pub(super) fn block(mut self, name: &str, head: &str, entities: &[&str]) -> Self {
        self.blocks
            .push_str(&pairs(&format!("0 BLOCK, 2 {name}, {head}")));
        for entity in entities {
            let text = self.numbered(entity);
            self.blocks.push_str(&text);
        }
        self.blocks.push_str(&pairs("0 ENDBLK"));
        self
    }

    /// Adds an entity to model space.
    pub(super) fn entity(mut self, text: &str) -> Self {
        let text = self.numbered(text);
        self.entities.push_str(&text);
        self
    }

    /// Adds a line on a layer.
    pub(super) fn line(self, layer: &str, from: [f64; 2], to: [f64; 2]) -> Self {
        self.entity(&format!(
            "LINE, 8 {layer}, 10 {}, 20 {}, 11 {}, 21 {}",
            from[0], from[1], to[0], to[1]
        ))
    }

    /// Adds the four sides of a rectangle.
    pub(super) fn rectangle(self, layer: &str, low: [f64; 2], high: [f64; 2]) -> Self {
        self.line(layer, low, [high[0], low[1]])
            .line(layer, [high[0], low[1]], high)
            .line(layer, high, [low[0], high[1]])
            .line(layer, [low[0], high[1]], low)
    }

    fn numbered(&mut self, entity: &str) -> String {
        self.handle += 1;
        let (kind, rest) = entity.split_once(", ").unwrap_or((entity, ""));
        let handle = 0x100 + self.handle;
        let mut text = pairs(&format!("0 {kind}, 5 {handle:X}"));
        if !rest.is_empty() {
            text.push_str(&pairs(rest));
        }
        text
    }

    /// The file as text with line feeds.
    pub(super) fn text(&self) -> String {
        let section =
            |name: &str, content: &str| format!("0\nSECTION\n2\n{name}\n{content}0\nENDSEC\n");
        let tables = format!("0\nTABLE\n2\nLAYER\n{}0\nENDTAB\n", self.layers);
        [
            section("HEADER", &self.header),
            section("TABLES", &tables),
            section("BLOCKS", &self.blocks),
            section("ENTITIES", &self.entities),
            "0\nEOF\n".to_owned(),
        ]
        .concat()
    }

    /// The file in binary, with codes of two bytes or of one.
    pub(super) fn binary(&self, is_wide: bool) -> Vec<u8> {
        let text = self.text();
        let mut bytes = BINARY_MARK.to_vec();
        let lines: Vec<&str> = text.lines().collect();
        for pair in lines.chunks(2) {
            let [code, value] = pair else { continue };
            let code: i16 = code.parse().unwrap();
            if is_wide {
                bytes.extend(code.to_le_bytes());
            } else if code < 255 {
                bytes.push(u8::try_from(code).unwrap());
            } else {
                bytes.push(255);
                bytes.extend(code.to_le_bytes());
            }
            match code {
                10..=59 | 210..=239 => bytes.extend(value.parse::<f64>().unwrap().to_le_bytes()),
                60..=79 => bytes.extend(value.parse::<i16>().unwrap().to_le_bytes()),
                90..=99 => bytes.extend(value.parse::<i32>().unwrap().to_le_bytes()),
                _ => {
                    bytes.extend(value.as_bytes());
                    bytes.push(0);
                }
            }
        }
        bytes
    }

    /// Reads the draft with its unit taken as inches.
    #[track_caller]
    pub(super) fn read(&self) -> Outcome<Drawing> {
        read_inches(self.text().as_bytes()).unwrap()
    }
}

/// Reads bytes, one unit being an inch.
pub(super) fn read_inches(bytes: &[u8]) -> Result<Outcome<Drawing>, DrawingError> {
    let options = DrawingOptions {
        unit: Some(super::DrawingUnit::Inch),
        ..DrawingOptions::default()
    };
    read_drawing(bytes, "draft.dxf", &options)
}
