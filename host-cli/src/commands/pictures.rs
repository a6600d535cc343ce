//! Pictures from files, and the codes in them: what this program was built with.

use crate::read::ReadError;
use std::path::Path;

#[cfg(feature = "pictures")]
pub(super) use with::{code_of, codes, grey};

#[cfg(not(feature = "pictures"))]
mod without {
    use super::{Path, ReadError};
    use crate::commands::files;

    /// There is no reader of pictures in this build.
    pub(in crate::commands) fn codes(path: &Path) -> Result<Vec<String>, ReadError> {
        let says = "this program was built without the feature `pictures`";
        let expected = "cargo build -p coldcheck --features pictures";
        Err(ReadError::file(&files::name(path), says, expected))
    }
}
#[cfg(not(feature = "pictures"))]
pub(super) use without::codes;

#[cfg(feature = "pictures")]
mod with {
    use super::{Path, ReadError};
    use crate::commands::files;
    use crate::picture::Grey;
    use image::{ImageReader, Limits};
    use std::io::Cursor;

    /// The largest picture: its pixels on the longer side.
    const MOST_PIXELS: u32 = 20_000;
    /// Memory that unpacking a picture may take.
    const MOST_MEMORY: u64 = 256 * 1024 * 1024;

    /// A picture without its colours.
    pub(in crate::commands) fn grey(name: &str, bytes: &[u8]) -> Result<Grey, ReadError> {
        let cannot =
            |says: String| ReadError::file(name, says, "a photograph as JPEG, PNG or WebP");
        let mut reader = ImageReader::new(Cursor::new(bytes))
            .with_guessed_format()
            .map_err(|error| cannot(error.to_string()))?;
        let mut limits = Limits::default();
        limits.max_image_width = Some(MOST_PIXELS);
        limits.max_image_height = Some(MOST_PIXELS);
        limits.max_alloc = Some(MOST_MEMORY);
        reader.limits(limits);
        let picture = reader.decode().map_err(|error| cannot(format!("no picture: {error}")))?;
        let grey = picture.into_luma8();
        let size = |pixels: u32| usize::try_from(pixels).unwrap_or(0);
        Grey::of_bytes(size(grey.width()), size(grey.height()), grey.as_raw())
            .ok_or_else(|| cannot("no picture".to_owned()))
    }

    /// The text of the first QR code in a picture.
    pub(in crate::commands) fn code_of(picture: &Grey) -> Option<String> {
        found(picture).into_iter().next()
    }

    /// The texts of all QR codes in a picture, each once.
    pub(in crate::commands) fn codes(path: &Path) -> Result<Vec<String>, ReadError> {
        let picture = grey(&files::name(path), &files::read(path)?)?;
        // A code is found best if its squares have a few pixels, neither one nor twenty.
        let mut texts: Vec<String> = Vec::new();
        for factor in [1, 2, 3, 5] {
            let small = picture.shrunk(factor);
            if factor > 1 && small.width().max(small.height()) < 300 {
                break;
            }
            for text in found(&small) {
                if !texts.contains(&text) {
                    texts.push(text);
                }
            }
        }
        Ok(texts)
    }

    fn found(picture: &Grey) -> Vec<String> {
        let (width, height) = (picture.width(), picture.height());
        if width == 0 || height == 0 {
            return Vec::new();
        }
        let mut prepared =
            rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| picture.at(x, y)[0]);
        let grids = prepared.detect_grids();
        grids.iter().filter_map(|grid| grid.decode().ok()).map(|(_, text)| text).collect()
    }
}
