//! Which details a wall has: its ends, its joints, its plates, its openings, each cut from the parts as fabricated.

use super::cut::{CutModels, CutPart, Part};
use super::detail::{CutWay, Detail, DetailKind};
use super::openings::opening_details;
use super::plates::plates;
use crate::building::{CornerKind, PanelWall, WallRole};
use crate::documents::paper::{Area, Spot, spot};
use crate::fabrication::{EdgeContour, FabricatedPanel};
use crate::layout::{Panel, PanelEdge, PanelKind, RunPiece, WallEnd, WallLayout};
use crate::rules::{Assembly, Face, SplineKind};
use crate::units::{Inches, Length};

/// How much of a wall a detail shows beyond what it is about, as parts of the wall's thickness.
const BEYOND: f64 = 1.35;
/// White round what is shown, inches.
pub(super) const ROUND: f64 = 0.4;
/// How deep a nail goes as drawn, inches: a sign, not a length.
const NAIL: f64 = 1.3;

/// A wall and what its details are cut from.
pub(super) struct WallScene<'a> {
    pub(super) models: &'a CutModels<'a>,
    pub(super) index: usize,
    pub(super) wall: &'a PanelWall,
    pub(super) run: &'a WallLayout,
    pub(super) assembly: &'a Assembly,
    /// Its panels: index into the fabrication, place, parts.
    pub(super) panels: Vec<(usize, &'a Panel, &'a FabricatedPanel)>,
}

/// All details of a wall, drawn or not: those alike only once.
pub(crate) fn wall_details(models: &CutModels<'_>, wall: usize) -> Vec<Detail> {
    let mut details = Vec::new();
    let Some(scene) = WallScene::new(models, wall) else {
        return details;
    };
    // Low enough to miss windows, high enough to miss the sole plate.
    let height = Length::inches(12).min(scene.wall.stack.panel_top.half());
    let parts = models.level(wall, height);
    details.extend([true, false].into_iter().filter_map(|is_left| {
        let end = corner(&scene, is_left, &parts, height);
        end.map(|it| it.named(&scene))
    }));
    merge(&mut details, joints(&scene, &parts));
    merge(&mut details, plates(&scene));
    merge(&mut details, opening_details(&scene));
    details
}

/// Adds details to others; one that is drawn alike only adds its places.
pub(crate) fn merge(known: &mut Vec<Detail>, more: Vec<Detail>) {
    for detail in more {
        let key = detail.key();
        match known.iter_mut().find(|it| it.key() == key) {
            Some(it) => it.places.extend(detail.places),
            None => known.push(detail),
        }
    }
}

impl<'a> WallScene<'a> {
    fn new(models: &'a CutModels<'a>, index: usize) -> Option<Self> {
        let wall = models.building.walls.get(index)?;
        let run = models.layout.walls.get(index)?;
        let assembly = models.rules.assemblies.get(wall.assembly)?;
        let mut panels: Vec<_> = models
            .fabrication
            .panels
            .iter()
            .enumerate()
            .filter(|(_, made)| made.wall == index)
            .filter_map(|(at, made)| Some((at, models.layout.panels.get(made.panel)?, made)))
            .collect();
        panels.sort_by_key(|(_, laid, _)| (laid.rect.x0, laid.rect.y0));
        (!panels.is_empty()).then_some(Self {
            models,
            index,
            wall,
            run,
            assembly,
            panels,
        })
    }

    pub(super) fn thickness(&self) -> f64 {
        self.assembly.thickness().to_inches()
    }

    /// The layers of the wall from the outer face inwards.
    pub(super) fn layers(&self) -> Vec<f64> {
        let outer = self.assembly.outer.thickness.to_inches();
        let mut layers = vec![
            0.0,
            outer,
            outer + self.assembly.core.to_inches(),
            self.thickness(),
        ];
        layers.dedup();
        layers
    }

    /// Where the core begins and ends.
    fn core(&self) -> [f64; 2] {
        let outer = self.assembly.outer.thickness.to_inches();
        [outer, outer + self.assembly.core.to_inches()]
    }

    pub(super) fn full(&self) -> impl Iterator<Item = &(usize, &'a Panel, &'a FabricatedPanel)> {
        let panels = self.panels.iter();
        panels.filter(|(_, laid, _)| laid.kind == PanelKind::Wall)
    }

