//! The pairs a DXF is made of: a group code and a value, from text or binary files, each with its line.
//!
//! The reader owns nothing and keeps nothing, so that a file may be walked twice: once for its structure, once for the
//! entities that are wanted. Whatever is no pair is skipped and counted; the walk goes on at the next entity.

/// How the bytes are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::drawing) enum Layout {
    /// Lines that end with this byte (a carriage return before it is dropped).
    Lines(u8),
    /// Binary with codes of two bytes, from release 13 on.
    BinaryWide,
    /// Binary with codes of one byte, before release 13.
    BinaryNarrow,
}

/// The first bytes of a binary DXF.
pub(in crate::drawing) const BINARY_MARK: &[u8] = b"AutoCAD Binary DXF\r\n\x1a\0";

impl Layout {
    /// Finds the layout and the offset of the first pair.
    pub(in crate::drawing) fn of(bytes: &[u8]) -> (Self, usize) {
        if bytes.starts_with(BINARY_MARK) {
            let first = BINARY_MARK.len();
            return match bytes.get(first..first + 2) {
                Some([0, 0]) => (Self::BinaryWide, first),
                _ => (Self::BinaryNarrow, first),
            };
        }
        let start = if bytes.starts_with(b"\xEF\xBB\xBF") {
            3
        } else {
            0
        };
        let separator = if bytes.contains(&b'\n') { b'\n' } else { b'\r' };
        (Self::Lines(separator), start)
    }

    /// True for both binary layouts.
    pub(in crate::drawing) const fn is_binary(self) -> bool {
        !matches!(self, Self::Lines(_))
    }
}

/// A value as it stands in the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) enum Value<'a> {
    /// Bytes of a text file's line, or of a binary file's string.
    Text(&'a [u8]),
    /// A binary file's number.
    Real(f64),
    /// A binary file's whole number.
    Whole(i64),
    /// A binary chunk.
    Chunk(&'a [u8]),
}

impl<'a> Value<'a> {
    /// The number it stands for; `None` when it is none, not finite, or beyond any drawing.
    pub(in crate::drawing) fn real(self) -> Option<f64> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "counts and flags of a drawing are far below 2^53"
        )]
        let number = match self {
            Self::Text(bytes) => parse_real(bytes)?,
            Self::Real(number) => number,
            Self::Whole(number) => number as f64,
            Self::Chunk(_) => return None,
        };
        // Beyond this no drawing lies, and products of coordinates stay finite.
        (number.is_finite() && number.abs() < 1e15).then_some(number)
    }

    /// The whole number it stands for.
    pub(in crate::drawing) fn whole(self) -> Option<i64> {
        match self {
            Self::Text(bytes) => parse_whole(bytes.trim_ascii()).or_else(|| {
                let number = parse_real(bytes)?;
                (number.fract() == 0.0 && number.abs() < 1e9).then(|| to_whole(number))
            }),
            Self::Whole(number) => Some(number),
            Self::Real(number) => {
                (number.fract() == 0.0 && number.abs() < 1e9).then(|| to_whole(number))
            }
            Self::Chunk(_) => None,
        }
    }

    /// The bytes of a text; empty for numbers.
    pub(in crate::drawing) const fn bytes(self) -> &'a [u8] {
        match self {
            Self::Text(bytes) | Self::Chunk(bytes) => bytes,
            Self::Real(_) | Self::Whole(_) => &[],
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the callers check the range"
)]
fn to_whole(number: f64) -> i64 {
    number as i64
}

fn parse_real(bytes: &[u8]) -> Option<f64> {
    let bytes = bytes.trim_ascii();
    short_decimal(bytes)
        .or_else(|| std::str::from_utf8(bytes).ok()?.parse().ok())
        .or_else(|| foreign_decimal(bytes))
}

/// What programs write that print numbers by the rules of their country or of Fortran: `12,5`, `1.25D+02`. A comma can only be
/// the decimal one: no program parts thousands here.
fn foreign_decimal(bytes: &[u8]) -> Option<f64> {
    let text = std::str::from_utf8(bytes).ok()?;
    let has_point = text.contains('.');
    if text.matches(',').count() > usize::from(!has_point) {
        return None;
    }
    text.replace(',', ".").replace(['D', 'd'], "E").parse().ok()
}

/// The powers of ten that a short decimal may be divided by: each is exact.
const TENS: [f64; 17] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
];

