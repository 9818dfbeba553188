//! A small reader of outline files: closed polylines and lines of model space with their layers and data.

use crate::geometry::ShopPoint;
use crate::units::Length;

/// Name under which the facts stand.
const APPLICATION: &str = "PANELWRIGHT";
/// `$INSUNITS` of inches and of millimetres.
const INCH_UNITS: &str = "1";
const MILLIMETRE_UNITS: &str = "4";

/// What an outline file holds, in inches whatever its unit.
#[derive(Debug, Default)]
pub(in crate::verify) struct Outline {
    pub(in crate::verify) entities: Vec<Entity>,
}

/// A polyline or a line.
#[derive(Debug, Default)]
pub(in crate::verify) struct Entity {
    pub(in crate::verify) layer: String,
    pub(in crate::verify) points: Vec<ShopPoint>,
    pub(in crate::verify) is_closed: bool,
    pub(in crate::verify) facts: Vec<(String, String)>,
}

impl Entity {
    /// The first fact of that name; empty when there is none.
    pub(in crate::verify) fn fact(&self, name: &str) -> &str {
        let named = self.facts.iter().find(|fact| fact.0 == name);
        named.map_or("", |fact| fact.1.as_str())
    }

    /// All facts of that name, in the order of the file.
    pub(in crate::verify) fn facts<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let named = self.facts.iter().filter(move |fact| fact.0 == name);
        named.map(|fact| fact.1.as_str())
    }
}

impl Outline {
    /// The first entity with that role.
    pub(in crate::verify) fn with_role<'a>(
        &'a self,
        role: &'a str,
    ) -> impl Iterator<Item = &'a Entity> {
        let entities = self.entities.iter();
        entities.filter(move |entity| entity.fact("role") == role)
    }

    /// Reads a file; the reason when it cannot be.
    pub(in crate::verify) fn read(bytes: &[u8]) -> Result<Self, String> {
        let text = std::str::from_utf8(bytes).map_err(|_| "it is not plain text".to_owned())?;
        let pairs = pairs(text)?;
        if pairs.last().map(|pair| pair.1) != Some("EOF") {
            return Err("it is cut off: there is no EOF".to_owned());
        }
        let raw = entities(&pairs);
        let units = header_value(&pairs, "$INSUNITS");
        let unit = raw
            .iter()
            .flat_map(|entity| &entity.facts)
            .find(|fact| fact.0 == "unit")
            .map(|fact| fact.1.clone())
            .ok_or_else(|| "no contour says its unit".to_owned())?;
        let to_inches = match (unit.as_str(), units) {
            ("inch", None | Some(INCH_UNITS)) => 1.0,
            ("mm", None | Some(MILLIMETRE_UNITS)) => 1.0 / 25.4,
            _ => {
                return Err(format!(
                    "the unit of the data, {unit}, does not agree with $INSUNITS"
                ));
            }
        };
        let entities = raw
            .into_iter()
            .map(|entity| entity.finished(to_inches))
            .collect::<Option<Vec<Entity>>>()
            .ok_or_else(|| "a coordinate is not a number".to_owned())?;
        Ok(Self { entities })
    }
}

/// Points as numbers of the file's unit.
#[derive(Default)]
struct RawEntity {
    kind: String,
    layer: String,
    points: Vec<[Option<f64>; 2]>,
    is_closed: bool,
    pub(in crate::verify) facts: Vec<(String, String)>,
}

impl RawEntity {
    fn finished(self, to_inches: f64) -> Option<Entity> {
        let nanometre = Length::nanometres(1);
        let length = |value: Option<f64>| Length::nearest(value? * to_inches, nanometre);
        let points = self.points.into_iter();
        Some(Entity {
            layer: self.layer,
            points: points
                .map(|[x, y]| Some(ShopPoint::new(length(x)?, length(y)?)))
                .collect::<Option<_>>()?,
            is_closed: self.is_closed,
            facts: self.facts,
        })
    }
}

