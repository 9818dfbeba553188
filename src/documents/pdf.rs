//! Binds sheets into one PDF: bookmarks, page labels, text that can be searched, links from sheet to sheet.
//!
//! ```text
//!   [Sheet, Sheet, …] ──► to_pdf ──► one file
//!      page = sheet at its true size, label = sheet number, bookmark = number and title,
//!      a linked group jumps to the page of the sheet it names
//! ```
//!
//! *Promises.* Same sheets, same bytes: no date, no random number. A line of 10 mm measures 10 mm.
//!
//! *Does not do.* Deciding which sheets there are. A character the font lacks is shown as an empty box, and still found by a
//! search.

use super::paper::Sheet;
use super::paper::page::{POINTS_PER_MM, PageFonts, links, paint, single};
use krilla::action::{Action, LinkAction};
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::destination::XyzDestination;
use krilla::geom::{Point, Rect};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::{PageLabel, PageSettings};
use krilla::{Document, SerializeSettings};
use std::collections::BTreeMap;

/// Facts of the whole file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PdfFacts {
    /// Title shown by a viewer.
    pub title: String,
    /// Name and version of the program.
    pub program: String,
    /// What the file's identity is made of, such as the package's id; empty takes the bytes.
    pub id: String,
}

/// Why a PDF cannot be written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// There is nothing to bind.
    #[error("a PDF needs at least one sheet")]
    Empty,
    /// A sheet has no size.
    #[error("sheet {0}: has no size")]
    Size(String),
    /// The writer of the workbook refuses: a mistake of the program.
    #[error("the workbook cannot be written: {0}")]
    Workbook(String),
    /// The writer refuses: a mistake of the program.
    #[error("the PDF cannot be written: {0}")]
    Writer(String),
}

/// One PDF of sheets, a page each, in the order given.
///
/// - A group's link names another sheet by its file (`Z-401-W101.svg`, with or without a folder) or is a `https:` address;
///   a link to nothing in the file is left out.
///
/// # Errors
/// [`PdfError`] when there is no sheet, or one without a size.
pub fn to_pdf(sheets: &[&Sheet], facts: &PdfFacts) -> Result<Vec<u8>, PdfError> {
    if sheets.is_empty() {
        return Err(PdfError::Empty);
    }
    let fonts = PageFonts::read().ok_or_else(|| PdfError::Writer("no font".to_owned()))?;
    let pages: BTreeMap<&str, usize> = sheets
        .iter()
        .enumerate()
        .map(|(page, sheet)| (sheet.name.as_str(), page))
        .collect();
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    for sheet in sheets {
        let [width, height] = [sheet.width, sheet.height].map(|mm| single(mm * POINTS_PER_MM));
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| PdfError::Size(sheet.number.clone()))?
            .with_page_label(PageLabel::new(None, Some(sheet.number.clone()), None));
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        paint(&mut surface, sheet, &fonts);
        surface.finish();
        for link in links(sheet) {
            let corners = [link.area.x0, link.area.y0, link.area.x1, link.area.y1];
            let [x0, y0, x1, y1] = corners.map(|mm| single(mm * POINTS_PER_MM));
            let (Some(area), Some(target)) = (
                Rect::from_ltrb(x0, y0, x1, y1),
                target(&link.target, &pages),
            ) else {
                continue;
            };
            page.add_annotation(Annotation::new_link(
                LinkAnnotation::new(area, target),
                Some(link.title).filter(|title| !title.is_empty()),
            ));
        }
        page.finish();
    }
    document.set_outline(outline(sheets));
    let mut metadata = Metadata::new()
        .title(facts.title.clone())
        .creator(facts.program.clone())
        .language("en".to_owned());
    if !facts.id.is_empty() {
        metadata = metadata.document_id(facts.id.clone());
    }
    document.set_metadata(metadata);
    document
        .finish()
        .map_err(|error| PdfError::Writer(format!("{error:?}")))
}