    /// Nails of both skins at a place along a level cut, or a height of an upright one.
    pub(super) fn nails(&self, at: f64, way: CutWay) -> Vec<[Spot; 2]> {
        let t = self.thickness();
        let ends = self.assembly.skinned().map(|face| match face {
            Face::Outer => [0.0, NAIL],
            Face::Inner => [t, t - NAIL],
        });
        ends.map(|depths| {
            depths.map(|depth| match way {
                CutWay::Level => spot(at, depth),
                CutWay::Upright => spot(depth, at),
            })
        })
        .collect()
    }

    pub(super) fn nail_words(&self) -> String {
        let rules = &self.models.rules.fixings;
        format!(
            "{}, {} O.C., {}",
            capitals(&rules.nail),
            Inches(rules.nail_spacing),
            if self.assembly.is_liner() {
                "SKIN"
            } else {
                "EACH SKIN"
            }
        )
    }

    /// What a part is called.
    fn words(&self, part: &CutPart) -> Option<String> {
        let models = self.models;
        let assembly = part
            .panel
            .and_then(|index| models.fabrication.panels.get(index))
            .and_then(|panel| models.rules.assemblies.get(panel.assembly))
            .unwrap_or(self.assembly);
        Some(match part.part {
            Part::Skin(face) => assembly.skin_call_out(face),
            Part::Foam => format!("{} CORE {}", assembly.core_material, Inches(assembly.core)),
            Part::Plate(index) => {
                let plate = models.fabrication.plates.get(index)?;
                format!("{} {}", plate.plate.name().to_uppercase(), plate.section)
            }
            Part::Lumber(index) => {
                let panel = models.fabrication.panels.get(part.panel?)?;
                let lumber = panel.lumber.get(index)?;
                format!("{} {}", capitals(&lumber.usage), capitals(&lumber.section))
            }
        })
    }
}

impl Detail {
    /// With its parts named.
    pub(super) fn named(mut self, scene: &WallScene<'_>) -> Self {
        self.name_parts(|part| scene.words(part));
        if scene.wall.role != WallRole::Exterior {
            self.side = "OUTSIDE FACE";
        }
        self
    }

    pub(super) fn of(kind: DetailKind, way: CutWay, title: &str, place: String) -> Self {
        Self {
            kind,
            way,
            title: title.to_owned(),
            remark: String::new(),
            parts: Vec::new(),
            window: Area::default(),
            least: None,
            across: Vec::new(),
            up: Vec::new(),
            call_outs: Vec::new(),
            beads: Vec::new(),
            nails: Vec::new(),
            deck: None,
            side: "OUTSIDE",
            places: vec![place],
        }
    }
}

