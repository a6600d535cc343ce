//! The command line of `form`.

use super::{OutputArgs, units};
use crate::form::sheet::MOST_SHEETS;
use crate::print::Paper;
use crate::profile::ASSUMED;
use clap::{Args, ValueEnum};

pub(super) const ABOUT: &str = "\
Write a blank cable list to print: one row a cable, with bubbles for both ends, the kind and the \
length, and room for a note. What can be chosen follows from the profile and the number of units. \
Fill it with a dark pen, photograph each sheet, and let `read` make a cable list of the pictures. No \
text is recognised: a mark that is not clear is asked about, never guessed.

PDF holds all sheets. SVG holds one: of several, -o form.svg writes form-1.svg, form-2.svg, and so \
on.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  the form is written
  2  there is no such form, or the command line is wrong

Examples:
  coldcheck form --units 4 -o form.pdf
  coldcheck form --units 6 --profile three-phase-sets --paper letter -o form.pdf
  coldcheck form --units 2 --format svg -o form.svg
  coldcheck form --units 32 --sheets 5 -o form.pdf";

/// Arguments of `form`.
#[derive(Args, Debug)]
pub struct FormArgs {
    /// How many units the group has.
    #[arg(long, value_name = "N", value_parser = units)]
    pub units: u16,

    /// Profile by name or file.
    #[arg(long, value_name = "NAME|FILE", default_value = ASSUMED)]
    pub profile: String,

    /// Size of the paper.
    #[arg(long, value_enum, default_value_t = PaperArg::A4)]
    pub paper: PaperArg,

    /// How many sheets, if not as many as such a group commonly fills.
    #[arg(long, value_name = "K", value_parser = clap::value_parser!(u8).range(1..=i64::from(MOST_SHEETS)))]
    pub sheets: Option<u8>,

    /// Form of the file.
    #[arg(long, value_enum, default_value_t = PrintFormat::Pdf)]
    pub format: PrintFormat,

    /// Where the form goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Size of the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperArg {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl PaperArg {
    /// The paper.
    pub const fn paper(self) -> Paper {
        match self {
            Self::A4 => Paper::A4,
            Self::Letter => Paper::Letter,
        }
    }
}

/// Form of a file to print.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PrintFormat {
    /// One file with all sheets.
    Pdf,
    /// One file a sheet.
    Svg,
}
