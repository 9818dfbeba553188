//! Which sheet a page of a marked PDF shows: told by what is drawn on it, for pages are put in front, taken out and put together,
//! and their labels do not always go with them.

use super::pdf::{identity_of, open};
use super::pdf_words::said;
use lopdf::{Document, Object, ObjectId};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// No page unfolds to more, bytes.
const LARGEST_PAGE: usize = 64 << 20;
/// What programs put round a page's drawing when they turn or scale it is no longer, bytes.
const AROUND: usize = 256;

/// What is drawn on each page of the issued file, and the number of its sheet.
#[derive(Default)]
pub(super) struct IssuedPages {
    /// What names the file through every saving; empty for none.
    pub(super) identity: Vec<u8>,
    drawn: BTreeMap<Vec<u8>, String>,
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
                Some((drawn(&document, page)?, labels.get(&index)?.clone()))
            });
            Some(Self {
                identity: identity_of(&document),
                drawn: drawn.collect(),
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

    /// The sheet that a page shows.
    pub(super) fn sheet(&self, document: &Document, page: ObjectId) -> Option<&str> {
        let shown = drawn(document, page)?;
        let same = self.drawn.get(&shown);
        let within = || {
            let mut all = self.drawn.iter();
            all.find(|(own, _)| holds(&shown, own)).map(|it| it.1)
        };
        same.or_else(within).map(String::as_str)
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

/// True when a drawing is another one with little put round it.
fn holds(shown: &[u8], own: &[u8]) -> bool {
    shown.len() > own.len()
        && shown.len() - own.len() <= AROUND
        && shown.windows(own.len()).any(|part| part == own)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_with_little_round_it_is_the_same() {
        assert!(holds(
            b"q .5 0 0 .5 0 0 cm 1 2 m 3 4 l S Q",
            b"1 2 m 3 4 l S"
        ));
        assert!(!holds(b"1 2 m 3 4 l S", b"1 2 m 3 5 l S"));
        assert!(!holds(&[b'x'; 900], b"x"));
        assert!(IssuedPages::of(b"%PDF-1.7 nothing").is_empty());
    }
}
