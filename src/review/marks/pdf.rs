//! Annotations of a marked PDF as drafts of marks, page by page (ISO 32000-1, 12.5: the keys, from memory).
//!
//! Nothing but annotations is read: no script, action, form or attached file of the PDF is looked at.

use super::drafts::Draft;
use super::drawn::{Drawn, DrawnForm, Image, Lines, Look, Run, Words};
use super::model::MarkKind;
use super::pages::{IssuedPages, labels, nearest};
use super::pdf_appearance::shown_words;
use super::pdf_open::{identity_of, open};
use super::pdf_place::Place;
use super::pdf_replies::{Threads, answered, began};
use super::pdf_words::{contents, is_cleaned, iso_time, said, said_name, stamp};
use super::plain_words::{LONGEST, plain_words};
use crate::documents::paper::{Anchor, Area, Spot, spot};
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Largest file, bytes.
const LARGEST: usize = 256 << 20;
/// Most annotations of a file.
const MOST_MARKS: usize = 20_000;
/// Most numbers of one annotation.
const MOST_NUMBERS: usize = 200_000;
/// Size of a note's picture, mm.
const NOTE: f64 = 5.0;

/// Why a PDF is not read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum PdfRefusal {
    #[error("is larger than 256 MB; save only the marked pages")]
    TooLarge,
    #[error("is locked by a password; open it with that, print it to PDF anew, and give that file")]
    Locked,
    #[error("cannot be read as PDF: {0}; save it again")]
    NoPdf(String),
    #[error("holds more marks than any sheet; save only the marked pages")]
    TooMuch,
}

/// A marked PDF.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct MarkedPdf {
    /// The first half of the file's identity, which stays when it is saved again; empty for none.
    pub(super) identity: Vec<u8>,
    /// Every page with marks.
    pub(super) pages: Vec<MarkedPage>,
    /// How many pages do not show what was issued: marks may be a part of what is drawn on them.
    pub(super) n_redrawn: usize,
    /// How many annotations were of no kind that marks a drawing.
    pub(super) n_others: usize,
    /// How many could not be read at all.
    pub(super) n_broken: usize,
    /// How many were hidden by their flags: what is not shown is no mark.
    pub(super) n_hidden: usize,
    /// How many said more than is taken over: control characters, or words beyond the longest.
    pub(super) n_cleaned: usize,
}

/// The marks of a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct MarkedPage {
    /// Its label, the number of the sheet; empty when the file has lost its labels.
    pub(super) label: String,
    /// Its place in the file, from 0.
    pub(super) index: usize,
    /// The marks, millimetres on the sheet.
    pub(super) drafts: Vec<Draft>,
    /// False when the page cannot be laid over the sheet, so that nobody knows where on it they stand.
    pub(super) is_placed: bool,
    /// Package and number of the sheet of another package that the page shows.
    pub(super) other: Option<(String, String)>,
}

/// Reads a file.
///
/// - `issued`: what was drawn on the pages that went out.
pub(super) fn read_pdf(bytes: &[u8], issued: &IssuedPages) -> Result<MarkedPdf, PdfRefusal> {
    if bytes.len() > LARGEST {
        return Err(PdfRefusal::TooLarge);
    }
    // The reader is another's: whatever a broken file makes it do ends here.
    catch_unwind(AssertUnwindSafe(|| read(bytes, issued)))
        .unwrap_or_else(|_| Err(PdfRefusal::NoPdf("it is damaged".to_owned())))
}