/// A decimal of few digits without an exponent, as most are: its digits and the power of ten are exact, so that one division
/// rounds as the long way would.
fn short_decimal(bytes: &[u8]) -> Option<f64> {
    let (sign, digits) = match bytes {
        [b'-', rest @ ..] => (-1.0, rest),
        _ => (1.0, bytes),
    };
    let mut number = 0_u64;
    let mut point = None;
    for (at, byte) in digits.iter().enumerate().take(TENS.len() + 1) {
        match byte {
            b'0'..=b'9' => number = number * 10 + u64::from(byte - b'0'),
            b'.' if point.is_none() => point = Some(at),
            _ => return None,
        }
    }
    let n_digits = digits.len() - usize::from(point.is_some());
    if n_digits == 0 || n_digits >= TENS.len() || number >= 1 << f64::MANTISSA_DIGITS {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "below 2^53, as was just asked")]
    let number = number as f64;
    let tens = TENS.get(point.map_or(0, |at| digits.len() - at - 1))?;
    Some(sign * (number / tens))
}

/// A decimal whole number with an optional sign, of at most ten digits.
fn parse_whole(bytes: &[u8]) -> Option<i64> {
    let (negative, digits) = match bytes {
        [b'-', rest @ ..] => (true, rest),
        [b'+', rest @ ..] => (false, rest),
        _ => (false, bytes),
    };
    if digits.is_empty() || digits.len() > 10 {
        return None;
    }
    let mut number = 0_i64;
    for digit in digits {
        if !digit.is_ascii_digit() {
            return None;
        }
        number = number * 10 + i64::from(digit - b'0');
    }
    Some(if negative { -number } else { number })
}

/// A group code and its value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) struct Pair<'a> {
    /// The group code.
    pub(in crate::drawing) code: i64,
    /// The value.
    pub(in crate::drawing) value: Value<'a>,
    /// Line of the code, from 1; 0 in binary files.
    pub(in crate::drawing) line: usize,
    /// Where the pair starts in the bytes.
    pub(in crate::drawing) offset: usize,
}

/// Walks the pairs of a stretch of bytes.
#[derive(Clone, Debug)]
pub(in crate::drawing) struct PairReader<'a> {
    bytes: &'a [u8],
    layout: Layout,
    at: usize,
    line: usize,
    /// Lines or pairs that could not be read and were passed over.
    pub(in crate::drawing) skipped: usize,
    /// How often the walk had to look for the next entity: what stood between is lost.
    pub(in crate::drawing) lost: usize,
    /// Line of the first thing passed over.
    pub(in crate::drawing) first_bad_line: usize,
    /// True when the bytes ended inside a pair.
    pub(in crate::drawing) is_cut: bool,
}

/// The greatest code in use (XDATA long integers).
const LAST_CODE: i64 = 1071;

impl<'a> PairReader<'a> {
    /// Reads from `offset`, which lies on line `line`.
    pub(in crate::drawing) const fn new(
        bytes: &'a [u8],
        layout: Layout,
        offset: usize,
        line: usize,
    ) -> Self {
        Self {
            bytes,
            layout,
            at: offset,
            line,
            skipped: 0,
            lost: 0,
            first_bad_line: 0,
            is_cut: false,
        }
    }

    /// Line of the next pair, from 1.
    pub(in crate::drawing) const fn line(&self) -> usize {
        self.line
    }

    /// Offset of the next pair.
    pub(in crate::drawing) const fn offset(&self) -> usize {
        self.at
    }

