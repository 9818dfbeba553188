//! From a dimension that a reviewer edited to what `job.toml` would have to say: proposed, never taken.

use super::proposals_layout::joint as joint_moved;
use super::proposals_openings::jamb as jamb_moved;
use super::touching::About;
use crate::review::issued::{Issued, IssuedPanel};
use crate::units::{Length, parse_length};
use serde_json::Value;

/// A printed size is rounded to 1/16 in: it means what lies within half of that, inches.
pub(super) const PRINTED: f64 = 1.0 / 32.0 + 1e-6;

/// What an edited dimension may be of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Size {
    Width,
    Height,
    Sill,
    Head,
}

impl Size {
    const ALL: [Self; 4] = [Self::Width, Self::Height, Self::Sill, Self::Head];

    const fn key(self) -> &'static str {
        match self {
            Self::Width => "rough_width",
            Self::Height => "rough_height",
            Self::Sill => "sill",
            Self::Head => "head",
        }
    }

    /// Of an opening's rough rectangle, inches from the panel's lower left corner.
    fn of(self, rough: [f64; 4]) -> f64 {
        match self {
            Self::Width => rough[2] - rough[0],
            Self::Height => rough[3] - rough[1],
            Self::Sill => rough[1],
            Self::Head => rough[3],
        }
    }
}

/// The proposal of an edit, in the form of `job.toml`; `None` when the sheet does not tell of what the dimension is.
pub(super) fn proposal(issued: &Issued, about: &About, edit: &(String, String)) -> Option<String> {
    if let ([wide, high], [wider, higher]) = (&parts(&edit.0)[..], &parts(&edit.1)[..])
        && last_length(wide) != last_length(wider)
        && last_length(high) != last_length(higher)
    {
        // Both sizes of an opening: each for itself, in one table.
        let one = |text: String| proposal(issued, about, &(edit.0.clone(), text));
        let width = one(format!("{wider} × {high}"))?;
        let height = one(format!("{wide} × {higher}"))?;
        let (table, _) = width.split_once("\n# or").unwrap_or((&width, ""));
        let id = table.lines().nth(1)?;
        let (_, size) = height.split_once(&format!("[[opening]]\n{id}\n"))?;
        return Some(format!("{}\n{size}", table.trim_end()));
    }
    let (was, now, part) = edited(&edit.0, &edit.1)?;
    // A unit's size is its maker's: the rough opening follows it.
    if let (true, Some(part), Some(id)) = (edit.0.starts_with("UNIT"), part, &about.opening) {
        let key = ["width", "height"].get(part)?;
        return Some(format!(
            "[[opening]]\nid = \"{id}\"\n{key} = {}\n",
            quoted(now)
        ));
    }
    let openings = openings(issued, about);
    let mut fits: Vec<(&str, Size)> = Vec::new();
    for (id, rough) in &openings {
        for size in Size::ALL {
            let is_it = (size.of(*rough) - was.to_inches()).abs() <= PRINTED;
            if is_it && !fits.contains(&(id, size)) {
                fits.push((id, size));
            }
        }
    }
    // Of "width × height" the part says which.
    if let Some(part) = part {
        let size = [Size::Width, Size::Height].get(part)?;
        fits.retain(|(_, it)| it == size);
    }
    match about.string.as_deref() {
        Some("openings") if about.opening.is_some() => fits.retain(|(_, it)| *it == Size::Width),
        // A piece between openings, a module, all of the wall.
        Some(_) => fits.clear(),
        None => {}
    }
    let one_opening = fits
        .first()
        .is_some_and(|(id, _)| fits.iter().all(|(it, _)| it == id));
    if let (true, Some((id, size))) = (one_opening, fits.first()) {
        let mut text = format!(
            "[[opening]]\nid = \"{id}\"\n{} = {}\n",
            size.key(),
            quoted(now)
        );
        for (_, other) in fits.iter().skip(1) {
            text.push_str(&format!(
                "# or {} = {}: it measures the same\n",
                other.key(),
                quoted(now)
            ));
        }
        return Some(text);
    }
    if !fits.is_empty() {
        return None;
    }
    let string = about.string.as_deref();
    let jamb = Some(()).filter(|()| string.is_none_or(|it| it == "openings"));
    let jamb = jamb.and_then(|()| jamb_moved(issued, about, was, now));
    let panel = about.panel.as_deref().and_then(|mark| issued.panel(mark));
    let is_height =
        |it: &&IssuedPanel| it.kind == "wall" && (it.height - was.to_inches()).abs() <= PRINTED;
    let is_of_wall = |it: &&IssuedPanel| about.wall.as_deref() == Some(it.wall.as_str());
    let panel = match string {
        Some("heights") => (issued.panels.iter()).find(|it| is_of_wall(it) && is_height(it)),
        Some(_) => None,
        None => panel.filter(is_height),
    };
    let height = panel.map(|panel| {
        format!(
            "[[wall.only]]\nid = \"{}\"\nheight = {}\n",
            panel.wall,
            quoted(now)
        )
    });
    // What stands first is meant first; what else has that size follows as a remark.
    let joint = Some(()).filter(|()| string.is_none_or(|it| it == "modules"));
    let joint = joint.and_then(|()| joint_moved(issued, about, was, now));
    let all = [height, joint, jamb];
    let mut all = all.into_iter().flatten();
    let mut text = all.next()?;
    for line in all.collect::<String>().lines() {
        text.push_str("# or: ");
        text.push_str(line.trim_start_matches("# "));
        text.push('\n');
    }
    Some(text)
}

