//! A number of a string on an elevation is of the piece in which it stands, though others of its wall are as long.

use crate::marks::{Files, file, read};
use panelwright::package::{InputFile, MakeOptions, make};

/// A wall with four windows alike, as far from each other as from its corners, in panels of two widths.
const ALIKE: &str = r#"
name = "Alike"
thickness = "6 1/2\""
run = ["south: E 40'", "east: N 24'", "north: W 40'", "west: close"]
"#;

fn package() -> Files {
    let mut text = ALIKE.to_owned();
    for from in ["4'", "12'-8\"", "21'-4\"", "33'"] {
        text.push_str(&format!(
            "[[opening]]\nwall = \"south\"\nkind = \"window\"\nfrom = \"{}\"\nsize = \"3040\"\n",
            from.replace('"', "\\\"")
        ));
    }
    let sketch = InputFile {
        name: "alike.toml".to_owned(),
        bytes: text.into_bytes(),
    };
    let made = make(&[sketch], &MakeOptions::default(), &mut |_| {}).unwrap();
    made.documents.files
}

/// The lines of the numbers of a string on the first elevation, with what each says, from left to right.
fn numbers(sheet: &str, string: &str) -> Vec<(usize, String)> {
    let mut found: Vec<(f64, usize, String)> = Vec::new();
    let mut is_in = false;
    for (number, line) in sheet.lines().enumerate() {
        if line.starts_with("<g ") {
            is_in = line.contains(&format!("id=\"{string}\""));
        }
        is_in &= line != "</g>";
        if let Some((head, words)) = line.split_once('>').filter(|_| is_in)
            && let Some((words, _)) = words.split_once("</text>")
            && let Some((_, x)) = head.split_once(" x=\"")
        {
            let x = x.split_once('"').unwrap().0.parse().unwrap();
            found.push((x, number, words.to_owned()));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|it| (it.1, it.2)).collect()
}

/// What is proposed when one number of a sheet is made another.
fn proposed(files: &Files, name: &str, line: usize, now: &str) -> String {
    let sheet = std::str::from_utf8(&files[name]).unwrap();
    let edited = sheet.lines().enumerate().map(|(number, text)| {
        if number != line {
            return format!("{text}\n");
        }
        let (head, rest) = text.split_once('>').unwrap();
        let (_, tail) = rest.split_once('<').unwrap();
        format!("{head}>{now}<{tail}\n")
    });
    let edited: String = edited.collect();
    let read = read(files, &[file("marked.svg", edited)]).output;
    let [mark] = &read.log.marks[..] else {
        panic!("{:?}", read.log.marks);
    };
    mark.proposal.clone().unwrap_or_default()
}

/// The elevation of the first wall.
fn elevation(files: &Files) -> (String, String) {
    let (name, bytes) = files
        .iter()
        .find(|(name, _)| name.starts_with("sheets/Z-201"))
        .unwrap();
    (name.clone(), String::from_utf8(bytes.clone()).unwrap())
}

#[test]
fn of_windows_and_piers_alike_the_one_is_meant_whose_number_it_is() {
    let files = package();
    let (name, sheet) = elevation(&files);
    let all = numbers(&sheet, "string-openings-X1");
    assert_eq!(all.len(), 9, "{all:?}");
    let width = all[1].1.clone();
    for (n, (line, words)) in all.iter().enumerate() {
        let text = proposed(&files, &name, *line, "5'-0\"");
        let opening = |id: usize| format!("id = \"O{id}\"\n");
        if n % 2 == 1 {
            assert_eq!(*words, width);
            assert!(text.contains("rough_width = \"60\\\"\""), "{n}: {text}");
            assert!(text.contains(&opening(n / 2 + 1)), "{n}: {text}");
        } else {
            let moved = (n / 2 + 1).min(4);
            assert!(text.contains("is = \"moved\""), "{n} {words}: {text}");
            assert!(text.contains(&opening(moved)), "{n} {words}: {text}");
        }
    }
    // Two piers are as long.
    assert_eq!(all[2].1, all[4].1);
}

#[test]
fn of_panels_as_wide_the_one_is_meant_over_whose_width_the_pencil_went() {
    let files = package();
    let (name, sheet) = elevation(&files);
    let all = numbers(&sheet, "string-modules-X1");
    let (_, words) = &all[0];
    let alike: Vec<usize> = (0..all.len() - 1).filter(|n| all[*n].1 == *words).collect();
    assert!(alike.len() > 2, "{all:?}");
    let mut joints = Vec::new();
    for n in alike {
        let text = proposed(&files, &name, all[n].0, "3'-6\"");
        assert!(text.starts_with("[[layout]]\nid = \"X1\""), "{n}: {text}");
        joints.push(text.lines().nth(2).unwrap().to_owned());
        // The same by a line through the number and another beside it.
        let line = sheet.lines().nth(all[n].0).unwrap();
        let side = |name: &str| -> f64 {
            let (_, at) = line.split_once(&format!(" {name}=\"")).unwrap();
            at.split_once('"').unwrap().0.parse().unwrap()
        };
        let (x, y) = (side("x"), side("y"));
        let struck = format!(
            "<g><path d=\"M{} {}L{} {}\" fill=\"none\" stroke=\"#d00\"/><text x=\"{}\" y=\"{}\" font-size=\"4\">3'-6\"</text></g>",
            x - 6.0,
            y - 1.0,
            x + 6.0,
            y - 1.2,
            x - 4.0,
            y - 4.0
        );
        let read = read(
            &files,
            &[file("struck.svg", crate::marks::with(&sheet, &struck))],
        );
        let marks = &read.output.log.marks;
        assert_eq!(marks.len(), 1);
        assert_eq!(marks[0].proposal.as_deref(), Some(text.as_str()), "{n}");
    }
    let n_joints = joints.len();
    joints.sort();
    joints.dedup();
    assert_eq!(joints.len(), n_joints, "{joints:?}");
}

#[test]
fn a_mark_on_the_drawing_of_a_wall_is_about_the_panel_and_the_opening_in_which_it_stands() {
    let files = package();
    let (_, sheet) = elevation(&files);
    let place = |string: &str, n: usize| -> [f64; 2] {
        let line = numbers(&sheet, string)[n].0;
        let line = sheet.lines().nth(line).unwrap();
        ["x", "y"].map(|name| {
            let (_, at) = line.split_once(&format!(" {name}=\"")).unwrap();
            at.split_once('"').unwrap().0.parse().unwrap()
        })
    };
    let (_, scale) = sheet.split_once("data-scale=\"1:").unwrap();
    let scale: f64 = scale.split_once('"').unwrap().0.parse().unwrap();
    // The deck is 15 mm above the numbers of the first string.
    let [_, numbers_at] = place("string-openings-X1", 0);
    let marked = |x: f64, inches: f64| {
        let y = numbers_at - 15.0 - inches * 25.4 / scale;
        let ring = format!(
            "<path d=\"M{} {y}l2 2l2 -2l-2 -2z\" fill=\"none\" stroke=\"#d00\"/>",
            x - 2.0
        );
        let text = crate::marks::with(&sheet, &ring);
        let read = read(&files, &[file("ring.svg", text)]).output;
        let mark = &read.log.marks[0];
        (mark.panel.clone(), mark.opening.clone(), mark.wall.clone())
    };
    let some = |name: &str| Some(name.to_owned());
    let [x, _] = place("string-modules-X1", 1);
    assert_eq!(marked(x, 10.0), (some("W102"), None, some("X1")));
    for (n, id) in [(1, "O1"), (3, "O2"), (7, "O4")] {
        let [x, _] = place("string-openings-X1", n);
        // In the window, and below its sill.
        assert_eq!(marked(x, 60.0).1, some(id));
        assert_eq!(marked(x, 10.0).1, None, "{id}");
    }
}
