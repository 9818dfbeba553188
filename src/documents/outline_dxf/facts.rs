//! The saw's axes, and the facts that stand as data on the contours: `name=value`, numbers in the file's unit and axes.

use super::contents::without_repeats;
use crate::fabrication::{EdgeContour, FabricatedPanel, SkinEdge};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::rules::{CornerTreatment, Face, PlantRules, SawUnit};
use crate::units::{Length, Millimetres};

/// From panel axes to the axes of the file: x is mirrored about the panel's width when the inner face lies up.
pub(super) struct SawAxes {
    mirror: Option<Length>,
    face_up: Face,
    unit: SawUnit,
}

impl SawAxes {
    /// The axes of a panel's file.
    pub(super) fn of(panel: &FabricatedPanel, rules: &PlantRules) -> Self {
        Self {
            mirror: (panel.face_up == Face::Inner).then_some(panel.width),
            face_up: panel.face_up,
            unit: rules.saw.unit,
        }
    }

    /// The face that lies up.
    pub(super) const fn face_up(&self) -> Face {
        self.face_up
    }

    /// The face that lies down.
    pub(super) const fn face_down(&self) -> Face {
        match self.face_up {
            Face::Outer => Face::Inner,
            Face::Inner => Face::Outer,
        }
    }

    /// True when x runs the other way than in the panel.
    pub(super) const fn is_mirrored(&self) -> bool {
        self.mirror.is_some()
    }

    /// A point in the file's axes.
    pub(super) fn point(&self, point: ShopPoint) -> ShopPoint {
        match self.mirror {
            Some(width) => ShopPoint::new(width - point.x, point.y),
            None => point,
        }
    }

    /// A contour in the file's axes, turning the same way as in the panel and starting at the same vertex.
    pub(super) fn ring(&self, ring: &ShopRing) -> Vec<ShopPoint> {
        let moved = ShopRing(ring.0.iter().map(|point| self.point(*point)).collect());
        without_repeats(&if self.is_mirrored() {
            moved.reversed()
        } else {
            moved
        })
    }

    /// A rectangle in the file's axes.
    pub(super) fn rect(&self, rect: &ShopRect) -> ShopRect {
        match self.mirror {
            Some(width) => ShopRect::new(width - rect.x1, rect.y0, width - rect.x0, rect.y1),
            None => *rect,
        }
    }

    /// An edge in the file's axes, in the contour's direction there.
    pub(super) fn edge(&self, edge: &SkinEdge) -> (ShopPoint, ShopPoint) {
        let (from, to) = (self.point(edge.from), self.point(edge.to));
        if self.is_mirrored() {
            (to, from)
        } else {
            (from, to)
        }
    }

    /// A length as a number in the file's unit.
    pub(super) fn number(&self, length: Length) -> String {
        number(length, self.unit)
    }

    /// A length in words: on a tape, or in millimetres.
    pub(super) fn words(&self, length: Length) -> String {
        match self.unit {
            SawUnit::Inch => length.to_string(),
            SawUnit::Millimetre => format!("{} mm", Millimetres(length)),
        }
    }

    /// The unit's name.
    pub(super) const fn unit_name(&self) -> &'static str {
        match self.unit {
            SawUnit::Inch => "inch",
            SawUnit::Millimetre => "mm",
        }
    }
}

/// A coordinate: nine decimals of an inch or six of a millimetre, which is exact; without needless zeros.
pub(super) fn number(length: Length, unit: SawUnit) -> String {
    let text = match unit {
        SawUnit::Inch => format!("{:.9}", length.to_inches()),
        SawUnit::Millimetre => format!("{:.6}", length.to_millimetres()),
    };
    let short = text.trim_end_matches('0');
    if short.ends_with('.') {
        format!("{short}0")
    } else {
        short.to_owned()
    }
}

/// Facts on the outer contour of the face that lies up.
pub(super) fn outline_facts(
    panel: &FabricatedPanel,
    rules: &PlantRules,
    axes: &SawAxes,
    same_outline: bool,
    same_holes: bool,
) -> Vec<String> {
    let same = |is_same: bool| if is_same { "same" } else { "own" };
    let mut facts = vec![
        "role=outline".to_owned(),
        format!("mark={}", panel.mark),
        format!("revision={}", panel.revision),
        format!("status={}", if panel.is_held() { "hold" } else { "cut" }),
        format!("face up={}", axes.face_up().name()),
        format!(
            "x mirrored={}",
            if axes.is_mirrored() { "yes" } else { "no" }
        ),
        format!("unit={}", axes.unit_name()),
        format!("width={}", axes.number(panel.width)),
        format!("height={}", axes.number(panel.height)),
        format!("under outline={}", same(same_outline)),
        format!("under holes={}", same(same_holes)),
    ];
    if let Some(assembly) = rules.assemblies.get(panel.assembly) {
        facts.push(format!("assembly={}", assembly.name));
        facts.push(format!("thickness={}", axes.number(assembly.thickness())));
        if let Some(bare) = assembly.bare() {
            facts.push(format!("bare={}", bare.name()));
        }
    }
    for opening in &panel.openings {
        facts.push(format!(
            "rough={}; {}",
            opening.id,
            rect_words(axes, &opening.rough)
        ));
    }
    let up = panel.face(axes.face_up());
    facts.extend(corner_facts(rules, axes, &up.outline));
    facts.extend(edge_facts(panel, axes, &EdgeContour::Outline));
    facts
}

