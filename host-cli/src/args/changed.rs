//! The command line of `changed`.

use super::{Format, OutputArgs, ScopeArg};
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
What differs between two states of one site: units added, removed, exchanged, updated, cables and \
sensors moved, settings changed; which rules look at that, and what `check` finds now and did not \
find before; and every test that must be made again.

Each state is one sheet, or a folder with all sheets of that state. What must be tested again is \
every step of `coldcheck powerup` that rests on something that changed; readings that were taken \
before stay in their file, and those steps are open again.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  nothing differs
  1  something must be tested again
  2  a sheet cannot be read
  5  stop: the new sheets hold a danger

Examples:
  coldcheck changed before.toml after.toml
  coldcheck changed site-2026/ site-2027/ --format json";

/// Arguments of `changed`.
#[derive(Args, Debug)]
pub struct ChangedArgs {
    /// The site as it was: a sheet, or a folder of sheets.
    #[arg(value_name = "OLD")]
    pub old: PathBuf,

    /// The site as it is.
    #[arg(value_name = "NEW")]
    pub new: PathBuf,

    /// Profile by name or file, for both.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// The part of the site that it is about.
    #[arg(long, value_enum, value_name = "PART")]
    pub scope: Option<ScopeArg>,

    /// Form of the list.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
