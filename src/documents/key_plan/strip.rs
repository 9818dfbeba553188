//! The strip of a key plan: panels by wall, openings, symbols, notes, cautions, a place for the reviewer's stamp.

use super::scene::{Scene, SceneWall};
use super::sheet::{sheet_number, storey_name};
use crate::building::RoughOpening;
use crate::documents::Revision;
use crate::documents::left_out::{caution, hold_words, left_out};
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Fill, Ink, Pen};
use crate::documents::paper::symbol::{arrow, balloon, hexagon, tick_box};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Group, Lettered, spot};
use crate::documents::plan_view::{
    PlanView, draw_table, grouped, left_words, legend_row, short_list,
};
use crate::layout::WallEnd;
use crate::plan::OpeningKind;
use crate::rules::HeldFace;
use crate::units::Inches;

/// Height of the place for the reviewer's stamp, mm; left out where tables need the room.
const STAMP: f64 = 58.0;

/// What tables have at least before symbols stay out, mm.
const LEAST_TABLES: f64 = 40.0;

/// Draws the strip with its title block. Where there is no room for any of the openings, a note says which sheet has them.
///
/// - `left`: signs that found no room on the plan.
pub(super) fn draw_strip(scene: &Scene<'_>, view: &PlanView, left: &[String]) -> Group {
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&scene.paper());
    strip.title_block(&mut canvas, &title_block(scene, view));
    let mut notes = notes(scene, left);
    let all = draw_body(scene, strip, &notes, Some(opening_table(scene)), true);
    let mut without = || {
        notes.push(format!(
            "Rough sizes, sills and heads of openings: {SCHEDULES}."
        ));
        let with_symbols = draw_body(scene, strip, &notes, None, true);
        if with_symbols.has_walls {
            return with_symbols;
        }
        // Who looks for a wall's panels needs them more than the names of the signs.
        let bare = draw_body(scene, strip, &notes, None, false);
        if bare.has_walls { bare } else { with_symbols }
    };
    let body = if all.has_openings { all } else { without() };
    canvas.append(body.canvas);
    canvas.into_group("strip", "Strip")
}

/// The sheet that has all panels and openings.
const SCHEDULES: &str = "Z-601";

/// What stands above the title block.
struct Body {
    canvas: Canvas,
    /// Does every wall stand in the table?
    has_walls: bool,
    /// Has the table of openings room for any of them?
    has_openings: bool,
}

/// Tables, symbols, notes, cautions, and a place for the reviewer's stamp.
///
/// - `with_symbols`: are the symbols named, where tables leave them room?
fn draw_body(
    scene: &Scene<'_>,
    mut strip: Strip,
    notes: &[String],
    openings: Option<Table>,
    with_symbols: bool,
) -> Body {
    let mut canvas = Canvas::new();
    // Tables take what notes and cautions leave them; where that is little, symbols stay out.
    let needs = |with_symbols: bool| {
        let mut rest = strip;
        rest.top = strip.area.y0;
        draw_prose(&mut Canvas::new(), &mut rest, scene, notes, with_symbols);
        rest.top - strip.area.y0
    };
    let with_symbols = with_symbols && needs(true) + LEAST_TABLES <= strip.rest().height();
    let mut shorter = strip;
    shorter.foot -= needs(with_symbols);
    let has_walls = draw_table(
        &mut canvas,
        &mut shorter,
        "PANELS BY WALL",
        "",
        wall_table(scene),
        SCHEDULES,
    );
    let mut has_openings = false;
    if let Some(openings) = openings {
        let remark = openings.rows.len().to_string();
        let heading = "OPENINGS, ROUGH SIZE IN INCHES";
        let before = shorter.top;
        let has_all = draw_table(
            &mut canvas,
            &mut shorter,
            heading,
            &remark,
            openings,
            SCHEDULES,
        );
        has_openings = has_all || shorter.top > before;
    }
    strip.top = shorter.top;
    draw_prose(&mut canvas, &mut strip, scene, notes, with_symbols);
    if strip.rest().height() > STAMP + 4.0 {
        draw_stamp(&mut canvas, &mut strip);
    }
    Body {
        canvas,
        has_walls,
        has_openings,
    }
}

