//! `coldcheck image`.

use super::{Failure, files};
use crate::args::{Cli, ImageArgs};
use crate::engine::read_site;
use crate::image;
use crate::read::ReadError;
use std::io::{IsTerminal, Write};

pub(super) fn run(
    cli: &Cli,
    args: &ImageArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    if let Some(path) = &args.show {
        let bytes = files::read(path)?;
        let (plan, names) = image::read(&bytes).map_err(|error| {
            ReadError::file(
                &path.display().to_string(),
                error.to_string(),
                "an image as coldcheck wrote it",
            )
        })?;
        out.write_all(image::describe(&plan, &names).as_bytes())?;
        return Ok(0);
    }
    files::with_request(&args.site, |request| {
        let site = read_site(request)?;
        let bytes = image::write(&site);
        if args.output.output.is_none() && std::io::stdout().is_terminal() {
            return Err(ReadError::file(
                "standard output",
                "an image is not text and would spoil the terminal",
                "-o FILE",
            )
            .into());
        }
        files::write(&args.output, out, &bytes)?;
        if let Some(path) = args.output.output.as_deref().filter(|_| !cli.quiet) {
            writeln!(err, "{}: {} bytes", path.display(), bytes.len())?;
        }
        Ok(0)
    })
}
