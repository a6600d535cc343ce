//! The command line of `draw`.

use super::{OutputArgs, SiteArgs};
use crate::date::Date;
use crate::draw::Width;
use clap::{Args, ValueEnum};

pub(super) const ABOUT: &str = "\
Draw the sheets of one site: units in the order of the link with their sockets, cables by kind as \
they are declared, terminators, packs, sensors with their arrows, other devices, and the power side \
as a one-line diagram. Findings are marked where they are, by number; what was not checked is shown \
too. The same sheets give the same bytes.

A phone's width is one column, a page's fits A4 between its margins, a wide one is for a screen.";

pub(super) const EXAMPLES: &str = "\
Exit codes:
  0  the drawing is written, whatever was found
  2  a sheet cannot be read, or the command line is wrong

Examples:
  coldcheck draw cables.csv settings.txt -o site.svg
  coldcheck draw site.toml --width phone -o phone.svg
  coldcheck draw site.toml --scope communication --width wide > site.svg
  coldcheck draw site.toml --strict --date 2027-03-31 -o site.svg";

/// Arguments of `draw`.
#[derive(Args, Debug)]
pub struct DrawArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Count a rule that could not be checked for want of declared data as a finding.
    #[arg(long)]
    pub strict: bool,

    /// How wide: 360, 720 or 1200 pixels.
    #[arg(long, value_enum, default_value_t = WidthArg::Page)]
    pub width: WidthArg,

    /// Form of the picture.
    #[arg(long, value_enum, default_value_t = PictureFormat::Svg)]
    pub format: PictureFormat,

    /// Hold waivers against this day instead of today.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::date)]
    pub date: Option<Date>,

    /// Where the drawing goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// How wide a drawing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum WidthArg {
    /// A phone held upright.
    Phone,
    /// Between the margins of an A4 page.
    Page,
    /// A screen.
    Wide,
}

impl WidthArg {
    /// The width.
    pub const fn width(self) -> Width {
        match self {
            Self::Phone => Width::Phone,
            Self::Page => Width::Page,
            Self::Wide => Width::Wide,
        }
    }
}

/// Form of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PictureFormat {
    /// Scalable vector graphics.
    Svg,
    /// Portable network graphics, with twice as many pixels each way.
    #[cfg(feature = "png")]
    Png,
}