    fn take_line(&mut self, separator: u8) -> Option<&'a [u8]> {
        let rest = self.bytes.get(self.at..)?;
        if rest.is_empty() {
            return None;
        }
        let (line, used) = match memchr(separator, rest) {
            Some(end) => (rest.get(..end)?, end + 1),
            None => (rest, rest.len()),
        };
        self.at += used;
        self.line += 1;
        Some(line.strip_suffix(b"\r").unwrap_or(line))
    }

    fn next_of_lines(&mut self, separator: u8) -> Option<Pair<'a>> {
        loop {
            let (offset, line) = (self.at, self.line);
            let code_line = self.take_line(separator)?.trim_ascii();
            match parse_whole(code_line) {
                Some(999) => {
                    self.take_line(separator)?;
                }
                Some(code) => {
                    let Some(value) = self.take_line(separator) else {
                        self.is_cut = true;
                        return None;
                    };
                    if (-5..=LAST_CODE).contains(&code) {
                        return Some(Pair {
                            code,
                            value: Value::Text(value),
                            line,
                            offset,
                        });
                    }
                    self.note_bad(line);
                }
                None if code_line.is_empty() => {
                    // A stray blank line, or the tail of the file.
                    if self.rest_is_blank() {
                        return None;
                    }
                    self.note_bad(line);
                }
                None => {
                    self.note_bad(line);
                    self.lost += 1;
                    self.find_next_entity(separator);
                }
            }
        }
    }

    fn note_bad(&mut self, line: usize) {
        if self.skipped == 0 {
            self.first_bad_line = line;
        }
        self.skipped += 1;
    }

    fn rest_is_blank(&self) -> bool {
        self.bytes
            .get(self.at..)
            .is_none_or(|rest| rest.trim_ascii().is_empty())
    }

    /// Goes to the next line that says `0` and is followed by a name in capitals.
    fn find_next_entity(&mut self, separator: u8) {
        loop {
            let (at, line) = (self.at, self.line);
            let Some(first) = self.take_line(separator) else {
                return;
            };
            if first.trim_ascii() != b"0" {
                continue;
            }
            let mut peek = self.clone();
            let Some(name) = peek.take_line(separator) else {
                return;
            };
            if name.first().is_some_and(u8::is_ascii_alphabetic) {
                (self.at, self.line) = (at, line);
                return;
            }
        }
    }

    fn take(&mut self, count: usize) -> Option<&'a [u8]> {
        let slice = self.bytes.get(self.at..self.at.checked_add(count)?);
        match slice {
            Some(slice) => {
                self.at += count;
                Some(slice)
            }
            None => {
                self.is_cut = true;
                self.at = self.bytes.len();
                None
            }
        }
    }

    fn take_array<const N: usize>(&mut self) -> Option<[u8; N]> {
        self.take(N)?.try_into().ok()
    }

    fn next_of_binary(&mut self) -> Option<Pair<'a>> {
        loop {
            if self.at >= self.bytes.len() {
                return None;
            }
            let offset = self.at;
            let code = if self.layout == Layout::BinaryWide {
                i64::from(i16::from_le_bytes(self.take_array()?))
            } else {
                match self.take_array::<1>()? {
                    [255] => i64::from(i16::from_le_bytes(self.take_array()?)),
                    [code] => i64::from(code),
                }
            };
            let value = match binary_type(code) {
                BinaryType::Text => Value::Text(self.take_string()?),
                BinaryType::Real => Value::Real(f64::from_le_bytes(self.take_array()?)),
                BinaryType::Short => {
                    Value::Whole(i64::from(i16::from_le_bytes(self.take_array()?)))
                }
                BinaryType::Long => Value::Whole(i64::from(i32::from_le_bytes(self.take_array()?))),
                BinaryType::Longer => Value::Whole(i64::from_le_bytes(self.take_array()?)),
                BinaryType::Flag if self.layout == Layout::BinaryWide => {
                    let [flag] = self.take_array()?;
                    Value::Whole(i64::from(flag))
                }
                BinaryType::Flag => Value::Whole(i64::from(i16::from_le_bytes(self.take_array()?))),
                BinaryType::Chunk => {
                    let [length] = self.take_array()?;
                    Value::Chunk(self.take(usize::from(length))?)
                }
                BinaryType::Unknown => {
                    // The length of a value with an unknown code is unknown too: the rest cannot be read.
                    self.note_bad(0);
                    self.is_cut = true;
                    self.at = self.bytes.len();
                    return None;
                }
            };
            if code != 999 {
                return Some(Pair {
                    code,
                    value,
                    line: 0,
                    offset,
                });
            }
        }
    }

    fn take_string(&mut self) -> Option<&'a [u8]> {
        let rest = self.bytes.get(self.at..)?;
        let Some(length) = memchr(0, rest) else {
            self.is_cut = true;
            self.at = self.bytes.len();
            return None;
        };
        self.at += length + 1;
        rest.get(..length)
    }
}

impl<'a> Iterator for PairReader<'a> {
    type Item = Pair<'a>;

    fn next(&mut self) -> Option<Pair<'a>> {
        match self.layout {
            Layout::Lines(separator) => self.next_of_lines(separator),
            Layout::BinaryWide | Layout::BinaryNarrow => self.next_of_binary(),
        }
    }
}

fn memchr(wanted: u8, bytes: &[u8]) -> Option<usize> {
    bytes.iter().position(|&byte| byte == wanted)
}

enum BinaryType {
    Text,
    Real,
    Short,
    Long,
    Longer,
    Flag,
    Chunk,
    Unknown,
}

