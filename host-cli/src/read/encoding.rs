//! The encodings that sheets and records come in: UTF-8, UTF-16, and windows-1252 where a file is no
//! UTF-8. A library for all encodings of the web would be a fifth of the page; the tests hold these
//! against it.

/// What the bytes 80 to 9F mean in windows-1252; the others are those of Latin-1 (WHATWG Encoding
/// Standard, index windows-1252).
const HIGH: [u16; 32] = [
    0x20AC, 0x81, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160, 0x2039,
    0x0152, 0x8D, 0x017D, 0x8F, 0x90, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
    0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x9D, 0x017E, 0x0178,
];

/// Text in windows-1252: every byte means something.
///
/// ```
/// use coldcheck::read::windows_1252;
///
/// assert_eq!(windows_1252(b"K\xFCche \x80"), "Küche €");
/// ```
pub fn windows_1252(bytes: &[u8]) -> String {
    let letter = |byte: &u8| {
        let high = byte.checked_sub(0x80).and_then(|at| HIGH.get(usize::from(at)));
        high.map_or_else(
            || char::from(*byte),
            |code| char::from_u32(u32::from(*code)).unwrap_or(char::REPLACEMENT_CHARACTER),
        )
    };
    bytes.iter().map(letter).collect()
}

/// Text in UTF-16; what is none is a replacement character. What is cut off at the end is one, be it
/// half a unit, half a pair, or both.
pub(super) fn utf_16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> String {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let units = || pairs.iter().map(|pair| unit(*pair));
    let is_lead = |unit: u16| (0xD800..0xDC00).contains(&unit);
    let has_half = !rest.is_empty() && !units().next_back().is_some_and(is_lead);
    let half = has_half.then_some(char::REPLACEMENT_CHARACTER);
    let letters = char::decode_utf16(units());
    letters.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).chain(half).collect()
}
