//! The command line: types only, no behaviour.

mod batch;
mod changed;
mod changeover;
mod choices;
mod clap_made;
mod draw;
mod drill;
mod form;
mod hear;
mod labels;
mod mend;
mod meter;
mod new;
mod powerup;
mod profile;
mod read;
mod report;
mod schema;
mod sensors;
mod size;
mod words;

pub use batch::{BatchArgs, LineRange};
pub use changed::ChangedArgs;
pub use changeover::ChangeoverArgs;
pub use choices::{Colour, DialectArg, Form, Format, ReportFormat, ScopeArg};
pub use clap_made::{CompletionsArgs, ManArgs};
pub use draw::{DrawArgs, PictureFormat, WidthArg};
pub use drill::{DrillArgs, DrillFormat, LevelArg};
pub use form::{FormArgs, PaperArg, PrintFormat};
pub use hear::HearArgs;
pub use labels::LabelsArgs;
pub use mend::MendArgs;
pub use meter::MeterArgs;
pub use new::NewArgs;
pub use powerup::PowerupArgs;
pub use profile::{ProfileAction, ProfileArgs, ProfileFormat};
pub use read::{ReadArgs, ReadFormat};
pub use report::ReportPageArgs;
pub use schema::SchemaArgs;
pub use sensors::{ImportArg, SensorsArgs};
pub use size::SizeArgs;

use crate::date::Date;
use clap::{Args, Parser, Subcommand};
use coldcheck_core::limits;
use std::path::PathBuf;

/// Checks parallel inverters for wiring and setting faults before they are energised.
#[derive(Debug, Parser)]
#[command(name = "coldcheck", version = env!("COLDCHECK_VERSION"), max_term_width = 80, after_help = AFTER_HELP)]
pub struct Cli {
    /// What to do; nothing tells where the site in this folder stands, and what is next.
    #[command(subcommand)]
    pub command: Option<Command>,

    /// When to colour: auto is only on a terminal, and not if `NO_COLOR` is set.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,

    /// Say only the verdict, the findings, what must still be declared, and the cautions.
    #[arg(short, long, global = true)]
    pub quiet: bool,
}

const AFTER_HELP: &str = "\
Exit codes:
  0  ok, or nothing but notes; a command that does not check did its work
  1  fix first: something keeps the group from starting or working well
  2  a sheet or a profile cannot be read, or the command line is wrong
  3  ask: a person must answer a question first
  4  incomplete: something that must be declared is not
  5  stop: a danger stands

Examples:
  coldcheck new --units 4 --profile plain --form sheets --out-dir my-site
  coldcheck check my-site/cables.csv my-site/settings.txt
  coldcheck explain address-duplicate
  coldcheck tidy cables.csv settings.txt -o site.toml
  coldcheck draw cables.csv settings.txt -o site.svg
  coldcheck read list.jpg settings.txt -o cables.csv
  coldcheck report cables.csv settings.txt -o report.html
  coldcheck profile show two-port-line
  coldcheck image cables.csv settings.txt -o plan.bin
  coldcheck hear cables.csv settings.txt bus.log
  coldcheck form --units 4 -o form.pdf
  coldcheck labels cables.csv settings.txt -o labels.pdf
  coldcheck mend cables.csv settings.txt
  coldcheck meter cables.csv settings.txt
  coldcheck powerup cables.csv settings.txt --readings day.jsonl --guide
  coldcheck sensors settings.txt --test 'L1=50; L2=0; CT L1=6000 W; CT L2=0 W'
  coldcheck size cables.csv settings.txt
  coldcheck batch sites.jsonl -o reports.jsonl
  coldcheck changed before.toml after.toml
  coldcheck changeover record.csv --limit 20
  coldcheck drill --units 4 --class 12 --format html -o monday

A site has at most 32 units, 64 data cables and plugs, 16 sensors, 64 packs.";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check the sheets of one site: findings, what was met, what was not checked, verdict.
    #[command(after_help = "\
Examples:
  coldcheck check cables.csv settings.txt
  coldcheck check site.toml --scope communication
  coldcheck check cables.csv settings.txt --format json -o report.json
  coldcheck check site.toml --format sarif -o report.sarif
  coldcheck check site.toml --strict --date 2027-03-31
  some-program | coldcheck check - settings.txt")]
    Check(CheckArgs),
    /// Hold what was heard on the bus against what was declared.
    #[command(long_about = hear::ABOUT, after_help = "\
Exit codes are those of `check`.

