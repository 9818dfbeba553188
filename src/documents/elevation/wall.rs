//! The wall itself: panels, openings, chases, and what is written on them.

use super::subject::Subject;
use crate::documents::left_out::is_left_out;
use crate::documents::panel_sheet::{EdgePlace, EdgeSign, Hand, SIDE, Sign, draw_sign};
use crate::documents::paper::dimension::{Ordinate, OrdinateRow, Side, ordinate_row};
use crate::documents::paper::style::{Dash, Fill, Ink, Lettering, Pen};
use crate::documents::paper::symbol::{arrow, balloon, hexagon, tick_box};
use crate::documents::paper::{Area, Canvas, Lettered, Spot, View, spot};
use crate::geometry::ShopRect;
use crate::layout::{PlateUse, WallEnd};
use crate::plan::OpeningKind;
use crate::rules::Assembly;
use crate::units::{Erection, Inches, Length};

/// Cap heights of a mark, the largest that fits is taken, mm.
const MARKS: [f64; 4] = [8.0, 6.4, 5.0, 4.0];

/// Draws panels, openings, plates in their recesses and chases.
pub(super) fn draw_wall(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let ink = Pen::Thin.dashed(Dash::Hidden);
    if subject.is_left_out() {
        let wall = subject.run.from;
        let rect = subject
            .wall
            .profile
            .bounds(wall + subject.from, wall + subject.to);
        let outline = subject.wall.profile.within(&rect);
        let place =
            |p: &crate::geometry::ShopPoint| view.spot((p.x - wall).to_inches(), p.y.to_inches());
        canvas.polygon(ink, outline.0.iter().map(place).collect());
    }
    let wall = subject.wall.id.as_str();
    for (laid, made) in &subject.panels {
        let data = [("panel", made.mark.as_str()), ("wall", wall)];
        let title = format!("Panel {}", made.mark);
        canvas.group_with("", &title, &data, |canvas| {
            draw_panel(canvas, view, laid, made);
        });
    }
    for plate in subject.plates() {
        let Some([from, to]) = subject.shown(plate.from, plate.to) else {
            continue;
        };
        let rise = (plate.bottom_to - plate.bottom).to_inches();
        let slope = rise / (plate.to - plate.from).to_inches();
        let square = subject.input.rules.plates.thickness.to_inches();
        let thick = square * slope.hypot(1.0);
        let at = |x: Length, up: f64| {
            let y = plate.bottom.to_inches() + (x - plate.from).to_inches() * slope + up;
            view.spot(x.to_inches(), y)
        };
        let (left, right) = (from.max(subject.from), to.min(subject.to));
        match plate.plate {
            PlateUse::Sole => canvas.line(ink, at(left, thick), at(right, thick)),
            PlateUse::Top => canvas.line(ink, at(left, 0.0), at(right, 0.0)),
            PlateUse::Cap => {
                let corners = [at(from, 0.0), at(to, 0.0), at(to, thick), at(from, thick)];
                canvas.polygon(Pen::Edge.full(), corners.to_vec());
            }
        }
    }
    for (opening, from, to) in subject.openings() {
        let rect = ShopRect::new(from, opening.sill, to, opening.head);
        let area = on_paper(view, &rect);
        let id = format!("opening-{}", opening.id);
        let title = format!("Opening {}", opening.id);
        let data = [("opening", opening.id.as_str()), ("wall", wall)];
        canvas.group_with(&id, &title, &data, |canvas| {
            canvas.fill(Fill::White, area);
            canvas.rect(Pen::Bold.full(), area);
        });
    }
    draw_ground(canvas, subject, view);
}

/// Outline, trim and chases of a panel.
fn draw_panel(
    canvas: &mut Canvas,
    view: &View,
    laid: &crate::layout::Panel,
    made: &crate::fabrication::FabricatedPanel,
) {
    canvas.polygon(Pen::Bold.full(), outline_on_paper(view, laid, made));
    if made.make_up > Length::ZERO {
        // Where a make-up panel is trimmed as drawn.
        let at = |y: Length| view.spot((laid.rect.x1 - made.make_up).to_inches(), y.to_inches());
        let trim = Pen::Edge.dashed(Dash::Phantom);
        canvas.line(trim, at(laid.rect.y0), at(laid.rect.y1));
    }
    for chase in &made.chases {
        let at = |p: crate::geometry::ShopPoint| {
            view.spot(
                (laid.rect.x0 + p.x).to_inches(),
                (laid.rect.y0 + p.y).to_inches(),
            )
        };
        canvas.line(Pen::Thin.dashed(Dash::Chase), at(chase.from), at(chase.to));
    }
}

