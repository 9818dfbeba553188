//! The review log: what came back is added once, answers are put in, and every file of `review/` is made.

use super::answer_places::Places;
use super::answers::{self, Question};
use super::drafts::{Draft, drafts};
use super::drawn::{Drawn, DrawnForm};
use super::files::as_text;
use super::log_sheets::log_sheets;
use super::matching::hidden;
use super::model::{LOG_SCHEMA, Mark, ReviewLog};
use super::pages::IssuedPages;
use super::pdf::{MarkedPage, read_pdf};
use super::picture::picture;
use super::plain_words::{LONGEST_NAME, plain_words};
use super::proposals::{last_length, proposal};
use super::reader::read_svg;
use super::settling::settle;
use super::sheets::{IssuedSheet, Laid, NoSheet, Sheets};
use super::strings::{settle_elevation, settle_string};
use super::touching::{About, about};
use crate::documents::{InputFile, pretty, sha256_hex};
use crate::findings::{Finding, Outcome, Place, base_name};
use crate::review::codes;
use crate::review::issued::{Issued, IssuedError};
use crate::rules::RulesError;
use crate::units::counted;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Name of the log in a package.
pub(super) const LOG: &str = "review/log.json";
/// Most marks taken from one sheet: beyond it another sheet was drawn.
const MOST_OF_A_SHEET: usize = 500;

/// Most lines, words and pictures added to one sheet.
const MOST_ADDED: usize = 5000;

/// A package's review after reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Review {
    /// Every mark.
    pub log: ReviewLog,
    /// Files to be written: names in the package, all below `review/`.
    pub files: BTreeMap<String, Vec<u8>>,
    /// How many marks are new.
    pub n_added: usize,
    /// How many answers to questions are new.
    pub n_answers: usize,
    /// How many of the files were refused.
    pub n_refused: usize,
}

/// Why marks are not read at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MarksError {
    /// The folder is no package.
    #[error(transparent)]
    Package(#[from] IssuedError),
    /// The log that is there is none of ours.
    #[error("review/log.json: {0}; put it right or move it away: nothing was written")]
    Log(String),
    /// The drafter's answers cannot be read.
    #[error(transparent)]
    Answers(#[from] RulesError),
}

/// Reads marked sheets into the log of a package.
///
/// - `files`: the package's, its `review/` included.
/// - `marked`: SVG files of sheets, PDF files of `sheets.pdf`, in the order of the log, or the `answers.toml` that the page saved;
///   none puts in answers alone.
/// - A file that is refused is a fault; the others are read.
///
/// # Errors
/// [`MarksError`] when the package, its log or its answers cannot be read.
pub fn read_marks(
    files: &BTreeMap<String, Vec<u8>>,
    marked: &[InputFile],
) -> Result<Outcome<Review>, MarksError> {
    let issued = Issued::read(files)?;
    let mut review = Review {
        log: log_of(files)?,
        ..Review::default()
    };
    let mut findings = Vec::new();
    if !marked.is_empty() && !issued.altered.is_empty() {
        findings.push(Finding::doubt(
            codes::ALTERED_SINCE,
            Place::default(),
            format!(
                "files of the package are not as they were issued: {}; what differs on sheets among them may be taken for a reviewer's mark, or not be noticed",
                issued.altered.join(", ")
            ),
            "put the files back as they were issued, and read the marks again into an empty review/",
        ));
    }
    let mut desk = Desk {
        issued: &issued,
        sheets: Sheets::of(files),
        package_files: files,
        review: &mut review,
        findings: &mut findings,
        questions: Vec::new(),
    };
    for file in marked {
        desk.read(file);
    }
    let came = desk.questions;
    let (text, n_answers) = answers::with_questions(files.get(answers::FILE), &came)?;
    let questions = answers::answer(&mut review.log, &text, &mut findings)?;
    answers::replaced(&questions, &mut findings);
    if n_answers > 0 {
        review.n_answers = n_answers;
        let bytes = text.into_bytes();
        review.files.insert(answers::FILE.to_owned(), bytes);
    }
    review
        .files
        .insert(LOG.to_owned(), pretty(&review.log).into_bytes());
    review.files.insert(
        "review/proposed.toml".to_owned(),
        answers::proposed(&review.log, &questions, &Places::of(files)).into_bytes(),
    );
    let made = log_sheets(&review.log, &issued, |path| {
        let new = review.files.get(path).or_else(|| files.get(path));
        new.map(Vec::as_slice)
    });
    review.files.extend(made);
    Ok(Outcome {
        output: review,
        findings,
    })
}

/// The log of a package; an empty one where there is none.
pub(super) fn log_of(files: &BTreeMap<String, Vec<u8>>) -> Result<ReviewLog, MarksError> {
    let Some(bytes) = files.get(LOG) else {
        return Ok(ReviewLog::default());
    };
    let log: ReviewLog =
        serde_json::from_slice(bytes).map_err(|error| MarksError::Log(error.to_string()))?;
    if log.schema != LOG_SCHEMA {
        return Err(MarksError::Log(format!("its schema is '{}'", log.schema)));
    }
    match unsound(&log) {
        None => Ok(log),
        Some(why) => Err(MarksError::Log(why)),
    }
}

/// What is wrong with the names in a log that somebody altered: files are called by them.
fn unsound(log: &ReviewLog) -> Option<String> {
    let mut ids = BTreeSet::new();
    log.marks.iter().find_map(|mark| {
        let id = plain_words(&mark.id, LONGEST_NAME).0;
        let number = mark.id.strip_prefix('M').unwrap_or_default();
        let is_number = !number.is_empty() && number.bytes().all(|it| it.is_ascii_digit());
        if !is_number {
            Some(format!("'{id}' is no mark's number"))
        } else if !ids.insert(&mark.id) {
            Some(format!("mark {id} stands there twice"))
        } else {
            let is_own = mark.picture == format!("review/{id}.svg");
            (!is_own).then(|| format!("the picture of {id} is not review/{id}.svg"))
        }
    })
}

/// Where files that came back are read.
struct Desk<'a> {
    issued: &'a Issued,
    sheets: Sheets<'a>,
    package_files: &'a BTreeMap<String, Vec<u8>>,
    review: &'a mut Review,
    findings: &'a mut Vec<Finding>,
    /// Answers of the page that came back as files.
    questions: Vec<Question>,
}

