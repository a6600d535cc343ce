//! The command line program: parse, run, exit.

use clap::Parser;
use coldcheck::args::Cli;
use coldcheck::commands;
use std::io::{self, BufWriter};
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = Cli::parse();
    let mut out = BufWriter::new(io::stdout().lock());
    let mut err = io::stderr().lock();
    ExitCode::from(commands::run(&cli, &mut out, &mut err))
}