/// What the panels stand on: level with the deck, or with the steps of a foundation.
fn draw_ground(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    let from = subject.run.from;
    let profile = &subject.wall.profile;
    let base = profile.base_between(from + subject.from, from + subject.to);
    let spot_of = |point: &crate::geometry::ShopPoint| {
        view.spot((point.x - from).to_inches(), point.y.to_inches())
    };
    let mut spots: Vec<Spot> = base.iter().map(spot_of).collect();
    if let Some(first) = spots.first_mut() {
        first.x -= 14.0;
    }
    if let Some(last) = spots.last_mut() {
        last.x += 12.0;
    }
    for pair in spots.windows(2) {
        canvas.line(Pen::Heavy.full(), pair[0], pair[1]);
    }
    let stack = &subject.wall.stack;
    let [top, foot] = [stack.cap_top, -subject.depth()].map(|it| view.y(it.to_inches()));
    for (is_cut, at) in subject.is_cut().into_iter().zip([subject.from, subject.to]) {
        if is_cut {
            let x = view.x(at.to_inches());
            let pen = Pen::Heavy.dashed(Dash::Phantom);
            canvas.line(pen, spot(x, top - 4.0), spot(x, foot + 4.0));
        }
    }
}

/// Writes marks, weights, opening sizes, what stands at the ends, and the way of erection; returns what the notes say of openings
/// whose tags found no place.
pub(super) fn draw_labels(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
) -> Option<String> {
    let mut outside = Vec::new();
    for (laid, made) in &subject.panels {
        canvas.group_with(
            &format!("panel-{}", made.mark),
            &format!("Panel {}", made.mark),
            &[
                ("panel", made.mark.as_str()),
                ("wall", subject.wall.id.as_str()),
            ],
            |canvas| {
                if !mark(canvas, subject, view, laid, made) {
                    outside.push((*laid, *made));
                }
            },
        );
    }
    let mut tags: Vec<Area> = Vec::new();
    let stack = &subject.wall.stack;
    let wall = [stack.cap_top, stack.panel_bottom].map(|it| view.y(it.to_inches()));
    let mut left = Vec::new();
    for (opening, from, to) in subject.openings() {
        let area = on_paper(view, &ShopRect::new(from, opening.sill, to, opening.head));
        let lettering = subject.lettering();
        let data = [
            ("opening", opening.id.as_str()),
            ("wall", subject.wall.id.as_str()),
        ];
        let mut has_tag = false;
        canvas.group_with("", &format!("Opening {}", opening.id), &data, |canvas| {
            has_tag = opening_words(canvas, &lettering, opening, &area, &mut tags, wall);
        });
        if !has_tag {
            let [from, to] = [from, to].map(Length::feet_inches);
            left.push(format!("{} from {from} to {to}", opening.id));
        }
    }
    let above = marks_above(canvas, subject, view, &outside);
    ends(canvas, subject, view, above);
    (!left.is_empty()).then(|| {
        format!(
            "No room for the tags of openings in {}, from its left end: {}.",
            subject.key(),
            left.join("; ")
        )
    })
}

/// Marks of panels that have no room for them: in a row over the wall, each with a line to its panel. Returns how high it is, mm.
fn marks_above(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    panels: &[(&crate::layout::Panel, &crate::fabrication::FabricatedPanel)],
) -> f64 {
    if panels.is_empty() {
        return 0.0;
    }
    let ordinates: Vec<Ordinate> = panels
        .iter()
        .map(|(laid, made)| Ordinate {
            at: view.x((laid.rect.x0 + laid.rect.width().half()).to_inches()),
            words: if made.is_held() {
                format!("{} HOLD", made.mark)
            } else {
                made.mark.clone()
            },
            is_bold: true,
            remarks: Vec::new(),
        })
        .collect();
    let [from, to] = [subject.from, subject.to].map(Length::to_inches);
    let row = OrdinateRow {
        side: Side::Above,
        edge: view.y(subject.wall.stack.cap_top.to_inches()),
        label: 7.0,
        within: [view.x(from) - 40.0, view.x(to) + 40.0],
        cap: subject.lettering().note,
    };
    ordinate_row(canvas, &subject.lettering(), &row, &ordinates)
}

