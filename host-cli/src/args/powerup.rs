//! The command line of `powerup`.

use super::{Format, OutputArgs, SiteArgs};
use crate::readings::Moment;
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
The way from dead to running for this site, step by step: what to measure, where, what must be \
read, who says so, and what to do if it is something else. Then the way down.

A hold keeps what is behind it closed. Absence of voltage, polarity, volts across a breaker before \
it is closed, battery difference, earth and bond are passed by a reading only; other holds also by \
a reason that somebody signs. While a danger stands in the sheets, the steps stop behind the dead \
tests.

Readings are put line by line into the file that --readings names; nothing in it is ever changed, \
and whoever is cut off goes on where it ends. When a sheet changes, the steps that the change \
touches open again, and the others stay passed.

--guide asks for one reading after the other. Without it, --take writes down what was measured: \
\"across-unit-2-l1=0.4\". What an eye saw is answered with yes, or with no and what was seen instead.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  every step is passed, or the steps are printed and no readings file is named
  1  a reading is not as expected
  2  a sheet or a reading cannot be read, or a reading does not count where it was put
  4  steps are open
  5  stop: the sheets hold a danger

Examples:
  coldcheck powerup cables.csv settings.txt
  coldcheck powerup site.toml --readings day.jsonl --guide --by RK --instrument \"meter 2\"
  coldcheck powerup site.toml --readings day.jsonl --by RK --instrument \"meter 2\" \\
      --take dead-unit-1=0.1 --take dead-unit-2=0.0
  coldcheck powerup site.toml --readings day.jsonl --by RK --instrument none \\
      --reason \"insulation-unit-1=leads not laid yet\"
  coldcheck powerup site.toml --readings day.jsonl --format json
  coldcheck powerup site.toml --way-down";

/// Arguments of `powerup`.
#[derive(Args, Debug)]
pub struct PowerupArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// The readings file; it is made if it is not there.
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,

    /// Write down a reading of a step, as often as there are some.
    #[arg(long, value_name = "STEP=VALUE", requires = "readings")]
    pub take: Vec<String>,

    /// Let a step stand without a reading, for this reason; never absence of voltage, polarity,
    /// volts across a breaker, battery difference, earth or bond.
    #[arg(long, value_name = "STEP=WORDS", requires = "readings")]
    pub reason: Vec<String>,

    /// Initials of who reads.
    #[arg(long, value_name = "INITIALS", requires = "readings")]
    pub by: Option<String>,

    /// With what.
    #[arg(long, value_name = "NAME", requires = "readings")]
    pub instrument: Option<String>,

    /// When, instead of now.
    #[arg(long, value_name = "TIME", requires = "readings", value_parser = moment)]
    pub at: Option<Moment>,

    /// Ask for one reading after the other.
    #[arg(long, requires = "readings", conflicts_with_all = ["take", "reason", "at", "output", "way_down"])]
    pub guide: bool,

    /// Show only the way down, and what to do when a danger is found live.
    #[arg(long)]
    pub way_down: bool,

    /// Form of the steps.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the steps go.
    #[command(flatten)]
    pub output: OutputArgs,
}

fn moment(text: &str) -> Result<Moment, String> {
    Moment::read(text).ok_or_else(|| "a time such as 2027-03-01T09:12".to_owned())
}
