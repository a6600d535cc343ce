//! A file as a picture that stands upright.
#![allow(
    clippy::cast_possible_truncation,
    reason = "pixels of a picture whose size was held against a limit"
)]

use crate::picture::file::{Kind, kind};
use crate::picture::{Colour, Turn};
use crate::read::ReadError;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};
use std::io::Cursor;

/// The largest picture: more than any telephone takes by itself, and 150 MB in memory.
pub const MOST_PIXELS: u64 = 50_000_000;

/// Lists are read at this many pixels along the longer side at the most; more show no more of
/// letters that a person can read at arm's length.
const LONGEST_SIDE: usize = 4800;

/// The picture in a file, upright.
///
/// # Errors
/// If it is no picture of a form that is read, too large, or damaged.
pub fn picture(name: &str, bytes: &[u8]) -> Result<Colour, ReadError> {
    const FORMS: &str = "a photograph as JPEG, PNG or WebP";
    match kind(bytes) {
        Some(Kind::Picture) => decode(name, bytes),
        Some(Kind::Pdf) => decode(name, page_of_pdf(name, bytes)?),
        Some(Kind::Heic) => Err(ReadError::file(
            name,
            "this is a HEIC picture, which is not read",
            "the same picture as JPEG: share or export it as JPEG, or set the camera to the \
             compatible form, and take it again",
        )),
        Some(Kind::OtherPicture) => {
            Err(ReadError::file(name, "pictures of this form are not read", FORMS))
        }
        None => Err(ReadError::file(name, "this is no picture", FORMS)),
    }
}

/// Whether a JPEG ends before its picture does: decoders fill the rest with grey, and a list whose
/// last rows are missing looks like a shorter list.
fn is_cut_off(bytes: &[u8]) -> bool {
    let last = |mark: [u8; 2]| bytes.windows(2).rposition(|window| window == mark);
    let (begins, ends) = (last([0xff, 0xda]), last([0xff, 0xd9]));
    bytes.starts_with(&[0xff, 0xd8]) && (begins.is_none() || ends < begins)
}

fn decode(name: &str, bytes: &[u8]) -> Result<Colour, ReadError> {
    if is_cut_off(bytes) {
        let says = "the picture cannot be read: it is cut off";
        return Err(ReadError::file(name, says, "the whole file: copy it once more"));
    }
    let damaged = |error: image::ImageError| {
        ReadError::file(name, format!("the picture cannot be read: {error}"), "an undamaged file")
    };
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| ReadError::file(name, error.to_string(), "an undamaged file"))?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS {
        let says = format!("the picture has {} million pixels", pixels / 1_000_000);
        return Err(ReadError::file(name, says, "one of 50 million at the most"));
    }
    if width.min(height) < 200 {
        let says = format!("the picture has only {width} x {height} pixels");
        return Err(ReadError::file(name, says, "a photograph in which the letters can be read"));
    }
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let pixels = DynamicImage::from_decoder(decoder).map_err(damaged)?.into_rgb8();
    let (width, height) = (width as usize, height as usize);
    let factor = width.max(height).div_ceil(LONGEST_SIDE);
    let whole = Colour::of_bytes(width, height, pixels.as_raw())
        .ok_or_else(|| ReadError::file(name, "the picture is cut off", "an undamaged file"))?;
    drop(pixels);
    let picture = if factor > 1 { whole.shrunk(factor) } else { whole };
    Ok(upright(picture, orientation))
}

/// The picture as the camera was held; mirrored pictures do not come from cameras.
fn upright(picture: Colour, orientation: Orientation) -> Colour {
    let turn = match orientation {
        Orientation::NoTransforms | Orientation::FlipHorizontal => return picture,
        Orientation::Rotate90 | Orientation::Rotate90FlipH => Turn::Quarter,
        Orientation::Rotate180 | Orientation::FlipVertical => Turn::Half,
        Orientation::Rotate270 | Orientation::Rotate270FlipH => Turn::ThreeQuarters,
    };
    picture.turned(turn)
}

/// The one photograph that a scanned page consists of.
fn page_of_pdf<'b>(name: &str, bytes: &'b [u8]) -> Result<&'b [u8], ReadError> {
    let pictures = jpegs(bytes);
    let refuse = |says: &str| {
        let expected = "the page as a photograph, or saved as JPEG or PNG by a viewer";
        Err(ReadError::file(name, says, expected))
    };
    match pictures.as_slice() {
        [one] => Ok(one),
        [] => refuse("this document holds no scanned page as JPEG"),
        [_, _, ..] => refuse("this document holds several pictures; one page at a time is read"),
    }
}

/// Streams of a document that are JPEG as they stand. Their extent is told by the words around
/// them, and each begins and ends as JPEG does.
fn jpegs(bytes: &[u8]) -> Vec<&[u8]> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = find(bytes, at, b"stream") {
        let mut start = start + b"stream".len();
        while matches!(bytes.get(start), Some(b'\r' | b'\n')) {
            start += 1;
        }
        let Some(end) = find(bytes, start, b"endstream") else { break };
        let stream = &bytes[start..end];
        if stream.starts_with(&[0xFF, 0xD8, 0xFF]) {
            found.push(stream);
        }
        at = end + b"endstream".len();
    }
    found
}

fn find(bytes: &[u8], from: usize, word: &[u8]) -> Option<usize> {
    let rest = bytes.get(from..)?;
    rest.windows(word.len()).position(|window| window == word).map(|at| from + at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_read_says_what_to_do() {
        let heic = picture("list.heic", b"\0\0\0\x18ftypheic").unwrap_err();
        assert!(heic.expected.unwrap().contains("JPEG"));
        let cut = picture("list.jpg", &[0xFF, 0xD8, 0xFF, 0xE0]).unwrap_err();
        assert!(cut.says.contains("cannot be read"), "{}", cut.says);
        let pdf = picture("list.pdf", b"%PDF-1.7 nothing").unwrap_err();
        assert!(pdf.says.contains("no scanned page"));
    }

    #[test]
    fn a_picture_that_ends_early_is_told_from_a_whole_one() {
        let whole = [&[0xff, 0xd8, 0xff, 0xda][..], &[1, 2, 3, 0xff, 0xd9]].concat();
        assert!(!is_cut_off(&whole));
        // A small picture within the heading has an end of its own.
        let inner = [&[0xff, 0xd8][..], &whole, &[0xff, 0xda, 1, 2]].concat();
        assert!(is_cut_off(&inner));
        assert!(is_cut_off(&whole[..whole.len() - 2]) && !is_cut_off(b"\x89PNG"));
    }

    #[test]
    fn the_one_scanned_page_of_a_document_is_found() {
        let pdf = b"%PDF-1.4 << /Length 4 >> stream\r\n\xFF\xD8\xFF\xD9\nendstream << >> stream\nabc\nendstream";
        assert_eq!(jpegs(pdf), [b"\xFF\xD8\xFF\xD9\n".as_slice()]);
    }
}
