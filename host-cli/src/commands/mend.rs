//! `coldcheck mend`.

use super::check::weigh;
use super::{Failure, colour, files};
use crate::args::{Cli, Format, MendArgs};
use crate::engine::examine;
use crate::mend::mend;
use crate::read::ReadError;
use crate::render::{json, terminal};
use std::io::{IsTerminal, Write};

/// Exit code where a file was to be written and there is none to write.
const NOTHING_WRITTEN: u8 = 2;

pub(super) fn run(
    cli: &Cli,
    args: &MendArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, mut diagnosis) = examine(request)?;
        weigh(&site, &mut diagnosis, args.date, false)?;
        let code = diagnosis.verdict.exit_code();
        if args.also_waived {
            let waived = std::mem::take(&mut diagnosis.waived);
            diagnosis.findings.extend(waived.into_iter().map(|one| one.finding));
        }
        let told = mend(&site, request, &diagnosis)?;
        let text = match args.format {
            Format::Json => format!("{:#}\n", json::mend::told(&site, &told)),
            Format::Text => {
                let to_file = args.output.output.is_some() && !args.write;
                let to_terminal = !to_file && std::io::stdout().is_terminal();
                let style = terminal::Style { colour: colour(cli, to_terminal), quiet: cli.quiet };
                terminal::mend::text(&site, &told, args.explain, style)
            }
        };
        let inputs = files::inputs(&args.site, &site);
        if !args.write {
            files::write(&inputs, &args.output, out, text.as_bytes())?;
            return Ok(code);
        }
        let is_stream = args.output.output.as_deref().is_some_and(files::is_stream);
        let position = args.answer.checked_sub(1);
        let answer = position.and_then(|position| told.answers.get(position));
        match answer {
            Some(answer) => {
                files::write(&inputs, &args.output, out, answer.file.as_bytes())?;
                // Nobody gets the file without the acts and their cautions.
                if is_stream {
                    err.write_all(text.as_bytes())?;
                } else {
                    out.write_all(text.as_bytes())?;
                }
                Ok(code)
            }
            None if told.answers.is_empty() => {
                if is_stream {
                    err.write_all(text.as_bytes())?;
                } else {
                    out.write_all(text.as_bytes())?;
                }
                writeln!(err, "nothing was written: there is no answer to write")?;
                Ok(if code == 0 { NOTHING_WRITTEN } else { code })
            }
            None => {
                let says = format!("there is no answer {}", args.answer);
                let expected = format!("1 to {}", told.answers.len());
                Err(ReadError::file("--answer", says, expected).into())
            }
        }
    })
}