fn title_block<'a>(scene: &Scene<'a>, view: &PlanView) -> TitleBlock<'a> {
    let facts = scene.input.facts;
    let held: Vec<String> = scene
        .walls
        .iter()
        .flat_map(|wall| scene.in_order(wall))
        .filter(|it| it.is_held())
        .map(|it| it.panel.mark.clone())
        .collect();
    let panels = (!held.is_empty()).then(|| format!("{}: see panel sheets", marks_words(&held, 6)));
    TitleBlock {
        facts,
        title: "KEY PLAN".to_owned(),
        subtitle: format!("{}, panels and erection order", storey_name(scene)),
        scale: view.scale().name.to_owned(),
        number: sheet_number(scene),
        revisions: Revision::issued(facts),
        hold: HoldBox::of(hold_words(&missing(scene)).into_iter().chain(panels)),
    }
}

/// Marks as runs: `W101–W107, W110`.
pub(super) fn marks_words(marks: &[String], most: usize) -> String {
    let split = |mark: &str| -> Option<(String, u64)> {
        let digits = mark.chars().rev().take_while(char::is_ascii_digit).count();
        let at = mark.len().checked_sub(digits)?;
        let number = mark.get(at..)?.parse().ok()?;
        Some((mark.get(..at)?.to_owned(), number))
    };
    let mut runs: Vec<(String, String)> = Vec::new();
    for mark in marks {
        let follows = runs
            .last()
            .is_some_and(|(_, last)| match (split(last), split(mark)) {
                (Some((before, a)), Some((after, b))) => before == after && b == a + 1,
                _ => false,
            });
        match runs.last_mut() {
            Some((_, last)) if follows => last.clone_from(mark),
            _ => runs.push((mark.clone(), mark.clone())),
        }
    }
    let words: Vec<String> = runs
        .into_iter()
        .map(|(first, last)| {
            if first == last {
                first
            } else {
                format!("{first}–{last}")
            }
        })
        .collect();
    short_list(&words, most)
}

fn weight(scene: &Scene<'_>, wall: &SceneWall<'_>) -> f64 {
    scene
        .in_order(wall)
        .iter()
        .filter_map(|it| it.made)
        .map(|it| it.weight_lb)
        .sum()
}

fn wall_table(scene: &Scene<'_>) -> Table {
    let (mut count, mut pounds) = (0, 0.0);
    let rows = scene
        .walls
        .iter()
        .map(|wall| {
            let mut marks: Vec<String> = scene
                .in_order(wall)
                .iter()
                .map(|it| it.panel.mark.clone())
                .collect();
            marks.sort();
            count += marks.len();
            pounds += weight(scene, wall);
            let name = if wall.name() == wall.wall.id {
                wall.wall.id.clone()
            } else {
                format!("{} {}", wall.wall.id, wall.name())
            };
            vec![
                name,
                marks_words(&marks, 4),
                marks.len().to_string(),
                wall.layout.length().feet_inches().to_string(),
                grouped(weight(scene, wall)),
            ]
        })
        .chain(scene.missing.iter().map(|wall| {
            let run = wall.layout.length().feet_inches().to_string();
            let words = "no panels made".to_owned();
            vec![
                wall.wall.id.clone(),
                words,
                "0".to_owned(),
                run,
                "–".to_owned(),
            ]
        }))
        .collect();
    Table {
        columns: vec![
            Column::words("Wall"),
            Column::wrapping("Marks"),
            Column::numbers("No."),
            Column::numbers("Run"),
            Column::numbers("lb"),
        ],
        rows,
        total: Some(vec![
            "All".to_owned(),
            String::new(),
            count.to_string(),
            String::new(),
            grouped(pounds),
        ]),
        has_heads: true,
    }
}

const fn kind_word(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::Door => "Door",
        OpeningKind::Window => "Window",
        OpeningKind::Opening => "Opening",
        OpeningKind::GarageDoor => "Garage",
    }
}

