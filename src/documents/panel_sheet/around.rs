//! Labels outside the panel: neighbours' marks, words at the edges, marks of the cutting planes.

use super::arrange::Arrangement;
use super::bevels::bevel_labels;
use super::edges::{EdgeWords, Neighbour, edge_words, neighbours};
use super::labels::{Choice, Label, TextBlock, box_choice, draw_section_mark, section_mark_box};
use super::section::Cuts;
use super::signs::{EdgePlace, SIDE, draw_sign};
use super::subject::{Hand, Subject};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::style::{Pen, SMALL_SHEET};
use crate::documents::paper::symbol::arrow;
use crate::documents::paper::{Area, Lettered, Weight, spot};
use smallvec::{SmallVec, smallvec};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);
const MARK: Lettered = Lettered::cap(SMALL_SHEET.mark).bold();

/// All labels that stand outside.
pub(super) fn outer_labels<'a>(
    subject: &Subject<'_>,
    arrangement: &Arrangement,
    cuts: &Cuts,
) -> Vec<Label<'a>> {
    let mut labels = Vec::new();
    let marks = |labels: &mut Vec<Label<'a>>| {
        let [upright, level] = arrangement.marks;
        if level {
            labels.push(level_mark(arrangement, cuts));
        }
        if upright {
            labels.push(upright_mark(arrangement, cuts));
        }
    };
    // A ticket's sections say where they are cut too: there what saw and crane need goes first.
    let is_ticket = arrangement.sections.is_none();
    if !is_ticket {
        marks(&mut labels);
    }
    labels.extend(
        neighbours(subject)
            .into_iter()
            .map(|it| neighbour_label(it, arrangement)),
    );
    labels.extend(bevel_labels(subject, arrangement));
    labels.extend(
        edge_words(subject)
            .into_iter()
            .map(|it| match it.sign.place {
                EdgePlace::End(hand) => end_label(it, hand, arrangement),
                EdgePlace::Top | EdgePlace::Bottom => level_label(it, arrangement),
            }),
    );
    if is_ticket {
        marks(&mut labels);
    }
    labels
}

/// A neighbour's mark with an arrow to it, near the top of the end.
fn neighbour_label<'a>(neighbour: Neighbour, arrangement: &Arrangement) -> Label<'a> {
    const ARROW: f64 = 7.0;
    let (panel, stage) = (arrangement.panel, arrangement.stage);
    let words = TextBlock::new(
        vec![(neighbour.mark.clone(), MARK), (neighbour.remark, NOTE)],
        false,
    );
    let mark_width = MARK.width(&neighbour.mark) + 1.5 + ARROW;
    let width = words.width().max(mark_width);
    let hand = neighbour.hand;
    let x = match hand {
        Hand::Left => stage.x0 + 2.0,
        Hand::Right => (stage.x1 - 1.5 - width).min(panel.x1 + 9.0),
    };
    let choices = steps(
        panel.y0 + 1.5,
        stage.y0 + 4.0,
        stage.y1 - words.height() - 2.0,
    )
    .map(|y| {
        let area = Area::new(x, y, x + width, y + words.height());
        box_choice(area, (y - panel.y0 - 1.5).abs(), 0)
    })
    .collect();
    Label {
        name: format!("neighbour {}", neighbour.mark),
        choices,
        draw: Box::new(move |canvas, choice| {
            let middle = choice.at.y + MARK.cap / 2.0;
            let pen = Pen::Edge.full();
            match hand {
                Hand::Left => {
                    words.draw(canvas, choice.at);
                    let from = choice.at.x + mark_width - ARROW;
                    arrow(
                        canvas,
                        pen,
                        spot(from, middle),
                        spot(from + ARROW, middle),
                        2.4,
                    );
                }
                Hand::Right => {
                    // The arrow points at this panel, the mark stands beyond it.
                    let at = spot(choice.at.x + ARROW + 1.5, choice.at.y);
                    words.draw(canvas, at);
                    let tip = spot(choice.at.x, middle);
                    arrow(canvas, pen, spot(choice.at.x + ARROW, middle), tip, 2.4);
                }
            }
        }),
    }
}

/// Positions from a wanted one outwards, both ways, 2 mm apart, between two ends.
pub(super) fn steps(wanted: f64, low: f64, high: f64) -> impl Iterator<Item = f64> {
    (0..90)
        .flat_map(move |i| {
            let off = f64::from(i) * 2.0;
            [wanted + off, wanted - off]
        })
        .skip(1)
        .filter(move |y| (low..=high).contains(y))
}

