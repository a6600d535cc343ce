//! The command line of `completions` and `man`.

use clap::Args;

/// Arguments of `completions`.
#[derive(Args, Debug)]
pub struct CompletionsArgs {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// Arguments of `man`.
#[derive(Args, Debug)]
pub struct ManArgs {
    /// The command; the whole program if none is named.
    #[arg(value_name = "COMMAND")]
    pub command: Vec<String>,
}
