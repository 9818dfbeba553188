//! `plant.toml` as it stands on disk: every key optional, the shipped file fills what is left out.

use super::codes;
use super::plant::*;
use super::value::{LengthValue, RulesError, read_toml};
use crate::findings::{Finding, Outcome, Place};
use crate::plan::OpeningKind;
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The shipped rules, as printed by `panelwright rules`. They are the defaults: there is no second copy in code.
const SHIPPED: &str = include_str!("plant.toml");
const SHIPPED_NAME: &str = "shipped plant.toml";

/// Structs whose keys are all optional.
macro_rules! keys {
    ($($(#[$doc:meta])* struct $name:ident { $($(#[$field_doc:meta])* $field:ident: $kind:ty,)* })*) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields, default)]
        struct $name { $($(#[$field_doc])* $field: Option<$kind>,)* }

        impl $name {
            /// What `self` leaves out is taken from `base`.
            fn over(self, base: &Self) -> Self {
                Self { $($field: self.$field.or_else(|| base.$field.clone()),)* }
            }
        }
    )*};
}

keys! {
    /// Joints between panels.
    struct JointsFile {
        gap: LengthValue, spline: SplineWord, least_panel: LengthValue, preferred_panel: LengthValue, from_opening: LengthValue,
        from_opening_preferred: LengthValue, from_tee: LengthValue, from_point_load: LengthValue,
    }
    /// Plates.
    struct PlatesFile {
        thickness: LengthValue, stock_lengths: Vec<LengthValue>, joint_offset: LengthValue, least_piece: LengthValue,
        sole_at_doors: SoleWord, cap: bool,
    }
    /// Recesses.
    struct RecessesFile { plate: LengthValue, end_stud: LengthValue, buck: LengthValue, seat: LengthValue, }
    /// Splines.
    struct SplinesFile {
        block_width: LengthValue, surface_width: LengthValue, surface_slot: LengthValue, surface_play: LengthValue,
    }
    /// Corners.
    struct CornersFile { screw_spacing: LengthValue, screw_bite: LengthValue, odd: OddWord, }
    /// One kind of opening.
    struct KindFile {
        drawn_width: DrawnWord, add_width: LengthValue, add_height: LengthValue, height: LengthValue, head: LengthValue,
    }
    /// Chases.
    struct ChasesFile {
        diameter: LengthValue, horizontal: Vec<LengthValue>, vertical_from_joint: LengthValue, vertical_spacing: LengthValue,
        vertical_least: LengthValue, from_latch: LengthValue, clear_of_lumber: LengthValue, made: MadeWord,
    }
    /// Lumber.
    struct LumberFile { grade: String, density: f64, sections: BTreeMap<String, (LengthValue, LengthValue, u32, u32)>, }
    /// Lifting.
    struct LiftsFile {
        hand_limit: f64, forklift_limit: f64, greatest_weight: f64, pick_half_spacing: LengthValue, pick_below_top: LengthValue,
    }
    /// Layer names.
    struct LayersFile {
        outline: String, opening: String, under: String, recess: String, slot: String, chase: String, mark: String, note: String,
    }
    /// Cost weights.
    struct CostFile {
        panel: Vec<i64>, blank_sq_ft: Vec<i64>, joint_ft: i64, rip: i64, narrow: i64, near_opening: i64, machine_lift: i64,
        framed_opening: i64, special: i64,
    }
}

/// Plant rules.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct PlantFile {
    /// Name of the plant or rule set.
    name: Option<String>,
    /// Joints lie on this grid.
    grid: Option<LengthValue>,
    /// Panel build-ups; a list given replaces the shipped one.
    assembly: Option<Vec<AssemblyFile>>,
    /// Laminating lines, smallest first; a list given replaces the shipped one.
    line: Option<Vec<LineFile>>,
    joints: JointsFile,
    plates: PlatesFile,
    recesses: RecessesFile,
    splines: SplinesFile,
    corners: CornersFile,
    openings: OpeningsFile,
    chases: ChasesFile,
    lumber: LumberFile,
    lifts: LiftsFile,
    saw: SawFile,
    cost: CostFile,
}

/// A panel build-up.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AssemblyFile {
    name: String,
    core: LengthValue,
    outer_skin: LengthValue,
    inner_skin: LengthValue,
    lumber: String,
    skin_material: String,
    core_material: String,
    core_density: f64,
    skin_density: f64,
}

/// A laminating line.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LineFile {
    name: String,
    width: LengthValue,
    length: LengthValue,
    trim: LengthValue,
    strength_axis: AxisWord,
}

/// Openings.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
struct OpeningsFile {
    buck: Option<BuckWord>,
    whole_up_to: Option<LengthValue>,
    least_leg: Option<LengthValue>,
    door_bridge: Option<LengthValue>,
    door: KindFile,
    window: KindFile,
    opening: KindFile,
    garage_door: KindFile,
    /// Headers by rough width, rising; a list given replaces the shipped one.
    header: Option<Vec<HeaderFile>>,
}

/// A header row.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HeaderFile {
    up_to: LengthValue,
    /// `none`, `engineer`, or plies and section such as `2-2x10`.
    member: String,
    jacks: u32,
}