fn read(bytes: &[u8], issued: &IssuedPages) -> Result<MarkedPdf, PdfRefusal> {
    let document = open(bytes)?;
    let labels = labels(&document);
    let mut marked = MarkedPdf {
        identity: identity_of(&document),
        ..MarkedPdf::default()
    };
    let mut n_marks = 0;
    let pages: Vec<ObjectId> = document.page_iter().collect();
    if pages.is_empty() {
        let why = "it has no pages, it may be cut off".to_owned();
        return Err(PdfRefusal::NoPdf(why));
    }
    for (index, page) in pages.into_iter().enumerate() {
        let Ok(facts) = document.get_dictionary(page) else {
            continue;
        };
        let (annotations, n_broken) = annotations(&document, facts);
        marked.n_broken += n_broken;
        n_marks += annotations.len();
        if n_marks > MOST_MARKS {
            return Err(PdfRefusal::TooMuch);
        }
        let label = labels.get(&index).map_or("", String::as_str);
        let views = issued.shown(&document, page, label);
        let is_as_issued = views.iter().all(|it| it.is_as_issued);
        marked.n_redrawn += usize::from(!is_as_issued && !issued.is_empty());
        // Where nobody knows where a mark stands, it is drawn as it is.
        let lost = Place::of_box([0.0; 4], 1.0);
        let mut threads: Vec<Threads> = views.iter().map(|_| Threads::default()).collect();
        for (id, annotation) in annotations {
            marked.n_cleaned += usize::from(is_cleaned(&document, annotation));
            let parent = answered(annotation);
            let is_hidden = is_hidden(annotation) && !is_furniture(annotation);
            // A reply belongs where its thread began.
            let middle = middle(&document, began(&document, annotation));
            let view = nearest(&views, middle);
            let place = views.get(view).and_then(|it| it.place).unwrap_or(lost);
            let Some(threads) = threads.get_mut(view) else {
                continue;
            };
            let draft = draft(&document, annotation, &place);
            if parent.is_some() {
                // Viewers hide the note of a status, and its words are said in the thread.
                threads.reply(
                    (id, parent),
                    (&document, annotation),
                    draft.filter(|_| !is_hidden),
                );
            } else if is_hidden {
                marked.n_hidden += 1;
            } else if let Some(draft) = draft {
                threads.put(id, draft);
            } else if !is_furniture(annotation) {
                marked.n_others += 1;
            }
        }
        for (view, threads) in views.into_iter().zip(threads) {
            let drafts = threads.drafts();
            if !drafts.is_empty() {
                marked.pages.push(MarkedPage {
                    label: view.label,
                    index,
                    drafts,
                    is_placed: view.place.is_some(),
                    other: view.other,
                });
            }
        }
    }
    Ok(marked)
}

/// The middle of an annotation's box, points of its page.
fn middle(document: &Document, annotation: &Dictionary) -> [f64; 2] {
    match numbers(document, annotation, b"Rect")[..] {
        [x0, y0, x1, y1] => [f64::midpoint(x0, x1), f64::midpoint(y0, y1)],
        _ => [0.0; 2],
    }
}

/// Hidden, or not to be seen on a screen (ISO 32000-1, table 165).
fn is_hidden(annotation: &Dictionary) -> bool {
    const HIDDEN: i64 = 1 << 1;
    const NO_VIEW: i64 = 1 << 5;
    let flags = annotation
        .get(b"F")
        .and_then(Object::as_i64)
        .unwrap_or_default();
    flags & (HIDDEN | NO_VIEW) != 0
}

/// Links, boxes of forms and windows of notes are no marks.
fn is_furniture(annotation: &Dictionary) -> bool {
    let kind = annotation.get(b"Subtype").and_then(Object::as_name);
    kind.is_ok_and(|it| matches!(it, b"Link" | b"Popup" | b"Widget"))
}

/// An annotation with the object it is, where it is one.
type Noted<'a> = (Option<ObjectId>, &'a Dictionary);

/// The annotations of a page, and how many of its list cannot be read.
fn annotations<'a>(document: &'a Document, page: &'a Dictionary) -> (Vec<Noted<'a>>, usize) {
    let list = page
        .get_deref(b"Annots", document)
        .and_then(Object::as_array);
    let each = |object: &'a Object| {
        let id = object.as_reference().ok();
        let (_, object) = document.dereference(object).ok()?;
        Some((id, object.as_dict().ok()?))
    };
    let list = list.map_or_else(|_| [].as_slice(), Vec::as_slice);
    let found: Vec<Noted<'_>> = list.iter().filter_map(each).collect();
    let n_broken = list.len() - found.len();
    (found, n_broken)
}

