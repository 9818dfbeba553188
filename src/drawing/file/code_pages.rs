//! The code pages of DOS, which no crate in use has: the upper half of each, and Johab, the Korean page that is put together from
//! the parts of its syllables.
//!
//! Source: the mapping tables of the Unicode consortium (vendors/micsft/pc); the codecs of Python say the same, which
//! `tests/outside/letters.py` holds them against. What a page leaves undefined is U+FFFD.

/// The upper half of a page: the letters of the bytes 128 to 255.
pub(super) fn upper_half(number: &str) -> Option<&'static str> {
    PAGES.iter().find(|it| it.0 == number).map(|it| it.1)
}

/// The letters of the bytes of a page.
pub(super) fn decode(upper_half: &str, bytes: &[u8]) -> String {
    let upper: Vec<char> = upper_half.chars().collect();
    let letter = |byte: &u8| match byte.checked_sub(128) {
        None => char::from(*byte),
        Some(at) => upper.get(usize::from(at)).copied().unwrap_or('\u{fffd}'),
    };
    bytes.iter().map(letter).collect()
}

/// Johab: five bits each for the first consonant, the vowel and the last consonant of a syllable, in the order in which Unicode
/// has them.
pub(super) fn decode_johab(bytes: &[u8]) -> String {
    let mut out = String::new();
    let mut rest = bytes;
    while let [first, tail @ ..] = rest {
        rest = tail;
        if first.is_ascii() {
            out.push(char::from(*first));
            continue;
        }
        let [second, tail @ ..] = rest else {
            out.push('\u{fffd}');
            break;
        };
        rest = tail;
        let pair = u32::from(u16::from_be_bytes([*first, *second]));
        out.push(syllable(pair).unwrap_or('\u{fffd}'));
    }
    out
}

fn syllable(pair: u32) -> Option<char> {
    let parts = [pair >> 10 & 31, pair >> 5 & 31, pair & 31];
    let lead = parts[0].checked_sub(2).filter(|it| *it < 19)?;
    let vowel = VOWELS.iter().position(|it| *it == parts[1])?;
    let tail = match parts[2] {
        it @ 1..=17 => it - 1,
        it @ 19..=29 => it - 2,
        _ => return None,
    };
    char::from_u32(0xAC00 + (lead * 21 + u32::try_from(vowel).ok()?) * 28 + tail)
}

/// The codes of the vowels, in the order of Unicode.
const VOWELS: [u32; 21] = [
    3, 4, 5, 6, 7, 10, 11, 12, 13, 14, 15, 18, 19, 20, 21, 22, 23, 26, 27, 28, 29,
];