Examples:
  coldcheck hear cables.csv settings.txt bus.log
  coldcheck hear plan.bin bus.log --interface can0 --format json
  coldcheck hear site.toml bus.log --dialect canopen
  candump -L can0,0:0,#FFFFFFFF | coldcheck hear site.toml - --follow --for 60
  coldcheck hear site.toml --live can0 --for 30")]
    Hear(HearArgs),
    /// The cheapest acts after which every rule is met, as acts to do.
    #[command(long_about = mend::ABOUT, after_help = mend::AFTER)]
    Mend(MendArgs),
    /// What a meter must show with the power off, and what readings say.
    #[command(long_about = meter::ABOUT, after_help = meter::AFTER)]
    Meter(MeterArgs),
    /// How each current transformer sits, from known loads, clamp and screen.
    #[command(long_about = sensors::ABOUT, after_help = sensors::AFTER)]
    Sensors(SensorsArgs),
    /// What differs between two states of a site, and what must be tested again.
    #[command(long_about = changed::ABOUT, after_help = changed::AFTER)]
    Changed(ChangedArgs),
    /// The way from dead to running, with holds and readings, and the way down.
    #[command(long_about = powerup::ABOUT, after_help = powerup::AFTER)]
    Powerup(PowerupArgs),
    /// Draw the site: units, sockets, cables, the power side, and findings where they are.
    #[command(long_about = draw::ABOUT, after_help = draw::EXAMPLES)]
    Draw(DrawArgs),
    /// Make a drill for a class: a hidden fault, what is noticed, readings, answers.
    #[command(long_about = drill::ABOUT, after_help = drill::AFTER)]
    Drill(DrillArgs),
    /// Write a report to print and sign: one HTML file with everything about the site.
    #[command(long_about = report::ABOUT, after_help = report::EXAMPLES)]
    Report(ReportPageArgs),
    /// Read the cable list in a photograph: each cell sure, doubtful or unread.
    #[command(long_about = read::ABOUT, after_help = read::AFTER)]
    Read(ReadArgs),
    /// Explain a rule: why it matters, what to do, how to prove it, an example.
    #[command(after_help = "\
Examples:
  coldcheck explain term-missing-one-end
  coldcheck explain --all")]
    Explain(ExplainArgs),
    /// Write the plan image that a gateway boots with, or show what one holds.
    #[command(after_help = "\
Examples:
  coldcheck image cables.csv settings.txt -o plan.bin
  coldcheck image --show plan.bin")]
    Image(ImageArgs),
    /// Write a right site to start from: the cables to lay and the settings to dial in.
    #[command(long_about = words::NEW_ABOUT, after_help = "\
Examples:
  coldcheck new --units 4 --profile two-port-line -o site.toml
  coldcheck new --units 3 --form sheets --out-dir my-site
  coldcheck new --units 6 --profile three-phase-sets | coldcheck check -")]
    New(NewArgs),
    /// Write a blank cable list to print, made for reading back from a photo.
    #[command(long_about = form::ABOUT, after_help = form::AFTER)]
    Form(FormArgs),
    /// Write labels for the ends of the cables, or hold photographed ones against the list.
    #[command(long_about = labels::ABOUT, after_help = labels::AFTER)]
    Labels(LabelsArgs),
    /// Write the same site as one canonical site file.
    #[command(long_about = words::TIDY_ABOUT, after_help = "\
Exit codes:
  0  the site file is written
  2  a sheet cannot be read, or the command line is wrong
  3  a question must be answered first; nothing is written

Examples:
  coldcheck tidy cables.csv settings.txt -o site.toml
  coldcheck tidy old-list.csv --profile two-port-line")]
    Tidy(TidyArgs),
    /// Currents, breakers, conductors, fuses, strings, settings: each number with formula and source.
    #[command(long_about = size::ABOUT, after_help = "\
Exit codes:
  0  the sizes are written, with what could not be computed
  2  a sheet cannot be read, or the command line is wrong

Examples:
  coldcheck size site.toml
  coldcheck size cables.csv settings.txt --profile two-port-line
  coldcheck size site.toml --format json -o sizes.json")]
    Size(SizeArgs),
    /// Check many sites: one JSON site a line in, one JSON report a line out.
    #[command(long_about = batch::ABOUT, after_help = "\
Exit codes: that of the worst line, in this order:
  5  stop: a danger stands in some line
  2  a line cannot be read, or the command line is wrong
  3  ask    1  fix first    4  incomplete    0  ok, or nothing but notes

Examples:
  coldcheck batch sites.jsonl -o reports.jsonl
  some-program | coldcheck batch > reports.jsonl
  coldcheck batch sites.jsonl --lines 5001-10000 -o second-part.jsonl
  coldcheck batch --images plans.bin -o reports.jsonl")]
    Batch(BatchArgs),
    /// Look through a record of a changeover: time without voltage, dip, phase jump.
    #[command(long_about = changeover::ABOUT, after_help = "\
