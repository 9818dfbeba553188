//! Labels that look for a place: blocks of text, balloons, section marks.

use crate::documents::paper::style::{Fill, Pen, SMALL_SHEET};
use crate::documents::paper::symbol::arrow_head;
use crate::documents::paper::{Anchor, Area, Canvas, Form, Lettered, Spot, spot};
use crate::documents::plan_view::{LabelBox, Obstacles, Standing, place};
use smallvec::{SmallVec, smallvec};

/// A place a label may take.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    /// Text, balloon and the like; one for nearly every choice, of which a panel has thousands.
    pub(super) boxes: SmallVec<[LabelBox; 1]>,
    /// The leader.
    pub(super) leader: Option<LabelBox>,
    /// What it costs to stand there.
    pub(super) cost: f64,
    /// Upper left of a block, centre of a balloon, foot of a section mark.
    pub(super) at: Spot,
    /// Where a leader points to; for blocks unused.
    pub(super) anchor: Spot,
    /// Which form of the label.
    pub(super) form: usize,
}

impl Standing for Choice {
    fn boxes(&self) -> &[LabelBox] {
        &self.boxes
    }

    fn lines(&self) -> &[LabelBox] {
        self.leader.as_slice()
    }

    fn cost(&self) -> f64 {
        self.cost
    }
}

/// Draws a label at the place chosen for it.
type Draw<'a> = Box<dyn Fn(&mut Canvas, &Choice) + 'a>;

/// A label and how it is drawn at its place.
pub(super) struct Label<'a> {
    /// What the sheet calls it where it finds no place.
    pub(super) name: String,
    pub(super) choices: Vec<Choice>,
    pub(super) draw: Draw<'a>,
}

/// Places labels and draws them; returns the names of those that found no place.
pub(super) fn set_labels(
    canvas: &mut Canvas,
    labels: &[Label<'_>],
    obstacles: &mut Obstacles,
) -> Vec<String> {
    let requests: Vec<&[Choice]> = labels.iter().map(|it| it.choices.as_slice()).collect();
    let mut left = Vec::new();
    for (label, chosen) in labels.iter().zip(place(&requests, obstacles).chosen) {
        if let Some(choice) = chosen.and_then(|index| label.choices.get(index)) {
            (label.draw)(canvas, choice);
            obstacles.add_label(choice);
        } else {
            left.push(label.name.clone());
        }
    }
    left
}

/// Lines of text as one block.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct TextBlock {
    lines: Vec<(String, Lettered)>,
    is_centred: bool,
    width: f64,
    height: f64,
}

/// Space under a line, in cap heights.
const LINE_GAP: f64 = 0.7;

impl TextBlock {
    /// A block of lines, one under the other; empty lines are left out.
    pub(super) fn new(lines: Vec<(String, Lettered)>, is_centred: bool) -> Self {
        let lines: Vec<(String, Lettered)> = lines
            .into_iter()
            .filter(|(words, _)| !words.is_empty())
            .collect();
        let width = lines
            .iter()
            .map(|(words, lettered)| lettered.width(words))
            .fold(0.0, f64::max);
        let last_gap = lines.last().map_or(0.0, |(_, it)| it.cap * LINE_GAP);
        let sum: f64 = lines.iter().map(|(_, it)| it.cap * (1.0 + LINE_GAP)).sum();
        // Room for the feet of the last line's letters.
        let height = sum - last_gap + lines.last().map_or(0.0, |(_, it)| it.cap * 0.3);
        Self {
            lines,
            is_centred,
            width,
            height,
        }
    }

    pub(super) const fn width(&self) -> f64 {
        self.width
    }

    pub(super) const fn height(&self) -> f64 {
        self.height
    }

    /// Draws it; every line covers what lies beneath.
    pub(super) fn draw(&self, canvas: &mut Canvas, at: Spot) {
        let mut y = at.y;
        for (words, lettered) in &self.lines {
            y += lettered.cap;
            let (x, anchor) = if self.is_centred {
                (at.x + self.width / 2.0, Anchor::Middle)
            } else {
                (at.x, Anchor::Start)
            };
            canvas.text(spot(x, y), words.clone(), lettered.anchor(anchor).masked());
            y += lettered.cap * LINE_GAP;
        }
    }

    /// Draws it turned, to be read from the right: `at` is the upper left of the turned block.
    pub(super) fn draw_upwards(&self, canvas: &mut Canvas, at: Spot) {
        let mut x = at.x;
        for (words, lettered) in &self.lines {
            x += lettered.cap;
            canvas.text(
                spot(x, at.y + self.width),
                words.clone(),
                lettered.upwards().masked(),
            );
            x += lettered.cap * LINE_GAP;
        }
    }
}

/// A choice of one upright box.
pub(super) fn box_choice(area: Area, cost: f64, form: usize) -> Choice {
    let at = spot(area.x0, area.y0);
    Choice {
        boxes: smallvec![LabelBox::upright(&area.grown(0.4))],
        leader: None,
        cost,
        at,
        anchor: at,
        form,
    }
}

/// Places for a block inside an area: a grid, the cheaper the nearer to a wanted middle.
pub(super) fn inside(
    width: f64,
    height: f64,
    area: &Area,
    wanted: Spot,
    form: usize,
    cost: f64,
) -> Vec<Choice> {
    const ROWS: i32 = 14;
    const COLUMNS: i32 = 10;
    let (spare_x, spare_y) = (area.width() - width, area.height() - height);
    if spare_x < 0.0 || spare_y < 0.0 {
        return Vec::new();
    }
    let mut choices = Vec::new();
    for row in 0..=ROWS {
        for column in 0..=COLUMNS {
            let x = area.x0 + spare_x * f64::from(column) / f64::from(COLUMNS);
            let y = area.y0 + spare_y * f64::from(row) / f64::from(ROWS);
            let here = Area::new(x, y, x + width, y + height);
            let d = here.middle() - wanted;
            choices.push(box_choice(here, cost + d.x.hypot(d.y), form));
        }
    }
    choices
}

