//! Who answers whom: replies are added to the mark that their thread began with; those of a thread without one are marks of their own.

use super::drafts::Draft;
use super::pdf_words::{contents, said};
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::collections::BTreeMap;

/// Replies answer replies so many times over.
const DEEPEST: usize = 64;
/// A thread is said no longer than this, bytes.
const LONGEST: usize = 16_000;

/// The marks of a page with what was replied to them.
#[derive(Default)]
pub(super) struct Threads {
    marks: Vec<(Option<ObjectId>, Draft)>,
    parents: BTreeMap<ObjectId, ObjectId>,
    replies: Vec<Reply>,
}

struct Reply {
    parent: ObjectId,
    who: Option<String>,
    words: String,
    /// What it is where its thread has no mark.
    alone: Option<Draft>,
}

/// The annotation that one replies to; what is only grouped with another is a mark of its own.
pub(super) fn answered(annotation: &Dictionary) -> Option<ObjectId> {
    let kind = annotation.get(b"RT").and_then(Object::as_name);
    let is_grouped = kind.is_ok_and(|it| it == b"Group");
    let parent = annotation.get(b"IRT").and_then(Object::as_reference);
    parent.ok().filter(|_| !is_grouped)
}

/// What the thread of an annotation began with; itself where it replies to none.
pub(super) fn began<'a>(document: &'a Document, annotation: &'a Dictionary) -> &'a Dictionary {
    /// No thread is deeper.
    const DEEPEST: usize = 64;
    let mut first = annotation;
    for _ in 0..DEEPEST {
        let Some(parent) = answered(first).and_then(|it| document.get_dictionary(it).ok()) else {
            break;
        };
        first = parent;
    }
    first
}

impl Threads {
    pub(super) fn put(&mut self, id: Option<ObjectId>, draft: Draft) {
        self.marks.push((id, draft));
    }

    /// - `alone`: the reply as a mark of its own, for a thread that has none.
    pub(super) fn reply(
        &mut self,
        (id, parent): (Option<ObjectId>, Option<ObjectId>),
        (document, annotation): (&Document, &Dictionary),
        alone: Option<Draft>,
    ) {
        let Some(parent) = parent else { return };
        if let Some(id) = id {
            self.parents.insert(id, parent);
        }
        let who = said(document, annotation, b"T");
        let mut words = contents(document, annotation);
        if words.is_empty() {
            let state = said(document, annotation, b"State").to_lowercase();
            let says = !matches!(state.as_str(), "" | "none" | "unmarked");
            words = if says { state } else { String::new() };
        }
        self.replies.push(Reply {
            parent,
            who: Some(who).filter(|it| !it.is_empty()),
            words,
            alone,
        });
    }

    /// Every mark, replies in the order of the file.
    pub(super) fn drafts(self) -> Vec<Draft> {
        let Self {
            mut marks,
            parents,
            replies,
        } = self;
        let mut others = Vec::new();
        for reply in replies.into_iter().filter(|it| !it.words.is_empty()) {
            let mut root = reply.parent;
            for _ in 0..DEEPEST {
                match parents.get(&root) {
                    Some(parent) => root = *parent,
                    None => break,
                }
            }
            let mark = marks.iter_mut().find(|(id, _)| *id == Some(root));
            let Some((_, mark)) = mark else {
                let own = reply.alone.map(|it| Draft {
                    text: reply.words,
                    ..it
                });
                others.extend(own);
                continue;
            };
            let who = reply.who.filter(|it| Some(it) != mark.reviewer.as_ref());
            let words = match who {
                Some(who) => format!("{who}: {}", reply.words),
                None => reply.words,
            };
            if mark.text.len() > LONGEST {
                continue;
            }
            if !mark.text.is_empty() {
                mark.text.push_str(" / ");
            }
            mark.text.push_str(&words);
            if mark.text.len() > LONGEST {
                mark.text.push_str(" / …");
            }
        }
        let marks = marks.into_iter().map(|it| it.1);
        marks.chain(others).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lopdf::dictionary;

    #[test]
    fn a_reply_is_said_in_its_thread_and_alone_where_that_has_no_mark() {
        let document = Document::new();
        let note = |words: &str, who: &str| dictionary! { "Contents" => Object::string_literal(words), "T" => Object::string_literal(who) };
        let mut threads = Threads::default();
        let first = Draft {
            text: "first".to_owned(),
            reviewer: Some("A".to_owned()),
            ..Draft::default()
        };
        threads.put(Some((1, 0)), first);
        let mut reply = |id: u32, parent: u32, words: &str, who: &str| {
            let alone = Some(Draft::default());
            threads.reply(
                (Some((id, 0)), Some((parent, 0))),
                (&document, &note(words, who)),
                alone,
            );
        };
        reply(3, 2, "to the reply", "A");
        reply(2, 1, "a reply", "B");
        reply(4, 9, "to an attachment", "B");
        reply(5, 1, "", "B");
        let status = dictionary! { "State" => Object::string_literal("Accepted"), "T" => Object::string_literal("C") };
        threads.reply((None, Some((1, 0))), (&document, &status), None);
        let said: Vec<String> = threads.drafts().into_iter().map(|it| it.text).collect();
        assert_eq!(
            said,
            [
                "first / to the reply / B: a reply / C: accepted",
                "to an attachment"
            ]
        );
    }
}