/// The saw.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
struct SawFile {
    unit: Option<UnitWord>,
    version: Option<VersionWord>,
    face_up: Option<FaceWord>,
    corners: Option<CornerWord>,
    layers: LayersFile,
}

/// Words that stand for a value of the model.
macro_rules! words {
    ($($name:ident => $model:ty { $($variant:ident = $word:literal => $value:expr,)* })*) => {$(
        #[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
        enum $name { $(#[serde(rename = $word)] $variant,)* }

        impl From<$name> for $model {
            fn from(word: $name) -> Self {
                match word { $($name::$variant => $value,)* }
            }
        }
    )*};
}

words! {
    SplineWord => SplineKind {
        Surface = "surface" => SplineKind::Surface,
        Block = "block" => SplineKind::Block,
        Single = "single lumber" => SplineKind::SingleLumber,
        Double = "double lumber" => SplineKind::DoubleLumber,
    }
    SoleWord => SoleAtDoors {
        Stops = "stops" => SoleAtDoors::Stops,
        Runs = "runs through" => SoleAtDoors::RunsThrough,
    }
    OddWord => OddCorner { Mitre = "mitre" => OddCorner::Mitre, }
    DrawnWord => DrawnWidth {
        Unit = "unit" => DrawnWidth::Unit,
        Leaf = "leaf" => DrawnWidth::Leaf,
        Rough = "rough" => DrawnWidth::Rough,
    }
    MadeWord => ChaseMade { Core = "core" => ChaseMade::Core, Panel = "panel" => ChaseMade::Panel, }
    AxisWord => StrengthAxis { Long = "long" => StrengthAxis::Long, Short = "short" => StrengthAxis::Short, }
    BuckWord => BuckConvention {
        Recess = "in recess" => BuckConvention::InRecess,
        Lining = "lining" => BuckConvention::Lining,
    }
    UnitWord => SawUnit { Inch = "inch" => SawUnit::Inch, Mm = "mm" => SawUnit::Millimetre, }
    VersionWord => SawVersion { R12 = "R12" => SawVersion::R12, R2000 = "R2000" => SawVersion::R2000, }
    FaceWord => Face { Outer = "outer" => Face::Outer, Inner = "inner" => Face::Inner, }
    CornerWord => CornerTreatment {
        Square = "square" => CornerTreatment::Square,
        Short = "stop short" => CornerTreatment::StopShort,
    }
}

impl Default for PlantRules {
    /// The shipped rules.
    #[expect(
        clippy::expect_used,
        reason = "the shipped file is part of the program, and a test reads it"
    )]
    fn default() -> Self {
        read_toml(SHIPPED, SHIPPED_NAME)
            .and_then(|file| typed(file, SHIPPED_NAME, SHIPPED))
            .expect("shipped rules are right")
    }
}

/// The commented default rules, as `panelwright rules` prints them.
#[must_use]
pub fn default_rules_text() -> &'static str {
    SHIPPED
}