/// The end of a wall: a butt is drawn from the wall that butts, a mitre from its right one, so that each corner is drawn once.
fn corner(scene: &WallScene<'_>, is_left: bool, own: &[CutPart], height: Length) -> Option<Detail> {
    let (end, corner, at) = if is_left {
        (scene.run.left_end, scene.wall.left, scene.run.from)
    } else {
        (scene.run.right_end, scene.wall.right, scene.run.to)
    };
    let models = scene.models;
    let other = corner.with.and_then(|with| models.building.walls.get(with));
    let is_made = |with: usize| models.fabrication.panels.iter().any(|it| it.wall == with);
    let missing = other.filter(|_| corner.with.is_some_and(|with| !is_made(with)));
    // What it would butt against or carry is not there.
    let end = if missing.is_some() {
        WallEnd::Free
    } else {
        end
    };
    let title = match (end, corner.kind) {
        (WallEnd::Butt, CornerKind::Inside) => "INSIDE CORNER".to_owned(),
        (WallEnd::Butt, CornerKind::Tee) => "TEE OF PANEL WALLS".to_owned(),
        (WallEnd::Butt, _) => "OUTSIDE CORNER".to_owned(),
        (WallEnd::Mitre { bevel_deg }, CornerKind::Tee) => {
            format!("TEE OF PANEL WALLS AT {}°", degrees(90.0 - bevel_deg.abs()))
        }
        (WallEnd::Mitre { .. } | WallEnd::Filled { .. }, _) if is_left => {
            let inside = if corner.turn_deg < 0.0 {
                "INSIDE"
            } else {
                "OUTSIDE"
            };
            format!("{inside} CORNER OF {}°", degrees(corner.turn_deg.abs()))
        }
        (WallEnd::Free, _) => "FREE END".to_owned(),
        (WallEnd::Through | WallEnd::Mitre { .. } | WallEnd::Filled { .. }, _) => return None,
    };
    let hand = if is_left { "left" } else { "right" };
    let place = format!("{} {hand}", scene.wall.id);
    let mut detail = Detail::of(DetailKind::Corner, CutWay::Level, &title, place);
    detail.parts = own.to_vec();
    if let Some(with) = corner.with {
        detail
            .parts
            .extend(models.level_of_other(scene.index, with, height, [0.0, f64::INFINITY]));
        detail.parts.sort_by_key(|part| part.stuff);
    }
    let (at, t) = (at.to_inches(), scene.thickness());
    let inwards = if is_left { 1.0 } else { -1.0 };
    let corners = &models.rules.corners;
    let beside = other
        .and_then(|wall| models.rules.assemblies.get(wall.assembly))
        .map_or(t, |it| it.thickness().to_inches());
    let screw = format!(
        "PANEL SCREW {}, {} O.C.",
        Inches(scene.assembly.thickness() + corners.screw_bite),
        Inches(corners.screw_spacing)
    );
    let skins = [
        scene.assembly.outer.thickness.to_inches() / 2.0,
        t - scene.assembly.inner.thickness.to_inches() / 2.0,
    ];
    match end {
        WallEnd::Butt => {
            let tip = at + inwards * corners.screw_bite.to_inches();
            let head = spot(at - inwards * beside, t / 2.0);
            detail.nails = vec![[head, spot(tip, t / 2.0)]];
            detail.beads = skins.map(|y| spot(at, y)).to_vec();
            detail.remark = "plan; the wall that butts is screwed through the other".to_owned();
            let through = [at, at - inwards * beside];
            detail.across = vec![through[0].min(through[1]), through[0].max(through[1])];
            detail.up = vec![0.0, t];
            // At its end nearer to the words: a leader from the other would run along the screw.
            let near = if tip > head.x {
                spot(tip, t / 2.0)
            } else {
                head
            };
            detail.call_outs.push((near, screw));
        }
        WallEnd::Mitre { bevel_deg } => {
            let slope = bevel_deg.to_radians().tan();
            detail.beads = skins.map(|y| spot(at + y * slope, y)).to_vec();
            let which = if corner.kind == CornerKind::Tee {
                "its end"
            } else {
                "both ends"
            };
            detail.remark = format!("plan; {which} bevelled {}°", degrees(bevel_deg.abs()));
            // How much shorter the inner skin is than the outer one, and how thick both are.
            let inner = at + t * slope;
            detail.across = vec![at.min(inner), at.max(inner)];
            detail.up = vec![0.0, t];
        }
        WallEnd::Filled { bevel_deg } => {
            let slope = bevel_deg.to_radians().tan();
            detail.beads = skins.map(|y| spot(at, y)).to_vec();
            // How far the skins at the open side end before the corner of the faces.
            detail.across = vec![at - t * slope.abs(), at];
            detail.up = vec![0.0, t];
            "plan; both ends square, wedges of lumber between them carry nothing"
                .clone_into(&mut detail.remark);
        }
        WallEnd::Through | WallEnd::Free => {
            detail.remark = match missing {
                Some(wall) => format!("plan; {} is not made: brace until it is held", wall.id),
                None => "plan; brace until it is held".to_owned(),
            };
        }
    }
    if let Some(bead) = detail.beads.last() {
        let words = "SEALANT, 2 BEADS, FULL HEIGHT".to_owned();
        detail.call_outs.push((*bead, words));
    }
    let reach = t.max(beside) * BEYOND;
    let round = Area::new(at - reach, t / 2.0 - reach, at + reach, t / 2.0 + reach);
    detail.window = shown(&detail.parts, &round).unwrap_or(round).grown(ROUND);
    let near = reach * NEAR;
    let round = Area::new(at - near, t / 2.0 - near, at + near, t / 2.0 + near);
    detail.least = Some(within(&round, &detail.window));
    Some(detail)
}

/// Of what is shown about a corner or a joint so much must be.
const NEAR: f64 = 0.8;

/// What two areas have in common.
pub(super) fn within(a: &Area, b: &Area) -> Area {
    Area::new(
        a.x0.max(b.x0),
        a.y0.max(b.y0),
        a.x1.min(b.x1),
        a.y1.min(b.y1),
    )
}

/// The part of an area in which something is cut.
fn shown(parts: &[CutPart], area: &Area) -> Option<Area> {
    let rings = parts
        .iter()
        .map(|part| crate::documents::plan_view::clip_ring(&part.ring, area));
    rings
        .filter_map(|ring| Area::around(&ring))
        .reduce(|a, b| a.with(spot(b.x0, b.y0)).with(spot(b.x1, b.y1)))
}

