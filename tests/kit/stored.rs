//! Images that earlier programs wrote, as hexadecimal text, and what a check of them must say.

use crate::golden::Golden;
use crate::paths;
use coldcheck::listing::listing;
use coldcheck_core::image::Image;
use std::fs;
use std::path::PathBuf;

/// An image of an earlier program.
#[derive(Clone, Debug)]
pub struct Stored {
    /// Its name; the first letters say the version.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

fn folder() -> PathBuf {
    paths::tests().join("images")
}

/// All of them, by name.
///
/// # Panics
/// If a file cannot be read.
pub fn all() -> Vec<Stored> {
    let files = fs::read_dir(folder()).expect("the folder is there");
    let mut stored: Vec<_> = files
        .filter_map(|file| {
            let path = file.expect("it can be listed").path();
            let name = path.file_name()?.to_str()?.strip_suffix(".hex")?.to_owned();
            let text = fs::read_to_string(&path).expect("it can be read");
            let digits: Vec<char> = text.chars().filter(|sign| !sign.is_whitespace()).collect();
            let byte = |pair: &[char]| {
                u8::from_str_radix(&pair.iter().collect::<String>(), 16).expect("two digits")
            };
            Some(Stored { name, bytes: digits.chunks(2).map(byte).collect() })
        })
        .collect();
    stored.sort_by(|a, b| a.name.cmp(&b.name));
    stored
}

impl Stored {
    /// The version in its header.
    ///
    /// # Panics
    /// If it is damaged.
    pub fn version(&self) -> u16 {
        Image::read(&self.bytes).expect("a sound image").version
    }

    /// What the check of it must say.
    ///
    /// # Panics
    /// If it cannot be read.
    pub fn golden(&self) -> Golden {
        let (plan, _) = coldcheck::image::read(&self.bytes).expect("it stays readable");
        let mut lines = listing(&plan).join("\n");
        lines.push('\n');
        Golden::new(&folder(), &format!("{}.txt", self.name), lines)
    }
}
