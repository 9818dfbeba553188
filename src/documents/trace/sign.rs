//! The signs on a trace: what they say, how large they are, how they are drawn.

use crate::documents::paper::style::{Fill, Ink, Lettering, Pen};
use crate::documents::paper::symbol::{conflict, diamond, tick};
use crate::documents::paper::{Canvas, Lettered, spot};
use crate::documents::plan_view::{Side, Tag, TagPlace, box_edge, edge};

/// Radius of a question's ring, mm.
pub(super) const RING: f64 = 2.4;

/// One thing to say on the drawing.
#[derive(Clone, Debug)]
pub(super) enum Sign {
    /// A wall's id on its body.
    WallId(String),
    /// The id of a short wall, beside it.
    ShortWallId(String),
    /// An opening.
    Opening(Tag),
    /// A question's number.
    Question(usize),
    /// A dimension that contradicts the drawing.
    Conflict(String),
    /// How wide a gap is.
    Gap(String),
    /// A room: its id, and lines that begin with it.
    Room { id: String, lines: Vec<String> },
    /// What something is that is no wall.
    Thing(&'static str),
    /// A dimension that agrees.
    Agrees,
}

pub(super) const fn wall_letters(lettering: &Lettering) -> Lettered {
    Lettered::cap(lettering.note).bold()
}

pub(super) fn diamond_radius(lettering: &Lettering, number: usize) -> f64 {
    let letters = Lettered::cap(lettering.title).bold();
    letters.width(&number.to_string()) + letters.cap * 0.9
}

impl Sign {
    fn words(&self, lettering: &Lettering) -> (Vec<&str>, Lettered) {
        match self {
            Self::WallId(words) | Self::ShortWallId(words) => {
                (vec![words.as_str()], wall_letters(lettering))
            }
            Self::Thing(word) => (vec![word], Lettered::cap(lettering.note).ink(Ink::Mid)),
            Self::Room { lines, .. } => (
                lines.iter().map(String::as_str).collect(),
                Lettered::cap(lettering.note).ink(Ink::Mid),
            ),
            Self::Gap(words) | Self::Conflict(words) => (
                vec![words.as_str()],
                Lettered::cap(lettering.note).bold().ink(Ink::Accent),
            ),
            Self::Opening(_) | Self::Question(_) | Self::Agrees => {
                (Vec::new(), Lettered::cap(lettering.note))
            }
        }
    }

    /// What lists call it.
    pub(super) fn name(&self) -> String {
        match self {
            Self::Opening(tag) => tag.name.clone(),
            Self::Question(number) => format!("question {number}"),
            Self::Room { id, .. } => id.clone(),
            Self::WallId(words)
            | Self::ShortWallId(words)
            | Self::Gap(words)
            | Self::Conflict(words) => words.clone(),
            Self::Thing(word) => (*word).to_owned(),
            Self::Agrees => String::new(),
        }
    }

    /// Width and height, mm.
    pub(super) fn size(&self, lettering: &Lettering) -> (f64, f64) {
        let (lines, letters) = self.words(lettering);
        let width = lines.iter().map(|it| letters.width(it)).fold(0.0, f64::max);
        match self {
            Self::Agrees => (3.4, 3.4),
            Self::Conflict(_) => (width + TRIANGLE * 2.0 + 2.5, TRIANGLE * 2.0 + 0.5),
            Self::Room { .. } => (width + 2.0, lettering.note * 2.55 + 2.0),
            Self::WallId(_)
            | Self::ShortWallId(_)
            | Self::Gap(_)
            | Self::Thing(_)
            | Self::Opening(_)
            | Self::Question(_) => (width + 1.6, lettering.note + 1.6),
        }
    }

