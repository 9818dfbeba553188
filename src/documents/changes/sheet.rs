//! Draws the sheets of one storey: the plan with numbers at the left, the lists at the right.

use super::compare::{Difference, differences};
use super::in_drawing;
use super::names::names_on_plan;
use super::numbers::numbers;
use super::words::{Wording, by_topic, wording};
use crate::documents::Revision;
use crate::documents::asked::Asked;
use crate::documents::left_out::is_left_out;
use crate::documents::paper::flow::Flow;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::frame::Paper;
use crate::documents::paper::scale::plan_scales;
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Ink, Pen};
use crate::documents::paper::symbol::{diamond, tick_box};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Group, Lettered, Sheet, Weight, spot};
use crate::documents::plan_view::{LabelBox, Obstacles, PlanView, draw_foot, foot, level_turn};
use crate::documents::trace::{Units, check_dimensions, draw_background, left_out_words};
use crate::documents::{Models, TitleFacts};
use crate::drawing::Drawing;
use crate::plan::Storey;
use geo::Coord;

/// Share of the paper's width that is for lists.
const LISTS: f64 = 0.36;
/// Room round the plan for numbers, mm.
const AROUND: f64 = 34.0;
/// Heights that the box for an answer may have, mm, down in steps: the tallest that takes no more sheets.
const MOST_ANSWER: f64 = 61.0;
const LEAST_ANSWER: f64 = 13.0;
const STEP: f64 = 4.0;

/// All that the sheets of a storey are drawn from.
pub(super) struct ChangeInput<'a> {
    pub(super) models: &'a Models<'a>,
    pub(super) facts: &'a TitleFacts,
    pub(super) storey: &'a Storey,
    pub(super) questions: &'a [&'a Asked],
    /// Number of the first sheet: 21.
    pub(super) number: usize,
}

impl ChangeInput<'_> {
    pub(super) fn paper(&self) -> Paper {
        Paper::of_plans(&self.facts.sheets).with_strip(LISTS)
    }
}

/// The sheet with the plan, and those on which the lists go on.
pub(super) fn storey_sheets(input: &ChangeInput<'_>) -> Vec<Sheet> {
    let storey = input.storey;
    let drawing = drawing_of(input);
    let unit = drawing.map_or(input.models.trace.plan.unit, |it| it.scale.unit);
    let lines: Vec<_> = storey
        .walls
        .iter()
        .filter(|it| it.is_exterior)
        .map(|it| (it.start, it.end))
        .collect();
    let turn = level_turn(&lines);
    let found = differences(input.models, storey, turn, Units::of(unit));

    let paper = input.paper();
    let field = paper.field();
    let window = Area::new(
        field.x0 + 4.0,
        field.y0 + 4.0,
        field.x1 - 4.0,
        field.y1 - foot(&paper.lettering),
    );
    let mut points: Vec<Coord<f64>> = storey.outline.clone();
    points.extend(storey.walls.iter().flat_map(|it| [it.start, it.end]));
    let view = PlanView::fit(
        &points,
        turn,
        &window.grown(-AROUND),
        &plan_scales(input.facts.sheets.scales),
    );
    let (mut plan, left) = plan_layers(input, drawing, &found, &view, &window);
    let left = left_out_words(left);
    let words = [
        "PANELS OVER THE PLAN",
        "Grey: architect. Black: panels. Circle: changed. Diamond: question.",
        &left,
    ];
    plan.push(draw_foot(
        &field,
        &paper.lettering,
        &view,
        words,
        turn,
        None,
    ));

    let mut strip = Strip::of(&paper);
    let mut canvas = Canvas::new();
    strip.title_block(
        &mut canvas,
        &title_block(input, input.number, view.scale().name),
    );
    let rest = strip.rest();
    let list = Area::new(rest.x0 + 4.0, rest.y0 + 4.0, rest.x1 - 4.0, rest.y1 - 4.0);
    let mut later = Flow::columns(field.grown(-8.0), 2, 10.0);
    later.push(list);
    let set = |answer: f64| {
        let mut flow = Flow::new(vec![list], later.clone(), paper.lettering);
        set_lists(&mut flow, input, &found, answer);
        flow.into_pages()
    };
    let least = set(LEAST_ANSWER);
    let answers = std::iter::successors(Some(MOST_ANSWER), |it| Some(it - STEP));
    let answers = answers.take_while(|it| *it > LEAST_ANSWER);
    let mut taller = answers.map(set);
    let pages = taller.find(|pages| pages.len() <= least.len());

    let mut sheets = Vec::new();
    for (index, page) in pages.unwrap_or(least).into_iter().enumerate() {
        let number = input.number + index;
        let mut frame = Canvas::new();
        paper.draw_frame(&mut frame);
        let mut block = Canvas::new();
        Strip::of(&paper).title_block(&mut block, &title_block(input, number, view.scale().name));
        let mut layers = if index == 0 {
            std::mem::take(&mut plan)
        } else {
            Vec::new()
        };
        layers.push(page.into_group("lists", "Changes and questions"));
        layers.push(frame.into_group("frame", "Frame"));
        layers.push(block.into_group("strip", "Title block"));
        let number = format!("Z-{number:03}");
        sheets.push(Sheet {
            name: format!("{number}-architect"),
            title: format!("{number} What we changed and what we need, {}", name_of(storey)),
            number,
            description: "The architect's drawing in grey, panels over it, every difference with both numbers, every open \
                          question with room for an answer. Millimetres on paper."
                .to_owned(),
            paper: paper.name.to_owned(),
            width: paper.width,
            height: paper.height,
            data: vec![
                ("storey".to_owned(), storey.id.clone()),
                ("scale".to_owned(), view.scale().data()),
            ],
            layers,
        });
    }
    sheets
}

