//! The commands: the only part of the program that touches files, terminals and streams.

mod batch;
mod changed;
mod changeover;
mod check;
mod clap_made;
mod draw;
mod drill;
mod explain;
mod files;
mod form;
mod hear;
mod image;
mod labels;
mod mend;
mod meter;
mod new;
mod page;
mod pictures;
mod powerup;
mod profile;
mod progress;
mod read;
mod report;
mod schema;
mod sensors;
mod size;
mod tidy;
mod way;

use crate::args::{Cli, Colour, Command};
use crate::read::ReadError;
use crate::render::terminal;
use crate::source::Sheets;
use std::io::{self, IsTerminal, Write};

/// Exit code for input that cannot be read and for wrong usage.
const UNREADABLE: u8 = 2;

/// Why a command ended without its result.
#[derive(Debug)]
pub enum Failure {
    /// Sheets or files that cannot be read, or an output that cannot be written.
    Errors(Sheets, Vec<ReadError>),
    /// The stream that is written to.
    Stream(io::Error),
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Stream(error)
    }
}

impl From<crate::engine::Refusal> for Failure {
    fn from(refusal: crate::engine::Refusal) -> Self {
        Self::Errors(refusal.sheets, refusal.errors)
    }
}

impl From<ReadError> for Failure {
    fn from(error: ReadError) -> Self {
        Self::Errors(Sheets::default(), vec![error])
    }
}

/// Runs a command and gives the exit code. Errors go to the second stream.
pub fn run(cli: &Cli, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    let Some(command) = &cli.command else {
        return ended(cli, way::run(cli, out), out, err);
    };
    let outcome = match command {
        Command::Check(args) => check::run(cli, args, out),
        Command::Hear(args) => hear::run(cli, args, out, err),
        Command::Mend(args) => mend::run(cli, args, out, err),
        Command::Meter(args) => meter::run(cli, args, out, err),
        Command::Powerup(args) => powerup::run(cli, args, out),
        Command::Sensors(args) => sensors::run(cli, args, out),
        Command::Draw(args) => draw::run(args, out),
        Command::Drill(args) => drill::run(cli, args, out, err),
        Command::Read(args) => read::run(cli, args, out, err),
        Command::Report(args) => report::run(args, out),
        Command::Batch(args) => batch::run(cli, args, out, err),
        Command::Changed(args) => changed::run(cli, args, out, err),
        Command::Changeover(args) => changeover::run(cli, args, out, err),
        Command::Explain(args) => explain::run(cli, args, out),
        Command::Image(args) => image::run(cli, args, out, err),
        Command::Form(args) => form::run(cli, args, out, err),
        Command::Labels(args) => labels::run(cli, args, out, err),
        Command::New(args) => new::run(cli, args, out, err),
        Command::Size(args) => size::run(cli, args, out),
        Command::Tidy(args) => tidy::run(cli, args, out, err),
        Command::Page(args) => page::run(args, out),
        Command::Profile(args) => profile::run(args, out),
        Command::Schema(args) => schema::run(args, out),
        Command::Completions(args) => clap_made::completions(args, out),
        Command::Man(args) => clap_made::manual(args, out),
    };
    ended(cli, outcome, out, err)
}

/// The exit code of what a command came to; errors are told.
fn ended(cli: &Cli, outcome: Result<u8, Failure>, out: &mut dyn Write, err: &mut dyn Write) -> u8 {
    match outcome.and_then(|code| out.flush().map(|()| code).map_err(Failure::Stream)) {
        Ok(code) => code,
        // Whoever was reading has seen enough.
        Err(Failure::Stream(error)) if error.kind() == io::ErrorKind::BrokenPipe => 0,
        Err(Failure::Stream(error)) => {
            let _ = writeln!(err, "error: the output cannot be written: {error}");
            UNREADABLE
        }
        Err(Failure::Errors(sheets, errors)) => {
            let colour = colour(cli, io::stderr().is_terminal());
            let _ = write!(err, "{}", terminal::errors(&sheets, &errors, colour));
            UNREADABLE
        }
    }
}

/// Whether to colour a stream.
fn colour(cli: &Cli, is_terminal: bool) -> bool {
    match cli.color {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            is_terminal && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
        }
    }
}
