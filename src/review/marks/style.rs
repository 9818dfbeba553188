//! Which ink a thing of an SVG has: attributes, style sheets and `style`, as far as sheets and vector editors use them.

use super::drawn::Look;
use roxmltree::Node;
use std::collections::BTreeMap;

/// More rules than this are not read: no editor writes as many for one sheet.
const MOST_RULES: usize = 2000;

/// A longer value is not read, bytes: it would be copied for all that stands inside.
const LONGEST_VALUE: usize = 400;

/// Properties that are looked at; all but the last six are handed on to what stands inside.
const PROPERTIES: [&str; 21] = [
    "fill",
    "stroke",
    "stroke-width",
    "stroke-dasharray",
    "font-size",
    "text-anchor",
    "visibility",
    "marker-start",
    "marker-end",
    "marker",
    "writing-mode",
    "color",
    "font",
    "fill-opacity",
    "stroke-opacity",
    "display",
    "opacity",
    "mask",
    "mix-blend-mode",
    "clip-path",
    "shape-inside",
];
const N_INHERITED: usize = 15;

/// The rules of the file's style sheets.
#[derive(Clone, Debug, Default)]
pub(super) struct Rules {
    /// By selector.
    rules: BTreeMap<String, Rule>,
    n_rules: usize,
    n_values: usize,
}

/// What selectors alike say: by property, when it was said last, and the value.
type Rule = BTreeMap<&'static str, (usize, String)>;

/// What holds for an element.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Style {
    values: BTreeMap<&'static str, String>,
    /// How much of what stands below is seen through it by the groups it stands in and itself: 0 for nothing, 1 for all.
    clear: f64,
}

impl Rules {
    /// Reads the text of a style sheet. Selectors of one tag, class or id are obeyed; others are left out.
    pub(super) fn read(&mut self, text: &str) {
        let text = without_comments(text);
        let mut rest = text.as_str();
        while let Some((selectors, after)) = rest.split_once('{') {
            let (body, next) = after.split_once('}').unwrap_or((after, ""));
            rest = next;
            if selectors.contains('@') {
                continue;
            }
            let values = declarations(body);
            for selector in selectors.split(',') {
                if self.n_rules < MOST_RULES {
                    self.add(selector.trim(), &values);
                }
            }
        }
    }

    fn add(&mut self, selector: &str, values: &[(String, String)]) {
        if selector.is_empty() || selector.contains([' ', '>', '+', '~', ':', '[', '*']) {
            return;
        }
        let (head, class) = selector.split_once('.').unwrap_or((selector, ""));
        let (tag, id) = head.split_once('#').unwrap_or((head, ""));
        let rule = self.rules.entry(key(tag, class, id)).or_default();
        self.n_rules += 1;
        for (name, value) in values {
            if let Some(name) = PROPERTIES.iter().find(|known| *known == name) {
                self.n_values += 1;
                rule.insert(name, (self.n_values, value.to_owned()));
            }
        }
    }

    /// What the rules say of an element, the weaker first: ids win over classes, classes over tags, of equals the later.
    fn of(&self, node: Node<'_, '_>) -> Vec<(&'static str, &str)> {
        let tag = node.tag_name().name();
        let id = node.attribute("id").unwrap_or_default();
        let classes = node.attribute("class").unwrap_or_default();
        let ids = if id.is_empty() { &[""][..] } else { &["", id] };
        let mut said = Vec::new();
        for class in std::iter::once("").chain(classes.split_whitespace()) {
            for (tag, id) in ["", tag]
                .iter()
                .flat_map(|tag| ids.iter().map(move |id| (tag, id)))
            {
                let weight = [*id, class, *tag].map(|it| !it.is_empty());
                let rule = self.rules.get(&key(tag, class, id)).into_iter().flatten();
                said.extend(
                    rule.map(|(name, (when, value))| (weight, *when, *name, value.as_str())),
                );
            }
        }
        said.sort_unstable();
        let said = said.into_iter();
        said.map(|(_, _, name, value)| (name, value)).collect()
    }
}

/// A selector of one tag, class and id, each empty where it does not say it.
fn key(tag: &str, class: &str, id: &str) -> String {
    format!("{tag}.{class}#{id}")
}