fn drawing_of<'a>(input: &ChangeInput<'a>) -> Option<&'a Drawing> {
    let drawings = input.models.trace.drawings;
    let own = drawings.iter().find(|it| it.file == input.storey.file);
    own.or(drawings.first())
}

fn name_of(storey: &Storey) -> String {
    let name = storey.name.trim();
    if name.is_empty() {
        format!("storey {}", storey.id)
    } else {
        name.to_owned()
    }
}

fn title_block<'a>(input: &ChangeInput<'a>, number: usize, scale: &str) -> TitleBlock<'a> {
    let faults = input
        .questions
        .iter()
        .filter(|it| it.question.is_fault)
        .count();
    let hold = match faults {
        0 => HoldBox::Released,
        1 => HoldBox::Held(vec![
            "1 question stops the work: answer it first".to_owned(),
        ]),
        n => HoldBox::Held(vec![format!(
            "{n} questions stop the work: answer them first"
        )]),
    };
    TitleBlock {
        facts: input.facts,
        title: "WHAT WE CHANGED AND WHAT WE NEED".to_owned(),
        subtitle: format!("{}; for the architect", name_of(input.storey)),
        scale: scale.to_owned(),
        number: format!("Z-{number:03}"),
        revisions: Revision::issued(input.facts),
        hold,
    }
}

/// What a sign or its leader had better not stand on: words of the architect cost as much as standing so many mm farther away,
/// which is farther than any place.
const ON_WORDS: f64 = 200.0;

/// The architect's lines, the panels over them, numbers with leaders; and how many of the architect's words have no room.
fn plan_layers(
    input: &ChangeInput<'_>,
    drawing: Option<&Drawing>,
    found: &[Difference],
    view: &PlanView,
    window: &Area,
) -> (Vec<Group>, usize) {
    let background = drawing
        .map(|drawing| draw_background(drawing, &check_dimensions(drawing), view, window))
        .unwrap_or_default();
    let mut panels = Canvas::new();
    for panel in &input.models.fabrication.panels {
        let wall = input.models.building.walls.get(panel.wall);
        let assembly = input.models.rules.assemblies.get(panel.assembly);
        let (Some(wall), Some(assembly)) = (wall, assembly) else {
            continue;
        };
        if wall.storey != input.storey.id {
            continue;
        }
        let [x, y, _] = panel.placed.origin;
        let [ux, uy, _] = panel.placed.x;
        let along = Coord { x: ux, y: uy } * panel.width.to_inches();
        // Inwards is to the left of along.
        let inwards = Coord { x: -uy, y: ux } * assembly.thickness().to_inches();
        let start = Coord { x, y };
        let ring = [
            start,
            start + along,
            start + along + inwards,
            start + inwards,
        ];
        let ring = ring
            .map(|p| view.paper(in_drawing(input.storey, p)))
            .to_vec();
        let mark = panel.mark.as_str();
        panels.group_with(
            &format!("panel-{mark}"),
            &format!("Panel {mark}"),
            &[("panel", mark)],
            |canvas| canvas.polygon(Pen::Bold.full(), ring),
        );
    }
    let panels = panels.into_group("panels", "Panels");
    let mut obstacles = Obstacles::inside(*window);
    obstacles.add_group(&panels);
    let words = background.texts.iter();
    let words: Vec<LabelBox> = words
        .map(|(middle, width, height, along)| LabelBox::about(*middle, *width, *height, *along))
        .collect();
    for area in &words {
        obstacles.add_words(*area, ON_WORDS);
    }
    let labels = numbers(input, found, view, (window, &words), &mut obstacles);
    obstacles.add_group(&labels);
    let ids = names_on_plan(input, view, &mut obstacles);
    let left = background.left;
    (vec![background.group, panels, labels, ids], left)
}

