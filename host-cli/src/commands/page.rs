//! `coldcheck page`.

use super::{Failure, files};
use crate::args::PageArgs;
use crate::read::ReadError;
use std::io::Write;

/// The page, if this build was made with it.
#[cfg(feature = "page")]
const PAGE: Option<&[u8]> = Some(include_bytes!(concat!(env!("OUT_DIR"), "/coldcheck.html")));
#[cfg(not(feature = "page"))]
const PAGE: Option<&[u8]> = None;

pub(super) fn run(args: &PageArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    let page = PAGE.ok_or_else(|| {
        ReadError::file(
            "the page",
            "this build of the program does not hold it",
            "one made by `cargo dev page && cargo build -p coldcheck --features page`",
        )
    })?;
    files::write(&[], &args.output, out, page)?;
    Ok(0)
}
