//! The file that a gateway boots with: a header around the plan's bytes.
//!
//! | bytes | what |
//! |---|---|
//! | 0–3 | magic, `COLD` |
//! | 4–5 | format version, little-endian |
//! | 6–7 | zero |
//! | 8–11 | length of header and body together |
//! | 12–15 | CRC-32 (ISO-HDLC) over bytes 0–11 and the body |
//! | 16– | body, see [`crate::plan`] |
//! | after | optional trailer: `NAME`, length, CRC-32 of what follows, names |
//!
//! The gateway reads no further than the body. The trailer gives the host the people's words back.

use crate::plan::{Plan, PlanError};
use coldcheck_checksum::checksum;

/// First bytes of every image.
pub const MAGIC: [u8; 4] = *b"COLD";
/// The version that this program writes; it reads all from the first on.
pub const VERSION: u16 = 2;
/// The first version that lists the frames by which units are understood.
pub const VERSION_WITH_FRAMES: u16 = 2;
/// Bytes before the body.
pub const HEADER_BYTES: usize = 16;
/// First bytes of the trailer.
pub const TRAILER_MAGIC: [u8; 4] = *b"NAME";

/// Why bytes are not an image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ImageError {
    /// Shorter than a header, or than the header says.
    Truncated,
    /// The first four bytes are not those of an image.
    NotAnImage,
    /// Written by a program with another format.
    UnknownVersion(u16),
    /// A header field has a value that no version writes.
    BadHeader,
    /// The checksum does not fit: bytes were changed after writing.
    ChecksumMismatch,
    /// What follows the body is not a trailer, or its checksum does not fit.
    BadTrailer,
}

/// An image whose checksum fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Image<'a> {
    /// The version of the program that wrote it.
    pub version: u16,
    /// The plan's bytes.
    pub body: &'a [u8],
    /// What follows the body.
    pub rest: &'a [u8],
}

impl<'a> Image<'a> {
    /// Reads header and body; what follows is left alone.
    ///
    /// ```
    /// use coldcheck_core::image::{Image, ImageError, header};
    ///
    /// let body = b"a body";
    /// let mut bytes = header(body).ok_or(ImageError::BadHeader)?.to_vec();
    /// bytes.extend_from_slice(body);
    /// assert_eq!(Image::read(&bytes)?.body, body);
    ///
    /// bytes[17] ^= 1;
    /// assert_eq!(Image::read(&bytes), Err(ImageError::ChecksumMismatch));
    /// # Ok::<(), ImageError>(())
    /// ```
    ///
    /// # Errors
    /// Every [`ImageError`] but [`ImageError::BadTrailer`].
    pub fn read(bytes: &'a [u8]) -> Result<Self, ImageError> {
        Self::read_by(bytes, checksum_of)
    }

    /// As [`Image::read`], with another way to the same checksum over two parts, one after the
    /// other: a host has room for tables.
    ///
    /// # Errors
    /// As [`Image::read`].
    pub fn read_by(
        bytes: &'a [u8],
        checksum: impl Fn(&[u8], &[u8]) -> u32,
    ) -> Result<Self, ImageError> {
        let (head, _) = bytes.split_first_chunk::<HEADER_BYTES>().ok_or(ImageError::Truncated)?;
        let [m0, m1, m2, m3, v0, v1, z0, z1, l0, l1, l2, l3, c0, c1, c2, c3] = *head;
        if [m0, m1, m2, m3] != MAGIC {
            return Err(ImageError::NotAnImage);
        }
        let version = u16::from_le_bytes([v0, v1]);
        if !(1..=VERSION).contains(&version) {
            return Err(ImageError::UnknownVersion(version));
        }
        let length = usize::try_from(u32::from_le_bytes([l0, l1, l2, l3])).unwrap_or(usize::MAX);
        if [z0, z1] != [0, 0] || length < HEADER_BYTES {
            return Err(ImageError::BadHeader);
        }
        let (whole, rest) = bytes.split_at_checked(length).ok_or(ImageError::Truncated)?;
        let body = whole.get(HEADER_BYTES..).ok_or(ImageError::Truncated)?;
        let (fields, _) = head.split_last_chunk::<4>().unwrap_or((&[], &[0; 4]));
        if checksum(fields, body) != u32::from_le_bytes([c0, c1, c2, c3]) {
            return Err(ImageError::ChecksumMismatch);
        }
        Ok(Self { version, body, rest })
    }