Exit codes:
  0  every limit is kept, or none was asked for
  1  a limit is broken
  2  the record cannot be read, or the command line is wrong
  4  a limit was asked for, and the record does not tell whether it is kept

Examples:
  coldcheck changeover record.csv
  coldcheck changeover record.csv --limit 20
  coldcheck changeover record.csv --nominal 120 --curve --format json
  coldcheck changeover two-legs.csv --channel CH1 --channel CH2")]
    Changeover(ChangeoverArgs),
    /// Write the page: one HTML file that does all this on a phone, without a network.
    #[command(after_help = "\
Example:
  coldcheck page -o coldcheck.html")]
    Page(PageArgs),
    /// List, show or check profiles: what is demanded of a group, and by whom.
    #[command(after_help = "\
Examples:
  coldcheck profile list
  coldcheck profile show two-port-line --format file > mine.toml
  coldcheck profile check mine.toml")]
    Profile(ProfileArgs),
    /// Print the JSON schema of what a command prints for programs.
    #[command(after_help = "\
Examples:
  coldcheck schema
  coldcheck schema check > check.schema.json")]
    Schema(SchemaArgs),
    /// Print a script that completes commands and options in a shell.
    #[command(after_help = "\
Examples:
  coldcheck completions bash > ~/.local/share/bash-completion/completions/coldcheck
  coldcheck completions fish > ~/.config/fish/completions/coldcheck.fish")]
    Completions(CompletionsArgs),
    /// Print the manual page of the program or of one command.
    #[command(after_help = "\
Examples:
  coldcheck man > coldcheck.1
  coldcheck man profile show > coldcheck-profile-show.1")]
    Man(ManArgs),
}

/// The sheets of a site and how to take them.
#[derive(Args, Debug)]
pub struct SiteArgs {
    /// Cable lists (typed, or photographs of them: see `read`), settings lists and site files of one
    /// site; `-` is standard input.
    #[arg(value_name = "SHEET")]
    pub sheets: Vec<PathBuf>,

    /// Profile by name or file, in place of the one that a sheet names.
    #[arg(long, value_name = "NAME|FILE")]
    pub profile: Option<String>,

    /// Parts to check, in place of what a sheet says.
    #[arg(long, value_enum)]
    pub scope: Option<ScopeArg>,
}

/// Where the result goes.
#[derive(Args, Debug)]
pub struct OutputArgs {
    /// Write to this file instead of standard output; `-` is standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Overwrite the file if it is there.
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `check`.
#[derive(Args, Debug)]
pub struct CheckArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Take every act that is to do (see `mend`) as done, to see the verdict after it.
    #[arg(long)]
    pub assume_done: bool,

    /// The report.
    #[command(flatten)]
    pub report: ReportArgs,
}

/// How a report is told, and where.
#[derive(Args, Debug)]
pub struct ReportArgs {
    /// Form of the report.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,

    /// Count a rule that could not be checked for want of declared data as a finding: the verdict
    /// is fix-first at the least. What is not heard is nothing that could be declared.
    #[arg(long)]
    pub strict: bool,

    /// Hold waivers against this day instead of today.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = date)]
    pub date: Option<Date>,

    /// Where the report goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Arguments of `explain`.
#[derive(Args, Debug)]
pub struct ExplainArgs {
    /// Name of the rule, as it stands in brackets behind a finding.
    #[arg(required_unless_present = "all", conflicts_with = "all")]
    pub rule: Option<String>,

    /// Explain every rule.
    #[arg(long)]
    pub all: bool,

    /// Form of the explanation.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
}

/// Arguments of `image`.
#[derive(Args, Debug)]
pub struct ImageArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Show what this image holds instead of writing one.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["sheets", "output"])]
    pub show: Option<PathBuf>,

    /// Where the image goes; `-` is standard output. Needed unless an image is shown.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Arguments of `tidy`.
#[derive(Args, Debug)]
pub struct TidyArgs {
    /// The site.
    #[command(flatten)]
    pub site: SiteArgs,

    /// Where the site file goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Arguments of `page`.
#[derive(Args, Debug)]
pub struct PageArgs {
    /// Where the page goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// A number of units that a site can have.
fn units(text: &str) -> Result<u16, String> {
    let most = limits::UNITS;
    let number = text.parse().ok().filter(|number| (1..=most).contains(&usize::from(*number)));
    number.ok_or_else(|| format!("a site has 1 to {most} units"))
}

fn date(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "a day is written year, month, day: 2027-03-31".to_owned())
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_definition_is_sound() {
        <super::Cli as clap::CommandFactory>::command().debug_assert();
    }
}