/// Writes a panel's mark on it; false when it has no room.
fn mark(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    laid: &crate::layout::Panel,
    made: &crate::fabrication::FabricatedPanel,
) -> bool {
    let mut area = on_paper(view, &laid.rect);
    // Under a slope the mark stands below the lower end.
    let outline = &made.outer_skin.outline;
    let ends = [Length::ZERO, made.width].map(|x| {
        let here = outline.0.iter().filter(|point| point.x == x);
        here.map(|point| point.y).max().unwrap_or(made.height)
    });
    let low = (laid.rect.y0 + ends[0].min(ends[1])).min(laid.rect.y1);
    area.y0 = view.y(low.to_inches());
    let note = subject.lettering().note;
    // Between the top plate and the highest head in the panel.
    let head = laid
        .openings
        .iter()
        .filter_map(|index| subject.wall.openings.get(*index))
        .map(|opening| opening.head)
        .max();
    let floor = head.map_or(area.y1, |head| view.y(head.to_inches()));
    let top = area.y0 + subject.input.rules.plates.thickness.to_inches() * view.scale;
    let held = if made.is_held() { note * 1.7 } else { 0.0 };
    let weight = format!("{:.0} lb", made.weight_lb);
    let room = floor - top;
    let wide = |cap: f64| Lettered::cap(cap).bold().width(&made.mark) + 3.0;
    let below = |cap: f64| wide(cap) <= area.width() && cap + note * 1.9 + held + 3.0 <= room;
    // Over a wide opening the weight stands beside the mark: the mark is read from afar.
    let beside = |cap: f64| {
        let width = wide(cap) + note + Lettered::cap(note).width(&weight);
        !made.is_held() && width <= area.width() && cap + 2.4 <= room
    };
    let fits = |cap: &&f64| below(**cap) || beside(**cap);
    let cap = MARKS.iter().find(fits).copied();
    let x = area.middle().x;
    let Some(cap) = cap else {
        // A strip or a low header: the mark alone, turned where it is narrow.
        let cap = MARKS[3];
        let lettered = Lettered::cap(cap).bold().middle().masked();
        let words = if made.is_held() {
            format!("{} HOLD", made.mark)
        } else {
            made.mark.clone()
        };
        let width = lettered.width(&words) + 2.0;
        if width <= area.width() && cap + 2.0 <= room {
            canvas.text_centred(spot(x, top + room.min(14.0) / 2.0), words, lettered);
        } else if width <= room && cap + 2.0 <= area.width() {
            let middle = spot(x, top + room / 2.0);
            canvas.text_centred(middle, words, lettered.upwards());
        } else {
            return false;
        }
        return true;
    };
    if !below(cap) {
        let lettered = Lettered::cap(cap).bold().masked();
        let small = Lettered::cap(note).masked();
        let both = lettered.width(&made.mark) + note + small.width(&weight);
        let left = x - both / 2.0;
        let base = top + f64::midpoint(room, cap);
        canvas.text(spot(left, base), &made.mark, lettered);
        let at = spot(left + both - small.width(&weight), base);
        canvas.text(at, weight, small);
        return true;
    }
    let gap = ((room.min(26.0) - cap - note * 1.6 - held) / 2.0).max(1.2);
    let base = top + gap + cap;
    let big = Lettered::cap(cap).bold().middle().masked();
    canvas.text(spot(x, base), &made.mark, big);
    let small = Lettered::cap(note).middle().masked();
    canvas.text(spot(x, base + note * 1.6), weight, small);
    if made.is_held() {
        let side = note * 1.1;
        let y = base + note * 1.6 + note * 0.6;
        let lettered = Lettered::cap(note).bold().ink(Ink::Accent).masked();
        let width = lettered.width("HOLD") + side + 1.0;
        tick_box(canvas, spot(x - width / 2.0, y), side, true);
        let at = spot(x - width / 2.0 + side + 1.0, y + side);
        canvas.text(at, "HOLD", lettered);
    }
    true
}