pub(super) fn numbers(document: &Document, facts: &Dictionary, key: &[u8]) -> Vec<f64> {
    let list = facts.get_deref(key, document).and_then(Object::as_array);
    list.map(|it| plain(document, it)).unwrap_or_default()
}

fn plain(document: &Document, list: &[Object]) -> Vec<f64> {
    list.iter()
        .take(MOST_NUMBERS)
        .filter_map(|it| document.dereference(it).ok())
        .filter_map(|(_, it)| it.as_float().ok())
        .map(f64::from)
        .filter(|it| it.is_finite() && it.abs() < 1e6)
        .collect()
}

/// One annotation; `None` for what is no mark.
fn draft(document: &Document, annotation: &Dictionary, place: &Place) -> Option<Draft> {
    let kind = annotation.get(b"Subtype").and_then(Object::as_name).ok()?;
    let list = |key: &[u8]| numbers(document, annotation, key);
    let area = match list(b"Rect")[..] {
        [x0, y0, x1, y1] => Area::of(place.spot(x0, y0), place.spot(x1, y1)),
        _ => return None,
    };
    let mut contents = contents(document, annotation);
    if contents.is_empty() && matches!(kind, b"FreeText" | b"Stamp") {
        (contents, _) = plain_words(&shown_words(document, annotation), LONGEST);
    }
    // What is to be taken off says what stands there instead.
    if contents.is_empty() && kind == b"Redact" {
        contents = said(document, annotation, b"OverlayText");
    }
    let is_said = matches!(kind, b"StrikeOut" | b"Redact");
    let outline = |is_closed: bool| vec![run(area.corners().to_vec(), is_closed)];
    let is_cloudy = annotation
        .get_deref(b"BE", document)
        .and_then(Object::as_dict)
        .and_then(|it| it.get(b"S"))
        .and_then(Object::as_name)
        .is_ok_and(|it| it == b"C")
        || said_name(annotation, b"IT") == b"PolygonCloud";
    let ends: Vec<&[u8]> = annotation
        .get_deref(b"LE", document)
        .and_then(Object::as_array)
        .map(|it| it.iter().filter_map(|it| it.as_name().ok()).collect())
        .unwrap_or_default();
    let head = |i: usize| ends.get(i).is_some_and(|it| it.ends_with(b"Arrow"));
    let mut tip = None;
    let (kind, items) = match kind {
        b"FreeText" => {
            // Some writers give every text a leader; it is one only in a call-out.
            let is_callout = said_name(annotation, b"IT") == b"FreeTextCallout";
            let leader = if is_callout { list(b"CL") } else { Vec::new() };
            let callout = place.spots(&leader);
            // Its colour is that of its ground (ISO 32000-1, 12.5.6.6).
            let is_white = !list(b"C").is_empty() && list(b"C").iter().all(|it| *it > 0.98);
            let covers = is_white && !is_clear(document, annotation);
            let mut items = lettering(&contents, area);
            items.extend(covers.then(|| white(area)));
            if let Some(first) = callout.first() {
                tip = Some(*first);
                items.push(lines(vec![run(callout.clone(), false)], [true, false]));
            }
            (
                if tip.is_some() {
                    MarkKind::Arrow
                } else {
                    MarkKind::Text
                },
                items,
            )
        }
        b"Text" | b"Caret" => {
            let note = Area::new(area.x0, area.y0, area.x0 + NOTE, area.y0 + NOTE);
            (
                MarkKind::Text,
                vec![lines(vec![run(note.corners().to_vec(), true)], [false; 2])],
            )
        }
        b"Ink" => {
            let strokes = annotation
                .get_deref(b"InkList", document)
                .and_then(Object::as_array);
            let runs = strokes
                .into_iter()
                .flatten()
                .filter_map(|it| document.dereference(it).ok())
                .filter_map(|(_, it)| it.as_array().ok())
                .map(|it| run(place.spots(&plain(document, it)), false))
                .filter(|it| it.points.len() > 1)
                .collect();
            (MarkKind::Handwriting, vec![lines(runs, [false; 2])])
        }
        b"Line" => {
            let ends = place.spots(&list(b"L"));
            tip = match (head(0), head(1)) {
                (_, true) => ends.last().copied(),
                (true, false) => ends.first().copied(),
                (false, false) => None,
            };
            let item = lines(vec![run(ends, false)], [head(0), head(1)]);
            (
                if tip.is_some() {
                    MarkKind::Arrow
                } else {
                    MarkKind::Strike
                },
                vec![item],
            )
        }
        b"Polygon" | b"PolyLine" => {
            let is_closed = kind == b"Polygon";
            let item = lines(
                vec![run(place.spots(&list(b"Vertices")), is_closed)],
                [head(0), head(1)],
            );
            (MarkKind::Shape, vec![item])
        }
        b"Square" => {
            let ground = list(b"IC");
            let is_white = !ground.is_empty() && ground.iter().all(|it| *it > 0.98);
            match (ground.is_empty(), is_clear(document, annotation)) {
                (false, true) => (MarkKind::Highlight, vec![lines(outline(true), [false; 2])]),
                (false, false) if is_white => (MarkKind::Shape, vec![white(area)]),
                _ => (MarkKind::Shape, vec![lines(outline(true), [false; 2])]),
            }
        }
        b"Circle" => {
            let middle = area.middle();
            let points = (0..48).map(|i| {
                let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 48.0).sin_cos();
                spot(
                    middle.x + cos * area.width() / 2.0,
                    middle.y + sin * area.height() / 2.0,
                )
            });
            (
                MarkKind::Shape,
                vec![lines(vec![run(points.collect(), true)], [false; 2])],
            )
        }
        b"Stamp" => {
            let mut items = vec![lines(outline(true), [false; 2])];
            items.extend(lettering(&contents, area));
            (MarkKind::Stamp, items)
        }
        // A redaction asks that something be taken off: that is what a strike says.
        b"StrikeOut" | b"Redact" | b"Underline" | b"Squiggly" | b"Highlight" => {
            let is_strike = matches!(kind, b"StrikeOut" | b"Redact");
            let quads = place.spots(&list(b"QuadPoints"));
            let boxes: Vec<Area> = quads.chunks_exact(4).filter_map(Area::around).collect();
            let boxes = if boxes.is_empty() { vec![area] } else { boxes };
            let runs = boxes.iter().map(|it| {
                let y = if is_strike { it.middle().y } else { it.y1 };
                run(vec![spot(it.x0, y), spot(it.x1, y)], false)
            });
            let runs = if kind == b"Highlight" {
                boxes
                    .iter()
                    .map(|it| run(it.corners().to_vec(), true))
                    .collect()
            } else {
                runs.collect()
            };
            let mark = if is_strike {
                MarkKind::Strike
            } else {
                MarkKind::Highlight
            };
            (mark, vec![lines(runs, [false; 2])])
        }
        _ => return None,
    };
    // What is drawn by its appearance alone stands where that does.
    let is_nowhere = |it: &Drawn| {
        let mut runs = it.lines().into_iter().flat_map(|it| &it.runs);
        it.lines().is_some() && runs.all(|it| it.points.len() < 2)
    };
    let items = if items.iter().all(is_nowhere) {
        vec![lines(outline(true), [false; 2])]
    } else {
        items
    };
    let kind = if is_cloudy { MarkKind::Cloud } else { kind };
    let named = said_name(annotation, b"Name");
    let text = match (kind, contents.is_empty()) {
        (MarkKind::Stamp, true) => stamp(named, said(document, annotation, b"Subj")),
        _ => contents,
    };
    let reviewer = said(document, annotation, b"T");
    let time = [b"M".as_slice(), b"CreationDate"]
        .into_iter()
        .find_map(|key| iso_time(&said(document, annotation, key)));
    Some(Draft {
        kind,
        items,
        text,
        reviewer: Some(reviewer).filter(|it| !it.is_empty()),
        time,
        tip,
        is_said,
        ..Draft::default()
    })
}

