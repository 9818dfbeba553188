//! Corner, joint and plates, cut from the parts as fabricated.

use super::PAPER;
use super::subject::Subject;
use crate::documents::details::{CutModels, CutPart, Part, break_line, draw_cut};
use crate::documents::paper::scale::{ARCHITECT, Scale, fitting_scale};
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, View, spot};
use crate::layout::WallEnd;
use crate::units::{Inches, Length};

/// Height of a detail's title, mm.
const TITLE: f64 = 24.0;

/// Draws the details side by side.
pub(super) fn draw_details(canvas: &mut Canvas, subject: &Subject<'_>, area: Area) {
    let Some(assembly) = subject.input.rules.assemblies.get(subject.wall.assembly) else {
        return;
    };
    let thickness = assembly.thickness().to_inches();
    let room = area.height() - TITLE - 16.0;
    let scale = fitting_scale(&ARCHITECT, 2.0, [1.0, thickness * 1.8], [1e9, room]);
    let models = CutModels {
        building: subject.input.building,
        layout: subject.input.layout,
        fabrication: subject.input.fabrication,
        rules: subject.input.rules,
    };
    let column = area.width() / 3.0;
    let cell = |index: f64| {
        Area::new(
            area.x0 + column * index,
            area.y0,
            area.x0 + column * (index + 1.0),
            area.y1,
        )
    };
    let height = Length::inches(24).min(subject.wall.stack.panel_top.half());
    corner(canvas, subject, &models, &cell(0.0), &scale, height);
    joint(canvas, subject, &models, &cell(1.0), &scale, height);
    plates(canvas, subject, &models, &cell(2.0), &scale);
}

fn title(canvas: &mut Canvas, cell: &Area, name: &str, words: &str, scale: &Scale, what: &str) {
    let centre = spot(cell.x0 + 12.0, cell.y1 - 10.0);
    let remark = format!("SCALE {}   {what}", scale.name);
    view_title(canvas, &PAPER.lettering, centre, name, words, &remark);
}

/// Where a wall goes on beyond what is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Breaks {
    Left,
    Right,
    Both,
}

/// Draws a level cut in its column, outside face down.
///
/// - `zero`: a place on paper, and which place along the outside face stands there.
fn level_cut(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    parts: &[CutPart],
    cell: &Area,
    scale: &Scale,
    zero: (f64, Length),
    breaks: Breaks,
) {
    let k = scale.per_inch();
    let base = cell.y1 - TITLE - 18.0;
    let view = View {
        origin: spot(zero.0 - zero.1.to_inches() * k, base),
        scale: k,
    };
    let window = Area::new(cell.x0 + 12.0, cell.y0 + 4.0, cell.x1 - 18.0, base + 8.0);
    draw_cut(canvas, parts, &|p: Spot| view.spot(p.x, p.y), &window);
    let thick = thickness_of(subject) * k;
    let ends = [
        (window.x0, breaks != Breaks::Right),
        (window.x1, breaks != Breaks::Left),
    ];
    for (x, _) in ends.into_iter().filter(|(_, goes_on)| *goes_on) {
        break_line(canvas, spot(x, base - thick), spot(x, base));
    }
    let note = Lettered::cap(PAPER.lettering.note).middle();
    canvas.text(spot(window.middle().x, window.y1 + 5.0), "OUTSIDE", note);
}

/// Over both skins, inches.
fn thickness_of(subject: &Subject<'_>) -> f64 {
    let assemblies = &subject.input.rules.assemblies;
    assemblies
        .get(subject.wall.assembly)
        .map_or(0.0, |assembly| assembly.thickness().to_inches())
}

/// The left corner with what meets it; outside face down.
fn corner(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    models: &CutModels<'_>,
    cell: &Area,
    scale: &Scale,
    height: Length,
) {
    let mut parts = models.level(subject.index, height);
    if let Some(with) = subject.wall.left.with {
        parts.extend(models.level_of_other(subject.index, with, height));
        parts.sort_by_key(|part| part.stuff);
    }
    let zero = (cell.x0 + cell.width() * 0.42, subject.run.from);
    level_cut(canvas, subject, &parts, cell, scale, zero, Breaks::Right);
    let words = match subject.run.left_end {
        WallEnd::Through => "CORNER, THIS WALL RUNS THROUGH",
        WallEnd::Butt => "CORNER, THIS WALL BUTTS",
        WallEnd::Mitre { .. } => "CORNER, BOTH ENDS BEVELLED",
        WallEnd::Free => "FREE END",
    };
    let rules = &subject.input.rules;
    // Screws go through the wall that runs through, whichever it is.
    let through = match (subject.run.left_end, subject.wall.left.with) {
        (WallEnd::Through, _) => Some(subject.wall),
        (WallEnd::Butt, Some(with)) => subject.input.building.walls.get(with),
        _ => None,
    };
    let what = match through.and_then(|wall| rules.assemblies.get(wall.assembly)) {
        Some(assembly) => format!(
            "plan, left end; {} in screws, {} o.c.",
            Inches(assembly.thickness() + rules.corners.screw_bite),
            Inches(rules.corners.screw_spacing)
        ),
        None => "plan, left end".to_owned(),
    };
    title(canvas, cell, "A", words, scale, &what);
}

