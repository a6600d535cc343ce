//! The encodings of sheets against a library for all encodings of the web.

use coldcheck::read::{RawSheet, text_of, windows_1252};
use coldcheck_tests::generate::Dice;
use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

/// As the library reads it: by its mark, else as UTF-8, else as windows-1252.
fn by_library(bytes: &[u8]) -> String {
    let (encoding, mark) = Encoding::for_bom(bytes).unwrap_or((UTF_8, 0));
    let (text, is_damaged) = encoding.decode_without_bom_handling(&bytes[mark..]);
    if is_damaged && mark == 0 {
        WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned()
    } else {
        text.into_owned()
    }
}

#[test]
fn every_byte_of_windows_1252_is_the_librarys() {
    let all: Vec<u8> = (0..=255).collect();
    assert_eq!(windows_1252(&all), WINDOWS_1252.decode_without_bom_handling(&all).0);
}

#[test]
fn bytes_with_and_without_marks_are_read_as_the_library_reads_them() {
    let mut dice = Dice::new(1252);
    let marks: [&[u8]; 5] = [b"", b"\xEF\xBB\xBF", b"\xFF\xFE", b"\xFE\xFF", b""];
    let words = ["Küche", "unit 1 → unit 2", "€ 5", "ein\u{1F50B}", "abc", "Wärme\n"];
    let (mut read, mut refused) = (0, 0);
    for _ in 0..4000 {
        let mark = marks[dice.roll(marks.len())];
        let text: String = (0..=dice.roll(4)).map(|_| words[dice.roll(words.len())]).collect();
        let mut bytes = mark.to_vec();
        match mark {
            b"\xFF\xFE" => bytes.extend(text.encode_utf16().flat_map(u16::to_le_bytes)),
            b"\xFE\xFF" => bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes)),
            _ if dice.roll(2) == 0 => bytes.extend(WINDOWS_1252.encode(&text).0.iter()),
            _ => bytes.extend(text.bytes()),
        }
        // Now and then a byte is another one, or the end is cut off.
        if dice.roll(3) == 0 && bytes.len() > 4 {
            let at = 3 + dice.roll(bytes.len() - 3);
            bytes[at] = u8::try_from(dice.roll(256)).expect("a byte");
        }
        if dice.roll(3) == 0 {
            bytes.truncate(bytes.len().saturating_sub(dice.roll(3)));
        }
        let wanted = by_library(&bytes);
        if let Ok(told) = text_of(&RawSheet { name: "sheet".to_owned(), bytes }) {
            // Marks inside are taken out, and old ends of lines made new, behind the encoding.
            let plain = wanted.replace('\u{FEFF}', "").replace("\u{EF}\u{BB}\u{BF}", "");
            let plain = if plain.contains('\n') { plain } else { plain.replace('\r', "\n") };
            assert_eq!(told, plain);
            read += 1;
        } else {
            assert!(wanted.chars().any(char::is_control), "{wanted:?}");
            refused += 1;
        }
    }
    assert!(read > 3000 && refused > 0, "{read} {refused}");
}