/// Reads a plant's rules; what it leaves out is the documented default.
///
/// # Errors
/// [`RulesError`] with file, line, what was found and what would be right.
pub fn read_rules(text: &str, file: &str) -> Result<Outcome<PlantRules>, RulesError> {
    let given: PlantFile = read_toml(text, file)?;
    let shipped: PlantFile = read_toml(SHIPPED, SHIPPED_NAME)?;
    let rules = typed(merged(given, &shipped), file, text)?;
    let mut findings = Vec::new();
    if text
        .lines()
        .all(|line| line.trim().is_empty() || line.trim_start().starts_with('#'))
    {
        findings.push(Finding::note(
            codes::RULES_EMPTY,
            Place::file(file),
            "the rules file sets nothing; all rules are the shipped defaults",
            "uncomment or add what your plant does otherwise",
        ));
    }
    Ok(Outcome {
        output: rules,
        findings,
    })
}

fn merged(given: PlantFile, base: &PlantFile) -> PlantFile {
    let (o, b) = (given.openings, &base.openings);
    PlantFile {
        name: given.name.or_else(|| base.name.clone()),
        grid: given.grid.or(base.grid),
        assembly: given.assembly.or_else(|| base.assembly.clone()),
        line: given.line.or_else(|| base.line.clone()),
        joints: given.joints.over(&base.joints),
        plates: given.plates.over(&base.plates),
        recesses: given.recesses.over(&base.recesses),
        splines: given.splines.over(&base.splines),
        corners: given.corners.over(&base.corners),
        openings: OpeningsFile {
            buck: o.buck.or(b.buck),
            whole_up_to: o.whole_up_to.or(b.whole_up_to),
            least_leg: o.least_leg.or(b.least_leg),
            door_bridge: o.door_bridge.or(b.door_bridge),
            door: o.door.over(&b.door),
            window: o.window.over(&b.window),
            opening: o.opening.over(&b.opening),
            garage_door: o.garage_door.over(&b.garage_door),
            header: o.header.or_else(|| b.header.clone()),
        },
        chases: given.chases.over(&base.chases),
        lumber: LumberFile {
            // A section added or changed does not take away the others.
            sections: Some(
                [&base.lumber.sections, &given.lumber.sections]
                    .into_iter()
                    .flatten()
                    .flatten()
                    .map(|(k, v)| (k.clone(), *v))
                    .collect(),
            ),
            ..given.lumber.over(&base.lumber)
        },
        lifts: given.lifts.over(&base.lifts),
        saw: SawFile {
            unit: given.saw.unit.or(base.saw.unit),
            version: given.saw.version.or(base.saw.version),
            face_up: given.saw.face_up.or(base.saw.face_up),
            corners: given.saw.corners.or(base.saw.corners),
            layers: given.saw.layers.over(&base.saw.layers),
        },
        cost: given.cost.over(&base.cost),
    }
}

/// Reads keys that must be there, and checks what no single key can.
struct Checked<'a> {
    file: &'a str,
    text: &'a str,
}

impl Checked<'_> {
    fn key<T>(&self, key: &str, value: Option<T>) -> Result<T, RulesError> {
        value.ok_or_else(|| RulesError::new(self.file, None, format!("`{key}` is missing")))
    }

    fn length(&self, key: &str, value: Option<LengthValue>) -> Result<Length, RulesError> {
        self.key(key, value).map(|value| value.0)
    }

    /// A length that must be above zero.
    fn positive(&self, key: &str, value: Option<LengthValue>) -> Result<Length, RulesError> {
        let length = self.length(key, value)?;
        self.require(length > Length::ZERO, key, || {
            format!("`{key}` is 0; it must be above 0")
        })?;
        Ok(length)
    }

    fn weight(&self, key: &str, value: f64) -> Result<f64, RulesError> {
        self.require(value.is_finite() && value > 0.0, key, || {
            format!("`{key}` is {value}; it must be above 0")
        })?;
        Ok(value)
    }

    fn require(
        &self,
        holds: bool,
        key: &str,
        message: impl FnOnce() -> String,
    ) -> Result<(), RulesError> {
        if holds {
            Ok(())
        } else {
            Err(RulesError::new(self.file, self.line_of(key), message()))
        }
    }

    /// The first line that sets the last word of a dotted key, for messages.
    fn line_of(&self, key: &str) -> Option<usize> {
        let word = key.rsplit('.').next().unwrap_or(key);
        let sets = |line: &str| {
            line.trim_start()
                .strip_prefix(word)
                .is_some_and(|rest| rest.trim_start().starts_with('='))
        };
        self.text.lines().position(sets).map(|index| index + 1)
    }
}

