//! Words that anybody may have written, made plain: without characters that act on what stands beside them, and of bounded length.

/// A longer remark is cut, letters: no sheet and no log holds it.
pub(super) const LONGEST: usize = 2000;
/// A longer name is cut, letters.
pub(super) const LONGEST_NAME: usize = 120;

/// Words with blanks joined, and whether anything was taken out.
pub(super) fn plain_words(given: &str, longest: usize) -> (String, Option<Taken>) {
    let mut taken = None;
    let mut shown = String::with_capacity(given.len().min(4 * longest));
    for c in given.chars() {
        if c.is_whitespace() || !acts(c) {
            shown.push(c);
        } else {
            taken = Some(Taken::Control);
        }
    }
    let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    match words.char_indices().nth(longest) {
        Some((end, _)) => (format!("{}…", &words[..end]), Some(Taken::Length)),
        None => (words, taken),
    }
}

/// What was taken out of words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Taken {
    /// Control characters, and those that turn the direction of reading or hide.
    Control,
    /// What went beyond the longest.
    Length,
}

impl Taken {
    /// In the words of a finding.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Control => "text with hidden control characters",
            Self::Length => "text cut at its longest",
        }
    }
}

/// True for what is not seen itself and changes how other letters are seen (Unicode: Cc, and of Cf the marks of direction, UAX 9,
/// those of no width, and tags).
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}'
                | '\u{200b}'..='\u{200f}'
                | '\u{202a}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_and_controls_are_taken_out_and_said() {
        let (words, taken) = plain_words("make it \u{202e}04\u{202c}  \u{1}wide", 100);
        assert_eq!(
            (words.as_str(), taken),
            ("make it 04 wide", Some(Taken::Control))
        );
        assert_eq!(
            plain_words("wide\n and high", 100),
            ("wide and high".to_owned(), None)
        );
        let (words, taken) = plain_words(&"é".repeat(300), 100);
        assert_eq!((words.chars().count(), taken), (101, Some(Taken::Length)));
    }
}
