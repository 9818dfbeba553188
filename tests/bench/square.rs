//! The building that benches of many panels are made from.

use panelwright::package::InputFile;
use std::fmt::Write as _;

/// A square of so many feet, a window every sixteen.
pub(crate) fn sketch(feet: u32) -> InputFile {
    let mut text = format!(
        "name = \"Long\"\nthickness = \"6 1/2\\\"\"\nrun = [\"south: E {feet}'\", \"east: N {feet}'\", \"north: W {feet}'\", \"west: close\"]\n"
    );
    for wall in ["south", "east", "north", "west"] {
        for from in (6..feet - 8).step_by(16) {
            // Writing to a String cannot fail.
            let _ = write!(
                text,
                "\n[[opening]]\nwall = \"{wall}\"\nkind = \"window\"\nfrom = \"{from}'\"\nsize = \"3040\"\n"
            );
        }
    }
    InputFile {
        name: "sketch.toml".to_owned(),
        bytes: text.into_bytes(),
    }
}