/// Writes an opening's tag, with its size and kind where there is room; false where the tag has none.
///
/// - `tags`: those written so far; one that would stand on another moves up or down.
/// - `top`, `foot`: of the wall on paper.
fn opening_words(
    canvas: &mut Canvas,
    lettering: &Lettering,
    opening: &crate::building::RoughOpening,
    area: &Area,
    tags: &mut Vec<Area>,
    [top, foot]: [f64; 2],
) -> bool {
    let note = lettering.note;
    let kind = match opening.kind {
        OpeningKind::Door => "DOOR",
        OpeningKind::Window => "WINDOW",
        OpeningKind::Opening => "OPENING",
        OpeningKind::GarageDoor => "GARAGE DOOR",
    };
    let name = Lettered::cap(note).bold().middle();
    let radius = (name.width(&opening.id) / 2.0 / 0.8 + 0.5).max(note * 1.3);
    let size = vec![
        format!("R.O. {}\"", Inches(opening.width())),
        format!("× {}\"", Inches(opening.height())),
    ];
    let small = Lettered::cap(note).middle();
    let widest = size
        .iter()
        .map(|words| small.width(words))
        .fold(0.0, f64::max);
    let step = note * 1.6;
    let tag_height = radius * 2.0;
    let middle = area.middle();
    let fits_width = widest + 3.0 <= area.width();
    let size_height = step * 2.0;
    let with_size = fits_width && tag_height + size_height + 4.0 <= area.height();
    let with_kind = with_size
        && small.width(kind) + 3.0 <= area.width()
        && tag_height + size_height + step + 5.0 <= area.height();
    let total = tag_height
        + if with_size { size_height + 1.0 } else { 0.0 }
        + if with_kind { step + 1.0 } else { 0.0 };
    let mut y = middle.y - total / 2.0;
    if with_kind {
        canvas.text(spot(middle.x, y + note), kind, small);
        y += step + 1.0;
    }
    let step_aside = tag_height + 1.0;
    let around = |y: f64| {
        let centre = spot(middle.x, y + radius);
        Area::of(centre, centre).grown(radius)
    };
    if !with_size {
        let steps = [0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0];
        let is_free = |y: &f64| {
            let at = around(*y);
            let is_on_wall = top <= at.y0 && at.y1 <= foot;
            is_on_wall && tags.iter().all(|tag| !tag.meets(&at))
        };
        let found = steps.map(|n| y + n * step_aside).into_iter().find(is_free);
        let Some(place) = found else { return false };
        y = place;
    }
    tags.push(around(y));
    let centre = spot(middle.x, y + radius);
    if opening.kind == OpeningKind::Window {
        hexagon(canvas, Pen::Thin.full(), centre, radius, &opening.id, name);
    } else {
        balloon(canvas, Pen::Thin.full(), centre, radius, &opening.id, name);
    }
    y += tag_height + 1.0;
    if with_size {
        for words in size {
            y += step;
            canvas.text(spot(middle.x, y - (step - note)), words, small);
        }
    }
    true
}