/// The first joint, or the jamb of an opening; outside face down.
fn joint(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    models: &CutModels<'_>,
    cell: &Area,
    scale: &Scale,
    height: Length,
) {
    // A wall without a joint shows the jamb of an opening instead.
    let jamb = subject.openings().next();
    let (at, height, name) = match (subject.joints().first(), jamb) {
        (Some(at), _) => (*at, height, "PANEL JOINT"),
        (None, Some((opening, from, _))) => (
            from,
            opening.sill + opening.height().half(),
            "JAMB OF THE FIRST OPENING",
        ),
        (None, None) => return,
    };
    let parts = models.level(subject.index, height);
    let zero = (cell.middle().x - 6.0, subject.run.from + at);
    // At a jamb nothing goes on at the right.
    let breaks = if subject.joints().is_empty() {
        Breaks::Left
    } else {
        Breaks::Both
    };
    level_cut(canvas, subject, &parts, cell, scale, zero, breaks);
    let rules = &subject.input.rules.joints;
    let what = if subject.joints().is_empty() {
        subject.input.rules.openings.buck.sentence().to_owned()
    } else {
        format!(
            "plan; gap {}, sealant both faces; {} spline",
            Inches(rules.gap),
            rules.spline.name()
        )
    };
    title(canvas, cell, "B", name, scale, &what);
}

/// Plates at the top and at the foot of the first full panel, outside left.
fn plates(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    models: &CutModels<'_>,
    cell: &Area,
    scale: &Scale,
) {
    let plain = subject.panels.iter().find(|(laid, made)| {
        laid.rect.y0 == subject.wall.stack.panel_bottom && made.openings.is_empty()
    });
    let Some((_, made)) = plain.or(subject.panels.first()) else {
        return;
    };
    let index = subject
        .input
        .fabrication
        .panels
        .iter()
        .position(|it| it.mark == made.mark)
        .unwrap_or_default();
    let parts = models.upright(index, made.width.half());
    let k = scale.per_inch();
    let left = cell.x0 + 30.0;
    let half = (cell.height() - TITLE - 30.0) / 2.0;
    let top_of = |is_skin: bool| {
        let of = parts.iter().filter(|it| !is_skin || it.part == Part::Skin);
        let ys = of.flat_map(|part| &part.ring).map(|p| p.y);
        ys.fold(0.0, f64::max)
    };
    let height = top_of(true);
    let shown = (half / k).min(8.0);
    let cap = top_of(false) - height;
    let upper_base = cell.y0 + 8.0 + half;
    let lower_base = upper_base + 14.0 + half;
    let width = parts
        .iter()
        .flat_map(|part| &part.ring)
        .map(|p| p.x)
        .fold(0.0, f64::max);
    for (base, from) in [(upper_base, height + cap - shown), (lower_base, 0.0)] {
        let paper = |p: Spot| spot(left + p.x * k, base - (p.y - from) * k);
        let window = Area::new(
            left - 1.0,
            base - shown * k,
            left + width * k + 1.0,
            base + 0.5,
        );
        draw_cut(canvas, &parts, &paper, &window);
    }
    for y in [upper_base + 0.5, lower_base - shown * k] {
        break_line(canvas, spot(left, y), spot(left + width * k, y));
    }
    let x = left + width * k + 8.0;
    let note = Lettered::cap(PAPER.lettering.note);
    let rules = &subject.input.rules;
    let section = rules
        .assemblies
        .get(subject.wall.assembly)
        .map_or("", |it| &it.lumber);
    let thick = rules.plates.thickness.to_inches() * k;
    let mut words = Vec::new();
    let mut y = upper_base - shown * k;
    if cap > 0.0 {
        words.push((
            y + thick / 2.0,
            "CAP PLATE, as wide as the panel".to_owned(),
        ));
        y += thick;
    }
    words.push((
        y + thick / 2.0,
        format!("TOP PLATE {section}, in the recess"),
    ));
    words.push((
        lower_base - thick / 2.0,
        format!("SOLE PLATE {section}; both skins bear"),
    ));
    for (y, line) in words {
        canvas.text_centred(spot(x, y), line, note);
    }
    canvas.text(spot(left - 4.0, lower_base + 6.0), "OUT", note.end());
    title(canvas, cell, "C", "PLATES", scale, "section");
}