/// Openings that a mark may be about, each with its rough rectangle.
fn openings<'a>(issued: &'a Issued, about: &About) -> Vec<(&'a str, [f64; 4])> {
    let near = |panel: &&IssuedPanel| match (&about.panel, &about.opening) {
        (Some(mark), _) => panel.mark == *mark,
        (None, _) => true,
    };
    let all = |is_near: bool| {
        issued
            .panels
            .iter()
            .filter(move |panel| !is_near || near(panel))
            .flat_map(|panel| panel.data["openings"].as_array().into_iter().flatten())
            .filter_map(rough)
    };
    match &about.opening {
        Some(id) => all(false).filter(|(it, _)| it == id).collect(),
        None => all(true).collect(),
    }
}

fn rough(opening: &Value) -> Option<(&str, [f64; 4])> {
    let side = |i: usize| opening["rough"][i].as_f64();
    Some((
        opening["id"].as_str()?,
        [side(0)?, side(1)?, side(2)?, side(3)?],
    ))
}

/// The sizes of "a × b", each with the words beside it.
fn parts(text: &str) -> Vec<String> {
    let text = text.replace(" x ", "×");
    text.split('×').map(|it| it.trim().to_owned()).collect()
}

/// What a dimension was, what it should be, and which part of "a × b" it is.
fn edited(was: &str, now: &str) -> Option<(Length, Length, Option<usize>)> {
    let (old, new) = (parts(was), parts(now));
    let differs: Vec<usize> = (0..old.len().min(new.len()))
        .filter(|i| last_length(&old[*i]) != last_length(&new[*i]))
        .collect();
    let [part] = differs[..] else { return None };
    if old.len() != new.len() {
        return None;
    }
    let (was, now) = (last_length(&old[part])?, last_length(&new[part])?);
    let is_pair = old.len() == 2 && !old[0].is_empty();
    (now > Length::ZERO && was != now).then_some((was, now, is_pair.then_some(part)))
}

/// The length a text ends with, whatever word stands before it, and "wide", "high" or a name in capitals after it.
pub(super) fn last_length(text: &str) -> Option<Length> {
    let mut text = text
        .trim_end_matches("wide")
        .trim_end_matches("high")
        .trim();
    let is_name = |word: &str| !word.is_empty() && word.chars().all(|c| c.is_ascii_uppercase());
    while let Some((before, word)) = text.rsplit_once(' ')
        && is_name(word)
    {
        text = before;
    }
    let starts = std::iter::once(0).chain(text.match_indices(' ').map(|(i, _)| i + 1));
    starts
        .filter_map(|start| text.get(start..))
        .find_map(|tail| parse_length(tail).ok())
}