/// Sign and words of an end: at the left turned to be read from the right, at the right level.
fn end_label<'a>(edge: EdgeWords, hand: Hand, arrangement: &Arrangement) -> Label<'a> {
    let (panel, stage) = (arrangement.panel, arrangement.stage);
    let name = format!("{} edge, {}", hand.word(), edge.lines.join(" "));
    match hand {
        Hand::Left => {
            let mut lines = edge.lines;
            let head = lines.remove(0);
            let last = if lines.len() > 1 { lines.pop() } else { None };
            let rest = lines.join(" ");
            // On one line beneath the first words; where the sheet is too low for it, on more.
            let uppers = [f64::INFINITY, 64.0, 48.0, 36.0].map(|width| {
                let first = [(head.clone(), NOTE)];
                TextBlock::new(
                    first.into_iter().chain(wrapped(&rest, width)).collect(),
                    false,
                )
            });
            let lower = TextBlock::new(
                last.into_iter()
                    .flat_map(|words| wrapped(&words, 34.0))
                    .collect(),
                false,
            );
            let gap = 1.8;
            let lower_height = if lower.width() > 0.0 {
                lower.width() + gap
            } else {
                0.0
            };
            let x = stage.x0 + 2.0;
            let mut choices = Vec::new();
            for (form, upper) in uppers.iter().enumerate() {
                let height = upper.width() + gap + SIDE + lower_height;
                let wanted = panel.middle().y - height / 2.0;
                let across = upper.height().max(lower.height()).max(SIDE);
                let cost = u32::try_from(form).map_or(0.0, f64::from) * 100.0;
                choices.extend(
                    steps(wanted, stage.y0 + 2.0, stage.y1 - height - 2.0).map(|y| {
                        let area = Area::new(x, y, x + across, y + height);
                        box_choice(area, cost + (y - wanted).abs(), form)
                    }),
                );
            }
            Label {
                name,
                choices,
                draw: Box::new(move |canvas, choice| {
                    let Some(upper) = uppers.get(choice.form) else {
                        return;
                    };
                    upper.draw_upwards(canvas, choice.at);
                    let y = choice.at.y + upper.width() + gap;
                    draw_sign(canvas, spot(choice.at.x, y), edge.sign);
                    lower.draw_upwards(canvas, spot(choice.at.x, y + SIDE + gap));
                }),
            }
        }
        Hand::Right => {
            let x = panel.x1 + 9.0;
            // Less than the stage by what boxes of labels are larger than their words.
            let room = stage.x1 - x - 1.0;
            let mut lines = edge.lines;
            let head = lines.remove(0);
            let wrap_all = |lines: &[String]| {
                TextBlock::new(
                    lines.iter().flat_map(|line| wrapped(line, room)).collect(),
                    false,
                )
            };
            let below = wrap_all(&lines);
            lines.insert(0, head.clone());
            let nothing = || TextBlock::new(Vec::new(), false);
            // The first words beside the sign; where that is too narrow all below it; else the sign alone.
            let forms = [
                (
                    TextBlock::new(wrapped(&head, room - SIDE - 1.5), false),
                    below,
                ),
                (nothing(), wrap_all(&lines)),
                (nothing(), nothing()),
            ];
            let wanted = panel.y0 + 12.0;
            let mut choices = Vec::new();
            for (form, (beside, below)) in forms.iter().enumerate() {
                let upper = beside.height().max(SIDE);
                let height = upper + 1.4 + below.height();
                let width = (SIDE + 1.5 + beside.width()).max(below.width());
                let cost = [0.0, 80.0, 400.0].get(form).copied().unwrap_or(0.0);
                choices.extend(
                    steps(wanted, stage.y0 + 2.0, stage.y1 - height - 1.0).map(|y| {
                        let area = Area::new(x, y, x + width, y + height);
                        box_choice(area, cost + (y - wanted).abs(), form)
                    }),
                );
            }
            Label {
                name,
                choices,
                draw: Box::new(move |canvas, choice| {
                    let Some((beside, below)) = forms.get(choice.form) else {
                        return;
                    };
                    let upper = beside.height().max(SIDE);
                    draw_sign(canvas, choice.at, edge.sign);
                    beside.draw(canvas, spot(choice.at.x + SIDE + 1.5, choice.at.y + 0.6));
                    below.draw(canvas, spot(choice.at.x, choice.at.y + upper + 1.4));
                }),
            }
        }
    }
}

fn wrapped(words: &str, width: f64) -> Vec<(String, Lettered)> {
    wrap(words, width, NOTE.cap, Weight::Regular)
        .into_iter()
        .map(|line| (line, NOTE))
        .collect()
}

