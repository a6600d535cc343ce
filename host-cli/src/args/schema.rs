//! The command line of `schema`.

use clap::Args;

/// Arguments of `schema`.
#[derive(Args, Debug)]
pub struct SchemaArgs {
    /// The command whose JSON it describes; every name with its version if none is given.
    #[arg(value_name = "COMMAND")]
    pub of: Option<String>,
}
