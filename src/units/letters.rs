//! Letters that count: `A`, `B`… `Y`, `AA`.

/// Without I, O, Q, S, X and Z, which are read as digits or other letters (ASME Y14.35, from memory).
const LETTERS: &[u8; 20] = b"ABCDEFGHJKLMNPRTUVWY";

/// The letters of a count: nothing for 0, `A` for 1, `AA` after `Y`.
#[must_use]
pub fn letters(count: u32) -> String {
    let mut rest = count;
    let mut spelt = Vec::new();
    while rest > 0 {
        rest -= 1;
        spelt.push(char::from(LETTERS[(rest % 20) as usize]));
        rest /= 20;
    }
    spelt.iter().rev().collect()
}

/// The count that letters stand for; `None` of others.
#[must_use]
pub fn count_of_letters(text: &str) -> Option<u32> {
    text.bytes().try_fold(0_u32, |count, byte| {
        let digit = LETTERS.iter().position(|it| *it == byte)?;
        count
            .checked_mul(20)?
            .checked_add(u32::try_from(digit).ok()? + 1)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_follow_each_other_without_those_that_look_like_others() {
        let all: Vec<String> = (0..=21).map(letters).collect();
        assert_eq!(all.join(" "), " A B C D E F G H J K L M N P R T U V W Y AA");
        assert_eq!([letters(40), letters(41)], ["AY", "BA"]);
    }

    #[test]
    fn what_is_spelt_is_read_back_and_other_letters_are_not() {
        assert!((0..1000).all(|it| count_of_letters(&letters(it)) == Some(it)));
        assert_eq!(["I", "a", "1"].map(count_of_letters), [None; 3]);
    }
}
