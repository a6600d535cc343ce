//! `coldcheck check`.

use super::{Failure, colour, files};
use crate::args::{CheckArgs, Cli, Format};
use crate::engine::examine;
use crate::render::{json, terminal};
use std::io::{IsTerminal, Write};

pub(super) fn run(cli: &Cli, args: &CheckArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let text = match args.format {
            Format::Json => {
                format!("{:#}\n", json::check(&site, &diagnosis))
            }
            Format::Text => {
                let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
                let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
                terminal::check(&site, &diagnosis, style)
            }
        };
        files::write(&args.site, &args.output, out, text.as_bytes())?;
        Ok(diagnosis.verdict.exit_code())
    })
}
