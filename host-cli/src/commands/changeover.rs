//! `coldcheck changeover`.

use super::progress::Progress;
use super::{Failure, files};
use crate::args::{ChangeoverArgs, Cli, Format};
use crate::changeover::record::{CHANNELS, Hints};
use crate::changeover::{Request, Verdict, examine_with};
use crate::read::ReadError;
use crate::render::{changeover as render, plot};
use std::io::{BufReader, Write};

/// Exit codes where a limit is broken, and where one was asked for and cannot be told: as those of
/// `check` for something to fix, and for something that is missing.
const BROKEN: u8 = 1;
const NOT_TOLD: u8 = 4;

pub(super) fn run(
    cli: &Cli,
    args: &ChangeoverArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let name = files::name(&args.record);
    if args.channel.len() > CHANNELS {
        let says = format!("{} columns are named", args.channel.len());
        return Err(ReadError::file(&name, says, "one column with volts, or two").into());
    }
    let request = Request {
        nominal: args.nominal,
        frequency: args.frequency,
        limit: args.limit,
        against_curve: args.curve,
        hints: Hints { rate: args.rate, channels: args.channel.clone() },
    };
    let mut progress = Progress::new(cli.quiet);
    let record = files::stream(&args.record)?;
    let outcome =
        examine_with(&name, BufReader::with_capacity(1 << 20, record), &request, |count| {
            progress.show(err, |_| format!("{count} samples"));
        });
    progress.clear(err);
    let outcome = outcome?;
    let text = match args.format {
        Format::Text => render::text(&name, &outcome),
        Format::Json => format!("{:#}\n", render::json(&name, &outcome)),
    };
    files::write(std::slice::from_ref(&args.record), &args.output, out, text.as_bytes())?;
    if let Some(path) = &args.plot {
        let picture = plot::svg(&name, &outcome);
        files::write_file(
            std::slice::from_ref(&args.record),
            path,
            args.output.force,
            picture.as_bytes(),
        )?;
    }
    let asked = args.limit.is_some() || args.curve;
    Ok(match outcome.verdict() {
        Verdict::Broken => BROKEN,
        Verdict::NotChecked if asked => NOT_TOLD,
        Verdict::NotChecked | Verdict::Met => 0,
    })
}
