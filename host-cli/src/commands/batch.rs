//! `coldcheck batch`.

mod blocks;
mod crew;

use super::progress::Progress;
use super::{Failure, UNREADABLE, check, files};
use crate::args::{BatchArgs, Cli, LineRange, ScopeArg};
use crate::batch::Settings;
use crate::profile::{self, Profile};
use crate::read::ReadError;
use blocks::Blocks;
use coldcheck_core::finding::Verdict;
use crew::{Count, Stopped};
use std::io::Write;
use std::sync::Arc;
use std::thread::available_parallelism;

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
    let input = Blocks::new(files::stream(&args.input)?, args.images, range);
    let threads =
        args.threads.map_or_else(|| available_parallelism().map_or(1, usize::from), usize::from);
    let path = args.output.output.as_deref().filter(|path| !files::is_stream(path));
    let mut inputs = vec![args.input.clone()];
    inputs.extend(args.profile.as_ref().map(Into::into));
    let mut file = path.map(|path| files::open(&inputs, path, args.output.force)).transpose()?;
    let mut progress = Progress::new(cli.quiet);
    let outcome = crew::run(input, args.images, threads, &settings, |reports, count| {
        match &mut file {
            Some(file) => file.write_all(reports)?,
            // Whoever waits at the other end of a pipe gets each block when it is done.
            None => out.write_all(reports).and_then(|()| out.flush())?,
        }
        progress.show(err, |seconds| {
            let rate = count.entries / seconds;
            format!("{} lines, {} unread, {rate} a second", count.entries, count.unread)
        });
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