fn opening_table(scene: &Scene<'_>) -> Table {
    let mut rows = Vec::new();
    for wall in &scene.walls {
        for (index, opening) in wall.wall.openings.iter().enumerate() {
            let marks: Vec<String> = scene
                .in_order(wall)
                .iter()
                .filter(|it| it.panel.openings.contains(&index))
                .map(|it| it.panel.mark.clone())
                .collect();
            rows.push(vec![
                opening.id.clone(),
                kind_word(opening.kind).to_owned(),
                format!("{} × {}", Inches(opening.width()), Inches(opening.height())),
                Inches(opening.sill).to_string(),
                Inches(opening.head).to_string(),
                if marks.is_empty() {
                    infill_words(scene, wall, opening)
                } else {
                    marks_words(&marks, 2)
                },
            ]);
        }
    }
    // By number, so that a tag seen on the plan is found at once.
    rows.sort_by_key(|row| row.first().map(|id| (id.len(), id.clone())));
    Table {
        columns: vec![
            Column::words("No.").bold(),
            Column::words("Kind"),
            Column::numbers("w × h"),
            Column::numbers("Sill"),
            Column::numbers("Head"),
            Column::numbers("Panel"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

/// Marks of the header and the sill that stand in an opening between panels.
fn infill_words(scene: &Scene<'_>, wall: &SceneWall<'_>, opening: &RoughOpening) -> String {
    let (from, to) = (opening.from.to_inches(), opening.to.to_inches());
    let marks: Vec<String> = scene
        .infills(wall)
        .iter()
        .filter(|it| it.ends[0] < to && it.ends[1] > from)
        .map(|it| it.panel.mark.clone())
        .collect();
    if marks.is_empty() {
        "between".to_owned()
    } else {
        marks_words(&marks, 3)
    }
}

fn draw_prose(
    canvas: &mut Canvas,
    strip: &mut Strip,
    scene: &Scene<'_>,
    notes: &[String],
    with_symbols: bool,
) {
    strip.rule(canvas);
    if with_symbols {
        draw_symbols(canvas, strip, scene);
    }
    strip.heading(canvas, "NOTES", "");
    strip.numbered(canvas, notes);
    strip.rule(canvas);
    strip.heading(canvas, "CAUTIONS", "");
    let mut lines = Vec::from_iter(caution(&missing(scene)));
    lines.extend(cautions());
    strip.numbered(canvas, &lines);
    strip.rule(canvas);
}

fn draw_symbols(canvas: &mut Canvas, strip: &mut Strip, scene: &Scene<'_>) {
    strip.heading(canvas, "LINES AND SYMBOLS", "");
    strip.top += 1.2;
    let name = Lettered::cap(strip.lettering.note).bold();
    let gap = scene.input.rules.joints.gap;
    let panels = scene.walls.iter().flat_map(|wall| scene.in_order(wall));
    let n_held = panels.filter(super::scene::ScenePanel::is_held).count();
    legend_row(
        canvas,
        strip,
        "panel; joint with its gap",
        &gap.to_string(),
        |canvas, at| {
            let body = Area::new(at.x - 9.0, at.y - 2.2, at.x + 9.0, at.y + 2.2);
            canvas.shape(Form::Area(body), Pen::Bold.full(), Fill::Light);
            canvas.line(
                Pen::Heavy.full(),
                spot(at.x, at.y - 3.6),
                spot(at.x, at.y + 2.2),
            );
        },
    );
    legend_row(
        canvas,
        strip,
        "order of erection; circle: number",
        "",
        |canvas, at| {
            arrow(
                canvas,
                Pen::Edge.full(),
                spot(at.x - 9.0, at.y),
                spot(at.x + 1.0, at.y),
                5.5,
            );
            balloon(
                canvas,
                Pen::Thin.full(),
                spot(at.x + 6.0, at.y),
                3.2,
                "1",
                Lettered::cap(name.cap),
            );
        },
    );
    legend_row(
        canvas,
        strip,
        "window, door: see openings",
        "",
        |canvas, at| {
            hexagon(
                canvas,
                Pen::Thin.full(),
                spot(at.x - 5.0, at.y),
                3.9,
                "",
                name,
            );
            balloon(
                canvas,
                Pen::Thin.full(),
                spot(at.x + 5.0, at.y),
                3.6,
                "",
                name,
            );
        },
    );
    legend_row(
        canvas,
        strip,
        "on HOLD, darker: do not cut",
        &n_held.to_string(),
        |canvas, at| {
            let body = Area::new(at.x - 9.0, at.y - 2.2, at.x - 1.0, at.y + 2.2);
            canvas.shape(Form::Area(body), Pen::Bold.full(), Fill::Medium);
            tick_box(canvas, spot(at.x + 3.0, at.y - 2.2), 4.4, true);
        },
    );
    legend_row(
        canvas,
        strip,
        "architect's interior wall, not ours",
        "",
        |canvas, at| {
            let body = Area::new(at.x - 9.0, at.y - 1.4, at.x + 9.0, at.y + 1.4);
            canvas.rect(Pen::Thin.full().with(Ink::Pale), body);
        },
    );
    strip.top += 1.0;
    strip.rule(canvas);
}

/// The storey's walls of which no panels are made: drawn dashed where they stand.
fn missing(scene: &Scene<'_>) -> Vec<String> {
    let input = scene.input;
    left_out(input.building, input.layout, Some(scene.number - 1))
}

/// Notes, from the storey's own numbers.
fn notes(scene: &Scene<'_>, left: &[String]) -> Vec<String> {
    let mut notes = vec![
        "Marks run from left to right as seen from outside, round the building from START."
            .to_owned(),
    ];
    let through: Vec<String> = ended(scene, |end| end == WallEnd::Through);
    let butt: Vec<String> = ended(scene, |end| end == WallEnd::Butt);
    let is_either = through.iter().all(|it| !butt.contains(it));
    if !through.is_empty() && !butt.is_empty() && is_either {
        notes.push(format!(
            "{} run through at a corner; {} butt there.",
            short_list(&through, 6),
            short_list(&butt, 6)
        ));
    }
    notes.push(format!(
        "Strings are modules: a panel and the {} gap after it, left edge to left edge. Net sizes: panel sheets.",
        scene.input.rules.joints.gap
    ));
    notes.push(held_words(scene));
    notes.push(
        "Set panels in the order of the circles. Plumb and brace each one before the next is set."
            .to_owned(),
    );
    if !left.is_empty() {
        notes.push(left_words(left));
    }
    notes
}

fn ended(scene: &Scene<'_>, is: impl Fn(WallEnd) -> bool) -> Vec<String> {
    scene
        .walls
        .iter()
        .filter(|wall| is(wall.layout.left_end) || is(wall.layout.right_end))
        .map(|wall| wall.name().to_owned())
        .collect()
}

/// Which face of the architect's walls the panels keep.
fn held_words(scene: &Scene<'_>) -> String {
    let faces = |held: HeldFace| scene.walls.iter().filter(|it| it.wall.held == held).count();
    let all = scene.walls.len();
    if faces(HeldFace::Outside) == all {
        "Outside faces of panels stand on the outside faces of the architect's walls.".to_owned()
    } else if faces(HeldFace::Inside) == all {
        "Inside faces of panels stand on the inside faces of the architect's walls.".to_owned()
    } else if faces(HeldFace::Centre) == all {
        "Panels stand centred on the architect's walls.".to_owned()
    } else {
        "Panels keep the outside, the inside or the middle of the architect's walls, wall by wall: see the elevations."
            .to_owned()
    }
}

/// What can hurt people. Common practice, no source; local code and licensed practice decide.
fn cautions() -> Vec<String> {
    [
        "Nobody stands under or beside a raised panel. Lift only at the pick points of the panel's sheet.",
        "A wall stands only while it is braced. Braces stay until floor or roof hold it.",
        "Structure, anchorage and wiring by local code and licensed practice. What is marked not sized: engineer.",
    ]
    .map(str::to_owned)
    .to_vec()
}

fn draw_stamp(canvas: &mut Canvas, strip: &mut Strip) {
    strip.heading(canvas, "REVIEW STAMP", "");
    let area = Area::new(
        strip.left() + 2.0,
        strip.top + 2.0,
        strip.right() - 2.0,
        strip.top + STAMP - 12.0,
    );
    canvas.rect(
        Pen::Thin
            .dashed(crate::documents::paper::style::Dash::Hidden)
            .with(Ink::Hatch),
        area,
    );
    strip.top = area.y1 + 2.0;
}
