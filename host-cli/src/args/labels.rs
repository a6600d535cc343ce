//! The command line of `labels`.

use super::{OutputArgs, PaperArg, PrintFormat, SiteArgs};
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Write labels for the ends of the cables of one site, to print and cut: two for each cable, side by \
side, with the cable's name, both ends in words, and a QR code that says the same. With --held \
nothing is printed: photographs of labels are held against the list instead, so that a label on the \
wrong cable or from an older list is found.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  the labels are written; every label in the photographs agrees with the list
  1  a label in a photograph does not agree with the list
  2  a sheet or a photograph cannot be read, or the command line is wrong

Examples:
  coldcheck labels cables.csv settings.txt -o labels.pdf
  coldcheck labels site.toml --paper letter --format svg -o labels.svg
  coldcheck labels cables.csv settings.txt --held label-1.jpg --held label-2.jpg";

/// Arguments of `labels`.
#[derive(Args, Debug)]
pub struct LabelsArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Hold the labels in this photograph against the list; may be given several times.
    #[arg(long, value_name = "PHOTO")]
    pub held: Vec<PathBuf>,

    /// Size of the paper.
    #[arg(long, value_enum, default_value_t = PaperArg::A4)]
    pub paper: PaperArg,

    /// Form of the file.
    #[arg(long, value_enum, default_value_t = PrintFormat::Pdf)]
    pub format: PrintFormat,

    /// Where the labels go.
    #[command(flatten)]
    pub output: OutputArgs,
}
