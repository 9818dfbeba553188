//! A blank as it lies on the saw: pieces with mark and arrow, cuts by number, offcuts, ordinates from the datum corner.

use super::blank::contours;
use super::{CuttingInput, cut_numbers};
use crate::documents::paper::canvas::View as PaperView;
use crate::documents::paper::dimension::{Ordinate, OrdinateRow, Side, ordinate_row};
use crate::documents::paper::scale::{Scale, fitting_scale};
use crate::documents::paper::style::{Dash, Fill, Ink, Lettering, Pen, RECESS_HATCH};
use crate::documents::paper::symbol::{arrow_head, quartered_disc};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::stock::{Blank, CutKind, CutSheet, NumberedCut, SheetPiece};
use crate::units::{Inches, Length};

/// So many marks of blanks that come apart alike stand on their piece; of more its place in the list.
const NAMED: usize = 3;
/// Left of the blank: ordinates, mm.
const LEFT: f64 = 26.0;
/// Below it, mm.
const BELOW: f64 = 26.0;
/// Largest scale on ANSI B, as so many times smaller than life.
const LARGEST: f64 = 16.0;

/// Where a blank is drawn.
pub(super) struct View {
    pub(super) scale: Scale,
    pub(super) on: PaperView,
    /// The blank on paper.
    pub(super) blank: Area,
    /// Below everything, mm.
    pub(super) foot: f64,
}

impl View {
    /// In the upper part of an area.
    ///
    /// - `tall`: greatest height of the picture on ANSI B, mm; on larger paper it is larger.
    pub(super) fn within(
        input: &CuttingInput<'_>,
        sheet: &CutSheet,
        field: &Area,
        tall: f64,
    ) -> Self {
        let paper = input.paper();
        let (left, below) = (LEFT * paper.letters_grown(), BELOW * paper.letters_grown());
        let size = [sheet.length, sheet.width].map(Length::to_inches);
        let room = [field.width() - left - 8.0, tall * paper.grown()];
        let scale = fitting_scale(input.scales(), LARGEST / paper.grown(), size, room);
        let k = scale.per_inch();
        let origin = spot(field.x0 + left, field.y0 + 8.0 + size[1] * k);
        let on = PaperView { origin, scale: k };
        Self {
            scale,
            on,
            blank: on.area(0.0, 0.0, size[0], size[1]),
            foot: origin.y + below,
        }
    }

    fn spot(&self, point: ShopPoint) -> Spot {
        self.on.spot(point.x.to_inches(), point.y.to_inches())
    }

    fn area(&self, rect: &ShopRect) -> Area {
        let [x0, y0, x1, y1] = [rect.x0, rect.y0, rect.x1, rect.y1].map(Length::to_inches);
        self.on.area(x0, y0, x1, y1)
    }

    fn ring(&self, ring: &ShopRing) -> Vec<Spot> {
        ring.0.iter().map(|point| self.spot(*point)).collect()
    }
}

pub(super) fn draw(
    canvas: &mut Canvas,
    input: &CuttingInput<'_>,
    group: &[&Blank],
    cuts: &[NumberedCut],
    view: &View,
) {
    let Some(blank) = group.first() else { return };
    let lettering = input.paper().lettering;
    canvas.shape(Form::Area(view.blank), Pen::Heavy.full(), Fill::Light);
    for it in &blank.sheet.offcuts {
        let area = view.area(&it.rect);
        canvas.shape(Form::Area(area), Pen::Thin.full(), Fill::White);
        canvas.hatch_area(&RECESS_HATCH, area);
    }
    for place in 0..blank.panels.len() {
        let rings = contours(input, blank, place);
        let rings = rings.iter().map(|ring| view.ring(ring)).collect();
        let marks = group.iter().filter_map(|it| it.panels.get(place));
        let marks: Vec<&str> = marks.map(|it| it.mark.as_str()).collect();
        // More than one blank may stand on a sheet.
        let id = format!("piece-{}-{}", blank.sheet.name, place + 1);
        let marks = marks.join(" ");
        canvas.group_with(&id, &marks, &[("panel", &marks)], |canvas| {
            canvas.shape(Form::Region(rings), Pen::Edge.full(), Fill::White);
        });
    }
    for [from, to] in &blank.chases {
        canvas.line(
            Pen::Thin.dashed(Dash::Chase),
            view.spot(*from),
            view.spot(*to),
        );
    }
    for [from, to] in &blank.core_joints {
        canvas.line(
            Pen::Thin.dashed(Dash::Chain),
            view.spot(*from),
            view.spot(*to),
        );
    }
    for it in cuts.iter().filter(|it| it.kind != CutKind::Opening) {
        canvas.line(Pen::Bold.full(), view.spot(it.from), view.spot(it.to));
    }
    let mut taken = Vec::new();
    for (place, it) in blank.panels.iter().enumerate() {
        let marks = group.iter().filter_map(|it| it.panels.get(place));
        let marks: Vec<&str> = marks.map(|it| it.mark.as_str()).collect();
        let name = if marks.len() <= NAMED {
            marks.join(", ")
        } else {
            format!("PLACE {}", place + 1)
        };
        let size = format!("{} × {}", Inches(it.rect.width()), Inches(it.rect.height()));
        let words = [name, size];
        let up = it.on.attitude.up();
        draw_name(
            canvas,
            &lettering,
            (&words, up),
            &view.area(&it.rect),
            &mut taken,
        );
    }
    for it in &blank.sheet.offcuts {
        draw_offcut(
            canvas,
            lettering.note,
            view.area(&it.rect),
            &it.name,
            &mut taken,
        );
    }
    let numbered = cuts.iter().map(|it| {
        let ink = match it.kind {
            CutKind::Opening => Ink::Mid,
            _ => Ink::Black,
        };
        (it.number, [view.spot(it.from), view.spot(it.to)], ink)
    });
    let numbered: Vec<_> = numbered.collect();
    cut_numbers(canvas, lettering.title, &numbered, &mut taken);
    quartered_disc(canvas, view.on.origin, 2.2);
    let cuts = cuts.iter().map(|it| [it.from, it.to]);
    draw_ordinates(
        canvas,
        &lettering,
        &view.on,
        &view.blank,
        [blank.sheet.length, blank.sheet.width],
        &blank.sheet.pieces,
        cuts,
    );
}

