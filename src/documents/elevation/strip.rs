//! Notes, the table of panels, cautions and the title block.

use super::arrange::Page;
use super::small_plan::draw_small_plan;
use super::subject::Subject;
use crate::building::WallRole;
use crate::documents::Revision;
use crate::documents::left_out::{caution, hold_words};
use crate::documents::panel_sheet::{EdgePlace, EdgeSign, Hand, SIDE, Sign, draw_sign};
use crate::documents::paper::dimension::{PRINTED, printed_pieces};
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Dash, Pen};
use crate::documents::paper::symbol::{balloon, hexagon};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Canvas, Lettered, spot};
use crate::documents::plan_view::{draw_table, grouped, legend_row, short_list};
use crate::layout::PanelKind;
use crate::rules::{Assembly, HeaderMember, WallAxis};
use crate::units::{Inches, Length};

/// What a sheet of these walls is called, and from where they are seen.
pub(super) fn titles(subjects: &[&Subject<'_>]) -> [String; 2] {
    let title = match subjects {
        [] => String::new(),
        [one] => one.title(),
        [first, .., last] if first.index == last.index => {
            let [_, count] = first.part;
            format!(
                "WALL {}, {} OF {count} PARTS",
                first.wall.id,
                subjects.len()
            )
        }
        [first, .., last] => format!("WALLS {} TO {}", first.wall.id, last.wall.id),
    };
    let mut sides: Vec<String> = subjects
        .iter()
        .map(|it| it.wall.role.seen_from().to_lowercase())
        .collect();
    sides.sort_unstable();
    sides.dedup();
    [title, format!("from {}", sides.join(", "))]
}

const CAUTIONS: [&str; 4] = [
    "Brace the first panel and every free end before letting go.",
    "Lift by the pick points on the panel sheet; nobody beneath.",
    "Legs beside doors are weak until set: leave bridge or brace in.",
    "Structure: the engineer's drawings govern. Wiring: a licensed electrician.",
];

/// Draws the strip.
///
/// - `left`: what the strings of the walls had no room to print.
pub(super) fn draw_strip(
    canvas: &mut Canvas,
    page: &Page<'_>,
    subjects: &[&Subject<'_>],
    left: &[String],
) {
    let Some(first) = subjects.first() else {
        return;
    };
    let facts = first.input.facts;
    let held: Vec<&str> = subjects
        .iter()
        .flat_map(|it| &it.panels)
        .filter(|(_, made)| made.is_held())
        .map(|(_, made)| made.mark.as_str())
        .collect();
    let panels = (!held.is_empty()).then(|| format!("{}: see panel sheets", held.join(", ")));
    let missing = subjects.iter().filter(|it| it.is_left_out());
    let missing: Vec<String> = missing.map(|it| it.wall.name.clone()).collect();
    let mut strip = Strip::of(&first.paper());
    let [title, side] = titles(subjects);
    strip.title_block(
        canvas,
        &TitleBlock {
            facts,
            title,
            subtitle: format!("{side}, with plates"),
            scale: page.scale.name.to_owned(),
            number: page.number.clone(),
            revisions: Revision::issued(facts),
            hold: HoldBox::of(hold_words(&missing).into_iter().chain(panels)),
        },
    );
    let table = panel_table(subjects);
    strip.heading(canvas, "NOTES", "");
    let mut notes = notes(subjects);
    let mut cautions = Vec::from_iter(caution(&missing));
    cautions.extend(CAUTIONS.map(str::to_owned));
    let set = |strip: &mut Strip, canvas: &mut Canvas, notes: &[String]| {
        strip.numbered(canvas, notes);
        strip.heading(canvas, "CAUTIONS", "");
        strip.prose(canvas, &cautions);
    };
    let fits = |notes: &[String]| {
        let mut trial = strip;
        set(&mut trial, &mut Canvas::new(), notes);
        trial.top <= trial.foot
    };
    for words in left {
        let with = |it: String| [notes.as_slice(), &[it]].concat();
        let shorter = shorter(words).map(with).find(|it| fits(it));
        notes = shorter.unwrap_or(notes);
    }
    set(&mut strip, canvas, &notes);
    draw_table(canvas, &mut strip, "PANELS", "", table, SCHEDULES);
    symbols(canvas, &mut strip);
    where_it_is(canvas, &mut strip, subjects);
}

/// A note that is a list, whole, then with half as many of its pieces each time; those left out are counted, and it says where they stand.
fn shorter(words: &str) -> impl Iterator<Item = String> + '_ {
    let pieces: Vec<&str> = words.split("; ").collect();
    let whole = pieces.len();
    let halves = std::iter::successors(Some(whole), |n| (*n > 1).then_some(n / 2));
    halves.map(move |n| {
        if n == whole {
            return words.to_owned();
        }
        let told = pieces.get(..n).unwrap_or_default().join("; ");
        format!(
            "{told}; {} more: on the sheets of the panels, and on {SCHEDULES}.",
            whole - n
        )
    })
}

/// Greatest height of the small plan, and height of the place for a stamp, mm.
const PLAN: f64 = 95.0;
const STAMP: f64 = 60.0;

/// The small plan, and a place for the reviewer's stamp, as far as the strip has room.
fn where_it_is(canvas: &mut Canvas, strip: &mut Strip, subjects: &[&Subject<'_>]) {
    let head = strip.lettering.title * 2.5;
    let free = strip.rest().height();
    let with_stamp = free >= PLAN + STAMP + 2.0 * head;
    let tall = PLAN.min(free - head);
    if tall < PLAN / 2.0 {
        return;
    }
    strip.rule(canvas);
    strip.heading(canvas, "KEY PLAN", "black: walls on this sheet");
    let area = strip.take(canvas, tall);
    canvas.group("small-plan", "Where the walls are", |canvas| {
        draw_small_plan(canvas, subjects, area);
    });
    if with_stamp {
        strip.heading(canvas, "REVIEW STAMP", "");
        let area = strip.take(canvas, STAMP);
        canvas.rect(Pen::Fine.dashed(Dash::Hidden), area.grown(-4.0));
    }
}

/// Every panel, and the run of each wall under its own.
fn panel_table(subjects: &[&Subject<'_>]) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for subject in subjects {
        rows.extend(subject.panels.iter().map(|(laid, made)| {
            let size = |hole: &crate::fabrication::PanelOpening| {
                let rough = &hole.rough;
                format!("{} × {}", Inches(rough.width()), Inches(rough.height()))
            };
            let sizes: Vec<String> = made.openings.iter().map(size).collect();
            vec![
                made.mark.clone(),
                laid.erection.to_string(),
                laid.rect.width().feet_inches().to_string(),
                if sizes.is_empty() {
                    "–".to_owned()
                } else {
                    sizes.join(", ")
                },
                grouped(made.weight_lb),
            ]
        }));
        if subject.is_left_out() {
            rows.push(vec![
                subject.key(),
                String::new(),
                subject.length().feet_inches().to_string(),
                "no panels made".to_owned(),
                String::new(),
            ]);
            continue;
        }
        let pounds: f64 = subject.panels.iter().map(|(_, made)| made.weight_lb).sum();
        rows.push(vec![
            subject.key(),
            String::new(),
            subject.length().feet_inches().to_string(),
            "run with gaps".to_owned(),
            grouped(pounds),
        ]);
    }
    let total = match subjects {
        [_] => rows.pop(),
        _ => None,
    };
    Table {
        columns: vec![
            Column::words("Mark").bold(),
            Column::numbers("No."),
            Column::numbers("Width"),
            Column::wrapping("R.O. w × h, in"),
            Column::numbers("lb"),
        ],
        rows,
        total,
        has_heads: true,
    }
}

/// The sheet that has all panels and plates.
const SCHEDULES: &str = "Z-601";

/// Room that the lines and symbols take, mm.
const SYMBOLS: f64 = 79.0;

/// What lines and signs on the sheet mean; left out where the table of panels needs the room.
fn symbols(canvas: &mut Canvas, strip: &mut Strip) {
    if strip.rest().height() < SYMBOLS {
        return;
    }
    strip.heading(canvas, "LINES AND SYMBOLS", "");
    let lines = [
        ("outline of a panel, opening", Pen::Bold.full()),
        ("deck", Pen::Heavy.full()),
        ("plate in the recess", Pen::Thin.dashed(Dash::Hidden)),
        ("chase", Pen::Thin.dashed(Dash::Chase)),
        ("panel joint", Pen::Fine.dashed(Dash::Chain)),
    ];
    for (words, stroke) in lines {
        legend_row(canvas, strip, words, "", |canvas, at| {
            canvas.line(stroke, spot(at.x - 9.0, at.y), spot(at.x + 9.0, at.y));
        });
    }
    legend_row(
        canvas,
        strip,
        "joint and end, cut: Z-501",
        "",
        |canvas, at| {
            let upper = at.y - SIDE / 2.0;
            for (x, shows) in [(at.x - SIDE - 0.5, Sign::Spline), (at.x + 0.5, Sign::Butt)] {
                let sign = EdgeSign {
                    shows,
                    place: EdgePlace::End(Hand::Right),
                    bare: None,
                };
                draw_sign(canvas, spot(x, upper), sign);
            }
        },
    );
    let note = Lettered::cap(strip.lettering.note).bold().middle();
    legend_row(canvas, strip, "window, other opening", "", |canvas, at| {
        hexagon(
            canvas,
            Pen::Thin.full(),
            spot(at.x - 5.0, at.y),
            3.4,
            "O",
            note,
        );
        balloon(
            canvas,
            Pen::Thin.full(),
            spot(at.x + 5.0, at.y),
            3.4,
            "O",
            note,
        );
    });
}

fn notes(subjects: &[&Subject<'_>]) -> Vec<String> {
    let Some(rules) = subjects.first().map(|it| it.input.rules) else {
        return Vec::new();
    };
    let mut notes = vec![
        "0 is the deck, where panels begin. Plates stand exploded under their wall; chain lines are panel joints.".to_owned(),
        format!(
            "Dimensions are feet and inches to 1/16. {}.",
            capital(rules.openings.buck.sentence())
        ),
        format!(
            "A module is a panel and the {} gap at its right; a string of modules closes on the run.",
            Inches(rules.joints.gap)
        ),
        "Each panel carries its spline on its right edge, unless its sheet says loose.".to_owned(),
        format!(
            "Plates are loose, cut and marked; joints {} or more from panel joints and from the next plate's.",
            Inches(rules.plates.joint_offset)
        ),
        "Seal both faces of every spline and both edges of every plate.".to_owned(),
        "Chases stop at bucks; drill plates and splines on site where a wire passes.".to_owned(),
    ];
    let inside = subjects
        .iter()
        .filter(|it| it.wall.role != WallRole::Exterior);
    let mut inside: Vec<(WallRole, bool)> = inside
        .map(|it| (it.wall.role, it.has_lapped_cap()))
        .collect();
    inside.dedup();
    for (role, has_lapped_cap) in inside {
        let cap = if has_lapped_cap {
            ""
        } else {
            " Its caps are not lapped: tie them to those they meet as the engineer says."
        };
        notes.push(format!(
            "{} wall inside the building: its outside face is on the right, walking it from the left end of this sheet.{cap}",
            capital(role.name())
        ));
    }
    let mut plates = subjects.iter().flat_map(|it| it.plates());
    if plates.any(|it| !it.cut_out.is_empty()) {
        notes.push(
            "What of a sole plate is crossed lies under doors for erection: cut it out on site once the panels are fixed."
                .to_owned(),
        );
    }
    if subjects.iter().any(|it| it.part[1] > 1) {
        notes.push(
            "A match line parts a wall that is too long for the sheet: heavy, beside the joint named."
                .to_owned(),
        );
    }
    notes.extend(rounded_by_place(subjects));
    let unsized_headers: Vec<&str> = subjects
        .iter()
        .flat_map(|it| it.openings())
        .map(|(opening, _, _)| opening)
        .filter(|opening| !opening.header_from_job && opening.header != HeaderMember::None)
        .filter(|opening| !opening.is_header_by_table())
        .map(|opening| opening.id.as_str())
        .collect();
    if !unsized_headers.is_empty() {
        notes.push(format!(
            "Headers over {}: not sized: engineer.",
            unsized_headers.join(", ")
        ));
    }
    let panels = subjects.iter().flat_map(|it| &it.panels);
    let piers = panels.filter(|(laid, _)| laid.is_pier);
    let piers: Vec<&str> = piers.map(|(_, made)| made.mark.as_str()).collect();
    if !piers.is_empty() {
        notes.push(format!(
            "Solid lumber, {}: not sized: engineer.",
            piers.join(", ")
        ));
    }
    let lines = rules
        .lines
        .iter()
        .filter(|it| it.wall_axis == WallAxis::Either);
    notes.extend(lines.map(|line| {
        format!(
            "Strength axis of panels of the {} line vertical or horizontal, as each panel's sheet says, under {}.",
            line.name, line.report
        )
    }));
    let assemblies = subjects
        .iter()
        .filter_map(|it| rules.assemblies.get(it.wall.assembly));
    let mut assemblies: Vec<&Assembly> = assemblies.filter(|it| !it.is_even()).collect();
    assemblies.dedup_by(|a, b| a.name == b.name);
    for assembly in assemblies {
        notes.push(format!("{}: {}.", assembly.name, assembly.skin_words()));
        if assembly.is_liner() {
            notes.push("Panels with one skin bear nothing: not sized: engineer.".to_owned());
        }
    }
    if subjects.iter().any(|it| it.wall.skin_drop > Length::ZERO) {
        notes.push(
            "Outer skin below the deck hangs and does not bear: not sized: engineer.".to_owned(),
        );
    }
    notes
}

/// Openings and modules whose piece of the string, rounded by place so that the string closes, is not their size as printed.
fn rounded_by_place(subjects: &[&Subject<'_>]) -> Option<String> {
    let differing = subjects.iter().flat_map(|subject| {
        let run = subject.run.from;
        let printed = move |from: Length, to: Length| printed_pieces(&[from, to]).concat();
        let openings = subject.openings().filter_map(move |(opening, from, to)| {
            let (piece, size) = (
                printed(run + from, run + to),
                printed(Length::ZERO, to - from),
            );
            (piece != size).then(|| format!("{} {piece}, size {size}", opening.id))
        });
        openings.chain(modules_by_place(subject))
    });
    let differing: Vec<String> = differing.collect();
    (!differing.is_empty()).then(|| {
        format!(
            "Strings are rounded by place so that they close; where a piece differs from the size of its opening, or from its panel and gap, the size holds: {}.",
            short_list(&differing, 6)
        )
    })
}

/// Modules that differ from the width of their panel and the gap after it, each rounded by itself.
fn modules_by_place(subject: &Subject<'_>) -> Vec<String> {
    let run = subject.run.from;
    let to_print = |it: Length| Length::nearest(it.to_inches(), PRINTED).unwrap_or(it);
    let ends = subject.module_ends();
    let modules = ends.windows(2).filter_map(|pair| {
        let (laid, made) = subject.panels.iter().find(|(laid, _)| {
            laid.kind == PanelKind::Wall && laid.rect.x0 == pair[0] && laid.rect.x1 <= pair[1]
        })?;
        let width = laid.rect.width();
        let piece = to_print(run + pair[1]) - to_print(run + pair[0]);
        let gap = to_print(pair[1] - laid.rect.x1);
        (piece != to_print(width) + gap).then(|| {
            let [piece, width] = [piece, to_print(width)].map(|it| it.feet_inches().to_string());
            format!("{} {piece}, width {width}", made.mark)
        })
    });
    modules.collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
