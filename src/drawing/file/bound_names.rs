//! Names of layers and blocks that were bound from another drawing.

/// A layer or block name without the name of the drawing it was bound from: `site$0$A-WALL`, `site|A-WALL`.
pub(in crate::drawing) fn without_reference(name: &str) -> &str {
    let name = name.rsplit_once('|').map_or(name, |(_, own)| own);
    let mut rest = name;
    while let Some((before, after)) = rest.split_once('$') {
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        match after.get(digits..).and_then(|tail| tail.strip_prefix('$')) {
            Some(own) if digits > 0 && !own.is_empty() && !before.is_empty() => rest = own,
            _ => break,
        }
    }
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_the_drawing_they_were_bound_from() {
        for (name, own) in [
            ("xref-1$0$A-WALL", "A-WALL"),
            ("a$0$b$1$A-WALL", "A-WALL"),
            ("site|A-WALL", "A-WALL"),
            ("A-WALL", "A-WALL"),
            ("COST$", "COST$"),
            ("$0$A", "$0$A"),
            ("a$x$B", "a$x$B"),
        ] {
            assert_eq!(without_reference(name), own, "{name}");
        }
    }
}
