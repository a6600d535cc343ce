//! `coldcheck batch`.

mod blocks;
mod crew;

use super::{Failure, UNREADABLE, check, files};
use crate::args::{BatchArgs, Cli, LineRange, ScopeArg};
use crate::batch::Settings;
use crate::profile::{self, Profile};
use crate::read::ReadError;
use blocks::Blocks;
use coldcheck_core::finding::Verdict;
use crew::{Count, Stopped};
use std::fs::File;
use std::io::{self, IsTerminal, Read, Write};
use std::path::Path;
use std::sync::Arc;
use std::thread::available_parallelism;
use std::time::{Duration, Instant};

pub(super) fn run(
    cli: &Cli,
    args: &BatchArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Result<u8, Failure> {
    let settings = Settings {
        profile: args.profile.as_deref().map(load).transpose()?,
        scope: args.scope.map(ScopeArg::scope),
        day: check::day(args.date)?,
    };
    let range = args.lines.unwrap_or(LineRange::ALL);
    let input = Blocks::new(open(&args.input)?, args.images, range);
    let threads =
        args.threads.map_or_else(|| available_parallelism().map_or(1, usize::from), usize::from);
    let path = args.output.output.as_deref().filter(|path| !files::is_stream(path));
    let mut inputs = vec![args.input.clone()];
    inputs.extend(args.profile.as_ref().map(Into::into));
    let mut file = path.map(|path| files::open(&inputs, path, args.output.force)).transpose()?;
    let mut progress = Progress::new(!cli.quiet && io::stderr().is_terminal());
    let outcome = crew::run(input, args.images, threads, &settings, |reports, count| {
        match &mut file {
            Some(file) => file.write_all(reports)?,
            // Whoever waits at the other end of a pipe gets each block when it is done.
            None => out.write_all(reports).and_then(|()| out.flush())?,
        }
        progress.show(count, err);
        Ok(())
    });
    progress.clear(err);
    match outcome {
        Ok(count) => Ok(exit_code(&count)),
        Err(Stopped::Reading(error)) => {
            let name = files::name(&args.input);
            let says = format!("it cannot be read: {error}");
            Err(ReadError::file(&name, says, "a file that can be read").into())
        }
        Err(Stopped::Writing(error)) => Err(match path {
            Some(path) => files::not_written(path, &error),
            None => Failure::Stream(error),
        }),
    }
}

/// A danger comes before a line that cannot be read, and that before everything else.
fn exit_code(count: &Count) -> u8 {
    match count.worst {
        Some(Verdict::Stop) => Verdict::Stop.exit_code(),
        _ if count.unread > 0 => UNREADABLE,
        worst => worst.map_or(0, Verdict::exit_code),
    }
}

fn load(name: &str) -> Result<(String, Arc<Profile>), Failure> {
    let text = match profile::builtin(name) {
        Some(text) => text.to_owned(),
        None => files::load_profile(name)?,
    };
    let profile =
        profile::parse(name, &text).map_err(|(sheets, errors)| Failure::Errors(sheets, errors))?;
    Ok((name.to_owned(), Arc::new(profile)))
}

fn open(path: &Path) -> Result<Box<dyn Read + Send>, Failure> {
    if files::is_stream(path) {
        return Ok(Box::new(io::stdin()));
    }
    let name = files::name(path);
    if path.is_dir() {
        return Err(ReadError::file(&name, "this is a folder", "a file").into());
    }
    let file = File::open(path).map_err(|error| {
        ReadError::file(&name, format!("it cannot be read: {error}"), "a file that can be read")
    })?;
    Ok(Box::new(file))
}

/// One line on a terminal that says how far the run is.
struct Progress {
    /// When it began and when it last spoke; `None` if nobody looks.
    since: Option<(Instant, Instant)>,
    shown: bool,
}

impl Progress {
    fn new(seen: bool) -> Self {
        let now = Instant::now();
        Self { since: seen.then_some((now, now)), shown: false }
    }

    fn show(&mut self, count: &Count, err: &mut dyn Write) {
        let Some((start, last)) = &mut self.since else { return };
        if last.elapsed() < Duration::from_millis(500) {
            return;
        }
        *last = Instant::now();
        self.shown = true;
        let seconds = start.elapsed().as_secs().max(1);
        let rate = count.entries / seconds;
        // That it cannot be shown is no reason to stop.
        let _ = write!(
            err,
            "\r{} lines, {} unread, {rate} a second \u{1b}[K",
            count.entries, count.unread
        );
        let _ = err.flush();
    }

    fn clear(&self, err: &mut dyn Write) {
        if self.shown {
            let _ = write!(err, "\r\u{1b}[K");
            let _ = err.flush();
        }
    }
}
