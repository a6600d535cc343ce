//! The command line of `changeover`.

use super::{Format, OutputArgs};
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Look through an oscilloscope's record of a changeover: how long the voltage was away, how deep and \
how long the one-cycle value fell, by how much the phase jumped.

The record is text: any lines of heading, then a line for each moment, columns separated by comma, \
semicolon or tab, time in any unit by the column's name, one or two columns with volts. Records of \
any length are read piece by piece. It must begin at least 75 ms before the changeover, and end \
60 ms after it.

Two measures stand side by side, and are not the same. The time without voltage is taken from the \
wave itself: from where it leaves the clean wave before to where one of 90 to 110 % is back. The one-cycle value \
(IEC 61000-4-30: root mean square over one cycle, renewed every half cycle) stays low for at least \
half a cycle whatever happened: 2 ms without voltage are 16.7 ms below 90 % at 60 Hz.";

/// Arguments of `changeover`.
#[derive(Args, Debug)]
pub struct ChangeoverArgs {
    /// The record; `-` is standard input.
    #[arg(value_name = "RECORD.csv")]
    pub record: PathBuf,

    /// Longest time without voltage that is allowed, in milliseconds.
    #[arg(long, value_name = "MS", value_parser = positive)]
    pub limit: Option<f64>,

    /// Hold the record against what information equipment rides through (ITIC curve, 120 V only).
    #[arg(long)]
    pub curve: bool,

    /// Declared voltage; without it the voltage at the start is what values are held against.
    #[arg(long, value_name = "VOLTS", value_parser = positive)]
    pub nominal: Option<f64>,

    /// Frequency near which to look; without it any from 40 to 70 Hz.
    #[arg(long, value_name = "HZ", value_parser = positive)]
    pub frequency: Option<f64>,

    /// Samples a second, where the record has no times.
    #[arg(long, value_name = "PER_SECOND", value_parser = positive)]
    pub rate: Option<f64>,

    /// Column with volts, by name or by number from 1; twice for two legs.
    #[arg(long, value_name = "COLUMN")]
    pub channel: Vec<String>,

    /// Draw the longest change into this file, as SVG.
    #[arg(long, value_name = "FILE.svg")]
    pub plot: Option<PathBuf>,

    /// Form of the report.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the report goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

fn positive(text: &str) -> Result<f64, String> {
    // A comma stands for the point in half of the world.
    let number = text.replace(',', ".").parse::<f64>().ok();
    let number = number.filter(|number| number.is_finite() && *number > 0.0);
    number.ok_or_else(|| "a number above 0".to_owned())
}