fn without_comments(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("/*") {
        out.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out
}

fn declarations(body: &str) -> Vec<(String, String)> {
    body.split(';')
        .filter_map(|part| part.split_once(':'))
        .map(|(name, value)| {
            let value = value.trim().trim_end_matches("!important").trim();
            (name.trim().to_ascii_lowercase(), value.to_owned())
        })
        .collect()
}

impl Style {
    /// What holds for an element inside one for which `self` holds.
    pub(super) fn inside(&self, node: Node<'_, '_>, rules: &Rules) -> Self {
        let mut own = Self::default();
        for name in &PROPERTIES[..N_INHERITED] {
            if let Some(value) = self.values.get(name) {
                own.values.insert(*name, value.clone());
            }
        }
        for name in PROPERTIES {
            if let Some(value) = node.attribute(name) {
                own.set(name, value);
            }
        }
        for (name, value) in rules.of(node) {
            own.set(name, value);
        }
        for (name, value) in declarations(node.attribute("style").unwrap_or_default()) {
            own.set(&name, &value);
        }
        own.clear = 1.0 - (1.0 - self.clear) * own.share("opacity");
        if matches!(own.get("mix-blend-mode"), "multiply" | "darken") {
            own.clear = own.clear.max(0.5);
        }
        own
    }

    /// A share of 1, of which a hundredth may be written as 1%; 1 where nothing is said.
    fn share(&self, name: &str) -> f64 {
        let text = self.get(name).trim();
        let value = match text.strip_suffix('%') {
            Some(part) => part.trim().parse().map(|it: f64| it / 100.0),
            None => text.parse(),
        };
        value.unwrap_or(1.0).clamp(0.0, 1.0)
    }

    /// How much of a paint is seen: 0 for nothing, 1 for all that it covers.
    fn cover(&self, paint: &str) -> f64 {
        let name = if paint == "fill" {
            "fill-opacity"
        } else {
            "stroke-opacity"
        };
        (1.0 - self.clear) * self.share(name) * alpha(self.get(paint))
    }

    fn set(&mut self, name: &str, value: &str) {
        if value == "inherit" || value.len() > LONGEST_VALUE {
            return;
        }
        if let Some(name) = PROPERTIES.iter().find(|known| **known == name) {
            self.values.insert(*name, value.to_owned());
        }
    }

    /// A property as written; empty when nothing says it.
    pub(super) fn get(&self, name: &str) -> &str {
        self.values.get(name).map_or("", String::as_str)
    }

    /// True for what is not shown, with all that stands in it.
    pub(super) fn is_gone(&self) -> bool {
        self.get("display") == "none" || self.clear >= 1.0
    }

    /// True for what is itself not seen; what stands in it may be.
    pub(super) fn is_invisible(&self) -> bool {
        matches!(self.get("visibility"), "hidden" | "collapse")
    }

    /// Its inks on paper.
    ///
    /// - `scale`: millimetres of one user unit.
    pub(super) fn look(&self, scale: f64, is_text: bool) -> Look {
        let stroke = self.paint("stroke", "none");
        let seen = if self.paint("fill", "#000000") == "none" {
            "stroke"
        } else {
            "fill"
        };
        let has_line = stroke != "none" && !is_text;
        let in_mm = |value: &str| length(value).map_or(0.0, |it| it * scale);
        Look {
            width: if has_line {
                let width = Some(self.get("stroke-width")).filter(|it| !it.is_empty());
                format!("{:.2}", in_mm(width.unwrap_or("1")))
            } else {
                String::new()
            },
            dash: match self.get("stroke-dasharray") {
                "" | "none" => String::new(),
                _ if !has_line => String::new(),
                dashes => dashes
                    .split([' ', ','])
                    .filter(|it| !it.is_empty())
                    .map(|dash| format!("{:.1}", in_mm(dash)))
                    .collect::<Vec<_>>()
                    .join(" "),
            },
            // Letters drawn by their rim alone are read by its colour.
            fill: match self.paint("fill", "#000000") {
                none if is_text && none == "none" => stroke.clone(),
                fill => fill,
            },
            is_clear: self.cover(seen) < CLEAR,
            stroke: if is_text { "none".to_owned() } else { stroke },
        }
    }

    fn paint(&self, name: &str, otherwise: &str) -> String {
        match self.get(name) {
            _ if self.cover(name) <= 0.0 => "none".to_owned(),
            "" => otherwise.to_owned(),
            "currentColor" | "currentcolor" => colour(match self.get("color") {
                "" => "#000",
                given => given,
            }),
            given => colour(given),
        }
    }
}

/// What covers less than this of what stands below lets it be read.
const CLEAR: f64 = 0.9;

/// The cover that a colour itself says: `#rgba`, `#rrggbbaa`, `rgba(…)`; 1 for any other.
fn alpha(text: &str) -> f64 {
    let text = text.trim();
    if let Some(digits) = text.strip_prefix('#').filter(|it| it.is_ascii()) {
        let part = match digits.len() {
            4 => digits[3..].repeat(2),
            8 => digits[6..].to_owned(),
            _ => return 1.0,
        };
        return i32::from_str_radix(&part, 16).map_or(1.0, |it| f64::from(it) / 255.0);
    }
    let Some(parts) = text
        .strip_prefix("rgba(")
        .or_else(|| text.strip_prefix("rgb("))
    else {
        return 1.0;
    };
    let parts = parts.trim_end_matches(')').split([',', ' ', '/']);
    let fourth = parts.filter(|it| !it.is_empty()).nth(3).unwrap_or("1");
    let value = match fourth.strip_suffix('%') {
        Some(part) => part.parse().map(|it: f64| it / 100.0),
        None => fourth.parse(),
    };
    value.unwrap_or(1.0).clamp(0.0, 1.0)
}

/// A colour as `#rrggbb`; another paint as written. How much it covers is not its colour.
fn colour(text: &str) -> String {
    let text = text.trim().to_ascii_lowercase();
    if let Some(digits) = text.strip_prefix('#') {
        return match (digits.len(), digits.is_ascii()) {
            (3 | 4, true) => {
                let twice: String = digits.chars().take(3).flat_map(|c| [c, c]).collect();
                format!("#{twice}")
            }
            (8, true) => format!("#{}", &digits[..6]),
            _ => text,
        };
    }
    if let Some(parts) = text
        .strip_prefix("rgba(")
        .or_else(|| text.strip_prefix("rgb("))
        .and_then(|it| it.strip_suffix(')'))
    {
        let parts: Vec<f64> = parts
            .split([',', ' ', '/'])
            .filter(|it| !it.is_empty())
            .take(3)
            .map(|part| match part.strip_suffix('%') {
                Some(share) => share.parse::<f64>().unwrap_or_default() * 2.55,
                None => part.parse().unwrap_or_default(),
            })
            .map(|part| part.clamp(0.0, 255.0).round())
            .collect();
        if let [r, g, b] = parts[..] {
            return format!("#{}{}{}", hex(r), hex(g), hex(b));
        }
    }
    match text.as_str() {
        "black" => "#000000",
        "white" => "#ffffff",
        "red" => "#ff0000",
        "lime" => "#00ff00",
        "green" => "#008000",
        "blue" => "#0000ff",
        "gray" | "grey" => "#808080",
        "transparent" => "none",
        other => other,
    }
    .to_owned()
}

fn hex(value: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a byte and rounded"
    )]
    let byte = value as u8;
    format!("{byte:02x}")
}