/// Sign and words of the bottom or the top, where the ordinates leave room.
fn level_label<'a>(edge: EdgeWords, arrangement: &Arrangement) -> Label<'a> {
    let (panel, stage) = (arrangement.panel, arrangement.stage);
    let whole = edge.lines.join(" ");
    let as_written = edge.lines.iter().map(|line| (line.clone(), NOTE)).collect();
    let mut blocks = vec![TextBlock::new(as_written, false)];
    blocks.extend([42.0, 30.0, 24.0].map(|width| TextBlock::new(wrapped(&whole, width), false)));
    let is_top = edge.sign.place == EdgePlace::Top;
    let mut choices = Vec::new();
    for (form, words) in blocks.iter().enumerate() {
        let (width, height) = (SIDE + 1.8 + words.width(), SIDE.max(words.height()));
        let cost = u32::try_from(form).map_or(0.0, f64::from) * 40.0;
        // Rather close to the panel, between its ordinates, than not at all.
        for (off, cost) in [
            (14.0, cost),
            (11.0, cost),
            (17.0, cost),
            (20.0, cost),
            (23.0, cost),
            (7.0, cost + 60.0),
            (4.0, cost + 60.0),
            (2.5, cost + 60.0),
        ] {
            let y = if is_top {
                panel.y0 - off - height
            } else {
                panel.y1 + off
            };
            if y < stage.y0 || y + height > stage.y1 {
                continue;
            }
            let middle = panel.middle().x - width / 2.0;
            for x in steps(middle, stage.x0 + 2.0, stage.x1 - width - 2.0) {
                let area = Area::new(x, y, x + width, y + height);
                choices.push(box_choice(area, cost + (x - middle).abs() + off, form));
            }
        }
    }
    Label {
        name: format!("{} edge, {whole}", if is_top { "top" } else { "bottom" }),
        choices,
        draw: Box::new(move |canvas, choice| {
            let Some(words) = blocks.get(choice.form) else {
                return;
            };
            let height = SIDE.max(words.height());
            let sign = spot(choice.at.x, choice.at.y + (height - SIDE) / 2.0);
            draw_sign(canvas, sign, edge.sign);
            let y = choice.at.y + (height - words.height()) / 2.0;
            words.draw(canvas, spot(choice.at.x + SIDE + 1.8, y));
        }),
    }
}

/// How far outside the panel a mark of section A-A may begin, mm: beside the ordinates, else beyond their numbers.
const OUT: [f64; 10] = [2.0, 5.0, 9.0, 13.0, 17.0, 21.0, 26.0, 31.0, 36.0, 41.0];

/// The two marks of section A-A above and below the panel.
fn upright_mark<'a>(arrangement: &Arrangement, cuts: &Cuts) -> Label<'a> {
    let (panel, view) = (arrangement.panel, arrangement.view);
    let sight = spot(-1.0, 0.0);
    let ends = move |x: f64, form: usize| {
        let off = |index: usize| OUT.get(index).copied().unwrap_or(OUT[0]);
        let (above, below) = (off(form / OUT.len()), off(form % OUT.len()));
        [
            (spot(x, panel.y0 - above), spot(0.0, -1.0)),
            (spot(x, panel.y1 + below), spot(0.0, 1.0)),
        ]
    };
    let x = view.x(cuts.x.to_inches());
    let choice = |form: usize| {
        let places = ends(x, form);
        Choice {
            cost: (panel.y0 - places[0].0.y) + (places[1].0.y - panel.y1),
            boxes: SmallVec::from_iter(places.map(|(at, out)| section_mark_box(at, out, sight))),
            leader: None,
            at: spot(x, panel.y0),
            anchor: spot(x, panel.y1),
            form,
        }
    };
    Label {
        name: "marks of section A-A".to_owned(),
        choices: (0..OUT.len() * OUT.len()).map(choice).collect(),
        draw: Box::new(move |canvas, choice| {
            for (at, out) in ends(choice.at.x, choice.form) {
                draw_section_mark(canvas, at, out, sight, "A");
            }
        }),
    }
}

/// How much farther out the mark of section B-B may stand, mm: beside the panel, else beyond what stands there.
const FARTHER: [f64; 7] = [0.0, 4.0, 8.0, 12.0, 16.0, 22.0, 28.0];

/// The mark of section B-B beyond the end it cuts; its other mark stands inside and is placed there.
fn level_mark<'a>(arrangement: &Arrangement, cuts: &Cuts) -> Label<'a> {
    let (panel, view) = (arrangement.panel, arrangement.view);
    let (x, out) = match cuts.hand {
        Hand::Left => (panel.x0 - 2.0, spot(-1.0, 0.0)),
        Hand::Right => (panel.x1 + 4.5, spot(1.0, 0.0)),
    };
    let sight = spot(0.0, 1.0);
    let y = view.y(cuts.y.to_inches());
    let choice = |off: f64| {
        let at = spot(x + out.x * off, y);
        Choice {
            boxes: smallvec![section_mark_box(at, out, sight)],
            leader: None,
            cost: off,
            at,
            anchor: at,
            form: 0,
        }
    };
    Label {
        name: "mark of section B-B".to_owned(),
        choices: FARTHER.map(choice).to_vec(),
        draw: Box::new(move |canvas, choice| {
            draw_section_mark(canvas, choice.at, out, sight, "B");
        }),
    }
}