/// The mark, the size below it, and an arrow that points to the panel's top.
fn draw_name(
    canvas: &mut Canvas,
    lettering: &Lettering,
    ([name, size], up): (&[String; 2], &str),
    area: &Area,
    taken: &mut Vec<Area>,
) {
    let along = match up {
        "+x" => spot(1.0, 0.0),
        "-x" => spot(-1.0, 0.0),
        "+y" => spot(0.0, -1.0),
        _ => spot(0.0, 1.0),
    };
    let lettered = Lettered::cap(lettering.heading).bold().middle().masked();
    let at = area.middle();
    let quarter = spot(area.width() / 4.0 * along.x, area.height() / 4.0 * along.y);
    let tip = at + quarter + along * 6.0;
    canvas.line(
        Pen::Edge.full(),
        at + quarter - along * 2.0,
        tip - along * 2.0,
    );
    arrow_head(canvas, tip, along, 3.2);
    taken.push(Area::of(at + quarter - along * 2.0, tip).grown(2.0));
    let base = at + spot(0.0, lettered.cap / 2.0);
    let width = canvas.text_within(base, name, lettered, area.width() - 3.0);
    let half = spot(width / 2.0 + 1.0, lettered.cap / 2.0 + 1.0);
    taken.push(Area::of(at - half, at + half));
    let small = Lettered::cap(lettering.note).middle().masked();
    let below = at + spot(0.0, lettered.cap / 2.0 + small.cap + 1.6);
    let half = spot(small.width(size) / 2.0 + 1.0, small.cap / 2.0 + 1.0);
    let is_clear = along.y <= 0.0 || area.height() / 4.0 > below.y - at.y + small.cap + 3.0;
    if is_clear && 2.0 * half.x <= area.width() && below.y + half.y <= area.y1 {
        canvas.text_centred(below, size.clone(), small);
        taken.push(Area::of(below - half, below + half));
    }
}

fn draw_offcut(canvas: &mut Canvas, cap: f64, area: Area, name: &str, taken: &mut Vec<Area>) {
    let lettered = Lettered::cap(cap).middle().masked();
    let long = lettered.width(name) + 2.0;
    let lettered = if long <= area.width() && lettered.cap + 2.0 <= area.height() {
        lettered
    } else if long <= area.height() && lettered.cap + 2.0 <= area.width() {
        lettered.upwards()
    } else {
        return;
    };
    let half = if lettered.turn_deg == 0.0 {
        spot(long / 2.0, lettered.cap / 2.0 + 1.0)
    } else {
        spot(lettered.cap / 2.0 + 1.0, long / 2.0)
    };
    let at = area.middle();
    canvas.text_centred(at, name, lettered);
    taken.push(Area::of(at - half, at + half));
}

/// Every upright cut and end of a piece from the datum corner along the foot, every level one at the left.
///
/// - `whole`: the sheet on paper.
/// - `pieces`: those whose ends are told.
/// - `cuts`: from where to where.
pub(super) fn draw_ordinates(
    canvas: &mut Canvas,
    lettering: &Lettering,
    on: &PaperView,
    whole: &Area,
    [length, width]: [Length; 2],
    pieces: &[SheetPiece],
    cuts: impl Iterator<Item = [ShopPoint; 2]>,
) {
    let mut xs = vec![length];
    let mut ys = vec![width];
    for it in pieces {
        xs.extend([it.rect.x0, it.rect.x1]);
        ys.extend([it.rect.y0, it.rect.y1]);
    }
    for [from, to] in cuts {
        if from.x == to.x {
            xs.push(from.x);
        }
        if from.y == to.y {
            ys.push(from.y);
        }
    }
    for list in [&mut xs, &mut ys] {
        list.sort_unstable();
        list.dedup();
        list.retain(|it| *it > Length::ZERO);
    }
    let ordinate = |at: f64, length: &Length| Ordinate {
        at,
        words: Inches(*length).to_string(),
        ..Ordinate::default()
    };
    let along: Vec<Ordinate> = xs
        .iter()
        .map(|it| ordinate(on.x(it.to_inches()), it))
        .collect();
    let across: Vec<Ordinate> = ys
        .iter()
        .rev()
        .map(|it| ordinate(on.y(it.to_inches()), it))
        .collect();
    let row = OrdinateRow {
        side: Side::Below,
        edge: whole.y1,
        label: 9.0,
        within: [whole.x0 - 3.0, whole.x1 + 5.0],
        cap: lettering.note,
    };
    ordinate_row(canvas, lettering, &row, &along);
    let row = OrdinateRow {
        side: Side::Left,
        edge: whole.x0,
        label: 9.0,
        within: [whole.y0 - 4.0, whole.y1 + 3.0],
        cap: lettering.note,
    };
    ordinate_row(canvas, lettering, &row, &across);
    let zero = Lettered::cap(lettering.note).end();
    canvas.text_centred(on.origin + spot(-5.0, 6.0), "0", zero);
}