/// What stands at both ends, and which way panels are set.
///
/// - `above`: height of the row of marks over the wall, mm; where there is one, signs of joints are left out.
fn ends(canvas: &mut Canvas, subject: &Subject<'_>, view: &View, above: f64) {
    let note = Lettered::cap(subject.lettering().note);
    let [left, right] = [subject.from, subject.to].map(|it| view.x(it.to_inches()));
    let top = view.y(subject.wall.stack.cap_top.to_inches());
    let walls = &subject.input.building.walls;
    let words = |end: WallEnd, with: Option<usize>| {
        let other = with.and_then(|with| walls.get(with));
        let runs = &subject.input.layout.walls;
        let is_missing = with
            .and_then(|with| runs.get(with))
            .is_some_and(is_left_out);
        let other = other.map_or("", |wall| &wall.id);
        if is_missing {
            return format!("{other} is not made: brace");
        }
        match end {
            WallEnd::Through => format!("runs through, {other} butts"),
            WallEnd::Butt => format!("butts behind {other}"),
            WallEnd::Mitre { bevel_deg } => format!("bevelled {:.1}° to {other}", bevel_deg.abs()),
            WallEnd::Filled { bevel_deg } => {
                format!("square, wedge of {:.1}° to {other}", bevel_deg.abs())
            }
            WallEnd::Free => "free end: brace".to_owned(),
        }
    };
    if subject.is_left_out() {
        let words = format!("{}: NO PANELS MADE", subject.wall.name);
        let big = Lettered::cap(subject.lettering().title)
            .bold()
            .ink(Ink::Accent);
        canvas.text(spot(left, top - 5.0), words, big);
        return;
    }
    if above == 0.0 {
        signs(canvas, subject, view, top - 2.0 - SIDE);
    }
    let y = top - above.max(SIDE) - 5.0;
    let [cut_left, cut_right] = subject.is_cut();
    let at_left = if cut_left {
        format!("match line: {}", subject.goes_on[0])
    } else {
        words(subject.run.left_end, subject.wall.left.with)
    };
    let at_right = if cut_right {
        format!("match line: {}", subject.goes_on[1])
    } else {
        let end = words(subject.run.right_end, subject.wall.right.with);
        let mut panels = subject.panels.iter().map(|(_, made)| made);
        match panels.find(|made| made.make_up > Length::ZERO) {
            Some(made) => format!(
                "{end}; {} trimmed to fit, up to {}",
                made.mark, made.make_up
            ),
            None => end,
        }
    };
    let numbers: Vec<Erection> = subject
        .panels
        .iter()
        .map(|(laid, _)| laid.erection)
        .collect();
    if let (Some(first), Some(last)) = (numbers.iter().min(), numbers.iter().max()) {
        let of = subject.input.fabrication.last_erection();
        let words = if first == last {
            format!("ERECT {first} OF {of}")
        } else {
            format!("ERECT {first} TO {last} OF {of}")
        };
        let big = Lettered::cap(subject.lettering().title).bold();
        canvas.text(spot(left, y - 9.0), &words, big);
        let from = left + big.width(&words) + 4.0;
        let middle = y - 9.0 - big.cap / 2.0;
        arrow(
            canvas,
            Pen::Bold.full(),
            spot(from, middle),
            spot(from + 40.0, middle),
            5.0,
        );
    }
    // On a short wall the two notes stand one above the other.
    let fits = note.width(&at_left) + note.width(&at_right) + 6.0 <= right - left;
    canvas.text(spot(left, y), at_left, note);
    if fits {
        canvas.text(spot(right, y), at_right, note.end());
    } else {
        let above = spot(left, y - subject.lettering().note * 1.5);
        canvas.text(above, format!("right end {at_right}"), note);
    }
}

/// Over each joint and end the sign of its section, as on the panel sheets, where there is room between them.
fn signs(canvas: &mut Canvas, subject: &Subject<'_>, view: &View, upper: f64) {
    let at_end = |end: WallEnd| match end {
        WallEnd::Through => Sign::Through,
        WallEnd::Butt => Sign::Butt,
        WallEnd::Mitre { bevel_deg } => Sign::Mitre(bevel_deg > 0.0),
        WallEnd::Free | WallEnd::Filled { .. } => Sign::Closed,
    };
    let assembly = subject.input.rules.assemblies.get(subject.wall.assembly);
    let bare = assembly.and_then(Assembly::bare);
    let [cut_left, cut_right] = subject.is_cut();
    let mut row = Vec::new();
    if !cut_left {
        row.push((subject.from, at_end(subject.run.left_end), Hand::Left));
    }
    let joints = subject.joints().into_iter();
    row.extend(joints.map(|at| (at, Sign::Spline, Hand::Right)));
    if !cut_right {
        row.push((subject.to, at_end(subject.run.right_end), Hand::Right));
    }
    let mut free_from = f64::NEG_INFINITY;
    for (at, sign, hand) in row {
        let left = view.x(at.to_inches()) - SIDE / 2.0;
        if left >= free_from {
            let sign = EdgeSign {
                shows: sign,
                place: EdgePlace::End(hand),
                bare,
            };
            draw_sign(canvas, spot(left, upper), sign);
            free_from = left + SIDE + 1.0;
        }
    }
}

/// A panel's outer skin on paper, doors cut out of it.
fn outline_on_paper(
    view: &View,
    laid: &crate::layout::Panel,
    made: &crate::fabrication::FabricatedPanel,
) -> Vec<Spot> {
    let place = |point: &crate::geometry::ShopPoint| {
        let (x, y) = (laid.rect.x0 + point.x, laid.rect.y0 + point.y);
        view.spot(x.to_inches(), y.to_inches())
    };
    made.outer_skin.outline.0.iter().map(place).collect()
}

/// A rectangle of the run on paper.
pub(super) fn on_paper(view: &View, rect: &ShopRect) -> Area {
    view.area(
        rect.x0.to_inches(),
        rect.y0.to_inches(),
        rect.x1.to_inches(),
        rect.y1.to_inches(),
    )
}