fn typed(file: PlantFile, name: &str, text: &str) -> Result<PlantRules, RulesError> {
    let c = Checked { file: name, text };
    let lumber = lumber(&c, file.lumber)?;
    let assemblies = assemblies(&c, c.key("assembly", file.assembly)?, &lumber)?;
    let lines = lines(&c, c.key("line", file.line)?)?;
    let cost = cost(&c, file.cost, lines.len())?;
    let (j, p, r, s) = (file.joints, file.plates, file.recesses, file.splines);
    let mut stock_lengths: Vec<Length> = c
        .key("plates.stock_lengths", p.stock_lengths)?
        .iter()
        .map(|v| v.0)
        .collect();
    stock_lengths.sort_unstable();
    c.require(
        stock_lengths.first().is_some_and(|l| *l > Length::ZERO),
        "stock_lengths",
        || "`plates.stock_lengths` must name at least one length above 0".to_owned(),
    )?;
    Ok(PlantRules {
        name: c.key("name", file.name)?,
        grid: c.positive("grid", file.grid)?,
        assemblies,
        lines,
        joints: JointRules {
            gap: c.length("joints.gap", j.gap)?,
            spline: c.key("joints.spline", j.spline)?.into(),
            least_panel: c.positive("joints.least_panel", j.least_panel)?,
            preferred_panel: c.length("joints.preferred_panel", j.preferred_panel)?,
            from_opening: c.length("joints.from_opening", j.from_opening)?,
            from_opening_preferred: c
                .length("joints.from_opening_preferred", j.from_opening_preferred)?,
            from_tee: c.length("joints.from_tee", j.from_tee)?,
            from_point_load: c.length("joints.from_point_load", j.from_point_load)?,
        },
        plates: PlateRules {
            thickness: c.positive("plates.thickness", p.thickness)?,
            stock_lengths,
            joint_offset: c.length("plates.joint_offset", p.joint_offset)?,
            least_piece: c.length("plates.least_piece", p.least_piece)?,
            sole_at_doors: c.key("plates.sole_at_doors", p.sole_at_doors)?.into(),
            has_cap: c.key("plates.cap", p.cap)?,
        },
        recesses: RecessRules {
            plate: c.length("recesses.plate", r.plate)?,
            end_stud: c.length("recesses.end_stud", r.end_stud)?,
            buck: c.length("recesses.buck", r.buck)?,
            seat: c.length("recesses.seat", r.seat)?,
        },
        splines: SplineRules {
            block_width: c.positive("splines.block_width", s.block_width)?,
            surface_width: c.positive("splines.surface_width", s.surface_width)?,
            surface_slot: c.positive("splines.surface_slot", s.surface_slot)?,
            surface_play: c.length("splines.surface_play", s.surface_play)?,
        },
        corners: CornerRules {
            screw_spacing: c.positive("corners.screw_spacing", file.corners.screw_spacing)?,
            screw_bite: c.length("corners.screw_bite", file.corners.screw_bite)?,
            odd: c.key("corners.odd", file.corners.odd)?.into(),
        },
        openings: openings(&c, file.openings, &lumber)?,
        chases: chases(&c, file.chases)?,
        lumber,
        lifts: LiftRules {
            hand_limit: c.weight(
                "lifts.hand_limit",
                c.key("lifts.hand_limit", file.lifts.hand_limit)?,
            )?,
            forklift_limit: c.weight(
                "lifts.forklift_limit",
                c.key("lifts.forklift_limit", file.lifts.forklift_limit)?,
            )?,
            greatest_weight: c.weight(
                "lifts.greatest_weight",
                c.key("lifts.greatest_weight", file.lifts.greatest_weight)?,
            )?,
            pick_half_spacing: c.length("lifts.pick_half_spacing", file.lifts.pick_half_spacing)?,
            pick_below_top: c.length("lifts.pick_below_top", file.lifts.pick_below_top)?,
        },
        saw: saw(&c, file.saw)?,
        cost,
    })
}

