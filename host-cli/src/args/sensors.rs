//! The command line of `sensors`.

use super::{Format, OutputArgs, SiteArgs};
use crate::sensors::Import;
use clap::{Args, ValueEnum};

pub(super) const ABOUT: &str = "\
How each current transformer sits, from known loads: on which leg, which way round, beside which \
leg's voltage, with which ratio. Every way to sit is tried, and what the readings exclude is \
dropped; what is left is told, with the reading that would tell more.

A test is one load between a leg and neutral (or the same on every leg): the clamp on every leg at \
the place of the sensors, and what the screen shows of every channel at the same moment. Units must \
give and charge nothing meanwhile. A heater is best; a motor has pf=0.7 or so.

  \"L1=50.2; L2=0.3; CT L1=6010 W 50.1 A; CT L2=0.02 kW\"

Whether a minus means import or export is a convention of each screen: without --import no sensor is \
called reversed from a sign alone. The supply (supply system = split-phase 120/240 V), the sensors, \
their ratings and the ratios that are set come from the sheets.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  every channel reads right
  1  a channel does not read right, whatever is still open
  2  a sheet or a test cannot be read
  4  more than one way to sit is left

Examples:
  coldcheck sensors site.toml --import plus \\
      --test \"L1=50.2; L2=0.3; CT L1=6010 W; CT L2=10 W\" \\
      --test \"L1=0.2; L2=48.0; CT L1=0 W; CT L2=-5.7 kW\"
  coldcheck sensors site.toml --test \"L1=12.4; L2=0; pf=0.7; CT L1=1040 W 12.3 A; CT L2=0 W\"";

/// What the screen shows for power that is taken from the supply.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum ImportArg {
    /// A plus.
    Plus,
    /// A minus.
    Minus,
}

impl ImportArg {
    /// As the sensor test has it.
    pub const fn import(self) -> Import {
        match self {
            Self::Plus => Import::Plus,
            Self::Minus => Import::Minus,
        }
    }
}

/// Arguments of `sensors`.
#[derive(Args, Debug)]
pub struct SensorsArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// One load with its readings, as often as there were loads.
    #[arg(long, value_name = "READINGS", required = true)]
    pub test: Vec<String>,

    /// What this screen shows for power that is taken from the supply.
    #[arg(long, value_enum, value_name = "SIGN")]
    pub import: Option<ImportArg>,

    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the answer goes.
    #[command(flatten)]
    pub output: OutputArgs,
}