    /// The plan in the body.
    ///
    /// # Errors
    /// As [`Plan::from_body`].
    pub fn plan(&self) -> Result<Plan<'a>, PlanError> {
        Plan::from_body_of(self.body, self.version)
    }

    /// The names behind the body, if there are any.
    ///
    /// # Errors
    /// [`ImageError::BadTrailer`] if what follows the body is not exactly one sound trailer.
    pub fn trailer(&self) -> Result<Option<&'a [u8]>, ImageError> {
        self.trailer_by(|names| checksum([names, &[]]))
    }

    /// As [`Image::trailer`], with another way to the same checksum.
    ///
    /// # Errors
    /// As [`Image::trailer`].
    pub fn trailer_by(
        &self,
        checksum: impl Fn(&[u8]) -> u32,
    ) -> Result<Option<&'a [u8]>, ImageError> {
        if self.rest.is_empty() {
            return Ok(None);
        }
        let (head, names) =
            self.rest.split_first_chunk::<TRAILER_HEADER_BYTES>().ok_or(ImageError::BadTrailer)?;
        if *head != trailer_head(names, checksum(names)).ok_or(ImageError::BadTrailer)? {
            return Err(ImageError::BadTrailer);
        }
        Ok(Some(names))
    }
}

/// Bytes of the trailer before the names.
pub const TRAILER_HEADER_BYTES: usize = 12;

/// The header for a body; `None` if the body's length does not fit the header's field.
pub fn header(body: &[u8]) -> Option<[u8; HEADER_BYTES]> {
    let length = u32::try_from(body.len().checked_add(HEADER_BYTES)?).ok()?;
    let mut head = [0; HEADER_BYTES];
    let (fields, sum) = head.split_last_chunk_mut::<4>()?;
    let mut values =
        MAGIC.into_iter().chain(VERSION.to_le_bytes()).chain([0, 0]).chain(length.to_le_bytes());
    fields.fill_with(|| values.next().unwrap_or(0));
    *sum = checksum_of(fields, body).to_le_bytes();
    Some(head)
}

/// The header of a trailer; `None` if the names' length does not fit the field.
pub fn trailer_header(names: &[u8]) -> Option<[u8; TRAILER_HEADER_BYTES]> {
    trailer_head(names, checksum([names, &[]]))
}

fn trailer_head(names: &[u8], checksum: u32) -> Option<[u8; TRAILER_HEADER_BYTES]> {
    let length = u32::try_from(names.len()).ok()?;
    let mut head = [0; TRAILER_HEADER_BYTES];
    let mut values =
        TRAILER_MAGIC.into_iter().chain(length.to_le_bytes()).chain(checksum.to_le_bytes());
    head.fill_with(|| values.next().unwrap_or(0));
    Some(head)
}

fn checksum_of(fields: &[u8], body: &[u8]) -> u32 {
    checksum([fields, body])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn image(body: &[u8]) -> Vec<u8> {
        [header(body).expect("short").as_slice(), body].concat()
    }

    #[test]
    fn every_single_bit_flip_and_every_truncation_is_refused() {
        let good = image(b"one two three");
        for cut in 0..good.len() {
            assert!(Image::read(&good[..cut]).is_err(), "cut at {cut}");
        }
        for bit in 0..good.len() * 8 {
            let mut bad = good.clone();
            bad[bit / 8] ^= 1 << (bit % 8);
            assert!(Image::read(&bad).is_err(), "bit {bit}");
        }
    }

    #[test]
    fn a_damaged_trailer_does_not_hide_the_body() {
        let mut bytes = image(b"body");
        bytes.extend(trailer_header(b"names").expect("short"));
        bytes.extend(b"names");
        assert_eq!(Image::read(&bytes).and_then(|image| image.trailer()), Ok(Some(&b"names"[..])));
        *bytes.last_mut().expect("not empty") ^= 1;
        let image = Image::read(&bytes).expect("the body is sound");
        assert_eq!(image.trailer(), Err(ImageError::BadTrailer));
    }

    #[test]
    fn a_header_that_no_version_writes_is_refused_whatever_its_checksum() {
        let sealed = |change: fn(&mut [u8; HEADER_BYTES])| {
            let mut head = header(b"").expect("short");
            change(&mut head);
            let (fields, sum) = head.split_last_chunk_mut::<4>().expect("a header");
            *sum = checksum_of(fields, b"").to_le_bytes();
            Image::read(&head).map(|image| image.body.len())
        };
        assert_eq!(sealed(|_| ()), Ok(0));
        assert_eq!(sealed(|head| head[6] = 1), Err(ImageError::BadHeader));
        assert_eq!(sealed(|head| head[7] = 1), Err(ImageError::BadHeader));
        assert_eq!(sealed(|head| head[8] = 15), Err(ImageError::BadHeader));
    }
}