/// How the inside corners of a contour are made; nothing for one that has none.
pub(super) fn corner_facts(rules: &PlantRules, axes: &SawAxes, ring: &ShopRing) -> Vec<String> {
    if ring.right_turns() == 0 {
        return Vec::new();
    }
    let corners = match rules.saw.corners {
        CornerTreatment::Square => "square by the machine",
        CornerTreatment::StopShort => "stop short, finish by hand",
        CornerTreatment::ToolRadius => "tool radius left standing, square by hand",
    };
    let mut facts = vec![format!("corners={corners}")];
    if rules.saw.corners == CornerTreatment::ToolRadius {
        let radius = axes.number(rules.saw.tool_radius);
        facts.push(format!("tool radius={radius}"));
    }
    facts
}

/// Facts on a hole: which opening it is, how its corners are made, and its edges.
pub(super) fn hole_facts(
    panel: &FabricatedPanel,
    rules: &PlantRules,
    axes: &SawAxes,
    hole: &ShopRing,
) -> Vec<String> {
    let mut facts = vec!["role=opening".to_owned()];
    facts.extend(corner_facts(rules, axes, hole));
    facts.extend(cut_facts(panel, axes, hole));
    let bounds = hole.bounds().unwrap_or_default();
    for opening in &panel.openings {
        if opening.skin_hole.common(&bounds).is_some() {
            facts.push(format!("opening={}", opening.id));
            let contour = EdgeContour::Opening(opening.id.clone());
            facts.extend(edge_facts(panel, axes, &contour));
        }
    }
    facts
}

/// What a hole of the inner skin alone is for, and how deep it is cut from the inner face.
pub(super) fn cut_facts(panel: &FabricatedPanel, axes: &SawAxes, hole: &ShopRing) -> Vec<String> {
    let bounds = hole.bounds();
    let mut cuts = panel.inner_cuts.iter();
    let cut = cuts.find(|cut| Some(cut.rect) == bounds);
    cut.map_or_else(Vec::new, |cut| {
        vec![
            format!("cut={}", cut.what),
            format!("depth={}", axes.number(cut.depth)),
        ]
    })
}

fn rect_words(axes: &SawAxes, rect: &ShopRect) -> String {
    let rect = axes.rect(rect);
    [rect.x0, rect.y0, rect.x1, rect.y1]
        .map(|length| axes.number(length))
        .join(" ")
}

fn edge_facts(panel: &FabricatedPanel, axes: &SawAxes, contour: &EdgeContour) -> Vec<String> {
    let on_contour = panel.edges.iter().filter(|edge| edge.contour == *contour);
    on_contour.map(|edge| edge_fact(axes, edge)).collect()
}

/// `edge=x0 y0 x1 y1; joint=spline; recess=1.5; bevel=0; with=W102; slot=outer 0.5 1.625`.
fn edge_fact(axes: &SawAxes, edge: &SkinEdge) -> String {
    let (from, to) = axes.edge(edge);
    let place = [from.x, from.y, to.x, to.y].map(|length| axes.number(length));
    let mut fact = format!(
        "edge={}; joint={}; recess={}; bevel={}",
        place.join(" "),
        edge.joint.name(),
        axes.number(edge.recess),
        edge.bevel_deg
    );
    if let Some(with) = &edge.with {
        fact.push_str("; with=");
        fact.push_str(with);
    }
    for slot in &edge.slots {
        let face = slot.face.name();
        let (depth, width) = (axes.number(slot.depth), axes.number(slot.width));
        fact.push_str(&format!("; slot={face} {depth} {width}"));
    }
    fact
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_coordinate_reads_back_to_the_same_nanometre() {
        for nm in [0, 1, -1, 396_875, 1_217_612_500, 2_743_200_001] {
            let length = Length::nanometres(nm);
            let inches: f64 = number(length, SawUnit::Inch).parse().unwrap();
            let again = Length::nearest(inches, Length::nanometres(1));
            assert_eq!(again, Some(length));
            let mm: f64 = number(length, SawUnit::Millimetre).parse().unwrap();
            assert_eq!((mm * 1e6).round(), length.to_millimetres() * 1e6);
        }
        assert_eq!(number(Length::inches(48), SawUnit::Inch), "48.0");
        assert_eq!(
            number(Length::fraction(47, 15, 16), SawUnit::Inch),
            "47.9375"
        );
    }
}
