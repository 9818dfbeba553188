//! What a text says, without its formatting.

/// TEXT and ATTRIB: `%%` codes become what they print.
pub(super) fn plain_text(raw: &str) -> String {
    percent_codes(raw).trim().to_owned()
}

/// `%%d` degree, `%%p` plus-minus, `%%c` diameter, `%%%` per cent, `%%nnn` a letter by number; `%%u`, `%%o`, `%%k` switch lines.
fn percent_codes(raw: &str) -> String {
    let mut out = String::with_capacity(raw.len());
    let mut rest = raw;
    while let Some(at) = rest.find("%%") {
        let (before, tail) = rest.split_at(at);
        out.push_str(before);
        let after = tail.get(2..).unwrap_or_default();
        let mut letters = after.chars();
        match letters.next() {
            Some('d' | 'D') => out.push('°'),
            Some('p' | 'P') => out.push('±'),
            Some('c' | 'C') => out.push('⌀'),
            Some('%') => out.push('%'),
            Some('u' | 'U' | 'o' | 'O' | 'k' | 'K') => {}
            Some('0'..='9') => {
                let digits = after
                    .get(..3)
                    .filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()));
                let letter = digits
                    .and_then(|digits| digits.parse().ok())
                    .and_then(char::from_u32);
                if let Some(letter) = letter {
                    out.push(letter);
                    rest = after.get(3..).unwrap_or_default();
                    continue;
                }
                out.push_str("%%");
                rest = after;
                continue;
            }
            _ => {
                out.push_str("%%");
                rest = after;
                continue;
            }
        }
        rest = letters.as_str();
    }
    out.push_str(rest);
    out
}

/// MTEXT: one entry for each line, formatting removed, empty lines kept between others.
pub(super) fn plain_lines(raw: &str) -> Vec<String> {
    let mut out = String::with_capacity(raw.len());
    let mut rest = raw;
    loop {
        let mut letters = rest.chars();
        let Some(letter) = letters.next() else { break };
        rest = letters.as_str();
        match letter {
            '\\' => rest = backslash(rest, &mut out),
            '{' | '}' => {}
            other => out.push(other),
        }
    }
    let mut lines: Vec<String> = percent_codes(&out)
        .split('\n')
        .map(|line| line.replace(['\t', '\u{a0}', '\r'], " ").trim().to_owned())
        .collect();
    while lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    lines
}

/// What follows a backslash: a line break, a letter, or a format up to its semicolon.
fn backslash<'a>(rest: &'a str, out: &mut String) -> &'a str {
    let mut letters = rest.chars();
    let Some(letter) = letters.next() else {
        return rest;
    };
    let after = letters.as_str();
    match letter {
        'P' | 'N' | 'X' => out.push('\n'),
        '~' => out.push('\u{a0}'),
        '\\' | '{' | '}' => out.push(letter),
        'L' | 'l' | 'O' | 'o' | 'K' | 'k' => {}
        'S' => {
            let (stack, tail) = after.split_once(';').unwrap_or((after, ""));
            // A fraction stands after the number before it: 6 then 1/2.
            if out.ends_with(|before: char| before.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(&stacked(stack));
            return tail;
        }
        'A' | 'C' | 'c' | 'F' | 'f' | 'H' | 'p' | 'Q' | 'T' | 'W' => {
            return after.split_once(';').map_or("", |(_, tail)| tail);
        }
        _ => {
            out.push('\\');
            out.push(letter);
        }
    }
    after
}

/// `1/2`, `1#2` and `1^2` stand over each other.
fn stacked(stack: &str) -> String {
    let mut out = String::new();
    let mut letters = stack.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '#' => out.push('/'),
            '^' => {
                let tail = letters.as_str().trim();
                if !tail.is_empty() && !out.trim().is_empty() {
                    out.push('/');
                }
            }
            '\\' => out.extend(letters.next()),
            other => out.push(other),
        }
    }
    out.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(raw: &str, expected: &[&str]) {
        assert_eq!(plain_lines(raw), expected, "{raw}");
    }

    #[test]
    fn formatting_goes_and_lines_part() {
        check("plain", &["plain"]);
        check(
            "{\\fArial|b0|i0;KITCHEN}\\P12'-0\" x 10'",
            &["KITCHEN", "12'-0\" x 10'"],
        );
        check("\\A1;6\\H0.7x;\\S1/2;\\H1.4x;\"", &["6 1/2\""]);
        check("\\C1;\\LUP\\l \\\\ \\{x\\}", &["UP \\ {x}"]);
        check("a\nb", &["a", "b"]);
        check("\\pxqc;TITLE\\P", &["TITLE"]);
        check("3\\S3#4;", &["3 3/4"]);
        check("\\S+0.1^-0.2;", &["+0.1/-0.2"]);
    }

    #[test]
    fn percent_codes_print_their_letters() {
        assert_eq!(
            plain_text("45%%d %%p2 %%c3 %%uPLAN%%u 50%%% %%065"),
            "45° ±2 ⌀3 PLAN 50% A"
        );
        assert_eq!(plain_text("100%% %%x"), "100%% %%x");
    }
}