impl Desk<'_> {
    fn read(&mut self, file: &InputFile) {
        if file.bytes.starts_with(b"%PDF") || file.name.to_ascii_lowercase().ends_with(".pdf") {
            return self.read_pdf(file);
        }
        if file.name.to_ascii_lowercase().ends_with(".toml") {
            match answers::of_page(file, &self.issued.package) {
                Ok(came) => self.questions.extend(came),
                Err(why) => self.refuse(file, &why),
            }
            return;
        }
        match as_text(&file.bytes) {
            Ok(text) => self.read_svg(file, &text),
            Err(refusal) => self.refuse(file, &refusal.to_string()),
        }
    }

    fn refuse(&mut self, file: &InputFile, why: &str) {
        let (what, hint) = why.split_once("; ").unwrap_or((why, "save it again"));
        self.review.n_refused += 1;
        self.findings.push(Finding::fault(
            codes::MARKED_FILE_REFUSED,
            Place::file(&file.name),
            what,
            hint,
        ));
    }

    fn read_svg(&mut self, file: &InputFile, text: &[u8]) {
        let drawing = match read_svg(text) {
            Ok(drawing) => drawing,
            Err(refusal) => return self.refuse(file, &refusal.to_string()),
        };
        if !drawing.neutralised.is_empty() {
            self.findings.push(Finding::note(
                codes::NEUTRALISED,
                Place::file(&file.name),
                format!("left out unread: {}", drawing.neutralised.join(", ")),
                "nothing, unless the reviewer meant something by it",
            ));
        }
        let laid = match self.sheets.lay(&drawing) {
            Ok(laid) => laid,
            Err(NoSheet::OtherPackage(package)) => {
                let why = format!(
                    "marks a sheet of package {package}, which this is not; give the folder of that package"
                );
                return self.refuse(file, &why);
            }
            Err(NoSheet::Gone(number)) => {
                let why = format!(
                    "marks {number} of this package, whose file is gone from it; put the sheet back as it was issued"
                );
                return self.refuse(file, &why);
            }
            Err(NoSheet::Unknown) => {
                self.findings.push(Finding::doubt(
                    codes::NO_SHEET,
                    Place::file(&file.name),
                    "looks like no sheet of this package; it is kept in the log as it is",
                    "ask the reviewer for the sheet's number, and draw the marks on it again if they matter",
                ));
                let hidden: Vec<&Drawn> = drawing.hidden.iter().collect();
                self.findings.extend(unshown(&file.name, &hidden));
                let draft = Draft {
                    text: "could be laid over no sheet".to_owned(),
                    items: drawing.items,
                    ..Draft::default()
                };
                return self.add(file, None, draft, &About::default());
            }
        };
        let Some(sheet) = self.sheets.get(&laid.sheet).cloned() else {
            return;
        };
        if laid.is_part(&sheet) {
            self.findings.push(Finding::note(
                codes::PART_OF_A_SHEET,
                Place::file(&file.name),
                format!(
                    "only a part of {} came back: what is missing is not taken for deleted",
                    sheet.name
                ),
                "nothing, if the reviewer saved the marks alone",
            ));
        }
        self.findings.extend(losses(&file.name, &laid));
        let hidden = hidden(&sheet.drawing, &laid.marked);
        self.findings.extend(unshown(&file.name, &hidden));
        // What belongs together is looked for pair by pair: not among more than any hand draws.
        let n_added = laid.differences.added.len();
        if n_added > MOST_ADDED {
            return self.refuse_other(file, &sheet, n_added);
        }
        self.add_all(file, &sheet, drafts(&sheet, &laid));
    }

    fn read_pdf(&mut self, file: &InputFile) {
        let ours = self.package_files.get("sheets.pdf");
        let issued = ours.map_or_else(IssuedPages::default, |it| IssuedPages::of(it));
        let marked = match read_pdf(&file.bytes, &issued) {
            Ok(marked) => marked,
            Err(refusal) => return self.refuse(file, &refusal.to_string()),
        };
        let left_out = [
            (
                marked.n_others,
                "annotation",
                " of no kind that marks a drawing, such as attached files",
            ),
            (marked.n_broken, "annotation", " that cannot be read"),
            (marked.n_hidden, "hidden annotation", ""),
            (
                marked.n_cleaned,
                "text",
                " in part: hidden control characters, or longer than any remark",
            ),
        ];
        let left_out: Vec<String> = left_out
            .into_iter()
            .filter(|it| it.0 > 0)
            .map(|(n, what, why)| format!("{}{why}", counted(n, what)))
            .collect();
        if !left_out.is_empty() {
            self.findings.push(Finding::note(
                codes::NEUTRALISED,
                Place::file(&file.name),
                format!("left out unread: {}", left_out.join("; ")),
                "nothing, unless the reviewer meant something by it",
            ));
        }
        if marked.pages.is_empty() && marked.n_redrawn > 0 {
            self.findings.push(Finding::doubt(
                codes::NO_SHEET,
                Place::file(&file.name),
                format!(
                    "has no annotations, and {} drawn otherwise than issued: marks that were printed or flattened into a page are not read",
                    counted(marked.n_redrawn, "page")
                ),
                "ask the reviewer for the file with its comments, or read it beside the sheets by eye",
            ));
        }
        let others = || marked.pages.iter().map(|it| it.other.as_ref());
        if let Some(Some((package, _))) =
            others().next().filter(|_| others().all(|it| it.is_some()))
        {
            let why = format!(
                "marks sheets of package {package}, which this is not; give the folder of that package"
            );
            return self.refuse(file, &why);
        }
        let both = [&issued.identity, &marked.identity];
        if both.iter().all(|it| !it.is_empty()) && both[0] != both[1] {
            self.findings.push(Finding::doubt(
                codes::OTHER_PDF,
                Place::file(&file.name),
                "is not the sheets.pdf of this package, by its identity",
                "check that the marks belong to this issue; they were read by the numbers of its sheets",
            ));
        }
        for page in marked.pages {
            let name = self
                .sheets
                .named(&page.label)
                .filter(|_| !page.label.is_empty());
            match name.and_then(|name| self.sheets.get(&name).cloned()) {
                Some(sheet) if page.is_placed => self.add_all(file, &sheet, page.drafts),
                Some(sheet) => self.add_unplaced(file, &sheet, page),
                None => {
                    let is = match &page.other {
                        None => "no sheet of this package".to_owned(),
                        Some((package, number)) => format!("{number} of package {package}"),
                    };
                    self.findings.push(Finding::doubt(
                        codes::NO_SHEET,
                        Place::file(&file.name),
                        format!(
                            "page {} is {is}; its marks are kept in the log",
                            page.index + 1
                        ),
                        "ask the reviewer for the sheet's number",
                    ));
                    for draft in page.drafts {
                        self.add(file, None, draft, &About::default());
                    }
                }
            }
        }
    }

    /// Marks of a page that cannot be laid over its sheet: nobody knows where on it they stand.
    fn add_unplaced(&mut self, file: &InputFile, sheet: &IssuedSheet, page: MarkedPage) {
        self.findings.push(Finding::doubt(
            codes::NO_SHEET,
            Place::file(&file.name),
            format!(
                "page {} is {} on other paper, and drawn anew: where its marks stand is not known, and they are kept in the log without a place",
                page.index + 1,
                sheet.name
            ),
            "read them beside the sheet by eye, or ask the reviewer to mark sheets.pdf as it was issued",
        ));
        let about = About {
            panel: sheet.fact("panel").map(str::to_owned),
            touches: Some(format!("somewhere on {}", sheet.name)),
            ..About::default()
        };
        for draft in page.drafts {
            self.add(file, None, draft, &about);
        }
    }

    fn refuse_other(&mut self, file: &InputFile, sheet: &IssuedSheet, n_places: usize) {
        let why = format!(
            "differs from {} in {n_places} places: that is another drawing, not a marked one; mark the sheet as it was issued",
            sheet.name
        );
        self.refuse(file, &why);
    }

    fn add_all(&mut self, file: &InputFile, sheet: &IssuedSheet, drafts: Vec<Draft>) {
        if drafts.len() > MOST_OF_A_SHEET {
            return self.refuse_other(file, sheet, drafts.len());
        }
        for mut draft in drafts {
            let mut about = about(sheet, &draft);
            settle(sheet, &mut about, &mut draft);
            settle_string(self.issued, sheet, &mut about, &draft);
            settle_elevation(self.issued, sheet, &mut about);
            self.add(file, Some(sheet), draft, &about);
        }
    }

    /// Puts a mark into the log, unless it is there.
    fn add(&mut self, file: &InputFile, sheet: Option<&IssuedSheet>, draft: Draft, about: &About) {
        let name = sheet.map(|it| it.name.clone());
        let key = key(name.as_deref(), &self.issued.id, &draft);
        let last = self.review.log.last_number();
        let marks = &mut self.review.log.marks;
        if marks.iter().any(|mark| mark.key == key) {
            return;
        }
        let id = format!("M{}", last + 1);
        let path = format!("review/{id}.svg");
        let mut proposed = None;
        if let Some(edit) = &draft.edit {
            proposed = proposal(self.issued, about, edit);
            let is_size = last_length(&edit.1).is_some();
            if proposed.is_none() && is_size {
                self.findings.push(Finding::doubt(
                    codes::NO_PROPOSAL,
                    Place::file(&file.name),
                    format!("{id}: \"{}\" should be \"{}\", and the sheet does not tell which key of the job that is", edit.0, edit.1),
                    "put it into job.toml by hand, or answer the mark",
                ));
            }
        }
        let title = format!(
            "{id} {} on {}",
            draft.kind.name(),
            name.as_deref().unwrap_or("no sheet")
        );
        self.review
            .files
            .insert(path.clone(), picture(&id, &title, &draft.items, sheet));
        let place = |it: f64| (it * 1000.0).round() / 1000.0;
        let area = about.area;
        marks.push(Mark {
            id,
            package: self.issued.id.clone(),
            source: base_name(&file.name).to_owned(),
            kind: draft.kind,
            reviewer: draft.reviewer,
            time: draft.time,
            panel: about.panel.clone(),
            opening: about.opening.clone(),
            wall: about.wall.clone(),
            touches: about.touches.clone(),
            text: draft.text,
            area: sheet.map(|_| [area.x0, area.y0, area.x1, area.y1].map(place)),
            at: sheet.map(|_| [about.at.x, about.at.y].map(place)),
            proposal: proposed,
            picture: path,
            sheet: name,
            key,
            ..Mark::default()
        });
        self.review.n_added += 1;
    }
}

