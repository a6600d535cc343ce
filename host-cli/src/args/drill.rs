//! The command line of `drill`.

use crate::drill::ask::Level;
use crate::profile::ASSUMED;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

pub(super) const ABOUT: &str = "\
Make a drill for a class: a site as it was planned, something that is wrong with it, what is noticed, \
what can be looked at and measured and what that costs, and an answer sheet with reason, proof and \
mend. For dummy units that hold no voltage, or on paper; never on a plant that can be live.

The fault is one of a rule of the check, one that only a meter shows, or one that only a gateway \
hears. As a rule the sheets are right and the plant is not; with --on-paper the sheets show the fault. \
Every answer is confirmed by the check, the meter's solver or the rules about what is heard.

How hard a drill is, is computed: how few readings tell the fault from everything that would be \
noticed alike, in the worst case (easy up to 3, medium 4 to 6, hard from 7). A look and a reading cost \
1; a cable pulled, rung out or exchanged costs 2.

The same number gives the same drill on every machine, and in the page. --class makes so many different \
ones of like difficulty with one answer sheet.";

pub(super) const AFTER: &str = "\
Exit codes:
  0  the drill is written, or the learner's record is weighed
  2  there is no such drill, a file is there already, or a record cannot be read

Examples:
  coldcheck drill --units 4 --number 7
  coldcheck drill --units 4 --class 12 --level medium --format html -o monday
  coldcheck drill --units 3 --kind wires-swapped --number 2
  coldcheck drill --units 4 --kind address-duplicate --on-paper
  coldcheck drill --units 5 --profile two-port-line --faults 2 --format json
  coldcheck drill --list
  coldcheck drill --units 4 --places --kind address-duplicate ac-leg-crossed
  coldcheck drill --units 4 --fault \"address-duplicate unit 2 unit 1\"
  coldcheck drill --units 4 --number 7 --score anna.txt";

/// How hard a drill must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LevelArg {
    /// Up to 3 readings.
    Easy,
    /// 4 to 6 readings.
    Medium,
    /// 7 readings and more.
    Hard,
}

impl LevelArg {
    /// The level.
    pub const fn level(self) -> Level {
        match self {
            Self::Easy => Level::Easy,
            Self::Medium => Level::Medium,
            Self::Hard => Level::Hard,
        }
    }
}

/// Form of a drill.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DrillFormat {
    /// For a terminal.
    Text,
    /// To print: one file that holds everything it shows.
    Html,
    /// For programs: see `coldcheck schema drill`.
    Json,
}

/// Arguments of `drill`.
#[allow(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
#[derive(Args, Debug)]
pub struct DrillArgs {
    /// How many units the bench has, 2 to 12.
    #[arg(long, value_name = "N", default_value_t = 4)]
    pub units: u16,

    /// A built-in profile.
    #[arg(long, value_name = "NAME", default_value = ASSUMED)]
    pub profile: String,

    /// How many faults at once, 1 to 3, none of which hides another.
    #[arg(long, value_name = "K", default_value_t = 1)]
    pub faults: usize,

    /// The number of the drill: the same gives the same.
    #[arg(long, short, visible_alias = "seed", value_name = "S", default_value_t = 1)]
    pub number: u64,

    /// Draw from these kinds of faults only: rules, or what `--list` names besides.
    #[arg(long, value_name = "RULE", num_args = 1..)]
    pub kind: Vec<String>,

    /// Make these faults and no others, each by its name of `--places`, or by its kind and words of
    /// its place: "address-duplicate unit 2 unit 1".
    #[arg(long, value_name = "FAULT", num_args = 1.., conflicts_with_all = ["kind", "level", "class", "faults"])]
    pub fault: Vec<String>,

    /// How hard it must be.
    #[arg(long, value_enum)]
    pub level: Option<LevelArg>,

    /// Let the sheets show the fault, so that it is found by reading them.
    #[arg(long)]
    pub on_paper: bool,

    /// So many different drills of like difficulty.
    #[arg(long, value_name = "COUNT", default_value_t = 1)]
    pub class: usize,

    /// Form of the drill.
    #[arg(long, value_enum, default_value_t = DrillFormat::Text)]
    pub format: DrillFormat,

    /// Name every kind of fault, and the profiles that can be given it.
    #[arg(long, conflicts_with_all = ["kind", "fault", "class", "output"])]
    pub list: bool,

    /// Name every fault that the bench of this number can be given, with its place.
    #[arg(long, conflicts_with_all = ["fault", "class", "output", "list", "level", "faults", "format"])]
    pub places: bool,

    /// Weigh what a learner did: a line each for `dead`, a reading (`ohms at unit 1`), or
    /// `claim FAULT`, as for `--fault`; `-` is standard input.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["class", "output", "list", "places"])]
    pub score: Option<PathBuf>,

    /// Write exercises, their sheets and the answers as files into this folder; it is made if it is
    /// not there.
    #[arg(long, short, value_name = "FOLDER")]
    pub output: Option<PathBuf>,

    /// Overwrite files that are there.
    #[arg(long, requires = "output")]
    pub force: bool,
}