fn lumber(c: &Checked<'_>, file: LumberFile) -> Result<LumberRules, RulesError> {
    let sections = c.key("lumber.sections", file.sections)?;
    Ok(LumberRules {
        sections: sections
            .into_iter()
            .map(
                |(name, (thickness, width, nominal_thickness, nominal_width))| {
                    let section = LumberSection {
                        thickness: thickness.0,
                        width: width.0,
                        nominal_thickness,
                        nominal_width,
                    };
                    (name, section)
                },
            )
            .collect(),
        grade: c.key("lumber.grade", file.grade)?,
        density: c.weight("lumber.density", c.key("lumber.density", file.density)?)?,
    })
}

fn assemblies(
    c: &Checked<'_>,
    rows: Vec<AssemblyFile>,
    lumber: &LumberRules,
) -> Result<Vec<Assembly>, RulesError> {
    c.require(!rows.is_empty(), "assembly", || {
        "at least one [[assembly]] is needed".to_owned()
    })?;
    let mut assemblies: Vec<Assembly> = Vec::new();
    for row in rows {
        let name = row.name;
        c.require(assemblies.iter().all(|a| a.name != name), "name", || {
            format!("assembly `{name}` stands twice")
        })?;
        c.require(row.core.0 > Length::ZERO, "core", || {
            format!("assembly `{name}`: `core` must be above 0")
        })?;
        let section = lumber.sections.get(&row.lumber);
        let known: Vec<&str> = lumber.sections.keys().map(String::as_str).collect();
        c.require(section.is_some(), "lumber", || {
            format!(
                "assembly `{name}`: lumber `{}` is no section; known are {}",
                row.lumber,
                known.join(", ")
            )
        })?;
        c.require(
            section.is_none_or(|section| section.width <= row.core.0),
            "lumber",
            || {
                format!(
                    "assembly `{name}`: lumber `{}` is wider than the core of {}",
                    row.lumber, row.core.0
                )
            },
        )?;
        assemblies.push(Assembly {
            core: row.core.0,
            outer_skin: row.outer_skin.0,
            inner_skin: row.inner_skin.0,
            lumber: row.lumber,
            skin_material: row.skin_material,
            core_material: row.core_material,
            core_density: c.weight("core_density", row.core_density)?,
            skin_density: c.weight("skin_density", row.skin_density)?,
            name,
        });
    }
    Ok(assemblies)
}

fn lines(c: &Checked<'_>, rows: Vec<LineFile>) -> Result<Vec<LaminatingLine>, RulesError> {
    c.require(!rows.is_empty(), "line", || {
        "at least one [[line]] is needed".to_owned()
    })?;
    rows.into_iter()
        .map(|row| {
            let (width, length, trim) = (row.width.0, row.length.0, row.trim.0);
            c.require(trim * 2 < width && width <= length, "width", || {
                format!("line `{}`: width {width} must be above twice the trim and not above the length {length}", row.name)
            })?;
            Ok(LaminatingLine { name: row.name, width, length, trim, strength_axis: row.strength_axis.into() })
        })
        .collect()
}