/// A length in user units: a number, or one with a unit of CSS (96 px to the inch).
pub(super) fn length(text: &str) -> Option<f64> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(i, c)| {
            let is_exponent = matches!(c, 'e' | 'E')
                && text[i + 1..].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+');
            !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+') || is_exponent)
        })
        .map_or(text.len(), |(i, _)| i);
    let value: f64 = text[..end].parse().ok()?;
    let unit = match text[end..].trim() {
        "mm" => 96.0 / 25.4,
        "cm" => 96.0 / 2.54,
        "in" => 96.0,
        "pt" => 96.0 / 72.0,
        "pc" => 16.0,
        "em" => 12.0,
        _ => 1.0,
    };
    Some(value * unit).filter(|it| it.is_finite() && it.abs() < 1e7)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_ink_is_equal_however_it_is_written() {
        for text in ["#b3261e", "#B3261E", "rgb(179, 38, 30)", "rgb(179 38 30)"] {
            assert_eq!(colour(text), "#b3261e", "{text}");
        }
        for text in [
            "#b3261e80",
            "rgba(179, 38, 30, 0.5)",
            "rgb(179 38 30 / 50%)",
        ] {
            assert_eq!(colour(text), "#b3261e", "{text}");
            assert!((alpha(text) - 0.5).abs() < 0.01, "{text}");
        }
        assert_eq!(colour("#0a0"), "#00aa00");
        assert_eq!(colour("black"), colour("#000"));
    }

    #[test]
    fn attributes_yield_to_rules_and_rules_to_style() {
        let text = "<svg><style>/* a */ @font-face{x:y} .w,rect{stroke:red} #one{stroke:blue}</style><rect class=\"w\" stroke=\"#111\"/><rect id=\"one\" class=\"w\" style=\"stroke: green !important; fill:none\"/><line stroke=\"#222\"/></svg>";
        let document = roxmltree::Document::parse(text).unwrap();
        let mut rules = Rules::default();
        for node in document.descendants().filter(|it| it.has_tag_name("style")) {
            rules.read(node.text().unwrap());
        }
        let strokes: Vec<String> = document
            .descendants()
            .filter(|it| it.has_tag_name("rect") || it.has_tag_name("line"))
            .map(|it| Style::default().inside(it, &rules).look(1.0, false).stroke)
            .collect();
        assert_eq!(strokes, ["#ff0000", "#008000", "#222222"]);
    }

    #[test]
    fn lengths_come_with_units() {
        assert_eq!(length("25.4mm").map(f64::round), Some(96.0));
        assert_eq!(length("3.362"), Some(3.362));
        assert_eq!(length("12px"), Some(12.0));
        assert_eq!(length("1e3"), Some(1000.0));
        assert_eq!(length("1e400"), None);
        assert_eq!(length("wide"), None);
    }
}
