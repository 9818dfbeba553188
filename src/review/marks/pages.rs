//! Which sheet a page of a marked PDF shows: told by what is drawn on it, for pages are put in front, taken out and put together,
//! and their labels do not always go with them.

use super::pdf_lettering::{Piece, moved_words, pieces};
use super::pdf_open::{identity_of, open};
use super::pdf_place::{
    Letters, Place, forms, is_same_size, letters, media_box, moved_by, moved_letters, runs_of,
    user_unit,
};
use super::pdf_words::said;
use super::sheets::small_print;
use kurbo::{Affine, Rect};
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// No page unfolds to more, bytes.
const LARGEST_PAGE: usize = 64 << 20;
/// What programs put round a page's drawing when they turn or scale it is no longer, bytes.
const AROUND: usize = 256;

/// A page that shows another as a form says no more of its own, bytes.
const LONGEST_FRAME: usize = 8192;
/// Forms stand in forms so many times over.
const DEEPEST: usize = 2;
/// So many forms of a page are looked into.
const MOST_FORMS: usize = 32;

/// A page as issued: the number of its sheet, and its box in points.
#[derive(Clone, Debug, PartialEq)]
struct IssuedPage {
    label: String,
    size: [f64; 4],
    page: ObjectId,
}

/// What a page of a marked file shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Shown {
    /// The number of its sheet; empty when nothing tells.
    pub(super) label: String,
    /// Where its points lie on that sheet; `None` where the page cannot be laid over what was issued.
    pub(super) place: Option<Place>,
    /// The sheet's width and height, mm.
    size: [f64; 2],
    /// True when what was issued is drawn on it.
    pub(super) is_as_issued: bool,
    /// Package and number of the sheet of another package that it shows.
    pub(super) other: Option<(String, String)>,
}

/// What is drawn on each page of the issued file, and the number of its sheet.
#[derive(Default)]
pub(super) struct IssuedPages {
    /// What names the file through every saving; empty for none.
    pub(super) identity: Vec<u8>,
    drawn: BTreeMap<Vec<u8>, IssuedPage>,
    /// The letters of each, once they are asked for.
    letters: OnceCell<Vec<(Letters, IssuedPage)>>,
    document: Document,
}

/// Of several sheets on one page the one that a point lies on, else the nearest.
pub(super) fn nearest(views: &[Shown], [x, y]: [f64; 2]) -> usize {
    let off = |view: &Shown| {
        let p = view.place.map(|it| it.spot(x, y)).unwrap_or_default();
        let beyond = |at: f64, size: f64| (-at).max(at - size).max(0.0);
        beyond(p.x, view.size[0]).hypot(beyond(p.y, view.size[1]))
    };
    let all = views.iter().enumerate();
    let best = all.min_by(|a, b| off(a.1).total_cmp(&off(b.1)));
    best.map_or(0, |it| it.0)
}

impl IssuedPages {
    /// Of the bytes of `sheets.pdf`; nothing of a file that cannot be read.
    pub(super) fn of(bytes: &[u8]) -> Self {
        // The reader is another's, as for marked files.
        let read = || {
            let document = open(bytes).ok()?;
            let labels = labels(&document);
            let pages = document.page_iter().enumerate();
            let drawn = pages.filter_map(|(index, page)| {
                let issued = IssuedPage {
                    label: labels.get(&index)?.clone(),
                    size: media_box(&document, page),
                    page,
                };
                Some((drawn(&document, page)?, issued))
            });
            Some(Self {
                identity: identity_of(&document),
                drawn: drawn.collect(),
                letters: OnceCell::new(),
                document,
            })
        };
        catch_unwind(AssertUnwindSafe(read))
            .ok()
            .flatten()
            .unwrap_or_default()
    }

    /// True when nothing is known of the issue.
    pub(super) fn is_empty(&self) -> bool {
        self.drawn.is_empty()
    }