/// Radius of a part's balloon, mm.
pub(super) const BALLOON: f64 = 3.3;

/// Lettering in a part's balloon.
pub(super) const BALLOON_LETTERING: Lettered = Lettered::cap(SMALL_SHEET.note).bold();

/// Where a leader may touch parts, and the numbers of those that lie there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Touch {
    pub(super) at: Spot,
    pub(super) numbers: Vec<usize>,
}

/// Places for a row of balloons about what its leader may touch: rings of growing distance.
pub(super) fn balloon_choices(touches: &[Touch]) -> Vec<Choice> {
    const TURNS: i32 = 16;
    let mut choices = Vec::new();
    for (rank, touch) in touches.iter().enumerate() {
        let anchor = touch.at;
        let width = 2.0 * BALLOON * count_as_f64(touch.numbers.len());
        for distance in [9.0, 12.5, 16.0, 21.0, 27.0] {
            for turn in 0..TURNS {
                let angle = std::f64::consts::TAU * f64::from(turn) / f64::from(TURNS);
                let (sin, cos) = angle.sin_cos();
                // A row of balloons grows away from its anchor.
                let first = anchor + spot(cos, sin) * distance;
                let grows = if cos < 0.0 { -1.0 } else { 1.0 };
                let last = first + spot(grows * (width - 2.0 * BALLOON), 0.0);
                let area = Area::of(first, last).grown(BALLOON + 0.3);
                let end = first - spot(cos, sin) * BALLOON;
                choices.push(Choice {
                    boxes: smallvec![LabelBox::upright(&area)],
                    leader: Some(LabelBox::line(anchor, end, 0.3)),
                    cost: distance * 0.5 + count_as_f64(rank) * 2.0,
                    at: first,
                    anchor,
                    form: 2 * rank + usize::from(cos < 0.0),
                });
            }
        }
    }
    choices
}

fn count_as_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(0.0, f64::from)
}

/// Draws a row of balloons with one leader.
pub(super) fn draw_balloons(
    canvas: &mut Canvas,
    choice: &Choice,
    (before, touches): (&str, &[Touch]),
) {
    let Some(touch) = touches.get(choice.form / 2) else {
        return;
    };
    let d = choice.at - choice.anchor;
    let length = d.x.hypot(d.y).max(1e-9);
    let end = choice.at - d / length * BALLOON;
    canvas.line(Pen::Fine.full(), choice.anchor, end);
    canvas.shape(Form::Circle(choice.anchor, 0.6), None, Fill::Black);
    let step = if choice.form % 2 == 1 { -2.0 } else { 2.0 } * BALLOON;
    let mut centre = choice.at;
    for number in &touch.numbers {
        let mark = format!("{before}{number}");
        let id = format!("balloon-{mark}");
        canvas.group_with(&id, &mark, &[("part", &mark)], |canvas| {
            canvas.circle(Pen::Thin.full(), Fill::White, centre, BALLOON);
            canvas.text_centred(centre, number.to_string(), BALLOON_LETTERING.middle());
        });
        centre.x += step;
    }
}

/// A mark of a cutting plane: a heavy line, an arrow in the direction of sight, a letter behind it.
///
/// - `at`: where the line begins, near the object; `out`: unit vector away from the object; `sight`: direction of sight.
pub(super) fn draw_section_mark(
    canvas: &mut Canvas,
    at: Spot,
    out: Spot,
    sight: Spot,
    letter: &str,
) {
    let end = at + out * 6.0;
    canvas.line(Pen::Heavy.full(), at, end);
    canvas.line(Pen::Edge.full(), end, end + sight * 4.0);
    arrow_head(canvas, end + sight * 6.0, sight, 2.6);
    let lettered = Lettered::cap(SMALL_SHEET.mark).bold().middle().masked();
    let middle = at + out * 3.4 - sight * 3.4;
    canvas.text_centred(middle, letter, lettered);
}

/// The box of a section mark.
pub(super) fn section_mark_box(at: Spot, out: Spot, sight: Spot) -> LabelBox {
    let far = at + out * 7.0 + sight * 6.4;
    let near = at - sight * 5.6;
    let edge = at + out * 7.0 - sight * 5.6;
    let area = Area::of(far, near).with(edge);
    LabelBox::upright(&area)
}

/// The same where a panel is too low for it: a short arrow, the letter beside the line.
pub(super) fn draw_low_section_mark(
    canvas: &mut Canvas,
    at: Spot,
    out: Spot,
    sight: Spot,
    letter: &str,
) {
    let end = at + out * 4.0;
    canvas.line(Pen::Heavy.full(), at, end);
    canvas.line(Pen::Edge.full(), end, end + sight * 1.6);
    arrow_head(canvas, end + sight * 3.6, sight, 2.2);
    let lettered = Lettered::cap(SMALL_SHEET.mark).bold().middle().masked();
    canvas.text_centred(at + out * 7.6, letter, lettered);
}

/// The box of a low section mark.
pub(super) fn low_section_mark_box(at: Spot, out: Spot, sight: Spot) -> LabelBox {
    let far = at + out * 10.4 + sight * 3.8;
    LabelBox::upright(&Area::of(far, at - sight * 2.6))
}
