//! The sheet of changes: what became of each panel since the issue before.

use super::paper::Sheet;
use super::paper::table::{Column, Table};
use super::table_sheet::TableSheets;
use super::{IssueFacts, PanelNews, TitleFacts};
use crate::units::ranges;

/// `Z-091-revised-panels` and as many more as it takes; none at a first issue.
pub(super) fn revised_sheets(issue: &IssueFacts, facts: &TitleFacts) -> Vec<Sheet> {
    if issue.number == 0 {
        return Vec::new();
    }
    let mut table = Table {
        columns: vec![
            Column::wrapping("MARK").bold(),
            Column::words("REV").bold(),
            Column::words("PANEL IS"),
            Column::wrapping("WHAT CHANGED"),
            Column::wrapping("WHY"),
        ],
        rows: rows(&issue.news),
        total: None,
        has_heads: true,
    };
    if table.rows.is_empty() {
        let mut row = vec![String::new(); table.columns.len()];
        row[3] = "no panel changed".to_owned();
        table.rows.push(row);
    }
    TableSheets {
        number: "Z-091",
        name: "revised-panels",
        title: "REVISED PANELS",
        subtitle: &format!("since {}", issue.issue_before()),
        description: "What became of each panel since the issue before.",
        notes: &[
            "A panel that is not listed is the same: its mark, its sheet and its outline stay in force.",
            "A changed panel keeps its mark and carries a revision letter on sheet, outline and label. Take every earlier file of it off the saw.",
            "A retired mark is never used again.",
            "Do not build from an earlier sheet of a panel listed here.",
            "A sheet that stays in force says ERECT of so many as there were when it was issued.",
        ]
        .map(str::to_owned),
        table: &table,
        facts,
    }
    .draw()
}

/// What one row tells of some panels.
struct Row<'a> {
    marks: Vec<&'a str>,
    revision: &'a str,
    what: &'static str,
    changes: String,
    why: &'a [String],
}

impl Row<'_> {
    fn tells_the_same(&self, other: &Self) -> bool {
        let own = (self.revision, self.what, &self.changes, self.why);
        own == (other.revision, other.what, &other.changes, other.why)
    }
}

/// The causes that several rows share, each told once and by a number, then the panels.
fn rows(news: &[PanelNews]) -> Vec<Vec<String>> {
    let gathered = gathered(news);
    let mut shared: Vec<&String> = Vec::new();
    for cause in gathered.iter().flat_map(|it| it.why) {
        let own = gathered.iter().filter(|it| it.why.contains(cause));
        if own.count() > 1 && !shared.contains(&cause) {
            shared.push(cause);
        }
    }
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (cause, number) in shared.iter().zip(1_usize..) {
        let own = gathered.iter().filter(|it| it.why.contains(cause));
        let marks: Vec<&str> = own.flat_map(|it| it.marks.iter().copied()).collect();
        let of = if marks.len() == news.len() {
            "of all that are listed".to_owned()
        } else {
            format!("of {}", ranges(&marks))
        };
        let name = format!("cause {number}");
        rows.push(vec![
            name,
            String::new(),
            String::new(),
            (*cause).clone(),
            of,
        ]);
    }
    rows.extend(gathered.iter().map(|it| {
        let number = |cause: &String| {
            let at = shared.iter().position(|other| *other == cause)?;
            Some((at + 1).to_string())
        };
        let numbers: Vec<String> = it.why.iter().filter_map(number).collect();
        let named = match numbers.as_slice() {
            [] => None,
            [one] => Some(format!("cause {one}")),
            several => Some(format!("causes {}", ranges(several))),
        };
        let own = it.why.iter().filter(|cause| !shared.contains(cause));
        let why: Vec<String> = named.into_iter().chain(own.cloned()).collect();
        vec![
            ranges(&it.marks),
            it.revision.to_owned(),
            it.what.to_owned(),
            it.changes.clone(),
            why.join("\n"),
        ]
    }));
    rows
}