/// True when what stands below is read through an annotation.
fn is_clear(document: &Document, annotation: &Dictionary) -> bool {
    let cover = annotation.get_deref(b"CA", document);
    cover.and_then(Object::as_float).is_ok_and(|it| it < 0.9)
}

/// A box of paper over something.
fn white(area: Area) -> Drawn {
    let mut ground = lines(vec![run(area.corners().to_vec(), true)], [false; 2]);
    ground.look.fill = "#ffffff".to_owned();
    ground
}

const fn run(points: Vec<Spot>, is_closed: bool) -> Run {
    Run { points, is_closed }
}

fn look() -> Look {
    Look {
        stroke: "#b3261e".to_owned(),
        fill: "none".to_owned(),
        width: "0.70".to_owned(),
        ..Look::default()
    }
}

fn lines(runs: Vec<Run>, heads: [bool; 2]) -> Drawn {
    let points: Vec<Spot> = runs
        .iter()
        .flat_map(|it| it.points.iter().copied())
        .collect();
    Drawn {
        area: Area::around(&points).unwrap_or_default(),
        form: DrawnForm::Lines(Lines {
            runs,
            n_curves: 0,
            heads,
        }),
        look: look(),
        groups: Vec::new(),
    }
}

/// A text set into a box; an empty one is a box without dots.
fn lettering(words: &str, area: Area) -> Vec<Drawn> {
    if words.is_empty() {
        return vec![Drawn {
            form: DrawnForm::Image(Image::default()),
            look: look(),
            area,
            groups: Vec::new(),
        }];
    }
    let size = 4.5;
    let words = Words {
        words: words.to_owned(),
        at: spot(area.x0 + 0.5, area.y0 + size),
        size,
        turn_deg: 0.0,
        anchor: Anchor::Start,
    };
    vec![Drawn {
        area: words.area(),
        form: DrawnForm::Words(words),
        look: look(),
        groups: Vec::new(),
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use lopdf::dictionary;

    #[test]
    fn what_is_no_pdf_is_refused_whole() {
        assert!(matches!(
            read_pdf(b"%PDF-1.7 nothing", &IssuedPages::default()),
            Err(PdfRefusal::NoPdf(_))
        ));
        assert!(read_pdf(&[0; 64], &IssuedPages::default()).is_err());
    }

    fn drafted(annotation: &Dictionary) -> Draft {
        let place = Place::of_box([0.0, 0.0, 100.0, 100.0], 72.0 / 25.4);
        draft(&Document::new(), annotation, &place).unwrap()
    }

    #[test]
    fn a_redaction_is_a_strike_over_what_it_would_take_off() {
        let quads = [10.0, 40.0, 50.0, 40.0, 10.0, 30.0, 50.0, 30.0]
            .map(Object::Real)
            .to_vec();
        let redact = dictionary! {
            "Subtype" => "Redact", "Rect" => quads.clone()[..2].iter().chain(&quads[6..]).cloned().collect::<Vec<_>>(),
            "QuadPoints" => quads, "OverlayText" => Object::string_literal("see SK-4"),
        };
        let draft = drafted(&redact);
        assert_eq!(
            (draft.kind, draft.text.as_str()),
            (MarkKind::Strike, "see SK-4")
        );
        assert_eq!(draft.items[0].area, Area::new(10.0, 65.0, 50.0, 65.0));
    }

    #[test]
    fn what_is_hidden_is_known_by_its_flags() {
        for (flags, hidden) in [(4, false), (2, true), (32 + 4, true), (0, false)] {
            assert_eq!(is_hidden(&dictionary! { "F" => flags }), hidden, "{flags}");
        }
    }

    #[test]
    fn ink_that_only_its_appearance_shows_is_kept_where_that_stands() {
        let rect = [10.0, 20.0, 110.0, 40.0].map(Object::Real).to_vec();
        let ink = dictionary! { "Subtype" => "Ink", "Rect" => rect };
        let draft = drafted(&ink);
        assert_eq!(draft.kind, MarkKind::Handwriting);
        assert_eq!(draft.items[0].area, Area::new(10.0, 60.0, 110.0, 80.0));
    }
}
