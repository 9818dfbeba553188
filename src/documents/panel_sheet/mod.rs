//! Draws one sheet for each panel: what saw, scoop, framer, quality, crane and erector need of it.
//!
//! ```text
//!   ordinates   ┌───────────────┐  chase heights     section A-A    parts
//!   from one    │   OUTSIDE ▲UP │  neighbour's mark                 weight, picks
//!   datum       │  ┌────┐       │                    section B-B    measures with boxes
//!   corner      │  │ O1 │       │                                   notes, small plan, cautions
//!               ●──┴────┴───────┘                    edge signs     W101
//! ```
//!
//! *Promises.* Every number comes from the panel's exact lengths and is rounded to 1/16 in when printed. Nothing stands on
//! anything else. A panel on HOLD says so with its reasons and a cloud.
//!
//! *Does not do.* Deciding anything: what is drawn is what fabrication made.

mod around;
mod arrange;
mod bevels;
mod broken;
mod cloud;
mod edges;
mod face;
mod hidden;
mod inner_cuts;
mod labels;
mod lists;
mod measures;
mod mini_plan;
mod ordinates;
mod section;
mod signs;
mod strip;
mod subject;
mod ticket;
mod title;
mod upright;
mod view;
mod why;
mod within;

use crate::building::Building;
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Canvas, Lettered, Sheet, spot};
use crate::documents::plan_view::Obstacles;
use crate::documents::{IssueFacts, TitleFacts};
use crate::fabrication::Fabrication;
use crate::layout::Layout;
use crate::rules::PlantRules;
use crate::side_by_side::side_by_side;
use crate::units::{Inches, Length};
pub(in crate::documents) use signs::{EdgePlace, EdgeSign, SIDE, Sign, draw_sign};
pub(in crate::documents) use subject::Hand;
pub(in crate::documents) use title::panel_revisions;

use arrange::{Arrangement, arrange};
use labels::set_labels;
use lists::list_sheets;
use ordinates::Ordinates;
use section::Cuts;
use strip::Drawn;
use subject::Subject;

/// All that panel sheets are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct PanelSheetInput<'a> {
    /// Walls and storeys.
    pub building: &'a Building,
    /// Where panels stand.
    pub layout: &'a Layout,
    /// Their parts.
    pub fabrication: &'a Fabrication,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// Title block.
    pub facts: &'a TitleFacts,
    /// What changed since the issue before.
    pub issue: &'a IssueFacts,
    /// Compass direction of the drawing's +y axis, degrees clockwise from north; `None` prints no north arrow.
    pub north_deg: Option<f64>,
}

/// The sheets of each panel, in the order of the fabrication: `Z-4101-W101` and so on, numbered by mark, each followed by its
/// further sheets `Z-4101.2-W101`, if it has any.
#[must_use]
pub fn panel_sheets(input: &PanelSheetInput<'_>) -> Vec<Sheet> {
    let panels: Vec<usize> = (0..input.fabrication.panels.len()).collect();
    let sheets = side_by_side(&panels, |panel| panel_sheet(input, *panel));
    sheets.into_iter().flatten().collect()
}

/// The number of a panel's sheet: `Z-4101` for W101. It follows the mark, not the order of erection, so that a sheet keeps its
/// number through every revision.
#[must_use]
pub fn panel_sheet_number(mark: &str) -> String {
    format!(
        "Z-4{}",
        mark.trim_start_matches(|c: char| !c.is_ascii_digit())
    )
}

/// The sheets of one panel: its drawing, and lists where the drawing's sheet has no room for all that is said of it.
///
/// - `panel`: index into `Fabrication::panels`; nothing when it or what it refers to does not exist.
#[must_use]
pub fn panel_sheet(input: &PanelSheetInput<'_>, panel: usize) -> Vec<Sheet> {
    let Some(subject) = Subject::new(input, panel) else {
        return Vec::new();
    };
    let (sheet, further) = drawing_sheet(&subject);
    std::iter::once(sheet).chain(further).collect()
}

/// What every sheet of a panel says of itself.
fn sheet_data(subject: &Subject<'_>) -> Vec<(String, String)> {
    vec![
        ("panel".to_owned(), subject.panel.mark.clone()),
        ("wall".to_owned(), subject.wall.id.clone()),
        ("storey".to_owned(), subject.wall.storey.clone()),
        ("revision".to_owned(), subject.panel.revision.clone()),
        ("job".to_owned(), subject.input.facts.number.clone()),
    ]
}