    /// What a page shows: one sheet, or several side by side, as printed two on one.
    ///
    /// - `label`: its page label, which goes where nothing that is drawn tells.
    pub(super) fn shown(&self, document: &Document, page: ObjectId, label: &str) -> Vec<Shown> {
        let drawing = drawn(document, page).unwrap_or_default();
        let mut found = self.found(document, &drawing, resources(document, page), DEEPEST);
        let mut is_as_issued = true;
        if found.is_empty() {
            (found, is_as_issued) = self.by_letters(&drawing);
        }
        if found.is_empty() {
            (found, is_as_issued) = (self.by_words(document, page, &drawing), false);
        }
        if lie_on_each_other(&found) {
            // Sheets over each other are no sheets side by side: something is printed into the page.
            found.retain(|it| it.0.label == label);
            found.truncate(1);
            is_as_issued = false;
        }
        if !found.is_empty() {
            let shown = found.into_iter().map(|(issued, moved)| Shown {
                label: issued.label.clone(),
                place: Place::of_box(issued.size, 1.0).under(moved),
                size: issued.paper(),
                is_as_issued,
                other: None,
            });
            return shown.collect();
        }
        let size = media_box(document, page);
        let Some((ours, issued)) = self.drawn.iter().find(|it| it.1.label == label) else {
            return vec![Shown {
                label: label.to_owned(),
                place: Some(Place::of_box(size, user_unit(document, page))),
                ..Shown::default()
            }];
        };
        if let Some(other) = self.other((document, page, &drawing), (ours, issued)) {
            return vec![Shown {
                other: Some(other),
                ..Shown::default()
            }];
        }
        let anew = moved_letters(ours, &drawing);
        let moved = anew.and_then(|it| Place::of_box(issued.size, 1.0).under(it));
        let by_box = || is_same_size(size, issued.size).then(|| Place::of_box(size, 1.0));
        vec![Shown {
            label: label.to_owned(),
            is_as_issued: moved.is_some(),
            place: moved.or_else(by_box),
            size: issued.paper(),
            other: None,
        }]
    }

    /// The issued pages whose drawings stand in another, and how each is moved there.
    fn found(
        &self,
        document: &Document,
        shown: &[u8],
        resources: Option<&Dictionary>,
        depth: usize,
    ) -> Vec<(&IssuedPage, Affine)> {
        if let Some(issued) = self.drawn.get(shown) {
            return vec![(issued, Affine::IDENTITY)];
        }
        let mut all = self.drawn.iter();
        let within = all.find_map(|(own, issued)| Some((issued, moved_by(before(shown, own)?)?)));
        if within.is_some() || depth == 0 || shown.len() > LONGEST_FRAME {
            return within.into_iter().collect();
        }
        // What unfolds to more than any issued page is none of them.
        let longest = self.drawn.keys().map(Vec::len).max().unwrap_or_default() + AROUND;
        let inside = |(form, moved): (&lopdf::Stream, Affine)| {
            let own = form.get_plain_content_with_limit(longest).ok()?;
            let resources = form.dict.get_deref(b"Resources", document).ok();
            let resources = resources.and_then(|it| it.as_dict().ok());
            let found = self.found(document, own.trim_ascii(), resources, depth - 1);
            let found = found.into_iter().map(|(page, more)| (page, moved * more));
            Some(found.collect::<Vec<_>>())
        };
        let forms = forms(document, shown, resources);
        let found = forms.into_iter().take(MOST_FORMS).filter_map(inside);
        found.flatten().collect()
    }

    /// The sheet of another package by the small print of a page that has the label of an issued one.
    fn other(
        &self,
        (document, page, drawing): (&Document, ObjectId, &[u8]),
        (own, issued): (&[u8], &IssuedPage),
    ) -> Option<(String, String)> {
        let prints = |pieces: Vec<Piece>| {
            let mut all = pieces.into_iter();
            all.find_map(|it| small_print(&it.words))
        };
        let theirs = prints(pieces(document, drawing, resources(document, page)))?;
        let resources = resources(&self.document, issued.page);
        let ours = prints(pieces(&self.document, own, resources))?;
        (ours.0 != theirs.0).then_some(theirs)
    }

    /// The issued pages whose small print stands on another one, with most of their words round it: pages that a program wrote anew,
    /// with fonts of its own.
    fn by_words(
        &self,
        document: &Document,
        page: ObjectId,
        drawing: &[u8],
    ) -> Vec<(&IssuedPage, Affine)> {
        let theirs = pieces(document, drawing, resources(document, page));
        let prints: BTreeMap<&str, String> = theirs
            .iter()
            .filter_map(|it| Some((it.words.as_str(), small_print(&it.words)?.1)))
            .take(MOST_FORMS)
            .collect();
        let mut found = Vec::new();
        for (print, number) in prints {
            let Some((own, issued)) = self.drawn.iter().find(|it| it.1.label == number) else {
                continue;
            };
            let resources = resources(&self.document, issued.page);
            let ours = pieces(&self.document, own, resources);
            let ways = moved_words(&ours, &theirs, print);
            found.extend(ways.into_iter().map(|it| (issued, it)));
        }
        found
    }

