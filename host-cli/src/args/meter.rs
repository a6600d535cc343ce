//! The command line of `meter`.

use super::{Format, OutputArgs, SiteArgs};
use crate::meter::taken::Accuracy;
use clap::Args;
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
What a meter must show on the link of this site with the power off: volts first, then ohms between \
the two wires at both ends with all plugged in and with the last cable pulled (the two-pull test), \
each as a band that follows from the declared cables, terminators and units; what each fault would \
show; what ohms cannot see, and the reading that does.

With readings, it ranks what fits: what is declared, each single fault of cable or terminator, and, \
where none fits, each two of them. What the readings do not tell apart is told together, with the \
next reading that would.

A reading is PORT=OHMS, such as \"unit 3 A=60.4\" or \"unit 3=1.2k\"; \"plug C2=120.1\" is into the loose \
plug of cable C2. OL is over range: alone it says no more than \"above 200 ohm\"; \">2000\" says the range. \
A reading with a cable out has @pull CABLE behind it, or @pull CABLE at UNIT where it was pulled at \
another unit than an end of the line, or the first of its two. \"unit 1=0.00V\" is volts between the wires.

A readings file (JSON lines, or a table with a heading) holds readings with time, by, instrument, \
place, quantity (pair ohms, pair volts), value, unit and sheets, and with pulled where a cable was \
out. `sheets` is the number that this command prints for the sheets. Readings under other sheets, of \
other quantities or at sockets that are not of the link are left out, and said. Of several readings \
at one place the newest counts; what stands in the command line is newer than any file.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  the plan is printed, or the readings fit what is declared
  1  the readings point to a fault, or nothing fits them
  2  a sheet or a reading cannot be read, or no link cable is listed
  5  stop: the sheets hold a danger, or there are volts on the pair

Examples:
  coldcheck meter cables.csv settings.txt
  coldcheck meter site.toml --read \"unit 1=60.1\" --read \"unit 4=60.3\"
  coldcheck meter site.toml --read \"unit 1=119@pull C1\" --read \"plug C1=OL@pull C1\"
  coldcheck meter site.toml --pull \"C3 at unit 4\" --read \"unit 4=120\" --read \"plug C3=119.6\"
  coldcheck meter site.toml --readings readings.jsonl --accuracy 0.5%+2 --format json
  coldcheck meter site.toml --bias \"unit 1=680\"";

/// Arguments of `meter`.
#[derive(Args, Debug)]
pub struct MeterArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// What the meter showed, as often as there are readings.
    #[arg(long, value_name = "PORT=OHMS[@pull CABLE]")]
    pub read: Vec<String>,

    /// The cable that is out for every --read that does not say otherwise (@pull, or @plugged for
    /// none).
    #[arg(long, value_name = "CABLE", requires = "read")]
    pub pull: Option<String>,

    /// Readings from this file; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    pub readings: Option<PathBuf>,

    /// How exact the meter is: percent of the reading plus counts of the last digit that was
    /// written down. Half a step of that digit comes on top. Without it, 1%+5: an ordinary hand
    /// meter with its leads.
    #[arg(long, value_name = "PERCENT+COUNTS", value_parser = accuracy)]
    pub accuracy: Option<Accuracy>,

    /// Resistors that hold the idle pair of an RS-485 link apart: at which unit, and how many ohms
    /// from each wire to its rail.
    #[arg(long, value_name = "UNIT=OHMS")]
    pub bias: Vec<String>,

    /// Form of the plan.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,

    /// Where the plan goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

fn accuracy(text: &str) -> Result<Accuracy, String> {
    Accuracy::read(text).ok_or_else(|| "percent of the reading and counts, such as 1%+2".to_owned())
}
