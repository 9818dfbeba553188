//! What rooms and overall dimensions become where panels are thicker or thinner than the walls drawn.
//!
//! ```text
//!   ├──────────── overall ────────────┤      as drawn, and over the panels
//!   ╔═════════════╤═══════════════════╗
//!   ║◄─── room ──►│◄────── room ─────►║      between the faces that bound it
//!   ╚═════════════╧═══════════════════╝
//! ```
//!
//! Sizes are those along the two square directions of the building. A face that moves is one of an exterior wall or of an interior
//! one that is made of panels; stick partitions stand where they are drawn.

use super::codes;
use super::raise::{Raising, storey_place, to_building};
use crate::findings::Finding;
use crate::geometry::Frame;
use crate::geometry::tolerance::WALL_ON_FACE;
use crate::plan::{Room, Storey};
use crate::units::Length;
use geo::Coord;

/// A wall as drawn, and how far its two faces move on account of the panel.
#[derive(Clone, Debug)]
pub(super) struct Moved {
    /// Its outside (or OUT) face as drawn, building coordinates; the other one lies at minus `thickness`.
    pub(super) face: Frame,
    /// Length of that face, inches.
    pub(super) length: f64,
    /// As drawn, inches.
    pub(super) thickness: f64,
    /// How far the outside face moves outwards, and the inside one inwards.
    pub(super) by: [Length; 2],
}

impl Moved {
    /// How far a line of a room moves towards the room that lies on its left, when it lies on a face of this wall.
    fn towards_room(&self, line: &Frame, length: f64) -> Option<Length> {
        let middle = line.point(length / 2.0, 0.0);
        let (along, out) = self.face.local(middle);
        let turn = self.face.along.x * line.along.x + self.face.along.y * line.along.y;
        let is_beside = (-WALL_ON_FACE..=self.length + WALL_ON_FACE).contains(&along);
        if !is_beside || turn.abs() < 0.999 {
            return None;
        }
        // A room counter-clockwise has the wall on its right: along the inside face it runs with the wall, along the outside face against it.
        let (at, by) = if turn > 0.0 {
            (-self.thickness, self.by[1])
        } else {
            (0.0, self.by[0])
        };
        ((out - at).abs() <= WALL_ON_FACE).then_some(by)
    }
}

/// Extents along two square directions.
type Size = [Length; 2];

/// Tells what overall dimensions and rooms of a storey become; nothing where no face moves.
///
/// - `outline`: the true corners as drawn, and `outward` how far each face from its corner to the next moves.
/// - `turn`: the building's square direction.
pub(super) fn report(
    raising: &mut Raising<'_>,
    storey: &Storey,
    (outline, outward): (&[Coord<f64>], &[Length]),
    turn: f64,
) {
    let moved = std::mem::take(&mut raising.moved);
    if moved.iter().all(|it| it.by == [Length::ZERO; 2]) {
        return;
    }
    let axes = [turn, turn + std::f64::consts::FRAC_PI_2].map(|angle| Coord {
        x: angle.cos(),
        y: angle.sin(),
    });
    let step = raising.step;
    let mut parts = Vec::new();
    // Outwards makes the whole larger, as towards the room makes a room smaller.
    let outwards: Vec<Length> = outward.iter().map(|by| -*by).collect();
    if let Some([drawn, made]) = sizes(outline, &outwards, axes, step) {
        parts.push(compared("overall", drawn, made));
    }
    for room in &storey.rooms {
        let ring: Vec<Coord<f64>> = room
            .outline
            .iter()
            .map(|point| to_building(&storey.to_building, *point))
            .collect();
        let edges = ring.iter().zip(ring.iter().cycle().skip(1));
        let by: Vec<Length> = edges
            .map(|(from, to)| {
                let line = Frame::from_points(*from, *to)?;
                let length = (*to - *from).x.hypot((*to - *from).y);
                moved.iter().find_map(|it| it.towards_room(&line, length))
            })
            .map(Option::unwrap_or_default)
            .collect();
        if let Some([drawn, made]) = sizes(&ring, &by, axes, step) {
            parts.push(compared(&called(room), drawn, made));
        }
    }
    if parts.is_empty() {
        return;
    }
    let told = Finding::note(
        codes::SIZES_CHANGE,
        storey_place(storey),
        format!(
            "sizes of storey {} with panels in place of the walls drawn: {}",
            storey.id,
            parts.join("; ")
        ),
        "compare with the sizes that matter to the architect; wall.hold in job.toml chooses the line that stays",
    );
    raising.findings.push(told);
}

fn called(room: &Room) -> String {
    if room.name.is_empty() {
        room.id.clone()
    } else {
        format!("{} {}", room.id, room.name)
    }
}

fn compared(what: &str, drawn: Size, made: Size) -> String {
    let words = |[across, deep]: Size| format!("{} x {}", to_64th(across), to_64th(deep));
    if drawn == made {
        format!("{what} stays {}", words(drawn))
    } else {
        format!("{what} {} as drawn, {} made", words(drawn), words(made))
    }
}

/// Feet and inches to 1/64: half of a difference may be finer than the sixteenths of a sheet.
fn to_64th(length: Length) -> String {
    let feet = length.to_nanometres() / Length::feet(1).to_nanometres();
    let inches = length - Length::feet(1) * feet;
    let text = inches.to_string();
    match text.strip_prefix('~') {
        Some(text) => format!("~{feet}'-{text}"),
        None if inches > Length::ZERO && inches < Length::inches(1) => format!("{feet}'-0 {text}"),
        None => format!("{feet}'-{text}"),
    }
}

/// Size of a ring before and after its edges move to their left, into it, by so much each; `None` where it has no square sides.
fn sizes(
    ring: &[Coord<f64>],
    inward: &[Length],
    axes: [Coord<f64>; 2],
    step: Length,
) -> Option<[Size; 2]> {
    let mut all = [Size::default(); 2];
    for (index, axis) in axes.into_iter().enumerate() {
        let at = |point: &Coord<f64>| point.x * axis.x + point.y * axis.y;
        let low = ring.iter().map(at).fold(f64::INFINITY, f64::min);
        let high = ring.iter().map(at).fold(f64::NEG_INFINITY, f64::max);
        let drawn = Length::nearest(high - low, step)?;
        // How far the side at an end moves in: that of its edges which moves least.
        let side = |end: f64| {
            let edges = ring.iter().zip(ring.iter().cycle().skip(1)).zip(inward);
            let lies = |point: &Coord<f64>| (at(point) - end).abs() <= WALL_ON_FACE;
            let on = edges.filter(|((from, to), _)| lies(from) && lies(to));
            on.map(|(_, by)| *by).min()
        };
        let made = drawn - side(low)? - side(high)?;
        all[0][index] = drawn;
        all[1][index] = made;
    }
    Some(all)
}
