//! What a file is, by its first bytes: whether it holds a picture, and of which form.

/// The largest file of a picture that is read.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A picture as JPEG, PNG or WebP.
    Picture,
    /// A document whose pages may be pictures.
    Pdf,
    /// The form of picture that some telephones save, which needs a decoder of its own.
    Heic,
    /// A form of picture that is not read.
    OtherPicture,
}

/// What a file holds; `None` if it is no picture.
pub fn kind(bytes: &[u8]) -> Option<Kind> {
    let brand = (bytes.get(4..8) == Some(b"ftyp")).then(|| bytes.get(8..12)).flatten();
    match bytes {
        [0xFF, 0xD8, 0xFF, ..]
        | [0x89, b'P', b'N', b'G', ..]
        | [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some(Kind::Picture),
        [b'%', b'P', b'D', b'F', ..] => Some(Kind::Pdf),
        [b'G', b'I', b'F', b'8', ..]
        | [b'B', b'M', _, _, _, _, 0, 0, 0, 0, ..]
        | [b'I', b'I', b'*', 0, ..]
        | [b'M', b'M', 0, b'*', ..] => Some(Kind::OtherPicture),
        _ => match brand? {
            b"avif" | b"avis" => Some(Kind::OtherPicture),
            b"heic" | b"heix" | b"hevc" | b"mif1" | b"msf1" | b"heim" | b"heis" => Some(Kind::Heic),
            _ => None,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_are_told_by_their_first_bytes() {
        assert_eq!(kind(&[0xFF, 0xD8, 0xFF, 0xE0]), Some(Kind::Picture));
        assert_eq!(kind(b"\0\0\0\x18ftypheic"), Some(Kind::Heic));
        assert_eq!(kind(b"\0\0\0\x18ftypavif"), Some(Kind::OtherPicture));
        assert_eq!(kind(b"%PDF-1.7"), Some(Kind::Pdf));
        assert_eq!(kind(b"cable,from,to"), None);
        assert_eq!(kind(b""), None);
    }
}
