//! Everything in model space, or on the sheets where the model is empty, flat, still in the file's units.

use super::curves::FlatCurve;
use super::finish::curve_bounds;
use super::levels::storey_level;
use super::model::{FillKind, Source, SourceIndex};
use super::shape::TextShape;
use super::sheet::Sheet;
use super::stacked::SetAside;
use crate::findings::Finding;
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Everything in model space, flat.
#[derive(Debug, Default)]
pub(super) struct Flat {
    pub(super) sources: Vec<Source>,
    /// The layer of each source by its whole name, as an index into `layer_names`.
    pub(super) source_layers: Vec<usize>,
    pub(super) layer_names: Vec<String>,
    pub(super) curves: Vec<FlatStroke>,
    pub(super) areas: Vec<FlatArea>,
    pub(super) texts: Vec<FlatText>,
    pub(super) dimensions: Vec<FlatDimension>,
    pub(super) placements: Vec<FlatPlacement>,
    /// What became of the records of each file: the drawing itself, then those it refers to.
    pub(super) tallies: Vec<Tally>,
    /// The sheets in paper space that were read, as the model is empty or holds scrap.
    pub(super) sheets: Vec<Sheet>,
    /// How many things lie in the model that were left out for them.
    pub(super) scrap: usize,
    /// Storeys that lie over each other in the model and were set side by side, by their titles, and how far apart.
    pub(super) overlaid: Vec<String>,
    pub(super) storey_step: f64,
    /// Where each of them begins and how high it lies, where their heights were looked at.
    pub(super) set_aside: Vec<SetAside>,
    /// What tells them apart.
    pub(super) overlaid_by: &'static str,
    /// What would tell storeys apart that were read as one.
    pub(super) stacked: Option<&'static str>,
    /// How many things lie outside what insertions show of their block, cut ones among them.
    pub(super) n_clipped: usize,
    /// What was noticed.
    pub(super) findings: Vec<Finding>,
}

/// What became of the blocks and records of one file.
#[derive(Debug, Default)]
pub(super) struct Tally {
    /// Blocks that were placed.
    pub(super) placed: BTreeSet<usize>,
    /// Blocks that are pictures of dimensions.
    pub(super) pictures: BTreeSet<String>,
    /// Records of model space that drew nothing, with the reason.
    pub(super) idle: BTreeMap<usize, &'static str>,
}

/// A curve and where it comes from.
#[derive(Clone, Debug)]
pub(super) struct FlatStroke {
    pub(super) curve: FlatCurve,
    pub(super) source: SourceIndex,
    pub(super) part: u32,
    pub(super) is_face: bool,
}

/// An area: rings of curves.
#[derive(Clone, Debug)]
pub(super) struct FlatArea {
    pub(super) rings: Vec<Vec<FlatCurve>>,
    pub(super) pattern: String,
    pub(super) kind: FillKind,
    pub(super) source: SourceIndex,
}

/// One line of text.
#[derive(Clone, Debug)]
pub(super) struct FlatText {
    pub(super) content: String,
    pub(super) at: Coord<f64>,
    pub(super) middle: Coord<f64>,
    pub(super) height: f64,
    pub(super) angle: f64,
    pub(super) tag: Option<String>,
    pub(super) is_underlined: bool,
    pub(super) placement: Option<usize>,
    pub(super) source: SourceIndex,
}

/// A dimension.
#[derive(Clone, Debug)]
pub(super) struct FlatDimension {
    pub(super) from: Coord<f64>,
    pub(super) to: Coord<f64>,
    pub(super) along: Option<Coord<f64>>,
    pub(super) stated: Option<f64>,
    pub(super) override_text: String,
    pub(super) shown_text: String,
    pub(super) text_at: Coord<f64>,
    pub(super) source: SourceIndex,
}

/// A placed block.
#[derive(Clone, Debug)]
pub(super) struct FlatPlacement {
    pub(super) name: String,
    pub(super) at: Coord<f64>,
    pub(super) angle: f64,
    pub(super) scale: [f64; 2],
    pub(super) parent: Option<usize>,
    pub(super) attributes: Vec<(String, String)>,
    pub(super) source: SourceIndex,
    /// Its curves, those of nested blocks among them.
    pub(super) curves: Range<usize>,
}

impl Flat {
    /// How far the storey that a title names was set aside from where it is drawn, in the file's units.
    pub(super) fn aside(&self, title: &TextShape) -> f64 {
        let level = title.lines.iter().find_map(|line| storey_level(line));
        let is_own = |name: &String| level.is_some() && storey_level(name) == level;
        let before = self.overlaid.iter().take_while(|it| !is_own(it));
        let mut shift = 0.0;
        let mut n_before = 0;
        for _ in before {
            shift += self.storey_step;
            n_before += 1;
        }
        if n_before < self.overlaid.len() {
            shift
        } else {
            0.0
        }
    }

    /// From the leftmost to the rightmost end of its lines and arcs.
    pub(super) fn span(&self) -> Option<(f64, f64)> {
        self.extent().map(|[low, high]| (low.x, high.x))
    }

    /// Lowest and highest corner of its lines and arcs.
    pub(super) fn extent(&self) -> Option<[Coord<f64>; 2]> {
        let bounds = self.curves.iter().filter_map(|it| match &it.curve {
            FlatCurve::Plain(curve) => Some(curve_bounds(curve)),
            FlatCurve::Ellipse(..) | FlatCurve::Spline(_) => None,
        });
        bounds.fold(None, |known, (low, high)| {
            let [least, most] = known.unwrap_or([low, high]);
            Some([
                Coord {
                    x: least.x.min(low.x),
                    y: least.y.min(low.y),
                },
                Coord {
                    x: most.x.max(high.x),
                    y: most.y.max(high.y),
                },
            ])
        })
    }
}
