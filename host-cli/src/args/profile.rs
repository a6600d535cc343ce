//! The command line of `profile`.

use super::Format;
use clap::{Args, Subcommand, ValueEnum};

/// Arguments of `profile`.
#[derive(Args, Debug)]
pub struct ProfileArgs {
    /// What to do with profiles.
    #[command(subcommand)]
    pub action: ProfileAction,
}

/// Form of one profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ProfileFormat {
    /// For people.
    Text,
    /// For programs: see `coldcheck schema profile`.
    Json,
    /// The profile's own file, to begin one of your own with.
    File,
}

/// What to do with profiles.
#[derive(Debug, Subcommand)]
pub enum ProfileAction {
    /// Every built-in profile with its summary.
    #[command(after_help = "\
Example:
  coldcheck profile list")]
    List {
        /// Form of the list.
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// The sockets, every demand with its value and where it comes from, what must be declared,
    /// and what is left open.
    #[command(after_help = "\
Examples:
  coldcheck profile show plain
  coldcheck profile show two-port-line --format file > mine.toml
  coldcheck profile show mine.toml --format json")]
    Show {
        /// Name of a built-in profile, or the file of another.
        #[arg(value_name = "NAME|FILE")]
        profile: String,

        /// Form of the listing.
        #[arg(long, value_enum, default_value_t = ProfileFormat::Text)]
        format: ProfileFormat,
    },
    /// Whether a profile is sound: all that is wrong with it, or what it demands in short.
    #[command(after_help = "\
Example:
  coldcheck profile check mine.toml

Exit codes: 0 if the profile is sound, 2 if it is not.")]
    Check {
        /// The file; the name of a built-in profile works as well.
        #[arg(value_name = "FILE")]
        profile: String,
    },
}
