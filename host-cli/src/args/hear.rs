//! The command line of `hear`.

use super::{DialectArg, ReportArgs, ScopeArg};
use clap::Args;
use std::path::PathBuf;
use std::time::Duration;

pub(super) const ABOUT: &str = "\
Check the sheets of one site, or the plan image made of them, and hold what was heard on the bus \
against them: who is silent and behind which cable, who is there whom nobody declares, who tells \
another role, unit count, firmware or serial number than declared, and what the recorder's \
controller says about the bus.

The log is one that candump writes (-L, -l, or as on a screen; with can0,0:0,#FFFFFFFF it tells of \
errors too), or the lines of an adapter that speaks SLCAN. Which it is is told by what it holds. Times that run \
backwards by up to a second stand still; after a longer jump back, time goes on from where it was. \
A log without times tells who is there, and rhythms are left open.

How the units make themselves known is a demand of profile or sheet: dialect = canopen, j1939 or \
frame map. Without one nothing that is heard can be understood, and the report says so.

Nothing is ever sent. An interface that confirms frames still hides a unit that stands alone: set \
it to listen only before it hears (ip link set can0 type can bitrate 500000 listen-only on).";

/// Arguments of `hear`.
#[derive(Args, Debug)]
pub struct HearArgs {
    /// Sheets of one site or one plan image, and behind them the log; `-` is standard input.
    #[arg(value_name = "SHEET… LOG", required = true)]
    pub files: Vec<PathBuf>,

    /// Profile by name or file, in place of the one that a sheet names.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// Parts to check, in place of what a sheet says.
    #[arg(long, value_enum)]
    pub scope: Option<ScopeArg>,

    /// How the units make themselves known, in place of what is demanded.
    #[arg(long, value_enum)]
    pub dialect: Option<DialectArg>,

    /// The interface, where the log is of several.
    #[arg(long, value_name = "NAME")]
    pub interface: Option<String>,

    /// Go on listening while the log grows; tell each finding that comes or goes, with its time.
    #[arg(long)]
    pub follow: bool,

    /// Stop listening after so many seconds; until then the report waits.
    #[arg(long = "for", value_name = "SECONDS", value_parser = seconds)]
    pub lasts: Option<Duration>,

    /// Listen on this CAN interface of Linux instead of reading a log: all files are sheets then.
    #[arg(long, value_name = "INTERFACE", conflicts_with = "interface")]
    pub live: Option<String>,

    /// The report.
    #[command(flatten)]
    pub report: ReportArgs,
}

/// A stretch of time that a person can wait for.
fn seconds(text: &str) -> Result<Duration, String> {
    const MOST: f64 = 30.0 * 86_400.0;
    let seconds: Option<f64> = text.parse().ok().filter(|seconds| (0.001..=MOST).contains(seconds));
    let duration = seconds.and_then(|seconds| Duration::try_from_secs_f64(seconds).ok());
    duration.ok_or_else(|| "a number of seconds, such as 30 or 2.5".to_owned())
}