const PAGES: [(&str, &str); 14] = [
    // United States.
    (
        "437",
        "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒ\
         áíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Greek.
    (
        "737",
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθ\
         ικλμνξοπρσςτυφχψ░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         ωάέήϊίόύϋώΆΈΉΊΌΎΏ±≥≤ΪΫ÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Baltic.
    (
        "775",
        "ĆüéāäģåćłēŖŗīŹÄÅÉæÆōöĢ¢ŚśÖÜø£Ø×¤\
         ĀĪóŻżź”¦©®¬½¼Ł«»░▒▓│┤ĄČĘĖ╣║╗╝ĮŠ┐\
         └┴┬├─┼ŲŪ╚╔╩╦╠═╬Žąčęėįšųūž┘┌█▄▌▐▀\
         ÓßŌŃõÕµńĶķĻļņĒŅ’\u{ad}±“¾¶§÷„°∙·¹³²■\u{a0}",
    ),
    // Western Europe.
    (
        "850",
        "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø×ƒ\
         áíóúñÑªº¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐\
         └┴┬├─┼ãÃ╚╔╩╦╠═╬¤ðÐÊËÈıÍÎÏ┘┌█▄¦Ì▀\
         ÓßÔÒõÕµþÞÚÛÙýÝ¯´\u{ad}±‗¾¶§÷¸°¨·¹³²■\u{a0}",
    ),
    // Central Europe.
    (
        "852",
        "ÇüéâäůćçłëŐőîŹÄĆÉĹĺôöĽľŚśÖÜŤťŁ×č\
         áíóúĄąŽžĘę¬źČş«»░▒▓│┤ÁÂĚŞ╣║╗╝Żż┐\
         └┴┬├─┼Ăă╚╔╩╦╠═╬¤đĐĎËďŇÍÎě┘┌█▄ŢŮ▀\
         ÓßÔŃńňŠšŔÚŕŰýÝţ´\u{ad}˝˛ˇ˘§÷¸°¨˙űŘř■\u{a0}",
    ),
    // Cyrillic.
    (
        "855",
        "ђЂѓЃёЁєЄѕЅіІїЇјЈљЉњЊћЋќЌўЎџЏюЮъЪ\
         аАбБцЦдДеЕфФгГ«»░▒▓│┤хХиИ╣║╗╝йЙ┐\
         └┴┬├─┼кК╚╔╩╦╠═╬¤лЛмМнНоОп┘┌█▄Пя▀\
         ЯрРсСтТуУжЖвВьЬ№\u{ad}ыЫзЗшШэЭщЩчЧ§■\u{a0}",
    ),
    // Turkish.
    (
        "857",
        "ÇüéâäàåçêëèïîıÄÅÉæÆôöòûùİÖÜø£ØŞş\
         áíóúñÑĞğ¿®¬½¼¡«»░▒▓│┤ÁÂÀ©╣║╗╝¢¥┐\
         └┴┬├─┼ãÃ╚╔╩╦╠═╬¤ºªÊËÈ\u{fffd}ÍÎÏ┘┌█▄¦Ì▀\
         ÓßÔÒõÕµ\u{fffd}×ÚÛÙìÿ¯´\u{ad}±\u{fffd}¾¶§÷¸°¨·¹³²■\u{a0}",
    ),
    // Portuguese.
    (
        "860",
        "ÇüéâãàÁçêÊèÍÔìÃÂÉÀÈôõòÚùÌÕÜ¢£Ù₧Ó\
         áíóúñÑªº¿Ò¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Icelandic.
    (
        "861",
        "ÇüéâäàåçêëèÐðÞÄÅÉæÆôöþûÝýÖÜø£Ø₧ƒ\
         áíóúÁÍÓÚ¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Hebrew.
    (
        "862",
        "\u{5d0}\u{5d1}\u{5d2}\u{5d3}\u{5d4}\u{5d5}\u{5d6}\u{5d7}\u{5d8}\u{5d9}\u{5da}\u{5db}\u{5dc}\u{5dd}\u{5de}\u{5df}\u{5e0}\u{5e1}\u{5e2}\u{5e3}\u{5e4}\u{5e5}\u{5e6}\u{5e7}\u{5e8}\u{5e9}\u{5ea}¢£¥₧ƒ\
         áíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Canadian French.
    (
        "863",
        "ÇüéâÂà¶çêëèïî‗À§ÉÈÊôËÏûù¤ÔÜ¢£ÙÛƒ\
         ¦´óú¨¸³¯Î⌐¬½¼¾«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Arabic.
    (
        "864",
        "°·∙√▒─│┼┤┬├┴┐┌└┘β∞φ±½¼≈«»\u{fef7}\u{fef8}\u{fffd}\u{fffd}\u{fefb}\u{fefc}\u{fffd}\
         \u{a0}\u{ad}\u{fe82}£¤\u{fe84}\u{fffd}\u{fffd}\u{fe8e}\u{fe8f}\u{fe95}\u{fe99}\u{60c}\u{fe9d}\u{fea1}\u{fea5}\u{660}\u{661}\u{662}\u{663}\u{664}\u{665}\u{666}\u{667}\u{668}\u{669}\u{fed1}\u{61b}\u{feb1}\u{feb5}\u{feb9}\u{61f}\
         ¢\u{fe80}\u{fe81}\u{fe83}\u{fe85}\u{feca}\u{fe8b}\u{fe8d}\u{fe91}\u{fe93}\u{fe97}\u{fe9b}\u{fe9f}\u{fea3}\u{fea7}\u{fea9}\u{feab}\u{fead}\u{feaf}\u{feb3}\u{feb7}\u{febb}\u{febf}\u{fec1}\u{fec5}\u{fecb}\u{fecf}¦¬÷×\u{fec9}\
         \u{640}\u{fed3}\u{fed7}\u{fedb}\u{fedf}\u{fee3}\u{fee7}\u{feeb}\u{feed}\u{feef}\u{fef3}\u{febd}\u{fecc}\u{fece}\u{fecd}\u{fee1}\u{fe7d}\u{651}\u{fee5}\u{fee9}\u{feec}\u{fef0}\u{fef2}\u{fed0}\u{fed5}\u{fef5}\u{fef6}\u{fedd}\u{fed9}\u{fef1}■\u{fffd}",
    ),
    // Nordic.
    (
        "865",
        "ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜø£Ø₧ƒ\
         áíóúñÑªº¿⌐¬½¼¡«¤░▒▓│┤╡╢╖╕╣║╗╝╜╛┐\
         └┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀\
         αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u{a0}",
    ),
    // Greek, the modern one.
    (
        "869",
        "\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}Ά\u{fffd}·¬¦‘’Έ―ΉΊΪΌ\u{fffd}\u{fffd}ΎΫ©Ώ²³ά£έήί\
         ϊΐόύΑΒΓΔΕΖΗ½ΘΙ«»░▒▓│┤ΚΛΜΝ╣║╗╝ΞΟ┐\
         └┴┬├─┼ΠΡ╚╔╩╦╠═╬ΣΤΥΦΧΨΩαβγ┘┌█▄δε▀\
         ζηθικλμνξοπρσςτ΄\u{ad}±υφχ§ψ΅°¨ωϋΰώ■\u{a0}",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_has_a_letter_for_each_byte_and_johab_its_syllables() {
        for (number, upper) in PAGES {
            assert_eq!(upper.chars().count(), 128, "{number}");
        }
        assert_eq!(decode(upper_half("850").unwrap(), b"K\x9aCHE"), "KÜCHE");
        assert_eq!(decode(upper_half("855").unwrap(), b"\xc7\xe8"), "КУ");
        // From Python's codec `johab`.
        assert_eq!(decode_johab(b"A \xc3\xb1\xaf\xa9"), "A 침실");
    }
}
