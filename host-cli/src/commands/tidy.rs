//! `coldcheck tidy`.

use super::{Failure, colour, files};
use crate::args::{Cli, TidyArgs};
use crate::engine::examine;
use crate::read::ReadError;
use crate::render::terminal;
use crate::tidy::{Untidy, tidy};
use coldcheck_core::finding::Verdict;
use std::io::{IsTerminal, Write};

pub(super) fn run(
    cli: &Cli,
    args: &TidyArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        match tidy(&site, request) {
            Ok(text) => {
                let inputs = files::inputs(&args.site, &site);
                files::write(&inputs, &args.output, out, text.as_bytes())?;
                Ok(0)
            }
            Err(Untidy::Questions(_)) => {
                let style = terminal::Style {
                    colour: colour(cli, std::io::stderr().is_terminal()),
                    quiet: cli.quiet,
                };
                err.write_all(terminal::questions(&site, &diagnosis, style).as_bytes())?;
                Ok(Verdict::Ask.exit_code())
            }
            Err(Untidy::NoWords(error)) => Err(ReadError::into(error)),
        }
    })
}