    /// The issued pages whose letters stand in another one, all of each in a row: pages that were merged into one, with other things
    /// drawn before and after; and whether no other letters stand there.
    fn by_letters(&self, drawing: &[u8]) -> (Vec<(&IssuedPage, Affine)>, bool) {
        let Some(theirs) = letters(drawing) else {
            return (Vec::new(), false);
        };
        let ours = self.letters.get_or_init(|| {
            let all = self.drawn.iter();
            all.filter_map(|(own, page)| Some((letters(own)?, page.clone())))
                .collect()
        });
        let mut found: Vec<(usize, &IssuedPage, Affine)> = Vec::new();
        let mut n_known = 0;
        for (own, page) in ours {
            let runs = runs_of(own, &theirs);
            n_known += own.len() * runs.len();
            found.extend(runs.into_iter().map(|(at, moved)| (at, page, moved)));
        }
        found.sort_by_key(|it| it.0);
        let found = found.into_iter().map(|it| (it.1, it.2)).collect();
        (found, n_known == theirs.len())
    }
}

/// What a page's drawing refers to, its own or its parent's.
fn resources(document: &Document, page: ObjectId) -> Option<&Dictionary> {
    let own = document.get_page_resources(page).ok()?;
    let inherited = || document.get_dictionary(*own.1.first()?).ok();
    own.0.or_else(inherited)
}

/// True when two sheets share more than a tenth of the smaller one's paper.
fn lie_on_each_other(found: &[(&IssuedPage, Affine)]) -> bool {
    let boxes: Vec<Rect> = (found.iter())
        .map(|(page, moved)| {
            let [x0, y0, x1, y1] = page.size;
            moved.transform_rect_bbox(Rect::new(x0, y0, x1, y1))
        })
        .collect();
    boxes.iter().enumerate().any(|(n, a)| {
        let mut others = boxes.iter().skip(n + 1);
        others.any(|b| a.intersect(*b).area().max(0.0) > a.area().min(b.area()) / 10.0)
    })
}

impl IssuedPage {
    /// Width and height, mm.
    fn paper(&self) -> [f64; 2] {
        let [x0, y0, x1, y1] = self.size;
        [x1 - x0, y1 - y0].map(|it| it * 25.4 / 72.0)
    }
}

/// Page labels: each page of ours has a prefix of its own, the sheet's number.
pub(super) fn labels(document: &Document) -> BTreeMap<usize, String> {
    let mut found = BTreeMap::new();
    let Ok(tree) = document
        .catalog()
        .and_then(|it| it.get_deref(b"PageLabels", document))
        .and_then(Object::as_dict)
    else {
        return found;
    };
    let mut nodes = vec![(tree, 0_usize)];
    while let Some((node, depth)) = nodes.pop() {
        if let Ok(numbers) = node.get_deref(b"Nums", document).and_then(Object::as_array) {
            for pair in numbers.chunks_exact(2) {
                let index = pair[0]
                    .as_i64()
                    .ok()
                    .and_then(|it| usize::try_from(it).ok());
                let label = document
                    .dereference(&pair[1])
                    .and_then(|(_, it)| it.as_dict());
                if let (Some(index), Ok(label)) = (index, label) {
                    found.insert(index, said(document, label, b"P"));
                }
            }
        }
        if let Ok(kids) = node.get_deref(b"Kids", document).and_then(Object::as_array) {
            let kids = kids.iter().filter(|_| depth < 8);
            nodes.extend(kids.filter_map(|kid| {
                let (_, kid) = document.dereference(kid).ok()?;
                Some((kid.as_dict().ok()?, depth + 1))
            }));
        }
    }
    found
}

/// What is drawn on a page, unfolded.
fn drawn(document: &Document, page: ObjectId) -> Option<Vec<u8>> {
    let content = document
        .get_page_content_with_limit(page, LARGEST_PAGE)
        .ok()?;
    let content = content.trim_ascii();
    (!content.is_empty()).then(|| content.to_vec())
}

/// What stands before a drawing in another one that is it with little put round it.
fn before<'a>(shown: &'a [u8], own: &[u8]) -> Option<&'a [u8]> {
    let is_near = shown.len() > own.len() && shown.len() - own.len() <= AROUND;
    let at = || shown.windows(own.len()).position(|part| part == own);
    is_near.then(at).flatten().and_then(|at| shown.get(..at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_with_little_round_it_is_the_same() {
        let shown = b"q .5 0 0 .5 0 0 cm 1 2 m 3 4 l S Q";
        let head: &[u8] = b"q .5 0 0 .5 0 0 cm ";
        assert_eq!(before(shown, b"1 2 m 3 4 l S"), Some(head));
        assert_eq!(before(b"1 2 m 3 4 l S", b"1 2 m 3 5 l S"), None);
        assert_eq!(before(&[b'x'; 900], b"x"), None);
        assert!(IssuedPages::of(b"%PDF-1.7 nothing").is_empty());
    }
}
