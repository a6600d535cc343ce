//! `coldcheck sensors`.

use super::{Failure, colour, files};
use crate::args::{Cli, Format, ImportArg, SensorsArgs};
use crate::engine::read_site;
use crate::render::{json, terminal};
use crate::sensors::{channels, solve, test};
use crate::source::Sheets;
use std::io::{IsTerminal, Write};

/// Exit codes.
const NOT_RIGHT: u8 = 1;
const OPEN: u8 = 4;

pub(super) fn run(cli: &Cli, args: &SensorsArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let site = read_site(request)?;
        let (legs, channels) = channels(&site)?;
        let mut tests = Vec::new();
        let mut errors = Vec::new();
        for text in &args.test {
            match test(text, &legs, &channels) {
                Ok(test) => tests.push(test),
                Err(error) => errors.push(error),
            }
        }
        if !errors.is_empty() {
            return Err(Failure::Errors(Sheets::default(), errors));
        }
        let import = args.import.map(ImportArg::import);
        let answer = solve(&legs, &channels, &tests, import);
        let text = match args.format {
            Format::Json => format!("{:#}\n", json::sensors::told(&channels, &answer, import)),
            Format::Text => {
                let to_terminal = args.output.output.is_none() && std::io::stdout().is_terminal();
                let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
                terminal::sensors::text(&channels, &answer, import, style)
            }
        };
        let inputs = files::inputs(&args.site, &site);
        files::write(&inputs, &args.output, out, text.as_bytes())?;
        Ok(if answer.has_fault(&channels) {
            NOT_RIGHT
        } else if answer.is_sure(&channels) {
            0
        } else {
            OPEN
        })
    })
}
