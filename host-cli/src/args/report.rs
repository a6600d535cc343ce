//! The command line of `report`.

use super::{OutputArgs, SiteArgs};
use crate::date::Date;
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Write one HTML file about a site, to print and sign: verdict, drawing, findings with what to do and \
how to prove it, what was met, what was not checked, waivers, settings to dial in, lines to sign, \
the version of the program and of its data, and the SHA-256 of each sheet.

In front of it stands the sheet of the power-up: every hold with what is expected and what was read, \
the way down and the points of isolation, on one page. Without readings it says NOT COMMISSIONED. \
The whole report also lists every reading in order, with those that were wrong and taken again.

The file holds everything it shows: no script, no outside address. It is made for A4 and needs no \
colour.";

pub(super) const EXAMPLES: &str = "\
Exit codes are those of `check`: 5 stop, 3 ask, 1 fix first, 4 incomplete, 0 ok; 2 if a sheet cannot \
be read.

Examples:
  coldcheck report cables.csv settings.txt -o report.html
  coldcheck report site.toml --readings day.jsonl --one-page -o sheet.html
  coldcheck report site.toml --date 2027-03-31 -o report.html --force";

/// Arguments of `report`.
#[derive(Args, Debug)]
pub struct ReportPageArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Count a rule that could not be checked for want of declared data as a finding.
    #[arg(long)]
    pub strict: bool,

    /// Hold waivers against this day instead of today; the report bears it.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::date)]
    pub date: Option<Date>,

    /// Readings of `coldcheck powerup`: for the sheet of the power-up in front of the report, and for
    /// its list of every reading.
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,

    /// Only the sheet of the power-up: one page for up to six units.
    #[arg(long)]
    pub one_page: bool,

    /// Where the report goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