/// The type of a code's value in binary files (DXF reference, "Group Code Value Types").
const fn binary_type(code: i64) -> BinaryType {
    match code {
        -5..=-1 | 0..=9 | 100..=109 | 300..=309 | 320..=369 | 390..=399 | 410..=419 => {
            BinaryType::Text
        }
        430..=439 | 470..=481 | 999..=1003 | 1005..=1009 => BinaryType::Text,
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => BinaryType::Real,
        60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => BinaryType::Short,
        90..=99 | 420..=429 | 440..=459 | 1071 => BinaryType::Long,
        160..=169 => BinaryType::Longer,
        290..=299 => BinaryType::Flag,
        310..=319 | 1004 => BinaryType::Chunk,
        _ => BinaryType::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(bytes: &[u8]) -> (Vec<(i64, String)>, PairReader<'_>) {
        let (layout, start) = Layout::of(bytes);
        let mut reader = PairReader::new(bytes, layout, start, 1);
        let pairs = reader
            .by_ref()
            .map(|pair| {
                (
                    pair.code,
                    String::from_utf8_lossy(pair.value.bytes().trim_ascii()).into_owned(),
                )
            })
            .collect();
        (pairs, reader)
    }

    #[test]
    fn every_way_to_end_a_line_gives_the_same_pairs() {
        let plain = b"0\nLINE\n 10\n1.5\n";
        let expected = codes(plain).0;
        assert_eq!(expected.len(), 2);
        assert_eq!(codes(b"0\r\nLINE\r\n 10\r\n1.5\r\n").0, expected);
        assert_eq!(codes(b"0\rLINE\r 10\r1.5\r").0, expected);
        assert_eq!(codes(b"\xEF\xBB\xBF0\nLINE  \n10  \n1.5").0, expected);
        assert_eq!(codes(b"999\nhello\n0\nLINE\n10\n1.5\n\n\n").0, expected);
    }

    #[test]
    fn what_is_no_pair_costs_the_rest_of_its_entity_only() {
        let (pairs, reader) = codes(b"0\nLINE\n10\n1.5\nrubbish\n20\n2\n0\nARC\n10\n3\n");
        assert_eq!(
            pairs.iter().map(|pair| pair.0).collect::<Vec<_>>(),
            [0, 10, 0, 10]
        );
        assert_eq!(
            (reader.lost, reader.skipped, reader.first_bad_line),
            (1, 1, 5)
        );
    }

    #[test]
    fn a_file_that_ends_inside_a_pair_is_cut() {
        assert!(codes(b"0\nLINE\n10").1.is_cut);
        assert!(!codes(b"0\nLINE\n10\n1.0").1.is_cut);
    }

    #[test]
    fn numbers_are_finite_or_nothing() {
        assert_eq!(Value::Text(b" 1e3 ").real(), Some(1000.0));
        assert_eq!(Value::Text(b"nan").real(), None);
        assert_eq!(Value::Text(b"1e300").real(), None);
        assert_eq!(Value::Text(b"-1,5").real(), Some(-1.5));
        assert_eq!(Value::Text(b"1.25D+02").real(), Some(125.0));
        assert_eq!(Value::Text(b"1,234.5").real(), None);
        assert_eq!(Value::Text(b"1,234,5").real(), None);
        assert_eq!(Value::Text(b" 70.0 ").whole(), Some(70));
        assert_eq!(Value::Real(f64::INFINITY).real(), None);
    }

    #[test]
    fn short_decimals_are_what_the_standard_library_reads() {
        for text in [
            "0",
            "-0",
            "-0.0",
            "7",
            "12.5",
            ".5",
            "-5.",
            "0.1",
            "123456.789",
            "2.675",
            "1.005",
            "0.000001",
            "9007199254740991",
            "900719925474099.1",
            "-0.1234567890123456",
            "1e3",
            "+4",
            "12345678901234567890",
            "0.12345678901234567",
            "",
            ".",
            "-",
            "1.2.3",
            "0000000000000001.5",
        ] {
            let expected: Option<f64> = text.parse().ok();
            let read = parse_real(text.as_bytes());
            assert_eq!(read.map(f64::to_bits), expected.map(f64::to_bits), "{text}");
        }
        assert_eq!(short_decimal(b"12.5"), Some(12.5));
    }

    #[test]
    fn binary_pairs_of_both_layouts_are_read() {
        let mut wide = BINARY_MARK.to_vec();
        wide.extend(b"\0\0LINE\0\x0a\0");
        wide.extend(2.5_f64.to_le_bytes());
        let (layout, start) = Layout::of(&wide);
        assert_eq!(layout, Layout::BinaryWide);
        let pairs: Vec<_> = PairReader::new(&wide, layout, start, 1).collect();
        assert_eq!(pairs[0].value, Value::Text(b"LINE"));
        assert_eq!(pairs[1].value.real(), Some(2.5));
        let mut narrow = BINARY_MARK.to_vec();
        narrow.extend(b"\0LINE\0\x0a");
        narrow.extend(2.5_f64.to_le_bytes());
        narrow.extend([255, 0xE9, 0x03, b'A', 0]);
        let (layout, start) = Layout::of(&narrow);
        let pairs: Vec<_> = PairReader::new(&narrow, layout, start, 1).collect();
        assert_eq!(pairs[1].value.real(), Some(2.5));
        assert_eq!((pairs[2].code, pairs[2].value.bytes()), (1001, &b"A"[..]));
    }
}
