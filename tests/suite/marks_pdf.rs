//! Marked PDF pages that viewers scaled, turned, cropped or locked: the marks stand where they were put, or it is said that nobody knows.

use crate::kit::sample_package;
use crate::marks::{Files, codes, file, package, read, texts};
use lopdf::encryption::{EncryptionState, EncryptionVersion, Permissions};
use lopdf::{Document, Object, ObjectId, Stream, dictionary};
use panelwright::findings::Outcome;
use panelwright::review::Review;

/// The page of the sheet with a window, and where a window's middle is on it, points.
const LABEL: &str = "Z-4110";
const AT: [f64; 2] = [357.0, 449.0];

fn issued(files: &Files) -> (Document, ObjectId) {
    let document = Document::load_mem(&files["sheets.pdf"]).unwrap();
    let labels = document
        .catalog()
        .unwrap()
        .get_deref(b"PageLabels", &document)
        .unwrap();
    let numbers = labels
        .as_dict()
        .unwrap()
        .get_deref(b"Nums", &document)
        .unwrap();
    let pairs = numbers.as_array().unwrap().chunks(2);
    let index = pairs
        .filter_map(|it| {
            let (_, label) = document.dereference(&it[1]).ok()?;
            let prefix = label.as_dict().ok()?.get(b"P").ok()?.as_str().ok()?;
            (prefix == LABEL.as_bytes()).then_some(it[0].as_i64().ok()?)
        })
        .next()
        .unwrap();
    let page = document
        .page_iter()
        .nth(usize::try_from(index).unwrap())
        .unwrap();
    (document, page)
}

fn real(numbers: [f64; 4]) -> Object {
    #[expect(clippy::cast_possible_truncation, reason = "points of a page")]
    let each = |it: f64| Object::Real(it as f32);
    numbers.map(each).to_vec().into()
}

/// Puts a square on a page round a point; gives its object.
fn mark(document: &mut Document, page: ObjectId, [x, y]: [f64; 2], words: &str) -> ObjectId {
    let square = document.add_object(dictionary! {
        "Type" => "Annot", "Subtype" => "Square", "Rect" => real([x - 3.0, y - 3.0, x + 3.0, y + 3.0]),
        "Contents" => Object::string_literal(words), "F" => 4,
    });
    put(document, page, square);
    square
}

fn put(document: &mut Document, page: ObjectId, annotation: ObjectId) {
    let facts = document.get_dictionary_mut(page).unwrap();
    let mut all = facts
        .get(b"Annots")
        .and_then(Object::as_array)
        .cloned()
        .unwrap_or_default();
    all.push(annotation.into());
    facts.set("Annots", all);
}

fn read_back(files: &Files, document: &mut Document) -> Outcome<Review> {
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    read(files, &[file("marked.pdf", bytes)])
}

/// The drawing of a page under other operators.
fn redraw(document: &mut Document, page: ObjectId, before: &str, after: &str) {
    let own = document.get_page_content(page);
    let drawing = [before.as_bytes(), &own, after.as_bytes()].concat();
    let drawing = document.add_object(Stream::new(dictionary! {}, drawing));
    document
        .get_dictionary_mut(page)
        .unwrap()
        .set("Contents", drawing);
}

/// How a page comes back: its name, box, what is put before the drawing, unit, and where the mark stands.
type Way<'a> = (&'a str, [f64; 4], Option<&'a str>, f64, [f64; 2]);

#[test]
fn marks_stand_where_they_were_put_on_pages_scaled_turned_cropped_and_in_other_units() {
    let files = package();
    let (mut plain, page) = issued(&files);
    mark(&mut plain, page, AT, "here");
    let there = read_back(&files, &mut plain).output.log.marks[0].clone();
    assert_eq!(there.opening.as_deref(), Some("O3"));
    let [x, y] = AT;
    let ways: [Way<'_>; 5] = [
        (
            "half",
            [0.0, 0.0, 612.0, 396.0],
            Some("q 0.5 0 0 0.5 0 0 cm\n"),
            1.0,
            [x / 2.0, y / 2.0],
        ),
        (
            "on A4",
            [0.0, 0.0, 842.0, 595.0],
            Some("q\n0.6 0 0 0.6 30 40 cm\n"),
            1.0,
            [0.6 * x + 30.0, 0.6 * y + 40.0],
        ),
        (
            "turned",
            [0.0, 0.0, 792.0, 1224.0],
            Some("q 0 -1 1 0 0 1224 cm\n"),
            1.0,
            [y, 1224.0 - x],
        ),
        ("cropped", [100.0, 100.0, 1100.0, 700.0], None, 1.0, AT),
        ("in other units", [0.0, 0.0, 1224.0, 792.0], None, 2.5, AT),
    ];
    for (name, size, before, unit, at) in ways {
        let (mut document, page) = issued(&files);
        if let Some(before) = before {
            redraw(&mut document, page, before, "\nQ");
        }
        let facts = document.get_dictionary_mut(page).unwrap();
        facts.set("MediaBox", real(size));
        facts.set("CropBox", real(size));
        #[expect(clippy::cast_possible_truncation, reason = "a small number")]
        facts.set("UserUnit", Object::Real(unit as f32));
        mark(&mut document, page, at, "here");
        let read = read_back(&files, &mut document);
        let marks = &read.output.log.marks;
        assert_eq!((codes(&read.findings), marks.len()), (vec![], 1), "{name}");
        assert_eq!(
            (&marks[0].sheet, &marks[0].opening),
            (&there.sheet, &there.opening),
            "{name}"
        );
        let (a, b) = (marks[0].at.unwrap(), there.at.unwrap());
        assert!(
            (a[0] - b[0]).hypot(a[1] - b[1]) < 0.1,
            "{name}: {a:?} {b:?}"
        );
    }
}