/// The same for the same mark, whatever file it comes in.
fn key(sheet: Option<&str>, package: &str, draft: &Draft) -> String {
    let mut words = format!(
        "{}\n{package}\n{}\n{}\n{}\n",
        sheet.unwrap_or_default(),
        draft.kind.name(),
        draft.text,
        draft.reviewer.as_deref().unwrap_or_default()
    );
    for item in &draft.items {
        // Writing to a string cannot fail.
        let _ = writeln!(words, "{}", spelt(item));
    }
    let mut digest = sha256_hex(words.as_bytes());
    digest.truncate(16);
    digest
}

/// Where a thing is, to a fifth of a millimetre: an editor's rounding makes no new mark.
fn spelt(item: &Drawn) -> String {
    let fifth = |mm: f64| (mm * 5.0).round() + 0.0;
    let area = &item.area;
    let form = match &item.form {
        DrawnForm::Words(words) => words.words.as_str(),
        DrawnForm::Lines(_) => "lines",
        DrawnForm::Image(_) => "image",
    };
    format!(
        "{form} {} {} {} {}",
        fifth(area.x0),
        fifth(area.y0),
        fifth(area.x1),
        fifth(area.y1)
    )
}

/// What an editor took from a sheet, so that a reviewer's change of it would not be seen.
fn losses(file: &str, laid: &Laid) -> Vec<Finding> {
    let (found, sheet) = (&laid.differences, &laid.sheet);
    let note = |code, words: String, hint| Finding::note(code, Place::file(file), words, hint);
    let mut losses = Vec::new();
    if found.n_outlined > 0 {
        losses.push(note(
            codes::LETTERS_OUTLINED,
            format!(
                "on {sheet} the letters of {} came back as outlines: what they say was not read, and a word changed before is not noticed",
                counted(found.n_outlined, "text")
            ),
            "nothing, if the reviewer changed no text; else have the sheet saved with its texts as texts",
        ));
    }
    if found.inks_are_lost {
        losses.push(note(
            codes::INKS_LOST,
            format!("the lines of {sheet} came back without their inks, or all in one: what a reviewer gave another ink is not noticed"),
            "nothing, if the reviewer restyled nothing; else have the sheet saved as plain SVG with its styles",
        ));
    }
    if found.n_combined > 0 {
        losses.push(note(
            codes::SHAPES_COMBINED,
            format!(
                "on {sheet} {} came back as parts of other outlines: another ink of one of them is not noticed",
                counted(found.n_combined, "shape")
            ),
            "nothing, if the reviewer restyled none of them",
        ));
    }
    losses
}

/// What a file hides and the sheet has not: it is no mark, and may have been meant as one.
fn unshown(file: &str, hidden: &[&Drawn]) -> Option<Finding> {
    /// So many remarks are quoted, and so many letters of each.
    const MOST: usize = 3;
    const LONGEST: usize = 60;
    let mut quoted: Vec<String> = Vec::new();
    for words in hidden.iter().map(|it| it.words()) {
        if !words.is_empty() {
            let short: String = words.chars().take(LONGEST).collect();
            let dots = if short.len() < words.len() { "…" } else { "" };
            quoted.push(format!("\"{short}{dots}\""));
        }
    }
    let n_more = quoted.len().saturating_sub(MOST);
    quoted.truncate(MOST);
    if n_more > 0 {
        quoted.push(format!("{n_more} more"));
    }
    let says = if quoted.is_empty() {
        String::new()
    } else {
        format!(": {}", quoted.join(", "))
    };
    (!hidden.is_empty()).then(|| {
        Finding::note(
            codes::NEUTRALISED,
            Place::file(file),
            format!("left out unread, because the file hides it: {}{says}", counted(hidden.len(), "thing")),
            "nothing, if the reviewer hid it on purpose; else have the layer shown in the editor and the sheet saved again",
        )
    })
}
