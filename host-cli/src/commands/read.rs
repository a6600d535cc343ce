//! `coldcheck read`: and photographs among the sheets of any other command.

#[cfg(feature = "photo")]
mod engine;
#[cfg(feature = "pictures")]
mod forms;
#[cfg(feature = "photo")]
mod photographs;
#[cfg(feature = "photo")]
mod summary;

use super::Failure;
use crate::args::{Cli, ReadArgs, SiteArgs};
use crate::picture::file;
use crate::read::RawSheet;
use crate::render::html::Picture;
use std::io::Write;

#[cfg(feature = "photo")]
use photographs as text;

/// Printed forms are read by their bubbles; everything else by the text engine, where there is one.
pub(super) fn run(
    cli: &Cli,
    args: &ReadArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    #[cfg(feature = "pictures")]
    if let Some(code) = forms::run(cli, args, out, err)? {
        return Ok(code);
    }
    text::run(cli, args, out, err)
}

/// The sheets of a site, with its photographs read.
pub(super) fn as_sheets(
    args: &SiteArgs,
    files: Vec<RawSheet>,
) -> Result<(Vec<RawSheet>, Vec<Picture>), Failure> {
    #[cfg(feature = "pictures")]
    if let Some(sheets) = forms::as_sheets(args, &files)? {
        return Ok((sheets, Vec::new()));
    }
    text::as_sheets(args, files)
}

/// Whether a file is a picture, of whatever form.
pub(super) fn is_picture(file: &RawSheet) -> bool {
    file::kind(&file.bytes).is_some()
}

/// Without the text engine there is nothing to do but to say so.
#[cfg(not(feature = "photo"))]
mod text {
    use super::{Cli, Failure, Picture, RawSheet, ReadArgs, SiteArgs, Write, is_picture};
    use crate::commands::files;
    use crate::read::ReadError;

    /// Why this build does not read a photograph, and what does.
    fn refusal(name: &str) -> Failure {
        ReadError::file(
            name,
            if cfg!(feature = "pictures") {
                "no printed form is in this picture, and this build of the program reads no other photographs"
            } else {
                "this build of the program cannot read photographs"
            },
            "one made by `cargo build --release -p coldcheck --features photo` (Rust 1.94 or later), \
             or the list typed as CSV",
        )
        .into()
    }

    pub(super) fn run(
        _: &Cli,
        args: &ReadArgs,
        _: &mut dyn Write,
        _: &mut dyn Write,
    ) -> Result<u8, Failure> {
        let name =
            args.files.first().map_or_else(|| "--set-up".to_owned(), |file| files::name(file));
        Err(refusal(&name))
    }

    pub(super) fn as_sheets(
        _: &SiteArgs,
        files: Vec<RawSheet>,
    ) -> Result<(Vec<RawSheet>, Vec<Picture>), Failure> {
        match files.iter().find(|file| is_picture(file)) {
            Some(photo) => Err(refusal(&photo.name)),
            None => Ok((files, Vec::new())),
        }
    }
}