/// Each kind of joint once.
fn joints(scene: &WallScene<'_>, own: &[CutPart]) -> Vec<Detail> {
    let mut found: Vec<(String, Detail)> = Vec::new();
    let panel = |index: usize| scene.panels.iter().find(|(_, _, made)| made.panel == index);
    let rules = &scene.models.rules.joints;
    for three in scene.run.run.windows(3) {
        let [
            RunPiece::Panel { panel: a, .. },
            RunPiece::Gap { from, to },
            RunPiece::Panel { panel: b, .. },
        ] = three
        else {
            continue;
        };
        let (Some((_, left, a)), Some((_, _, b))) = (panel(*a), panel(*b)) else {
            continue;
        };
        let start = scene.run.from;
        let kind = match left.right {
            PanelEdge::Spline { fit, .. } => fit.kind(rules, scene.assembly),
            _ => rules.spline_of(scene.assembly),
        };
        let gap = [(start + *from).to_inches(), (start + *to).to_inches()];
        let recess = [recess_at(a, false), recess_at(b, true)];
        let sections: Vec<&str> = a
            .lumber
            .iter()
            .chain(&b.lumber)
            .filter(|it| it.usage.contains("spline"))
            .map(|it| it.section.as_str())
            .collect();
        let mut kinds = sections;
        kinds.sort_unstable();
        kinds.dedup();
        let key = format!("{kinds:?} {recess:?}");
        let place = format!("{}|{}", a.mark, b.mark);
        if let Some((_, known)) = found.iter_mut().find(|it| it.0 == key) {
            known.places.push(place);
            continue;
        }
        found.push((key, joint(scene, (own, kind), gap, recess, place)));
    }
    found.into_iter().map(|it| it.1.named(scene)).collect()
}

fn joint(
    scene: &WallScene<'_>,
    (own, kind): (&[CutPart], SplineKind),
    gap: [f64; 2],
    recess: [f64; 2],
    place: String,
) -> Detail {
    let rules = &scene.models.rules.joints;
    let t = scene.thickness();
    let mut detail = Detail::of(DetailKind::Joint, CutWay::Level, "PANEL JOINT", place);
    detail.remark = format!("plan; {} spline, gap {}", kind.name(), Inches(rules.gap));
    detail.parts = own.to_vec();
    let reach = t * BEYOND * 0.8;
    detail.window = Area::new(gap[0] - reach, -ROUND, gap[1] + reach, t + ROUND);
    let near = reach * NEAR;
    detail.least = Some(Area::new(gap[0] - near, -ROUND, gap[1] + near, t + ROUND));
    detail.across = vec![gap[0] - recess[0], gap[0], gap[1], gap[1] + recess[1]];
    detail.across.dedup();
    detail.up = scene.layers();
    if recess.iter().all(|it| *it > 0.0) {
        let core = scene.core();
        let x = [gap[0] - recess[0] * 0.75, gap[1] + recess[1] * 0.75];
        detail.beads = x
            .iter()
            .flat_map(|x| [spot(*x, core[0]), spot(*x, core[1])])
            .collect();
        let nails = [gap[0] - recess[0] * 0.4, gap[1] + recess[1] * 0.4];
        detail.nails = nails
            .iter()
            .flat_map(|x| scene.nails(*x, CutWay::Level))
            .collect();
        let words = "SEALANT, 4 BEADS, FULL HEIGHT".to_owned();
        detail.call_outs.push((spot(x[1], core[0]), words));
        if let Some([at, _]) = detail.nails.last().copied() {
            detail.call_outs.push((at, scene.nail_words()));
        }
    }
    detail
}

/// How far the foam stands back at an end of a panel, inches.
fn recess_at(panel: &FabricatedPanel, is_left: bool) -> f64 {
    let edge = panel.edges.iter().find(|edge| {
        edge.contour == EdgeContour::Outline
            && edge.from.x == edge.to.x
            && (edge.from.x + edge.from.x < panel.width) == is_left
    });
    edge.map_or(0.0, |edge| edge.recess.to_inches())
}

/// Words of a call-out in capitals; sizes stay as the trade writes them: `8d`, `2x6`.
fn capitals(words: &str) -> String {
    let one = |word: &str| match word {
        "x" => "×".to_owned(),
        word if word.contains(|c: char| c.is_ascii_digit()) => word.to_owned(),
        word => word.to_uppercase(),
    };
    words.split(' ').map(one).collect::<Vec<_>>().join(" ")
}

/// Degrees without needless decimals.
fn degrees(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