/// A length as a TOML text.
pub(super) fn quoted(length: Length) -> String {
    format!("\"{}\"", length.to_string().replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn issued() -> Issued {
        Issued {
            panels: vec![IssuedPanel {
                mark: "W104".to_owned(),
                wall: "X3".to_owned(),
                kind: "wall".to_owned(),
                height: 108.0,
                data: json!({"openings": [{"id": "O3", "rough": [29.75, 45.5, 66.25, 82.0]},
                    {"id": "O4", "rough": [70.0, 0.0, 82.0, 80.0]}]}),
                ..IssuedPanel::default()
            }],
            ..Issued::default()
        }
    }

    fn proposed(opening: Option<&str>, was: &str, now: &str) -> Option<String> {
        let about = About {
            panel: Some("W104".to_owned()),
            opening: opening.map(str::to_owned),
            ..About::default()
        };
        proposal(&issued(), &about, &(was.to_owned(), now.to_owned()))
    }

    #[test]
    fn an_edited_size_names_its_opening_and_key() {
        let text = proposed(None, "80\"", "84\"").unwrap();
        assert!(
            text.starts_with("[[opening]]\nid = \"O4\"\nrough_height = \"84\\\"\""),
            "{text}"
        );
        assert!(text.contains("# or head"), "{text}");
        let text = proposed(None, "O3 36 1/2 × 36 1/2", "O3 36 1/2 × 40").unwrap();
        assert!(
            text.contains("id = \"O3\"\nrough_height = \"40\\\"\"\n"),
            "{text}"
        );
        assert!(!text.contains("# or"), "{text}");
        let (was, now) = ("36 1/2 wide × 36 1/2 high", "42 wide × 36 1/2 high");
        let text = proposed(None, was, now).unwrap();
        assert!(
            text.contains("id = \"O3\"\nrough_width = \"42\\\"\"\n"),
            "{text}"
        );
        let text = proposed(Some("O3"), "UNIT 3'-0\" × 3'-0\"", "UNIT 3'-0\" × 3'-6\"").unwrap();
        assert!(text.contains("\nheight = "), "{text}");
        let both = "width = \"40\\\"\"\nheight = \"50\\\"\"\n";
        let text = proposed(Some("O3"), "UNIT 3'-0\" × 4'-0\"", "40 × 50").unwrap();
        assert_eq!(text, format!("[[opening]]\nid = \"O3\"\n{both}"));
        let text = proposed(None, "36 1/2 wide × 36 1/2 high", "40 x 50").unwrap();
        let rough = both
            .replace("width", "rough_width")
            .replace("height", "rough_height");
        assert_eq!(text, format!("[[opening]]\nid = \"O3\"\n{rough}"));
        let text = proposed(None, "36 1/2 wide × 36 1/2 high", "36 1/2 × 48").unwrap();
        assert!(text.ends_with("\nrough_height = \"48\\\"\"\n"), "{text}");
        let text = proposed(Some("O3"), "45 1/2", "40").unwrap();
        assert!(text.contains("sill = \"40\\\"\""), "{text}");
        let text = proposed(None, "108", "9'-6\"").unwrap();
        assert!(
            text.starts_with("[[wall.only]]\nid = \"X3\"\nheight = "),
            "{text}"
        );
    }

    /// Two walls alike: whatever the number measures elsewhere, it is of what it stands under.
    #[test]
    fn a_number_of_a_string_is_about_what_it_stands_under() {
        let mut issued = issued();
        let twin = IssuedPanel {
            mark: "W105".to_owned(),
            wall: "X4".to_owned(),
            data: json!({"openings": [{"id": "O5", "rough": [29.75, 45.5, 66.25, 82.0]}]}),
            ..issued.panels[0].clone()
        };
        issued.panels.push(twin);
        let proposed = |string: &str, opening: Option<&str>, was: &str, now: &str| {
            let about = About {
                wall: Some("X4".to_owned()),
                opening: opening.map(str::to_owned),
                string: Some(string.to_owned()),
                ..About::default()
            };
            proposal(&issued, &about, &(was.to_owned(), now.to_owned()))
        };
        let width = proposed("openings", Some("O5"), "3'-0 1/2\"", "3'-6\"");
        let expected = "[[opening]]\nid = \"O5\"\nrough_width = \"42\\\"\"\n";
        assert_eq!(width.as_deref(), Some(expected));
        assert_eq!(proposed("openings", None, "3'-0 1/2\"", "3'-6\""), None);
        let height = proposed("heights", None, "9'-0\" PANEL", "9'-6\" PANEL").unwrap();
        assert!(
            height.starts_with("[[wall.only]]\nid = \"X4\"\n"),
            "{height}"
        );
    }

    #[test]
    fn what_is_no_size_of_anything_proposes_nothing() {
        assert_eq!(proposed(None, "17", "18"), None);
        assert_eq!(proposed(None, "80", "80"), None);
        assert_eq!(proposed(None, "SPLINE", "LUMBER"), None);
    }
}
