//! `coldcheck image`.

use super::{Failure, files};
use crate::args::{Cli, ImageArgs};
use crate::engine::examine;
use crate::image;
use crate::read::ReadError;
use crate::render::told::left_out;
use coldcheck_core::finding::Verdict;
use std::io::Write;

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
    if args.output.output.is_none() {
        return Err(ReadError::file(
            "the image",
            "it is not said where to write it",
            "-o FILE, or -o - for standard output",
        )
        .into());
    }
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let bytes = image::write(&site);
        files::write(&files::inputs(&args.site, &site), &args.output, out, &bytes)?;
        if let Some(path) = args.output.output.as_deref().filter(|_| !cli.quiet) {
            writeln!(err, "{}: {} bytes", path.display(), bytes.len())?;
        }
        if let Some(says) = left_out(&site.declared.not_understood) {
            writeln!(err, "note: {says} `coldcheck check` lists what.")?;
        }
        // A gateway says the same at boot, but better now than then.
        if diagnosis.verdict != Verdict::Ok {
            writeln!(
                err,
                "note: this site's verdict is {}; `coldcheck check` tells why",
                diagnosis.verdict.word()
            )?;
            for danger in diagnosis.dangers() {
                writeln!(err, "  danger: {} ({})", danger.says, danger.rule.rule().slug)?;
            }
        }
        Ok(0)
    })
}