fn set_lists(flow: &mut Flow, input: &ChangeInput<'_>, found: &[Difference], answer: f64) {
    let rows: Vec<Vec<String>> = found
        .iter()
        .enumerate()
        .map(|(index, it)| {
            vec![
                (index + 1).to_string(),
                format!("{}: {}", it.about, it.what),
                it.plan.clone(),
                it.panels.clone(),
                it.why.clone(),
            ]
        })
        .collect();
    let unit = drawing_of(input).map_or(input.models.trace.plan.unit, |it| it.scale.unit);
    let units = Units::of(unit);
    // Feet and inches have their signs.
    let heads = match units {
        Units::Imperial => ["Plan", "Panels"],
        Units::Metric => ["Plan, mm", "Panels, mm"],
    };
    let table = Table {
        columns: vec![
            Column::centred("No.").bold(),
            Column::wrapping("What"),
            Column::numbers(heads[0]),
            Column::numbers(heads[1]).bold(),
            Column::wrapping("Why"),
        ],
        rows,
        total: None,
        has_heads: true,
    };
    if found.is_empty() {
        heading(flow, "WHAT WE CHANGED", "nothing: panels stand as drawn");
    } else {
        flow.table("WHAT WE CHANGED", "plan as drawn, panels as made", &table);
    }
    let count = input.questions.len();
    let remark = match count {
        0 => "nothing is open".to_owned(),
        1 => "1 open question".to_owned(),
        n => format!("{n} open questions"),
    };
    heading(flow, "WHAT WE NEED", &remark);
    if count > 0 {
        how_to_answer(flow);
    }
    let headers = &input.models.rules.openings.headers;
    for group in by_topic(input.questions) {
        let unmade = unmade(input, &group);
        question(flow, &wording(&group, units, headers), &unmade, answer);
    }
}

/// Names of walls of which no panel is made for one of these questions; of the building where nothing is.
fn unmade(input: &ChangeInput<'_>, group: &[&Asked]) -> Vec<String> {
    let models = input.models;
    let faults = group.iter().filter(|it| it.question.is_fault);
    if models.fabrication.panels.is_empty() && faults.clone().next().is_some() {
        return vec!["the building".to_owned()];
    }
    let about: Vec<&str> = faults
        .flat_map(|it| &it.question.about)
        .flat_map(|it| it.split(|c: char| !c.is_alphanumeric()))
        .collect();
    let runs = models.layout.walls.iter().filter(|run| is_left_out(run));
    let walls = runs.filter_map(|run| models.building.walls.get(run.wall));
    let walls = walls.filter(|wall| wall.storey == input.storey.id);
    let walls = walls.filter(|wall| about.contains(&wall.id.as_str()));
    walls.map(|wall| wall.id.clone()).collect()
}

fn heading(flow: &mut Flow, words: &str, remark: &str) {
    let lettering = flow.lettering();
    flow.block(
        |_| lettering.title + 5.0,
        |canvas, area| {
            let base = area.y0 + lettering.title;
            canvas.text(
                spot(area.x0 + 1.4, base),
                words,
                Lettered::cap(lettering.title).bold(),
            );
            let note = Lettered::cap(lettering.note).end();
            canvas.text(spot(area.x1 - 1.4, base), remark, note);
        },
    );
}

/// Said once over the questions.
const HOW: &str = "Write into the box, or tick \"as taken\", and send the sheet back. What is not answered stays open: nothing is \
                   accepted by silence. Numbers are those of sheet Z-001; O, X and W name openings, walls and panels on the plan.";

fn how_to_answer(flow: &mut Flow) {
    let lettering = flow.lettering();
    let lines = |width: f64| wrap(HOW, width - 3.0, lettering.note, Weight::Regular);
    let leading = lettering.leading();
    let height = |width: f64| lines(width).iter().map(|_| leading).sum::<f64>() + 3.0;
    flow.block(height, |canvas, area| {
        let mut base = area.y0 + lettering.note;
        for line in lines(area.width()) {
            canvas.text(
                spot(area.x0 + 1.4, base),
                line,
                Lettered::cap(lettering.note),
            );
            base += leading;
        }
    });
}

/// Where the words of a question begin, mm from the left of its block.
const INDENT: f64 = 15.0;
/// Room for the number of one of several, mm.
const NUMBERED: f64 = 9.0;

/// `3` of `S2-3`: a sheet is of one storey.
fn on_paper(number: &str) -> &str {
    number.rsplit('-').next().unwrap_or(number)
}