fn target(link: &str, pages: &BTreeMap<&str, usize>) -> Option<Target> {
    if link.starts_with("https:") {
        return Some(Target::Action(Action::Link(LinkAction::new(
            link.to_owned(),
        ))));
    }
    let file = link.rsplit('/').next().unwrap_or(link);
    let page = *pages.get(file.strip_suffix(".svg").unwrap_or(file))?;
    Some(Target::Destination(top_of(page).into()))
}

fn top_of(page: usize) -> XyzDestination {
    XyzDestination::new(page, Point::from_xy(0.0, 0.0))
}

/// Bookmarks: sheets of one series under its name, others at the top.
fn outline(sheets: &[&Sheet]) -> Outline {
    let mut outline = Outline::new();
    let mut at = 0;
    while let Some(first) = sheets.get(at) {
        let series = series(&first.number);
        let together = sheets
            .iter()
            .skip(at)
            .take_while(|sheet| series.is_some() && self::series(&sheet.number) == series)
            .count()
            .max(1);
        match series {
            Some(name) if together > 1 => {
                let mut node = OutlineNode::new(name.to_owned(), top_of(at));
                for (page, sheet) in sheets.iter().enumerate().skip(at).take(together) {
                    node.push_child(bookmark(page, sheet));
                }
                outline.push_child(node);
            }
            _ => outline.push_child(bookmark(at, first)),
        }
        at += together;
    }
    outline
}

fn bookmark(page: usize, sheet: &Sheet) -> OutlineNode {
    let title = match sheet.title.strip_prefix(&sheet.number) {
        Some(_) => sheet.title.clone(),
        None => format!("{} {}", sheet.number, sheet.title),
    };
    OutlineNode::new(title, top_of(page))
}

/// What the first digit of a sheet number says, as the US National CAD Standard numbers sheets (from memory).
pub(crate) fn series(number: &str) -> Option<&'static str> {
    let digit = number.strip_prefix("Z-")?.chars().next()?;
    Some(match digit {
        '0' => "General",
        '1' => "Key plans",
        '2' => "Elevations",
        '3' => "Sections",
        '4' => "Panels",
        '5' => "Details",
        '6' => "Schedules",
        '7' => "Cutting",
        '8' => "Loading",
        '9' => "Building",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::{Canvas, Item, Lettered, spot};

    fn sheet(number: &str, link: &str) -> Sheet {
        let mut canvas = Canvas::new();
        canvas.text(
            spot(20.0, 20.0),
            format!("sheet {number}"),
            Lettered::cap(3.0),
        );
        let mut group = canvas.into_group("words", "Words");
        group.link = link.to_owned();
        let mut outer = Canvas::new();
        outer.put(Item::Group(group));
        Sheet {
            number: number.to_owned(),
            name: format!("{number}-x"),
            title: "a sheet".to_owned(),
            width: 100.0,
            height: 50.0,
            layers: vec![outer.into_group("all", "All")],
            ..Sheet::default()
        }
    }

    fn has(bytes: &[u8], words: &str) -> bool {
        bytes.windows(words.len()).any(|it| it == words.as_bytes())
    }

    #[test]
    fn sheets_are_bound_with_labels_bookmarks_and_links_and_always_alike() {
        let sheets = [
            sheet("Z-101", "Z-401-x.svg"),
            sheet("Z-401", ""),
            sheet("Z-402", "Z-999-x.svg"),
        ];
        let facts = PdfFacts::default();
        let sheets: Vec<&Sheet> = sheets.iter().collect();
        let file = to_pdf(&sheets, &facts).unwrap();
        assert_eq!(file, to_pdf(&sheets, &facts).unwrap());
        for words in ["(Z-401)", "(Panels)", "(Z-402 a sheet)", "/Link"] {
            assert!(has(&file, words), "{words}");
        }
        let n_links = file.windows(5).filter(|it| it == b"/Link").count();
        assert_eq!(n_links, 1, "a link to no sheet of the file is left out");
    }

    #[test]
    fn no_sheet_is_no_file() {
        assert_eq!(to_pdf(&[], &PdfFacts::default()), Err(PdfError::Empty));
        let refused = to_pdf(&[&Sheet::default()], &PdfFacts::default());
        assert_eq!(refused, Err(PdfError::Size(String::new())));
    }
}