fn pairs(text: &str) -> Result<Vec<(i32, &str)>, String> {
    let mut lines = text.lines();
    let mut found = Vec::new();
    while let Some(code) = lines.next() {
        let value = lines.next().ok_or("it ends between a code and its value")?;
        let code = code.trim().parse();
        found.push((
            code.map_err(|_| format!("line {} is not a group code", found.len() * 2 + 1))?,
            value.trim(),
        ));
    }
    Ok(found)
}

fn header_value<'a>(pairs: &[(i32, &'a str)], name: &str) -> Option<&'a str> {
    let at = pairs.iter().position(|pair| *pair == (9, name))?;
    pairs.get(at + 1).map(|pair| pair.1)
}

/// Every polyline and line of the entities section; texts, which carry layers only, too.
fn entities(pairs: &[(i32, &str)]) -> Vec<RawEntity> {
    let mut found: Vec<RawEntity> = Vec::new();
    let start = pairs.iter().position(|pair| *pair == (2, "ENTITIES"));
    let section = pairs.iter().skip(start.map_or(pairs.len(), |at| at + 1));
    let mut in_vertex = false;
    let mut is_ours = false;
    for (code, value) in section {
        if *code == 0 {
            is_ours = false;
            in_vertex = *value == "VERTEX";
            match *value {
                "ENDSEC" => break,
                "VERTEX" | "SEQEND" => {}
                kind => found.push(RawEntity {
                    kind: kind.to_owned(),
                    ..RawEntity::default()
                }),
            }
            continue;
        }
        if let Some(entity) = found.last_mut() {
            take(entity, *code, value, in_vertex, &mut is_ours);
        }
    }
    found
}

fn take(entity: &mut RawEntity, code: i32, value: &str, in_vertex: bool, is_ours: &mut bool) {
    let number = value.parse().ok();
    let has_points = in_vertex || entity.kind != "POLYLINE";
    match code {
        8 => value.clone_into(&mut entity.layer),
        70 if !in_vertex && entity.kind.ends_with("POLYLINE") => {
            entity.is_closed = value.parse::<u32>().is_ok_and(|flags| flags & 1 == 1);
        }
        10 | 11 if has_points => entity.points.push([number, None]),
        20 | 21 if has_points => {
            if let Some(point) = entity.points.last_mut() {
                point[1] = number;
            }
        }
        1001 => *is_ours = value == APPLICATION,
        1000 if *is_ours => {
            let (name, fact) = value.split_once('=').unwrap_or((value, ""));
            entity.facts.push((name.to_owned(), fact.to_owned()));
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square of one inch as R12, with the unit as given.
    fn square(unit: &str, side: &str) -> String {
        let corner = |x: &str, y: &str| format!("0\nVERTEX\n8\nA\n10\n{x}\n20\n{y}\n");
        format!(
            "0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\nA\n66\n1\n70\n1\n10\n0.0\n20\n0.0\n1001\nPANELWRIGHT\n1000\nrole=outline\n1000\nunit={unit}\n\
             {}{}{}{}0\nSEQEND\n8\nA\n0\nENDSEC\n0\nEOF\n",
            corner("0", "0"),
            corner(side, "0"),
            corner(side, side),
            corner("0", side)
        )
    }

    #[test]
    fn a_square_of_25_4_millimetres_is_one_of_one_inch() {
        for text in [square("inch", "1.0"), square("mm", "25.4")] {
            let outline = Outline::read(text.as_bytes()).unwrap();
            let contour = outline.with_role("outline").next().unwrap();
            assert!(contour.is_closed && contour.points.len() == 4);
            let far = ShopPoint::new(Length::inches(1), Length::inches(1));
            assert_eq!(contour.points[2], far);
        }
    }

    #[test]
    fn a_file_that_is_cut_off_or_has_no_unit_is_refused() {
        let text = square("inch", "1.0");
        let cut = &text[..text.len() - 40];
        assert!(Outline::read(cut.as_bytes()).is_err());
        let bare = text.replace("unit=inch", "nothing");
        assert!(Outline::read(bare.as_bytes()).unwrap_err().contains("unit"));
    }
}
