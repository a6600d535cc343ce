//! What a browser may do with a page of ours: show its own style, known by its hash, and nothing
//! else. Nothing is fetched and no script runs, whatever a sheet holds.

use sha2::{Digest, Sha256};

/// The policy of a page without scripts (Content Security Policy Level 3, as a `meta` element).
pub fn of(style: &str) -> String {
    format!("default-src 'none'; style-src {style}; base-uri 'none'; form-action 'none'")
}

/// What stands in an element of the page, as a source that its policy allows.
pub fn hash(text: &str) -> String {
    format!("'sha256-{}'", base64(&Sha256::digest(text.as_bytes())))
}

/// RFC 4648, section 4.
pub(crate) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let letter = |bits: u32| LETTERS.get((bits & 63) as usize).map_or('=', |own| char::from(*own));
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let padded = chunk.iter().chain([&0; 2]).take(3);
        let bits = padded.fold(0, |bits, byte| bits << 8 | u32::from(*byte));
        let letters = [18, 12, 6, 0].map(|shift| letter(bits >> shift));
        text.extend(letters.iter().take(chunk.len() + 1));
        text.extend(std::iter::repeat_n('=', 3 - chunk.len()));
    }
    text
}

#[cfg(test)]
mod tests {
    #[test]
    fn letters_are_those_of_the_standard() {
        // RFC 4648, section 10.
        let vectors =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")];
        for (bytes, text) in vectors {
            assert_eq!(super::base64(bytes.as_bytes()), text);
        }
    }
}
