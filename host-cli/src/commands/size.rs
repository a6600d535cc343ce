//! `coldcheck size`.

use super::{Failure, colour, files};
use crate::args::{Cli, Format, SizeArgs};
use crate::engine::examine;
use crate::read::ReadError;
use crate::render::{json, terminal};
use crate::sizing::site::Sizes;
use std::io::{IsTerminal, Write};

pub(super) fn run(cli: &Cli, args: &SizeArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let sizes = Sizes::of(&site, &diagnosis).map_err(|error| {
            ReadError::file("the plan", format!("it is damaged ({error:?})"), "a plan")
        })?;
        let text = match args.format {
            Format::Json => format!("{:#}\n", json::sizes::sizes(&site, &sizes)),
            Format::Text => {
                let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
                let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
                terminal::sizes(&site, &sizes, style)
            }
        };
        let inputs = files::inputs(&args.site, &site);
        files::write(&inputs, &args.output, out, text.as_bytes())?;
        Ok(0)
    })
}