fn openings(
    c: &Checked<'_>,
    file: OpeningsFile,
    lumber: &LumberRules,
) -> Result<OpeningRules, RulesError> {
    let kinds = [
        (OpeningKind::Door, file.door),
        (OpeningKind::Window, file.window),
        (OpeningKind::Opening, file.opening),
        (OpeningKind::GarageDoor, file.garage_door),
    ];
    let (mut drawn_width, mut allowances, mut sizes) =
        (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    for (kind, row) in kinds {
        let key = |word: &str| format!("openings.{}.{word}", kind.name());
        drawn_width.insert(kind, c.key(&key("drawn_width"), row.drawn_width)?.into());
        let width = c.length(&key("add_width"), row.add_width)?;
        let height = c.length(&key("add_height"), row.add_height)?;
        allowances.insert(kind, Allowance { width, height });
        let height = c.positive(&key("height"), row.height)?;
        sizes.insert(
            kind,
            OpeningSize {
                height,
                head: row.head.map(|head| head.0),
            },
        );
    }
    let mut headers = Vec::new();
    for row in c.key("openings.header", file.header)? {
        let member = header_member(&row.member, lumber)
            .map_err(|message| RulesError::new(c.file, c.line_of("member"), message))?;
        c.require(
            headers
                .last()
                .is_none_or(|last: &HeaderRule| last.up_to < row.up_to.0),
            "up_to",
            || "`openings.header` rows must rise in `up_to`".to_owned(),
        )?;
        headers.push(HeaderRule {
            up_to: row.up_to.0,
            member,
            jacks: row.jacks,
        });
    }
    Ok(OpeningRules {
        buck: c.key("openings.buck", file.buck)?.into(),
        drawn_width,
        allowances,
        sizes,
        headers,
        whole_up_to: c.length("openings.whole_up_to", file.whole_up_to)?,
        least_leg: c.length("openings.least_leg", file.least_leg)?,
        door_bridge: c.length("openings.door_bridge", file.door_bridge)?,
    })
}

/// Reads `none`, `engineer`, or plies and section such as `2-2x10`.
pub(crate) fn header_member(text: &str, lumber: &LumberRules) -> Result<HeaderMember, String> {
    match text.trim() {
        "none" => return Ok(HeaderMember::None),
        "engineer" => return Ok(HeaderMember::Engineer),
        _ => {}
    }
    let known: Vec<&str> = lumber.sections.keys().map(String::as_str).collect();
    let wrong = || {
        format!(
            "`{text}` is no header; write \"none\", \"engineer\", or plies and section such as \"2-2x10\" (sections: {})",
            known.join(", ")
        )
    };
    let (plies, section) = text.trim().split_once('-').ok_or_else(wrong)?;
    let plies = plies
        .parse()
        .ok()
        .filter(|plies| (1..=6).contains(plies))
        .ok_or_else(wrong)?;
    if lumber.sections.contains_key(section) {
        Ok(HeaderMember::Lumber {
            plies,
            section: section.to_owned(),
        })
    } else {
        Err(wrong())
    }
}

fn chases(c: &Checked<'_>, file: ChasesFile) -> Result<ChaseRules, RulesError> {
    let mut horizontal: Vec<Length> = c
        .key("chases.horizontal", file.horizontal)?
        .iter()
        .map(|v| v.0)
        .collect();
    horizontal.sort_unstable();
    Ok(ChaseRules {
        diameter: c.positive("chases.diameter", file.diameter)?,
        horizontal,
        vertical_from_joint: c.length("chases.vertical_from_joint", file.vertical_from_joint)?,
        vertical_spacing: c.positive("chases.vertical_spacing", file.vertical_spacing)?,
        vertical_least: c.length("chases.vertical_least", file.vertical_least)?,
        from_latch: c.length("chases.from_latch", file.from_latch)?,
        clear_of_lumber: c.length("chases.clear_of_lumber", file.clear_of_lumber)?,
        made: c.key("chases.made", file.made)?.into(),
    })
}

fn saw(c: &Checked<'_>, file: SawFile) -> Result<SawRules, RulesError> {
    let l = file.layers;
    let layers = LayerNames {
        outline: c.key("saw.layers.outline", l.outline)?,
        opening: c.key("saw.layers.opening", l.opening)?,
        under: c.key("saw.layers.under", l.under)?,
        recess: c.key("saw.layers.recess", l.recess)?,
        slot: c.key("saw.layers.slot", l.slot)?,
        chase: c.key("saw.layers.chase", l.chase)?,
        mark: c.key("saw.layers.mark", l.mark)?,
        note: c.key("saw.layers.note", l.note)?,
    };
    let names = [
        &layers.outline,
        &layers.opening,
        &layers.under,
        &layers.recess,
        &layers.slot,
        &layers.chase,
        &layers.mark,
        &layers.note,
    ];
    for name in names {
        let fits = !name.is_empty()
            && name.len() <= 26
            && name
                .chars()
                .all(|ch| ch.is_ascii_alphanumeric() || "$-_".contains(ch));
        c.require(fits, "layers", || {
            format!("layer name `{name}`: R12 wants 1 to 26 letters, digits, $, - or _ (31 with the prefix HOLD-)")
        })?;
        c.require(
            names.iter().filter(|other| **other == name).count() == 1,
            "layers",
            || format!("layer name `{name}` stands twice"),
        )?;
    }
    Ok(SawRules {
        unit: c.key("saw.unit", file.unit)?.into(),
        version: c.key("saw.version", file.version)?.into(),
        face_up: c.key("saw.face_up", file.face_up)?.into(),
        corners: c.key("saw.corners", file.corners)?.into(),
        layers,
    })
}

fn cost(c: &Checked<'_>, file: CostFile, n_lines: usize) -> Result<CostRules, RulesError> {
    let cost = CostRules {
        panel: c.key("cost.panel", file.panel)?,
        blank_sq_ft: c.key("cost.blank_sq_ft", file.blank_sq_ft)?,
        joint_ft: c.key("cost.joint_ft", file.joint_ft)?,
        rip: c.key("cost.rip", file.rip)?,
        narrow: c.key("cost.narrow", file.narrow)?,
        near_opening: c.key("cost.near_opening", file.near_opening)?,
        machine_lift: c.key("cost.machine_lift", file.machine_lift)?,
        framed_opening: c.key("cost.framed_opening", file.framed_opening)?,
        special: c.key("cost.special", file.special)?,
    };
    for (key, list) in [("panel", &cost.panel), ("blank_sq_ft", &cost.blank_sq_ft)] {
        c.require(list.len() == n_lines, key, || {
            format!(
                "`cost.{key}` has {} values for {n_lines} laminating lines; give one for each",
                list.len()
            )
        })?;
    }
    let single = [
        cost.joint_ft,
        cost.rip,
        cost.narrow,
        cost.near_opening,
        cost.machine_lift,
        cost.framed_opening,
        cost.special,
    ];
    let fits = |cents: &i64| (0..=1_000_000_000).contains(cents);
    c.require(
        cost.panel
            .iter()
            .chain(&cost.blank_sq_ft)
            .chain(&single)
            .all(fits),
        "cost",
        || "`cost` values are whole cents, from 0 to 1,000,000,000".to_owned(),
    )?;
    Ok(cost)
}

/// The JSON Schema of `plant.toml`.
#[must_use]
pub fn rules_schema() -> serde_json::Value {
    schemars::schema_for!(PlantFile).to_value()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn refused(text: &str, expected: &str) {
        let error = read_rules(text, "plant.toml").unwrap_err().to_string();
        assert!(error.contains(expected), "{error}");
    }

    #[test]
    fn the_shipped_rules_are_the_defaults() {
        let rules = PlantRules::default();
        assert_eq!(read_rules(default_rules_text(), "x").unwrap().output, rules);
        assert_eq!(read_rules("", "x").unwrap().output, rules);
        // Thicknesses of panels: ICC-ES evaluation report on OSB/EPS SIPs, reissued 2020, section 3.2.1 (cores), plus two 7/16 skins.
        let thickness: Vec<String> = rules
            .assemblies
            .iter()
            .map(|a| a.thickness().to_string())
            .collect();
        assert_eq!(
            thickness,
            ["4 1/2\"", "6 1/2\"", "8 1/4\"", "10 1/4\"", "12 1/4\""]
        );
    }

    #[test]
    fn a_plant_changes_one_key_and_keeps_the_rest() {
        let rules = read_rules("[joints]\ngap = \"3 mm\"", "plant.toml")
            .unwrap()
            .output;
        assert_eq!(rules.joints.gap, Length::millimetres(3));
        assert_eq!(rules.joints.least_panel, Length::inches(12));
    }

    #[test]
    fn mistakes_are_refused_with_the_line_and_what_would_be_right() {
        refused(
            "\n[joints]\nleast_pannel = 12",
            "plant.toml:3: unknown field `least_pannel`",
        );
        refused("[joints]\nleast_pannel = 12", "did you mean `least_panel`?");
        refused(
            "[joints]\ngap = \"1/x\"",
            "plant.toml:2: '1/x' is not a length",
        );
        refused("[joints]\nspline = \"blok\"", "did you mean `block`?");
        refused("[joints]\ngap = \"-1\"", "below zero");
        refused("grid = 0", "plant.toml:1: `grid` is 0");
        refused("[saw.layers]\nmark = \"OUTLINE\"", "stands twice");
        refused("[cost]\npanel = [1]", "give one for each");
        refused(
            "[[openings.header]]\nup_to = 24\nmember = \"3-2x7\"\njacks = 1",
            "plant.toml:3: `3-2x7` is no header",
        );
    }
}
