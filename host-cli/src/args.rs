//! The command line: types only, no behaviour.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Checks parallel inverters for wiring and setting faults before they are energised.
#[derive(Debug, Parser)]
#[command(name = "coldcheck", version, max_term_width = 80, after_help = AFTER_HELP)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,

    /// When to colour: auto is only on a terminal, and not if `NO_COLOR` is set.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,

    /// Say only the verdict, the findings, what must still be declared, and the cautions.
    #[arg(short, long, global = true)]
    pub quiet: bool,
}

const AFTER_HELP: &str = "\
Exit codes:
  0  ok, or nothing but notes
  1  fix first: something keeps the group from starting or working well
  2  a sheet cannot be read, or the command line is wrong
  3  ask: a person must answer a question first
  4  incomplete: something that must be declared is not
  5  stop: a danger stands

Examples:
  coldcheck check cables.csv settings.txt
  coldcheck explain address-duplicate
  coldcheck image cables.csv settings.txt -o plan.bin

A site has at most 32 units, 64 data cables and plugs, 16 sensors, 64 packs.";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check the sheets of one site: findings, what was met, what was not checked, verdict.
    #[command(after_help = "\
Examples:
  coldcheck check cables.csv settings.txt
  coldcheck check site.toml --scope communication
  coldcheck check cables.csv settings.txt --format json -o report.json
  some-program | coldcheck check - settings.txt")]
    Check(CheckArgs),
    /// Explain a rule: why it matters, what to do, how to prove it, an example.
    #[command(after_help = "\
Examples:
  coldcheck explain term-missing-one-end
  coldcheck explain --all")]
    Explain(ExplainArgs),
    /// Write the plan image that a gateway boots with, or show what one holds.
    #[command(after_help = "\
Examples:
  coldcheck image cables.csv settings.txt -o plan.bin
  coldcheck image --show plan.bin")]
    Image(ImageArgs),
}

/// The sheets of a site and how to take them.
#[derive(Args, Debug)]
pub struct SiteArgs {
    /// Cable lists, settings lists and site files of one site; `-` is standard input.
    #[arg(value_name = "SHEET")]
    pub sheets: Vec<PathBuf>,

    /// Profile by name or file, in place of the one that a sheet names.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// Parts to check, in place of what a sheet says.
    #[arg(long, value_enum)]
    pub scope: Option<ScopeArg>,
}

/// Where the result goes.
#[derive(Args, Debug)]
pub struct OutputArgs {
    /// Write to this file instead of standard output; `-` is standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Overwrite the file if it is there.
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `check`.
#[derive(Args, Debug)]
pub struct CheckArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Form of the report.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the report goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Arguments of `explain`.
#[derive(Args, Debug)]
pub struct ExplainArgs {
    /// Name of the rule, as it stands in brackets behind a finding.
    #[arg(required_unless_present = "all", conflicts_with = "all")]
    pub rule: Option<String>,

    /// Explain every rule.
    #[arg(long)]
    pub all: bool,

    /// Form of the explanation.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

/// Arguments of `image`.
#[derive(Args, Debug)]
pub struct ImageArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Show what this image holds instead of writing one.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["sheets", "output"])]
    pub show: Option<PathBuf>,

    /// Where the image goes; `-` is standard output. Needed unless an image is shown.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Form of an output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal.
    Auto,
    /// In any case.
    Always,
    /// Not at all.
    Never,
}

/// Parts of a site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ScopeArg {
    /// Link, termination, addresses, roles, settings, battery link, sensors.
    Communication,
    /// Battery, AC, neutral, earth, solar.
    Power,
    /// Both.
    All,
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_definition_is_sound() {
        <super::Cli as clap::CommandFactory>::command().debug_assert();
    }
}
