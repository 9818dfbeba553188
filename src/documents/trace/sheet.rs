//! One trace sheet: the drawing at the left, the strip at the right.

use super::background::draw_background;
use super::dimension_checks::{
    ChainCheck, DimensionCheck, Verdict, check_chains, check_dimensions, dimensions_in_lines,
};
use super::facts::{Gap, Question, outline_gaps, questions};
use super::labels::{
    Label, dimension_labels, draw_labels, gap_labels, opening_labels, question_labels, room_labels,
    short_wall_labels, spare_rings, wall_labels,
};
use super::recovered::draw_recovered;
use super::strip::{StripFacts, draw_strip};
use super::things::thing_labels;
use super::units::Units;
use super::words::left_out_words;
use super::zoom::{fit_view, near_gaps};
use crate::documents::TitleFacts;
use crate::documents::paper::frame::Paper;
use crate::documents::paper::{Area, Canvas, Group, Sheet};
use crate::documents::plan_view::{
    LabelBox, Obstacles, PlanView, draw_foot, extent_of, foot, level_turn, turned, wall_bodies,
};
use crate::drawing::Drawing;
use crate::findings::Finding;
use crate::plan::{Plan, Storey, Unclaimed};

/// Share of the width that the strip takes: it holds questions with room for answers.
const STRIP: f64 = 0.184;

/// What a label had better not stand on: a text of the architect's costs as much as standing so many mm farther away.
const ON_TEXT: f64 = 40.0;

/// The same for a line of the architect's.
const ON_LINE: f64 = 1.0;

/// All that one sheet is drawn from.
pub(super) struct TraceInput<'a> {
    /// The architect's drawing, if one was read (a sketch has none).
    pub(super) drawing: Option<&'a Drawing>,
    /// The whole plan, for its unit.
    pub(super) plan: &'a Plan,
    /// The storey on this sheet.
    pub(super) storey: &'a Storey,
    /// All findings.
    pub(super) findings: &'a [Finding],
    /// Title block.
    pub(super) facts: &'a TitleFacts,
    /// Number of the sheet, from 1.
    pub(super) number: usize,
    /// What is named as no wall.
    pub(super) unclaimed: &'a [Unclaimed],
}

impl TraceInput<'_> {
    pub(super) fn paper(&self) -> Paper {
        Paper::of_plans(&self.facts.sheets).with_strip(STRIP)
    }

    /// How this sheet writes lengths.
    pub(super) fn units(&self) -> Units {
        let unit = self.drawing.map_or(self.plan.unit, |it| it.scale.unit);
        Units::of(unit)
    }
}

/// Draws one sheet.
pub(super) fn trace_sheet(input: &TraceInput<'_>) -> Sheet {
    let storey = input.storey;
    let paper = input.paper();
    let field = paper.field();
    let window = Area::new(
        field.x0 + 4.0,
        field.y0 + 4.0,
        field.x1 - 4.0,
        field.y1 - foot(&paper.lettering),
    );
    let questions = questions(input.findings, input.plan, storey);
    let gaps = outline_gaps(storey, input.findings);
    // Of a plan that does not close, what stands round its gaps: the sheet may hold other views.
    let near = near_gaps(storey, &gaps);
    let pictured = near.as_ref().unwrap_or(storey);
    let turn = turn_of(pictured);
    let view = fit_view(input, pictured, &questions, &gaps, turn, &window);
    let checks = input.drawing.map(check_dimensions).unwrap_or_default();
    // Those exploded into lines and text are drawn among these.
    let in_lines = input
        .drawing
        .map(|drawing| dimensions_in_lines(drawing, &[storey]))
        .unwrap_or_default();
    let checks_in_lines = check_dimensions(&in_lines);
    let mut sheets: Vec<(&Drawing, &[DimensionCheck])> = vec![(&in_lines, &checks_in_lines)];
    sheets.extend(input.drawing.map(|drawing| (drawing, &checks[..])));
    let all_checks = [&checks[..], &checks_in_lines].concat();

    let background = input
        .drawing
        .map(|drawing| draw_background(drawing, &checks, &view, &window))
        .unwrap_or_default();
    let mut recovered = Canvas::new();
    draw_recovered(&mut recovered, pictured, &gaps, &view);
    let recovered = recovered.into_group("recovered", "Recovered");

    let mut obstacles = Obstacles::inside(window);
    obstacles.add_group(&recovered);
    for (middle, width, height, along) in &background.texts {
        let area = LabelBox::about(*middle, *width, *height, *along);
        obstacles.add_words(area, ON_TEXT);
    }
    for (from, to) in &background.lines {
        obstacles.add_soft(LabelBox::line(*from, *to, 0.2), ON_LINE);
    }
    let (labels, left) = Labelling {
        input,
        storey: pictured,
        view: &view,
        window: &window,
        questions: &questions,
        gaps: &gaps,
        sheets: &sheets,
    }
    .draw(&mut obstacles);

    let extent = building_extent(pictured, turn);
    let chains: Vec<ChainCheck> = (sheets.iter().rev())
        .filter_map(|(drawing, checks)| Some(check_chains(drawing, checks, turn, &extent?)))
        .flatten()
        .collect();
    let title = format!("{}, TRACE", storey_title(storey).to_uppercase());
    let remark = "Grey: architect. Black: recovered. Diamond: question. Triangle: conflict.";
    let foot = draw_foot(
        &field,
        &paper.lettering,
        &view,
        [&title, remark, &left_out_words(background.left)],
        turn,
        None,
    );
    let mut frame = Canvas::new();
    paper.draw_frame(&mut frame);
    let zooms: Vec<Option<Area>> = questions
        .iter()
        .map(|question| zoom_of(question, &view, &window))
        .collect();
    let strip = draw_strip(&StripFacts {
        input,
        questions: &questions,
        zooms: &zooms,
        gaps: &gaps,
        checks: &all_checks,
        chains: &chains,
        scale: view.scale().name,
        left: &left,
    });
    Sheet {
        name: if input.number == 1 {
            "trace".to_owned()
        } else {
            format!("trace-{}", storey.id)
        },
        number: format!("Z-{:03}", input.number),
        title: format!("Trace and questions, {}", storey_title(storey)),
        description: "The architect's drawing in grey with what was recovered drawn over it, questions, dimension checks. \
                      Millimetres on paper."
            .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![
            ("storey".to_owned(), storey.id.clone()),
            ("scale".to_owned(), view.scale().data()),
        ],
        layers: vec![
            background.group,
            recovered,
            labels,
            foot,
            frame.into_group("frame", "Frame"),
            strip,
        ],
    }
}