/// One row for all panels of which the same is told, where the first of them stands.
fn gathered(news: &[PanelNews]) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    for news in news {
        let row = Row {
            marks: vec![&news.mark],
            revision: &news.revision,
            what: news.what,
            changes: changes(news),
            why: &news.why,
        };
        match rows.iter_mut().find(|it| it.tells_the_same(&row)) {
            Some(same) => same.marks.push(&news.mark),
            None => rows.push(row),
        }
    }
    rows
}

fn changes(news: &PanelNews) -> String {
    let changes = news.changes.join("\n");
    match (news.what, changes.is_empty()) {
        ("redrawn", _) => format!("cut as before\n{changes}"),
        ("retired", true) => "not needed; mark never used again".to_owned(),
        ("retired", false) => format!("not needed; mark never used again\n{changes}"),
        _ => changes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::overlaps;

    #[test]
    fn a_long_list_of_changes_takes_several_sheets_and_nothing_stands_on_anything() {
        let news = |n: usize| PanelNews {
            mark: format!("W{}", 101 + n),
            revision: "A".to_owned(),
            what: "changed",
            changes: vec![
                format!(
                    "opening 36\" x 60\" at 6\" from the left, 20\" up is now 36\" x 60\" at {n}\" from the left, 20\" up"
                ),
                "end stud gone: 2x6 stud grade 93\" at (0\", 1 1/2\"), plant".to_owned(),
            ],
            why: vec!["joints.from_opening: 6 in clear of O1".to_owned()],
            ..PanelNews::default()
        };
        let issue = IssueFacts {
            number: 1,
            news: (0..60).map(news).collect(),
            ..IssueFacts::default()
        };
        let sheets = revised_sheets(&issue, &TitleFacts::default());
        assert!(sheets.len() > 1);
        for sheet in &sheets {
            assert_eq!(overlaps(sheet), [], "{}", sheet.name);
        }
        assert!(revised_sheets(&IssueFacts::default(), &TitleFacts::default()).is_empty());
    }

    #[test]
    fn panels_of_which_the_same_is_told_stand_in_one_row() {
        let redrawn = |n: usize, words: &str| PanelNews {
            mark: format!("W{}", 101 + n),
            what: "redrawn",
            changes: vec![words.to_owned()],
            ..PanelNews::default()
        };
        let mut news: Vec<PanelNews> = (0..19).map(|n| redrawn(n, "another key plan")).collect();
        news[4] = redrawn(4, "order 5 is now 6");
        let rows = rows(&news);
        assert_eq!(rows.len(), 2);
        assert_eq!(rows[0][0], "W101–W104, W106–W119");
        assert_eq!(rows[0][3], "cut as before\nanother key plan");
        assert_eq!(rows[1][0], "W105");
    }

    #[test]
    fn a_cause_of_several_rows_is_told_once_and_named_by_its_number() {
        let news = |n: usize, why: &[&str]| PanelNews {
            mark: format!("W{}", 101 + n),
            what: "changed",
            changes: vec![format!("width {n}\"")],
            why: why.iter().map(|it| (*it).to_owned()).collect(),
            ..PanelNews::default()
        };
        let higher = "wall height: 9'-6\", was 9'-0\"";
        let gap = "gap between skins at a joint: 3/16\", was 1/8\"";
        let own = "on the plan, window O1 is gone";
        let all = [
            news(0, &[higher, gap]),
            news(1, &[own, higher]),
            news(2, &[higher, gap]),
        ];
        let rows = rows(&all);
        let cells = |n: usize| [0, 3, 4].map(|i| rows[n][i].as_str());
        assert_eq!(cells(0), ["cause 1", higher, "of all that are listed"]);
        assert_eq!(cells(1), ["cause 2", gap, "of W101, W103"]);
        assert_eq!(cells(2), ["W101", "width 0\"", "causes 1, 2"]);
        assert_eq!(cells(3), ["W102", "width 1\"", &format!("cause 1\n{own}")]);
        assert_eq!(cells(4), ["W103", "width 2\"", "causes 1, 2"]);
    }
}