#[test]
fn a_page_shown_as_a_form_on_other_paper_is_laid_back() {
    let files = package();
    let (mut document, page) = issued(&files);
    let own = document.get_page_content(page);
    let facts = document.get_dictionary(page).unwrap();
    let resources = facts.get(b"Resources").unwrap().clone();
    let form = document.add_object(Stream::new(
        dictionary! { "Type" => "XObject", "Subtype" => "Form", "BBox" => real([0.0, 0.0, 1224.0, 792.0]), "Resources" => resources },
        own,
    ));
    let shown = document.add_object(Stream::new(
        dictionary! {},
        b"q 0.5 0 0 0.5 10 20 cm /Fm0 Do Q".to_vec(),
    ));
    let facts = document.get_dictionary_mut(page).unwrap();
    facts.set("Contents", shown);
    facts.set(
        "Resources",
        dictionary! { "XObject" => dictionary! { "Fm0" => form } },
    );
    facts.set("MediaBox", real([0.0, 0.0, 700.0, 500.0]));
    mark(
        &mut document,
        page,
        [AT[0] / 2.0 + 10.0, AT[1] / 2.0 + 20.0],
        "here",
    );
    let read = read_back(&files, &mut document);
    let at = read.output.log.marks[0].at.unwrap();
    assert_eq!(codes(&read.findings), [""; 0]);
    assert!((at[0] - 125.9).hypot(at[1] - 121.0) < 0.2, "{at:?}");
}

#[test]
fn sheets_printed_side_by_side_are_parted() {
    let files = package();
    for is_merged in [true, false] {
        let (mut document, page) = issued(&files);
        let pages: Vec<ObjectId> = document.page_iter().collect();
        let number = pages.iter().position(|it| *it == page).unwrap();
        let next = pages[number + 1];
        let own = [page, next].map(|it| document.get_page_content(it));
        let ways = ["0.5 0 0 0.5 10 20", "0.5 0 0 0.5 650 20"];
        let facts = document.get_dictionary(page).unwrap();
        let mut resources = facts.get(b"Resources").unwrap().clone();
        let mut shown = Vec::new();
        let mut forms = dictionary! {};
        for (n, (drawing, way)) in own.into_iter().zip(ways).enumerate() {
            shown.extend(format!("q {way} cm\n").bytes());
            if is_merged {
                shown.extend(drawing);
            } else {
                let form = dictionary! { "Type" => "XObject", "Subtype" => "Form", "BBox" => real([0.0, 0.0, 1224.0, 792.0]), "Resources" => resources.clone() };
                let form = document.add_object(Stream::new(form, drawing));
                forms.set(format!("Fm{n}"), form);
                shown.extend(format!("/Fm{n} Do").bytes());
            }
            shown.extend(b"\nQ\n");
        }
        if !is_merged {
            resources = dictionary! { "XObject" => forms }.into();
        }
        let shown = document.add_object(Stream::new(dictionary! {}, shown));
        let facts = document.get_dictionary_mut(page).unwrap();
        facts.set("Contents", shown);
        facts.set("Resources", resources);
        facts.set("MediaBox", real([0.0, 0.0, 1300.0, 450.0]));
        let at = |x: f64| [AT[0] / 2.0 + x, AT[1] / 2.0 + 20.0];
        mark(&mut document, page, at(10.0), "left");
        let right = mark(&mut document, page, at(650.0), "right");
        let reply = mark(&mut document, page, at(20.0), "and more");
        let facts = document.get_dictionary_mut(reply).unwrap();
        facts.set("IRT", right);
        let read = read_back(&files, &mut document);
        let marks = &read.output.log.marks;
        assert_eq!(codes(&read.findings), [""; 0], "{is_merged}");
        let told: Vec<(&str, &str)> = (marks.iter())
            .map(|it| (it.sheet.as_deref().unwrap(), it.text.as_str()))
            .collect();
        let expected = [("Z-4110-W110", "left"), ("Z-4111-W111", "right / and more")];
        assert_eq!(told, expected, "{is_merged}");
        let [a, b] = [0, 1].map(|n: usize| marks[n].at.unwrap());
        assert!(
            (a[0] - 125.9).hypot(a[1] - 121.0) < 0.2,
            "{is_merged} {a:?}"
        );
        assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 0.1, "{is_merged} {b:?}");
    }
}

