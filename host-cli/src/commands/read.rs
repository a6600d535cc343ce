//! `coldcheck read`: and photographs among the sheets of any other command.

#[cfg(feature = "photo")]
mod engine;
#[cfg(feature = "photo")]
mod photographs;
#[cfg(feature = "photo")]
mod summary;

#[cfg(not(feature = "photo"))]
use super::Failure;
#[cfg(not(feature = "photo"))]
use crate::args::{Cli, ReadArgs};
use crate::picture::file;
use crate::read::RawSheet;
#[cfg(not(feature = "photo"))]
use std::io::Write;

#[cfg(feature = "photo")]
pub(super) use photographs::{as_sheets, run};

/// Whether a file is a picture, of whatever form.
pub(super) fn is_picture(file: &RawSheet) -> bool {
    file::kind(&file.bytes).is_some()
}

/// Why this build reads no photograph, and what does.
#[cfg(not(feature = "photo"))]
fn refusal(name: &str) -> Failure {
    crate::read::ReadError::file(
        name,
        "this build of the program cannot read photographs",
        "one made by `cargo build --release -p coldcheck --features photo` (Rust 1.94 or later), or \
         the list typed as CSV",
    )
    .into()
}

/// Without the part that reads photographs there is nothing to do but to say so.
#[cfg(not(feature = "photo"))]
pub(super) fn run(
    _: &Cli,
    args: &ReadArgs,
    _: &mut dyn Write,
    _: &mut dyn Write,
) -> Result<u8, Failure> {
    let name =
        args.files.first().map_or_else(|| "--set-up".to_owned(), |file| super::files::name(file));
    Err(refusal(&name))
}

/// The sheets of a site, among which no photograph can be.
#[cfg(not(feature = "photo"))]
pub(super) fn as_sheets(
    _: &crate::args::SiteArgs,
    files: Vec<RawSheet>,
) -> Result<(Vec<RawSheet>, Vec<crate::render::html::Picture>), Failure> {
    match files.iter().find(|file| is_picture(file)) {
        Some(photo) => Err(refusal(&photo.name)),
        None => Ok((files, Vec::new())),
    }
}
