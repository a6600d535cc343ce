//! QR codes in pictures: what this program was built with.

use crate::commands::files;
use crate::read::ReadError;
use std::path::Path;

#[cfg(feature = "pictures")]
pub(super) use with::{code_of, codes};

/// There is no reader of pictures in this build.
#[cfg(not(feature = "pictures"))]
pub(super) fn codes(path: &Path) -> Result<Vec<String>, ReadError> {
    let says = "this program was built without the feature `pictures`";
    let expected = "cargo build -p coldcheck --features pictures";
    Err(ReadError::file(&files::name(path), says, expected))
}

#[cfg(feature = "pictures")]
mod with {
    use super::{Path, ReadError, files};
    use crate::picture::{Grey, load};

    /// The text of the first QR code in a picture.
    pub(in crate::commands) fn code_of(picture: &Grey) -> Option<String> {
        found(picture).into_iter().next()
    }

    /// The texts of all QR codes in a picture, each once.
    pub(in crate::commands) fn codes(path: &Path) -> Result<Vec<String>, ReadError> {
        let picture = load::picture(&files::name(path), &files::read(path)?)?.to_grey();
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