/// Half of what a zoom shows round its places, mm on paper: a wall, its openings and their labels.
const ZOOM: f64 = 45.0;

/// The part of the sheet that shows all places of a question; `None` when none of them is on the sheet.
fn zoom_of(question: &Question, view: &PlanView, window: &Area) -> Option<Area> {
    let spots: Vec<_> = question
        .places
        .iter()
        .map(|place| view.paper(*place))
        .filter(|p| window.holds(&Area::of(*p, *p)))
        .collect();
    let first = spots.first()?;
    let mut area = Area::of(*first, *first);
    for p in &spots {
        area = Area::new(
            area.x0.min(p.x),
            area.y0.min(p.y),
            area.x1.max(p.x),
            area.y1.max(p.y),
        );
    }
    Some(Area::new(
        area.x0 - ZOOM,
        area.y0 - ZOOM,
        area.x1 + ZOOM,
        area.y1 + ZOOM,
    ))
}

/// Name of a storey as printed.
pub(super) fn storey_title(storey: &Storey) -> String {
    match (storey.name.trim(), storey.id.as_str()) {
        ("", "") => "drawing as read".to_owned(),
        ("", id) => format!("storey {id}"),
        (name, _) => name.to_owned(),
    }
}

fn turn_of(storey: &Storey) -> f64 {
    let exterior: Vec<_> = storey
        .walls
        .iter()
        .filter(|it| it.is_exterior)
        .map(|it| (it.start, it.end))
        .collect();
    if exterior.is_empty() {
        let all: Vec<_> = storey.walls.iter().map(|it| (it.start, it.end)).collect();
        level_turn(&all)
    } else {
        level_turn(&exterior)
    }
}

/// The building in the turned axes, inches.
fn building_extent(storey: &Storey, turn: f64) -> Option<Area> {
    let corners = wall_bodies(storey)
        .into_iter()
        .flat_map(|body| body.quad)
        .map(|p| turned(p, turn));
    extent_of(corners)
}

struct Labelling<'a> {
    input: &'a TraceInput<'a>,
    storey: &'a Storey,
    view: &'a PlanView,
    window: &'a Area,
    questions: &'a [Question],
    gaps: &'a [Gap],
    /// Dimensions of the drawing and those in lines and text, each with their checks.
    sheets: &'a [(&'a Drawing, &'a [DimensionCheck])],
}

impl Labelling<'_> {
    /// Places and draws every sign, the more important first; the names of those that found no place.
    fn draw(&self, obstacles: &mut Obstacles) -> (Group, Vec<String>) {
        let (storey, view, units) = (self.storey, self.view, self.input.units());
        let lettering = &self.input.paper().lettering;
        let dimensions = |verdict| {
            let labels = |(drawing, checks): &(&Drawing, &[DimensionCheck])| {
                dimension_labels(drawing, checks, view, lettering, verdict, units)
            };
            self.sheets.iter().flat_map(labels).collect()
        };
        let mut canvas = Canvas::new();
        let mut left = Vec::new();
        canvas.group("wall-ids", "Wall ids", |canvas| {
            // Ids stand on their walls, so walls are no obstacle to them: only other ids are.
            let mut on_walls = Obstacles::inside(*self.window);
            spare_rings(self.questions, view, &mut on_walls);
            let ids = wall_labels(storey, view, lettering);
            left.extend(draw_labels(canvas, ids, self.window, &mut on_walls));
            obstacles.join(&on_walls);
            let short = short_wall_labels(storey, view, lettering, true);
            left.extend(draw_labels(canvas, short, self.window, obstacles));
        });
        canvas.group("questions", "Questions", |canvas| {
            let gaps = gap_labels(self.gaps, view, lettering, units);
            left.extend(draw_labels(canvas, gaps, self.window, obstacles));
            let asked = question_labels(self.questions, view, lettering, self.window);
            left.extend(draw_labels(canvas, asked, self.window, obstacles));
        });
        let mut add = |id: &str, title: &str, labels: Vec<Label>| {
            canvas.group(id, title, |canvas| {
                left.extend(draw_labels(canvas, labels, self.window, obstacles));
            });
        };
        add("conflicts", "Conflicts", dimensions(Verdict::Conflicts));
        let openings = opening_labels(storey, view, lettering, units);
        add("openings", "Openings", openings);
        let rooms = room_labels(storey, view, lettering, units);
        add("rooms", "Rooms", rooms);
        let short = short_wall_labels(storey, view, lettering, false);
        add("short-wall-ids", "Ids of short walls", short);
        if !self.input.unclaimed.is_empty() {
            let things = thing_labels(self.input.unclaimed, view, lettering, self.window);
            add("things", "What is no wall", things);
        }
        let agreeing = dimensions(Verdict::Agrees);
        add("agreeing-dimensions", "Dimensions that agree", agreeing);
        (canvas.into_group("labels", "Labels"), left)
    }
}
