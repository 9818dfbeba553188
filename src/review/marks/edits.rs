//! What was done to the sheet itself: texts that say something else, things moved, taken off and inked anew, a mark for each place.

use super::drafts::{Draft, is_blank, words_of};
use super::drawn::{Drawing, Drawn, around, gap};
use super::model::MarkKind;
use super::proposals::last_length;
use super::sheets::{IssuedSheet, Laid};
use std::collections::BTreeMap;

/// Deleted things that belong together are no farther apart, mm.
const ONE_HOLE: f64 = 4.0;

/// What is written instead of something stands no farther from where that stood, mm.
const IN_ITS_PLACE: f64 = 1.5;

/// What was done to the sheet itself.
pub(super) fn of_the_sheet(sheet: &IssuedSheet, laid: &Laid, list: &mut Vec<Draft>) {
    let (issued, marked) = (&sheet.drawing, &laid.marked);
    for (index, now) in &laid.differences.changed {
        let (was, now) = (&issued.items[*index], &marked.items[*now]);
        list.push(Draft {
            issued: Some(*index),
            kind: MarkKind::ChangedText,
            text: format!("\"{}\" is now \"{}\"", was.words(), now.words()),
            edit: Some((was.words().to_owned(), now.words().to_owned())),
            on: Some(was.area),
            items: vec![now.clone()],
            ..Draft::default()
        });
    }
    let is_seen = |i: usize| !is_blank(&issued.items[i]);
    let moved: Vec<&(usize, usize)> = laid.differences.moved.iter().collect();
    let shift = |pair: &(usize, usize)| {
        let (a, b) = (
            issued.items[pair.0].area.middle(),
            marked.items[pair.1].area.middle(),
        );
        [b.x - a.x, b.y - a.y]
    };
    let alike = |a: usize, b: usize| {
        let (p, q) = (shift(moved[a]), shift(moved[b]));
        (p[0] - q[0]).hypot(p[1] - q[1]) <= 0.3
    };
    for set in joined_sets(moved.len(), alike) {
        if !set.iter().any(|n| is_seen(moved[*n].0)) {
            continue;
        }
        let was = set.iter().map(|n| &issued.items[moved[*n].0]);
        let on = around(was.clone());
        let [x, y] = shift(moved[set[0]]);
        let words = words_of(&was.cloned().collect::<Vec<_>>());
        list.push(Draft {
            kind: MarkKind::Moved,
            issued: Some(moved[set[0]].0),
            text: format!(
                "moved {x:.1} mm right, {y:.1} mm down on the sheet: {}",
                named(&words, set.len())
            ),
            items: set
                .iter()
                .map(|n| marked.items[moved[*n].1].clone())
                .collect(),
            on,
            ..Draft::default()
        });
    }
    let gone: Vec<usize> = (laid.differences.deleted.iter().copied())
        .filter(|i| is_seen(*i))
        .collect();
    let (layers, gone) = whole_layers(issued, &gone);
    list.extend(layers);
    let is_near = |a: usize, b: usize| {
        gap(&issued.items[gone[a]].area, &issued.items[gone[b]].area) <= ONE_HOLE
    };
    for set in joined_sets(gone.len(), is_near) {
        let items: Vec<Drawn> = set.iter().map(|n| issued.items[gone[*n]].clone()).collect();
        list.push(Draft {
            kind: MarkKind::Deleted,
            issued: Some(gone[set[0]]),
            text: format!(
                "taken off the sheet: {}",
                named(&words_of(&items), items.len())
            ),
            on: around(&items),
            items,
            ..Draft::default()
        });
    }
    let inked = &laid.differences.restyled;
    let is_one = |a: usize, b: usize| {
        let (p, q) = (&marked.items[inked[a].1], &marked.items[inked[b].1]);
        p.look == q.look && gap(&p.area, &q.area) <= ONE_HOLE
    };
    for set in joined_sets(inked.len(), is_one) {
        let items: Vec<Drawn> = set
            .iter()
            .map(|n| marked.items[inked[*n].1].clone())
            .collect();
        let look = &items[0].look;
        list.push(Draft {
            kind: MarkKind::Restyled,
            issued: Some(inked[set[0]].0),
            text: format!(
                "line {}, fill {}: {}",
                look.stroke,
                look.fill,
                named(&words_of(&items), items.len())
            ),
            on: around(&items),
            items,
            ..Draft::default()
        });
    }
}

