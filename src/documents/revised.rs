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
        rows: gathered(&issue.news),
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
        ]
        .map(str::to_owned),
        table: &table,
        facts,
    }
    .draw()
}

/// One row for all panels of which the same is told, where the first of them stands.
fn gathered(news: &[PanelNews]) -> Vec<Vec<String>> {
    let mut rows: Vec<(Vec<&str>, [String; 4])> = Vec::new();
    for news in news {
        let told = [
            news.revision.clone(),
            news.what.to_owned(),
            changes(news),
            news.why.join("\n"),
        ];
        match rows.iter_mut().find(|row| row.1 == told) {
            Some(row) => row.0.push(&news.mark),
            None => rows.push((vec![&news.mark], told)),
        }
    }
    let cells = rows.into_iter().map(|(marks, told)| {
        let mut row = vec![ranges(&marks)];
        row.extend(told);
        row
    });
    cells.collect()
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
        let rows = gathered(&news);
        assert_eq!(rows.len(), 2);
        assert_eq!(rows[0][0], "W101–W104, W106–W119");
        assert_eq!(rows[0][3], "cut as before\nanother key plan");
        assert_eq!(rows[1][0], "W105");
    }
}
