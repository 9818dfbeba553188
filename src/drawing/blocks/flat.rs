//! Everything in model space, or on the sheets where the model is empty, flat, still in the file's units.

use crate::drawing::entities::curves::FlatCurve;
use crate::drawing::entities::shape::TextShape;
use crate::drawing::finish::curve_bounds;
use crate::drawing::model::{FillKind, Source, SourceIndex};
use crate::drawing::sheets::levels::storey_level;
use crate::drawing::sheets::sheet::Sheet;
use crate::drawing::sheets::stacked::SetAside;
use crate::findings::Finding;
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Everything in model space, flat.
#[derive(Debug, Default)]
pub(in crate::drawing) struct Flat {
    pub(in crate::drawing) sources: Vec<Source>,
    /// The layer of each source by its whole name, as an index into `layer_names`.
    pub(in crate::drawing) source_layers: Vec<usize>,
    pub(in crate::drawing) layer_names: Vec<String>,
    pub(in crate::drawing) curves: Vec<FlatStroke>,
    pub(in crate::drawing) areas: Vec<FlatArea>,
    pub(in crate::drawing) texts: Vec<FlatText>,
    pub(in crate::drawing) dimensions: Vec<FlatDimension>,
    pub(in crate::drawing) placements: Vec<FlatPlacement>,
    /// What became of the records of each file: the drawing itself, then those it refers to.
    pub(in crate::drawing) tallies: Vec<Tally>,
    /// The sheets in paper space that were read, as the model is empty or holds scrap.
    pub(in crate::drawing) sheets: Vec<Sheet>,
    /// How many things lie in the model that were left out for them.
    pub(in crate::drawing) scrap: usize,
    /// Storeys that lie over each other in the model and were set side by side, by their titles, and how far apart.
    pub(in crate::drawing) overlaid: Vec<String>,
    pub(in crate::drawing) storey_step: f64,
    /// Where each of them begins and how high it lies, where their heights were looked at.
    pub(in crate::drawing) set_aside: Vec<SetAside>,
    /// What tells them apart.
    pub(in crate::drawing) overlaid_by: &'static str,
    /// What would tell storeys apart that were read as one.
    pub(in crate::drawing) stacked: Option<&'static str>,
    /// How many things lie outside what insertions show of their block, cut ones among them.
    pub(in crate::drawing) n_clipped: usize,
    /// What was noticed.
    pub(in crate::drawing) findings: Vec<Finding>,
}

/// What became of the blocks and records of one file.
#[derive(Debug, Default)]
pub(in crate::drawing) struct Tally {
    /// Blocks that were placed.
    pub(in crate::drawing) placed: BTreeSet<usize>,
    /// Blocks that are pictures of dimensions.
    pub(in crate::drawing) pictures: BTreeSet<String>,
    /// Records of model space that drew nothing, with the reason.
    pub(in crate::drawing) idle: BTreeMap<usize, &'static str>,
}

/// A curve and where it comes from.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct FlatStroke {
    pub(in crate::drawing) curve: FlatCurve,
    pub(in crate::drawing) source: SourceIndex,
    pub(in crate::drawing) part: u32,
    pub(in crate::drawing) is_face: bool,
}

/// An area: rings of curves.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct FlatArea {
    pub(in crate::drawing) rings: Vec<Vec<FlatCurve>>,
    pub(in crate::drawing) pattern: String,
    pub(in crate::drawing) kind: FillKind,
    pub(in crate::drawing) source: SourceIndex,
}

/// One line of text.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct FlatText {
    pub(in crate::drawing) content: String,
    pub(in crate::drawing) at: Coord<f64>,
    pub(in crate::drawing) middle: Coord<f64>,
    pub(in crate::drawing) height: f64,
    pub(in crate::drawing) angle: f64,
    pub(in crate::drawing) tag: Option<String>,
    pub(in crate::drawing) is_underlined: bool,
    pub(in crate::drawing) placement: Option<usize>,
    pub(in crate::drawing) source: SourceIndex,
}

/// A dimension.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct FlatDimension {
    pub(in crate::drawing) from: Coord<f64>,
    pub(in crate::drawing) to: Coord<f64>,
    pub(in crate::drawing) along: Option<Coord<f64>>,
    pub(in crate::drawing) stated: Option<f64>,
    pub(in crate::drawing) override_text: String,
    pub(in crate::drawing) shown_text: String,
    pub(in crate::drawing) text_at: Coord<f64>,
    pub(in crate::drawing) source: SourceIndex,
}

/// A placed block.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct FlatPlacement {
    pub(in crate::drawing) name: String,
    pub(in crate::drawing) at: Coord<f64>,
    pub(in crate::drawing) angle: f64,
    pub(in crate::drawing) scale: [f64; 2],
    pub(in crate::drawing) parent: Option<usize>,
    pub(in crate::drawing) attributes: Vec<(String, String)>,
    pub(in crate::drawing) source: SourceIndex,
    /// Its curves, those of nested blocks among them.
    pub(in crate::drawing) curves: Range<usize>,
}

impl Flat {
    /// How far the storey that a title names was set aside from where it is drawn, in the file's units.
    pub(in crate::drawing) fn aside(&self, title: &TextShape) -> f64 {
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
    pub(in crate::drawing) fn span(&self) -> Option<(f64, f64)> {
        self.extent().map(|[low, high]| (low.x, high.x))
    }

    /// Lowest and highest corner of its lines and arcs.
    pub(in crate::drawing) fn extent(&self) -> Option<[Coord<f64>; 2]> {
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
