//! Other marks for the panels of a layout: those of the issue before. What was said of panels follows.

use super::{Layout, codes};
use crate::findings::Finding;
use std::collections::BTreeMap;

impl Layout {
    /// Gives the panels other marks, `None` keeping what it has; reasons name neighbours by them.
    ///
    /// - Returns every mark as it was with what it is now.
    pub(crate) fn rename(&mut self, marks: &[Option<String>]) -> BTreeMap<String, String> {
        let pairs = self.panels.iter().zip(marks);
        let pairs = pairs.filter_map(|(panel, mark)| Some((panel.mark.clone(), mark.clone()?)));
        let names: BTreeMap<String, String> = pairs.collect();
        for panel in &mut self.panels {
            panel.mark = renamed(&panel.mark, &names);
            for reason in &mut panel.reasons {
                reason.words = renamed(&reason.words, &names);
                reason.lead = reason.lead.as_deref().map(|it| renamed(it, &names));
            }
        }
        names
    }
}

/// What the layout found about its panels, under their other marks.
pub(crate) fn rename_findings(findings: &mut [Finding], names: &BTreeMap<String, String>) {
    let own = findings.iter_mut();
    for finding in own.filter(|it| it.code == codes::NO_TRAVEL) {
        finding.message = renamed(&finding.message, names);
        let panel = finding.place.panel.as_deref();
        finding.place.panel = panel.map(|it| renamed(it, names));
    }
}

/// Words with every whole name among them put otherwise.
fn renamed(words: &str, names: &BTreeMap<String, String>) -> String {
    let is_letter = |c: char| c.is_ascii_alphanumeric();
    let chars: Vec<char> = words.chars().collect();
    let pieces = chars.chunk_by(|a, b| is_letter(*a) && is_letter(*b));
    pieces
        .map(|piece| {
            let piece: String = piece.iter().collect();
            names.get(&piece).cloned().unwrap_or(piece)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_names_alone_are_put_otherwise_and_all_at_once() {
        let names = [("W103", "W104"), ("W104", "W103"), ("W10", "W99")];
        let names = names.map(|(a, b)| (a.to_owned(), b.to_owned()));
        let names = BTreeMap::from(names);
        assert_eq!(
            renamed("W104 slides onto W103; W1034, 9'-0\" and W10.", &names),
            "W103 slides onto W104; W1034, 9'-0\" and W99."
        );
    }
}