/// The sheet with the drawing, and those with lists where not all that is said of the panel stands on it.
fn drawing_sheet(subject: &Subject<'_>) -> (Sheet, Vec<Sheet>) {
    let mut ordinates = Ordinates::of(subject);
    let number = panel_sheet_number(&subject.panel.mark);
    let paper = subject.paper();
    let block = subject
        .is_ticket()
        .then(|| ticket::ticket_block(subject, &number));
    let mut field = paper.field();
    if let Some(block) = block {
        field.y1 = block.y0;
    }
    let mut arrangement = arrange(subject, &ordinates.lanes(subject.is_ticket()), field);
    if !subject.is_ticket() {
        // Words below the numbers at the left leave the view more width; that is worth it where it gives a larger scale.
        ordinates.is_narrow = true;
        let narrow = arrange(subject, &ordinates.lanes(false), field);
        ordinates.is_narrow = narrow.scale.ratio < arrangement.scale.ratio;
        if ordinates.is_narrow {
            arrangement = narrow;
        }
    }
    let cuts = Cuts::of(subject, &arrangement);
    // Of a ticket they decide which sections there are.
    let mut further = Vec::new();
    if subject.is_ticket() {
        (further, arrangement.marks) = list_sheets(subject, &number, &cuts);
    }
    let mut frame = Canvas::new();

    paper.draw_frame(&mut frame);
    let mut view = Canvas::new();
    view::draw_view(&mut view, subject, &arrangement);
    cloud::draw_clouds(&mut view, subject, &arrangement);
    let view = view.into_group("panel", "Panel from outside");
    let mut dimensions = Canvas::new();
    ordinates.draw(&mut dimensions, &arrangement);
    let dimensions = dimensions.into_group("ordinates", "Ordinates, inches from the datum corner");

    let mut labels = Canvas::new();
    let mut left: Vec<String> = Vec::new();
    let mut outside = Obstacles::inside(arrangement.stage.grown(-0.5));
    outside.add_group(&view);
    outside.add_group(&dimensions);
    labels.group("edges", "Edges and neighbours", |canvas| {
        let outer = around::outer_labels(subject, &arrangement, &cuts);
        left.extend(set_labels(canvas, &outer, &mut outside));
    });
    let mut inside = Obstacles::inside(within::window(&arrangement));
    inside.add_group_softly(&view, SOFT);
    for cut in within::cut_lines(&view) {
        inside.add_group(cut);
    }
    for sign in within::signs(subject, &arrangement) {
        inside.add_label(&sign);
    }
    labels.group("parts", "Numbers, openings, face", |canvas| {
        let inner = within::inner_labels(subject, &arrangement, &cuts);
        left.extend(set_labels(canvas, &inner, &mut inside));
    });
    draw_title(&mut labels, subject, &arrangement);
    let mut labels = labels.into_group("labels", "Labels");
    let dropped = within::dropped(subject, &labels);

    let mut sections = Canvas::new();
    if let Some([upright, level]) = arrangement.sections {
        upright::draw_upright(&mut sections, subject, upright, &cuts);
        section::draw_level(&mut sections, subject, level, &cuts);
    }
    draw_legend(&mut sections, subject, &arrangement);
    let mut strip = Canvas::new();
    let drawn = match block {
        Some(block) => {
            ticket::draw_ticket(&mut strip, subject, &number, block);
            // Its plan and its lists stand on the next page.
            Drawn {
                has_plan: true,
                has_why: true,
                is_complete: false,
                notes: Vec::new(),
            }
        }
        None => {
            let trial = strip::draw_strip(
                &mut Canvas::new(),
                subject,
                &number,
                (&left, &dropped),
                false,
            );
            // Only where they are all that a further sheet would have to say.
            let mut notes = Canvas::new();
            let is_beside = trial.is_complete && !trial.notes.is_empty() && {
                let label = why::notes_label(&trial.notes, &arrangement);
                let mut free = outside.clone().within(why::window(&arrangement));
                free.add_group(&labels);
                set_labels(&mut notes, &[label], &mut free).is_empty()
            };
            labels.items.extend(notes.into_group("", "").items);
            let drawn =
                strip::draw_strip(&mut strip, subject, &number, (&left, &dropped), is_beside);
            let has_notes = is_beside || drawn.notes.is_empty();
            Drawn {
                is_complete: drawn.is_complete && has_notes,
                ..drawn
            }
        }
    };
    let mut is_complete = drawn.is_complete;
    if !drawn.has_plan {
        // It keeps clear of what stands on the panel too.
        outside.add_group(&labels);
        let plan = mini_plan::plan_label(subject, &arrangement);
        let mut canvas = Canvas::new();
        is_complete &= set_labels(&mut canvas, &[plan], &mut outside).is_empty();
        labels.items.extend(canvas.into_group("", "").items);
    }
    if !drawn.has_why {
        outside.add_group(&labels);
        let mut outside = outside.within(why::window(&arrangement));
        let mut canvas = Canvas::new();
        // Where nothing has room for it, the further sheet and `panelwright explain` say it.
        let why = why::why_label(subject, &arrangement);
        set_labels(&mut canvas, &[why], &mut outside);
        labels.items.extend(canvas.into_group("", "").items);
    }
    let mark = &subject.panel.mark;
    let mut data = sheet_data(subject);
    data.push(("scale".to_owned(), arrangement.scale.data()));
    let drawn_view = &arrangement.view;
    let words = |it: broken::Break| format!("{:.3} {:.3}", it.from, it.to);
    let breaks: [Vec<String>; 2] = [
        drawn_view.breaks().map(words).collect(),
        drawn_view.heights().map(words).collect(),
    ];
    for (name, breaks) in ["broken", "broken-up"].iter().zip(breaks) {
        if !breaks.is_empty() {
            data.push(((*name).to_owned(), breaks.join(", ")));
        }
    }
    let sheet = Sheet {
        name: format!("{number}-{mark}"),
        title: format!("{mark} panel sheet, {}", subject.input.facts.building),
        description: format!(
            "Panel {mark} from outside with ordinates, sections, parts, weight and measures. {}, millimetres on paper.",
            paper.name
        ),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data,
        layers: vec![
            frame.into_group("frame", "Frame"),
            view,
            dimensions,
            labels,
            sections.into_group("sections", "Sections"),
            strip.into_group("strip", "Parts, weight, title block"),
        ],
        number: number.clone(),
    };
    if !is_complete && !subject.is_ticket() {
        (further, _) = list_sheets(subject, &number, &cuts);
    }
    (sheet, further)
}