#[test]
fn a_page_drawn_anew_is_known_by_its_letters_and_one_that_nothing_tells_of_keeps_its_marks_without_a_place()
 {
    let files = package();
    let (mut document, page) = issued(&files);
    let content = document.get_page_content(page);
    // As a program writes it that reads it and writes it anew.
    let anew = lopdf::content::Content::decode(&content)
        .unwrap()
        .encode()
        .unwrap();
    let scaled = [b"q 0.5 0 0 0.5 0 0 cm\n".as_slice(), &anew, b"\nQ"].concat();
    assert_ne!(anew, content);
    let scaled = document.add_object(Stream::new(dictionary! {}, scaled));
    let facts = document.get_dictionary_mut(page).unwrap();
    facts.set("Contents", scaled);
    facts.set("MediaBox", real([0.0, 0.0, 612.0, 396.0]));
    mark(&mut document, page, [AT[0] / 2.0, AT[1] / 2.0], "here");
    let read_anew = read_back(&files, &mut document);
    assert_eq!(read_anew.output.log.marks[0].opening.as_deref(), Some("O3"));
    let (mut document, page) = issued(&files);
    let other = document.add_object(Stream::new(dictionary! {}, b"0 0 m 9 9 l S".to_vec()));
    let facts = document.get_dictionary_mut(page).unwrap();
    facts.set("Contents", other);
    facts.set("MediaBox", real([0.0, 0.0, 600.0, 600.0]));
    mark(&mut document, page, [100.0, 100.0], "here");
    let read = read_back(&files, &mut document);
    assert_eq!(codes(&read.findings), ["REV-09"]);
    let kept = &read.output.log.marks[0];
    assert_eq!(
        (kept.sheet.as_deref(), kept.at, kept.text.as_str()),
        (None, None, "here")
    );
    assert_eq!(
        (kept.panel.as_deref(), kept.touches.as_deref()),
        (Some("W110"), Some("somewhere on Z-4110-W110"))
    );
}

#[test]
fn replies_to_replies_and_to_what_is_no_mark_are_kept() {
    let files = package();
    let (mut document, page) = issued(&files);
    let first = mark(&mut document, page, AT, "first");
    let attached = document.add_object(dictionary! { "Type" => "Annot", "Subtype" => "FileAttachment", "Rect" => real([9.0, 9.0, 29.0, 29.0]) });
    put(&mut document, page, attached);
    let mut reply = |to: ObjectId, words: &str| {
        let note = document.add_object(dictionary! {
            "Type" => "Annot", "Subtype" => "Text", "Rect" => real([9.0, 9.0, 29.0, 29.0]),
            "Contents" => Object::string_literal(words), "IRT" => to,
        });
        put(&mut document, page, note);
        note
    };
    let second = reply(first, "second");
    reply(second, "third");
    reply(attached, "to the attachment");
    let read = read_back(&files, &mut document);
    assert_eq!(
        texts(&read),
        ["first / second / third", "to the attachment"]
    );
}

#[test]
fn a_file_that_only_its_owner_locked_is_read_wherever_its_lock_stands() {
    let files = package();
    for user in ["", "secret"] {
        let (mut document, page) = issued(&files);
        mark(&mut document, page, AT, "here");
        document.reference_table.cross_reference_type = lopdf::xref::XrefType::CrossReferenceTable;
        let lock = EncryptionVersion::V2 {
            document: &document,
            owner_password: "owner",
            user_password: user,
            key_length: 128,
            permissions: Permissions::all(),
        };
        let lock = EncryptionState::try_from(lock).unwrap();
        document.encrypt(&lock).unwrap();
        let id = document
            .trailer
            .get(b"Encrypt")
            .unwrap()
            .as_reference()
            .unwrap();
        let lock = document.objects[&id].clone();
        let mut apart = Vec::new();
        document.save_to(&mut apart).unwrap();
        let mut inside = Vec::new();
        document.trailer.set("Encrypt", lock);
        document.save_to(&mut inside).unwrap();
        for bytes in [apart, inside] {
            let read = read(&files, &[file("locked.pdf", bytes)]);
            if user.is_empty() {
                assert_eq!(codes(&read.findings), [""; 0]);
                assert_eq!(read.output.log.marks[0].text, "here");
            } else {
                assert_eq!(codes(&read.findings), ["REV-07"]);
                assert!(
                    read.findings[0].hint.contains("print it to PDF anew"),
                    "{:?}",
                    read.findings
                );
            }
        }
    }
}

#[test]
fn a_pdf_of_another_job_is_refused_whatever_its_sheets_are_numbered() {
    let files = package();
    let (mut document, page) = issued(&files);
    mark(&mut document, page, AT, "not for us");
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    let other = sample_package("cottage", "plan.dxf").documents.files;
    let read = read(&other, &[file("sheets.pdf", bytes)]);
    assert_eq!(codes(&read.findings), ["REV-07"]);
    assert_eq!(read.output.log.marks, []);
}
