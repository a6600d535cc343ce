//! The command line of `schema`.

use clap::Args;

/// Arguments of `schema`.
#[derive(Args, Debug)]
pub struct SchemaArgs {
    /// The command whose JSON it describes; without one, the commands that have a schema.
    #[arg(value_name = "COMMAND")]
    pub of: Option<String>,
}