/// What standing on a hidden line costs a label on the panel: as much as so many mm farther away.
const SOFT: f64 = 0.8;

/// What the balloon of the view's title and the spaces beside its words take, mm.
const TITLE_INDENT: f64 = 17.0;

fn draw_title(canvas: &mut Canvas, subject: &Subject<'_>, arrangement: &Arrangement) {
    let area = arrangement.title;
    let kind = subject.panel.kind.name();
    let side = subject.wall.role.seen_from();
    let title = if kind == "wall" {
        format!("{} FROM {side}", subject.panel.mark)
    } else {
        format!(
            "{} FROM {side}, {} PANEL",
            subject.panel.mark,
            kind.to_uppercase()
        )
    };
    let zero = match subject.deck() {
        Some(deck) if deck > Length::ZERO => format!("y 0 = {} below the deck", Inches(deck)),
        Some(_) => "y 0 = floor".to_owned(),
        None => "y 0 = panel bottom".to_owned(),
    };
    let broken = if arrangement.view.is_broken() {
        ", broken"
    } else {
        ""
    };
    let scale = format!("{}{broken}", arrangement.scale.name);
    // A ticket has less room.
    let corner = if subject.is_datum_cut_away() {
        "the blank's corner, cut away"
    } else {
        "the datum corner"
    };
    let remarks = [
        format!("SCALE {scale}   Inches from {corner}, {zero}."),
        format!("SCALE {scale}   Inches; {zero}."),
    ];
    let note = Lettered::cap(SMALL_SHEET.note);
    let room = area.width() - TITLE_INDENT;
    let [long, short] = &remarks;
    let remark = if note.width(long) <= room {
        long
    } else {
        short
    };
    let centre = spot(area.x0 + 8.0, area.y1 - 8.5);
    view_title(
        canvas,
        &SMALL_SHEET,
        centre,
        "1",
        &title,
        remark,
        area.x1 - 1.0,
    );
}

/// The edge signs in use, named.
fn draw_legend(canvas: &mut Canvas, subject: &Subject<'_>, arrangement: &Arrangement) {
    let area = arrangement.legend;
    let mut known: Vec<EdgeSign> = Vec::new();
    for edge in edges::edge_words(subject) {
        if !known
            .iter()
            .any(|it| it.shows.word() == edge.sign.shows.word())
        {
            known.push(edge.sign);
        }
    }
    let note = Lettered::cap(SMALL_SHEET.note);
    let y = area.middle().y;
    let head = spot(area.x0 + 3.6, y);
    canvas.text_centred(head, "EDGE", note.bold().middle().upwards());
    let mut x = area.x0 + 6.4;
    for sign in known {
        let lines: Vec<&str> = sign.shows.word().split(", ").collect();
        let width = lines
            .iter()
            .map(|line| note.width(line))
            .fold(0.0, f64::max);
        let sign = EdgeSign {
            place: EdgePlace::End(Hand::Right),
            ..sign
        };
        draw_sign(canvas, spot(x, y - SIDE / 2.0), sign);
        let first = if lines.len() > 1 { y - 2.0 } else { y };
        let mut middle = first;
        for line in lines {
            canvas.text_centred(spot(x + SIDE + 0.8, middle), line, note);
            middle += 4.0;
        }
        x += SIDE + 0.8 + width + 1.4;
    }
}
