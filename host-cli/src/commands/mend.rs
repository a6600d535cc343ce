//! `coldcheck mend`.

use super::{Failure, colour, files};
use crate::args::{Cli, Format, MendArgs};
use crate::engine::examine;
use crate::mend::mend;
use crate::read::ReadError;
use crate::render::{json, terminal};
use std::io::{IsTerminal, Write};

pub(super) fn run(cli: &Cli, args: &MendArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    files::with_request(&args.site, |request| {
        let (site, diagnosis) = examine(request)?;
        let no_plan = |error| ReadError::file("the plan", format!("{error:?}"), "a plan");
        let told = mend(&site, request, &diagnosis).map_err(no_plan)?;
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
            return Ok(diagnosis.verdict.exit_code());
        }
        let position = args.answer.checked_sub(1);
        let answer = position.and_then(|position| told.answers.get(position));
        match answer {
            Some(answer) => {
                files::write(&inputs, &args.output, out, answer.file.as_bytes())?;
                let is_stream = args.output.output.as_deref().is_some_and(files::is_stream);
                if !is_stream {
                    out.write_all(text.as_bytes())?;
                }
            }
            None if told.answers.is_empty() => out.write_all(text.as_bytes())?,
            None => {
                let says = format!("there is no answer {}", args.answer);
                let expected = format!("1 to {}", told.answers.len());
                return Err(ReadError::file("--answer", says, expected).into());
            }
        }
        Ok(diagnosis.verdict.exit_code())
    })
}
