//! `coldcheck completions` and `coldcheck man`: both made from the definition of the command line.

use super::Failure;
use crate::args::{Cli, CompletionsArgs, ManArgs};
use crate::fold::nearest;
use crate::read::ReadError;
use clap::{Command, CommandFactory};
use std::io::Write;

const PROGRAM: &str = "coldcheck";

pub(super) fn completions(args: &CompletionsArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    // The generator panics if its stream is closed; a list in memory never is.
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), PROGRAM, &mut script);
    out.write_all(&script)?;
    Ok(0)
}

pub(super) fn manual(args: &ManArgs, out: &mut dyn Write) -> Result<u8, Failure> {
    let mut command = Cli::command();
    command.build();
    let mut page = &command;
    for name in &args.command {
        page = subcommand(page, name)?;
    }
    let source = format!("{PROGRAM} {}", env!("CARGO_PKG_VERSION"));
    clap_mangen::Man::new(page.clone()).source(source).render(out)?;
    Ok(0)
}

fn subcommand<'c>(command: &'c Command, name: &str) -> Result<&'c Command, ReadError> {
    command.find_subcommand(name).ok_or_else(|| {
        let names = || command.get_subcommands().map(Command::get_name);
        let expected = match nearest(name, names()) {
            Some(near) => format!("{near}, perhaps"),
            None if names().next().is_none() => "nothing more".to_owned(),
            None => crate::phrase::one_of(&names().collect::<Vec<_>>()),
        };
        ReadError::file(name, format!("{} has no such command", command.get_name()), expected)
    })
}