    /// The same where it stands far from what it names: openings and rooms by their ids alone.
    pub(super) fn far_size(&self, lettering: &Lettering) -> (f64, f64) {
        match self {
            Self::Opening(tag) => {
                let radius = tag.radius(lettering) + 0.4;
                (radius * 2.0, radius * 2.0)
            }
            Self::Question(number) => {
                let radius = diamond_radius(lettering, *number) + 0.5;
                (radius * 2.0, radius * 2.0)
            }
            Self::Room { id, .. } => {
                let letters = Lettered::cap(lettering.note);
                (letters.width(id) + 1.6, letters.cap + 1.6)
            }
            Self::WallId(_)
            | Self::ShortWallId(_)
            | Self::Gap(_)
            | Self::Conflict(_)
            | Self::Thing(_)
            | Self::Agrees => self.size(lettering),
        }
    }

    /// Draws it, of an opening or a wall into a group that names it.
    pub(super) fn draw(&self, canvas: &mut Canvas, lettering: &Lettering, place: &TagPlace) {
        let (kind, name) = match self {
            Self::Opening(tag) => ("opening", tag.name.as_str()),
            Self::WallId(id) | Self::ShortWallId(id) if !id.contains(' ') => ("wall", id.as_str()),
            _ => return self.draw_plain(canvas, lettering, place),
        };
        canvas.group_with("", name, &[(kind, name)], |canvas| {
            self.draw_plain(canvas, lettering, place);
        });
    }

    fn draw_plain(&self, canvas: &mut Canvas, lettering: &Lettering, place: &TagPlace) {
        let at = place.at;
        let (lines, letters) = self.words(lettering);
        if let (Self::Gap(_) | Self::Conflict(_) | Self::Room { .. }, Some(foot)) =
            (self, place.foot)
        {
            let (width, height) = self.far_size(lettering);
            canvas.line(Pen::Fine.full(), box_edge(at, foot, width, height), foot);
        }
        match self {
            Self::WallId(words) => {
                canvas.text_centred(at, words.clone(), letters.middle().masked());
            }
            Self::ShortWallId(words) => {
                let half = letters.width(words) / 2.0 + 0.8;
                if let Some(foot) = place.foot {
                    canvas.line(Pen::Fine.full(), edge(at, foot, half), foot);
                }
                canvas.text_centred(at, words.clone(), letters.middle());
            }
            Self::Opening(tag) => tag.draw(canvas, lettering, place),
            Self::Question(number) => {
                let radius = diamond_radius(lettering, *number);
                if let Some(foot) = place.foot {
                    let stroke = Pen::Thin.full().with(Ink::Accent);
                    canvas.circle(stroke, Fill::None, foot, RING);
                    canvas.line(stroke, edge(at, foot, radius * 0.8), edge(foot, at, RING));
                }
                let name = number.to_string();
                let lettered = Lettered::cap(lettering.title).bold();
                let data = [("question", name.as_str())];
                canvas.group_with("", &format!("Question {name}"), &data, |canvas| {
                    diamond(canvas, at, radius, &name, lettered);
                });
            }
            Self::Conflict(words) => {
                let (width, _) = self.size(lettering);
                let left = at.x - width / 2.0;
                conflict(canvas, spot(left + TRIANGLE, at.y + 0.8), TRIANGLE);
                canvas.text_centred(
                    spot(left + TRIANGLE * 2.0 + 1.2, at.y),
                    words.clone(),
                    letters,
                );
            }
            Self::Gap(words) => canvas.text_centred(at, words.clone(), letters.middle()),
            Self::Thing(word) => {
                let half = letters.width(word) / 2.0 + 0.8;
                if let Some(foot) = place.foot {
                    let leader = Pen::Hair.full().with(Ink::Mid);
                    canvas.line(leader, edge(at, foot, half), foot);
                }
                canvas.text_centred(at, *word, letters.middle());
            }
            Self::Room { id, .. } if place.side == Side::Alone => {
                canvas.text_centred(at, id.clone(), letters.middle());
            }
            Self::Room { .. } => {
                let step = lettering.note * 1.55;
                let mut y = at.y - step / 2.0;
                for line in lines {
                    canvas.text_centred(spot(at.x, y), line, letters.middle());
                    y += step;
                }
            }
            Self::Agrees => tick(canvas, spot(at.x - 1.3, at.y + 1.3), 2.6),
        }
    }
}

/// Radius of the triangle of a conflict, mm.
const TRIANGLE: f64 = 4.0;