/// What waits for an answer.
///
/// - `unmade`: walls of which no panel is made meanwhile.
fn waits(holds: &[String], unmade: &[String]) -> String {
    let mut told = Vec::new();
    if !unmade.is_empty() {
        told.push(format!(
            "No panel of {} is made before it is answered.",
            unmade.join(", ")
        ));
    }
    if !holds.is_empty() {
        told.push(format!("Holds up {}.", holds.join(", ")));
    }
    if told.is_empty() {
        told.push("Holds up no panel: the work goes on with what was taken.".to_owned());
    }
    told.join(" ")
}

fn question(flow: &mut Flow, wording: &Wording, unmade: &[String], answer: f64) {
    let lettering = flow.lettering();
    let waits = waits(&wording.holds, unmade);
    let is_one = wording.seen.len() == 1;
    let numbers: Vec<&str> = wording.seen.iter().map(|it| it.0.as_str()).collect();
    let topic = if is_one {
        wording.topic.clone()
    } else {
        format!("{}: questions {}", wording.topic, numbers.join(", "))
    };
    // Of several each begins with its number, and what follows is set in.
    let set_in = if is_one { 0.0 } else { NUMBERED };
    let mut words = vec![("", topic, Weight::Bold, 0.0)];
    for (number, seen) in &wording.seen {
        let number = if is_one { "" } else { number };
        words.push((number, seen.clone(), Weight::Regular, set_in));
    }
    words.push(("", wording.ask.to_owned(), Weight::Regular, 0.0));
    words.push(("", waits, Weight::Bold, 0.0));
    let lines = |width: f64| -> Vec<(&str, String, Weight, f64)> {
        words
            .iter()
            .filter(|it| !it.1.is_empty())
            .flat_map(|(number, words, weight, set_in)| {
                let room = width - INDENT - 2.0 - set_in;
                let wrapped = wrap(words, room, lettering.note, *weight).into_iter();
                wrapped.enumerate().map(move |(index, line)| {
                    let number = if index == 0 { *number } else { "" };
                    (number, line, *weight, *set_in)
                })
            })
            .collect()
    };
    let leading = lettering.leading();
    let height = |width: f64| {
        let text: f64 = lines(width).iter().map(|_| leading).sum();
        text + answer + 7.0
    };
    flow.block(height, |canvas, area| {
        let centre = spot(area.x0 + 6.5, area.y0 + 6.5);
        let number = Lettered::cap(lettering.note).bold();
        let first = numbers.first().copied().unwrap_or_default();
        let data = [("asked", first)];
        canvas.group_with("", &format!("Question {first}"), &data, |canvas| {
            diamond(canvas, centre, 6.0, on_paper(first), number);
        });
        let mut base = area.y0 + lettering.note + 1.0;
        for (asked, line, weight, set_in) in lines(area.width()) {
            let lettered = Lettered::cap(lettering.note).weight(weight);
            canvas.text(spot(area.x0 + INDENT + set_in, base), line, lettered);
            if !asked.is_empty() {
                // The first has its diamond.
                let data = [("asked", asked)];
                let data = if asked == first { &[][..] } else { &data[..] };
                canvas.group_with("", &format!("Question {asked}"), data, |canvas| {
                    canvas.text(spot(area.x0 + INDENT, base), on_paper(asked), number);
                });
            }
            base += leading;
        }
        let top = base - lettering.note + 1.0;
        let frame = Area::new(area.x0 + INDENT, top, area.x1 - 2.0, top + answer);
        canvas.rect(Pen::Fine.full(), frame);
        let note = Lettered::cap(lettering.note);
        canvas.text(
            spot(frame.x0 + 1.6, top + lettering.note + 1.2),
            "ANSWER",
            note.ink(Ink::Mid),
        );
        let side = 3.6;
        // On the line of the word: below it the whole width is for the answer.
        let word = note.width("ANSWER");
        let box_at = spot(frame.x0 + word + 6.0, top + 1.4);
        tick_box(canvas, box_at, side, false);
        let beside = spot(box_at.x + side + 1.6, box_at.y + side / 2.0);
        canvas.text_centred(beside, "as taken", note);
    });
}

#[cfg(test)]
mod tests {
    use super::waits;

    #[test]
    fn a_wall_that_is_not_made_waits_for_its_answer() {
        let words = |of: &[&str]| -> Vec<String> { of.iter().map(|it| (*it).to_owned()).collect() };
        assert_eq!(
            waits(&[], &words(&["X6"])),
            "No panel of X6 is made before it is answered."
        );
        assert_eq!(
            waits(&words(&["W104"]), &words(&["X6"])),
            "No panel of X6 is made before it is answered. Holds up W104."
        );
        assert_eq!(
            waits(&words(&["W104", "W105"]), &[]),
            "Holds up W104, W105."
        );
        assert!(waits(&[], &[]).starts_with("Holds up no panel"));
    }
}