/// A size taken off and another written where it stood: an edited dimension, whatever letters it is written in.
pub(super) fn retyped(list: &mut Vec<Draft>) {
    let size = |draft: &Draft| {
        let [item] = &draft.items[..] else {
            return None;
        };
        last_length(item.words()).map(|_| item.clone())
    };
    let of = |list: &[Draft], kind: MarkKind| -> Vec<(usize, Drawn)> {
        let all = list.iter().enumerate().filter(|it| it.1.kind == kind);
        all.filter(|it| !it.1.is_said)
            .filter_map(|(n, it)| Some((n, size(it)?)))
            .collect()
    };
    let gone = of(list, MarkKind::Deleted);
    let mut done = Vec::new();
    for (n, now) in of(list, MarkKind::Text) {
        let off = |it: &(usize, Drawn)| gap(&it.1.area, &now.area);
        let free = gone.iter().filter(|it| !done.contains(&it.0));
        let near = free.filter(|it| off(it) <= IN_ITS_PLACE);
        let Some((was_at, was)) = near.min_by(|a, b| off(a).total_cmp(&off(b))) else {
            continue;
        };
        let (on, issued) = (list[*was_at].on, list[*was_at].issued);
        let draft = &mut list[n];
        draft.kind = MarkKind::Dimension;
        draft.edit = Some((was.words().to_owned(), now.words().to_owned()));
        (draft.on, draft.issued) = (on, issued);
        done.push(*was_at);
    }
    done.sort_unstable();
    for n in done.into_iter().rev() {
        list.remove(n);
    }
}

/// Layers that are gone or hidden as a whole, a mark each; and what else is gone.
fn whole_layers(issued: &Drawing, gone: &[usize]) -> (Vec<Draft>, Vec<usize>) {
    /// A layer of fewer things is named by what stood on it.
    const LEAST: usize = 4;
    let layer_of = |item: &Drawn| {
        let mut groups = item.groups.iter().copied();
        groups.find(|it| issued.groups.get(*it).is_some_and(|it| it.is_layer))
    };
    let mut whole: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for i in gone {
        if let Some(layer) = layer_of(&issued.items[*i]) {
            whole.entry(layer).or_default().push(*i);
        }
    }
    let size = |layer: usize| {
        let of_it = |it: &&Drawn| !is_blank(it) && layer_of(it) == Some(layer);
        issued.items.iter().filter(of_it).count()
    };
    whole.retain(|layer, of_it| of_it.len() >= LEAST && of_it.len() == size(*layer));
    let drafts = whole.iter().map(|(layer, of_it)| {
        let items: Vec<Drawn> = of_it.iter().map(|i| issued.items[*i].clone()).collect();
        Draft {
            kind: MarkKind::Deleted,
            text: format!(
                "taken off the sheet, or hidden: layer \"{}\"",
                issued.groups[*layer].id
            ),
            on: around(&items),
            items,
            ..Draft::default()
        }
    });
    let rest = gone.iter().copied();
    let rest = rest.filter(|i| !whole.values().any(|of_it| of_it.binary_search(i).is_ok()));
    (drafts.collect(), rest.collect())
}

/// What a mark is about, shortened.
fn named(words: &str, n_things: usize) -> String {
    /// Longest quotation.
    const LONGEST: usize = 160;
    if words.is_empty() {
        return match n_things {
            1 => "1 line or shape".to_owned(),
            n => format!("{n} lines or shapes"),
        };
    }
    let short: String = words.chars().take(LONGEST).collect();
    let dots = if short.len() < words.len() { "…" } else { "" };
    format!("\"{short}{dots}\"")
}

/// Numbers that belong together, each set in order.
fn joined_sets(count: usize, belong: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    /// Above this the sheet was redrawn, and one set says as much.
    const MOST: usize = 3000;
    if count > MOST {
        return vec![(0..count).collect()];
    }
    let mut sets = Sets::new(count);
    for a in 0..count {
        for b in a + 1..count {
            if belong(a, b) {
                sets.join(a, b);
            }
        }
    }
    sets.all()
}

/// Sets of numbers, joined pair by pair.
pub(super) struct Sets {
    first: Vec<usize>,
}

impl Sets {
    pub(super) fn new(count: usize) -> Self {
        Self {
            first: (0..count).collect(),
        }
    }

    fn of(&self, mut n: usize) -> usize {
        while self.first[n] != n {
            n = self.first[n];
        }
        n
    }

    pub(super) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.first[a.max(b)] = a.min(b);
    }

    pub(super) fn is_alone(&self, n: usize) -> bool {
        (0..self.first.len()).all(|m| m == n || self.of(m) != self.of(n))
    }

    pub(super) fn all(&self) -> Vec<Vec<usize>> {
        let mut sets: Vec<Vec<usize>> = vec![Vec::new(); self.first.len()];
        for n in 0..self.first.len() {
            sets[self.of(n)].push(n);
        }
        sets.retain(|set| !set.is_empty());
        sets
    }
}
