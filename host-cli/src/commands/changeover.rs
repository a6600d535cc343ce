//! `coldcheck changeover`.

use super::{Failure, files};
use crate::args::{ChangeoverArgs, Cli, Format};
use crate::changeover::record::{CHANNELS, Hints};
use crate::changeover::{Request, Verdict, examine_with};
use crate::read::ReadError;
use crate::render::changeover as render;
use std::fs::File;
use std::io::{self, BufRead, BufReader, IsTerminal, Write};
use std::path::Path;
use std::time::{Duration, Instant};

/// Exit code where a limit is broken.
const BROKEN: u8 = 1;

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
    let mut progress = Progress::new(!cli.quiet && io::stderr().is_terminal());
    let outcome = examine_with(&name, open(&args.record)?, &request, |count| {
        progress.show(count, err);
    });
    progress.clear(err);
    let outcome = outcome?;
    let text = match args.format {
        Format::Text => render::text(&name, &outcome),
        Format::Json => format!("{:#}\n", render::json(&name, &outcome)),
    };
    files::write(std::slice::from_ref(&args.record), &args.output, out, text.as_bytes())?;
    Ok(if outcome.verdict() == Verdict::Broken { BROKEN } else { 0 })
}

fn open(path: &Path) -> Result<Box<dyn BufRead>, Failure> {
    if files::is_stream(path) {
        return Ok(Box::new(BufReader::new(io::stdin())));
    }
    let name = files::name(path);
    if path.is_dir() {
        return Err(ReadError::file(&name, "this is a folder", "a file").into());
    }
    let cannot = |error: io::Error| {
        ReadError::file(&name, format!("it cannot be read: {error}"), "a file that can be read")
    };
    let file = File::open(path).map_err(cannot)?;
    Ok(Box::new(BufReader::with_capacity(1 << 20, file)))
}

/// One line on a terminal that says how far it is, once it takes long.
struct Progress {
    last: Option<Instant>,
    shown: bool,
}

impl Progress {
    fn new(seen: bool) -> Self {
        Self { last: seen.then(Instant::now), shown: false }
    }

    fn show(&mut self, count: u64, err: &mut dyn Write) {
        let Some(last) = self.last.as_mut().filter(|last| last.elapsed() >= PAUSE) else { return };
        *last = Instant::now();
        self.shown = true;
        // That it cannot be shown is no reason to stop.
        let _ = write!(err, "\r{count} samples \u{1b}[K");
        let _ = err.flush();
    }

    fn clear(&self, err: &mut dyn Write) {
        if self.shown {
            let _ = write!(err, "\r\u{1b}[K");
            let _ = err.flush();
        }
    }
}

const PAUSE: Duration = Duration::from_millis(500);
