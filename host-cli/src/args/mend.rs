//! The command line of `mend`.

use super::{Format, OutputArgs, SiteArgs, date};
use crate::date::Date;
use crate::mend::cost::costs;
use clap::Args;

pub(super) const ABOUT: &str = concat!(
    "The cheapest set of acts at the plant after which every rule is met that acts can meet: move a plug, \
turn a cable, exchange two plugs, run, replace or take out a cable, flip or move a terminator, turn a \
sensor, change a setting, rejoin a conductor of the AC side. Up to three sets of the same cost; none is cheaper, and --explain shows why. \
What no act here mends (firmware, another model, sizes, battery banks, bonds, what a sheet leaves in doubt) is said. Nothing is ever mended by changing what a sheet says of the plant.

",
    costs!(),
    "

A live conductor is never put on the bar of the neutrals, nor a neutral on that of a leg; where it \
cannot be told which bar is the neutral's, no conductor is moved and you are asked. What a waiver lets \
stand is left as it is, unless --also-waived.

--write -o FILE writes the site as it is to be, each act as to do: until a person has filled in what was \
seen, initials and the time of each act, `check` of that file asks and names the danger that still \
stands; `check --assume-done` shows the verdict after them. With -o - the file goes to standard \
output and the acts with their cautions to standard error."
);

pub(super) const AFTER: &str = "\
Exit codes: those of `check` for the sheets as they are:
  0  nothing is broken    1  there is something to mend    3  a question must be answered first
  4  something must be declared    5  a danger stands
  2  a sheet cannot be read, or the file cannot be written; also where --write has nothing to write
     and the site is ok

Examples:
  coldcheck mend cables.csv settings.txt
  coldcheck mend site.toml --explain
  coldcheck mend cables.csv settings.txt --write -o mended.toml
  coldcheck check mended.toml --assume-done";

/// Arguments of `mend`.
#[derive(Args, Debug)]
pub struct MendArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Show why no set of acts is cheaper.
    #[arg(long)]
    pub explain: bool,

    /// Write the repaired site file to the file that -o names.
    #[arg(long, requires = "output")]
    pub write: bool,

    /// Which of the answers to write.
    #[arg(long, value_name = "NUMBER", requires = "write", default_value_t = 1)]
    pub answer: usize,

    /// Mend what a waiver lets stand, too.
    #[arg(long)]
    pub also_waived: bool,

    /// Hold waivers against this day instead of today.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,

    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the answer goes; with --write, where the repaired site file goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
