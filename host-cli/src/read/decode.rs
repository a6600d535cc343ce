//! From bytes to text: byte-order marks, UTF-16, Latin-1, and what is no text at all.

use super::encoding::{utf_16, windows_1252};
use super::{MOST_BYTES, ReadError};

/// The text of a file, without its byte-order mark.
pub(super) fn decode(name: &str, bytes: &[u8]) -> Result<String, ReadError> {
    if bytes.len() as u64 > MOST_BYTES {
        return Err(ReadError::file(
            name,
            format!("the file is larger than {} MiB", MOST_BYTES / (1024 * 1024)),
            "a sheet of one site",
        ));
    }
    if crate::image::is_one(bytes) {
        return Err(ReadError::file(
            name,
            "this is a plan image, and no sheet",
            "the sheets that it was made from; `coldcheck image --show` tells what is in it",
        ));
    }
    let text = if let Some(rest) = bytes.strip_prefix(b"\xFF\xFE") {
        utf_16(rest, u16::from_le_bytes)
    } else if let Some(rest) = bytes.strip_prefix(b"\xFE\xFF") {
        utf_16(rest, u16::from_be_bytes)
    } else if let Some(rest) = bytes.strip_prefix(b"\xEF\xBB\xBF") {
        String::from_utf8_lossy(rest).into_owned()
    } else {
        // Old spreadsheets save Latin-1 without saying so; every byte of it means something.
        std::str::from_utf8(bytes).map_or_else(|_| windows_1252(bytes), ToOwned::to_owned)
    };
    let odd = text.chars().filter(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t')).count();
    if text.contains('\0') || odd * 20 > text.chars().count() {
        return Err(ReadError::file(
            name,
            "this is not a text file",
            "a cable list, a settings list or a site file as text",
        ));
    }
    let text = without_marks(text);
    // Very old programs end lines with a bare carriage return.
    if text.contains('\n') { Ok(text) } else { Ok(text.replace('\r', "\n")) }
}

/// Takes out byte-order marks that stand inside: of files put together, of a file marked twice, and
/// the mark of UTF-8 after it was read as Latin-1 and saved again.
fn without_marks(text: String) -> String {
    const MARKS: [&str; 2] = ["\u{FEFF}", "\u{EF}\u{BB}\u{BF}"];
    if MARKS.iter().any(|mark| text.contains(mark)) {
        MARKS.iter().fold(text, |text, mark| text.replace(mark, ""))
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_stripped_and_old_encodings_are_read() {
        assert_eq!(decode("f", b"\xEF\xBB\xBFcable").as_deref(), Ok("cable"));
        assert_eq!(decode("f", b"\xFF\xFEc\0a\0").as_deref(), Ok("ca"));
        assert_eq!(decode("f", b"\xFE\xFF\0c\0a").as_deref(), Ok("ca"));
        assert_eq!(decode("f", b"K\xFCche").as_deref(), Ok("Küche"));
        assert_eq!(decode("f", b"a\rb").as_deref(), Ok("a\nb"));
        assert_eq!(decode("f", b"\xEF\xBB\xBF\xEF\xBB\xBFcable").as_deref(), Ok("cable"));
        assert_eq!(decode("f", "\u{EF}\u{BB}\u{BF}cable".as_bytes()).as_deref(), Ok("cable"));
        assert_eq!(decode("f", "a\n\u{FEFF}b".as_bytes()).as_deref(), Ok("a\nb"));
    }

    #[test]
    fn what_is_no_text_is_refused() {
        let error = decode("f", b"COLD\x01\0\0\0").expect_err("an image");
        assert_eq!(error.says, "this is a plan image, and no sheet");
        assert!(decode("f", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR").is_err());
        assert!(decode("f", b"cable,from\0,to").is_err());
        assert!(decode("f", &vec![b'a'; 5 * 1024 * 1024]).is_err());
    }
}
